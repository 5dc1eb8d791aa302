//! The gauge `trace`: where the belt's edge runs over time at one point, and which turning part it keeps time with.

mod asked;
pub(crate) mod key;
mod shown;
mod told;

use super::limits::Shipped;
use super::outcome::{Outcome, Plot, Verdict};
use super::readings::{Amiss, Keyed, Kind, Readings};
use super::rhythm::{Body, Rhythm, WINDOW_TURNS, Weave, take_apart};
use super::{Basis, Gauge, Setting, Tell};
use crate::say;
use asked::{long_enough, machine, record};
use shown::{figures, plot};

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "trace",
    title: "What the weave keeps time with",
    about: "Takes the edge's movement over time at one point and says which turning part it keeps time with.",
    ways: &[asked::EDGE],
    tells: &[Tell {
        id: "moves",
        words: &["belt-jump", "belt-sway", "pulley-turn", "roll-turn", "slow", "none"],
    }],
    limits: LIMITS,
    work,
};

pub(super) const TRACE_SHARE: Shipped = Shipped {
    id: "trace.share",
    what: "share of the weave that names a part",
    kind: Kind::Percent,
    si: 0.5,
    mark: Basis::Derived("what makes more than half outweighs all the rest"),
};

/// The limits that its readings are held against.
pub(super) const LIMITS: &[&Shipped] = &[&TRACE_SHARE];

/// Below this share of the limit no part has a say; between both it is too close to call.
const NO_SAY: f64 = 0.5;
/// With a smaller share the belt does not make a line among its higher waves either.
const BELT_SILENT: f64 = 0.05;

/// What the movement keeps time with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Moves {
    /// With a part.
    With(Body),
    /// With nothing, slower than a belt turn.
    Slow,
    /// With nothing.
    None,
    /// It hardly moves.
    Still,
    /// Nothing leads clearly.
    Unclear,
    /// A line that may be the belt's or a part's; a record that long, in s, would tell.
    BeltOr(Body, f64),
}

impl Moves {
    fn word(self, weave: &Weave) -> Option<&'static str> {
        match self {
            Self::With(body) => Some(word(body, weave)),
            Self::Slow => Some("slow"),
            Self::None | Self::Still => Some("none"),
            Self::Unclear | Self::BeltOr(..) => None,
        }
    }
}

fn word(body: Body, weave: &Weave) -> &'static str {
    let rhythm = weave.rhythms.iter().find(|rhythm| rhythm.body == body);
    match body {
        Body::Belt if rhythm.is_some_and(Rhythm::jumps) => "belt-jump",
        Body::Belt => "belt-sway",
        Body::TailPulley | Body::HeadPulley => "pulley-turn",
        Body::CarryRoll | Body::ReturnRoll => "roll-turn",
    }
}

fn moves(weave: &Weave, error_m: f64, clear: f64) -> Moves {
    // A wave of that root mean square swings by 2 sqrt 2 times as much.
    if weave.scatter_m * 8.0_f64.sqrt() <= error_m {
        return Moves::Still;
    }
    let lead = leading(weave);
    let share = lead.map_or(0.0, |it| it.share);
    if weave.slow_share >= clear && weave.slow_share > share {
        return Moves::Slow;
    }
    let belt = weave.rhythms.iter().find(|it| it.body == Body::Belt);
    match lead {
        Some(lead) if lead.share >= clear => match lead.like_belt {
            Some((_, long_s)) if belt.is_some_and(|belt| belt.share > BELT_SILENT) => {
                Moves::BeltOr(lead.body, long_s)
            }
            _ => Moves::With(lead.body),
        },
        _ if share.max(weave.slow_share) < clear * NO_SAY => Moves::None,
        _ => Moves::Unclear,
    }
}

/// The part that explains most; of two that cannot be told apart, the first.
fn leading(weave: &Weave) -> Option<&Rhythm> {
    weave.rhythms.iter().filter(|it| it.like.is_none()).fold(None, |best: Option<&Rhythm>, it| {
        match best {
            Some(best) if best.share >= it.share => Some(best),
            _ => Some(it),
        }
    })
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let machine = machine(readings)?;
    let record = record(readings)?;
    let error_m = readings.si(key::ERROR).unwrap_or(asked::ERROR_M);
    long_enough(&record, &machine)?;
    let limit = setting.limit(&TRACE_SHARE);
    let clear = limit.size.si();
    let take = |window_turns| {
        take_apart(&record.times_s, &record.offsets_m, &machine.turnings, window_turns)
    };
    let Some(mut weave) = take(WINDOW_TURNS) else {
        return Ok(dead_still());
    };
    let mut moves_with = moves(&weave, error_m, clear);
    // Longer windows tell closer lines apart, if the record has them.
    if let Moves::BeltOr(_, long_s) = moves_with
        && long_s <= weave.turns * machine.turn_s
        && let Some(longer) = take(long_s / machine.turn_s)
    {
        moves_with = moves(&longer, error_m, clear);
        weave = longer;
    }
    let verdict = match moves_with {
        Moves::With(_) | Moves::Slow => Verdict::Beyond,
        Moves::None | Moves::Still => Verdict::Within,
        Moves::Unclear | Moves::BeltOr(..) => Verdict::TooClose,
    };
    let (says, work) = told::speak(&weave, moves_with);
    let mut notes = told::notes(&weave, machine.speed_known, machine.other_turn_s);
    if record.same_time > 0 {
        notes.push(say!(format!(
            "{} readings have the same time as the one before: taken as they stand.",
            record.same_time
        )));
    }
    Ok(Outcome {
        says,
        verdict,
        figures: figures(&weave, error_m, limit, moves_with),
        tells: vec![("moves", moves_with.word(&weave))],
        work,
        notes,
        amount: None,
        plot: Some(Plot::Points(plot(&weave, moves_with))),
    })
}

/// All readings are the same.
fn dead_still() -> Outcome {
    Outcome {
        says: say!(
            "The edge does not move at all. If the belt ran, check that the sensor sees it."
        ),
        verdict: Verdict::Within,
        tells: vec![("moves", Some("none"))],
        ..Outcome::default()
    }
}
