//! A rule author's slips: what is switched off, what is written wrong, what is accepted and should not be.

mod accepted;
mod common_causes;
mod one_slip;
mod switched_off;
mod words;
