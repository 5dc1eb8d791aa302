//! Words anywhere in the book that advise putting a hand to a belt that moves.
//!
//! Steps and looks are held against lists of their own ([`super::hands`]), and refused. Here all other words are read, by
//! a plain list of phrases; they are warned about, since a sentence may mean something else. What forbids is no advice.

use crate::problem::Code;
use crate::rulebook::rules::Rules;
use crate::rulebook::written::{FixCheck, IfWorse, Step};
use crate::source::parse::Text;
use crate::trade::MachineState;

use super::Diagnostics;
use super::hands::{HAND_VERBS, phrase};

/// A hand at something that is named as moving, whatever the state of the machine.
const AT_MOVING: &[&str] = &[
    "touch the moving",
    "touch the running",
    "touch the turning",
    "hand on the moving",
    "hand on the running",
    "hands on the moving",
    "hand to the moving",
    "hand against the",
    "hold the moving",
    "push the moving",
    "pull the moving",
    "press on the moving",
    "lean on the moving",
    "clean the moving",
    "clean the running",
    "scrape the moving",
    "scrape the running",
    "feel the moving",
    "feel the running",
    "feel the turning",
    "stop the roll by hand",
    "push the belt over by hand",
    "push the belt back by hand",
    "steer the belt by hand",
    "guide the belt by hand",
    "guide the belt with",
    "kick the belt",
    "kick the frame",
    "kick the idler",
    "reach in while",
    "reach over the belt",
    "reach under the belt",
    "reach across the belt",
    "reach between the",
    "reach into the nip",
    "step on the belt",
    "stand on the belt",
    "ride on the belt",
    "cross the moving",
    "climb over the moving",
];

/// That the belt moves, in the sentence in which a hand does something.
const MOVING: &[&str] = &[
    "while it runs",
    "while it is running",
    "while running",
    "while it moves",
    "while it turns",
    "while the belt runs",
    "while the belt is running",
    "while the belt moves",
    "while the belt turns",
    "while the roll turns",
    "while the conveyor runs",
    "as the belt runs",
    "as it runs",
    "as it passes",
    "with the belt running",
    "with the conveyor running",
    "on the moving belt",
    "on the running belt",
    "of the moving belt",
    "at the moving belt",
    "without stopping",
    "without isolating",
    "without locking",
    "no need to stop",
    "no need to lock",
];

/// A part of a body, and what only that can do: with one of these in a sentence no verb of the list is needed.
const HANDS: &[&str] = &[
    "by hand",
    "your hand",
    "your hands",
    "a hand",
    "both hands",
    "a finger",
    "your fingers",
    "a gloved hand",
    "your foot",
    "press",
    "squeeze",
    "stroke",
];

/// Words that turn advice into its contrary.
const FORBIDS: &[&str] = &[
    "never",
    "not",
    "no",
    "nobody",
    "nothing",
    "without touching",
    "don't",
    "cannot",
    "must not",
    "instead of",
    "forbidden",
    "before anybody",
    "rather than",
];

pub(super) fn moving(rules: &Rules, diagnostics: &mut Diagnostics) {
    for symptom in &rules.symptoms {
        each([&symptom.ask, &symptom.look, &symptom.why], diagnostics);
        each(symptom.answers.iter().map(|(_, says)| says), diagnostics);
        each(symptom.tick.iter().chain(&symptom.none), diagnostics);
        if symptom.state == MachineState::Running {
            near(&symptom.look, diagnostics);
        }
    }
    for look in &rules.looks {
        each([&look.title, &look.stand], diagnostics);
    }
    for cause in &rules.causes {
        each([&cause.name, &cause.happens_because], diagnostics);
        each(cause.shows_at.iter().chain(&cause.specialist), diagnostics);
        for brought in &cause.brought_on_by {
            each([&brought.words, &brought.look_for, &brought.job], diagnostics);
        }
    }
    for fix in &rules.fixes {
        each([&fix.title], diagnostics);
        each(fix.no_check.iter().chain(&fix.work).chain(&fix.worked), diagnostics);
        each(fix.steps.iter().flat_map(|step| of_step(&step.value)), diagnostics);
        each(fix.begins_with.iter().flat_map(of_check), diagnostics);
        each(fix.done_when.iter().map(|(text, _)| text), diagnostics);
        match &fix.if_worse {
            Some(IfWorse::Undo(text) | IfWorse::Stays(text)) => each([text], diagnostics),
            None => {}
        }
        // It is looked at when the belt runs again.
        if let Some(worked) = &fix.worked {
            near(worked, diagnostics);
        }
    }
    for caution in &rules.cautions {
        each([&caution.text], diagnostics);
    }
    for question in &rules.stop_now {
        each([&question.ask, &question.look, &question.tell], diagnostics);
        each(&question.do_now, diagnostics);
    }
    if let Some(room) = &rules.edge_room {
        each([&room.ask, &room.look, &room.why], diagnostics);
        each(room.leave_it.iter().chain(&room.urgent), diagnostics);
    }
    for term in &rules.glossary {
        each([&term.means], diagnostics);
    }
    if let Some(book) = &rules.book {
        each(&book.value.tell_specialist, diagnostics);
    }
}

fn of_step(step: &Step) -> Vec<&Text> {
    match step {
        Step::Do(text)
        | Step::Mark(text)
        | Step::Tension(text)
        | Step::Jog(text)
        | Step::Restart(text)
        | Step::Watch(text)
        | Step::Wait(text)
        | Step::Load(text)
        | Step::Ask(text) => vec![text],
        Step::MoveEnd { of, by, .. } => vec![of, by],
        Step::Move { what, how } => vec![what, how],
        Step::Raise { what, by, .. } => vec![what, by],
    }
}

fn of_check(check: &FixCheck) -> Vec<&Text> {
    [&check.words, &check.needs, &check.stop_if].into_iter().flatten().collect()
}

fn each<'r>(texts: impl IntoIterator<Item = &'r Text>, diagnostics: &mut Diagnostics) {
    for text in texts {
        for (from, sentence) in sentences(text) {
            let hand = || {
                let mut words = HAND_VERBS.iter().chain(HANDS);
                words.any(|words| phrase(sentence, &[words]).is_some())
            };
            let found =
                phrase(sentence, AT_MOVING).or_else(|| phrase(sentence, MOVING).filter(|_| hand()));
            if let Some((start, end)) = found.filter(|_| phrase(sentence, FORBIDS).is_none()) {
                tell(text, (from + start, from + end), diagnostics);
                break;
            }
        }
    }
}

/// The words of a text that is read beside a belt that runs: an order for hands is one at the moving belt.
fn near(text: &Text, diagnostics: &mut Diagnostics) {
    for (from, sentence) in sentences(text) {
        if let Some((start, end)) = super::hands::verb(sentence)
            && phrase(sentence, FORBIDS).is_none()
            && has_object(sentence.get(end..).unwrap_or(""))
        {
            tell(text, (from + start, from + end), diagnostics);
            return;
        }
    }
}

/// Whether what follows a word makes it an order: "clear the roll" is one, "clear of the roll" is none.
fn has_object(rest: &str) -> bool {
    let next = rest.trim_start().split(|c: char| !c.is_alphanumeric()).next().unwrap_or("");
    OBJECTS.contains(&next.to_lowercase().as_str())
}

/// How the thing begins that an order is about.
const OBJECTS: &[&str] = &[
    "the", "a", "an", "it", "each", "every", "all", "any", "both", "one", "them", "this", "that",
    "these", "its",
];

fn tell(text: &Text, (start, end): (usize, usize), diagnostics: &mut Diagnostics) {
    let words = text.get(start..end).unwrap_or_default();
    diagnostics.tell(
        Code::MovingBelt,
        text.part(start..end),
        format!("\"{words}\" reads as advice to put a hand to a belt that moves"),
        "nobody touches, cleans, measures or adjusts a moving belt: say what is watched from outside the guards",
    );
}

/// The sentences of a text, each with the byte at which it begins.
fn sentences(text: &str) -> Vec<(usize, &str)> {
    let mut from = 0;
    let mut all = Vec::new();
    for sentence in text.split_inclusive(['.', '!', '?', ';']) {
        all.push((from, sentence));
        from += sentence.len();
    }
    all
}
