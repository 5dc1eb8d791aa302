//! What is left of a pulley's crown, and whether one end of its face is the larger.
//!
//! The crown is counted on the diameter: the middle's less the mean of both ends'.

mod asked;
pub(crate) mod key;
mod shape;
mod told;

use crate::trade::{Carcass, ConveyorClass, Side};
pub use shape::{Face, Shape, light_height_m, trapezoid_height_m};

use super::limits::Shipped;
use super::taken::{error_or, length, long, may, may_long, must, over, word};
use super::{
    Amiss, Basis, Figure, Gauge, Kind, Limit, Mark, Outcome, Readings, Setting, Tell, Verdict,
    Words,
};
use crate::say;

const GUIDE: Basis = Basis::Published("light-belt-guidelines", "chapter 11, crown by diameter");

pub(super) const CROWN_RATE: Shipped = Shipped {
    id: "crown-rate",
    what: "crown on the diameter, share of the face",
    kind: Kind::Percent,
    // 1/8 in per ft.
    si: 0.125 / 12.0,
    mark: Basis::Published("crowned-pulley-page", "upper limit of crown, per ft of face"),
};

pub(super) const CROWN_MOST: Shipped = Shipped {
    id: "crown-most",
    what: "crown on the diameter",
    kind: Kind::Length,
    // 1/8 in.
    si: 0.003_175,
    mark: Basis::Published("crowned-pulley-page", "upper limit of crown"),
};

pub(super) const CROWN_LEFT: Shipped = Shipped {
    id: "crown-left",
    what: "least crown left, share of what it should be",
    kind: Kind::Percent,
    si: 0.5,
    mark: Basis::Derived(
        "a crown centres in proportion to its height: half left is half the effect",
    ),
};

pub(super) const ENDS_ALIKE: Shipped = Shipped {
    id: "ends-alike",
    what: "difference in diameter of both ends of a pulley's face",
    kind: Kind::Length,
    si: 0.002,
    mark: Basis::CommonPractice,
};

/// The limits that its readings are held against.
pub(super) const LIMITS: &[&Shipped] = &[&CROWN_RATE, &CROWN_MOST, &CROWN_LEFT, &ENDS_ALIKE];

/// The usual crown of bulk belts: 1/16 in on the diameter in 1 ft of face.
const USUAL_RATE: f64 = 0.0625 / 12.0;

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "crown",
    title: "Crown and wear of a pulley",
    about: "Tells what is left of a pulley's crown, whether its face is hollow, and whether one end is the larger.",
    ways: asked::WAYS,
    tells: &[
        Tell { id: "face", words: &["as-drawn", "flat-or-hollow", "too-much"] },
        Tell { id: "bigger-end", words: &["even", "left", "right"] },
    ],
    limits: LIMITS,
    work,
};

/// How much crown there should be, on the diameter, and what says so.
struct Should {
    crown_m: f64,
    mark: Mark,
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let gaps = readings.way == "gaps";
    let pulley = word(readings, None, key::PULLEY)?;
    let file = |path_tail, path_head| match pulley {
        "tail" => setting.dimension(path_tail),
        "head" => setting.dimension(path_head),
        _ => None,
    };
    let error_m =
        if gaps { 2.0 * error_or(readings, 0.000_1)? } else { error_or(readings, 0.000_5)? };
    let face = face(readings, gaps)?;
    let shape = face.shape().ok_or_else(|| {
        Amiss::all(say!(
            "no place lies in the middle third of those measured: measure the middle too"
        ))
    })?;
    let mut notes = Vec::new();
    let face_m = may_long(readings, None, key::FACE)?
        .or_else(|| file("tail.face", "head.face"))
        .filter(|face| face.is_finite());
    if let (Some(face_m), Some((place_m, _))) = (face_m, face.0.last())
        && *place_m > face_m + 0.005
    {
        return Err(Amiss::at(
            face.0.len() - 1,
            key::PLACE,
            say!(
                "this place is beyond the face of ",
                length(face_m),
                ": measure places from the ",
                Side::Left,
                " edge"
            ),
        ));
    }
    if face_m.is_some_and(|face_m| shape.over_m < 0.85 * face_m) {
        notes.push(say!(
            "Measured over ",
            length(shape.over_m),
            " only, not from end to end of the face: the crown seen is less than the whole."
        ));
    }
    let diameter_m = if gaps {
        may_long(readings, None, key::DIAMETER)?.or_else(|| file("tail.diameter", "head.diameter"))
    } else {
        face.0.first().map(|(_, diameter)| *diameter)
    };
    let drawn_m = may(readings, None, key::DRAWN)?.or_else(|| file("tail.crown", "head.crown"));
    if drawn_m.is_some_and(|drawn_m| !(0.0..=0.05).contains(&drawn_m)) {
        return Err(Amiss::with(
            key::DRAWN,
            say!("no pulley has that much crown: give how much larger the middle is in diameter"),
        ));
    }
    let should = should(setting, drawn_m, diameter_m, face_m.unwrap_or(shape.over_m), &mut notes);
    let crown_error_m = error_m * shape.crown_error;
    let crown_mark = Basis::Derived("the middle third less the mean of both ends");
    let most = most(setting, shape.over_m);
    let crown = Figure::of(
        "crown",
        say!("crown left, on the diameter; minus: hollow"),
        Kind::Length,
        shape.crown_m,
        crown_mark,
    )
    .off_by(Kind::Length, crown_error_m);
    let (face_word, face_verdict, limit) =
        judge(shape.crown_m, crown_error_m, most, should.as_ref(), setting);
    let crown = Figure { verdict: face_verdict, limit, ..crown };
    let mut figures = vec![crown];
    if let Some(should) = &should {
        figures.push(Figure::of(
            "should",
            say!("crown there should be, on the diameter"),
            Kind::Length,
            should.crown_m,
            should.mark,
        ));
        if let (Mark::Rests(GUIDE), Some(diameter_m)) = (should.mark, diameter_m) {
            figures.push(Figure::of(
                "should-trapezoid",
                say!("the same by another rule for light belts, flat over half the belt's width"),
                Kind::Length,
                2.0 * trapezoid_height_m(diameter_m),
                Basis::Published("crown-shape-page", "trapezoidal crown by diameter"),
            ));
        }
    }
    let mut tells = vec![("face", face_word)];
    let mut verdict = face_verdict;
    let parallel = !gaps || readings_yes(readings, key::PARALLEL);
    let mut bigger = None;
    if parallel {
        let ends = Figure::of(
            "ends",
            say!("diameter of the ", Side::Left, " end less that of the ", Side::Right, " end"),
            Kind::Length,
            shape.left_larger_m,
            Basis::Derived("the readings at both ends"),
        )
        .off_by(Kind::Length, 2.0_f64.sqrt() * error_m)
        .against(setting.limit(&ENDS_ALIKE));
        verdict = verdict.worse(ends.verdict);
        bigger =
            (ends.verdict == Verdict::Beyond).then(|| Side::of_sign(shape.left_larger_m)).flatten();
        let word = match ends.verdict {
            Verdict::Within => Some("even"),
            Verdict::Beyond => bigger.map(Side::id),
            _ => None,
        };
        tells.push(("bigger-end", word));
        figures.push(ends);
    } else {
        notes.push(say!("The straight-edge was not set parallel to the shaft, so which end is larger is not judged."));
    }
    let mut work: Vec<Words> = Vec::new();
    if let Some(side) = bigger {
        work.push(say!(
            "The ",
            side.other(),
            " end of the face is worn more, by ",
            length(shape.left_larger_m.abs()),
            " in diameter: renew the lagging or the shell. Do not skew the pulley against it."
        ));
    }
    match face_word {
        Some("too-much") => work.push(say!("Have the face turned or lagged anew to the drawing.")),
        Some("flat-or-hollow") => work.push(match &should {
            Some(should) => say!(
                "Renew the crown to ",
                length(should.crown_m),
                " on the diameter, by drawing; a flat pulley may do on a bulk belt."
            ),
            None => say!("Renew the crown by drawing; a flat pulley may do on a bulk belt."),
        }),
        _ => {}
    }
    let says = told::says(&shape, face_word, bigger, crown_error_m);
    let plot = told::plot(&face, gaps, face_verdict == Verdict::Beyond);
    Ok(Outcome { says, verdict, figures, tells, work, amount: None, notes, plot: Some(plot) })
}

fn readings_yes(readings: &Readings, key: super::ReadingKey) -> bool {
    use super::readings::Keyed;
    readings.choice(key) == Some("yes")
}

fn face(readings: &Readings, gaps: bool) -> Result<Face, Amiss> {
    let mut face: Vec<(f64, f64)> = Vec::new();
    for (row, reading) in readings.rows.iter().enumerate() {
        let place_m = must(reading, Some(row), key::PLACE)?;
        if !(0.0..=20.0).contains(&place_m) {
            return Err(Amiss::at(
                row,
                key::PLACE,
                say!("no face is that long: measure from its ", Side::Left, " edge"),
            ));
        }
        if face.last().is_some_and(|(last, _)| place_m - last < 0.001) {
            return Err(Amiss::at(
                row,
                key::PLACE,
                say!("places must run from the ", Side::Left, " edge on, none twice"),
            ));
        }
        let diameter_m = if gaps {
            let gap_m = must(reading, Some(row), key::GAP)?;
            if !(0.0..=0.1).contains(&gap_m) {
                return Err(Amiss::at(
                    row,
                    key::GAP,
                    say!(
                        "a gap under a straight-edge lies between 0 and ",
                        length(0.1),
                        ": read it again"
                    ),
                ));
            }
            -2.0 * gap_m
        } else {
            let diameter_m = long(reading, Some(row), key::DIAMETER)?;
            let odd =
                face.first().is_some_and(|(_, first)| (diameter_m - first).abs() > 0.2 * first);
            if odd || diameter_m > 10.0 {
                return Err(Amiss::at(
                    row,
                    key::DIAMETER,
                    say!("far from the first diameter, or no pulley at all: measure it again"),
                ));
            }
            diameter_m
        };
        face.push((place_m, diameter_m));
    }
    if gaps && face.len() >= 3 && face.iter().all(|(_, gap)| *gap < -1e-9) {
        return Err(Amiss::all(say!(
            "the straight-edge touches nowhere: measure a gap of 0 where it rests"
        )));
    }
    Ok(Face(face))
}

/// The crown that there should be: the drawing's, else the published rule for the class; none for steel cord.
fn should(
    setting: &Setting,
    drawn_m: Option<f64>,
    diameter_m: Option<f64>,
    face_m: f64,
    notes: &mut Vec<Words>,
) -> Option<Should> {
    if setting.facts.carcass() == Some(Carcass::SteelCord) {
        if drawn_m.is_some_and(|drawn_m| drawn_m > 0.0) {
            notes.push(say!(
                "The drawing shows a crown, but pulleys under a steel-cord belt are flat."
            ));
        }
        return Some(Should {
            crown_m: 0.0,
            mark: Basis::Published("belt-maker-guide", "p. 8, steel-cord belts").into(),
        });
    }
    if let Some(crown_m) = drawn_m {
        return Some(Should { crown_m, mark: Mark::Site });
    }
    match setting.facts.class() {
        Some(ConveyorClass::Flat | ConveyorClass::Package) => {
            let diameter_m = diameter_m.filter(|size| size.is_finite() && *size > 0.0)?;
            notes.push(say!("The guideline for light belts gives the crown's height; it is taken as above the ends on the radius, so twice that on the diameter. Thin soft belts take half."));
            Some(Should { crown_m: 2.0 * light_height_m(diameter_m), mark: GUIDE.into() })
        }
        Some(ConveyorClass::TroughedBulk) => {
            notes.push(say!("No drawing: the usual crown of bulk belts is taken. Many bulk pulleys are flat on purpose."));
            Some(Should {
                crown_m: USUAL_RATE * face_m,
                mark: Basis::Published("crowned-pulley-guide", "usual crown per ft of face").into(),
            })
        }
        None => {
            notes.push(say!("Neither the drawing's crown nor the conveyor's class is known: only no crown at all, and too much, are told."));
            None
        }
    }
}

/// The upper limit over a length: so much per length, and so much in all.
fn most(setting: &Setting, over_m: f64) -> Limit {
    let rate = over(setting.limit(&CROWN_RATE), over_m);
    let most = setting.limit(&CROWN_MOST);
    if most.size.si() < rate.size.si() { most } else { rate }
}

type Judged = (Option<&'static str>, Verdict, Option<Limit>);

fn judge(
    crown_m: f64,
    error_m: f64,
    most: Limit,
    should: Option<&Should>,
    setting: &Setting,
) -> Judged {
    let flat = should.is_some_and(|should| should.crown_m <= 0.0);
    if flat {
        // No crown is the drawing: what is more than the error is too much, what is less is hollow.
        let limit = should.map(|should| Limit {
            id: "crown-most",
            what: "crown of a flat pulley: none",
            size: length(0.0),
            mark: should.mark,
        });
        return if crown_m > error_m {
            (Some("too-much"), Verdict::Beyond, limit)
        } else if crown_m < -error_m {
            (Some("flat-or-hollow"), Verdict::Beyond, limit)
        } else {
            (Some("as-drawn"), Verdict::Within, limit)
        };
    }
    match Verdict::of(crown_m.max(0.0), most.size.si(), error_m) {
        Verdict::Beyond => return (Some("too-much"), Verdict::Beyond, Some(most)),
        // A drawing with as much as that settles it: the crown is then as drawn.
        Verdict::TooClose if crown_m > 0.0 => return (None, Verdict::TooClose, Some(most)),
        _ => {}
    }
    let share = setting.limit(&CROWN_LEFT);
    let least =
        should.map(|should| Limit { what: "least crown left", ..over(share, should.crown_m) });
    let least_m = least.map_or(0.0, |limit| limit.size.si());
    // Without a drawing a crown that cannot be told from none is none.
    let close_m = if least.is_some() { error_m } else { 0.0 };
    let floor_m = if least.is_some() { least_m } else { error_m };
    if crown_m <= floor_m - close_m {
        (Some("flat-or-hollow"), Verdict::Beyond, least)
    } else if crown_m < floor_m + close_m {
        (None, Verdict::TooClose, least)
    } else {
        (Some("as-drawn"), Verdict::Within, least.or(Some(most)))
    }
}
