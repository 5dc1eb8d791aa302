//! The rule book: written files -> checked model.

pub mod index;
pub mod model;
pub mod network;
