//! Whether the frame runs straight and level: offsets from a string line or laser, and levels across.
//!
//! Offsets are counted to the left of the line of sight. Three lines are laid through them: least squares, Theil
//! and Sen's, which a few stands that are far off do not move, and the narrowest zone, which no other line can beat.

mod asked;
pub(crate) mod key;
mod level;
mod string;
mod told;

pub use string::{shifts, worst_stretch};

use super::asked::{Asked, AskedRow};
use super::limits::shipped;
use super::{Amiss, CanTell, Gauge, Kind, Outcome, Readings, Setting, Tell, read_by};
use crate::say;
use asked::STATION;

/// More stations are no survey of one conveyor.
const MOST_STATIONS: usize = 1000;

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "frame",
    title: "Frame straight and level",
    about: "Tells whether frame and stands run straight and level, which stations are off, and the fewest stands to shift.",
    ways: asked::WAYS,
    tells: &[
        Tell { id: "line", words: &["straight", "bowed", "racked"] },
        Tell { id: "stands", words: &["none", "some"] },
        Tell { id: "low-side", words: &["level", "left", "right"] },
    ],
    limits: shipped::OF_FRAME,
    foretell,
    work,
};

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let asked = Asked::of(readings, setting);
    if asked::is_level(&asked) { level::level(&asked) } else { string::string(&asked) }
}

/// What two readings, across or along, can tell.
fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let asked = Asked::of(readings, setting);
    let two = 2.0_f64.sqrt();
    if asked::is_level(&asked) {
        let error_m = asked.error(&asked::LEVEL_ERROR, &read_by::LEVEL).ok()?;
        let limit = setting.limit(&shipped::FRAME_LEVEL);
        return Some(CanTell::of("the height across", Kind::Length, two * error_m, limit));
    }
    let error_m = asked.error(&asked::STRING_ERROR, &read_by::STRING).ok()?;
    let limit = setting.limit(&shipped::FRAME_STRETCH);
    Some(
        CanTell::of("the straightness of a stretch", Kind::Length, two * error_m, limit)
            .better(say!("Out of the wind a string reads better.")),
    )
}

/// The stations in order from the tail.
fn stations<'a>(asked: &Asked<'a>) -> Result<Vec<(AskedRow<'a>, f64)>, Amiss> {
    if asked.length() > MOST_STATIONS {
        return Err(Amiss::all(say!(format!(
            "more than {MOST_STATIONS} stations: survey the conveyor in parts"
        ))));
    }
    let mut stations = Vec::with_capacity(asked.length());
    for row in asked.rows() {
        let at_m = row.must(&STATION)?;
        if at_m.abs() > 1e5 {
            return Err(row.amiss(&STATION, say!("no conveyor is that long: read it again")));
        }
        stations.push((row, at_m));
    }
    let downhill = matches!(stations.as_slice(), [(_, first), .., (_, last)] if last < first);
    if downhill {
        stations.reverse();
    }
    for pair in stations.windows(2) {
        if let [(before, low), (after, high)] = pair {
            let row = if before.at > after.at { before } else { after };
            if (high - low).abs() < 0.001 {
                return Err(row.amiss(
                    &STATION,
                    say!("this station is given twice: keep one of its readings, or average them with --repeat"),
                ));
            }
            if high < low {
                return Err(row.amiss(
                    &STATION,
                    say!(
                        "stations must run one way along the conveyor: this one is out of order, or mistyped"
                    ),
                ));
            }
        }
    }
    Ok(stations)
}
