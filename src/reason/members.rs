//! Short lists of causes.

use std::fmt;
use std::ops::Deref;

use crate::rulebook::index::{CauseAt, Place, sure};

/// So many members are kept in place.
const FEW: usize = 4;

/// A few causes in book order. There are very many such lists, so short ones need no memory of their own.
#[derive(Clone)]
pub struct Members(Storage);

#[derive(Clone)]
enum Storage {
    Few(u8, [CauseAt; FEW]),
    Many(Vec<CauseAt>),
}

impl Deref for Members {
    type Target = [CauseAt];

    fn deref(&self) -> &[CauseAt] {
        match &self.0 {
            Storage::Few(len, members) => sure(members, ..usize::from(*len)),
            Storage::Many(members) => members,
        }
    }
}

impl FromIterator<CauseAt> for Members {
    fn from_iter<I: IntoIterator<Item = CauseAt>>(causes: I) -> Self {
        let mut causes = causes.into_iter();
        let mut few = [CauseAt::at(0); FEW];
        let mut len = 0;
        for (slot, cause) in few.iter_mut().zip(&mut causes) {
            *slot = cause;
            len += 1;
        }
        match causes.next() {
            None => Self(Storage::Few(len, few)),
            Some(next) => {
                Self(Storage::Many(few.into_iter().chain([next]).chain(causes).collect()))
            }
        }
    }
}

impl PartialEq for Members {
    fn eq(&self, other: &Self) -> bool {
        **self == **other
    }
}

impl Eq for Members {}

impl fmt::Debug for Members {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(&**self, out)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn short_and_long_lists_hold_what_was_put_in() {
        for len in 0..8 {
            let causes: Vec<CauseAt> = (0..len).map(CauseAt::at).collect();
            let members: Members = causes.iter().copied().collect();
            assert_eq!(*members, *causes);
            assert_eq!(members, members.clone());
        }
    }
}
