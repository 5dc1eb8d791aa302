//! The person's own order: another job first, or a job not today.

use super::talk::{Away, Got, LOOK_BACK_KEYS, Talk};
use crate::plan::{Plan, PlanStep};
use crate::rulebook::index::FixAt;
use crate::rulebook::model::Book;
use crate::show::asking::QuestionPut;
use crate::show::chance;
use crate::show::choice::{self, Pick};
use crate::show::work::{self, PlanLength};
use crate::stream::paint::Ink;
use crate::trade::MachineState;
use crate::visit::event::Event;

/// So many jobs are offered at once.
const OFFERED: usize = 12;

/// What is begun with: the first batch, or what the person picked.
#[derive(Debug, Clone)]
pub(super) struct BeginsWith {
    /// Done locked out, or watched only.
    pub state: MachineState,
    /// The jobs, in order.
    pub steps: Vec<PlanStep>,
    /// Whether a picked job, or what must come before it, stands first.
    pub picked: bool,
}

/// What is begun with now; nothing if nothing is planned.
pub(super) fn begins_with(talk: &mut Talk) -> Option<BeginsWith> {
    let pick = pick(talk);
    let plan = &talk.finding().plan;
    let first = plan.batches.first()?;
    let Some(pick) = pick else {
        return Some(BeginsWith { state: first.state, steps: first.steps.clone(), picked: false });
    };
    // What must come before it: the first batch that holds any of that, and no more of it.
    for batch in &plan.batches {
        let must = batch.steps.iter().filter(|step| pick.must.contains(&step.fix));
        let steps: Vec<PlanStep> = must.cloned().collect();
        if !steps.is_empty() {
            return Some(BeginsWith { state: batch.state, steps, picked: true });
        }
    }
    let here = plan.batches.iter().find(|b| b.steps.iter().any(|s| s.fix == pick.step.fix))?;
    let mut steps = vec![pick.step.clone()];
    if here == first {
        steps.extend(first.steps.iter().filter(|step| step.fix != pick.step.fix).cloned());
    }
    Some(BeginsWith { state: here.state, steps, picked: true })
}

/// The picked job as planned, with what comes before it; nothing if none is picked or the plan does not hold it.
pub(super) fn pick(talk: &mut Talk) -> Option<Pick> {
    let picked = talk.now().picked?;
    let book = talk.means.book;
    let plan = &talk.finding().plan;
    let step = steps(plan).find(|step| step.fix == picked)?.clone();
    let must = needed(book, plan, picked);
    let usual = step.behind.iter().copied().filter(|fix| !must.contains(fix)).collect();
    Some(Pick { step, must, usual })
}

/// Of the jobs to do next those that the person wants: a picked one alone, until it has had a reply.
pub(super) fn picked_first(talk: &Talk, mut planned: Vec<PlanStep>) -> Vec<PlanStep> {
    let picked = talk.now().picked;
    if planned.iter().any(|step| Some(step.fix) == picked) {
        planned.retain(|step| Some(step.fix) == picked);
    }
    planned
}

fn steps(plan: &Plan) -> impl Iterator<Item = &PlanStep> {
    plan.batches.iter().flat_map(|batch| &batch.steps)
}

/// Planned jobs that must be done before this one, by way of others too, in the order of the plan.
fn needed(book: &Book, plan: &Plan, fix: FixAt) -> Vec<FixAt> {
    let mut all = vec![fix];
    let mut at = 0;
    while let Some(&next) = all.get(at) {
        for needed in &book.fixes[next].needs {
            if !all.contains(needed) {
                all.push(*needed);
            }
        }
        at += 1;
    }
    let planned = steps(plan).map(|step| step.fix);
    planned.filter(|planned| *planned != fix && all.contains(planned)).collect()
}

/// Whether there is a job to be picked: one that is not the first anyway, or one that was put off.
pub(super) fn may_pick(talk: &mut Talk) -> bool {
    !to_pick(talk).is_empty()
}

fn to_pick(talk: &mut Talk) -> Vec<FixAt> {
    let first = begins_with(talk).and_then(|begins| Some(begins.steps.first()?.fix));
    let off = talk.now().observed.put_off.clone();
    let picked = talk.now().picked;
    let planned = steps(&talk.finding().plan).map(|step| step.fix);
    let planned = planned.filter(|fix| Some(*fix) != first && Some(*fix) != picked);
    planned.take(OFFERED).chain(off).collect()
}

/// Asks which job is done first, and says what comes before it.
pub(super) fn another_first(talk: &mut Talk) -> Result<(), Away> {
    let jobs = to_pick(talk);
    let Some(fix) = which(talk, "Which job first?", &jobs)? else { return Ok(()) };
    talk.happened(Event::Picked { fix: talk.means.book.fixes[fix].id.clone() })?;
    say_picked(talk);
    shown(talk);
    Ok(())
}

/// Says what is picked, if anything is.
pub(super) fn say_picked(talk: &mut Talk) {
    let Some(picked) = talk.now().picked else { return };
    let page = match pick(talk) {
        Some(pick) => talk.words(|screen, known| choice::picked(screen, known, &pick)),
        None => talk.words(|screen, known| choice::not_planned(screen, known, picked)),
    };
    talk.say(&page);
}

/// Asks which job is not done today, and shows the plan without it.
pub(super) fn not_today(talk: &mut Talk) -> Result<(), Away> {
    let jobs: Vec<FixAt> = steps(&talk.finding().plan).map(|s| s.fix).take(OFFERED).collect();
    let Some(fix) = which(talk, "Which job not today?", &jobs)? else { return Ok(()) };
    talk.happened(Event::PutOff { fix: talk.means.book.fixes[fix].id.clone() })?;
    if talk.finding().plan.batches.is_empty() {
        return Ok(());
    }
    let page = talk.page(|screen, known, finding| {
        work::plan(screen, known, &finding.plan, PlanLength::FirstBatch)
    });
    talk.say(&page);
    say_put_off(talk);
    say_picked(talk);
    shown(talk);
    Ok(())
}

/// Says what is put off, if anything is.
pub(super) fn say_put_off(talk: &mut Talk) {
    if talk.now().observed.put_off.is_empty() {
        return;
    }
    let page = talk.page(choice::put_off);
    talk.say(&page);
}

/// Nothing is believed otherwise after a change of order, so the finding is not shown again.
fn shown(talk: &mut Talk) {
    talk.sitting.finding_shown = Some(talk.now().replies);
    talk.sitting.fits_said = Some(talk.now().replies);
}

fn which(talk: &mut Talk, ask: &str, jobs: &[FixAt]) -> Result<Option<FixAt>, Away> {
    let book = talk.means.book;
    let off = talk.now().observed.put_off.clone();
    let mut answers: Vec<String> = (jobs.iter())
        .map(|fix| {
            let job = &book.fixes[*fix];
            let mark = if off.contains(fix) { ", put off" } else { "" };
            format!("{} ({}{mark})", job.title, chance::minutes(job.minutes))
        })
        .collect();
    answers.push("None: it stays as it is".to_owned());
    let asked = QuestionPut {
        title: "Your own order".to_owned(),
        around: String::new(),
        ask: ask.to_owned(),
        answers,
        keys: &LOOK_BACK_KEYS,
        own: &[],
    };
    loop {
        match talk.put(&asked, None)? {
            Got::Choice(place) => {
                if place >= jobs.len() {
                    talk.say_para(Ink::Plain, "Nothing was changed.");
                }
                return Ok(jobs.get(place).copied());
            }
            Got::Key(_) | Got::Typed(_) | Got::Again if talk.took_back() => return Ok(None),
            Got::Key(_) | Got::Typed(_) | Got::Again => {}
        }
    }
}
