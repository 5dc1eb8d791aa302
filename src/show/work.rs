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

/// The plan, batch by batch, with the drawing of the conveyor.
pub fn plan(screen: Screen, known: &Known, plan: &Plan) -> String {
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
        batch_head(&mut page, book, place + 1, batch);
        for (number, step) in batch.steps.iter().enumerate() {
            step_short(&mut page, known, number + 1, step, number == 0);
        }
    }
    page.blank();
    let moves: Vec<_> = (plan
        .batches
        .first()
        .into_iter()
        .flat_map(|batch| &batch.steps))
    .flat_map(|step| steps::plan_text(book, known, step, false).moves)
    .filter(|moved| moved.side.is_some())
    .collect();
    map::draw(&mut page, known, &moves);
    page.finish()
}

fn batch_head(page: &mut Page, book: &Book, number: usize, batch: &PlanBatch) {
    let work: f64 = batch
        .steps
        .iter()
        .map(|step| book.fixes[step.fix].minutes)
        .sum();
    let people = batch
        .steps
        .iter()
        .map(|step| book.fixes[step.fix].people)
        .max()
        .unwrap_or(1);
    let (state, after) = match batch.state {
        State::LockedOut => ("LOCKED OUT", book.minutes.restart_and_watch),
        State::Running | State::Anywhere => ("RUNNING, watch only", book.minutes.restart_and_watch),
    };
    let total = batch.set_up_minutes + work + after;
    page.head(&format!(
        "Batch {number}: {state}, {} in all",
        chance::minutes(total)
    ));
    let isolate = match batch.state {
        State::LockedOut if batch.set_up_minutes > 0.0 => {
            format!("{} to isolate, ", chance::minutes(batch.set_up_minutes))
        }
        _ => String::new(),
    };
    let watch = if batch.state == State::LockedOut {
        "to restart and watch"
    } else {
        "to watch"
    };
    page.para(&format!(
        "{isolate}{} of work, {} {watch}. {}.",
        chance::minutes(work),
        chance::minutes(after),
        chance::people(people)
    ));
    let mut tools: Vec<&str> = Vec::new();
    for tool in batch
        .steps
        .iter()
        .flat_map(|step| &book.fixes[step.fix].tools)
    {
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
        &format!(
            "{} ({}, {})",
            fix.title,
            chance::minutes(fix.minutes),
            steps::in_short(&words)
        ),
    );
    page.item("    for: ", &causes(book, &step.for_causes));
    page.item("    here because: ", &why_here(book, step));
}

/// So many of the fixes that come first are named.
const MOST_BEHIND: usize = 2;

/// Why a step stands where it stands.
fn why_here(book: &Book, step: &PlanStep) -> String {
    let gain = format!(
        "it alone would make the belt run true in {} of cases",
        chance::percent(step.gain)
    );
    if step.behind.is_empty() {
        return format!("{gain}, and nothing has to come before it");
    }
    let mut before: Vec<String> = step
        .behind
        .iter()
        .take(MOST_BEHIND)
        .map(|fix| book.fixes[*fix].title.clone())
        .collect();
    if step.behind.len() > MOST_BEHIND {
        before.push(format!("{} more", step.behind.len() - MOST_BEHIND));
    }
    format!("{gain}; it comes after: {}", before.join("; "))
}

/// The same on a page of its own.
pub fn why_here_page(screen: Screen, known: &Known, step: &PlanStep) -> String {
    let book = known.book();
    let mut page = Page::new(screen);
    page.title("Why this work now").para(&format!(
        "{}.",
        super::belief::capital(&why_here(book, step))
    ));
    page.para(&format!(
        "It is done for: {}.",
        causes(book, &step.for_causes)
    ));
    page.finish()
}

/// It runs true: what was done, and what was found.
pub fn runs_true(screen: Screen, done: &[String], found: &[(String, f64)]) -> String {
    let mut page = Page::new(screen);
    page.title("It runs true")
        .para_in(Ink::Good, "The belt runs true. This visit is over.")
        .head("What was done");
    for title in done {
        page.item(" - ", title);
    }
    if !found.is_empty() {
        page.head("What was most likely wrong");
        for (name, chance) in found {
            page.item(" - ", &format!("{name} ({})", chance::percent(*chance)));
        }
    }
    page.blank().head("So that it stays so");
    for what in [
        "Paint a thin line across every foot, screw and bracket that was moved: the next move can then be seen.",
        "Have it loaded and watch three full turns again, from outside the guards.",
        "Look at it again on the next weekly round (common practice).",
    ] {
        page.item(" * ", what);
    }
    page.finish()
}

fn causes(book: &Book, causes: &[CauseAt]) -> String {
    causes
        .iter()
        .map(|cause| book.causes[*cause].name.as_str())
        .collect::<Vec<_>>()
        .join("; ")
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
    page.blank()
        .para_in(Ink::Warn, "CAUTION, before you begin:");
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
    page.para_in(
        Ink::Faint,
        &format!("Source: {}.", steps::mark(book, &fix.source)),
    );
    if words.moves.iter().any(|moved| moved.side.is_some()) {
        page.blank();
        map::draw(&mut page, known, &words.moves);
    }
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
    page.para_in(Ink::Warn, "Then nothing goes on until it is. Do it, or have it done, then answer again; or stop here with s.");
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
            let lead = format!(
                "If it is \"{}\" ({}): ",
                cause.name,
                chance::percent(ranked.probability)
            );
            page.item(" * ", &format!("{lead}{}", known.fill(&cause.specialist)));
        }
    }
    page.finish()
}
