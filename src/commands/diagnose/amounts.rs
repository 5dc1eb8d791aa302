//! What the measurements of a visit say of amounts.

use crate::commands::setting;
use crate::rulebook::model::Book;
use crate::show::gauge as pages;
use crate::show::words::{Amount, Sides};
use crate::visit::VisitState;

/// What the latest measurements say of amounts.
pub(super) fn amounts(book: &Book, now: &VisitState, sides: &Sides) -> Vec<Amount> {
    if now.measured.is_empty() {
        return Vec::new();
    }
    let (setting, units) = setting::of_visit(&now.conveyor);
    let told = pages::Told { book, sides, units: units.unwrap_or_default() };
    now.measured
        .iter()
        .filter_map(|measured| {
            let (gauge, _, readings) = measured.readings()?;
            let outcome = (gauge.work)(&readings, &setting).ok()?;
            Some(Amount {
                gauge: gauge.id,
                says: outcome.work.iter().map(|line| told.words(line)).collect(),
            })
        })
        .collect()
}
