//! A measurement's setting from a conveyor's data.

use crate::conveyor::Conveyor;
use crate::conveyor::quantity::{self, Units};
use crate::gauge::Setting;
use crate::gauge::limits::ALL;
use crate::problem::{Code, Problem, near};

/// The setting on a conveyor, and what is wrong with the site's own limits: those are left out.
pub(super) fn of(conveyor: &Conveyor) -> (Setting, Vec<Problem>) {
    let mut setting = Setting {
        facts: conveyor.known().collect(),
        dimensions: conveyor
            .dimensions()
            .known()
            .map(|(dimension, size)| (dimension.path, size))
            .collect(),
        ..Setting::default()
    };
    if let Some(bearings) = conveyor.bearings() {
        setting.facts.push(("bearings", bearings));
    }
    let units = conveyor.units().unwrap_or(Units::Metric);
    let mut problems = Vec::new();
    for own in conveyor.limits() {
        let all = || ALL.iter().copied().flatten();
        let Some(limit) = all().find(|limit| limit.id == own.id) else {
            let problem = Problem::at(
                Code::UnknownField,
                own.id_at.clone(),
                format!("no gauge has a limit `{}`", own.id),
            );
            problems.push(near(
                problem,
                &own.id,
                all().map(|limit| limit.id),
                "limits",
            ));
            continue;
        };
        match quantity::read(&own.size, limit.kind, units) {
            Ok(size) if size.si() > 0.0 => {
                setting.limits.insert(limit.id, size);
            }
            refused => {
                let why = match refused {
                    Ok(_) => "a limit is more than nothing".to_owned(),
                    Err(refused) => refused.to_string(),
                };
                let problem = Problem::at(
                    Code::Quantity,
                    own.size_at.clone(),
                    format!("{}: {why}", limit.what),
                );
                let example = quantity::example(limit.kind, units);
                problems.push(
                    problem.help(format!("write it as text with its unit, such as {example}")),
                );
            }
        }
    }
    (setting, problems)
}
