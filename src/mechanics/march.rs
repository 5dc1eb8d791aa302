//! The belt as time goes on: step by step round the loop.
//!
//! In the strands each step is implicit (backward Euler in the creep of the rolls, whose saturation is followed by
//! a linear part with the gain of the last factoring and the rest from the step before). At the pulleys the step is
//! weighted just past the middle, so that nothing rings. What is bent in the belt is followed to the exact place, not
//! smeared over a step. What entered a pulley leaves it half a turn of the pulley later.

use std::collections::VecDeque;

use super::beam::{Node, element, forces, values};
use super::case::{Case, Path, Stand};
use super::line::{End, Strand};
use super::loads::SideLoads;
use super::shape::Shape;
use super::solve::{Factors, Matrix};
use super::steady::Steady;
use super::travel::Loop;
use super::wrong::{Reason, Wrong};

/// Weight of the new values at the pulleys.
const NEW: f64 = 0.55;
/// Fewest and most steps of one turn of the belt.
const STEPS_A_TURN: (f64, f64) = (400.0, 3_000.0);
/// Longest step, as a share of the shorter bending length.
const STEP_SHARE: f64 = 0.1;
/// Most turns that are marched at once.
pub const MOST_TURNS: u32 = 1_000;

/// Where the belt lies at one moment, and what is on the pulleys: all that the future hangs on.
#[derive(Debug, Clone, PartialEq)]
pub struct Lies {
    carry: Vec<Node>,
    ret: Vec<Node>,
    /// What entered each pulley, the latest first.
    tail: VecDeque<Entered>,
    head: VecDeque<Entered>,
    travelled_m: f64,
    step_m: f64,
}

/// What entered a pulley at one step: offset, and slope beyond that of the pulley, with the bends of the belt that
/// had passed by then added, so that it is smooth.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Entered {
    y_m: f64,
    slope: f64,
}

impl Lies {
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

    fn stepped(case: &Case, carry: Vec<Node>, ret: Vec<Node>, (tail_m, head_m): (f64, f64), step_m: f64) -> Self {
        let round = Loop::of(case);
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

    /// The same belt as the conveyor starts in the other direction: `case` is the conveyor as it runs from now on.
    pub fn turned_round(&self, case: &Case) -> Self {
        let back = |nodes: &[Node]| -> Vec<Node> {
            nodes.iter().rev().map(|node| Node { y_m: node.y_m, slope: -node.slope }).collect()
        };
        let (carry, ret) = (back(&self.carry), back(&self.ret));
        let enters = |end: End| {
            let nodes = if case.entered(Strand::Carry) == end { &carry } else { &ret };
            nodes.last().map_or(0.0, |node| node.y_m)
        };
        let (tail_m, head_m) = (enters(End::Tail), enters(End::Head));
        let mut turned = Self::new(case, carry, ret, tail_m, head_m);
        let belt_m = case.line.belt_m();
        turned.travelled_m = (case.line.centres_m - self.travelled_m).rem_euclid(belt_m);
        turned.refresh(case);
        turned
    }

    /// Sets the bends that have passed anew, after `travelled_m` was set.
    fn refresh(&mut self, case: &Case) {
        let round = Loop::of(case);
        let (travelled, step) = (self.travelled_m, self.step_m);
        for (end, past) in [(End::Tail, &mut self.tail), (End::Head, &mut self.head)] {
            let place = round.entry_m(case, end);
            for (nth, entered) in past.iter_mut().enumerate() {
                entered.slope = round.passed_rad(travelled - nth as f64 * step, place);
            }
        }
    }

    /// How far the belt has travelled.
    pub fn travelled_m(&self) -> f64 {
        self.travelled_m
    }

    /// The shape of a strand.
    pub fn shape(&self, case: &Case, strand: Strand) -> Shape {
        Shape::of(case, strand, self.nodes(strand))
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
                            let force = forces(&element(to - from, stiffness, path.tension_n), four);
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

    fn nodes(&self, strand: Strand) -> &[Node] {
        match strand {
            Strand::Carry => &self.carry,
            Strand::Return => &self.ret,
        }
    }

    fn past(&self, end: End) -> &VecDeque<Entered> {
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
fn kept(wrap_m: f64, step_m: f64) -> usize {
    (wrap_m / step_m).ceil().max(1.0) as usize + 1
}

/// One strand in the march.
struct Half {
    strand: Strand,
    /// How each stand holds the belt, at the last step.
    held: Vec<Held>,
    gains: Vec<f64>,
    matrix: Matrix,
    factors: Option<Factors>,
    /// Bending moment over EI where it enters the pulley, at the last step.
    bent_per_m: f64,
    right: Vec<f64>,
    spare: Vec<f64>,
    bends: Vec<f64>,
}

/// A conveyor running.
pub struct March<'a> {
    case: &'a Case,
    round: Loop,
    lies: Lies,
    carry: Half,
    ret: Half,
    gone_after_m: Option<f64>,
    refactors: u32,
}

impl<'a> March<'a> {
    /// Begins from where the belt lies. Faults, pull and load may have changed since; the conveyor itself not.
    ///
    /// # Errors
    /// If the belt lay on another conveyor, or the equations have no single answer.
    pub fn new(case: &'a Case, lies: Lies) -> Result<Self, Wrong> {
        let same = lies.carry.len() == case.carry.nodes_m.len()
            && lies.ret.len() == case.ret.nodes_m.len()
            && lies.tail.len() == kept(case.tail.wrap_m, lies.step_m)
            && lies.head.len() == kept(case.head.wrap_m, lies.step_m)
            && lies.travelled_m.is_finite();
        if !same {
            return Err(Wrong::new(
                Reason::OtherConveyor,
                "belt",
                "it was left lying on another conveyor",
                "Begin again with the belt in the middle.",
            ));
        }
        let round = Loop::of(case);
        let half = |strand| Half::new(case, &round, &lies, strand);
        let (carry, ret) = (half(Strand::Carry), half(Strand::Return));
        let mut march = Self { case, round, lies, carry, ret, gone_after_m: None, refactors: 0 };
        march.carry.factor(case, march.lies.step_m)?;
        march.ret.factor(case, march.lies.step_m)?;
        Ok(march)
    }

    /// Where the belt lies now.
    pub fn lies(&self) -> &Lies {
        &self.lies
    }

    /// Ends the march, and tells where the belt lies.
    pub fn into_lies(self) -> Lies {
        self.lies
    }

    /// How far the belt had travelled, in all, when its edge first left the rolls or a pulley; the march goes on with
    /// rolls that have no end.
    pub fn gone_after_m(&self) -> Option<f64> {
        self.gone_after_m
    }

    /// How often the rolls slipped so differently that the equations were factored again.
    pub fn refactors(&self) -> u32 {
        self.refactors
    }

    /// How far the belt goes in one step.
    pub fn step_m(&self) -> f64 {
        self.lies.step_m
    }

    /// How many steps a turn of the belt takes.
    pub fn steps_a_turn(&self) -> u32 {
        (self.round.belt_m / self.lies.step_m).ceil() as u32
    }

    /// One step on.
    ///
    /// # Errors
    /// If the equations have no single answer, or the belt goes beyond all bounds.
    pub fn step(&mut self) -> Result<(), Wrong> {
        let (case, step) = (self.case, self.lies.step_m);
        let from = self.lies.travelled_m;
        let to = from + step;
        for half in [&mut self.carry, &mut self.ret] {
            if half.stale(case) {
                half.factor(case, step)?;
                self.refactors += 1;
            }
            half.advance(case, &self.round, &mut self.lies, from, to)?;
        }
        for half in [&self.carry, &self.ret] {
            let end = case.entered(half.strand);
            let Some(last) = self.lies.nodes(half.strand).last().copied() else {
                continue;
            };
            let place = self.round.entry_m(case, end);
            let entered = Entered {
                y_m: last.y_m,
                slope: last.slope - case.turn(end).enters_rad + self.round.passed_rad(to, place),
            };
            let past = match end {
                End::Tail => &mut self.lies.tail,
                End::Head => &mut self.lies.head,
            };
            past.pop_back();
            past.push_front(entered);
        }
        self.lies.travelled_m = to;
        if self.gone_after_m.is_none() && self.beyond(case.line.edge_room_m()) {
            self.gone_after_m = Some(to);
        }
        Ok(())
    }

    fn beyond(&self, room_m: f64) -> bool {
        [Strand::Carry, Strand::Return].iter().any(|strand| {
            let nodes = self.lies.nodes(*strand);
            let stands = self.case.path(*strand).stands.iter().map(|stand| stand.node);
            stands
                .chain([nodes.len().saturating_sub(1)])
                .filter_map(|at| nodes.get(at))
                .any(|node| !(node.y_m.abs() <= room_m))
        })
    }

    /// So many turns of the belt on; at most [`MOST_TURNS`].
    ///
    /// # Errors
    /// As for [`March::step`].
    pub fn turns(&mut self, turns: u32) -> Result<(), Wrong> {
        for _ in 0..turns.min(MOST_TURNS) {
            for _ in 0..self.steps_a_turn() {
                self.step()?;
            }
        }
        Ok(())
    }

    pub(super) fn round(&self) -> &Loop {
        &self.round
    }

    pub(super) fn case(&self) -> &Case {
        self.case
    }

    /// The offset at a node, counted in the order of travel.
    pub(super) fn node_m(&self, strand: Strand, node: usize) -> f64 {
        self.lies.nodes(strand).get(node).map_or(0.0, |node| node.y_m)
    }
}

fn angle(stand: &Stand, slope: f64, moved_m: f64, step_m: f64) -> f64 {
    (slope + moved_m / step_m - stand.aim_rad) / stand.creep_rad
}

/// How a stand holds the belt: `q = (angle - aim) / creep`, and the share of its grip, `tanh q`.
#[derive(Debug, Clone, Copy)]
struct Held {
    q: f64,
    share: f64,
}

impl Held {
    fn of(q: f64) -> Self {
        // Most rolls slip very little: their series is as good to the last digits, and far quicker.
        let square = q * q;
        let share = if square < 4e-4 {
            q * (1.0 - square * (1.0 / 3.0 - square * (2.0 / 15.0)))
        } else {
            q.tanh()
        };
        Self { q, share }
    }

    fn gain(self) -> f64 {
        (1.0 - self.share * self.share).max(LEAST_GAIN)
    }
}

/// Least gain of a factoring: below it nothing is won.
const LEAST_GAIN: f64 = 0.1;

impl Half {
    fn new(case: &Case, round: &Loop, lies: &Lies, strand: Strand) -> Self {
        let path = case.path(strand);
        let nodes = lies.nodes(strand);
        let held: Vec<Held> = path
            .stands
            .iter()
            .map(|stand| Held::of(angle(stand, nodes.get(stand.node).map_or(0.0, |node| node.slope), 0.0, 1.0)))
            .collect();
        let size = 2 * path.nodes_m.len();
        let mut half = Self {
            strand,
            gains: Vec::new(),
            held,
            matrix: Matrix::new(size),
            factors: None,
            bent_per_m: 0.0,
            right: vec![0.0; size],
            spare: Vec::new(),
            bends: vec![0.0; size],
        };
        round.load(strand, lies.travelled_m, &path.nodes_m, &mut half.bends);
        half.bent_per_m = half.bending(case, nodes);
        half
    }

    /// Bending moment over EI at the entered pulley.
    fn bending(&self, case: &Case, nodes: &[Node]) -> f64 {
        let path = case.path(self.strand);
        let stiffness = case.line.belt.stiffness_nm2();
        let bent = self.bends.last().copied().unwrap_or(0.0);
        match (nodes, path.nodes_m.as_slice()) {
            (&[.., first, second], &[.., from, to]) => {
                let [_, _, _, end] = forces(&element(to - from, stiffness, path.tension_n), values(first, second));
                end / stiffness - bent
            }
            _ => 0.0,
        }
    }

    /// Whether the rolls slip so differently from the last factoring that it must be done again.
    fn stale(&self, case: &Case) -> bool {
        let stands = &case.path(self.strand).stands;
        self.held.iter().zip(&self.gains).zip(stands).any(|((held, used), stand)| {
            let now = held.gain();
            stand.grip_n > 0.0 && (now > used + 0.15 || now < used - 0.4)
        })
    }

    fn factor(&mut self, case: &Case, step_m: f64) -> Result<(), Wrong> {
        let path = case.path(self.strand);
        let stiffness = case.line.belt.stiffness_nm2();
        let turn = case.turn(case.entered(self.strand));
        self.gains = self.held.iter().map(|held| held.gain()).collect();
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
        for (stand, gain) in path.stands.iter().zip(&self.gains) {
            let at = 2 * stand.node;
            let turned = stand.grip_n * gain / stand.creep_rad;
            matrix.add(at, at + 1, turned);
            matrix.add(at, at, turned / step_m + stand.centring_n_per_m);
        }
        let at = 2 * last;
        matrix.add(at, at, 1.0);
        matrix.add(at, at + 1, step_m * NEW);
        matrix.add(at + 1, at + 1, 1.0);
        matrix.add(at + 1, at, -step_m * NEW * turn.crown_per_m2);
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

    fn advance(&mut self, case: &Case, round: &Loop, lies: &mut Lies, from: f64, to: f64) -> Result<(), Wrong> {
        let path = case.path(self.strand);
        let stiffness = case.line.belt.stiffness_nm2();
        let step = to - from;
        self.bends.fill(0.0);
        round.load(self.strand, to, &path.nodes_m, &mut self.bends);
        for (right, bend) in self.right.iter_mut().zip(&self.bends) {
            *right = stiffness * bend;
        }
        for (wind, right) in path.wind_n.iter().zip(self.right.chunks_exact_mut(2)) {
            if let [force, _] = right {
                *force += wind;
            }
        }
        let nodes = lies.nodes(self.strand);
        for ((stand, held), gain) in path.stands.iter().zip(&self.held).zip(&self.gains) {
            let before = nodes.get(stand.node).copied().unwrap_or_default();
            let rest = held.share - gain * held.q;
            let turned = stand.grip_n * gain / stand.creep_rad;
            let force = turned * (stand.aim_rad + before.y_m / step) - stand.grip_n * rest
                + stand.centring_n_per_m * stand.middle_m
                + stand.push_n;
            if let Some([side, couple]) = self.right.get_mut(2 * stand.node..2 * stand.node + 2) {
                *side += force;
                *couple += stand.couple_nm;
            }
        }
        let leaving = leaving(case, round, lies, self.strand, to);
        if let Some([y, slope]) = self.right.first_chunk_mut::<2>() {
            (*y, *slope) = (leaving.y_m, leaving.slope);
        }
        let before = nodes.last().copied().unwrap_or_default();
        let end = case.entered(self.strand);
        let (turn, place) = (case.turn(end), round.entry_m(case, end));
        let passed = round.passed_rad(to, place) - round.passed_rad(from, place);
        let bends = self.bends.last().copied().unwrap_or(0.0);
        let cone = turn.cone_per_m;
        if let Some([y, slope]) = self.right.last_chunk_mut::<2>() {
            *y = before.y_m + step * (turn.enters_rad - (1.0 - NEW) * before.slope) - step * NEW * passed
                + round.passing_rad_m(from, to, place);
            let old = self.bent_per_m - turn.crown_per_m2 * before.y_m - cone;
            *slope = before.slope - step * (1.0 - NEW) * old + step * NEW * (bends + cone) - passed;
        }
        if let Some(factors) = &self.factors {
            factors.solve(&mut self.right, &mut self.spare);
        }
        let nodes = match self.strand {
            Strand::Carry => &mut lies.carry,
            Strand::Return => &mut lies.ret,
        };
        for (stand, held) in path.stands.iter().zip(&mut self.held) {
            let before = nodes.get(stand.node).map_or(0.0, |node| node.y_m);
            if let Some(&[y, slope]) = self.right.get(2 * stand.node..2 * stand.node + 2).and_then(<[f64]>::first_chunk) {
                *held = Held::of(angle(stand, slope, y - before, step));
            }
        }
        for (node, pair) in nodes.iter_mut().zip(self.right.chunks_exact(2)) {
            if let &[y_m, slope] = pair {
                *node = Node { y_m, slope };
            }
        }
        let end_m = nodes.last().map_or(0.0, |node| node.y_m);
        if !(end_m.abs() < 1e6) {
            return Err(Wrong::new(
                Reason::Unsettled,
                end,
                "the belt runs off beyond all bounds",
                "Look at the steady state: nothing holds this belt, or a fault is extreme.",
            ));
        }
        self.bent_per_m = self.bending(case, lies.nodes(self.strand));
        Ok(())
    }
}

/// What leaves the pulley at the beginning of a strand, once the belt has travelled so far.
fn leaving(case: &Case, round: &Loop, lies: &Lies, strand: Strand, travelled_m: f64) -> Node {
    let end = case.left(strand);
    let turn = case.turn(end);
    let past = lies.past(end);
    // The newest that is kept entered one step ago.
    let back = (turn.wrap_m / lies.step_m - 1.0).max(0.0);
    let (first, share) = (back.floor() as usize, back.fract());
    let one = |at: usize| past.get(at).or(past.back()).copied().unwrap_or(Entered { y_m: 0.0, slope: 0.0 });
    let (later, earlier) = (one(first), one(first + 1));
    let place = round.entry_m(case, end) + turn.wrap_m;
    Node {
        y_m: later.y_m + share * (earlier.y_m - later.y_m),
        slope: turn.leaves_rad + later.slope + share * (earlier.slope - later.slope)
            - round.passed_rad(travelled_m, place),
    }
}
