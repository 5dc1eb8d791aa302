//! The book's questions: which one now, why, and when to stop.

use super::measure;
use super::points::{self, Refusal, Through};
use super::something_else;
use super::step_walk;
use super::talk::{Away, Got, Talk};
use crate::ask::{Key, KeyKind};
use crate::rulebook::index::{AnswerAt, FixAt, LookAt, Place, SymptomAt};
use crate::show::act;
use crate::show::asking::{self, QuestionPut, Would};
use crate::show::looks;
use crate::show::work::{self, PlanLength};
use crate::trade::MachineState;
use crate::visit::event::Event;
use crate::visit::{Depth, Reply, answer_id};

/// What a question is asked for as the check of a job.
#[derive(Debug, Clone, Copy)]
pub(super) struct JobCheck<'c> {
    /// The job.
    pub fix: FixAt,
    /// How it is looked at.
    pub order: &'c str,
}

/// The keys of a question: one that no gauge answers has no key to measure. Only in the middle of a job may something
/// else be found, and cautions of a job read again; only before it does a key lead to the plan.
fn keys(measured: bool, job: Option<JobCheck<'_>>) -> Vec<KeyKind> {
    let offered = |kind: &KeyKind| match kind {
        KeyKind::Measure => measured,
        KeyKind::Else | KeyKind::Cautions => job.is_some(),
        KeyKind::Plan => job.is_none(),
        _ => true,
    };
    KeyKind::ALL.into_iter().filter(offered).collect()
}

/// Puts one question of the book, the machine brought into its state first.
pub(super) fn ask(talk: &mut Talk, symptom: SymptomAt) -> Result<(), Away> {
    let asked_about = &talk.means.book.symptoms[symptom];
    match asked_about.state {
        MachineState::LockedOut => {
            let what_for = talk.words(|_, known| looks::behind_lock_out(known, symptom));
            match points::isolate(talk, &what_for, Refusal::MayPlan)? {
                Through::All => {}
                Through::CantNow => return reply(talk, symptom, None),
                Through::ToPlan => return talk.happened(Event::Enough),
                Through::TookBack => return Ok(()),
            }
        }
        MachineState::Running if talk.is_isolated() => {
            let what_for = "The next question needs the belt running.";
            if points::give_back(talk, what_for)? != Through::All {
                return Ok(());
            }
        }
        MachineState::Running | MachineState::Anywhere => {}
    }
    put(talk, symptom, None)
}

/// Puts it as one of the things of a look. `around` is what stands above the first of them.
pub(super) fn put_at_look(
    talk: &mut Talk,
    symptom: SymptomAt,
    title: String,
    around: Option<String>,
) -> Result<(), Away> {
    let keys = keys(talk.means.book.symptoms[symptom].measured.is_some(), None);
    let mut asked = talk.words(|_, known| asking::symptom(known, symptom, 0, &keys));
    asked.title = title;
    asked.around = around.unwrap_or_default();
    asked_now(talk, symptom, &asked, None)
}

/// Puts it as the machine stands, perhaps as the check of a job.
pub(super) fn put(
    talk: &mut Talk,
    symptom: SymptomAt,
    job: Option<JobCheck<'_>>,
) -> Result<(), Away> {
    let asked_about = &talk.means.book.symptoms[symptom];
    let number = talk.now().order.len() + 1;
    let keys = keys(asked_about.measured.is_some(), job);
    let mut asked = talk.words(|_, known| asking::symptom(known, symptom, number, &keys));
    if talk.sitting.again == Some(symptom) {
        asked.title = "Looked at again".to_owned();
    } else if !talk.now().observed.second.is_empty() {
        asked.title = "As it runs now".to_owned();
    }
    if let Some(job) = job {
        asked.title = "Look before you work".to_owned();
        asked.around = job.order.to_owned();
    }
    asked_now(talk, symptom, &asked, job)
}

fn asked_now(
    talk: &mut Talk,
    symptom: SymptomAt,
    asked: &QuestionPut,
    job: Option<JobCheck<'_>>,
) -> Result<(), Away> {
    let asked_about = &talk.means.book.symptoms[symptom];
    // A sign's answers are no and yes, so the words may be typed too.
    let id =
        |place: usize| asked_about.answers.as_slice().get(place).map(|answer| answer.id.as_str());
    let no_yes = (id(0) == Some("no") && id(1) == Some("yes") && asked_about.answers.len() == 2)
        .then_some((0, 1));
    let got = match asked_about.is_marks() {
        true => match put_marks(talk, symptom, asked)? {
            Ok(ticked) => {
                return ticked.map_or(Ok(()), |answer| reply(talk, symptom, Some(answer)));
            }
            Err(got) => got,
        },
        false => talk.put(asked, no_yes)?,
    };
    match got {
        Got::Choice(place) => reply(talk, symptom, Some(AnswerAt::at(place))),
        Got::Key(Key::CantTell) => reply(talk, symptom, None),
        Got::Key(Key::Measure) => measure::measure(talk, symptom),
        Got::Key(Key::Plan) => talk.happened(Event::Enough),
        Got::Key(Key::Else) => something_else::tell(talk),
        Got::Key(Key::Cautions) => {
            if let Some(job) = job {
                step_walk::all_cautions(talk, job.fix, asked_about.state);
            }
            Ok(())
        }
        Got::Key(Key::Why) => {
            let would = would(talk, symptom);
            let page = talk.page(|screen, known, finding| {
                let worth = finding.next.iter().find(|next| next.symptom == symptom);
                asking::why(screen, known, symptom, worth, &would)
            });
            talk.say(&page);
            Ok(())
        }
        Got::Key(_) => {
            let page = talk.words(|screen, known| {
                asking::look(
                    screen,
                    known.sides(),
                    &known.fill(&asked_about.how_to_look),
                    asked_about.drawing,
                )
            });
            talk.say(&page);
            Ok(())
        }
        Got::Typed(_) | Got::Again => Ok(()),
    }
}

/// Puts a question of marks: the answer with those ticked, nothing where the ticks make no answer, or what came
/// instead of ticks.
fn put_marks(
    talk: &mut Talk,
    symptom: SymptomAt,
    asked: &QuestionPut,
) -> Result<Result<Option<AnswerAt>, Got>, Away> {
    let page = talk.words(|screen, known| {
        let none = known.book().symptoms[symptom].answers.values().next();
        asking::marks(screen, asked, &none.map_or_else(String::new, |none| known.fill(&none.says)))
    });
    let ticks = match talk.put_ticks(&page, asked.answers.clone(), asked.keys)? {
        Ok(ticks) => ticks,
        Err(got) => return Ok(Err(got)),
    };
    if (0..asked.answers.len()).any(|line| ticks.is_untold(line)) {
        let page = talk.words(|screen, _| asking::all_or_nothing(screen));
        talk.say(&page);
        return Ok(Ok(None));
    }
    Ok(Ok(Some(talk.means.book.symptoms[symptom].ticking(|line| ticks.is_there(line)))))
}

/// Enough was looked at to act: what the first job is, what would be looked at otherwise, and what the person wants.
pub(super) fn offer_to_act(talk: &mut Talk, more: Option<LookAt>) -> Result<(), Away> {
    let page = talk.page(|screen, known, finding| act::enough(screen, known, finding, more));
    talk.say(&page);
    let likely_not = talk.finding().is_likely_not_in_the_book();
    let (ask, act) = match is_handed_over(talk) {
        true => ("Hand it over, or look on?", "The finding and the plan, to hand over"),
        false if likely_not => ("Hand it over, or look on?", "The finding, and what to hand over"),
        false => ("Go to work, or look on?", "Go to work"),
    };
    let mut answers = vec![act, "See the whole plan first"];
    answers.push(match more {
        Some(_) => "Keep looking",
        None => "Answer the questions that are left",
    });
    let asked = QuestionPut {
        title: "What now?".to_owned(),
        around: String::new(),
        ask: ask.to_owned(),
        answers: answers.into_iter().map(str::to_owned).collect(),
        keys: &[
            KeyKind::Back,
            KeyKind::SoFar,
            KeyKind::Moved,
            KeyKind::Saw,
            KeyKind::Plan,
            KeyKind::Stop,
            KeyKind::Help,
        ],
        own: &[],
    };
    match talk.put(&asked, None)? {
        Got::Choice(0) | Got::Key(Key::Plan) => talk.happened(Event::Enough),
        Got::Choice(1) => {
            let page = talk.page(|screen, known, finding| {
                work::plan(screen, known, &finding.plan, PlanLength::Whole)
            });
            talk.say(&page);
            Ok(())
        }
        Got::Choice(_) => talk.happened(Event::AskedOn),
        Got::Key(_) | Got::Typed(_) | Got::Again => Ok(()),
    }
}

/// Whether the work is for somebody else: it begins locked out, and this person may not.
fn is_handed_over(talk: &mut Talk) -> bool {
    let may_not = talk.now().observed.means.lock_out == Some(false);
    let first = talk.finding().plan.batches.first();
    may_not && first.is_some_and(|batch| batch.state == MachineState::LockedOut)
}

/// The question to ask when nothing is left to be looked at while it runs, and looking goes on all the same.
pub(super) fn next(talk: &mut Talk) -> Option<SymptomAt> {
    talk.finding().next.first().map(|next| next.symptom)
}

fn reply(talk: &mut Talk, symptom: SymptomAt, answer: Option<AnswerAt>) -> Result<(), Away> {
    let book = talk.means.book;
    talk.sitting.again = None;
    talk.happened(Event::Answered {
        symptom: book.symptoms[symptom].id.clone(),
        answer: answer.map(|answer| answer_id(book, symptom, answer)),
    })?;
    let after = &book.symptoms[symptom].price_of_screw_after;
    if answer.is_some_and(|answer| after.contains(&answer)) && !talk.sitting.price_shown {
        talk.sitting.price_shown = true;
        measure::price_of_steering(talk);
    }
    Ok(())
}

/// Most likely cause after each answer.
fn would(talk: &mut Talk, symptom: SymptomAt) -> Vec<Would> {
    let finding = talk.finding().clone();
    let chances =
        finding.next.iter().find(|next| next.symptom == symptom).map(|next| next.chances.clone());
    let Some(chances) = chances else {
        return Vec::new();
    };
    let conveyor = talk.now().conveyor.clone();
    (talk.means.book.symptoms[symptom].listed())
        .map(|(answer, _)| {
            let chance = chances.get(answer.position()).copied().unwrap_or(0.0);
            let mut told = finding.observed.clone();
            told.reply_now(talk.means.book, symptom, Reply::Answer(answer));
            let then = talk.diagnosis().finding_to(&conveyor.facts, &told, Depth::Ranking);
            Would {
                answer,
                chance,
                first: then.ranked.first().map(|first| (first.cause, first.probability)),
            }
        })
        .collect()
}
