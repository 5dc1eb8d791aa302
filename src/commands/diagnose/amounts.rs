//! What the measurements of a visit say of amounts, and what the conveyor's limits are.

use crate::commands::setting;
use crate::gauge::Amount;
use crate::rulebook::model::Book;
use crate::show::amounts::{Amounts, MeasuredAmount};
use crate::show::gauge as pages;
use crate::show::words::Sides;
use crate::visit::VisitState;
use crate::visit::event::{Stamped, units_typed};

/// What the latest measurements say of amounts, each in the units that it was typed in.
pub(super) fn amounts(book: &Book, now: &VisitState, events: &[Stamped], sides: &Sides) -> Amounts {
    let (setting, units) = setting::of_visit(&now.conveyor, book);
    let measured = now.measured.iter().filter_map(|measured| {
        let (gauge, _, readings) = measured.readings()?;
        let outcome = (gauge.work)(&readings, &setting).ok()?;
        let units = units_typed(events, gauge.id).or(units).unwrap_or_default();
        let told = pages::GaugeWording { book, sides, units, places: None };
        Some(MeasuredAmount {
            gauge: gauge.id,
            says: outcome.work.iter().map(|line| told.words(line)).collect(),
            size: outcome.amount.as_ref().map(|amount| size(&told, gauge.id, amount)),
        })
    });
    let measured = measured.collect();
    Amounts { measured, own_limits: setting.own_limits(), units: units.unwrap_or_default() }
}

/// "8 mm, give or take 1.4 mm (gauge idlers: idler 12, at the feet)".
fn size(told: &pages::GaugeWording, gauge: &str, amount: &Amount) -> String {
    let off = amount.error.map(|error| format!(", give or take {}", error.words(told.units)));
    format!(
        "{}{} (gauge {gauge}: {})",
        amount.size.words(told.units),
        off.unwrap_or_default(),
        told.words(&amount.at)
    )
}
