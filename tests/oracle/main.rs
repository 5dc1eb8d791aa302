//! Beliefs, log evidence and bits against numbers made outside this program.
//!
//! Where the numbers come from: `tests/oracle/README.md`.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "a test fails by panicking"
)]

#[path = "../support/mod.rs"]
mod support;

mod fixture;
mod older;
mod published;
mod random;
