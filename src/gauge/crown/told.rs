//! What is said and drawn of a face.

use super::super::asked::length;
use super::super::{Basis, Figure, Kind, Mark, Plot, Words, closer, plots};
use super::judged::{Crown, GUIDE, Judged, Should};
use super::{Measured, WHOLE_FACE, trapezoid_height_m};
use crate::say;
use crate::trade::Side;

/// How much higher a straight crown stands in its middle before it is worth a word.
const LOW: f64 = 1.02;

/// The crown, with its verdict.
pub(super) fn crown_figure(measured: &Measured, judged: &Judged) -> Figure {
    let crown = Figure::of(
        "crown",
        say!("crown left, on the diameter; minus: hollow"),
        Kind::Length,
        measured.shape.crown_m,
        Basis::Derived("the middle third less the mean of both ends"),
    )
    .off_by(Kind::Length, measured.crown_error_m());
    Figure { verdict: judged.verdict, limit: judged.limit, ..crown }
}

/// What it should be, and what a straight one stands at in its middle.
pub(super) fn should_figures(measured: &Measured, should: Option<&Should>) -> Vec<Figure> {
    let mut figures = Vec::new();
    let shape = &measured.shape;
    if shape.straight_m > LOW * shape.crown_m.abs() {
        figures.push(Figure::of(
            "crown-straight",
            say!("the same in the very middle, if the crown is a straight one"),
            Kind::Length,
            shape.straight_m,
            Basis::Derived("two cones that meet in the middle of the face"),
        ));
    }
    let Some(should) = should else {
        return figures;
    };
    figures.push(Figure::of(
        "should",
        say!("crown there should be, on the diameter"),
        Kind::Length,
        should.crown_m,
        should.mark,
    ));
    if let (Mark::Rests(GUIDE), Some(diameter_m)) = (should.mark, measured.diameter_m) {
        figures.push(Figure::of(
            "should-trapezoid",
            say!("the same by another rule for light belts, flat over half the belt's width"),
            Kind::Length,
            2.0 * trapezoid_height_m(diameter_m),
            Basis::Published("crown-shape-page", "trapezoidal crown by diameter"),
        ));
    }
    figures
}

/// The sentence that says it all.
pub(super) fn says(
    measured: &Measured,
    judged: &Judged,
    bigger: Option<Side>,
    crown: Option<&Figure>,
) -> Words {
    let (name, size) = (measured.pulley.name(), length(measured.shape.crown_m.abs()));
    let mut words = match judged.crown {
        Crown::TooMuch => say!(name, ": too much crown, ", size, " on the diameter."),
        Crown::AboveWeak => say!(
            name,
            ": ",
            size,
            " of crown on the diameter. That is more than a weak source allows: hold it against the drawing."
        ),
        Crown::Hollow => {
            say!(
                name,
                ": the face is hollow, its middle is ",
                size,
                " smaller in diameter than its ends."
            )
        }
        Crown::TooLittle => say!(name, ": too little crown is left, ", size, " on the diameter."),
        Crown::AsDrawn => say!(name, ": the crown is as it should be, ", size, " on the diameter."),
        Crown::TooClose => {
            let mut words = say!(
                name,
                ": too close to call, the crown is ",
                size,
                " on the diameter. Measure again with finer calipers or feelers, at more places in the middle."
            );
            words.0.extend(crown.map(|crown| closer(crown, None).0).unwrap_or_default());
            words
        }
    };
    if let Some(side) = bigger {
        let larger = length(measured.shape.left_larger_m.abs());
        words.0.extend(
            say!(
                " The ",
                side,
                " end is larger by ",
                larger,
                " in diameter: the belt climbs to it."
            )
            .0,
        );
    }
    words
}

/// What to do, in order.
pub(super) fn work(
    measured: &Measured,
    judged: &Judged,
    should: Option<&Should>,
    bigger: Option<Side>,
) -> Vec<Words> {
    let name = measured.pulley.name();
    let mut work: Vec<Words> = Vec::new();
    if let Some(side) = bigger {
        work.push(say!(
            name,
            ": the ",
            side.other(),
            " end of the face is worn more, by ",
            length(measured.shape.left_larger_m.abs()),
            " in diameter. Renew the lagging or the shell. Do not skew the pulley against it."
        ));
    }
    let should = should.map(|should| length(should.crown_m));
    match (judged.crown, should) {
        (Crown::TooMuch, Some(should)) => work.push(say!(
            name,
            ": have the face turned or lagged anew to ",
            should,
            " on the diameter."
        )),
        (Crown::TooMuch, None) => {
            work.push(say!(name, ": have the face turned or lagged anew to the drawing."));
        }
        (Crown::TooLittle | Crown::Hollow, Some(should)) => work.push(say!(
            name,
            ": renew the crown to ",
            should,
            " on the diameter, by drawing; a flat pulley may do on a bulk belt."
        )),
        (Crown::TooLittle | Crown::Hollow, None) => {
            work.push(say!(
                name,
                ": renew the crown by drawing; a flat pulley may do on a bulk belt."
            ));
        }
        _ => {}
    }
    work
}

/// What it rests on and what was not seen.
pub(super) fn notes(measured: &Measured, judged: &Judged, should: Option<&Should>) -> Vec<Words> {
    let mut notes = Vec::new();
    let shape = &measured.shape;
    if measured.face_m.is_some_and(|face_m| shape.over_m < WHOLE_FACE * face_m) {
        notes.push(say!(
            "Measured over ",
            length(shape.over_m),
            " only, not from end to end of the face: the crown seen is less than the whole."
        ));
    }
    match should {
        None => notes.push(say!("Neither the drawing's crown nor the conveyor's class is known: only no crown at all is told.")),
        Some(should) if should.crown_m <= 0.0 => {
            if measured.drawn_m.is_some_and(|drawn_m| drawn_m > 0.0) {
                notes.push(say!("The drawing shows a crown, but pulleys under a steel-cord belt are flat."));
            }
        }
        Some(should) if should.mark == GUIDE.into() => {
            notes.push(say!("The guideline for light belts gives the crown's height; it is taken as above the ends on the radius, so twice that on the diameter. Thin soft belts take half."));
        }
        Some(should) if should.mark != Mark::Site => {
            notes.push(say!("No drawing: the usual crown of bulk belts is taken. Many bulk pulleys are flat on purpose."));
        }
        Some(_) => {}
    }
    if judged.limit.is_some_and(|limit| limit.damaged) {
        notes.push(say!("The upper limit is printed damaged in its source and was read as an eighth of an inch. It calls for no work by itself."));
    }
    if !measured.parallel {
        notes.push(say!("The straight-edge was not set parallel to the shaft, so which end is larger is not judged."));
    }
    notes
}

/// The face, place by place.
pub(super) fn plot(measured: &Measured, beyond: bool) -> Plot {
    // Seen from the first place, so that small differences show.
    let (first, up) = if measured.gaps {
        (0.0, "diameter below the straight-edge")
    } else {
        let first = measured.face.0.first().map_or(0.0, |(_, diameter)| *diameter);
        (first, "diameter over the first")
    };
    let points = measured.face.0.iter().map(|(place, size)| ((*place, size - first), beyond));
    plots::along(("place from the left edge", Kind::Length), (up, Kind::Length))
        .points(points)
        .plot()
}
