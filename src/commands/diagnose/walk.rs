//! Working through one batch: the steps, what was moved and found, giving back, how it runs.

use super::points::{self, Through};
use super::talk::{Away, Got, Talk};
use crate::ask::{Key, KeyKind};
use crate::plan::PlanStep;
use crate::rulebook::index::CauseAt;
use crate::show::asking::Asked;
use crate::show::paint::Ink;
use crate::show::{past, steps, work};
use crate::visit::event::{Ended, Event, How, Mark, Ran, Report};
use crate::visit::{InHand, OpenBatch};

const KEYS: [KeyKind; 5] = [
    KeyKind::Back,
    KeyKind::SoFar,
    KeyKind::Moved,
    KeyKind::Stop,
    KeyKind::Help,
];
const STEP_KEYS: [KeyKind; 6] = [
    KeyKind::Back,
    KeyKind::Why,
    KeyKind::SoFar,
    KeyKind::Moved,
    KeyKind::Stop,
    KeyKind::Help,
];
/// So many causes of one fix are asked about, most likely first.
const ASKED_ABOUT: usize = 3;

/// One step through the batch at work.
pub(super) fn batch(talk: &mut Talk, batch: &OpenBatch) -> Result<(), Away> {
    if batch.ran.is_some() {
        return put_back(talk);
    }
    if let Some(hand) = &batch.in_hand {
        if let Some((what, mark)) = to_note(talk, hand) {
            return note(talk, what, mark);
        }
        if let Some(cause) = hand
            .causes
            .iter()
            .find(|cause| !hand.reported.contains(cause))
        {
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
    let now = talk.now();
    let done: Vec<String> = now
        .told
        .done
        .iter()
        .flatten()
        .map(|fix| book.fixes[*fix].title.clone())
        .collect();
    let mut found: Vec<(String, f64)> = Vec::new();
    let as_suspected: Vec<CauseAt> = (now.told.found.iter())
        .filter(|(_, report)| *report == crate::visit::FoundReport::AsSuspected)
        .map(|(cause, _)| *cause)
        .collect();
    for ranked in &talk.finding().ranked {
        if as_suspected.contains(&ranked.cause) || ranked.was_present >= 0.30 {
            found.push((book.causes[ranked.cause].name.clone(), ranked.was_present));
        }
    }
    found.sort_by(|a, b| b.1.total_cmp(&a.1));
    let page = work::runs_true(talk.means.screen, &done, &found);
    talk.say(&page);
    super::plan::remember(talk)?;
    talk.happened(Event::Ended { how: Ended::True })
}

/// The first planned fix of this batch that is still in the plan.
fn next_step(talk: &mut Talk, batch: &OpenBatch) -> Option<PlanStep> {
    let worked = |step: &&PlanStep| batch.worked.iter().any(|(fix, _)| *fix == step.fix);
    (talk
        .finding()
        .plan
        .batches
        .iter()
        .flat_map(|planned| &planned.steps))
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
    let first = batch.worked.is_empty();
    let page = talk.words(|screen, known| {
        let words = steps::plan_text(book, known, step, first);
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
    talk.happened(Event::Worked {
        fix: book.fixes[step.fix].id.clone(),
        how,
        causes,
    })
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
            talk.say_para(
                Ink::Strong,
                &format!("Moved: {what}. Where was its old mark, and where is it now?"),
            );
            talk.say_para(
                Ink::Faint,
                "In your own words, such as \"12 mm from the bolt\". Enter alone skips it.",
            );
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
    };
    let report = match talk.put(&asked, None)? {
        Got::Choice(0) => Some(Report::AsSuspected),
        Got::Choice(1) => Some(Report::WasFine),
        Got::Choice(_) => None,
        Got::Key(_) | Got::Again => return Ok(()),
    };
    talk.happened(Event::Found {
        cause: cause.id.clone(),
        report,
    })
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
            let what_for =
                "The work of this batch is through. Now the belt is given back, run and watched.";
            if points::give_back(talk, what_for)? != Through::All {
                return Ok(());
            }
        } else {
            talk.say_para(
                Ink::Plain,
                "Watch three full belt turns from outside the guards.",
            );
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
            "No change".to_owned(),
            "Worse".to_owned(),
        ],
        keys: &KEYS,
    };
    let outcome = match talk.put(&asked, None)? {
        Got::Choice(0) => Ran::True,
        Got::Choice(1) => Ran::Better,
        Got::Choice(2) => Ran::NoChange,
        Got::Choice(_) => Ran::Worse,
        Got::Key(_) | Got::Again => return Ok(()),
    };
    if outcome == Ran::Worse {
        let fixes: Vec<String> = (batch.worked.iter())
            .filter(|(_, how)| *how == How::Done)
            .map(|(fix, _)| book.fixes[*fix].title.clone())
            .collect();
        let page = past::put_back(talk.means.screen, &talk.now().to_put_back(), &fixes);
        talk.say(&page);
    }
    talk.sitting.given_back = false;
    talk.happened(Event::Ran { outcome })
}

/// After "worse": each moved thing goes back to its old place, the last one first.
fn put_back(talk: &mut Talk) -> Result<(), Away> {
    let Some(moved) = talk
        .now()
        .to_put_back()
        .first()
        .map(|moved| (*moved).clone())
    else {
        return talk.happened(Event::BatchDropped);
    };
    if points::isolate(talk, "To put the last change back.", false)? != Through::All {
        return Ok(());
    }
    let asked = Asked {
        title: "Put back".to_owned(),
        around: format!(
            "Its old place: {}",
            moved.from.as_deref().unwrap_or("not noted")
        ),
        ask: moved.what.clone(),
        answers: vec![
            "It is back at its old place".to_owned(),
            "It was left as it is".to_owned(),
        ],
        keys: &KEYS,
    };
    let done = match talk.put(&asked, None)? {
        Got::Choice(place) => place == 0,
        Got::Key(_) | Got::Again => return Ok(()),
    };
    talk.happened(Event::PutBack {
        what: moved.what,
        done,
    })?;
    if talk.now().batch.is_none() {
        let what_for = "Everything is back or left on purpose. Give the machine back and see that it runs as it did at the start.";
        points::give_back(talk, what_for)?;
    }
    Ok(())
}
