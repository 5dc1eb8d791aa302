//! What the gauge `trim` says: the sentence, the steps and what they rest on.

use super::super::{Amiss, Figure, Kind, Outcome, Setting, Verdict, Words, closer};
use super::PLACE;
use super::asked::Run;
use crate::conveyor::quantity::Quantity;
use crate::gauge::words::Piece;
use crate::say;
use crate::trade::{ConveyorClass, Strand};

fn ordinal(number: usize) -> &'static str {
    match number {
        2 => "2nd",
        3 => "3rd",
        _ => "4th",
    }
}

pub(super) fn stations(first: usize, last: usize) -> String {
    match last - first {
        0 => ordinal(first).to_owned(),
        1 => format!("{} and {}", ordinal(first), ordinal(last)),
        _ => format!("{} to {}", ordinal(first), ordinal(last)),
    }
}

pub(super) fn says(asked: &Run, read: &Figure, step: Quantity, which: &str) -> Words {
    let drift = read.size;
    match read.verdict {
        Verdict::Within => say!(
            "The belt is off by ",
            drift,
            ", within what a belt may wander. If it is steady and touches nothing, leave it and watch it."
        ),
        Verdict::TooClose => {
            let mut says = say!(
                "Off by ",
                drift,
                ": too close to call. Measure again: photograph the edge against a roll end at three belt turns. Shift only if it nears steel."
            );
            says.0.extend(closer(read, None).0);
            says
        }
        _ => say!(
            format!("Shift the {which} {} idler before the trouble: the ", asked.strand.name()),
            asked.side,
            " end ",
            step,
            format!(" toward the {}, then watch three belt turns.", asked.strand.toward())
        ),
    }
}

pub(super) fn steps(asked: &Run, idlers: &[(usize, f64)], step: Quantity) -> Vec<Words> {
    let mut work = vec![say!(
        "Stop, lock out, release or block stored energy. Mark with a line where each idler foot stands now, and write it down."
    )];
    for &(station, along_m) in idlers {
        work.push(say!(
            format!(
                "{} {} idler before the trouble, counted toward the {}, about ",
                ordinal(station),
                asked.strand.name(),
                asked.strand.from()
            ),
            Piece::Place(along_m),
            " from the tail pulley. Shift the ",
            asked.side,
            " end ",
            step,
            format!(" toward the {}.", asked.strand.toward())
        ));
    }
    work.push(match asked.turn_s {
        Some(turn_s) => say!(
            "Guards on, people clear, unlock, start warning, run empty. Watch from outside the guards for three belt turns: ",
            Quantity::of(Kind::Time, 3.0 * turn_s),
            "."
        ),
        None => say!(
            "Guards on, people clear, unlock, start warning, run empty. Watch from outside the guards for three full belt turns."
        ),
    });
    work.push(say!(
        "Still off to the ",
        asked.side,
        ": measure, lock out, one more step at the same idlers. Off to the ",
        asked.side.other(),
        " now: lock out and put these same idlers back by half a step. Never push other idlers the other way."
    ));
    work
}

pub(super) fn notes(asked: &Run, setting: &Setting) -> Vec<Words> {
    let mut notes = vec![
        say!("To undo it: the same idlers, back to the lines that were marked."),
        say!(
            "Write each shift beside the idler's name. The gauge idlers takes it as `trim`, and does not call it out of square."
        ),
        say!(
            "Trim the return strand first, from head to tail, then the carry strand, with the belt empty. One person decides; write down each shift."
        ),
        say!(
            "Leave the last idler beside a pulley: there the pulley's grip takes the push. Why these three: derived by calculation; published is only a few rolls before the trouble."
        ),
        say!("Never shift the 3 idlers before or after those of a belt scale."),
    ];
    if asked.strand == Strand::Carry {
        notes.push(say!("It helps only where the belt lies on all rolls of the trough."));
    }
    if asked.turn_is_guess && asked.turn_s.is_some() {
        notes.push(say!(
            "The belt is taken as twice the centres long: time a belt turn to be sure."
        ));
    }
    if asked.drift_m <= asked.error_m {
        notes.push(say!(
            "The drift is no more than the reading error: there may be nothing to trim."
        ));
    }
    if setting.facts.reversing().is_none() {
        notes.push(say!("Taken as a belt that runs one way only. Never trim a reversing belt."));
    }
    if setting.facts.class().is_none() {
        notes.push(say!("Taken as a troughed bulk conveyor. For a flat or package conveyor its own manual rules."));
    }
    notes
}

pub(super) fn too_near(asked: &Run) -> Amiss {
    let (pulley, advice) = match asked.strand {
        Strand::Carry => (
            "tail",
            "The belt comes off centre round the tail: work it out for the return strand, with the place at the tail pulley (0).",
        ),
        Strand::Return => (
            "head",
            "The belt comes off centre round the head: look at the head pulley. Then work it out for the carry strand, with the place at the head pulley.",
        ),
    };
    Amiss::with(
        PLACE.key,
        say!(format!(
            "Too near the {pulley} pulley: no idler 2 to 4 stations before it can be shifted. {advice}"
        )),
    )
}

/// What is said of conveyors that the rules for bulk belts do not fit.
pub(super) fn by_its_manual(class: ConveyorClass) -> Outcome {
    let mut notes = vec![say!(
        "Makers of light conveyors differ: some steer with the end pulley screws, some never do. Follow the manual, and bring both screws back to equal afterwards."
    )];
    if class == ConveyorClass::Package {
        notes.push(say!(
            "On package conveyors the snub and return rollers before a main pulley are often the ones to set: see the manual."
        ));
    }
    Outcome {
        says: say!(format!(
            "This is a {} conveyor: its manual rules. The amounts for troughed bulk belts do not fit it.",
            class.word()
        )),
        notes,
        ..Outcome::default()
    }
}
