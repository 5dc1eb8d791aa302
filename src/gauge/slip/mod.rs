//! Whether the belt slips on its drive: the speed of the pulley's face against that of the belt.

mod asked;
pub(crate) mod key;
mod told;

use super::asked::Asked;
use super::limits::shipped;
use super::{
    Amiss, Basis, CanTell, Figure, Gauge, Kind, Outcome, Readings, Setting, Tell, Verdict, read_by,
};
use crate::say;
use asked::When;

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "slip",
    title: "Slip of the belt on its drive",
    about: "Tells how much slower the belt runs than its drive pulley, and whether that is slip or the usual creep.",
    ways: asked::WAYS,
    tells: &[Tell { id: "slips", words: &["no", "yes"] }],
    limits: shipped::OF_SLIP,
    foretell,
    work,
};

/// A belt does not run faster than its drive by more than this, nor slower by more than that.
const LEAST: f64 = -0.2;
const MOST: f64 = 0.95;

/// Two speeds, each with the share that it may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Speeds {
    /// Of the pulley's face where the middle of the belt runs.
    pub pulley_m_s: f64,
    /// Of the belt.
    pub belt_m_s: f64,
    /// How far off both together may be, as a share.
    pub error: f64,
}

impl Speeds {
    /// How much slower the belt is, as a share of the pulley's speed.
    pub fn slip(self) -> f64 {
        1.0 - self.belt_m_s / self.pulley_m_s
    }

    /// How far off that may be.
    pub fn slip_error(self) -> f64 {
        self.error * self.belt_m_s / self.pulley_m_s
    }
}

/// From turns counted and a length of belt, both timed. A belt that is wrapped runs where its own middle is.
fn timed(asked: &Asked) -> Result<Speeds, Amiss> {
    let diameter_m = asked.must(&asked::DIAMETER)? + asked.or(&asked::THICKNESS, 0.0)?;
    let turns = asked.count(&asked::TURNS).map(f64::from);
    let turns = turns
        .ok_or_else(|| Amiss::with(key::TURNS, say!("count the turns of the drive pulley")))?;
    let (turns_s, passed_s) = (asked.must(&asked::TURNS_TIME)?, asked.must(&asked::PASSED_TIME)?);
    let passed_m = asked.must(&asked::PASSED)?;
    let clock_s = asked.error(&asked::CLOCK_ERROR, &read_by::STOPWATCH)?;
    for (key, time_s) in [(key::TURNS_TIME, turns_s), (key::PASSED_TIME, passed_s)] {
        if time_s < 4.0 * clock_s {
            return Err(Amiss::with(
                key,
                say!("so short a time tells nothing: count for a minute or so"),
            ));
        }
    }
    let shares = [
        asked.setting.reading_error(&read_by::GIRTH) / diameter_m,
        clock_s / turns_s,
        asked.setting.reading_error(&read_by::LONG_TAPE) / passed_m,
        clock_s / passed_s,
    ];
    Ok(Speeds {
        pulley_m_s: std::f64::consts::PI * diameter_m * turns / turns_s,
        belt_m_s: passed_m / passed_s,
        error: shares.into_iter().fold(0.0, f64::hypot),
    })
}

fn speeds(asked: &Asked) -> Result<Speeds, Amiss> {
    if !asked::by_speeds(asked) {
        return timed(asked);
    }
    Ok(Speeds {
        pulley_m_s: asked.must(&asked::PULLEY_SPEED)?,
        belt_m_s: asked.must(&asked::BELT_SPEED)?,
        error: 2.0_f64.sqrt() * asked.error(&asked::SPEED_ERROR, &read_by::TACHOMETER)?,
    })
}

/// What times or speeds tell of slip.
fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let asked = Asked::of(readings, setting);
    let error = if asked::by_speeds(&asked) {
        2.0_f64.sqrt() * asked.error(&asked::SPEED_ERROR, &read_by::TACHOMETER).ok()?
    } else {
        speeds(&asked).ok()?.error
    };
    let limit = setting.limit(&shipped::BELT_SLIP);
    Some(
        CanTell::of("slip of the belt", Kind::Percent, error, limit)
            .better(say!("Or count and time for longer.")),
    )
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let asked = Asked::of(readings, setting);
    let speeds = speeds(&asked)?;
    if !(LEAST..=MOST).contains(&speeds.slip()) {
        let key = if asked::by_speeds(&asked) { key::BELT_SPEED } else { key::PASSED };
        return Err(Amiss::with(
            key,
            say!("these two speeds are not of one belt and its drive: check both and their units"),
        ));
    }
    // A belt that seems the faster one does not slip.
    let slip = Figure::of(
        "slip",
        say!("how much slower the belt is than the pulley's face"),
        Kind::Percent,
        speeds.slip(),
        Basis::Derived("one less the ratio of both speeds"),
    )
    .off_by(Kind::Percent, speeds.slip_error());
    let limit = setting.limit(&shipped::BELT_SLIP);
    let verdict = Verdict::of(speeds.slip().max(0.0), limit.size.si(), speeds.slip_error());
    let slip = Figure { limit: Some(limit), verdict, ..slip };
    let read = Basis::Derived("the readings");
    let pulley = Figure::of(
        "pulley-speed",
        say!("speed of the pulley's face"),
        Kind::Speed,
        speeds.pulley_m_s,
        read,
    );
    let belt =
        Figure::of("belt-speed", say!("speed of the belt"), Kind::Speed, speeds.belt_m_s, read);
    let when = asked.chosen::<When>(&asked::WHEN);
    let word = match (verdict, when) {
        (Verdict::Beyond, _) => Some("yes"),
        // It slips first when the pull is greatest.
        (Verdict::Within, Some(When::Start)) => Some("no"),
        _ => None,
    };
    Ok(Outcome {
        says: told::says(speeds, &slip),
        verdict,
        figures: vec![slip, pulley, belt],
        tells: vec![("slips", word)],
        work: if verdict == Verdict::Beyond { told::work() } else { Vec::new() },
        notes: told::notes(&asked, speeds, when, verdict),
        amount: None,
        plot: None,
    })
}
