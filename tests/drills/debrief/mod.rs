//! What is shown after a run: a good one, a bad one, one that is not finished, and a class.
//!
//! The drill stands beside this file, so that the pages do not move with every shipped drill. Each snapshot was
//! read by eye.

mod browser;
mod figures;
mod pages;
pub(crate) mod replay;

use std::sync::LazyLock;

use jiff::Timestamp;
use straybelt::drill::follow::follow;
use straybelt::drill::record::{Begun, Deed, Ended, Record, RunState, Stamped};
use straybelt::drill::{Drill, Move, World};
use straybelt::gauge;
use straybelt::rulebook::index::CauseAt;
use straybelt::show::drill::debrief::Debrief;
use straybelt::trade::{Side, Strand};
use straybelt::visit::store::BookMark;

use crate::support::{BOOK, DIAGNOSIS, fix, read_text, symptom};

static DRILL: LazyLock<Drill> = LazyLock::new(|| {
    let (mut drills, problems) = read_text(&format!("[{}]", include_str!("drill.ron")));
    drills
        .pop()
        .unwrap_or_else(|| panic!("{:#?}", problems.iter().map(|p| &p.message).collect::<Vec<_>>()))
});

pub(crate) fn cause(id: &str) -> CauseAt {
    BOOK.causes.iter().find(|(_, cause)| cause.id == id).unwrap().0
}

/// A run in which these moves were tried, as it would be kept.
pub(crate) fn record(run: u32, who: Option<&str>, moves: &[Move]) -> Record {
    let now: Timestamp = "2031-05-06T07:08:09Z".parse().unwrap();
    let begun =
        Begun { drill: &DRILL, who: who.map(str::to_owned), book: BookMark::new(&BOOK), now };
    let mut record = Record::begun(run, begun);
    record.moves =
        moves.iter().map(|what| Stamped { at: now, what: Deed::of(what, &BOOK) }).collect();
    if moves.last() == Some(&Move::Declare) {
        record.state = RunState::Over;
        record.ended = Some(Ended::of(&world(&record)));
    }
    record
}

pub(crate) fn world(record: &Record) -> World<'static> {
    record.replay(&DRILL, &DIAGNOSIS).unwrap()
}

/// By straybelt's own questions and plan; the finding is named before it is declared.
pub(crate) fn good() -> Record {
    let mut world = World::begin(&DRILL, &DIAGNOSIS).unwrap();
    let followed = follow(&DIAGNOSIS, &mut world);
    let (first, chance) = followed.ranked[0];
    let mut moves: Vec<Move> = world.steps().iter().map(|step| step.what).collect();
    moves.insert(followed.looked.things, Move::Name(first, chance));
    record(1, Some("Mara"), &moves)
}

/// A hand at the running belt, a look that nobody needs, steering with the screw, the wrong cause named.
pub(crate) fn bad() -> Record {
    let screw = Move::Screw { side: Side::Left, out_m: 0.006 };
    let moves = [
        Move::Look(symptom("first-split")),
        screw,
        Move::Work(fix("square-idler")),
        Move::Measure(gauge::named("splice").unwrap()),
        Move::LockOut,
        screw,
        Move::Work(fix("clean-idler-rolls")),
        Move::Restore,
        Move::Wait(20),
        Move::Name(cause("crooked-splice"), 0.9),
        Move::Declare,
    ];
    record(2, None, &moves)
}

/// The roll left as it is, and its neighbours set against it.
pub(crate) fn steered() -> Record {
    let against = |station| Move::Shift {
        strand: Strand::Return,
        station,
        end: Side::Right,
        ahead_m: -0.007,
    };
    let moves = [
        Move::Look(symptom("first-split")),
        Move::Look(symptom("first-split")),
        Move::LockOut,
        against(4),
        against(6),
        Move::Restore,
        Move::Name(cause("idler-out-of-square"), 0.4),
        Move::Declare,
    ];
    record(4, Some("Tomas"), &moves)
}

/// One that goes on.
pub(crate) fn unfinished() -> Record {
    let look = Move::Look(symptom("first-split"));
    record(3, Some("Ilse <b>&"), &[look, Move::Work(fix("square-idler")), Move::LockOut])
}

/// Hands the debriefs of some runs on.
pub(crate) fn with<T>(records: &[Record], then: impl FnOnce(&[Debrief<'_, '_>]) -> T) -> T {
    let worlds: Vec<World<'_>> = records.iter().map(world).collect();
    let runs: Vec<Debrief<'_, '_>> =
        records.iter().zip(&worlds).map(|(record, world)| Debrief::new(record, world)).collect();
    then(&runs)
}
