//! Whether a step sends the belt back toward the middle where it was seen to be off. A side that is taken from where the
//! belt runs, nobody having measured, is held against just that.

use super::belt::Belt;
use super::picture::Zones;
use super::said::{Along, Said, Verdict, Work, ahead, sign};
use super::told::told;
use super::world::World;
use crate::mechanics::{Fault, Line, Watched, mean_and_swing};
use crate::rulebook::model::Meaning;
use crate::trade::{End, Side, Strand};
use crate::visit::Reply;

/// Less than this nobody sees, m.
const SEEN_M: f64 = 0.005;
/// What a step to steer by moves: about 6 mm at an idler end, a millimetre at a screw, m.
const STEER_M: f64 = 0.006;
const STEER_SCREW_M: f64 = 0.001;
/// What a step by where the belt runs changes of a slope or an angle: 3 mm in 1 m, and of the place of the load, m.
const LITTLE_RAD: f64 = 0.003;
const LITTLE_LOAD_M: f64 = 0.010;

/// A conveyor, and where somebody has said that its belt is worst.
#[derive(Clone, Copy)]
pub(super) struct Seen<'w, 'd> {
    world: &'w World<'d>,
    place: Option<Meaning>,
}

impl<'w, 'd> Seen<'w, 'd> {
    /// By the latest answer.
    pub(super) fn by_what_was_told(world: &'w World<'d>) -> Self {
        let (book, told) = (world.book(), told(world));
        let place = book.roles.place.and_then(|place| match told.latest(place) {
            Reply::Answer(answer) => book.symptoms[place].answers[answer].means,
            Reply::CantTell | Reply::Unanswered => None,
        });
        Self { world, place }
    }

    /// Where it was said to be.
    pub(super) fn place(self) -> Option<Meaning> {
        self.place
    }

    /// Follows a side that is taken from where the belt runs: whatever is out of order, the belt must go back.
    pub(super) fn sent_back(self, said: Said) -> Verdict {
        let line = &self.world.drill().line;
        let left = sign(said.side);
        let length_m = line.centres_m;
        let Some((post, _)) = self.worst(None) else {
            return Verdict::NothingThere;
        };
        let (strand, station) = post.set(line);
        let at_m = line.idlers(strand).stations_m.get(station).copied().unwrap_or(0.0);
        let (end, inward) =
            if at_m < 0.5 * length_m { (End::Tail, 1.0) } else { (End::Head, -1.0) };
        let raised_rad = -LITTLE_RAD * left;
        let moved = match said.work {
            Work::SquareIdler(along) | Work::SteerByIdler(along) => {
                return self.steered_by_idler(said.side, along);
            }
            Work::SlackenScrew | Work::SteerByScrew => return self.steered_by_screw(said.side),
            Work::SquarePulley => Fault::SkewedPulley { end, skew_rad: LITTLE_RAD * left * inward },
            Work::RaisePulley => Fault::LowPulley { end, left_low_rad: raised_rad },
            Work::RaiseFrame => {
                Fault::LowFrame { from_m: 0.0, to_m: length_m, left_low_rad: raised_rad }
            }
            Work::RaiseIdler => Fault::Leaning { strand, station, left_low_rad: raised_rad },
            Work::TurnLoad => Fault::OffCentreLoad { left_m: LITTLE_LOAD_M * left },
            Work::Shelter => return Verdict::NothingThere,
        };
        self.steered(None, moved)
    }

    /// Turns the screw on that side in.
    pub(super) fn steered_by_screw(self, side: Side) -> Verdict {
        // Half of it at each screw: the side is judged, and not what a changed pull does besides.
        let in_m = 0.5 * STEER_SCREW_M * sign(side);
        self.steered(None, Fault::Screws { left_m: -in_m, right_m: in_m })
    }

    /// Where the belt is furthest off on the mean, if it is seen to be, and how far to the left, m.
    fn worst(self, on: Option<Strand>) -> Option<(Post, f64)> {
        let fed = self.world.belt().fed();
        let line = &self.world.drill().line;
        let there = |post: &Post| self.place.is_none_or(|place| post.zone(line) == place);
        let posts = || Post::all(line, on);
        // What was said may hold for the other strand, or for a place that is not watched.
        let posts: Vec<Post> = match posts().any(|post| there(&post)) {
            true => posts().filter(there).collect(),
            false => posts().collect(),
        };
        let off = posts.into_iter().filter_map(|post| Some((post, post.off_m(fed)?)));
        off.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
            .filter(|(_, off_m)| off_m.abs() >= SEEN_M)
    }

    /// Moves that end of the set before the worst place.
    pub(super) fn steered_by_idler(self, side: Side, along: Along) -> Verdict {
        let line = &self.world.drill().line;
        // The words name the strand by the way they say; where they name both, it is the worse one.
        let strand = match along {
            Along::Head => Some(Strand::Carry),
            Along::Tail => Some(Strand::Return),
            Along::WithStrand => None,
        };
        let Some((post, _)) = self.worst(strand) else {
            return Verdict::NothingThere;
        };
        let (strand, station) = post.set(line);
        // One set before the place, the way the belt comes from.
        let last = line.idlers(strand).stations_m.len().saturating_sub(1);
        let before = match strand {
            Strand::Carry => station.saturating_sub(1),
            Strand::Return => (station + 1).min(last),
        };
        let skew_rad = STEER_M / self.world.feet_m() * sign(side) * ahead(line, along, strand);
        self.steered(Some(strand), Fault::Skewed { strand, station: before, skew_rad })
    }

    /// Whether the belt goes back toward the middle where it is worst, when something is moved so.
    fn steered(self, on: Option<Strand>, moved: Fault) -> Verdict {
        let line = &self.world.drill().line;
        let Some((post, off_m)) = self.worst(on) else {
            return Verdict::NothingThere;
        };
        let at = |faults: &[Fault]| post.off_m(Belt::begin(line, faults).ok()?.fed());
        let mut faults = self.world.faults();
        let before = at(&faults);
        faults.push(moved);
        match (before, at(&faults)) {
            (Some(before), Some(after)) if (after - before) * off_m < 0.0 => Verdict::Lessens,
            (Some(_), Some(_)) => Verdict::Wrong,
            _ => Verdict::NothingThere,
        }
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

    /// What people call the place.
    fn zone(self, line: &Line) -> Meaning {
        let (strand, x_m) = match self {
            Self::Idler(strand, set) => {
                (strand, line.idlers(strand).stations_m.get(set).copied().unwrap_or(0.0))
            }
            Self::Pulley(End::Head) => (Strand::Carry, line.centres_m),
            Self::Pulley(End::Tail) => (Strand::Return, 0.0),
        };
        Zones::along(line).of(strand, x_m)
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
