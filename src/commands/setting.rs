//! A measurement's setting from a conveyor's data.

use crate::conveyor::quantity;
use crate::conveyor::{Conveyor, dimensions};
use crate::gauge::catalogue::{Unfit, limits, name_now, site_limit};
use crate::gauge::{RuleSizes, Setting};
use crate::problem::{Code, Problem, Severity, near};
use crate::rulebook::model::Book;
use crate::trade::Units;
use crate::visit::ConveyorFacts;

/// The setting on the conveyor of a visit by this book, and the units its people read in.
pub(super) fn of_visit(facts: &ConveyorFacts, book: &Book) -> (Setting, Option<Units>) {
    let (setting, units) = of_facts(facts);
    (setting.with_rules(book.rule_sizes()), units)
}

/// The same without what rule files set: what is kept of a conveyor must not hang on who reads it.
pub(super) fn of_facts(facts: &ConveyorFacts) -> (Setting, Option<Units>) {
    let units = facts.units;
    let setting = Setting {
        facts: facts.facts.settled(),
        dimensions: dimensions::ALL
            .iter()
            .filter_map(|dimension| {
                let text = facts.dimensions.get(dimension.path)?;
                let size = quantity::read(text, dimension.kind, Units::Metric).ok()?;
                Some((dimension.path, size))
            })
            .collect(),
        limits: limits()
            .filter_map(|limit| {
                let mut own = facts.limits.iter();
                let (_, text) = own.find(|(id, _)| name_now(id) == limit.id)?;
                let size = quantity::read(text, limit.kind, units.unwrap_or_default()).ok()?;
                Some((limit.id, size))
            })
            .collect(),
        rules: RuleSizes::default(),
    };
    (setting, units)
}

/// The setting on a conveyor without what rule files set, and what is to be said of the limits of its file. Those with an error are left out.
pub(super) fn of(conveyor: &Conveyor) -> (Setting, Vec<Problem>) {
    let units = conveyor.units().unwrap_or_default();
    let unfit = conveyor.limits().iter().filter_map(|own| {
        let problem = match site_limit(own, units).err()? {
            Unfit::Unknown => {
                let all = limits().map(|limit| limit.id);
                let message = format!("no gauge has a limit `{}`", own.id);
                let problem = Problem::at(Code::UnknownField, own.id_at.clone(), message);
                near(problem, &own.id, all, "limits")
            }
            Unfit::Size(limit, why) => {
                let message = format!("{}: {why}", limit.what);
                let example = quantity::example(limit.kind, units);
                Problem::at(Code::Quantity, own.size_at.clone(), message)
                    .help(format!("write it as text with its unit, such as {example}"))
            }
        };
        Some(problem)
    });
    (Setting::from(conveyor), unfit.chain(renamed(conveyor)).collect())
}

/// Limits by a name that they had once: they hold all the same, unless the name of today stands there too.
fn renamed(conveyor: &Conveyor) -> impl Iterator<Item = Problem> {
    conveyor.limits().iter().filter(|own| name_now(&own.id) != own.id).map(|own| {
        let now = name_now(&own.id);
        let message = format!("the limit `{}` is called `{now}` now", own.id);
        let problem = Problem::at(Code::UnknownField, own.id_at.clone(), message);
        match conveyor.limits().iter().find(|other| other.id == now) {
            Some(other) => problem
                .also(other.id_at.clone(), "stands here too")
                .help("keep one of them, by its name of today"),
            None => {
                let warning = Problem { severity: Severity::Warning, ..problem };
                warning.help(format!("it holds all the same; write `{now}`"))
            }
        }
    })
}
