//! Laws that hold for every sequence of moves, sensible or not, on random ones.
//!
//! Derived from what a regret is: minutes of a move, and what it does to the best that can still be done.

use proptest::collection::vec;
use proptest::prelude::*;
use straybelt::drill::{Drill, Move, Refused};
use straybelt::gauge;
use straybelt::rulebook::index::{CauseAt, FixAt, Place, SymptomAt};
use straybelt::trade::{Side, Strand};

use crate::support::{BOOK, Standing, begin, shipped};

/// Drills on short conveyors, so that many moves can be made: screws that may steer, a take-up with screws and two
/// causes, a belt that reverses.
const DRILLS: [&str; 3] =
    ["short-flat-belt-by-the-manual", "tight-and-tighter", "reversing-belt-with-a-skew"];

/// A length that somebody may type: sensible, too far, a metre, no number at all.
fn length_m() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => -0.02..0.02_f64,
        1 => Just(1.0),
        1 => Just(0.06),
        1 => Just(f64::NAN),
        1 => Just(f64::NEG_INFINITY),
    ]
}

fn side() -> impl Strategy<Value = Side> {
    prop_oneof![Just(Side::Left), Just(Side::Right)]
}

fn strand() -> impl Strategy<Value = Strand> {
    prop_oneof![Just(Strand::Carry), Just(Strand::Return)]
}

/// A move of any sort, whether it may be made or not.
pub(crate) fn any_move() -> impl Strategy<Value = Move> {
    let (symptoms, fixes, causes) = (BOOK.symptoms.len(), BOOK.fixes.len(), BOOK.causes.len());
    let certainty = prop_oneof![4 => 0.0..=1.0_f64, 1 => Just(f64::NAN), 1 => Just(1.5)];
    prop_oneof![
        4 => (0..symptoms).prop_map(|at| Move::Look(SymptomAt::at(at))),
        4 => Just(Move::LockOut),
        4 => Just(Move::Restore),
        1 => (0..gauge::ALL.len()).prop_map(|at| Move::Measure(gauge::ALL[at])),
        4 => (0..fixes).prop_map(|at| Move::Work(FixAt::at(at))),
        4 => (strand(), prop_oneof![4 => 0..9_usize, 1 => Just(999)], side(), length_m()).prop_map(
            |(strand, station, end, ahead_m)| Move::Shift { strand, station, end, ahead_m }
        ),
        3 => (side(), length_m()).prop_map(|(side, out_m)| Move::Screw { side, out_m }),
        1 => prop_oneof![4 => 1..6_u32, 1 => Just(0), 1 => Just(u32::MAX)].prop_map(Move::Wait),
        1 => Just(Move::Advice),
        1 => ((0..causes), certainty).prop_map(|(at, sure)| Move::Name(CauseAt::at(at), sure)),
    ]
}

/// Which of the short drills, and what is tried on it. One who declares is done, so that comes last or not at all.
pub(crate) fn a_run() -> impl Strategy<Value = (usize, Vec<Move>)> {
    (0..DRILLS.len(), vec(any_move(), 1..24), any::<bool>()).prop_map(
        |(drill, mut moves, declares)| {
            if declares {
                moves.push(Move::Declare);
            }
            (drill, moves)
        },
    )
}

/// The short drill of this number.
pub(crate) fn short(drill: usize) -> &'static Drill {
    shipped(DRILLS[drill])
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn regrets_add_up_to_the_minutes_and_what_is_left((drill, moves) in a_run()) {
        let mut world = begin(short(drill));
        let best_before = world.best().minutes;
        for what in moves {
            let _ = world.make(what);
        }
        let regrets: f64 = world.steps().iter().map(|step| step.regret).sum();
        let due = world.minutes() + world.best().minutes - best_before;
        prop_assert!((regrets - due).abs() < 1e-6, "{regrets} {due}");
        let minutes: f64 = world.steps().iter().map(|step| step.minutes).sum();
        prop_assert!((minutes - world.minutes()).abs() < 1e-6);
    }

    #[test]
    fn a_move_that_is_refused_changes_nothing_but_safety_faults((drill, moves) in a_run()) {
        let mut world = begin(short(drill));
        for what in moves {
            let before = (Standing::of(&world), world.safety_faults().len());
            match world.make(what) {
                Ok(step) => {
                    prop_assert!(step.minutes >= 0.0 && step.minutes.is_finite());
                    prop_assert!(step.off_share.is_finite());
                    let (left_n, right_n) = step.bearings_n;
                    prop_assert!(left_n.is_finite() && right_n.is_finite());
                    prop_assert_eq!(world.steps().len(), before.0.steps + 1);
                }
                Err(refused) => {
                    let more = usize::from(refused == Refused::Moving);
                    let after = (Standing::of(&world), world.safety_faults().len());
                    prop_assert_eq!(after, (before.0, before.1 + more), "{}", refused);
                }
            }
        }
    }

    #[test]
    fn no_way_costs_less_than_the_best((drill, moves) in a_run()) {
        let mut world = begin(short(drill));
        for what in moves {
            let _ = world.make(what);
        }
        // Nothing hidden is cured for less than the best way; what is still to be done counts as well.
        let spent = world.minutes() + world.best().minutes;
        prop_assert!(spent >= world.best_at_start().minutes - 1e-6, "{spent}");
    }
}
