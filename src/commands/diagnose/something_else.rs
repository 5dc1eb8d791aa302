//! Something else was found: it is written down, dealt with, run and watched, and may be what cured the belt.

use super::points::{self, Refusal, Through};
use super::talk::{Away, BackKey, Got, LOOK_BACK_KEYS, OwnWords, Talk};
use crate::ask::KeyKind;
use crate::show::asking::QuestionPut;
use crate::show::choice;
use crate::stream::paint::Ink;
use crate::visit::event::{CuredBy, Event};
use crate::visit::{ElseHow, OpenBatch, SomethingElse};

/// The keys of a question at a step of a job, where something else may be found.
pub(super) const JOB_KEYS: [KeyKind; 6] =
    [KeyKind::Back, KeyKind::SoFar, KeyKind::Moved, KeyKind::Else, KeyKind::Stop, KeyKind::Help];

/// The lines that are asked for.
const LINES: [&str; 3] = ["What", "Where", "Which part"];

/// Writes down what was found: three lines of the person's own, one at least.
pub(super) fn tell(talk: &mut Talk) -> Result<(), Away> {
    let page = choice::something_else(talk.means.screen);
    talk.say(&page);
    let mut said: [Option<String>; 3] = [None, None, None];
    let mut at = 0;
    while let (Some(label), Some(line)) = (LINES.get(at), said.get_mut(at)) {
        let back = if at == 0 { BackKey::TakesReplyBack } else { BackKey::LeftToAsker };
        match talk.own_words(label, None, back)? {
            OwnWords::Said(words) => {
                *line = words;
                at += 1;
            }
            OwnWords::Back(steps) => at = at.saturating_sub(steps),
            OwnWords::Again if talk.took_back() => return Ok(()),
            OwnWords::Again => talk.say(&page),
        }
    }
    let [what, place, part] = said;
    if what.is_none() && place.is_none() && part.is_none() {
        talk.say_para(Ink::Plain, "Nothing was written, so nothing is noted.");
        return Ok(());
    }
    talk.happened(Event::SomethingElse { what, place, part })
}

/// What may become of it, as things stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum ElseChoice {
    Deal(ElseHow),
    LockOutFirst,
}

/// Asks what becomes of what was told last.
pub(super) fn deal_with(talk: &mut Talk) -> Result<(), Away> {
    let Some(told) = talk.now().else_open() else { return Ok(()) };
    let asked = told.words();
    let (choices, answers): (Vec<ElseChoice>, Vec<String>) = choices(talk).into_iter().unzip();
    let asked = QuestionPut {
        title: "What will you do about it?".to_owned(),
        around: String::new(),
        ask: asked,
        answers,
        keys: &LOOK_BACK_KEYS,
        own: &[],
    };
    let Got::Choice(place) = talk.put(&asked, None)? else { return Ok(()) };
    match choices.get(place) {
        Some(ElseChoice::Deal(how)) => {
            let locked_out = talk.is_isolated();
            talk.happened(Event::ElseDealtWith { how: *how, locked_out })
        }
        Some(ElseChoice::LockOutFirst) => {
            let what_for = "To put right what else was found.";
            if points::isolate(talk, what_for, Refusal::MustDo)? == Through::All {
                talk.say_para(
                    Ink::Strong,
                    "Put it right now, the way your site does it. Then say so here.",
                );
            }
            Ok(())
        }
        None => Ok(()),
    }
}

fn choices(talk: &Talk) -> Vec<(ElseChoice, String)> {
    let batch = talk.now().batch.as_ref();
    let mut choices = Vec::new();
    let mut offer = |choice, words: &str| choices.push((choice, words.to_owned()));
    let watch = ElseChoice::Deal(ElseHow::Watch);
    let begun = batch.is_some_and(half_done);
    let changed = batch.is_some_and(OpenBatch::has_changed);
    if talk.is_isolated() {
        if !begun {
            let words =
                "It is put right and nothing is half done: give the machine back, run and watch";
            offer(watch, words);
        }
    } else {
        if !begun && !changed {
            offer(watch, "It is put right already, and the belt runs: watch it now");
        }
        offer(ElseChoice::LockOutFirst, "Not yet: lock out first, then put it right");
    }
    if batch.is_some_and(|batch| batch.worked.len() < batch.fixes.len()) {
        offer(ElseChoice::Deal(ElseHow::GoOn), "It is put right: go on with this batch");
    }
    offer(ElseChoice::Deal(ElseHow::Noted), "Leave it as it is, only note it");
    choices
}

/// Whether a part of a job is done and another is still to come: it has to be brought to its end.
fn half_done(batch: &OpenBatch) -> bool {
    batch.at.as_ref().is_some_and(|at| at.stretches > 0 || at.hands_done)
}

/// What may have cured it, where something else was put right and the person was not asked yet.
pub(super) fn is_to_be_named(talk: &Talk) -> bool {
    let observed = &talk.now().observed;
    observed.said_cured.is_none() && observed.something_else.iter().any(SomethingElse::is_put_right)
}

/// Asks what cured it: the causes that the work may have cured, or something else.
pub(super) fn what_cured(talk: &mut Talk) -> Result<(), Away> {
    let book = talk.means.book;
    let causes = talk.finding().cured(book);
    let mut choices: Vec<(CuredBy, String)> = (causes.iter())
        .map(|cured| &book.causes[cured.cause])
        .map(|cause| (CuredBy::Cause(cause.id.clone()), cause.name.clone()))
        .collect();
    for (place, told) in talk.now().observed.something_else.iter().enumerate() {
        if told.is_put_right() {
            choices.push((CuredBy::SomethingElse(place), told.words()));
        }
    }
    choices.push((CuredBy::NotClear, "Nobody can say".to_owned()));
    let asked = QuestionPut {
        title: "What cured it?".to_owned(),
        around: String::new(),
        ask: "It runs true. What was the cause, as far as you can say?".to_owned(),
        answers: choices.iter().map(|(_, words)| words.clone()).collect(),
        keys: &LOOK_BACK_KEYS,
        own: &[],
    };
    let Got::Choice(place) = talk.put(&asked, None)? else { return Ok(()) };
    match choices.into_iter().nth(place) {
        Some((by, _)) => talk.happened(Event::SaidCured { by }),
        None => Ok(()),
    }
}
