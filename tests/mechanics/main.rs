//! The belt-line model: closed forms, published rules of behaviour, laws, bad input.
//!
//! No size of any belt's movement is published. So what is held against is: closed forms (published or derived), the
//! directions that the trade has printed, a second way of computing, and laws that hold for every conveyor.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    unreachable_pub,
    reason = "a test that cannot go on fails loudly; modules of a test are shared within it"
)]

mod support;

mod behaviour;
mod closed_forms;
mod in_time;
mod laws;
mod parts;
mod refused;
mod rules;
