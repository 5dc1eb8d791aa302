//! Take-up: how the two bearings of the take-up pulley stand, and what was added since the last reading.

pub(crate) mod key;
mod screws;
mod told;

use crate::trade::{Carcass, Side};
pub use screws::Screws;

use super::limits::{Limit, Shipped};
use super::readings::Keyed;
use super::{
    Amiss, Basis, Figure, Gauge, Kind, Need, Outcome, Readings, Setting, Takes, Tell, Verdict,
    Wanted, Way, asked, known, tension,
};
use crate::say;
use crate::trade::MachineState;

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "takeup",
    title: "Take-up screws",
    about: "Whether both bearings of the take-up pulley stand the same, and what was added since the last reading.",
    ways: &[DATUM_WAY, THREAD_WAY],
    tells: &[Tell { id: "nearer", words: &["equal", "left", "right"] }],
    limits: LIMITS,
    work,
};

const DATUM_WAY: Way = Way {
    id: "shaft",
    title: "Shaft centre to a fixed point on each side",
    state: MachineState::LockedOut,
    tools: &["steel tape", "marker"],
    how: &[
        "Stop, isolate, lock, tag, try. Turn no screw yet, and stand beside the screws, not in line with them.",
        "Choose one fixed point of the frame on each side, both the same distance from the shaft of the other \
         end pulley. Tape that distance on both sides and mark the points.",
        "With the tape level and pulled tight, measure from the mark to the middle of the shaft. Do so on the {left} and on the \
         {right} side. Read to half a millimetre.",
        "Read each side again before you write it down.",
    ],
    drawing: &[
        "  to the other end pulley",
        "  mark                  mark",
        "   +                      +",
        "   |    ##############    |",
        "   |    ##   belt   ##    |",
        " L o====##############====o R",
        "   |     take-up pulley   |",
        " left                  right",
    ],
    wanted: &[
        LEFT,
        RIGHT,
        DATUM,
        LEFT_BEFORE,
        RIGHT_BEFORE,
        BEARING_CENTRES,
        PITCH,
        CENTRES,
        WIDTH,
        asked::MODULUS,
        asked::RATED,
        LOAD,
        ERROR,
    ],
    rows: None,
};

const THREAD_WAY: Way = Way {
    id: "thread",
    title: "Thread showing on both screws",
    state: MachineState::LockedOut,
    tools: &["rule or calipers"],
    how: &[
        "Stop, isolate, lock, tag, try. Turn no screw yet, and stand beside the screws, not in line with them.",
        "Only where both screws, nuts and blocks are alike; else measure to the shaft centre.",
        "Wipe the threads clean. Measure the thread that shows beyond the nut, on the {left} and on the {right} \
         screw, from the same face on both.",
        "Read each side again before you write it down.",
    ],
    drawing: &[
        "   L                      R",
        "  [o]==== pulley shaft ==[o]",
        "   |                      |",
        "  [N] nut                [N] nut",
        "   |  thread showing      |",
        "   |                      |",
    ],
    wanted: &[
        LEFT,
        RIGHT,
        TIGHTENING,
        LEFT_BEFORE,
        RIGHT_BEFORE,
        BEARING_CENTRES,
        PITCH,
        CENTRES,
        WIDTH,
        asked::MODULUS,
        asked::RATED,
        LOAD,
        ERROR,
    ],
    rows: None,
};

const LEFT: Wanted = Wanted {
    key: key::LEFT,
    ask: "Reading on the {left} side",
    takes: Takes::NotNegative(Kind::Length),
    from: None,
    need: Need::Must,
};
const RIGHT: Wanted = Wanted { key: key::RIGHT, ask: "Reading on the {right} side", ..LEFT };
const LEFT_BEFORE: Wanted = Wanted {
    key: key::LEFT_BEFORE,
    ask: "Last reading on the {left} side, taken the same way",
    need: Need::May("nothing is said of the time since then"),
    ..LEFT
};
const RIGHT_BEFORE: Wanted = Wanted {
    key: key::RIGHT_BEFORE,
    ask: "Last reading on the {right} side, taken the same way",
    ..LEFT_BEFORE
};
const DATUM: Wanted = Wanted {
    key: key::MARKS,
    ask: "Where do the marks lie, seen from the shaft?",
    takes: Takes::Choice(&[
        ("inward", "Toward the other end pulley: more means tighter"),
        ("outward", "Away from the other end pulley: more means slacker"),
    ]),
    from: None,
    need: Need::Must,
};
const TIGHTENING: Wanted = Wanted {
    key: key::TIGHTENING,
    ask: "Does more or less thread show when the screw is tightened?",
    takes: Takes::Choice(&[
        ("more", "More thread means tighter"),
        ("less", "Less thread means tighter"),
    ]),
    from: None,
    need: Need::Must,
};
const PITCH: Wanted = Wanted {
    key: key::PITCH,
    ask: "Pitch of the screws: travel in one turn",
    takes: Takes::Positive(Kind::Length),
    from: Some("screws.pitch"),
    need: Need::May("no turns are told"),
};
const BEARING_CENTRES: Wanted =
    Wanted { need: Need::May("no angle is told"), ..asked::BEARING_CENTRES };
const CENTRES: Wanted = Wanted { need: Need::May("no strain is told"), ..asked::CENTRES };
const WIDTH: Wanted = Wanted { need: Need::May("no rise of the pull is told"), ..asked::WIDTH };
const LOAD: Wanted = Wanted {
    key: key::LOAD,
    ask: "Load on each screw at the last reading",
    takes: Takes::Positive(Kind::Force),
    from: Some("screws.load"),
    need: Need::May("the rise is told in force only"),
};
const ERROR: Wanted = Wanted {
    key: key::ERROR,
    ask: "How far off may one reading be?",
    takes: Takes::NotNegative(Kind::Length),
    from: None,
    need: Need::May("taken as 0.5 mm"),
};

pub(super) const TAKE_UP_LEAD: Shipped = Shipped {
    id: "take-up-lead",
    what: "what the two take-up bearings may differ by",
    kind: Kind::Length,
    si: 0.002,
    mark: Basis::CommonPractice,
};

/// The limits that its readings are held against.
pub(super) const LIMITS: &[&Shipped] = &[&TAKE_UP_LEAD];

/// What the two take-up bearings may differ by on this conveyor.
pub fn lead_limit(setting: &Setting) -> Limit {
    setting.limit(&TAKE_UP_LEAD)
}

/// What a belt may stretch in its life, as a share of its length, and what that rests on. An unknown carcass counts as
/// fabric.
pub fn life_stretch(carcass: Option<Carcass>) -> (f64, Basis) {
    match carcass {
        Some(Carcass::SteelCord) => (
            0.002,
            Basis::Derived(
                "0.2 % stretch of steel cord of all kinds (from a weak copy of a maker's text)",
            ),
        ),
        _ => (
            0.015,
            Basis::Published("stretch-article", "1.5 % at full rating, one range of fabric belts"),
        ),
    }
}

fn screws(readings: &Readings, setting: &Setting) -> Result<Screws, Amiss> {
    // Counted so that more always means further out.
    let out = match (readings.choice(key::MARKS), readings.choice(key::TIGHTENING)) {
        (Some("inward"), _) | (None, Some("more")) => 1.0,
        (Some("outward"), _) | (None, Some("less")) => -1.0,
        _ => {
            let key = if readings.way == "thread" { key::TIGHTENING } else { key::MARKS };
            return Err(Amiss::with(
                key,
                say!("Say which way counts as tighter: without it the sides may be swapped."),
            ));
        }
    };
    let left_before = known::maybe(readings, setting, &LEFT_BEFORE)?;
    let right_before = known::maybe(readings, setting, &RIGHT_BEFORE)?;
    let before = match (left_before, right_before) {
        (Some(left), Some(right)) => Some((left * out, right * out)),
        (None, None) => None,
        (Some(_), None) => {
            return Err(Amiss::with(
                key::RIGHT_BEFORE,
                say!("The last reading of one side alone tells nothing: give both or none."),
            ));
        }
        (None, Some(_)) => {
            return Err(Amiss::with(
                key::LEFT_BEFORE,
                say!("The last reading of one side alone tells nothing: give both or none."),
            ));
        }
    };
    Ok(Screws {
        left_m: known::must(readings, setting, &LEFT)? * out,
        right_m: known::must(readings, setting, &RIGHT)? * out,
        before,
        error_m: known::or(readings, setting, &ERROR, 0.000_5)?,
    })
}

fn belt(readings: &Readings, setting: &Setting) -> Result<told::Belt, Amiss> {
    Ok(told::Belt {
        centres_m: known::maybe(readings, setting, &CENTRES)?,
        width_m: known::maybe(readings, setting, &WIDTH)?,
        estimate: asked::modulus(readings, setting)?,
        load_n: known::maybe(readings, setting, &LOAD)?,
        kept: tension::Holds::of(setting.facts.take_up()) == tension::Holds::ByItself,
    })
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let screws = screws(readings, setting)?;
    let centres_m = known::maybe(readings, setting, &BEARING_CENTRES)?;
    screws::check(&screws, centres_m)?;
    let belt = belt(readings, setting)?;
    let mut figures = vec![told::lead(&screws, setting)];
    let verdict = figures.first().map_or(Verdict::NoLimit, |figure| figure.verdict);
    if let Some(centres_m) = centres_m {
        let skew = (screws.lead_m().abs() / centres_m).atan();
        let mark = Basis::Derived("difference over the distance between the bearings");
        let error = screws.lead_error_m() / centres_m;
        figures.push(
            Figure::of("skew", say!("The pulley stands askew by"), Kind::Angle, skew, mark)
                .off_by(Kind::Angle, error),
        );
    }
    let mut notes = told::notes(readings, setting);
    told::since(&screws, &belt, &mut figures, &mut notes);
    let word = match verdict {
        Verdict::Beyond => screws.nearer().map(Side::id),
        Verdict::Within => Some("equal"),
        Verdict::TooClose | Verdict::NoLimit => None,
    };
    Ok(Outcome {
        says: told::says(&screws, verdict),
        verdict,
        figures,
        tells: vec![("nearer", word)],
        work: if verdict == Verdict::Beyond {
            told::equal(&screws, known::maybe(readings, setting, &PITCH)?)
        } else {
            Vec::new()
        },
        amount: (verdict == Verdict::Beyond).then(|| told::amount(&screws)).flatten(),
        notes,
        plot: None,
    })
}
