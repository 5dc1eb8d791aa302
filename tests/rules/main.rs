//! The rule book and the bench of those who write it: what is shipped keeps its promises, what is wrong is told, a
//! site's folder changes what it says, entries are written, read, compared and put to the proof.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test that cannot go on fails loudly"
)]

mod arrows;
mod authoring;
mod bad_rules;
mod brought_on;
mod cases;
mod looks;
mod minutes;
mod no_ids;
mod overlay;
mod priors;
mod proof;
mod remedies;
mod shelf;
mod shipped;
mod site;
mod slips;
#[path = "../support/mod.rs"]
mod support;
