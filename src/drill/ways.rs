//! Whether a direction that the plan's words give is the one that lessens what is hidden: in the model, not on paper.
//!
//! Counted is every step of a planned fix that names a side where a side is published: squaring an idler, raising
//! the low side of frame, pulley or set, slackening the tight screw, turning the load, sheltering from the wind, and
//! moving an idler end, an end pulley or a screw. Words that leave the side open ("the low side") are right by
//! themselves and are not counted; nor is a step for something that is not out of order at all. A side that is taken
//! from where the belt runs, nobody having measured, is held against just that: the belt must go back to the middle.

use super::belt::Belt;
use super::hints::Parts;
pub use super::said::{Along, By, Said, Spoken, Verdict, Work};
use super::said::{ahead, sign};
use super::sent_back::Seen;
use super::world::World;
use crate::mechanics::{Fault, Line};
use crate::rulebook::model::Meaning;
use crate::trade::{End, Side};

/// Changes below this are the reckoning's own, m.
const EXACT_M: f64 = 1e-9;

/// Follows the words a little way on the conveyor as it stands, and looks what the belt does.
pub fn judge(world: &World<'_>, said: Said) -> Verdict {
    let line = &world.drill().line;
    let seen = Seen::by_what_was_told(world);
    match said.work {
        Work::SteerByIdler(along) => seen.steered_by_idler(said.side, along),
        Work::SteerByScrew => seen.steered_by_screw(said.side),
        _ if said.by == By::WhereItRuns => seen.sent_back(said),
        Work::SquarePulley => squared(line, &world.faults(), seen.place(), said.side),
        _ => match correction(line, &world.faults(), said) {
            Some((fault, correction)) => lessens(line, &[fault], correction),
            None => Verdict::NothingThere,
        },
    }
}

/// The largest fault of the kind that the work is for, and half of it put right as the words say.
fn correction(line: &Line, faults: &[Fault], said: Said) -> Option<(Fault, Fault)> {
    let left = sign(said.side);
    let half = |size: f64| 0.5 * size.abs();
    let all = faults.iter().filter_map(|fault| {
        let (size, correction) = match (said.work, *fault) {
            (Work::SquareIdler(along), Fault::Skewed { strand, station, skew_rad }) => (
                skew_rad,
                Fault::Skewed {
                    strand,
                    station,
                    skew_rad: half(skew_rad) * left * ahead(line, along, strand),
                },
            ),
            (Work::RaiseFrame, Fault::LowFrame { from_m, to_m, left_low_rad }) => (
                left_low_rad,
                Fault::LowFrame { from_m, to_m, left_low_rad: -half(left_low_rad) * left },
            ),
            (Work::RaisePulley, Fault::LowPulley { end, left_low_rad }) => {
                (left_low_rad, Fault::LowPulley { end, left_low_rad: -half(left_low_rad) * left })
            }
            (Work::RaiseIdler, Fault::Leaning { strand, station, left_low_rad }) => (
                left_low_rad,
                Fault::Leaning { strand, station, left_low_rad: -half(left_low_rad) * left },
            ),
            (Work::SlackenScrew, Fault::Screws { left_m, right_m }) => {
                let uneven = left_m - right_m;
                let in_m = -half(uneven);
                let (left_m, right_m) = match said.side {
                    Side::Left => (in_m, 0.0),
                    Side::Right => (0.0, in_m),
                };
                (uneven, Fault::Screws { left_m, right_m })
            }
            (Work::TurnLoad, Fault::OffCentreLoad { left_m }) => {
                (left_m, Fault::OffCentreLoad { left_m: half(left_m) * left })
            }
            // What no longer comes from a side is as much toward it.
            (Work::Shelter, Fault::Wind { strand, from_m, to_m, left_n_per_m }) => (
                left_n_per_m,
                Fault::Wind { strand, from_m, to_m, left_n_per_m: half(left_n_per_m) * left },
            ),
            _ => return None,
        };
        (size != 0.0).then_some((size.abs(), *fault, correction))
    });
    let largest = all.max_by(|a, b| a.0.total_cmp(&b.0))?;
    Some((largest.1, largest.2))
}

/// The end pulley that was measured, whatever set it askew, and half of it put right by moving that side toward the other
/// end. Which one that is goes by the place that was told, as the measuring does.
fn squared(line: &Line, faults: &[Fault], place: Option<Meaning>, side: Side) -> Verdict {
    let (end, nearer_rad) = Parts::new(faults, line).pulley_measured(place);
    let askew = |fault: &Fault| match *fault {
        Fault::SkewedPulley { end: of, .. } => of == end,
        Fault::Screws { .. } => end == End::Tail,
        _ => false,
    };
    let faults: Vec<Fault> = faults.iter().copied().filter(askew).collect();
    let inward = if end == End::Tail { 1.0 } else { -1.0 };
    let skew_rad = 0.5 * nearer_rad.abs() * sign(side) * inward;
    lessens(line, &faults, Fault::SkewedPulley { end, skew_rad })
}

/// Whether faults alone bring the belt off less with the correction than without.
fn lessens(line: &Line, faults: &[Fault], correction: Fault) -> Verdict {
    let off = |faults: &[Fault]| Belt::begin(line, faults).map(|belt| belt.worst_m());
    match (off(faults), off(&[faults, &[correction]].concat())) {
        (Ok(before), _) if before < EXACT_M => Verdict::NothingThere,
        (Ok(before), Ok(after)) if after < before - EXACT_M => Verdict::Lessens,
        // A fault that leaves the belt no place cannot be compared; one that gains a place is less.
        (Err(_), Ok(_)) => Verdict::Lessens,
        (Err(_), Err(_)) => Verdict::NothingThere,
        _ => Verdict::Wrong,
    }
}
