//! Sorted lists of places: where the things of one stand in another, and what several hold together.

use crate::rulebook::index::{CauseAt, Place};

/// For each thing of `outer`, its position in `inner`; both sorted.
pub(super) fn positions(outer: &[CauseAt], inner: &[CauseAt]) -> Vec<Option<usize>> {
    let mut rest = inner.iter().enumerate().peekable();
    outer
        .iter()
        .map(|cause| {
            while rest.next_if(|(_, other)| *other < cause).is_some() {}
            rest.next_if(|(_, other)| *other == cause).map(|(at, _)| at)
        })
        .collect()
}

/// The union of sorted lists of places, sorted.
pub(super) fn union<P: Place>(
    lists: impl IntoIterator<Item = impl IntoIterator<Item = P>>,
) -> Vec<P> {
    let mut all: Vec<P> = lists.into_iter().flatten().collect();
    all.sort_unstable();
    all.dedup();
    all
}
