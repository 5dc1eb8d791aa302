//! The belt-line model: closed forms, published rules of behaviour, laws, bad input.
//!
//! No size of any belt's movement is published. So what is held against is: closed forms (published or derived), the
//! directions that the trade has printed, a second way of computing, and laws that hold for every conveyor.

mod behaviour;
mod closed_forms;
mod in_time;
mod laws;
mod parts;
mod refused;
mod rules;
mod span;
mod support;
