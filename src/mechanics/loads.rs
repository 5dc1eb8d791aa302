//! What the two take-up bearings carry, and what one screw moved does to them.
//!
//! Derived; no measurement of it is published. Right after the turn the skew is taken up by the bending of both
//! strands (`M = EI theta / ell`, `ell = tanh(K C)/K`). Once the belt runs that bending eases, and a belt
//! off centre loads the sides in its place.

use super::beam::{Node, element, forces, values};
use super::case::Case;
use super::faults::Fault;
use super::laid_out;
use super::line::Line;
use super::wrong::Wrong;
use crate::trade::End;
use crate::trade::Strand;

/// Load on the bearings of the tail pulley, and the pull at the edges of the belt there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideLoads {
    /// On the left bearing.
    pub left_n: f64,
    /// On the right bearing.
    pub right_n: f64,
    /// Least pull per width at an edge of the belt, at the tail; below nothing that edge hangs slack, and the true
    /// difference between the sides is less than given.
    pub least_edge_n_per_m: f64,
}

impl SideLoads {
    /// From the pull of each strand, its bending moment there (positive: curved to the left) and the offset.
    fn from(line: &Line, strands: [(f64, f64); 2], off_m: f64) -> Self {
        let centres = line.take_up.bearing_centres_m;
        let width = line.belt.width_m;
        let pull: f64 = strands.iter().map(|(tension, _)| tension).sum();
        let moment: f64 = strands.iter().map(|(_, moment)| moment).sum();
        // Curved to the left, the right edge is the tight one.
        let more_left = (pull * off_m - moment) / centres;
        Self {
            left_n: 0.5 * pull + more_left,
            right_n: 0.5 * pull - more_left,
            least_edge_n_per_m: strands
                .iter()
                .map(|(tension, moment)| tension / width - 6.0 * moment.abs() / (width * width))
                .fold(f64::INFINITY, f64::min),
        }
    }

    /// While the belt runs so.
    pub(super) fn running(case: &Case, carry: &[Node], ret: &[Node]) -> Self {
        let one = |strand, nodes| (case.tension_n(strand), moment_at_tail(case, strand, nodes));
        let entering = match case.entered(Strand::Carry) {
            End::Tail => carry,
            End::Head => ret,
        };
        Self::from(
            &case.line,
            [one(Strand::Carry, carry), one(Strand::Return, ret)],
            laid_out::last_node(entering).y_m,
        )
    }
}

/// Bending moment of a strand at the tail pulley, positive where it curves to the left.
fn moment_at_tail(case: &Case, strand: Strand, nodes: &[Node]) -> f64 {
    let path = case.path(strand);
    let stiffness = case.line.belt.stiffness_nm2();
    let leaves = case.left(strand) == End::Tail;
    let pair = |nodes: &[Node], places: &[f64]| match (nodes, places) {
        (&[first, second], &[from, to]) => {
            let [_, start, _, end] =
                forces(&element(to - from, stiffness, path.tension_n), values(first, second));
            if leaves { -start } else { end }
        }
        _ => 0.0,
    };
    let mut pairs = nodes.windows(2).zip(path.nodes_m.windows(2));
    let at = if leaves { pairs.next() } else { pairs.next_back() };
    at.map_or(0.0, |(nodes, places)| pair(nodes, places))
}

/// What the bearings carry right after the take-up screws were moved, before the belt runs again: both sides alike
/// before, belt in the middle.
///
/// # Errors
/// If the screws cannot be moved so.
pub fn just_after_screws(line: &Line, left_m: f64, right_m: f64) -> Result<SideLoads, Wrong> {
    let case = Case::new(line, &[Fault::Screws { left_m, right_m }])?;
    // Left end out means left end away from the head: each strand leaves the pulley bent to the right.
    let skew = (left_m - right_m) / line.take_up.bearing_centres_m;
    let stiffness = line.belt.stiffness_nm2();
    let one = |strand| {
        let tension = case.tension_n(strand);
        let length = (stiffness / tension).sqrt();
        let absorbed = length * (line.centres_m / length).tanh();
        (tension, -stiffness * skew / absorbed)
    };
    Ok(SideLoads::from(line, [one(Strand::Carry), one(Strand::Return)], 0.0))
}
