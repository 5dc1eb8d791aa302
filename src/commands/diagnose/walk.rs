//! Working through one batch: the steps, what was moved and found, giving back, how it runs.

use super::points::{self, Through};
use super::talk::{Away, Got, Talk};
use crate::ask::{Key, KeyKind};
use crate::plan::PlanStep;
use crate::rulebook::index::CauseAt;
use crate::rulebook::model::Book;
use crate::show::asking::{Asked, OwnKey};
use crate::show::paint::Ink;
use crate::show::{past, steps, work};
use crate::visit::event::{Ended, Event, How, Mark, Ran, Report};
use crate::visit::{InHand, OpenBatch};

const KEYS: [KeyKind; 5] =
    [KeyKind::Back, KeyKind::SoFar, KeyKind::Moved, KeyKind::Stop, KeyKind::Help];
const STEP_KEYS: [KeyKind; 6] =
    [KeyKind::Back, KeyKind::Why, KeyKind::SoFar, KeyKind::Moved, KeyKind::Stop, KeyKind::Help];
/// What the keys do at a step.
const STEP_OWN: [OwnKey; 1] = [(KeyKind::Why, "why now", "Why this work stands here in the plan.")];
/// So many causes of one fix are asked about, most likely first.
const ASKED_ABOUT: usize = 3;

/// One step through the batch at work.
pub(super) fn batch(talk: &mut Talk, batch: &OpenBatch) -> Result<(), Away> {
    if batch.ran.is_some() {
        return put_back(talk, batch);
    }
    if let Some(hand) = &batch.in_hand {
        if let Some((what, mark)) = to_note(talk, hand) {
            return note(talk, what, mark);
        }
        if let Some(cause) = hand.causes.iter().find(|cause| !hand.reported.contains(cause)) {
            return found(talk, *cause);
        }
    }
    match next_step(talk, batch) {
        Some(step) => work_on(talk, batch, &step),
        None if batch.worked.iter().any(|(_, how)| *how == How::Done) => ran(talk, batch),
        None => {
            talk.say_para(
                Ink::Plain,
                "Nothing was changed, so there is nothing to watch. The plan was made afresh.",
            );
            talk.happened(Event::BatchDropped)
        }
    }
}

/// The belt runs true: what cured it, and the end of the visit.
pub(super) fn runs_true(talk: &mut Talk) -> Result<(), Away> {
    let book = talk.means.book;
    let page = talk.page(work::runs_true);
    talk.say(&page);
    let cured = talk.finding().cured(book);
    let causes = (cured.iter())
        .map(|cured| (book.causes[cured.cause].id.clone(), cured.was_present))
        .collect();
    talk.happened(Event::Cured { causes })?;
    talk.happened(Event::Ended { how: Ended::True })
}

/// The first planned fix of this batch that is still in the plan.
fn next_step(talk: &mut Talk, batch: &OpenBatch) -> Option<PlanStep> {
    let worked = |step: &&PlanStep| batch.worked.iter().any(|(fix, _)| *fix == step.fix);
    (talk.finding().plan.batches.iter().flat_map(|planned| &planned.steps))
        .filter(|step| batch.fixes.contains(&step.fix))
        .find(|step| !worked(step))
        .cloned()
}

fn work_on(talk: &mut Talk, batch: &OpenBatch, step: &PlanStep) -> Result<(), Away> {
    let book = talk.means.book;
    talk.sitting.given_back = false;
    if batch.locked_out {
        let what_for = format!("The next work: {}.", book.fixes[step.fix].title);
        if points::isolate(talk, &what_for, false)? != Through::All {
            return Ok(());
        }
    }
    // Each point of isolation was confirmed a moment ago: as the first step it would only hide the work.
    let page = talk.words(|screen, known| {
        let words = steps::plan_text(book, known, step, false);
        work::step(screen, known, step.fix, &step.for_causes, &words)
    });
    talk.say(&page);
    let asked = Asked {
        title: "How did it go?".to_owned(),
        around: "Answer when you are through with it.".to_owned(),
        ask: book.fixes[step.fix].title.clone(),
        answers: vec![
            "Done, as it stands above".to_owned(),
            "Not needed: I looked, and all was fine".to_owned(),
            "Could not be done".to_owned(),
        ],
        keys: &STEP_KEYS,
        own: &STEP_OWN,
    };
    let how = match talk.put(&asked, None)? {
        Got::Choice(0) => How::Done,
        Got::Choice(1) => How::NotNeeded,
        Got::Choice(_) => How::CouldNot,
        Got::Key(Key::Why) => {
            let page = talk.words(|screen, known| work::why_here_page(screen, known, step));
            talk.say(&page);
            return Ok(());
        }
        Got::Key(_) | Got::Again => return Ok(()),
    };
    let causes = step
        .for_causes
        .iter()
        .take(ASKED_ABOUT)
        .map(|cause| book.causes[*cause].id.clone())
        .collect();
    talk.happened(Event::Worked { fix: book.fixes[step.fix].id.clone(), how, causes })
}

/// What is still to be noted of the moved things of the fix in hand.
fn to_note(talk: &mut Talk, hand: &InHand) -> Option<(String, Mark)> {
    if hand.how != How::Done {
        return None;
    }
    let moves = talk.words(|_, known| steps::fix_text(known.book(), known, hand.fix, false).moves);
    moves.into_iter().find_map(|moved| {
        match hand.noted.iter().find(|(what, _)| *what == moved.what) {
            None => Some((moved.what, Mark::From)),
            Some((_, true)) => Some((moved.what, Mark::To)),
            Some((_, false)) => None,
        }
    })
}

fn note(talk: &mut Talk, what: String, mark: Mark) -> Result<(), Away> {
    let label = match mark {
        Mark::From => {
            let page = work::write_down(talk.means.screen, &what);
            talk.say(&page);
            "From"
        }
        Mark::To => "To",
    };
    match talk.own_words(label)? {
        Some(place) => talk.happened(Event::Noted { what, mark, place }),
        None => Ok(()),
    }
}

fn found(talk: &mut Talk, cause: CauseAt) -> Result<(), Away> {
    let cause = &talk.means.book.causes[cause];
    let asked = Asked {
        title: "What did you find?".to_owned(),
        around: String::new(),
        ask: format!("{}?", cause.name),
        answers: vec![
            "As suspected".to_owned(),
            "It was fine".to_owned(),
            "Could not be seen".to_owned(),
        ],
        keys: &KEYS,
        own: &[],
    };
    let report = match talk.put(&asked, None)? {
        Got::Choice(0) => Some(Report::AsSuspected),
        Got::Choice(1) => Some(Report::WasFine),
        Got::Choice(_) => None,
        Got::Key(_) | Got::Again => return Ok(()),
    };
    talk.happened(Event::Found { cause: cause.id.clone(), report })
}

/// Gives the machine back, has it watched, and asks how it runs.
fn ran(talk: &mut Talk, batch: &OpenBatch) -> Result<(), Away> {
    let book = talk.means.book;
    if !talk.sitting.given_back {
        if batch.worked.len() < batch.fixes.len() {
            talk.say_para(
                Ink::Plain,
                "The rest of this batch waits: what was found changes what it is good for.",
            );
        }
        if batch.locked_out {
            // After a break nobody knows who has taken a lock off, and guards are fitted within reach.
            let dead = "Before tools are taken out and guards put back: is it still dead?";
            if points::isolate(talk, dead, false)? != Through::All {
                return Ok(());
            }
            let what_for =
                "The work of this batch is through. Now the belt is given back, run and watched.";
            if points::give_back(talk, what_for)? != Through::All {
                return Ok(());
            }
        } else {
            talk.say_para(Ink::Plain, "Watch three full belt turns from outside the guards.");
        }
        talk.sitting.given_back = true;
    }
    let asked = Asked {
        title: "How does it run?".to_owned(),
        around: "From outside the guards, three full belt turns.".to_owned(),
        ask: "Against how it ran at the start of this visit:".to_owned(),
        answers: vec![
            "It runs true now".to_owned(),
            "Better, but not yet true".to_owned(),
            "No change: same side, as far off".to_owned(),
            "Worse, or off to the other side now".to_owned(),
        ],
        keys: &KEYS,
        own: &[],
    };
    let outcome = match talk.put(&asked, None)? {
        Got::Choice(0) => Ran::True,
        Got::Choice(1) => Ran::Better,
        Got::Choice(2) => Ran::NoChange,
        Got::Choice(_) => Ran::Worse,
        Got::Key(_) | Got::Again => return Ok(()),
    };
    if outcome == Ran::Worse {
        let page = if batch.locked_out {
            let fixes = done_titles(book, batch);
            past::put_back(talk.means.screen, &talk.now().to_put_back(), &fixes)
        } else {
            past::worse_by_itself(talk.means.screen)
        };
        talk.say(&page);
    }
    talk.sitting.given_back = false;
    talk.happened(Event::Ran { outcome })
}

/// The fixes of the batch that were done, the last one first.
fn done_titles(book: &Book, batch: &OpenBatch) -> Vec<String> {
    (batch.worked.iter().rev())
        .filter(|(_, how)| *how == How::Done)
        .map(|(fix, _)| book.fixes[*fix].title.clone())
        .collect()
}

/// After "worse": each moved thing goes back to its old place, the last one first. What was not written down
/// is put back by its marks, all in one.
fn put_back(talk: &mut Talk, batch: &OpenBatch) -> Result<(), Away> {
    let noted = (talk.now().to_put_back().first()).map(|moved| (*moved).clone());
    if points::isolate(talk, "To put the last change back.", false)? != Through::All {
        return Ok(());
    }
    let (what, around) = match noted {
        Some(moved) => {
            let old = moved.from.as_deref().unwrap_or("not noted");
            let around = format!("Its old place: {old}");
            (moved.what, around)
        }
        None => (
            done_titles(talk.means.book, batch).join("; "),
            "Go by the marks made before the work.".to_owned(),
        ),
    };
    let asked = Asked {
        title: "Put back".to_owned(),
        around,
        ask: format!("Put back: {what}"),
        answers: vec!["It is back as it was".to_owned(), "It was left as it is".to_owned()],
        keys: &KEYS,
        own: &[],
    };
    let done = match talk.put(&asked, None)? {
        Got::Choice(place) => place == 0,
        Got::Key(_) | Got::Again => return Ok(()),
    };
    talk.happened(Event::PutBack { what, done })?;
    if talk.now().batch.is_none() {
        let what_for = "Everything is back or left on purpose. Give the machine back and see that it runs as it did at the start.";
        points::give_back(talk, what_for)?;
    }
    Ok(())
}
