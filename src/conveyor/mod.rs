//! The data of one conveyor: the facts that rules ask for, and what people call its sides.

pub mod facts;

use std::path::Path;

use crate::problem::{Code, Problem, Problems, Report, near, nearest};
use crate::source::fields::{self, Field, Is, Value};
use crate::source::{FileId, Span, Texts, folder};

/// What is known of one conveyor. What is not said is unknown.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Conveyor {
    name: Option<String>,
    facts: Vec<(&'static str, &'static str)>,
    sides: SideNames,
}

/// What this conveyor's sides are called, looking from tail to head, where its file says so.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct SideNames {
    /// The left one.
    pub left: Option<String>,
    /// The right one.
    pub right: Option<String>,
}

/// A side's name may have so many characters.
const SIDE: usize = 24;
/// Words that mean something else here, so no side may bear them: {left} named "right" would send
/// somebody to the wrong side.
const NO_SIDES: &[&str] = &[
    "left", "right", "head", "tail", "carry", "return", "top", "bottom", "both",
];
/// A conveyor's name may have so many characters.
const NAME: usize = 60;
/// Keys that are no facts.
const OTHER_KEYS: &[&str] = &["name", "sides"];

impl Conveyor {
    /// What the conveyor is called, if its file says so.
    pub fn name(&self) -> Option<&str> {
        self.name.as_deref()
    }

    /// The value of a fact; nothing if it is unknown. A class settles whether the belt is troughed.
    pub fn get(&self, key: &str) -> Option<&'static str> {
        let said = |key: &str| {
            self.facts
                .iter()
                .find(|(known, _)| *known == key)
                .map(|(_, value)| *value)
        };
        said(key).or_else(|| {
            if key == "troughed" {
                facts::troughed(said("class")?)
            } else {
                None
            }
        })
    }

    /// The names of its sides.
    pub fn sides(&self) -> &SideNames {
        &self.sides
    }

    /// All facts that are known, in the order of [`facts::KEYS`].
    pub fn known(&self) -> impl Iterator<Item = (&'static str, &'static str)> {
        facts::KEYS
            .iter()
            .filter_map(|(key, _)| Some((*key, self.get(key)?)))
    }
}

/// Reads a conveyor file, RON or JSON, and the warnings about it.
///
/// # Errors
/// Everything that is wrong with it.
pub fn read(path: &Path) -> Result<(Conveyor, Vec<Problem>), Problems> {
    match folder::text(path) {
        Ok(text) => parse(&path.display().to_string(), text),
        Err(refused) => Err(Problems(vec![Problem::refused_file(&refused)])),
    }
}

/// Reads the text of a conveyor file known as `name`, and the warnings about it.
///
/// # Errors
/// Everything that is wrong with it.
pub fn parse(name: &str, text: String) -> Result<(Conveyor, Vec<Problem>), Problems> {
    let mut texts = Texts::default();
    let file: FileId = texts.add(name, text);
    let mut report = Report::default();
    let conveyor = match fields::read(&texts, file) {
        Ok(fields) => from_fields(&texts, &fields, &mut report),
        Err(misread) => {
            report.add(Problem::refused_text(&texts, &misread));
            Conveyor::default()
        }
    };
    let wrong = report.has_errors();
    let problems = report.sorted();
    if wrong {
        Err(Problems(problems))
    } else {
        Ok((conveyor, problems))
    }
}

/// A conveyor from named fields; what is wrong with them goes into the report.
pub fn from_fields(texts: &Texts, fields: &[Field], report: &mut Report) -> Conveyor {
    Reader { texts, report }.conveyor(fields)
}

struct Reader<'t> {
    texts: &'t Texts,
    report: &'t mut Report,
}

impl Reader<'_> {
    fn conveyor(&mut self, fields: &[Field]) -> Conveyor {
        let mut conveyor = Conveyor::default();
        let mut spans: Vec<(&str, Span)> = Vec::new();
        for field in fields {
            let key = field.key.text.as_str();
            if let Some((_, first)) = spans.iter().find(|(known, _)| *known == key) {
                let problem = self
                    .problem(
                        Code::TwiceField,
                        field.key.span,
                        format!("`{key}` stands here twice"),
                    )
                    .also(self.texts.place(*first), "first here");
                self.report.add(problem.help("keep one of them"));
                continue;
            }
            spans.push((key, field.key.span));
            match (key, facts::KEYS.iter().find(|(known, _)| *known == key)) {
                ("name", _) => conveyor.name = self.text(&field.value, NAME),
                ("sides", _) => conveyor.sides = self.sides(&field.value),
                (_, Some((known, values))) => {
                    if let Some(value) = self.fact(known, values, &field.value) {
                        conveyor.facts.push((known, value));
                    }
                }
                _ => self.unknown(field),
            }
        }
        self.contradiction(&conveyor, fields);
        conveyor
    }

    fn fact(&mut self, key: &str, values: &[&'static str], value: &Value) -> Option<&'static str> {
        let found = match &value.is {
            Is::Text(text) | Is::Word(text) => text.as_str(),
            Is::Truth(true) => "true",
            Is::Truth(false) => "false",
            // Left open on purpose: unknown.
            Is::Nothing => return None,
            _ => "",
        };
        let quoted = matches!(value.is, Is::Text(_));
        let known = values.iter().find(|known| quoted && **known == found);
        if known.is_none() {
            let problem = self.problem(
                Code::FactValue,
                value.span,
                format!("`{key}` has no such value"),
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
            self.report
                .add(problem.help(format!("values: {}", values.join(", "))));
        }
        known.copied()
    }

    fn sides(&mut self, value: &Value) -> SideNames {
        let mut sides = SideNames::default();
        let Is::Fields(fields) = &value.is else {
            let problem = self.problem(
                Code::Shape,
                value.span,
                "the names of both sides are expected here",
            );
            self.report
                .add(problem.help("write sides: (left: \"walkway\", right: \"wall\")"));
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
                    self.report
                        .add(near(problem, other, ["left", "right"], "sides"));
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
            let problem = self.problem(
                Code::Contradiction,
                value.span,
                "both sides have the same name",
            );
            self.report
                .add(problem.help("nobody could tell them apart: give them different names"));
        }
        sides
    }

    fn text(&mut self, value: &Value, most: usize) -> Option<String> {
        let Is::Text(text) = &value.is else {
            let problem = self.problem(
                Code::Shape,
                value.span,
                "a text in double quotes is expected here",
            );
            self.report.add(problem);
            return None;
        };
        let length = text.chars().count();
        if text.trim().is_empty() || length > most || text.chars().any(char::is_control) {
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
            facts::KEYS
                .iter()
                .map(|(key, _)| *key)
                .chain(OTHER_KEYS.iter().copied())
        };
        let slip = nearest(key, known()).is_some();
        let code = if slip {
            Code::UnknownField
        } else {
            Code::UnknownFact
        };
        let problem = self.problem(
            code,
            field.key.span,
            format!("`{key}` is not known of a conveyor"),
        );
        self.report.add(near(problem, key, known(), "known"));
    }

    fn contradiction(&mut self, conveyor: &Conveyor, fields: &[Field]) {
        let (Some(class), Some(said)) = (conveyor.get("class"), conveyor.get("troughed")) else {
            return;
        };
        let Some(must) = facts::troughed(class).filter(|must| *must != said) else {
            return;
        };
        let span = |key: &str| {
            fields
                .iter()
                .find(|field| field.key.text == key)
                .map(|field| field.value.span)
        };
        if let (Some(class_at), Some(troughed_at)) = (span("class"), span("troughed")) {
            let message = format!("class {class} contradicts troughed {said}");
            let problem = self
                .problem(Code::Contradiction, troughed_at, message)
                .says(format!("a conveyor of this class has troughed \"{must}\""))
                .also(self.texts.place(class_at), "the class")
                .help("go and look: does the belt run in a trough on the carry strand?");
            self.report.add(problem);
        }
    }

    fn problem(&self, code: Code, span: Span, message: impl Into<String>) -> Problem {
        Problem::at(code, self.texts.place(span), message)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(text: &str) -> Vec<String> {
        let problems = match parse("oq-04.ron", text.to_owned()) {
            Ok((_, warnings)) => warnings,
            Err(problems) => problems.0,
        };
        problems
            .iter()
            .map(|p| format!("{} {}", p.labels[0].place, p.code.word()))
            .collect()
    }

    #[test]
    fn facts_are_known_or_not() {
        let text = "(name: \"OQ-04\", class: \"troughed-bulk\", take_up: \"screw\", sides: (left: \"walkway\", right: \"wall\"))";
        let (conveyor, warnings) = parse("c.ron", text.to_owned()).unwrap();
        assert_eq!(warnings, []);
        assert_eq!(conveyor.name(), Some("OQ-04"));
        assert_eq!(conveyor.get("class"), Some("troughed-bulk"));
        assert_eq!(conveyor.get("troughed"), Some("yes"), "the class says so");
        assert_eq!(conveyor.get("reversing"), None);
        assert_eq!(conveyor.sides().left.as_deref(), Some("walkway"));
        assert_eq!(conveyor.known().count(), 3);
        let json = parse(
            "c.json",
            "{\"class\": \"package\", \"troughed\": \"no\"}".to_owned(),
        )
        .unwrap()
        .0;
        assert_eq!(json.get("troughed"), Some("no"));
        assert_eq!(Conveyor::default().get("troughed"), None);
    }

    #[test]
    fn a_class_that_contradicts_the_trough_is_an_error_with_both_places() {
        let problems = parse("c.ron", "(class: \"flat\",\n troughed: \"yes\")".to_owned())
            .unwrap_err()
            .0;
        let places: Vec<_> = problems[0]
            .labels
            .iter()
            .map(|label| label.place.to_string())
            .collect();
        assert_eq!(places, ["c.ron:2:12", "c.ron:1:9"]);
        assert!(
            parse(
                "c.ron",
                "(class: \"troughed-bulk\", troughed: \"no\")".to_owned()
            )
            .is_err()
        );
        assert!(
            parse(
                "c.ron",
                "(class: \"package\", troughed: \"yes\")".to_owned()
            )
            .is_ok()
        );
    }

    #[test]
    fn what_is_wrong_is_told_with_its_place() {
        assert_eq!(told("(class: \"flatt\")"), ["oq-04.ron:1:9 fact-value"]);
        assert_eq!(told("(clas: \"flat\")"), ["oq-04.ron:1:2 unknown-field"]);
        assert_eq!(told("(crowned: true)"), ["oq-04.ron:1:11 fact-value"]);
        assert_eq!(
            told("(crowned: \"no\", crowned: \"yes\")"),
            ["oq-04.ron:1:17 twice-field"]
        );
        assert_eq!(told("(belt_width_mm: 800)"), ["oq-04.ron:1:2 unknown-fact"]);
        assert_eq!(
            told("(sides: (left: \"wall\", right: \"Wall\"))"),
            ["oq-04.ron:1:9 contradiction"]
        );
        assert_eq!(
            told("(class: \"flat\" crowned: \"no\")"),
            ["oq-04.ron:1:9 syntax"]
        );
        assert_eq!(
            told("(sides: (left: \"\u{1b}[31m\"))"),
            ["oq-04.ron:1:16 shape"]
        );
    }

    #[test]
    fn a_key_of_a_later_version_is_passed_over_with_a_warning() {
        assert!(parse("c.ron", "(class: \"flat\", belt_width_mm: 800)".to_owned()).is_ok());
    }
}
