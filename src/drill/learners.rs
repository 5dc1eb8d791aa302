//! Who ran which drills, and what each run was worth: of all runs that are kept.

use jiff::Timestamp;

use super::record::{Record, RunState};
use super::worth::Worth;

/// A run that is over.
#[derive(Debug, Clone, PartialEq)]
pub struct Attempt {
    /// The run's number.
    pub run: u32,
    /// The drill's id.
    pub drill: String,
    /// When it began.
    pub begun: Timestamp,
    /// Whether it was made as an examination.
    pub exam: bool,
    /// How many runs of the same drill the same person had begun before it.
    pub earlier: usize,
    /// What it was worth.
    pub worth: Worth,
}

/// Somebody who ran drills.
#[derive(Debug, Clone, PartialEq)]
pub struct Learner {
    /// The name as it was given first.
    pub name: String,
    /// The runs that are over, oldest first.
    pub attempts: Vec<Attempt>,
    /// Runs that go on: number and drill, oldest first.
    pub open: Vec<(u32, String)>,
    /// Runs that are over and cannot be made again, so that nobody knows what they were worth.
    pub unknown: Vec<u32>,
}

impl Learner {
    /// Somebody who has run nothing yet.
    pub fn new(name: &str) -> Self {
        Self {
            name: name.trim().to_owned(),
            attempts: Vec::new(),
            open: Vec::new(),
            unknown: Vec::new(),
        }
    }
}

/// Whether two names are one person's: capitals and spaces beside them do not tell people apart.
pub fn same_person(one: &str, other: &str) -> bool {
    one.trim().to_lowercase() == other.trim().to_lowercase()
}

/// How many runs of the same drill the same person had begun before this one; nothing of who gave no name.
pub fn earlier(records: &[Record], of: &Record) -> Option<usize> {
    let who = of.who.as_deref()?;
    let drill = of.drill_id();
    let before = records.iter().filter(|record| {
        record.run < of.run
            && record.who.as_deref().is_some_and(|name| same_person(name, who))
            && record.drill_id() == drill
    });
    Some(before.count())
}

/// Everybody who gave a name, in the order of their first runs. `worth` says what a run was worth that does not hold it
/// itself: those of older programs.
pub fn learners(
    records: &[Record],
    worth: &mut dyn FnMut(&Record) -> Option<Worth>,
) -> Vec<Learner> {
    let mut oldest_first: Vec<&Record> = records.iter().collect();
    oldest_first.sort_by_key(|record| record.run);
    let mut learners: Vec<Learner> = Vec::new();
    for record in oldest_first {
        let Some(who) = record.who.as_deref() else {
            continue;
        };
        let at = learners.iter().position(|learner| same_person(&learner.name, who));
        let at = at.unwrap_or_else(|| {
            learners.push(Learner::new(who));
            learners.len() - 1
        });
        let Some(learner) = learners.get_mut(at) else {
            continue;
        };
        let drill = record.drill_id().into_owned();
        if record.state == RunState::Open {
            learner.open.push((record.run, drill));
            continue;
        }
        match record.worth.clone().or_else(|| worth(record)) {
            Some(worth) => learner.attempts.push(Attempt {
                run: record.run,
                begun: record.begun,
                exam: record.is_exam(),
                earlier: earlier(records, record).unwrap_or_default(),
                worth,
                drill,
            }),
            None => learner.unknown.push(record.run),
        }
    }
    learners
}
