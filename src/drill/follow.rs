//! A run made by straybelt itself: its own questions, its own plan, nothing known of what is hidden.

use super::account;
use super::job;
use super::moves::Move;
use super::told::told;
use super::world::World;
use crate::rulebook::index::{CauseAt, SymptomAt};
use crate::visit::{Depth, Diagnosis, Finding, Machine, Stop, asked_anew, asking, told_in_one_go};

/// After so many batches of work, or looks taken because nothing was clear, a person would have called somebody.
const MOST_BATCHES: usize = 40;

/// What came of it.
#[derive(Debug, Clone)]
pub struct Followed {
    /// The causes as they stood when asking ended, with the chance stated for each.
    pub ranked: Vec<(CauseAt, f64)>,
    /// What was looked at until then.
    pub looked: Looked,
    /// Minutes to the finding: until the first job is taken in hand, its isolation and its check not counted.
    pub minutes_asking: f64,
    /// Whether the first job taken in hand was the leading cause's own fix, or one that this must stand behind;
    /// nothing where nothing was. See [`begins_with_the_leader`](super::account::begins_with_the_leader).
    pub led_first: Option<bool>,
    /// Whether the belt ran true in the end.
    pub runs_true: bool,
}

/// How much was looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Looked {
    /// Looks, each a page of its own.
    pub pages: usize,
    /// Things put in them.
    pub things: usize,
}

/// Runs a drill by straybelt's own questions and plan; the steps are in the world.
pub fn follow(diagnosis: &Diagnosis<'_>, world: &mut World<'_>) -> Followed {
    let looked = look(diagnosis, world);
    let minutes_asking = world.minutes();
    let finding = diagnosis.finding_to(&world.facts().facts, &told(world), Depth::Ranking);
    let leader = finding.ranked.first().map(|ranked| ranked.cause);
    let ranked = finding.ranked.iter().map(|ranked| (ranked.cause, ranked.was_present)).collect();
    let mut led_first = None;
    for _ in 0..MOST_BATCHES {
        let begun = job::batch(diagnosis, world);
        if let (None, Some((plan, first)), Some(leader)) = (led_first, &begun, leader) {
            let book = diagnosis.book();
            led_first = Some(account::begins_with_the_leader(book, plan, *first, leader));
        }
        // What the belt does now is looked at; where nothing is planned and nothing parts what is left, that is all.
        if world.runs_true() {
            break;
        }
        if look(diagnosis, world).things == 0 && begun.is_none() && !part(diagnosis, world) {
            break;
        }
    }
    world.bring(Machine::Running);
    let runs_true = world.runs_true();
    let _ = world.make(Move::Declare);
    Followed { ranked, looked, minutes_asking, led_first, runs_true }
}

/// Looks until straybelt goes on to the plan: how many looks, and how many things in all.
fn look(diagnosis: &Diagnosis<'_>, world: &mut World<'_>) -> Looked {
    let mut looked = Looked::default();
    loop {
        let mut open = next(diagnosis, &applicability(diagnosis, world));
        let before = looked.things;
        while !open.is_empty() {
            // What an earlier answer of the same look has closed, or made idle, is left out.
            open = diagnosis.left_to_take_in(&applicability(diagnosis, world), &open);
            let things = told_in_one_go(world.book(), &open);
            for &symptom in &things {
                let (_, machine) = asking(world.book(), symptom, world.machine());
                world.bring(machine);
                if world.make(Move::Look(symptom)).is_err() {
                    return looked;
                }
                looked.things += 1;
            }
            open.retain(|symptom| !things.contains(symptom));
        }
        if looked.things == before {
            return looked;
        }
        looked.pages += 1;
    }
}

fn applicability(diagnosis: &Diagnosis<'_>, world: &World<'_>) -> Finding {
    diagnosis.applicability(&world.facts().facts, &told(world))
}

/// While the picture is not clear, takes the look that the page of an unclear picture names first, the machine locked
/// out for it where it has to be; no if there is none that can be told.
fn part(diagnosis: &Diagnosis<'_>, world: &mut World<'_>) -> bool {
    let finding = diagnosis.finding_to(&world.facts().facts, &told(world), Depth::Ranking);
    let Some(unclear) = diagnosis.unclear(&finding) else { return false };
    let Some(first) = unclear.parting.iter().find(|look| !look.could_not_tell) else {
        return false;
    };
    let (_, machine) = asking(world.book(), first.symptom, world.machine());
    world.bring(machine);
    world.make(Move::Look(first.symptom)).is_ok()
}

/// What straybelt would look at now, standing at one place; nothing when it goes on to the plan.
pub fn next(diagnosis: &Diagnosis<'_>, applicable: &Finding) -> Vec<SymptomAt> {
    let book = diagnosis.book();
    if !applicable.causes_apply.values().any(|applies| *applies) {
        return Vec::new();
    }
    let anew: Vec<SymptomAt> = asked_anew(book, applicable).collect();
    if !anew.is_empty() {
        return anew;
    }
    match diagnosis.stop(applicable) {
        Stop::LookOn(look) => look.items,
        _ => Vec::new(),
    }
}
