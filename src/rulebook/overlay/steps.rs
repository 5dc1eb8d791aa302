//! What a site replaces or takes out of an entry, and what it may not.

use std::collections::BTreeSet;

use crate::rulebook::written::{Caution, Step};
use crate::source::Span;
use crate::source::parse::{Spanned, Text};
use crate::trade::MachineState;

/// How safe a state of the machine is for whoever stands at it.
pub(super) fn guard(state: MachineState) -> u8 {
    match state {
        MachineState::Anywhere => 0,
        MachineState::Running => 1,
        MachineState::LockedOut => 2,
    }
}

/// Takes items out by their names, and gives back the names that are not there.
pub(super) fn take<T>(
    from: &mut Vec<T>,
    names: &[Text],
    what: &'static str,
    name: impl Fn(&T) -> &Text,
) -> Vec<(Text, &'static str)> {
    let mut missing = Vec::new();
    for wanted in names {
        let before = from.len();
        from.retain(|item| name(item).text != wanted.text);
        if from.len() == before {
            missing.push((wanted.clone(), what));
        }
    }
    missing
}

pub(super) fn safety_cautions(cautions: &[Spanned<Caution>]) -> BTreeSet<String> {
    let safety = cautions.iter().filter(|caution| caution.hazard.is_some());
    safety.map(|caution| caution.id.text.clone()).collect()
}

/// What is wrong with a number in a change: where, in words, and what to do.
pub(super) type WrongNumber = (Span, String, &'static str);

/// What a change makes of the machine's state.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Locks {
    /// Nothing.
    AsBefore,
    /// Work on a running machine is done locked out here, so that its steps are of other kinds.
    Now,
}

/// A number that nothing has.
fn none(what: &str, number: Spanned<u32>, of: usize) -> WrongNumber {
    let message = format!("there is no {what} {} of {of}", number.value);
    (number.span, message, "count from 1 as they stand in the entry below")
}

/// Puts others in the place of those with these numbers, and takes some out; both are counted from 1 as the book has
/// them.
pub(super) fn numbered<T>(
    old: &mut Vec<T>,
    what: &str,
    replace: Vec<(Spanned<u32>, T)>,
    out: &[Spanned<u32>],
) -> Vec<WrongNumber> {
    let mut wrong = Vec::new();
    let of = old.len();
    for (number, new) in replace {
        match at(number).and_then(|at| old.get_mut(at)) {
            None => wrong.push(none(what, number, of)),
            Some(old) => *old = new,
        }
    }
    wrong.extend(
        out.iter().filter(|n| at(**n).is_none_or(|at| at >= of)).map(|n| none(what, *n, of)),
    );
    let gone: BTreeSet<usize> = out.iter().filter_map(|number| at(*number)).collect();
    let mut place = 0..;
    old.retain(|_| place.next().is_none_or(|place| !gone.contains(&place)));
    wrong
}

fn at(number: Spanned<u32>) -> Option<usize> {
    (number.value as usize).checked_sub(1)
}

/// Replaces steps by others of the same kind, and takes steps out. What carries isolation, giving back or the marks of
/// what is moved stays.
pub(super) fn change_steps(
    steps: &mut Vec<Spanned<Step>>,
    replace: Vec<(Spanned<u32>, Spanned<Step>)>,
    out: &[Spanned<u32>],
    locks: Locks,
) -> Vec<WrongNumber> {
    let mut wrong = Vec::new();
    let kind = |number: Spanned<u32>| Some(steps.get(at(number)?)?.value.kind());
    let mut fits = Vec::new();
    for (number, new) in replace {
        match kind(number) {
            Some(old) if old != new.value.kind() && locks == Locks::AsBefore => {
                let message = format!("step {} is {old}, and stays of that kind", number.value);
                let help = "give it other words; its kind says what the isolation has to be";
                wrong.push((new.span, message, help));
            }
            _ => fits.push((number, new)),
        }
    }
    let mut gone = Vec::new();
    for number in out {
        match kind(*number) {
            Some(kind) if STAYS.contains(&kind) => {
                let message = format!("step {} is {kind}, and stays", number.value);
                let help = "marks, and what moves or tensions the belt, carry isolation and giving back with them";
                wrong.push((number.span, message, help));
            }
            _ => gone.push(*number),
        }
    }
    wrong.extend(numbered(steps, "step", fits, &gone));
    wrong
}

/// Kinds of steps that no site takes out.
const STAYS: &[&str] = &["Mark", "Tension", "Jog", "Restart"];
