//! The story of a conveyor in lines, one for each entry.

use super::Told;
use crate::logbook::{Entry, Reading, Story, VisitMark, What, Work};
use crate::show::chance;
use crate::show::entries::sheet::{ListMark, RichText, Sheet};
use crate::show::happened::state_words;
use crate::show::letters::capital;
use crate::trade::Units;
use crate::visit::store::VisitStatus;

/// Letters of an id that are shown: enough to name it.
const LETTERS: usize = 8;

/// All that stands, the latest last; then what was struck out.
pub(super) fn tell(sheet: &mut Sheet, told: &Told, story: &Story) {
    let lines = story.told.iter().map(|entry| line(told, story, entry)).collect();
    sheet.list("The story, the latest last", ListMark::Dot, lines);
    let struck = story
        .struck
        .iter()
        .map(|(entry, why)| line(told, story, entry).and(format!(" Struck out: {why}.")));
    sheet.list("Struck out", ListMark::Dot, struck.collect());
}

/// Jobs that visits left open.
pub(super) fn open_jobs(sheet: &mut Sheet, story: &Story) {
    let jobs = story.open_jobs().into_iter().map(|(tablet, mark, job)| {
        let id = job.id(tablet, mark.visit);
        RichText::plain(job.job.clone())
            .and(format!(" (visit {}, {})", mark.visit, crate::visit::clock::date(mark.begun)))
            .faint(format!(" [{}]", short(id.as_str())))
    });
    sheet.list("Open jobs, to keep it running true", ListMark::Dot, jobs.collect());
}

/// Entries that speak against each other; both are told.
pub(super) fn conflicts(sheet: &mut Sheet, told: &Told, story: &Story) {
    for (one, other) in &story.conflicts {
        sheet.warn(RichText::plain(format!(
            "These two cannot both be right: {} And: {} Strike the wrong one out.",
            line(told, story, one).text(),
            line(told, story, other).text()
        )));
    }
}

/// What of the order and the days of this story cannot be known.
pub(super) fn not_known(sheet: &mut Sheet, told: &Told, story: &Story) {
    let mut said: Vec<RichText> = Vec::new();
    for (work, reading) in &story.either_first {
        said.push(RichText::plain(format!(
            "Which of these came first, two tablets of one day do not tell. It is counted as it stands: {} And: {}",
            line(told, story, work).text(),
            line(told, story, reading).text()
        )));
    }
    let unsure = story.visits().filter(|(entry, _)| story.day(entry).is_none());
    let unsure: Vec<String> = unsure
        .map(|(entry, mark)| format!("{} (the clock said {})", mark.visit, entry.on()))
        .collect();
    if !unsure.is_empty() {
        said.push(RichText::plain(format!(
            "The day of visit {}. A clock was set back. Each stands after the visit before it.",
            unsure.join(", ")
        )));
    }
    let ahead = story.told.iter().filter(|entry| entry.on() > told.tomorrow);
    for entry in ahead.filter(|entry| story.day(entry).is_some()) {
        said.push(RichText::plain(format!(
            "Whether this day or the clock of this machine is wrong: {} Set the clock right, or strike the entry out.",
            line(told, story, entry).text()
        )));
    }
    sheet.list("What is not known", ListMark::Dot, said);
}

/// An entry in one line.
pub(super) fn line(told: &Told, story: &Story, entry: &Entry) -> RichText {
    let words = match &entry.what {
        What::TakeUp { reading, why, .. } => {
            with(format!("Take-up: {}", reading_words(told, reading)), why.as_deref())
        }
        What::Done { work: Work::Other, note, .. } => {
            capital(note.as_deref().unwrap_or("something else"))
        }
        What::Done { work, note, .. } => with(work.says().to_owned(), note.as_deref()),
        What::JobDone { job, note, .. } => {
            with(format!("Open job done: {}", job_words(told, job.as_str())), note.as_deref())
        }
        What::Visit(mark) => visit_words(told, mark),
        What::Struck { entry, why } => format!("Struck out: {}, {why}", short(entry.as_str())),
    };
    let by = entry.by.as_ref().map_or(String::new(), |by| format!(" ({by})"));
    let end = if words.ends_with('.') { "" } else { "." };
    RichText::default()
        .strong(story.day(entry).map_or("day not known".to_owned(), |day| day.to_string()))
        .and(format!("  {words}{end}{by}"))
        .faint(format!(" [{}]", short(entry.id.as_str())))
}

fn short(id: &str) -> &str {
    id.get(..LETTERS).unwrap_or(id)
}

fn with(words: String, why: Option<&str>) -> String {
    match why {
        Some(why) => format!("{words}; {why}"),
        None => words,
    }
}

/// What an open job was, by its id.
fn job_words(told: &Told, id: &str) -> String {
    let marks = told.record.entries.iter().filter_map(|entry| match &entry.what {
        What::Visit(mark) => Some((&entry.tablet, mark)),
        _ => None,
    });
    let mut jobs =
        marks.flat_map(|(tablet, mark)| mark.open_jobs.iter().map(move |job| (tablet, mark, job)));
    jobs.find(|(tablet, mark, job)| job.id(tablet, mark.visit).as_str() == id)
        .map_or(id.to_owned(), |(_, _, job)| job.job.clone())
}

/// How a take-up stood, in words.
pub(super) fn reading_words(told: &Told, reading: &Reading) -> String {
    let sides = told.sides();
    let units = told.units;
    let at = |at: &Option<crate::logbook::size::Millimetres>| {
        at.map_or(String::new(), |at| format!(", gone {}", at.quantity().words(units)))
    };
    match reading {
        Reading::Screws { left, right } => format!(
            "{} {}, {} {}",
            sides.left,
            left.quantity().words(units),
            sides.right,
            right.quantity().words(units)
        ),
        Reading::Carriage { at } => format!("carriage at {}", at.quantity().words(units)),
        Reading::Weight { mass, at: gone } => {
            format!("weight {}{}", mass.words(units == Units::Inch), at(gone))
        }
        Reading::Winch { pull, at: gone } => {
            format!("rope pulls {}{}", pull.quantity().words(units), at(gone))
        }
    }
}

fn visit_words(told: &Told, mark: &VisitMark) -> String {
    let state = match mark.state {
        VisitStatus::Open => "still open".to_owned(),
        over => state_words(over).trim_start_matches("ended: ").to_owned(),
    };
    let mut words = format!("Visit {}: {state}", mark.visit);
    if mark.minutes > 0 {
        words.push_str(&format!(", {}", chance::minutes(f64::from(mark.minutes))));
    }
    match (&mark.cured_else, mark.cured.as_slice(), &mark.likeliest) {
        (Some(what), _, _) => words.push_str(&format!(". Cured by something else: {what}")),
        (None, [], Some((id, chance))) => words.push_str(&format!(
            ". Likeliest: {}, {}",
            told.cause(id),
            chance::percent(*chance)
        )),
        (None, [], None) => {}
        (None, causes, _) => {
            let names: Vec<String> = causes.iter().map(|id| told.cause(id)).collect();
            words.push_str(&format!(". Cured: {}", names.join("; ")));
        }
    }
    words
}
