//! Practice runs: a conveyor with hidden causes that answers from the belt-line model.
//!
//! ```text
//!     drills/*.ron -> read -> Drill      briefing, conveyor, what is hidden
//!     Drill + moves        -> World      the belt answers each move: minutes, safety faults, where it runs
//!     World                -> Score      minutes against the best plan, causes found, what is left on the belt
//!     run that is over     -> Worth      kept with the run (`worth`), summed by `learners` and `progress`
//!     courses/*.ron        -> Course     which drill comes next (`course`); an examination is `sealed`
//!     run made again       -> Frame      the belt after each move that let it run (`frames`)
//! ```
//!
//! Pure: no clock, no terminal, no file. What a learner sees comes from the model ([`picture`]), from what is hidden
//! ([`hints`]) and, for all that neither can tell, from the rule book's own chances with a seeded draw ([`look`]).
//! No offset of the model is shown as a number: words only.

pub mod account;
mod belt;
pub mod best;
pub mod carried;
pub mod course;
pub mod draw;
pub mod eyes;
pub mod fits;
pub mod follow;
pub mod frames;
pub mod hints;
mod job;
pub mod kinds;
pub mod learners;
pub mod look;
pub mod measures;
pub mod model;
pub mod moves;
pub mod noise;
pub mod others;
mod parts;
pub mod picture;
pub mod plant;
pub mod progress;
pub mod read;
mod readings;
pub mod record;
mod said;
pub mod score;
pub mod sealed;
mod sent_back;
pub mod told;
pub mod trial;
pub mod trial_against;
pub mod trial_run;
mod visible;
pub mod ways;
pub mod world;
pub mod worth;
pub mod writer;
pub mod written;

pub use belt::Belt;
pub use model::{Drill, Hidden, Thing};
pub use moves::{Done, Move, Refused};
pub use world::World;
pub use written::Grade;
