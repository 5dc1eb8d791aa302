//! What learners have reached, week by week: as text, as one JSON document, and as one page for a browser.
//!
//! The words stand once, in a sheet; on the page a drawing of the minutes stands beside them.

mod chart;
pub mod json;

use jiff::tz::TimeZone;
use maud::html;

use super::course::{self, Titles};
use super::judged::matched;
use crate::drill::course::{Course, Matched};
use crate::drill::learners::{Attempt, Learner};
use crate::drill::progress::{Sums, Week, day, weeks};
use crate::show::chance::{count, minutes};
use crate::show::entries::sheet::{Block, ListMark, RichText, Sheet};
use crate::show::handbook::html as handbook;
use crate::show::page::Screen;

/// Styles besides the handbook's own.
const STYLE: &str = include_str!("progress.css");
/// Fewer statements than this say little of how sure somebody is.
const FEW: usize = 5;

/// Whose progress is told, and what is needed to tell it.
#[derive(Debug)]
pub struct Progress<'p> {
    /// The learners, in the order in which they are told.
    pub learners: &'p [Learner],
    /// The courses there are.
    pub courses: &'p [Course],
    /// What the drills are called.
    pub titles: &'p Titles<'p>,
    /// Where the tablet is: there weeks begin.
    pub zone: &'p TimeZone,
}

/// As text.
pub fn text(screen: Screen, progress: &Progress<'_>) -> String {
    let mut out = String::new();
    for (nth, learner) in progress.learners.iter().enumerate() {
        out += &above(nth, learner, progress).page(screen);
        let below = below(learner, progress).page(screen);
        if !below.is_empty() {
            out.push('\n');
        }
        out += &below;
    }
    out + "\n" + &explained().page(screen)
}

/// As one page for a browser, to print or keep.
pub fn html(progress: &Progress<'_>) -> String {
    let body = html! {
        @for (nth, learner) in progress.learners.iter().enumerate() {
            (handbook::sheet(&above(nth, learner, progress)))
            (chart::minutes(&learner.attempts, progress.zone))
            (handbook::sheet(&below(learner, progress)))
        }
        (handbook::sheet(&explained()))
    };
    handbook::page("Progress in drills", &[STYLE], &body)
}

/// A learner's name, the sums, and the weeks.
fn above(nth: usize, learner: &Learner, progress: &Progress<'_>) -> Sheet {
    let mut sheet = Sheet::default();
    sheet.title(&format!("learner-{nth}"), &learner.name, "progress");
    let all = Sums::of(&learner.attempts);
    if all.runs == 0 {
        sheet.para("No run is over yet.");
    } else {
        sheet.para(capital_stop(&sums_words(&all).join("; ")));
    }
    let weeks = weeks(&learner.attempts, progress.zone);
    if weeks.len() > 1 {
        sheet.section("Week by week");
        let head = vec!["week", "runs", "minutes", "safety", "certainty", "help"];
        sheet.add(Block::Table { head, rows: weeks.iter().map(week).collect() });
    }
    sheet
}

/// Courses, runs, and what is open.
fn below(learner: &Learner, progress: &Progress<'_>) -> Sheet {
    let mut sheet = Sheet::default();
    let courses = progress.courses.iter().filter_map(|course| of_course(course, learner, progress));
    sheet.list("Courses", ListMark::Dot, courses.map(RichText::from).collect());
    let runs = learner.attempts.iter().map(|attempt| run(attempt, progress).into());
    sheet.list("Run by run", ListMark::Dot, runs.collect());
    let open = learner.open.iter().map(|(run, _)| run.to_string()).collect::<Vec<_>>();
    if !open.is_empty() {
        sheet.para(format!("Not finished: run {}.", open.join(", ")));
    }
    let unknown = learner.unknown.iter().map(u32::to_string).collect::<Vec<_>>();
    if !unknown.is_empty() {
        sheet.para(format!(
            "Not counted: run {}. The rule book no longer has what it needs.",
            unknown.join(", ")
        ));
    }
    sheet
}

fn explained() -> Sheet {
    let mut sheet = Sheet::default();
    sheet.section("How to read this").para("Solved: the belt runs true and nothing hidden is left. Minutes are those of solved runs, against an expert's for the same drills: who gives up is quick. A run counts as it was worth on its day. Its figures do not change with the rule book.");
    sheet.para(format!("Certainty sets what was said against what was so. Brier score: 0 is best, 0.25 is a coin toss. With fewer than {FEW} statements it says little. Again: the same drill was begun before. Advice: straybelt was asked."));
    sheet
}

fn week(week: &Week) -> Vec<RichText> {
    let sums = &week.sums;
    let solved = format!("{}, {} solved", count(sums.runs, "run", "runs"), sums.solved);
    let times = times_words(sums).unwrap_or_else(|| "no minutes count".to_owned());
    [
        week.monday.to_string(),
        solved,
        times,
        safety_words(sums),
        certainty_words(sums),
        help_words(sums),
    ]
    .into_iter()
    .map(RichText::from)
    .collect()
}

/// All that is said of several runs.
fn sums_words(sums: &Sums) -> Vec<String> {
    let mut words =
        vec![format!("{} over, {} solved", count(sums.runs, "run", "runs"), sums.solved)];
    words.extend(times_words(sums));
    words.push(safety_words(sums));
    words.push(format!("hidden causes named: {} of {}", sums.found, sums.hidden));
    words.push(certainty_words(sums));
    words.push(help_words(sums));
    words
}

fn times_words(sums: &Sums) -> Option<String> {
    Some(format!("{:.1} times the expert's minutes", sums.times()?))
}

fn safety_words(sums: &Sums) -> String {
    match sums.safety_faults {
        0 => "no safety fault".to_owned(),
        faults => count(faults, "safety fault", "safety faults"),
    }
}

fn certainty_words(sums: &Sums) -> String {
    match sums.brier {
        None => "nothing was said with certainty".to_owned(),
        Some(brier) => {
            format!("{} (Brier {:.2})", matched(Matched::of(brier.score)), brier.score)
        }
    }
}

fn help_words(sums: &Sums) -> String {
    format!("advice {}, again {}", sums.advice, sums.repeats)
}

fn run(attempt: &Attempt, progress: &Progress<'_>) -> String {
    let worth = &attempt.worth;
    let day = day(attempt, progress.zone);
    let title =
        progress.titles.get(attempt.drill.as_str()).unwrap_or(&attempt.drill.as_str()).to_owned();
    let mut words = vec![match worth.is_solved() {
        true => {
            format!("solved in {}, {:.1} times the expert's", minutes(worth.minutes), worth.times())
        }
        false if worth.runs_true => "not solved, the cause was still there".to_owned(),
        false => "not solved".to_owned(),
    }];
    if attempt.exam {
        words.push("examination".to_owned());
    }
    if worth.safety_faults > 0 {
        words.push(count(worth.safety_faults, "safety fault", "safety faults"));
    }
    words.push(format!("named {} of {}", worth.found, worth.hidden));
    if worth.wrongly_named > 0 {
        words.push(format!("{} named that was not there", worth.wrongly_named));
    }
    if worth.advice > 0 {
        words.push(format!("advice {}", worth.advice));
    }
    if attempt.earlier > 0 {
        words.push(format!("begun {} before", count(attempt.earlier, "time", "times")));
    }
    format!("{day}, run {}, {title}: {}.", attempt.run, words.join("; "))
}

/// How far a course is, if it was begun.
fn of_course(course: &Course, learner: &Learner, progress: &Progress<'_>) -> Option<String> {
    let standing = course.standing(&learner.attempts);
    if standing.iter().all(|step| step.tries == 0) {
        return None;
    }
    let drills = count(course.steps.len(), "drill", "drills");
    let reached = course::reached(&standing);
    let next = course.next(&standing).and_then(|at| course.steps.get(at));
    let next = next.map_or("All of it is reached.".to_owned(), |step| {
        let title =
            progress.titles.get(step.drill.as_str()).unwrap_or(&step.drill.as_str()).to_owned();
        format!("Next: {title}.")
    });
    Some(format!("{}: {reached} of {drills} reached. {next}", course.title))
}

fn capital_stop(words: &str) -> String {
    format!("{}.", crate::show::letters::capital(words))
}
