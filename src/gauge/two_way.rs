//! Splits a table into what its rows add, what its columns add and what is left.
//!
//! `reading = overall + row + column + rest`. By means (least squares; for a full table the analysis of variance of
//! any textbook) and by medians (Tukey's median polish), which a few wild readings hardly move. Cells may be missing.

/// A table of numbers with some cells missing.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    rows: usize,
    columns: usize,
    cells: Vec<Option<f64>>,
}

/// A table split up. The effects of rows add up to nothing (by means) or have the median nothing (by medians), and
/// those of columns likewise.
#[derive(Debug, Clone, PartialEq)]
pub struct Split {
    /// What all readings have in common.
    pub overall: f64,
    /// What each row adds.
    pub rows: Vec<f64>,
    /// What each column adds.
    pub columns: Vec<f64>,
    /// What is left in each cell.
    pub rest: Table,
}

/// Sums of squares over the cells that were read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sums {
    /// Of the rows' effects.
    pub rows: f64,
    /// Of the columns' effects.
    pub columns: f64,
    /// Of what is left.
    pub rest: f64,
}

impl Table {
    /// A table of cells, each with row, column and number, in any order. Cells outside are left out; of several
    /// numbers for one cell the mean is taken.
    pub fn of(rows: usize, columns: usize, readings: &[(usize, usize, f64)]) -> Self {
        let mut sums = vec![(0.0, 0_u32); rows * columns];
        for &(row, column, number) in readings {
            if row < rows
                && column < columns
                && let Some((sum, count)) = sums.get_mut(row * columns + column)
            {
                *sum += number;
                *count += 1;
            }
        }
        let cells = sums
            .into_iter()
            .map(|(sum, count)| (count > 0).then(|| sum / f64::from(count)))
            .collect();
        Self { rows, columns, cells }
    }

    /// How many rows.
    pub fn rows(&self) -> usize {
        self.rows
    }

    /// How many columns.
    pub fn columns(&self) -> usize {
        self.columns
    }

    /// A cell, if it is there and was read.
    pub fn cell(&self, row: usize, column: usize) -> Option<f64> {
        if column >= self.columns {
            return None;
        }
        self.cells.get(row * self.columns + column).copied().flatten()
    }

    /// The cells that were read: row, column, number.
    pub fn read(&self) -> impl Iterator<Item = (usize, usize, f64)> + '_ {
        let columns = self.columns.max(1);
        self.cells
            .iter()
            .enumerate()
            .filter_map(move |(place, cell)| cell.map(|it| (place / columns, place % columns, it)))
    }

    /// How many cells were read.
    pub fn count(&self) -> usize {
        self.cells.iter().flatten().count()
    }

    /// Whether every two rows can be compared, over cells that share rows and columns.
    pub fn hangs_together(&self) -> bool {
        let mut reached_rows = vec![false; self.rows];
        let mut reached_columns = vec![false; self.columns];
        let cells: Vec<(usize, usize)> =
            self.read().map(|(row, column, _)| (row, column)).collect();
        if let Some(first) = reached_rows.first_mut() {
            *first = true;
        }
        loop {
            let mut grew = false;
            for &(row, column) in &cells {
                if let (Some(a), Some(b)) =
                    (reached_rows.get_mut(row), reached_columns.get_mut(column))
                    && *a != *b
                {
                    *a = true;
                    *b = true;
                    grew = true;
                }
            }
            if !grew {
                break;
            }
        }
        reached_rows.iter().chain(&reached_columns).all(|it| *it)
    }

    fn map(&self, change: impl Fn(usize, usize, f64) -> f64) -> Self {
        let mut changed = self.clone();
        let columns = self.columns.max(1);
        for (place, cell) in changed.cells.iter_mut().enumerate() {
            *cell = cell.map(|it| change(place / columns, place % columns, it));
        }
        changed
    }
}

impl Split {
    /// The sums of squares. For a full table split by means they add up to the sum of squares about the mean.
    pub fn sums(&self) -> Sums {
        let mut sums = Sums { rows: 0.0, columns: 0.0, rest: 0.0 };
        for (row, column, rest) in self.rest.read() {
            sums.rows += at(&self.rows, row).powi(2);
            sums.columns += at(&self.columns, column).powi(2);
            sums.rest += rest * rest;
        }
        sums
    }
}

/// The effect of a row or column of the table itself. There is no other; it would be no number, never an effect of 0.
fn at(list: &[f64], place: usize) -> f64 {
    let found = list.get(place).copied();
    debug_assert!(found.is_some(), "the table has no line {place}");
    found.unwrap_or(f64::NAN)
}

fn mean(list: &[f64]) -> f64 {
    list.iter().sum::<f64>() / list.len().max(1) as f64
}

fn squares(list: &[f64]) -> f64 {
    list.iter().map(|it| it * it).sum()
}

/// Splits by means: the least squares fit to the cells that were read. Nothing if the table does not hang together.
pub fn by_means(table: &Table) -> Option<Split> {
    if table.rows == 0 || table.columns == 0 || !table.hangs_together() {
        return None;
    }
    let (mut rows, mut columns) = (vec![0.0; table.rows], vec![0.0; table.columns]);
    let mut overall = 0.0;
    let mut rest = table.clone();
    let enough = squares(&within_columns(table)) * 1e-29;
    // The second round takes out what rounding left in the first.
    for _ in 0..2 {
        let add_rows = row_effects(&rest, enough);
        let left = rest.map(|row, _, it| it - at(&add_rows, row));
        let add_columns = column_means(&left);
        for (sum, add) in rows.iter_mut().zip(&add_rows) {
            *sum += add;
        }
        for (sum, add) in columns.iter_mut().zip(&add_columns) {
            *sum += add;
        }
        for effects in [&mut rows, &mut columns] {
            let shift = mean(effects);
            effects.iter_mut().for_each(|it| *it -= shift);
            overall += shift;
        }
        rest = table.map(|row, column, it| it - overall - at(&rows, row) - at(&columns, column));
    }
    Some(Split { overall, rows, columns, rest })
}

fn column_means(table: &Table) -> Vec<f64> {
    let mut sums = vec![(0.0, 0.0); table.columns];
    for (_, column, number) in table.read() {
        if let Some((sum, count)) = sums.get_mut(column) {
            *sum += number;
            *count += 1.0;
        }
    }
    sums.into_iter().map(|(sum, count)| if count > 0.0 { sum / count } else { 0.0 }).collect()
}

/// The rows' effects by least squares, up to a constant: conjugate gradients on what is left of the normal
/// equations when the columns are taken out of them, until the squares of the errors add up to no more than `enough`.
/// A full table takes one step.
fn row_effects(table: &Table, enough: f64) -> Vec<f64> {
    let apply = |effects: &[f64]| -> Vec<f64> {
        let spread = table.map(|row, _, _| at(effects, row));
        within_columns(&spread)
    };
    let mut effects = vec![0.0; table.rows];
    let mut residual = within_columns(table);
    let mut direction = residual.clone();
    let mut size = squares(&residual);
    for _ in 0..4 * table.rows + 20 {
        if size <= enough {
            break;
        }
        let image = apply(&direction);
        let curvature: f64 = direction.iter().zip(&image).map(|(a, b)| a * b).sum();
        if curvature <= 0.0 {
            break;
        }
        let step = size / curvature;
        for (effect, along) in effects.iter_mut().zip(&direction) {
            *effect += step * along;
        }
        for (left, along) in residual.iter_mut().zip(&image) {
            *left -= step * along;
        }
        let smaller = squares(&residual);
        let keep = smaller / size;
        for (along, left) in direction.iter_mut().zip(&residual) {
            *along = left + keep * *along;
        }
        size = smaller;
    }
    effects
}

/// For each row the sum of its cells' departures from their column's mean.
fn within_columns(table: &Table) -> Vec<f64> {
    let means = column_means(table);
    let mut sums = vec![0.0; table.rows];
    for (row, column, number) in table.read() {
        if let Some(sum) = sums.get_mut(row) {
            *sum += number - at(&means, column);
        }
    }
    // They add up to nothing but for rounding, which must not grow.
    let rounding = mean(&sums);
    sums.iter_mut().for_each(|it| *it -= rounding);
    sums
}

/// Splits by medians: Tukey's median polish, rows first, until the sum of what is left changes by less than 1 % or
/// 50 rounds have passed.
pub fn by_medians(table: &Table) -> Split {
    let (mut rows, mut columns) = (vec![0.0; table.rows], vec![0.0; table.columns]);
    let mut overall = 0.0;
    let mut rest = table.clone();
    let mut before = 0.0;
    for _ in 0..50 {
        let sweep = medians(&rest, true);
        rest = rest.map(|row, _, it| it - at(&sweep, row));
        for (effect, add) in rows.iter_mut().zip(&sweep) {
            *effect += add;
        }
        overall += centre(&mut columns);
        let sweep = medians(&rest, false);
        rest = rest.map(|_, column, it| it - at(&sweep, column));
        for (effect, add) in columns.iter_mut().zip(&sweep) {
            *effect += add;
        }
        overall += centre(&mut rows);
        let left: f64 = rest.read().map(|(_, _, it)| it.abs()).sum();
        if left == 0.0 || (left - before).abs() < 0.01 * left {
            break;
        }
        before = left;
    }
    Split { overall, rows, columns, rest }
}

/// Takes the median out of effects and returns it.
fn centre(effects: &mut [f64]) -> f64 {
    let shift = median(&mut effects.to_vec()).unwrap_or(0.0);
    effects.iter_mut().for_each(|it| *it -= shift);
    shift
}

fn medians(table: &Table, of_rows: bool) -> Vec<f64> {
    let lines = if of_rows { table.rows } else { table.columns };
    let mut lists = vec![Vec::new(); lines];
    for (row, column, number) in table.read() {
        if let Some(list) = lists.get_mut(if of_rows { row } else { column }) {
            list.push(number);
        }
    }
    lists.iter_mut().map(|list| median(list).unwrap_or(0.0)).collect()
}

/// The median of a list, which is sorted for it; the mean of the two middle ones if their number is even.
pub fn median(list: &mut [f64]) -> Option<f64> {
    list.sort_by(f64::total_cmp);
    let upper = *list.get(list.len() / 2)?;
    if list.len() % 2 == 1 {
        return Some(upper);
    }
    let lower = *list.get(list.len() / 2 - 1)?;
    Some((lower + upper) / 2.0)
}
