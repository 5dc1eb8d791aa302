//! What single parts do, the price of the screws, and how sizes are told.

use straybelt::mechanics::{BeltState, Case, ELEMENT_SHARE, Fault, March, Rest, Run, Seized, Size};
use straybelt::trade::End;
use straybelt::trade::Strand;

use super::support::{bare, near, reference, skewed_return, steady};

#[test]
fn a_seized_roll_steers_no_more_and_a_high_one_steers_harder() {
    let line = reference();
    let skew = skewed_return(4, 0.01);
    let plain = steady(&line, &[skew]).tail_m;
    let seized = Fault::SeizedRoll { strand: Strand::Return, station: 4, which: Seized::Whole };
    near(steady(&line, &[skew, seized]).tail_m, 0.0, 1e-9);
    let high = Fault::High { strand: Strand::Return, station: 4, by_m: 0.02 };
    assert!(steady(&line, &[skew, high]).tail_m > 1.1 * plain);
}

#[test]
fn a_screw_hides_a_fault_at_once_and_takes_its_price() {
    // A skewed return roll puts the belt off to the left at the tail. The left screw out brings it back within a turn;
    // the left bearing then carries more, and both strands pull harder.
    let line = reference();
    let fault = skewed_return(3, 0.01);
    let before = Case::new(&line, &[fault]).unwrap();
    let rest = before.steady().unwrap();
    assert!(rest.tail_m > 0.002);
    let screw = Fault::Screws { left_m: 0.004, right_m: 0.0 };
    let after = Case::new(&line, &[fault, screw]).unwrap();
    let mut march = March::new(&after, BeltState::at_rest(&before, &rest)).unwrap();
    let at_once = march.state().loads(&after);
    march.turns(1).unwrap();
    let moved = march.state().shape(&after, Strand::Return).at_m(0.0);
    assert!(moved < rest.tail_m - 0.001, "{moved} after {}", rest.tail_m);
    let still = straybelt::mechanics::just_after_screws(&line, 0.004, 0.0).unwrap();
    assert!(still.left_n > still.right_n + 300.0);
    assert!(after.tension_n(Strand::Carry) > before.tension_n(Strand::Carry) + 100.0);
    assert!(march.state().loads(&after).left_n > rest.loads.left_n + 100.0);
    assert!(at_once.left_n.is_finite());
    // Three rounds of it, now on one side, now on the other, and the pull is up by half and more.
    let often = Fault::Screws { left_m: 0.036, right_m: 0.036 };
    let tight = Case::new(&line, &[often]).unwrap();
    assert!(tight.tension_n(Strand::Return) > 1.4 * before.tension_n(Strand::Return));
    // A weight keeps the pull, not the skew away.
    let mut weighted = line.clone();
    weighted.take_up.keeps_pull = true;
    let kept = Case::new(&weighted, &[screw]).unwrap();
    near(kept.tension_n(Strand::Carry), line.carry.tension_n, 1e-9);
    assert!(kept.steady().unwrap().tail_m < -0.001);
}

#[test]
fn the_mesh_is_fine_enough() {
    let line = reference();
    let faults = [
        skewed_return(3, 0.005),
        Fault::BentFrame { from_m: 8.5, to_m: 15.5, left_m: 0.02 },
        Fault::SkewedPulley { end: End::Tail, skew_rad: 0.002 },
    ];
    let off = |share| Case::meshed(&line, &faults, share).unwrap().steady().unwrap().tail_m;
    let (usual, fine, finer) = (off(ELEMENT_SHARE), off(0.1), off(0.05));
    near(usual, fine, 1e-4 * fine.abs());
    near(fine, finer, 1e-7 * fine.abs());
    near(Case::new(&line, &faults).unwrap().steady().unwrap().tail_m, usual, 0.0);
}

#[test]
fn sizes_are_words() {
    let room = 0.06;
    for (off, size) in [
        (0.0, Size::None),
        (-0.0009, Size::None),
        (0.004, Size::FewMillimetres),
        (-0.02, Size::Finger),
        (0.05, Size::Hand),
        (-0.06, Size::OffTheRoll),
        (f64::NAN, Size::OffTheRoll),
        (f64::INFINITY, Size::OffTheRoll),
    ] {
        assert_eq!(Size::of(off, room), size);
    }
    assert!(Size::None < Size::Finger && Size::Hand < Size::OffTheRoll);
    assert_eq!(Size::Hand.to_string(), "about a hand");
}

#[test]
fn a_drift_is_told_as_a_speed() {
    let mut line = reference();
    line.carry.trough_rad = 0.0;
    line.tail.crown_m = 0.0;
    line.head.crown_m = 0.0;
    assert!(!Case::new(&line, &[]).unwrap().holds_a_place());
    let found = steady(&line, &[]);
    let Rest::Drifts { left_m_s } = found.rest else { panic!() };
    near(left_m_s, 0.0, 1e-15);
    near(found.tail_m, 0.0, 1e-12);
}

#[test]
fn a_running_screw_loads_its_own_side_by_the_strand_that_leaves() {
    // Derived, pull near nothing, no idlers: y'' falls evenly from 2 theta / L at the tail to nothing at the head, and
    // the strand that enters is straight: left - right = 4 EI delta / (B^2 L).
    let mut line = bare(6.0, 100.0);
    line.take_up.keeps_pull = true;
    let found = steady(&line, &[Fault::Screws { left_m: 0.002, right_m: 0.0 }]);
    let (ei, centres) = (line.belt.stiffness_nm2(), line.take_up.bearing_centres_m);
    let expected = 4.0 * ei * 0.002 / (centres * centres * 6.0);
    near(found.loads.left_n - found.loads.right_n, expected, 0.01 * expected);
    near(found.loads.left_n + found.loads.right_n, 200.0, 1e-9);
    // Running backward the other strand leaves the tail: the same.
    line.run = Run::Backward;
    let back = steady(&line, &[Fault::Screws { left_m: 0.002, right_m: 0.0 }]);
    near(back.loads.left_n, found.loads.left_n, 1e-6 * expected);
    // A belt off to the left loads the left: 2 * 2 T e / B between the sides.
    let mut crowned = bare(6.0, 5_000.0);
    crowned.tail.crown_m = 0.003;
    crowned.head.crown_m = 0.003;
    let caked = [
        Fault::CakedPulley { end: End::Tail, left_thicker_m: 0.001 },
        Fault::CakedPulley { end: End::Head, left_thicker_m: 0.001 },
    ];
    let off = steady(&crowned, &caked);
    assert!(off.tail_m > 0.005);
    let difference = 2.0 * 2.0 * 5_000.0 * off.tail_m / crowned.take_up.bearing_centres_m;
    near(off.loads.left_n - off.loads.right_n, difference, 1e-6 * difference);
}

#[test]
fn a_stand_out_of_the_middle_takes_the_belt_along_and_a_push_pushes() {
    // Derived: toward the stand, less far than it; toward where the push points.
    let line = reference();
    let carry = Strand::Carry;
    let stand = steady(&line, &[Fault::OffCentre { strand: carry, station: 9, left_m: 0.03 }]);
    let off = stand.carry.stations_m()[9];
    assert!((0.001..0.03).contains(&off), "{off}");
    let push = steady(&line, &[Fault::SidePush { strand: carry, station: 9, left_n: 80.0 }]);
    assert!(push.carry.stations_m()[9] > 0.001);
    // Flat return rolls have no middle: nothing happens.
    let flat =
        steady(&line, &[Fault::OffCentre { strand: Strand::Return, station: 3, left_m: 0.03 }]);
    assert!(flat.ret.furthest().unwrap().y_m.abs() < 1e-9);
}

#[test]
fn a_low_set_lets_go_of_the_belt_and_presses_its_neighbours() {
    let line = reference();
    let low = Fault::High { strand: Strand::Return, station: 4, by_m: -0.1 };
    let lifted = steady(&line, &[skewed_return(4, 0.01), low]);
    near(lifted.tail_m, 0.0, 1e-9);
    let neighbour = steady(&line, &[skewed_return(3, 0.01)]).tail_m;
    assert!(steady(&line, &[skewed_return(3, 0.01), low]).tail_m > 1.1 * neighbour);
    let other = steady(&line, &[skewed_return(5, 0.01)]).tail_m;
    assert!(steady(&line, &[skewed_return(5, 0.01), low]).tail_m > 1.1 * other);
}

#[test]
fn the_couple_of_a_caked_roll_is_limited_by_friction_and_wings_are_opposite() {
    // Derived: at full slip mu N b / 4, however thick the cake; in proportion while it is thin.
    let line = reference();
    let off = |left_thicker_m| {
        let caked = Fault::CakedRoll { strand: Strand::Return, station: 4, left_thicker_m };
        steady(&line, &[caked]).ret.at_m(18.0)
    };
    near(off(0.1), off(0.05), 1e-3 * off(0.05).abs());
    near(off(2e-6), 2.0 * off(1e-6), 1e-4 * off(2e-6).abs());
    assert!(off(0.05).abs() > 10.0 * off(1e-4).abs());
    let wing = |which| {
        let seized = Fault::SeizedRoll { strand: Strand::Carry, station: 9, which };
        steady(&line, &[seized]).carry.at_m(14.0)
    };
    near(wing(Seized::LeftWing), -wing(Seized::RightWing), 1e-9);
    assert!(wing(Seized::LeftWing).abs() > 1e-5);
    // Both seized: no couple is left.
    let both = [Seized::LeftWing, Seized::RightWing].map(|which| Fault::SeizedRoll {
        strand: Strand::Carry,
        station: 9,
        which,
    });
    near(steady(&line, &both).carry.at_m(14.0), 0.0, 1e-9);
}

#[test]
fn a_level_frame_error_on_troughed_sets_is_the_balance_of_wings() {
    // Derived: on a long out-of-level stretch the belt comes to b tan(tilt) / (2 sin(trough)) off, loaded or empty:
    // weight and centring grow alike.
    for load in [0.0, 80.0] {
        let mut line = straybelt::mechanics::Line::middling(160.0);
        line.load.mass_kg_per_m = load;
        let found =
            steady(&line, &[Fault::LowFrame { from_m: 0.0, to_m: 160.0, left_low_rad: 0.02 }]);
        let expected = 0.9 * 0.02_f64.sin() / (2.0 * 35_f64.to_radians().sin());
        near(found.carry.at_m(130.0), expected, 0.02 * expected);
    }
}

#[test]
fn a_shape_can_be_read_anywhere() {
    let line = reference();
    let found = steady(&line, &[skewed_return(3, 0.01)]);
    near(found.ret.at_m(0.0), found.tail_m, 1e-15);
    near(found.carry.at_m(24.0), found.head_m, 1e-15);
    near(found.carry.at_m(-5.0), found.carry.at_m(0.0), 0.0);
    near(found.carry.at_m(1e9), found.carry.at_m(24.0), 0.0);
    for (x, y) in line.ret.stations_m.iter().zip(found.ret.stations_m()) {
        near(found.ret.at_m(*x), *y, 1e-12);
    }
    let point = found.ret.points()[3];
    let slope = (found.ret.at_m(point.x_m + 1e-5) - found.ret.at_m(point.x_m - 1e-5)) / 2e-5;
    near(point.slope, slope, 1e-6);
}

#[test]
fn wind_pushes_where_it_blows_and_as_hard() {
    let line = reference();
    let ret = Strand::Return;
    let wind = |from_m, to_m, left_n_per_m| Fault::Wind { strand: ret, from_m, to_m, left_n_per_m };
    // Derived: on a short stretch round a station it is a push at that station.
    let short = steady(&line, &[wind(5.9, 6.1, 100.0)]);
    let push = steady(&line, &[Fault::SidePush { strand: ret, station: 1, left_n: 20.0 }]);
    near(short.tail_m, push.tail_m, 0.1 * push.tail_m);
    let (at_head, at_tail) =
        (steady(&line, &[wind(16.0, 24.0, 10.0)]), steady(&line, &[wind(0.0, 8.0, 10.0)]));
    assert!(at_head.ret.at_m(20.0) > 1.3 * at_tail.ret.at_m(20.0));
    assert!(at_tail.ret.at_m(4.0) > 1.3 * at_head.ret.at_m(4.0));
}

#[test]
fn one_crown_is_enough_to_hold_a_belt() {
    for end in [End::Tail, End::Head] {
        let mut line = bare(12.0, 4_000.0);
        line.pulley_mut(end).crown_m = 0.002;
        let skewed = [Fault::SkewedPulley { end: End::Tail, skew_rad: 0.0005 }];
        let found = steady(&line, &skewed);
        assert_eq!(found.rest, Rest::InPlace);
        assert!(found.tail_m > 0.0);
    }
}
