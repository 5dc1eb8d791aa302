//! At a terminal the steps of a job are put one to a screen, so that none scrolls away. Which step somebody is at is
//! known to this sitting alone: on disk stands what was done, not what was read.

use super::something_else;
use super::talk::{Away, BackKey, Got, StepPlace, Talk};
use crate::ask::{Key, KeyKind, Pace};
use crate::plan::PlanStep;
use crate::rulebook::index::{CautionAt, FixAt};
use crate::show::asking::{OwnKey, QuestionPut};
use crate::show::stepwise::{self, GO_ON, Keys, StepPut, StepScreen};
use crate::show::work;
use crate::trade::MachineState;

/// The keys at a step.
const KEYS: [KeyKind; 8] = [
    KeyKind::Back,
    KeyKind::Why,
    KeyKind::Cautions,
    KeyKind::SoFar,
    KeyKind::Moved,
    KeyKind::Else,
    KeyKind::Stop,
    KeyKind::Help,
];
/// What they do there.
const OWN: [OwnKey; 2] = [
    (KeyKind::Back, "back", "One step back; at the first one, one question back."),
    (KeyKind::Why, "why now", "Why this work stands here in the plan."),
];

/// Whether jobs are put step by step.
pub(super) fn is_wished(talk: &Talk) -> bool {
    talk.ask.pace() == Pace::StepByStep
}

/// Shows what a job is.
pub(super) fn begun(talk: &mut Talk, fix: FixAt) {
    (talk.sitting.step, talk.sitting.head_shown) = (None, None);
    let page = talk.words(|screen, known| stepwise::begun(screen, known, fix));
    talk.say(&page);
}

/// Shows once what the work of a job is whose looks came first.
pub(super) fn head_of_work(talk: &mut Talk, fix: FixAt) {
    let looked_first = !talk.means.book.fixes[fix].begins_with.is_empty();
    if !is_wished(talk) || !looked_first || talk.sitting.head_shown.replace(fix) == Some(fix) {
        return;
    }
    let page = talk.words(|screen, known| stepwise::work_head(screen, known, fix));
    talk.say(&page);
}

/// What is read once between two times that the machine is given back: before the lock-out the cautions of all work
/// behind it, before a look at the running belt what matters there.
pub(super) fn standing(talk: &mut Talk, state: MachineState) {
    let read = &mut talk.sitting.read;
    let told = match state {
        MachineState::LockedOut => &mut read.standing,
        MachineState::Running | MachineState::Anywhere => &mut read.running_look,
    };
    if std::mem::replace(told, true) || !is_wished(talk) {
        return;
    }
    let page = talk.words(|screen, known| match state {
        MachineState::LockedOut => stepwise::standing(screen, known),
        MachineState::Running | MachineState::Anywhere => stepwise::running_look(screen, known),
    });
    talk.say(&page);
}

/// Before the first look of a job on the isolated machine: those of its own cautions that were not read yet since the
/// lock-out.
pub(super) fn before_check(talk: &mut Talk, fix: FixAt) {
    if !is_wished(talk) || talk.sitting.read.at_look_of == Some(fix) {
        return;
    }
    standing(talk, MachineState::LockedOut);
    let before = talk.sitting.read.own.clone();
    let page = talk.words(|screen, known| stepwise::before_look(screen, known, fix, &before));
    talk.say(&page);
    let own = talk.words(|_, known| stepwise::own_cautions(known, fix));
    let read = &mut talk.sitting.read;
    read.at_look_of = Some(fix);
    read.at_look = own.into_iter().filter(|caution| !before.contains(caution)).collect();
    read.own.extend(read.at_look.clone());
}

/// The cautions of a job that stood before its look.
fn at_look(talk: &Talk, fix: FixAt) -> Vec<CautionAt> {
    let read = &talk.sitting.read;
    if read.at_look_of == Some(fix) { read.at_look.clone() } else { Vec::new() }
}

/// How a walk through the steps of one part stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Walked {
    /// All of them were read.
    ToTheEnd,
    /// A part that others follow could not be done.
    CouldNot,
    /// Not yet: look afresh where things stand.
    NotYet,
}

/// The part of a job that is walked through.
#[derive(Debug, Clone, Copy)]
pub(super) struct Part {
    /// Which stretch of its steps, from 0.
    pub stretch: usize,
    /// Whether it is the last one.
    pub is_last: bool,
}

/// Puts the screen that somebody is at.
pub(super) fn walk(talk: &mut Talk, step: &PlanStep, part: Part) -> Result<Walked, Away> {
    let fix = step.fix;
    let at_look = at_look(talk, fix);
    let screens = screens(talk, fix, part, &at_look);
    // Of a part that others follow, the answer at the last step says that it is done.
    let most = if part.is_last { screens.len() } else { screens.len().saturating_sub(1) };
    let place = at(talk, fix, part.stretch).min(most);
    let Some(shown) = screens.get(place) else { return Ok(Walked::ToTheEnd) };
    if place == 0 {
        // After a break nobody has read them in this sitting.
        let state = talk.means.book.fixes[fix].state();
        standing(talk, state);
    }
    let answers: &[&str] = match (place + 1 == screens.len(), part.is_last) {
        (false, _) => &["Next step (or Enter alone)"],
        (true, false) => &["This part is done (or Enter alone)", "It could not be done"],
        (true, true) => &["All steps done (or Enter alone)"],
    };
    let answers: Vec<String> = answers.iter().map(|answer| (*answer).to_owned()).collect();
    let keys = Keys { keys: &KEYS, own: &OWN };
    let (page, answers) = match *shown {
        StepScreen::Cautions => {
            let page = talk.words(|screen, known| {
                stepwise::cautions_screen(screen, known, fix, &at_look, keys)
            });
            (page, vec![GO_ON.to_owned()])
        }
        StepScreen::Step { number, place } => {
            if number == 0 && !are_many(talk, fix, &at_look) {
                // By itself, so that the step stands below it in one piece.
                let own =
                    talk.words(|screen, known| stepwise::before_work(screen, known, fix, &at_look));
                talk.say(&own);
            }
            let put = StepPut { fix, stretch: part.stretch, number, place, answers: &answers };
            (talk.words(|screen, known| stepwise::step(screen, known, put, keys)), answers)
        }
    };
    let asked = asked(answers, String::new());
    let back = back_at(place);
    let got = talk.put_page(&page, &asked, (Some(0), back))?;
    let stretch = part.stretch;
    match got {
        Got::Choice(1) => return Ok(Walked::CouldNot),
        Got::Choice(_) => {
            talk.sitting.step = Some(StepPlace { fix, stretch, screen: place + 1 });
            // The last step leads on at once to what is asked then.
            return Ok(match place + 1 >= screens.len() {
                true => Walked::ToTheEnd,
                false => Walked::NotYet,
            });
        }
        Got::Key(key) => key_at_step(talk, step, stretch, key)?,
        Got::Typed(_) | Got::Again => {}
    }
    Ok(Walked::NotYet)
}

/// Asks how it went, after the last step that was put. `answers` are those of the whole page.
pub(super) fn how_did_it_go(
    talk: &mut Talk,
    step: &PlanStep,
    stretch: usize,
    answers: Vec<String>,
) -> Result<Option<usize>, Away> {
    let fix = step.fix;
    let keys = Keys { keys: &KEYS, own: &OWN };
    let page =
        talk.words(|screen, known| stepwise::how_did_it_go(screen, known, fix, &answers, keys));
    let asked = asked(answers, talk.means.book.fixes[fix].title.clone());
    let place = at(talk, fix, stretch);
    match talk.put_page(&page, &asked, (None, back_at(place)))? {
        Got::Choice(place) => Ok(Some(place)),
        Got::Key(key) => key_at_step(talk, step, stretch, key).map(|()| None),
        Got::Typed(_) | Got::Again => Ok(None),
    }
}

fn key_at_step(talk: &mut Talk, step: &PlanStep, stretch: usize, key: Key) -> Result<(), Away> {
    let fix = step.fix;
    match key {
        Key::Back(steps) => {
            let screen = at(talk, fix, stretch).saturating_sub(steps);
            talk.sitting.step = Some(StepPlace { fix, stretch, screen });
        }
        Key::Why => {
            let page = talk.words(|screen, known| work::why_here_page(screen, known, step));
            talk.say(&page);
        }
        Key::Cautions => {
            let state = talk.means.book.fixes[fix].state();
            all_cautions(talk, fix, state);
        }
        Key::Else => return something_else::tell(talk),
        _ => {}
    }
    Ok(())
}

/// All cautions of a job, with those of all that is done in this state of the machine.
pub(super) fn all_cautions(talk: &mut Talk, fix: FixAt, state: MachineState) {
    let page = talk.words(|screen, known| stepwise::all_cautions(screen, known, fix, state));
    talk.say(&page);
}

/// Back from the first screen leads out of the steps.
fn back_at(place: usize) -> BackKey {
    if place == 0 { BackKey::TakesReplyBack } else { BackKey::LeftToAsker }
}

fn asked(answers: Vec<String>, ask: String) -> QuestionPut<'static> {
    QuestionPut {
        title: String::new(),
        around: String::new(),
        ask,
        answers,
        keys: &KEYS,
        own: &OWN,
    }
}

/// The screen that somebody is at, from 0.
fn at(talk: &Talk, fix: FixAt, stretch: usize) -> usize {
    let here = talk.sitting.step.filter(|at| at.fix == fix && at.stretch == stretch);
    here.map_or(0, |at| at.screen)
}

fn are_many(talk: &Talk, fix: FixAt, at_look: &[CautionAt]) -> bool {
    talk.words(|_, known| stepwise::are_many(known, fix, at_look))
}

fn screens(talk: &Talk, fix: FixAt, part: Part, at_look: &[CautionAt]) -> Vec<StepScreen> {
    let entry = &talk.means.book.fixes[fix];
    let before = stepwise::before(entry, part.stretch);
    let mut screens = Vec::new();
    // Before a job's first step, but for those that stood before its look.
    if before == 0 && are_many(talk, fix, at_look) {
        screens.push(StepScreen::Cautions);
    }
    let steps = 0..stepwise::in_stretch(entry, part.stretch);
    screens.extend(steps.map(|place| StepScreen::Step { number: before + place, place }));
    screens
}
