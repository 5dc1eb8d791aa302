//! What comes back at a conveyor, said when a visit to it begins.

use crate::logbook::{ComesBack, Grounds, Watch};
use crate::rulebook::model::Book;
use crate::show::chance::count;
use crate::show::entries::sheet::{ListMark, RichText, Sheet};
use crate::show::page::Screen;

/// So many of each are named.
const NAMED: usize = 3;

/// The page; empty when there is nothing to say.
pub fn comes_back(screen: Screen, book: &Book, back: &ComesBack, watch: Option<&Watch>) -> String {
    let mut lines: Vec<RichText> = Vec::new();
    let name = |id: &str| {
        let known = book.causes.values().find(|cause| cause.id == id);
        known.map_or(id.to_owned(), |cause| cause.name.clone())
    };
    let title = |id: &str| {
        let known = book.fixes.values().find(|fix| fix.id == id);
        known.map_or(id.to_owned(), |fix| fix.title.clone())
    };
    for (cause, days) in back.causes.iter().take(NAMED) {
        let days: Vec<String> = days.iter().rev().take(NAMED).map(ToString::to_string).collect();
        lines.push(format!("Comes back: {}. Cured on {}.", name(cause), days.join(", ")).into());
    }
    if let Some((on, causes, done)) = &back.did_not_hold {
        let causes: Vec<String> = causes.iter().map(|id| name(id)).collect();
        let done: Vec<String> = done.iter().take(NAMED).map(|id| title(id)).collect();
        lines.push(
            format!(
                "It ran true on {on}, and is off again. Then it was: {}. Done then: {}.",
                causes.join("; "),
                done.join("; ")
            )
            .into(),
        );
    }
    if !back.trimmed.is_empty() {
        lines.push(
            format!(
                "Idlers were trimmed {} times. The cause may still be there.",
                back.trimmed.len()
            )
            .into(),
        );
    }
    for job in back.open_jobs.iter().take(NAMED) {
        lines.push(format!("Still an open job: {job}.").into());
    }
    for warning in watch.iter().flat_map(|watch| &watch.warnings) {
        lines.push(format!("Warning: {}.", warning.says()).into());
    }
    if let Some(latest) = back.clock_behind {
        lines.push(
            format!(
                "The clock of this machine stands before {latest}, a day in the book. How long ago anything was is not known."
            )
            .into(),
        );
    }
    if back.unsure_visits > 0 {
        let visits = count(back.unsure_visits, "visit", "visits");
        lines.push(format!("Of {visits} the day is not known: a clock was set back.").into());
    }
    let mut sheet = Sheet::default();
    sheet.title("logbook", "From the logbook", "");
    if lines.is_empty() {
        return String::new();
    }
    sheet.list("", ListMark::Dot, lines);
    sheet.page(screen)
}

/// What in the logbook speaks for an answer, as a sentence.
pub fn grounds(grounds: &Grounds) -> String {
    match grounds {
        Grounds::Tightened(times, since) => {
            format!("The logbook has it tightened {times} times since {since}.")
        }
        Grounds::ScrewsApart => {
            "By the logbook one screw runs ahead of the other, more and more.".to_owned()
        }
        Grounds::Trimmed(days) => {
            let last = days.last().map_or(String::new(), |last| format!(", last on {last}"));
            format!("The logbook has idlers trimmed {} times{last}.", days.len())
        }
        Grounds::LastDone(on) => format!("By the logbook that was done last, on {on}."),
    }
}
