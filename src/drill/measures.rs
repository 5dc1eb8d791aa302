//! What a trial's runs took, against somebody who knew all from the start.

use super::account::Split;
use super::trial_run::Run;
use crate::proof::score::{Mean, Share};

/// What the runs took.
#[derive(Debug, Clone, PartialEq)]
pub struct Measures {
    /// Pages with something to answer, before the first job is taken in hand. One question is one page.
    pub pages: Mean,
    /// Things asked on them.
    pub things_put: Mean,
    /// Minutes until the first job is taken in hand: its isolation and its check not counted. All minutes of asking
    /// where nothing was planned.
    pub minutes_before_work: Mean,
    /// The first step of the first batch was the leading cause's own fix, or one that this must stand behind; of the
    /// runs in which something was planned. See [`super::account::begins_with_the_leader`].
    pub first_step: Share,
    /// Of the steering steps that were done with strand and side told, those whose words name both. See
    /// [`super::ways::Spoken`].
    pub steps_sided: Share,
    /// What the minutes went into, on average; the minutes as they were, without what a run that did not end true
    /// counts besides.
    pub split: Split,
    /// Minutes of the clairvoyant: the cheapest repair by somebody who knows from the start what is hidden and which
    /// fix takes it away, and looks at nothing ([`super::best`]).
    pub clairvoyant: Spread,
    /// Minutes to true over those of the clairvoyant.
    pub minutes_over: Spread,
    /// The runs with one hidden cause.
    pub one_cause: OfNumber,
    /// The runs with more.
    pub two_causes: OfNumber,
}

/// How the runs went with so many hidden causes.
#[derive(Debug, Clone, PartialEq)]
pub struct OfNumber {
    /// A hidden cause led.
    pub right_first: Share,
    /// A hidden cause was among the first three.
    pub right_in_three: Share,
    /// The belt ran true in the end.
    pub solved: Share,
    /// Everything hidden was put right.
    pub all_cured: Share,
    /// Minutes to true over those of the clairvoyant.
    pub minutes_over: Spread,
}

/// The middle of some minutes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Their mean.
    pub mean: Mean,
    /// Half are no longer than this; 0 of nothing.
    pub median: f64,
}

impl Measures {
    pub(super) fn of(runs: &[Run]) -> Self {
        let all: Vec<&Run> = runs.iter().collect();
        let pages = Mean::new(runs.iter().map(|run| run.followed.looked.pages as f64));
        let things = Mean::new(runs.iter().map(|run| run.followed.looked.things as f64));
        let planned: Vec<bool> = runs.iter().filter_map(|run| run.followed.led_first).collect();
        let (one, more): (Vec<&Run>, Vec<&Run>) = runs.iter().partition(|run| run.hidden.len() < 2);
        Self {
            pages,
            things_put: things,
            minutes_before_work: Mean::new(runs.iter().map(|run| run.followed.minutes_asking)),
            first_step: Share::new(planned.iter().filter(|led| **led).count(), planned.len()),
            steps_sided: Share::new(
                runs.iter().map(|run| run.judged.sided).sum(),
                runs.iter().map(|run| run.judged.steering).sum(),
            ),
            split: Split::mean(&runs.iter().map(|run| run.split).collect::<Vec<_>>()),
            clairvoyant: Spread::over(&all, &|run| run.clairvoyant_minutes),
            minutes_over: Spread::over(&all, &Run::minutes_over),
            one_cause: OfNumber::of(&one),
            two_causes: OfNumber::of(&more),
        }
    }
}

impl OfNumber {
    fn of(runs: &[&Run]) -> Self {
        let share = |holds: &dyn Fn(&Run) -> bool| {
            Share::new(runs.iter().filter(|run| holds(run)).count(), runs.len())
        };
        Self {
            right_first: share(&Run::right_first),
            right_in_three: share(&Run::right_in_three),
            solved: share(&|run| run.followed.runs_true),
            all_cured: share(&|run| run.all_cured),
            minutes_over: Spread::over(runs, &Run::minutes_over),
        }
    }
}

impl Spread {
    pub(super) fn over(runs: &[&Run], minutes: &dyn Fn(&Run) -> f64) -> Self {
        Self::of(runs.iter().map(|run| minutes(run)).collect())
    }

    fn of(mut minutes: Vec<f64>) -> Self {
        minutes.sort_by(f64::total_cmp);
        let middle = minutes.len() / 2;
        let median = match (minutes.get(middle.wrapping_sub(1)), minutes.get(middle)) {
            (Some(below), Some(above)) if minutes.len().is_multiple_of(2) => 0.5 * (below + above),
            (_, above) => above.copied().unwrap_or(0.0),
        };
        Self { mean: Mean::new(minutes), median }
    }
}
