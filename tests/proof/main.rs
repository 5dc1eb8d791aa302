//! The rule book put to the proof: drawn visits, how good stated chances are, books compared.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

mod compare;
mod drawn;
mod exhaustive;
mod optimal;
mod policy;
mod score;
#[path = "../support/mod.rs"]
mod support;
mod trial;
mod what_if;

use std::path::{Path, PathBuf};

use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;

/// Where the small book that is followed by hand stands.
pub(crate) fn small_folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/small-book")
}

/// The small book that is followed by hand.
pub(crate) fn small() -> Book {
    let (book, _) = load::with_site(Some(&small_folder())).unwrap_or_else(|p| panic!("{p:?}"));
    book
}
