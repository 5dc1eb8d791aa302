//! A site's change of a fix: checks, order, steps and what is never done.

use std::collections::BTreeSet;

use super::steps::{Locks, WrongNumber, change_steps, guard, numbered, safety_cautions, take};
use super::{Over, put};
use crate::problem::{Code, Problem};
use crate::rulebook::rules::Rules;
use crate::rulebook::site::Change;
use crate::rulebook::written::{Fix, Order};
use crate::source::Span;
use crate::source::parse::Text;
use crate::trade::MachineState;

impl Over<'_, '_> {
    pub(super) fn change_fix(&mut self, base: &mut Rules, change: Change) {
        let Change::Fix { id, was, .. } = &change else { return };
        let (id, was) = (id.clone(), was.clone());
        let safety = safety_cautions(&base.cautions);
        let Some(fix) = self.find(&mut base.fixes, (&id, was.as_ref()), "fix", |f| &f.id) else {
            return;
        };
        let change = settings(fix, change);
        let Change::Fix { state, drop_cautions, .. } = &change else { return };
        let looser = state.filter(|state| guard(state.value) < guard(fix.state.value));
        drop_cautions.iter().filter(|id| safety.contains(&id.text)).for_each(|id| self.safety(id));
        let came = lists(fix, change, looser.is_some());
        self.missing(&id, came.missing);
        for (code, (span, message, help)) in came.wrong {
            let problem = Problem::at(code, self.texts.place(span), message);
            self.report.add(problem.help(help));
        }
        for order in &came.no_order {
            let message = format!("`{id}` itself names no such order: {}", named(order));
            let problem = Problem::at(Code::UnknownId, self.texts.place(place(order)), message);
            self.report.add(problem.help(
                "an order that comes from the stages goes with another `stage`; the entry's own stand in its file",
            ));
        }
        self.looser(&id, looser);
    }
}

/// Single values, each in place of the old one. Gives the change back without what was put.
fn settings(fix: &mut Fix, mut change: Change) -> Change {
    if let Change::Fix {
        title,
        stage,
        work,
        no_check,
        if_worse,
        minutes,
        turns,
        per_carry_set,
        per_return_set,
        per_pulley,
        people,
        done_when,
        worked,
        ..
    } = &mut change
    {
        put(&mut fix.title, title.take());
        put(&mut fix.stage, *stage);
        // Minutes of the site's own are the whole, whatever the book's hang on besides.
        if minutes.is_some() {
            (fix.turns, fix.per_carry_set) = (None, None);
            (fix.per_return_set, fix.per_pulley) = (None, None);
        }
        put(&mut fix.minutes, *minutes);
        fix.turns = turns.or(fix.turns);
        fix.per_carry_set = per_carry_set.or(fix.per_carry_set);
        fix.per_return_set = per_return_set.or(fix.per_return_set);
        fix.per_pulley = per_pulley.or(fix.per_pulley);
        fix.people = people.or(fix.people);
        fix.work = work.take().or(fix.work.take());
        fix.no_check = no_check.take().or(fix.no_check.take());
        fix.if_worse = if_worse.take().or(fix.if_worse.take());
        fix.done_when = done_when.take().or(fix.done_when.take());
        fix.worked = worked.take().or(fix.worked.take());
    }
    change
}

/// What of a change does not fit the fix.
#[derive(Default)]
struct Came {
    missing: Vec<(Text, &'static str)>,
    wrong: Vec<(Code, WrongNumber)>,
    no_order: Vec<Order>,
}

/// Lists, added to and taken from. What is taken out goes by the numbers and names that the entry below has.
fn lists(fix: &mut Fix, change: Change, looser: bool) -> Came {
    let mut came = Came::default();
    let Change::Fix {
        state,
        cures,
        tools,
        steps,
        begins_with,
        parts,
        never,
        cautions,
        only_if,
        after,
        needs,
        also_after,
        also_needs,
        drop_after,
        drop_needs,
        replace_steps,
        drop_steps,
        replace_checks,
        drop_checks,
        replace_never,
        drop_never,
        drop_tools,
        drop_parts,
        drop_cautions,
        ..
    } = change
    else {
        return came;
    };
    fix.cures.retain(|old| !cures.iter().any(|new| new.0.text == old.0.text));
    fix.cures.extend(cures);
    came.missing.extend(take(&mut fix.tools, &drop_tools, "tool", |tool| tool));
    came.missing.extend(take(&mut fix.parts, &drop_parts, "part", |part| part));
    came.missing.extend(take(&mut fix.cautions, &drop_cautions, "caution", |caution| caution));
    fix.tools.extend(tools);
    fix.parts.extend(parts);
    fix.cautions.extend(cautions);
    put(&mut fix.only_if, only_if);
    let was = fix.state.value;
    if !looser {
        put(&mut fix.state, state);
    }
    let locks = match (was, fix.state.value) {
        (MachineState::Running, MachineState::LockedOut) => Locks::Now,
        _ => Locks::AsBefore,
    };
    let wrong = change_steps(&mut fix.steps, replace_steps, &drop_steps, locks);
    came.wrong.extend(wrong.into_iter().map(|wrong| (Code::SafetyCaution, wrong)));
    fix.steps.extend(steps);
    let wrong = numbered(&mut fix.begins_with, "check", replace_checks, &drop_checks);
    fix.begins_with.extend(begins_with);
    let lines = numbered(&mut fix.never, "line of `never`", replace_never, &drop_never);
    fix.never.extend(never);
    came.wrong.extend(wrong.into_iter().chain(lines).map(|wrong| (Code::UnknownId, wrong)));
    for (old, whole, drop, also) in [
        (&mut fix.after, after, drop_after, also_after),
        (&mut fix.needs, needs, drop_needs, also_needs),
    ] {
        put(old, whole);
        let known: BTreeSet<String> = old.iter().map(named).collect();
        old.retain(|order| !drop.iter().any(|gone| named(gone) == named(order)));
        came.no_order.extend(drop.into_iter().filter(|gone| !known.contains(&named(gone))));
        old.extend(also);
    }
    came
}

/// An order in the words of the files.
fn named(order: &Order) -> String {
    match order {
        Order::Fix(id) => format!("Fix(\"{id}\")"),
        Order::Every(stage) => format!("Every({:?})", stage.value),
    }
}

/// Where an order stands.
fn place(order: &Order) -> Span {
    match order {
        Order::Fix(id) => id.span,
        Order::Every(stage) => stage.span,
    }
}
