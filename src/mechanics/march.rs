//! The belt as time goes on: step by step round the loop.

use super::belt_state::{BeltState, Entered, kept};
use super::case::Case;
use super::laid_out;
use super::strand_equations::StrandEquations;
use super::travel::Loop;
use super::wrong::{Reason, Wrong};
use crate::trade::End;
use crate::trade::Strand;

/// Most turns that are marched at once.
pub const MOST_TURNS: u32 = 1_000;

/// A conveyor running.
pub struct March<'a> {
    case: &'a Case,
    round: Loop,
    state: BeltState,
    carry: StrandEquations,
    ret: StrandEquations,
    gone_after_m: Option<f64>,
    refactors: u32,
}

impl<'a> March<'a> {
    /// Begins from where the belt lies. Faults, pull and load may have changed since; the conveyor itself not.
    ///
    /// # Errors
    /// If the belt lay on another conveyor, or the equations have no single answer.
    pub fn new(case: &'a Case, state: BeltState) -> Result<Self, Wrong> {
        let same = state.carry.len() == case.carry.nodes_m.len()
            && state.ret.len() == case.ret.nodes_m.len()
            && state.tail.len() == kept(case.tail.wrap_m, state.step_m)
            && state.head.len() == kept(case.head.wrap_m, state.step_m)
            && state.travelled_m.is_finite();
        if !same {
            return Err(Wrong::new(
                Reason::OtherConveyor,
                "belt",
                "it was left lying on another conveyor",
                "Begin again with the belt in the middle.",
            ));
        }
        let round = Loop::new(case);
        let half = |strand| StrandEquations::new(case, &round, &state, strand);
        let (carry, ret) = (half(Strand::Carry), half(Strand::Return));
        let mut march = Self { case, round, state, carry, ret, gone_after_m: None, refactors: 0 };
        march.carry.factor(case, march.state.step_m)?;
        march.ret.factor(case, march.state.step_m)?;
        Ok(march)
    }

    /// Where the belt lies now.
    pub fn state(&self) -> &BeltState {
        &self.state
    }

    /// Ends the march, and tells where the belt lies.
    pub fn into_state(self) -> BeltState {
        self.state
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
        self.state.step_m
    }

    /// How many steps a turn of the belt takes.
    pub fn steps_a_turn(&self) -> u32 {
        (self.round.belt_m / self.state.step_m).ceil() as u32
    }

    /// One step on.
    ///
    /// # Errors
    /// If the equations have no single answer, or the belt goes beyond all bounds.
    pub fn step(&mut self) -> Result<(), Wrong> {
        let (case, step) = (self.case, self.state.step_m);
        let from = self.state.travelled_m;
        let to = from + step;
        for half in [&mut self.carry, &mut self.ret] {
            if half.stale {
                half.factor(case, step)?;
                self.refactors += 1;
            }
            half.advance(case, &self.round, &mut self.state, from, to)?;
        }
        for half in [&self.carry, &self.ret] {
            let end = case.entered(half.strand);
            let Some(last) = self.state.nodes(half.strand).last().copied() else {
                continue;
            };
            let place = self.round.entry_m(case, end);
            let entered = Entered {
                y_m: last.y_m,
                slope: last.slope - case.turn(end).enters_rad + self.round.passed_rad(to, place),
            };
            let past = match end {
                End::Tail => &mut self.state.tail,
                End::Head => &mut self.state.head,
            };
            past.pop_back();
            past.push_front(entered);
        }
        self.state.travelled_m = to;
        if self.gone_after_m.is_none() && self.beyond(case.line.edge_room_m()) {
            self.gone_after_m = Some(to);
        }
        Ok(())
    }

    fn beyond(&self, room_m: f64) -> bool {
        [Strand::Carry, Strand::Return].iter().any(|strand| {
            let nodes = self.state.nodes(*strand);
            let stands = self.case.path(*strand).stands.iter().map(|stand| stand.node);
            stands
                .chain([nodes.len().saturating_sub(1)])
                .filter_map(|at| nodes.get(at))
                .any(|node| node.y_m.abs() > room_m)
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
        laid_out::node(self.state.nodes(strand), node).y_m
    }
}
