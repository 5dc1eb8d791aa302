//! MemberSums of weights over all the subsets that hold given members, from which the chance of every
//! intersection follows.

use super::subsets::{Subsets, choose2, choose3};
use crate::rulebook::index::{sure, sure_mut};

/// MemberSums over the subsets of each size that hold one member, or a pair.
#[derive(Debug, Clone)]
pub(super) struct MemberSums {
    /// By size, then by member.
    one: Vec<Vec<f64>>,
    /// Over the subsets of size 3, by the place of the pair less the start of the pairs. Only where no
    /// more than three are present at once.
    two: Vec<f64>,
}

impl MemberSums {
    pub(super) fn new(subsets: &Subsets, weights: &[f64]) -> Self {
        if subsets.most() <= 3 {
            Self::of_three(subsets, weights)
        } else {
            let mut one = vec![vec![0.0; subsets.things()]; subsets.most() + 1];
            subsets.for_each(|members, at| {
                let one = sure_mut(&mut one, members.len());
                for &member in members {
                    *sure_mut(one, member) += sure(weights, at);
                }
            });
            Self { one, two: Vec::new() }
        }
    }

    #[expect(clippy::indexing_slicing, reason = "all places lie within the layout of the weights")]
    fn of_three(subsets: &Subsets, weights: &[f64]) -> Self {
        let n = subsets.things();
        let mut one = vec![vec![0.0; n]; 4];
        let mut two = vec![0.0; choose2(n)];
        subsets.for_each_block(|l, from, to| {
            let block = &weights[to];
            match from.start {
                0 => one[1][l] = block[0],
                1 => {
                    one[2][l] += block.iter().sum::<f64>();
                    add(&mut one[2], block);
                }
                _ => {
                    for j in 0..l {
                        let part = &block[choose2(j)..choose2(j) + j];
                        two[choose2(l) + j] += part.iter().sum::<f64>();
                        add(&mut two[choose2(l)..], part);
                        add(&mut two[choose2(j)..], part);
                    }
                }
            }
        });
        // A set of three holds two pairs with any of its members.
        for j in 0..n {
            for (i, pair) in two[choose2(j)..choose2(j) + j].iter().enumerate() {
                one[3][i] += 0.5 * pair;
                one[3][j] += 0.5 * pair;
            }
        }
        one.truncate(subsets.most() + 1);
        Self { one, two }
    }

    /// Sum over the subsets of this size that hold this member.
    pub(super) fn one(&self, size: usize, member: usize) -> f64 {
        *sure(sure(&self.one, size), member)
    }

    /// For every subset of `inner`, which stands for the things `at`: the sum over the subsets whose
    /// intersection with those things it is, the subsets of each size counted so many `times`. By
    /// inclusion and exclusion, so the work is that of `inner`. At most three at once.
    #[expect(
        clippy::indexing_slicing,
        reason = "places come from the two layouts of these very lists"
    )]
    pub(super) fn intersections(
        &self,
        (all, weights): (&[f64], &[f64]),
        subsets: &Subsets,
        (inner, at): (&Subsets, &[usize]),
        times: &[f64],
    ) -> Vec<f64> {
        // No subset is larger than the most that are present.
        let times = |size: usize| if size < times.len() { times[size] } else { 0.0 };
        let (pairs, triples) = (subsets.of_size(2).start, subsets.of_size(3).start);
        // First the sums over the subsets that hold each.
        let mut sums = vec![0.0; inner.len()];
        sums[0] = all.iter().enumerate().map(|(size, all)| times(size) * all).sum();
        inner.for_each_block(|i, from, to| {
            let a = at[i];
            let block = &mut sums[to];
            match from.start {
                0 => {
                    let sizes = 1..=subsets.most();
                    block[0] = sizes.map(|size| times(size) * self.one(size, a)).sum();
                }
                1 => {
                    for (slot, &b) in block.iter_mut().zip(at) {
                        let pair = choose2(a) + b;
                        *slot = times(2) * weights[pairs + pair] + times(3) * self.two[pair];
                    }
                }
                _ => {
                    for (j, &b) in at.iter().enumerate().take(i) {
                        let first = triples + choose3(a) + choose2(b);
                        let part = &mut block[choose2(j)..choose2(j) + j];
                        for (slot, &c) in part.iter_mut().zip(at) {
                            *slot = times(3) * weights[first + c];
                        }
                    }
                }
            }
        });
        exclude(&mut sums, inner);
        sums
    }
}

/// From the sums over what holds each set to those over what holds just it: larger sets are taken out of
/// the smaller ones.
#[expect(clippy::indexing_slicing, reason = "all places lie within the layout of the sums")]
fn exclude(sums: &mut [f64], inner: &Subsets) {
    let (triples, pairs, singles) = (inner.of_size(3), inner.of_size(2), inner.of_size(1));
    let (smaller, triple) = sums.split_at_mut(triples.start);
    let (smaller, pair) = smaller.split_at_mut(pairs.start);
    let (empty, single) = smaller.split_at_mut(singles.start);
    if !triples.is_empty() {
        for i in 0..inner.things() {
            for j in 0..i {
                let first = choose3(i) + choose2(j);
                let part = &triple[first..first + j];
                let sum: f64 = part.iter().sum();
                pair[choose2(i) + j] -= sum;
                subtract(&mut pair[choose2(i)..], part);
                subtract(&mut pair[choose2(j)..], part);
                single[i] -= sum;
                single[j] -= sum;
                subtract(single, part);
            }
        }
    }
    if !pairs.is_empty() {
        for j in 0..inner.things() {
            let part = &pair[choose2(j)..choose2(j) + j];
            single[j] -= part.iter().sum::<f64>();
            subtract(single, part);
        }
    }
    let others: f64 = single.iter().chain(pair.iter()).chain(triple.iter()).sum();
    if let Some(empty) = empty.first_mut() {
        *empty -= others;
    }
}

fn add(sums: &mut [f64], values: &[f64]) {
    for (sum, value) in sums.iter_mut().zip(values) {
        *sum += value;
    }
}

fn subtract(sums: &mut [f64], values: &[f64]) {
    for (sum, value) in sums.iter_mut().zip(values) {
        *sum -= value;
    }
}
