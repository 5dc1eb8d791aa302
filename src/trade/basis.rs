//! What a statement rests on.

use serde::{Deserialize, Serialize};

/// What a number or a rule rests on: `S` is how a room names a published source, `T` how it holds a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename = "source")]
pub enum Basis<S, T> {
    /// A published source and the place in it.
    Published(S, T),
    /// Common practice, no source.
    CommonPractice,
    /// From memory, unverified.
    Memory,
    /// Derived from what is named.
    Derived(T),
}

impl<S, T> Basis<S, T> {
    /// The same in the words of another room; none if the source has no name there.
    pub fn try_map<S2, T2>(
        &self,
        source: impl FnOnce(&S) -> Option<S2>,
        text: impl FnOnce(&T) -> T2,
    ) -> Option<Basis<S2, T2>> {
        Some(match self {
            Self::Published(named, place) => Basis::Published(source(named)?, text(place)),
            Self::CommonPractice => Basis::CommonPractice,
            Self::Memory => Basis::Memory,
            Self::Derived(from) => Basis::Derived(text(from)),
        })
    }
}
