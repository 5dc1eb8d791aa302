//! The gauge `trim`: how far to shift which idlers, which end, which way, and how long to watch.

mod asked;
pub(crate) mod key;
mod told;

use super::asked::{Asked, length};
use super::limits::shipped;
use super::{
    Amiss, Basis, CanTell, Figure, Gauge, Kind, Limit, Outcome, Readings, Setting, Verdict, read_by,
};
use crate::say;
use crate::trade::{ConveyorClass, Strand};
use asked::{DRIFT, PLACE, Run, run};
use told::{by_its_manual, notes, says, stations, steps, too_near};

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "trim",
    title: "Trimming idlers, step by step",
    about: "Says which idlers to shift for a belt that runs off, which end, which way, how far, and how long to watch.",
    ways: &[asked::WAY],
    tells: &[],
    limits: shipped::OF_TRIM,
    foretell,
    work,
};

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

/// Whether this conveyor may be trimmed at all, or its manual rules.
fn by_hand(setting: &Setting) -> Result<Option<Outcome>, Amiss> {
    if setting.facts.reversing() == Some(true) {
        return Err(Amiss::all(say!(
            "A reversing belt is not trimmed: a skewed idler that helps one way harms the other way. Set every idler dead square and untilted."
        )));
    }
    Ok(match setting.facts.class() {
        Some(class @ (ConveyorClass::Flat | ConveyorClass::Package)) => Some(by_its_manual(class)),
        _ => None,
    })
}

/// How far a drift may be misjudged, against what may be left.
fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let asked = Asked::of(readings, setting);
    let error_m = asked.error(&asked::ERROR, &read_by::BY_EYE).ok()?;
    let limit = allowance(asked.may(&asked::WIDTH).ok()?, setting);
    let better = say!("Or judge it on a photograph with something of known size in it.");
    let told = CanTell::of("how far the belt runs off", Kind::Length, error_m, limit);
    by_hand(setting).ok()?.is_none().then(|| told.better(better))
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    if let Some(outcome) = by_hand(setting)? {
        return Ok(outcome);
    }
    let run = run(&Asked::of(readings, setting))?;
    if let Some(width_m) = run.width_m
        && run.drift_m >= width_m
    {
        return Err(Amiss::with(
            DRIFT.key,
            say!(
                "The belt would be off by its whole width of ",
                length(width_m),
                ". Check the number and its unit."
            ),
        ));
    }
    let idlers = idlers(run.strand, run.place_m, run.centres_m, run.pitch_m);
    let (Some(&(first, _)), Some(&(last, _))) = (idlers.first(), idlers.last()) else {
        return Err(too_near(&run));
    };
    let step_m = step_m(run.feet_m);
    let which = stations(first, last);
    let drift = Figure::of(
        "drift",
        say!("drift to the ", run.side),
        Kind::Length,
        run.drift_m,
        Basis::Derived("as it was read"),
    )
    .off_by(Kind::Length, run.error_m)
    .against(allowance(run.width_m, setting));
    let verdict = drift.verdict;
    let step = length(step_m);
    Ok(Outcome {
        says: says(&run, &drift, step, &which),
        verdict,
        figures: figures(&run, drift, step_m, (idlers.len(), &which)),
        tells: Vec::new(),
        work: if verdict == Verdict::Within { Vec::new() } else { steps(&run, &idlers, step) },
        notes: notes(&run, setting),
        amount: None,
        plot: None,
    })
}

fn figures(run: &Run, drift: Figure, step_m: f64, (count, which): (usize, &str)) -> Vec<Figure> {
    let mut figures = vec![
        Figure::of(
            "step",
            say!("one step, at the ", run.side, " end"),
            Kind::Length,
            step_m,
            Basis::Derived(
                "0.4 degrees of skew, which is 6 mm at one end on 0.9 m; books say only: small",
            ),
        ),
        Figure::of(
            "idlers",
            say!(format!("{} idlers to shift: {which} before the trouble", run.strand.name())),
            Kind::Number,
            count as f64,
            Basis::Published(
                "tracking-card",
                "tracking procedure: 2 to 3 rolls before; the 4th is derived",
            ),
        ),
        drift,
    ];
    if let Some(feet_m) = run.feet_m {
        figures.push(Figure::of(
            "angle",
            say!("skew of one step"),
            Kind::Angle,
            (step_m / feet_m).atan(),
            Basis::Derived("step over the distance between the feet"),
        ));
    }
    if let Some(turn_s) = run.turn_s {
        figures.push(Figure::of(
            "watch",
            say!("three belt turns: watch this long after each step"),
            Kind::Time,
            3.0 * turn_s,
            Basis::Published("tracking-rules", "rule 7"),
        ));
    }
    figures
}

/// The limit on drift: the smaller of both, as far as they are known.
fn allowance(width_m: Option<f64>, setting: &Setting) -> Limit {
    let fixed = setting.limit(&shipped::TRIM_DRIFT);
    let share = width_m.map(|width_m| setting.limit(&shipped::TRIM_DRIFT_SHARE).over(width_m));
    share.filter(|share| share.size.si() < fixed.size.si()).unwrap_or(fixed)
}
