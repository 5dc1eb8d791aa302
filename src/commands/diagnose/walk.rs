//! Working through one batch: which fix is next, how it went, giving back, how it runs. One fix, with its checks and
//! steps, is worked in [`super::job`].

use super::choose;
use super::hand_over;
use super::job;
use super::points::{self, Refusal, Through};
use super::something_else::{self, JOB_KEYS};
use super::stays_so;
use super::talk::{Away, BackKey, Got, LOOK_BACK_KEYS, OwnWords, Talk};
use crate::ask::Key;
use crate::plan::{BatchSoFar, PlanStep, next_job};
use crate::rulebook::index::{CauseAt, FixAt};
use crate::show::asking::QuestionPut;
use crate::show::past::{self, DoneBefore};
use crate::show::steps::Preface;
use crate::show::{steps, work};
use crate::stream::paint::Ink;
use crate::trade::MachineState;
use crate::visit::event::{CauseFound, Ended, Event, How, NotedPlace, Ran};
use crate::visit::{InHand, OpenBatch};

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
    let done = batch.has_changed();
    if batch.given_back && done {
        return ran(talk, batch);
    }
    if hand_over::is_due(talk, batch) {
        return hand_over::offer(talk);
    }
    // What shows only while it runs is looked at before anybody locks out.
    if let Some(step) = running_check(talk, batch) {
        return job::work_on(talk, batch, &step);
    }
    match next_step(talk, batch) {
        Some(step) => job::work_on(talk, batch, &step),
        None if done => ran(talk, batch),
        None => {
            talk.say_para(
                Ink::Plain,
                "Nothing was changed, so there is nothing to watch. The plan was made again.",
            );
            talk.happened(Event::BatchDropped)
        }
    }
}

/// Whether a batch was done since the belt was last looked at: from then on all that is looked at is of that time.
pub(super) fn to_look_anew(talk: &Talk) -> bool {
    let observed = &talk.now().observed;
    let now = observed.now();
    now > 0 && observed.second.last().is_none_or(|look| look.after_batch < now)
}

/// The belt runs true: what cured it, and the end of the visit.
pub(super) fn runs_true(talk: &mut Talk) -> Result<(), Away> {
    if something_else::is_to_be_named(talk) {
        return something_else::what_cured(talk);
    }
    if let Some(next) = stays_so::next(talk) {
        return stays_so::ask(talk, next);
    }
    let book = talk.means.book;
    let now = talk.now().clone();
    let page = talk.page(|screen, known, finding| work::runs_true(screen, known, finding, &now));
    talk.say(&page);
    let cured = talk.finding().cured(book);
    let causes = (cured.iter())
        .map(|cured| (book.causes[cured.cause].id.clone(), cured.was_present))
        .collect();
    talk.happened(Event::Cured { causes })?;
    talk.happened(Event::Ended { how: Ended::True })
}

/// The fix that was taken in hand; else the one that was picked; else, locked out, the likeliest to find something, as
/// long as it is not better to see first how the belt runs.
fn next_step(talk: &mut Talk, batch: &OpenBatch) -> Option<PlanStep> {
    let planned = planned(talk, batch);
    if let Some(at) = &batch.at {
        let still = planned.into_iter().find(|step| step.fix == at.fix);
        return Some(still.unwrap_or_else(|| out_of_plan(talk, at.fix)));
    }
    // A picked job, or what must come before it, was begun with: nothing else comes in between.
    if choose::pick(talk).is_some() || !batch.locked_out {
        return planned.into_iter().next();
    }
    // What was put right besides, or is work of an older book, is watched before any new work is taken up.
    let besides = !batch.besides.is_empty() || !batch.gone.is_empty();
    let replied = |fix: &FixAt| batch.worked.iter().any(|(worked, _)| worked == fix);
    if besides && batch.fixes.iter().all(replied) {
        return None;
    }
    let done: Vec<FixAt> = batch.done().collect();
    let left = batch.worked.iter().map(|(fix, _)| *fix).filter(|fix| !done.contains(fix));
    let left: Vec<FixAt> = left.collect();
    let book = talk.means.book;
    let plan = &talk.finding().plan;
    next_job(book, plan, BatchSoFar { done: &done, left: &left }).cloned()
}

/// What the plan as it is now would do in this isolation, and is left until the belt has run.
fn left_for_now(talk: &mut Talk) -> Vec<FixAt> {
    let first = talk.finding().plan.batches.first();
    let locked = first.filter(|batch| batch.state == MachineState::LockedOut);
    locked.map(|batch| batch.steps.iter().map(|step| step.fix).collect()).unwrap_or_default()
}

/// Before the machine is isolated: the first planned fix with a check that shows only while it runs.
fn running_check(talk: &mut Talk, batch: &OpenBatch) -> Option<PlanStep> {
    if !batch.locked_out || talk.is_isolated() || batch.at.is_some() {
        return None;
    }
    let book = talk.means.book;
    let runs = |fix: FixAt, place: &usize| {
        let check = book.fixes[fix].begins_with.get(*place);
        check.is_some_and(|check| check.state(book) != MachineState::LockedOut)
    };
    planned(talk, batch).into_iter().find(|step| {
        job::open_checks(talk, batch, step.fix).iter().any(|place| runs(step.fix, place))
    })
}

fn planned(talk: &mut Talk, batch: &OpenBatch) -> Vec<PlanStep> {
    let worked = |fix: FixAt| batch.worked.iter().any(|(worked, _)| *worked == fix);
    let planned = (talk.finding().plan.batches.iter().flat_map(|planned| &planned.steps))
        .filter(|step| batch.fixes.contains(&step.fix) && !worked(step.fix))
        .cloned()
        .collect();
    choose::picked_first(talk, planned)
}

/// A fix in hand that the plan made afresh no longer holds: it is brought to its end all the same.
fn out_of_plan(talk: &mut Talk, fix: FixAt) -> PlanStep {
    let cures: Vec<CauseAt> =
        talk.means.book.fixes[fix].cures.iter().map(|(cause, _)| *cause).collect();
    let ranked = &talk.finding().ranked;
    let for_causes = ranked.iter().map(|r| r.cause).filter(|cause| cures.contains(cause)).collect();
    PlanStep::alone(fix, for_causes)
}

/// What is still to be noted of the moved things of the fix in hand.
fn to_note(talk: &mut Talk, hand: &InHand) -> Option<(String, NotedPlace)> {
    if hand.how != How::Done {
        return None;
    }
    let moves = talk
        .words(|_, known| steps::fix_text(known.book(), known, hand.fix, Preface::Nothing).moves);
    moves.into_iter().find_map(|moved| {
        match hand.noted.iter().find(|(what, _)| *what == moved.what) {
            None => Some((moved.what, NotedPlace::From)),
            Some((_, true)) => Some((moved.what, NotedPlace::To)),
            Some((_, false)) => None,
        }
    })
}

fn note(talk: &mut Talk, what: String, mark: NotedPlace) -> Result<(), Away> {
    let page = work::write_down(talk.means.screen, &what);
    let label = match mark {
        NotedPlace::From => {
            talk.say(&page);
            "From"
        }
        // It follows on the line before, below the same page.
        NotedPlace::To => "To",
    };
    loop {
        match talk.own_words(label, None, BackKey::TakesReplyBack)? {
            OwnWords::Said(place) => return talk.happened(Event::Noted { what, mark, place }),
            OwnWords::Again if !talk.took_back() => talk.say(&page),
            OwnWords::Back(_) | OwnWords::Again => return Ok(()),
        }
    }
}

fn found(talk: &mut Talk, cause: CauseAt) -> Result<(), Away> {
    let cause = &talk.means.book.causes[cause];
    let asked = QuestionPut {
        title: "What did you find?".to_owned(),
        around: String::new(),
        ask: format!("{}?", cause.name),
        answers: vec![
            "As suspected".to_owned(),
            "It was fine".to_owned(),
            "Could not be seen".to_owned(),
        ],
        keys: &JOB_KEYS,
        own: &[],
    };
    let report = match talk.put(&asked, None)? {
        Got::Choice(0) => Some(CauseFound::AsSuspected),
        Got::Choice(1) => Some(CauseFound::WasFine),
        Got::Choice(_) => None,
        Got::Key(Key::Else) => return something_else::tell(talk),
        Got::Key(_) | Got::Typed(_) | Got::Again => return Ok(()),
    };
    talk.happened(Event::Found { cause: cause.id.clone(), report })
}

/// Gives the machine back, has it watched, and asks how it runs.
fn ran(talk: &mut Talk, batch: &OpenBatch) -> Result<(), Away> {
    if batch.locked_out && !batch.given_back {
        let left = left_for_now(talk);
        if !left.is_empty() {
            let page = talk.words(|screen, known| work::left_for_now(screen, known, &left));
            talk.say(&page);
        }
        // After a break nobody knows who has taken a lock off, and guards are fitted within reach.
        let dead = "Before tools come out and guards go back: is it still locked out?";
        if points::isolate(talk, dead, Refusal::MustDo)? != Through::All {
            return Ok(());
        }
        let what_for = match batch.worked.is_empty() && batch.gone.is_empty() {
            true => "It is put right. Now give the belt back, run it and watch it.",
            false => "The work of this batch is done. Now give the belt back, run it and watch it.",
        };
        points::give_back(talk, what_for)?;
        // The questions that may stop everything come first, then it is asked how it runs.
        return Ok(());
    }
    if !batch.locked_out {
        talk.say_para(Ink::Plain, "Watch three full belt turns from outside the guards.");
    }
    let asked = QuestionPut {
        title: "How does it run?".to_owned(),
        around: "From outside the guards, three full belt turns.".to_owned(),
        ask: "Against how it ran at the start of this visit:".to_owned(),
        answers: vec![
            "It runs true now".to_owned(),
            "Better: same side, less far off".to_owned(),
            "No change: same side, as far off".to_owned(),
            "Worse: same side, further off".to_owned(),
            "Off to the other side now".to_owned(),
            "Off at another place now".to_owned(),
            "A different picture now".to_owned(),
        ],
        keys: &LOOK_BACK_KEYS,
        own: &[],
    };
    let outcome = match talk.put(&asked, None)? {
        Got::Choice(0) => Ran::True,
        Got::Choice(1) => Ran::Better,
        Got::Choice(2) => Ran::NoChange,
        Got::Choice(3) => Ran::Worse,
        Got::Choice(4) => Ran::OtherSide,
        Got::Choice(5) => Ran::Elsewhere,
        Got::Choice(_) => Ran::Different,
        Got::Key(_) | Got::Typed(_) | Got::Again => return Ok(()),
    };
    if outcome.is_undone() {
        let page = worse(talk, batch);
        talk.say(&page);
    }
    talk.happened(Event::Ran { outcome })
}

/// The page after "worse": first undo what can have done it.
fn worse(talk: &Talk, batch: &OpenBatch) -> String {
    let screen = talk.means.screen;
    if !batch.locked_out {
        return past::worse_by_itself(screen);
    }
    let done = done_before(talk, batch);
    match batch.goes_back(talk.means.book) {
        true => past::put_back(screen, &talk.now().to_put_back(), &done),
        false => past::worse_and_stays(screen, &done),
    }
}

/// The work of the batch that was done, the last one first; before it that which only an older book has, and what was
/// put right besides.
fn done_before(talk: &Talk, batch: &OpenBatch) -> DoneBefore {
    let mut done = talk.words(|_, known| DoneBefore::of(known, batch.done()));
    let gone = batch.gone.iter().filter(|(_, done)| *done);
    let gone = gone.map(|(id, _)| (format!("{id} (of the book before)"), String::new()));
    let besides = batch.besides.iter().rev().map(|words| (words.clone(), String::new()));
    done.goes_back.splice(0..0, gone.chain(besides));
    done
}

/// After "worse": each moved thing goes back to its old place, the last one first. What was not written down
/// is put back by its marks, all in one.
fn put_back(talk: &mut Talk, batch: &OpenBatch) -> Result<(), Away> {
    let noted = (talk.now().to_put_back().first()).map(|moved| (*moved).clone());
    if points::isolate(talk, "To put the last change back.", Refusal::MustDo)? != Through::All {
        return Ok(());
    }
    let (what, around) = match noted {
        Some(moved) => {
            let old = moved.from.as_deref().unwrap_or("not noted");
            let around = format!("Its old place: {old}");
            (moved.what, around)
        }
        None => {
            let back = done_before(talk, batch).goes_back;
            let titles: Vec<&str> = back.iter().map(|(title, _)| title.as_str()).collect();
            (titles.join("; "), "Go by the marks made before the work.".to_owned())
        }
    };
    let asked = QuestionPut {
        title: "Put back".to_owned(),
        around,
        ask: format!("Put back: {what}"),
        answers: vec!["It is back as it was".to_owned(), "It was left as it is".to_owned()],
        keys: &LOOK_BACK_KEYS,
        own: &[],
    };
    let done = match talk.put(&asked, None)? {
        Got::Choice(place) => place == 0,
        Got::Key(_) | Got::Typed(_) | Got::Again => return Ok(()),
    };
    talk.happened(Event::PutBack { what, done })?;
    if talk.now().batch.is_none() {
        let what_for = "Everything is back or left on purpose. Give the machine back and see that it runs as it did at the start.";
        points::give_back(talk, what_for)?;
    }
    Ok(())
}
