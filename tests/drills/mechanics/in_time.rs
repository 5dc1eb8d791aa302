//! The march in time: it comes to the steady state, its steps are short enough, and nothing grows by itself.

use fastrand::Rng;
use straybelt::mechanics::{BeltState, Case, Fault, Line, March, Rest, Run, mean_and_swing};
use straybelt::trade::End;
use straybelt::trade::Strand;

use super::support::{near, reference};

#[test]
fn it_comes_to_rest_where_newton_says_saturated_rolls_and_all() {
    let line = reference();
    for faults in [
        vec![Fault::Skewed { strand: Strand::Return, station: 3, skew_rad: 0.005 }],
        vec![Fault::Skewed { strand: Strand::Return, station: 3, skew_rad: 0.06 }],
        vec![
            Fault::SkewedPulley { end: End::Tail, skew_rad: 0.003 },
            Fault::BentFrame { from_m: 5.0, to_m: 15.0, left_m: 0.03 },
        ],
    ] {
        for run in [Run::Forward, Run::Backward] {
            let line = Line { run, ..line.clone() };
            let case = Case::new(&line, &faults).unwrap();
            let rest = case.steady().unwrap();
            let mut march = March::new(&case, BeltState::straight(&case, 0.0)).unwrap();
            march.turns(40).unwrap();
            for strand in [Strand::Carry, Strand::Return] {
                let shape = march.state().shape(&case, strand);
                for (now, then) in shape.stations_m().iter().zip(rest.shape(strand).stations_m()) {
                    near(*now, *then, 2e-5);
                }
            }
            // Begun at rest, it stays.
            let mut march = March::new(&case, BeltState::at_rest(&case, &rest)).unwrap();
            march.turns(1).unwrap();
            for (now, then) in march
                .state()
                .shape(&case, Strand::Carry)
                .stations_m()
                .iter()
                .zip(rest.carry.stations_m())
            {
                near(*now, *then, 1e-7);
            }
        }
    }
}

#[test]
fn plausible_conveyors_settle() {
    let mut rng = Rng::with_seed(5);
    for _ in 0..12 {
        let mut line = Line::middling(10.0 + 20.0 * rng.f64());
        line.belt.modulus_n_per_m *= 0.3 + 2.0 * rng.f64();
        line.ret.tension_n *= 0.4 + 3.0 * rng.f64();
        line.carry.tension_n = 1.3 * line.ret.tension_n;
        line.tail.crown_m *= 2.0 * rng.f64();
        let station = rng.usize(0..line.ret.stations_m.len());
        let faults =
            [Fault::Skewed { strand: Strand::Return, station, skew_rad: 0.03 * (rng.f64() - 0.5) }];
        let case = Case::new(&line, &faults).unwrap();
        let rest = case.steady().unwrap();
        let mut march = March::new(&case, BeltState::straight(&case, 0.01)).unwrap();
        march.turns(60).unwrap();
        near(march.state().shape(&case, Strand::Return).at_m(0.0), rest.tail_m, 1e-4);
    }
}

#[test]
fn nothing_grows_by_itself() {
    // All parts square: whatever shape the belt starts in, the energy of its bending, pull and centring never passes
    // what it began with by more than the pulleys store, and from turn to turn its peak falls.
    let mut rng = Rng::with_seed(3);
    for _ in 0..6 {
        let mut line = Line::middling(12.0 + 12.0 * rng.f64());
        line.ret.tension_n *= 0.4 + 3.0 * rng.f64();
        line.tail.crown_m *= rng.f64();
        line.head.crown_m *= rng.f64();
        // Thrown out of line by faults that are then put right.
        let faults = [
            Fault::Skewed {
                strand: Strand::Return,
                station: 1,
                skew_rad: 0.04 * (rng.f64() - 0.5),
            },
            Fault::SkewedPulley { end: End::Head, skew_rad: 0.01 * (rng.f64() - 0.5) },
        ];
        let thrown = Case::new(&line, &faults).unwrap();
        let lies = BeltState::at_rest(&thrown, &thrown.steady().unwrap());
        let square = Case::new(&line, &[]).unwrap();
        let mut march = March::new(&square, lies).unwrap();
        let mut last = f64::INFINITY;
        for turn in 0..12 {
            let mut peak = 0.0_f64;
            for _ in 0..march.steps_a_turn() {
                march.step().unwrap();
                peak = peak.max(march.state().energy_j(&square));
            }
            assert!(peak <= last * (1.0 + 1e-9) + 1e-12, "turn {turn}: {peak} after {last}");
            last = peak;
        }
        assert!(last < 1.0);
    }
}

#[test]
fn a_square_conveyor_stays_in_the_middle_to_the_last_digit() {
    let case = Case::new(&reference(), &[]).unwrap();
    let mut march = March::new(&case, BeltState::straight(&case, 0.0)).unwrap();
    march.turns(2).unwrap();
    assert_eq!(march.state().energy_j(&case), 0.0);
    assert_eq!(march.gone_after_m(), None);
}

#[test]
fn the_same_steps_give_the_same_numbers() {
    let faults = [Fault::CrookedSplice { at_m: 3.0, kink_rad: 0.004 }];
    let case = Case::new(&reference(), &faults).unwrap();
    let run = || {
        let mut march = March::new(&case, BeltState::straight(&case, 0.005)).unwrap();
        march.turns(2).unwrap();
        march.into_state()
    };
    assert_eq!(run(), run());
    // Taken up again, as a drill does after a pause: to within rounding of how the rolls slip.
    let mut again = March::new(&case, run()).unwrap();
    again.turns(1).unwrap();
    let mut on = March::new(&case, BeltState::straight(&case, 0.005)).unwrap();
    on.turns(3).unwrap();
    let tail = |march: &March<'_>| march.state().shape(&case, Strand::Return).at_m(0.0);
    near(tail(&again), tail(&on), 2e-5);
}

#[test]
fn a_splice_swings_alike_wherever_on_the_belt_it_is_and_either_way_it_runs() {
    let line = reference();
    let swing = |line: &Line, at_m: f64, kink_rad: f64| {
        let case = Case::new(line, &[Fault::CrookedSplice { at_m, kink_rad }]).unwrap();
        let mut march = March::new(&case, BeltState::straight(&case, 0.0)).unwrap();
        march.turns(8).unwrap();
        march.watch(100).unwrap()
    };
    let first = swing(&line, 0.0, 0.005);
    let pitch = first.marks_m[1];
    let moved = swing(&line, 20.0 * pitch, 0.005);
    let (_, all) = mean_and_swing(&first.tail);
    assert!((0.004..0.02).contains(&all), "{all}");
    for (nth, y) in first.tail.iter().enumerate() {
        near(moved.tail[(nth + 20) % 100], *y, 0.03 * all);
    }
    let other = swing(&line, 0.0, -0.005);
    for (left, right) in first.carry[5].iter().zip(&other.carry[5]) {
        near(*left, -right, 1e-9);
    }
    // Backward, the same conveyor seen from the other end: tail and head change places.
    let mut mirrored = line.clone();
    mirrored.run = Run::Backward;
    for strand in [Strand::Carry, Strand::Return] {
        let centres = line.centres_m;
        let stations = &mut mirrored.idlers_mut(strand).stations_m;
        stations.reverse();
        for x in stations {
            *x = centres - *x;
        }
    }
    let backward = swing(&mirrored, 0.0, 0.005);
    for (nth, y) in first.tail.iter().enumerate() {
        // Marks are counted the same way on the belt, which now runs the other way.
        near(backward.head[(100 - nth) % 100], *y, 0.03 * all);
    }
}

#[test]
fn steps_are_short_enough() {
    // The swing of a splice at the usual step, against steps five times as short (a belt five times as stiff in
    // nothing but its step: shorter pulley girth is not at hand, so the step is forced by a finer reference).
    let line = reference();
    let case = Case::new(&line, &[Fault::CrookedSplice { at_m: 0.0, kink_rad: 0.005 }]).unwrap();
    let swing = |divide: u32| {
        let mut march = March::new(&case, BeltState::with_steps(&case, divide)).unwrap();
        march.turns(8).unwrap();
        mean_and_swing(&march.watch(100).unwrap().tail).1
    };
    let (usual, finer, finest) = (swing(1), swing(4), swing(8));
    near(usual, finest, 0.018 * finest);
    near(finer, finest, 0.02 * finest);
}

#[test]
fn a_belt_that_drifts_off_is_told() {
    let mut line = reference();
    line.carry.trough_rad = 0.0;
    line.tail.crown_m = 0.0;
    line.head.crown_m = 0.0;
    let case = Case::new(&line, &[Fault::SkewedPulley { end: End::Tail, skew_rad: 0.01 }]).unwrap();
    let Rest::Drifts { left_m_s } = case.steady().unwrap().rest else { panic!() };
    let mut march = March::new(&case, BeltState::straight(&case, 0.0)).unwrap();
    march.turns(60).unwrap();
    let gone = march.gone_after_m().unwrap();
    assert!(left_m_s > 0.0 && gone > 0.0 && gone < march.state().travelled_m());
}

#[test]
fn a_reversing_belt_goes_on_from_where_it_lay() {
    let line = reference();
    let faults = [Fault::Skewed { strand: Strand::Return, station: 3, skew_rad: 0.02 }];
    let there = Case::new(&line, &faults).unwrap();
    let back = Case::new(&Line { run: Run::Backward, ..line.clone() }, &faults).unwrap();
    let mut march =
        March::new(&there, BeltState::at_rest(&there, &there.steady().unwrap())).unwrap();
    march.turns(1).unwrap();
    let lay = march.into_state();
    let turned = lay.turned_round(&there, &back);
    for x in [0.5, 7.0, 20.0] {
        near(
            turned.shape(&back, Strand::Return).at_m(x),
            lay.shape(&there, Strand::Return).at_m(x),
            1e-12,
        );
    }
    let mut march = March::new(&back, turned).unwrap();
    march.turns(40).unwrap();
    let rest = back.steady().unwrap();
    near(march.state().shape(&back, Strand::Return).at_m(12.0), rest.ret.at_m(12.0), 1e-4);
    // A skew that leads it to the left one way leads it to the right the other way.
    assert!(there.steady().unwrap().tail_m > 0.0 && rest.ret.at_m(14.0) < 0.0);
}

#[test]
fn a_splice_is_where_it_was_when_the_belt_starts_the_other_way() {
    // Started backward, the belt goes on from its bent shape; were the kink taken to be elsewhere, or to have gone
    // round a pulley meanwhile, the belt would jump.
    let line = reference();
    let faults = [Fault::CrookedSplice { at_m: 7.0, kink_rad: 0.02 }];
    let there = Case::new(&line, &faults).unwrap();
    let back = Case::new(&Line { run: Run::Backward, ..line.clone() }, &faults).unwrap();
    for stopped_m in [19.0, 28.5, 45.0] {
        let mut march = March::new(&there, BeltState::straight(&there, 0.0)).unwrap();
        march.turns(3).unwrap();
        while (march.state().travelled_m() % line.belt_m() - stopped_m).abs() > 0.1 {
            march.step().unwrap();
        }
        let lay = march.into_state();
        let mut last = [Strand::Carry, Strand::Return].map(|strand| lay.shape(&there, strand));
        let mut march = March::new(&back, lay.turned_round(&there, &back)).unwrap();
        for _ in 0..20 {
            march.step().unwrap();
            let now =
                [Strand::Carry, Strand::Return].map(|strand| march.state().shape(&back, strand));
            for (now, last) in now.iter().zip(&last) {
                for (a, b) in now.points().iter().zip(last.points()) {
                    near(a.y_m, b.y_m, 0.002);
                }
            }
            last = now;
        }
    }
}

#[test]
fn rows_are_told_from_the_tail_and_marks_at_their_own_time() {
    let line = reference();
    for run in [Run::Forward, Run::Backward] {
        let line = Line { run, ..line.clone() };
        let case = Case::new(
            &line,
            &[Fault::Skewed { strand: Strand::Return, station: 1, skew_rad: 0.01 }],
        )
        .unwrap();
        let rest = case.steady().unwrap();
        let mut march = March::new(&case, BeltState::at_rest(&case, &rest)).unwrap();
        let seen = march.watch(7).unwrap();
        for (rows, shape) in [(&seen.carry, &rest.carry), (&seen.ret, &rest.ret)] {
            for (row, y) in rows.iter().zip(shape.stations_m()) {
                near(mean_and_swing(row).0, *y, 1e-6);
            }
        }
        near(seen.tail[3], rest.tail_m, 1e-6);
        near(seen.head[3], rest.head_m, 1e-6);
    }
}
