//! What single parts do, the price of the screws, and how sizes are told.

use straybelt::mechanics::{
    Case, ELEMENT_SHARE, End, Fault, Lies, March, Rest, Run, Seized, Size, Strand,
};

use crate::support::{bare, near, reference, skewed_return, steady};

#[test]
fn a_seized_roll_steers_no_more_and_a_high_one_steers_harder() {
    let line = reference();
    let skew = skewed_return(4, 0.01);
    let plain = steady(&line, &[skew]).tail_m;
    let seized = Fault::SeizedRoll {
        strand: Strand::Return,
        station: 4,
        which: Seized::Whole,
    };
    near(steady(&line, &[skew, seized]).tail_m, 0.0, 1e-9);
    let high = Fault::High {
        strand: Strand::Return,
        station: 4,
        by_m: 0.02,
    };
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
    let screw = Fault::Screws {
        left_m: 0.004,
        right_m: 0.0,
    };
    let after = Case::new(&line, &[fault, screw]).unwrap();
    let mut march = March::new(&after, Lies::at_rest(&before, &rest)).unwrap();
    let at_once = march.lies().loads(&after);
    march.turns(1).unwrap();
    let moved = march.lies().shape(&after, Strand::Return).at_m(0.0);
    assert!(moved < rest.tail_m - 0.001, "{moved} after {}", rest.tail_m);
    let still = straybelt::mechanics::just_after_screws(&line, 0.004, 0.0).unwrap();
    assert!(still.left_n > still.right_n + 300.0);
    assert!(after.tension_n(Strand::Carry) > before.tension_n(Strand::Carry) + 100.0);
    assert!(march.lies().loads(&after).left_n > rest.loads.left_n + 100.0);
    assert!(at_once.left_n.is_finite());
    // Three rounds of it, now on one side, now on the other, and the pull is up by half and more.
    let often = Fault::Screws {
        left_m: 0.036,
        right_m: 0.036,
    };
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
        Fault::BentFrame {
            from_m: 8.5,
            to_m: 15.5,
            left_m: 0.02,
        },
        Fault::SkewedPulley {
            end: End::Tail,
            skew_rad: 0.002,
        },
    ];
    let off = |share| {
        Case::meshed(&line, &faults, share)
            .unwrap()
            .steady()
            .unwrap()
            .tail_m
    };
    let (usual, fine, finer) = (off(ELEMENT_SHARE), off(0.1), off(0.05));
    near(usual, fine, 1e-4 * fine.abs());
    near(fine, finer, 1e-7 * fine.abs());
    near(
        Case::new(&line, &faults).unwrap().steady().unwrap().tail_m,
        usual,
        0.0,
    );
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
    let Rest::Drifts { left_m_s } = found.rest else {
        panic!()
    };
    near(left_m_s, 0.0, 1e-15);
    near(found.tail_m, 0.0, 1e-12);
}

#[test]
fn a_running_screw_loads_its_own_side_by_the_strand_that_leaves() {
    // Derived, pull near nothing, no idlers: y'' falls evenly from 2 theta / L at the tail to nothing at the head, and
    // the strand that enters is straight: left - right = 4 EI delta / (B^2 L).
    let mut line = bare(6.0, 100.0);
    line.take_up.keeps_pull = true;
    let found = steady(
        &line,
        &[Fault::Screws {
            left_m: 0.002,
            right_m: 0.0,
        }],
    );
    let (ei, centres) = (line.belt.stiffness_nm2(), line.take_up.bearing_centres_m);
    let expected = 4.0 * ei * 0.002 / (centres * centres * 6.0);
    near(
        found.loads.left_n - found.loads.right_n,
        expected,
        0.01 * expected,
    );
    near(found.loads.left_n + found.loads.right_n, 200.0, 1e-9);
    // Running backward the other strand leaves the tail: the same.
    line.run = Run::Backward;
    let back = steady(
        &line,
        &[Fault::Screws {
            left_m: 0.002,
            right_m: 0.0,
        }],
    );
    near(back.loads.left_n, found.loads.left_n, 1e-6 * expected);
    // A belt off to the left loads the left: 2 * 2 T e / B between the sides.
    let mut crowned = bare(6.0, 5_000.0);
    crowned.tail.crown_m = 0.003;
    crowned.head.crown_m = 0.003;
    let caked = [
        Fault::CakedPulley {
            end: End::Tail,
            left_thicker_m: 0.001,
        },
        Fault::CakedPulley {
            end: End::Head,
            left_thicker_m: 0.001,
        },
    ];
    let off = steady(&crowned, &caked);
    assert!(off.tail_m > 0.005);
    let difference = 2.0 * 2.0 * 5_000.0 * off.tail_m / crowned.take_up.bearing_centres_m;
    near(
        off.loads.left_n - off.loads.right_n,
        difference,
        1e-6 * difference,
    );
}
