//! Whether the shell of a pulley runs true: a dial at both ends over one turn.
//!
//! What the dial does once per turn is the shell running off its centre. Both ends alike: a bent shaft or an off-centre
//! shell. Both ends against each other: a shell askew on its shaft.

mod asked;
pub(crate) mod key;
mod swing;
mod told;

pub use swing::{Swing, swing};

use super::asked::Asked;
use super::limits::shipped;
use super::{
    Amiss, Basis, CanTell, Figure, Gauge, Kind, Outcome, Readings, Setting, Tell, Verdict, read_by,
};
use crate::say;
use crate::trade::Side;
use asked::Hub;

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "runout",
    title: "Run-out of a pulley's shell",
    about: "Tells whether a pulley's shell runs true, and whether shaft or shell is the one that is off.",
    ways: &[asked::DIAL],
    tells: &[Tell { id: "shell", words: &["true", "untrue"] }],
    limits: shipped::OF_RUNOUT,
    foretell,
    work,
};

/// Marks must not lie further apart than this, rad.
const WIDEST: f64 = 100.0 / 180.0 * std::f64::consts::PI;
/// No shell that a belt ran on is out by more, m.
const FURTHEST_M: f64 = 0.05;

/// What a dial tells of run-out.
fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let error_m = Asked::of(readings, setting).error(&asked::ERROR, &read_by::DIAL_GAUGE).ok()?;
    let limit = setting.limit(&shipped::SHELL_RUNOUT);
    Some(CanTell::of("run-out of the shell", Kind::Length, 2.0_f64.sqrt() * error_m, limit))
}

/// What both dials did.
struct Found {
    turned_rad: Vec<f64>,
    reads_m: [Vec<f64>; 2],
    swings: [Swing; 2],
    hub: Option<Hub>,
    error_m: f64,
}

impl Found {
    /// From the largest reading to the smallest, left and right.
    fn runouts_m(&self) -> [f64; 2] {
        let [left, right] = &self.reads_m;
        [left, right].map(|reads| {
            let most = reads.iter().copied().fold(f64::MIN, f64::max);
            most - reads.iter().copied().fold(f64::MAX, f64::min)
        })
    }

    /// What both ends do together, and against each other.
    fn together_and_against_m(&self) -> (f64, f64) {
        let [left, right] = self.swings;
        let half = |sign: f64| {
            (left.cosine_m + sign * right.cosine_m).hypot(left.sine_m + sign * right.sine_m) / 2.0
        };
        (half(1.0), half(-1.0))
    }
}

fn found(asked: &Asked) -> Result<Found, Amiss> {
    let (mut turned_rad, mut reads_m) = (Vec::new(), [Vec::new(), Vec::new()]);
    for row in asked.rows() {
        let at_rad = row.must(&asked::TURNED)?;
        let before = turned_rad.last().copied();
        if before.is_some_and(|before| at_rad <= before) || at_rad >= std::f64::consts::TAU - 1e-6 {
            return Err(row.amiss(
                &asked::TURNED,
                say!("marks must run on from the start, less than one full turn, none twice"),
            ));
        }
        turned_rad.push(at_rad);
        let [left, right] = &mut reads_m;
        for (reads, wanted) in [(left, &asked::LEFT), (right, &asked::RIGHT)] {
            let read_m = row.must(wanted)?;
            if read_m.abs() > FURTHEST_M {
                return Err(row
                    .amiss(wanted, say!("no dial reads that far: check the number and its unit")));
            }
            reads.push(read_m);
        }
    }
    let next = turned_rad.iter().skip(1).copied();
    let full = turned_rad.first().map(|first| first + std::f64::consts::TAU);
    let wide = turned_rad.iter().zip(next.chain(full)).any(|(at, next)| next - at > WIDEST);
    let swings = reads_m.each_ref().map(|reads| swing(&turned_rad, reads));
    let [Some(left), Some(right)] = swings else {
        return Err(Amiss::all(say!("too few marks: read at eight, evenly round the shell")));
    };
    if wide {
        return Err(Amiss::all(say!(
            "the marks leave more than a quarter of the shell unread: read at eight, evenly round it"
        )));
    }
    Ok(Found {
        turned_rad,
        reads_m,
        swings: [left, right],
        hub: asked.chosen(&asked::HUB),
        error_m: asked.error(&asked::ERROR, &read_by::DIAL_GAUGE)?,
    })
}

fn figures(found: &Found, setting: &Setting) -> Vec<Figure> {
    let limit = setting.limit(&shipped::SHELL_RUNOUT);
    let read = Basis::Derived("largest less smallest reading of the dial");
    let wave = Basis::Derived("the wave of one turn, by least squares");
    let ends = [Side::Left, Side::Right].into_iter();
    let mut figures = Vec::new();
    for ((side, runout_m), id) in
        ends.clone().zip(found.runouts_m()).zip(["runout-left", "runout-right"])
    {
        figures.push(
            Figure::of(id, say!("run-out of the ", side, " end"), Kind::Length, runout_m, read)
                .off_by(Kind::Length, 2.0_f64.sqrt() * found.error_m)
                .against(limit),
        );
    }
    let ids = ["off-centre-left", "off-centre-right"];
    for ((side, swing), id) in ends.zip(found.swings).zip(ids) {
        let what = say!("how far the ", side, " end runs off its centre");
        figures.push(
            Figure::of(id, what, Kind::Length, swing.size_m(), wave)
                .off_by(Kind::Length, swing.error * found.error_m),
        );
    }
    let (together_m, against_m) = found.together_and_against_m();
    let [left, right] = found.swings;
    let both = left.error.hypot(right.error) / 2.0 * found.error_m;
    for (id, what, size_m) in [
        ("together", "of that, both ends together: shaft bent or shell off centre", together_m),
        ("against", "of that, the ends against each other: shell askew on its shaft", against_m),
    ] {
        figures.push(
            Figure::of(id, say!(what), Kind::Length, size_m, wave).off_by(Kind::Length, both),
        );
    }
    figures
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let found = found(&Asked::of(readings, setting))?;
    let figures = figures(&found, setting);
    let verdict =
        figures.iter().fold(Verdict::NoLimit, |worst, figure| worst.worse(figure.verdict));
    let moved = found.hub == Some(Hub::Moved);
    // That it is true and fast needs the look at the hub too.
    let word = match (verdict, found.hub) {
        _ if moved => Some("untrue"),
        (Verdict::Beyond, _) => Some("untrue"),
        (Verdict::Within, Some(Hub::Tight)) => Some("true"),
        _ => None,
    };
    Ok(Outcome {
        says: told::says(&found, verdict, &figures),
        verdict: if moved { Verdict::Beyond } else { verdict },
        tells: vec![("shell", word)],
        work: told::work(&found, verdict),
        notes: told::notes(&found),
        amount: None,
        plot: Some(told::plot(&found, verdict)),
        figures,
    })
}
