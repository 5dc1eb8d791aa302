//! Following straybelt's own questions and plan solves each shipped drill, in little more time than an expert needs.

use std::fmt::Write as _;

use straybelt::drill::{Done, Move, World, follow, score};

use crate::support::{BOOK, DIAGNOSIS, SHIPPED, begin};

/// So many times the minutes of the best way, at most. Our own demand; no source.
const MOST: f64 = 1.5;
/// The same where work comes before the look that would have parted two causes: once a cause is at 85 % it is worked
/// on, and the frame behind old trims, or the trims behind the tension, is looked for after that.
const MOST_BEHIND_ANOTHER: f64 = 1.6;
/// Drills that hide one cause behind another.
const BEHIND_ANOTHER: [&str; 1] = ["tight-and-tighter"];
/// The same where the field's cure comes first: idlers are set to the true line, four hours, before anybody straightens
/// steel, and the steel of this drill is bent by more than that makes up.
const MOST_BEHIND_THE_FIELDS_CURE: f64 = 2.1;
/// The drill of a bent frame behind old trims.
const BENT_BEHIND_TRIMS: &str = "bent-frame-trimmed-for-years";

/// What was done, a line each, for whoever has to see why it took so long.
fn listing(world: &World<'_>) -> String {
    let mut lines = String::new();
    for step in world.steps() {
        let line = match (&step.what, &step.done) {
            (Move::Look(at), Done::Looked(Some(answer))) => {
                let symptom = &BOOK.symptoms[*at];
                format!("{} {}", symptom.id, symptom.answers[*answer].id)
            }
            (Move::Work(at), _) => format!("{} off {:.2}", BOOK.fixes[*at].id, step.off_share),
            (what, _) => format!("{what:?} off {:.2}", step.off_share),
        };
        writeln!(lines, "  {:5.1} min {line}", step.minutes).expect("a line");
    }
    lines
}

#[test]
fn straybelts_own_way_solves_every_shipped_drill() {
    let mut slow = String::new();
    for drill in &SHIPPED.0 {
        let mut world = begin(drill);
        let followed = follow::follow(&DIAGNOSIS, &mut world);
        let expert = score::score(&world).expert.minutes;
        let id = &drill.id;
        assert_eq!(world.over(), Some((true, true)), "{id}\n{}", listing(&world));
        assert!(followed.runs_true, "{id}");
        assert_eq!(world.safety_faults(), &[], "{id}");
        let most = match id.as_str() {
            BENT_BEHIND_TRIMS => MOST_BEHIND_THE_FIELDS_CURE,
            id if BEHIND_ANOTHER.contains(&id) => MOST_BEHIND_ANOTHER,
            _ => MOST,
        };
        if world.minutes() > most * expert {
            let minutes = world.minutes();
            writeln!(slow, "{id}: {minutes} against {expert}\n{}", listing(&world))
                .expect("a line");
        }
    }
    assert!(slow.is_empty(), "{slow}");
}

#[test]
fn the_experts_work_cures_every_shipped_drill() {
    for drill in &SHIPPED.0 {
        let mut world = begin(drill);
        let best = world.best().fixes;
        let running = |at: &_| BOOK.fixes[*at].state() == straybelt::trade::MachineState::Running;
        if !best.iter().all(running) {
            world.make(Move::LockOut).expect("it runs");
        }
        for at in best {
            world.make(Move::Work(at)).unwrap_or_else(|refused| panic!("{}: {refused}", drill.id));
        }
        if world.machine() == straybelt::visit::Machine::LockedOut {
            world.make(Move::Restore).expect("it stands");
        }
        world.make(Move::Declare).expect("it runs");
        assert_eq!(world.over(), Some((true, true)), "{}", drill.id);
        // Whoever knows all from the start does it in the minutes of the best way, without regret.
        let best = world.best_at_start().minutes;
        assert!((world.minutes() - best).abs() < 1e-6, "{}: {} {best}", drill.id, world.minutes());
    }
}

#[test]
fn every_look_of_an_expert_can_be_made_on_its_conveyor() {
    for drill in &SHIPPED.0 {
        let world = begin(drill);
        for at in &drill.expert {
            assert!(world.answers()[*at].is_some(), "{}: {}", drill.id, BOOK.symptoms[*at].id);
        }
        assert!(drill.expert.len() >= 2, "{}", drill.id);
    }
}
