//! Every gauge against numbers from outside the project: published tables, worked examples, reference libraries.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    unreachable_pub,
    reason = "a test that cannot go on fails loudly; modules of a test are shared within it"
)]

mod crown;
mod described;
mod every;
mod fit;
mod frame;
mod heat;
mod idlers;
mod load;
mod mechanics;
mod reference;
mod sag;
mod side_load;
mod splice;
mod spread;
mod square;
mod support;
mod takeup;
mod trace;
mod transition;
mod trim;
mod trusted;
mod units;
