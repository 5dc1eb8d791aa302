//! Which visits have a day that can be relied on. A visit's time is that of its tablet's clock, which somebody may have set
//! back; its number on the tablet is not, and says which visit came later.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use super::entry::{Entry, What, day};
use super::ids::{EntryId, TabletId};

/// The visits whose day cannot be known: their days do not go up with their numbers. Where one day alone stands out it
/// is that one; where it cannot be told which of two is wrong it is both.
pub(super) fn unsure(entries: &[&Entry]) -> BTreeSet<EntryId> {
    let mut tablets: BTreeMap<&TabletId, Vec<(u32, Date, &EntryId)>> = BTreeMap::new();
    for entry in entries {
        if let What::Visit(mark) = &entry.what {
            // Within a day nothing hangs on the hour, and clocks that are kept right are moved by seconds.
            let visit = (mark.visit, day(mark.begun), &entry.id);
            tablets.entry(&entry.tablet).or_default().push(visit);
        }
    }
    let mut unsure = BTreeSet::new();
    for visits in tablets.values_mut() {
        visits.sort();
        let days: Vec<Date> = visits.iter().map(|(_, day, _)| *day).collect();
        let sure = in_every_longest_rise(&days);
        let out = visits.iter().zip(sure).filter(|(_, sure)| !sure);
        unsure.extend(out.map(|((.., id), _)| (*id).clone()));
    }
    unsure
}

/// Of each day whether every longest choice of days that never goes down has it.
fn in_every_longest_rise<T: Ord>(days: &[T]) -> Vec<bool> {
    let up_to = rises(days.iter());
    let mut from = rises(days.iter().rev().map(std::cmp::Reverse).collect::<Vec<_>>().iter());
    from.reverse();
    let longest = up_to.iter().max().copied().unwrap_or(0);
    let ranks: Vec<Option<usize>> =
        up_to.iter().zip(&from).map(|(up, on)| (up + on == longest + 1).then_some(*up)).collect();
    let only = |rank: &Option<usize>| {
        rank.is_some() && ranks.iter().filter(|other| *other == rank).count() == 1
    };
    ranks.iter().map(only).collect()
}

/// Of each place the length of the longest choice that ends there and never goes down.
fn rises<'t, T: Ord + 't>(days: impl Iterator<Item = &'t T>) -> Vec<usize> {
    // The lowest end of a choice of each length.
    let mut ends: Vec<&T> = Vec::new();
    let length = |day| {
        let before = ends.partition_point(|end| *end <= day);
        match ends.get_mut(before) {
            Some(end) => *end = day,
            None => ends.push(day),
        }
        before + 1
    };
    days.map(length).collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn sure(days: &[i64]) -> Vec<bool> {
        in_every_longest_rise(days)
    }

    #[test]
    fn one_day_that_stands_out_is_the_wrong_one() {
        assert_eq!(sure(&[]), [false; 0]);
        assert_eq!(sure(&[5, 5, 9]), [true; 3]);
        // Set back for one visit, far ahead for another.
        assert_eq!(sure(&[10, 20, 3, 30]), [true, true, false, true]);
        assert_eq!(sure(&[10, 99, 20, 30]), [true, false, true, true]);
    }

    #[test]
    fn of_two_that_part_neither_is_known() {
        assert_eq!(sure(&[20, 10]), [false, false]);
        assert_eq!(sure(&[5, 20, 10]), [true, false, false]);
        // Set back and never put right: either half may be the wrong one.
        assert_eq!(sure(&[20, 21, 10, 11]), [false; 4]);
    }

    proptest! {
        /// Held against trying all choices.
        #[test]
        fn it_is_what_all_longest_choices_share(days in proptest::collection::vec(0..8_i64, 0..9)) {
            let rises = |choice: u32| -> Option<u32> {
                let picked: Vec<i64> = (0..days.len())
                    .filter(|at| choice >> at & 1 == 1)
                    .map(|at| days[at])
                    .collect();
                picked.is_sorted().then_some(choice)
            };
            let all: Vec<u32> = (0..1_u32 << days.len()).filter_map(rises).collect();
            let longest = all.iter().map(|choice| choice.count_ones()).max().unwrap_or(0);
            let shared = all
                .iter()
                .filter(|choice| choice.count_ones() == longest)
                .fold(u32::MAX, |shared, choice| shared & choice);
            let expected: Vec<bool> =
                (0..days.len()).map(|at| shared >> at & 1 == 1).collect();
            prop_assert_eq!(sure(&days), expected);
        }
    }
}
