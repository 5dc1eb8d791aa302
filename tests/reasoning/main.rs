//! What follows from answers: beliefs, questions and plans against other means, by hand, by enumeration, by laws.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "a test that cannot go on fails loudly, and one that counts tells its numbers"
)]

mod contract;
mod oracle;
mod planning;
mod properties;
mod questioning;
mod replay;
#[path = "../support/mod.rs"]
mod support;
mod visits;
