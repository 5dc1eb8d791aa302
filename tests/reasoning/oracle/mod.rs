//! Beliefs, log evidence and bits against numbers made outside this program.
//!
//! Where the numbers come from: `tests/oracle/README.md`.

mod fixture;
mod older;
mod published;
mod random;
