//! What is said and drawn of run-out.

use super::super::asked::length;
use super::super::{Figure, Kind, Plot, Verdict, Words, closer, plots};
use super::Found;
use super::asked::Hub;
use crate::say;

/// Which part is off, where one clearly leads.
#[derive(Clone, Copy, PartialEq)]
enum Off {
    /// Both ends run off alike.
    Together,
    /// The ends run off against each other.
    Against,
    /// Neither leads.
    Both,
}

fn off(found: &Found) -> Off {
    let (together_m, against_m) = found.together_and_against_m();
    if together_m > 2.0 * against_m {
        Off::Together
    } else if against_m > 2.0 * together_m {
        Off::Against
    } else {
        Off::Both
    }
}

/// The sentence that says it all.
pub(super) fn says(found: &Found, verdict: Verdict, figures: &[Figure]) -> Words {
    let [left_m, right_m] = found.runouts_m();
    let worst = length(left_m.max(right_m));
    match verdict {
        _ if found.hub == Some(Hub::Moved) => say!(
            "The shell is not fast on its shaft, or a bearing has play. What the dial reads counts only after that is mended."
        ),
        Verdict::Beyond => say!(
            "The shell runs untrue, by ",
            worst,
            " at the worse end: ",
            match off(found) {
                Off::Together =>
                    "both ends alike, so the shaft is bent or the whole shell off centre.",
                Off::Against =>
                    "the ends against each other, so the shell sits askew on its shaft.",
                Off::Both => "shaft and shell both have a part in it.",
            }
        ),
        Verdict::Within => say!("The shell runs true, within ", worst, " at the worse end."),
        Verdict::TooClose | Verdict::NoLimit => {
            let mut says = say!("Too close to call: the worse end is out by ", worst, ".");
            let close = figures.iter().find(|figure| figure.verdict == Verdict::TooClose);
            says.0.extend(close.map(|figure| closer(figure, None).0).unwrap_or_default());
            says
        }
    }
}

/// What to do, in order.
pub(super) fn work(found: &Found, verdict: Verdict) -> Vec<Words> {
    if found.hub == Some(Hub::Moved) {
        return vec![say!(
            "Have hub, bolts and bearings of this pulley mended first, by its maker's sheet. Then read both ends again."
        )];
    }
    if verdict != Verdict::Beyond {
        return Vec::new();
    }
    let look = match off(found) {
        Off::Together => {
            "Set the dial on the bare shaft beside each hub of this pulley. It moves there too: the shaft is bent. It does not: the shell is off centre."
        }
        Off::Against | Off::Both => {
            "Set the dial on the bare shaft beside each hub of this pulley. Still there: look at hubs, locking parts and end discs."
        }
    };
    vec![
        say!(look),
        say!(
            "Worn lagging reads like this too: read again on bare shell before the pulley is changed."
        ),
        say!(
            "Have the pulley changed or mended in a shop. It is never turned true on the running conveyor."
        ),
    ]
}

/// What it rests on and what it leaves out.
pub(super) fn notes(found: &Found) -> Vec<Words> {
    let mut notes = Vec::new();
    if found.hub.is_none() {
        notes.push(say!("Whether the shell is fast on its shaft was not said: that it is true and tight is then not told."));
    }
    let [left, right] = found.swings;
    for (swing, runout_m) in [left, right].into_iter().zip(found.runouts_m()) {
        if runout_m > 4.0 * swing.size_m() + 4.0 * found.error_m {
            notes.push(say!("A good part of it is not once per turn: a flat, a dent or a lump of cake. Look along the ring."));
            break;
        }
    }
    notes.push(say!(
        "No limit for run-out is published in what was read: the figure is common practice."
    ));
    notes
}

/// The readings of the left end over the turn.
pub(super) fn plot(found: &Found, verdict: Verdict) -> Plot {
    let beyond = verdict == Verdict::Beyond;
    let [left, right] = &found.reads_m;
    let [left_m, right_m] = found.runouts_m();
    let (what, reads) =
        if left_m >= right_m { ("dial, left end", left) } else { ("dial, right end", right) };
    plots::along(("angle turned", Kind::Angle), (what, Kind::Length))
        .points(found.turned_rad.iter().copied().zip(reads.iter().copied()).map(|it| (it, beyond)))
        .plot()
}
