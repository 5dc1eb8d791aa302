//! What stands once for a whole book: minutes, ways, and how far reports and answers are believed.

use super::ToldBy;

/// Minutes that the book reckons with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Minutes {
    /// Stopping, isolating, locking and trying, minutes.
    pub lock_out: f64,
    /// Guards on, clearing, restart and watching three revolutions, minutes.
    pub restart_and_watch: f64,
    /// What a wrong or missing finding costs the plant, minutes.
    pub give_up: f64,
}

/// How reports from the work count as evidence about the causes present at the start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reports {
    /// Chance of "as suspected" if the cause was present, and if it was not.
    pub as_suspected: (f64, f64),
    /// Chance of "was fine" if the cause was present, and if it was not.
    pub was_fine: (f64, f64),
    /// Share of outcomes (true, better, no change) reported wrongly, in all.
    pub outcome_wrong: f64,
    /// Chance that a second look tells what the earlier one told, while the causes it hangs on are the same:
    /// as good as no news.
    pub same_again: f64,
}

/// Where the plan and its words change.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thresholds {
    /// What comes before a job may be passed over when its causes are less likely than this, 0..1.
    pub unlikely: f64,
    /// Nobody looks on once a cause is as likely as this, 0..1.
    pub enough: f64,
    /// Nor once so many minutes went into looking.
    pub looking_minutes: f64,
    /// The picture is not clear while no cause is as likely as this, 0..1.
    pub clear: f64,
    /// While the picture is not clear nothing longer than this is done locked out, minutes.
    pub unclear_work_minutes: f64,
    /// A plan that may take longer than this is for the supervisor first, minutes.
    pub supervisor_first_minutes: f64,
}

/// Ways on foot, and the sizes of a conveyor of which nothing is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Walking {
    /// Between the end pulleys' shafts where a conveyor's own centres are unknown, metres.
    pub centres_m: f64,
    /// Belt speed where a conveyor's own is unknown, metres a second.
    pub speed_m_s: f64,
    /// How fast somebody walks beside the conveyor, metres a minute.
    pub metres_a_minute: f64,
    /// Minutes to turn to another look, the way to it left out.
    pub to_turn_to_minutes: f64,
    /// Between idler sets of the carry strand where a conveyor's own pitch is unknown, metres.
    pub carry_pitch_m: f64,
    /// Between rolls of the return strand where a conveyor's own pitch is unknown, metres.
    pub return_pitch_m: f64,
    /// Pulleys of a troughed bulk conveyor, or one of unknown class, where their number is unknown.
    pub pulleys_bulk: f64,
    /// Pulleys of a flat conveyor.
    pub pulleys_flat: f64,
    /// Pulleys of a package conveyor.
    pub pulleys_package: f64,
}

impl Default for Walking {
    /// For books that say nothing of it. Judgement.
    fn default() -> Self {
        Self {
            centres_m: 66.0,
            speed_m_s: 1.5,
            metres_a_minute: 50.0,
            to_turn_to_minutes: 0.3,
            carry_pitch_m: 1.2,
            return_pitch_m: 3.0,
            pulleys_bulk: 4.0,
            pulleys_flat: 2.0,
            pulleys_package: 2.0,
        }
    }
}

/// How likely somebody can tell a symptom, by how it is told, before anything was asked in a visit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Told {
    /// As many answers of a visit weigh as much as the chances here.
    pub weight_answers: f64,
    /// That what is known of the past can be told, 0..1.
    pub history: f64,
    /// That what is to be seen or heard can be told, 0..1.
    pub seen: f64,
    /// That what a hand finds on the isolated machine can be told, 0..1.
    pub felt: f64,
    /// That what is measured can be told, 0..1.
    pub measured: f64,
}

impl Default for Told {
    /// For books that say nothing of it. Judgement.
    fn default() -> Self {
        Self { weight_answers: 4.0, history: 0.6, seen: 0.9, felt: 0.9, measured: 0.7 }
    }
}

impl Told {
    /// The chance that somebody can tell what is told in this way, 0..1.
    pub fn chance(&self, by: ToldBy) -> f64 {
        match by {
            ToldBy::History => self.history,
            ToldBy::Seen => self.seen,
            ToldBy::Felt => self.felt,
            ToldBy::Measured => self.measured,
        }
    }
}
