//! Places for all subsets of up to `most` of `n` things, smallest first.
//!
//! Subsets of one size stand in colexicographic order, so a subset's place needs no search:
//! it is the sum of binomials of its members (the combinatorial number system).

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
        self.begin.last().copied().unwrap_or(0)
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

    /// The place of a subset; members in rising order, at most [`Self::most`] of them.
    #[inline]
    pub fn place(&self, members: &[usize]) -> usize {
        let begin = self.begin.get(members.len()).copied().unwrap_or(0);
        let rank: usize = match *members {
            [] => 0,
            [a] => a,
            [a, b] => choose2(b) + a,
            [a, b, c] => choose3(c) + choose2(b) + a,
            _ => members
                .iter()
                .enumerate()
                .map(|(i, &m)| choose(m, i + 1))
                .sum(),
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
        let mut seen = Vec::with_capacity(self.most);
        self.for_each(|members, place| {
            seen.clear();
            seen.extend(
                members
                    .iter()
                    .filter_map(|&m| position.get(m).copied().flatten()),
            );
            each(place, inner.place(&seen));
        });
    }

    /// The same with the loops written out, since all the book's reasoning goes through here.
    fn project_three(
        &self,
        inner: &Subsets,
        position: &[Option<usize>],
        mut each: impl FnMut(usize, usize),
    ) {
        let start = |size: usize| inner.begin.get(size).copied().unwrap_or(0);
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

/// Binomial coefficient; 0 when `k > n`.
pub fn choose(n: usize, k: usize) -> usize {
    if k > n {
        return 0;
    }
    (0..k).fold(1, |product, i| product * (n - i) / (i + 1))
}

#[inline]
fn choose2(n: usize) -> usize {
    n * n.saturating_sub(1) / 2
}

#[inline]
fn choose3(n: usize) -> usize {
    n * n.saturating_sub(1) * n.saturating_sub(2) / 6
}

/// Steps to the next subset of the same size in colexicographic order.
#[expect(
    clippy::indexing_slicing,
    reason = "all positions lie below the length"
)]
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
