//! The program itself, as its users and their machines run it: at flags and typed lines, at a terminal, killed midway,
//! on a disk that fails, with hostile text wherever it can stand.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "a test that cannot go on fails loudly, and one that counts tells its numbers"
)]

mod before;
#[cfg(unix)]
mod crash;
mod disk;
mod drilling;
mod gauge_pages;
mod handed_over;
#[cfg(unix)]
mod hostile;
mod learning;
mod logbook;
mod logbook_merged;
mod logbook_pages;
mod logbook_trouble;
mod measuring;
#[cfg(unix)]
mod picture;
mod program;
#[path = "../support/mod.rs"]
mod support;
#[cfg(unix)]
mod terminal;
#[cfg(unix)]
mod watching;
mod way_in;
