//! Pages for the work: the plan, one step, the points of isolation and restart, what is left at the end.

use super::chance::{self, count};
use super::map;
use super::page::{Page, Screen};
use super::steps::{self, Preface, StepWords};
use super::take;
use super::words::Known;
use crate::plan::{Plan, PlanBatch, PlanStep};
use crate::rulebook::index::{CauseAt, FixAt};
use crate::rulebook::model::{Book, Fix, Step, Stretch};
use crate::stream::paint::Ink;
use crate::trade::MachineState;
use crate::visit::VisitState;
use crate::visit::{Finding, SaidCured};

/// How much of a plan is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlanLength {
    /// Every batch with its tools, and every step with why it stands where it stands.
    Whole,
    /// That of the first batch; of the further ones, which may never be needed, just what they are.
    FirstBatch,
}

/// The plan, batch by batch, with the drawing of the conveyor.
pub fn plan(screen: Screen, known: &Known, plan: &Plan, length: PlanLength) -> String {
    let book = known.book();
    let mut page = Page::new(screen);
    page.title("The plan");
    if plan.batches.is_empty() {
        page.para("The book has no work left that would help.");
        return page.finish();
    }
    page.para(&format!(
        "{} that may be needed. Chance that the whole plan cures it: {}.",
        count(plan.batches.len(), "batch", "batches"),
        chance::percent(plan.cured_by_plan)
    ));
    page.para("Watch the belt after each batch. Once it runs true, the rest is not needed.");
    for (place, batch) in plan.batches.iter().enumerate() {
        page.blank();
        if place > 0 && length == PlanLength::FirstBatch {
            batch_short(&mut page, book, place + 1, batch);
            continue;
        }
        batch_head(&mut page, known, place + 1, batch);
        for (number, step) in batch.steps.iter().enumerate() {
            step_short(&mut page, known, number, step);
        }
    }
    let moves: Vec<_> = (plan.batches.first().into_iter().flat_map(|batch| &batch.steps))
        .flat_map(|step| steps::plan_text(book, known, step, Preface::Nothing).moves)
        .filter(|moved| moved.side.is_some())
        .collect();
    map::draw(&mut page, known, &moves);
    page.finish()
}

/// A batch by its name, and how long it takes with everything before and after the work, in minutes.
fn batch_name(book: &Book, number: usize, batch: &PlanBatch) -> String {
    let state = match batch.state {
        MachineState::LockedOut => "LOCKED OUT",
        MachineState::Running | MachineState::Anywhere => "RUNNING, watch only",
    };
    let total = batch.set_up_minutes + work_minutes(book, batch) + book.minutes.restart_and_watch;
    format!("Batch {number}: {state}, {} in all", chance::minutes(total))
}

fn work_minutes(book: &Book, batch: &PlanBatch) -> f64 {
    let minutes = batch.steps.iter().map(|step| book.fixes[step.fix].minutes);
    minutes.sum()
}

fn batch_short(page: &mut Page, book: &Book, number: usize, batch: &PlanBatch) {
    page.head(&batch_name(book, number, batch));
    for (place, step) in batch.steps.iter().enumerate() {
        let fix = &book.fixes[step.fix];
        let lead = format!("{:>2}  ", place + 1);
        let minutes = chance::minutes(fix.minutes);
        page.item(&lead, &format!("{} ({minutes})", fix.title));
    }
}

fn batch_head(page: &mut Page, known: &Known, number: usize, batch: &PlanBatch) {
    let book = known.book();
    let people = batch.steps.iter().map(|step| book.fixes[step.fix].people).max().unwrap_or(1);
    page.head(&batch_name(book, number, batch));
    let isolate = match batch.state {
        MachineState::LockedOut if batch.set_up_minutes > 0.0 => {
            format!("{} to isolate, ", chance::minutes(batch.set_up_minutes))
        }
        _ => String::new(),
    };
    let watch =
        if batch.state == MachineState::LockedOut { "to restart and watch" } else { "to watch" };
    page.para(&format!(
        "{isolate}{} of work, {} {watch}. {}.",
        chance::minutes(work_minutes(book, batch)),
        chance::minutes(book.minutes.restart_and_watch),
        chance::people(people)
    ));
    let tools = batch.steps.iter().flat_map(|step| &book.fixes[step.fix].tools);
    take::lines(page, known, tools.map(String::as_str));
}

fn step_short(page: &mut Page, known: &Known, place: usize, step: &PlanStep) {
    let book = known.book();
    let fix = &book.fixes[step.fix];
    let words = steps::plan_text(book, known, step, Preface::place(place));
    page.item(
        &format!("{:>2}  ", place + 1),
        &format!("{} ({}, {})", fix.title, chance::minutes(fix.minutes), steps::in_short(&words)),
    );
    page.item("    for: ", &causes(book, &step.for_causes));
    let measured = fix.amounts_from.iter().filter(|gauge| !known.amounts(gauge.id).is_empty());
    for gauge in measured {
        let says = format!("with the gauge {}: the amounts are in its steps", gauge.id);
        page.item("    measured ", &says);
    }
    page.item("    here because: ", &why_here(book, step));
}

/// So many of the fixes that come first are named.
const MOST_BEHIND: usize = 2;

/// Why a step stands where it stands.
fn why_here(book: &Book, step: &PlanStep) -> String {
    let gain =
        format!("it alone makes the belt run true in {} of cases", chance::percent(step.gain));
    if step.behind.is_empty() {
        return format!("{gain}. Nothing has to come before it");
    }
    let mut before: Vec<String> =
        step.behind.iter().take(MOST_BEHIND).map(|fix| book.fixes[*fix].title.clone()).collect();
    if step.behind.len() > MOST_BEHIND {
        before.push(format!("and {} more", step.behind.len() - MOST_BEHIND));
    }
    format!("{gain}. It comes after: {}", before.join("; "))
}

/// The same on a page of its own.
pub fn why_here_page(screen: Screen, known: &Known, step: &PlanStep) -> String {
    let book = known.book();
    let mut page = Page::new(screen);
    page.title("Why this work now")
        .para(&format!("{}.", super::letters::capital(&why_here(book, step))));
    page.para(&format!("It cures: {}.", causes(book, &step.for_causes)));
    let source = steps::mark(book, &book.fixes[step.fix].source);
    page.para_in(Ink::Faint, &format!("Source: {source}."));
    page.finish()
}

/// What is watched once it runs true.
pub const TO_WATCH: [&str; 2] = [
    "Have it loaded. Watch three full turns again, from outside the guards.",
    "Look at it again on the next weekly round (common practice).",
];

/// It runs true: what cured it, and how it stays so.
pub fn runs_true(screen: Screen, known: &Known, finding: &Finding, now: &VisitState) -> String {
    let mut page = Page::new(screen);
    page.title("It runs true")
        .para_in(Ink::Good, "The belt runs true. This visit is over.")
        .blank();
    what_cured(&mut page, known, finding);
    page.blank().head("To keep it running true");
    let mut done = finding.observed.done.iter().flatten();
    if done
        .any(|fix| !steps::fix_text(known.book(), known, *fix, Preface::Nothing).moves.is_empty())
    {
        page.item(" * ", "Paint a thin line across every foot, screw and bracket that was moved. The next move can then be seen.");
    }
    for what in TO_WATCH {
        page.item(" * ", what);
    }
    super::stays_so::open_jobs(&mut page, known, now);
    page.finish()
}

/// What cured it, each with the work that did, and what was done besides.
pub fn what_cured(page: &mut Page, known: &Known, finding: &Finding) {
    let book = known.book();
    let cured = finding.cured(book);
    let others = &finding.observed.something_else;
    let said = match finding.observed.said_cured {
        Some(SaidCured::SomethingElse(place)) => others.get(place),
        _ => None,
    };
    let titles = |fixes: &[FixAt]| {
        let titles: Vec<&str> = (fixes.iter()).map(|fix| book.fixes[*fix].title.as_str()).collect();
        titles.join("; ")
    };
    page.head(match cured.as_slice() {
        _ if said.is_some() => "What cured it",
        [] => "What cured it is not clear",
        [one] if one.seen => "What cured it",
        _ => "What most likely cured it",
    });
    if let Some(told) = said {
        page.item(" - ", &format!("Something else, in your own words: {}", told.words()));
    }
    for cured in &cured {
        let how_sure = match cured.seen {
            true => "found as suspected".to_owned(),
            false => format!("chance that it was there: {}", chance::percent(cured.was_present)),
        };
        let name = &book.causes[cured.cause].name;
        page.item(" - ", &format!("{name} ({how_sure})"));
        page.item("   Work done: ", &titles(&cured.by));
    }
    let besides: Vec<FixAt> = (finding.observed.done.iter().flatten().copied())
        .filter(|fix| !cured.iter().any(|cured| cured.by.contains(fix)))
        .collect();
    if !besides.is_empty() {
        page.item("Also done: ", &titles(&besides));
    }
    for told in others.iter().filter(|told| told.is_put_right() && Some(*told) != said) {
        page.item("Also put right: ", &told.words());
    }
}

fn causes(book: &Book, causes: &[CauseAt]) -> String {
    causes.iter().map(|cause| book.causes[*cause].name.as_str()).collect::<Vec<_>>().join("; ")
}

/// One step of the plan as a whole: cautions, checks, steps, when it is done.
pub fn step(
    screen: Screen,
    known: &Known,
    fix: FixAt,
    for_causes: &[CauseAt],
    words: &StepWords,
) -> String {
    let book = known.book();
    let fix = &book.fixes[fix];
    let mut page = Page::new(screen);
    head(&mut page, known, fix, for_causes);
    if fix.state() == MachineState::LockedOut {
        page.para_in(Ink::Warn, "Read this now. Hands go on only after the lock-out.");
    }
    warnings(&mut page, &words.cautions);
    page.blank().head("Steps");
    for (place, text) in words.text.iter().enumerate() {
        page.item(&format!("{:>2}  ", place + 1), text);
    }
    foot(&mut page, known, fix, words);
    page.finish()
}

/// What a job is, how long it takes, what it is for and what to take along.
fn head(page: &mut Page, known: &Known, fix: &Fix, for_causes: &[CauseAt]) {
    page.title("Work").head(&fix.title);
    page.para(&format!(
        "{}, {}. For: {}.",
        chance::minutes(fix.minutes),
        chance::people(fix.people),
        causes(known.book(), for_causes)
    ));
    take::lines(page, known, fix.tools.iter().chain(&fix.parts).map(String::as_str));
    take::without(page, known, &fix.tools.join(", "));
}

fn warnings(page: &mut Page, cautions: &[String]) {
    page.blank().para_in(Ink::Warn, "CAUTION, before you begin:");
    for caution in cautions {
        page.item_in(Ink::Warn, " ! ", caution);
    }
    page.para_in(Ink::Faint, RULES_NAMED);
}

fn foot(page: &mut Page, known: &Known, fix: &Fix, words: &StepWords) {
    page.blank().item("Done when: ", &words.done_when);
    for never in &words.never {
        page.item_in(Ink::Strong, "Never: ", never);
    }
    page.item("It worked if: ", &words.worked);
    page.para_in(Ink::Faint, &format!("Source: {}.", steps::mark(known.book(), &fix.source)));
    if words.moves.iter().any(|moved| moved.side.is_some()) {
        map::draw(page, known, &words.moves);
    }
}

/// Stands under cautions that name a rule.
pub const RULES_NAMED: &str =
    "The rule named may not be the one for you. Your site's and country's rules come first.";

/// What a job begins with, before its checks: what it is, what to take, what to mind.
pub fn begun(screen: Screen, known: &Known, fix: FixAt, for_causes: &[CauseAt]) -> String {
    let book = known.book();
    let entry = &book.fixes[fix];
    let mut page = Page::new(screen);
    head(&mut page, known, entry, for_causes);
    let cautions: Vec<String> = (book.warnings(entry.state(), &entry.cautions).into_iter())
        .filter(|at| book.cautions[*at].concerns(known.facts()))
        .map(|caution| steps::caution_line(known, caution))
        .collect();
    warnings(&mut page, &cautions);
    if !entry.begins_with.is_empty() {
        page.blank().para(&format!(
            "Begin with {} ({}). Only if that calls for it: {} ({}).",
            chance::count(entry.begins_with.len(), "look", "looks"),
            chance::minutes(entry.check_minutes()),
            known.fill(&entry.in_short),
            chance::minutes(entry.work_minutes())
        ));
    }
    page.finish()
}

/// The steps of one stretch of a job, up to where the belt or its tension moves. `number` counts from 0.
pub fn stretch(screen: Screen, known: &Known, fix: FixAt, number: usize) -> String {
    let book = known.book();
    let entry = &book.fixes[fix];
    let stretches = entry.stretches();
    let before: usize = stretches.iter().take(number).map(|stretch| stretch.hands.len()).sum();
    let mut page = Page::new(screen);
    match stretches.len() {
        0 | 1 => page.title("The work"),
        n => page.title(&format!("The work, part {} of {n}", number + 1)),
    };
    page.head(&entry.title);
    let last = number + 1 >= stretches.len();
    // How much stands before the first thing moves.
    let moving = |stretch: &Stretch| stretch.hands.iter().any(|step| moves(step));
    if number == stretches.iter().position(moving).unwrap_or(0) {
        for (place, line) in steps::amount_lines(known, entry).iter().enumerate() {
            page.item(if place == 0 { " =  " } else { "    " }, line);
        }
    }
    if let Some(stretch) = stretches.get(number) {
        for (place, step) in stretch.hands.iter().enumerate() {
            page.item(&format!("{:>2}  ", before + place + 1), &steps::hand_text(known, step));
        }
    }
    if last {
        foot(&mut page, known, entry, &steps::fix_text(book, known, fix, Preface::Nothing));
    }
    page.finish()
}

/// Whether something goes to another place in a step.
pub(super) fn moves(step: &Step) -> bool {
    matches!(step, Step::MoveEnd { .. } | Step::Move { .. } | Step::Raise { .. })
}

/// The steps of a job on a running machine.
pub fn watched(screen: Screen, known: &Known, fix: FixAt) -> String {
    let book = known.book();
    let entry = &book.fixes[fix];
    let mut page = Page::new(screen);
    page.title("Watch, touch nothing").head(&entry.title);
    for (place, text) in steps::watch_lines(known, entry).iter().enumerate() {
        page.item(&format!("{:>2}  ", place + 1), text);
    }
    foot(&mut page, known, entry, &steps::fix_text(book, known, fix, Preface::Nothing));
    page.finish()
}

/// Every check was sound, in one line for somebody who goes on to the next job.
pub fn sound_in_short(screen: Screen, known: &Known, fix: FixAt) -> String {
    let title = &known.book().fixes[fix].title;
    Page::new(screen).para_in(Ink::Good, &format!("Sound, so left: {title}.")).finish()
}

/// Every check was sound: the work is not done.
pub fn sound(screen: Screen, known: &Known, fix: FixAt) -> String {
    let mut page = Page::new(screen);
    page.title("Sound: leave it").para_in(
        Ink::Good,
        &format!("Nothing calls for this work, so leave it: {}.", known.book().fixes[fix].title),
    );
    page.finish()
}

/// Asks for the old place of something moved, and for its new one.
pub fn write_down(screen: Screen, what: &str) -> String {
    let mut page = Page::new(screen);
    page.title("Write it down")
        .head(&format!("Moved: {what}."))
        .para("Where was its old mark, and where is it now? Use your own words, such as \"12 mm from the bolt\". Press Enter to skip.");
    page.finish()
}

/// What is left for now, and why.
pub fn left_for_now(screen: Screen, known: &Known, left: &[FixAt]) -> String {
    let mut page = Page::new(screen);
    page.title("Left for now").para(
        "Make one change, then run and watch the belt. That shows what each job did. These jobs wait until then:",
    );
    for fix in left {
        page.item(" - ", &known.fill(&known.book().fixes[*fix].title));
    }
    page.finish()
}
