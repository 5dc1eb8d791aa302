//! Pages for the work: the plan, one step, the points of isolation and restart, what is left at the end.

use super::chance::{self, count};
use super::map;
use super::page::{Page, Screen};
use super::paint::Ink;
use super::steps::{self, StepWords};
use super::words::Known;
use crate::plan::{Plan, PlanBatch, PlanStep};
use crate::rulebook::index::{CauseAt, FixAt};
use crate::rulebook::model::{Book, State};
use crate::visit::Finding;

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
        "{} that may be needed. Worked through to the end it cures what is wrong with a chance of {}.",
        count(plan.batches.len(), "batch", "batches"),
        chance::percent(plan.cured_by_plan)
    ));
    page.para("After each batch the belt is watched; once it runs true the rest is not needed.");
    for (place, batch) in plan.batches.iter().enumerate() {
        page.blank();
        if place > 0 && length == PlanLength::FirstBatch {
            batch_short(&mut page, book, place + 1, batch);
            continue;
        }
        batch_head(&mut page, book, place + 1, batch);
        for (number, step) in batch.steps.iter().enumerate() {
            step_short(&mut page, known, number + 1, step, number == 0);
        }
    }
    let moves: Vec<_> = (plan.batches.first().into_iter().flat_map(|batch| &batch.steps))
        .flat_map(|step| steps::plan_text(book, known, step, false).moves)
        .filter(|moved| moved.side.is_some())
        .collect();
    map::draw(&mut page, known, &moves);
    page.finish()
}

/// A batch by its name, and how long it takes with everything before and after the work, in minutes.
fn batch_name(book: &Book, number: usize, batch: &PlanBatch) -> String {
    let state = match batch.state {
        State::LockedOut => "LOCKED OUT",
        State::Running | State::Anywhere => "RUNNING, watch only",
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

fn batch_head(page: &mut Page, book: &Book, number: usize, batch: &PlanBatch) {
    let people = batch.steps.iter().map(|step| book.fixes[step.fix].people).max().unwrap_or(1);
    page.head(&batch_name(book, number, batch));
    let isolate = match batch.state {
        State::LockedOut if batch.set_up_minutes > 0.0 => {
            format!("{} to isolate, ", chance::minutes(batch.set_up_minutes))
        }
        _ => String::new(),
    };
    let watch = if batch.state == State::LockedOut { "to restart and watch" } else { "to watch" };
    page.para(&format!(
        "{isolate}{} of work, {} {watch}. {}.",
        chance::minutes(work_minutes(book, batch)),
        chance::minutes(book.minutes.restart_and_watch),
        chance::people(people)
    ));
    let mut tools: Vec<&str> = Vec::new();
    for tool in batch.steps.iter().flat_map(|step| &book.fixes[step.fix].tools) {
        if !tools.contains(&tool.as_str()) {
            tools.push(tool);
        }
    }
    if !tools.is_empty() {
        page.item("Take: ", &format!("{}.", tools.join(", ")));
    }
}

fn step_short(page: &mut Page, known: &Known, number: usize, step: &PlanStep, first: bool) {
    let book = known.book();
    let fix = &book.fixes[step.fix];
    let words = steps::plan_text(book, known, step, first);
    page.item(
        &format!("{number:>2}  "),
        &format!("{} ({}, {})", fix.title, chance::minutes(fix.minutes), steps::in_short(&words)),
    );
    page.item("    for: ", &causes(book, &step.for_causes));
    let measured = fix.amounts_from.iter().filter(|gauge| !known.amounts(gauge.id).is_empty());
    for gauge in measured {
        let says = format!("with the gauge {}: amounts stand with its steps", gauge.id);
        page.item("    measured ", &says);
    }
    page.item("    here because: ", &why_here(book, step));
}

/// So many of the fixes that come first are named.
const MOST_BEHIND: usize = 2;

/// Why a step stands where it stands.
fn why_here(book: &Book, step: &PlanStep) -> String {
    let gain =
        format!("it alone would make the belt run true in {} of cases", chance::percent(step.gain));
    if step.behind.is_empty() {
        return format!("{gain}, and nothing has to come before it");
    }
    let mut before: Vec<String> =
        step.behind.iter().take(MOST_BEHIND).map(|fix| book.fixes[*fix].title.clone()).collect();
    if step.behind.len() > MOST_BEHIND {
        before.push(format!("and {} more", step.behind.len() - MOST_BEHIND));
    }
    format!("{gain}; it comes after: {}", before.join("; "))
}

/// The same on a page of its own.
pub fn why_here_page(screen: Screen, known: &Known, step: &PlanStep) -> String {
    let book = known.book();
    let mut page = Page::new(screen);
    page.title("Why this work now")
        .para(&format!("{}.", super::belief::capital(&why_here(book, step))));
    page.para(&format!("It is done for: {}.", causes(book, &step.for_causes)));
    page.finish()
}

/// It runs true: what cured it, and how it stays so.
pub fn runs_true(screen: Screen, known: &Known, finding: &Finding) -> String {
    let mut page = Page::new(screen);
    page.title("It runs true")
        .para_in(Ink::Good, "The belt runs true. This visit is over.")
        .blank();
    what_cured(&mut page, known, finding);
    page.blank().head("So that it stays so");
    let mut done = finding.told.done.iter().flatten();
    if done.any(|fix| !steps::fix_text(known.book(), known, *fix, false).moves.is_empty()) {
        page.item(" * ", "Paint a thin line across every foot, screw and bracket that was moved: the next move can then be seen.");
    }
    for what in [
        "Have it loaded and watch three full turns again, from outside the guards.",
        "Look at it again on the next weekly round (common practice).",
    ] {
        page.item(" * ", what);
    }
    page.finish()
}

/// What cured it, each with the work that did, and what was done besides.
pub fn what_cured(page: &mut Page, known: &Known, finding: &Finding) {
    let book = known.book();
    let cured = finding.cured(book);
    let titles = |fixes: &[FixAt]| {
        let titles: Vec<&str> = (fixes.iter()).map(|fix| book.fixes[*fix].title.as_str()).collect();
        titles.join("; ")
    };
    page.head(match cured.as_slice() {
        [] => "What cured it is not clear",
        [one] if one.seen => "What cured it",
        _ => "What most likely cured it",
    });
    for cured in &cured {
        let how_sure = match cured.seen {
            true => "found as suspected".to_owned(),
            false => format!("{} at the start", chance::percent(cured.was_present)),
        };
        let name = &book.causes[cured.cause].name;
        page.item(" - ", &format!("{name} ({how_sure})"));
        page.item("   Work done: ", &titles(&cured.by));
    }
    let besides: Vec<FixAt> = (finding.told.done.iter().flatten().copied())
        .filter(|fix| !cured.iter().any(|cured| cured.by.contains(fix)))
        .collect();
    if !besides.is_empty() {
        page.item("Done as well: ", &titles(&besides));
    }
}

fn causes(book: &Book, causes: &[CauseAt]) -> String {
    causes.iter().map(|cause| book.causes[*cause].name.as_str()).collect::<Vec<_>>().join("; ")
}

/// One step of the plan, cautions first.
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
    page.title("Work").head(&fix.title);
    page.para(&format!(
        "{}, {}. For: {}.",
        chance::minutes(fix.minutes),
        chance::people(fix.people),
        causes(book, for_causes)
    ));
    if !fix.tools.is_empty() {
        page.item("Take: ", &format!("{}.", fix.tools.join(", ")));
    }
    page.blank().para_in(Ink::Warn, "CAUTION, before you begin:");
    for caution in &words.cautions {
        page.item_in(Ink::Warn, " ! ", caution);
    }
    page.blank().head("Steps");
    for (place, text) in words.text.iter().enumerate() {
        page.item(&format!("{:>2}  ", place + 1), text);
    }
    page.blank().item("Done when: ", &words.done_when);
    for not in &words.do_not {
        page.item_in(Ink::Strong, "NOT: ", not);
    }
    page.item("It worked if: ", &words.worked);
    page.para_in(Ink::Faint, &format!("Source: {}.", steps::mark(book, &fix.source)));
    if words.moves.iter().any(|moved| moved.side.is_some()) {
        map::draw(&mut page, known, &words.moves);
    }
    page.finish()
}

/// Asks for the old place of something moved, and for its new one.
pub fn write_down(screen: Screen, what: &str) -> String {
    let mut page = Page::new(screen);
    page.title("Write it down")
        .head(&format!("Moved: {what}."))
        .para("Where was its old mark, and where is it now? In your own words, such as \"12 mm from the bolt\". Enter alone skips it.");
    page.finish()
}

/// One point to be confirmed by eye.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Point {
    /// What to have done.
    pub ask: &'static str,
    /// What yes reads like.
    pub yes: &'static str,
    /// What a yes means.
    pub means: &'static str,
}

/// The points before any locked-out question or work.
pub const ISOLATE: [Point; 6] = [
    Point {
        ask: "STOPPED: has the belt been stopped by the site's procedure, and does it stand still?",
        yes: "Yes, it stands still",
        means: "You told the control room, the feed is off, and you see the belt stand still.",
    },
    Point {
        ask: "ISOLATED: is every source of energy switched off at its isolator?",
        yes: "Yes, every one",
        means: "Drive, feeders above, take-up winch, cleaners, hydraulics, air: each off at its own isolator. A stop button or pull cord does not count.",
    },
    Point {
        ask: "LOCKED: has everybody hung a lock of their own, key in their own pocket?",
        yes: "Yes, one lock each",
        means: "Everybody who will put a hand to the machine, you too.",
    },
    Point {
        ask: "TAGGED: does a tag on each lock say who, when and why?",
        yes: "Yes, tagged",
        means: "Anybody who comes by can read whose lock it is and that work goes on.",
    },
    Point {
        ask: "TRIED: did you press start, and did nothing move?",
        yes: "Yes, tried: dead",
        means: "Everybody clear first. Press start, see that nothing moves, put the control back to stop.",
    },
    Point {
        ask: "STORED ENERGY: is it all released or blocked?",
        yes: "Yes, all of it",
        means: "Take-up weight blocked or pinned, winch slack, tight belt let off or clamped with rated clamps, belt and load on a slope held both ways, springs and hung-up material down.",
    },
];

/// The points before any restart.
pub const GIVE_BACK: [Point; 5] = [
    Point {
        ask: "GUARDS: are the tools out, and is every guard back on and fastened?",
        yes: "Yes, all on",
        means: "Every guard that was taken off, bolted, also for a short trial.",
    },
    Point {
        ask: "PEOPLE: is everybody counted and clear of the conveyor?",
        yes: "Yes, all clear",
        means: "Nobody on, under or inside, along the whole length. Blocks and clamps are out.",
    },
    Point {
        ask: "UNLOCKED: has everybody taken off their own lock and tag?",
        yes: "Yes, all off",
        means: "Each lock by whoever put it there, then energy back on by the site's procedure.",
    },
    Point {
        ask: "WARNING: has the start warning sounded, with time to get clear?",
        yes: "Yes, sounded",
        means: "If the belt has not started within 30 seconds (30 CFR 57.14201), warn again.",
    },
    Point {
        ask: "RUNNING: does it run, and did you watch three full belt turns from outside the guards?",
        yes: "Yes, watched",
        means: "Empty first if the site can. Stand clear, with a way to stop it.",
    },
];

/// Said before the points of isolation.
pub fn isolate(screen: Screen, what_for: &str) -> String {
    let mut page = Page::new(screen);
    page.title("Lock out first").para(what_for);
    page.para(
        "Each yes means: I have seen it myself, here, a moment ago. The program sees nothing; it cannot know whether the machine is safe. These points are never saved: after every restart and every break they are asked anew.",
    );
    page.finish()
}

/// Said before the points of giving back.
pub fn give_back(screen: Screen, what_for: &str) -> String {
    let mut page = Page::new(screen);
    page.title("Give the machine back").para(what_for);
    page.finish()
}

/// Said when a point is not confirmed.
pub fn not_yet(screen: Screen) -> String {
    let mut page = Page::new(screen);
    page.para_in(Ink::Warn, "Not yet: so nothing goes on. Do it, or have it done, and answer again; or stop here with s.");
    page.finish()
}

/// The book has nothing left: what to tell a specialist.
pub fn nothing_left(screen: Screen, known: &Known, finding: &Finding) -> String {
    let book = known.book();
    let mut page = Page::new(screen);
    page.title("The book has nothing left").para(
        "It still does not run true, and no work in the book would pay for itself now. That is an honest end: call a specialist, and save them time by telling:",
    );
    for what in &book.tell_specialist {
        page.item(" * ", &known.fill(what));
    }
    for ranked in super::belief::leading(finding) {
        let cause = &book.causes[ranked.cause];
        if !cause.specialist.is_empty() {
            let lead =
                format!("If it is \"{}\" ({}): ", cause.name, chance::percent(ranked.probability));
            page.item(" * ", &format!("{lead}{}", known.fill(&cause.specialist)));
        }
    }
    page.finish()
}
