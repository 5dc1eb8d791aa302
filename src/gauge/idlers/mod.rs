//! How far idlers are out of square, which side the belt runs to for it, and how to put them back.
//!
//! Skew is above nothing when the LEFT end is ahead, nearer the head. The belt runs to the end that it meets first:
//! on the carry strand the end nearer the tail, on the return strand the end nearer the head.

mod asked;
pub(crate) mod key;
mod tilt;
mod told;

use crate::trade::{Side, Strand};
use std::collections::BTreeSet;

use super::asked::{Asked, length};
use super::limits::{Limit, shipped};
use super::{
    Amiss, Amount, Basis, CanTell, Figure, Gauge, Kind, Outcome, Readings, Setting, Tell, Verdict,
    read_by,
};
use crate::say;
use asked::{ACROSS, DATUM, Datum, ERROR, FEET, IDLER, LEFT, LINE, RIGHT, TILT, TRIM, WIDTH};

/// More idlers are no list of one conveyor.
const MOST_IDLERS: usize = 10_000;
/// No trim is a larger share of the length across.
const MOST_TRIM: f64 = 0.1;
/// Length of the middle roll, as a share of the belt's width, where it is not measured yet.
const MIDDLE_ROLL: f64 = 0.36;

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
    limits: shipped::OF_IDLERS,
    foretell,
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

/// The lengths across, and how far off a lead between the points may be.
struct Across {
    across_m: f64,
    width_m: Option<f64>,
    feet_m: Option<f64>,
    off_m: f64,
    limit: Limit,
}

impl Across {
    /// A lead over the belt's width, per lead between the points measured.
    fn wider(&self) -> f64 {
        self.width_m.unwrap_or(self.across_m) / self.across_m
    }

    /// A lead between the feet, per lead between the points measured.
    fn feet(&self) -> f64 {
        self.feet_m.unwrap_or(self.across_m) / self.across_m
    }
}

fn across(asked: &Asked) -> Result<Across, Amiss> {
    let across_m = asked.must(&ACROSS)?;
    let (width_m, feet_m) = (asked.may(&WIDTH)?, asked.may(&FEET)?);
    for (wanted, size_m) in [(&WIDTH, width_m), (&FEET, feet_m)] {
        if size_m.is_some_and(|size_m| !(0.1..=20.0).contains(&(size_m / across_m))) {
            return Err(Amiss::with(
                wanted.key,
                say!(
                    "this does not go with the length across between the points measured, ",
                    length(across_m),
                    ": read both again"
                ),
            ));
        }
    }
    let limit = asked.setting.limit(&shipped::IDLER_SQUARE);
    Ok(Across { across_m, width_m, feet_m, off_m: off_m(asked, across_m)?, limit })
}

/// How far off a lead between two points may be: two readings, and the squared line that they were taken from.
fn off_m(asked: &Asked, across_m: f64) -> Result<f64, Amiss> {
    let two = 2.0_f64.sqrt() * asked.error(&ERROR, &read_by::TAPE)?;
    Ok(two.hypot(asked.error(&LINE, &read_by::SQUARED_LINE)? * across_m))
}

fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let asked = Asked::of(readings, setting);
    let width_m = asked.may(&WIDTH).ok()?;
    let across_m = asked.may(&ACROSS).ok()?.or_else(|| Some(width_m? * MIDDLE_ROLL))?;
    let off_m = off_m(&asked, across_m).ok()? * width_m.unwrap_or(across_m) / across_m;
    let limit = setting.limit(&shipped::IDLER_SQUARE);
    Some(
        CanTell::of("the lead over the belt's width", Kind::Length, off_m, limit)
            .better(say!("Or measure to points further apart: the feet, or both outer roll ends.")),
    )
}

struct Idler {
    name: String,
    /// How far the LEFT end is nearer the head than it is meant to be, between the points measured.
    lead_m: f64,
    /// The same as it stands, trims and all.
    stands_m: f64,
    tilt_rad: Option<f64>,
    verdict: Verdict,
}

fn idlers(asked: &Asked, across: &Across) -> Result<Vec<Idler>, Amiss> {
    if asked.length() > MOST_IDLERS {
        return Err(Amiss::all(say!(format!(
            "more than {MOST_IDLERS} idlers: measure the conveyor in parts"
        ))));
    }
    let sign = match asked.choice(&DATUM)? {
        Datum::Tail => 1.0,
        Datum::Head => -1.0,
    };
    let mut names = BTreeSet::new();
    let mut idlers = Vec::new();
    for row in asked.rows() {
        let name = row.name(&IDLER)?.to_owned();
        if !names.insert(name.clone()) {
            return Err(row.amiss(
                &IDLER,
                say!("this idler is given twice: keep one of its readings, name them apart, or average them with --repeat"),
            ));
        }
        let stands_m = sign * (row.must(&LEFT)? - row.must(&RIGHT)?);
        if stands_m.abs() > 0.5 * across.across_m {
            return Err(row.amiss(
                &LEFT,
                say!(
                    "one end would lead by more than half of the length across: read both ends again"
                ),
            ));
        }
        let trim_m = row.may(&TRIM)?.unwrap_or(0.0) / across.feet();
        if trim_m.abs() > MOST_TRIM * across.across_m {
            return Err(row.amiss(&TRIM, say!("no idler is trimmed that far: read it again")));
        }
        let tilt_rad = row.may(&TILT)?;
        if tilt_rad.is_some_and(|tilt| tilt.abs() > tilt::STEEPEST) {
            return Err(row.amiss(
                &TILT,
                say!("no stand leans that far: give the angle from upright, in degrees"),
            ));
        }
        let lead_m = stands_m - trim_m;
        // The limit holds for the belt's width; the same angle leads by less between points nearer together.
        let wider = across.wider();
        let verdict = Verdict::of(lead_m * wider, across.limit.size.si(), across.off_m * wider);
        idlers.push(Idler { name, lead_m, stands_m, tilt_rad, verdict });
    }
    Ok(idlers)
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let asked = Asked::of(readings, setting);
    let strand = asked::strand(&asked);
    let across = across(&asked)?;
    let idlers = idlers(&asked, &across)?;
    let Some(worst) = idlers.iter().max_by(|a, b| a.lead_m.abs().total_cmp(&b.lead_m.abs())) else {
        return Err(Amiss::all(say!(
            "no idlers: measure at least the one where the belt leaves centre"
        )));
    };
    let (lead, skew) = figures(worst, &across);
    let out = idlers.iter().filter(|idler| idler.verdict == Verdict::Beyond).count();
    let trims = trims(&idlers);
    let first = strand.meets_first(worst.lead_m);
    let leads = match worst.verdict {
        Verdict::Within => Some("square"),
        Verdict::Beyond => first.map(Side::id),
        _ => None,
    };
    let mut verdict = worst.verdict;
    let says = told::says(&told::Said { worst, strand, first, trims, lead: &lead, out }, &across);
    let mut figures = vec![lead, skew];
    let mut tells = vec![("leads", leads), ("trims", trims)];
    let mut work = told::worklist(&idlers, strand, trims == Some("both-ways"), &across);
    let reversing = setting.facts.reversing() == Some(true);
    if let Some(tilted) = tilt::tilt(&idlers, strand, setting, reversing) {
        verdict = verdict.worse(tilted.figure.verdict);
        figures.push(tilted.figure);
        tells.push(("tilt", tilted.told));
        work.extend(tilted.steps);
    }
    Ok(Outcome {
        says,
        verdict,
        figures,
        tells,
        work,
        amount: (worst.verdict == Verdict::Beyond).then(|| amount(worst, strand, &across)),
        notes: told::notes(&idlers, &across, out > 0, reversing),
        plot: Some(told::plot(&idlers, across.wider())),
    })
}

fn figures(worst: &Idler, across: &Across) -> (Figure, Figure) {
    let wider = across.wider();
    let what = say!(
        "worst idler's lead over the belt's width, plus: the ",
        Side::Left,
        " end nearer the head"
    );
    let lead = Figure::of(
        "lead",
        what,
        Kind::Length,
        worst.lead_m * wider,
        Basis::Derived("the two readings"),
    )
    .off_by(Kind::Length, across.off_m * wider)
    .against(across.limit);
    let skew = Figure::of(
        "skew",
        say!("worst idler's angle from square"),
        Kind::Angle,
        (worst.lead_m / across.across_m).asin(),
        Basis::Derived("lead over the length across"),
    )
    .off_by(Kind::Angle, across.off_m / across.across_m);
    (lead, skew)
}

fn amount(worst: &Idler, strand: Strand, across: &Across) -> Amount {
    let at = if across.feet_m.is_some() { "at its feet" } else { "at the points measured" };
    let feet = across.feet();
    Amount::length(
        worst.lead_m.abs() * feet,
        across.off_m * feet,
        say!(format!("{} idler {}, {at}", strand.name(), worst.name)),
    )
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
