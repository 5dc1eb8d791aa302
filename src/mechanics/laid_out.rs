//! Reading what the model itself has laid out: any other place is a slip of this room. It stops a debug build; else
//! what hangs on it becomes no number at all, which every solution is checked for, and never a force of 0.

use super::beam::Node;

/// The number at a place.
pub(super) fn at(numbers: &[f64], place: usize) -> f64 {
    let found = numbers.get(place).copied();
    debug_assert!(found.is_some(), "there is no place {place} among {} numbers", numbers.len());
    found.unwrap_or(f64::NAN)
}

/// The last number; no vector here is empty.
pub(super) fn last(numbers: &[f64]) -> f64 {
    debug_assert!(!numbers.is_empty(), "a vector without numbers");
    numbers.last().copied().unwrap_or(f64::NAN)
}

/// The node at a place.
pub(super) fn node(nodes: &[Node], place: usize) -> Node {
    let found = nodes.get(place).copied();
    debug_assert!(found.is_some(), "there is no place {place} among {} nodes", nodes.len());
    found.unwrap_or(Node { y_m: f64::NAN, slope: f64::NAN })
}

/// The last node; each strand has at least two.
pub(super) fn last_node(nodes: &[Node]) -> Node {
    debug_assert!(!nodes.is_empty(), "a strand without nodes");
    nodes.last().copied().unwrap_or(Node { y_m: f64::NAN, slope: f64::NAN })
}
