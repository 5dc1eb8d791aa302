//! What the gauge `trace` asks for, and reading it.

use super::super::asked::{self, Asked, EDGE_OFFSET, error_of_one, may, must};
use super::super::rhythm::{self, Body, Turning};
use super::super::{Amiss, Kind, Rows, Takes, Wanted, Way, read_by};
use super::key;
use crate::conveyor::quantity::Quantity;
use crate::say;
use crate::trade::MachineState;

const TURN: Wanted = may(
    key::TURN,
    "How long does one belt turn take?",
    Takes::Positive(Kind::Time),
    "worked out from belt length and speed",
);
const BELT_LENGTH: Wanted = asked::BELT_LENGTH
    .asking("How long is the belt, once round?")
    .or_else("needed unless a belt turn was timed");
const SPEED: Wanted = asked::SPEED
    .asking("How fast does the belt run?")
    .or_else("worked out from belt length and the timed turn");
const TAIL: Wanted = may(
    key::TAIL_DIAMETER,
    "What is the tail pulley's diameter?",
    Takes::Positive(Kind::Length),
    "the tail pulley is not looked for",
)
.filed("tail.diameter");
const HEAD: Wanted = may(
    key::HEAD_DIAMETER,
    "What is the head pulley's diameter?",
    Takes::Positive(Kind::Length),
    "the head pulley is not looked for",
)
.filed("head.diameter");
const ROLL: Wanted = may(
    key::ROLL_DIAMETER,
    "What is the carry rolls' diameter?",
    Takes::Positive(Kind::Length),
    "carry rolls are not looked for",
)
.filed("idlers.roll_diameter");
const RETURN_ROLL: Wanted = may(
    key::RETURN_ROLL_DIAMETER,
    "What is the return rolls' diameter?",
    Takes::Positive(Kind::Length),
    "return rolls are not looked for",
)
.filed("idlers.return_roll_diameter");
pub(super) const ERROR: Wanted = error_of_one(&read_by::FILM);
const TIME: Wanted = must(key::TIME, "Time since the start", Takes::Signed(Kind::Time));

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
    wanted: &[TURN, BELT_LENGTH, SPEED, TAIL, HEAD, ROLL, RETURN_ROLL, ERROR],
    rows: Some(Rows { one: "reading", least: 24, columns: &[TIME, EDGE_OFFSET] }),
};

const FARTHEST_M: f64 = 5.0;
pub(super) const FEWEST_TURNS: f64 = 3.0;
/// Readings in one belt turn.
const FEWEST_PER_TURN: f64 = 8.0;

/// A record of readings.
pub(super) struct Record {
    pub(super) times_s: Vec<f64>,
    pub(super) offsets_m: Vec<f64>,
    pub(super) same_time: usize,
}

pub(super) fn record(asked: &Asked) -> Result<Record, Amiss> {
    let mut record = Record {
        times_s: Vec::with_capacity(asked.length()),
        offsets_m: Vec::with_capacity(asked.length()),
        same_time: 0,
    };
    let mut before = f64::NEG_INFINITY;
    for row in asked.rows() {
        let (time, offset) = (row.must(&TIME)?, row.must(&EDGE_OFFSET)?);
        if time < before {
            return Err(row.amiss(
                &TIME,
                say!(
                    "The time goes back. Put the rows in order of time, and count on past midnight."
                ),
            ));
        }
        if offset.abs() > FARTHEST_M {
            return Err(row.amiss(
                &EDGE_OFFSET,
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

impl Machine {
    /// How close together readings must be to show the part that turns fastest, and the belt.
    pub(super) fn closest_s(&self) -> f64 {
        let parts = self.turnings.iter().filter(|turning| turning.body != Body::Belt);
        let fastest = parts.map(|turning| rhythm::needs_every_s(turning.turns_hz));
        fastest.fold(self.turn_s / FEWEST_PER_TURN, f64::min)
    }
}

pub(super) fn machine(asked: &Asked) -> Result<Machine, Amiss> {
    let (turn, length, speed) = (asked.may(&TURN)?, asked.may(&BELT_LENGTH)?, asked.may(&SPEED)?);
    let worked_out = length.zip(speed).map(|(length, speed)| length / speed);
    let Some(turn_s) = turn.or(worked_out) else {
        return Err(Amiss::with(
            TURN.key,
            say!(
                "Time one belt turn, from a splice passing until it passes again; or give belt length and speed."
            ),
        ));
    };
    // The timed turn is believed: the speed on a plate is that of the empty belt, or of another gear.
    let speed = length.map(|length| length / turn_s).or(speed);
    let mut turnings = vec![Turning { body: Body::Belt, turns_hz: 1.0 / turn_s }];
    for (wanted, body) in [
        (&TAIL, Body::TailPulley),
        (&HEAD, Body::HeadPulley),
        (&ROLL, Body::CarryRoll),
        (&RETURN_ROLL, Body::ReturnRoll),
    ] {
        if let Some((diameter, speed)) = asked.may(wanted)?.zip(speed) {
            let turns_hz = speed / (std::f64::consts::PI * diameter);
            if turns_hz * turn_s < 1.5 {
                return Err(Amiss::with(
                    wanted.key,
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
        return Err(Amiss::with(
            TIME.key,
            say!(
                "The record must span 3 belt turns, ",
                Quantity::of(Kind::Time, needed_s),
                "; it spans ",
                Quantity::of(Kind::Time, span_s),
                ". Record for longer."
            ),
        ));
    }
    if (record.times_s.len() as f64) < FEWEST_PER_TURN * span_s / machine.turn_s {
        return Err(Amiss::with(
            TIME.key,
            say!(
                "There are too few readings: take at least 8 in each belt turn, one every ",
                Quantity::of(Kind::Time, machine.turn_s / FEWEST_PER_TURN),
                "."
            ),
        ));
    }
    Ok(())
}

impl Record {
    /// How far the edge goes to and fro within one belt turn: the middle one of all turns. Nothing without a whole turn.
    pub(super) fn range_m(&self, turn_s: f64) -> Option<f64> {
        let first = *self.times_s.first()?;
        let mut turns: std::collections::BTreeMap<u64, (f64, f64)> =
            std::collections::BTreeMap::new();
        for (time, offset) in self.times_s.iter().zip(&self.offsets_m) {
            let turn = ((time - first) / turn_s).floor();
            let range = turns.entry(turn as u64).or_insert((f64::MAX, f64::MIN));
            *range = (range.0.min(*offset), range.1.max(*offset));
        }
        // The last turn is seldom a whole one.
        turns.pop_last();
        let mut ranges: Vec<f64> = turns.into_values().map(|(low, high)| high - low).collect();
        super::super::fit::median(&mut ranges)
    }
}
