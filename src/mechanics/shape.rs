//! The line that the belt takes along one strand.

use super::beam::{Node, dot, shapes, values};
use super::case::Case;
use crate::trade::Strand;

/// The belt along one strand, from tail to head.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    points: Vec<Point>,
    stations: Vec<f64>,
}

/// The middle of the belt at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// From the tail pulley.
    pub x_m: f64,
    /// To the left of the middle of the conveyor.
    pub y_m: f64,
    /// How y changes with x.
    pub slope: f64,
}

impl Shape {
    pub(super) fn new(case: &Case, strand: Strand, nodes: &[Node]) -> Self {
        let path = case.path(strand);
        let forward = path.travel > 0.0;
        let mut points: Vec<Point> = path
            .nodes_m
            .iter()
            .zip(nodes)
            .map(|(s, node)| Point {
                x_m: if forward { *s } else { case.line.centres_m - s },
                y_m: node.y_m,
                slope: path.travel * node.slope,
            })
            .collect();
        let at = |stand: &super::path::Stand| nodes.get(stand.node).map(|node| node.y_m);
        let mut stations: Vec<f64> = path.stands.iter().filter_map(at).collect();
        if !forward {
            points.reverse();
            stations.reverse();
        }
        Self { points, stations }
    }

    /// The points that were reckoned with: both pulleys, every station, and between.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// Offset to the left at every station, from the tail.
    pub fn stations_m(&self) -> &[f64] {
        &self.stations
    }

    /// Offset to the left at any place; beyond the ends that of the end.
    pub fn at_m(&self, x_m: f64) -> f64 {
        let after = self.points.partition_point(|point| point.x_m < x_m);
        let first = after.checked_sub(1).and_then(|nth| self.points.get(nth));
        match (first, self.points.get(after)) {
            (Some(first), Some(second)) => {
                let length = second.x_m - first.x_m;
                let node = |point: &Point| Node { y_m: point.y_m, slope: point.slope };
                dot(shapes(x_m - first.x_m, length), values(node(first), node(second)))
            }
            (Some(end), None) | (None, Some(end)) => end.y_m,
            (None, None) => 0.0,
        }
    }

    /// The largest offset to either side, with its sign, and where it is.
    pub fn furthest(&self) -> Option<Point> {
        self.points.iter().copied().max_by(|a, b| a.y_m.abs().total_cmp(&b.y_m.abs()))
    }
}
