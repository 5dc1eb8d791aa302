//! Every screen at 40 columns, as a person sees it, and the same words at 80. Each snapshot was read by eye.
//!
//! Most are driven by the small book beside this file, so that they do not move with every likelihood of the
//! default book; the beginning, and one visit from end to end, are the default book's.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "a test that cannot go on fails loudly, and one that counts tells its numbers"
)]

mod back;
mod ends;
mod finding;
mod first_words;
mod gauges;
mod hands;
mod help;
mod lacking;
mod marks;
mod measuring;
mod opening;
mod past;
mod plain_words;
mod rust_texts;
mod site;
#[path = "../support/mod.rs"]
mod support;
mod ticks;
mod whole;
mod work;
