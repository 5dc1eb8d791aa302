//! Circles through checks: what waits for an answer that is given only by a check of what waits.

use std::collections::BTreeSet;

use crate::problem::Code;
use crate::rulebook::index::{FixAt, List, Place, SymptomAt};
use crate::rulebook::model::{About, Book, Condition, LooksAt};
use crate::rulebook::rules::Rules;
use crate::source::Span;
use crate::trade::MachineState;

use super::Diagnostics;
use super::order::tell;

/// What may wait.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Waiting {
    Symptom(SymptomAt),
    Fix(FixAt),
}

pub(super) fn circles(book: &Book, rules: &Rules, diagnostics: &mut Diagnostics) {
    for at in book.fixes.places() {
        late_checks(at, book, rules, diagnostics);
    }
    let reached = Reached::of(book);
    let mut told: BTreeSet<Waiting> = BTreeSet::new();
    for at in book.fixes.places().filter(|at| !reached.fixes[*at]) {
        let circle = reached.circle(book, at);
        let known = circle.iter().any(|waiting| told.contains(waiting));
        told.extend(&circle);
        // Symptoms that open each other are told by themselves.
        if !known && circle.iter().any(|waiting| matches!(waiting, Waiting::Fix(_))) {
            tell_circle(&circle, book, rules, diagnostics);
        }
    }
}

/// The symptoms whose answers must be known first.
fn waits_for(only_if: &[Condition]) -> impl Iterator<Item = SymptomAt> + '_ {
    only_if.iter().filter_map(|condition| match &condition.about {
        About::Answer { symptom, .. } => Some(*symptom),
        About::Conveyor { .. } => None,
    })
}

/// The places of the checks with which a fix looks at a symptom.
fn looks_at(book: &Book, fix: FixAt, symptom: SymptomAt) -> impl Iterator<Item = usize> + '_ {
    let checks = book.fixes[fix].begins_with.iter().enumerate();
    checks
        .filter(move |(_, check)| {
            matches!(&check.looks_at, LooksAt::Symptom { at, .. } if *at == symptom)
        })
        .map(|(place, _)| place)
}

/// The fixes by whose checks alone a symptom is looked at; none where it is asked before any work.
fn only_checked_by(book: &Book, symptom: SymptomAt) -> Vec<FixAt> {
    if book.symptoms[symptom].state != MachineState::LockedOut {
        return Vec::new();
    }
    let fixes = book.fixes.places();
    fixes.filter(|&fix| looks_at(book, fix, symptom).next().is_some()).collect()
}

/// A check that waits for an answer that only a later check of the same fix gives.
fn late_checks(at: FixAt, book: &Book, rules: &Rules, diagnostics: &mut Diagnostics) {
    let Some(written) = rules.fixes.get(at.position()) else { return };
    for (place, check) in book.fixes[at].begins_with.iter().enumerate() {
        let LooksAt::Symptom { at: symptom, .. } = &check.looks_at else { continue };
        let late = waits_for(&book.symptoms[*symptom].only_if).find(|&parent| {
            only_checked_by(book, parent) == [at]
                && looks_at(book, at, parent).all(|later| later > place)
        });
        let Some(parent) = late else { continue };
        let (symptom, parent) = (&book.symptoms[*symptom].id, &book.symptoms[parent].id);
        let spans = |id: &str| {
            let named = written.begins_with.iter().filter_map(|check| check.symptom.as_ref());
            named.filter(|named| named.text == id).map(|named| named.span).next()
        };
        let message = format!(
            "the check on `{symptom}` waits for the answer to `{parent}`, which only a later check of the same fix gives"
        );
        let own = spans(symptom).unwrap_or(written.id.span);
        let mut problem = diagnostics.problem(Code::Circle, own, message);
        if let Some(later) = spans(parent) {
            problem = problem.also(diagnostics.place(later), "it is looked at here");
        }
        let help = format!("put the check on `{parent}` in front");
        diagnostics.add(problem.help(help));
    }
}

/// What can come to be: questions that can be answered, and fixes whose conditions can be known.
struct Reached {
    symptoms: List<SymptomAt, bool>,
    fixes: List<FixAt, bool>,
}

impl Reached {
    fn of(book: &Book) -> Self {
        let mut reached = Self {
            symptoms: List::filled(false, book.symptoms.len()),
            fixes: List::filled(false, book.fixes.len()),
        };
        let mut more = true;
        while more {
            more = false;
            for at in book.symptoms.places() {
                if !reached.symptoms[at] && reached.wanting(book, Waiting::Symptom(at)).is_none() {
                    reached.symptoms[at] = true;
                    more = true;
                }
            }
            for at in book.fixes.places() {
                if !reached.fixes[at] && reached.wanting(book, Waiting::Fix(at)).is_none() {
                    reached.fixes[at] = true;
                    more = true;
                }
            }
        }
        reached
    }

    /// The first thing that must come before and does not.
    fn wanting(&self, book: &Book, waiting: Waiting) -> Option<Waiting> {
        let only_if = match waiting {
            Waiting::Symptom(at) => &book.symptoms[at].only_if,
            Waiting::Fix(at) => &book.fixes[at].only_if,
        };
        let answer = waits_for(only_if).find(|at| !self.symptoms[*at]).map(Waiting::Symptom);
        let checks = match waiting {
            Waiting::Symptom(at) => only_checked_by(book, at),
            Waiting::Fix(_) => Vec::new(),
        };
        let none = checks.iter().all(|fix| !self.fixes[*fix]);
        answer.or_else(|| checks.first().filter(|_| none).copied().map(Waiting::Fix))
    }

    /// The circle to which one that is never reached leads, the first of the book in front.
    fn circle(&self, book: &Book, from: FixAt) -> Vec<Waiting> {
        let mut way = vec![Waiting::Fix(from)];
        while let Some(next) = way.last().and_then(|last| self.wanting(book, *last)) {
            if let Some(begin) = way.iter().position(|known| *known == next) {
                let mut circle = way.split_off(begin);
                circle.reverse();
                let first = circle.iter().enumerate().min_by_key(|(_, waiting)| **waiting);
                let first = first.map_or(0, |(place, _)| place);
                circle.rotate_left(first);
                return circle;
            }
            way.push(next);
        }
        Vec::new()
    }
}

/// Tells a circle in which each waits for the one before it, the first for the last.
fn tell_circle(circle: &[Waiting], book: &Book, rules: &Rules, diagnostics: &mut Diagnostics) {
    let id = |waiting: &Waiting| match waiting {
        Waiting::Symptom(at) => book.symptoms[*at].id.as_str(),
        Waiting::Fix(at) => book.fixes[*at].id.as_str(),
    };
    let ids: Vec<&str> = circle.iter().map(id).collect();
    let mut places: Vec<Span> = Vec::new();
    for (step, waiting) in circle.iter().enumerate() {
        let before = step.checked_sub(1).map_or(circle.last(), |step| circle.get(step));
        let Some(before) = before else { continue };
        places.extend(place_of(*waiting, *before, book, rules));
    }
    tell(
        "these wait for each other, so none is ever looked at or done",
        &ids,
        &places,
        "a question on the locked-out machine is looked at only where a fix begins with it; take a condition away, or let another fix begin with it",
        diagnostics,
    );
}

/// Where it is written that one waits for another.
fn place_of(waiting: Waiting, before: Waiting, book: &Book, rules: &Rules) -> Option<Span> {
    let (only_if, own) = match waiting {
        Waiting::Symptom(at) => {
            let written = rules.symptoms.get(at.position())?;
            (&written.only_if, written.id.span)
        }
        Waiting::Fix(at) => {
            let written = rules.fixes.get(at.position())?;
            (&written.only_if, written.id.span)
        }
    };
    match before {
        Waiting::Symptom(at) => {
            let id = book.symptoms[at].id.as_str();
            let asks = only_if
                .iter()
                .find(|condition| condition.asks().is_some_and(|asked| asked.text == id));
            Some(asks.map_or(own, |condition| condition.span))
        }
        // A question that only a check looks at: the check says so.
        Waiting::Fix(at) => {
            let Waiting::Symptom(symptom) = waiting else { return Some(own) };
            let id = book.symptoms[symptom].id.as_str();
            let checks = &rules.fixes.get(at.position())?.begins_with;
            let named = checks.iter().filter_map(|check| check.symptom.as_ref());
            named.filter(|named| named.text == id).map(|named| named.span).next()
        }
    }
}
