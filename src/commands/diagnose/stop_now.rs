//! What stands above everything: the questions that stop a visit at once, and what the machine does when a visit is
//! taken up again.
//!
//! They are asked at the beginning, after every restart and whenever a visit is taken up again, and only their own
//! walk leads back to one of them: a "no" from before the belt was started says nothing of it now.

use super::points::{self, Refusal, Through};
use super::talk::{Away, BackKey, Got, Talk};
use crate::ask::{Key, KeyKind};
use crate::rulebook::model::{StopMeans, StopQuestion};
use crate::show::asking::{self, QuestionPut};
use crate::show::opening as pages;
use crate::visit::event::{Ended, Event};

const KEYS: [KeyKind; 4] = [KeyKind::Back, KeyKind::Look, KeyKind::Stop, KeyKind::Help];

/// Puts all of them, one after another. An answer that stops ends the visit, unless it is taken back at once.
pub(super) fn round(talk: &mut Talk) -> Result<(), Away> {
    let book = talk.means.book;
    let mut place = 0;
    while let Some(question) = book.stop_now.get(place) {
        match put(talk, question, place)? {
            ThenAsk::On => place += 1,
            ThenAsk::Same => {}
            ThenAsk::Back(steps) => place = place.saturating_sub(steps),
            ThenAsk::Stopped => {
                talk.sitting.stop_round_due = false;
                return talk.happened(Event::Ended { how: Ended::StoppedNow });
            }
        }
    }
    talk.sitting.stop_round_due = false;
    match talk.now().ended {
        Some(Ended::StoppedNow) => talk.happened(Event::Reopened),
        _ => Ok(()),
    }
}

/// What comes of one question.
enum ThenAsk {
    On,
    Same,
    Back(usize),
    Stopped,
}

fn put(talk: &mut Talk, question: &StopQuestion, place: usize) -> Result<ThenAsk, Away> {
    let sides = talk.sides();
    let asked = QuestionPut {
        title: format!("First: safety, {} of {}", place + 1, talk.means.book.stop_now.len()),
        around: String::new(),
        ask: sides.fill(&question.ask),
        answers: question.answers.iter().map(|answer| sides.fill(&answer.says)).collect(),
        keys: &KEYS,
        own: &[],
    };
    let id = |id: &str| question.answers.iter().position(|answer| answer.id == id);
    let no_yes = id("no").zip(id("yes"));
    let chosen = match talk.put_with(&asked, no_yes, BackKey::LeftToAsker)? {
        Got::Choice(chosen) => chosen,
        Got::Key(Key::Back(steps)) => return Ok(ThenAsk::Back(steps)),
        Got::Key(_) => {
            let page = asking::look(talk.means.screen, &sides, &question.look, None);
            talk.say(&page);
            return Ok(ThenAsk::Same);
        }
        Got::Typed(_) | Got::Again => return Ok(ThenAsk::Same),
    };
    let Some(answer) = question.answers.get(chosen) else { return Ok(ThenAsk::Same) };
    if answer.means == StopMeans::Stop {
        // What to do is on the screen before anything is written to a disk that may be slow.
        let (screen, book) = (talk.means.screen, talk.means.book);
        talk.say(&pages::stop_now(screen, &sides, question));
        let facts = talk.now().conveyor.facts;
        talk.say(&pages::stop_then(screen, (book, &facts), &sides, question));
    }
    talk.happened(Event::StopAnswered {
        question: question.id.clone(),
        answer: answer.id.clone(),
        stops: answer.means == StopMeans::Stop,
    })?;
    match answer.means {
        StopMeans::GoOn => Ok(ThenAsk::On),
        StopMeans::Stop => stopped(talk, question),
        StopMeans::LockedOut => {
            let what_for = "The machine is locked out and worked on. Confirm each point again.";
            Ok(match points::isolate(talk, what_for, Refusal::MustDo)? {
                Through::All => ThenAsk::On,
                Through::CantNow | Through::ToPlan | Through::TookBack => ThenAsk::Same,
            })
        }
    }
}

/// While the page stands, a yes that was mistyped can be taken back.
fn stopped(talk: &mut Talk, question: &StopQuestion) -> Result<ThenAsk, Away> {
    let asked = QuestionPut {
        title: "STOP".to_owned(),
        around: String::new(),
        ask: "Do that now. Then:".to_owned(),
        answers: vec![
            "It is being stopped: save and leave".to_owned(),
            "I typed it by mistake: ask again".to_owned(),
        ],
        keys: &[KeyKind::Stop],
        own: &[],
    };
    loop {
        let page = pages::stop_again(talk.means.screen, &talk.sides(), question, &asked);
        match talk.put_page(&page, &asked, (None, BackKey::LeftToAsker))? {
            Got::Choice(0) => return Ok(ThenAsk::Stopped),
            Got::Choice(_) => {
                let Some(go_on) = question.answers.first() else { return Ok(ThenAsk::Stopped) };
                // Nothing is answered by it: the same question is asked again at once.
                talk.happened(Event::StopAnswered {
                    question: question.id.clone(),
                    answer: go_on.id.clone(),
                    stops: false,
                })?;
                return Ok(ThenAsk::Same);
            }
            Got::Key(_) | Got::Typed(_) | Got::Again => {}
        }
    }
}

/// After a break in the middle of work: what does the machine do now?
pub(super) fn what_state(talk: &mut Talk) -> Result<(), Away> {
    let asked = QuestionPut {
        title: "The machine now".to_owned(),
        around: "Work was begun in this visit. Nobody but you can see what was done meanwhile."
            .to_owned(),
        ask: "What does the machine do now?".to_owned(),
        answers: vec![
            "It runs, or may run: locks off, guards on".to_owned(),
            "It stands, and is not locked out".to_owned(),
            "It is locked out, my own lock is on it".to_owned(),
        ],
        keys: &[KeyKind::SoFar, KeyKind::Moved, KeyKind::Stop, KeyKind::Help],
        own: &[],
    };
    match talk.put(&asked, None)? {
        Got::Choice(place) => {
            talk.sitting.machine_due = false;
            match (place, talk.was_given_back()) {
                (0, false) => talk.happened(Event::GivenBack),
                // It was given back, and somebody has stopped it since: what comes next isolates it anew.
                (1 | 2, true) => talk.happened(Event::LockOutBegun),
                _ => Ok(()),
            }
        }
        Got::Key(_) | Got::Typed(_) | Got::Again => Ok(()),
    }
}
