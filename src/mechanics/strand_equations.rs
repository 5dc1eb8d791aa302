//! One strand in the march: its equations for one step, factored and solved.
//!
//! Each step is implicit (backward Euler in the creep of the rolls, whose saturation is followed by a linear part with
//! the gain of the last factoring and the rest from the step before). At the pulleys the step is weighted just past
//! the middle, so that nothing rings. What is bent in the belt is followed to the exact place, not smeared over a step.
//! What entered a pulley leaves it half a turn of the pulley later.

use super::beam::{Node, element, forces, values};
use super::belt_state::{BeltState, Entered};
use super::case::Case;
use super::laid_out;
use super::path::Stand;
use super::solve::{Factors, Matrix};
use super::travel::Loop;
use super::wrong::{Reason, Wrong};
use crate::trade::Strand;

/// A belt this far off is beyond all bounds.
const MOST_OFF_M: f64 = 1e6;
/// Weight of the new values at the pulleys.
const NEW: f64 = 0.55;

/// One strand in the march.
pub(super) struct StrandEquations {
    pub(super) strand: Strand,
    holds: Vec<Hold>,
    /// Whether the rolls slip so differently from the last factoring that it must be done again.
    pub(super) stale: bool,
    /// All loads that are the same at every step.
    given: Vec<f64>,
    matrix: Matrix,
    factors: Option<Factors>,
    /// Bending moment over EI where it enters the pulley, at the last step.
    bent_per_m: f64,
    right: Vec<f64>,
    spare: Vec<f64>,
    bends: Vec<f64>,
}

/// How one stand holds the belt: `q = (angle - aim) / creep`, and the share of its grip, `tanh q`. What does not change
/// from step to step is kept at hand: this is where most of the time goes.
#[derive(Debug, Clone, Copy)]
struct Hold {
    node: usize,
    grip_n: f64,
    aim_rad: f64,
    per_creep: f64,
    per_step: f64,
    gain: f64,
    /// Side force per metre moved in one step, by that gain.
    held_n_per_m: f64,
    q: f64,
    share: f64,
}

impl Hold {
    fn new(stand: &Stand, slope: f64, step_m: f64) -> Self {
        let mut hold = Self {
            node: stand.node,
            grip_n: stand.grip_n,
            aim_rad: stand.aim_rad,
            per_creep: 1.0 / stand.creep_rad,
            per_step: 1.0 / step_m,
            gain: 1.0,
            held_n_per_m: 0.0,
            q: 0.0,
            share: 0.0,
        };
        hold.slips(slope, 0.0);
        hold
    }

    /// Takes up how the belt runs over it now.
    fn slips(&mut self, slope: f64, moved_m: f64) {
        let q = (slope + moved_m * self.per_step - self.aim_rad) * self.per_creep;
        // Most rolls slip very little: their series is as good to the last digits, and far quicker.
        let square = q * q;
        self.share = if square < 4e-4 {
            q * (1.0 - square * (1.0 / 3.0 - square * (2.0 / 15.0)))
        } else {
            q.tanh()
        };
        self.q = q;
    }

    fn gain_now(&self) -> f64 {
        (1.0 - self.share * self.share).max(LEAST_GAIN)
    }

    fn stale(&self) -> bool {
        let now = self.gain_now();
        self.grip_n > 0.0 && (now > self.gain + 0.15 || now < self.gain - 0.4)
    }
}

/// Least gain of a factoring: below it nothing is won.
const LEAST_GAIN: f64 = 0.1;

impl StrandEquations {
    pub(super) fn new(case: &Case, round: &Loop, state: &BeltState, strand: Strand) -> Self {
        let path = case.path(strand);
        let nodes = state.nodes(strand);
        let slope = |at: usize| laid_out::node(nodes, at).slope;
        let stands = path.stands.iter();
        let holds = stands.map(|stand| Hold::new(stand, slope(stand.node), state.step_m)).collect();
        let size = 2 * path.nodes_m.len();
        let mut half = Self {
            strand,
            holds,
            stale: true,
            given: vec![0.0; size],
            matrix: Matrix::of_chain(path.nodes_m.len()),
            factors: None,
            bent_per_m: 0.0,
            right: vec![0.0; size],
            spare: Vec::new(),
            bends: vec![0.0; size],
        };
        round.load(strand, state.travelled_m, &path.nodes_m, &mut half.bends);
        half.bent_per_m = half.bending(case, nodes);
        half
    }

    /// Bending moment over EI at the entered pulley.
    fn bending(&self, case: &Case, nodes: &[Node]) -> f64 {
        let path = case.path(self.strand);
        let stiffness = case.line.belt.stiffness_nm2();
        let bent = laid_out::last(&self.bends);
        match (nodes, path.nodes_m.as_slice()) {
            (&[.., first, second], &[.., from, to]) => {
                let [_, _, _, end] =
                    forces(&element(to - from, stiffness, path.tension_n), values(first, second));
                end / stiffness - bent
            }
            _ => 0.0,
        }
    }

    pub(super) fn factor(&mut self, case: &Case, step_m: f64) -> Result<(), Wrong> {
        let path = case.path(self.strand);
        let stiffness = case.line.belt.stiffness_nm2();
        let turn = case.turn(case.entered(self.strand));
        let last = path.nodes_m.len().saturating_sub(1);
        let matrix = &mut self.matrix;
        matrix.clear();
        matrix.add(0, 0, 1.0);
        matrix.add(1, 1, 1.0);
        for (nth, ends) in path.nodes_m.windows(2).enumerate() {
            let &[from, to] = ends else {
                continue;
            };
            let parts = element(to - from, stiffness, path.tension_n);
            for (of, row) in parts.iter().enumerate() {
                let at = 2 * nth + of;
                // Rows of the pulleys: the first node is given, the last follows its own equations.
                let scale = if at < 2 || at == 2 * last {
                    continue;
                } else if at == 2 * last + 1 {
                    step_m * NEW / stiffness
                } else {
                    1.0
                };
                for (on, part) in row.iter().enumerate() {
                    matrix.add(at, 2 * nth + on, scale * part);
                }
            }
        }
        for (given, wind) in self.given.chunks_exact_mut(2).zip(&path.wind_n) {
            given.fill(0.0);
            if let [force, _] = given {
                *force = *wind;
            }
        }
        for (stand, hold) in path.stands.iter().zip(&mut self.holds) {
            let at = 2 * stand.node;
            hold.gain = hold.gain_now();
            let turned = hold.grip_n * hold.gain * hold.per_creep;
            hold.held_n_per_m = turned * hold.per_step;
            matrix.add(at, at + 1, turned);
            matrix.add(at, at, hold.held_n_per_m + stand.centring_n_per_m);
            if let Some([force, couple]) = self.given.get_mut(at..at + 2) {
                *force +=
                    turned * stand.aim_rad + stand.centring_n_per_m * stand.middle_m + stand.push_n;
                *couple += stand.couple_nm;
            }
        }
        let at = 2 * last;
        matrix.add(at, at, 1.0);
        matrix.add(at, at + 1, step_m * NEW);
        matrix.add(at + 1, at + 1, 1.0);
        matrix.add(at + 1, at, -step_m * NEW * turn.crown_per_m2);
        self.stale = false;
        self.factors = matrix.factor();
        if self.factors.is_none() {
            return Err(Wrong::new(
                Reason::Singular,
                format!("strand of the {}s", self.strand),
                "its equations have no single answer",
                "Check for an extreme size: a pull, a stiffness or a distance far from what is built.",
            ));
        }
        Ok(())
    }

    pub(super) fn advance(
        &mut self,
        case: &Case,
        round: &Loop,
        state: &mut BeltState,
        from: f64,
        to: f64,
    ) -> Result<(), Wrong> {
        let path = case.path(self.strand);
        let stiffness = case.line.belt.stiffness_nm2();
        let step = to - from;
        self.bends.fill(0.0);
        round.load(self.strand, to, &path.nodes_m, &mut self.bends);
        let loads = self.given.iter().zip(&self.bends);
        for (right, (given, bend)) in self.right.iter_mut().zip(loads) {
            *right = given + stiffness * bend;
        }
        let nodes = state.nodes(self.strand);
        for hold in &self.holds {
            let y_m = laid_out::node(nodes, hold.node).y_m;
            if let Some(side) = self.right.get_mut(2 * hold.node) {
                *side += hold.held_n_per_m * y_m - hold.grip_n * (hold.share - hold.gain * hold.q);
            }
        }
        let leaving = leaving(case, round, state, self.strand, to);
        if let Some([y, slope]) = self.right.first_chunk_mut::<2>() {
            (*y, *slope) = (leaving.y_m, leaving.slope);
        }
        let before = laid_out::last_node(nodes);
        let end = case.entered(self.strand);
        let (turn, place) = (case.turn(end), round.entry_m(case, end));
        let passed = round.passed_rad(to, place) - round.passed_rad(from, place);
        let bends = laid_out::last(&self.bends);
        let cone = turn.cone_per_m;
        if let Some([y, slope]) = self.right.last_chunk_mut::<2>() {
            *y = before.y_m + step * (turn.enters_rad - (1.0 - NEW) * before.slope)
                - step * NEW * passed
                + round.passing_rad_m(from, to, place);
            let old = self.bent_per_m - turn.crown_per_m2 * before.y_m - cone;
            *slope = before.slope - step * (1.0 - NEW) * old + step * NEW * (bends + cone) - passed;
        }
        if let Some(factors) = &self.factors {
            factors.solve(&mut self.right, &mut self.spare);
        }
        let nodes = match self.strand {
            Strand::Carry => &mut state.carry,
            Strand::Return => &mut state.ret,
        };
        self.stale = false;
        for hold in &mut self.holds {
            let before_m = laid_out::node(nodes, hold.node).y_m;
            let at = 2 * hold.node;
            if let Some(&[y_m, slope]) = self.right.get(at..at + 2).and_then(<[f64]>::first_chunk) {
                hold.slips(slope, y_m - before_m);
                self.stale |= hold.stale();
            }
        }
        for (node, pair) in nodes.iter_mut().zip(self.right.chunks_exact(2)) {
            if let &[y_m, slope] = pair {
                *node = Node { y_m, slope };
            }
        }
        let end_m = laid_out::last_node(nodes).y_m;
        if end_m.is_nan() || end_m.abs() >= MOST_OFF_M {
            return Err(Wrong::new(
                Reason::Unsettled,
                end,
                "the belt runs off beyond all bounds",
                "Look at the steady state: nothing holds this belt, or a fault is extreme.",
            ));
        }
        self.bent_per_m = self.bending(case, state.nodes(self.strand));
        Ok(())
    }
}

/// What leaves the pulley at the beginning of a strand, once the belt has travelled so far.
fn leaving(case: &Case, round: &Loop, state: &BeltState, strand: Strand, travelled_m: f64) -> Node {
    let end = case.left(strand);
    let turn = case.turn(end);
    let past = state.past(end);
    // The newest that is kept entered one step ago.
    let back = (turn.wrap_m / state.step_m - 1.0).max(0.0);
    let (first, share) = (back.floor() as usize, back.fract());
    let one = |at: usize| {
        past.get(at).or(past.back()).copied().unwrap_or(Entered { y_m: 0.0, slope: 0.0 })
    };
    let (later, earlier) = (one(first), one(first + 1));
    let place = round.entry_m(case, end) + turn.wrap_m;
    Node {
        y_m: later.y_m + share * (earlier.y_m - later.y_m),
        slope: turn.leaves_rad + later.slope + share * (earlier.slope - later.slope)
            - round.passed_rad(travelled_m, place),
    }
}
