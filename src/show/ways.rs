//! The sides that the words of a fix name, as a person would read them in the plan.

use super::steps::{OTHER_STRAND, step_text};
use super::suspicion::SideKnown;
use super::words::{Known, Sides};
use crate::drill::ways::{Along, By, Said, Spoken, Work};
use crate::rulebook::index::FixAt;
use crate::rulebook::model::{Book, End, Step, Toward};
use crate::trade::Side;
use crate::visit::{ConveyorFacts, Finding};

/// A placeholder of rule texts that names a side.
struct Placeholder {
    text: &'static str,
    /// The side it stands for; nothing for those of load and wind.
    end: Option<End>,
    /// The work it is about.
    work: Work,
    /// Whether that is done on the other side.
    other: bool,
}

const fn placeholder(text: &'static str, end: Option<End>, work: Work, other: bool) -> Placeholder {
    Placeholder { text, end, work, other }
}

const PLACEHOLDERS: &[Placeholder] = &[
    placeholder("{tight-side}", Some(End::TightSide), Work::SlackenScrew, false),
    placeholder("{slack-side}", Some(End::SlackSide), Work::SlackenScrew, true),
    placeholder("{long-pulley-side}", Some(End::LongPulleySide), Work::SquarePulley, false),
    placeholder("{low-frame-side}", Some(End::LowFrameSide), Work::RaiseFrame, false),
    placeholder("{low-pulley-side}", Some(End::LowPulleySide), Work::RaisePulley, false),
    placeholder("{low-idler-side}", Some(End::LowIdlerSide), Work::RaiseIdler, false),
    placeholder("{light-side}", None, Work::TurnLoad, false),
    placeholder("{heavy-side}", None, Work::TurnLoad, true),
    placeholder("{wind-side}", None, Work::Shelter, false),
    placeholder("{far-side}", Some(End::FarSide), Work::SteerByScrew, false),
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
            spoken.sided += usize::from(names_both(&known, step, &said));
        }
        spoken.said.extend(said);
    }
    spoken
}

/// Whether a step steers, and its words have a place for the side. One that says to skew nothing does not.
fn steers(known: &Known<'_>, step: &Step) -> bool {
    let screw = |text: &str| {
        PLACEHOLDERS.iter().any(|placeholder| {
            matches!(placeholder.work, Work::SlackenScrew | Work::SteerByScrew | Work::SquarePulley)
                && text.contains(placeholder.text)
        })
    };
    match step {
        Step::MoveEnd { .. } => {
            let text = step_text(known, step);
            ["toward the head", "toward the tail", "toward the other end pulley"]
                .iter()
                .any(|way| text.contains(way))
        }
        Step::Do(text) | Step::Tension(text) => screw(text),
        Step::Move { what, how } => screw(what) || screw(how),
        Step::Mark(_) | Step::Raise { .. } | Step::Jog(_) | Step::Restart(_) => false,
    }
}

/// Whether the words of a steering step name one side, and one way: along the conveyor for the strand that is told, or
/// which screw.
fn names_both(known: &Known<'_>, step: &Step, said: &[Said]) -> bool {
    match step {
        Step::MoveEnd { .. } => {
            let text = step_text(known, step);
            let first = before_the_other_strand(&text);
            side_in(known, first).is_some()
                && (matches!(along(first), Some(Along::Head | Along::Tail))
                    || first.contains("toward the other end pulley"))
        }
        _ => said.iter().any(|said| {
            matches!(said.work, Work::SlackenScrew | Work::SteerByScrew | Work::SquarePulley)
        }),
    }
}

fn of_step(known: &Known<'_>, step: &Step) -> Vec<Said> {
    match step {
        // No snub stands in the model.
        Step::MoveEnd { end: End::LeadingSnubEnd, .. } => Vec::new(),
        Step::MoveEnd { end, toward, .. } => {
            let text = step_text(known, step);
            let first = before_the_other_strand(&text);
            let by = by(known, Some(*end));
            let along = match along(first) {
                // Measured at an idler of either strand: the words give the way for both.
                Some(_) if first.len() < text.len() && by == By::Measured => Along::WithStrand,
                Some(along) => along,
                None if *toward == Toward::OtherPulley => Along::WithStrand,
                // It says to skew nothing.
                None => return Vec::new(),
            };
            let work = match toward {
                Toward::SquareUp => Work::SquareIdler(along),
                Toward::WithStrand | Toward::AgainstStrand => Work::SteerByIdler(along),
                Toward::OtherPulley => Work::SquarePulley,
                Toward::Head | Toward::Tail => return Vec::new(),
            };
            side_in(known, first).map(|side| Said { work, side, by }).into_iter().collect()
        }
        Step::Raise { end, .. } => {
            let work = match end {
                End::LowFrameSide => Work::RaiseFrame,
                End::LowPulleySide => Work::RaisePulley,
                End::LowIdlerSide => Work::RaiseIdler,
                _ => return Vec::new(),
            };
            let by = by(known, Some(*end));
            let side = side_in(known, &step_text(known, step));
            side.map(|side| Said { work, side, by }).into_iter().collect()
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
    let there = PLACEHOLDERS.iter().filter(|placeholder| text.contains(placeholder.text));
    there
        .filter_map(|placeholder| {
            let side = side_in(known, &known.fill(placeholder.text))?;
            let side = if placeholder.other { side.other() } else { side };
            let by = match placeholder.work {
                Work::TurnLoad if known.heavy_side_by_the_run() => By::WhereItRuns,
                _ => by(known, placeholder.end),
            };
            Some(Said { work: placeholder.work, side, by })
        })
        .collect()
}

/// How the side of an end is known.
fn by(known: &Known<'_>, end: Option<End>) -> By {
    match end.and_then(|end| known.end_known(end)) {
        Some(SideKnown::Suspected(_)) => By::WhereItRuns,
        Some(SideKnown::Measured(_)) | None => By::Measured,
    }
}

/// The words of a step without what they say of an idler of the other strand.
fn before_the_other_strand(text: &str) -> &str {
    text.split(OTHER_STRAND).next().unwrap_or(text)
}

/// The way along the conveyor that words name.
fn along(text: &str) -> Option<Along> {
    match (text.contains("toward the head"), text.contains("toward the tail")) {
        (true, true) => Some(Along::WithStrand),
        (true, false) => Some(Along::Head),
        (false, true) => Some(Along::Tail),
        (false, false) => None,
    }
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
