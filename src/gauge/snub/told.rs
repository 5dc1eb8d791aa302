//! What is said of a snub or bend pulley.

use super::super::asked::length;
use super::super::{Figure, Verdict, Words, closer};
use super::Found;
use super::asked::From;
use crate::say;

/// The sentence that says it all.
pub(super) fn says(found: &Found, difference: &Figure) -> Words {
    let size = length(found.short_m.abs());
    match found.verdict {
        Verdict::Beyond => say!(
            "The snub or bend pulley is not square: the belt meets its ",
            found.first(),
            " end first, by ",
            size,
            ", and runs to that side."
        ),
        Verdict::Within => {
            say!("The snub or bend pulley is square: both sides differ by ", size, " only.")
        }
        Verdict::TooClose | Verdict::NoLimit => {
            let mut says = say!("Too close to call: both sides differ by ", size, ".");
            says.0.extend(closer(difference, Some(found.across_m)).0);
            says
        }
    }
}

/// What to do, in order.
pub(super) fn work(found: &Found) -> Vec<Words> {
    let from = match found.from {
        From::Pulley => " away from the pulley that it was measured from",
        From::Line => " away from the squared line",
    };
    vec![
        say!(
            "Block the belt and release its tension by the site's procedure before any bearing bolt of this pulley is loosened."
        ),
        say!(
            "At the snub or bend pulley shift the ",
            found.first(),
            " end ",
            length(found.short_m.abs() * found.wider()),
            from,
            ", or the ",
            found.first().other(),
            " end as far toward it."
        ),
        say!("Measure both sides and the level of this pulley again before the restart."),
    ]
}

/// What it rests on and what it leaves out.
pub(super) fn notes(found: &Found) -> Vec<Words> {
    let mut notes = vec![match found.from {
        From::Pulley => say!(
            "It counts only if that pulley is square itself. Its own error counts in what is shown."
        ),
        From::Line => say!("The error of the squared line counts in what is shown."),
    }];
    if found.bearings_m.is_none() {
        notes.push(say!(
            "An amount is for the points measured. At the bearings it grows with their distance: ",
            length(found.across_m),
            " was measured across."
        ));
    }
    notes.push(say!("A snub is wrapped little but steers strongly. Never set it askew against another pulley that is askew."));
    notes.push(say!(
        "No limit for the squareness of a snub is published: 1 mm in 1 m is common practice."
    ));
    notes
}
