//! Places for all subsets of up to `most` of `n` things, smallest first.
//!
//! Subsets of one size stand in colexicographic order, so a subset's place needs no search:
//! it is the sum of binomials of its members (the combinatorial number system). And those with the same
//! largest member stand together, in the order of what they are without it: so numbers for all subsets are
//! worked out block by block, without looking at members.

use std::ops::Range;

use crate::rulebook::index::sure;

/// How the subsets of up to `most` of `n` things are laid out in a flat list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Subsets {
    n: usize,
    most: usize,
    /// Where the subsets of each size begin; one more entry for the end.
    begin: Vec<usize>,
}

impl Subsets {
    /// The layout for `n` things, at most `most` at once (never more than `n`).
    pub fn new(n: usize, most: usize) -> Self {
        let most = most.min(n);
        let mut begin = vec![0];
        let mut end = 0;
        for size in 0..=most {
            end += choose(n, size);
            begin.push(end);
        }
        Self { n, most, begin }
    }

    /// How many subsets there are, the empty one included.
    pub fn len(&self) -> usize {
        *sure(&self.begin, self.most + 1)
    }

    /// Never: the empty subset is always there.
    pub fn is_empty(&self) -> bool {
        false
    }

    /// How many things.
    pub fn things(&self) -> usize {
        self.n
    }

    /// The largest size of a subset.
    pub fn most(&self) -> usize {
        self.most
    }

    /// The places of the subsets of one size: none past the largest.
    pub fn of_size(&self, size: usize) -> Range<usize> {
        let at = |size: usize| *sure(&self.begin, size.min(self.most + 1));
        at(size)..at(size + 1)
    }

    /// The place of a subset; members in rising order, at most [`Self::most`] of them.
    #[inline]
    pub fn place(&self, members: &[usize]) -> usize {
        let begin = *sure(&self.begin, members.len());
        let rank: usize = match *members {
            [] => 0,
            [a] => a,
            [a, b] => choose2(b) + a,
            [a, b, c] => choose3(c) + choose2(b) + a,
            _ => members.iter().enumerate().map(|(i, &m)| choose(m, i + 1)).sum(),
        };
        begin + rank
    }

    /// Calls `each` with every subset (members in rising order) and its place, in order of place.
    pub fn for_each(&self, mut each: impl FnMut(&[usize], usize)) {
        let mut members = Vec::with_capacity(self.most);
        let mut place = 0;
        for size in 0..=self.most {
            members.clear();
            members.extend(0..size);
            loop {
                each(&members, place);
                place += 1;
                if !next_colex(&mut members, self.n) {
                    break;
                }
            }
        }
    }

    /// Calls `each(member, from, to)` block by block: the subsets at the places `to` are those at `from`,
    /// in the same order, with `member` put in, which is larger than all of theirs. Every subset but the
    /// empty one lies in one block, and `from` always stands before `to`.
    pub fn for_each_block(&self, mut each: impl FnMut(usize, Range<usize>, Range<usize>)) {
        for (size, (&from, &begin)) in self.begin.iter().zip(self.begin.iter().skip(1)).enumerate()
        {
            if size == self.most {
                break;
            }
            let mut to = begin;
            for member in size..self.n {
                let len = choose(member, size);
                each(member, from..from + len, to..to + len);
                to += len;
            }
        }
    }

    /// A number for every subset, in order of place: `empty`, and for any other what `with` makes of the
    /// number without its largest member, and of that member.
    pub fn unfold(&self, empty: f64, with: impl Fn(f64, usize) -> f64) -> Vec<f64> {
        let mut numbers = Vec::with_capacity(self.len());
        numbers.push(empty);
        self.for_each_block(|member, from, to| {
            numbers.extend_from_within(from);
            for number in numbers.iter_mut().skip(to.start) {
                *number = with(*number, member);
            }
        });
        numbers
    }

    /// Multiplies the number of every subset by the value of what of it is in `inner`, where `position`
    /// is as for [`Self::project`].
    pub fn multiply(
        &self,
        numbers: &mut [f64],
        inner: &Subsets,
        position: &[Option<usize>],
        values: &[f64],
    ) {
        let same = |(at, p): (usize, &Option<usize>)| *p == Some(at);
        if inner == self && position.iter().enumerate().all(same) {
            times(numbers, values);
        } else if self.most <= 3 && inner.most >= self.most.min(inner.n) {
            self.multiply_three(numbers, inner, position, values);
        } else {
            for (number, at) in numbers.iter_mut().zip(self.places_in(inner, position)) {
                *number *= sure(values, at);
            }
        }
    }

    /// The same for at most three at once. While at most one of the two larger members is in `inner`, the
    /// values for all third members stand ready in a row.
    #[expect(clippy::indexing_slicing, reason = "all places lie within the two layouts")]
    fn multiply_three(
        &self,
        numbers: &mut [f64],
        inner: &Subsets,
        position: &[Option<usize>],
        values: &[f64],
    ) {
        numbers[0] *= values[0];
        if self.most == 0 {
            return;
        }
        let start = |size: usize| inner.of_size(size).start;
        let (one, two, three) = (start(1), start(2), start(3));
        // The values of a set by its smallest member, when of the others only `with` is in `inner`.
        let row = |before: usize, with: Option<usize>| -> Vec<f64> {
            let (alone, first) = with.map_or((0, one), |p| (one + p, two + choose2(p)));
            let at = |p: &Option<usize>| p.map_or(alone, |p| first + p);
            position[..before].iter().map(|p| values[at(p)]).collect()
        };
        let none = row(self.n, None);
        let mut rows: Vec<Vec<f64>> = vec![Vec::new(); inner.n];
        for (i, p) in position.iter().enumerate().filter(|_| self.most >= 2) {
            if let Some(p) = *p {
                rows[p] = row(i, Some(p));
            }
        }
        let with_one = |p: Option<usize>| p.map_or(&none, |p| &rows[p]);
        self.for_each_block(|l, from, to| {
            let block = &mut numbers[to];
            match from.start {
                0 => block[0] *= none[l],
                1 => times(block, with_one(position[l])),
                _ => {
                    for (j, &pj) in position.iter().enumerate().take(l) {
                        let part = &mut block[choose2(j)..choose2(j) + j];
                        let (Some(pl), Some(pj)) = (position[l], pj) else {
                            times(part, with_one(position[l].or(pj)));
                            continue;
                        };
                        let (alone, first) =
                            (two + choose2(pl) + pj, three + choose3(pl) + choose2(pj));
                        for (number, p) in part.iter_mut().zip(position) {
                            *number *= values[p.map_or(alone, |p| first + p)];
                        }
                    }
                }
            }
        });
    }

    /// Calls `each(place, place in inner)` for every subset, where `inner` lays out the subsets of
    /// the things for which `position` gives a position there, and the others are left out.
    /// `position` must rise.
    pub fn project(
        &self,
        inner: &Subsets,
        position: &[Option<usize>],
        mut each: impl FnMut(usize, usize),
    ) {
        if self.most <= 3 && inner.most >= self.most.min(inner.n) {
            self.project_three(inner, position, each);
            return;
        }
        let places = self.places_in(inner, position);
        places.into_iter().enumerate().for_each(|(place, at)| each(place, at));
    }

    /// The place in `inner` of what of each subset is there, worked out block by block: with one more member,
    /// the largest, a place moves by what depends on that member and on how many were there before it.
    fn places_in(&self, inner: &Subsets, position: &[Option<usize>]) -> Vec<usize> {
        let mut places = Vec::with_capacity(self.len());
        let mut sizes: Vec<u8> = Vec::with_capacity(self.len());
        places.push(0);
        sizes.push(0);
        self.for_each_block(|member, from, to| {
            places.extend_from_within(from.clone());
            sizes.extend_from_within(from);
            let Some(p) = *sure(position, member) else {
                return;
            };
            let sizes_there = inner.begin.iter().zip(inner.begin.iter().skip(1)).zip(1..);
            let further: Vec<usize> =
                sizes_there.map(|((begin, end), size)| end - begin + choose(p, size)).collect();
            let places = places.iter_mut().skip(to.start);
            for (place, size) in places.zip(sizes.iter_mut().skip(to.start)) {
                *place += *sure(&further, usize::from(*size));
                *size += 1;
            }
        });
        places
    }

    /// The same with the loops written out, since all the book's reasoning goes through here.
    fn project_three(
        &self,
        inner: &Subsets,
        position: &[Option<usize>],
        mut each: impl FnMut(usize, usize),
    ) {
        let start = |size: usize| inner.of_size(size).start;
        let (one, two, three) = (start(1), start(2), start(3));
        each(0, 0);
        let mut place = 1;
        if self.most >= 1 {
            for p in position.iter().take(self.n) {
                each(place, p.map_or(0, |p| one + p));
                place += 1;
            }
        }
        if self.most >= 2 {
            for (j, pj) in position.iter().enumerate().take(self.n) {
                for pi in position.iter().take(j) {
                    let at = match (pj, pi) {
                        (None, None) => 0,
                        (Some(p), None) | (None, Some(p)) => one + p,
                        (Some(j), Some(i)) => two + choose2(*j) + i,
                    };
                    each(place, at);
                    place += 1;
                }
            }
        }
        if self.most >= 3 {
            for (l, pl) in position.iter().enumerate().take(self.n) {
                for (j, pj) in position.iter().enumerate().take(l) {
                    // What the two larger members give alone, and what a third adds to.
                    let (alone, with) = match (pl, pj) {
                        (None, None) => (0, one),
                        (Some(p), None) | (None, Some(p)) => (one + p, two + choose2(*p)),
                        (Some(l), Some(j)) => {
                            (two + choose2(*l) + j, three + choose3(*l) + choose2(*j))
                        }
                    };
                    for pi in position.iter().take(j) {
                        each(place, pi.map_or(alone, |i| with + i));
                        place += 1;
                    }
                }
            }
        }
    }
}

/// Multiplies each number by its value.
fn times(numbers: &mut [f64], values: &[f64]) {
    for (number, value) in numbers.iter_mut().zip(values) {
        *number *= value;
    }
}

/// Binomial coefficient; 0 when `k > n`.
pub fn choose(n: usize, k: usize) -> usize {
    if k > n {
        return 0;
    }
    (0..k).fold(1, |product, i| product * (n - i) / (i + 1))
}

#[inline]
pub(super) fn choose2(n: usize) -> usize {
    n * n.saturating_sub(1) / 2
}

#[inline]
pub(super) fn choose3(n: usize) -> usize {
    n * n.saturating_sub(1) * n.saturating_sub(2) / 6
}

/// Steps to the next subset of the same size in colexicographic order.
#[expect(clippy::indexing_slicing, reason = "all positions lie below the length")]
fn next_colex(members: &mut [usize], n: usize) -> bool {
    let size = members.len();
    for i in 0..size {
        let limit = if i + 1 < size { members[i + 1] } else { n };
        if members[i] + 1 < limit {
            members[i] += 1;
            for (low, member) in members.iter_mut().enumerate().take(i) {
                *member = low;
            }
            return true;
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_follow_the_order_of_enumeration() {
        for (n, most) in [(0, 3), (1, 3), (5, 3), (7, 7), (6, 2)] {
            let subsets = Subsets::new(n, most);
            let mut count = 0;
            subsets.for_each(|members, place| {
                assert_eq!(place, count);
                assert_eq!(subsets.place(members), place, "{members:?}");
                count += 1;
            });
            assert_eq!(count, subsets.len());
            assert!(!subsets.is_empty(), "the empty set is always there");
        }
    }

    #[test]
    fn numbers_unfold_along_the_members() {
        for (n, most) in [(0, 3), (1, 3), (6, 3), (5, 5)] {
            let subsets = Subsets::new(n, most);
            let mut expected = Vec::new();
            subsets.for_each(|members, _| {
                expected.push(members.iter().fold(1.0, |x, &m| x * (m + 2) as f64));
            });
            assert_eq!(subsets.unfold(1.0, |x, m| x * (m + 2) as f64), expected);
        }
    }

    #[test]
    fn multiplying_is_projecting() {
        let positions = [
            [None, Some(0), Some(1), None, Some(2), Some(3)],
            [Some(0), Some(1), Some(2), Some(3), Some(4), Some(5)],
            [None; 6],
            [None, Some(1), Some(2), Some(4), None, Some(5)],
        ];
        for (position, most) in positions.iter().flat_map(|p| (0..=4).map(move |most| (p, most))) {
            let outer = Subsets::new(6, most);
            let inner = Subsets::new(6, most);
            let values: Vec<f64> = (0..inner.len()).map(|v| 2.0 + v as f64).collect();
            let mut expected = vec![3.0; outer.len()];
            outer.project(&inner, position, |place, at| expected[place] *= values[at]);
            let mut got = vec![3.0; outer.len()];
            outer.multiply(&mut got, &inner, position, &values);
            assert_eq!(got, expected);
        }
    }

    #[test]
    fn projection_by_loops_is_projection_by_definition() {
        let position = [None, Some(0), Some(1), None, Some(2), Some(3)];
        for most in 0..=4 {
            let (outer, inner) = (Subsets::new(6, most), Subsets::new(4, most));
            let mut expected = Vec::new();
            outer.for_each(|members, place| {
                let seen: Vec<_> = members.iter().filter_map(|&m| position[m]).collect();
                expected.push((place, inner.place(&seen)));
            });
            let mut got = Vec::new();
            outer.project(&inner, &position, |a, b| got.push((a, b)));
            assert_eq!(got, expected, "most {most}");
        }
    }
}
