//! What is said and drawn of idlers.

use super::super::outcome::{Axis, Point, Points};
use super::super::taken::length;
use super::super::{Kind, Plot, Verdict, Words};
use super::Idler;
use crate::say;
use crate::trade::Side;

/// The sentence that says it all.
pub(super) fn says(
    worst: &Idler,
    first: Option<Side>,
    trims: Option<&str>,
    width_m: f64,
    wider: f64,
    out: usize,
) -> Words {
    let lead = length(worst.lead_m.abs() * wider);
    match (worst.verdict, first) {
        (Verdict::Beyond, Some(side)) if trims == Some("both-ways") => say!(
            format!(
                "{out} idlers are out of square, some one way and some the other: they fight each other. The worst is {}, by ",
                worst.name
            ),
            lead,
            " over ",
            length(width_m),
            "; it sends the belt to the ",
            side,
            "."
        ),
        (Verdict::Beyond, Some(side)) => say!(
            format!("Idler {} is out of square by ", worst.name),
            lead,
            " over ",
            length(width_m),
            ": the belt meets its ",
            side,
            " end first and runs to that side."
        ),
        (Verdict::Within, _) => say!(
            format!("The idlers are square: the worst, {}, is out by ", worst.name),
            lead,
            " only."
        ),
        _ => say!(
            format!("Too close to call: the worst, {}, is out by ", worst.name),
            lead,
            ". Measure again between points further apart, with a steel tape."
        ),
    }
}

/// The idlers in order, each with its lead.
pub(super) fn plot(idlers: &[Idler], wider: f64) -> Plot {
    let points: Vec<Point> = idlers
        .iter()
        .enumerate()
        .map(|(at, idler)| Point {
            along: (at + 1) as f64,
            up: idler.lead_m * wider,
            beyond: idler.verdict == Verdict::Beyond,
            label: Some(idler.name.clone()),
        })
        .collect();
    let last = points.last().map_or(1.0, |point| point.along);
    Plot::Points(Points {
        along: Axis { what: "idler, in the order given", kind: None },
        up: Axis { what: "lead, left end nearer the head", kind: Some(Kind::Length) },
        points,
        lines: vec![("square", [(1.0, 0.0), (last, 0.0)])],
    })
}
