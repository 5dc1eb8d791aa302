//! The words of the trade, once: what every room means by a side, a strand, a take-up, the state of a machine.
//! Ground floor: nothing of ours is imported here.

mod basis;
mod kinds;
mod look_place;
mod machine;
mod place;

pub use basis::Basis;
pub use kinds::{
    Carcass, ConveyorClass, Lagging, LogbookSign, RollingElement, Surroundings, TakeUp, Units,
};
pub use look_place::LookPlace;
pub use machine::MachineState;
pub use place::{End, PulleyAt, Side, Strand};

/// Things of which each has a word in files.
pub trait Worded: Copy + PartialEq + 'static {
    /// All, in the order in which they are offered.
    const ALL: &'static [Self];

    /// Its word.
    fn word(self) -> &'static str;

    /// The one of that word.
    fn named(word: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|one| one.word() == word)
    }
}

/// Yes and no.
impl Worded for bool {
    const ALL: &'static [Self] = &[true, false];

    fn word(self) -> &'static str {
        if self { "yes" } else { "no" }
    }
}
