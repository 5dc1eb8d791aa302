//! The rule book put to the proof: drawn visits, how good stated chances are, books compared.

mod against;
mod compare;
mod drawn;
mod exhaustive;
mod optimal;
mod policy;
mod score;
mod trial;
mod what_if;
