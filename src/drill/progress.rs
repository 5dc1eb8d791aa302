//! What somebody has reached, summed week by week.

use jiff::ToSpan as _;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::learners::Attempt;
use crate::proof::score::{Brier, brier};

/// Several runs together.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Sums {
    /// Runs that are over.
    pub runs: usize,
    /// Those of them that were solved: the belt runs true and nothing hidden is left.
    pub solved: usize,
    /// Minutes of the solved ones: who gives up is quick.
    pub minutes: f64,
    /// What an expert would have taken for these, minutes.
    pub expert_minutes: f64,
    /// Hands at a moving belt.
    pub safety_faults: usize,
    /// Runs without any.
    pub safe_runs: usize,
    /// Hidden causes.
    pub hidden: usize,
    /// Those of them that were named.
    pub found: usize,
    /// What was said with how much certainty: how often.
    pub statements: usize,
    /// How good that was; nothing if nothing was said.
    pub brier: Option<Brier>,
    /// How often straybelt was asked.
    pub advice: usize,
    /// Runs of a drill that the same person had begun before.
    pub repeats: usize,
}

/// The runs of one week.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Week {
    /// Its Monday.
    pub monday: Date,
    /// Its runs together.
    pub sums: Sums,
}

impl Sums {
    /// Of these runs.
    pub fn of<'a>(attempts: impl IntoIterator<Item = &'a Attempt>) -> Self {
        let mut sums = Self::default();
        let mut stated: Vec<(f64, bool)> = Vec::new();
        for attempt in attempts {
            let worth = &attempt.worth;
            sums.runs += 1;
            if worth.is_solved() {
                sums.solved += 1;
                sums.minutes += worth.minutes;
                sums.expert_minutes += worth.expert_minutes;
            }
            sums.safety_faults += worth.safety_faults;
            sums.safe_runs += usize::from(worth.safety_faults == 0);
            sums.hidden += worth.hidden;
            sums.found += worth.found;
            sums.advice += worth.advice;
            sums.repeats += usize::from(attempt.earlier > 0);
            stated.extend(&worth.stated);
        }
        Self { statements: stated.len(), brier: brier(&stated), ..sums }
    }

    /// Minutes of the solved runs as a multiple of the expert's; nothing if none was solved.
    pub fn times(&self) -> Option<f64> {
        (self.solved > 0).then(|| self.minutes / self.expert_minutes.max(1.0))
    }
}

/// The runs of each week in which there were some, oldest first. A week begins on Monday, where the tablet is.
pub fn weeks(attempts: &[Attempt], zone: &TimeZone) -> Vec<Week> {
    let mut mondays: Vec<Date> = attempts.iter().map(|attempt| monday(attempt, zone)).collect();
    mondays.sort_unstable();
    mondays.dedup();
    let week = |at: Date| Week {
        monday: at,
        sums: Sums::of(attempts.iter().filter(|attempt| monday(attempt, zone) == at)),
    };
    mondays.into_iter().map(week).collect()
}

/// The day on which a run was begun, where the tablet is.
pub fn day(attempt: &Attempt, zone: &TimeZone) -> Date {
    attempt.begun.to_zoned_datetime(zone.clone()).date()
}

fn monday(attempt: &Attempt, zone: &TimeZone) -> Date {
    let day = day(attempt, zone);
    let since = i64::from(day.weekday().to_monday_zero_offset());
    // The first week of all time begins where the calendar does.
    day.checked_sub(since.days()).unwrap_or(day)
}
