//! What a person sees of a running belt: places, sides and movement, read with an error by eye.

use super::belt::Belt;
use super::noise;
use crate::mechanics::{Line, Watched, mean_and_swing};
use crate::rulebook::model::Meaning;
use crate::trade::Strand;

/// How far an eye is out at one place, standard deviation, m.
const EYE_M: f64 = 0.002;
/// Less than this nobody can tell from nothing, m.
const TELL_M: f64 = 0.005;
/// What is more than this share of the largest is off as well.
const ALSO: f64 = 0.5;

/// One place, and where the belt runs there as each mark goes by, m to the left.
#[derive(Debug, Clone)]
struct Post {
    strand: Strand,
    x_m: f64,
    mean_m: f64,
    swing_m: f64,
    off_m: Vec<f64>,
}

impl Post {
    /// The reading that is furthest off.
    fn peak_m(&self) -> f64 {
        let further = |a: f64, b: f64| if b.abs() > a.abs() { b } else { a };
        self.off_m.iter().copied().fold(0.0, further)
    }
}

/// A belt as it is seen from outside the guards.
#[derive(Debug, Clone)]
pub struct Picture {
    fed: Vec<Post>,
    empty: Vec<Post>,
    room_m: f64,
    zones: Zones,
}

/// What people call the places along a conveyor.
#[derive(Debug, Clone, Copy)]
pub(super) struct Zones {
    centres_m: f64,
    /// How near to an end counts as the end, m.
    end_m: f64,
    load_from_m: f64,
}

impl Zones {
    /// Of a conveyor.
    pub(super) fn along(line: &Line) -> Self {
        Self {
            centres_m: line.centres_m,
            end_m: (0.1 * line.centres_m).max(1.0),
            load_from_m: line.load.from_m,
        }
    }

    /// Of a place of one strand, m from the tail.
    pub(super) fn of(self, strand: Strand, x_m: f64) -> Meaning {
        let from_head_m = self.centres_m - x_m;
        match strand {
            Strand::Return if x_m <= self.end_m => Meaning::Tail,
            Strand::Carry if x_m <= self.load_from_m.max(self.end_m) => Meaning::LoadZone,
            _ if from_head_m <= self.end_m => Meaning::Head,
            Strand::Carry => Meaning::CarryRun,
            Strand::Return => Meaning::ReturnRun,
        }
    }
}

/// Where a belt is off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Pattern {
    Nothing,
    OnePlace,
    LongStretch,
    OnePart,
}

impl Picture {
    /// What is seen of a belt. The same seed and occasion give the same errors.
    pub fn of(belt: &Belt, line: &Line, seed: u64, occasion: &str) -> Self {
        let mut rng = noise::rng(seed, occasion);
        let mut posts = |watched: &Watched| -> Vec<Post> {
            let carry = watched.carry.iter().zip(&line.carry.stations_m);
            let ret = watched.ret.iter().zip(&line.ret.stations_m);
            let ends = [
                (&watched.head, Strand::Carry, line.centres_m),
                (&watched.tail, Strand::Return, 0.0),
            ];
            carry
                .map(|(row, x)| (row, Strand::Carry, *x))
                .chain(ret.map(|(row, x)| (row, Strand::Return, *x)))
                .chain(ends)
                .map(|(row, strand, x_m)| {
                    let out_m = EYE_M * noise::normal(&mut rng);
                    let off_m: Vec<f64> = row.iter().map(|off| off + out_m).collect();
                    let (mean_m, swing_m) = mean_and_swing(&off_m);
                    Post { strand, x_m, mean_m, swing_m, off_m }
                })
                .collect()
        };
        Self {
            fed: posts(belt.fed()),
            empty: posts(belt.empty()),
            room_m: line.edge_room_m(),
            zones: Zones::along(line),
        }
    }

    fn largest(posts: &[Post], size: impl Fn(&Post) -> f64) -> Option<&Post> {
        debug_assert!(!posts.is_empty(), "both end pulleys are always watched");
        posts.iter().max_by(|a, b| size(a).abs().total_cmp(&size(b).abs()))
    }

    fn pattern(&self) -> Pattern {
        let size = |of: fn(&Post) -> f64| Self::largest(&self.fed, of).map_or(0.0, |p| of(p).abs());
        let mean_m = size(|post| post.mean_m);
        let swing_m = size(|post| 0.5 * post.swing_m);
        if mean_m.max(swing_m) < TELL_M {
            Pattern::Nothing
        } else if swing_m > mean_m {
            Pattern::OnePart
        } else if self.extent(mean_m) >= 0.3 {
            Pattern::LongStretch
        } else {
            Pattern::OnePlace
        }
    }

    /// The share of both strands where the belt is off by more than half of the largest offset.
    fn extent(&self, largest_m: f64) -> f64 {
        let share = |strand: Strand| {
            let there: Vec<&Post> = self.fed.iter().filter(|post| post.strand == strand).collect();
            let off = there.iter().filter(|post| post.mean_m.abs() >= ALSO * largest_m);
            off.count() as f64 / there.len().max(1) as f64
        };
        0.5 * (share(Strand::Carry) + share(Strand::Return))
    }

    /// The place that catches the eye.
    fn place(&self) -> Option<&Post> {
        if self.pattern() == Pattern::OnePart {
            Self::largest(&self.fed, |post| post.swing_m)
        } else {
            Self::largest(&self.fed, |post| post.mean_m)
        }
    }

    /// All of the belt at one place, or one part of it.
    pub(super) fn first_split(&self) -> Meaning {
        match self.pattern() {
            Pattern::Nothing => Meaning::NoPattern,
            Pattern::OnePlace => Meaning::OnePlace,
            Pattern::LongStretch => Meaning::LongStretch,
            Pattern::OnePart => Meaning::OnePart,
        }
    }

    /// Where it is furthest off.
    pub(super) fn place_off(&self) -> Option<Meaning> {
        self.place().map(|post| self.zone(post))
    }

    /// Toward which side it is off there.
    pub(super) fn side_off(&self) -> Option<Meaning> {
        self.place().map(side)
    }

    /// How its edge moves there.
    pub(super) fn movement(&self) -> Option<Meaning> {
        self.place().map(movement)
    }

    /// How long the part of the belt is that is off.
    pub(super) fn length_off(&self) -> Option<Meaning> {
        self.place().map(length_of_part)
    }

    /// Whether the empty belt comes off centre to the tail.
    pub(super) fn off_at_tail(&self) -> Option<Meaning> {
        let tail = self.empty.last()?;
        Some(Meaning::from(tail.peak_m().abs() > ALSO * self.room_m))
    }

    fn zone(&self, post: &Post) -> Meaning {
        self.zones.of(post.strand, post.x_m)
    }

    /// On which strand it is off.
    pub(super) fn strand_off(&self) -> Meaning {
        let largest = |strand: Strand| {
            let there = self.fed.iter().filter(|post| post.strand == strand);
            there.fold(0.0_f64, |most, post| most.max(post.peak_m().abs()))
        };
        let (carry, ret) = (largest(Strand::Carry), largest(Strand::Return));
        if carry > 2.0 * ret {
            Meaning::Carry
        } else if ret > 2.0 * carry {
            Meaning::Return
        } else {
            Meaning::Both
        }
    }

    /// Whether it is off fed, empty or both.
    pub(super) fn fed_or_empty(&self) -> Meaning {
        let peak = |posts: &[Post]| Self::largest(posts, Post::peak_m).map_or(0.0, Post::peak_m);
        let (fed, empty) = (peak(&self.fed), peak(&self.empty));
        let little = |a: f64, b: f64| a.abs() < ALSO * b.abs();
        if little(empty, fed) {
            Meaning::FedOnly
        } else if little(fed, empty) {
            Meaning::EmptyOnly
        } else if fed * empty < 0.0 && self.pattern() != Pattern::OnePart {
            Meaning::OtherSideEmpty
        } else {
            Meaning::FedAndEmpty
        }
    }

    /// Whether the edge makes a standing S: clearly off to both sides along one strand.
    pub(super) fn snakes(&self) -> bool {
        [Strand::Carry, Strand::Return].iter().any(|strand| {
            let there = self.fed.iter().filter(|post| post.strand == *strand);
            let (least, most) = there.fold((0.0_f64, 0.0_f64), |(least, most), post| {
                (least.min(post.mean_m), most.max(post.mean_m))
            });
            let smaller = most.min(-least);
            smaller > 2.0 * TELL_M && smaller > ALSO * most.max(-least)
        })
    }
}

fn movement(post: &Post) -> Meaning {
    if post.swing_m < post.mean_m.abs().max(2.0 * TELL_M) {
        Meaning::Steady
    } else if part_that_is_off(post) < 0.35 {
        Meaning::Jumps
    } else {
        Meaning::Sways
    }
}

/// The side toward which the belt runs there.
fn side(post: &Post) -> Meaning {
    let fold = |start: f64, pick: fn(f64, f64) -> f64| post.off_m.iter().copied().fold(start, pick);
    let (most, least) = (fold(0.0, f64::max), fold(0.0, f64::min));
    if most.min(-least) > 0.6 * most.max(-least) {
        Meaning::Both
    } else if most > -least {
        Meaning::Left
    } else {
        Meaning::Right
    }
}

/// The share of the belt that is off by more than half of its largest departure from where it mostly runs.
fn part_that_is_off(post: &Post) -> f64 {
    debug_assert!(!post.off_m.is_empty(), "marks are watched at each post");
    let mut sorted = post.off_m.clone();
    sorted.sort_by(f64::total_cmp);
    let usual = sorted.get(sorted.len() / 2).copied().unwrap_or(0.0);
    let largest = sorted.iter().fold(0.0_f64, |most, off| most.max((off - usual).abs()));
    let off = sorted.iter().filter(|off| (*off - usual).abs() > ALSO * largest);
    off.count() as f64 / sorted.len().max(1) as f64
}

fn length_of_part(post: &Post) -> Meaning {
    let share = part_that_is_off(post);
    if side(post) == Meaning::Both && share > 0.35 {
        Meaning::Alternating
    } else if share < 0.2 {
        Meaning::Short
    } else {
        Meaning::Long
    }
}
