//! Every word a person reads.

pub mod asking;
pub mod belief;
pub mod chance;
pub mod conveyor;
pub mod drawings;
pub mod drill;
pub mod finding_json;
pub mod gauge;
pub mod graph;
pub mod handbook;
pub mod learn;
pub mod map;
pub mod opening;
pub mod page;
pub mod paint;
pub mod past;
pub mod problem;
pub mod proof;
pub mod proof_compare;
pub mod proof_policy;
pub mod separate;
pub mod shelf;
pub mod steps;
pub mod words;
pub mod work;
