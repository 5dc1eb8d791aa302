//! What readings can tell: said before they are taken, and when they fell too near a limit.

use super::limits::Limit;
use super::outcome::{Figure, Verdict};
use super::words::Words;
use crate::conveyor::quantity::{Kind, Quantity};
use crate::say;

/// How several readings of one thing are given, at a prompt and by flags.
const SEVERAL: &str = " (on one line, 12; 13; 12, or --repeat)";
/// More than so many readings of one thing are no cure: another way is.
const MOST_READINGS: f64 = 9.0;

/// What readings of this size can tell from the limit they are held against.
#[derive(Debug, Clone, PartialEq)]
pub struct CanTell {
    /// What is judged, in a few words: "squareness of the pulley".
    pub what: &'static str,
    /// How far off the result may be.
    pub error: Quantity,
    /// The limit; nothing where the error is the least that shows at all.
    pub limit: Option<Quantity>,
    /// What would do better; empty if nothing need be said.
    pub better: Words,
}

impl CanTell {
    /// Of an error and a limit in SI of one kind.
    pub fn of(what: &'static str, kind: Kind, error_si: f64, limit: Limit) -> Self {
        Self {
            what,
            error: Quantity::of(kind, error_si),
            limit: Some(limit.size),
            better: Words::default(),
        }
    }

    /// Of what is held to no limit: the least that shows.
    pub fn least(what: &'static str, kind: Kind, least_si: f64) -> Self {
        let error = Quantity::of(kind, least_si);
        Self { what, error, limit: None, better: Words::default() }
    }

    /// The error as a share of the limit; nothing without one.
    pub fn share(&self) -> Option<f64> {
        Some(self.error.si() / self.limit?.si())
    }

    /// With what would do better.
    #[must_use]
    pub fn better(self, better: Words) -> Self {
        Self { better, ..self }
    }

    /// Whether a sound part can be told from one at its limit: then perfect readings of it pass.
    pub fn tells(&self) -> bool {
        self.share().is_some_and(|share| share < 1.0)
    }

    /// How often each reading would have to be taken to halve the limit, and so tell with room to spare.
    fn readings(&self) -> f64 {
        self.share().map_or(1.0, |share| (2.0 * share).powi(2).ceil().max(1.0))
    }

    /// The same in words.
    pub fn words(&self) -> Words {
        let Some(limit) = self.limit else {
            let mut words = say!("What it can tell: ", self.what, " ", self.error, " or more. ");
            words.0.extend(self.better.0.clone());
            return words;
        };
        let mut words = say!(
            "What it can tell: ",
            self.what,
            " is known to ",
            self.error,
            ", the limit is ",
            limit,
            if self.tells() { "." } else { ". It cannot tell a sound one." }
        );
        let often = self.readings();
        if often > 1.0 && often <= MOST_READINGS {
            words.0.extend(say!(format!(" Better: each reading {often:.0} times{SEVERAL}.")).0);
        }
        if !self.better.0.is_empty() && often > 1.0 {
            words.0.extend(say!(" ").0);
            words.0.extend(self.better.0.clone());
        }
        words
    }
}

/// How much longer or how often to measure where a figure lies nearer to its limit than its reading error. `base_m` is the
/// length that it was measured over, if a longer one would do better. Empty where nothing is too close.
pub fn closer(figure: &Figure, base_m: Option<f64>) -> Words {
    let (Some(limit), Some(error), Verdict::TooClose) =
        (figure.limit, figure.error, figure.verdict)
    else {
        return Words::default();
    };
    let gap = (figure.size.si().abs() - limit.size.si()).abs();
    let times = error.si() / gap;
    let often = times.powi(2).floor() + 1.0;
    if !often.is_finite() || often > MOST_READINGS {
        return say!(
            " It lies on its limit: more readings settle little. Treat it as beyond, or find a finer way."
        );
    }
    let again = say!(format!(" Each reading {often:.0} times would tell{SEVERAL}"));
    let mut words = again;
    match base_m {
        Some(base_m) if times <= 4.0 => words.0.extend(
            say!(", or points ", Quantity::of(Kind::Length, base_m * times * 1.01), " apart.").0,
        ),
        _ => words.0.extend(say!(".").0),
    }
    words
}
