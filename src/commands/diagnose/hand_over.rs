//! It may be none of the causes of the book: hand it over to a specialist before every job was looked at.

use super::choose;
use super::points::{self, Through};
use super::talk::{Away, Got, LOOK_BACK_KEYS, Talk};
use crate::show::asking::QuestionPut;
use crate::show::chance;
use crate::show::nothing_left::{self, LookedBack};
use crate::visit::OpenBatch;
use crate::visit::event::{Ended, Event};

/// The answer that does so.
pub(super) const CHOICE: &str = "Hand it over to a specialist, and end this visit";

/// Somebody who goes on is asked again after so many further jobs.
const ASKED_AFTER: usize = 6;

/// Whether to ask before the next job of a batch is begun: it stands out that it is none of the causes of the book, jobs were looked
/// at, and none changed anything since the belt last ran. What was changed is watched first.
pub(super) fn is_due(talk: &mut Talk, batch: &OpenBatch) -> bool {
    if batch.at.is_some() || batch.has_changed() || batch.worked.is_empty() {
        return false;
    }
    let (book, jobs) = (talk.means.book, talk.now().jobs.len());
    let long_enough = talk.sitting.went_on_after.is_none_or(|before| jobs >= before + ASKED_AFTER);
    long_enough && talk.finding().none_of_them_stands_out(book) && choose::pick(talk).is_none()
}

/// Asks whether it is handed over.
pub(super) fn offer(talk: &mut Talk) -> Result<(), Away> {
    let jobs = talk.now().jobs.len();
    let chance = chance::percent(talk.finding().something_else);
    let asked = QuestionPut {
        title: match talk.finding().is_likely_not_in_the_book() {
            true => "Likely not in the book".to_owned(),
            false => "Perhaps not in the book".to_owned(),
        },
        around: format!(
            "Chance that it is none of the causes in the book: {chance}. {} so far. The next may find nothing either.",
            chance::count(jobs, "job was taken in hand", "jobs were taken in hand")
        ),
        ask: "Hand it over, or go on with the next job?".to_owned(),
        answers: vec![CHOICE.to_owned(), "Go on with the next job".to_owned()],
        keys: &LOOK_BACK_KEYS,
        own: &[],
    };
    match talk.put(&asked, None)? {
        Got::Choice(0) => begin(talk),
        Got::Choice(_) => {
            talk.sitting.went_on_after = Some(jobs);
            Ok(())
        }
        Got::Key(_) | Got::Typed(_) | Got::Again => Ok(()),
    }
}

/// Hands it over: a machine that is locked out is given back first, and what may stop everything is asked as after every
/// restart.
pub(super) fn begin(talk: &mut Talk) -> Result<(), Away> {
    talk.sitting.handing_over = true;
    if talk.now().batch.is_some() {
        talk.happened(Event::BatchDropped)?;
    }
    Ok(())
}

/// Gives the machine back where it is locked out, then ends the visit with the page for a specialist.
pub(super) fn end(talk: &mut Talk) -> Result<(), Away> {
    if talk.is_isolated() || talk.sitting.half_given_back {
        let what_for =
            "The rest is for a specialist. Nothing was changed. Now give the machine back.";
        let through = points::give_back(talk, what_for)?;
        talk.sitting.handing_over = through == Through::All;
        return Ok(());
    }
    talk.sitting.handing_over = false;
    say_page(talk);
    talk.happened(Event::Ended { how: Ended::NothingLeft })
}

/// The page for a specialist.
pub(super) fn say_page(talk: &mut Talk) {
    let now = talk.now().clone();
    let page = talk.page(|screen, known, finding| {
        let back = LookedBack::on(&now).that_is_not_in_the_book();
        nothing_left::page(screen, known, finding, back)
    });
    talk.say(&page);
}
