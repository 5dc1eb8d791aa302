//! Perfect readings of a sound part pass wherever the gauge said beforehand that it can tell; those of a part 1.5 times
//! beyond its limit never do, whichever way it is off.

use fastrand::Rng;
use straybelt::conveyor::quantity::{self, Quantity};
use straybelt::gauge::catalogue::limit_named;
use straybelt::gauge::{ALL, Kind, Setting, Verdict, named};
use straybelt::trade::Units;

use crate::support::{known, readings};

/// A part that is measured without any error.
struct Part {
    gauge: &'static str,
    way: &'static str,
    single: Vec<(&'static str, String)>,
    rows: Vec<Vec<String>>,
}

/// A part of a size drawn at random, so many times its limit off.
type Draw = fn(&mut Rng, f64) -> Part;

fn between(rng: &mut Rng, low: f64, high: f64) -> f64 {
    low + (high - low) * rng.f64()
}

fn limit(id: &str) -> f64 {
    limit_named(id).unwrap_or_else(|| panic!("no limit {id}")).si
}

fn metres(size: f64) -> String {
    format!("{size:.12} m")
}

fn of(
    words: &[(&'static str, &str)],
    lengths: &[(&'static str, f64)],
) -> Vec<(&'static str, String)> {
    let words = words.iter().map(|(name, word)| (*name, (*word).to_owned()));
    words.chain(lengths.iter().map(|(name, size)| (*name, metres(*size)))).collect()
}

fn pulley(rng: &mut Rng, times: f64) -> Part {
    let (away, across) = (between(rng, 1.0, 30.0), between(rng, 0.5, 3.0));
    let lead = times * limit("pulley-square") * across;
    let lengths = [("left", away), ("right", away + lead), ("across", across)];
    Part {
        gauge: "square",
        way: "pulley",
        single: of(&[("pulley", "tail"), ("to", "line")], &lengths),
        rows: Vec::new(),
    }
}

fn bay(rng: &mut Rng, times: f64) -> Part {
    let (along, across) = (between(rng, 2.0, 8.0), between(rng, 0.6, 2.0));
    let long = times * limit("bay-diagonals");
    let square = along.hypot(across);
    // Equal opposite sides: both diagonals' squares add up to those of all sides.
    let half = long / 2.0;
    let mean = (square * square - half * half).sqrt();
    let sides = [("left", along), ("right", along), ("tail", across), ("head", across)];
    let crossed = [("from_left", mean + half), ("from_right", mean - half)];
    Part {
        gauge: "square",
        way: "bay",
        single: of(&[], &[&sides[..], &crossed].concat()),
        rows: Vec::new(),
    }
}

fn splice_x(rng: &mut Rng, times: f64) -> Part {
    let (along, width) = (between(rng, 1.3, 5.0), between(rng, 0.5, 2.0));
    let lead = times * limit("splice-lead") * width;
    let x = |ahead: f64| (along + ahead).hypot(width);
    let lengths = [
        ("along", along),
        ("width", width),
        ("tail_from_left", x(lead)),
        ("tail_from_right", x(-lead)),
        ("head_from_left", x(-lead)),
        ("head_from_right", x(lead)),
    ];
    Part { gauge: "splice", way: "diagonals", single: of(&[], &lengths), rows: Vec::new() }
}

fn splice_marks(rng: &mut Rng, times: f64) -> Part {
    let half = between(rng, 0.3, 1.0);
    let lead = times * limit("splice-lead") * 2.0 * half;
    let rows =
        [-3.0, -2.0, -1.0, 1.0, 2.0, 3.0].map(|at: f64| [at, half, half].map(metres).to_vec());
    let lengths = [("joint", 0.0), ("ahead_left", lead / 2.0), ("ahead_right", -lead / 2.0)];
    Part { gauge: "splice", way: "marks", single: of(&[], &lengths), rows: rows.to_vec() }
}

fn string(rng: &mut Rng, times: f64) -> Part {
    let gap = between(rng, 0.03, 0.08);
    let off = times * limit("frame-station");
    let rows = (0..7).map(|at| {
        let out = if at == 3 { off } else { 0.0 };
        vec![metres(3.0 * f64::from(at)), metres(gap + out)]
    });
    Part {
        gauge: "frame",
        way: "string",
        single: of(&[("line", "left")], &[]),
        rows: rows.collect(),
    }
}

fn frame_level(rng: &mut Rng, times: f64) -> Part {
    let packing = between(rng, 0.1, 0.2);
    let rows = (0..4).map(|at| {
        vec![
            metres(3.0 * f64::from(at)),
            metres(packing + times * limit("frame-level")),
            metres(packing),
        ]
    });
    Part {
        gauge: "frame",
        way: "level",
        single: of(&[("bigger", "lower")], &[]),
        rows: rows.collect(),
    }
}

fn idlers(rng: &mut Rng, times: f64) -> Part {
    let width = between(rng, 0.5, 2.0);
    let across = width * between(rng, 0.35, 1.2);
    let lead = times * limit("idler-square") * across / width;
    let row = vec!["7".to_owned(), metres(3.0 + lead), metres(3.0)];
    let lengths = [("across", across), ("width", width)];
    Part {
        gauge: "idlers",
        way: "return",
        single: of(&[("datum", "tail")], &lengths),
        rows: vec![row],
    }
}

fn ends(rng: &mut Rng, times: f64) -> Part {
    let diameter = between(rng, 0.3, 1.0);
    let larger = times * limit("ends-alike");
    let rows = [(0.0, larger), (0.5, 0.004 + larger / 2.0), (1.0, 0.0)]
        .map(|(place, more)| vec![metres(place), metres(diameter + more)]);
    let single = of(&[("pulley", "other")], &[("face", 1.0), ("drawn", 0.004)]);
    Part { gauge: "crown", way: "diameters", single, rows: rows.to_vec() }
}

fn sag(rng: &mut Rng, times: f64) -> Part {
    let spacing = between(rng, 2.0, 4.0);
    let (least, most) = (limit("return-sag-least"), limit("return-sag-most"));
    // Sound is half way between both limits.
    let share = if times == 0.0 {
        f64::midpoint(least, most)
    } else if times > 0.0 {
        times * most
    } else {
        least / -times
    };
    let rows = ["1", "2", "3"].map(|span| vec![span.to_owned(), metres(share * spacing)]);
    Part {
        gauge: "sag",
        way: "return",
        single: of(&[], &[("spacing", spacing)]),
        rows: rows.to_vec(),
    }
}

fn takeup(rng: &mut Rng, times: f64) -> Part {
    let out = between(rng, 0.1, 0.5);
    let lengths = [("left", out + times * limit("take-up-lead")), ("right", out)];
    Part {
        gauge: "takeup",
        way: "shaft",
        single: of(&[("marks", "inward")], &lengths),
        rows: Vec::new(),
    }
}

fn heat(rng: &mut Rng, times: f64) -> Part {
    let cool = between(rng, 20.0, 45.0);
    let hot = cool + times * limit("bearing-difference");
    let single = vec![("left", format!("{hot} C")), ("right", format!("{cool} C"))];
    Part { gauge: "heat", way: "infrared", single, rows: Vec::new() }
}

fn load(rng: &mut Rng, times: f64) -> Part {
    let width = between(rng, 0.5, 2.0);
    let off = times * limit("load.offset") * width;
    let bare = 0.2 * width;
    let lengths = [("bare_left", bare - off), ("bare_right", bare + off), ("width", width)];
    Part {
        gauge: "load",
        way: "edges",
        single: of(&[("trough", "troughed")], &lengths),
        rows: Vec::new(),
    }
}

fn transition(rng: &mut Rng, times: f64) -> Part {
    // 3.2 widths are printed for 35 degrees and the most pull; nobody stands too far from a pulley.
    let width = between(rng, 0.5, 2.0);
    let distance = if times == 0.0 { 2.0 * 3.2 * width } else { 3.2 * width / times.abs() };
    let words = [
        ("height", "centre-roll"),
        ("pull_used", "most"),
        ("carcass", "fabric"),
        ("trough_angle", "35 deg"),
    ];
    let single = of(&words, &[("distance", distance), ("width", width)]);
    Part { gauge: "transition", way: "tape", single, rows: Vec::new() }
}

fn line(rng: &mut Rng, times: f64) -> Part {
    let (along, out) = (between(rng, 0.8, 6.0), between(rng, 0.4, 3.0));
    let lean = (times * limit("line-square")).atan();
    let slant = |sign: f64| (along - sign * out * lean.sin()).hypot(out * lean.cos());
    let lengths =
        [("along", along), ("out", out), ("left_slant", slant(1.0)), ("right_slant", slant(-1.0))];
    Part {
        gauge: "line",
        way: "diagonals",
        single: of(&[("toward", "head")], &lengths),
        rows: Vec::new(),
    }
}

fn line_triangles(rng: &mut Rng, times: f64) -> Part {
    let (along, out) = (between(rng, 2.0, 8.0), between(rng, 1.0, 5.0));
    let lean = (times * limit("line-square")).atan();
    let slant = (along - out * lean.sin()).hypot(out * lean.cos());
    let lengths = [("along", along), ("left_out", out), ("left_slant", slant)];
    Part {
        gauge: "line",
        way: "triangles",
        single: of(&[("toward", "tail")], &lengths),
        rows: Vec::new(),
    }
}

fn spirit(rng: &mut Rng, times: f64) -> Part {
    let base = between(rng, 0.2, 1.5);
    let packing = times.abs() * limit("pulley-level") * base;
    let names = if times > 0.0 {
        ["left_packing", "left_turned", "right_packing", "right_turned"]
    } else {
        ["right_packing", "right_turned", "left_packing", "left_turned"]
    };
    let [one, again, none, nothing] = names;
    let lengths = [("base", base), (one, packing), (again, packing), (none, 0.0), (nothing, 0.0)];
    Part { gauge: "level", way: "spirit", single: of(&[], &lengths), rows: Vec::new() }
}

fn water(rng: &mut Rng, times: f64) -> Part {
    let across = between(rng, 0.5, 3.0);
    let lengths = [
        ("left", 0.1 + times * limit("pulley-level") * across),
        ("right", 0.1),
        ("across", across),
    ];
    Part {
        gauge: "level",
        way: "water",
        single: of(&[("bigger", "higher")], &lengths),
        rows: Vec::new(),
    }
}

fn snub(rng: &mut Rng, times: f64) -> Part {
    let (away, across) = (between(rng, 0.5, 3.0), between(rng, 0.5, 3.0));
    let lengths = [
        ("left", away + times * limit("snub-square") * across),
        ("right", away),
        ("across", across),
    ];
    Part {
        gauge: "snub",
        way: "tape",
        single: of(&[("from", "pulley")], &lengths),
        rows: Vec::new(),
    }
}

fn roll(rng: &mut Rng, times: f64) -> Part {
    let clean = between(rng, 0.08, 0.2);
    let caked = clean + 2.0 * times.abs() * limit("roll-cake");
    let row = vec!["1".to_owned(), metres(caked), metres(caked), metres(caked)];
    Part { gauge: "roll", way: "caliper", single: of(&[], &[("clean", clean)]), rows: vec![row] }
}

fn runout(rng: &mut Rng, times: f64) -> Part {
    let phase = between(rng, 0.0, 6.0);
    let swing = times * limit("shell-runout") / 2.0;
    let rows = (0..8).map(|mark| {
        let turned = std::f64::consts::TAU * f64::from(mark) / 8.0;
        // A mark stands where the dial reads most.
        let read = swing
            * (turned
                - (phase * 8.0 / std::f64::consts::TAU).round() * std::f64::consts::TAU / 8.0)
                .cos();
        vec![format!("{} deg", turned.to_degrees()), metres(read), metres(0.0)]
    });
    Part {
        gauge: "runout",
        way: "dial",
        single: of(&[("hub", "tight")], &[]),
        rows: rows.collect(),
    }
}

fn height(rng: &mut Rng, times: f64) -> Part {
    let pitch = between(rng, 1.0, 3.0);
    let rise = times * limit("idler-height") * pitch;
    let rows = [(1.0, 0.0), (2.0, rise), (3.0, 0.0)].map(|(at, up)| {
        vec![format!("{at:.0}"), metres(at * pitch), metres(0.1 + up), metres(0.1 + up)]
    });
    Part {
        gauge: "height",
        way: "level",
        single: of(&[("bigger", "higher")], &[]),
        rows: rows.to_vec(),
    }
}

fn bow(rng: &mut Rng, times: f64) -> Part {
    let long = between(rng, 8.0, 20.0);
    let deep = times * limit("belt-bow") * long;
    let rows = [0.0, 0.25, 0.5, 0.75, 1.0].map(|at: f64| {
        vec!["1".to_owned(), metres(at * long), metres(4.0 * deep * at * (1.0 - at))]
    });
    Part { gauge: "bow", way: "string", single: of(&[("edge", "left")], &[]), rows: rows.to_vec() }
}

fn slip(rng: &mut Rng, times: f64) -> Part {
    let pulley = between(rng, 0.5, 4.0);
    // A belt is never faster than its drive.
    let belt = pulley * (1.0 - times.abs() * limit("belt-slip"));
    let single = vec![
        ("pulley_speed", format!("{pulley:.12} m/s")),
        ("belt_speed", format!("{belt:.12} m/s")),
        ("when", "start".to_owned()),
    ];
    Part { gauge: "slip", way: "speeds", single, rows: Vec::new() }
}

fn slip_timed(rng: &mut Rng, times: f64) -> Part {
    let (diameter, seconds) = (between(rng, 0.3, 1.0), between(rng, 20.0, 200.0));
    let passed = std::f64::consts::PI * diameter * 60.0 * (1.0 - times.abs() * limit("belt-slip"));
    let mut single = of(&[("turns", "60")], &[("diameter", diameter), ("passed", passed)]);
    single.extend(["turns_time", "passed_time"].map(|name| (name, format!("{seconds:.9} s"))));
    Part { gauge: "slip", way: "timed", single, rows: Vec::new() }
}

fn weight(rng: &mut Rng, times: f64) -> Part {
    let drawn = between(rng, 2000.0, 50_000.0);
    let hangs = drawn * (1.0 + times * limit("weight-drawn"));
    let single = vec![("weight", format!("{hangs:.9} N")), ("drawn", format!("{drawn:.9} N"))];
    Part { gauge: "weight", way: "hung", single, rows: Vec::new() }
}

const DRAWS: &[Draw] = &[
    pulley,
    bay,
    splice_x,
    splice_marks,
    string,
    frame_level,
    idlers,
    ends,
    sag,
    takeup,
    heat,
    load,
    transition,
    line,
    line_triangles,
    spirit,
    water,
    snub,
    roll,
    runout,
    height,
    bow,
    slip,
    slip_timed,
    weight,
];

/// Gauges that hold no part against a limit: one screw on paper, what a weave belongs to, and where to trim.
const NO_PART: [&str; 4] = ["side-load", "spread", "trace", "trim"];

impl Part {
    /// What the gauge says beforehand, and what it makes of the readings.
    fn judged(&self) -> (bool, Verdict) {
        let gauge = named(self.gauge).unwrap();
        let single: Vec<(&str, &str)> =
            self.single.iter().map(|(name, text)| (*name, text.as_str())).collect();
        let rows: Vec<Vec<&str>> =
            self.rows.iter().map(|row| row.iter().map(String::as_str).collect()).collect();
        let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
        let readings = readings(gauge, self.way, &single, &rows);
        let setting = Setting { facts: known(&[("class", "troughed-bulk")]), ..Setting::default() };
        let setting = if self.gauge == "heat" {
            Setting { facts: known(&[("dust_burns", "no")]), ..Setting::default() }
        } else {
            setting
        };
        let mut setting = setting;
        if let Some(half) =
            self.rows.first().filter(|_| self.way == "marks").and_then(|row| row.get(1))
        {
            // How wide the belt is stands in the conveyor's file.
            let half = quantity::read(half, Kind::Length, Units::Metric).unwrap().si();
            setting.dimensions.insert("belt.width", Quantity::of(Kind::Length, 2.0 * half));
        }
        let tells = (gauge.foretell)(&readings, &setting).is_some_and(|told| told.tells());
        let outcome = (gauge.work)(&readings, &setting)
            .unwrap_or_else(|amiss| panic!("{} {}: {amiss:?}", self.gauge, self.way));
        (tells, outcome.verdict)
    }
}

#[test]
fn a_sound_part_passes_where_the_gauge_said_that_it_can_tell() {
    let mut rng = Rng::with_seed(7);
    for draw in DRAWS {
        let mut told = 0;
        for _ in 0..200 {
            let part = draw(&mut rng, 0.0);
            let (tells, verdict) = part.judged();
            told += u32::from(tells);
            assert!(
                !tells || verdict == Verdict::Within,
                "{} {}: {verdict:?} of {:?} {:?}",
                part.gauge,
                part.way,
                part.single,
                part.rows
            );
        }
        let part = draw(&mut rng, 0.0);
        assert!(told > 0, "{} {} never said that it can tell", part.gauge, part.way);
    }
}

#[test]
fn a_part_half_as_much_again_beyond_its_limit_never_passes() {
    let mut rng = Rng::with_seed(8);
    for draw in DRAWS {
        for _ in 0..200 {
            for times in [1.5, -1.5] {
                let part = draw(&mut rng, times);
                let (_, verdict) = part.judged();
                assert_ne!(
                    verdict,
                    Verdict::Within,
                    "{} {}: {:?} {:?}",
                    part.gauge,
                    part.way,
                    part.single,
                    part.rows
                );
            }
        }
    }
}

#[test]
fn every_gauge_that_judges_a_part_is_put_to_this_proof() {
    let mut rng = Rng::with_seed(9);
    let proved: Vec<&str> = DRAWS.iter().map(|draw| draw(&mut rng, 0.0).gauge).collect();
    for gauge in ALL {
        assert!(proved.contains(&gauge.id) != NO_PART.contains(&gauge.id), "{}", gauge.id);
    }
}
