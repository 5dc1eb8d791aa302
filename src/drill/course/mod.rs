//! Courses: an ordered list of drills, and what a run of each must have reached before the next one comes.

pub mod goal;
pub mod read;
pub mod written;

use super::learners::Attempt;
use crate::rulebook::model::Source;
use crate::source::Place;

pub use goal::{Goal, Matched};

/// A course.
#[derive(Debug, Clone)]
pub struct Course {
    /// Its id, unique over all files.
    pub id: String,
    /// What it is called.
    pub title: String,
    /// Whom it is for and what it teaches.
    pub about: String,
    /// Its drills in order; never empty.
    pub steps: Vec<CourseStep>,
    /// Where it comes from.
    pub source: Source,
    /// Where its id stands.
    pub place: Place,
}

/// One drill of a course.
#[derive(Debug, Clone, PartialEq)]
pub struct CourseStep {
    /// The drill's id.
    pub drill: String,
    /// What one run must have reached, all of it.
    pub goals: Vec<Goal>,
    /// Whether only a run counts that was made as an examination.
    pub exam: bool,
}

/// How far somebody has come with one drill of a course.
#[derive(Debug, Clone, PartialEq)]
pub struct StepStanding {
    /// How many runs of it are over that may count.
    pub tries: usize,
    /// The first run that reached everything.
    pub reached: Option<u32>,
    /// The last of the tries, and what it did not reach; nothing once one reached everything.
    pub last: Option<(u32, Vec<Goal>)>,
}

impl CourseStep {
    /// What a run missed of it.
    pub fn missed(&self, attempt: &Attempt) -> Vec<Goal> {
        let missed = self.goals.iter().filter(|goal| !goal.is_reached(&attempt.worth));
        missed.copied().collect()
    }

    fn standing(&self, attempts: &[Attempt]) -> StepStanding {
        let counts =
            |attempt: &&Attempt| attempt.drill == self.drill && (attempt.exam || !self.exam);
        let mut standing = StepStanding { tries: 0, reached: None, last: None };
        for attempt in attempts.iter().filter(counts) {
            standing.tries += 1;
            let missed = self.missed(attempt);
            if missed.is_empty() && standing.reached.is_none() {
                standing.reached = Some(attempt.run);
            }
            standing.last = Some((attempt.run, missed));
        }
        if standing.reached.is_some() {
            standing.last = None;
        }
        standing
    }
}

impl Course {
    /// How far somebody has come with each of its drills. The attempts are one person's, oldest first.
    pub fn standing(&self, attempts: &[Attempt]) -> Vec<StepStanding> {
        self.steps.iter().map(|step| step.standing(attempts)).collect()
    }

    /// The place of the drill that comes next: the first that was not reached yet; nothing when all were.
    pub fn next(&self, standing: &[StepStanding]) -> Option<usize> {
        standing.iter().position(|step| step.reached.is_none())
    }
}
