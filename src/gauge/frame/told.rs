//! What is said and drawn of a line of stations.

use super::super::asked::length;
use super::super::fit::Line;
use super::super::limits::Limit;
use super::super::{Figure, Kind, Plot, Verdict, Words, closer, plots};
use super::asked::Of;
use crate::gauge::words::Piece;
use crate::say;
use crate::trade::Side;

/// What the stations come to.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Told {
    /// A whole stretch is not straight.
    Bowed,
    /// Single stands are off.
    Stands,
    /// Each stretch is straight, the whole is not.
    Wanders,
    /// All straight, and the diagonals of a bay differ.
    Racked,
    /// Too close to call.
    TooClose,
    /// All straight.
    Straight,
}

impl Told {
    pub(super) fn of(bowed: Verdict, some: Verdict, verdict: Verdict, apart: bool) -> Self {
        match (bowed, some, verdict) {
            (_, _, Verdict::Within) if apart => Self::Racked,
            (Verdict::Beyond, _, _) => Self::Bowed,
            (_, Verdict::Beyond, _) => Self::Stands,
            (_, _, Verdict::Beyond) => Self::Wanders,
            (Verdict::Within, Verdict::Within, Verdict::Within) => Self::Straight,
            _ => Self::TooClose,
        }
    }
}

/// The sentence that says it all.
pub(super) fn string_says(told: Told, off_m: f64, count: usize, figures: &[Figure]) -> Words {
    let side = Side::of_sign(off_m).unwrap_or(Side::Left);
    let worst = length(off_m.abs());
    match told {
        Told::Bowed => say!(
            "The frame is not straight: the worst station lies ",
            worst,
            " to the ",
            side,
            format!(". Stations to shift: {count}.")
        ),
        Told::Stands => say!(
            "Single stands are off the line, the worst by ",
            worst,
            " to the ",
            side,
            format!(". Stations to shift: {count}.")
        ),
        Told::Wanders => say!(
            "Every stretch is straight enough, but over the whole length the frame wanders: the worst station lies ",
            worst,
            " to the ",
            side,
            "."
        ),
        Told::Racked => say!(
            "The beams are straight, but the frame is not square: the diagonals of a bay differ."
        ),
        Told::Straight => {
            say!("The frame is straight: the worst station lies ", worst, " off the line.")
        }
        Told::TooClose => {
            let mut says = say!(
                "Too close to call: the worst station lies ",
                worst,
                " off the line. Measure again with a steel rule, out of the wind."
            );
            let close = figures.iter().find(|figure| figure.verdict == Verdict::TooClose);
            says.0.extend(close.map(|figure| closer(figure, None).0).unwrap_or_default());
            says
        }
    }
}

/// What to shift at a station, which lies so far left of the line.
pub(super) fn shift(of: Of, (at_m, off_m): (f64, f64)) -> Words {
    let side = Side::of_sign(-off_m).unwrap_or(Side::Left);
    let what = match of {
        Of::Beam => " from the tail shift the beam of the frame ",
        Of::Stands => " from the tail shift the idler stand ",
        Of::Both => " from the tail shift the beam with its idler stand ",
    };
    say!("At ", Piece::Place(at_m), what, length(off_m.abs()), " to the ", side, ".")
}

/// What straight is taken as, and what was not seen.
pub(super) fn notes(judged: bool, over: &Limit, diagonals: bool) -> Vec<Words> {
    let mut notes = Vec::new();
    if !judged {
        notes.push(say!(
            "No stretch of ",
            over.size,
            " has three stations: measure closer together to judge straightness."
        ));
    }
    if !diagonals {
        notes.push(say!("A string says nothing of square. Tape both diagonals of each bay too, or measure one with the gauge square."));
    }
    notes.push(say!(
        "Straight is taken as: every stretch of ",
        over.size,
        " fits between two parallel lines the limit apart."
    ));
    notes
}

/// The offsets along the conveyor, with lines through them.
pub(super) fn plot(
    points: &[(f64, f64)],
    verdicts: &[Verdict],
    up: &'static str,
    lines: &[(&'static str, Line)],
) -> Plot {
    let beyond = verdicts.iter().map(|verdict| *verdict == Verdict::Beyond);
    plots::along(("station", Kind::Distance), (up, Kind::Length))
        .points(points.iter().copied().zip(beyond))
        .lines(lines)
        .plot()
}
