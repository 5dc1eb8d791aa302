//! The shipped book against what the trade has published: directions, symptom tables, discriminators and
//! the order of work. Sources are named beside each check; "derived" marks our own reading of them.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test that cannot go on fails loudly"
)]

mod directions;
mod discriminators;
mod order;
mod tables;
mod visit;
