//! Every gauge against numbers from outside the project: published tables, worked examples, reference libraries.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::print_stdout,
    unreachable_pub,
    reason = "a test that cannot go on fails loudly, and one that counts tells its numbers; modules of a test are shared within it"
)]

mod bow;
mod coverage;
mod crown;
mod described;
mod every;
mod fit;
mod frame;
mod heat;
mod height;
mod idlers;
mod level;
mod line;
mod load;
mod mechanics;
mod passes;
mod reference;
mod roll;
mod runout;
mod sag;
mod side_load;
mod slip;
mod snub;
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
mod weight;
mod wired;
