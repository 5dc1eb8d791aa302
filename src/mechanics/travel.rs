//! What is bent in the belt itself, and where it is as the belt travels.
//!
//! A place on the belt is a number of metres behind mark 0, against the forward run. With the belt travelled by `T`,
//! the place `b` is at `T - b` round the loop: along the strand that leaves the first pulley, round the next, back
//! along the other strand, round again.

use super::beam::{curvatures, slopes};
use super::case::{Bend, Case};
use super::line::Run;
use crate::trade::End;
use crate::trade::Strand;

/// The loop, and what is bent in the belt.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Loop {
    pub(super) belt_m: f64,
    /// Where each strand begins: the carry strand at 0.
    ret_from_m: f64,
    centres_m: f64,
    bends: Vec<Bend>,
}

impl Loop {
    pub(super) fn new(case: &Case) -> Self {
        let belt_m = case.line.belt_m();
        let turned = |at: f64| (belt_m - at).rem_euclid(belt_m);
        let bends = case.bends.iter().map(|bend| match (*bend, case.line.run) {
            (bend, Run::Forward) => bend,
            (Bend::Kink { at_m, angle_rad }, Run::Backward) => {
                Bend::Kink { at_m: turned(at_m), angle_rad }
            }
            (Bend::Bow { from_m, to_m, per_m }, Run::Backward) => {
                Bend::Bow { from_m: belt_m - to_m, to_m: belt_m - from_m, per_m }
            }
        });
        Self {
            belt_m,
            ret_from_m: case.line.centres_m + case.turn(case.entered(Strand::Carry)).wrap_m,
            centres_m: case.line.centres_m,
            bends: bends.collect(),
        }
    }

    /// Where a strand begins in the loop.
    pub(super) fn begin_m(&self, strand: Strand) -> f64 {
        match strand {
            Strand::Carry => 0.0,
            Strand::Return => self.ret_from_m,
        }
    }

    /// Where a strand ends.
    pub(super) fn end_m(&self, strand: Strand) -> f64 {
        self.begin_m(strand) + self.centres_m
    }

    /// Where the place of belt that is `behind_m` behind the front is, once `travelled_m` are travelled, counted from
    /// the beginning of a strand; `None` if it is not on that strand.
    fn on_strand(&self, strand: Strand, travelled_m: f64, at_m: f64) -> Option<f64> {
        let place = (travelled_m - at_m).rem_euclid(self.belt_m) - self.begin_m(strand);
        (0.0..self.centres_m).contains(&place).then_some(place)
    }

    /// Angle by which the belt that has passed a place of the loop is bent, all summed up.
    pub(super) fn passed_rad(&self, travelled_m: f64, place_m: f64) -> f64 {
        let passed = travelled_m - place_m;
        let turns = (passed / self.belt_m).floor();
        let rest = passed - turns * self.belt_m;
        self.bends
            .iter()
            .map(|bend| match *bend {
                Bend::Kink { at_m, angle_rad } => {
                    angle_rad * (turns + if rest >= at_m { 1.0 } else { 0.0 })
                }
                Bend::Bow { from_m, to_m, per_m } => {
                    per_m * (turns * (to_m - from_m) + (rest.min(to_m) - from_m).max(0.0))
                }
            })
            .sum()
    }

    /// The integral of what has passed a place, over one step, less what had passed before it.
    pub(super) fn passing_rad_m(&self, from_m: f64, to_m: f64, place_m: f64) -> f64 {
        let step = to_m - from_m;
        self.bends
            .iter()
            .map(|bend| match *bend {
                Bend::Kink { at_m, angle_rad } => {
                    // How far after the kink the step went on.
                    let after = (to_m - place_m - at_m).rem_euclid(self.belt_m);
                    if after < step { angle_rad * after } else { 0.0 }
                }
                Bend::Bow { .. } => {
                    let one = Self { bends: vec![*bend], ..*self };
                    0.5 * step * (one.passed_rad(to_m, place_m) - one.passed_rad(from_m, place_m))
                }
            })
            .sum()
    }

    /// Adds the loads of all that is bent to the nodes of a strand: `[force, moment]` each, per EI.
    pub(super) fn load(&self, strand: Strand, travelled_m: f64, nodes_m: &[f64], into: &mut [f64]) {
        let around = travelled_m.rem_euclid(self.belt_m);
        let begin = self.begin_m(strand);
        for bend in &self.bends {
            match *bend {
                Bend::Kink { at_m, angle_rad } => {
                    if let Some(place) = self.on_strand(strand, travelled_m, at_m) {
                        spread(nodes_m, place, angle_rad, curvatures, into);
                    }
                }
                Bend::Bow { from_m, to_m, per_m } => {
                    for image in [0.0, self.belt_m] {
                        let from = (around - to_m + image - begin).max(0.0);
                        let to = (around - from_m + image - begin).min(self.centres_m);
                        if from < to {
                            spread(nodes_m, to, per_m, slopes, into);
                            spread(nodes_m, from, -per_m, slopes, into);
                        }
                    }
                }
            }
        }
    }

    /// Which end the loop comes to after a strand.
    pub(super) fn entry_m(&self, case: &Case, end: End) -> f64 {
        if case.entered(Strand::Carry) == end {
            self.end_m(Strand::Carry)
        } else {
            self.end_m(Strand::Return)
        }
    }
}

/// Adds one load at a place of the strand to the two nodes beside it.
fn spread(
    nodes_m: &[f64],
    place_m: f64,
    size: f64,
    shape: fn(f64, f64) -> [f64; 4],
    into: &mut [f64],
) {
    let after = nodes_m.partition_point(|node| *node < place_m).clamp(1, nodes_m.len().max(2) - 1);
    let (Some(from), Some(to)) = (nodes_m.get(after - 1), nodes_m.get(after)) else {
        return;
    };
    let loads = shape(place_m - from, to - from);
    for (value, load) in into.iter_mut().skip(2 * (after - 1)).zip(loads) {
        *value += size * load;
    }
}
