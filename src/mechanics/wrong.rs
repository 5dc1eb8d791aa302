//! What the model refuses, and what to do about it.

use std::fmt;

/// Why something is refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reason {
    /// Not a number, or endless.
    NotANumber,
    /// Outside the bounds of what is built or can be moved.
    OutOfBounds,
    /// It lies beyond the conveyor, or beyond the belt.
    OffTheConveyor,
    /// Two parts stand at one place, or out of order.
    Overlap,
    /// There is no such station.
    NoSuchStation,
    /// The belt is wider than the face it runs on.
    WiderThanFace,
    /// The belt would hang slack: no pull is left in it.
    Slack,
    /// The conveyor needs more points than the model reckons with.
    TooLarge,
    /// The equations have no single answer.
    Singular,
    /// No rest was found within the bounded number of tries.
    Unsettled,
    /// The state was kept from another conveyor.
    OtherConveyor,
}

/// What is wrong, where, and what to do: every error of this room.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{part}: {what}. {remedy}")]
pub struct Wrong {
    /// Why it is refused.
    pub reason: Reason,
    /// The part that it is about: "return roll 4 from the tail".
    pub part: String,
    /// What is wrong with it.
    pub what: String,
    /// What to do.
    pub remedy: &'static str,
}

impl Wrong {
    pub(super) fn new(
        reason: Reason,
        part: impl fmt::Display,
        what: impl fmt::Display,
        remedy: &'static str,
    ) -> Self {
        Self { reason, part: part.to_string(), what: what.to_string(), remedy }
    }
}

/// A number to four places: more would only show how it was reckoned.
fn short(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}

/// What a number may be: from the first to the second, in `unit`.
pub(super) fn within(
    part: &dyn fmt::Display,
    what: &str,
    value: f64,
    (least, most): (f64, f64),
    unit: &str,
) -> Result<(), Wrong> {
    if !value.is_finite() {
        return Err(Wrong::new(
            Reason::NotANumber,
            part,
            format!("the {what} is not a number"),
            "Give a finite number.",
        ));
    }
    if value < least || value > most {
        return Err(Wrong::new(
            Reason::OutOfBounds,
            part,
            format!(
                "the {what} is {} {unit}; the model goes from {} to {} {unit}",
                short(value),
                short(least),
                short(most)
            ),
            "Check the number and its unit.",
        ));
    }
    Ok(())
}
