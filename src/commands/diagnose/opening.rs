//! What comes before the book's own questions: the conveyor and the edge room.

use super::talk::{Away, BackKey, Got, OwnWords, Talk};
use crate::ask::reply::too_long;
use crate::ask::{Key, KeyKind, Ticks};
use crate::commands::sides::{self, LONGEST_NAME};
use crate::conveyor::facts::FactKey;
use crate::show::asking::{self, QuestionPut};
use crate::show::opening::{self as pages, FACT_QUESTIONS, FactQuestion};
use crate::show::page::Page;
use crate::stream::paint::Ink;
use crate::visit::event::{Ended, Event, PARTS};

const KEYS: [KeyKind; 6] =
    [KeyKind::CantTell, KeyKind::Back, KeyKind::Why, KeyKind::Look, KeyKind::Stop, KeyKind::Help];

/// A question about the conveyor that had no reply yet.
#[derive(Debug, Clone, Copy)]
pub(super) enum AboutConveyor {
    /// What it is called.
    Name,
    /// One of its facts.
    Fact(&'static FactQuestion),
    /// Which parts it has.
    Parts,
    /// What a side is called: "left" or "right".
    Side(&'static str),
}

/// The next question about the conveyor, in order; none with a conveyor file.
pub(super) fn next_about_conveyor(talk: &Talk) -> Option<AboutConveyor> {
    if talk.has_conveyor_file() {
        return None;
    }
    let now = talk.now();
    let open = |key: &str| !now.conveyor_replies.iter().any(|replied| replied == key);
    if open("name") {
        return Some(AboutConveyor::Name);
    }
    let class = now.conveyor.facts.class();
    let fact = FACT_QUESTIONS.iter().find(|question| {
        // A class that says it already is not asked again: the two could only contradict each other.
        let said = question.key == FactKey::Troughed
            && class.is_some_and(|class| class.troughed().is_some());
        open(question.key.word()) && !said
    });
    // A visit that was past this list before there was one goes on without it.
    let parts = open(PARTS) && open("left") && open("right");
    fact.map(AboutConveyor::Fact)
        .or_else(|| parts.then_some(AboutConveyor::Parts))
        .or_else(|| open("left").then_some(AboutConveyor::Side("left")))
        .or_else(|| open("right").then_some(AboutConveyor::Side("right")))
}

/// Puts one question about the conveyor.
pub(super) fn about_conveyor(talk: &mut Talk, question: AboutConveyor) -> Result<(), Away> {
    match question {
        AboutConveyor::Name => {
            let page = pages::conveyor(talk.means.screen) + "\n";
            talk.say(&page);
            talk.say_para(
                Ink::Strong,
                "What is this conveyor called here? Type its name or number, or press Enter to skip.",
            );
            if let OwnWords::Said(name) = said(talk, "Name")? {
                match name.as_deref().and_then(|name| too_long(name, LONGEST_NAME)) {
                    Some(words) => talk.say_para(Ink::Plain, &words),
                    None => talk.happened(Event::Named { name })?,
                }
            }
        }
        AboutConveyor::Side(side) => {
            let text = format!(
                "Stand at the tail and look toward the head. What is the {} side called here (walkway, wall, road)? Press Enter to skip: then it is {}.",
                side.to_uppercase(),
                side.to_uppercase()
            );
            talk.say_para(Ink::Strong, &text);
            if let OwnWords::Said(name) = said(talk, "Side")? {
                let amiss = name.as_deref().and_then(|name| {
                    let conveyor = &talk.now().conveyor;
                    let other = match side {
                        "left" => conveyor.right.as_deref().unwrap_or("right"),
                        _ => conveyor.left.as_deref().unwrap_or("left"),
                    };
                    sides::amiss(name, other)
                });
                match amiss {
                    Some(words) => talk.say_para(Ink::Plain, &words),
                    None => talk.happened(Event::SideNamed { side: side.to_owned(), name })?,
                }
            }
        }
        AboutConveyor::Fact(question) => fact(talk, question)?,
        AboutConveyor::Parts => parts(talk)?,
    }
    Ok(())
}

/// The page says that each of these is skipped with c.
fn said(talk: &mut Talk, label: &str) -> Result<OwnWords, Away> {
    talk.own_words(label, Some(KeyKind::CantTell), BackKey::TakesReplyBack)
}

fn fact(talk: &mut Talk, question: &FactQuestion) -> Result<(), Away> {
    let asked = QuestionPut {
        title: "The conveyor".to_owned(),
        around: String::new(),
        ask: question.ask.to_owned(),
        answers: question.values.iter().map(|(_, says)| (*says).to_owned()).collect(),
        keys: &KEYS,
        own: &[],
    };
    let yes_first = question.values.first().is_some_and(|(fact, _)| fact.value() == "yes");
    let value = match talk.put(&asked, yes_first.then_some((1, 0)))? {
        Got::Choice(place) => question.values.get(place).map(|(fact, _)| fact.value().to_owned()),
        Got::Key(Key::CantTell) => None,
        Got::Key(key) => {
            let (title, text) = if key == Key::Why {
                ("Why this question", question.why)
            } else {
                ("How to look", question.look)
            };
            let page = Page::new(talk.means.screen).title(title).para(text).finish();
            talk.say(&page);
            return Ok(());
        }
        Got::Typed(_) | Got::Again => return Ok(()),
    };
    talk.happened(Event::Fact { key: question.key.word().to_owned(), value })
}

/// The parts that it may have, in one list. Enter alone leaves them unknown.
fn parts(talk: &mut Talk) -> Result<(), Away> {
    let lines: Vec<String> = pages::PARTS.iter().map(|(_, says)| (*says).to_owned()).collect();
    let untold = Ticks::nothing_told(lines.len());
    let page = pages::parts(talk.means.screen, &KEYS);
    let ticks = match talk.put_ticks_with(&page, lines, Some(untold), &KEYS)? {
        Ok(ticks) => ticks,
        Err(Got::Key(Key::CantTell)) => untold,
        Err(Got::Key(key)) => {
            let (title, text) = if key == Key::Why {
                ("Why this question", pages::PARTS_WHY)
            } else {
                ("How to look", pages::PARTS_LOOK)
            };
            let page = Page::new(talk.means.screen).title(title).para(text).finish();
            talk.say(&page);
            return Ok(());
        }
        Err(_) => return Ok(()),
    };
    let told = pages::parts_told(ticks).into_iter();
    let parts = told.map(|fact| (fact.key().word().to_owned(), fact.value().to_owned()));
    talk.happened(Event::Parts { parts: parts.collect() })
}

/// Puts the question about the edge room.
pub(super) fn edge_room(talk: &mut Talk) -> Result<(), Away> {
    let book = talk.means.book;
    let room = &book.edge_room;
    let sides = talk.sides();
    let asked = QuestionPut {
        title: "How far off?".to_owned(),
        around: "While it runs, from outside the guards.".to_owned(),
        ask: sides.fill(&room.ask),
        answers: room.answers.iter().map(|answer| sides.fill(&answer.says)).collect(),
        keys: &KEYS,
        own: &[],
    };
    match talk.put(&asked, None)? {
        Got::Choice(place) => {
            let answer = room.answers.get(place);
            talk.happened(Event::EdgeRoom { answer: answer.map(|answer| answer.id.clone()) })
        }
        Got::Key(Key::CantTell) => talk.happened(Event::EdgeRoom { answer: None }),
        Got::Key(Key::Why) => {
            let page = Page::new(talk.means.screen)
                .title("Why this question")
                .para(&sides.fill(&room.why))
                .finish();
            talk.say(&page);
            Ok(())
        }
        Got::Key(_) => {
            let drawing = crate::rulebook::model::Drawing::EdgeRoom;
            let page = asking::look(talk.means.screen, &sides, &room.look, Some(drawing));
            talk.say(&page);
            Ok(())
        }
        Got::Typed(_) | Got::Again => Ok(()),
    }
}

/// The belt is in danger: stopping comes first, and running on is decided by whoever may.
pub(super) fn urgent(talk: &mut Talk) -> Result<(), Away> {
    let page = pages::urgent(talk.means.screen, &talk.sides(), &talk.means.book.edge_room);
    talk.say(&page);
    let asked = QuestionPut {
        title: "Stop it?".to_owned(),
        around: "Enter alone: 1.".to_owned(),
        ask: "What happens now?".to_owned(),
        answers: vec![
            "It is being stopped: save and leave".to_owned(),
            "The supervisor has decided: it runs on while I look".to_owned(),
        ],
        keys: &[KeyKind::Back, KeyKind::Stop, KeyKind::Help],
        own: &[],
    };
    match talk.put_with_default(&asked, 0)? {
        Got::Choice(0) => talk.happened(Event::Ended { how: Ended::StoppedNow }),
        Got::Choice(_) => talk.happened(Event::RunsOn),
        Got::Key(_) | Got::Typed(_) | Got::Again => Ok(()),
    }
}

/// The belt is best left alone: a finding of its own.
pub(super) fn leave_it(talk: &mut Talk) -> Result<(), Away> {
    let room = &talk.means.book.edge_room;
    let page = pages::leave_it(talk.means.screen, &talk.sides(), room);
    talk.say(&page);
    let asked = QuestionPut {
        title: "Leave it?".to_owned(),
        around: String::new(),
        ask: "Is that the end of this visit?".to_owned(),
        answers: vec![
            "Yes: leave it and watch it".to_owned(),
            "No: find the cause anyway".to_owned(),
        ],
        keys: &[KeyKind::Back, KeyKind::Stop, KeyKind::Help],
        own: &[],
    };
    match talk.put(&asked, Some((1, 0)))? {
        Got::Choice(0) => talk.happened(Event::Ended { how: Ended::LeftAlone }),
        Got::Choice(_) => talk.happened(Event::WentOn),
        Got::Key(_) | Got::Typed(_) | Got::Again => Ok(()),
    }
}
