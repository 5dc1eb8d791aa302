//! The logbook of a conveyor: its visits, the readings of its take-up, things done outside visits.
//!
//! Entries are only ever added. [`Story`] is what of them stands; [`Watch`] looks at the take-up over the months. Their order
//! is that of the days that people gave and of their turns in the book: a clock that was set back changes none of it.

pub mod bounds;
pub mod checks;
pub mod comes_back;
pub mod entry;
pub mod ids;
pub mod ratchet;
pub mod record;
pub mod size;
pub mod slope;
pub mod story;
mod sure_days;
pub mod tables;
pub mod tablet;
mod take_up_sizes;
mod travel;
pub mod visit_mark;

pub use comes_back::{ComesBack, Grounds, Offered};
pub use entry::{Entry, Reading, What, Work};
pub use ids::{EntryId, JobId, TabletId};
pub use ratchet::{Warning, Watch};
pub use record::{Glance, Head, LogbookRecord, LogbookStore, key};
pub use story::Story;
pub use take_up_sizes::TakeUpSizes;
pub use visit_mark::{OpenJob, VisitMark};
