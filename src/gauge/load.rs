//! The gauge `load`: where the load lies on the belt, and how far it could push the belt at most.
//!
//! In a smooth trough belt and load together seek the bottom with their common centre of gravity, so a load whose
//! middle lies `e` to one side can push the belt by no more than `e * mG / (mG + mB)` to the other (derived; the
//! published rule gives the direction only).

use super::limits::{Limit, Shipped};
use super::outcome::{Bars, Figure, Outcome, Plot, Verdict};
use super::readings::{Amiss, Keyed, Kind, Need, Readings, Takes, Wanted};
use super::words::Words;
use super::{Basis, Gauge, Setting, Tell, Way};
use crate::conveyor::quantity::Quantity;
use crate::gauge::ReadingKey;
use crate::say;
use crate::trade::MachineState;
use crate::trade::Side;

/// The names of its readings.
pub(crate) mod key {
    pub(crate) use crate::gauge::key::{ERROR, OFFSET, WIDTH};
    use crate::gauge::readings::ReadingKey;

    pub(crate) const BARE_LEFT: ReadingKey = ReadingKey::new("bare_left");
    pub(crate) const BARE_RIGHT: ReadingKey = ReadingKey::new("bare_right");
    pub(crate) const BELT_MASS: ReadingKey = ReadingKey::new("belt_mass");
    pub(crate) const LOAD_MASS: ReadingKey = ReadingKey::new("load_mass");
    pub(crate) const SIDE: ReadingKey = ReadingKey::new("side");
    pub(crate) const TROUGH: ReadingKey = ReadingKey::new("trough");
}

const WIDTH: Wanted = Wanted {
    key: key::WIDTH,
    ask: "How wide is the belt?",
    takes: Takes::Positive(Kind::Length),
    from: Some("belt.width"),
    need: Need::Must,
};
const BELT: Wanted = Wanted {
    key: key::BELT_MASS,
    ask: "How heavy is the belt, per length?",
    takes: Takes::Positive(Kind::LineMass),
    from: Some("belt.mass"),
    need: Need::May("the belt is taken as weighing nothing: the bound is then larger"),
};
const LOAD: Wanted = Wanted {
    key: key::LOAD_MASS,
    ask: "How heavy is the load, per length?",
    takes: Takes::Positive(Kind::LineMass),
    from: Some("load.mass"),
    need: Need::May("the belt is taken as weighing nothing: the bound is then larger"),
};
const TROUGH: Wanted = Wanted {
    key: key::TROUGH,
    ask: "Does the belt lie in a trough or flat?",
    takes: Takes::Choice(&[
        ("troughed", "Troughed: the edges are higher than the middle"),
        ("flat", "Flat: on flat rolls or a deck"),
    ]),
    from: None,
    need: Need::May("taken from what is known of the conveyor, else both are said"),
};
const ERROR: Wanted = Wanted {
    key: key::ERROR,
    ask: "How far may one reading be off?",
    takes: Takes::NotNegative(Kind::Length),
    from: None,
    need: Need::May("taken as 10 mm"),
};

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "load",
    title: "Where the load lies",
    about: "Says how far off the belt's middle the load lies, and which way and how far at most it pushes the belt.",
    ways: &[
        Way {
            id: "edges",
            title: "bare belt left and right of the load, belt stopped",
            state: MachineState::LockedOut,
            tools: &["tape", "torch"],
            how: &[
                "Have the loaded belt stopped in the usual way; on a slope it must be held from running back. Lock out.",
                "Choose a spot past the skirts where you can stand safely and the load has settled.",
                "Measure across the belt, along its surface, from the {left} edge to where the load begins.",
                "Measure the same way from the {right} edge to where the load begins.",
                "Do it at 3 spots some metres apart and give the means.",
            ],
            drawing: &[
                "L  |<-a->____________<---b--->|  R",
                "   |    /    load    \\        |",
                "   +--------------------------+",
                "    a: bare left   b: bare right",
            ],
            wanted: &[
                Wanted {
                    key: key::BARE_LEFT,
                    ask: "How much belt is bare between the {left} edge and the load?",
                    takes: Takes::NotNegative(Kind::Length),
                    from: None,
                    need: Need::Must,
                },
                Wanted {
                    key: key::BARE_RIGHT,
                    ask: "How much belt is bare between the {right} edge and the load?",
                    takes: Takes::NotNegative(Kind::Length),
                    from: None,
                    need: Need::Must,
                },
                WIDTH,
                BELT,
                LOAD,
                TROUGH,
                ERROR,
            ],
            rows: None,
        },
        Way {
            id: "offset",
            title: "how far the load's middle lies off the belt's, from a photograph",
            state: MachineState::Running,
            tools: &["camera or phone"],
            how: &[
                "From outside the guards, touching nothing, photograph the loaded belt along its length, past the skirts.",
                "On the picture compare the bare belt on both sides of the load with the belt's whole width.",
                "Work out how far the load's middle lies off the belt's middle, and to which side. Watch a few minutes and take the usual place.",
            ],
            drawing: &[
                "L  |      ____________        |  R",
                "   |     /    load    \\       |",
                "   +-----------|--:-----------+",
                "        load's middle, belt's middle",
            ],
            wanted: &[
                Wanted {
                    key: key::SIDE,
                    ask: "To which side of the belt's middle does the load lie?",
                    takes: Takes::Side,
                    from: None,
                    need: Need::Must,
                },
                Wanted {
                    key: key::OFFSET,
                    ask: "How far is the load's middle off the belt's middle?",
                    takes: Takes::NotNegative(Kind::Length),
                    from: None,
                    need: Need::Must,
                },
                WIDTH,
                BELT,
                LOAD,
                TROUGH,
                ERROR,
            ],
            rows: None,
        },
    ],
    tells: &[Tell { id: "lies", words: &["centred", "left", "right"] }],
    limits: LIMITS,
    work,
};

pub(super) const LOAD_OFFSET: Shipped = Shipped {
    id: "load.offset",
    what: "load off the middle, as a share of belt width",
    kind: Kind::Percent,
    si: 0.05,
    // A load may not lie further off than the belt may wander; that allowance is itself from memory.
    mark: Basis::Memory,
};

/// The limits that its readings are held against.
pub(super) const LIMITS: &[&Shipped] = &[&LOAD_OFFSET];

const ERROR_M: f64 = 0.010;

/// How far a load whose middle lies `offset_m` off the belt's middle (left positive) could push a troughed belt at
/// most: the other way, by the share of the load in the mass of both. Masses in kg/m.
pub fn bound_m(offset_m: f64, load_kg_per_m: f64, belt_kg_per_m: f64) -> f64 {
    -offset_m * load_kg_per_m / (load_kg_per_m + belt_kg_per_m)
}

/// How far the load's middle lies to the left of the belt's, from the bare belt on both sides, all in m.
pub fn offset_m(bare_left_m: f64, bare_right_m: f64) -> f64 {
    (bare_right_m - bare_left_m) / 2.0
}

struct Laid {
    offset_m: f64,
    error_m: f64,
    width_m: f64,
    masses: Option<(f64, f64)>,
}

fn laid(readings: &Readings) -> Result<Laid, Amiss> {
    let must = |key: ReadingKey| {
        readings.si(key).filter(|size| size.is_finite() && *size >= 0.0).ok_or_else(|| {
            Amiss::with(key, say!("This is needed, and not below nothing: measure it."))
        })
    };
    let width_m = must(key::WIDTH)?;
    if width_m <= 0.0 {
        return Err(Amiss::with(key::WIDTH, say!("A belt has some width: measure across it.")));
    }
    let error_m = readings.si(key::ERROR).unwrap_or(ERROR_M);
    let (offset_m, error_m) = if readings.way == "edges" {
        let (left, right) = (must(key::BARE_LEFT)?, must(key::BARE_RIGHT)?);
        if left + right >= width_m {
            return Err(Amiss::with(
                if left > right { key::BARE_LEFT } else { key::BARE_RIGHT },
                say!(
                    "The bare belt on both sides is ",
                    Quantity::of(Kind::Length, left + right),
                    ", and the belt is only ",
                    Quantity::of(Kind::Length, width_m),
                    " wide. Measure again."
                ),
            ));
        }
        // Two independent readings, each with half the weight.
        (offset_m(left, right), error_m / 2.0_f64.sqrt())
    } else {
        let off = must(key::OFFSET)?;
        if off >= width_m / 2.0 {
            return Err(Amiss::with(
                key::OFFSET,
                say!(
                    "The load's middle would lie beyond the edge: half the belt is ",
                    Quantity::of(Kind::Length, width_m / 2.0),
                    ". Check the number and its unit."
                ),
            ));
        }
        let side = readings.side(key::SIDE).ok_or_else(|| {
            Amiss::with(key::SIDE, say!("To which side does the load lie: left or right?"))
        })?;
        (if side == Side::Left { off } else { -off }, error_m)
    };
    let masses = match (readings.si(key::LOAD_MASS), readings.si(key::BELT_MASS)) {
        (Some(load), Some(belt)) => {
            for (key, mass) in [(key::LOAD_MASS, load), (key::BELT_MASS, belt)] {
                if !mass.is_finite() || mass <= 0.0 {
                    return Err(Amiss::with(
                        key,
                        say!("A mass is above nothing: check the number and its unit."),
                    ));
                }
            }
            Some((load, belt))
        }
        _ => None,
    };
    Ok(Laid { offset_m, error_m, width_m, masses })
}

#[derive(Clone, Copy, PartialEq)]
enum Trough {
    Troughed,
    Flat,
    Unknown,
}

fn trough(readings: &Readings, setting: &Setting) -> Trough {
    match (readings.choice(key::TROUGH), setting.facts.troughed()) {
        (Some("troughed"), _) | (None, Some(true)) => Trough::Troughed,
        (Some("flat"), _) | (None, Some(false)) => Trough::Flat,
        _ => Trough::Unknown,
    }
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let laid = laid(readings)?;
    let shape = trough(readings, setting);
    let length = |size: f64| Quantity::of(Kind::Length, size);
    let share = |size: f64| Quantity::of(Kind::Percent, size);
    let limit = setting.limit(&LOAD_OFFSET);
    let verdict =
        Verdict::of(laid.offset_m / laid.width_m, limit.size.si(), laid.error_m / laid.width_m);
    let side = Side::of_sign(laid.offset_m);
    let lies = match (verdict, side) {
        (Verdict::Within, _) => Some("centred"),
        (Verdict::Beyond, Some(side)) => Some(side.id()),
        _ => None,
    };
    let bound =
        laid.masses.map_or(-laid.offset_m, |(load, belt)| bound_m(laid.offset_m, load, belt));
    let mut figures = vec![
        Figure {
            id: "offset",
            what: say!("load's middle off the belt's, to the ", Side::Left),
            size: length(laid.offset_m),
            error: Some(length(laid.error_m)),
            limit: Some(Limit { size: length(limit.size.si() * laid.width_m), ..limit }),
            verdict,
            mark: Basis::Derived("half the difference of the bare belt on both sides").into(),
        },
        Figure {
            id: "offset-share",
            what: say!("the same as a share of belt width"),
            size: share(laid.offset_m / laid.width_m),
            error: Some(share(laid.error_m / laid.width_m)),
            limit: Some(limit),
            verdict,
            mark: Basis::Derived("load's offset over belt width").into(),
        },
    ];
    if shape != Trough::Flat {
        figures.push(Figure {
            id: "bound",
            what: say!("shift of a troughed belt at most, to the ", Side::Left),
            size: length(bound),
            error: Some(length(laid.error_m)),
            limit: None,
            verdict: Verdict::NoLimit,
            mark: Basis::Derived(
                "the common centre of gravity of belt and load seeks the bottom of the trough",
            )
            .into(),
        });
    }
    Ok(Outcome {
        says: says(&laid, verdict, shape, bound),
        verdict,
        tells: vec![("lies", lies)],
        work: match (verdict, side) {
            (Verdict::Beyond, Some(side)) => vec![say!(
                "With the belt locked out, set chute, deflector or skirts so that the load lands ",
                length(laid.offset_m.abs()),
                " further to the ",
                side.other(),
                "."
            )],
            _ => Vec::new(),
        },
        notes: notes(&laid, shape),
        amount: None,
        plot: Some(Plot::Bars(Bars {
            what: "how far to the left",
            bars: figures
                .iter()
                .filter(|figure| figure.id != "offset-share")
                .map(|figure| (figure.what.clone(), figure.size))
                .collect(),
        })),
        figures,
    })
}

fn says(laid: &Laid, verdict: Verdict, shape: Trough, bound: f64) -> Words {
    let length = |size: f64| Quantity::of(Kind::Length, size);
    let Some(side) = Side::of_sign(laid.offset_m) else {
        return say!("The load lies in the middle.");
    };
    let off = length(laid.offset_m.abs());
    match (verdict, shape) {
        (Verdict::TooClose, _) => say!(
            "The load lies about ",
            off,
            " to the ",
            side,
            ": too close to call. Measure again at 3 spots and give the means."
        ),
        (Verdict::Within, _) => {
            say!("The load lies near enough the middle: ", off, " to the ", side, ".")
        }
        (_, Trough::Flat) => say!(
            "The load lies ",
            off,
            " to the ",
            side,
            ". A flat belt may creep to that side; how far is not known."
        ),
        (_, Trough::Troughed) => say!(
            "The load lies ",
            off,
            " to the ",
            side,
            ". It pushes the belt to the ",
            side.other(),
            ", by ",
            length(bound.abs()),
            " at most."
        ),
        (_, Trough::Unknown) => say!(
            "The load lies ",
            off,
            " to the ",
            side,
            ". In a trough it pushes the belt to the ",
            side.other(),
            ", by ",
            length(bound.abs()),
            " at most. A flat belt may creep to the ",
            side,
            "."
        ),
    }
}

fn notes(laid: &Laid, shape: Trough) -> Vec<Words> {
    let mut notes = Vec::new();
    if shape != Trough::Flat {
        notes.push(say!(
            "Believe the direction. The amount is an upper bound, reached only far down the conveyor if at all; grip on the middle roll makes it less."
        ));
        if laid.masses.is_none() {
            notes.push(say!(
                "Without the masses of belt and load the belt counts as weighing nothing, so the bound is the load's whole offset."
            ));
        }
    }
    if shape != Trough::Troughed {
        notes.push(say!(
            "That a flat belt creeps to the loaded side is one maker's help page only: watch which way it goes."
        ));
    }
    notes.push(say!(
        "On an old conveyor, years of trimmed idlers can look the same: true one way empty, another way loaded."
    ));
    notes
}
