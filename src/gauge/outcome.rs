//! What a gauge makes of its readings.

use super::limits::{Limit, Mark};
use super::words::Words;
use crate::conveyor::quantity::{Kind, Quantity};

/// What came of a measurement.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outcome {
    /// The sentence that says it all.
    pub says: Words,
    /// How it stands against the limit.
    pub verdict: Verdict,
    /// The numbers, the most telling first.
    pub figures: Vec<Figure>,
    /// What it tells: for each of the gauge's tells that these readings speak of, the word, or nothing when it is
    /// too close to call.
    pub tells: Vec<(&'static str, Option<&'static str>)>,
    /// What to do, in order, with amounts; empty when nothing is to be done.
    pub work: Vec<Words>,
    /// How far the one thing is to be moved that matters most, if a thing is to be moved.
    pub amount: Option<Amount>,
    /// What the number rests on and what it leaves out: assumptions, doubts, cautions.
    pub notes: Vec<Words>,
    /// A picture.
    pub plot: Option<Plot>,
}

/// How a reading stands against its limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Verdict {
    /// Within it, by more than the reading error.
    Within,
    /// Beyond it, by more than the reading error.
    Beyond,
    /// Nearer to it than the reading error: measure again.
    TooClose,
    /// No limit is known: the number stands alone.
    #[default]
    NoLimit,
}

impl Verdict {
    /// Whether a size is within a limit, when it was read with an error of up to `error` (all of one unit).
    /// The sign of `size` does not count.
    pub fn of(size: f64, limit: f64, error: f64) -> Self {
        let beyond = size.abs() - limit;
        if beyond.abs() < error {
            Self::TooClose
        } else if beyond > 0.0 {
            Self::Beyond
        } else {
            Self::Within
        }
    }

    /// Its name in JSON.
    pub fn id(self) -> &'static str {
        match self {
            Self::Within => "within",
            Self::Beyond => "beyond",
            Self::TooClose => "too-close",
            Self::NoLimit => "no-limit",
        }
    }

    /// The worse of two: beyond before too close before within before none.
    #[must_use]
    pub fn worse(self, other: Self) -> Self {
        let rank = |verdict| match verdict {
            Self::NoLimit => 0,
            Self::Within => 1,
            Self::TooClose => 2,
            Self::Beyond => 3,
        };
        if rank(other) > rank(self) { other } else { self }
    }
}

/// How far something is to be moved.
#[derive(Debug, Clone, PartialEq)]
pub struct Amount {
    /// How far.
    pub size: Quantity,
    /// How far the reading error may have put it off.
    pub error: Option<Quantity>,
    /// Which thing, and where on it that is measured: "idler 12, at its feet".
    pub at: Words,
}

impl Amount {
    /// A length in metres, read with an error of up to so much; none if that is nothing.
    pub fn length(size_m: f64, error_m: f64, at: Words) -> Self {
        let of = |size_m| Quantity::of(Kind::Length, size_m);
        Self { size: of(size_m), error: (error_m > 0.0).then(|| of(error_m)), at }
    }
}

/// A number that was worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// Its name in JSON.
    pub id: &'static str,
    /// What it is, in a few words.
    pub what: Words,
    /// Its size.
    pub size: Quantity,
    /// How far the reading error may have put it off.
    pub error: Option<Quantity>,
    /// The limit it is held against.
    pub limit: Option<Limit>,
    /// How it stands against that.
    pub verdict: Verdict,
    /// What the formula rests on.
    pub mark: Mark,
}

impl Figure {
    /// A number in SI with no reading error and no limit.
    pub fn of(id: &'static str, what: Words, kind: Kind, si: f64, mark: impl Into<Mark>) -> Self {
        Self {
            id,
            what,
            size: Quantity::of(kind, si),
            error: None,
            limit: None,
            verdict: Verdict::NoLimit,
            mark: mark.into(),
        }
    }

    /// The same, read with an error of up to so much, SI; none if that is nothing. To be said before the limit.
    #[must_use]
    pub fn off_by(mut self, kind: Kind, error_si: f64) -> Self {
        self.error = (error_si != 0.0).then(|| Quantity::of(kind, error_si));
        self
    }

    /// The same, held against a limit that only what is above nothing can exceed.
    #[must_use]
    pub fn against_above(self, limit: Limit) -> Self {
        let size = self.size;
        let above =
            if size.si() < 0.0 { Verdict::Within } else { self.clone().against(limit).verdict };
        Self { verdict: above, limit: Some(limit), ..self }
    }

    /// The same, held against a limit that its size must not exceed, whatever its sign.
    #[must_use]
    pub fn against(mut self, limit: Limit) -> Self {
        let error = self.error.map_or(0.0, Quantity::si);
        self.verdict = Verdict::of(self.size.si(), limit.size.si(), error);
        self.limit = Some(limit);
        self
    }
}

/// A picture of readings. Numbers are in the unit that the axis names; what is left of the middle is positive.
#[derive(Debug, Clone, PartialEq)]
pub enum Plot {
    /// Points along the conveyor or over time, with lines.
    Points(Points),
    /// Bars from nothing, each with its words.
    Bars(Bars),
    /// A table of numbers as shades.
    Heat(Heat),
}

/// Points with lines through them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Points {
    /// What goes along.
    pub along: Axis,
    /// What goes up.
    pub up: Axis,
    /// The points, by what goes along.
    pub points: Vec<Point>,
    /// Straight lines: what each is called, and its ends.
    pub lines: Vec<(&'static str, [(f64, f64); 2])>,
}

/// A point.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// Its place along.
    pub along: f64,
    /// Its height.
    pub up: f64,
    /// Whether it is beyond a limit and to be seen at once.
    pub beyond: bool,
    /// What it is called, if it has a name.
    pub label: Option<String>,
}

/// What an axis shows: SI numbers of this kind.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Axis {
    /// Its name.
    pub what: &'static str,
    /// The kind of its numbers; a plain number if nothing.
    pub kind: Option<Kind>,
}

/// Bars of sizes of one kind.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Bars {
    /// What all have in common.
    pub what: &'static str,
    /// Each with its words.
    pub bars: Vec<(Words, Quantity)>,
}

/// Shades of a table.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Heat {
    /// What a row is, and what each is called.
    pub rows: (&'static str, Vec<String>),
    /// What a column is, and what each is called.
    pub columns: (&'static str, Vec<String>),
    /// The numbers, row by row, SI; nothing where there is no reading.
    pub sizes: Vec<Vec<Option<f64>>>,
    /// Their kind.
    pub kind: Option<Kind>,
}
