//! What is said of the load.

use super::super::asked::length;
use super::super::{Figure, Verdict, Words, closer};
use super::Laid;
use super::asked::Trough;
use crate::say;
use crate::trade::Side;

/// The sentence that says it all.
pub(super) fn says(laid: &Laid, offset: Option<&Figure>, verdict: Verdict) -> Words {
    let Some(side) = Side::of_sign(laid.offset_m) else {
        return say!("The load lies in the middle.");
    };
    let (off, bound) = (length(laid.offset_m.abs()), length(laid.bound_m().abs()));
    match (verdict, laid.trough) {
        (Verdict::TooClose, _) => {
            let mut says = say!(
                "The load lies about ",
                off,
                " to the ",
                side,
                ": too close to call. Measure again at 3 spots and give the means."
            );
            says.0.extend(offset.map(|offset| closer(offset, None).0).unwrap_or_default());
            says
        }
        (Verdict::Within, _) => {
            say!("The load lies near enough the middle: ", off, " to the ", side, ".")
        }
        (_, Some(Trough::Flat)) => say!(
            "The load lies ",
            off,
            " to the ",
            side,
            ". A flat belt may creep to that side; how far is not known."
        ),
        (_, Some(Trough::Troughed)) => say!(
            "The load lies ",
            off,
            " to the ",
            side,
            ". It pushes the belt to the ",
            side.other(),
            ", by ",
            bound,
            " at most."
        ),
        (_, None) => say!(
            "The load lies ",
            off,
            " to the ",
            side,
            ". In a trough it pushes the belt to the ",
            side.other(),
            ", by ",
            bound,
            " at most. A flat belt may creep to the ",
            side,
            "."
        ),
    }
}

/// What it rests on and what it leaves out.
pub(super) fn notes(laid: &Laid) -> Vec<Words> {
    let mut notes = Vec::new();
    if laid.trough != Some(Trough::Flat) {
        notes.push(say!(
            "Believe the direction. The amount is an upper bound, reached only far down the conveyor if at all; grip on the middle roll makes it less."
        ));
        if laid.masses.is_none() {
            notes.push(say!(
                "Without the masses of belt and load the belt counts as weighing nothing, so the bound is the load's whole offset."
            ));
        }
    }
    if laid.trough != Some(Trough::Troughed) {
        notes.push(say!(
            "That a flat belt creeps to the loaded side is one maker's help page only: watch which way it goes."
        ));
    }
    notes.push(say!(
        "On an old conveyor, years of trimmed idlers can look the same: true one way empty, another way loaded."
    ));
    notes
}
