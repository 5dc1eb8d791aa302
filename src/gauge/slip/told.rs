//! What is said of slip.

use super::super::asked::{Asked, share};
use super::super::{Figure, Verdict, Words, closer};
use super::Speeds;
use super::asked::{self, When};
use crate::say;

/// The sentence that says it all.
pub(super) fn says(speeds: Speeds, slip: &Figure) -> Words {
    let size = share(speeds.slip().max(0.0));
    match slip.verdict {
        Verdict::Beyond => say!("The belt slips on its drive: it is slower by ", size, "."),
        Verdict::Within => say!(
            "The belt does not slip: it is slower by ",
            size,
            ", no more than the usual creep."
        ),
        Verdict::TooClose | Verdict::NoLimit => {
            let mut says = say!(
                "Too close to call: the belt is slower by ",
                size,
                ". Count and time for longer."
            );
            says.0.extend(closer(slip, None).0);
            says
        }
    }
}

/// What to do, in order.
pub(super) fn work() -> Vec<Words> {
    vec![
        say!(
            "A belt that slips heats its drive pulley and can set fire to it. Have the conveyor stopped by the site's procedure."
        ),
        say!(
            "Locked out, look for what holds the belt back: stuck rolls, cake, a heap of spillage, skirts that press."
        ),
        say!(
            "Then look at the drive pulley: wet, dirty or bare lagging. Then at the pull: measure the sag, and the weight or the screws of the take-up."
        ),
    ]
}

/// What it rests on and what it leaves out.
pub(super) fn notes(
    asked: &Asked,
    speeds: Speeds,
    when: Option<When>,
    verdict: Verdict,
) -> Vec<Words> {
    let mut notes = Vec::new();
    if speeds.slip() < -speeds.slip_error() {
        notes.push(say!("The belt seems faster than its drive: a diameter, a count or a time is off. Measure again."));
    }
    if !asked::by_speeds(asked) && !asked.has(&asked::THICKNESS) {
        notes.push(say!("Belt thickness is not counted. With it the pulley's speed is a little more, and so is the slip."));
    }
    if verdict != Verdict::Beyond && when != Some(When::Start) {
        notes.push(say!(
            "A belt slips first at a start under load. That it holds here does not say that it holds then."
        ));
    }
    notes.push(say!("Some creep is usual: the belt is shorter where it is slack. No limit is published; the figure is common practice."));
    notes
}
