//! What is said of a take-up weight.

use super::super::asked::{Asked, force};
use super::super::{Figure, Verdict, Words, closer};
use super::{Found, asked};
use crate::say;
use crate::trade::TakeUp;

/// m/s², by definition: what weighs so many kilograms pulls by so many times that.
const STANDARD_GRAVITY: f64 = 9.806_65;

/// The sentence that says it all.
pub(super) fn says(found: &Found, figures: &[Figure]) -> Words {
    let strand = force(found.hung.strand_n());
    let mut says = say!("The take-up weight pulls each strand with ", strand);
    let rest = match (found.drawing, found.need) {
        (Verdict::Beyond, _)
            if found.drawn_n.is_some_and(|drawn_n| found.hung.weight_n > drawn_n) =>
        {
            say!(": it is heavier than drawn.")
        }
        (Verdict::Beyond, _) => say!(": it is lighter than drawn."),
        (_, Verdict::Beyond) => say!(", less than the strand needs."),
        (Verdict::TooClose, _) | (_, Verdict::TooClose) => {
            let mut rest = say!(". Whether that is right is too close to call.");
            let close = figures.iter().find(|figure| figure.verdict == Verdict::TooClose);
            rest.0.extend(close.map(|figure| closer(figure, None).0).unwrap_or_default());
            rest
        }
        (Verdict::Within, Verdict::Within) => say!(": as drawn, and enough."),
        (Verdict::Within, Verdict::NoLimit) => say!(": as drawn."),
        (Verdict::NoLimit, Verdict::Within) => say!(": enough."),
        (Verdict::NoLimit, Verdict::NoLimit) => say!("."),
    };
    says.0.extend(rest.0);
    says
}

/// What to do, in order.
pub(super) fn work(found: &Found, over_n: Option<f64>) -> Vec<Words> {
    if let (Verdict::Beyond, Some(over_n)) = (found.drawing, over_n) {
        let way = if over_n > 0.0 { "have " } else { "have missing blocks of " };
        let rest = if over_n > 0.0 {
            " taken off, spillage in the box first, with a hoist rated for it."
        } else {
            " put back, up to the drawing and no further, with a hoist rated for it."
        };
        return vec![
            say!(
                "With the weight pinned from outside and nobody under it: ",
                way,
                force(over_n.abs()),
                // Blocks are counted by what they weigh.
                format!(" ({:.0} kg)", over_n.abs() / STANDARD_GRAVITY),
                rest
            ),
            say!("Write the new list of blocks into the logbook of this take-up."),
        ];
    }
    if found.need == Verdict::Beyond {
        return vec![say!(
            "Do not add weight by feel. Look first for drag and for a take-up that binds; then have the drawing's weight reckoned anew."
        )];
    }
    Vec::new()
}

/// What it rests on and what it leaves out.
pub(super) fn notes(asked: &Asked, found: &Found) -> Vec<Words> {
    let mut notes = Vec::new();
    if found.hung.carriage_parts != found.hung.weight_parts {
        notes.push(say!(format!(
            "The rope pulls at the pulley by {} of its parts. It carries the weight by {}. So the weight travels {} times as far as the pulley.",
            found.hung.carriage_parts,
            found.hung.weight_parts,
            ratio(found.hung.carriage_parts, found.hung.weight_parts)
        )));
    }
    if found.hung.own_n == 0.0 {
        notes.push(say!(
            "The weight of pulley and carriage is left out. Where they hang they add to the pull."
        ));
    }
    if let Some(take_up) = asked.setting.facts.take_up()
        && !matches!(take_up, TakeUp::Gravity | TakeUp::Carriage)
    {
        notes.push(say!("This conveyor's file names another take-up than a weight."));
    }
    if !asked.has(&asked::FRICTION) {
        notes.push(say!("What sheaves and guides hold back counts in the error shown. A carriage that binds holds back far more."));
    }
    notes.push(say!("The pull is that at rest. Along a slope the strands pull more higher up, by the belt's own weight."));
    notes
}

fn ratio(over: u32, under: u32) -> String {
    let ratio = f64::from(over) / f64::from(under);
    if ratio.fract() == 0.0 { format!("{ratio:.0}") } else { format!("{ratio:.2}") }
}
