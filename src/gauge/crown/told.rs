//! What is said and drawn of a face.

use super::super::outcome::{Axis, Point, Points};
use super::super::taken::length;
use super::super::{Kind, Plot, Words};
use super::{Face, Shape};
use crate::say;
use crate::trade::Side;

/// The sentence that says it all.
pub(super) fn says(shape: &Shape, face: Option<&str>, bigger: Option<Side>, error_m: f64) -> Words {
    let crown = length(shape.crown_m.abs());
    let mut words = match face {
        Some("too-much") => say!("Too much crown: ", crown, " on the diameter."),
        Some("flat-or-hollow") if shape.crown_m < -error_m => {
            say!("The face is hollow: its middle is ", crown, " smaller in diameter than its ends.")
        }
        Some("flat-or-hollow") => say!("Too little crown is left: ", crown, " on the diameter."),
        Some(_) => say!("The crown is as it should be: ", crown, " on the diameter."),
        None => say!(
            "Too close to call: the crown is ",
            crown,
            " on the diameter. Measure again with finer calipers or feelers, at more places in the middle."
        ),
    };
    if let Some(side) = bigger {
        words.0.extend(
            say!(
                " The ",
                side,
                " end is larger by ",
                length(shape.left_larger_m.abs()),
                " in diameter: the belt climbs to it."
            )
            .0,
        );
    }
    words
}

/// The face, place by place.
pub(super) fn plot(face: &Face, gaps: bool, beyond: bool) -> Plot {
    // Seen from the first place, so that small differences show.
    let first = face.0.first().map_or(0.0, |(_, diameter)| *diameter);
    let points = face
        .0
        .iter()
        .map(|(place, diameter)| Point {
            along: *place,
            up: if gaps { *diameter } else { diameter - first },
            beyond,
            label: None,
        })
        .collect();
    Plot::Points(Points {
        along: Axis { what: "place from the left edge", kind: Some(Kind::Length) },
        up: Axis {
            what: if gaps { "diameter below the straight-edge" } else { "diameter over the first" },
            kind: Some(Kind::Length),
        },
        points,
        lines: Vec::new(),
    })
}
