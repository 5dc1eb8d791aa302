//! How far the belt's joint is out of square, and what it does each time it passes.
//!
//! Angles are counted from square, above nothing when the LEFT end of the joint is nearer the head. A joint that
//! is out of square by different angles to the belt behind it and the belt ahead of it is a kink; the kink is what
//! throws the belt aside.

mod asked;
pub(crate) mod key;
mod measured;
mod skew;

use crate::trade::Side;
pub use skew::{MiddleMark, Skew, from_diagonals, from_marks, off_square_rad};

use super::asked::{Asked, length};
use super::limits::shipped;
use super::{
    Amiss, Basis, CanTell, Figure, Gauge, Kind, Outcome, Readings, Setting, Tell, Verdict, Words,
    closer, read_by,
};
use crate::say;
use asked::{ALONG, BELT_LENGTH, MARKS_ERROR, SLANT, SPAN, SPEED, WIDTH, X_ERROR};
use measured::Measured;

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "splice",
    title: "Squareness of the joint",
    about: "Tells whether the belt's joint is square to the belt, and by how much one end leads. It also tells what that does at each turn of the belt.",
    ways: asked::WAYS,
    tells: &[Tell { id: "joint", words: &["square", "out-of-square"] }],
    limits: shipped::OF_SPLICE,
    foretell,
    work,
};

/// What is known of the lead of one end over the belt's width, with three marks on each side or over the X.
fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let asked = Asked::of(readings, setting);
    let width_m = asked.may(&WIDTH).ok()??;
    let lead = setting.limit(&shipped::SPLICE_LEAD).over(width_m);
    if asked::is_x(&asked) {
        let along_m = asked.may(&ALONG).ok()??;
        let error_m = asked.error(&X_ERROR, &read_by::TAPE).ok()?;
        let off_m = 2.0_f64.sqrt() * error_m * along_m.hypot(width_m) / (2.0 * along_m);
        return Some(
            CanTell::of("the lead of one end of the joint", Kind::Length, off_m, lead)
                .better(say!("Or mark a longer length along both edges.")),
        );
    }
    let error_m = asked.error(&MARKS_ERROR, &read_by::STRING).ok()?;
    let off_m = (2.0_f64.sqrt() * error_m).hypot(error_m / 2.0 * width_m);
    Some(
        CanTell::of("the lead of one end of the joint", Kind::Length, off_m, lead)
            .better(say!("Or take more marks, over a longer stretch.")),
    )
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let asked = Asked::of(readings, setting);
    let mut measured =
        if asked::is_x(&asked) { measured::diagonals(&asked)? } else { measured::marks(&asked)? };
    let slant_m = asked.or(&SLANT, 0.0)?;
    if slant_m.abs() > 2.0 * measured.width_m {
        return Err(Amiss::with(
            SLANT.key,
            say!("no joint slants by more than twice the belt's width: read it again"),
        ));
    }
    let worst = worst(&measured, (slant_m / measured.width_m).atan())?;
    let [lead, angle] = lead_figures(&measured, worst, setting);
    let mut verdict = lead.verdict;
    let mut notes = std::mem::take(&mut measured.notes);
    let kink = kink(&measured);
    let mut figures = vec![lead, angle];
    match kink {
        Some(kink) => {
            let kink = kink_figure(kink, setting);
            verdict = verdict.worse(kink.verdict);
            figures.push(kink);
        }
        None => notes.push(say!("Only one side of the joint was measured: whether the belt has a kink there is not known.")),
    }
    let says = says(&figures, kink, measured.width_m, verdict, asked::is_x(&asked));
    figures.extend(jump(&asked, kink.unwrap_or(worst), kink.is_some(), &mut notes)?);
    figures.extend(between(&asked)?);
    let told = match verdict {
        Verdict::Within => Some("square"),
        Verdict::Beyond => Some("out-of-square"),
        Verdict::TooClose | Verdict::NoLimit => None,
    };
    let work = match verdict {
        Verdict::Beyond => vec![say!(
            "Mark the joint for renewal: cut it out and join the belt anew, squared from the belt's middle line, by licensed hands. Nothing at the idlers cures it."
        )],
        _ => Vec::new(),
    };
    notes.push(say!("The limit of the lead is common practice; that of the kink is from a maker of package conveyors and carried over to others."));
    Ok(Outcome {
        says,
        verdict,
        figures,
        tells: vec![("joint", told)],
        work,
        notes,
        amount: None,
        plot: None,
    })
}

/// The side on which the joint is further from the angle that it is meant to have.
fn worst(measured: &Measured, meant_rad: f64) -> Result<Skew, Amiss> {
    [measured.behind, measured.ahead]
        .into_iter()
        .flatten()
        .map(|skew| Skew { angle_rad: skew.angle_rad - meant_rad, ..skew })
        .max_by(|a, b| a.angle_rad.abs().total_cmp(&b.angle_rad.abs()))
        .ok_or_else(|| {
            Amiss::all(say!(
                "on neither side of the joint are there two marks: mark at least three in all"
            ))
        })
}

fn lead_figures(measured: &Measured, worst: Skew, setting: &Setting) -> [Figure; 2] {
    let (width_m, mark) = (measured.width_m, measured.mark);
    let what = say!("lead of one end of the joint, plus: the ", Side::Left, " end nearer the head");
    let lead_m = width_m * worst.angle_rad.tan();
    let off_m = width_m * worst.error_rad / worst.angle_rad.cos().powi(2);
    let lead = Figure::of("lead", what, Kind::Length, lead_m, mark)
        .off_by(Kind::Length, off_m)
        .against(setting.limit(&shipped::SPLICE_LEAD).over(width_m));
    let what = say!("the joint's angle from square");
    let angle = Figure::of("angle", what, Kind::Angle, worst.angle_rad, mark)
        .off_by(Kind::Angle, worst.error_rad);
    [lead, angle]
}

/// By how much the belt bends at the joint. The readings at the joint itself cancel: they count on both sides alike.
fn kink(measured: &Measured) -> Option<Skew> {
    let (behind, ahead) = measured.behind.zip(measured.ahead)?;
    let error_rad = ahead.line_error_rad.hypot(behind.line_error_rad);
    Some(Skew {
        angle_rad: ahead.angle_rad - behind.angle_rad,
        error_rad,
        line_error_rad: error_rad,
    })
}

fn says(
    figures: &[Figure],
    kink: Option<Skew>,
    width_m: f64,
    verdict: Verdict,
    by_diagonals: bool,
) -> Words {
    let lead_m = figures.first().map_or(0.0, |lead| lead.size.si());
    let side = Side::of_sign(lead_m).unwrap_or(Side::Left);
    let lead = length(lead_m.abs());
    let bends = kink.is_some_and(|kink| (kink.angle_rad * width_m).abs() > lead_m.abs());
    match verdict {
        Verdict::Beyond if bends => say!(
            "The joint is out of square: the belt bends there, and the ",
            side,
            " end of the joint is ",
            lead,
            " too near the head."
        ),
        Verdict::Beyond => {
            say!("The joint is out of square: its ", side, " end is ", lead, " too near the head.")
        }
        Verdict::TooClose => {
            let mut says = say!("Too close to call: the ", side, " end leads by ", lead, ".");
            let close = figures.iter().find(|figure| figure.verdict == Verdict::TooClose);
            says.0.extend(close.map(|figure| closer(figure, None).0).unwrap_or_default());
            says.0.extend(
                if by_diagonals {
                    say!(" A longer length marked along both edges tells more.")
                } else {
                    say!(" More marks along the string, over a longer stretch, tell more.")
                }
                .0,
            );
            says
        }
        Verdict::Within | Verdict::NoLimit => {
            say!("The joint is square: its ", side, " end leads by ", lead, " only.")
        }
    }
}

fn kink_figure(kink: Skew, setting: &Setting) -> Figure {
    // Over one metre, so that it can be held against a length.
    Figure::of(
        "kink",
        say!("how far the belt leaves its line in 1 m past the joint, plus: to the ", Side::Left),
        Kind::Length,
        kink.angle_rad.tan(),
        Basis::Derived("the angles of the joint to the belt on both sides of it"),
    )
    .off_by(Kind::Length, kink.error_rad)
    .against(setting.limit(&shipped::SPLICE_KINK).over(1.0))
}

/// The order of size of the jump.
fn jump(
    asked: &Asked,
    skew: Skew,
    kinked: bool,
    notes: &mut Vec<Words>,
) -> Result<Option<Figure>, Amiss> {
    let Some(span_m) = asked.may(&SPAN)? else {
        return Ok(None);
    };
    notes.push(say!("The jump is right in order of size only. A stiff or tight belt jumps less at each roll and carries it further."));
    if !kinked {
        notes.push(say!("The jump is for a belt that bends at the joint by the whole angle."));
    }
    let mark = Basis::Derived("angle times the free length between two rolls");
    let size_m = (skew.angle_rad.tan() * span_m).abs();
    let what = say!("sideways jump at each turn, about");
    Ok(Some(
        Figure::of("jump", what, Kind::Length, size_m, mark)
            .off_by(Kind::Length, skew.error_rad * span_m),
    ))
}

/// The time between two jumps.
fn between(asked: &Asked) -> Result<Option<Figure>, Amiss> {
    let (Some(length_m), Some(speed_m_s)) = (asked.may(&BELT_LENGTH)?, asked.may(&SPEED)?) else {
        return Ok(None);
    };
    if speed_m_s < 1e-3 {
        return Err(Amiss::with(
            SPEED.key,
            say!("the belt must move to pass a joint: give its running speed"),
        ));
    }
    let mark = Basis::Derived("belt length over speed");
    let what = say!("time between two jumps");
    Ok(Some(Figure::of("between", what, Kind::Time, length_m / speed_m_s, mark)))
}
