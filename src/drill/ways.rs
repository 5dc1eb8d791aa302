//! Whether a direction that the plan's words give is the one that lessens what is hidden: in the model, not on paper.
//!
//! Counted is every step of a planned fix that names a side where a side is published: squaring an idler, raising
//! the low side of frame, pulley or set, slackening the tight screw, turning the load, sheltering from the wind, and
//! moving an idler end, an end pulley or a screw. Words that leave the side open ("the low side") are right by
//! themselves and are not counted; nor is a step for something that is not out of order at all. A side that is taken
//! from where the belt runs, nobody having measured, is held against just that: the belt must go back to the middle.

use super::belt::Belt;
use super::world::World;
use crate::mechanics::{Fault, Line, Watched, mean_and_swing};
use crate::trade::{End, Side, Strand};

/// A side that the words of a step name, and what is done there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Said {
    /// The work.
    pub work: Work,
    /// The side it names.
    pub side: Side,
    /// How that side is known.
    pub by: By,
}

/// How a side that is named is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum By {
    /// Seen or measured there.
    Measured,
    /// By where the belt runs to.
    WhereItRuns,
}

/// Work that has a side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Work {
    /// Moving that end of an idler so until it is square.
    SquareIdler(Along),
    /// Moving that end of an idler so to steer the belt back.
    SteerByIdler(Along),
    /// Raising that side of the frame.
    RaiseFrame,
    /// Raising that end of a pulley.
    RaisePulley,
    /// Raising that end of an idler set.
    RaiseIdler,
    /// Moving that end of an end pulley toward the other one until it is square.
    SquarePulley,
    /// Slackening the screw on that side until both are alike.
    SlackenScrew,
    /// Slackening the screw on that side to steer the belt back.
    SteerByScrew,
    /// Turning the load to that side.
    TurnLoad,
    /// Keeping the wind from that side off.
    Shelter,
}

/// Which way along the conveyor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Along {
    /// Toward the head.
    Head,
    /// Toward the tail.
    Tail,
    /// The way its strand travels: the words name both strands.
    WithStrand,
}

/// What the words of a fix say of sides.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Spoken {
    /// Each side that they name.
    pub said: Vec<Said>,
    /// Its steering steps, where the answers tell strand and side: steps that move one end of an idler or a pulley
    /// along the conveyor, or one screw, in words with a place for the side.
    pub steering: usize,
    /// Those of them whose words name both: one side, and one way along the conveyor (of the strand that is told) or
    /// which screw is slackened.
    pub sided: usize,
}

/// What came of following the words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// It lessens what is out of order.
    Lessens,
    /// It does not.
    Wrong,
    /// Nothing of the kind is out of order.
    NothingThere,
}

/// Less than this nobody sees, m.
const SEEN_M: f64 = 0.005;
/// Changes below this are the reckoning's own, m.
const EXACT_M: f64 = 1e-9;
/// What a step to steer by moves: about 6 mm at an idler end, a millimetre at a screw, m.
const STEER_M: f64 = 0.006;
const STEER_SCREW_M: f64 = 0.001;
/// What a step by where the belt runs changes of a slope or an angle: 3 mm in 1 m, and of the place of the load, m.
const LITTLE_RAD: f64 = 0.003;
const LITTLE_LOAD_M: f64 = 0.010;

/// Follows the words a little way on the conveyor as it stands, and looks what the belt does.
pub fn judge(world: &World<'_>, said: Said) -> Verdict {
    let line = &world.drill().line;
    match said.work {
        Work::SteerByIdler(along) => steer_by_idler(world, said.side, along),
        Work::SteerByScrew => steer_by_screw(world, said.side),
        _ if said.by == By::WhereItRuns => by_the_run(world, said),
        _ => match correction(line, &world.faults(), said) {
            Some((fault, correction)) => lessens(line, fault, correction),
            None => Verdict::NothingThere,
        },
    }
}

/// +1 for the left.
fn sign(side: Side) -> f64 {
    match side {
        Side::Left => 1.0,
        Side::Right => -1.0,
    }
}

/// +1 toward the head.
fn ahead(line: &Line, along: Along, strand: Strand) -> f64 {
    match along {
        Along::Head => 1.0,
        Along::Tail => -1.0,
        Along::WithStrand => line.travel(strand),
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
            (Work::SquarePulley, Fault::SkewedPulley { end, skew_rad }) => {
                let inward = if end == End::Tail { 1.0 } else { -1.0 };
                let skew_rad = half(skew_rad) * left * inward;
                (skew_rad, Fault::SkewedPulley { end, skew_rad })
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

/// Follows a side that is taken from where the belt runs: whatever is out of order, the belt must go back.
fn by_the_run(world: &World<'_>, said: Said) -> Verdict {
    let line = &world.drill().line;
    let left = sign(said.side);
    let length_m = line.centres_m;
    let Some((post, _)) = worst(world, None) else {
        return Verdict::NothingThere;
    };
    let (strand, station) = post.set(line);
    let at_m = line.idlers(strand).stations_m.get(station).copied().unwrap_or(0.0);
    let (end, inward) = if at_m < 0.5 * length_m { (End::Tail, 1.0) } else { (End::Head, -1.0) };
    let raised_rad = -LITTLE_RAD * left;
    let moved = match said.work {
        Work::SquareIdler(along) | Work::SteerByIdler(along) => {
            return steer_by_idler(world, said.side, along);
        }
        Work::SlackenScrew | Work::SteerByScrew => return steer_by_screw(world, said.side),
        Work::SquarePulley => Fault::SkewedPulley { end, skew_rad: LITTLE_RAD * left * inward },
        Work::RaisePulley => Fault::LowPulley { end, left_low_rad: raised_rad },
        Work::RaiseFrame => {
            Fault::LowFrame { from_m: 0.0, to_m: length_m, left_low_rad: raised_rad }
        }
        Work::RaiseIdler => Fault::Leaning { strand, station, left_low_rad: raised_rad },
        Work::TurnLoad => Fault::OffCentreLoad { left_m: LITTLE_LOAD_M * left },
        Work::Shelter => return Verdict::NothingThere,
    };
    steered(world, None, moved)
}

fn steer_by_screw(world: &World<'_>, side: Side) -> Verdict {
    // Half of it at each screw: the side is judged, and not what a changed pull does besides.
    let in_m = 0.5 * STEER_SCREW_M * sign(side);
    steered(world, None, Fault::Screws { left_m: -in_m, right_m: in_m })
}

/// Whether a fault alone brings the belt off less with the correction than without.
fn lessens(line: &Line, fault: Fault, correction: Fault) -> Verdict {
    let off = |faults: &[Fault]| Belt::begin(line, faults).map(|belt| belt.worst_m());
    match (off(&[fault]), off(&[fault, correction])) {
        (Ok(before), _) if before < EXACT_M => Verdict::NothingThere,
        (Ok(before), Ok(after)) if after < before - EXACT_M => Verdict::Lessens,
        // A fault that leaves the belt no place cannot be compared; one that gains a place is less.
        (Err(_), Ok(_)) => Verdict::Lessens,
        (Err(_), Err(_)) => Verdict::NothingThere,
        _ => Verdict::Wrong,
    }
}

/// A place where the belt is watched.
#[derive(Debug, Clone, Copy)]
enum Post {
    /// At a set of idlers, from 0 at the tail.
    Idler(Strand, usize),
    /// On an end pulley.
    Pulley(End),
}

impl Post {
    /// All that are watched, those of one strand only if so asked: the pulley that a strand runs onto is of that strand.
    fn all(line: &Line, on: Option<Strand>) -> impl Iterator<Item = Self> {
        let strands = [(Strand::Carry, End::Head), (Strand::Return, End::Tail)];
        let wanted =
            strands.into_iter().filter(move |(strand, _)| on.is_none_or(|on| on == *strand));
        wanted.flat_map(|(strand, end)| {
            let sets = 0..line.idlers(strand).stations_m.len();
            sets.map(move |set| Self::Idler(strand, set)).chain([Self::Pulley(end)])
        })
    }

    /// How far the belt is off there on the mean, m to the left.
    fn off_m(self, watched: &Watched) -> Option<f64> {
        let row = match self {
            Self::Idler(Strand::Carry, set) => watched.carry.get(set)?,
            Self::Idler(Strand::Return, set) => watched.ret.get(set)?,
            Self::Pulley(End::Head) => &watched.head,
            Self::Pulley(End::Tail) => &watched.tail,
        };
        Some(mean_and_swing(row).0)
    }

    /// The set there, or the last one before that pulley.
    fn set(self, line: &Line) -> (Strand, usize) {
        match self {
            Self::Idler(strand, set) => (strand, set),
            Self::Pulley(End::Head) => {
                (Strand::Carry, line.idlers(Strand::Carry).stations_m.len().saturating_sub(1))
            }
            Self::Pulley(End::Tail) => (Strand::Return, 0),
        }
    }
}

/// Where the belt is furthest off on the mean, if it is seen to be, and how far to the left, m.
fn worst(world: &World<'_>, on: Option<Strand>) -> Option<(Post, f64)> {
    let fed = world.belt().fed();
    let posts = Post::all(&world.drill().line, on);
    let off = posts.filter_map(|post| Some((post, post.off_m(fed)?)));
    off.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs())).filter(|(_, off_m)| off_m.abs() >= SEEN_M)
}

fn steer_by_idler(world: &World<'_>, side: Side, along: Along) -> Verdict {
    let line = &world.drill().line;
    // The words name the strand by the way they say; where they name both, it is the worse one.
    let strand = match along {
        Along::Head => Some(Strand::Carry),
        Along::Tail => Some(Strand::Return),
        Along::WithStrand => None,
    };
    let Some((post, _)) = worst(world, strand) else {
        return Verdict::NothingThere;
    };
    let (strand, station) = post.set(line);
    // One set before the place, the way the belt comes from.
    let last = line.idlers(strand).stations_m.len().saturating_sub(1);
    let before = match strand {
        Strand::Carry => station.saturating_sub(1),
        Strand::Return => (station + 1).min(last),
    };
    let skew_rad = STEER_M / world.feet_m() * sign(side) * ahead(line, along, strand);
    steered(world, Some(strand), Fault::Skewed { strand, station: before, skew_rad })
}

/// Whether the belt goes back toward the middle where it is worst, when something is moved so.
fn steered(world: &World<'_>, on: Option<Strand>, moved: Fault) -> Verdict {
    let line = &world.drill().line;
    let Some((post, off_m)) = worst(world, on) else {
        return Verdict::NothingThere;
    };
    let at = |faults: &[Fault]| post.off_m(Belt::begin(line, faults).ok()?.fed());
    let mut faults = world.faults();
    let before = at(&faults);
    faults.push(moved);
    match (before, at(&faults)) {
        (Some(before), Some(after)) if (after - before) * off_m < 0.0 => Verdict::Lessens,
        (Some(_), Some(_)) => Verdict::Wrong,
        _ => Verdict::NothingThere,
    }
}
