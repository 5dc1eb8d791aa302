//! Which side a fault stands on when nobody has measured it yet: what the run of the belt makes likely, by the rules of
//! direction that the trade has published. What is measured goes before it, also when it found no side at all.

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

/// What was told of how the belt runs.
#[derive(Debug, Clone, Copy)]
pub(super) struct BeltRun {
    /// The one side it runs to.
    pub side: Option<Side>,
    /// The one strand it is worst on.
    pub strand: Option<Strand>,
    /// Where along the conveyor it is worst.
    pub place: Option<Meaning>,
    /// All of the belt at one place, or one part of the belt.
    pub first_split: Option<Meaning>,
    /// Whether it lies in a trough.
    pub troughed: Option<bool>,
}

impl BeltRun {
    /// On which side an end of that kind is to be looked for. Nothing where the belt's run does not speak of it: both
    /// sides, one part of the belt only, or another place.
    pub(super) fn suspects(self, end: End) -> Option<Side> {
        let belt = self.side.filter(|_| self.first_split != Some(Meaning::OnePart))?;
        // The pulley that screws set is mostly the tail, and the belt carries its place on from there.
        let at_the_screws = || {
            use Meaning::{CarryRun, LoadZone, Tail, TakeUp};
            self.place.is_some_and(|place| [LoadZone, Tail, TakeUp, CarryRun].contains(&place))
        };
        match end {
            End::BeltSide => Some(belt),
            End::FarSide => Some(belt.other()),
            // It runs to the end that it meets first, and to the low side.
            End::LeadingEnd | End::LowFrameSide | End::LowIdlerSide => Some(belt),
            End::LaggingEnd => Some(belt.other()),
            End::LowPulleySide | End::ShortPulleySide => self.place.map(|_| belt),
            End::LongPulleySide => self.place.map(|_| belt.other()),
            // The slack side is the one where the pulley is met first.
            End::SlackSide => at_the_screws().then_some(belt),
            End::TightSide => at_the_screws().then_some(belt.other()),
            // Snubs and bends lie on the return strand.
            End::LeadingSnubEnd => (self.strand != Some(Strand::Carry)).then_some(belt),
        }
    }

    /// The side on which the load lies: in a trough the belt goes to the lighter side. A flat belt creeps to the loaded
    /// side only weakly, so it tells nothing.
    pub(super) fn suspects_heavy(self) -> Option<Side> {
        self.side.filter(|_| self.troughed == Some(true)).map(Side::other)
    }

    /// The corners that the longer diagonal of a racked bay joins, at the tail end and at the head end: the stringer
    /// whose end of each idler the belt meets first has gone back against the travel of that strand.
    pub(super) fn longer_diagonal(self) -> Option<(Side, Side)> {
        let belt = self.suspects(End::LeadingEnd)?;
        let tail = match self.strand? {
            Strand::Carry => belt,
            Strand::Return => belt.other(),
        };
        Some((tail, tail.other()))
    }
}
