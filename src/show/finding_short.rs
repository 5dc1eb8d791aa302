//! The finding on one small screen: the cause, why, the first job. The rest stands behind letters that it names.

use super::chance;
use super::letters::{capital, small};
use super::page::{Page, Screen};
use super::words::Known;
use super::{act, belief};
use crate::plan::Plan;
use crate::rulebook::model::Symptom;
use crate::stream::paint::Ink;
use crate::visit::{Finding, Unclear, Weighed, Why};

/// So many reasons are named.
const REASONS: usize = 3;
/// An answer that weighs less than this, in decibans, is no reason.
const WEIGHS: f64 = 0.5;

/// The finding in short. `why` is that of the first cause; `unclear` is there while the picture is not clear.
pub fn page(
    screen: Screen,
    known: &Known,
    finding: &Finding,
    why: &Why,
    unclear: Option<&Unclear>,
) -> String {
    let mut page = Page::new(screen);
    page.title("The finding");
    if finding.ranked.is_empty() {
        page.para("No cause in the book applies to this conveyor.");
    }
    belief::leader(&mut page, known, finding);
    belief::no_trim_in_it(&mut page, known, finding);
    if !finding.something_else_leads() {
        let strong = why.raises.iter().filter(|weighed| weighed.decibans >= WEIGHS);
        for weighed in strong.take(REASONS) {
            page.item("Why: ", &reason(known, weighed));
        }
    }
    if let Some(unclear) = unclear {
        page.para_in(Ink::Warn, &not_clear(known, unclear));
    }
    first_job(&mut page, known, &finding.plan);
    page.para("f: all causes. l: the whole why. p: the whole plan.");
    page.finish()
}

/// "Thick ridges or caked ends (strongly)": what was seen, without the question where the words say it by themselves.
fn reason(known: &Known, weighed: &Weighed) -> String {
    let symptom = &known.book().symptoms[weighed.symptom];
    let answer = &symptom.answers[weighed.answer];
    let weight = chance::weight(weighed.decibans);
    format!("{} ({weight})", seen(known, symptom, &answer.id, &known.fill(&answer.says)))
}

fn seen(known: &Known, symptom: &Symptom, id: &str, says: &str) -> String {
    // A tick that is no more than the yes of its question says nothing without it.
    let yes = symptom.answers.values().find(|answer| answer.id == "yes");
    let is_statement =
        !symptom.tick.is_empty() && yes.is_none_or(|answer| answer.says != symptom.tick);
    match id {
        "yes" if is_statement => known.fill(&symptom.tick),
        "no" if is_statement => format!("Not so: {}", small(&known.fill(&symptom.tick))),
        "yes" | "no" => format!("{} {}", known.fill(&symptom.ask), small(says)),
        _ => capital(says),
    }
}

fn not_clear(known: &Known, unclear: &Unclear) -> String {
    let limits = &known.book().thresholds;
    let mut words = format!(
        "It is not clear: no cause is as likely as {}. No locked-out work of more than {} is planned on it.",
        chance::percent(limits.clear),
        chance::minutes(limits.unclear_work_minutes)
    );
    if !unclear.parting.is_empty() {
        words.push_str(" What would part them: l.");
    }
    words
}

/// The first job with its check, what it promises, and what all may take.
fn first_job(page: &mut Page, known: &Known, plan: &Plan) {
    let book = known.book();
    let Some(step) = plan.batches.first().and_then(|batch| batch.steps.first()) else { return };
    let fix = &book.fixes[step.fix];
    let check: f64 = step.checks.iter().map(|(_, minutes)| minutes).sum();
    page.blank().para_in(Ink::Strong, &format!("First job: {}", fix.title));
    let work = chance::minutes(step.work_minutes);
    page.para(&match step.checks.is_empty() {
        true => format!("{work} of work."),
        false => format!(
            "A look first, {}; the work only if it calls for it, {work}.",
            chance::minutes(check)
        ),
    });
    page.para(&format!(
        "It makes the belt run true with a chance of {}.",
        chance::percent(step.gain)
    ));
    let all = act::plan_minutes(book, plan);
    page.para(&format!("All of it, in about nine cases of ten: {} or less.", chance::minutes(all)));
    let limit = book.thresholds.supervisor_first_minutes;
    if all > limit {
        let limit = chance::minutes(limit);
        page.para_in(
            Ink::Warn,
            &format!("That is more than {limit}: ask the supervisor before anybody begins."),
        );
    }
    page.blank();
}
