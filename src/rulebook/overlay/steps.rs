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

/// What is wrong with a change of steps: where, in words, and what to do.
type WrongStep = (Span, String, &'static str);

/// Replaces steps by others of the same kind, and takes steps out; both are counted from 1 as the book has them. What
/// carries isolation, giving back or the marks of what is moved stays.
pub(super) fn change_steps(
    steps: &mut Vec<Spanned<Step>>,
    replace: Vec<(Spanned<u32>, Spanned<Step>)>,
    out: &[Spanned<u32>],
) -> Vec<WrongStep> {
    let mut wrong = Vec::new();
    let at = |number: Spanned<u32>| (number.value as usize).checked_sub(1);
    let none = |number: Spanned<u32>, of: usize| {
        let message = format!("there is no step {} of {of}", number.value);
        (number.span, message, "count the steps with `straybelt rules show`, from 1")
    };
    let of = steps.len();
    for (number, new) in replace {
        match at(number).and_then(|at| steps.get_mut(at)) {
            None => wrong.push(none(number, of)),
            Some(old) if old.value.kind() != new.value.kind() => {
                let message = format!(
                    "step {} is {}, and stays of that kind",
                    number.value,
                    old.value.kind()
                );
                wrong.push((
                    new.span,
                    message,
                    "give it other words; its kind says what the isolation has to be",
                ));
            }
            Some(old) => *old = new,
        }
    }
    let mut gone = BTreeSet::new();
    for number in out {
        match at(*number).and_then(|at| Some((at, steps.get(at)?))) {
            None => wrong.push(none(*number, of)),
            Some((_, step)) if STAYS.contains(&step.value.kind()) => {
                let message = format!("step {} is {}, and stays", number.value, step.value.kind());
                wrong.push((number.span, message, "marks, and what moves or tensions the belt, carry isolation and giving back with them"));
            }
            Some((at, _)) => {
                gone.insert(at);
            }
        }
    }
    let mut number = 0;
    steps.retain(|_| {
        number += 1;
        !gone.contains(&(number - 1))
    });
    wrong
}

/// Kinds of steps that no site takes out.
const STAYS: &[&str] = &["Mark", "Tension", "Jog", "Restart"];
