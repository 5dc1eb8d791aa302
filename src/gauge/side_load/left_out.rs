//! What side load rests on and leaves out.

use super::super::asked::{force, length};
use super::super::{Basis, Setting, Words};
use super::Case;
use super::model::off_centre_m;
use super::shared::{Shared, Spread};
use crate::say;
use crate::trade::ConveyorClass;

/// All that must be said beside the figures.
pub(super) fn notes(case: &Case, after: &Shared, spread: &Spread, setting: &Setting) -> Vec<Words> {
    let loads = &after.loads;
    let off = off_centre_m(after.ratio(), case.turn.bearing_centres_m);
    let mut notes = Vec::new();
    if loads.edge_slack {
        notes.push(say!(
            "The ",
            after.tight.other(),
            " edge of the belt hangs slack. The formula is for a belt that pulls over its whole \
             width: the true difference between the sides is less than shown."
        ));
    }
    if loads.mean_rise_n > 0.0 {
        let doubling = (case.turn.load_n / loads.mean_rise_n).ceil();
        if doubling <= 100.0 {
            notes.push(say!(
                format!(
                    "Each time the belt is stretched too. Tightened now on one side, now on the other, the pull has \
                     doubled after {doubling} such corrections."
                )
            ));
        }
    }
    if matches!(setting.facts.class(), Some(ConveyorClass::Package | ConveyorClass::Flat)) {
        notes.push(say!(
            "Makers of some short, light conveyors do track the belt with these screws. Then follow that manual, \
             and set both sides equal again afterwards."
        ));
    }
    notes.push(say!("What the belt's modulus rests on: ", basis(case.estimate.mark), "."));
    let (least, most) = spread.tight;
    if most - least > 1.0 {
        notes.push(say!(
            "Over all that is not known the ",
            after.tight,
            " side would carry ",
            force(least),
            " to ",
            force(most),
            ". That covers the movement, the load before, the modulus, and whether the belt is held sideways."
        ));
    }
    notes.extend(softer(case, after));
    notes.extend(limits_of_model(case, after, off));
    notes
}

/// What a softer belt of the same rating would do.
fn softer(case: &Case, after: &Shared) -> Option<Words> {
    let softest = case.estimate.softest;
    let mut turn = case.turn;
    turn.modulus_n_per_m *= softest;
    let loads = turn.loads().ok().filter(|_| softest < 1.0)?;
    Some(say!(
        "Fabric belts differ: a belt seller names up to 2.5 % stretch at the rating. With so soft a belt the ",
        after.tight,
        " side would carry ",
        force(loads.moved_side_n.max(loads.other_side_n)),
        "."
    ))
}

fn basis(mark: Basis) -> String {
    match mark {
        Basis::Derived(from) => from.to_owned(),
        Basis::CommonPractice => "common practice".to_owned(),
        Basis::Memory => "memory, unverified".to_owned(),
        Basis::Published(_, place) => format!("published: {place}"),
    }
}

/// What the model leaves out: all of it is always said.
fn limits_of_model(case: &Case, after: &Shared, off_m: f64) -> Vec<Words> {
    let mut limits = vec![
        say!(
            "No measurement of this is published. The formula is our own: take the numbers as likely, not as sure."
        ),
        say!(
            "It holds just after the turn, before the belt runs. Running, the belt moves to the slack side and the \
             bending eases; a belt that runs ",
            length(off_m),
            " off centre loads the sides as unequally."
        ),
    ];
    limits.push(if case.turn.tension_kept {
        say!("The take-up is counted as one that follows the belt: it keeps the pull as it was, but not the skew away.")
    } else {
        say!("Both screws are counted as locked. A weight or spring take-up would keep the pull as it was, not the skew away.")
    });
    limits.push(say!(
        "Side guides, or a bed that the belt sticks to, can make the skew part up to 4 times as large. Then it is up to ",
        force(case.turn.held_sideways_n(&after.loads)),
        " on the ", after.tight, " side."
    ));
    limits.push(say!(
        "No creep is counted: with time a fabric belt gives, and part of the rise is lost again."
    ));
    limits.push(say!(
        "Unlike belts can come to like loads: one load that agrees proves nothing about the rest. The weight of the \
         pulley and an uneven start are left out."
    ));
    limits.push(say!(
        "Fatigue life counts a steady load in clean grease. Dirt and lost grease often end a bearing first."
    ));
    match case.shaft {
        Some(_) => limits.push(say!("The hub slope is that of the free shaft. Hubs and end discs hold the true one below it.")),
        None => limits.push(say!("The slope of the shaft at the hub needs shaft diameter and hub arm: not worked out.")),
    }
    limits
}
