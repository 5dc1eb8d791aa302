//! What is left of a pulley's crown, and whether one end of its face is the larger.
//!
//! The crown is counted on the diameter: the middle's less the mean of both ends'.

mod asked;
mod judged;
pub(crate) mod key;
mod shape;
mod told;

use crate::trade::Side;
pub use shape::{Face, Shape, light_height_m, trapezoid_height_m};

use super::asked::{Asked, length};
use super::limits::shipped;
use super::{
    Amiss, Basis, CanTell, Figure, Gauge, Kind, Outcome, Readings, Setting, Tell, Verdict, read_by,
};
use crate::say;
use asked::{DIAMETER, DIAMETER_ERROR, DRAWN, FACE, GAP, GAP_ERROR, PARALLEL, PLACE};
use asked::{PULLEY, PULLEY_DIAMETER, Parallel, Pulley};
use judged::{Crown, Should};

/// No face has more crown or a larger gap, m.
const MOST_CROWN_M: f64 = 0.05;
const MOST_GAP_M: f64 = 0.1;
/// No pulley is larger or longer, m.
const LARGEST_M: f64 = 10.0;
/// Less of the face than this is not from end to end.
const WHOLE_FACE: f64 = 0.85;

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "crown",
    title: "Crown and wear of a pulley",
    about: "Tells what is left of a pulley's crown, whether its face is hollow, and whether one end is the larger.",
    ways: asked::WAYS,
    tells: &[
        Tell { id: "face", words: &["as-drawn", "flat-or-hollow", "too-much"] },
        Tell { id: "bigger-end", words: &["even", "left", "right", "hollow"] },
    ],
    limits: shipped::OF_CROWN,
    foretell,
    work,
};

/// What is known of a pulley and its face.
struct Measured {
    pulley: Pulley,
    gaps: bool,
    face: Face,
    shape: Shape,
    /// How far one diameter may be off.
    error_m: f64,
    face_m: Option<f64>,
    diameter_m: Option<f64>,
    drawn_m: Option<f64>,
    /// Whether both ends were measured from the shaft.
    parallel: bool,
}

impl Measured {
    fn crown_error_m(&self) -> f64 {
        self.error_m * self.shape.crown_error
    }
}

/// A size of this pulley that the conveyor's file has.
fn filed(asked: &Asked, pulley: Pulley, tail: &str, head: &str) -> Option<f64> {
    let size = match pulley {
        Pulley::Tail => asked.setting.dimension(tail),
        Pulley::Head => asked.setting.dimension(head),
        Pulley::Other => None,
    };
    size.filter(|size| size.is_finite())
}

fn drawn_m(asked: &Asked, pulley: Pulley) -> Result<Option<f64>, Amiss> {
    let drawn_m = asked.may(&DRAWN)?.or_else(|| filed(asked, pulley, "tail.crown", "head.crown"));
    if drawn_m.is_some_and(|drawn_m| !(0.0..=MOST_CROWN_M).contains(&drawn_m)) {
        return Err(Amiss::with(
            DRAWN.key,
            say!("no pulley has that much crown: give how much larger the middle is in diameter"),
        ));
    }
    Ok(drawn_m)
}

/// How far one diameter may be off: a gap counts twice in it.
fn error_m(asked: &Asked) -> Result<f64, Amiss> {
    if asked::is_gaps(asked) {
        Ok(2.0 * asked.error(&GAP_ERROR, &read_by::FEELERS)?)
    } else {
        asked.error(&DIAMETER_ERROR, &read_by::CALIPERS)
    }
}

fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let asked = Asked::of(readings, setting);
    let error_m = error_m(&asked).ok()?;
    let pulley = asked.chosen(&PULLEY).unwrap_or(Pulley::Tail);
    let drawn_m = drawn_m(&asked, pulley).ok()?.filter(|drawn_m| *drawn_m > 0.0);
    let finer = say!("Or use a straight-edge and feelers.");
    Some(match drawn_m {
        // One middle place and both ends; what may be worn off is what a sound crown stands above the least.
        Some(drawn_m) => {
            let left = setting.limit(&shipped::CROWN_LEFT);
            let worn = super::Limit { size: length((1.0 - left.size.si()) * drawn_m), ..left };
            CanTell::of("the crown left", Kind::Length, error_m * 1.5_f64.sqrt(), worn)
                .better(finer)
        }
        None => {
            let alike = setting.limit(&shipped::ENDS_ALIKE);
            let two = 2.0_f64.sqrt() * error_m;
            CanTell::of("the difference of both ends", Kind::Length, two, alike).better(finer)
        }
    })
}

fn measured(asked: &Asked) -> Result<Measured, Amiss> {
    let gaps = asked::is_gaps(asked);
    let pulley: Pulley = asked.choice(&PULLEY)?;
    let face = face(asked, gaps)?;
    let shape = face.shape().ok_or_else(|| {
        Amiss::all(say!(
            "no place lies in the middle third of those measured: measure the middle too"
        ))
    })?;
    let face_m = asked.may(&FACE)?.or_else(|| filed(asked, pulley, "tail.face", "head.face"));
    if let (Some(face_m), Some((place_m, _))) = (face_m, face.0.last())
        && *place_m > face_m + 0.005
    {
        let words = say!(
            "this place is beyond the face of ",
            length(face_m),
            ": measure places from the ",
            Side::Left,
            " edge"
        );
        return Err(Amiss::at(face.0.len() - 1, PLACE.key, words));
    }
    let by_file = || filed(asked, pulley, "tail.diameter", "head.diameter");
    let diameter_m = if gaps {
        asked.may(&PULLEY_DIAMETER)?.or_else(by_file)
    } else {
        face.0.first().map(|(_, diameter)| *diameter)
    };
    Ok(Measured {
        pulley,
        gaps,
        shape,
        error_m: error_m(asked)?,
        face_m,
        diameter_m: diameter_m.filter(|size| *size > 0.0),
        drawn_m: drawn_m(asked, pulley)?,
        parallel: !gaps || asked.chosen(&PARALLEL) == Some(Parallel::Yes),
        face,
    })
}

fn face(asked: &Asked, gaps: bool) -> Result<Face, Amiss> {
    let mut face: Vec<(f64, f64)> = Vec::new();
    for row in asked.rows() {
        let place_m = row.must(&PLACE)?;
        if place_m > LARGEST_M {
            return Err(row.amiss(
                &PLACE,
                say!("no face is that long: measure from its ", Side::Left, " edge"),
            ));
        }
        if face.last().is_some_and(|(last, _)| place_m - last < 0.001) {
            return Err(row.amiss(
                &PLACE,
                say!("places must run from the ", Side::Left, " edge on, none twice"),
            ));
        }
        let diameter_m = if gaps {
            let gap_m = row.must(&GAP)?;
            if gap_m > MOST_GAP_M {
                return Err(row.amiss(
                    &GAP,
                    say!(
                        "a gap under a straight-edge lies between 0 and ",
                        length(MOST_GAP_M),
                        ": read it again"
                    ),
                ));
            }
            -2.0 * gap_m
        } else {
            let diameter_m = row.must(&DIAMETER)?;
            let odd =
                face.first().is_some_and(|(_, first)| (diameter_m - first).abs() > 0.2 * first);
            if odd || diameter_m > LARGEST_M {
                return Err(row.amiss(
                    &DIAMETER,
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

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let measured = measured(&Asked::of(readings, setting))?;
    let should = Should::of(setting, &measured);
    let judged = judged::judged(setting, &measured, should.as_ref());
    let mut figures = vec![told::crown_figure(&measured, &judged)];
    figures.extend(told::should_figures(&measured, should.as_ref()));
    let mut tells = vec![("face", judged.word())];
    let mut verdict = judged.verdict;
    let ends = measured.parallel.then(|| ends_figure(&measured, setting));
    let bigger = ends.as_ref().and_then(|ends| {
        let beyond = ends.verdict == Verdict::Beyond;
        beyond.then(|| Side::of_sign(measured.shape.left_larger_m)).flatten()
    });
    if let Some(ends) = ends {
        verdict = verdict.worse(ends.verdict);
        let hollow = judged.crown == Crown::Hollow;
        let word = match ends.verdict {
            Verdict::Within if hollow => Some("hollow"),
            Verdict::Within => Some("even"),
            Verdict::Beyond => bigger.map(Side::id),
            _ => None,
        };
        tells.push(("bigger-end", word));
        figures.push(ends);
    }
    // Nothing is sound by a limit that decides nothing.
    if judged.crown == Crown::AboveWeak && verdict == Verdict::Within {
        verdict = Verdict::NoLimit;
    }
    Ok(Outcome {
        says: told::says(&measured, &judged, bigger, figures.first()),
        verdict,
        tells,
        work: told::work(&measured, &judged, should.as_ref(), bigger),
        amount: None,
        notes: told::notes(&measured, &judged, should.as_ref()),
        plot: Some(told::plot(&measured, judged.verdict == Verdict::Beyond)),
        figures,
    })
}

fn ends_figure(measured: &Measured, setting: &Setting) -> Figure {
    Figure::of(
        "ends",
        say!("diameter of the ", Side::Left, " end less that of the ", Side::Right, " end"),
        Kind::Length,
        measured.shape.left_larger_m,
        Basis::Derived("the readings at both ends"),
    )
    .off_by(Kind::Length, 2.0_f64.sqrt() * measured.error_m)
    .against(setting.limit(&shipped::ENDS_ALIKE))
}
