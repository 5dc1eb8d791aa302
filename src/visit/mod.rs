//! One troubleshooting visit: what was told, what follows from it, and how it is kept.

pub mod answers;
mod finding;
mod findings;
mod fits;
mod questions;

pub use finding::{
    Finding, Fits, FoundReport, Machine, NextQuestion, Ranked, Reply, Stop, Told, Weighed, Why,
};
pub use findings::Diagnosis;
