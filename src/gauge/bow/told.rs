//! What is said and drawn of a bow.

use super::super::asked::{length, share};
use super::super::{Figure, Kind, Plot, Verdict, Words, closer, plots};
use super::{Length, Stands, USUAL_M};
use crate::conveyor::quantity::Quantity;
use crate::say;

fn distance(size_m: f64) -> Quantity {
    Quantity::of(Kind::Distance, size_m)
}

/// The sentence that says it all.
pub(super) fn says(worst: &Length, stands: Stands, bow: &Figure) -> Words {
    let (deep, long) = (length(worst.bow_m.abs()), distance(worst.arc.long_m));
    match stands {
        Stands::Straight => {
            say!("The belt is straight: at most ", deep, " off the string in ", long, ".")
        }
        Stands::OneWay => say!(
            "The belt bows: its ",
            worst.hollow(),
            " edge is hollow by ",
            deep,
            " in ",
            long,
            ", ",
            share(worst.share()),
            " of it. That length runs off by itself wherever it is."
        ),
        Stands::Opposed => say!(
            "Two lengths bow opposite ways, the worst by ",
            deep,
            " in ",
            long,
            ". The belt goes first to one side, then to the other."
        ),
        Stands::TooClose => {
            let mut says =
                say!("Too close to call: the worst length is off by ", deep, " in ", long, ".");
            says.0.extend(closer(bow, None).0);
            says
        }
    }
}

/// What to do, in order.
pub(super) fn work(stands: Stands) -> Vec<Words> {
    let run_in = say!(
        "A new belt is run in first, under its right pull and a full load. Then measure the same lengths again."
    );
    match stands {
        Stands::OneWay => vec![
            run_in,
            say!(
                "A bow that stays is not trimmed at the idlers: the straight rest would run off. Have the length replaced."
            ),
        ],
        Stands::Opposed => vec![
            run_in,
            say!(
                "Bows that stay: have the odd length turned and joined anew, so that all bow to one side, by licensed hands."
            ),
        ],
        Stands::Straight | Stands::TooClose => Vec::new(),
    }
}

/// What it rests on and what it leaves out.
pub(super) fn notes(lengths: &[Length]) -> Vec<Words> {
    let mut notes = Vec::new();
    if lengths.iter().any(|it| it.arc.long_m < 0.95 * USUAL_M) {
        notes.push(say!(
            "A bow grows with the square of the string. The limit is meant for ",
            distance(USUAL_M),
            " or more: a shorter string lets a bow pass."
        ));
    }
    for it in lengths.iter().filter(|it| it.arc.off_m > 4.0 * it.error_m.max(0.001)) {
        notes.push(say!(
            format!("Length {} does not bow evenly: a gap lies ", it.name),
            length(it.arc.off_m),
            " off the arc. Look there for a bent place or a damaged edge."
        ));
    }
    if lengths.len() == 1 {
        notes.push(say!(
            "One length was measured: whether the next one bows the other way is not known."
        ));
    }
    notes.push(say!("No published limit was found. To which side a bowed belt runs is published nowhere either: it weaves."));
    notes
}

/// The gaps of the worst length.
pub(super) fn plot(worst: &Length) -> Plot {
    let beyond = worst.verdict == Verdict::Beyond;
    plots::along(("place along the string", Kind::Distance), ("gap to the edge", Kind::Length))
        .points(worst.points.iter().map(|point| (*point, beyond)))
        .lines(&[("string", plots::ZERO)])
        .plot()
}
