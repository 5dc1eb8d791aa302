//! Nobody's hand near a moving belt: what needs a dead machine is refused while it runs, and that it was tried is kept.

use straybelt::drill::{Drill, Move, Refused};
use straybelt::rulebook::index::FixAt;
use straybelt::trade::MachineState;
use straybelt::trade::Side;
use straybelt::trade::TakeUp;

use crate::support::{BOOK, SHIPPED, Standing, begin, make, shift_return, symptom};

/// Everything on this conveyor that is done on a dead machine only: each look, each fix, an idler end, a screw.
fn for_a_dead_machine(drill: &Drill) -> Vec<Move> {
    let looks = BOOK.symptoms.iter().filter(|(_, s)| s.state == MachineState::LockedOut);
    let fixes = BOOK.fixes.iter().filter(|(_, f)| f.state() == MachineState::LockedOut);
    let screw = Move::Screw { side: Side::Right, out_m: 0.002 };
    let has_screws = drill.conveyor.facts().take_up() == Some(TakeUp::Screw);
    looks
        .map(|(at, _)| Move::Look(at))
        .chain(fixes.map(|(at, _)| Move::Work(at)))
        .chain([shift_return(0, Side::Left, 0.003)])
        .chain(has_screws.then_some(screw))
        .collect()
}

#[test]
fn a_hand_near_a_moving_belt_is_refused_and_kept_in_mind() {
    for drill in &SHIPPED.0 {
        let mut world = begin(drill);
        make(&mut world, Move::Look(symptom("where")));
        let before = Standing::of(&world);
        let tried = for_a_dead_machine(drill);
        for what in &tried {
            assert_eq!(world.make(*what).err(), Some(Refused::Moving), "{what:?}");
        }
        assert_eq!(Standing::of(&world), before, "{}", drill.id);
        let faults = world.safety_faults();
        assert_eq!(faults.iter().map(|f| f.what).collect::<Vec<_>>(), tried);
        assert!(faults.iter().all(|fault| fault.after == 1), "after the first move");
    }
}

#[test]
fn on_a_dead_machine_the_same_is_no_fault() {
    let drill = crate::support::shipped("screws-set-unequally");
    let mut world = begin(drill);
    make(&mut world, Move::LockOut);
    let offered = world.offered();
    for what in for_a_dead_machine(drill) {
        let here = match &what {
            Move::Work(at) => offered[*at],
            _ => true,
        };
        let refused = world.make(what).err();
        assert_eq!(refused, (!here).then_some(Refused::NotHere), "{what:?}");
    }
    assert_eq!(world.safety_faults(), &[]);
}

#[test]
fn a_belt_that_stands_shows_nothing_of_how_it_runs() {
    let mut world = begin(crate::support::shipped("cleaner-askew"));
    make(&mut world, Move::LockOut);
    let before = Standing::of(&world);
    for what in [Move::Look(symptom("where")), Move::Wait(3), Move::Declare] {
        assert_eq!(world.make(what).err(), Some(Refused::Standing));
    }
    assert_eq!(world.make(Move::LockOut).err(), Some(Refused::LockedAlready));
    assert_eq!(Standing::of(&world), before);
    assert_eq!(world.safety_faults(), &[]);
}

#[test]
fn no_fix_on_a_running_belt_asks_for_a_hand() {
    // A fix in this state may only be to wait, to load or to observe (our own rule for the book).
    let running: Vec<FixAt> = BOOK
        .fixes
        .iter()
        .filter(|(_, f)| f.state() == MachineState::Running)
        .map(|(at, _)| at)
        .collect();
    for drill in &SHIPPED.0 {
        for hidden in &drill.hidden {
            for at in hidden.yields_to.iter().filter(|at| running.contains(at)) {
                assert!(BOOK.fixes[*at].id.starts_with("wait"), "{}", BOOK.fixes[*at].id);
            }
        }
    }
}
