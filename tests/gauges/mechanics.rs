//! The formulas that several gauges share, against published worked examples and against numerical integration.

use std::f64::consts::PI;

use proptest::prelude::*;
use straybelt::gauge::beam::TightStrand;
use straybelt::gauge::bearing_life::{self, Rolling};
use straybelt::gauge::shaft::{PSI_PA, Shaft};
use straybelt::gauge::tension::{self, Holds};

use crate::support::near;

const IN: f64 = 0.0254;
const LB: f64 = 4.448_221_615_260_5;

#[test]
fn rating_life_is_that_of_the_published_examples() {
    // Published: bearing maker's catalogue, calculation example 1 (6309): 169 million turns, 940 h.
    let turns = bearing_life::million_turns(55.3, 10.0, Rolling::Ball);
    near(turns, 169.0, 169.0 * 0.002);
    near(turns, 169.112, 0.001);
    near(bearing_life::hours(55.3, 10.0, 3000.0, Rolling::Ball), 940.0, 940.0 * 0.002);
    // Published (weak page): example 3: 2.94e6 and 3.43e5 turns. Its example 1 has a slip and is not used.
    near(bearing_life::million_turns(3150.0, 2200.0, Rolling::Ball), 2.94, 0.005);
    near(bearing_life::million_turns(3150.0, 4500.0, Rolling::Ball), 0.343, 0.0005);
}

#[test]
fn life_falls_with_load_by_the_power_of_the_law() {
    // Derived from the formula, the table of loads against lives.
    for (ratio, ball, roller) in [
        (1.10, 0.751, 0.728),
        (1.25, 0.512, 0.475),
        (1.30, 0.455, 0.417),
        (1.50, 0.296, 0.259),
        (2.0, 0.125, 0.0992),
    ] {
        near(bearing_life::life_left(ratio, Rolling::Ball), ball, 5e-4);
        near(bearing_life::life_left(ratio, Rolling::Roller), roller, 5e-4);
    }
    near(bearing_life::life_left(1.4, Rolling::Ball), 0.364_431_5, 1e-7);
    near(bearing_life::life_left(1.4, Rolling::Roller), 0.325_766_6, 1e-7);
    near(bearing_life::life_left(11.0 / 7.0, Rolling::Ball), 0.2577, 1e-4);
    near(bearing_life::life_left(11.0 / 7.0, Rolling::Roller), 0.2217, 1e-4);
    near(bearing_life::life_left(0.5, Rolling::Ball), 8.0, 1e-12);
}

#[test]
fn belt_friction_is_that_of_the_published_examples() {
    // Published (weak page): rock conveyor: effective tension 12,170 N from 16.5643 kW at 1.36136 m/s.
    let power_w =
        150_000.0 / 3600.0 * 9.81 * 50.0 * (PI / 6.0).tan() + 3500.0 * PI * 0.4 * 65.0 / 60.0;
    let effective = tension::effective_n(power_w, PI * 0.4 * 65.0 / 60.0);
    near(effective, 12_170.0, 12.17);
    near(power_w / 0.85 / 1000.0, 19.5, 0.0195);
    // Derived here: what that leaves for the slack and the tight side.
    let slack = effective * tension::wrap_factor(0.35, 220.0_f64.to_radians());
    near(slack, 4_293.4, 0.1);
    near(slack + effective, 16_461.0, 0.1);
}

#[test]
fn wrap_factors_are_those_of_the_trade() {
    // Derived; the trade's table (from memory) has 0.84 and 0.50.
    for (degrees, bare, lagged) in [
        (180.0, 0.838, 0.499),
        (190.0, 0.775, 0.456),
        (200.0, 0.718, 0.418),
        (210.0, 0.667, 0.384),
        (220.0, 0.621, 0.353),
        (240.0, 0.541, 0.300),
    ] {
        let wrap = f64::to_radians(degrees);
        near(tension::wrap_factor_of(Holds::ByItself, false, wrap).0, bare, 6e-4);
        near(tension::wrap_factor_of(Holds::ByItself, true, wrap).0, lagged, 6e-4);
    }
    // Published as end values of the table: 0.08 (420 degrees, lagged, by itself) and 1.2 (180, bare, screws).
    near(tension::wrap_factor(0.35, 420.0_f64.to_radians()), 0.08, 0.005);
    near(tension::wrap_factor_of(Holds::Set, false, PI).0, 1.2, 1e-12);
    // From memory.
    near(tension::wrap_factor_of(Holds::Set, true, PI).0, 0.8, 1e-12);
}

#[test]
fn sag_and_tension_follow_the_parabola() {
    // Published: 4.2 as the factor at 3 %.
    near(tension::tension_of_sag(1.0, 1.0, 0.03) / 9.81, 4.2, 0.05);
    near(tension::tension_of_sag(1.0, 1.0, 0.01) / 9.81, 12.5, 1e-9);
    near(tension::tension_of_sag(1.0, 1.0, 0.015) / 9.81, 8.33, 0.005);
    // Derived here.
    near(tension::tension_of_sag(100.0, 1.2, 0.02), 7_357.5, 0.1);
    // Published: a manual's 1/2 to 3/4 in on 4 ft, 1.04 and 1.56 %.
    near(0.5 / 48.0, 0.0104, 5e-5);
    near(0.75 / 48.0, 0.0156, 5e-5);
}

#[test]
fn stretch_and_travel_are_those_of_the_published_example() {
    // Published inputs: 150 lb per inch of width and 1.5 % make 10,000 lbf/in, 66.7 times the rating.
    let fabric = tension::modulus_of(150.0, Some("fabric"));
    near(fabric.modulus_n_per_m, 10_000.0, 1e-9);
    // Published by a belt seller: 2.5 % of nylon, so 40 times the working tension.
    near(fabric.modulus_n_per_m * fabric.softest, 40.0 * 150.0, 1e-9);
    near(tension::modulus_of(1.0, None).modulus_n_per_m, 66.7, 0.05);
    // Derived here: 0.70 in on 20 ft add 700 lb per strand.
    near(tension::rise_n(10_000.0, 24.0, 0.7, 240.0), 700.0, 1e-9);
}

const CHECKED: Shaft =
    Shaft { diameter_m: 3.9375 * IN, arm_m: 6.0 * IN, bearing_centres_m: 50.0 * IN };

#[test]
fn hub_slope_is_that_of_the_standards_formula() {
    // Formula published (pulley standard, appendix II), values derived here: no printed example was found.
    near(CHECKED.slope_equal(10_000.0 * LB), 0.001_665_81, 1e-8);
    near(CHECKED.stress_pa(5_000.0 * LB) / PSI_PA, 5_005.6, 0.05);
    let second = Shaft { diameter_m: 2.9375 * IN, arm_m: 5.0 * IN, bearing_centres_m: 40.0 * IN };
    near(second.slope_equal(6_000.0 * LB), 0.002_122_77, 1e-8);
    near(second.stress_pa(3_000.0 * LB) / PSI_PA, 6_027.8, 0.05);
    // Published: 8 minutes of arc are 0.0023.
    near((8.0_f64 / 60.0).to_radians().tan(), 0.0023, 5e-5);
}

/// The slope at the first hub by integrating `M/EI` twice along the shaft; the loads are those on the bearings.
fn integrated(shaft: Shaft, here_n: f64, there_n: f64) -> f64 {
    let (a, b) = (shaft.arm_m, shaft.bearing_centres_m);
    // The hub loads that make these bearing loads.
    let difference = (here_n - there_n) * b / (b - 2.0 * a);
    let mean = (here_n + there_n) / 2.0;
    let (first, second) = (mean + difference / 2.0, mean - difference / 2.0);
    let moment = |x: f64| here_n * x - first * (x - a).max(0.0) - second * (x - (b - a)).max(0.0);
    let steps = 200_000;
    let step = b / f64::from(steps);
    let (mut slope, mut sunk, mut slope_at_hub, mut first_seen) = (0.0, 0.0, 0.0, false);
    for i in 0..steps {
        let x = f64::from(i) * step;
        if !first_seen && x >= a {
            slope_at_hub = slope;
            first_seen = true;
        }
        let bend = moment(x + step / 2.0) / shaft.stiffness_nm2() * step;
        sunk += (slope + bend / 2.0) * step;
        slope += bend;
    }
    // The far bearing does not sink: turn the whole line by what it would have.
    (slope_at_hub - sunk / b).abs()
}

#[test]
fn hub_slope_agrees_with_numerical_integration() {
    for (here, there) in
        [(5_000.0, 5_000.0), (6_000.0, 4_000.0), (4_000.0, 6_000.0), (9_000.0, 1_000.0)]
    {
        let (here, there) = (here * LB, there * LB);
        near(CHECKED.slope_unequal(here, there), integrated(CHECKED, here, there), 2e-8);
    }
}

#[test]
fn a_slack_edge_begins_where_the_moving_beam_says() {
    // Formula published (moving tensioned beam), values derived here: K L 1.33333, width 0.9 m, length 6 m.
    let (kl, width_m, length_m): (f64, f64, f64) = (4.0 / 3.0, 0.9, 6.0);
    let k = kl / length_m;
    let modulus_n_per_m = 2.0e6;
    let stiffness = modulus_n_per_m * width_m.powi(3) / 12.0;
    let strand = TightStrand { width_m, modulus_n_per_m, tension_n: k * k * stiffness, length_m };
    // A belt that runs onto a skewed pulley bends at the far end by EI K coth(KL/2) per angle.
    let skew = strand.slack_moment_nm() / (strand.stiffness_nm2() * k / (kl / 2.0).tanh());
    near(skew, 0.019_426_1, 1e-7);
    near((kl / kl.tanh() - 1.0) / 6.0, 0.088_743_1, 1e-7);
    // The edge that the strand's own moment leaves without pull.
    near(strand.edges_n_per_m(strand.slack_moment_nm()).1, 0.0, 1e-9);
}

/// End moment per skew by finite differences: `EI w'' = T w` for the slope w, 1 at this end and 0 at the other.
fn moment_by_differences(strand: TightStrand) -> f64 {
    let steps = 20_000;
    let step = strand.length_m / f64::from(steps);
    let middle = 2.0 + step * step * strand.tension_n / strand.stiffness_nm2();
    // From the far end inward, each slope is a multiple of the one nearer this end.
    let mut multiple = 0.0;
    for _ in 1..steps {
        multiple = 1.0 / (middle - multiple);
    }
    // Bending at the end, with the half step's share of the pull.
    let bend = (1.0 - multiple) / step + step / 2.0 * strand.tension_n / strand.stiffness_nm2();
    strand.stiffness_nm2() * bend
}

#[test]
fn a_skewed_end_bends_the_strand_as_finite_differences_say() {
    for (width_m, modulus_n_per_m, tension_n, length_m) in
        [(0.6096, 2.627e6, 4_226.0, 9.144), (0.9, 2e6, 18_000.0, 24.0), (1.2, 5e6, 500.0, 3.0)]
    {
        let strand = TightStrand { width_m, modulus_n_per_m, tension_n, length_m };
        let moment = strand.end_moment_nm(1.0);
        near(moment / moment_by_differences(strand), 1.0, 1e-6);
    }
}

proptest! {
    #[test]
    fn sag_and_its_tension_undo_each_other(mass in 1.0..500.0_f64, spacing in 0.2..10.0_f64, pull in 10.0..1e6_f64) {
        let share = tension::sag_share(mass, spacing, pull);
        let back = tension::tension_of_sag(mass, spacing, share);
        prop_assert!((back / pull - 1.0).abs() < 1e-12);
    }

    #[test]
    fn more_wrap_never_needs_more_slack_pull(friction in 0.05..0.6_f64, wrap in 1.0..7.0_f64, more in 0.0..2.0_f64) {
        prop_assert!(tension::wrap_factor(friction, wrap + more) <= tension::wrap_factor(friction, wrap));
        // T1 = Te + T2 stands at the limit of grip.
        let slack = tension::wrap_factor(friction, wrap);
        prop_assert!(((1.0 + slack) / slack / (friction * wrap).exp() - 1.0).abs() < 1e-9);
    }

    #[test]
    fn the_loaded_hub_slopes_more(here in 1.0..1e5_f64, extra in 0.0..1e5_f64) {
        let even = CHECKED.slope_unequal(here, here);
        prop_assert!((even - CHECKED.slope_equal(2.0 * here)).abs() <= even * 1e-12);
        prop_assert!(CHECKED.slope_unequal(here + extra, here) >= CHECKED.slope_unequal(here, here + extra));
    }
}
