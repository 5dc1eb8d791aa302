//! The shipped book against what the trade has published: directions, symptom tables, discriminators and
//! the order of work. Sources are named beside each check; "derived" marks our own reading of them.

mod directions;
mod discriminators;
mod order;
mod tables;
mod visit;
