//! What is said of a pulley's level.

use super::super::asked::length;
use super::super::{Figure, Verdict, Words, closer};
use super::Found;
use crate::say;

/// The sentence that says it all.
pub(super) fn says(found: &Found, fall: &Figure) -> Words {
    let (size, base) = (length(found.fall_m.abs()), length(found.base_m));
    match found.verdict {
        Verdict::Beyond => say!(
            "The pulley is not level: its ",
            found.low(),
            " end is lower, by ",
            size,
            " over ",
            base,
            "."
        ),
        Verdict::Within => say!("The pulley is level: out by ", size, " over ", base, " only."),
        Verdict::TooClose | Verdict::NoLimit => {
            let mut says =
                say!("Too close to call: the pulley is out by ", size, " over ", base, ".");
            says.0.extend(closer(fall, Some(found.base_m)).0);
            says
        }
    }
}

/// What to do, in order.
pub(super) fn work(found: &Found) -> Vec<Words> {
    if found.not_turned {
        return vec![say!("Turn the level end for end and read again before anything is shimmed.")];
    }
    vec![
        say!(
            "See first whether the frame below is level. If it is low there too, lift the frame, not the bearing."
        ),
        say!(
            "Release the belt's tension by the site's procedure. Shim the ",
            found.low(),
            " bearing of this pulley up by ",
            length(found.fall_m.abs() * found.wider()),
            if found.bearings_m.is_some() {
                "."
            } else {
                ", or more in proportion where the bearings lie further apart."
            }
        ),
        say!("Measure level and squareness of this pulley again before the restart."),
    ]
}

/// What it rests on and what it leaves out.
pub(super) fn notes(found: &Found) -> Vec<Words> {
    let mut notes = Vec::new();
    if found.not_turned {
        notes.push(say!(
            "The level was not turned: its own error may be all of this. No end is named."
        ));
    }
    if found.own_m.is_some_and(|own_m| own_m.abs() > found.limit.size.si()) {
        notes.push(say!("The level itself is off by more than the limit: have it set. The mean of both ways is right all the same."));
    }
    notes.push(say!("To which end the belt goes hangs on how it comes to the pulley: level or rising, to the low end; from above, to the high end."));
    notes.push(say!(
        "No limit for the level of a pulley is published: 1 mm in 1 m is common practice."
    ));
    notes
}
