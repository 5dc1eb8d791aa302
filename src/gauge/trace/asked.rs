//! What the gauge `trace` asks for, and reading it.

use super::key;
use crate::conveyor::quantity::Quantity;
use crate::gauge::ReadingKey;
use crate::gauge::Way;
use crate::gauge::asked::{EDGE_OFFSET, filed_or_left_out};
use crate::gauge::readings::{Amiss, Keyed, Kind, Need, Readings, Rows, Takes, Wanted};
use crate::gauge::rhythm::{Body, Turning};
use crate::say;
use crate::trade::MachineState;

/// The way to measure.
pub(super) const EDGE: Way = Way {
    id: "edge",
    title: "edge position over time at one point, from a film or a sensor",
    state: MachineState::Running,
    tools: &["camera on a stand or distance sensor", "watch"],
    how: &[
        "Set the camera or sensor on firm ground outside the guards, looking at the {left} edge at one point. Anything inside the guards is fitted while the machine is stopped and locked out.",
        "Have something of known size in the picture, such as a roll end.",
        "Record at least 3 belt turns; 12 tell much more. A splice or patch passing again is one turn: time it.",
        "Take readings close together: at least 3 for each turn of the smallest roll, or rolls cannot be seen.",
        "Write a table: time, and how far the {left} edge is from its right place; to the {left} counts above nothing.",
    ],
    drawing: &[
        "  L edge over time",
        "  |    _       _       _",
        "  |   / \\     / \\     / \\",
        "  |--/---\\---/---\\---/---\\-- time",
        "  |       \\_/     \\_/     \\_",
        "     |<----->|  one belt turn?",
    ],
    wanted: &[
        Wanted {
            key: key::TURN,
            ask: "How long does one belt turn take?",
            takes: Takes::Positive(Kind::Time),
            from: None,
            need: Need::May("worked out from belt length and speed"),
        },
        filed_or_left_out(
            key::BELT_LENGTH,
            "How long is the belt, once round?",
            Kind::Distance,
            "belt.length",
            "needed unless a belt turn was timed",
        ),
        filed_or_left_out(
            key::SPEED,
            "How fast does the belt run?",
            Kind::Speed,
            "speed",
            "worked out from belt length and the timed turn",
        ),
        filed_or_left_out(
            key::TAIL_DIAMETER,
            "What is the tail pulley's diameter?",
            Kind::Length,
            "tail.diameter",
            "the tail pulley is not looked for",
        ),
        filed_or_left_out(
            key::HEAD_DIAMETER,
            "What is the head pulley's diameter?",
            Kind::Length,
            "head.diameter",
            "the head pulley is not looked for",
        ),
        filed_or_left_out(
            key::ROLL_DIAMETER,
            "What is the carry rolls' diameter?",
            Kind::Length,
            "idlers.roll_diameter",
            "carry rolls are not looked for",
        ),
        filed_or_left_out(
            key::RETURN_ROLL_DIAMETER,
            "What is the return rolls' diameter?",
            Kind::Length,
            "idlers.return_roll_diameter",
            "return rolls are not looked for",
        ),
        Wanted {
            key: key::ERROR,
            ask: "How far may one reading be off?",
            takes: Takes::NotNegative(Kind::Length),
            from: None,
            need: Need::May("taken as 2 mm"),
        },
    ],
    rows: Some(Rows {
        one: "reading",
        least: 24,
        columns: &[
            Wanted {
                key: key::TIME,
                ask: "Time since the start",
                takes: Takes::Signed(Kind::Time),
                from: None,
                need: Need::Must,
            },
            EDGE_OFFSET,
        ],
    }),
};

pub(super) const ERROR_M: f64 = 0.002;
const FARTHEST_M: f64 = 5.0;
const FEWEST_TURNS: f64 = 3.0;
/// Readings in one belt turn.
const FEWEST_PER_TURN: f64 = 8.0;

/// A record of readings.
pub(super) struct Record {
    pub(super) times_s: Vec<f64>,
    pub(super) offsets_m: Vec<f64>,
    pub(super) same_time: usize,
}

pub(super) fn record(readings: &Readings) -> Result<Record, Amiss> {
    let mut record = Record {
        times_s: Vec::with_capacity(readings.rows.len()),
        offsets_m: Vec::with_capacity(readings.rows.len()),
        same_time: 0,
    };
    let mut before = f64::NEG_INFINITY;
    for (row, reading) in readings.rows.iter().enumerate() {
        let get = |key| {
            reading.si(key).filter(|it: &f64| it.is_finite()).ok_or_else(|| {
                Amiss::at(row, key, say!("There is no number here: give it, or leave the row out."))
            })
        };
        let (time, offset) = (get(key::TIME)?, get(key::OFFSET)?);
        if time < before {
            return Err(Amiss::at(
                row,
                key::TIME,
                say!(
                    "The time goes back. Put the rows in order of time, and count on past midnight."
                ),
            ));
        }
        if offset.abs() > FARTHEST_M {
            return Err(Amiss::at(
                row,
                key::OFFSET,
                say!(
                    "No edge stands that far off: at most ",
                    Quantity::of(Kind::Distance, FARTHEST_M),
                    ". Check the number and its unit."
                ),
            ));
        }
        record.same_time += usize::from(time == before);
        before = time;
        record.times_s.push(time);
        record.offsets_m.push(offset);
    }
    Ok(record)
}

/// The parts whose turning is known, and the speed.
pub(super) struct Machine {
    pub(super) turnings: Vec<Turning>,
    pub(super) turn_s: f64,
    pub(super) speed_known: bool,
    /// What length and speed say of a belt turn, when a timed one is far from it.
    pub(super) other_turn_s: Option<f64>,
}

pub(super) fn machine(readings: &Readings) -> Result<Machine, Amiss> {
    let may = |key: ReadingKey| match readings.si(key) {
        None => Ok(None),
        Some(size) if size.is_finite() && size > 0.0 => Ok(Some(size)),
        Some(_) => Err(Amiss::with(
            key,
            say!("This must be above nothing: check the number and its unit."),
        )),
    };
    let (turn, length, speed) = (may(key::TURN)?, may(key::BELT_LENGTH)?, may(key::SPEED)?);
    let worked_out = length.zip(speed).map(|(length, speed)| length / speed);
    let Some(turn_s) = turn.or(worked_out) else {
        return Err(Amiss::with(
            key::TURN,
            say!(
                "Time one belt turn, from a splice passing until it passes again; or give belt length and speed."
            ),
        ));
    };
    // The timed turn is believed: the speed on a plate is that of the empty belt, or of another gear.
    let speed = length.map(|length| length / turn_s).or(speed);
    let mut turnings = vec![Turning { body: Body::Belt, turns_hz: 1.0 / turn_s }];
    for (key, body) in [
        (key::TAIL_DIAMETER, Body::TailPulley),
        (key::HEAD_DIAMETER, Body::HeadPulley),
        (key::ROLL_DIAMETER, Body::CarryRoll),
        (key::RETURN_ROLL_DIAMETER, Body::ReturnRoll),
    ] {
        let diameter = may(key)?;
        if let Some((diameter, speed)) = diameter.zip(speed) {
            let turns_hz = speed / (std::f64::consts::PI * diameter);
            if turns_hz * turn_s < 1.5 {
                return Err(Amiss::with(
                    key,
                    say!(
                        "So large a part would turn hardly more often than the belt. Check the number and its unit."
                    ),
                ));
            }
            turnings.push(Turning { body, turns_hz });
        }
    }
    Ok(Machine {
        turnings,
        turn_s,
        speed_known: speed.is_some(),
        other_turn_s: worked_out.filter(|it| turn.is_some() && (it / turn_s - 1.0).abs() > 0.1),
    })
}

/// Whether the record is long and close enough.
///
/// # Errors
/// How long or close it must be.
pub(super) fn long_enough(record: &Record, machine: &Machine) -> Result<(), Amiss> {
    let span_s = match (record.times_s.first(), record.times_s.last()) {
        (Some(first), Some(last)) => last - first,
        _ => 0.0,
    };
    let needed_s = FEWEST_TURNS * machine.turn_s;
    if span_s < needed_s {
        return Err(Amiss {
            row: None,
            key: Some(key::TIME),
            words: say!(
                "The record must span 3 belt turns, ",
                Quantity::of(Kind::Time, needed_s),
                "; it spans ",
                Quantity::of(Kind::Time, span_s),
                ". Record for longer."
            ),
        });
    }
    if (record.times_s.len() as f64) < FEWEST_PER_TURN * span_s / machine.turn_s {
        return Err(Amiss {
            row: None,
            key: Some(key::TIME),
            words: say!(
                "There are too few readings: take at least 8 in each belt turn, one every ",
                Quantity::of(Kind::Time, machine.turn_s / FEWEST_PER_TURN),
                "."
            ),
        });
    }
    Ok(())
}
