//! A run on disk: made again it comes out the same to the last bit, and what the book no longer has is left out.

use jiff::Timestamp;
use proptest::prelude::*;
use straybelt::drill::record::{Begun, Deed, Ended, OfSide, OfStrand, Record, Stamped, Store};
use straybelt::drill::{Drill, Move, World};
use straybelt::trade::{Side, Strand};
use straybelt::visit::store::BookMark;

use crate::laws::{a_run, any_move, short};
use crate::support::{BOOK, DIAGNOSIS, begin, make, shipped, symptom};

fn begun(run: u32, drill: &Drill) -> Record {
    let begun = Begun { drill, who: None, book: BookMark::new(&BOOK), now: Timestamp::UNIX_EPOCH };
    Record::begun(run, begun)
}

fn stamped(what: Deed) -> Stamped {
    let at = Timestamp::UNIX_EPOCH;
    Stamped { at, what }
}

/// All numbers of a run that a learner gets to see, to the last bit.
fn bits(world: &World<'_>) -> Vec<u64> {
    let steps = world.steps().iter().flat_map(|step| {
        let (left_n, right_n) = step.bearings_n;
        [step.minutes, step.regret, step.off_share, left_n, right_n]
    });
    let whole = [world.minutes(), world.belt().worst_share(&world.drill().line)];
    steps.chain(whole).map(f64::to_bits).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, ..ProptestConfig::default() })]

    /// Every move is on disk before it is made, refused ones too, and is read back from there.
    #[test]
    fn a_run_read_from_disk_is_made_again_to_the_last_bit((drill, moves) in a_run()) {
        let drill = short(drill);
        let folder = tempfile::tempdir().unwrap();
        let store = Store::at(folder.path());
        let mut kept = store.begin(|run| begun(run, drill), Timestamp::UNIX_EPOCH).unwrap();
        let mut world = begin(drill);
        for what in moves {
            kept.add(Deed::of(&what, &BOOK), Timestamp::UNIX_EPOCH).unwrap();
            let _ = world.make(what);
        }
        let number = kept.record().run;
        kept.end(&world).unwrap();
        drop(kept);

        let read = store.look(number).unwrap();
        let drill = read.drill(&BOOK).unwrap();
        let again = read.replay(&drill, &DIAGNOSIS).unwrap();
        prop_assert_eq!(bits(&again), bits(&world));
        // As text, since what is no number is not even the same as itself.
        let faults = |world: &World<'_>| -> Vec<(usize, String)> {
            let text = |what| ron::to_string(&Deed::of(what, &BOOK)).unwrap();
            world.safety_faults().iter().map(|fault| (fault.after, text(&fault.what))).collect()
        };
        prop_assert_eq!(faults(&again), faults(&world));
        prop_assert_eq!(read.ended, Some(Ended::of(&again)));
    }
}

#[test]
fn moves_that_the_book_no_longer_has_are_left_out() {
    let drill = shipped("short-flat-belt-by-the-manual");
    let mut world = begin(drill);
    make(&mut world, Move::Look(symptom("where")));
    let gone = || "gone-from-the-book".to_owned();
    let mut record = begun(1, drill);
    record.moves = vec![
        stamped(Deed::Look { symptom: gone() }),
        stamped(Deed::Work { fix: gone() }),
        stamped(Deed::Measure { gauge: gone() }),
        stamped(Deed::Name { cause: gone(), certainty: 0.9 }),
        // Nobody counts from nothing; what is too far or no number was refused then and is refused again.
        stamped(Deed::Shift {
            strand: OfStrand::Return,
            station: 0,
            end: OfSide::Left,
            ahead_m: 0.005,
        }),
        stamped(Deed::Screw { side: OfSide::Left, out_m: f64::NAN }),
        stamped(Deed::Wait { turns: u32::MAX }),
        stamped(Deed::Look { symptom: "where".to_owned() }),
    ];
    let again = record.replay(drill, &DIAGNOSIS).unwrap();
    assert_eq!(bits(&again), bits(&world));
}

#[test]
fn the_drill_is_kept_with_the_run_as_it_was_written() {
    for drill in &crate::support::SHIPPED.0 {
        let read = begun(1, drill).drill(&BOOK).unwrap();
        assert_eq!(read.text, drill.text, "{}", drill.id);
        assert_eq!(read.line, drill.line, "{}", drill.id);
    }
}

#[test]
fn a_drill_that_no_longer_reads_is_told_of_with_its_run() {
    let mut record = begun(7, shipped("crooked-splice"));
    record.text = record.text.replace("\"crooked-splice\"", "\"crooked-joint\"");
    let problems = record.drill(&BOOK).unwrap_err();
    let told = problems.0[0].labels[0].place.to_string();
    assert!(told.starts_with("the drill of run 7:"), "{told}");
}

proptest! {
    /// Some lengths would come back a bit off if they were scaled to millimetres in the file: 9 mm, for one.
    #[test]
    fn a_move_comes_back_from_the_file_as_it_was(what in any_move(), mm in 1..=40_u32) {
        let nine = Move::Screw { side: Side::Left, out_m: f64::from(mm) / 1000.0 };
        for what in [what, nine] {
            let text = ron::to_string(&Deed::of(&what, &BOOK)).unwrap();
            let read: Deed = ron::from_str(&text).unwrap();
            // As text, since what is no number is not even the same as itself.
            prop_assert_eq!(format!("{:?}", read.in_book(&BOOK)), format!("{:?}", Some(what)));
        }
    }
}

#[test]
fn who_makes_a_run_again_hears_how_far_it_is_and_may_stop_it() {
    let drill = shipped("short-flat-belt-by-the-manual");
    let mut record = begun(1, drill);
    record.moves = vec![stamped(Deed::LockOut), stamped(Deed::Restore), stamped(Deed::LockOut)];
    let again = |stop_at: usize| {
        let mut heard = Vec::new();
        let mut through = |number: usize| {
            heard.push(number);
            number < stop_at
        };
        let world = record.replay_told(drill, &DIAGNOSIS, &mut through).unwrap();
        (world.steps().len(), heard)
    };
    assert_eq!(again(99), (3, vec![0, 1, 2]));
    assert_eq!(again(1), (1, vec![0, 1]));
}

/// What a look at an arrangement of idlers gave is kept: it must be that of the same arrangement, and no other.
#[test]
fn what_stands_as_before_costs_as_before_and_what_stands_otherwise_does_not() {
    let drill = shipped("short-flat-belt-by-the-manual");
    let shift = |mm: f64| Move::Shift {
        strand: Strand::Carry,
        station: 2,
        end: Side::Left,
        ahead_m: mm / 1000.0,
    };
    let costs = |shifts: &[f64]| -> Vec<(usize, f64)> {
        let mut world = begin(drill);
        make(&mut world, Move::LockOut);
        let after = |mm: &f64| {
            make(&mut world, shift(*mm));
            let best = world.best();
            (best.put_back, best.minutes)
        };
        shifts.iter().map(after).collect()
    };
    let [slight, _, far, _, slight_again, _, far_again] =
        costs(&[1.5, -1.5, 28.0, -28.0, 1.5, -1.5, 28.0])[..]
    else {
        panic!("seven moves");
    };
    assert_eq!((slight, far), (slight_again, far_again), "{slight:?} {far:?}");
    assert_eq!(costs(&[28.0]), [far]);
    // One does no harm, the other has to go back.
    assert_eq!((slight.0, far.0), (0, 1));
}
