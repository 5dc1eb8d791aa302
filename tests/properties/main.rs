//! Laws of the reasoning that hold for every network, on random ones.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "a test fails by panicking"
)]

#[path = "../support/mod.rs"]
mod support;

mod beliefs;
mod draws;
mod invariance;
mod work;
mod worth;
