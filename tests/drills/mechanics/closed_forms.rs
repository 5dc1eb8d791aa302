//! Closed forms worked out beside the program, to the digits stated here, and the elements against them.

use straybelt::gauge::beam;
use straybelt::mechanics::span::{crown_per_m2, off_centre_load_m, trough_centring_n_per_m};
use straybelt::mechanics::{Case, End, Fault, Lies, Line, March, OneSpan, Rest, just_after_screws};

use super::span::{
    crown_factor, curvature_factor, drift_share, side_force_m, skewed_span_m, slack_edge_share,
    slack_edge_skew_rad,
};
use super::support::{bare, near, steady};

const EI: f64 = 121_500.0;

fn span(tension_n: f64) -> OneSpan {
    OneSpan {
        length_m: 6.0,
        stiffness_nm2: EI,
        tension_n,
        enters_rad: 0.0,
        bend_per_m: 0.0,
        force: None,
    }
}

#[test]
fn the_curvature_factor_is_that_of_the_published_theory() {
    // The limits 2/3 and 1 are published, the rest derived from the published form.
    for (kl, factor) in [
        (1e-6, 2.0 / 3.0),
        (0.5, 0.669_420),
        (1.0, 0.677_394),
        (2.0, 0.705_513),
        (3.0, 0.742_018),
        (5.0, 0.810_946),
        (10.0, 0.900_082),
    ] {
        near(curvature_factor(kl), factor, 1e-6);
    }
    near(curvature_factor(1e6), 1.0, 2e-6);
    near(curvature_factor(0.009_999), curvature_factor(0.010_001), 1e-8);
}

#[test]
fn the_span_meets_its_conditions() {
    // Derived: y(0) = y'(0) = 0, y'(L) = theta, y''(L) = 0 and y(L) = Kc theta L, for the published solution.
    for kl in [1e-3, 0.3, 2.0, 9.0] {
        let y = |x| skewed_span_m(0.004, x, 6.0, kl);
        let h = 1e-3;
        near(y(0.0), 0.0, 1e-12);
        near(y(h) / h, 0.0, 1e-5);
        near((y(6.0) - y(6.0 - h)) / h, 0.004, 1e-6);
        near((y(6.0) - 2.0 * y(6.0 - h) + y(6.0 - 2.0 * h)) / (h * h), 0.0, 1e-6);
        near(y(6.0), curvature_factor(kl) * 0.004 * 6.0, 1e-9);
    }
}

#[test]
fn elements_agree_with_the_closed_form_of_a_skewed_pulley() {
    // 16.4457 mm, and the same at other pulls.
    let skewed = OneSpan { enters_rad: 0.004, ..span(6_000.0) };
    near(skewed.off_m(24).unwrap() * 1e3, 16.445_7, 1e-4);
    for tension_n in [1.0, 6e3, 6e4] {
        let kl = 6.0 * (tension_n / EI).sqrt();
        let skewed = OneSpan { enters_rad: 0.004, ..span(tension_n) };
        near(skewed.off_m(24).unwrap(), curvature_factor(kl) * 0.024, 1e-8);
    }
}

#[test]
fn the_slack_edge_begins_where_it_was_derived() {
    // The form is published.
    near(slack_edge_skew_rad(4.0 / 3.0, 0.9, 6.0), 0.019_426_1, 1e-7);
    near(slack_edge_share(4.0 / 3.0), 0.088_743_1, 1e-7);
    // Derived: at that skew the belt is off by that share of its width.
    let (kl, width) = (2.4, 0.9);
    near(
        curvature_factor(kl) * slack_edge_skew_rad(kl, width, 6.0) * 6.0,
        slack_edge_share(kl) * width,
        1e-12,
    );
    near(slack_edge_share(1e-3), slack_edge_share(1.1e-2) * (1e-3_f64 / 1.1e-2).powi(2), 1e-9);
}

#[test]
fn a_side_force_near_the_pulley_is_lost_in_its_grip() {
    // Without pull, F a^2 d / (6 EI).
    near(side_force_m(100.0, 4.0, 6.0, 1e5, 0.0).unwrap() * 1e3, 5.333_33, 1e-5);
    let pushed = |tension_n, at_m| OneSpan {
        stiffness_nm2: 1e5,
        force: Some((at_m, 100.0)),
        ..span(tension_n)
    };
    for before in [0.5, 1.0, 2.0, 3.0, 4.0, 5.0] {
        let at = 6.0 - before;
        near(pushed(1e-6, at).off_m(12).unwrap(), 100.0 * at * at * before / 6e5, 1e-9);
    }
    // With pull.
    for (before, off_mm) in [(1.0, 3.507_17), (3.0, 3.524_94)] {
        let closed = side_force_m(100.0, 6.0 - before, 6.0, 1e5, 2e4).unwrap();
        near(closed * 1e3, off_mm, 1e-5);
        near(pushed(2e4, 6.0 - before).off_m(30).unwrap(), closed, 1e-8);
    }
    // Derived: largest a third of the span before the pulley, nothing at it.
    let off = |at| side_force_m(100.0, at, 6.0, 1e5, 0.0).unwrap();
    assert!(off(4.0) > off(3.9) && off(4.0) > off(4.1));
    near(off(6.0), 0.0, 1e-12);
    assert_eq!(side_force_m(1.0, 1.0, 100.0, 1.0, 1e4), None);
    assert_eq!(side_force_m(1.0, 1.0, 100.0, 1.0, f64::NAN), None);
}

#[test]
fn two_bare_pulleys_drift_at_the_derived_speed() {
    // V/v of a tail pulley skewed by 2 mrad, right end nearer to the head.
    for (tension_n, share) in [(2e3, -3.064e-4), (2e4, -3.910e-4)] {
        let line = bare(6.0, tension_n);
        let kl = 6.0 * (tension_n / EI).sqrt();
        let closed = drift_share(-0.002, 0.0, kl, 6.0, 0.25);
        // The stated figures rest on half a girth rounded to whole steps.
        near(closed, share, share.abs() * 0.005);
        let skewed = [Fault::SkewedPulley { end: End::Tail, skew_rad: -0.002 }];
        let fine = Case::meshed(&line, &skewed, 0.1).unwrap().steady().unwrap();
        let Rest::Drifts { left_m_s } = fine.rest else {
            panic!("nothing holds it");
        };
        near(left_m_s / line.speed_m_s, closed, closed.abs() * 1e-6);
        // And in time: after 6 turns the shape has settled, and the next 6 go on at that speed.
        let case = Case::new(&line, &skewed).unwrap();
        let mut march = March::new(&case, Lies::straight(&case, 0.0)).unwrap();
        march.turns(6).unwrap();
        let tail = |march: &March<'_>| {
            march.lies().shape(&case, straybelt::trade::Strand::Return).at_m(0.0)
        };
        let (before, from) = (tail(&march), march.lies().travelled_m());
        march.turns(6).unwrap();
        let marched = (tail(&march) - before) / (march.lies().travelled_m() - from);
        near(marched, closed, closed.abs() * 0.005);
    }
    // The published dependencies: with centre distance and pull, against radius and stiffness.
    let share = |tension_n: f64, length, radius, stiffness: f64| {
        drift_share(0.002, 0.0, length * (tension_n / stiffness).sqrt(), length, radius)
    };
    let base = share(5e3, 6.0, 0.25, EI);
    assert!(base > 0.0, "toward the end of the tail pulley that lies nearer to the head");
    assert!(share(5e3, 9.0, 0.25, EI) > base && share(1e4, 6.0, 0.25, EI) > base);
    assert!(share(5e3, 6.0, 0.4, EI) < base && share(5e3, 6.0, 0.25, 2.0 * EI) < base);
}

#[test]
fn a_crown_shifts_the_belt_by_its_factor() {
    for (kl, factor) in [
        (1e-6, 1.0 / 6.0),
        (0.5, 0.165_976),
        (1.0, 0.163_953),
        (2.0, 0.156_518),
        (3.0, 0.146_042),
        (5.0, 0.122_713),
        (10.0, 0.080_009),
    ] {
        near(crown_factor(kl), factor, 1e-6);
        let tension_n = (kl / 6.0).powi(2) * EI;
        let bent = OneSpan { bend_per_m: 0.002, ..span(tension_n) };
        near(bent.off_m(60).unwrap(), -0.002 * 36.0 * crown_factor(kl), 2e-8);
    }
}

#[test]
fn two_crowned_pulleys_balance_where_derived() {
    // (phi2 - phi1)(2 Kc - 1) L = g L^2 (c1 Y1 + c2 Y2), head skewed by 1 mrad, crowns 3 mm.
    let mut line = bare(6.0, 5_000.0);
    line.tail.crown_m = 0.003;
    line.head.crown_m = 0.003;
    let skewed = [Fault::SkewedPulley { end: End::Head, skew_rad: -0.001 }];
    let found = Case::meshed(&line, &skewed, 0.1).unwrap().steady().unwrap();
    assert_eq!(found.rest, Rest::InPlace);
    let kl = 6.0 * (5_000.0 / EI).sqrt();
    let bends = crown_per_m2(0.003, 1.0, 0.25) * (found.tail_m + found.head_m);
    near(crown_factor(kl) * 36.0 * bends, 0.001 * (2.0 * curvature_factor(kl) - 1.0) * 6.0, 1e-8);
}

#[test]
fn trough_and_off_centre_load_are_as_derived() {
    near(off_centre_load_m(0.050, 80.0, 12.0) * 1e3, -43.478, 0.001);
    near(trough_centring_n_per_m(12.0, 9.81, 0.9, 35_f64.to_radians(), 1.2), 180.06, 0.01);
    // A long loaded strand comes near to that bound, and never past it.
    let mut line = Line::middling(60.0);
    line.load.mass_kg_per_m = 80.0;
    let found = steady(&line, &[Fault::OffCentreLoad { left_m: 0.05 }]);
    let most = found.carry.stations_m().iter().copied().fold(0.0, f64::min);
    assert!((-0.0445..=-0.035).contains(&most), "{most}");
}

#[test]
fn one_screw_moved_loads_the_sides_as_the_gauge_says() {
    // In inches and pounds: 24, 30, 360, 15,000, 0.5, 700.
    const IN: f64 = 0.0254;
    const LB: f64 = 4.448_221_615_260_5;
    let mut line = bare(360.0 * IN, 700.0 * LB);
    line.belt.width_m = 24.0 * IN;
    line.belt.modulus_n_per_m = 15_000.0 * LB / IN;
    line.take_up.bearing_centres_m = 30.0 * IN;
    let loads = just_after_screws(&line, 0.5 * IN, 0.0).unwrap();
    near(loads.left_n / LB, 1_093.7, 0.1);
    near(loads.right_n / LB, 806.3, 0.1);
    let strand = beam::TightStrand {
        width_m: line.belt.width_m,
        modulus_n_per_m: line.belt.modulus_n_per_m,
        tension_n: 950.0 * LB,
        length_m: line.centres_m,
    };
    let moment = strand.end_moment_nm(0.5 / 30.0);
    near(loads.left_n - loads.right_n, 4.0 * moment / line.take_up.bearing_centres_m, 1e-6);
    near(loads.least_edge_n_per_m, strand.edges_n_per_m(moment).1, 1e-6);
    let turn = straybelt::gauge::side_load::model::Turn {
        width_m: line.belt.width_m,
        bearing_centres_m: line.take_up.bearing_centres_m,
        centres_m: line.centres_m,
        modulus_n_per_m: line.belt.modulus_n_per_m,
        load_n: 700.0 * LB,
        moved_m: 0.5 * IN,
        tension_kept: false,
    };
    let gauge = turn.loads().unwrap();
    near(loads.left_n, gauge.moved_side_n, 1e-6);
    near(loads.right_n, gauge.other_side_n, 1e-6);
}
