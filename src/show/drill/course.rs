//! Courses: what there is, where somebody stands in one, and what the last run was worth to it.

use std::collections::HashMap;

use super::judged;
use crate::drill::course::{Course, CourseStep, Goal, Matched, StepStanding};
use crate::drill::learners::{Attempt, Learner};
use crate::drill::worth::Worth;
use crate::show::chance::count;
use crate::show::page::{Page, Screen};
use crate::stream::paint::Ink;

/// What drills are called, by their ids.
pub type Titles<'t> = HashMap<&'t str, &'t str>;

/// What came of a run for a course.
#[derive(Debug, Clone, Copy)]
pub struct Came<'c> {
    /// The course.
    pub course: &'c Course,
    /// The place of the drill that was run.
    pub at: usize,
    /// Where the learner stands now.
    pub standing: &'c [StepStanding],
    /// Who it is.
    pub who: &'c str,
    /// Flags that were named, to be named again.
    pub again: &'c str,
}

/// All courses; how far somebody has come with each.
pub fn list(screen: Screen, courses: &[Course], learner: Option<&Learner>) -> String {
    let mut page = Page::new(screen);
    page.title("Courses");
    if courses.is_empty() {
        page.para("There are none. A site's folder may hold some in courses/.");
    }
    for course in courses {
        page.blank().head(&course.id).para(&format!("{}.", course.title)).para(&course.about);
        let drills = count(course.steps.len(), "drill", "drills");
        page.para_in(
            Ink::Faint,
            &match learner {
                None => format!("{drills}."),
                Some(learner) => {
                    let standing = course.standing(&learner.attempts);
                    format!("{}: {} of {drills} reached.", learner.name, reached(&standing))
                }
            },
        );
    }
    page.blank().para("`straybelt drill course ID --who NAME` runs the drill that comes next.");
    page.finish()
}

/// The drills of a course and what must be reached, for nobody.
pub fn alone(screen: Screen, course: &Course, titles: &Titles<'_>) -> String {
    let mut page = head(screen, course);
    for (nth, step) in course.steps.iter().enumerate() {
        page.item(&format!(" {:>2}  ", nth + 1), &format!("{}{}", title(titles, step), exam(step)));
    }
    wanted(&mut page, course);
    page.blank().para("Name who takes it: --who NAME.");
    page.finish()
}

/// Where somebody stands in a course.
pub fn standing(
    screen: Screen,
    course: &Course,
    titles: &Titles<'_>,
    who: &str,
    standing: &[StepStanding],
) -> String {
    let mut page = head(screen, course);
    let next = course.next(standing);
    page.head(&match next {
        Some(_) => format!("{who}: {} of {} reached.", reached(standing), course.steps.len()),
        None => format!("{who} has reached all of it."),
    });
    for (nth, (step, stands)) in course.steps.iter().zip(standing).enumerate() {
        let mark = match (stands.reached, next == Some(nth)) {
            (Some(_), _) => 'x',
            (None, true) => '>',
            (None, false) => ' ',
        };
        let words = format!("{}{}{}", title(titles, step), exam(step), how_far(stands));
        page.item(&format!(" {mark} {:>2}  ", nth + 1), &words);
    }
    page.para_in(Ink::Faint, "x reached, > comes next.");
    if let Some(step) = next.and_then(|at| course.steps.get(at)) {
        page.blank().head("What the next run must reach, all of it");
        for goal in &step.goals {
            page.item(" - ", &goal_words(*goal));
        }
    }
    page.finish()
}

/// What a run was worth to the course, and how it goes on.
pub fn afterwards(
    screen: Screen,
    came: &Came<'_>,
    titles: &Titles<'_>,
    attempts: &[Attempt],
) -> String {
    let mut page = Page::new(screen);
    page.title(&came.course.title);
    let (course, who) = (came.course, came.who);
    let stands = came.standing.get(came.at);
    match stands.and_then(|stands| stands.last.as_ref()) {
        Some((run, missed)) => {
            page.head("Not reached yet.");
            let worth = attempts.iter().find(|attempt| attempt.run == *run);
            for goal in missed {
                page.item(" - ", &missed_words(*goal, worth.map(|attempt| &attempt.worth)));
            }
            page.para("Read the debrief, then run it again.");
        }
        None => match course.next(came.standing).and_then(|at| course.steps.get(at)) {
            Some(step) => {
                let words = format!("Reached. Next comes: {}{}.", title(titles, step), exam(step));
                page.head(&words);
            }
            None => {
                page.head("Reached, and with it the whole course.");
                return page.finish();
            }
        },
    }
    // A name may have spaces in it.
    let who = format!("'{}'", who.replace('\'', "'\\''"));
    page.para("To go on:").line(
        Ink::Plain,
        &format!("  straybelt drill course {} --who {who}{}", course.id, came.again),
    );
    page.finish()
}

fn head(screen: Screen, course: &Course) -> Page {
    let mut page = Page::new(screen);
    page.title(&course.title).para(&course.about).blank();
    page
}

/// What must be reached, where it is the same for all drills once.
fn wanted(page: &mut Page, course: &Course) {
    let mut last: Option<&[Goal]> = None;
    for (nth, step) in course.steps.iter().enumerate() {
        if last == Some(&step.goals) {
            continue;
        }
        last = Some(&step.goals);
        page.blank().head(&match nth {
            0 => "What each run must reach".to_owned(),
            nth => format!("From drill {} on", nth + 1),
        });
        for goal in &step.goals {
            page.item(" - ", &goal_words(*goal));
        }
    }
}

fn title(titles: &Titles<'_>, step: &CourseStep) -> String {
    (*titles.get(step.drill.as_str()).unwrap_or(&step.drill.as_str())).to_owned()
}

fn exam(step: &CourseStep) -> &'static str {
    if step.exam { " (examination)" } else { "" }
}

/// How many drills of a course were reached.
pub(super) fn reached(standing: &[StepStanding]) -> usize {
    standing.iter().filter(|step| step.reached.is_some()).count()
}

fn how_far(stands: &StepStanding) -> String {
    let tries = count(stands.tries, "run", "runs");
    match (stands.reached, stands.tries) {
        (Some(run), _) => format!(": reached in run {run}"),
        (None, 0) => String::new(),
        (None, _) => format!(": {tries}, not reached yet"),
    }
}

/// What must be reached.
pub fn goal_words(goal: Goal) -> String {
    match goal {
        Goal::RunsTrue => "The belt runs true in the end.".to_owned(),
        Goal::Cured => "Everything hidden is put right.".to_owned(),
        Goal::Named => "Each hidden cause is named with 50 % or more, and no other.".to_owned(),
        Goal::Safe => "No hand comes near a moving belt.".to_owned(),
        Goal::Times(most) => format!("It takes at most {most:.1} times the expert's minutes."),
        Goal::Certain(least) => {
            format!("How sure you are and what is so: {}, or better.", judged::matched(least))
        }
        Goal::NoAdvice => "straybelt is not asked for advice.".to_owned(),
    }
}

/// What was not reached, with what it was.
pub fn missed_words(goal: Goal, worth: Option<&Worth>) -> String {
    let Some(worth) = worth else {
        return goal_words(goal);
    };
    match goal {
        Goal::RunsTrue => "The belt did not run true in the end.".to_owned(),
        Goal::Cured => "Something hidden was still there.".to_owned(),
        Goal::Named if worth.found < worth.hidden => {
            format!("Of what was hidden, {} of {} was named.", worth.found, worth.hidden)
        }
        Goal::Named => "A cause was named that was not there.".to_owned(),
        Goal::Safe => format!(
            "A hand went near a moving belt: {}.",
            count(worth.safety_faults, "safety fault", "safety faults")
        ),
        Goal::Times(_) if !worth.is_solved() => {
            "It was not solved, so no minutes count.".to_owned()
        }
        Goal::Times(most) => format!(
            "It took {:.1} times the expert's minutes; {most:.1} are asked for.",
            worth.times()
        ),
        Goal::Certain(least) => {
            let was = worth.brier().map_or(Matched::Worse, |brier| Matched::of(brier.score));
            format!(
                "How sure you were and what was so: {}. Asked for: {}.",
                judged::matched(was),
                judged::matched(least)
            )
        }
        Goal::NoAdvice => format!("straybelt was asked {}.", count(worth.advice, "time", "times")),
    }
}
