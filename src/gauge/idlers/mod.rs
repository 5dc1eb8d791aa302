//! How far idlers are out of square, which side the belt runs to for it, and how to put them back.
//!
//! Skew is above nothing when the LEFT end is ahead, nearer the head. The belt runs to the end that it meets first:
//! on the carry strand the end nearer the tail, on the return strand the end nearer the head.

mod asked;
pub(crate) mod key;
mod told;

use crate::trade::{Side, Strand};
use std::collections::BTreeSet;

use super::limits::Shipped;
use super::readings::Keyed;
use super::taken::{error_m, length, long, may, may_long, must, word};
use super::{
    Amiss, Amount, Basis, Figure, Gauge, Kind, Limit, Outcome, Readings, Setting, Tell, Verdict,
    Words,
};
use crate::conveyor::quantity::Quantity;
use crate::say;

pub(super) const IDLER_SQUARE: Shipped = Shipped {
    id: "idler-square",
    what: "lead of one end of an idler over the belt's width",
    kind: Kind::Length,
    si: 0.003,
    mark: Basis::Memory,
};

pub(super) const IDLER_TILT: Shipped = Shipped {
    id: "idler-tilt",
    what: "forward tilt of troughing idlers",
    kind: Kind::Angle,
    si: 2.0 * std::f64::consts::PI / 180.0,
    mark: Basis::Published("belt-trade-erratic", "remedies, limit of forward tilt"),
};

/// The limits that its readings are held against.
pub(super) const LIMITS: &[&Shipped] = &[&IDLER_SQUARE, &IDLER_TILT];

/// More idlers are no list of one conveyor.
const MOST_IDLERS: usize = 10_000;
/// How exactly an angle gauge reads.
const ANGLE_ERROR_RAD: f64 = 0.25 * std::f64::consts::PI / 180.0;

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "idlers",
    title: "Squareness of idlers",
    about: "Tells which idlers are out of square, which side they send the belt to, and what to shift, in order.",
    ways: asked::WAYS,
    tells: &[
        Tell { id: "leads", words: &["square", "left", "right"] },
        Tell { id: "trims", words: &["none", "one-way", "both-ways"] },
        Tell { id: "tilt", words: &["within", "too-far"] },
    ],
    limits: LIMITS,
    work,
};

impl Strand {
    /// Which end of an idler it meets first, and so runs to: `lead_m` is how far the LEFT end is nearer the head.
    pub fn meets_first(self, lead_m: f64) -> Option<Side> {
        match self {
            Self::Carry => Side::of_sign(-lead_m),
            Self::Return => Side::of_sign(lead_m),
        }
    }
}

struct Idler {
    name: String,
    /// How far the LEFT end is nearer the head, between the points measured.
    lead_m: f64,
    tilt_rad: Option<f64>,
    verdict: Verdict,
}

fn idlers(readings: &Readings, across_m: f64) -> Result<Vec<Idler>, Amiss> {
    if readings.rows.len() > MOST_IDLERS {
        return Err(Amiss::all(say!(format!(
            "more than {MOST_IDLERS} idlers: measure the conveyor in parts"
        ))));
    }
    let sign = if word(readings, None, key::DATUM)? == "head" { -1.0 } else { 1.0 };
    let mut names = BTreeSet::new();
    let mut idlers = Vec::new();
    for (row, reading) in readings.rows.iter().enumerate() {
        let name = reading.label(key::IDLER).unwrap_or_default().to_owned();
        if name.is_empty() {
            return Err(Amiss::at(
                row,
                key::IDLER,
                say!("the idler needs a number or name, so that it can be found again"),
            ));
        }
        if !names.insert(name.clone()) {
            return Err(Amiss::at(
                row,
                key::IDLER,
                say!("this idler is given twice: keep one of its readings, or name them apart"),
            ));
        }
        let lead_m =
            sign * (must(reading, Some(row), key::LEFT)? - must(reading, Some(row), key::RIGHT)?);
        if lead_m.abs() > 0.5 * across_m {
            return Err(Amiss::at(
                row,
                key::LEFT,
                say!(
                    "one end would lead by more than half of the length across: read both ends again"
                ),
            ));
        }
        let tilt_rad = may(reading, Some(row), key::TILT)?;
        if tilt_rad.is_some_and(|tilt| tilt.abs() > 0.8) {
            return Err(Amiss::at(
                row,
                key::TILT,
                say!("no stand leans that far: give the angle from upright, in degrees"),
            ));
        }
        idlers.push(Idler { name, lead_m, tilt_rad, verdict: Verdict::NoLimit });
    }
    Ok(idlers)
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let strand = if readings.way == "return" { Strand::Return } else { Strand::Carry };
    let (across_m, error_m) = (long(readings, None, key::ACROSS)?, error_m(readings)?);
    let (width_m, feet_m) =
        (may_long(readings, None, key::WIDTH)?, may_long(readings, None, key::FEET)?);
    for (key, size_m) in [(key::WIDTH, width_m), (key::FEET, feet_m)] {
        if size_m.is_some_and(|size_m| !(0.1..=20.0).contains(&(size_m / across_m))) {
            return Err(Amiss::with(
                key,
                say!(
                    "this does not go with the length across between the points measured, ",
                    length(across_m),
                    ": read both again"
                ),
            ));
        }
    }
    let mut idlers = idlers(readings, across_m)?;
    let limit = setting.limit(&IDLER_SQUARE);
    let limit_m = limit.size.si();
    // The limit holds for the belt's width; the same angle leads by less between points nearer together.
    let wider = width_m.unwrap_or(across_m) / across_m;
    let two = 2.0_f64.sqrt() * error_m;
    for idler in &mut idlers {
        idler.verdict = Verdict::of(idler.lead_m * wider, limit_m, two * wider);
    }
    let Some(worst) = idlers.iter().max_by(|a, b| a.lead_m.abs().total_cmp(&b.lead_m.abs())) else {
        return Err(Amiss::all(say!(
            "no idlers: measure at least the one where the belt leaves centre"
        )));
    };
    let mut notes = Vec::new();
    if width_m.is_none() {
        notes.push(say!(
            "The belt's width is not known, so the limit is held against the points measured, ",
            length(across_m),
            " apart."
        ));
    }
    let lead = Figure::of(
        "lead",
        say!(
            "worst idler's lead over the belt's width, plus: the ",
            Side::Left,
            " end nearer the head"
        ),
        Kind::Length,
        worst.lead_m * wider,
        Basis::Derived("the two readings"),
    )
    .off_by(Kind::Length, two * wider)
    .against(limit);
    let skew = Figure::of(
        "skew",
        say!("worst idler's angle from square"),
        Kind::Angle,
        (worst.lead_m / across_m).asin(),
        Basis::Derived("lead over the length across"),
    )
    .off_by(Kind::Angle, two / across_m);
    let out = idlers.iter().filter(|idler| idler.verdict == Verdict::Beyond).count();
    let trims = trims(&idlers);
    let first = strand.meets_first(worst.lead_m);
    let leads = match worst.verdict {
        Verdict::Within => Some("square"),
        Verdict::Beyond => first.map(Side::id),
        _ => None,
    };
    let amount = (worst.verdict == Verdict::Beyond).then(|| {
        let feet = feet_m.unwrap_or(across_m) / across_m;
        let at = if feet_m.is_some() { "at its feet" } else { "at the points measured" };
        let at = say!(format!("idler {}, {at}", worst.name));
        Amount::length(worst.lead_m.abs() * feet, two * feet, at)
    });
    let mut verdict = worst.verdict;
    let mut figures = vec![lead, skew];
    let mut tells = vec![("leads", leads), ("trims", trims)];
    let mut work = worklist(
        &idlers,
        strand,
        trims == Some("both-ways"),
        feet_m.unwrap_or(across_m) / across_m,
        two,
    );
    let reversing = setting.facts.reversing() == Some(true);
    if let Some((tilt, told, steps)) = tilt(&idlers, setting, reversing) {
        verdict = verdict.worse(tilt.verdict);
        figures.push(tilt);
        tells.push(("tilt", told));
        work.extend(steps);
    }
    if !work.is_empty() && feet_m.is_none() && out > 0 {
        notes.push(say!(
            "Amounts are for the points measured, ",
            length(across_m),
            " apart. At feet further apart shift more, in proportion."
        ));
    }
    if reversing {
        notes.push(say!("Sides are for the forward run: in reverse each idler sends the belt the other way. Every idler must stand square and upright."));
    }
    notes.push(say!("The limit of squareness is from memory: no published number was found."));
    let says = told::says(worst, first, trims, width_m.unwrap_or(across_m), wider, out);
    Ok(Outcome {
        says,
        verdict,
        figures,
        tells,
        work,
        amount,
        notes,
        plot: Some(told::plot(&idlers, wider)),
    })
}

/// Whether idlers are out of square, and whether some one way and some the other.
fn trims(idlers: &[Idler]) -> Option<&'static str> {
    let any = |verdict, ahead| {
        idlers.iter().any(|idler| idler.verdict == verdict && (idler.lead_m > 0.0) == ahead)
    };
    let (left, right) = (any(Verdict::Beyond, true), any(Verdict::Beyond, false));
    let (left_close, right_close) = (any(Verdict::TooClose, true), any(Verdict::TooClose, false));
    match (left, right) {
        (true, true) => Some("both-ways"),
        (true, false) => (!right_close).then_some("one-way"),
        (false, true) => (!left_close).then_some("one-way"),
        (false, false) => (!left_close && !right_close).then_some("none"),
    }
}

/// What to shift: the end that the belt meets first, in the direction the strand travels. The worst first; but where
/// idlers fight each other all that can be seen to be askew go back, in the order in which they stand.
fn worklist(
    idlers: &[Idler],
    strand: Strand,
    all_back: bool,
    feet: f64,
    error_m: f64,
) -> Vec<Words> {
    let mut out: Vec<&Idler> = idlers
        .iter()
        .filter(|idler| {
            idler.verdict == Verdict::Beyond || (all_back && idler.lead_m.abs() > error_m)
        })
        .collect();
    let mut work = Vec::new();
    if all_back {
        work.push(say!("Idlers are set against each other: put all of these back to square in one go, before any new trim."));
    } else {
        out.sort_by(|a, b| b.lead_m.abs().total_cmp(&a.lead_m.abs()));
    }
    for idler in out {
        if let Some(side) = strand.meets_first(idler.lead_m) {
            let toward = strand.toward();
            work.push(say!(
                format!("Idler {}: shift the ", idler.name),
                side,
                " end ",
                length(idler.lead_m.abs() * feet),
                format!(" toward the {toward}.")
            ));
        }
    }
    work
}

type Tilted = (Figure, Option<&'static str>, Vec<Words>);

fn tilt(idlers: &[Idler], setting: &Setting, reversing: bool) -> Option<Tilted> {
    let tilted: Vec<(&Idler, f64)> =
        idlers.iter().filter_map(|idler| Some((idler, idler.tilt_rad?))).collect();
    // Leaning back is no use at all, so it counts like leaning too far only beyond the same limit.
    let (_, worst) = tilted.iter().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))?;
    let shipped = setting.limit(&IDLER_TILT);
    let limit = if reversing {
        // No tilt at all; what an angle gauge cannot tell from none is let pass.
        Limit {
            size: Quantity::of(Kind::Angle, 2.0 * ANGLE_ERROR_RAD),
            what: "tilt on a reversing belt: none but what the angle gauge errs",
            mark: Basis::Derived("tilt centres in one direction of running only").into(),
            ..shipped
        }
    } else {
        shipped
    };
    let figure = Figure::of(
        "tilt",
        say!("worst tilt in the belt's direction"),
        Kind::Angle,
        *worst,
        Basis::Derived("the reading"),
    )
    .off_by(Kind::Angle, ANGLE_ERROR_RAD)
    .against(limit);
    let told = match figure.verdict {
        Verdict::Within => Some("within"),
        Verdict::Beyond => Some("too-far"),
        _ => None,
    };
    let limit_rad = limit.size.si();
    let aim_rad = if reversing { 0.0 } else { limit_rad };
    let steps = tilted
        .iter()
        .filter(|(_, tilt)| Verdict::of(*tilt, limit_rad, ANGLE_ERROR_RAD) == Verdict::Beyond)
        .map(|(idler, tilt)| {
            let aim = if aim_rad > 0.0 { say!(" or less.") } else { say!(" (upright).") };
            let mut words = say!(
                format!("Idler {}: its stand leans ", idler.name),
                Quantity::of(Kind::Angle, tilt.abs()),
                if *tilt > 0.0 { " with the belt" } else { " against the belt" },
                ": shim it to ",
                Quantity::of(Kind::Angle, aim_rad)
            );
            words.0.extend(aim.0);
            words
        })
        .collect();
    Some((figure, told, steps))
}
