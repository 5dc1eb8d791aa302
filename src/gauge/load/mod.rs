//! The gauge `load`: where the load lies on the belt, and how far it could push the belt at most.
//!
//! In a smooth trough belt and load together seek the bottom with their common centre of gravity, so a load whose
//! middle lies `e` to one side can push the belt by no more than `e * mG / (mG + mB)` to the other (derived; the
//! published rule gives the direction only).

mod asked;
pub(crate) mod key;
mod told;

use super::asked::{Asked, length, share};
use super::limits::shipped;
use super::{
    Amiss, Basis, CanTell, Figure, Gauge, Kind, Limit, Outcome, Readings, Setting, Tell, Verdict,
    plots, read_by,
};
use crate::say;
use crate::trade::Side;
use asked::{BARE_LEFT, BARE_RIGHT, BELT, ERROR, LOAD, OFFSET, SIDE, TROUGH, Trough, WIDTH};

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "load",
    title: "Where the load lies",
    about: "Says how far off the belt's middle the load lies, and which way and how far at most it pushes the belt.",
    ways: asked::WAYS,
    tells: &[Tell { id: "lies", words: &["centred", "left", "right"] }],
    limits: shipped::OF_LOAD,
    foretell,
    work,
};

/// How far a load whose middle lies `offset_m` off the belt's middle (left positive) could push a troughed belt at
/// most: the other way, by the share of the load in the mass of both. Masses in kg/m.
pub fn bound_m(offset_m: f64, load_kg_per_m: f64, belt_kg_per_m: f64) -> f64 {
    -offset_m * load_kg_per_m / (load_kg_per_m + belt_kg_per_m)
}

/// How far the load's middle lies to the left of the belt's, from the bare belt on both sides, all in m.
pub fn offset_m(bare_left_m: f64, bare_right_m: f64) -> f64 {
    (bare_right_m - bare_left_m) / 2.0
}

/// Where the load lies.
struct Laid {
    offset_m: f64,
    error_m: f64,
    width_m: f64,
    /// Of the load and of the belt.
    masses: Option<(f64, f64)>,
    /// What the belt lies in, if that is known.
    trough: Option<Trough>,
}

impl Laid {
    /// How far it could push a troughed belt at most.
    fn bound_m(&self) -> f64 {
        self.masses.map_or(-self.offset_m, |(load, belt)| bound_m(self.offset_m, load, belt))
    }
}

fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let asked = Asked::of(readings, setting);
    let width_m = asked.may(&WIDTH).ok()??;
    let limit = setting.limit(&shipped::LOAD_OFFSET).over(width_m);
    let off_m = error_m(&asked).ok()?;
    Some(CanTell::of("where the load lies", Kind::Length, off_m, limit))
}

/// Two independent readings, each with half the weight; or one.
fn error_m(asked: &Asked) -> Result<f64, Amiss> {
    let error_m = asked.error(&ERROR, &read_by::HEAP)?;
    Ok(if asked::is_edges(asked) { error_m / 2.0_f64.sqrt() } else { error_m })
}

fn laid(asked: &Asked) -> Result<Laid, Amiss> {
    let width_m = asked.must(&WIDTH)?;
    let offset_m = if asked::is_edges(asked) {
        let (left, right) = (asked.must(&BARE_LEFT)?, asked.must(&BARE_RIGHT)?);
        if left + right >= width_m {
            return Err(Amiss::with(
                if left > right { BARE_LEFT.key } else { BARE_RIGHT.key },
                say!(
                    "The bare belt on both sides is ",
                    length(left + right),
                    ", and the belt is only ",
                    length(width_m),
                    " wide. Measure again."
                ),
            ));
        }
        offset_m(left, right)
    } else {
        let off = asked.must(&OFFSET)?;
        if off >= width_m / 2.0 {
            return Err(Amiss::with(
                OFFSET.key,
                say!(
                    "The load's middle would lie beyond the edge: half the belt is ",
                    length(width_m / 2.0),
                    ". Check the number and its unit."
                ),
            ));
        }
        match asked.side(&SIDE)? {
            Side::Left => off,
            Side::Right => -off,
        }
    };
    let by_file = || {
        let troughed = asked.setting.facts.troughed()?;
        Some(if troughed { Trough::Troughed } else { Trough::Flat })
    };
    Ok(Laid {
        offset_m,
        error_m: error_m(asked)?,
        width_m,
        masses: asked.may(&LOAD)?.zip(asked.may(&BELT)?),
        trough: asked.chosen(&TROUGH).or_else(by_file),
    })
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let laid = laid(&Asked::of(readings, setting))?;
    let limit = setting.limit(&shipped::LOAD_OFFSET);
    let figures = figures(&laid, limit);
    let verdict = figures.first().map_or(Verdict::NoLimit, |figure| figure.verdict);
    let side = Side::of_sign(laid.offset_m);
    let lies = match (verdict, side) {
        (Verdict::Within, _) => Some("centred"),
        (Verdict::Beyond, Some(side)) => Some(side.id()),
        _ => None,
    };
    let shown = figures.iter().filter(|figure| figure.id != "offset-share");
    let bars = shown.map(|figure| (figure.what.clone(), figure.size)).collect();
    Ok(Outcome {
        says: told::says(&laid, figures.first(), verdict),
        verdict,
        tells: vec![("lies", lies)],
        work: match (verdict, side) {
            (Verdict::Beyond, Some(side)) => vec![say!(
                "At the loading point, with the belt locked out: set chute, deflector or skirts so that the load lands ",
                length(laid.offset_m.abs()),
                " further to the ",
                side.other(),
                "."
            )],
            _ => Vec::new(),
        },
        notes: told::notes(&laid),
        amount: None,
        plot: Some(plots::bars("how far to the left", bars)),
        figures,
    })
}

fn figures(laid: &Laid, limit: Limit) -> Vec<Figure> {
    let half = Basis::Derived("half the difference of the bare belt on both sides");
    let what = say!("load's middle off the belt's, to the ", Side::Left);
    let offset = Figure::of("offset", what, Kind::Length, laid.offset_m, half)
        .off_by(Kind::Length, laid.error_m)
        .against(limit.over(laid.width_m));
    let share_of = Basis::Derived("load's offset over belt width");
    let what = say!("the same as a share of belt width");
    let of_width = |size_m: f64| share(size_m / laid.width_m).si();
    let share = Figure::of("offset-share", what, Kind::Percent, of_width(laid.offset_m), share_of)
        .off_by(Kind::Percent, of_width(laid.error_m))
        .against(limit);
    let mut figures = vec![offset, share];
    if laid.trough != Some(Trough::Flat) {
        let seeks = Basis::Derived(
            "the common centre of gravity of belt and load seeks the bottom of the trough",
        );
        let what = say!("shift of a troughed belt at most, to the ", Side::Left);
        figures.push(
            Figure::of("bound", what, Kind::Length, laid.bound_m(), seeks)
                .off_by(Kind::Length, laid.error_m),
        );
    }
    figures
}
