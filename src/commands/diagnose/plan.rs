//! The finding and the plan, and what may be done with them.

use super::choose::{self, BeginsWith};
use super::hand_over;
use super::measure;
use super::points::{self, Through};
use super::something_else;
use super::talk::{Away, BackKey, Got, LOOK_BACK_KEYS, Talk};
use crate::ask::{Key, KeyKind, Pace};
use crate::rulebook::index::{CauseAt, SymptomAt};
use crate::rulebook::model::Book;
use crate::show::asking::{self, OwnKey, QuestionPut};
use crate::show::finding_short::{AskedBelow, Short};
use crate::show::nothing_left::{self, LookedBack};
use crate::show::steps::Preface;
use crate::show::work::{self, PlanLength};
use crate::show::{act, belief, chance, finding_short, may_it_run, steps};
use crate::trade::MachineState;
use crate::visit::event::{Ended, Event};
use crate::visit::{Fits, Unclear, Why};

const KEYS: [KeyKind; 11] = [
    KeyKind::Back,
    KeyKind::Why,
    KeyKind::Look,
    KeyKind::Measure,
    KeyKind::SoFar,
    KeyKind::Moved,
    KeyKind::Else,
    KeyKind::Saw,
    KeyKind::Plan,
    KeyKind::Stop,
    KeyKind::Help,
];

/// What some of them mean here.
const OWN: [OwnKey; 5] = [
    (
        KeyKind::Why,
        "why not the screw?",
        "Why not just turn the take-up screw? What that does to this conveyor, in numbers.",
    ),
    (KeyKind::Measure, "gauge", "Measure something: the result stands in the plan, with amounts."),
    (KeyKind::Look, "look closer", "The whole finding: each likely cause, for and against it."),
    (KeyKind::SoFar, "all causes", "All causes with their chances, as they stand now."),
    (KeyKind::Plan, "whole plan", "The whole plan: every job, and why in this order."),
];

/// How many causes a visit remembers as believed.
const REMEMBERED: usize = 8;

#[derive(Debug, Clone, Copy)]
enum PlanChoice {
    Begin,
    TakeOver,
    Read,
    WholePlan,
    Cause,
    AskMore,
    /// Reads the page for a specialist.
    HandOver,
    /// Hands it over now, and ends the visit.
    HandOverNow,
    AnotherFirst,
    NotToday,
    End,
    /// The other choices.
    More,
}

/// So many choices stand below the finding at a terminal; the others are one key away.
const BELOW_THE_FINDING: usize = 2;
/// The keys that are named there. The others work too.
const NAMED_BELOW: [KeyKind; 6] =
    [KeyKind::Back, KeyKind::Look, KeyKind::SoFar, KeyKind::Plan, KeyKind::Stop, KeyKind::Help];

/// Shows the finding and the plan when they are new, and asks what to do.
pub(super) fn stand(talk: &mut Talk) -> Result<(), Away> {
    if !fits(talk)? {
        return Ok(());
    }
    let replies = talk.now().replies;
    if talk.sitting.finding_shown != Some(replies) {
        show(talk)?;
        talk.sitting.finding_shown = Some(replies);
    }
    let (head, mut choices, mut answers) = menu(talk);
    let below = is_below_the_finding(talk);
    if below {
        choices.truncate(BELOW_THE_FINDING);
        answers.truncate(BELOW_THE_FINDING);
        choices.push(PlanChoice::More);
        answers.push("Something else: more choices".to_owned());
    }
    talk.sitting.all_choices = false;
    let asked = QuestionPut {
        title: "What now?".to_owned(),
        around: String::new(),
        ask: head,
        answers,
        keys: &KEYS,
        own: &OWN,
    };
    let got = match below {
        true => {
            let page = finding_with_question(talk, &asked);
            talk.put_page(&page, &asked, (None, BackKey::TakesReplyBack))?
        }
        false => talk.put(&asked, None)?,
    };
    let place = match got {
        Got::Choice(place) => place,
        Got::Key(key) => return by_key(talk, key),
        Got::Typed(_) | Got::Again => return Ok(()),
    };
    match choices.get(place) {
        Some(PlanChoice::Begin) => begin(talk),
        Some(PlanChoice::TakeOver) => talk.happened(Event::MayLockOut { may: true }),
        Some(PlanChoice::Read) => {
            read_through(talk);
            Ok(())
        }
        Some(PlanChoice::WholePlan) => {
            whole_plan(talk);
            Ok(())
        }
        Some(PlanChoice::Cause) => one_cause(talk),
        Some(PlanChoice::AskMore) => talk.happened(Event::AskedOn),
        Some(PlanChoice::HandOver) => {
            hand_over::say_page(talk);
            Ok(())
        }
        Some(PlanChoice::HandOverNow) => hand_over::begin(talk),
        Some(PlanChoice::AnotherFirst) => choose::another_first(talk),
        Some(PlanChoice::NotToday) => choose::not_today(talk),
        Some(PlanChoice::More) => {
            talk.sitting.all_choices = true;
            Ok(())
        }
        Some(PlanChoice::End) => talk.happened(Event::Ended { how: Ended::NothingLeft }),
        None => Ok(()),
    }
}

/// What a letter does at the plan.
fn by_key(talk: &mut Talk, key: Key) -> Result<(), Away> {
    match key {
        Key::Measure => return measure::any(talk),
        Key::Else => return something_else::tell(talk),
        Key::Why => measure::price_of_steering(talk),
        Key::Look => whole_finding(talk),
        Key::Plan => whole_plan(talk),
        _ => {}
    }
    Ok(())
}

/// Writes down what is believed now.
pub(super) fn remember(talk: &mut Talk) -> Result<(), Away> {
    let book = talk.means.book;
    let causes = (talk.finding().ranked.iter().take(REMEMBERED))
        .map(|ranked| (book.causes[ranked.cause].id.clone(), ranked.probability))
        .collect();
    talk.happened(Event::Believed { causes })
}

/// Whether the question what to do stands on the screen of the finding: at a terminal, while there is work.
fn is_below_the_finding(talk: &mut Talk) -> bool {
    talk.ask.pace() == Pace::StepByStep
        && !talk.sitting.all_choices
        && !talk.finding().plan.batches.is_empty()
}

/// What the finding in short tells besides the finding.
struct Besides {
    why: Why,
    unclear: Option<Unclear>,
    asks_to_run: bool,
}

impl Besides {
    fn of(talk: &mut Talk) -> Self {
        let finding = talk.finding().clone();
        let first = belief::leading(&finding).first().map(|ranked| ranked.cause);
        let why = first.map(|cause| talk.diagnosis().why(&finding, cause)).unwrap_or_default();
        let unclear = talk.diagnosis().unclear(&finding);
        let room = talk.now().edge_room.flatten();
        let reasons = talk.page(|_, known, finding| may_it_run::reasons(known, finding, room));
        Self { why, unclear, asks_to_run: !reasons.is_empty() }
    }

    fn short(&self) -> Short<'_> {
        Short { why: &self.why, unclear: self.unclear.as_ref(), asks_to_run: self.asks_to_run }
    }
}

fn finding_with_question(talk: &mut Talk, asked: &QuestionPut) -> String {
    let besides = Besides::of(talk);
    let mut keys = asking::key_words(&NAMED_BELOW, asked.own);
    keys.pop();
    keys.push("h more".to_owned());
    let below = AskedBelow { answers: &asked.answers, keys: &keys };
    talk.page(|screen, known, finding| {
        finding_short::with_question(screen, known, finding, besides.short(), below)
    })
}

/// Shows the finding in short, where it does not stand on one screen with the question; the rest stands behind letters.
fn show(talk: &mut Talk) -> Result<(), Away> {
    let below = is_below_the_finding(talk);
    let finding = talk.finding().clone();
    let besides = Besides::of(talk);
    let now = talk.now().clone();
    let pages = talk.page(|screen, known, finding| {
        if below {
            return String::new();
        }
        let mut pages = finding_short::page(screen, known, finding, besides.short());
        if finding.plan.batches.is_empty() {
            let waits =
                besides.unclear.as_ref().is_some_and(|unclear| !unclear.held_back.is_empty());
            let back = LookedBack::on(&now).with_work_that_waits(waits);
            pages.push_str(&nothing_left::page(screen, known, finding, back));
        }
        pages
    });
    talk.say(&pages);
    if !finding.plan.batches.is_empty() {
        choose::say_put_off(talk);
        choose::say_picked(talk);
    }
    remember(talk)
}

fn whole_plan(talk: &mut Talk) {
    let page = talk
        .page(|screen, known, finding| work::plan(screen, known, &finding.plan, PlanLength::Whole));
    talk.say(&page);
}

/// The finding as a whole: every likely cause with what speaks for and against it, and what would make it clearer.
fn whole_finding(talk: &mut Talk) {
    let finding = talk.finding().clone();
    let leading: Vec<CauseAt> =
        belief::leading(&finding).iter().map(|ranked| ranked.cause).collect();
    let whys = talk.diagnosis().why_all(&finding, &leading);
    let why = |cause: CauseAt| {
        leading
            .iter()
            .position(|c| *c == cause)
            .and_then(|i| whys.get(i).cloned())
            .unwrap_or_default()
    };
    let unclear = talk.diagnosis().unclear(&finding);
    let worst = if finding.something_else_leads() { fits_worst(talk) } else { Vec::new() };
    let pages = talk.page(|screen, known, finding| {
        let mut pages = belief::finding(screen, known, finding, &why);
        if finding.something_else_leads() {
            pages.push_str(&belief::none_of_the_book(screen, known, finding, &worst));
        }
        if let Some(unclear) = &unclear {
            pages.push_str(&act::unclear(screen, known, unclear));
        }
        pages
    });
    talk.say(&pages);
}

/// The answers that fit worst.
fn fits_worst(talk: &mut Talk) -> Vec<SymptomAt> {
    let finding = talk.finding().clone();
    talk.diagnosis().fits(&finding).map(|fits| fits.worst).unwrap_or_default()
}

fn menu(talk: &mut Talk) -> (String, Vec<PlanChoice>, Vec<String>) {
    let book = talk.means.book;
    let begins = choose::begins_with(talk);
    let may_pick = choose::may_pick(talk);
    let waits = begins.is_none() && work_waits(talk);
    let may_not = talk.now().observed.means.lock_out == Some(false);
    let looked_at_work = !talk.now().jobs.is_empty();
    let finding = talk.finding();
    let more = !finding.next.is_empty();
    // Before anything was looked at at work, only where it is likelier than not.
    let likely_not = finding.is_likely_not_in_the_book()
        || (looked_at_work && finding.none_of_them_stands_out(book));
    let mut choices = Vec::new();
    let head = match &begins {
        Some(batch) => {
            let (begin, read) = begin_words(book, batch);
            if likely_not {
                choices.push((PlanChoice::HandOverNow, hand_over::CHOICE.to_owned()));
            }
            let hand_on = may_not && batch.state == MachineState::LockedOut;
            if hand_on {
                choices.push((PlanChoice::Read, "Read the steps, to hand them on".to_owned()));
                let goes_on = "Somebody who may lock out goes on from here".to_owned();
                choices.push((PlanChoice::TakeOver, goes_on));
            } else {
                choices.push((PlanChoice::Begin, begin));
                choices.push((PlanChoice::Read, read));
            }
            if finding.plan.batches.len() > 1 {
                let whole = "Read the whole plan, and why in this order".to_owned();
                choices.push((PlanChoice::WholePlan, whole));
            }
            match hand_on {
                true => "This is for somebody who may lock out. Hand it on, or look closer?",
                false if likely_not => "Hand it over, or go on with the work?",
                false => "Go on with the work, or look closer?",
            }
        }
        None => {
            let (end, head) = match finding.observed.put_off.is_empty() {
                true if waits => (
                    "End this visit: somebody else goes on from here",
                    "No work is planned until it is clearer.",
                ),
                true => (
                    "End this visit: nothing in the book is left to do",
                    "The book has no work left that would help.",
                ),
                false => (
                    "End this visit: what was put off will not be done",
                    "Nothing is left but what was put off.",
                ),
            };
            choices.push((PlanChoice::End, end.to_owned()));
            head
        }
    };
    if !finding.ranked.is_empty() {
        choices.push((PlanChoice::Cause, "Look closer at one cause".to_owned()));
    }
    if more {
        choices.push((PlanChoice::AskMore, "Answer more questions".to_owned()));
    }
    // Where no work is left the page was shown already.
    if finding.something_else_leads() && !likely_not && begins.is_some() {
        let page = "Read the page for a specialist: it may not be in the book".to_owned();
        choices.push((PlanChoice::HandOver, page));
    }
    if may_pick {
        choices.push((PlanChoice::AnotherFirst, "Do another job first".to_owned()));
    }
    if begins.is_some() {
        choices.push((PlanChoice::NotToday, "Put a job off: not today".to_owned()));
    }
    let (choices, answers) = choices.into_iter().unzip();
    (head.to_owned(), choices, answers)
}

/// Whether work waits until it is clearer what is wrong.
fn work_waits(talk: &mut Talk) -> bool {
    let finding = talk.finding().clone();
    let unclear = talk.diagnosis().unclear(&finding);
    unclear.is_some_and(|unclear| !unclear.held_back.is_empty())
}

/// The words of the answers to begin, and to read the steps first.
fn begin_words(book: &Book, batch: &BeginsWith) -> (String, String) {
    let minutes: f64 = batch.steps.iter().map(|step| book.fixes[step.fix].minutes).sum();
    let minutes = chance::minutes(minutes);
    let state = match batch.state {
        MachineState::LockedOut => "LOCKED OUT",
        MachineState::Running | MachineState::Anywhere => "running, watched only",
    };
    // A check may spare a job; and after one job the belt is looked at, and the plan made anew.
    let most = match batch.steps.len() {
        0 | 1 => format!("at most {minutes}"),
        jobs => format!("{jobs} jobs, at most {minutes}"),
    };
    match batch.steps.first().filter(|_| batch.picked) {
        None => (
            format!("Begin batch 1: {state}, {most}"),
            "Read the steps of batch 1 first".to_owned(),
        ),
        Some(first) => (
            format!("Begin with \"{}\": {state}, {most}", book.fixes[first.fix].title),
            "Read its steps first".to_owned(),
        ),
    }
}

fn begin(talk: &mut Talk) -> Result<(), Away> {
    let book = talk.means.book;
    let Some(batch) = choose::begins_with(talk) else {
        return Ok(());
    };
    let locked_out = batch.state == MachineState::LockedOut;
    if !locked_out && talk.is_isolated() {
        let what_for = "The next work is only to be watched while the belt runs.";
        if points::give_back(talk, what_for)? != Through::All {
            return Ok(());
        }
    }
    let fixes = batch.steps.iter().map(|step| book.fixes[step.fix].id.clone()).collect();
    talk.happened(Event::BatchBegun { locked_out, fixes })
}

fn read_through(talk: &mut Talk) {
    let steps = choose::begins_with(talk).map(|batch| batch.steps).unwrap_or_default();
    let pages = talk.words(|screen, known| {
        let pages = steps.iter().enumerate().map(|(place, step)| {
            let words = steps::plan_text(known.book(), known, step, Preface::place(place));
            work::step(screen, known, step.fix, &step.for_causes, &words)
        });
        pages.collect::<String>()
    });
    talk.say(&pages);
}

fn one_cause(talk: &mut Talk) -> Result<(), Away> {
    let book = talk.means.book;
    let ranked: Vec<_> = talk.finding().ranked.iter().take(REMEMBERED).copied().collect();
    let asked = QuestionPut {
        title: "One cause".to_owned(),
        around: String::new(),
        ask: "Which one?".to_owned(),
        answers: ranked
            .iter()
            .map(|r| format!("{} ({})", book.causes[r.cause].name, chance::percent(r.probability)))
            .collect(),
        keys: &LOOK_BACK_KEYS,
        own: &[],
    };
    let place = loop {
        match talk.put(&asked, None)? {
            Got::Choice(place) => break place,
            Got::Key(_) | Got::Typed(_) | Got::Again if talk.took_back() => return Ok(()),
            Got::Key(_) | Got::Typed(_) | Got::Again => {}
        }
    };
    if let Some(ranked) = ranked.get(place) {
        let finding = talk.finding().clone();
        let why = talk.diagnosis().why(&finding, ranked.cause);
        let page =
            talk.page(|screen, known, finding| belief::cause(screen, known, finding, ranked, &why));
        talk.say(&page);
    }
    Ok(())
}

/// Whether to go on: answers that do not fit together are said first, and may be looked at again.
fn fits(talk: &mut Talk) -> Result<bool, Away> {
    let replies = talk.now().replies;
    if talk.now().work_begun() || talk.sitting.fits_said == Some(replies) {
        return Ok(true);
    }
    let finding = talk.finding().clone();
    let misfit = talk.diagnosis().fits(&finding).filter(Fits::is_bad);
    let Some(misfit) = misfit.filter(|fits| !fits.worst.is_empty()) else {
        talk.sitting.fits_said = Some(replies);
        return Ok(true);
    };
    let page = talk.words(|screen, known| belief::misfit(screen, known, &misfit));
    talk.say(&page);
    let worst: Vec<_> = misfit.worst.iter().copied().take(3).collect();
    let mut answers: Vec<String> = talk.words(|_, known| {
        worst
            .iter()
            .map(|s| format!("Look again: {}", known.fill(&known.book().symptoms[*s].ask)))
            .collect()
    });
    answers.push("They are right: go on".to_owned());
    let asked = QuestionPut {
        title: "Look again?".to_owned(),
        around: String::new(),
        ask: "Which would you look at again?".to_owned(),
        answers,
        keys: &LOOK_BACK_KEYS,
        own: &[],
    };
    match talk.put(&asked, None)? {
        Got::Choice(place) => match worst.get(place) {
            Some(symptom) => {
                talk.sitting.again = Some(*symptom);
                Ok(false)
            }
            None => {
                talk.sitting.fits_said = Some(replies);
                Ok(true)
            }
        },
        Got::Key(_) | Got::Typed(_) | Got::Again => Ok(false),
    }
}
