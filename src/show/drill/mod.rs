//! Pages of practice runs.

pub mod belt;
pub mod debrief;
pub mod list;
pub mod pages;
pub mod words;
