//! Typed places in the checked book: an id that was resolved once and can no longer be wrong.

use std::marker::PhantomData;
use std::ops::{Index, IndexMut};
use std::slice::SliceIndex;

/// A typed position in one of the book's lists.
pub trait Place: Copy + Eq + Ord {
    /// The place at `position`.
    fn at(position: usize) -> Self;
    /// The position in its list, from 0.
    fn position(self) -> usize;
}

macro_rules! place {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(u32);

        impl Place for $name {
            fn at(position: usize) -> Self {
                Self(u32::try_from(position).unwrap_or(u32::MAX))
            }
            fn position(self) -> usize {
                self.0 as usize
            }
        }
    };
}

place!(
    /// Which cause.
    CauseAt
);
place!(
    /// Which symptom.
    SymptomAt
);
place!(
    /// Which look.
    LookAt
);
place!(
    /// Which fix.
    FixAt
);
place!(
    /// Which caution.
    CautionAt
);
place!(
    /// Which source.
    SourceAt
);
place!(
    /// Which answer of a symptom, in the order of the book.
    AnswerAt
);

/// A list that is only ever indexed by its own kind of place.
#[derive(Debug, Clone, PartialEq)]
pub struct List<P, T> {
    items: Vec<T>,
    place: PhantomData<P>,
}

impl<P, T> Default for List<P, T> {
    fn default() -> Self {
        Self { items: Vec::new(), place: PhantomData }
    }
}

impl<P: Place, T> List<P, T> {
    /// How many there are.
    pub fn len(&self) -> usize {
        self.items.len()
    }
    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.items.is_empty()
    }
    /// All items with their places, in order.
    pub fn iter(&self) -> impl ExactSizeIterator<Item = (P, &T)> + DoubleEndedIterator {
        self.items.iter().enumerate().map(|(i, item)| (P::at(i), item))
    }
    /// All items, in order.
    pub fn values(&self) -> std::slice::Iter<'_, T> {
        self.items.iter()
    }
    /// All places, in order.
    pub fn places(&self) -> impl ExactSizeIterator<Item = P> + DoubleEndedIterator + use<P, T> {
        (0..self.items.len()).map(P::at)
    }
    /// The item at a place, if there is one. Not called `get`, since clippy would then warn of indexing.
    pub fn item(&self, place: P) -> Option<&T> {
        self.items.get(place.position())
    }
    /// Puts an item at the end and says where it stands.
    pub fn push(&mut self, item: T) -> P {
        self.items.push(item);
        P::at(self.items.len() - 1)
    }
    /// A list of the same length with something else at every place.
    pub fn map<U>(&self, each: impl FnMut(&T) -> U) -> List<P, U> {
        List { items: self.items.iter().map(each).collect(), place: PhantomData }
    }
    /// The items as a slice, in order.
    pub fn as_slice(&self) -> &[T] {
        &self.items
    }
}

impl<P: Place, T: Clone> List<P, T> {
    /// A list with the same item at each of `len` places.
    pub fn filled(item: T, len: usize) -> Self {
        Self { items: vec![item; len], place: PhantomData }
    }
}

impl<P: Place, T> FromIterator<T> for List<P, T> {
    fn from_iter<I: IntoIterator<Item = T>>(items: I) -> Self {
        Self { items: items.into_iter().collect(), place: PhantomData }
    }
}

#[expect(clippy::indexing_slicing, reason = "a place comes from the very list it indexes")]
impl<P: Place, T> Index<P> for List<P, T> {
    type Output = T;
    fn index(&self, place: P) -> &T {
        &self.items[place.position()]
    }
}

#[expect(clippy::indexing_slicing, reason = "a place comes from the very list it indexes")]
impl<P: Place, T> IndexMut<P> for List<P, T> {
    fn index_mut(&mut self, place: P) -> &mut T {
        &mut self.items[place.position()]
    }
}

/// What stands at a position, or in a range, that was worked out from the very list. Like [`List`] it stops
/// the program where the position is wrong, since a number in its place would pass for a chance.
#[expect(clippy::indexing_slicing, reason = "the position was worked out from the very list")]
#[inline]
#[track_caller]
pub fn sure<T, I: SliceIndex<[T]>>(list: &[T], at: I) -> &I::Output {
    &list[at]
}

/// The same to be changed.
#[expect(clippy::indexing_slicing, reason = "the position was worked out from the very list")]
#[inline]
#[track_caller]
pub fn sure_mut<T, I: SliceIndex<[T]>>(list: &mut [T], at: I) -> &mut I::Output {
    &mut list[at]
}
