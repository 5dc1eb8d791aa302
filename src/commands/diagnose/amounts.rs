//! What the measurements of a visit say of amounts.

use crate::commands::setting;
use crate::rulebook::model::Book;
use crate::show::gauge as pages;
use crate::show::words::{MeasuredAmount, Sides};
use crate::visit::VisitState;
use crate::visit::event::{Stamped, units_typed};

/// What the latest measurements say of amounts, each in the units that it was typed in.
pub(super) fn amounts(
    book: &Book,
    now: &VisitState,
    events: &[Stamped],
    sides: &Sides,
) -> Vec<MeasuredAmount> {
    if now.measured.is_empty() {
        return Vec::new();
    }
    let (setting, units) = setting::of_visit(&now.conveyor);
    now.measured
        .iter()
        .filter_map(|measured| {
            let (gauge, _, readings) = measured.readings()?;
            let outcome = (gauge.work)(&readings, &setting).ok()?;
            let units = units_typed(events, gauge.id).or(units).unwrap_or_default();
            let told = pages::GaugeWording { book, sides, units };
            Some(MeasuredAmount {
                gauge: gauge.id,
                says: outcome.work.iter().map(|line| told.words(line)).collect(),
            })
        })
        .collect()
}
