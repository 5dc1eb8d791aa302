//! Whether the frame is level across.

use super::super::asked::{Asked, length};
use super::super::limits::shipped;
use super::super::{
    Amiss, Amount, Basis, Figure, Kind, Outcome, Verdict, Words, closer, plots, read_by,
};
use super::asked::{BIGGER, Bigger, LEFT, LEVEL_ERROR, RIGHT};
use super::{stations, told};
use crate::gauge::words::Piece;
use crate::say;
use crate::trade::Side;

/// No frame tilts more than this across.
const STEEPEST_M: f64 = 2.0;

/// The stations, and how much the left beam is the higher one at each.
fn heights(asked: &Asked) -> Result<Vec<(f64, f64)>, Amiss> {
    let sign = match asked.choice(&BIGGER)? {
        Bigger::Higher => 1.0,
        Bigger::Lower => -1.0,
    };
    let mut points = Vec::new();
    for (row, at_m) in stations(asked)? {
        let high_m = sign * (row.must(&LEFT)? - row.must(&RIGHT)?);
        if high_m.abs() > STEEPEST_M {
            return Err(row.amiss(&LEFT, say!("no frame tilts that much: read both sides again")));
        }
        points.push((at_m, high_m));
    }
    Ok(points)
}

/// What the heights come to.
#[derive(Clone, Copy, PartialEq)]
enum Stands {
    /// This side is lower wherever it is not level.
    Low(Side),
    /// Low on one side here and on the other there.
    Twisted,
    TooClose,
    Level,
}

impl Stands {
    fn of(points: &[(f64, f64)], verdicts: &[Verdict]) -> Self {
        let beyond = |low: Side| {
            points.iter().zip(verdicts).any(|((_, high), verdict)| {
                *verdict == Verdict::Beyond && Side::of_sign(-high) == Some(low)
            })
        };
        match (beyond(Side::Left), beyond(Side::Right)) {
            (true, true) => Self::Twisted,
            (true, false) => Self::Low(Side::Left),
            (false, true) => Self::Low(Side::Right),
            (false, false) if verdicts.contains(&Verdict::TooClose) => Self::TooClose,
            (false, false) => Self::Level,
        }
    }
}

/// Works out the level way.
pub(super) fn level(asked: &Asked) -> Result<Outcome, Amiss> {
    let two = 2.0_f64.sqrt() * asked.error(&LEVEL_ERROR, &read_by::LEVEL)?;
    let points = heights(asked)?;
    let limit = asked.setting.limit(&shipped::FRAME_LEVEL);
    let Some(worst) = points.iter().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs())).copied() else {
        return Err(Amiss::all(say!("no stations: measure at three places at least")));
    };
    let verdicts: Vec<Verdict> =
        points.iter().map(|(_, high_m)| Verdict::of(*high_m, limit.size.si(), two)).collect();
    let stands = Stands::of(&points, &verdicts);
    let what = say!("worst difference of height across, plus: the ", Side::Left, " is higher");
    let read = Basis::Derived("the two readings");
    let figure = Figure::of("across", what, Kind::Length, worst.1, read)
        .off_by(Kind::Length, two)
        .against(limit);
    let mean_m = points.iter().map(|(_, high)| high).sum::<f64>() / points.len() as f64;
    let what = say!("mean difference of height across, plus: the ", Side::Left, " is higher");
    let mean = Figure::of("mean", what, Kind::Length, mean_m, Basis::Derived("the readings"));
    let word = match stands {
        Stands::Low(side) => Some(side.id()),
        Stands::Level => Some("level"),
        Stands::Twisted | Stands::TooClose => None,
    };
    let mut notes = Vec::new();
    if stands == Stands::Twisted {
        notes.push(say!("Which side is lower depends on the place: answer for the stretch where the belt runs off."));
    }
    let beyond = points.iter().zip(&verdicts).filter(|(_, verdict)| **verdict == Verdict::Beyond);
    let work: Vec<Words> = beyond.map(|(point, _)| lift(*point)).collect();
    let at = say!("at the worst station, ", Piece::Place(worst.0), " from the tail");
    Ok(Outcome {
        says: says(stands, &figure),
        verdict: verdicts.iter().copied().fold(Verdict::NoLimit, Verdict::worse),
        tells: vec![("low-side", word)],
        amount: (!work.is_empty()).then(|| Amount::length(worst.1.abs(), two, at)),
        work,
        notes,
        plot: Some(told::plot(&points, &verdicts, "left higher", &[("level", plots::ZERO)])),
        figures: vec![figure, mean],
    })
}

/// What to lift at a station, where the left beam is so much the higher one.
fn lift((at_m, high_m): (f64, f64)) -> Words {
    let side = Side::of_sign(-high_m).unwrap_or(Side::Left);
    say!(
        "At ",
        Piece::Place(at_m),
        " from the tail lift the ",
        side,
        " beam of the frame ",
        length(high_m.abs()),
        " by packing under the leg."
    )
}

fn says(stands: Stands, worst: &Figure) -> Words {
    let size = length(worst.size.si().abs());
    match stands {
        Stands::Low(side) => say!(
            "The frame is not level: the ",
            side,
            " side is lower, by ",
            size,
            " at the worst station. The belt slides to the low side."
        ),
        Stands::Twisted => say!(
            "The frame is twisted: low on the ",
            Side::Left,
            " at some stations and on the ",
            Side::Right,
            " at others, the worst by ",
            size,
            "."
        ),
        Stands::Level => {
            say!("The frame is level across: the worst station is out by ", size, ".")
        }
        Stands::TooClose => {
            let mut says = say!(
                "Too close to call: the worst station is out by ",
                size,
                ". Measure again; turn the level end for end and take the mean."
            );
            says.0.extend(closer(worst, None).0);
            says
        }
    }
}
