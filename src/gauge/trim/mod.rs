//! The gauge `trim`: how far to shift which idlers, which end, which way, and how long to watch.

mod asked;
pub(crate) mod key;
mod told;

use super::limits::Shipped;
use super::outcome::{Figure, Outcome, Verdict};
use super::readings::{Amiss, Kind, Readings};
use super::taken::over;
use super::{Basis, Gauge, Limit, Setting};
use crate::conveyor::quantity::Quantity;
use crate::say;
use crate::trade::{ConveyorClass, Strand};
use asked::{Asked, asked};
use told::{by_its_manual, notes, says, stations, steps, too_near};

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "trim",
    title: "Trimming idlers, step by step",
    about: "Says which idlers to shift for a belt that runs off, which end, which way, how far, and how long to watch.",
    ways: &[asked::DRIFT],
    tells: &[],
    limits: LIMITS,
    work,
};

pub(super) const TRIM_DRIFT: Shipped = Shipped {
    id: "trim.drift",
    what: "what a belt may wander",
    kind: Kind::Length,
    si: 0.050,
    mark: Basis::Memory,
};

pub(super) const TRIM_DRIFT_SHARE: Shipped = Shipped {
    id: "trim.drift-share",
    what: "what a belt may wander, as a share of its width",
    kind: Kind::Percent,
    si: 0.05,
    mark: Basis::Memory,
};

/// The limits that its readings are held against.
pub(super) const LIMITS: &[&Shipped] = &[&TRIM_DRIFT, &TRIM_DRIFT_SHARE];

/// The skew of one step: 0.4 degrees, which is 6 mm at one end on 0.9 m between the feet.
const STEP_RAD: f64 = 0.4 * std::f64::consts::PI / 180.0;
const STEP_M: f64 = 0.006;
const MOST_STEP_M: f64 = 0.010;
/// Idlers before the trouble that are shifted, the nearest being the first.
const NEAREST: usize = 2;
const FARTHEST: usize = 4;

/// Which idlers to shift: how many stations before the trouble each is, and about how far from the tail pulley, in m.
/// Those 2 to 4 stations upstream, but neither the one beside the pulley that the strand comes from nor any beyond
/// it. `place_m` and `centres_m` are counted from the tail pulley.
pub fn idlers(strand: Strand, place_m: f64, centres_m: f64, pitch_m: f64) -> Vec<(usize, f64)> {
    let before_m = match strand {
        Strand::Carry => place_m,
        Strand::Return => centres_m - place_m,
    };
    (NEAREST..=FARTHEST)
        .filter_map(|station| {
            let back_m = station as f64 * pitch_m;
            // The idler beside the pulley stands up to about one pitch from it.
            (before_m - back_m >= 1.5 * pitch_m).then(|| {
                let along_m = match strand {
                    Strand::Carry => place_m - back_m,
                    Strand::Return => place_m + back_m,
                };
                (station, along_m)
            })
        })
        .collect()
}

/// How far to shift one end in one step, in m: 0.4 degrees over the feet, in whole millimetres and at most 10 mm;
/// 6 mm when the feet are not known.
pub fn step_m(foot_spacing_m: Option<f64>) -> f64 {
    foot_spacing_m.map_or(STEP_M, |feet| {
        let millimetres = (feet * STEP_RAD.tan() * 1000.0).round();
        (millimetres / 1000.0).clamp(0.001, MOST_STEP_M)
    })
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    if setting.facts.reversing() == Some(true) {
        return Err(Amiss::all(say!(
            "A reversing belt is not trimmed: a skewed idler that helps one way harms the other way. Set every idler dead square and untilted."
        )));
    }
    if let Some(class @ (ConveyorClass::Flat | ConveyorClass::Package)) = setting.facts.class() {
        return Ok(by_its_manual(class));
    }
    let asked = asked(readings)?;
    if let Some(width_m) = asked.width_m
        && asked.drift_m >= width_m
    {
        return Err(Amiss::with(
            key::DRIFT,
            say!(
                "The belt would be off by its whole width of ",
                Quantity::of(Kind::Length, width_m),
                ". Check the number and its unit."
            ),
        ));
    }
    let idlers = idlers(asked.strand, asked.place_m, asked.centres_m, asked.pitch_m);
    let (Some(&(first, _)), Some(&(last, _))) = (idlers.first(), idlers.last()) else {
        return Err(too_near(&asked));
    };
    let step_m = step_m(asked.feet_m);
    let limit = allowance(&asked, setting);
    let verdict = Verdict::of(asked.drift_m, limit.size.si(), asked.error_m);
    let step = Quantity::of(Kind::Length, step_m);
    let which = stations(first, last);
    let figure = |id, what, size, mark: Basis| Figure {
        id,
        what,
        size,
        error: None,
        limit: None,
        verdict: Verdict::NoLimit,
        mark: mark.into(),
    };
    let mut figures = vec![
        figure(
            "step",
            say!("one step, at the ", asked.side, " end"),
            step,
            Basis::Derived(
                "0.4 degrees of skew, which is 6 mm at one end on 0.9 m; books say only: small",
            ),
        ),
        figure(
            "idlers",
            say!("idlers to shift: ", which.clone(), " before the trouble"),
            Quantity::Number(idlers.len() as f64),
            Basis::Published(
                "tracking-card",
                "tracking procedure: 2 to 3 rolls before; the 4th is derived",
            ),
        ),
        Figure {
            id: "drift",
            what: say!("drift to the ", asked.side),
            size: Quantity::of(Kind::Length, asked.drift_m),
            error: Some(Quantity::of(Kind::Length, asked.error_m)),
            limit: Some(limit),
            verdict,
            mark: Basis::Derived("as it was read").into(),
        },
    ];
    if let Some(feet_m) = asked.feet_m {
        figures.push(figure(
            "angle",
            say!("skew of one step"),
            Quantity::of(Kind::Angle, (step_m / feet_m).atan()),
            Basis::Derived("step over the distance between the feet"),
        ));
    }
    if let Some(turn_s) = asked.turn_s {
        figures.push(figure(
            "watch",
            say!("three belt turns: watch this long after each step"),
            Quantity::of(Kind::Time, 3.0 * turn_s),
            Basis::Published("tracking-rules", "rule 7"),
        ));
    }
    Ok(Outcome {
        says: says(&asked, verdict, step, &which),
        verdict,
        figures,
        tells: Vec::new(),
        work: if verdict == Verdict::Within { Vec::new() } else { steps(&asked, &idlers, step) },
        notes: notes(&asked, setting),
        amount: None,
        plot: None,
    })
}

/// The limit on drift: the smaller of both, as far as they are known.
fn allowance(asked: &Asked, setting: &Setting) -> Limit {
    let fixed = setting.limit(&TRIM_DRIFT);
    let share = setting.limit(&TRIM_DRIFT_SHARE);
    let share = asked.width_m.map(|width_m| over(share, width_m));
    share.filter(|share| share.size.si() < fixed.size.si()).unwrap_or(fixed)
}
