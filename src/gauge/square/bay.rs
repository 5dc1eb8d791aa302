//! Whether a bay of the frame is square.

use super::super::asked::{Asked, length};
use super::super::splice::off_square_rad;
use super::super::{Amiss, Amount, Basis, Figure, Kind, Outcome, Verdict, Words, closer, read_by};
use super::asked::{BAY_FROM_LEFT, BAY_FROM_RIGHT, BEAM_LEFT, BEAM_RIGHT, ERROR, HEAD, TAIL};
use super::key;
use crate::conveyor::quantity::Quantity;
use crate::gauge::limits::shipped;
use crate::say;
use crate::trade::Side;

/// A bay's six lengths, in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bay {
    /// Along the left beam.
    pub left_m: f64,
    /// Along the right beam.
    pub right_m: f64,
    /// Across at the tail end.
    pub tail_m: f64,
    /// Across at the head end.
    pub head_m: f64,
    /// From the left beam's tail end to the right beam's head end.
    pub from_left_m: f64,
    /// From the right beam's tail end to the left beam's head end.
    pub from_right_m: f64,
}

impl Bay {
    /// How far the left beam leads the right one toward the head: the bay's mean width times the tangent of its
    /// departure from square. Nothing if there is no such bay.
    pub fn lead_m(self) -> Option<f64> {
        let (along_m, across_m) =
            (f64::midpoint(self.left_m, self.right_m), f64::midpoint(self.tail_m, self.head_m));
        // The longer diagonal starts at the end that lags.
        off_square_rad(along_m, across_m, self.from_right_m, self.from_left_m)
            .map(|off| across_m * off.tan())
    }

    /// What the second diagonal must be, from the four sides and the first: flat figures have no choice.
    /// Nothing if the sides and the first diagonal make no triangles.
    pub fn second_m(self) -> Option<f64> {
        // Corners seen along the first diagonal, from the left beam's tail end.
        let far = corner(self.from_left_m, self.left_m, self.head_m)?;
        let near = corner(self.from_left_m, self.tail_m, self.right_m)?;
        Some((far.0 - near.0).hypot(far.1 + near.1))
    }
}

/// The corner of a triangle over a base, from its sides at the start and the end of the base: along and off it.
fn corner(base_m: f64, start_m: f64, end_m: f64) -> Option<(f64, f64)> {
    let along_m = (base_m * base_m + (start_m - end_m) * (start_m + end_m)) / (2.0 * base_m);
    let off_m2 = start_m * start_m - along_m * along_m;
    (off_m2 >= 0.0).then(|| (along_m, off_m2.sqrt()))
}

/// A bay's readings.
fn read(asked: &Asked) -> Result<Bay, Amiss> {
    Ok(Bay {
        left_m: asked.must(&BEAM_LEFT)?,
        right_m: asked.must(&BEAM_RIGHT)?,
        tail_m: asked.must(&TAIL)?,
        head_m: asked.must(&HEAD)?,
        from_left_m: asked.must(&BAY_FROM_LEFT)?,
        from_right_m: asked.must(&BAY_FROM_RIGHT)?,
    })
}

/// How far the six lengths miss fitting together, m.
fn misfit_m(bay: Bay, second_m: f64, error_m: f64) -> Result<f64, Amiss> {
    let misfit_m = (second_m - bay.from_right_m).abs();
    if misfit_m > (10.0 * error_m).max(0.01) {
        return Err(Amiss::with(
            key::FROM_RIGHT,
            say!(
                "the six lengths do not fit together: with the others this diagonal would be ",
                length(second_m),
                ". Measure all again, in one plane"
            ),
        ));
    }
    Ok(misfit_m)
}

/// What the bay's readings come to.
#[derive(Clone, Copy, PartialEq)]
enum Stands {
    /// Its diagonals differ and its opposite sides do not.
    Racked,
    /// Its opposite sides differ, so its diagonals prove nothing.
    Uneven,
    TooClose,
    Square,
}

struct Judged {
    diagonals: Figure,
    widths: Figure,
    lengths: Figure,
    lead: Figure,
    stands: Stands,
}

fn judged(asked: &Asked, bay: Bay, lead_m: f64, error_m: f64) -> Judged {
    let two = 2.0_f64.sqrt() * error_m;
    let figure = |id, what: Words, size_m: f64, limit| {
        Figure::of(id, what, Kind::Length, size_m, Basis::Derived("the readings"))
            .off_by(Kind::Length, two)
            .against(asked.setting.limit(limit))
    };
    let diagonals = figure(
        "diagonals",
        say!("difference of the diagonals"),
        bay.from_left_m - bay.from_right_m,
        &shipped::BAY_DIAGONALS,
    );
    let widths = figure(
        "widths",
        say!("width at the head end less width at the tail end"),
        bay.head_m - bay.tail_m,
        &shipped::BAY_WIDTH,
    );
    let lengths = figure(
        "lengths",
        say!(Side::Left, " length less ", Side::Right, " length"),
        bay.left_m - bay.right_m,
        &shipped::BAY_LENGTH,
    );
    let lead = Figure::of(
        "lead",
        say!("lead of one beam, plus: the ", Side::Left, " one toward the head"),
        Kind::Length,
        lead_m,
        Basis::Derived("the law of cosines for a figure with equal opposite sides"),
    )
    .off_by(Kind::Length, two * bay.from_left_m / (bay.left_m + bay.right_m));
    let stands = match (widths.verdict.worse(lengths.verdict), diagonals.verdict) {
        (Verdict::Beyond, _) => Stands::Uneven,
        (_, Verdict::Beyond) => Stands::Racked,
        (Verdict::Within, Verdict::Within) => Stands::Square,
        _ => Stands::TooClose,
    };
    Judged { diagonals, widths, lengths, lead, stands }
}

/// Works out the bay way.
pub(super) fn bay(asked: &Asked) -> Result<Outcome, Amiss> {
    let (bay, error_m) = (read(asked)?, asked.error(&ERROR, &read_by::TAPE)?);
    let (lead_m, second_m) = bay.lead_m().zip(bay.second_m()).ok_or_else(|| {
        Amiss::with(
            key::FROM_LEFT,
            say!("no bay has these four sides and diagonals: measure all six again"),
        )
    })?;
    let misfit_m = misfit_m(bay, second_m, error_m)?;
    let judged = judged(asked, bay, lead_m, error_m);
    let ahead = Side::of_sign(lead_m).unwrap_or(Side::Left);
    let mut notes = Vec::new();
    if misfit_m > 4.0 * error_m {
        notes.push(say!(
            "The six lengths fit together badly, by ",
            length(misfit_m),
            ": one is off, or the bay is twisted."
        ));
    }
    if judged.stands == Stands::Uneven {
        notes.push(say!("Opposite sides differ, so the diagonals prove nothing by themselves: a bay that narrows to one end can have equal diagonals. First make opposite sides equal."));
    }
    let amount = (judged.stands == Stands::Racked).then(|| {
        let error_m = judged.lead.error.map_or(0.0, Quantity::si);
        Amount::length(lead_m.abs(), error_m, say!("the ", ahead, " beam, along the conveyor"))
    });
    let (says, work) = (says(&judged, ahead), work(&judged, ahead));
    let Judged { diagonals, widths, lengths, lead, stands } = judged;
    let (verdict, told) = match stands {
        Stands::Racked | Stands::Uneven => (Verdict::Beyond, Some("racked")),
        Stands::TooClose => (Verdict::TooClose, None),
        Stands::Square => (Verdict::Within, Some("square")),
    };
    Ok(Outcome {
        says,
        verdict,
        figures: vec![diagonals, lead, widths, lengths],
        tells: vec![("bay", told)],
        work,
        amount,
        notes,
        plot: None,
    })
}

fn says(judged: &Judged, ahead: Side) -> Words {
    match judged.stands {
        Stands::Racked => say!(
            "The bay is racked: its ",
            ahead,
            " beam leads by ",
            length(judged.lead.size.si().abs()),
            "."
        ),
        Stands::Uneven => {
            say!("The bay is not square: its opposite sides differ, whatever the diagonals say.")
        }
        Stands::Square => say!(
            "The bay is square: its diagonals differ by ",
            length(judged.diagonals.size.si().abs()),
            " only."
        ),
        Stands::TooClose => {
            let all = [&judged.diagonals, &judged.widths, &judged.lengths];
            let close = all.into_iter().find(|figure| figure.verdict == Verdict::TooClose);
            let close = close.unwrap_or(&judged.diagonals);
            let mut says = say!("Too close to call: ");
            says.0.extend(close.what.0.clone());
            says.0.extend(say!(" ", length(close.size.si().abs()), ".").0);
            says.0.extend(closer(close, None).0);
            says
        }
    }
}

fn work(judged: &Judged, ahead: Side) -> Vec<Words> {
    match judged.stands {
        // The sides of a bay hardly differ by nature: a slip is likelier than a bay that was built so.
        Stands::Uneven => vec![
            say!(
                "Measure all six lengths of the bay again first: opposite sides of one bay seldom differ."
            ),
            say!(
                "If they still do, make opposite sides equal: now they differ by ",
                length(judged.widths.size.si().abs()),
                " across and ",
                length(judged.lengths.size.si().abs()),
                " along. Then measure the diagonals."
            ),
        ],
        Stands::Racked => vec![
            say!(
                "Prop the frame, loosen the cross members of the bay, shift the ",
                ahead,
                " beam ",
                length(judged.lead.size.si().abs()),
                " toward the tail, brace and tighten."
            ),
            say!("Measure all six lengths of the bay again before any idler is judged."),
        ],
        Stands::TooClose | Stands::Square => Vec::new(),
    }
}
