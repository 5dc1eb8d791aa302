//! The rule book put to the proof: cases and what they cover.

pub mod accept;
pub mod case;
pub mod coverage;
pub mod run;
pub mod written;
