//! Reading a conveyor's fields: facts and names here, dimensions in [`sizes`].

mod sizes;

use super::facts::{Fact, FactKey};
use super::{Conveyor, SideNames};
use crate::problem::{Code, Problem, Report, near, nearest};
use crate::source::fields::{Field, Is, Value};
use crate::source::{Span, Texts, unprintable};
use crate::trade::ConveyorClass;
use sizes::GROUPS;

/// A side's name may have so many characters.
const SIDE: usize = 24;
/// Words that mean something else here, so no side may bear them: {left} named "right" would send
/// somebody to the wrong side.
const NO_SIDES: &[&str] =
    &["left", "right", "head", "tail", "carry", "return", "top", "bottom", "both"];
/// A conveyor's name may have so many characters.
const NAME: usize = 60;
/// Keys that are no facts, and those of gauges' facts.
const OTHER_KEYS: &[&str] =
    &["name", "sides", "units", "bearings", "lagging", "dust_burns", "centres", "speed", "pulleys"];

/// What to do about a class that contradicts the trough.
const TROUGH: &str = "go and look: does the belt run in a trough on the carry strand?";
/// What to do where idlers are said to hang on a flat belt.
const HANGING: &str = "go and look: do idler sets hang from ropes or hooks? if not, garland \"no\"";

/// Reads named fields; what is wrong goes into the report.
pub(super) struct Reader<'t> {
    pub(super) texts: &'t Texts,
    pub(super) report: &'t mut Report,
}

impl<'t> Reader<'t> {
    pub(super) fn new(texts: &'t Texts, report: &'t mut Report) -> Self {
        Self { texts, report }
    }
}

impl Reader<'_> {
    pub(super) fn conveyor(&mut self, fields: &[Field]) -> Conveyor {
        let mut conveyor = Conveyor::default();
        // First, because bare numbers mean these.
        if let Some(units) = fields.iter().find(|field| field.key.text == "units") {
            conveyor.units = self.units(&units.value);
        }
        let mut places = Vec::new();
        let mut spans: Vec<(&str, Span)> = Vec::new();
        for field in fields {
            let key = field.key.text.as_str();
            if let Some((_, first)) = spans.iter().find(|(known, _)| *known == key) {
                let problem = self
                    .problem(Code::TwiceField, field.key.span, format!("`{key}` stands here twice"))
                    .also(self.texts.place(*first), "first here");
                self.report.add(problem.help("keep one of them"));
                continue;
            }
            spans.push((key, field.key.span));
            match (key, FactKey::named(key)) {
                ("name", _) => conveyor.name = self.text(&field.value, NAME),
                ("sides", _) => conveyor.sides = self.sides(&field.value),
                ("units", _) => {}
                ("centres" | "speed" | "pulleys", _) => {
                    self.size(&mut conveyor, "", field, &mut places);
                }
                (group, _) if GROUPS.contains(&group) => {
                    self.group(&mut conveyor, group, &field.value, &mut places);
                }
                (_, Some(known)) => {
                    if let Some(fact) = self.fact(known, &field.value) {
                        conveyor.facts.set(fact);
                    }
                }
                _ => self.unknown(field),
            }
        }
        self.contradiction(&conveyor, fields);
        self.clashes(&conveyor, &places);
        conveyor
    }

    fn fact(&mut self, key: FactKey, value: &Value) -> Option<Fact> {
        let found = match &value.is {
            Is::Text(text) | Is::Word(text) => text.as_str(),
            Is::Truth(true) => "true",
            Is::Truth(false) => "false",
            // Left open on purpose: unknown.
            Is::Nothing => return None,
            _ => "",
        };
        let quoted = matches!(value.is, Is::Text(_));
        let known = key.with(found).filter(|_| quoted);
        if known.is_none() {
            let values = key.value_words();
            let problem = self.problem(
                Code::FactValue,
                value.span,
                format!("`{}` has no such value", key.word()),
            );
            let meant = match found {
                "true" => Some("yes"),
                "false" => Some("no"),
                found => nearest(found, values.iter().copied()),
            };
            let problem = match meant {
                Some(meant) => problem.help(format!("write \"{meant}\"?")),
                None => problem.help("leave it out if it is unknown"),
            };
            self.report.add(problem.help(format!("values: {}", values.join(", "))));
        }
        known
    }

    fn sides(&mut self, value: &Value) -> SideNames {
        let mut sides = SideNames::default();
        let Is::Fields(fields) = &value.is else {
            let problem =
                self.problem(Code::Shape, value.span, "the names of both sides are expected here");
            self.report.add(problem.help("write sides: (left: \"walkway\", right: \"wall\")"));
            return sides;
        };
        for field in fields {
            match field.key.text.as_str() {
                "left" => sides.left = self.text(&field.value, SIDE).or(sides.left.take()),
                "right" => sides.right = self.text(&field.value, SIDE).or(sides.right.take()),
                other => {
                    let problem = self.problem(
                        Code::UnknownField,
                        field.key.span,
                        format!("unknown side `{other}`"),
                    );
                    self.report.add(near(problem, other, ["left", "right"], "sides"));
                }
            }
        }
        let lower =
            |name: &Option<String>, plain: &str| name.as_deref().unwrap_or(plain).to_lowercase();
        for (name, own) in [(&sides.left, "left"), (&sides.right, "right")] {
            let Some(name) = name else { continue };
            let plain = name.trim().to_lowercase();
            if plain != own && NO_SIDES.contains(&plain.as_str()) {
                let message = format!("the {own} side cannot be called \"{name}\"");
                let problem = self.problem(Code::Contradiction, value.span, message);
                self.report.add(problem.help(
                    "it means something else on a conveyor: name it for what stands there, such as \"walkway\"",
                ));
            }
        }
        if lower(&sides.left, "left") == lower(&sides.right, "right") {
            let problem =
                self.problem(Code::Contradiction, value.span, "both sides have the same name");
            self.report
                .add(problem.help("nobody could tell them apart: give them different names"));
        }
        sides
    }

    fn text(&mut self, value: &Value, most: usize) -> Option<String> {
        let Is::Text(text) = &value.is else {
            let problem =
                self.problem(Code::Shape, value.span, "a text in double quotes is expected here");
            self.report.add(problem);
            return None;
        };
        let length = text.chars().count();
        if text.trim().is_empty() || length > most || text.chars().any(unprintable) {
            let message = format!("a name has 1 to {most} characters, and no control characters");
            let problem = self.problem(Code::Shape, value.span, message);
            self.report.add(problem);
            return None;
        }
        Some(text.clone())
    }

    /// A slip of the key is an error; a key of some later version of this program is passed over.
    fn unknown(&mut self, field: &Field) {
        let key = field.key.text.as_str();
        let known = || {
            FactKey::FOR_RULES
                .iter()
                .map(|key| key.word())
                .chain(OTHER_KEYS.iter().copied())
                .chain(GROUPS.iter().copied())
        };
        let slip = nearest(key, known()).is_some();
        let code = if slip { Code::UnknownField } else { Code::UnknownFact };
        let problem =
            self.problem(code, field.key.span, format!("`{key}` is not known of a conveyor"));
        self.report.add(near(problem, key, known(), "known"));
    }

    /// What two facts cannot be together, one told at a time.
    fn contradiction(&mut self, conveyor: &Conveyor, fields: &[Field]) {
        let said = |key: FactKey| conveyor.facts.said(key);
        let (class, troughed) = (conveyor.facts.class(), conveyor.facts.said(FactKey::Troughed));
        let settled = [
            (
                FactKey::Troughed,
                class.and_then(ConveyorClass::troughed).map(Fact::Troughed),
                TROUGH,
            ),
            (FactKey::Garland, class.and_then(ConveyorClass::garland).map(Fact::Garland), HANGING),
        ];
        for (key, must, help) in settled {
            if let (Some(must), Some(found)) = (must, said(key))
                && must != found
                && let Some(class) = said(FactKey::Class)
            {
                let says = format!("a conveyor of this class has {}", shown(must));
                self.both((found, class), fields, &says, help);
            }
        }
        if let (Some(flat @ Fact::Troughed(false)), Some(hangs @ Fact::Garland(true))) =
            (troughed, said(FactKey::Garland))
        {
            self.both((hangs, flat), fields, "hanging idler sets form a trough", HANGING);
        }
    }

    /// Tells of two facts that cannot be together, with both places.
    fn both(&mut self, (found, other): (Fact, Fact), fields: &[Field], says: &str, help: &str) {
        let span = |fact: Fact| {
            let mut named = fields.iter().filter(|field| field.key.text == fact.key().word());
            named.next().map(|field| field.value.span)
        };
        if let (Some(found_at), Some(other_at)) = (span(found), span(other)) {
            let [own, with] = [found, other].map(|fact| [fact.key().word(), fact.value()]);
            let message = format!("{} contradicts {}", with.join(" "), own.join(" "));
            let what = if other.key() == FactKey::Class { "the class" } else { "the trough" };
            let problem = self
                .problem(Code::Contradiction, found_at, message)
                .says(says)
                .also(self.texts.place(other_at), what)
                .help(help);
            self.report.add(problem);
        }
    }

    fn problem(&self, code: Code, span: Span, message: impl Into<String>) -> Problem {
        Problem::at(code, self.texts.place(span), message)
    }
}

/// A fact as its file has it.
fn shown(fact: Fact) -> String {
    format!("{} \"{}\"", fact.key().word(), fact.value())
}
