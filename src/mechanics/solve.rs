//! Sparse linear systems, by the crate `rsparse`.
//!
//! The unknowns are numbered along the conveyor, carry and return interleaved, so that the matrices are banded
//! (a bordered band when a drift speed is sought). A sparse LU in that order, with pivoting, fills in nothing
//! but the band.

use rsparse::data::{Nmrc, Sprs, Symb};

/// A square sparse matrix that is filled several times in the same order of entries.
#[derive(Debug)]
pub(super) struct Matrix {
    size: usize,
    entries: Vec<(usize, usize, f64)>,
    /// Where each entry goes, in the order in which they are added; found when first finished.
    slots: Vec<usize>,
    columns: Option<Sprs<f64>>,
    shape: Option<Symb>,
}

impl Matrix {
    pub(super) fn new(size: usize) -> Self {
        Self {
            size,
            entries: Vec::new(),
            slots: Vec::new(),
            columns: None,
            shape: None,
        }
    }

    /// Begins to fill it anew. What follows must come in the same order as before.
    pub(super) fn clear(&mut self) {
        self.entries.clear();
    }

    /// Adds to the entry in that row and column.
    pub(super) fn add(&mut self, row: usize, column: usize, value: f64) {
        self.entries.push((row, column, value));
    }

    /// Factors what has been filled in. `None` if it is singular, or something in it is not finite.
    pub(super) fn factor(&mut self) -> Option<Factors> {
        if self.columns.is_none() || self.slots.len() != self.entries.len() {
            self.arrange();
        }
        let columns = self.columns.as_mut()?;
        columns.x.fill(0.0);
        for (slot, (_, _, value)) in self.slots.iter().zip(&self.entries) {
            *columns.x.get_mut(*slot)? += value;
        }
        if !columns.x.iter().all(|value| value.is_finite()) {
            return None;
        }
        let shape = self.shape.get_or_insert_with(|| rsparse::sqr(columns, NATURAL_ORDER, false));
        let factors = rsparse::lu(columns, shape, PIVOT_SHARE).ok()?;
        Some(Factors { factors })
    }

    /// Works out the compressed columns from the entries.
    fn arrange(&mut self) {
        let mut order: Vec<usize> = (0..self.entries.len()).collect();
        let key = |nth: &usize| self.entries.get(*nth).map_or((0, 0), |(row, column, _)| (*column, *row));
        order.sort_unstable_by_key(key);
        let mut slots = vec![0; self.entries.len()];
        let mut rows: Vec<usize> = Vec::new();
        let mut starts = vec![0_isize; self.size + 1];
        let mut last = None;
        for nth in order {
            let at = key(&nth);
            if last != Some(at) {
                rows.push(at.1);
                if let Some(count) = starts.get_mut(at.0 + 1) {
                    *count += 1;
                }
                last = Some(at);
            }
            if let Some(slot) = slots.get_mut(nth) {
                *slot = rows.len() - 1;
            }
        }
        let mut sum = 0;
        for start in &mut starts {
            sum += *start;
            *start = sum;
        }
        self.columns = Some(Sprs {
            nzmax: rows.len(),
            m: self.size,
            n: self.size,
            p: starts,
            x: vec![0.0; rows.len()],
            i: rows,
        });
        self.slots = slots;
        self.shape = None;
    }
}

/// `rsparse`'s number for taking the columns as they come.
const NATURAL_ORDER: i8 = -1;
/// A diagonal entry is kept as pivot if it is at least this share of the largest candidate.
const PIVOT_SHARE: f64 = 0.1;

/// A factored matrix.
pub(super) struct Factors {
    factors: Nmrc<f64>,
}

impl Factors {
    /// Solves; the answer stands in `right` afterwards. `spare` is workspace of any length.
    pub(super) fn solve(&self, right: &mut [f64], spare: &mut Vec<f64>) {
        spare.clear();
        spare.resize(right.len(), 0.0);
        if let Some(places) = &self.factors.pinv {
            for (value, place) in right.iter().zip(places) {
                if let Some(to) = usize::try_from(*place).ok().and_then(|place| spare.get_mut(place)) {
                    *to = *value;
                }
            }
        }
        rsparse::lsolve(&self.factors.l, spare);
        rsparse::usolve(&self.factors.u, spare);
        right.copy_from_slice(spare);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn residual(size: usize, entries: &[(usize, usize, f64)], right: &[f64]) -> f64 {
        let mut matrix = Matrix::new(size);
        for (row, column, value) in entries {
            matrix.add(*row, *column, *value);
        }
        let mut x = right.to_vec();
        matrix.factor().unwrap().solve(&mut x, &mut Vec::new());
        let mut left = vec![0.0; size];
        for (row, column, value) in entries {
            left[*row] += value * x[*column];
        }
        left.iter().zip(right).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
    }

    #[test]
    fn a_bordered_band_that_needs_pivots_is_solved() {
        let mut rng = 7_u64;
        let mut draw = move || {
            rng = rng.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (rng >> 11) as f64 / (1_u64 << 53) as f64 - 0.5
        };
        let size = 80;
        let mut entries = Vec::new();
        for row in 0..size {
            for column in 0..size {
                let near = row.abs_diff(column) <= 4 && row != column;
                if near || column == size - 1 || row == size - 1 {
                    entries.push((row, column, draw()));
                    entries.push((row, column, draw()));
                }
            }
        }
        let right: Vec<f64> = (0..size).map(|_| draw()).collect();
        assert!(residual(size, &entries, &right) < 1e-9);
    }

    #[test]
    fn singular_and_not_finite_matrices_are_told() {
        let mut matrix = Matrix::new(2);
        matrix.add(0, 0, 1.0);
        matrix.add(1, 0, 1.0);
        assert!(matrix.factor().is_none());
        let mut matrix = Matrix::new(1);
        matrix.add(0, 0, f64::NAN);
        assert!(matrix.factor().is_none());
        let mut matrix = Matrix::new(1);
        matrix.add(0, 0, 0.0);
        assert!(matrix.factor().is_none());
    }

    #[test]
    fn it_can_be_filled_again_in_the_same_order() {
        let mut matrix = Matrix::new(2);
        for scale in [1.0, 2.0] {
            matrix.clear();
            matrix.add(1, 1, 3.0 * scale);
            matrix.add(0, 0, scale);
            matrix.add(1, 1, scale);
            let mut x = [scale, 8.0 * scale];
            matrix.factor().unwrap().solve(&mut x, &mut Vec::new());
            assert_eq!(x, [1.0, 2.0]);
        }
    }
}
