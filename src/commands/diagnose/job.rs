//! One job of a batch: its checks first, then its steps stretch by stretch, the belt moved between them by walks of
//! their own. Hands are asked for only while the machine stands isolated.

use super::points::{self, Refusal, Through};
use super::questions::{self, JobCheck};
use super::something_else::{self, JOB_KEYS};
use super::step_walk::{self, Part, Walked};
use super::talk::{Away, Got, Talk};
use crate::ask::{Key, KeyKind};
use crate::plan::PlanStep;
use crate::rulebook::index::FixAt;
use crate::rulebook::model::{FixCheck, LooksAt, Shown, Then, Verdict, Work};
use crate::show::asking::{OwnKey, QuestionPut};
use crate::show::letters::small;
use crate::show::{steps, take, work};
use crate::stream::paint::Ink;
use crate::trade::MachineState;
use crate::visit::event::{CheckShown, Event, How};
use crate::visit::{FixAtWork, OpenBatch};

const STEP_KEYS: [KeyKind; 7] = [
    KeyKind::Back,
    KeyKind::Why,
    KeyKind::SoFar,
    KeyKind::Moved,
    KeyKind::Else,
    KeyKind::Stop,
    KeyKind::Help,
];
/// What the keys do at a step.
const STEP_OWN: [OwnKey; 1] = [(KeyKind::Why, "why now", "Why this work stands here in the plan.")];
/// The keys at a check that the program has no symptom for.
const CHECK_KEYS: [KeyKind; 8] = [
    KeyKind::CantTell,
    KeyKind::Back,
    KeyKind::Cautions,
    KeyKind::SoFar,
    KeyKind::Moved,
    KeyKind::Else,
    KeyKind::Stop,
    KeyKind::Help,
];
/// So many causes of one fix are asked about, most likely first.
const ASKED_ABOUT: usize = 3;

/// One step through a job.
pub(super) fn work_on(talk: &mut Talk, batch: &OpenBatch, step: &PlanStep) -> Result<(), Away> {
    let book = talk.means.book;
    let Some(at) = batch.at.as_ref().filter(|at| at.fix == step.fix) else {
        if step_walk::is_wished(talk) {
            step_walk::begun(talk, step.fix);
        } else {
            let page =
                talk.words(|screen, known| work::begun(screen, known, step.fix, &step.for_causes));
            talk.say(&page);
        }
        return talk.happened(Event::FixBegun { fix: book.fixes[step.fix].id.clone() });
    };
    match verdict(talk, batch, step.fix) {
        Verdict::Open(first) => {
            let place = open_check_now(talk, batch, step.fix).unwrap_or(first);
            look_first(talk, step, place)
        }
        Verdict::Sound => sound(talk, batch, step),
        Verdict::Unclear if at.stretches == 0 && !at.hands_done => unclear(talk, batch, step, at),
        Verdict::Unclear | Verdict::NeedsWork => do_it(talk, batch, step, at),
    }
}

/// What the checks of a fix say so far.
pub(super) fn verdict(talk: &Talk, batch: &OpenBatch, fix: FixAt) -> Verdict {
    talk.means.book.fixes[fix].verdict(|place, check| shown(talk, batch, fix, (place, check)))
}

/// The checks of a fix that are still to be made, by their places.
pub(super) fn open_checks(talk: &Talk, batch: &OpenBatch, fix: FixAt) -> Vec<usize> {
    talk.means.book.fixes[fix].open_checks(|place, check| shown(talk, batch, fix, (place, check)))
}

/// The check that is made next as the machine stands: what shows while the belt runs is looked at before anybody locks
/// out, and with the machine locked out the rest of it.
fn open_check_now(talk: &Talk, batch: &OpenBatch, fix: FixAt) -> Option<usize> {
    let book = talk.means.book;
    let isolated = talk.is_isolated();
    open_checks(talk, batch, fix).into_iter().find(|place| {
        let check = book.fixes[fix].begins_with.get(*place);
        check.is_some_and(|check| (check.state(book) == MachineState::LockedOut) == isolated)
    })
}

fn shown(talk: &Talk, batch: &OpenBatch, fix: FixAt, check: (usize, &FixCheck)) -> Shown {
    let (book, observed) = (talk.means.book, &talk.now().observed);
    let at = batch.at.as_ref().filter(|at| at.fix == fix);
    let (place, check) = check;
    match check.symptom() {
        Some(symptom) if at.is_some_and(|at| at.again) && !batch.answered.contains(&symptom) => {
            Shown::NotYet
        }
        Some(_) => observed.shown(book, fix, place),
        None => (at.and_then(|at| at.checked.iter().find(|(checked, _)| *checked == place)))
            .map_or(Shown::NotYet, |(_, shown)| *shown),
    }
}

/// Puts the check at this place, in the state of the machine that it needs.
fn look_first(talk: &mut Talk, step: &PlanStep, place: usize) -> Result<(), Away> {
    let book = talk.means.book;
    let fix = &book.fixes[step.fix];
    let Some(check) = fix.begins_with.get(place) else { return Ok(()) };
    match check.state(book) {
        MachineState::LockedOut => {
            let what_for = format!("To check before the work: {}.", fix.title);
            before_lock_out(talk);
            if points::isolate(talk, &what_for, Refusal::MustDo)? != Through::All {
                return Ok(());
            }
            step_walk::before_check(talk, step.fix);
        }
        MachineState::Running if talk.is_isolated() => {
            return cannot_tell(talk, step.fix, place, check);
        }
        MachineState::Running => step_walk::standing(talk, MachineState::Running),
        MachineState::Anywhere => {}
    }
    match &check.looks_at {
        LooksAt::Symptom { at, .. } => {
            let order = talk.words(|_, known| {
                let needs = match check.needs.is_empty() {
                    true => String::new(),
                    false => {
                        format!(" The work is needed if: {}.", small(&known.fill(&check.needs)))
                    }
                };
                let order = known.fill(steps::check_order(book, check));
                let without = take::without_sentences(known, &order);
                format!("{}.{needs}{without}", order.trim_end_matches('.'))
            });
            questions::put(talk, *at, Some(JobCheck { fix: step.fix, order: &order }))
        }
        LooksAt::Words { .. } => in_words(talk, step.fix, place, check),
    }
}

fn cannot_tell(talk: &mut Talk, fix: FixAt, place: usize, check: &FixCheck) -> Result<(), Away> {
    let book = talk.means.book;
    match check.symptom() {
        Some(symptom) => talk
            .happened(Event::Answered { symptom: book.symptoms[symptom].id.clone(), answer: None }),
        None => checked(talk, fix, place, CheckShown::CantTell),
    }
}

fn in_words(talk: &mut Talk, fix: FixAt, place: usize, check: &FixCheck) -> Result<(), Away> {
    let (order, without, mut choices) = talk.words(|_, known| {
        let mut choices = Vec::new();
        if !check.needs.is_empty() {
            choices.push((known.fill(&check.needs), CheckShown::Calls));
        }
        if !check.stop_if.is_empty() {
            choices.push((known.fill(&check.stop_if), CheckShown::Ends));
        }
        let order = known.fill(steps::check_order(known.book(), check));
        let without = take::without_sentences(known, &order);
        (order, without, choices)
    });
    choices.push(("Neither: it is sound".to_owned(), CheckShown::Sound));
    if choices.len() == 2 {
        choices.pop();
        choices.push(("Not so: it is sound".to_owned(), CheckShown::Sound));
    }
    let asked = QuestionPut {
        title: "Look before you work".to_owned(),
        around: match without.is_empty() {
            true => talk.means.book.fixes[fix].title.clone(),
            false => format!("{}.{without}", talk.means.book.fixes[fix].title),
        },
        ask: order,
        answers: choices.iter().map(|(words, _)| words.clone()).collect(),
        keys: &CHECK_KEYS,
        own: &[],
    };
    match talk.put(&asked, None)? {
        Got::Choice(chosen) => match choices.get(chosen) {
            Some((_, shown)) => checked(talk, fix, place, *shown),
            None => Ok(()),
        },
        Got::Key(Key::CantTell) => checked(talk, fix, place, CheckShown::CantTell),
        Got::Key(Key::Else) => something_else::tell(talk),
        Got::Key(Key::Cautions) => {
            let state = check.state(talk.means.book);
            step_walk::all_cautions(talk, fix, state);
            Ok(())
        }
        Got::Key(_) | Got::Typed(_) | Got::Again => Ok(()),
    }
}

fn checked(talk: &mut Talk, fix: FixAt, check: usize, shown: CheckShown) -> Result<(), Away> {
    talk.happened(Event::Checked { fix: talk.means.book.fixes[fix].id.clone(), check, shown })
}

/// The checks call for nothing: the work is not done.
fn sound(talk: &mut Talk, batch: &OpenBatch, step: &PlanStep) -> Result<(), Away> {
    let short = step_walk::is_wished(talk);
    let page = talk.words(|screen, known| match short {
        true => work::sound_in_short(screen, known, step.fix),
        false => work::sound(screen, known, step.fix),
    });
    talk.say(&page);
    worked(talk, batch, step, How::NotNeeded)
}

fn unclear(
    talk: &mut Talk,
    batch: &OpenBatch,
    step: &PlanStep,
    at: &FixAtWork,
) -> Result<(), Away> {
    let book = talk.means.book;
    let left_out = book.fixes[step.fix].begins_with.iter().enumerate().any(|(place, check)| {
        let running = check.state(book) == MachineState::Running;
        running && shown(talk, batch, step.fix, (place, check)) == Shown::CantTell
    });
    let why = match left_out && talk.is_isolated() {
        true => " What shows only while the belt runs is still open.",
        false => "",
    };
    let asked = QuestionPut {
        title: "You could not tell".to_owned(),
        around: format!("What you saw does not call for the work. But not all could be seen.{why}"),
        ask: talk.means.book.fixes[step.fix].title.clone(),
        answers: vec!["Do it anyway".to_owned(), "Leave it".to_owned()],
        keys: &JOB_KEYS,
        own: &[],
    };
    match talk.put(&asked, None)? {
        Got::Choice(0) => do_it(talk, batch, step, at),
        Got::Choice(_) => worked(talk, batch, step, How::CouldNot),
        Got::Key(Key::Else) => something_else::tell(talk),
        Got::Key(_) | Got::Typed(_) | Got::Again => Ok(()),
    }
}

/// The work itself, from where it stands.
fn do_it(talk: &mut Talk, batch: &OpenBatch, step: &PlanStep, at: &FixAtWork) -> Result<(), Away> {
    let fix = &talk.means.book.fixes[step.fix];
    if at.stretches == 0 && !at.hands_done {
        step_walk::head_of_work(talk, step.fix);
    }
    if let Work::Running(_) = fix.work {
        if !step_walk::is_wished(talk) {
            let page = talk.words(|screen, known| work::watched(screen, known, step.fix));
            talk.say(&page);
        }
        return show_and_ask(talk, batch, step, (0, WorkShown::Last));
    }
    let stretches = fix.stretches();
    let Some(stretch) = stretches.get(at.stretches) else {
        return worked(talk, batch, step, How::Done);
    };
    let done = Event::StretchDone { fix: fix.id.clone(), stretch: at.stretches };
    if at.hands_done || stretch.hands.is_empty() {
        let (title, order) = match stretch.then {
            Then::Jog(order) => ("Move the belt", order),
            Then::Restart(order) => ("Run the belt and watch", order),
            Then::Done | Then::IsolateAgain => return talk.happened(done),
        };
        let order = talk.words(|_, known| known.fill(order));
        if points::move_belt(talk, title, &order)? != Through::All {
            return Ok(());
        }
        return talk.happened(Event::BeltMoved { fix: fix.id.clone(), stretch: at.stretches });
    }
    before_lock_out(talk);
    let what_for = match at.stretches {
        0 => format!("The next work: {}.", fix.title),
        _ => format!("Before the work goes on: {}.", fix.title),
    };
    if points::isolate(talk, &what_for, Refusal::MustDo)? != Through::All {
        return Ok(());
    }
    if !step_walk::is_wished(talk) {
        let page = talk.words(|screen, known| work::stretch(screen, known, step.fix, at.stretches));
        talk.say(&page);
    }
    let part = match stretch.then {
        Then::Done => WorkShown::Last,
        Then::IsolateAgain => WorkShown::Stretch { done, again: true },
        Then::Jog(_) | Then::Restart(_) => WorkShown::Stretch { done, again: false },
    };
    show_and_ask(talk, batch, step, (at.stretches, part))
}

/// Where the machine is still to be locked out: the cautions of all work behind that, once.
fn before_lock_out(talk: &mut Talk) {
    if !talk.is_isolated() {
        step_walk::standing(talk, MachineState::LockedOut);
    }
}

/// What was shown as a whole is asked about; at a terminal its steps are put one by one before.
fn show_and_ask(
    talk: &mut Talk,
    batch: &OpenBatch,
    step: &PlanStep,
    (stretch, shown): (usize, WorkShown),
) -> Result<(), Away> {
    if step_walk::is_wished(talk) {
        let part = Part { stretch, is_last: matches!(shown, WorkShown::Last) };
        match (step_walk::walk(talk, step, part)?, shown) {
            (Walked::NotYet, _) => return Ok(()),
            (Walked::CouldNot, _) => return worked(talk, batch, step, How::CouldNot),
            // The last step said already that this part is done.
            (Walked::ToTheEnd, WorkShown::Stretch { done, again }) => {
                return part_done(talk, done, again);
            }
            (Walked::ToTheEnd, WorkShown::Last) => {
                return ask_how(talk, batch, step, (stretch, WorkShown::Last));
            }
        }
    }
    ask_how(talk, batch, step, (stretch, shown))
}

/// Which part of the work was shown.
enum WorkShown {
    /// The last, or the only one.
    Last,
    /// One that is followed by others. `again`: the isolation is walked again after it.
    Stretch { done: Event, again: bool },
}

fn ask_how(
    talk: &mut Talk,
    batch: &OpenBatch,
    step: &PlanStep,
    (stretch, part): (usize, WorkShown),
) -> Result<(), Away> {
    let fix = &talk.means.book.fixes[step.fix];
    let mut choices = match &part {
        WorkShown::Last => vec![("Done", How::Done)],
        WorkShown::Stretch { .. } => vec![("Done so far", How::Done)],
    };
    if fix.begins_with.is_empty() {
        choices.push(("Not needed: I looked, and all was fine", How::NotNeeded));
    }
    choices.push(("Could not be done", How::CouldNot));
    let answers: Vec<String> = choices.iter().map(|(words, _)| (*words).to_owned()).collect();
    let chosen = match step_walk::is_wished(talk) {
        true => step_walk::how_did_it_go(talk, step, stretch, answers)?,
        false => how_did_it_go(talk, step, answers)?,
    };
    let how = chosen.and_then(|place| choices.get(place).map(|(_, how)| *how));
    match (how, part) {
        (Some(How::Done), WorkShown::Stretch { done, again }) => part_done(talk, done, again),
        (Some(how), _) => worked(talk, batch, step, how),
        (None, _) => Ok(()),
    }
}

/// A part is done that others follow.
fn part_done(talk: &mut Talk, done: Event, again: bool) -> Result<(), Away> {
    if again {
        talk.say_para(
            Ink::Warn,
            "The belt's pull has changed. Look again at what holds it before hands go on.",
        );
        points::pull_changed(talk);
    }
    talk.happened(done)
}

/// Asks it below the page of the whole work.
fn how_did_it_go(
    talk: &mut Talk,
    step: &PlanStep,
    answers: Vec<String>,
) -> Result<Option<usize>, Away> {
    let asked = QuestionPut {
        title: "How did it go?".to_owned(),
        around: String::new(),
        ask: talk.means.book.fixes[step.fix].title.clone(),
        answers,
        keys: &STEP_KEYS,
        own: &STEP_OWN,
    };
    match talk.put(&asked, None)? {
        Got::Choice(place) => return Ok(Some(place)),
        Got::Key(Key::Why) => {
            let page = talk.words(|screen, known| work::why_here_page(screen, known, step));
            talk.say(&page);
        }
        Got::Key(Key::Else) => something_else::tell(talk)?,
        Got::Key(_) | Got::Typed(_) | Got::Again => {}
    }
    Ok(None)
}

/// How the job went. What a check has answered as a symptom speaks for itself: the causes it is linked to are not
/// asked about besides.
fn worked(talk: &mut Talk, batch: &OpenBatch, step: &PlanStep, how: How) -> Result<(), Away> {
    let book = talk.means.book;
    let fix = &book.fixes[step.fix];
    let mut spoken_for = talk.now().observed.spoken_for(book, step.fix);
    // A look that ended the job says that the fault lies elsewhere; of this one it says nothing.
    let ended = how == How::NotNeeded && ended_by_look(talk, batch, step.fix);
    if ended {
        spoken_for.extend(&step.for_causes);
    }
    let causes = (step.for_causes.iter())
        .filter(|cause| !spoken_for.contains(cause))
        .take(ASKED_ABOUT)
        .map(|cause| book.causes[*cause].id.clone())
        .collect();
    talk.happened(Event::Worked { fix: fix.id.clone(), how, causes })
}

fn ended_by_look(talk: &Talk, batch: &OpenBatch, fix: FixAt) -> bool {
    let at = batch.at.as_ref().filter(|at| at.fix == fix);
    let book = talk.means.book;
    let observed = &talk.now().observed;
    let checks = book.fixes[fix].begins_with.iter().enumerate();
    checks.into_iter().any(|(place, check)| match check.symptom() {
        Some(_) => observed.shown(book, fix, place) == Shown::Ends,
        None => at.is_some_and(|at| at.checked.contains(&(place, Shown::Ends))),
    })
}
