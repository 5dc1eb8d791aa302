//! Elementary symmetric polynomials: all subsets of one size at once.

use crate::rulebook::index::sure_mut;

/// Elementary symmetric polynomials of orders `0..=max`.
pub(super) fn symmetric(odds: impl Iterator<Item = f64>, max: usize) -> Vec<f64> {
    let mut orders = vec![0.0; max + 1];
    *sure_mut(&mut orders, 0) = 1.0;
    for o in odds {
        times(&mut orders, o);
    }
    orders
}

/// Multiplies a polynomial by `1 + o x`, cut at its length.
fn times(orders: &mut [f64], o: f64) {
    let mut below = 0.0;
    for order in orders {
        let here = *order;
        *order += o * below;
        below = here;
    }
}

/// The same without each one in turn. From both ends, since dividing would lose digits.
pub(super) fn symmetric_without_each(odds: &[f64], max: usize) -> Vec<Vec<f64>> {
    let mut next = symmetric(std::iter::empty(), max);
    let mut after = Vec::with_capacity(odds.len());
    for &o in odds.iter().rev() {
        after.push(next.clone());
        times(&mut next, o);
    }
    let mut before = symmetric(std::iter::empty(), max);
    let mut without = Vec::with_capacity(odds.len());
    for (&o, after) in odds.iter().zip(after.iter().rev()) {
        without.push(
            (0..=max)
                .map(|m| {
                    before
                        .iter()
                        .take(m + 1)
                        .zip(after.iter().take(m + 1).rev())
                        .map(|(a, b)| a * b)
                        .sum()
                })
                .collect(),
        );
        times(&mut before, o);
    }
    without
}
