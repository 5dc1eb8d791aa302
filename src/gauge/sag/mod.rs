//! Sag: how deep a strand hangs between two idlers, what pull that means, and whether the pull is enough.

mod asks;
mod judged;
pub(crate) mod key;
mod mending;
pub mod model;
mod told;

use super::limits::Shipped;
use super::readings::Keyed;
use super::tension::{self, Holds};
use super::{Amiss, Basis, Gauge, Kind, Outcome, Readings, Rows, Setting, Tell, Way, asked, known};
use crate::say;
use crate::trade::Strand;
use crate::trade::{Lagging, MachineState, TakeUp};
use asks::{
    CARRY_PITCH, CARRY_SPACING, CENTRES, ERROR, FULL_LOAD, LAGGING, LOAD, MASS, MOTOR, PLACE, PULL,
    RATED, RETURN_SPACING, SAG, SPEED, WIDTH, WRAP,
};
use model::{Grip, Hang};

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "sag",
    title: "Sag and pull",
    about: "How deep the belt hangs between idlers, what pull that means, and whether it is slack, right or too tight.",
    ways: &[RETURN, CARRY],
    tells: &[Tell { id: "hang", words: &["usual", "too-little", "too-much"] }],
    limits: LIMITS,
    work,
};

const RETURN: Way = Way {
    id: "return",
    title: "Return strand, string and tape",
    state: MachineState::LockedOut,
    tools: &["string line", "tape"],
    how: &[
        "Stop, isolate, lock, tag, try. Block the take-up where it stands; do not ease it. Keep clear of a hung weight.",
        "Only with clean rolls that turn freely: drag looks like a want of pull.",
        "Choose three spans near the tail. At each, stretch a string from the top of one return roll to the top of \
         the next, beside the belt edge.",
        "Half way, measure from the string down to the belt. Measure the spacing of the rolls too.",
    ],
    drawing: &[
        "  roll       string       roll",
        "  (o)-----------------------(o)",
        "     '._        |        _.'",
        "        '-.___  | sag  .-'",
        "              '-V----'  belt",
        "  |<------- spacing ------->|",
    ],
    wanted: &[
        RETURN_SPACING,
        MASS,
        PULL,
        MOTOR,
        SPEED,
        WRAP,
        LAGGING,
        CARRY_PITCH,
        FULL_LOAD,
        WIDTH,
        RATED,
        asked::MODULUS,
        CENTRES,
        ERROR,
    ],
    rows: Some(SPANS),
};

const CARRY: Way = Way {
    id: "carry",
    title: "Carry strand, string and tape",
    state: MachineState::LockedOut,
    tools: &["string line", "tape"],
    how: &[
        "Stop, isolate, lock, tag, try. Block the take-up where it stands; do not ease it. Keep clear of a hung weight.",
        "Choose three spans where the pull is least. On a level conveyor that is near the tail, on one that climbs near the low end.",
        "At each, stretch a string over the belt edge from one idler to the next, at the same height over both.",
        "Half way, measure from the string down to the belt edge. Take off the height of the string over the idlers.",
        "Note how much load lies on the belt there; empty is best.",
    ],
    drawing: &[
        " idler       string       idler",
        "  \\_/-----------------------\\_/",
        "     '._        |        _.'",
        "        '-.___  | sag  .-'",
        "              '-V----'  belt edge",
        "  |<------- spacing ------->|",
    ],
    wanted: &[
        CARRY_SPACING,
        MASS,
        LOAD,
        PULL,
        MOTOR,
        SPEED,
        WRAP,
        LAGGING,
        FULL_LOAD,
        WIDTH,
        RATED,
        asked::MODULUS,
        CENTRES,
        ERROR,
    ],
    rows: Some(SPANS),
};

const SPANS: Rows = Rows { one: "span", least: 1, columns: &[PLACE, SAG] };

const FROM_ARTICLE: Basis =
    Basis::Published("tension-article", "return sag with a manual take-up: 25 to 75 mm at 3 m");

pub(super) const RETURN_SAG_LEAST: Shipped = Shipped {
    id: "return-sag-least",
    what: "sag of the return strand, the least",
    kind: Kind::Percent,
    si: 25.0 / 3_000.0,
    mark: FROM_ARTICLE,
};

pub(super) const RETURN_SAG_MOST: Shipped = Shipped {
    id: "return-sag-most",
    what: "sag of the return strand, the most",
    kind: Kind::Percent,
    si: 75.0 / 3_000.0,
    mark: FROM_ARTICLE,
};

pub(super) const CARRY_SAG_MOST: Shipped = Shipped {
    id: "carry-sag-most",
    what: "sag of the carry strand where the pull is least",
    kind: Kind::Percent,
    si: 0.02,
    mark: Basis::Published("cord-sag-page", "2 % of the pitch"),
};

pub(super) const CARRY_SAG_STEADY: Shipped = Shipped {
    id: "carry-sag-steady",
    what: "sag of the carry strand that is aimed at, running steadily",
    kind: Kind::Percent,
    si: 0.01,
    mark: Basis::Published("sag-excerpt", "1 % when running steadily"),
};

pub(super) const PULL_MARGIN: Shipped = Shipped {
    id: "pull-margin",
    what: "pull, times what grip and sag need",
    kind: Kind::Number,
    si: 2.0,
    mark: Basis::CommonPractice,
};

pub(super) const RATED_SHARE: Shipped = Shipped {
    id: "rated-share",
    what: "pull, of the belt's rated working tension",
    kind: Kind::Percent,
    si: 1.0,
    mark: Basis::Derived("the rating of the belt"),
};

/// The limits that its readings are held against.
pub(super) const LIMITS: &[&Shipped] = &[
    &RETURN_SAG_LEAST,
    &RETURN_SAG_MOST,
    &CARRY_SAG_MOST,
    &CARRY_SAG_STEADY,
    &PULL_MARGIN,
    &RATED_SHARE,
];

/// All that the outcome is worked out from.
struct Case {
    strand: Strand,
    hang: Hang,
    grip: Option<Grip>,
    /// Pull that keeps the loaded carry strand within its sag.
    carry_needs_n: Option<f64>,
    width_m: Option<f64>,
    rated_n_per_m: Option<f64>,
    /// Pull per travel of both screws, N/m.
    pull_per_travel: Option<f64>,
    holds: Holds,
    screws: bool,
    /// Whether the need for grip comes from the rating of the motor.
    of_motor: bool,
    error_given: bool,
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let strand = if readings.way == "carry" { Strand::Carry } else { Strand::Return };
    let hang = hang(readings, setting, strand)?;
    let take_up = setting.facts.take_up();
    let holds = Holds::of(take_up);
    let width_m = known::maybe(readings, setting, &WIDTH)?;
    let estimate = asked::modulus(readings, setting)?;
    let centres_m = known::maybe(readings, setting, &CENTRES)?;
    let pull_per_travel = match (estimate, width_m, centres_m) {
        (Some(estimate), Some(width_m), Some(centres_m)) => {
            Some(tension::rise_n(estimate.modulus_n_per_m, width_m, 1.0, centres_m))
        }
        _ => None,
    };
    let case = Case {
        strand,
        hang,
        grip: grip(readings, setting, holds)?,
        carry_needs_n: carry_needs(readings, setting, strand)?,
        width_m,
        rated_n_per_m: known::maybe(readings, setting, &RATED)?,
        pull_per_travel,
        holds,
        screws: take_up.is_none_or(|take_up| take_up == TakeUp::Screw),
        of_motor: known::maybe(readings, setting, &PULL)?.is_none(),
        error_given: readings.given(key::ERROR).is_some(),
    };
    Ok(told::outcome(&case, setting))
}

fn hang(readings: &Readings, setting: &Setting, strand: Strand) -> Result<Hang, Amiss> {
    let spacing = if strand == Strand::Carry { &CARRY_SPACING } else { &RETURN_SPACING };
    let spacing_m = known::must(readings, setting, spacing)?;
    let mut sags_m = Vec::with_capacity(readings.rows.len());
    for (row, span) in readings.rows.iter().enumerate() {
        let sag = span.si(key::SAG).filter(|sag| sag.is_finite() && *sag >= 0.0);
        let sag = sag.ok_or_else(|| {
            Amiss::at(row, key::SAG, say!("Give how deep the belt hangs here, nothing or more."))
        })?;
        if sag > spacing_m / 4.0 {
            return Err(Amiss::at(
                row,
                key::SAG,
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
    let mass = known::maybe(readings, setting, &MASS)?;
    let load =
        if strand == Strand::Carry { known::or(readings, setting, &LOAD, 0.0)? } else { 0.0 };
    Ok(Hang {
        spacing_m,
        sags_m,
        error_m: known::or(readings, setting, &ERROR, 0.002)?,
        mass_kg_per_m: mass.map(|mass| mass + load),
    })
}

/// What the drive needs on its slack side.
fn grip(readings: &Readings, setting: &Setting, holds: Holds) -> Result<Option<Grip>, Amiss> {
    let wrap_rad = known::or(readings, setting, &WRAP, std::f64::consts::PI)?;
    if !(1.0..=13.0).contains(&wrap_rad) {
        return Err(Amiss::with(
            key::WRAP,
            say!("No drive is wrapped by that angle: half a turn is 180 degrees."),
        ));
    }
    let motor = known::maybe(readings, setting, &MOTOR)?;
    let speed = known::maybe(readings, setting, &SPEED)?;
    let of_motor = match (motor, speed) {
        (Some(kilowatts), Some(speed)) => Some(tension::effective_n(kilowatts * 1000.0, speed)),
        _ => None,
    };
    let effective =
        known::maybe(readings, setting, &PULL)?.or(of_motor).filter(|pull| pull.is_finite());
    let lagging = known::chosen(readings, key::LAGGING).or(setting.facts.lagging());
    Ok(effective.map(|effective_n| Grip {
        effective_n,
        wrap_rad,
        lagged: lagging == Some(Lagging::Lagged),
        holds,
    }))
}

fn carry_needs(
    readings: &Readings,
    setting: &Setting,
    strand: Strand,
) -> Result<Option<f64>, Amiss> {
    let pitch = if strand == Strand::Carry { &CARRY_SPACING } else { &CARRY_PITCH };
    let parts = (
        known::maybe(readings, setting, pitch)?,
        known::maybe(readings, setting, &MASS)?,
        known::maybe(readings, setting, &FULL_LOAD)?,
    );
    let most = setting.limit(&CARRY_SAG_MOST).size.si();
    Ok(match parts {
        (Some(pitch_m), Some(belt), Some(load)) => {
            Some(tension::tension_of_sag(belt + load, pitch_m, most))
        }
        _ => None,
    })
}
