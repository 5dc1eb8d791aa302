//! Reading a conveyor's dimensions and the site's own limits.

use super::Reader;
use crate::conveyor::dimensions::{self, Dimension};
use crate::conveyor::quantity::{self, Quantity};
use crate::conveyor::{Conveyor, SiteLimit};
use crate::problem::{Code, near};
use crate::source::Span;
use crate::source::fields::{Field, Is, Value};
use crate::trade::Units;

/// The keys under which dimensions stand in groups.
pub(super) const GROUPS: &[&str] = &["belt", "load", "idlers", "tail", "head", "screws", "limits"];

impl Reader<'_> {
    /// The units a file is written in, if it says so.
    pub(super) fn units(&mut self, value: &Value) -> Option<Units> {
        let named = match &value.is {
            Is::Text(name) => Units::named(name),
            _ => None,
        };
        if named.is_none() && value.is != Is::Nothing {
            let problem = self
                .problem(Code::FactValue, value.span, "there are no such units")
                .help("values: \"metric\", \"inch\", \"both\"");
            self.report.add(problem);
        }
        named
    }

    /// A group of dimensions such as `belt: (width: "800 mm")`.
    pub(super) fn group(
        &mut self,
        conveyor: &mut Conveyor,
        group: &str,
        value: &Value,
        places: &mut Vec<(&'static str, Span)>,
    ) {
        let Is::Fields(fields) = &value.is else {
            if value.is != Is::Nothing {
                let problem = self
                    .problem(
                        Code::Shape,
                        value.span,
                        format!("`{group}` holds named fields in brackets"),
                    )
                    .help("such as belt: (width: \"800 mm\")");
                self.report.add(problem);
            }
            return;
        };
        for field in fields {
            if group == "limits" {
                self.limit(conveyor, field);
            } else {
                self.size(conveyor, &format!("{group}."), field, places);
            }
        }
    }

    /// One dimension; `before` is its group with a point, or nothing.
    pub(super) fn size(
        &mut self,
        conveyor: &mut Conveyor,
        before: &str,
        field: &Field,
        places: &mut Vec<(&'static str, Span)>,
    ) {
        let key = field.key.text.as_str();
        let Some(dimension) = dimensions::named(&format!("{before}{key}")) else {
            let known: Vec<&str> = dimensions::ALL
                .iter()
                .filter_map(|dimension| dimension.path.strip_prefix(before))
                .collect();
            let problem = self.problem(
                Code::UnknownField,
                field.key.span,
                format!("`{key}` is not known of `{}`", before.trim_end_matches('.')),
            );
            self.report.add(near(problem, key, known, "known"));
            return;
        };
        if let Some((_, first)) = places.iter().find(|(path, _)| *path == dimension.path) {
            let problem = self
                .problem(Code::TwiceField, field.key.span, format!("`{key}` stands here twice"))
                .also(self.texts.place(*first), "first here")
                .help("keep one of them");
            self.report.add(problem);
            return;
        }
        places.push((dimension.path, field.value.span));
        let units = conveyor.units.unwrap_or_default();
        if let Some(size) = self.quantity(dimension, &field.value, units) {
            conveyor.dimensions.set(dimension.path, size);
        }
    }

    fn quantity(&mut self, dimension: &Dimension, value: &Value, units: Units) -> Option<Quantity> {
        let typed = match &value.is {
            Is::Text(text) => text.clone(),
            Is::Number(number) => number.to_string(),
            Is::Nothing => return None,
            _ => String::new(),
        };
        let example = quantity::example(dimension.kind, units);
        let problem = match quantity::read(&typed, dimension.kind, units) {
            Ok(size) => match dimensions::within(dimension, size, units) {
                Ok(()) => return Some(size),
                Err(bounds) => self.problem(Code::Quantity, value.span, bounds),
            },
            Err(refused) => self
                .problem(Code::Quantity, value.span, format!("{}: {refused}", dimension.ask))
                .help(format!("write it as text with its unit, such as {example}")),
        };
        self.report.add(problem);
        None
    }

    fn limit(&mut self, conveyor: &mut Conveyor, field: &Field) {
        let size = match &field.value.is {
            Is::Text(text) => text.clone(),
            Is::Number(number) => number.to_string(),
            Is::Nothing => return,
            _ => {
                let problem = self
                    .problem(
                        Code::Shape,
                        field.value.span,
                        "a limit is a size with its unit, in quotes",
                    )
                    .help("such as \"3 mm\"");
                self.report.add(problem);
                return;
            }
        };
        conveyor.limits.push(SiteLimit {
            id: field.key.text.clone(),
            id_at: self.texts.place(field.key.span),
            size,
            size_at: self.texts.place(field.value.span),
        });
    }

    /// What cannot all be right.
    pub(super) fn clashes(&mut self, conveyor: &Conveyor, places: &[(&'static str, Span)]) {
        let span =
            |path: &str| places.iter().find(|(known, _)| *known == path).map(|(_, span)| *span);
        for clash in conveyor.dimensions.clashes() {
            let (Some(here), Some(there)) = (span(clash.path), span(clash.other)) else {
                continue;
            };
            let problem = self
                .problem(Code::Contradiction, here, clash.says)
                .also(self.texts.place(there), "against this")
                .help(
                    "measure both again and put the wrong one right; leave out what is not known",
                );
            self.report.add(problem);
        }
    }
}
