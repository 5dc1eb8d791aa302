//! Courses and progress: what a course file may hold, who goes on, what weeks of runs come to, and their pages.

mod exam;
pub(crate) mod pages;
mod reading;
mod weeks;

use jiff::Timestamp;
use straybelt::drill::course::{Course, read};
use straybelt::drill::learners::{Attempt, Learner};
use straybelt::drill::worth::Worth;
use straybelt::problem::{Problem, Report};
use straybelt::rulebook::load;
use straybelt::source::Texts;

use crate::support::{BOOK, SHIPPED};

/// A run that reached all that can be asked for.
pub(crate) fn worth(change: impl FnOnce(&mut Worth)) -> Worth {
    let mut worth = Worth {
        runs_true: true,
        all_cured: true,
        minutes: 150.0,
        expert_minutes: 100.0,
        best_minutes: 80.0,
        safety_faults: 0,
        hidden: 1,
        found: 1,
        wrongly_named: 0,
        stated: vec![(0.9, true)],
        advice: 0,
    };
    change(&mut worth);
    worth
}

/// A run of a drill on a day of the demo year.
pub(crate) fn attempt(run: u32, drill: &str, day: &str, worth: Worth) -> Attempt {
    let begun: Timestamp = format!("{day}T07:08:09Z").parse().unwrap();
    Attempt { run, drill: drill.to_owned(), begun, exam: false, earlier: 0, worth }
}

/// Somebody with these runs.
pub(crate) fn learner(name: &str, attempts: Vec<Attempt>) -> Learner {
    Learner { attempts, ..Learner::new(name) }
}

/// What is read from a text of courses, with the shipped drills.
pub(crate) fn read_text(text: &str) -> (Vec<Course>, Vec<Problem>) {
    let mut texts = Texts::default();
    let file = texts.add("courses/x.ron", text.to_owned());
    let mut report = Report::default();
    let written = SHIPPED.0.iter().map(|drill| drill.id.clone()).collect();
    let courses = read::read_files(&BOOK, (&texts, &[file]), (&SHIPPED.0, &written), &mut report);
    (courses, report.sorted())
}

/// The courses that are shipped, and what is wrong with them.
pub(crate) fn shipped() -> (Vec<Course>, Vec<Problem>) {
    let checked = load::read(None);
    let mut report = Report::default();
    let courses = read::read(&BOOK, &checked, &SHIPPED.0, &mut report);
    (courses, report.sorted())
}
