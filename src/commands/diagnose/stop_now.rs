//! What stands above everything: the questions that stop a visit at once, and what the machine does when a visit is
//! taken up again.
//!
//! They are asked at the beginning, after every restart and whenever a visit is taken up again, and only their own
//! walk leads back to one of them: a "no" from before the belt was started says nothing of it now.

use super::points::{self, Refusal, Through};
use super::step_walk;
use super::talk::{Away, BackKey, Got, Talk};
use crate::ask::ticks::MOST_LINES;
use crate::ask::{Key, KeyKind};
use crate::rulebook::model::{StopAnswer, StopMeans, StopQuestion};
use crate::show::asking::{self, QuestionPut};
use crate::show::opening as pages;
use crate::visit::event::{Ended, Event};

const KEYS: [KeyKind; 4] = [KeyKind::Back, KeyKind::Look, KeyKind::Stop, KeyKind::Help];
/// Where all of them stand on one page there is none to go back to.
const ANEW_KEYS: [KeyKind; 3] = [KeyKind::Look, KeyKind::Stop, KeyKind::Help];

/// Puts all of them. An answer that stops ends the visit, unless it is taken back at once.
pub(super) fn round(talk: &mut Talk) -> Result<(), Away> {
    let fits_a_list = (2..=MOST_LINES).contains(&talk.means.book.stop_now.len());
    let known = step_walk::is_wished(talk) && talk.sitting.stop_round_known;
    let on_one_page = fits_a_list && known;
    let through = if on_one_page { all_at_once(talk)? } else { one_by_one(talk)? };
    if through == Round::NotYet {
        return Ok(());
    }
    talk.sitting.stop_round_due = false;
    talk.sitting.stop_round_known = true;
    if through == Round::Stopped {
        return talk.happened(Event::Ended { how: Ended::StoppedNow });
    }
    match talk.now().ended {
        Some(Ended::StoppedNow) => talk.happened(Event::Reopened),
        _ => Ok(()),
    }
}

/// How the walk through all of them ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Round {
    AllClear,
    Stopped,
    /// Something was shown: they are put again.
    NotYet,
}

fn one_by_one(talk: &mut Talk) -> Result<Round, Away> {
    let mut place = 0;
    while let Some(question) = talk.means.book.stop_now.get(place) {
        match put(talk, question, place)? {
            ThenAsk::On => place += 1,
            ThenAsk::Same => {}
            ThenAsk::Back(steps) => place = place.saturating_sub(steps),
            ThenAsk::Stopped => return Ok(Round::Stopped),
        }
    }
    Ok(Round::AllClear)
}

/// Whoever has answered them one by one in this sitting knows them, and ticks after a restart what is so.
fn all_at_once(talk: &mut Talk) -> Result<Round, Away> {
    let questions = &talk.means.book.stop_now;
    let (screen, sides) = (talk.means.screen, talk.sides());
    let lines: Vec<String> = questions.iter().map(|question| sides.fill(&question.ask)).collect();
    let page = pages::stop_anew(screen, &lines, &ANEW_KEYS);
    let ticks = match talk.put_ticks(&page, lines, &ANEW_KEYS)? {
        Ok(ticks) => ticks,
        Err(Got::Key(Key::Look)) => {
            for question in questions {
                talk.say(&asking::look(screen, &sides, &question.look, None));
            }
            return Ok(Round::NotYet);
        }
        Err(_) => return Ok(Round::NotYet),
    };
    // What stops comes before anything is written down of the rest.
    let is_so = |line: usize| ticks.is_there(line) || ticks.is_untold(line);
    let (so, not_so): (Vec<_>, Vec<_>) =
        questions.iter().enumerate().partition(|(line, _)| is_so(*line));
    for (line, question) in so.into_iter().chain(not_so) {
        let mut then = match ticked(question, (ticks.is_there(line), ticks.is_untold(line))) {
            Some(answer) => answered(talk, question, answer)?,
            None => ThenAsk::Same,
        };
        // Taken back, or to be told more closely: by itself.
        while matches!(then, ThenAsk::Same | ThenAsk::Back(_)) {
            then = put(talk, question, line)?;
        }
        if matches!(then, ThenAsk::Stopped) {
            return Ok(Round::Stopped);
        }
    }
    Ok(Round::AllClear)
}

/// The answer that a tick stands for: whether it is so, and whether that cannot be told. None where a question has a
/// third one besides "no" and what stops, such as a machine that is locked out.
fn ticked(question: &StopQuestion, (so, untold): (bool, bool)) -> Option<&StopAnswer> {
    let mut answers = question.answers.iter();
    if !so && !untold {
        return answers.find(|answer| answer.means == StopMeans::GoOn);
    }
    if answers.clone().any(|answer| answer.means == StopMeans::LockedOut) {
        return None;
    }
    let mut stops = answers.filter(|answer| answer.means == StopMeans::Stop);
    if untold { stops.next_back() } else { stops.next() }
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
    match question.answers.get(chosen) {
        Some(answer) => answered(talk, question, answer),
        None => Ok(ThenAsk::Same),
    }
}

fn answered(
    talk: &mut Talk,
    question: &StopQuestion,
    answer: &StopAnswer,
) -> Result<ThenAsk, Away> {
    let sides = talk.sides();
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
