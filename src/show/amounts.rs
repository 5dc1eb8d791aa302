//! How much: what gauges measured in this visit, and the limits that hold for this conveyor.

use std::collections::BTreeMap;

use crate::conveyor::quantity::{Kind, Quantity};
use crate::gauge::Setting;
use crate::gauge::catalogue::limit_named;
use crate::rulebook::model::Book;
use crate::trade::Units;

/// What the latest measurement with a gauge says is to be moved, and by how much.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeasuredAmount {
    /// The gauge.
    pub gauge: &'static str,
    /// The lines, in order.
    pub says: Vec<String>,
    /// How far the one thing is to be moved that the step speaks of, with the error and where it is measured.
    pub size: Option<String>,
}

/// What measurements of the visit say of amounts, and what this conveyor's limits are.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Amounts {
    /// By gauge.
    pub measured: Vec<MeasuredAmount>,
    /// The site's own limits, by their names.
    pub own_limits: BTreeMap<&'static str, Quantity>,
    /// In which units limits are said.
    pub units: Units,
}

/// What stands where no gauge has measured.
const NOT_MEASURED: &str = "the difference measured";

impl Amounts {
    /// Where nobody has measured and no conveyor is known: the limits that rule files set.
    pub fn by_rules(book: &Book) -> Self {
        let own_limits = Setting::default().with_rules(book.rule_sizes()).own_limits();
        Self { own_limits, ..Self::default() }
    }

    /// The lines of a gauge.
    pub fn lines(&self, gauge: &str) -> &[String] {
        self.of(gauge).map_or(&[], |amount| amount.says.as_slice())
    }

    fn of(&self, gauge: &str) -> Option<&MeasuredAmount> {
        self.measured.iter().find(|amount| amount.gauge == gauge)
    }

    /// A text with the amounts and limits that it names filled in.
    pub fn fill(&self, text: &str) -> String {
        let mut filled = text.to_owned();
        while let Some((placeholder, name)) = first(&filled, AMOUNT) {
            let size = self.of(name).and_then(|amount| amount.size.as_deref());
            filled = filled.replace(&placeholder, size.unwrap_or(NOT_MEASURED));
        }
        while let Some((placeholder, name)) = first(&filled, LIMIT) {
            let said = self.limit(name);
            filled = filled.replace(&placeholder, &said);
        }
        filled
    }

    /// Whether a text names a limit that the site has set itself.
    pub fn has_own_limit(&self, text: &str) -> bool {
        self.own_limits.keys().any(|id| text.contains(&format!("{{{LIMIT}{id}}}")))
    }

    fn limit(&self, id: &str) -> String {
        let shipped = limit_named(id).map(|shipped| Quantity::of(shipped.kind, shipped.si));
        let Some(size) = self.own_limits.get(id).copied().or(shipped) else {
            return "the gauge's limit".to_owned();
        };
        // A share of the length across is told as the trade tells it.
        match limit_named(id).map(|shipped| shipped.kind) {
            Some(Kind::Percent) if size.si() < 0.002 => {
                format!("{} mm per m", (size.si() * 1e5).round() / 100.0)
            }
            // A limit is a round number: "2 mm", not "2.0 mm".
            _ => size.words(self.units).replace(".0 ", " "),
        }
    }
}

/// What such placeholders begin with: the id of a gauge or of a limit follows.
const AMOUNT: &str = "amount-";
const LIMIT: &str = "limit-";

/// The first placeholder of a kind: the whole of it, and the id in it.
fn first<'t>(text: &'t str, kind: &str) -> Option<(String, &'t str)> {
    let (_, rest) = text.split_once(&format!("{{{kind}"))?;
    let (name, _) = rest.split_once('}')?;
    Some((format!("{{{kind}{name}}}"), name))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_nobody_measured_is_said_to_be_measured_and_limits_are_the_gauges() {
        let text =
            "by {amount-idlers}, within {limit-idler-square} and {limit-pulley-square} of face";
        assert_eq!(
            Amounts::default().fill(text),
            "by the difference measured, within 3 mm and 1 mm per m of face"
        );
        assert!(!Amounts::default().has_own_limit(text));
    }

    #[test]
    fn a_measured_amount_and_the_sites_own_limit_stand_in_their_place() {
        let amounts = Amounts {
            measured: vec![MeasuredAmount {
                gauge: "idlers",
                says: Vec::new(),
                size: Some(
                    "8 mm, give or take 1.4 mm (gauge idlers: idler 12, at its feet)".to_owned(),
                ),
            }],
            own_limits: BTreeMap::from([("idler-square", Quantity::of(Kind::Length, 0.002))]),
            units: Units::Metric,
        };
        assert_eq!(
            amounts.fill("by {amount-idlers}; within {limit-idler-square}"),
            "by 8 mm, give or take 1.4 mm (gauge idlers: idler 12, at its feet); within 2 mm"
        );
        assert!(amounts.has_own_limit("within {limit-idler-square}"));
        assert!(!amounts.has_own_limit("within {limit-frame-level}"));
    }
}
