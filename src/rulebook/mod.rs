//! The rule book: written files -> checked model.
//!
//! [`load`] reads the files, [`written`] is their shape, [`overlay`] lays a site's folder over the
//! default book, [`check`] makes the checked [`model`] with the numbers of [`network`], places in it
//! typed by [`index`]; [`graph`] is the decision graph over it, [`export`] writes it out; [`find`] and
//! [`links`] answer what an id names and what hangs on it, [`ids`] serves files that go with the book.
//! [`fields`] says what each field of the files is for, [`writer`] writes new entries.

pub mod cards;
pub mod check;
mod draw;
pub mod export;
pub mod fields;
pub mod find;
mod followers;
mod gauge_files;
pub mod graph;
pub mod ids;
pub mod index;
pub mod links;
pub mod load;
pub mod model;
pub mod network;
pub mod overlay;
mod own_folder;
mod part;
pub mod places;
pub mod rules;
pub mod signed;
#[expect(missing_docs, reason = "the fields are the file format, told of in rules/REFERENCE.md")]
pub mod site;
pub mod view;
pub mod words;
pub mod writer;
#[expect(missing_docs, reason = "the fields are the file format, told of in rules/REFERENCE.md")]
pub mod written;
