//! What is said and drawn of a line of stations.

use super::super::fit::Line;
use super::super::outcome::{Axis, Point, Points};
use super::super::taken::length;
use super::super::{Kind, Plot, Verdict, Words};
use crate::say;
use crate::trade::Side;

/// The sentence that says it all.
pub(super) fn string_says(
    line: Option<&str>,
    stands: Option<&str>,
    verdict: Verdict,
    off_m: f64,
    count: usize,
) -> Words {
    let side = Side::of_sign(off_m).unwrap_or(Side::Left);
    let worst = length(off_m.abs());
    match (line, stands) {
        (Some("bowed"), _) => say!(
            "The frame is not straight: the worst station lies ",
            worst,
            " to the ",
            side,
            format!(". Stations to shift: {count}.")
        ),
        (_, Some("some")) => say!(
            "Single stands are off the line, the worst by ",
            worst,
            " to the ",
            side,
            format!(". Stations to shift: {count}.")
        ),
        _ if verdict == Verdict::Beyond => say!(
            "Every stretch is straight enough, but over the whole length the frame wanders: the worst station lies ",
            worst,
            " to the ",
            side,
            "."
        ),
        (Some("straight"), Some("none")) if verdict == Verdict::Within => {
            say!("The frame is straight: the worst station lies ", worst, " off the line.")
        }
        _ => say!(
            "Too close to call: the worst station lies ",
            worst,
            " off the line. Measure again with a steel rule, out of the wind, with stations closer together."
        ),
    }
}

/// The offsets along the conveyor, with lines through them.
pub(super) fn plot(
    points: &[(f64, f64)],
    verdicts: &[Verdict],
    lines: [(&'static str, Line); 3],
) -> Plot {
    let ends =
        points.first().zip(points.last()).map_or((0.0, 0.0), |(first, last)| (first.0, last.0));
    Plot::Points(Points {
        along: Axis { what: "station", kind: Some(Kind::Distance) },
        up: Axis { what: "offset", kind: Some(Kind::Length) },
        points: points
            .iter()
            .zip(verdicts)
            .map(|(point, verdict)| Point {
                along: point.0,
                up: point.1,
                beyond: *verdict == Verdict::Beyond,
                label: None,
            })
            .collect(),
        lines: lines
            .into_iter()
            .map(|(name, line)| (name, [(ends.0, line.at(ends.0)), (ends.1, line.at(ends.1))]))
            .collect(),
    })
}
