//! The disk: opening what others may have laid there, and writing files whole or not at all.
//!
//! Whatever a command writes goes through [`write()`]: beside its place first, into a new file that nobody else may
//! read, forced to disk, then put there under its name. Only plain files are opened or replaced: a link would lead
//! somewhere else, a pipe or a device would wait for ever or do something.

mod create;
mod folders;
mod limit;
mod plain;
mod write;

pub use create::create;
pub use folders::{make_folders, private};
pub use limit::survive_size_limit;
pub use plain::{NotPlain, Odd, open, open_to_lock, read_text};
pub(crate) use write::is_left_of;
pub use write::{Over, Sight, set_aside, write, write_again};
