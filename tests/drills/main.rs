//! Drills and the belt they run on: what is shipped can be solved, a run keeps its laws, the hand near a moving belt is refused, and a drill
//! that cannot be is told of with place and remedy.
//!
//! No size of any belt's movement is published; nothing here holds a movement against a number of millimetres. Sides
//! follow the direction rules of the trade (the first end met, the low side, the light edge, the slack side, the lee).

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test that cannot go on fails loudly"
)]

mod support;

mod bad;
mod courses;
mod debrief;
mod fits;
mod kept;
mod laws;
mod mechanics;
mod narrow;
mod physics;
mod readings;
mod safety;
mod sheets;
mod shipped;
mod solved;
