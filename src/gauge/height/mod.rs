//! How high an idler stands against the line through its two neighbours, and whether one of its ends is low.
//!
//! A rise is above nothing when the idler stands high. A tilt is above nothing when the LEFT end is the higher one.

mod asked;
pub(crate) mod key;
mod told;

use std::collections::BTreeSet;

use super::asked::Asked;
use super::limits::{Limit, shipped};
use super::{
    Amiss, Basis, CanTell, Figure, Gauge, Kind, Outcome, Readings, Setting, Tell, Verdict, read_by,
};
use crate::say;
use crate::trade::Side;
use asked::Bigger;

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "height",
    title: "Idler height against its neighbours",
    about: "Tells which idler stands high, low or tilted against the two beside it, and how much to shim.",
    ways: &[asked::LEVEL],
    tells: &[
        Tell { id: "stands", words: &["alike", "high", "low"] },
        Tell { id: "low-side", words: &["level", "left", "right"] },
    ],
    limits: shipped::OF_HEIGHT,
    foretell,
    work,
};

/// No idler stands further off its neighbours, m.
const FURTHEST_M: f64 = 0.5;
/// What the error of one reading comes to in the mean of both ends, for an idler half way between its neighbours.
const OF_THREE: f64 = 0.866_025_403_784_438_6;

/// What the heights tell, idler by idler at the conveyor's own pitch.
fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let error_m = Asked::of(readings, setting).error(&asked::ERROR, &read_by::LEVEL).ok()?;
    let across = setting.limit(&shipped::IDLER_ACROSS);
    let off_m = 2.0 * OF_THREE * error_m;
    let of_across = CanTell::of("level of an idler across", Kind::Length, off_m, across);
    let Some(pitch_m) = setting.dimension("idlers.carry_pitch").filter(|it| *it > 0.0) else {
        return Some(of_across);
    };
    let rise = setting.limit(&shipped::IDLER_HEIGHT).over(pitch_m);
    let of_rise = CanTell::of("height of an idler", Kind::Length, OF_THREE * error_m, rise);
    // The one that tells less.
    let share = |it: &CanTell| it.share().unwrap_or_default();
    Some(if share(&of_rise) > share(&of_across) { of_rise } else { of_across })
}

/// An idler between its neighbours.
struct Idler {
    name: String,
    /// How high it stands against them.
    rise_m: f64,
    rise_error_m: f64,
    /// The mean distance to both.
    pitch_m: f64,
    rise_limit: Limit,
    rise: Verdict,
    /// How much higher its left end is against theirs.
    tilt_m: f64,
    tilt_error_m: f64,
    tilt: Verdict,
}

impl Idler {
    /// The end that is lower.
    fn low(&self) -> Side {
        Side::of_sign(-self.tilt_m).unwrap_or(Side::Left)
    }
}

/// An idler as it was read.
struct Read {
    name: String,
    at_m: f64,
    ends_m: [f64; 2],
}

fn reads(asked: &Asked) -> Result<Vec<Read>, Amiss> {
    let sign = match asked.choice(&asked::BIGGER)? {
        Bigger::Higher => 1.0,
        Bigger::Lower => -1.0,
    };
    let mut names = BTreeSet::new();
    let mut reads: Vec<Read> = Vec::new();
    for row in asked.rows() {
        let (name, at_m) = (row.name(&asked::IDLER)?.to_owned(), row.must(&asked::AT)?);
        if !names.insert(name.clone()) {
            return Err(row.amiss(
                &asked::IDLER,
                say!("this idler is given twice: keep one of its readings, or name them apart"),
            ));
        }
        if reads.last().is_some_and(|before| at_m - before.at_m < 0.05) {
            return Err(row.amiss(
                &asked::AT,
                say!("idlers must run on from the tail, each further than the one before it"),
            ));
        }
        let ends_m = [sign * row.must(&asked::LEFT)?, sign * row.must(&asked::RIGHT)?];
        reads.push(Read { name, at_m, ends_m });
    }
    Ok(reads)
}

/// The idler in the middle of three.
fn between(three: &[Read], error_m: f64, setting: &Setting) -> Option<Result<Idler, Amiss>> {
    let [before, here, after] = three else {
        return None;
    };
    let long_m = after.at_m - before.at_m;
    let part = (here.at_m - before.at_m) / long_m;
    let [left_m, right_m] = [0, 1].map(|end| {
        let of = |read: &Read| read.ends_m.get(end).copied().unwrap_or_default();
        of(here) - of(before) * (1.0 - part) - of(after) * part
    });
    // The readings of all three idlers count, the neighbours' by their share.
    let three_m = error_m * 1.0_f64.hypot(part).hypot(1.0 - part);
    let (rise_m, tilt_m) = (f64::midpoint(left_m, right_m), left_m - right_m);
    if left_m.abs().max(right_m.abs()) > FURTHEST_M {
        return Some(Err(Amiss::with(
            key::LEFT,
            say!(format!(
                "idler {} cannot stand that far off its neighbours: read all three again",
                here.name
            )),
        )));
    }
    let (rise_error_m, tilt_error_m) = (three_m / 2.0_f64.sqrt(), three_m * 2.0_f64.sqrt());
    let pitch_m = long_m / 2.0;
    let rise_limit = setting.limit(&shipped::IDLER_HEIGHT).over(pitch_m);
    let across_m = setting.limit(&shipped::IDLER_ACROSS).size.si();
    Some(Ok(Idler {
        name: here.name.clone(),
        rise: Verdict::of(rise_m, rise_limit.size.si(), rise_error_m),
        tilt: Verdict::of(tilt_m, across_m, tilt_error_m),
        rise_m,
        rise_error_m,
        pitch_m,
        rise_limit,
        tilt_m,
        tilt_error_m,
    }))
}

/// The idlers furthest off: by height, and by tilt.
struct Worst<'i> {
    rise: &'i Idler,
    tilt: &'i Idler,
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let asked = Asked::of(readings, setting);
    let error_m = asked.error(&asked::ERROR, &read_by::LEVEL)?;
    let reads = reads(&asked)?;
    let idlers: Vec<Idler> = reads
        .windows(3)
        .filter_map(|three| between(three, error_m, setting))
        .collect::<Result<_, _>>()?;
    let by_share = |it: &&Idler| it.rise_m.abs() / it.pitch_m;
    let rise = idlers.iter().max_by(|a, b| by_share(a).total_cmp(&by_share(b)));
    let tilt = idlers.iter().max_by(|a, b| a.tilt_m.abs().total_cmp(&b.tilt_m.abs()));
    let (Some(rise), Some(tilt)) = (rise, tilt) else {
        return Err(Amiss::all(say!(
            "one idler and both its neighbours are needed: read three at least"
        )));
    };
    let worst = Worst { rise, tilt };
    let line = Basis::Derived("height over the straight line through both neighbours");
    let what = say!(format!("idler {} against its neighbours, plus: it stands high", rise.name));
    let height = Figure::of("rise", what, Kind::Length, rise.rise_m, line)
        .off_by(Kind::Length, rise.rise_error_m)
        .against(rise.rise_limit);
    let share = Figure::of(
        "rise-share",
        say!("that is, of the distance between idlers"),
        Kind::Percent,
        rise.rise_m.abs() / rise.pitch_m,
        line,
    )
    .off_by(Kind::Percent, rise.rise_error_m / rise.pitch_m);
    let what = say!(
        format!("idler {} across, against its neighbours, plus: its ", tilt.name),
        Side::Left,
        " end is higher"
    );
    let across = Figure::of("across", what, Kind::Length, tilt.tilt_m, line)
        .off_by(Kind::Length, tilt.tilt_error_m)
        .against(setting.limit(&shipped::IDLER_ACROSS));
    let verdict = height.verdict.worse(across.verdict);
    Ok(Outcome {
        says: told::says(&worst, &[&height, &across]),
        verdict,
        tells: vec![("stands", stands(rise)), ("low-side", low_side(tilt))],
        work: told::work(&worst),
        amount: told::amount(&worst),
        notes: told::notes(&worst),
        plot: Some(told::plot(&idlers)),
        figures: vec![height, share, across],
    })
}

fn stands(worst: &Idler) -> Option<&'static str> {
    match worst.rise {
        Verdict::Within => Some("alike"),
        Verdict::Beyond => Some(if worst.rise_m > 0.0 { "high" } else { "low" }),
        Verdict::TooClose | Verdict::NoLimit => None,
    }
}

fn low_side(worst: &Idler) -> Option<&'static str> {
    match worst.tilt {
        Verdict::Within => Some("level"),
        Verdict::Beyond => Some(worst.low().id()),
        Verdict::TooClose | Verdict::NoLimit => None,
    }
}
