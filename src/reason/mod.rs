//! Belief in causes: what the answers say, which question next, and why.
//!
//! Pure: no clock, no terminal, no file. The way in is [`Engine`], which knows a book's numbers, and
//! [`Evidence`], which says what was answered; together they give a [`Belief`].

mod applies;
mod belief;
mod bits;
mod cluster;
pub mod draw;
mod engine;
mod evidence;
mod factors;
mod kept;
mod members;
mod outlook;
pub mod subsets;
mod sums;
mod symmetric;
mod table;
mod turned;
mod ways;
mod work;

pub use applies::{Applies, Facts, Truth, truth};
pub use belief::{Belief, left_out};
pub use bits::{Looked, Worth};
pub use engine::{Engine, Present};
pub use evidence::{Evidence, Seen};
pub use members::Members;
pub use outlook::{Outlook, Standing};
pub use work::{Batch, Found, Outcome, Work};
