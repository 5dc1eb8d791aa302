//! The finding on one small screen: the cause, why, the first job. The rest stands behind letters that it names.

use super::chance;
use super::letters::{capital, small};
use super::page::{Page, Screen};
use super::words::Known;
use super::{act, belief, may_it_run};
use crate::plan::Plan;
use crate::rulebook::model::Symptom;
use crate::stream::paint::{Ink, Paint};
use crate::visit::{Finding, Unclear, Weighed, Why};

/// So many reasons are named.
const REASONS: usize = 3;
/// An answer that weighs less than this, in decibans, is no reason.
const WEIGHS: f64 = 0.5;

/// What the finding in short tells besides the finding itself.
#[derive(Debug, Clone, Copy)]
pub struct Short<'s> {
    /// Why, of the first cause.
    pub why: &'s Why,
    /// There while the picture is not clear.
    pub unclear: Option<&'s Unclear>,
    /// Whether something was told after which somebody else decides if it may run.
    pub asks_to_run: bool,
}

/// The finding in short.
pub fn page(screen: Screen, known: &Known, finding: &Finding, short: Short<'_>) -> String {
    let mut page = Page::new(screen);
    body(&mut page, known, finding, short, Room { reasons: REASONS, blanks: true });
    page.para("f: all causes. l: the whole why. p: the whole plan.");
    page.finish()
}

/// What is asked below the finding, on the same screen.
#[derive(Debug, Clone, Copy)]
pub struct AskedBelow<'a> {
    /// The answers.
    pub answers: &'a [String],
    /// The keys, as they are called there.
    pub keys: &'a [String],
}

/// The finding in short with what is asked then, on one screen of the smallest size: reasons give way first, then blank
/// lines. What gives way at the narrowest screen does on wider ones too.
pub fn with_question(
    screen: Screen,
    known: &Known,
    finding: &Finding,
    short: Short<'_>,
    asked: AskedBelow<'_>,
) -> String {
    let laid_out = |screen: Screen, room: Room| {
        let mut page = Page::new(screen);
        body(&mut page, known, finding, short, room);
        for (place, answer) in asked.answers.iter().enumerate() {
            page.item(&format!("{:>2}  ", place + 1), answer);
        }
        page.flow(Ink::Faint, asked.keys);
        page.finish()
    };
    let narrow = Screen::new(Screen::NARROWEST, Paint::NONE);
    let rooms = [(3, true), (2, true), (3, false), (2, false), (1, false), (0, false)];
    let rooms = rooms.map(|(reasons, blanks)| Room { reasons, blanks });
    let fits = |room: &Room| laid_out(narrow, *room).lines().count() <= ROWS;
    let fitting = rooms.iter().find(|room| fits(room));
    laid_out(screen, *fitting.unwrap_or(&Room { reasons: 0, blanks: false }))
}

/// Rows of the smallest terminal, without that of the prompt.
const ROWS: usize = 23;

/// How much room there is.
#[derive(Debug, Clone, Copy)]
struct Room {
    reasons: usize,
    blanks: bool,
}

fn body(page: &mut Page, known: &Known, finding: &Finding, short: Short<'_>, room: Room) {
    page.title("The finding");
    let gap = |page: &mut Page| {
        if room.blanks {
            page.blank();
        }
    };
    if short.asks_to_run {
        page.para_in(Ink::Warn, may_it_run::IN_SHORT);
    }
    if finding.ranked.is_empty() {
        page.para("No cause in the book applies to this conveyor.");
    }
    belief::leader(page, known, finding);
    gap(page);
    belief::no_trim_in_it(page, known, finding);
    if !finding.something_else_leads() {
        let strong = short.why.raises.iter().filter(|weighed| weighed.decibans >= WEIGHS);
        for weighed in strong.take(room.reasons) {
            page.item("Why: ", &reason(known, weighed));
        }
    }
    if let Some(unclear) = short.unclear {
        page.para_in(Ink::Warn, &not_clear(known, unclear));
    }
    gap(page);
    first_job(page, known, &finding.plan);
    gap(page);
}

/// "What noise stands out? A thump (strongly)": what was seen, without the question where a tick says it by itself.
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
        _ if symptom.is_marks() => capital(says),
        // "Nothing stands out" may be heat, noise or marks.
        _ => format!("{} {}", known.fill(&symptom.ask), capital(says)),
    }
}

fn not_clear(known: &Known, unclear: &Unclear) -> String {
    let limits = &known.book().thresholds;
    let mut words = format!(
        "Not clear: no cause reaches {}. No job over {} locked out is planned yet.",
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
    page.para_in(Ink::Strong, &format!("First job: {}", fix.title));
    let work = chance::minutes(step.work_minutes);
    page.para(&match step.checks.is_empty() {
        true => format!("{work} of work."),
        false => format!(
            "A look first, {}; the work only if it calls for it, {work}.",
            chance::minutes(check)
        ),
    });
    page.para(&format!("Chance that it cures the belt: {}.", chance::percent(step.gain)));
    let all = act::plan_minutes(book, plan);
    page.para(&format!("All of it, in about nine cases of ten: {} or less.", chance::minutes(all)));
    let limit = book.thresholds.supervisor_first_minutes;
    if all > limit {
        let limit = chance::minutes(limit);
        page.para_in(Ink::Warn, &format!("Over {limit}: ask the supervisor first."));
    }
}
