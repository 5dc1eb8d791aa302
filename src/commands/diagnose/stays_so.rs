//! So that it stays so: once the belt runs true, what commonly brings on what was cured is looked for. Nobody is made to
//! work: what is there is noted as an open job.

use super::talk::{Away, Got, Talk};
use crate::ask::{Key, KeyKind};
use crate::rulebook::index::CauseAt;
use crate::show::asking::QuestionPut;
use crate::show::stays_so as pages;
use crate::stream::paint::Ink;
use crate::visit::event::Event;

const KEYS: [KeyKind; 6] = [
    KeyKind::CantTell,
    KeyKind::Back,
    KeyKind::SoFar,
    KeyKind::Moved,
    KeyKind::Stop,
    KeyKind::Help,
];
/// So many things are looked for at most.
const MOST: usize = 3;

/// What is to be looked for next: of which cured cause, and which of what brings that on.
pub(super) fn next(talk: &mut Talk) -> Option<(CauseAt, usize)> {
    let book = talk.means.book;
    let now = talk.now();
    if now.not_looked_for || now.brought_on.len() >= MOST {
        return None;
    }
    let told: Vec<String> = now.brought_on.iter().map(|told| told.look_for.clone()).collect();
    let cured = talk.finding().cured(book);
    let all = cured.iter().flat_map(|cured| {
        let brought = book.causes[cured.cause].brought_on_by.iter().enumerate();
        brought.map(|(place, brought)| (cured.cause, place, &brought.look_for))
    });
    let mut open = all.filter(|(_, _, look_for)| !told.contains(look_for));
    open.next().map(|(cause, place, _)| (cause, place))
}

/// Asks for it.
pub(super) fn ask(talk: &mut Talk, (cause, place): (CauseAt, usize)) -> Result<(), Away> {
    let book = talk.means.book;
    let entry = &book.causes[cause];
    let Some(brought) = entry.brought_on_by.get(place) else { return Ok(()) };
    let (around, ask) = talk.words(|_, known| pages::asked(known, cause, brought));
    let asked = QuestionPut {
        title: pages::TITLE.to_owned(),
        around,
        ask,
        answers: pages::ANSWERS.map(str::to_owned).to_vec(),
        keys: &KEYS,
        own: &[],
    };
    let there = match talk.put(&asked, None)? {
        Got::Choice(0) => Some(true),
        Got::Choice(1) => Some(false),
        Got::Key(Key::CantTell) => None,
        Got::Key(_) | Got::Typed(_) | Got::Again => return Ok(()),
        Got::Choice(_) => return talk.happened(Event::NotLookedFor),
    };
    if there == Some(true) {
        let noted = talk.words(|_, known| pages::noted(known, brought));
        talk.say_para(Ink::Strong, &noted);
    }
    talk.happened(Event::BroughtOn {
        cause: entry.id.clone(),
        look_for: brought.look_for.clone(),
        job: brought.job.clone(),
        there,
    })
}
