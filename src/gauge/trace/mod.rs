//! The gauge `trace`: where the belt's edge runs over time at one point, and which turning part it keeps time with.

mod asked;
pub(crate) mod key;
mod shown;
mod told;

use super::asked::Asked;
use super::limits::shipped;
use super::rhythm::{Body, Rhythm, WINDOW_TURNS, Weave, take_apart};
use super::{Amiss, CanTell, Gauge, Kind, Outcome, Readings, Setting, Tell, Verdict, read_by};
use crate::conveyor::quantity::Quantity;
use crate::say;
use asked::{Machine, Record, long_enough, machine, record};
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
    limits: shipped::OF_TRACE,
    foretell,
    work,
};

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

/// The record taken apart, in longer windows where those tell closer lines apart and the record has them; and what it
/// keeps time with. Nothing if the edge does not move at all.
fn taken_apart(
    record: &Record,
    machine: &Machine,
    error_m: f64,
    clear: f64,
) -> Option<(Weave, Moves)> {
    let take = |window_turns| {
        take_apart(&record.times_s, &record.offsets_m, &machine.turnings, window_turns)
    };
    let weave = take(WINDOW_TURNS)?;
    let moves_with = moves(&weave, error_m, clear);
    if let Moves::BeltOr(_, long_s) = moves_with
        && long_s <= weave.turns * machine.turn_s
        && let Some(longer) = take(long_s / machine.turn_s)
    {
        let moves_with = moves(&longer, error_m, clear);
        return Some((longer, moves_with));
    }
    Some((weave, moves_with))
}

/// How far the edge jumps, if it does so with the belt.
fn jump_m(record: &Record, weave: &Weave, moves_with: Moves) -> Option<f64> {
    let belt = weave.rhythms.iter().find(|it| it.body == Body::Belt)?;
    let jumps = moves_with == Moves::With(Body::Belt) && belt.jumps();
    jumps.then(|| record.range_m(1.0 / belt.turns_hz)).flatten()
}

/// The least swing that a film shows on this machine, how long it must be, and how close its readings.
fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let asked = Asked::of(readings, setting);
    let machine = machine(&asked).ok()?;
    let error_m = asked.error(&asked::ERROR, &read_by::FILM).ok()?;
    let time = |seconds| Quantity::of(Kind::Time, seconds);
    let better = say!(
        "Film ",
        time(asked::FEWEST_TURNS * machine.turn_s),
        " at least, better ",
        time(2.0 * WINDOW_TURNS * machine.turn_s),
        "; read it every ",
        time(machine.closest_s()),
        " or closer."
    );
    Some(CanTell::least("a swing of the edge of", Kind::Length, error_m).better(better))
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let asked = Asked::of(readings, setting);
    let machine = machine(&asked)?;
    let record = record(&asked)?;
    let error_m = asked.error(&asked::ERROR, &read_by::FILM)?;
    long_enough(&record, &machine)?;
    let limit = setting.limit(&shipped::TRACE_SHARE);
    let Some((weave, moves_with)) = taken_apart(&record, &machine, error_m, limit.size.si()) else {
        return Ok(dead_still());
    };
    let verdict = match moves_with {
        Moves::With(_) | Moves::Slow => Verdict::Beyond,
        Moves::None | Moves::Still => Verdict::Within,
        Moves::Unclear | Moves::BeltOr(..) => Verdict::TooClose,
    };
    let jump_m = jump_m(&record, &weave, moves_with);
    let (says, work) = told::speak(&weave, moves_with, jump_m);
    let mut notes = told::notes(&weave, machine.speed_known, machine.other_turn_s);
    if record.same_time > 0 {
        notes.push(say!(format!(
            "{} readings have the same time as the one before: taken as they stand.",
            record.same_time
        )));
    }
    let mut figures = figures(&weave, error_m, limit, moves_with);
    figures.extend(jump_m.map(|jump_m| shown::jump(jump_m, error_m)));
    Ok(Outcome {
        says,
        verdict,
        figures,
        tells: vec![("moves", moves_with.word(&weave))],
        work,
        notes,
        amount: None,
        plot: Some(plot(&weave, moves_with)),
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
