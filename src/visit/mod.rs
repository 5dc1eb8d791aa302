//! One troubleshooting visit: what was told, what follows from it, and how it is kept.

pub mod answers;
mod by_rate;
mod can_tell;
pub mod clock;
mod conveyor_facts;
pub mod event;
mod finding;
mod findings;
mod fits;
mod looks;
mod means;
mod measured;
mod next_look;
pub mod opening;
mod outcome;
pub mod photo;
mod questions;
mod record;
mod replay;
mod replay_choice;
mod replay_work;
mod second;
mod something_else;
mod state;
pub mod store;
mod taking;
mod unclear;

pub use conveyor_facts::ConveyorFacts;
pub use finding::{
    Finding, Fits, FoundReport, Machine, NextQuestion, Observations, Ranked, Reply, SecondReplies,
    SeenAnew, Stop, Weighed, Why,
};
pub use findings::{Depth, Diagnosis};
pub use looks::Ways;
pub use means::{Means, tools_to_look_with};
pub use measured::{Measured, answered};
pub use next_look::{NextLook, Standing};
pub use questions::{askable, asked_anew, asking};
pub use replay::{answer_id, replay};
pub use something_else::{ElseHow, SaidCured, SomethingElse};
pub use state::{
    BroughtOnTold, FixAtWork, InHand, LookInHand, Measuring, Moved, OpenBatch, VisitState,
};
pub use taking::told_in_one_go;
pub use unclear::{Parting, Unclear};
