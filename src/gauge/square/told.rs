//! What is said of a pulley, and what to do about it.

use super::super::asked::length;
use super::super::{Amount, Figure, Verdict, Words, closer};
use super::asked::To;
use super::{Measured, Stands};
use crate::say;

/// The sentence that says it all.
pub(super) fn says(
    measured: &Measured,
    stands: Stands,
    difference: &Figure,
    rack: Option<&Figure>,
) -> Words {
    let end = measured.pulley.end();
    let short = length(measured.short_m.abs());
    match stands {
        Stands::Nearer(nearer) => say!(
            format!("The {end} pulley is not square: it is "),
            short,
            " nearer on the ",
            nearer,
            " side. The belt goes to that side."
        ),
        Stands::AskewAlike => {
            let lead_m = rack.map_or(0.0, |rack| rack.size.si().abs());
            say!(
                format!(
                    "By the diagonals the {end} pulley is askew or sits to one side: one end leads by "
                ),
                length(lead_m),
                ". The two distances do not show it."
            )
        }
        Stands::Square => {
            say!(format!("The {end} pulley is square: both sides differ by "), short, " only.")
        }
        Stands::Unproved => say!(
            "Both distances are equal. That alone does not prove it square: measure the diagonals, or from a squared line."
        ),
        Stands::TooClose => {
            let close = match rack {
                Some(rack) if difference.verdict != Verdict::TooClose => rack,
                _ => difference,
            };
            let mut says = say!(
                format!("Too close to call at the {end} pulley: "),
                length(close.size.si().abs()),
                " against ",
                measured.limit.size,
                "."
            );
            says.0.extend(closer(close, Some(measured.across_m)).0);
            says
        }
    }
}

/// What to do, in order, and how far the end is to be moved that stands wrong.
pub(super) fn work(measured: &Measured, stands: Stands) -> (Vec<Words>, Option<Amount>) {
    let (end, other_end) = (measured.pulley.end(), measured.pulley.other().end());
    let nearer = match (stands, measured.to) {
        (Stands::Nearer(nearer), _) => nearer,
        (Stands::AskewAlike, To::Pulley) => {
            return (
                vec![say!(
                    "Measure both end pulleys from a line squared off the belt's middle line. Move neither before that."
                )],
                None,
            );
        }
        (Stands::AskewAlike, To::Line) => {
            return (
                vec![say!(
                    "Prove the squared line by 3-4-5 and set the points opposite each other. Then measure again; move nothing before that."
                )],
                None,
            );
        }
        _ => return (Vec::new(), None),
    };
    let wider = measured.bearings_m.unwrap_or(measured.across_m) / measured.across_m;
    let amount_m = measured.short_m.abs() * wider;
    let far = nearer.other();
    let place =
        if measured.bearings_m.is_some() { "at its bearing" } else { "at the points measured" };
    let at = say!(format!("the {end} pulley's "), far, format!(" end, {place}"));
    let amount = Amount::length(amount_m, measured.off_m * wider, at);
    let mut work = Vec::new();
    if measured.to == To::Pulley {
        work.push(say!("First measure both end pulleys from a line squared off the belt's middle line: move the one that is askew."));
    }
    work.push(say!(format!(
        "Block the belt and release its tension by the site's procedure before any bearing bolt of the {end} pulley is loosened."
    )));
    work.push(say!(
        format!("At the {end} pulley shift the "),
        far,
        " end ",
        length(amount_m),
        format!(" toward the {other_end}"),
        if measured.to == To::Pulley { ", if this is the pulley that is askew." } else { "." }
    ));
    work.push(say!(format!(
        "Then bring both sides of the {end} pulley to the right tension by the same amount, and measure again."
    )));
    (work, Some(amount))
}

/// What it rests on and what it leaves out.
pub(super) fn notes(measured: &Measured, alike: Option<Verdict>) -> Vec<Words> {
    let mut notes = Vec::new();
    match (measured.to, alike) {
        (To::Pulley, _) => {
            notes.push(say!("Measured to the other pulley, it is not known yet which of the two is askew. First measure both from a line squared off the belt's middle line."));
            match alike {
                None => notes.push(say!("Without the diagonals both pulleys may be askew alike: equal distances alone prove nothing.")),
                Some(Verdict::Beyond) => notes.push(say!("The diagonals differ: both pulleys are askew alike, or one sits to one side. Measure from a squared line before you move anything.")),
                Some(_) => {}
            }
        }
        (To::Line, Some(Verdict::Beyond)) => {
            notes.push(say!("The diagonals differ: the points are not opposite each other, or the line is not square. Check the line."));
        }
        (To::Line, _) => {
            notes.push(say!("The error of the squared line counts in what is shown."));
        }
    }
    if measured.bearings_m.is_none() {
        notes.push(say!(
            "An amount is for the points measured. At the bearings it grows with their distance: ",
            length(measured.across_m),
            " was measured across."
        ));
    }
    notes.push(say!(
        "No limit for the squareness of a pulley is published: 1 mm in 1 m is common practice."
    ));
    notes
}
