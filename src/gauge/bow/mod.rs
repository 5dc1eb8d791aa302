//! Whether a length of belt bows: gaps from a string along its edge.
//!
//! A bow is above nothing when the LEFT edge is hollow, which makes it the shorter one.

mod arc;
mod asked;
pub(crate) mod key;
mod told;

pub use arc::{Arc, arc};

use super::asked::Asked;
use super::limits::{Limit, shipped};
use super::{
    Amiss, Basis, CanTell, Figure, Gauge, Kind, Outcome, Readings, Setting, Tell, Verdict, read_by,
};
use crate::say;
use crate::trade::Side;

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "bow",
    title: "Bow of a length of belt",
    about: "Tells whether a slack length of belt bows, which edge is the shorter one, and whether two lengths bow opposite ways.",
    ways: &[asked::STRING],
    tells: &[Tell { id: "bows", words: &["straight", "one-way", "opposed"] }],
    limits: shipped::OF_BOW,
    foretell,
    work,
};

/// The length that the book asks for.
const USUAL_M: f64 = 10.0;
/// What one gap's error comes to in a bow of five places evenly along the string.
const OF_FIVE: f64 = 1.069;
/// No edge lies further from its string than this share of it.
const STEEPEST: f64 = 0.2;

/// What gaps of five places over 10 m tell.
fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let error_m = Asked::of(readings, setting).error(&asked::ERROR, &read_by::STRING).ok()?;
    let limit = setting.limit(&shipped::BELT_BOW).over(USUAL_M);
    Some(CanTell::of("bow in 10 m of belt", Kind::Length, OF_FIVE * error_m, limit))
}

/// A length of belt by its name.
struct Length {
    name: String,
    points: Vec<(f64, f64)>,
    arc: Arc,
    /// The arc's depth, above nothing when the left edge is hollow.
    bow_m: f64,
    error_m: f64,
    limit: Limit,
    verdict: Verdict,
}

impl Length {
    fn share(&self) -> f64 {
        self.bow_m.abs() / self.arc.long_m
    }

    /// The edge that is hollow, and so the shorter one.
    fn hollow(&self) -> Side {
        Side::of_sign(self.bow_m).unwrap_or(Side::Left)
    }
}

/// What the lengths come to.
#[derive(Clone, Copy, PartialEq)]
enum Stands {
    Straight,
    /// Bowed, all that are so to one side.
    OneWay,
    /// Some one way, some the other.
    Opposed,
    TooClose,
}

impl Stands {
    fn of(lengths: &[Length]) -> Self {
        let any = |verdict, hollow| {
            lengths.iter().any(|it| it.verdict == verdict && it.hollow() == hollow)
        };
        match (any(Verdict::Beyond, Side::Left), any(Verdict::Beyond, Side::Right)) {
            (true, true) => Self::Opposed,
            (true, false) | (false, true) => Self::OneWay,
            (false, false) if lengths.iter().any(|it| it.verdict == Verdict::TooClose) => {
                Self::TooClose
            }
            (false, false) => Self::Straight,
        }
    }

    fn word(self, lengths: &[Length]) -> Option<&'static str> {
        match self {
            Self::Straight => Some("straight"),
            Self::Opposed => Some("opposed"),
            // One that may be beyond its limit too may bow the other way.
            Self::OneWay if lengths.iter().all(|it| it.verdict != Verdict::TooClose) => {
                Some("one-way")
            }
            Self::OneWay | Self::TooClose => None,
        }
    }
}

fn lengths(asked: &Asked) -> Result<Vec<Length>, Amiss> {
    let error_m = asked.error(&asked::ERROR, &read_by::STRING)?;
    let sign = match asked.side(&asked::EDGE)? {
        Side::Left => 1.0,
        Side::Right => -1.0,
    };
    let mut named: Vec<(String, Vec<(f64, f64)>)> = Vec::new();
    for row in asked.rows() {
        let name = row.name(&asked::PART).unwrap_or("1");
        let (at_m, gap_m) = (row.must(&asked::AT)?, row.must(&asked::GAP)?);
        let place = named.iter().position(|(known, _)| known == name).unwrap_or(named.len());
        if place == named.len() {
            named.push((name.to_owned(), Vec::new()));
        }
        let Some((_, points)) = named.get_mut(place) else {
            continue;
        };
        if points.last().is_some_and(|(before, _): &(f64, f64)| at_m - before < 0.01) {
            return Err(row.amiss(
                &asked::AT,
                say!("places of one length must run from the tail end on, none twice"),
            ));
        }
        points.push((at_m, gap_m));
    }
    let limit = asked.setting.limit(&shipped::BELT_BOW);
    named
        .into_iter()
        .map(|(name, points)| {
            let arc = arc(&points).ok_or_else(|| {
                Amiss::all(say!(format!(
                    "length {name}: a bow needs three places or more, at both ends and between"
                )))
            })?;
            let steep = points.iter().any(|(_, gap_m)| gap_m.abs() > STEEPEST * arc.long_m);
            if steep {
                return Err(Amiss::all(say!(format!(
                    "length {name}: an edge so far from its string is no edge along it. Check places, gaps and units"
                ))));
            }
            let (limit, error_m) = (limit.over(arc.long_m), arc.error * error_m);
            let verdict = Verdict::of(arc.deep_m, limit.size.si(), error_m);
            Ok(Length { name, points, bow_m: sign * arc.deep_m, arc, error_m, limit, verdict })
        })
        .collect()
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let asked = Asked::of(readings, setting);
    let lengths = lengths(&asked)?;
    let worst = lengths.iter().max_by(|a, b| a.share().total_cmp(&b.share()));
    let worst = worst.ok_or_else(|| Amiss::all(say!("no places: measure three or more")))?;
    let stands = Stands::of(&lengths);
    let by_arc = Basis::Derived("least squares of an even bow");
    let what = say!("bow of the worst length, plus: the ", Side::Left, " edge is hollow");
    let bow = Figure::of("bow", what, Kind::Length, worst.bow_m, by_arc)
        .off_by(Kind::Length, worst.error_m)
        .against(worst.limit);
    let long_m = worst.arc.long_m;
    let share = Figure::of(
        "bow-share",
        say!("that is, of its string"),
        Kind::Percent,
        worst.share(),
        by_arc,
    )
    .off_by(Kind::Percent, worst.error_m / long_m)
    .against(setting.limit(&shipped::BELT_BOW));
    let largest = Figure::of(
        "largest",
        say!("largest gap from the line through both ends"),
        Kind::Length,
        worst.arc.largest_m,
        Basis::Derived("the gaps less those of the ends"),
    );
    let mut figures = vec![bow.clone(), share, largest];
    if let Some(width_m) = asked.may(&asked::WIDTH)? {
        let curve = 8.0 / long_m.powi(2) * width_m;
        figures.push(
            Figure::of(
                "edge-longer",
                say!("how much longer the ", worst.hollow().other(), " edge is than the other"),
                Kind::Percent,
                curve * worst.bow_m.abs(),
                Basis::Derived("width over the radius of the arc"),
            )
            .off_by(Kind::Percent, curve * worst.error_m),
        );
    }
    Ok(Outcome {
        says: told::says(worst, stands, &bow),
        verdict: lengths.iter().fold(Verdict::NoLimit, |so_far, it| so_far.worse(it.verdict)),
        figures,
        tells: vec![("bows", stands.word(&lengths))],
        work: told::work(stands),
        notes: told::notes(&lengths),
        amount: None,
        plot: Some(told::plot(worst)),
    })
}
