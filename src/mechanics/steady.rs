//! Where the belt runs once it has come to rest: Newton's method on the whole loop.
//!
//! Entering a pulley: `y' = enters`, `y'' = crown * Y + cone`. Leaving it: `y = Y`, `y' = leaves`. Where nothing
//! holds the belt to a place these equations have no single answer; then `y = V t + shape` is put in instead, and
//! what comes out is the drift speed `V`.

use super::beam::{Node, element, forces, values};
use super::case::{Case, Turn};
use super::laid_out;
use super::loads::SideLoads;
use super::path::Path;
use super::shape::Shape;
use super::solve::Matrix;
use super::wrong::{Reason, Wrong};
use crate::trade::End;
use crate::trade::Strand;

/// Where the belt runs.
#[derive(Debug, Clone, PartialEq)]
pub struct Steady {
    /// Carry strand, from tail to head.
    pub carry: Shape,
    /// Return strand, from tail to head.
    pub ret: Shape,
    /// Offset where the belt enters the tail pulley.
    pub tail_m: f64,
    /// Offset where it enters the head pulley.
    pub head_m: f64,
    /// Whether it comes to rest at all.
    pub rest: Rest,
    /// What the bearings of the tail pulley carry while the belt runs so.
    pub loads: SideLoads,
    /// How many tries Newton's method took.
    pub tries: u32,
}

impl Steady {
    /// The shape of a strand.
    pub fn shape(&self, strand: Strand) -> &Shape {
        match strand {
            Strand::Carry => &self.carry,
            Strand::Return => &self.ret,
        }
    }
}

/// Whether the belt comes to rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rest {
    /// It keeps the place that is given.
    InPlace,
    /// Nothing holds it: it goes on to the left (or, below nothing, right) at that speed until it meets something. The
    /// offsets given are from where it enters the tail pulley.
    Drifts {
        /// Its speed sideways.
        left_m_s: f64,
    },
}

/// How one value of a node hangs on the unknowns.
#[derive(Debug, Clone, Copy, Default)]
struct Hangs {
    /// The unknown that it is.
    on: Option<usize>,
    /// The equation that its load belongs to.
    row: Option<usize>,
    fixed: f64,
    /// How it changes with the drift, as a share of belt speed.
    drift: f64,
}

struct System<'a> {
    case: &'a Case,
    carry: Vec<[Hangs; 2]>,
    ret: Vec<[Hangs; 2]>,
    tail: usize,
    head: usize,
    /// The unknown for the drift, if there is one.
    drift: Option<usize>,
    size: usize,
}

const TRIES: u32 = 40;
/// Should the tries not do, the rolls are first taken as softer by these factors.
const SOFTER: [f64; 9] = [128.0, 32.0, 12.0, 6.0, 3.5, 2.2, 1.5, 1.2, 1.0];

impl Case {
    /// Where the belt comes to rest; or how fast it drifts, where nothing holds it.
    ///
    /// What travels with the belt (splice, camber) is left out: its effect passes and sums to nothing.
    ///
    /// # Errors
    /// If the equations have no single answer, or none is found in a bounded number of tries.
    pub fn steady(&self) -> Result<Steady, Wrong> {
        let system = System::new(self);
        let mut tries = 0;
        let mut found = vec![0.0; system.size];
        if !system.newton(&mut found, 1.0, &mut tries)? {
            found.fill(0.0);
            for softer in SOFTER {
                if !system.newton(&mut found, softer, &mut tries)? {
                    return Err(Wrong::new(
                        Reason::Unsettled,
                        "conveyor",
                        format!("no rest was found in {tries} tries"),
                        "Make the largest fault smaller: the rolls slip too much to tell.",
                    ));
                }
            }
        }
        Ok(system.told(&found, tries))
    }
}

impl<'a> System<'a> {
    fn new(case: &'a Case) -> Self {
        let inner = |path: &Path| path.nodes_m.len().saturating_sub(2);
        let (carry_inner, ret_inner) = (inner(&case.carry), inner(&case.ret));
        let head = 1 + 2 * (carry_inner + ret_inner);
        let drift = (!case.holds_a_place()).then_some(head + 1);
        let mut system = Self {
            case,
            carry: vec![[Hangs::default(); 2]; carry_inner + 2],
            ret: vec![[Hangs::default(); 2]; ret_inner + 2],
            tail: 0,
            head,
            drift,
            size: head + 1 + usize::from(drift.is_some()),
        };
        system.number();
        system.ends(Strand::Carry);
        system.ends(Strand::Return);
        system
    }

    /// Numbers the inner nodes of both strands from tail to head, so that neighbours have near numbers.
    fn number(&mut self) {
        let case = self.case;
        let places = |path: &Path| -> Vec<(f64, usize)> {
            let last = path.nodes_m.len().saturating_sub(1);
            let inner = path.nodes_m.iter().enumerate().skip(1).take(last.saturating_sub(1));
            let place = |s: f64| {
                if path.travel > 0.0 { s } else { case.line.centres_m - s }
            };
            inner.map(|(nth, s)| (place(*s), nth)).collect()
        };
        let mut all: Vec<(f64, Strand, usize)> = Vec::new();
        for strand in [Strand::Carry, Strand::Return] {
            all.extend(places(case.path(strand)).into_iter().map(|(x, nth)| (x, strand, nth)));
        }
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (nth, (_, strand, node)) in all.into_iter().enumerate() {
            let of = match strand {
                Strand::Carry => &mut self.carry,
                Strand::Return => &mut self.ret,
            };
            if let Some(values) = of.get_mut(node) {
                *values = [1 + 2 * nth, 2 + 2 * nth].map(|at| Hangs {
                    on: Some(at),
                    row: Some(at),
                    ..Hangs::default()
                });
            }
        }
    }

    fn pulley(&self, end: End) -> usize {
        match end {
            End::Tail => self.tail,
            End::Head => self.head,
        }
    }

    fn ends(&mut self, strand: Strand) {
        let (from, to) = (self.case.left(strand), self.case.entered(strand));
        let (left, entered) = (*self.case.turn(from), *self.case.turn(to));
        let first = [
            Hangs { on: Some(self.pulley(from)), drift: -left.wrap_m, ..Hangs::default() },
            Hangs { fixed: left.leaves_rad, drift: -1.0, ..Hangs::default() },
        ];
        let last = [
            Hangs { on: Some(self.pulley(to)), ..Hangs::default() },
            Hangs {
                row: Some(self.pulley(to)),
                fixed: entered.enters_rad,
                drift: -1.0,
                ..Hangs::default()
            },
        ];
        let nodes = match strand {
            Strand::Carry => &mut self.carry,
            Strand::Return => &mut self.ret,
        };
        if let Some(node) = nodes.first_mut() {
            *node = first;
        }
        if let Some(node) = nodes.last_mut() {
            *node = last;
        }
    }

    /// Newton's method from `found`; whether it came to rest.
    fn newton(&self, found: &mut [f64], softer: f64, tries: &mut u32) -> Result<bool, Wrong> {
        let mut matrix = Matrix::new(self.size);
        let mut residual = vec![0.0; self.size];
        let mut spare = Vec::new();
        self.fill(found, softer, &mut matrix, &mut residual);
        let mut off = size_of_residual(&residual);
        for _ in 0..TRIES {
            *tries += 1;
            let mut step = residual.clone();
            matrix
                .factor()
                .ok_or_else(|| {
                    Wrong::new(
                        Reason::Singular,
                        "conveyor",
                        "its equations have no single answer",
                        "Check for an extreme size: a pull, a stiffness or a distance far from what is built.",
                    )
                })?
                .solve(&mut step, &mut spare);
            let (mut far, mut small) = (0.0_f64, true);
            for (change, value) in step.iter().zip(found.iter()) {
                far = far.max(change.abs());
                small &= change.abs() <= 1e-11 + 1e-10 * value.abs();
            }
            if !far.is_finite() {
                return Ok(false);
            }
            let start = found.to_vec();
            let mut share = 1.0;
            loop {
                for ((value, from), change) in found.iter_mut().zip(&start).zip(&step) {
                    *value = from - share * change;
                }
                self.fill(found, softer, &mut matrix, &mut residual);
                let now = size_of_residual(&residual);
                if small || now < off || share < 0.02 {
                    off = now;
                    break;
                }
                share *= 0.5;
            }
            if small {
                return Ok(true);
            }
        }
        Ok(false)
    }

    fn value(hangs: &Hangs, found: &[f64], drift: f64) -> f64 {
        let on = hangs.on.map_or(0.0, |place| laid_out::at(found, place));
        on + hangs.fixed + hangs.drift * drift
    }

    fn node(hangs: &[Hangs; 2], found: &[f64], drift: f64) -> Node {
        let [y_m, slope] = hangs.map(|one| Self::value(&one, found, drift));
        Node { y_m, slope }
    }

    fn hangs(&self, strand: Strand) -> &[[Hangs; 2]] {
        match strand {
            Strand::Carry => &self.carry,
            Strand::Return => &self.ret,
        }
    }

    /// Residual and its derivatives at `found`.
    fn fill(&self, found: &[f64], softer: f64, matrix: &mut Matrix, residual: &mut [f64]) {
        matrix.clear();
        residual.fill(0.0);
        let drift = self.drift.map_or(0.0, |place| laid_out::at(found, place));
        for strand in [Strand::Carry, Strand::Return] {
            self.fill_beam(strand, found, drift, matrix, residual);
            self.fill_stands(strand, (found, drift, softer), matrix, residual);
        }
        let stiffness = self.case.line.belt.stiffness_nm2();
        for end in [End::Tail, End::Head] {
            let at = self.pulley(end);
            let Turn { crown_per_m2, cone_per_m, .. } = *self.case.turn(end);
            let off = laid_out::at(found, at);
            put(residual, at, -stiffness * (crown_per_m2 * off + cone_per_m));
            matrix.add(at, at, -stiffness * crown_per_m2);
        }
        if let Some(at) = self.drift {
            // Where the belt drifts, its place is counted from the tail pulley.
            put(residual, at, laid_out::at(found, self.tail));
            matrix.add(at, self.tail, 1.0);
        }
    }

    fn fill_beam(
        &self,
        strand: Strand,
        found: &[f64],
        drift: f64,
        matrix: &mut Matrix,
        residual: &mut [f64],
    ) {
        let path = self.case.path(strand);
        let stiffness = self.case.line.belt.stiffness_nm2();
        for (hangs, ends) in self.hangs(strand).windows(2).zip(path.nodes_m.windows(2)) {
            let (&[first, second], &[from, to]) = (hangs, ends) else {
                continue;
            };
            let parts = element(to - from, stiffness, path.tension_n);
            let nodes = values(Self::node(&first, found, drift), Self::node(&second, found, drift));
            let all = [first, second];
            let all = all.as_flattened();
            for ((hang, force), row) in all.iter().zip(forces(&parts, nodes)).zip(&parts) {
                let Some(at) = hang.row else {
                    continue;
                };
                put(residual, at, force);
                for (other, part) in all.iter().zip(row) {
                    if let Some(on) = other.on {
                        matrix.add(at, on, *part);
                    }
                    if let (Some(column), true) = (self.drift, other.drift != 0.0) {
                        matrix.add(at, column, part * other.drift);
                    }
                }
            }
        }
        for (hangs, force) in self.hangs(strand).iter().zip(&path.wind_n) {
            if let [Hangs { row: Some(at), .. }, _] = hangs {
                put(residual, *at, -force);
            }
        }
    }

    fn fill_stands(
        &self,
        strand: Strand,
        (found, drift, softer): (&[f64], f64, f64),
        matrix: &mut Matrix,
        residual: &mut [f64],
    ) {
        let hangs = self.hangs(strand);
        for stand in &self.case.path(strand).stands {
            let Some(hang) = hangs.get(stand.node) else {
                continue;
            };
            let [Hangs { row: Some(side), .. }, Hangs { row: Some(turn), .. }] = *hang else {
                continue;
            };
            let node = Self::node(hang, found, drift);
            let creep = stand.creep_rad * softer;
            let held = ((node.slope + drift - stand.aim_rad) / creep).tanh();
            let gain = stand.grip_n * (1.0 - held * held) / creep;
            let sprung = stand.centring_n_per_m * (node.y_m - stand.middle_m);
            put(residual, side, stand.grip_n * held + sprung - stand.push_n);
            put(residual, turn, -stand.couple_nm);
            matrix.add(side, turn, gain);
            matrix.add(side, side, stand.centring_n_per_m);
            if let Some(column) = self.drift {
                matrix.add(side, column, gain);
            }
        }
    }

    fn told(&self, found: &[f64], tries: u32) -> Steady {
        let drift = self.drift.map_or(0.0, |place| laid_out::at(found, place));
        let at = |place: usize| laid_out::at(found, place);
        let nodes = |strand| -> Vec<Node> {
            self.hangs(strand).iter().map(|hangs| Self::node(hangs, found, drift)).collect()
        };
        let (carry, ret) = (nodes(Strand::Carry), nodes(Strand::Return));
        let case = self.case;
        Steady {
            loads: SideLoads::running(case, &carry, &ret),
            carry: Shape::new(case, Strand::Carry, &carry),
            ret: Shape::new(case, Strand::Return, &ret),
            tail_m: at(self.tail),
            head_m: at(self.head),
            rest: match self.drift {
                None => Rest::InPlace,
                Some(_) => Rest::Drifts { left_m_s: drift * case.line.speed_m_s },
            },
            tries,
        }
    }
}

fn put(into: &mut [f64], at: usize, value: f64) {
    if let Some(place) = into.get_mut(at) {
        *place += value;
    }
}

fn size_of_residual(residual: &[f64]) -> f64 {
    residual.iter().map(|one| one * one).sum::<f64>().sqrt()
}
