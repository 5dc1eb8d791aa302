//! What a run was worth: minutes against the expert's, safety, causes, certainty, and what is left on the belt.

use super::belt::Belt;
use super::best::Best;
use super::moves::Done;
use super::plant;
use super::world::World;
use crate::gauge::bearing_life::life_left;
use crate::mechanics::Size;
use crate::proof::score::{Brier, brier};
use crate::rulebook::index::{CauseAt, FixAt, SymptomAt};
use crate::trade::{MachineState, RollingElement};

/// A step that cost less than this against the best is not spoken of, minutes.
const SPOKEN_OF: f64 = 0.5;

/// The score of a run.
#[derive(Debug, Clone)]
pub struct Score {
    /// Minutes of the run.
    pub minutes: f64,
    /// Those of them spent on looking and measuring.
    pub minutes_looking: f64,
    /// What an expert would have done.
    pub expert: Expert,
    /// What the quickest repair would have taken for somebody who knew all from the start, minutes.
    pub best_minutes: f64,
    /// Moves that cost more than the best from where they were made: their number and how much, dearest first.
    pub regrets: Vec<(usize, f64)>,
    /// How often a hand was where the belt was moving.
    pub safety_faults: usize,
    /// Each hidden cause.
    pub causes: Vec<Found>,
    /// Causes named that were not there, with the certainty stated.
    pub wrongly_named: Vec<(CauseAt, f64)>,
    /// What was said, and whether it was so: each hidden cause with the certainty stated for it, 0 if it was never
    /// named, and each cause that was named in vain.
    pub stated: Vec<(f64, bool)>,
    /// How good the certainties were; nothing if there was nothing to be certain of.
    pub brier: Option<Brier>,
    /// Whether the belt runs true in the end.
    pub runs_true: bool,
    /// Whether everything hidden is put right.
    pub all_cured: bool,
    /// What is left on the belt.
    pub left: Left,
}

/// What an expert would have done here.
#[derive(Debug, Clone)]
pub struct Expert {
    /// What he would have looked at and measured, in order.
    pub looks: Vec<SymptomAt>,
    /// What he would have done, in order.
    pub fixes: Vec<FixAt>,
    /// What all of it takes, minutes.
    pub minutes: f64,
}

/// A hidden cause, and how far it was found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Found {
    /// The cause.
    pub cause: CauseAt,
    /// How certain the learner was of it, if it was named, 0..1.
    pub certainty: Option<f64>,
    /// Whether it is put right.
    pub put_right: bool,
}

/// What the belt and the tail bearings are left with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Left {
    /// How far the belt is off, in words.
    pub off: Size,
    /// The same against the edge room; for comparing, not for showing.
    pub off_share: f64,
    /// What each tail bearing carries with everything in order, N.
    pub in_order_n: f64,
    /// The left and the right tail bearing.
    pub bearings: [Bearing; 2],
    /// The pull in the return strand, N.
    pub pull_n: f64,
    /// The pull that is needed, N.
    pub needed_n: f64,
}

/// A bearing against what it carries with everything in order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bearing {
    /// Its load, N.
    pub load_n: f64,
    /// Its load as a multiple of that with everything in order.
    pub load_ratio: f64,
    /// Its fatigue life as a multiple of that with everything in order.
    pub life_factor: f64,
}

/// The score of a run as far as it has gone.
pub fn score(world: &World<'_>) -> Score {
    let hidden = world.hidden_causes();
    let certainty = |cause: CauseAt| {
        let named = world.named().iter().find(|(known, _)| *known == cause);
        named.map(|(_, certainty)| *certainty)
    };
    let wrongly_named: Vec<(CauseAt, f64)> =
        world.named().iter().filter(|(cause, _)| !hidden.contains(cause)).copied().collect();
    // Not to have named a cause is to have said that it is not there.
    let stated: Vec<(f64, bool)> = hidden
        .iter()
        .map(|cause| (certainty(*cause).unwrap_or(0.0), true))
        .chain(wrongly_named.iter().map(|(_, certainty)| (*certainty, false)))
        .collect();
    let mut regrets: Vec<(usize, f64)> = world
        .steps()
        .iter()
        .enumerate()
        .map(|(nth, step)| (nth, step.regret))
        .filter(|(_, regret)| *regret > SPOKEN_OF)
        .collect();
    regrets.sort_by(|a, b| b.1.total_cmp(&a.1));
    let best = world.best_at_start();
    Score {
        minutes: world.minutes(),
        minutes_looking: world
            .steps()
            .iter()
            .filter(|step| matches!(step.done, Done::Looked(_) | Done::Measured(_)))
            .map(|step| step.minutes)
            .sum(),
        expert: expert(world, best),
        best_minutes: best.minutes,
        regrets,
        safety_faults: world.safety_faults().len(),
        causes: hidden
            .iter()
            .zip(world.put_right())
            .map(|(cause, put_right)| Found {
                cause: *cause,
                certainty: certainty(*cause),
                put_right: *put_right,
            })
            .collect(),
        wrongly_named,
        brier: brier(&stated),
        stated,
        runs_true: world.runs_true(),
        all_cured: world.put_right().iter().all(|right| *right),
        left: left(world),
    }
}

/// The opening questions, what the drill says an expert looks at, then the best work.
fn expert(world: &World<'_>, best: &Best) -> Expert {
    let book = world.book();
    let asked = |symptom: &SymptomAt| world.answers_at_start()[*symptom].is_some();
    let opening = book.opening.iter().copied();
    let mut looks: Vec<SymptomAt> = opening.filter(asked).collect();
    for symptom in &world.drill().expert {
        if !looks.contains(symptom) {
            looks.push(*symptom);
        }
    }
    let looking: f64 = world.ways().round(&looks).iter().map(|(_, minutes)| minutes).sum();
    // What is looked at on a dead machine is looked at in the same isolation as the work, if that needs one.
    let locked = |state: MachineState| state == MachineState::LockedOut;
    let looks_locked = looks.iter().any(|symptom| locked(book.symptoms[*symptom].state));
    let works_locked = best.fixes.iter().any(|fix| locked(book.fixes[*fix].state()));
    let isolation = if looks_locked && !works_locked {
        book.minutes.lock_out + book.minutes.restart_and_watch
    } else {
        0.0
    };
    Expert { minutes: looking + isolation + best.minutes, looks, fixes: best.fixes.clone() }
}

fn left(world: &World<'_>) -> Left {
    let line = &world.drill().line;
    let belt = world.belt();
    let rolling = world.drill().conveyor.facts().bearings().unwrap_or(RollingElement::Roller);
    let (left_n, right_n) = world.bearings_n();
    // With everything in order both carry the same.
    let in_order = Belt::begin(line, &[]);
    debug_assert!(in_order.is_ok(), "a conveyor of a drill is one that the model can run");
    let in_order_n = in_order
        .map_or(line.ret.tension_n, |belt| 0.5 * (belt.loads().left_n + belt.loads().right_n));
    let bearing = |load_n: f64| {
        // A side that hangs slack carries nothing; the life formula has no end there.
        let load_n = load_n.max(0.01 * in_order_n);
        Bearing {
            load_n,
            load_ratio: load_n / in_order_n,
            life_factor: life_left(load_n / in_order_n, rolling),
        }
    };
    Left {
        off: Size::of(belt.worst_m(), line.edge_room_m()),
        off_share: belt.worst_share(line),
        in_order_n,
        bearings: [bearing(left_n), bearing(right_n)],
        pull_n: belt.pull_n().1,
        needed_n: plant::needed_n(line),
    }
}
