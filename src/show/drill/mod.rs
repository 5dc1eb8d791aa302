//! Pages of practice runs.

pub mod belt;
pub mod course;
pub mod debrief;
pub mod judged;
pub mod list;
pub mod pages;
pub mod places;
pub mod preview;
pub mod progress;
pub mod replay;
pub mod sheet;
pub mod words;
