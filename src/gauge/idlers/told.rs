//! What is said and drawn of idlers.

use super::super::asked::length;
use super::super::{Figure, Kind, Plot, Verdict, Words, closer, plots};
use super::tilt::told_name;
use super::{Across, Idler};
use crate::say;
use crate::trade::{Side, Strand};

/// What the headline speaks of.
pub(super) struct Said<'a> {
    pub(super) worst: &'a Idler,
    pub(super) strand: Strand,
    pub(super) first: Option<Side>,
    pub(super) trims: Option<&'static str>,
    pub(super) lead: &'a Figure,
    pub(super) out: usize,
}

/// The sentence that says it all.
pub(super) fn says(said: &Said, across: &Across) -> Words {
    let lead = length(said.lead.size.si().abs());
    let width = length(across.width_m.unwrap_or(across.across_m));
    let (strand, name) = (said.strand.name(), said.worst.name.as_str());
    match (said.worst.verdict, said.first) {
        (Verdict::Beyond, Some(side)) if said.trims == Some("both-ways") => say!(
            format!(
                "{} {strand} idlers are out of square, some one way and some the other: they fight each other. The worst is {name}, by ",
                said.out
            ),
            lead,
            " over ",
            width,
            "; it sends the belt to the ",
            side,
            "."
        ),
        (Verdict::Beyond, Some(side)) => say!(
            told_name(said.strand, said.worst),
            " is out of square by ",
            lead,
            " over ",
            width,
            ": the belt meets its ",
            side,
            " end first and runs to that side."
        ),
        (Verdict::Within, _) => say!(
            format!("The {strand} idlers are square: the worst, {name}, is out by "),
            lead,
            " only."
        ),
        _ => {
            let mut says = say!(
                format!("Too close to call: the worst {strand} idler, {name}, is out by "),
                lead,
                "."
            );
            says.0.extend(closer(said.lead, Some(across.across_m)).0);
            says
        }
    }
}

/// What to shift: the end that the belt meets first, in the direction the strand travels. The worst first; but where
/// idlers fight each other all that can be seen to be askew go back, in the order in which they stand.
pub(super) fn worklist(
    idlers: &[Idler],
    strand: Strand,
    all_back: bool,
    across: &Across,
) -> Vec<Words> {
    let askew = |idler: &&Idler| {
        idler.verdict == Verdict::Beyond || (all_back && idler.lead_m.abs() > across.off_m)
    };
    let mut out: Vec<&Idler> = idlers.iter().filter(askew).collect();
    let mut work = Vec::new();
    if all_back {
        work.push(say!("Idlers are set against each other: put all of these back to square in one go, before any new trim."));
    } else {
        out.sort_by(|a, b| b.lead_m.abs().total_cmp(&a.lead_m.abs()));
    }
    for idler in out {
        if let Some(side) = strand.meets_first(idler.lead_m) {
            work.push(say!(
                told_name(strand, idler),
                ": shift the ",
                side,
                " end ",
                length(idler.lead_m.abs() * across.feet()),
                format!(" toward the {}.", strand.toward())
            ));
        }
    }
    work
}

/// What it rests on and what it leaves out.
pub(super) fn notes(idlers: &[Idler], across: &Across, out: bool, reversing: bool) -> Vec<Words> {
    let mut notes = Vec::new();
    if across.width_m.is_none() {
        notes.push(say!(
            "The belt's width is not known, so the limit is held against the points measured, ",
            length(across.across_m),
            " apart."
        ));
    }
    if across.feet_m.is_none() && out {
        notes.push(say!(
            "Amounts are for the points measured, ",
            length(across.across_m),
            " apart. At feet further apart shift more, in proportion."
        ));
    }
    let trimmed: Vec<&str> = idlers
        .iter()
        .filter(|idler| idler.stands_m != idler.lead_m)
        .map(|idler| idler.name.as_str())
        .collect();
    if !trimmed.is_empty() {
        notes.push(say!(format!(
            "Trimmed on purpose and judged from there: {}.",
            trimmed.join(", ")
        )));
    }
    if reversing {
        notes.push(say!("Sides are for the forward run: in reverse each idler sends the belt the other way. Every idler must stand square and upright."));
    }
    notes.push(say!("The error of the squared line counts in what is shown."));
    notes.push(say!("The limit of squareness is from memory: no published number was found."));
    notes
}

/// The idlers in order, each with its lead.
pub(super) fn plot(idlers: &[Idler], wider: f64) -> Plot {
    let named = idlers
        .iter()
        .map(|idler| (idler.name.clone(), idler.lead_m * wider, idler.verdict == Verdict::Beyond));
    plots::in_order("idler, in the order given", ("lead, left end nearer the head", Kind::Length))
        .named(named)
        .lines(&[("square", plots::ZERO)])
        .plot()
}
