//! The gauge `trace`: where the belt's edge runs over time at one point, and which turning part it keeps time with.

use super::limits::Shipped;
use super::outcome::{Axis, Figure, Outcome, Plot, Point, Points, Verdict};
use super::readings::{Amiss, Keyed, Kind, Need, Readings, Rows, Takes, Wanted};
use super::rhythm::{Body, Rhythm, Turning, WINDOW_TURNS, Weave, take_apart};
use super::words::Words;
use super::{Gauge, Limit, Mark, Setting, Tell, Way, trace_words};
use crate::conveyor::quantity::Quantity;
use crate::rulebook::model::State;
use crate::say;

const fn size(
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
    id: "trace",
    title: "What the weave keeps time with",
    about: "Takes the edge's movement over time at one point and says which turning part it keeps time with.",
    ways: &[Way {
        id: "edge",
        title: "edge position over time at one point, from a film or a sensor",
        state: State::Running,
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
                key: "turn",
                ask: "How long does one belt turn take?",
                takes: Takes::Positive(Kind::Time),
                from: None,
                need: Need::May("worked out from belt length and speed"),
            },
            size(
                "belt_length",
                "How long is the belt, once round?",
                Kind::Distance,
                "belt.length",
                "needed unless a belt turn was timed",
            ),
            size(
                "speed",
                "How fast does the belt run?",
                Kind::Speed,
                "speed",
                "worked out from belt length and the timed turn",
            ),
            size(
                "tail_diameter",
                "What is the tail pulley's diameter?",
                Kind::Length,
                "tail.diameter",
                "the tail pulley is not looked for",
            ),
            size(
                "head_diameter",
                "What is the head pulley's diameter?",
                Kind::Length,
                "head.diameter",
                "the head pulley is not looked for",
            ),
            size(
                "roll_diameter",
                "What is the carry rolls' diameter?",
                Kind::Length,
                "idlers.roll_diameter",
                "carry rolls are not looked for",
            ),
            size(
                "return_roll_diameter",
                "What is the return rolls' diameter?",
                Kind::Length,
                "idlers.return_roll_diameter",
                "return rolls are not looked for",
            ),
            Wanted {
                key: "error",
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
                    key: "time",
                    ask: "Time since the start",
                    takes: Takes::Signed(Kind::Time),
                    from: None,
                    need: Need::Must,
                },
                Wanted {
                    key: "offset",
                    ask: "How far the edge lies to the {left} of its right place (to the {right}: below nothing)",
                    takes: Takes::Signed(Kind::Length),
                    from: None,
                    need: Need::Must,
                },
            ],
        }),
    }],
    tells: &[Tell {
        id: "moves",
        words: &["belt-turn", "pulley-turn", "roll-turn", "slow", "none"],
    }],
    work,
};

/// The limits of this gauge.
pub(super) const LIMITS: &[Shipped] = &[Shipped {
    id: "trace.share",
    what: "share of the weave that names a part",
    kind: Kind::Percent,
    si: 0.5,
    mark: Mark::Derived("what makes more than half outweighs all the rest"),
}];

const ERROR_M: f64 = 0.002;
const FARTHEST_M: f64 = 5.0;
const FEWEST_TURNS: f64 = 3.0;
/// Readings in one belt turn.
const FEWEST_PER_TURN: f64 = 8.0;
/// Below this share of the limit no part has a say; between both it is too close to call.
const NO_SAY: f64 = 0.5;
/// With a smaller share the belt does not make a line among its higher waves either.
const BELT_SILENT: f64 = 0.05;

/// A record of readings.
struct Record {
    times_s: Vec<f64>,
    offsets_m: Vec<f64>,
    same_time: usize,
}

fn record(readings: &Readings) -> Result<Record, Amiss> {
    let mut record = Record {
        times_s: Vec::with_capacity(readings.rows.len()),
        offsets_m: Vec::with_capacity(readings.rows.len()),
        same_time: 0,
    };
    let mut before = f64::NEG_INFINITY;
    for (row, reading) in readings.rows.iter().enumerate() {
        let get = |key| {
            reading
                .si(key)
                .filter(|it: &f64| it.is_finite())
                .ok_or_else(|| {
                    Amiss::at(
                        row,
                        key,
                        say!("There is no number here: give it, or leave the row out."),
                    )
                })
        };
        let (time, offset) = (get("time")?, get("offset")?);
        if time < before {
            return Err(Amiss::at(
                row,
                "time",
                say!(
                    "The time goes back. Put the rows in order of time, and count on past midnight."
                ),
            ));
        }
        if offset.abs() > FARTHEST_M {
            return Err(Amiss::at(
                row,
                "offset",
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
struct Machine {
    turnings: Vec<Turning>,
    turn_s: f64,
    speed_known: bool,
    /// What length and speed say of a belt turn, when a timed one is far from it.
    other_turn_s: Option<f64>,
}

fn machine(readings: &Readings) -> Result<Machine, Amiss> {
    let may = |key: &'static str| match readings.si(key) {
        None => Ok(None),
        Some(size) if size.is_finite() && size > 0.0 => Ok(Some(size)),
        Some(_) => Err(Amiss::with(
            key,
            say!("This must be above nothing: check the number and its unit."),
        )),
    };
    let (turn, length, speed) = (may("turn")?, may("belt_length")?, may("speed")?);
    let worked_out = length.zip(speed).map(|(length, speed)| length / speed);
    let Some(turn_s) = turn.or(worked_out) else {
        return Err(Amiss::with(
            "turn",
            say!(
                "Time one belt turn, from a splice passing until it passes again; or give belt length and speed."
            ),
        ));
    };
    // The timed turn is believed: the speed on a plate is that of the empty belt, or of another gear.
    let speed = length.map(|length| length / turn_s).or(speed);
    let mut turnings = vec![Turning {
        body: Body::Belt,
        turns_hz: 1.0 / turn_s,
    }];
    for (key, body) in [
        ("tail_diameter", Body::TailPulley),
        ("head_diameter", Body::HeadPulley),
        ("roll_diameter", Body::CarryRoll),
        ("return_roll_diameter", Body::ReturnRoll),
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
    fn word(self) -> Option<&'static str> {
        match self {
            Self::With(body) => Some(word(body)),
            Self::Slow => Some("slow"),
            Self::None | Self::Still => Some("none"),
            Self::Unclear | Self::BeltOr(..) => None,
        }
    }
}

fn word(body: Body) -> &'static str {
    match body {
        Body::Belt => "belt-turn",
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
    weave
        .rhythms
        .iter()
        .filter(|it| it.like.is_none())
        .fold(None, |best: Option<&Rhythm>, it| match best {
            Some(best) if best.share >= it.share => Some(best),
            _ => Some(it),
        })
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let machine = machine(readings)?;
    let record = record(readings)?;
    let error_m = readings.si("error").unwrap_or(ERROR_M);
    long_enough(&record, &machine)?;
    let limit = setting.limit("trace.share");
    let clear = limit.map_or(0.5, |limit| limit.size.si());
    let take = |window_turns| {
        take_apart(
            &record.times_s,
            &record.offsets_m,
            &machine.turnings,
            window_turns,
        )
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
    let (says, work) = trace_words::speak(&weave, moves_with);
    let mut notes = trace_words::notes(&weave, machine.speed_known, machine.other_turn_s);
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
        tells: vec![("moves", moves_with.word())],
        work,
        notes,
        plot: Some(Plot::Points(plot(&weave, moves_with))),
    })
}

fn long_enough(record: &Record, machine: &Machine) -> Result<(), Amiss> {
    let span_s = match (record.times_s.first(), record.times_s.last()) {
        (Some(first), Some(last)) => last - first,
        _ => 0.0,
    };
    let needed_s = FEWEST_TURNS * machine.turn_s;
    if span_s < needed_s {
        return Err(Amiss {
            row: None,
            key: Some("time"),
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
            key: Some("time"),
            words: say!(
                "There are too few readings: take at least 8 in each belt turn, one every ",
                Quantity::of(Kind::Time, machine.turn_s / FEWEST_PER_TURN),
                "."
            ),
        });
    }
    Ok(())
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

fn figures(weave: &Weave, error_m: f64, limit: Option<Limit>, moves: Moves) -> Vec<Figure> {
    let mut figures = Vec::new();
    let mut push_share = |id, what: Words, share: f64, leads: bool| {
        let mut figure = Figure::of(
            id,
            what,
            Kind::Percent,
            share,
            Mark::Derived("least squares waves with a floating mean"),
        );
        figure.limit = limit;
        figure.verdict = if leads {
            Verdict::Beyond
        } else {
            Verdict::Within
        };
        figures.push(figure);
    };
    for rhythm in &weave.rhythms {
        push_share(
            trace_words::share_id(rhythm.body),
            say!(
                "weave that keeps time with ",
                trace_words::name(rhythm.body)
            ),
            rhythm.share,
            moves == Moves::With(rhythm.body),
        );
    }
    push_share(
        "share-slow",
        say!("weave that is slower than a belt turn"),
        weave.slow_share,
        moves == Moves::Slow,
    );
    let readings = weave.spectrum.samples.max(1) as f64;
    for rhythm in &weave.rhythms {
        let (number, amplitude_m) = rhythm.largest();
        figures.push(
            Figure::of(
                trace_words::amplitude_id(rhythm.body),
                trace_words::amplitude_words(rhythm.body, number),
                Kind::Length,
                amplitude_m,
                Mark::Derived("least squares waves with a floating mean"),
            )
            // Independent errors of single readings, as the root of their mean square.
            .off_by(Kind::Length, error_m * (2.0 / readings).sqrt()),
        );
        if rhythm.share >= BELT_SILENT {
            figures.push(Figure::of(
                trace_words::turn_id(rhythm.body),
                say!("one turn of ", trace_words::name(rhythm.body), ", as found"),
                Kind::Time,
                1.0 / rhythm.turns_hz,
                Mark::Derived("the line in the record within 3 % of what speed and size say"),
            ));
        }
    }
    figures.push(
        Figure::of(
            "scatter",
            say!("movement of the edge, root mean square"),
            Kind::Length,
            weave.scatter_m,
            Mark::Derived("readings about their mean"),
        )
        .off_by(Kind::Length, error_m),
    );
    figures.push(Figure::of(
        "turns",
        say!("belt turns in the record"),
        Kind::Number,
        weave.turns,
        Mark::Derived("length of the record over the belt's turn"),
    ));
    figures
}

/// The amplitude over waves per belt turn, up to a little past the fastest part that has a say.
fn plot(weave: &Weave, moves: Moves) -> Points {
    const BINS: usize = 60;
    let belt_hz = weave
        .rhythms
        .iter()
        .find(|it| it.body == Body::Belt)
        .map_or(1.0 / weave.every_s, |it| it.turns_hz);
    let most_hz = weave
        .rhythms
        .iter()
        .filter(|it| it.share > BELT_SILENT && it.body != Body::Belt)
        .map(|it| it.turns_hz * it.largest().0 as f64 * 1.25)
        .fold(6.0 * belt_hz, f64::max);
    let mut bins = vec![0.0_f64; BINS];
    for (place, explained) in weave.spectrum.explained.iter().enumerate() {
        let bin = place as f64 * weave.spectrum.step_hz / most_hz * BINS as f64;
        if let Some(most) = bins.get_mut(bin as usize) {
            *most = most.max(*explained);
        }
    }
    let mut points: Vec<Point> = bins
        .iter()
        .enumerate()
        .map(|(place, explained)| Point {
            along: (place as f64 + 0.5) / BINS as f64 * most_hz / belt_hz,
            up: weave.spectrum.amplitude(*explained),
            beyond: false,
            label: None,
        })
        .collect();
    for rhythm in &weave.rhythms {
        let (number, amplitude_m) = rhythm.largest();
        if rhythm.turns_hz * number as f64 <= most_hz {
            points.push(Point {
                along: rhythm.turns_hz * number as f64 / belt_hz,
                up: amplitude_m,
                beyond: moves == Moves::With(rhythm.body),
                label: Some(trace_words::name(rhythm.body).to_owned()),
            });
        }
    }
    Points {
        along: Axis {
            what: "waves per belt turn",
            kind: None,
        },
        up: Axis {
            what: "amplitude of the weave",
            kind: Some(Kind::Length),
        },
        points,
        lines: Vec::new(),
    }
}
