//! The sides that the words of a fix name, as a person would read them in the plan.

use super::steps::step_text;
use super::words::{Known, Sides};
use crate::drill::ways::{Along, Said, Spoken, Work};
use crate::rulebook::index::FixAt;
use crate::rulebook::model::{Book, End, Step, Toward};
use crate::trade::Side;
use crate::visit::{ConveyorFacts, Finding};

/// Placeholders of rule texts, the work they are about, and whether it is done on the other side.
const PLACEHOLDERS: &[(&str, Work, bool)] = &[
    ("{tight-side}", Work::SlackenScrew, false),
    ("{slack-side}", Work::SlackenScrew, true),
    ("{low-frame-side}", Work::RaiseFrame, false),
    ("{low-pulley-side}", Work::RaisePulley, false),
    ("{low-idler-side}", Work::RaiseIdler, false),
    ("{light-side}", Work::TurnLoad, false),
    ("{heavy-side}", Work::TurnLoad, true),
    ("{wind-side}", Work::Shelter, false),
    ("{far-side}", Work::SteerByScrew, false),
];

/// What the steps of a fix say at this point of a visit; nothing for steps that name no side.
pub fn said(book: &Book, facts: &ConveyorFacts, finding: &Finding, fix: FixAt) -> Spoken {
    let sides = Sides::named(None, None);
    let known = Known::new(book, &facts.facts, &sides, &finding.latest).after(&finding.observed);
    let told = known.strand().is_some() && known.belt_side().is_some();
    let mut spoken = Spoken::default();
    for step in book.fixes[fix].steps() {
        let said = of_step(&known, step);
        if told && steers(&known, step) {
            spoken.steering += 1;
            spoken.sided += usize::from(said.iter().any(Said::steers_one_way));
        }
        spoken.said.extend(said);
    }
    spoken
}

/// Whether a step steers, and its words have a place for the side. One that says to skew nothing does not.
fn steers(known: &Known<'_>, step: &Step) -> bool {
    let screw = |text: &str| {
        PLACEHOLDERS.iter().any(|(placeholder, work, _)| {
            matches!(work, Work::SlackenScrew | Work::SteerByScrew) && text.contains(placeholder)
        })
    };
    match step {
        Step::MoveEnd { .. } => {
            let text = step_text(known, step);
            text.contains("toward the head") || text.contains("toward the tail")
        }
        Step::Do(text) | Step::Tension(text) => screw(text),
        Step::Move { what, how } => screw(what) || screw(how),
        Step::Mark(_) | Step::Raise { .. } | Step::Jog(_) | Step::Restart(_) => false,
    }
}

fn of_step(known: &Known<'_>, step: &Step) -> Vec<Said> {
    match step {
        Step::MoveEnd { toward, .. } => {
            let text = step_text(known, step);
            let along = match (text.contains("toward the head"), text.contains("toward the tail")) {
                (true, true) => Along::WithStrand,
                (true, false) => Along::Head,
                (false, true) => Along::Tail,
                // It says to skew nothing.
                (false, false) => return Vec::new(),
            };
            let work = match toward {
                Toward::SquareUp => Work::SquareIdler(along),
                Toward::WithStrand | Toward::AgainstStrand => Work::SteerByIdler(along),
                Toward::Head | Toward::Tail => return Vec::new(),
            };
            side_in(known, &text).map(|side| Said { work, side }).into_iter().collect()
        }
        Step::Raise { end, .. } => {
            let work = match end {
                End::LowFrameSide => Work::RaiseFrame,
                End::LowPulleySide => Work::RaisePulley,
                End::LowIdlerSide => Work::RaiseIdler,
                _ => return Vec::new(),
            };
            let side = side_in(known, &step_text(known, step));
            side.map(|side| Said { work, side }).into_iter().collect()
        }
        Step::Do(text) | Step::Mark(text) | Step::Tension(text) => of_text(known, text),
        Step::Jog(_) | Step::Restart(_) => Vec::new(),
        Step::Move { what, how } => {
            let mut said = of_text(known, what);
            said.extend(of_text(known, how));
            said
        }
    }
}

fn of_text(known: &Known<'_>, text: &str) -> Vec<Said> {
    let there = PLACEHOLDERS.iter().filter(|(placeholder, ..)| text.contains(placeholder));
    there
        .filter_map(|(placeholder, work, other)| {
            let side = side_in(known, &known.fill(placeholder))?;
            let side = if *other { side.other() } else { side };
            Some(Said { work: *work, side })
        })
        .collect()
}

/// The one side that a text names.
fn side_in(known: &Known<'_>, text: &str) -> Option<Side> {
    let sides = known.sides();
    match (text.contains(&sides.left), text.contains(&sides.right)) {
        (true, false) => Some(Side::Left),
        (false, true) => Some(Side::Right),
        _ => None,
    }
}
