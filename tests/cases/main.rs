//! Cases of a rule book: the shipped ones hold, and the runner tells truly of those that do not.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test that cannot go on fails loudly"
)]

mod accepting;
mod coverage;
mod runner;
mod shipped;
mod small;
