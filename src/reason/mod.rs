//! Belief in causes: what the answers say, which question next, and why.
//!
//! Pure: no clock, no terminal, no file. The way in is [`Engine`], which knows a book's numbers, and
//! [`Evidence`], which says what was answered; together they give a [`Belief`].

mod applicability;
mod asked_now;
mod belief;
mod bits;
mod cache;
mod cluster;
mod cure_splits;
pub mod draw;
mod engine;
mod evidence;
mod factors;
mod history;
mod members;
mod over_time;
mod parent_likelihood;
mod scenarios;
mod second_looks;
mod sorted;
pub mod subsets;
mod sums;
mod symmetric;
mod table;
mod tables;
mod work;

pub use applicability::{Applicability, Truth, truth};
pub use belief::{Belief, left_out};
pub use bits::{Looked, Worth};
pub use engine::Engine;
pub use evidence::{Evidence, SecondLook, Seen};
pub use members::Members;
pub use scenarios::{Scenario, Scenarios};
pub use tables::Present;
pub use work::{Batch, Found, Outcome, WorkDone};
