//! Readings that were taken several times: the mean counts, and the error comes from the spread.

use statrs::distribution::{ContinuousCDF, StudentsT};

use super::given::Gathered;
use super::readings::{Given, Keyed, Need, Row, Takes, Wanted};
use super::{Amiss, Way, key};
use crate::conveyor::quantity::Quantity;
use crate::say;

/// Of so many means of 100 the true size lies within the error: 95, by Student's distribution.
const SURE: f64 = 0.975;

/// Squares about the means of what was read several times, and how many freedoms they have.
#[derive(Default)]
struct Scatter {
    squares: f64,
    freedoms: f64,
}

impl Scatter {
    /// The mean of readings of one thing, counted in.
    fn mean(&mut self, sizes: &[f64]) -> f64 {
        let count = sizes.len() as f64;
        let mean = sizes.iter().sum::<f64>() / count;
        self.squares += sizes.iter().map(|size| (size - mean).powi(2)).sum::<f64>();
        self.freedoms += count - 1.0;
        mean
    }

    /// How far the mean of so many readings may be off. Nothing without spread.
    fn error(&self, times: f64) -> Option<f64> {
        let student = StudentsT::new(0.0, 1.0, self.freedoms).ok()?;
        let error = student.inverse_cdf(SURE) * (self.squares / self.freedoms / times).sqrt();
        (error.is_finite() && error > 0.0).then_some(error)
    }
}

/// Whether the spread of a reading tells how far one reading of the kind of the error may be off.
fn tells_error(wanted: &Wanted, error: &Wanted) -> bool {
    let kind = |wanted: &Wanted| wanted.takes.kind().map(|kind| Quantity::of(kind, 0.0).si_unit());
    wanted.key != error.key && wanted.from.is_none() && kind(wanted) == kind(error)
}

impl Gathered {
    /// The means of what was read several times. Unless it is given, the error is taken from the spread; readings without
    /// any spread leave the error as it was.
    ///
    /// # Errors
    /// A reading was taken another number of times than was said.
    pub fn averaged(mut self, way: &'static Way) -> Result<Self, Amiss> {
        let times = self.again.times;
        if times == 1 && self.again.further.is_empty() {
            return Ok(self);
        }
        let error = way.wanted.iter().find(|wanted| wanted.key == key::ERROR);
        let mut scatter = Scatter::default();
        for wanted in way.wanted {
            let Some(further) = self.again.further.remove(&wanted.key) else {
                continue;
            };
            let Some(Given::Quantity(first)) = self.single.get(&wanted.key).cloned() else {
                continue;
            };
            let sizes: Vec<f64> = std::iter::once(first).chain(further).map(Quantity::si).collect();
            if sizes.len() != times as usize {
                return Err(Amiss::with(wanted.key, odd(sizes.len(), times)));
            }
            let mut apart = Scatter::default();
            let counted = error.is_some_and(|error| tells_error(wanted, error));
            let mean = if counted { scatter.mean(&sizes) } else { apart.mean(&sizes) };
            let Some(kind) = wanted.takes.kind() else { continue };
            self.single.insert(wanted.key, Given::Quantity(Quantity::of(kind, mean)));
        }
        if times > 1 {
            self.rows = rows(&self.rows, way, times as usize, (error, &mut scatter))?;
        }
        if let Some(error) = error
            && !self.single.contains_key(&error.key)
            && let Some(size) = scatter.error(f64::from(times))
            && let Some(kind) = error.takes.kind()
        {
            self.single.insert(error.key, Given::Quantity(Quantity::of(kind, size)));
        }
        Ok(self)
    }
}

fn odd(taken: usize, times: u32) -> super::Words {
    say!(format!(
        "it was read {taken} times, not {times}: give each reading as often as --repeat says"
    ))
}

/// Each run of so many rows as one, by their means. What is no quantity, and the place of a station, stays as it is.
fn rows(
    all: &[Row],
    way: &'static Way,
    times: usize,
    (error, scatter): (Option<&Wanted>, &mut Scatter),
) -> Result<Vec<Row>, Amiss> {
    let Some(rows) = &way.rows else {
        return Ok(all.to_vec());
    };
    if !all.len().is_multiple_of(times) {
        return Err(Amiss::all(say!(format!(
            "{} rows are no whole number of {times}: write the {times} readings of each {} below each other",
            all.len(),
            rows.one
        ))));
    }
    let mut means = Vec::with_capacity(all.len() / times);
    for (at, run) in all.chunks(times).enumerate() {
        let mut mean = Row::default();
        for (nth, wanted) in rows.columns.iter().enumerate() {
            let given: Vec<&Given> = run.iter().filter_map(|row| row.given(wanted.key)).collect();
            let Some(first) = given.first() else { continue };
            let same = given.iter().all(|given| given == first);
            // The first column names the thing: readings of two things are not averaged.
            if (nth == 0 || wanted.takes == Takes::Label) && !same && wanted.need == Need::Must {
                let words = say!(format!(
                    "the {times} readings of one {} must stand below each other",
                    rows.one
                ));
                return Err(Amiss::at(at * times, wanted.key, words));
            }
            let sizes: Vec<f64> = given
                .iter()
                .filter_map(|given| match given {
                    Given::Quantity(size) => Some(size.si()),
                    _ => None,
                })
                .collect();
            let counted = nth > 0 && error.is_some_and(|error| tells_error(wanted, error));
            let size = match (wanted.takes.kind(), sizes.len() == times) {
                (Some(kind), true) => {
                    let mut apart = Scatter::default();
                    let mean = if counted { scatter.mean(&sizes) } else { apart.mean(&sizes) };
                    Given::Quantity(Quantity::of(kind, mean))
                }
                _ => (*first).clone(),
            };
            mean.insert(wanted.key, size);
        }
        means.push(mean);
    }
    Ok(means)
}
