//! Where the belt lies between two moves: all that the future hangs on.

use crate::trade::Strand;
use std::collections::VecDeque;

use super::beam::{Node, element, forces, values};
use super::case::Case;
use super::loads::SideLoads;
use super::path::Path;
use super::shape::Shape;
use super::steady::Steady;
use super::travel::Loop;
use crate::trade::End;

/// Fewest and most steps of one turn of the belt.
const STEPS_A_TURN: (f64, f64) = (400.0, 2_100.0);
/// Longest step, as a share of the shorter bending length.
const STEP_SHARE: f64 = 0.1;
/// Where the belt lies at one moment, and what is on the pulleys: all that the future hangs on.
#[derive(Debug, Clone, PartialEq)]
pub struct BeltState {
    pub(super) carry: Vec<Node>,
    pub(super) ret: Vec<Node>,
    /// What entered each pulley, the latest first.
    pub(super) tail: VecDeque<Entered>,
    pub(super) head: VecDeque<Entered>,
    pub(super) travelled_m: f64,
    pub(super) step_m: f64,
}

/// What entered a pulley at one step: offset, and slope beyond that of the pulley, with the bends of the belt that
/// had passed by then added, so that it is smooth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Entered {
    pub(super) y_m: f64,
    pub(super) slope: f64,
}

impl BeltState {
    /// The belt straight, so far to the left of the middle all along.
    pub fn straight(case: &Case, left_m: f64) -> Self {
        let lie = |path: &Path| vec![Node { y_m: left_m, slope: 0.0 }; path.nodes_m.len()];
        Self::new(case, lie(&case.carry), lie(&case.ret), left_m, left_m)
    }

    /// The belt where it comes to rest.
    pub fn at_rest(case: &Case, rest: &Steady) -> Self {
        let lie = |strand: Strand| -> Vec<Node> {
            let path = case.path(strand);
            let shape = rest.shape(strand);
            let mut nodes: Vec<Node> = shape
                .points()
                .iter()
                .map(|point| Node { y_m: point.y_m, slope: path.travel * point.slope })
                .collect();
            if path.travel < 0.0 {
                nodes.reverse();
            }
            nodes
        };
        Self::new(case, lie(Strand::Carry), lie(Strand::Return), rest.tail_m, rest.head_m)
    }

    /// The belt straight in the middle, marched with steps so many times shorter than usual: for proofs that those
    /// are short enough.
    pub fn with_steps(case: &Case, shorter: u32) -> Self {
        let lie = |path: &Path| vec![Node::default(); path.nodes_m.len()];
        let step_m = step_m(case) / f64::from(shorter.clamp(1, 100));
        Self::stepped(case, lie(&case.carry), lie(&case.ret), (0.0, 0.0), step_m)
    }

    fn new(case: &Case, carry: Vec<Node>, ret: Vec<Node>, tail_m: f64, head_m: f64) -> Self {
        Self::stepped(case, carry, ret, (tail_m, head_m), step_m(case))
    }

    fn stepped(
        case: &Case,
        carry: Vec<Node>,
        ret: Vec<Node>,
        (tail_m, head_m): (f64, f64),
        step_m: f64,
    ) -> Self {
        let round = Loop::new(case);
        let past = |end: End, y_m: f64| {
            let place = round.entry_m(case, end);
            let count = kept(case.turn(end).wrap_m, step_m);
            (0..count)
                .map(|nth| Entered { y_m, slope: round.passed_rad(-(nth as f64) * step_m, place) })
                .collect()
        };
        Self {
            carry,
            ret,
            tail: past(End::Tail, tail_m),
            head: past(End::Head, head_m),
            travelled_m: 0.0,
            step_m,
        }
    }

    /// The same belt as the conveyor starts in the other direction: it lay on `before`, which is now run as `now`. What
    /// came on to a pulley last leaves it first.
    pub fn turned_round(&self, before: &Case, now: &Case) -> Self {
        let back = |nodes: &[Node]| -> Vec<Node> {
            let turned = |node: &Node| Node { y_m: node.y_m, slope: -node.slope };
            nodes.iter().rev().map(turned).collect()
        };
        let mut turned = Self::new(now, back(&self.carry), back(&self.ret), 0.0, 0.0);
        turned.step_m = self.step_m;
        turned.travelled_m = (now.line.centres_m - self.travelled_m).rem_euclid(now.line.belt_m());
        let (old, new) = (Loop::new(before), Loop::new(now));
        for end in [End::Tail, End::Head] {
            let (from, to) = (old.entry_m(before, end), new.entry_m(now, end));
            let ago = |nth: usize| nth as f64 * self.step_m;
            let bare = self.past(end).iter().enumerate().map(|(nth, entered)| {
                let bent = old.passed_rad(self.travelled_m - ago(nth), from);
                (entered.y_m, entered.slope - bent)
            });
            let past = bare.rev().enumerate().map(|(nth, (y_m, slope))| Entered {
                y_m,
                slope: new.passed_rad(turned.travelled_m - ago(nth), to) - slope,
            });
            let past = past.collect();
            match end {
                End::Tail => turned.tail = past,
                End::Head => turned.head = past,
            }
        }
        turned
    }

    /// How far the belt has travelled.
    pub fn travelled_m(&self) -> f64 {
        self.travelled_m
    }

    /// The shape of a strand.
    pub fn shape(&self, case: &Case, strand: Strand) -> Shape {
        Shape::new(case, strand, self.nodes(strand))
    }

    /// What the bearings of the tail pulley carry now.
    pub fn loads(&self, case: &Case) -> SideLoads {
        SideLoads::running(case, &self.carry, &self.ret)
    }

    /// The energy of the belt's bending and pull, and of the centring of the sets: with all parts square, J.
    pub fn energy_j(&self, case: &Case) -> f64 {
        [Strand::Carry, Strand::Return]
            .iter()
            .map(|strand| {
                let (path, nodes) = (case.path(*strand), self.nodes(*strand));
                let stiffness = case.line.belt.stiffness_nm2();
                let bent: f64 = nodes
                    .windows(2)
                    .zip(path.nodes_m.windows(2))
                    .map(|(ends, places)| match (ends, places) {
                        (&[first, second], &[from, to]) => {
                            let four = values(first, second);
                            let force =
                                forces(&element(to - from, stiffness, path.tension_n), four);
                            0.5 * force.iter().zip(four).map(|(a, b)| a * b).sum::<f64>()
                        }
                        _ => 0.0,
                    })
                    .sum();
                let sprung: f64 = path
                    .stands
                    .iter()
                    .filter_map(|stand| {
                        let off = nodes.get(stand.node)?.y_m - stand.middle_m;
                        Some(0.5 * stand.centring_n_per_m * off * off)
                    })
                    .sum();
                bent + sprung
            })
            .sum()
    }

    pub(super) fn nodes(&self, strand: Strand) -> &[Node] {
        match strand {
            Strand::Carry => &self.carry,
            Strand::Return => &self.ret,
        }
    }

    pub(super) fn past(&self, end: End) -> &VecDeque<Entered> {
        match end {
            End::Tail => &self.tail,
            End::Head => &self.head,
        }
    }
}

/// How far the belt goes in one step. It hangs on the conveyor alone, not on its faults.
fn step_m(case: &Case) -> f64 {
    let line = &case.line;
    let bending = line.bending_length_m(Strand::Carry).min(line.bending_length_m(Strand::Return));
    let belt = line.belt_m();
    (STEP_SHARE * bending)
        .min(case.tail.wrap_m)
        .min(case.head.wrap_m)
        .clamp(belt / STEPS_A_TURN.1, belt / STEPS_A_TURN.0)
}

/// How many steps back must be kept for what leaves a pulley.
pub(super) fn kept(wrap_m: f64, step_m: f64) -> usize {
    (wrap_m / step_m).ceil().max(1.0) as usize + 1
}
