//! Whether the frame runs straight and level: offsets from a string line or laser, and levels across.
//!
//! Offsets are counted to the left of the line of sight. Three lines are laid through them: least squares, Theil
//! and Sen's, which a few stands that are far off do not move, and the narrowest zone, which no other line can beat.

mod asked;
pub(crate) mod key;
mod level;
mod told;

use crate::trade::Side;
use told::{plot, string_says};

use super::fit::{Line, least_squares, minimum_zone, most_within, slope_limits, theil_sen};
use super::limits::Shipped;
use super::readings::Keyed;
use super::taken::{error_m, length, must};
use super::{Amiss, Basis, Figure, Gauge, Kind, Outcome, Readings, Setting, Tell, Verdict, Words};
use crate::say;

pub(super) const FRAME_STRETCH: Shipped = Shipped {
    id: "frame-stretch",
    what: "width of the straight zone that holds a stretch of the frame",
    kind: Kind::Length,
    si: 0.003,
    mark: Basis::Published("idler-install-sheet", "straightness, 3 mm in 12 m"),
};

pub(super) const FRAME_STRETCH_LENGTH: Shipped = Shipped {
    id: "frame-stretch-length",
    what: "length of the stretch that must be straight",
    kind: Kind::Distance,
    si: 12.0,
    mark: Basis::Published("idler-install-sheet", "straightness, 3 mm in 12 m"),
};

pub(super) const FRAME_STATION: Shipped = Shipped {
    id: "frame-station",
    what: "how far one stand may lie off the line of all",
    kind: Kind::Length,
    si: 0.003,
    mark: Basis::Derived("the installation sheet's 3 mm for the frame, carried over to one stand"),
};

pub(super) const FRAME_LEVEL: Shipped = Shipped {
    id: "frame-level",
    what: "difference of height across",
    kind: Kind::Length,
    si: 0.003,
    mark: Basis::Published("idler-install-sheet", "level across, whatever the belt width"),
};

/// The limits that its readings are held against.
pub(super) const LIMITS: &[&Shipped] =
    &[&FRAME_STRETCH, &FRAME_STRETCH_LENGTH, &FRAME_STATION, &FRAME_LEVEL];

/// More stations are no survey of one conveyor.
const MOST_STATIONS: usize = 1000;
/// How many standard deviations 95 % is.
const SURE: f64 = 1.959_963_984_540_054;

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "frame",
    title: "Frame straight and level",
    about: "Tells whether frame and stands run straight and level, which stations are off, and the fewest stands to shift.",
    ways: asked::WAYS,
    tells: &[
        Tell { id: "line", words: &["straight", "bowed"] },
        Tell { id: "stands", words: &["none", "some"] },
        Tell { id: "low-side", words: &["level", "left", "right"] },
    ],
    limits: LIMITS,
    work,
};

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    if readings.way == "level" {
        level::level(readings, setting)
    } else {
        string(readings, setting)
    }
}

/// The stations in order from the tail, each with its row.
fn stations(readings: &Readings) -> Result<Vec<(usize, f64)>, Amiss> {
    if readings.rows.len() > MOST_STATIONS {
        return Err(Amiss::all(say!(format!(
            "more than {MOST_STATIONS} stations: survey the conveyor in parts"
        ))));
    }
    let mut stations = Vec::with_capacity(readings.rows.len());
    for (row, reading) in readings.rows.iter().enumerate() {
        let at_m = must(reading, Some(row), key::STATION)?;
        if at_m.abs() > 1e5 {
            return Err(Amiss::at(
                row,
                key::STATION,
                say!("no conveyor is that long: read it again"),
            ));
        }
        stations.push((row, at_m));
    }
    let downhill = matches!(stations.as_slice(), [(_, first), .., (_, last)] if last < first);
    if downhill {
        stations.reverse();
    }
    for pair in stations.windows(2) {
        if let [(before, low), (after, high)] = pair {
            let row = *before.max(after);
            if (high - low).abs() < 0.001 {
                return Err(Amiss::at(
                    row,
                    key::STATION,
                    say!("this station is given twice: keep one of its readings"),
                ));
            }
            if high < low {
                return Err(Amiss::at(
                    row,
                    key::STATION,
                    say!(
                        "stations must run one way along the conveyor: this one is out of order, or mistyped"
                    ),
                ));
            }
        }
    }
    Ok(stations)
}

/// The worst stretch: the widest narrowest zone of all stretches up to a length, and where it begins and ends.
/// Nothing if no stretch has three stations.
pub fn worst_stretch(points: &[(f64, f64)], stretch_m: f64) -> Option<(f64, (f64, f64))> {
    let mut worst: Option<(f64, (f64, f64))> = None;
    let mut begun = f64::NEG_INFINITY;
    for (at, (start, _)) in points.iter().enumerate() {
        let stretch: Vec<(f64, f64)> = points
            .iter()
            .skip(at)
            .copied()
            .take_while(|(along, _)| *along <= start + stretch_m + 1e-9)
            .collect();
        let Some((end, _)) = stretch.last().copied() else {
            continue;
        };
        // A stretch that ends where the one before it did is part of it.
        if stretch.len() < 3 || end <= begun {
            continue;
        }
        begun = end;
        if let Some(zone) = minimum_zone(&stretch)
            && worst.is_none_or(|(width, _)| zone.width > width)
        {
            worst = Some((zone.width, (*start, end)));
        }
    }
    worst
}

/// Which stations stand off a line alone: beyond the limit (or too close to it to call), with the neighbours on it.
fn alone(verdicts: &[Verdict]) -> Vec<Verdict> {
    let on = |at: Option<usize>| {
        at.and_then(|at| verdicts.get(at)).is_none_or(|verdict| *verdict == Verdict::Within)
    };
    verdicts
        .iter()
        .enumerate()
        .map(|(at, verdict)| {
            if on(at.checked_sub(1)) && on(at.checked_add(1)) { *verdict } else { Verdict::Within }
        })
        .collect()
}

fn string(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let error_m = error_m(readings)?;
    let sign = match readings.side(key::LINE) {
        Some(Side::Left) => -1.0,
        Some(Side::Right) => 1.0,
        None => return Err(Amiss::with(key::LINE, say!("this reading is missing"))),
    };
    let stations = stations(readings)?;
    let mut points = Vec::with_capacity(stations.len());
    for (row, at_m) in &stations {
        let gap_m = readings
            .rows
            .get(*row)
            .map_or(Ok(0.0), |reading| must(reading, Some(*row), key::GAP))?;
        if gap_m.abs() > 10.0 {
            return Err(Amiss::at(
                *row,
                key::GAP,
                say!("no frame is that far from its line: read it again"),
            ));
        }
        points.push((*at_m, sign * gap_m));
    }
    let lines = least_squares(&points).zip(theil_sen(&points)).zip(minimum_zone(&points));
    let Some(((squares, robust), zone)) = lines.filter(|_| points.len() >= 3) else {
        return Err(Amiss::all(say!(
            "a line needs at least three stations at different places: measure more"
        )));
    };
    let (each, stretch, over) = (
        setting.limit(&FRAME_STATION),
        setting.limit(&FRAME_STRETCH),
        setting.limit(&FRAME_STRETCH_LENGTH),
    );
    let verdicts: Vec<Verdict> = points
        .iter()
        .map(|point| Verdict::of(robust.off(*point), each.size.si(), error_m))
        .collect();
    let alone = alone(&verdicts);
    let beam: Vec<(f64, f64)> = points
        .iter()
        .zip(&alone)
        .filter(|(_, alone)| **alone != Verdict::Beyond)
        .map(|(point, _)| *point)
        .collect();
    let mut notes = Vec::new();
    let all = worst_stretch(&points, over.size.si());
    let bow = worst_stretch(&beam, over.size.si());
    if all.is_none() {
        notes.push(say!(
            "No stretch of ",
            over.size,
            " has three stations: measure closer together to judge straightness."
        ));
    }
    // A width hangs on three readings; two whole ones bound what they can do together.
    let zone_error_m = 2.0_f64.sqrt() * error_m;
    let stretch_figure = |id, what: Words, found: Option<(f64, (f64, f64))>| {
        found.map(|(width_m, (from_m, to_m))| {
            let mut what = what;
            what.0.extend(say!(", worst from ", length(from_m), " to ", length(to_m)).0);
            Figure::of(
                id,
                what,
                Kind::Length,
                width_m,
                Basis::Derived("narrowest zone between two parallel lines"),
            )
            .off_by(Kind::Length, zone_error_m)
            .against(stretch)
        })
    };
    let straight = stretch_figure("stretch", say!("narrowest zone of any stretch"), all);
    let bowed = stretch_figure("bow", say!("the same without stands that are off alone"), bow);
    let worst = verdicts.iter().copied().fold(Verdict::NoLimit, Verdict::worse);
    let verdict = straight.as_ref().map_or(Verdict::NoLimit, |figure| figure.verdict).worse(worst);
    let off = points
        .iter()
        .map(|point| robust.off(*point))
        .fold(0.0, |worst: f64, off| if off.abs() >= worst.abs() { off } else { worst });
    let mut figures = vec![
        Figure::of(
            "station",
            say!("station farthest off the line of Theil and Sen, plus: to the ", Side::Left),
            Kind::Length,
            off,
            Basis::Derived("median of the slopes of all pairs"),
        )
        .off_by(Kind::Length, error_m)
        .against(each),
    ];
    figures.extend(straight);
    let told_line = match bowed.as_ref().map_or(Verdict::NoLimit, |figure| figure.verdict) {
        Verdict::Within => Some("straight"),
        Verdict::Beyond => Some("bowed"),
        _ => None,
    };
    let some = alone.iter().copied().fold(Verdict::NoLimit, Verdict::worse);
    let told_stands = match some {
        Verdict::Beyond => Some("some"),
        Verdict::TooClose => None,
        Verdict::Within | Verdict::NoLimit => Some("none"),
    };
    if some == Verdict::Beyond {
        figures.extend(bowed);
    }
    let spread = |line: Line| {
        let (low, high) = points
            .iter()
            .map(|point| line.off(*point))
            .fold((f64::MAX, f64::MIN), |(low, high), off| (low.min(off), high.max(off)));
        high - low
    };
    let range =
        |id, what, size_m, from| Figure::of(id, what, Kind::Length, size_m, Basis::Derived(from));
    figures.push(range(
        "zone",
        say!("whole length: width of the narrowest zone"),
        zone.width,
        "narrowest zone between two parallel lines",
    ));
    figures.push(range(
        "zone-theil-sen",
        say!("whole length: width about the line of Theil and Sen"),
        spread(robust),
        "median of the slopes of all pairs",
    ));
    figures.push(range(
        "zone-least-squares",
        say!("whole length: width about the line of least squares"),
        spread(squares.line),
        "least squares",
    ));
    if let Some((low, high)) = slope_limits(&points, SURE) {
        figures.push(
            range(
                "askew",
                say!(
                    "how far the line itself leaves the string or laser in 10 m, plus: to the ",
                    Side::Left
                ),
                robust.slope * 10.0,
                "median of the slopes of all pairs",
            )
            .off_by(Kind::Length, (high - robust.slope).max(robust.slope - low) * 10.0),
        );
    }
    let half_m = each.size.si().min(stretch.size.si() / 2.0);
    let shifts = if verdict == Verdict::Beyond { shifts(&points, half_m) } else { Vec::new() };
    let work: Vec<Words> = shifts
        .iter()
        .map(|(at_m, off_m)| {
            let side = Side::of_sign(-off_m).unwrap_or(Side::Left);
            say!(
                "At ",
                length(*at_m),
                " from the tail shift the stand or beam ",
                length(off_m.abs()),
                " to the ",
                side,
                "."
            )
        })
        .collect();
    if !work.is_empty() {
        notes.push(say!(
            format!(
                "Shifting {} of {} stations is the fewest that brings all into one zone of ",
                work.len(),
                points.len()
            ),
            length(2.0 * half_m),
            ". Mend loose or sunken legs first."
        ));
    }
    notes.push(say!(
        "Straight is taken as: every stretch of ",
        over.size,
        " fits between two parallel lines the limit apart."
    ));
    Ok(Outcome {
        says: string_says(told_line, told_stands, verdict, off, work.len()),
        verdict,
        figures,
        tells: vec![("line", told_line), ("stands", told_stands)],
        work,
        amount: None,
        notes,
        plot: Some(plot(
            &points,
            &verdicts,
            [("least squares", squares.line), ("Theil-Sen", robust), ("narrowest zone", zone.line)],
        )),
    })
}

/// The fewest stations to shift so that all lie within `half_m` of one line: where, and how far left of it each is.
pub fn shifts(points: &[(f64, f64)], half_m: f64) -> Vec<(f64, f64)> {
    let Some(kept) = most_within(points, half_m) else {
        return Vec::new();
    };
    points
        .iter()
        .zip(&kept.keeps)
        .filter(|(_, keeps)| !**keeps)
        .map(|(point, _)| (point.0, kept.line.off(*point)))
        .collect()
}
