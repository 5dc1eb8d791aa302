//! The decision graph: answers open symptoms and point to causes, causes to fixes, fixes to what must
//! come before. Order, circles and drawings come from it.

use petgraph::algo::tarjan_scc;
use petgraph::graph::{DiGraph, NodeIndex};
use std::collections::VecDeque;

/// Circles among `count` things joined by edges (from, to): one shortest circle for each knot.
pub fn circles(count: usize, edges: impl IntoIterator<Item = (usize, usize)>) -> Vec<Vec<usize>> {
    let mut graph: DiGraph<(), ()> = DiGraph::new();
    for _ in 0..count {
        graph.add_node(());
    }
    for (from, to) in edges {
        if from < count && to < count {
            graph.add_edge(NodeIndex::new(from), NodeIndex::new(to), ());
        }
    }
    let mut circles = Vec::new();
    for knot in tarjan_scc(&graph) {
        let first = knot.iter().min().copied();
        if let Some(first) = first
            && (knot.len() > 1 || graph.contains_edge(first, first))
        {
            circles.push(shortest_round(&graph, first));
        }
    }
    circles.sort();
    circles
}

/// The shortest way from a node back to itself, beginning with it.
fn shortest_round(graph: &DiGraph<(), ()>, start: NodeIndex) -> Vec<usize> {
    let mut came: Vec<Option<NodeIndex>> = vec![None; graph.node_count()];
    let mut queue = VecDeque::from([start]);
    while let Some(node) = queue.pop_front() {
        for next in graph.neighbors(node) {
            if next == start {
                let mut round = vec![node.index()];
                let mut back = node;
                while back != start
                    && let Some(before) = came.get(back.index()).copied().flatten()
                {
                    back = before;
                    round.push(back.index());
                }
                round.reverse();
                return round;
            }
            if let Some(slot) = came.get_mut(next.index())
                && slot.is_none()
            {
                *slot = Some(node);
                queue.push_back(next);
            }
        }
    }
    vec![start.index()]
}

#[cfg(test)]
mod tests {
    use super::circles;

    #[test]
    fn circles_are_found_and_shortest() {
        assert_eq!(circles(3, [(0, 1), (1, 2)]), Vec::<Vec<usize>>::new());
        assert_eq!(
            circles(4, [(0, 1), (1, 2), (2, 0), (1, 0), (3, 3)]),
            [vec![0, 1], vec![3]]
        );
    }
}
