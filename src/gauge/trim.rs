//! The gauge `trim`: how far to shift which idlers, which end, which way, and how long to watch.

use super::limits::Shipped;
use super::outcome::{Figure, Outcome, Verdict};
use super::readings::{Amiss, Keyed, Kind, Need, Readings, Takes, Wanted};
use super::trim_words::{by_its_manual, notes, says, stations, steps, too_near};
use super::words::Side;
use super::{Gauge, Mark, Setting, Way};
use crate::conveyor::quantity::Quantity;
use crate::rulebook::model::State;
use crate::say;

const fn may(
    key: &'static str,
    ask: &'static str,
    kind: Kind,
    from: &'static str,
    without: &'static str,
) -> Wanted {
    Wanted {
        key,
        ask,
        takes: Takes::Positive(kind),
        from: Some(from),
        need: Need::May(without),
    }
}

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "trim",
    title: "Trimming idlers, step by step",
    about: "Says which idlers to shift for a belt that runs off, which end, which way, how far, and how long to watch.",
    ways: &[Way {
        id: "drift",
        title: "how far the belt runs off, and where it is worst",
        state: State::Running,
        tools: &["torch", "watch", "paper"],
        how: &[
            "Trim last: clean rolls and pulleys, straight and level frame, square pulleys, equal take-up and square idlers come first.",
            "Run the belt empty. Stand outside the guards, touch nothing.",
            "Find the place where it is furthest off. Judge how far against something fixed, such as roll ends.",
            "Note the strand, the side it has run to, and how far the place is from the tail pulley along the conveyor.",
            "Time one belt turn: from a splice or patch passing until it passes again.",
        ],
        drawing: &[
            "tail   carry: travels this way >  head",
            " (o)==|=====|=====|=====|====*==(o)",
            "      4th   3rd   2nd   1st  trouble",
            " shift 2nd to 4th, leave the 1st",
            " L belt off to L: L ends with travel",
            " R belt off to R: R ends with travel",
        ],
        wanted: &[
            Wanted {
                key: "side",
                ask: "To which side has the belt run?",
                takes: Takes::Side,
                from: None,
                need: Need::Must,
            },
            Wanted {
                key: "drift",
                ask: "How far is it off centre where it is worst?",
                takes: Takes::NotNegative(Kind::Length),
                from: None,
                need: Need::Must,
            },
            Wanted {
                key: "strand",
                ask: "On which strand?",
                takes: Takes::Choice(&[
                    ("carry", "Carry strand: the top one, with the load"),
                    ("return", "Return strand: the bottom one, going back"),
                ]),
                from: None,
                need: Need::Must,
            },
            Wanted {
                key: "place",
                ask: "How far is the worst place from the tail pulley?",
                takes: Takes::NotNegative(Kind::Distance),
                from: None,
                need: Need::Must,
            },
            Wanted {
                key: "centres",
                ask: "How far is it from tail pulley to head pulley?",
                takes: Takes::Positive(Kind::Distance),
                from: Some("centres"),
                need: Need::Must,
            },
            may(
                "carry_pitch",
                "How far apart are the carry idlers?",
                Kind::Length,
                "idlers.carry_pitch",
                "needed for the carry strand",
            ),
            may(
                "return_pitch",
                "How far apart are the return idlers?",
                Kind::Length,
                "idlers.return_pitch",
                "needed for the return strand",
            ),
            may(
                "foot_spacing",
                "How far apart are the two feet of an idler, across the belt?",
                Kind::Length,
                "idlers.foot_spacing",
                "the step is 6 mm, and its angle is not shown",
            ),
            may(
                "belt_length",
                "How long is the belt, once round?",
                Kind::Distance,
                "belt.length",
                "taken as twice the centres",
            ),
            may(
                "speed",
                "How fast does the belt run?",
                Kind::Speed,
                "speed",
                "the time to watch is counted in belt turns",
            ),
            Wanted {
                key: "turn",
                ask: "How long does one belt turn take?",
                takes: Takes::Positive(Kind::Time),
                from: None,
                need: Need::May("worked out from belt length and speed"),
            },
            Wanted {
                key: "width",
                ask: "How wide is the belt?",
                takes: Takes::Positive(Kind::Length),
                from: Some("belt.width"),
                need: Need::May("held against 50 mm only"),
            },
            Wanted {
                key: "error",
                ask: "How far may the drift be misjudged?",
                takes: Takes::NotNegative(Kind::Length),
                from: None,
                need: Need::May("taken as 5 mm"),
            },
        ],
        rows: None,
    }],
    tells: &[],
    work,
};

/// The limits of this gauge.
pub(super) const LIMITS: &[Shipped] = &[
    Shipped {
        id: "trim.drift",
        what: "what a belt may wander",
        kind: Kind::Length,
        si: 0.050,
        mark: Mark::Memory,
    },
    Shipped {
        id: "trim.drift-share",
        what: "what a belt may wander, as a share of its width",
        kind: Kind::Percent,
        si: 0.05,
        mark: Mark::Memory,
    },
];

const ERROR_M: f64 = 0.005;
/// The skew of one step: 0.4 degrees, which is 6 mm at one end on 0.9 m between the feet.
const STEP_RAD: f64 = 0.4 * std::f64::consts::PI / 180.0;
const STEP_M: f64 = 0.006;
const MOST_STEP_M: f64 = 0.010;
/// Idlers before the trouble that are shifted, the nearest being the first.
const NEAREST: usize = 2;
const FARTHEST: usize = 4;

/// A strand of the belt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Strand {
    /// The top one, travelling toward the head.
    Carry,
    /// The bottom one, travelling toward the tail.
    Return,
}

impl Strand {
    /// Where it travels to.
    pub fn toward(self) -> &'static str {
        match self {
            Self::Carry => "head",
            Self::Return => "tail",
        }
    }

    /// Where it comes from.
    pub fn from(self) -> &'static str {
        match self {
            Self::Carry => "tail",
            Self::Return => "head",
        }
    }

    /// What it is called.
    pub fn name(self) -> &'static str {
        match self {
            Self::Carry => "carry",
            Self::Return => "return",
        }
    }
}

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

/// How long three belt turns take, in s.
pub fn watch_s(belt_length_m: f64, speed_m_per_s: f64) -> f64 {
    3.0 * belt_length_m / speed_m_per_s
}

/// What was asked, checked.
pub(super) struct Asked {
    pub(super) side: Side,
    pub(super) drift_m: f64,
    pub(super) error_m: f64,
    pub(super) strand: Strand,
    pub(super) place_m: f64,
    pub(super) centres_m: f64,
    pub(super) pitch_m: f64,
    pub(super) feet_m: Option<f64>,
    pub(super) turn_s: Option<f64>,
    pub(super) turn_is_guess: bool,
    pub(super) width_m: Option<f64>,
}

fn asked(readings: &Readings) -> Result<Asked, Amiss> {
    let must = |key: &'static str| {
        readings
            .si(key)
            .filter(|size| size.is_finite() && *size >= 0.0)
            .ok_or_else(|| {
                Amiss::with(
                    key,
                    say!("This is needed, and not below nothing: measure it."),
                )
            })
    };
    let may = |key: &'static str| match readings.si(key) {
        None => Ok(None),
        Some(size) if size.is_finite() && size > 0.0 => Ok(Some(size)),
        Some(_) => Err(Amiss::with(
            key,
            say!("This must be above nothing: check the number and its unit."),
        )),
    };
    let side = readings.side("side").ok_or_else(|| {
        Amiss::with(
            "side",
            say!("To which side has the belt run: left or right?"),
        )
    })?;
    let (strand, pitch_key) = match readings.choice("strand") {
        Some("carry") => (Strand::Carry, "carry_pitch"),
        Some("return") => (Strand::Return, "return_pitch"),
        _ => {
            return Err(Amiss::with(
                "strand",
                say!("On which strand: carry or return?"),
            ));
        }
    };
    let centres_m = must("centres")?;
    let place_m = must("place")?;
    if place_m > centres_m {
        return Err(Amiss::with(
            "place",
            say!(
                "The place lies beyond the head pulley, which is ",
                Quantity::of(Kind::Distance, centres_m),
                " from the tail. Count from the tail pulley."
            ),
        ));
    }
    let pitch_m = may(pitch_key)?.ok_or_else(|| {
        Amiss::with(
            pitch_key,
            say!("Measure how far apart the idlers of that strand stand: it says which ones to shift."),
        )
    })?;
    let (length_m, speed) = (may("belt_length")?, may("speed")?);
    if let Some(length_m) = length_m
        && length_m < 2.0 * centres_m
    {
        return Err(Amiss::with(
            "belt_length",
            say!(
                "The belt would be shorter than twice the centres. Give its length once round: at least ",
                Quantity::of(Kind::Distance, 2.0 * centres_m),
                "."
            ),
        ));
    }
    let turn_s = may("turn")?;
    Ok(Asked {
        side,
        drift_m: must("drift")?,
        error_m: readings.si("error").unwrap_or(ERROR_M),
        strand,
        place_m,
        centres_m,
        pitch_m,
        feet_m: may("foot_spacing")?,
        turn_s: turn_s.or_else(|| speed.map(|speed| length_m.unwrap_or(2.0 * centres_m) / speed)),
        turn_is_guess: turn_s.is_none() && length_m.is_none(),
        width_m: may("width")?,
    })
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    if setting.fact("reversing") == Some("yes") {
        return Err(Amiss::all(say!(
            "A reversing belt is not trimmed: a skewed idler that helps one way harms the other way. Set every idler dead square and untilted."
        )));
    }
    if let Some(class @ ("flat" | "package")) = setting.fact("class") {
        return Ok(by_its_manual(class));
    }
    let asked = asked(readings)?;
    if let Some(width_m) = asked.width_m
        && asked.drift_m >= width_m
    {
        return Err(Amiss::with(
            "drift",
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
    let (limit, allowed_m) = allowance(&asked, setting);
    let verdict = allowed_m.map_or(Verdict::NoLimit, |allowed| {
        Verdict::of(asked.drift_m, allowed, asked.error_m)
    });
    let step = Quantity::of(Kind::Length, step_m);
    let which = stations(first, last);
    let figure = |id, what, size, mark| Figure {
        id,
        what,
        size,
        error: None,
        limit: None,
        verdict: Verdict::NoLimit,
        mark,
    };
    let mut figures = vec![
        figure(
            "step",
            say!("one step, at the ", asked.side, " end"),
            step,
            Mark::Derived(
                "0.4 degrees of skew, which is 6 mm at one end on 0.9 m; books say only: small",
            ),
        ),
        figure(
            "idlers",
            say!("idlers to shift: ", which.clone(), " before the trouble"),
            Quantity::Number(idlers.len() as f64),
            Mark::Published(
                "tracking-card",
                "tracking procedure: 2 to 3 rolls before; the 4th is derived",
            ),
        ),
        Figure {
            id: "drift",
            what: say!("drift to the ", asked.side),
            size: Quantity::of(Kind::Length, asked.drift_m),
            error: Some(Quantity::of(Kind::Length, asked.error_m)),
            limit,
            verdict,
            mark: Mark::Derived("as it was read"),
        },
    ];
    if let Some(feet_m) = asked.feet_m {
        figures.push(figure(
            "angle",
            say!("skew of one step"),
            Quantity::of(Kind::Angle, (step_m / feet_m).atan()),
            Mark::Derived("step over the distance between the feet"),
        ));
    }
    if let Some(turn_s) = asked.turn_s {
        figures.push(figure(
            "watch",
            say!("three belt turns: watch this long after each step"),
            Quantity::of(Kind::Time, 3.0 * turn_s),
            Mark::Published("tracking-rules", "rule 7"),
        ));
    }
    Ok(Outcome {
        says: says(&asked, verdict, step, &which),
        verdict,
        figures,
        tells: Vec::new(),
        work: if verdict == Verdict::Within {
            Vec::new()
        } else {
            steps(&asked, &idlers, step)
        },
        notes: notes(&asked, setting),
        plot: None,
    })
}

/// The limit on drift: the smaller of both, as far as they are known.
fn allowance(asked: &Asked, setting: &Setting) -> (Option<super::Limit>, Option<f64>) {
    let fixed = setting.limit("trim.drift");
    let share = setting
        .limit("trim.drift-share")
        .zip(asked.width_m)
        .map(|(limit, width_m)| super::Limit {
            size: Quantity::of(Kind::Length, limit.size.si() * width_m),
            ..limit
        });
    let limit = match (fixed, share) {
        (Some(a), Some(b)) if b.size.si() < a.size.si() => Some(b),
        (a, b) => a.or(b),
    };
    (limit, limit.map(|limit| limit.size.si()))
}
