//! What is said of a squared line.

use super::super::asked::length;
use super::super::{Figure, Verdict, Words, closer};
use super::{Found, as_share};
use crate::say;
use crate::trade::Side;

/// The sentence that says it all.
pub(super) fn says(found: &Found, share: &Figure) -> Words {
    let side = Side::of_sign(found.lean.rad).unwrap_or(Side::Left);
    let per_metre = length(found.lean.rad.tan().abs());
    match found.verdict {
        Verdict::Within => say!("The line is square: out by ", per_metre, " in 1 m only."),
        Verdict::Beyond => say!(
            "The line is not square: its ",
            side,
            " end is nearer the head by ",
            per_metre,
            " in 1 m. Measure nothing from it before it is moved."
        ),
        Verdict::TooClose | Verdict::NoLimit => {
            let mut says = say!("Too close to call: the line is out by ", per_metre, " in 1 m.");
            says.0.extend(closer(share, None).0);
            says
        }
    }
}

/// What to do, in order.
pub(super) fn work(found: &Found, ahead: Side, shift_m: f64) -> Vec<Words> {
    vec![
        say!(
            "Shift the ",
            ahead,
            " end of the squared line ",
            length(shift_m),
            " toward the tail, ",
            length(found.out_m),
            " out from the crossing, and draw the line anew through the crossing."
        ),
        say!("Tape both slants again before anything is measured from it."),
    ]
}

/// What it rests on and what it leaves out.
pub(super) fn notes(found: &Found) -> Vec<Words> {
    let mut notes = vec![say!(
        "What is measured from this line as it stands is off by up to ",
        as_share(found.hands_on()),
        " of the length across. Give that to the gauges square, idlers and snub as --line-error."
    )];
    if let Some(bend) = found.bend
        && bend.rad.abs() > bend.error_rad
    {
        notes.push(say!(
            "Both halves do not lean alike: the line is bent at the crossing, by ",
            length(bend.rad.tan().abs()),
            " in 1 m, or a length is misread."
        ));
    } else if found.bend.is_none() && found.limit.size.si() < found.lean.error_rad {
        notes.push(say!("Measured on both sides, or with longer legs, it tells more."));
    }
    notes.push(say!(
        "It proves the line against the belt's middle line, not that middle line itself."
    ));
    notes
}
