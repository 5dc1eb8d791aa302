//! Whether the frame and its stands run straight.

use super::super::asked::{Asked, length};
use super::super::fit::{
    Line, Zone, least_squares, minimum_zone, most_within, slope_limits, theil_sen,
};
use super::super::limits::{Limit, shipped};
use super::super::{Amiss, Basis, Figure, Kind, Outcome, Verdict, Words, read_by};
use super::asked::{DIAGONALS, Diagonals, GAP, LINE, OF, Of, STRING_ERROR};
use super::{stations, told};
use crate::conveyor::quantity::Quantity;
use crate::gauge::words::Piece;
use crate::say;
use crate::trade::Side;

/// How many standard deviations 95 % is.
const SURE: f64 = 1.959_963_984_540_054;
/// No frame is farther from its line.
const FARTHEST_M: f64 = 10.0;

/// The offsets and the lines through them.
struct Surveyed {
    of: Of,
    diagonals: Option<Diagonals>,
    error_m: f64,
    /// Along, and how far left of the line of sight.
    points: Vec<(f64, f64)>,
    squares: Line,
    robust: Line,
    zone: Zone,
}

/// What they are held against.
struct Limits {
    each: Limit,
    stretch: Limit,
    over: Limit,
}

fn surveyed(asked: &Asked) -> Result<Surveyed, Amiss> {
    let sign = match asked.side(&LINE)? {
        Side::Left => -1.0,
        Side::Right => 1.0,
    };
    let mut points = Vec::with_capacity(asked.length());
    for (row, at_m) in stations(asked)? {
        let gap_m = row.must(&GAP)?;
        if gap_m.abs() > FARTHEST_M {
            return Err(row.amiss(&GAP, say!("no frame is that far from its line: read it again")));
        }
        points.push((at_m, sign * gap_m));
    }
    let lines = least_squares(&points).zip(theil_sen(&points)).zip(minimum_zone(&points));
    let Some(((squares, robust), zone)) = lines.filter(|_| points.len() >= 3) else {
        return Err(Amiss::all(say!(
            "a line needs at least three stations at different places: measure more"
        )));
    };
    Ok(Surveyed {
        of: asked.chosen(&OF).unwrap_or(Of::Beam),
        diagonals: asked.chosen(&DIAGONALS),
        error_m: asked.error(&STRING_ERROR, &read_by::STRING)?,
        points,
        squares: squares.line,
        robust,
        zone,
    })
}

impl Surveyed {
    /// How far each station is off the line that single ones do not move, against the limit.
    fn verdicts(&self, each: &Limit) -> Vec<Verdict> {
        let off = |point: &(f64, f64)| self.robust.off(*point);
        self.points
            .iter()
            .map(|point| Verdict::of(off(point), each.size.si(), self.error_m))
            .collect()
    }

    /// The farthest station off it.
    fn worst_off_m(&self) -> f64 {
        let offs = self.points.iter().map(|point| self.robust.off(*point));
        offs.fold(0.0, |worst: f64, off| if off.abs() >= worst.abs() { off } else { worst })
    }

    /// The width of all points about a line.
    fn width_m(&self, line: Line) -> f64 {
        let offs = self.points.iter().map(|point| line.off(*point));
        let (low, high) =
            offs.fold((f64::MAX, f64::MIN), |(low, high), off| (low.min(off), high.max(off)));
        high - low
    }
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

/// The worst stretch of some points against the limit.
fn stretch_figure(
    id: &'static str,
    mut what: Words,
    points: &[(f64, f64)],
    error_m: f64,
    limits: &Limits,
) -> Option<Figure> {
    let (width_m, (from_m, to_m)) = worst_stretch(points, limits.over.size.si())?;
    what.0.extend(say!(", worst from ", Piece::Place(from_m), " to ", Piece::Place(to_m)).0);
    let from = Basis::Derived("narrowest zone between two parallel lines");
    // A width hangs on three readings; two whole ones bound what they can do together.
    let off_m = 2.0_f64.sqrt() * error_m;
    Some(
        Figure::of(id, what, Kind::Length, width_m, from)
            .off_by(Kind::Length, off_m)
            .against(limits.stretch),
    )
}

/// Works out the string way.
pub(super) fn string(asked: &Asked) -> Result<Outcome, Amiss> {
    let surveyed = surveyed(asked)?;
    let limits = Limits {
        each: asked.setting.limit(&shipped::FRAME_STATION),
        stretch: asked.setting.limit(&shipped::FRAME_STRETCH),
        over: asked.setting.limit(&shipped::FRAME_STRETCH_LENGTH),
    };
    let error_m = surveyed.error_m;
    let verdicts = surveyed.verdicts(&limits.each);
    let alone = alone(&verdicts);
    let on_the_beam = |(_, alone): &(&(f64, f64), &Verdict)| **alone != Verdict::Beyond;
    let beam: Vec<(f64, f64)> =
        surveyed.points.iter().zip(&alone).filter(on_the_beam).map(|(point, _)| *point).collect();
    let all = say!("narrowest zone of any stretch");
    let straight = stretch_figure("stretch", all, &surveyed.points, error_m, &limits);
    let without = say!("the same without stands that are off alone");
    let bow = stretch_figure("bow", without, &beam, error_m, &limits);
    let worst = verdicts.iter().copied().fold(Verdict::NoLimit, Verdict::worse);
    let verdict = straight.as_ref().map_or(Verdict::NoLimit, |figure| figure.verdict).worse(worst);
    let some = alone.iter().copied().fold(Verdict::NoLimit, Verdict::worse);
    let bowed = bow.as_ref().map_or(Verdict::NoLimit, |figure| figure.verdict);
    let apart = surveyed.diagonals == Some(Diagonals::Apart);
    let told = told::Told::of(bowed, some, verdict, apart);
    let mut notes = told::notes(straight.is_some(), &limits.over, surveyed.diagonals.is_some());
    let mut figures = vec![station_figure(&surveyed, limits.each)];
    figures.extend(straight);
    figures.extend(bow.filter(|_| some == Verdict::Beyond));
    figures.extend(whole_length(&surveyed));
    let half_m = limits.each.size.si().min(limits.stretch.size.si() / 2.0);
    let to_shift =
        if verdict == Verdict::Beyond { shifts(&surveyed.points, half_m) } else { Vec::new() };
    if !to_shift.is_empty() {
        notes.insert(0, fewest(to_shift.len(), surveyed.points.len(), half_m));
    }
    let mut work: Vec<Words> =
        to_shift.iter().map(|shift| told::shift(surveyed.of, *shift)).collect();
    if apart {
        work.push(say!("Measure a bay of that stretch with the gauge square: it tells which beam leads, and by how much."));
    }
    Ok(Outcome {
        says: told::string_says(told, surveyed.worst_off_m(), to_shift.len(), &figures),
        verdict: if apart { verdict.worse(Verdict::Beyond) } else { verdict },
        figures,
        tells: tells(&surveyed, bowed, some),
        work,
        amount: None,
        notes,
        plot: Some(told::plot(&surveyed.points, &verdicts, "offset", &lines(&surveyed))),
    })
}

/// What is answered: only what was measured. A string on one beam says nothing of the stands nor of the diagonals.
fn tells(
    surveyed: &Surveyed,
    bowed: Verdict,
    some: Verdict,
) -> Vec<(&'static str, Option<&'static str>)> {
    let mut tells = Vec::new();
    match (bowed, surveyed.diagonals) {
        (Verdict::Beyond, _) => tells.push(("line", Some("bowed"))),
        (Verdict::TooClose, _) => tells.push(("line", None)),
        (_, Some(Diagonals::Apart)) => tells.push(("line", Some("racked"))),
        (Verdict::Within, Some(Diagonals::Alike)) if surveyed.of != Of::Stands => {
            tells.push(("line", Some("straight")));
        }
        _ => {}
    }
    if surveyed.of != Of::Beam {
        tells.push((
            "stands",
            match some {
                Verdict::Beyond => Some("some"),
                Verdict::TooClose => None,
                Verdict::Within | Verdict::NoLimit => Some("none"),
            },
        ));
    }
    tells
}

fn station_figure(surveyed: &Surveyed, each: Limit) -> Figure {
    let what = say!("station farthest off the line of Theil and Sen, plus: to the ", Side::Left);
    let from = Basis::Derived("median of the slopes of all pairs");
    Figure::of("station", what, Kind::Length, surveyed.worst_off_m(), from)
        .off_by(Kind::Length, surveyed.error_m)
        .against(each)
}

fn fewest(shifted: usize, of: usize, half_m: f64) -> Words {
    say!(
        format!(
            "Shifting {shifted} of {of} stations is the fewest that brings all into one zone of "
        ),
        length(2.0 * half_m),
        ". Mend loose or sunken legs first."
    )
}

/// How wide the whole length is about each of the three lines, and how far the line itself leaves the line of sight.
fn whole_length(surveyed: &Surveyed) -> Vec<Figure> {
    let Surveyed { points, squares, robust, zone, .. } = surveyed;
    let median = Basis::Derived("median of the slopes of all pairs");
    let narrowest = Basis::Derived("narrowest zone between two parallel lines");
    let of = |id, what, size_m, from| Figure::of(id, what, Kind::Length, size_m, from);
    let mut figures = vec![
        of("zone", say!("whole length: width of the narrowest zone"), zone.width, narrowest),
        of(
            "zone-theil-sen",
            say!("whole length: width about the line of Theil and Sen"),
            surveyed.width_m(*robust),
            median,
        ),
        of(
            "zone-least-squares",
            say!("whole length: width about the line of least squares"),
            surveyed.width_m(*squares),
            Basis::Derived("least squares"),
        ),
    ];
    if let Some((low, high)) = slope_limits(points, SURE) {
        let what = say!(
            "how far the line itself leaves the string or laser in ",
            Quantity::of(Kind::Distance, 10.0),
            ", plus: to the ",
            Side::Left
        );
        let off_m = (high - robust.slope).max(robust.slope - low) * 10.0;
        let askew = of("askew", what, robust.slope * 10.0, median);
        figures.push(askew.off_by(Kind::Length, off_m));
    }
    figures
}

fn lines(surveyed: &Surveyed) -> [(&'static str, Line); 3] {
    [
        ("least squares", surveyed.squares),
        ("Theil-Sen", surveyed.robust),
        ("narrowest zone", surveyed.zone.line),
    ]
}
