//! Sag: how deep a strand hangs between two idlers, what pull that means, and whether the pull is enough.

mod asked;
mod judged;
pub(crate) mod key;
mod mending;
pub mod model;
mod told;

use super::asked::{Asked, modulus};
use super::limits::shipped;
use super::tension::{self, Holds};
use super::{Amiss, CanTell, Gauge, Kind, Outcome, Readings, Setting, Tell, Wanted, read_by};
use crate::say;
use crate::trade::{Lagging, Strand, TakeUp};
use asked::{
    CARRY_PITCH, CARRY_SPACING, CENTRES, ERROR, FULL_LOAD, LAGGING, LOAD, MASS, MOTOR, PULL, RATED,
    RETURN_SPACING, SAG, SPEED, WIDTH, WRAP,
};
use model::{Grip, Hang};

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "sag",
    title: "Sag and pull",
    about: "How deep the belt hangs between idlers, what pull that means, and whether it is slack, right or too tight.",
    ways: &[asked::RETURN, asked::CARRY],
    tells: &[Tell { id: "hang", words: &["usual", "too-little", "too-much"] }],
    limits: shipped::OF_SAG,
    foretell,
    work,
};

/// All that the outcome is worked out from.
struct Case {
    strand: Strand,
    hang: Hang,
    /// What a carry strand would hang at full load, per what it hangs as it was measured; 1 if it carries that. Nothing if
    /// that cannot be told.
    loaded: Option<f64>,
    grip: Option<Grip>,
    /// Pull that keeps the loaded carry strand within its sag.
    carry_needs_n: Option<f64>,
    width_m: Option<f64>,
    rated_n_per_m: Option<f64>,
    centres_m: Option<f64>,
    /// Pull per travel of both screws by the stretch of the belt, N/m.
    pull_per_travel: Option<f64>,
    holds: Holds,
    screws: bool,
    /// Whether the need for grip comes from the rating of the motor.
    of_motor: bool,
    error_given: bool,
}

fn spacing(strand: Strand) -> &'static Wanted {
    if strand == Strand::Carry { &CARRY_SPACING } else { &RETURN_SPACING }
}

/// Half of what is usual is what a reading must tell.
fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let asked = Asked::of(readings, setting);
    let strand = asked::strand(&asked);
    let spacing_m = asked.may(spacing(strand)).ok()??;
    let error_m = asked.error(&ERROR, &read_by::HANGING).ok()?;
    let limit = match strand {
        Strand::Carry => setting.limit(&shipped::CARRY_SAG_MOST).over(spacing_m),
        Strand::Return => setting.limit(&shipped::RETURN_SAG_LEAST).over(spacing_m),
    };
    let better = say!("Or measure in a wider span, if there is one.");
    Some(CanTell::of("the sag of the strand", Kind::Length, error_m, limit).better(better))
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let asked = Asked::of(readings, setting);
    let strand = asked::strand(&asked);
    let take_up = setting.facts.take_up();
    let holds = Holds::of(take_up);
    let (width_m, centres_m) = (asked.may(&WIDTH)?, asked.may(&CENTRES)?);
    let pull_per_travel = match (modulus(&asked)?, width_m, centres_m) {
        (Some(estimate), Some(width_m), Some(centres_m)) => {
            Some(tension::rise_n(estimate.modulus_n_per_m, width_m, 1.0, centres_m))
        }
        _ => None,
    };
    let case = Case {
        strand,
        hang: hang(&asked, strand)?,
        loaded: loaded(&asked, strand)?,
        grip: grip(&asked, holds)?,
        carry_needs_n: carry_needs(&asked, strand)?,
        width_m,
        rated_n_per_m: asked.may(&RATED)?,
        centres_m,
        pull_per_travel,
        holds,
        screws: take_up.is_none_or(|take_up| take_up == TakeUp::Screw),
        of_motor: asked.may(&PULL)?.is_none(),
        error_given: asked.has(&ERROR),
    };
    Ok(told::outcome(&case, setting))
}

fn hang(asked: &Asked, strand: Strand) -> Result<Hang, Amiss> {
    let spacing_m = asked.must(spacing(strand))?;
    let mut sags_m = Vec::with_capacity(asked.length());
    for span in asked.rows() {
        let sag = span.must(&SAG)?;
        if sag > spacing_m / 4.0 {
            return Err(span.amiss(
                &SAG,
                say!(
                    "No belt on a conveyor hangs a quarter of its spacing: check sag, spacing and their units."
                ),
            ));
        }
        // Less than a thousandth of a millimetre is nothing.
        sags_m.push(if sag < 1e-6 { 0.0 } else { sag });
    }
    if sags_m.is_empty() {
        return Err(Amiss::all(say!("Measure one span at least, better three.")));
    }
    let load = if strand == Strand::Carry { asked.or(&LOAD, 0.0)? } else { 0.0 };
    Ok(Hang {
        spacing_m,
        sags_m,
        error_m: asked.error(&ERROR, &read_by::HANGING)?,
        mass_kg_per_m: asked.may(&MASS)?.map(|mass| mass + load),
    })
}

/// How much deeper a carry strand hangs at full load than as it was measured. Nothing if it is empty and the full load or
/// the belt's mass is not known: the limit is for a loaded one.
fn loaded(asked: &Asked, strand: Strand) -> Result<Option<f64>, Amiss> {
    if strand == Strand::Return {
        return Ok(Some(1.0));
    }
    let load = asked.or(&LOAD, 0.0)?;
    Ok(match (asked.may(&MASS)?, asked.may(&FULL_LOAD)?) {
        (Some(belt), Some(full)) => Some((belt + full.max(load)) / (belt + load)),
        _ if load > 0.0 => Some(1.0),
        _ => None,
    })
}

/// What the drive needs on its slack side.
fn grip(asked: &Asked, holds: Holds) -> Result<Option<Grip>, Amiss> {
    let wrap_rad = asked.or(&WRAP, std::f64::consts::PI)?;
    if !(1.0..=13.0).contains(&wrap_rad) {
        return Err(Amiss::with(
            WRAP.key,
            say!("No drive is wrapped by that angle: half a turn is 180 degrees."),
        ));
    }
    let of_motor = match (asked.may(&MOTOR)?, asked.may(&SPEED)?) {
        (Some(kilowatts), Some(speed)) => Some(tension::effective_n(kilowatts * 1000.0, speed)),
        _ => None,
    };
    let effective = asked.may(&PULL)?.or(of_motor).filter(|pull| pull.is_finite());
    let lagging = asked.chosen(&LAGGING).or(asked.setting.facts.lagging());
    Ok(effective.map(|effective_n| Grip {
        effective_n,
        wrap_rad,
        lagged: lagging == Some(Lagging::Lagged),
        holds,
    }))
}

fn carry_needs(asked: &Asked, strand: Strand) -> Result<Option<f64>, Amiss> {
    let pitch = if strand == Strand::Carry { &CARRY_SPACING } else { &CARRY_PITCH };
    let most = asked.setting.limit(&shipped::CARRY_SAG_MOST).size.si();
    Ok(match (asked.may(pitch)?, asked.may(&MASS)?, asked.may(&FULL_LOAD)?) {
        (Some(pitch_m), Some(belt), Some(load)) => {
            Some(tension::tension_of_sag(belt + load, pitch_m, most))
        }
        _ => None,
    })
}
