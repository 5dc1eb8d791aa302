//! How the rule book does where the belt answers from the model and not from the book: conveyors drawn with hidden
//! causes, each put right by straybelt's own questions and plan, without looking.

use super::account::Split;
use super::eyes::Eyes;
use super::follow;
use super::measures::{Measures, Spread};
use super::model::Drill;
use super::moves::Move;
use super::others::{self, Other, Others};
use super::told::told;
use super::trial_run::{Judged, Run};
use super::ways::{self, Said, Spoken, Verdict};
use super::world::World;
use super::{draw, noise, score};
use crate::proof::policy::Calibration;
use crate::proof::score::{Mean, Share};
use crate::proof::workers;
use crate::rulebook::index::{CauseAt, FixAt};
use crate::rulebook::model::Book;
use crate::visit::{ConveyorFacts, Diagnosis, Finding};

/// What the plan's words say of sides for a fix at this point of a visit.
pub type Words<'w> = &'w (dyn Fn(&Book, &ConveyorFacts, &Finding, FixAt) -> Spoken + Sync);

/// What is to be tried.
#[derive(Clone, Copy)]
pub struct Setting<'s> {
    /// How many conveyors.
    pub runs: usize,
    /// The same seed draws the same conveyors.
    pub seed: u64,
    /// How well the people see.
    pub eyes: Eyes,
    /// The share of conveyors whose trouble is none of the book's causes, 0..1.
    pub other: f64,
    /// The words of the plan.
    pub words: Words<'s>,
}

/// What came of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// Conveyors drawn.
    pub runs: usize,
    /// Conveyors that could not be drawn.
    pub not_drawn: usize,
    /// Those of them whose trouble is none of the book's causes. They count in no other figure.
    pub others: Others,
    /// A hidden cause led.
    pub right_first: Share,
    /// A hidden cause was among the first three.
    pub right_in_three: Share,
    /// The belt ran true in the end.
    pub solved: Share,
    /// Everything hidden was put right.
    pub all_cured: Share,
    /// How often the plan's words named a side of something that was out of order.
    pub sides_named: usize,
    /// Those of them that were wrong.
    pub wrong_ways: Vec<WrongWay>,
    /// Questions to the finding.
    pub questions: Mean,
    /// Minutes to the finding.
    pub minutes_asking: Mean,
    /// Minutes until the belt ran true; what did not counts [`NOT_TRUE`](super::trial_run::NOT_TRUE) times the clairvoyant's minutes besides.
    pub minutes: Spread,
    /// What an expert would have taken.
    pub expert_minutes: Spread,
    /// What the runs took besides, and against somebody who knew all.
    pub measures: Measures,
    /// How the chance stated for the leading cause came true.
    pub leading: Calibration,
    /// How the chances stated for all causes came true.
    pub all: Calibration,
    /// Each cause that was drawn, the one that was least often right first.
    pub causes: Vec<OfCause>,
}

/// A side that was named wrongly.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WrongWay {
    /// The seed of the drill: `drawn-SEED`.
    pub seed: u32,
    /// The fix.
    pub fix: FixAt,
    /// What it says.
    pub said: Said,
}

/// How the runs went in which one cause was hidden.
#[derive(Debug, Clone, PartialEq)]
pub struct OfCause {
    /// The cause.
    pub cause: CauseAt,
    /// In so many runs; each share is of these.
    pub drawn: usize,
    /// A hidden cause led: this one, or one hidden with it.
    pub right_first: Share,
    /// This one was among the first three.
    pub in_three: Share,
    /// The belt ran true in the end.
    pub solved: Share,
    /// What led most often when nothing that was hidden led, and how often.
    pub said_instead: Option<(CauseAt, usize)>,
    /// The seed of a run in which nothing hidden led, to look into.
    pub missed: Option<u32>,
}

/// Draws the conveyors and puts them right. `progress` is told how many are through.
pub fn trial(book: &Book, setting: &Setting<'_>, progress: &mut dyn FnMut(usize)) -> Report {
    let ran: Vec<Ran> = workers::share_out(
        setting.runs,
        || Diagnosis::new(book),
        |diagnosis, number| {
            let seed = seed_of(setting.seed, number);
            if is_other(setting, number) {
                return others::run(diagnosis, seed).map_or(Ran::NotDrawn, Ran::Other);
            }
            let drill = draw::fresh(diagnosis, seed).ok();
            let run = drill.and_then(|drill| run(diagnosis, &drill, seed, setting));
            run.map_or(Ran::NotDrawn, |run| Ran::Hidden(Box::new(run)))
        },
        progress,
    );
    let (mut runs, mut others, mut not_drawn) = (Vec::new(), Vec::new(), 0);
    for ran in ran {
        match ran {
            Ran::Hidden(run) => runs.push(*run),
            Ran::Other(other) => others.push(other),
            Ran::NotDrawn => not_drawn += 1,
        }
    }
    report(book, &runs, Others::of(&others), not_drawn)
}

/// What came of one conveyor.
enum Ran {
    /// Causes of the book were hidden.
    Hidden(Box<Run>),
    /// None of them was.
    Other(Other),
    /// Nothing could be drawn.
    NotDrawn,
}

/// Whether the trouble of this conveyor is none of the book's causes.
fn is_other(setting: &Setting<'_>, number: usize) -> bool {
    setting.other > 0.0
        && noise::rng(setting.seed, &format!("other {number}")).f64() < setting.other
}

/// The seed of one of the conveyors.
pub(super) fn seed_of(seed: u64, number: usize) -> u32 {
    noise::rng(seed, &format!("conveyor {number}")).u32(..)
}

pub(super) fn run(
    diagnosis: &Diagnosis<'_>,
    drill: &Drill,
    seed: u32,
    setting: &Setting<'_>,
) -> Option<Run> {
    let book = ConveyorFacts::from(&drill.conveyor).book(diagnosis.book());
    let diagnosis = &Diagnosis::new(&book);
    let mut world = World::begin(drill, diagnosis)?.seen_with(setting.eyes);
    let followed = follow::follow(diagnosis, &mut world);
    Some(Run {
        seed,
        hidden: world.hidden_causes(),
        all_cured: world.put_right().iter().all(|right| *right),
        minutes: world.minutes(),
        split: Split::of(&world),
        expert_minutes: score::score(&world).expert.minutes,
        clairvoyant_minutes: world.best_at_start().minutes,
        judged: judged(diagnosis, &world, setting.words)?,
        followed,
    })
}

/// Goes through a finished run again, and judges each piece of work on the conveyor as it was before it; nothing if
/// the run cannot be made again.
pub fn judged(diagnosis: &Diagnosis<'_>, done: &World<'_>, words: Words<'_>) -> Option<Judged> {
    let mut world = World::begin(done.drill(), diagnosis)?.seen_with(done.eyes());
    let mut judged = Judged::default();
    for step in done.steps() {
        if let Move::Work(fix) = step.what {
            let applicable = diagnosis.applicability(&world.facts().facts, &told(&world));
            let spoken = words(world.book(), world.facts(), &applicable, fix);
            judged.steering += spoken.steering;
            judged.sided += spoken.sided;
            let sides = spoken.said.into_iter().map(|said| (fix, said, ways::judge(&world, said)));
            judged.sides.extend(sides);
        }
        world.make(step.what).ok()?;
    }
    Some(judged)
}

fn report(book: &Book, runs: &[Run], others: Others, not_drawn: usize) -> Report {
    let share = |holds: &dyn Fn(&Run) -> bool| {
        Share::new(runs.iter().filter(|run| holds(run)).count(), runs.len())
    };
    let all: Vec<&Run> = runs.iter().collect();
    let stated: Vec<Vec<(f64, bool)>> = runs.iter().map(Run::stated).collect();
    let leading: Vec<(f64, bool)> = stated.iter().filter_map(|of| of.first().copied()).collect();
    let of_all: Vec<(f64, bool)> = stated.concat();
    let judged =
        runs.iter().flat_map(|run| run.judged.sides.iter().map(|judged| (run.seed, *judged)));
    let named: Vec<(u32, (FixAt, Said, Verdict))> =
        judged.filter(|(_, (_, _, verdict))| *verdict != Verdict::NothingThere).collect();
    Report {
        runs: runs.len(),
        not_drawn,
        others,
        right_first: share(&Run::right_first),
        right_in_three: share(&Run::right_in_three),
        solved: share(&|run| run.followed.runs_true),
        all_cured: share(&|run| run.all_cured),
        sides_named: named.len(),
        wrong_ways: named
            .iter()
            .filter(|(_, (_, _, verdict))| *verdict == Verdict::Wrong)
            .map(|(seed, (fix, said, _))| WrongWay { seed: *seed, fix: *fix, said: *said })
            .collect(),
        questions: Mean::new(runs.iter().map(|run| run.followed.looked.things as f64)),
        minutes_asking: Mean::new(runs.iter().map(|run| run.followed.minutes_asking)),
        minutes: Spread::over(&all, &Run::minutes_to_true),
        expert_minutes: Spread::over(&all, &|run| run.expert_minutes),
        measures: Measures::of(runs),
        leading: Calibration::from_pairs(&leading),
        all: Calibration::from_pairs(&of_all),
        causes: by_cause(book, runs),
    }
}

fn by_cause(book: &Book, runs: &[Run]) -> Vec<OfCause> {
    let of = |cause: CauseAt| {
        let with: Vec<&Run> = runs.iter().filter(|run| run.hidden.contains(&cause)).collect();
        let share = |holds: &dyn Fn(&Run) -> bool| {
            Share::new(with.iter().filter(|run| holds(run)).count(), with.len())
        };
        let missed = || with.iter().filter(|run| !run.right_first());
        let led = |rival: CauseAt| missed().filter(|run| run.leads() == Some(rival)).count();
        OfCause {
            cause,
            drawn: with.len(),
            right_first: share(&Run::right_first),
            in_three: share(&|run| run.in_three(cause)),
            solved: share(&|run| run.followed.runs_true),
            said_instead: book
                .causes
                .places()
                .map(|rival| (rival, led(rival)))
                .filter(|(_, times)| *times > 0)
                // Of those that led as often, the first in the book.
                .rev()
                .max_by_key(|(_, times)| *times),
            missed: missed().next().map(|run| run.seed),
        }
    };
    let mut causes: Vec<OfCause> = book.causes.places().map(of).filter(|of| of.drawn > 0).collect();
    causes.sort_by(|a, b| {
        let (a_right, b_right) = (a.right_first.value(), b.right_first.value());
        a_right.total_cmp(&b_right).then(b.drawn.cmp(&a.drawn))
    });
    causes
}
