//! `straybelt diagnose`: the conversation, from the safety page to a belt that runs true.

mod amounts;
mod choose;
mod conversation;
mod hand_over;
mod job;
mod logbook;
mod looks;
mod means;
mod measure;
mod opening;
mod plan;
mod points;
mod questions;
mod run;
mod saw;
mod something_else;
mod stays_so;
mod step_walk;
mod stop_now;
mod talk;
mod walk;

pub use conversation::{announce, converse};
pub(super) use run::run;
pub use talk::{Away, ConveyorFrom, Means, Talk};
