//! The job sheet of a plan: to take along, tick off and sign.

use super::{STYLE, VisitPage};
use crate::plan::PlanBatch;
use crate::show::chance::{self, count};
use crate::show::entries::sheet::{Block, ListMark, RichText, Sheet};
use crate::show::handbook::html as handbook;
use crate::show::page::Screen;
use crate::show::past::conveyor_name;
use crate::show::points::{self, ConfirmPoint};
use crate::show::steps::{self, Preface, caution_line};
use crate::trade::MachineState;
use crate::visit::clock::readable;

/// Blank lines for what was found.
const FOUND: usize = 3;

/// As a page of text.
pub fn text(screen: Screen, page: &VisitPage) -> String {
    sheet(page).page(screen)
}

/// As one page for a browser.
pub fn html(page: &VisitPage) -> String {
    let title = format!("Job sheet of visit {}", page.visit.record.visit);
    handbook::page(&title, &[STYLE], &handbook::sheet(&sheet(page)))
}

fn sheet(page: &VisitPage) -> Sheet {
    let mut sheet = Sheet::default();
    let record = page.visit.record;
    let name = conveyor_name(record).unwrap_or_else(|| "conveyor without a name".to_owned());
    sheet.title("sheet", &format!("Job sheet: {name}"), "");
    sheet.pairs(vec![
        ("Visit", format!("{}, {}", record.visit, readable(record.begun, page.zone)).into()),
        ("Sides", page.known.sides().legend().unwrap_or_default().into()),
    ]);
    let batches = &page.visit.finding.plan.batches;
    if batches.is_empty() {
        sheet.para("There is no work planned.");
        return sheet;
    }
    sheet.warn("Site rules and licensed practice come first. This sheet is no permit. Confirm every point anew, each time.");
    sheet.para(format!(
        "{} that may be needed. Once the belt runs true, the rest is not needed.",
        count(batches.len(), "batch", "batches")
    ));
    tools(&mut sheet, page);
    if let Some((first, later)) = batches.split_first() {
        one_batch(&mut sheet, page, 1, first);
        later_batches(&mut sheet, page, later);
    }
    sheet
}

/// Batches that may follow, by their names: after each batch the plan is made anew, and its sheet with it.
fn later_batches(sheet: &mut Sheet, page: &VisitPage, batches: &[PlanBatch]) {
    let book = page.known.book();
    if batches.is_empty() {
        return;
    }
    sheet.section("What may come after it");
    sheet.para("The plan is made anew after each batch. Write its sheet then; do not work on from this one.");
    for (place, batch) in batches.iter().enumerate() {
        let jobs = batch.steps.iter().map(|step| {
            let fix = &book.fixes[step.fix];
            RichText::plain(format!("{} ({})", fix.title, chance::minutes(fix.minutes)))
        });
        let state = state_words(batch);
        sheet.head(3, None, &format!("Batch {}: {state}", place + 2), "");
        sheet.list("", ListMark::Dot, jobs.collect());
    }
}

fn state_words(batch: &PlanBatch) -> &'static str {
    match batch.state {
        MachineState::LockedOut => "LOCKED OUT",
        MachineState::Running | MachineState::Anywhere => "RUNNING, watch only",
    }
}

/// Everything to take along for the first batch, each once.
fn tools(sheet: &mut Sheet, page: &VisitPage) {
    let book = page.known.book();
    let steps = page.visit.finding.plan.batches.first().into_iter().flat_map(|batch| &batch.steps);
    let mut all: Vec<&str> = Vec::new();
    for step in steps {
        let fix = &book.fixes[step.fix];
        for thing in fix.tools.iter().chain(&fix.parts) {
            if !all.contains(&thing.as_str()) {
                all.push(thing);
            }
        }
    }
    let all = all.into_iter().map(RichText::from).collect();
    sheet.list("Tools and parts for batch 1", ListMark::Box, all);
}

fn one_batch(sheet: &mut Sheet, page: &VisitPage, number: usize, batch: &PlanBatch) {
    let book = page.known.book();
    let locked_out = batch.state == MachineState::LockedOut;
    sheet.section(&format!("Batch {number}: {}", state_words(batch)));
    if locked_out {
        points(sheet, "Lock out first, point by point", &points::ISOLATE);
        sheet.add(Block::FillIn("Locked and tried by, name and time"));
        sheet.add(Block::FillIn("Signature"));
    }
    let mut cautions = Vec::new();
    for step in &batch.steps {
        let fix = &book.fixes[step.fix];
        for caution in book.warnings(fix.state(), &fix.cautions) {
            if !cautions.contains(&caution) {
                cautions.push(caution);
            }
        }
    }
    for caution in cautions {
        sheet.warn(caution_line(page.known, caution));
    }
    for (place, step) in batch.steps.iter().enumerate() {
        let fix = &book.fixes[step.fix];
        let words = steps::plan_text(book, page.known, step, Preface::Nothing);
        let causes: Vec<&str> =
            step.for_causes.iter().map(|cause| book.causes[*cause].name.as_str()).collect();
        sheet.head(3, None, &format!("{number}.{} {}", place + 1, fix.title), "");
        sheet.para(format!(
            "{}, {}. For: {}.",
            chance::minutes(fix.minutes),
            chance::people(fix.people),
            causes.join("; ")
        ));
        for never in &words.never {
            sheet.warn(format!("Never: {}.", never.trim_end_matches('.')));
        }
        sheet.list("", ListMark::Box, words.text.iter().map(|text| text.clone().into()).collect());
        sheet.para(RichText::default().strong("Done when: ").and(words.done_when));
        for _ in &words.moves {
            sheet.add(Block::FillIn("Moved: what, from, to"));
        }
        sheet.add(Block::FillIn("Readings"));
        for _ in 0..FOUND {
            sheet.add(Block::FillIn("Found"));
        }
    }
    if locked_out {
        points(sheet, "Give the machine back, point by point", &points::WATCH);
        sheet.add(Block::FillIn("Given back by, name and time"));
        sheet.add(Block::FillIn("Signature"));
    }
    sheet.add(Block::FillIn("How it runs now: true, better, no change, worse"));
}

fn points(sheet: &mut Sheet, head: &str, points: &[ConfirmPoint]) {
    let lines = points.iter().map(|point| RichText::plain(point.ask).and(" ").faint(point.means));
    sheet.list(head, ListMark::Box, lines.collect());
}
