//! Which side a fault stands on when nobody has measured it yet: what the run of the belt makes likely, by the rules of
//! direction that the trade has published. What is measured goes before it, also when it found no side at all.

use super::words::Known;
use crate::rulebook::model::{End, Meaning};
use crate::trade::{Side, Strand};

/// A side, and how it is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SideKnown {
    /// Seen or measured there.
    Measured(Side),
    /// By where the belt runs to: nobody has measured there.
    Suspected(Side),
}

impl SideKnown {
    /// The side.
    pub fn side(self) -> Side {
        match self {
            Self::Measured(side) | Self::Suspected(side) => side,
        }
    }

    /// The other side, known as well.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Measured(side) => Self::Measured(side.other()),
            Self::Suspected(side) => Self::Suspected(side.other()),
        }
    }
}

/// On which side an end of that kind is to be looked for, by where the belt runs. Nothing where the belt's run does
/// not speak of it: both sides, one part of the belt only, or another place.
pub(super) fn suspected(known: &Known, end: End) -> Option<Side> {
    if known.first_split().is_some_and(|split| split == Meaning::OnePart) {
        return None;
    }
    let belt = known.belt_side()?;
    let place = known.place();
    let at_a_pulley = || place.is_some();
    // The pulley that screws set is mostly the tail, and the belt carries its place on from there.
    let at_the_screws = || {
        use Meaning::{CarryRun, LoadZone, Tail, TakeUp};
        place.is_some_and(|place| [LoadZone, Tail, TakeUp, CarryRun].contains(&place))
    };
    let returns = || known.strand() != Some(Strand::Carry);
    match end {
        End::BeltSide => Some(belt),
        End::FarSide => Some(belt.other()),
        // It runs to the end that it meets first, and to the low side.
        End::LeadingEnd | End::LowFrameSide | End::LowIdlerSide => Some(belt),
        End::LaggingEnd => Some(belt.other()),
        End::LowPulleySide | End::ShortPulleySide => at_a_pulley().then_some(belt),
        End::LongPulleySide => at_a_pulley().then_some(belt.other()),
        // The slack side is the one where the pulley is met first.
        End::SlackSide => at_the_screws().then_some(belt),
        End::TightSide => at_the_screws().then_some(belt.other()),
        // Snubs and bends lie on the return strand.
        End::LeadingSnubEnd => returns().then_some(belt),
    }
}

/// The side on which the load lies, by where the belt runs: in a trough it goes to the lighter side. A flat belt creeps
/// to the loaded side only weakly, so it tells nothing.
pub(super) fn heavy(known: &Known) -> Option<Side> {
    (known.troughed() == Some(true)).then(|| known.belt_side().map(Side::other)).flatten()
}

/// The corners that the longer diagonal of a racked bay joins, at the tail end and at the head end: the stringer whose
/// end of each idler the belt meets first has gone back against the travel of that strand.
pub(super) fn longer_diagonal(known: &Known) -> Option<(Side, Side)> {
    let belt = suspected(known, End::LeadingEnd)?;
    let tail = match known.strand()? {
        Strand::Carry => belt,
        Strand::Return => belt.other(),
    };
    Some((tail, tail.other()))
}
