//! Means: what is at hand and what the person may do, asked once at the start of a visit.

use super::talk::{Away, Got, LOOK_BACK_KEYS, Talk};
use crate::ask::ticks::Ticks;
use crate::ask::{Key, KeyKind};
use crate::rulebook::model::Book;
use crate::show::asking::QuestionPut;
use crate::show::means as pages;
use crate::visit::event::Event;
use crate::visit::{Means, tools_to_look_with};

const KEYS: [KeyKind; 4] = [KeyKind::CantTell, KeyKind::Back, KeyKind::Stop, KeyKind::Help];

/// What is to be asked of the means, if anything is. A visit with answers that was begun without such questions goes on
/// without them.
pub(super) fn next(talk: &Talk) -> Option<AboutMeans> {
    let now = talk.now();
    let begun = !now.order.is_empty() || now.work_begun();
    let asked = |told: bool, about: AboutMeans| (!told && !begun).then_some(about);
    asked(now.means_told, AboutMeans::AtHand)
        .or_else(|| asked(now.lock_out_told, AboutMeans::LockOut))
}

/// A question about means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum AboutMeans {
    /// What is at hand.
    AtHand,
    /// Whether the person may lock out.
    LockOut,
}

/// Puts it.
pub(super) fn ask(talk: &mut Talk, about: AboutMeans) -> Result<(), Away> {
    match about {
        AboutMeans::AtHand => at_hand(talk),
        AboutMeans::LockOut => lock_out(talk),
    }
}

/// The tools that decide what can be looked at, and somebody who knows the past.
fn at_hand(talk: &mut Talk) -> Result<(), Away> {
    let book = talk.means.book;
    let tools: Vec<String> = tools_to_look_with(book).into_iter().map(str::to_owned).collect();
    let mut lines = tools.clone();
    lines.push(pages::SOMEBODY.to_owned());
    let before = last_time(talk).map(|means| ticked(book, &means));
    let page = pages::at_hand(talk.means.screen, &lines, before, &KEYS);
    let told = match talk.put_ticks_with(&page, lines, before, &KEYS)? {
        Ok(ticks) => Event::MeansTold {
            tools: Some(
                tools
                    .iter()
                    .enumerate()
                    .filter(|(at, _)| ticks.is_there(*at))
                    .map(|(_, tool)| tool.clone())
                    .collect(),
            ),
            history: Some(ticks.is_there(tools.len())),
        },
        Err(Got::Key(Key::CantTell)) => Event::MeansTold { tools: None, history: None },
        Err(_) => return Ok(()),
    };
    talk.happened(told)
}

/// What was at hand when the same conveyor was visited last.
fn last_time(talk: &Talk) -> Option<Means> {
    let name = talk.now().conveyor.name.clone()?;
    talk.last_means(&name)
}

fn ticked(book: &Book, means: &Means) -> Ticks {
    let tools = tools_to_look_with(book);
    let held = |tool: &&str| means.tools.as_ref().is_none_or(|held| held.iter().any(|t| t == tool));
    let lines = tools.iter().map(held).chain([means.history != Some(false)]);
    Ticks::of(lines)
}

/// Asked at each visit: whether somebody may, is never taken from another day.
fn lock_out(talk: &mut Talk) -> Result<(), Away> {
    let asked = QuestionPut {
        title: "Who locks out?".to_owned(),
        around: String::new(),
        ask: "May you lock this conveyor out today, by the site's rules?".to_owned(),
        answers: vec![
            "Yes: I am authorised, with my own lock".to_owned(),
            "No: I look, somebody else works".to_owned(),
        ],
        keys: &LOOK_BACK_KEYS,
        own: &[],
    };
    match talk.put(&asked, Some((1, 0)))? {
        Got::Choice(place) => talk.happened(Event::MayLockOut { may: place == 0 }),
        Got::Key(_) | Got::Typed(_) | Got::Again => Ok(()),
    }
}
