//! Sparse linear systems, by the crate `rsparse`.
//!
//! The unknowns are numbered along the conveyor, carry and return interleaved, so that the matrices are banded
//! (a bordered band when a drift speed is sought). A sparse LU in that order, with pivoting, fills in nothing
//! but the band.

use super::laid_out;
use rsparse::data::{Nmrc, Sprs, Symb};

/// A square sparse matrix that is filled several times in the same order of entries.
#[derive(Debug)]
pub(super) struct Matrix {
    size: usize,
    /// Where each unknown stands in the order of elimination; the same order if there is none.
    places: Vec<usize>,
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
            places: Vec::new(),
            entries: Vec::new(),
            slots: Vec::new(),
            columns: None,
            shape: None,
        }
    }

    /// For a chain of nodes of two unknowns each, eliminated from both ends toward the middle: two rows that follow
    /// one another then seldom wait for each other, and solving takes little more than half the time.
    pub(super) fn of_chain(nodes: usize) -> Self {
        let place = |node: usize| {
            let back = nodes - 1 - node;
            if node <= back { 2 * node } else { 2 * back + 1 }
        };
        let places = (0..nodes).flat_map(|node| [2 * place(node), 2 * place(node) + 1]);
        Self { places: places.collect(), ..Self::new(2 * nodes) }
    }

    /// Begins to fill it anew. What follows must come in the same order as before.
    pub(super) fn clear(&mut self) {
        self.entries.clear();
    }

    /// Adds to the entry in that row and column.
    pub(super) fn add(&mut self, row: usize, column: usize, value: f64) {
        let place = |of: usize| self.places.get(of).copied().unwrap_or(of);
        self.entries.push((place(row), place(column), value));
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
        Some(Factors::new(&factors, &self.places))
    }

    /// Works out the compressed columns from the entries.
    fn arrange(&mut self) {
        let mut order: Vec<usize> = (0..self.entries.len()).collect();
        let key =
            |nth: &usize| self.entries.get(*nth).map_or((0, 0), |(row, column, _)| (*column, *row));
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

/// A factored matrix, laid out by rows: solving then waits only for the row before.
pub(super) struct Factors {
    /// Which row of the right side each pivot takes.
    order: Vec<usize>,
    /// Which unknown each solves for.
    unknowns: Vec<usize>,
    lower: Rows,
    upper: Rows,
    /// One over the pivots.
    inverse: Vec<f64>,
}

/// Rows of a triangle, without its diagonal.
struct Rows {
    ends: Vec<usize>,
    entries: Vec<(usize, f64)>,
}

impl Rows {
    /// From compressed columns.
    fn from_columns(columns: &Sprs<f64>) -> Self {
        let ranges = columns.p.windows(2).enumerate();
        let entries = ranges.flat_map(|(column, range)| {
            let (from, to) = match range {
                &[from, to] => {
                    (usize::try_from(from).unwrap_or(0), usize::try_from(to).unwrap_or(0))
                }
                _ => (0, 0),
            };
            let rows = columns.i.get(from..to).unwrap_or_default();
            let values = columns.x.get(from..to).unwrap_or_default();
            rows.iter().zip(values).map(move |(row, value)| (*row, column, *value))
        });
        let entries = entries.filter(|(row, column, value)| row != column && *value != 0.0);
        let mut ends = vec![0; columns.n];
        for (row, _, _) in entries.clone() {
            if let Some(count) = ends.get_mut(row) {
                *count += 1;
            }
        }
        let mut next = Vec::with_capacity(columns.n);
        let mut sum = 0;
        for end in &mut ends {
            next.push(sum);
            sum += *end;
            *end = sum;
        }
        // Columns come in their order, so that each row's entries do too.
        let mut rows = Self { ends, entries: vec![(0, 0.0); sum] };
        for (row, column, value) in entries {
            if let Some(at) = next.get_mut(row) {
                if let Some(place) = rows.entries.get_mut(*at) {
                    *place = (column, value);
                }
                *at += 1;
            }
        }
        rows
    }

    /// Each row's entries the other way round, so that the value found last is waited for last.
    fn nearest_last(mut self) -> Self {
        let mut from = 0;
        for end in &self.ends {
            if let Some(row) = self.entries.get_mut(from..*end) {
                row.reverse();
            }
            from = *end;
        }
        self
    }
}

/// What the entries of a row take away from it, with the values found so far.
fn taken(entries: &[(usize, f64)], found: &[f64]) -> f64 {
    entries.iter().map(|(column, value)| value * laid_out::at(found, *column)).sum()
}

impl Factors {
    fn new(factors: &Nmrc<f64>, places: &[usize]) -> Self {
        let size = factors.u.n;
        let mut unknowns: Vec<usize> = (0..size).collect();
        for (unknown, place) in places.iter().enumerate() {
            if let Some(at) = unknowns.get_mut(*place) {
                *at = unknown;
            }
        }
        let mut order = vec![0; size];
        for (row, pivot) in factors.pinv.iter().flatten().enumerate() {
            if let Some(place) = usize::try_from(*pivot).ok().and_then(|pivot| order.get_mut(pivot))
            {
                *place = unknowns.get(row).copied().unwrap_or(row);
            }
        }
        let mut inverse = vec![0.0; size];
        // The pivot is the last entry of each column of the upper triangle.
        for (place, end) in inverse.iter_mut().zip(factors.u.p.iter().skip(1)) {
            let last = usize::try_from(*end - 1).ok().and_then(|at| factors.u.x.get(at));
            *place = last.map_or(f64::NAN, |pivot| 1.0 / pivot);
        }
        Self {
            order,
            unknowns,
            lower: Rows::from_columns(&factors.l),
            upper: Rows::from_columns(&factors.u).nearest_last(),
            inverse,
        }
    }

    /// Solves; the answer stands in `right` afterwards. `spare` is workspace of any length.
    pub(super) fn solve(&self, right: &mut [f64], spare: &mut Vec<f64>) {
        spare.clear();
        let mut from = 0;
        for (row, end) in self.order.iter().zip(&self.lower.ends) {
            let entries = self.lower.entries.get(from..*end).unwrap_or_default();
            let value = laid_out::at(right, *row) - taken(entries, spare);
            spare.push(value);
            from = *end;
        }
        let mut end = self.upper.entries.len();
        let starts = self.upper.ends.iter().rev().skip(1).copied().chain([0]);
        let pivots = self.inverse.iter().zip(&self.unknowns).enumerate().rev();
        for ((row, (inverse, unknown)), start) in pivots.zip(starts) {
            let entries = self.upper.entries.get(start..end).unwrap_or_default();
            let less = taken(entries, spare);
            if let Some(value) = spare.get_mut(row) {
                *value = (*value - less) * inverse;
                if let Some(place) = right.get_mut(*unknown) {
                    *place = *value;
                }
            }
            end = start;
        }
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
        let size = 80_usize;
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
    fn a_chain_is_solved_from_both_ends() {
        for nodes in [1, 2, 3, 8, 9] {
            let size = 2 * nodes;
            let (mut chain, mut plain) = (Matrix::of_chain(nodes), Matrix::new(size));
            for row in 0..size {
                for column in 0..size {
                    if (row / 2).abs_diff(column / 2) <= 1 {
                        let value = ((7 * row + 3 * column) % 11) as f64 - 4.5;
                        chain.add(row, column, value);
                        plain.add(row, column, value);
                    }
                }
            }
            let right: Vec<f64> = (0..size).map(|at| at as f64 - 2.0).collect();
            let (mut one, mut other) = (right.clone(), right);
            chain.factor().unwrap().solve(&mut one, &mut Vec::new());
            plain.factor().unwrap().solve(&mut other, &mut Vec::new());
            for (a, b) in one.iter().zip(&other) {
                assert!((a - b).abs() < 1e-9 * (1.0 + b.abs()), "{nodes}: {a} {b}");
            }
        }
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
