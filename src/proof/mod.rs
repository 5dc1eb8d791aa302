//! The rule book put to the proof: cases and what they cover; visits drawn from the book and played, and
//! how good its word and its questioning are.

pub mod accept;
pub mod against;
pub mod case;
mod checks;
pub mod compare;
pub mod coverage;
pub mod credible;
pub mod draw;
pub mod learn;
pub mod optimal;
pub mod paired;
pub mod policy;
pub mod run;
pub mod score;
pub mod separate;
pub mod touch;
pub mod walk;
pub mod what_if;
pub mod workers;
pub mod written;
