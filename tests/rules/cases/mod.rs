//! Cases of a rule book: the shipped ones hold, and the runner tells truly of those that do not.

mod accepting;
mod coverage;
mod runner;
mod shipped;
mod small;
