//! Whether the frame is level across.

use super::super::fit::Line;
use super::super::taken::{error_m, length, must, word};
use super::super::{
    Amiss, Amount, Basis, Figure, Kind, Outcome, Plot, Readings, Setting, Verdict, Words,
};
use super::FRAME_LEVEL;
use super::key;
use super::stations;
use super::told::plot;
use crate::say;
use crate::trade::Side;

/// Works out the level way.
pub(super) fn level(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let error_m = error_m(readings)?;
    let sign = if word(readings, None, key::BIGGER)? == "higher" { 1.0 } else { -1.0 };
    let limit = setting.limit(&FRAME_LEVEL);
    let two = 2.0_f64.sqrt() * error_m;
    let mut points = Vec::new();
    for (row, at_m) in stations(readings)? {
        let Some(reading) = readings.rows.get(row) else {
            continue;
        };
        // How much the left beam is the higher one.
        let high_m =
            sign * (must(reading, Some(row), key::LEFT)? - must(reading, Some(row), key::RIGHT)?);
        if high_m.abs() > 2.0 {
            return Err(Amiss::at(
                row,
                key::LEFT,
                say!("no frame tilts that much: read both sides again"),
            ));
        }
        points.push((at_m, high_m));
    }
    let Some(worst) =
        points.iter().map(|(_, high)| *high).max_by(|a, b| a.abs().total_cmp(&b.abs()))
    else {
        return Err(Amiss::all(say!("no stations: measure at three places at least")));
    };
    let verdicts: Vec<Verdict> =
        points.iter().map(|(_, high_m)| Verdict::of(*high_m, limit.size.si(), two)).collect();
    let figure = Figure::of(
        "across",
        say!("worst difference of height across, plus: the ", Side::Left, " is higher"),
        Kind::Length,
        worst,
        Basis::Derived("the two readings"),
    )
    .off_by(Kind::Length, two)
    .against(limit);
    let verdict = verdicts.iter().copied().fold(Verdict::NoLimit, Verdict::worse);
    let beyond = |low: Side| {
        points.iter().zip(&verdicts).any(|((_, high), verdict)| {
            *verdict == Verdict::Beyond && Side::of_sign(-high) == Some(low)
        })
    };
    let low = match (beyond(Side::Left), beyond(Side::Right)) {
        (true, false) => Some(Side::Left),
        (false, true) => Some(Side::Right),
        _ => None,
    };
    let told = match (low, verdict) {
        (Some(side), _) => Some(side.id()),
        (None, Verdict::Within) => Some("level"),
        _ => None,
    };
    let work: Vec<Words> = points
        .iter()
        .zip(&verdicts)
        .filter(|(_, verdict)| **verdict == Verdict::Beyond)
        .map(|((at_m, high_m), _)| {
            let side = Side::of_sign(-high_m).unwrap_or(Side::Left);
            say!(
                "At ",
                length(*at_m),
                " from the tail lift the ",
                side,
                " side ",
                length(high_m.abs()),
                " by packing under the leg."
            )
        })
        .collect();
    let worst_words = length(worst.abs());
    let says = match (low, verdict) {
        (Some(side), _) => say!(
            "The frame is not level: the ",
            side,
            " side is lower, by ",
            worst_words,
            " at the worst station. The belt slides to the low side."
        ),
        (None, Verdict::Beyond) => say!(
            "The frame is twisted: low on the ",
            Side::Left,
            " at some stations and on the ",
            Side::Right,
            " at others, the worst by ",
            worst_words,
            "."
        ),
        (None, Verdict::Within) => {
            say!("The frame is level across: the worst station is out by ", worst_words, ".")
        }
        _ => say!(
            "Too close to call: the worst station is out by ",
            worst_words,
            ". Measure again; turn the level end for end and take the mean."
        ),
    };
    let mut notes = Vec::new();
    if low.is_none() && verdict == Verdict::Beyond {
        notes.push(say!("Which side is lower depends on the place: answer for the stretch where the belt runs off."));
    }
    let zero = Line { at_zero: 0.0, slope: 0.0 };
    let (mean, count) =
        points.iter().fold((0.0, 0.0), |(sum, count), (_, high)| (sum + high, count + 1.0));
    let mean = Figure::of(
        "mean",
        say!("mean difference of height across, plus: the ", Side::Left, " is higher"),
        Kind::Length,
        mean / count,
        Basis::Derived("the readings"),
    );
    let level_plot = match plot(&points, &verdicts, [("level", zero); 3]) {
        Plot::Points(mut points) => {
            points.up.what = "left higher";
            points.lines.truncate(1);
            Plot::Points(points)
        }
        other => other,
    };
    Ok(Outcome {
        says,
        verdict,
        figures: vec![figure, mean],
        tells: vec![("low-side", told)],
        work,
        amount: (verdict == Verdict::Beyond).then(|| lift(&points, two)).flatten(),
        notes,
        plot: Some(level_plot),
    })
}

/// The largest lift, and where.
fn lift(points: &[(f64, f64)], error_m: f64) -> Option<Amount> {
    let worst = points.iter().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))?;
    let at = say!("at the worst station, ", length(worst.0), " from the tail");
    Some(Amount::length(worst.1.abs(), error_m, at))
}
