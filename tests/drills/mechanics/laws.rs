//! Laws that hold for every conveyor and every fault: sides carry no weight, order does not matter, nothing panics.

use proptest::prelude::*;
use straybelt::mechanics::{BeltState, Case, Fault, Idlers, Line, March, Rest, Run, Seized};
use straybelt::trade::End;
use straybelt::trade::Strand;

fn strand() -> impl Strategy<Value = Strand> {
    prop_oneof![Just(Strand::Carry), Just(Strand::Return)]
}

fn end() -> impl Strategy<Value = End> {
    prop_oneof![Just(End::Tail), Just(End::Head)]
}

prop_compose! {
    fn line()(
        centres in 10.0..40.0_f64,
        carry_pitch in 0.8..2.0_f64,
        return_pitch in 1.5..4.0_f64,
        (width, modulus, mass) in (0.5..1.4_f64, 3e5..6e6_f64, 5.0..25.0_f64),
        tension in 1e3..3e4_f64,
        trough in prop_oneof![Just(0.0), 0.2..0.8_f64],
        tilt in -0.03..0.03_f64,
        (tail_crown, head_crown) in (prop_oneof![Just(0.0), 5e-4..4e-3_f64], prop_oneof![Just(0.0), 5e-4..4e-3_f64]),
        load in prop_oneof![Just(0.0), 10.0..150.0_f64],
        (friction, creep) in (0.15..0.5_f64, 2e-3..3e-2_f64),
        (backward, keeps_pull) in (any::<bool>(), any::<bool>()),
    ) -> Line {
        let mut line = Line::middling(centres);
        line.run = if backward { Run::Backward } else { Run::Forward };
        line.belt.width_m = width;
        line.belt.modulus_n_per_m = modulus;
        line.belt.mass_kg_per_m = mass;
        line.carry.stations_m = Idlers::even(centres, carry_pitch);
        line.ret.stations_m = Idlers::even(centres, return_pitch);
        line.carry.trough_rad = trough;
        line.carry.forward_tilt_rad = tilt;
        line.ret.tension_n = tension;
        line.carry.tension_n = 1.4 * tension;
        for (end, crown) in [(End::Tail, tail_crown), (End::Head, head_crown)] {
            line.pulley_mut(end).face_m = width + 0.1;
            line.pulley_mut(end).crown_m = crown;
        }
        line.load.mass_kg_per_m = load;
        line.grip.friction = friction;
        line.grip.creep_rad = creep;
        line.take_up.keeps_pull = keeps_pull;
        line.take_up.bearing_centres_m = width + 0.3;
        line
    }
}

/// A fault that can be; places as shares of the conveyor or of its stations.
fn fault() -> impl Strategy<Value = Fault> {
    let small = -0.02..0.02_f64;
    let stretch = (0.0..3.0_f64, 3.0..6.0_f64);
    prop_oneof![
        (strand(), 0..2_usize, -0.05..0.05_f64).prop_map(|(strand, station, skew_rad)| {
            Fault::Skewed { strand, station, skew_rad }
        }),
        (strand(), 0..2_usize, small.clone())
            .prop_map(|(strand, station, left_m)| { Fault::OffCentre { strand, station, left_m } }),
        (strand(), 0..2_usize, small.clone()).prop_map(|(strand, station, by_m)| Fault::High {
            strand,
            station,
            by_m
        }),
        (strand(), 0..2_usize, small.clone()).prop_map(|(strand, station, left_low_rad)| {
            Fault::Leaning { strand, station, left_low_rad }
        }),
        (strand(), 0..2_usize, small.clone()).prop_map(|(strand, station, left_thicker_m)| {
            Fault::CakedRoll { strand, station, left_thicker_m }
        }),
        (strand(), 0..2_usize, 0..3_usize).prop_map(|(strand, station, which)| Fault::SeizedRoll {
            strand,
            station,
            which: [Seized::Whole, Seized::LeftWing, Seized::RightWing][which],
        }),
        (stretch.clone(), small.clone()).prop_map(|((from_m, to_m), left_m)| Fault::BentFrame {
            from_m,
            to_m,
            left_m
        }),
        (stretch.clone(), small.clone()).prop_map(|((from_m, to_m), skew_rad)| {
            Fault::RackedFrame { from_m, to_m, skew_rad }
        }),
        (stretch.clone(), small.clone()).prop_map(|((from_m, to_m), left_low_rad)| {
            Fault::LowFrame { from_m, to_m, left_low_rad }
        }),
        (end(), -0.005..0.005_f64)
            .prop_map(|(end, skew_rad)| Fault::SkewedPulley { end, skew_rad }),
        (end(), small.clone())
            .prop_map(|(end, left_low_rad)| Fault::LowPulley { end, left_low_rad }),
        (end(), -0.003..0.003_f64)
            .prop_map(|(end, left_thicker_m)| Fault::CakedPulley { end, left_thicker_m }),
        (end(), 0.0..1.0_f64).prop_map(|(end, share)| Fault::WornCrown { end, share }),
        (0.0..12.0_f64, small.clone())
            .prop_map(|(at_m, kink_rad)| Fault::CrookedSplice { at_m, kink_rad }),
        (stretch.clone(), -0.002..0.002_f64).prop_map(|((from_m, to_m), per_m)| Fault::Camber {
            from_m,
            to_m,
            per_m
        }),
        (-0.1..0.1_f64).prop_map(|left_m| Fault::OffCentreLoad { left_m }),
        (0.0..0.004_f64, 0.0..0.004_f64)
            .prop_map(|(left_m, right_m)| Fault::Screws { left_m, right_m }),
        (strand(), stretch, -20.0..20.0_f64).prop_map(|(strand, (from_m, to_m), left_n_per_m)| {
            Fault::Wind { strand, from_m, to_m, left_n_per_m }
        }),
        (strand(), 0..2_usize, -50.0..50.0_f64)
            .prop_map(|(strand, station, left_n)| { Fault::SidePush { strand, station, left_n } }),
    ]
}

/// The same fault seen in a mirror: left is right.
fn mirrored(fault: Fault) -> Fault {
    let mut fault = fault;
    match &mut fault {
        Fault::Skewed { skew_rad: size, .. }
        | Fault::OffCentre { left_m: size, .. }
        | Fault::Leaning { left_low_rad: size, .. }
        | Fault::CakedRoll { left_thicker_m: size, .. }
        | Fault::BentFrame { left_m: size, .. }
        | Fault::RackedFrame { skew_rad: size, .. }
        | Fault::LowFrame { left_low_rad: size, .. }
        | Fault::SkewedPulley { skew_rad: size, .. }
        | Fault::LowPulley { left_low_rad: size, .. }
        | Fault::CakedPulley { left_thicker_m: size, .. }
        | Fault::CrookedSplice { kink_rad: size, .. }
        | Fault::Camber { per_m: size, .. }
        | Fault::OffCentreLoad { left_m: size }
        | Fault::Wind { left_n_per_m: size, .. }
        | Fault::SidePush { left_n: size, .. } => *size = -*size,
        Fault::Screws { left_m, right_m } => std::mem::swap(left_m, right_m),
        Fault::SeizedRoll { which, .. } => {
            *which = match which {
                Seized::Whole => Seized::Whole,
                Seized::LeftWing => Seized::RightWing,
                Seized::RightWing => Seized::LeftWing,
            };
        }
        Fault::High { .. } | Fault::WornCrown { .. } => {}
    }
    fault
}

fn wild() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>(),
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(0.0),
        Just(-1.0),
        Just(1.0),
        -1e3..1e3_f64,
        1e-9..1e-3_f64,
        1e5..1e9_f64,
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(120) })]

    #[test]
    fn a_plausible_conveyor_has_one_answer_and_its_mirror_image_the_opposite(
        line in line(),
        faults in prop::collection::vec(fault(), 0..4),
    ) {
        let case = Case::new(&line, &faults).unwrap();
        let found = case.steady().unwrap();
        let turned: Vec<Fault> = faults.iter().copied().map(mirrored).collect();
        let other = Case::new(&line, &turned).unwrap().steady().unwrap();
        let close = |a: f64, b: f64| (a + b).abs() <= 1e-7 * (1.0 + a.abs());
        for (a, b) in found.carry.stations_m().iter().zip(other.carry.stations_m()) {
            prop_assert!(close(*a, *b), "{} {}", a, b);
        }
        prop_assert!(close(found.tail_m, other.tail_m) && close(found.head_m, other.head_m));
        let scale = found.loads.left_n.abs() + found.loads.right_n.abs();
        prop_assert!((found.loads.left_n - other.loads.right_n).abs() <= 1e-6 * scale);
        match (found.rest, other.rest) {
            (Rest::InPlace, Rest::InPlace) => {}
            (Rest::Drifts { left_m_s: a }, Rest::Drifts { left_m_s: b }) => prop_assert!(close(a, b)),
            _ => prop_assert!(false),
        }
        // The order in which faults are told does not matter.
        let mut back = faults.clone();
        back.reverse();
        let again = Case::new(&line, &back).unwrap().steady().unwrap();
        prop_assert!((again.tail_m - found.tail_m).abs() <= 1e-7 * (1.0 + found.tail_m.abs()));
        // What the bearings carry together is the pull of both strands.
        let pull = case.tension_n(Strand::Carry) + case.tension_n(Strand::Return);
        prop_assert!((found.loads.left_n + found.loads.right_n - pull).abs() < 1e-6 * pull);
    }

    #[test]
    fn a_belt_at_rest_stays_there_and_a_drifting_one_keeps_its_speed(
        line in line(),
        faults in prop::collection::vec(fault(), 0..4),
    ) {
        // Two ways of computing: Newton on the whole loop, and the march. What travels with the belt is not at rest.
        let still: Vec<Fault> = faults
            .into_iter()
            .filter(|fault| !matches!(fault, Fault::CrookedSplice { .. } | Fault::Camber { .. }))
            .collect();
        let case = Case::new(&line, &still).unwrap();
        let found = case.steady().unwrap();
        let mut march = March::new(&case, BeltState::at_rest(&case, &found)).unwrap();
        let steps = 60;
        for _ in 0..steps {
            march.step().unwrap();
        }
        let (now, then) = (march.state().shape(&case, Strand::Return), &found.ret);
        match found.rest {
            Rest::InPlace => {
                let largest = then.stations_m().iter().fold(0.001_f64, |most, y| most.max(y.abs()));
                for (a, b) in now.stations_m().iter().zip(then.stations_m()) {
                    prop_assert!((a - b).abs() <= 1e-5 * largest, "{} {}", a, b);
                }
                let loads = march.state().loads(&case);
                prop_assert!((loads.left_n - found.loads.left_n).abs() <= 1e-4 * loads.left_n.abs().max(1.0));
            }
            // What was on the pulleys is not known to a drifting belt that is put down: it starts a little otherwise.
            Rest::Drifts { .. } => prop_assert!(now.stations_m().iter().all(|y| y.is_finite())),
        }
    }

    #[test]
    fn a_plausible_conveyor_marches(line in line(), faults in prop::collection::vec(fault(), 0..4)) {
        let case = Case::new(&line, &faults).unwrap();
        let mut march = March::new(&case, BeltState::straight(&case, 0.01)).unwrap();
        let seen = march.watch(8).unwrap();
        prop_assert_eq!(seen.carry.len(), line.carry.stations_m.len());
        prop_assert_eq!(seen.ret.len(), line.ret.stations_m.len());
        let every = seen.carry.iter().chain(&seen.ret).chain([&seen.tail, &seen.head]).flatten();
        for y in every {
            prop_assert!(y.abs() < 2.0, "{}", y);
        }
    }

    #[test]
    fn no_geometry_makes_it_panic(
        line in line(),
        wild in prop::collection::vec(wild(), 25),
        which in prop::collection::vec(any::<bool>(), 25),
        stations in prop::collection::vec(wild(), 0..6),
        placed in any::<bool>(),
        fault in fault(),
        station in any::<usize>(),
    ) {
        let mut line = line;
        let fields: [&mut f64; 25] = [
            &mut line.centres_m, &mut line.speed_m_s, &mut line.belt.width_m, &mut line.belt.modulus_n_per_m,
            &mut line.belt.mass_kg_per_m, &mut line.carry.trough_rad, &mut line.carry.forward_tilt_rad,
            &mut line.carry.roll_radius_m, &mut line.carry.tension_n, &mut line.ret.trough_rad,
            &mut line.ret.forward_tilt_rad, &mut line.ret.roll_radius_m, &mut line.ret.tension_n,
            &mut line.tail.radius_m, &mut line.tail.face_m, &mut line.tail.crown_m, &mut line.head.radius_m,
            &mut line.head.face_m, &mut line.head.crown_m, &mut line.load.mass_kg_per_m, &mut line.load.from_m,
            &mut line.load.to_m, &mut line.grip.friction, &mut line.grip.creep_rad,
            &mut line.take_up.bearing_centres_m,
        ];
        // Few at a time, so that some get past the first check.
        for ((field, value), chosen) in fields.into_iter().zip(&wild).zip(&which).filter(|(_, chosen)| **chosen).take(3) {
            let _ = chosen;
            *field = *value;
        }
        if placed {
            line.ret.stations_m = stations;
        }
        let fault = match fault {
            Fault::Skewed { strand, .. } => Fault::Skewed { strand, station, skew_rad: wild[0] },
            Fault::Screws { .. } => Fault::Screws { left_m: wild[0], right_m: wild[1] },
            Fault::BentFrame { .. } => Fault::BentFrame { from_m: wild[0], to_m: wild[1], left_m: wild[2] },
            Fault::Camber { .. } => Fault::Camber { from_m: wild[0], to_m: wild[1], per_m: wild[2] },
            Fault::Wind { strand, .. } => Fault::Wind { strand, from_m: wild[0], to_m: wild[1], left_n_per_m: wild[2] },
            Fault::CrookedSplice { .. } => Fault::CrookedSplice { at_m: wild[0], kink_rad: wild[1] },
            other => other,
        };
        match Case::new(&line, &[fault]) {
            Err(wrong) => prop_assert!(!wrong.part.is_empty() && wrong.remedy.ends_with('.')),
            Ok(case) => {
                if let Ok(found) = case.steady() {
                    prop_assert!(found.tail_m.is_finite() && found.loads.left_n.is_finite());
                }
                if let Ok(mut march) = March::new(&case, BeltState::straight(&case, 0.0)) {
                    for _ in 0..20 {
                        if march.step().is_err() {
                            break;
                        }
                    }
                }
            }
        }
    }
}
