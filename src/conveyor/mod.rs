//! The data of one conveyor: the facts that rules ask for, its dimensions, and what people call its sides.

pub mod dimensions;
pub mod facts;
pub mod quantity;
mod reader;
mod size;
pub mod writer;

use std::path::Path;

use crate::problem::{Problem, Problems, Report};
use crate::source::fields::{self, Field};
use crate::source::{FileId, Place, Texts, folder};
use crate::trade::Units;
use dimensions::Dimensions;
use facts::Facts;
use reader::Reader;
pub use size::ConveyorSize;

/// What is known of one conveyor. What is not said is unknown.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Conveyor {
    name: Option<String>,
    facts: Facts,
    sides: SideNames,
    units: Option<Units>,
    dimensions: Dimensions,
    limits: Vec<SiteLimit>,
}

/// A limit of the site's own, as its file has it. Which limits there are is known to the gauges.
#[derive(Debug, Clone, PartialEq)]
pub struct SiteLimit {
    /// Its name.
    pub id: String,
    /// Where the name stands.
    pub id_at: Place,
    /// Its size, as written.
    pub size: String,
    /// Where the size stands.
    pub size_at: Place,
}

/// What this conveyor's sides are called, looking from tail to head, where its file says so.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct SideNames {
    /// The left one.
    pub left: Option<String>,
    /// The right one.
    pub right: Option<String>,
}

impl Conveyor {
    /// What the conveyor is called, if its file says so.
    pub fn name(&self) -> Option<&str> {
        self.name.as_deref()
    }

    /// The facts that rules and gauges ask for.
    pub fn facts(&self) -> &Facts {
        &self.facts
    }

    /// The names of its sides.
    pub fn sides(&self) -> &SideNames {
        &self.sides
    }

    /// In which units its people read and type.
    pub fn units(&self) -> Option<Units> {
        self.units
    }

    /// Its dimensions.
    pub fn dimensions(&self) -> &Dimensions {
        &self.dimensions
    }

    /// The site's own limits.
    pub fn limits(&self) -> &[SiteLimit] {
        &self.limits
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
    if wrong { Err(Problems(problems)) } else { Ok((conveyor, problems)) }
}

/// A conveyor from named fields; what is wrong with them goes into the report.
pub fn from_fields(texts: &Texts, fields: &[Field], report: &mut Report) -> Conveyor {
    Reader::new(texts, report).conveyor(fields)
}

#[cfg(test)]
mod tests {
    use super::facts::FactKey;
    use super::*;
    use crate::trade::ConveyorClass;

    fn told(text: &str) -> Vec<String> {
        let problems = match parse("oq-04.ron", text.to_owned()) {
            Ok((_, warnings)) => warnings,
            Err(problems) => problems.0,
        };
        problems.iter().map(|p| format!("{} {}", p.labels[0].place, p.code.word())).collect()
    }

    #[test]
    fn facts_are_known_or_not() {
        let text = "(name: \"OQ-04\", class: \"troughed-bulk\", take_up: \"screw\", sides: (left: \"walkway\", right: \"wall\"))";
        let (conveyor, warnings) = parse("c.ron", text.to_owned()).unwrap();
        assert_eq!(warnings, []);
        assert_eq!(conveyor.name(), Some("OQ-04"));
        let facts = conveyor.facts();
        assert_eq!(facts.class(), Some(ConveyorClass::TroughedBulk));
        assert_eq!(facts.troughed(), Some(true), "the class says so");
        assert_eq!(facts.said(FactKey::Troughed), None);
        assert_eq!(facts.reversing(), None);
        assert_eq!(conveyor.sides().left.as_deref(), Some("walkway"));
        assert_eq!(facts.settled().among(FactKey::ALL).count(), 3);
        let json =
            parse("c.json", "{\"class\": \"package\", \"troughed\": \"no\"}".to_owned()).unwrap().0;
        assert_eq!(json.facts().troughed(), Some(false));
        assert_eq!(Conveyor::default().facts().troughed(), None);
    }

    #[test]
    fn a_class_that_contradicts_the_trough_is_an_error_with_both_places() {
        let problems =
            parse("c.ron", "(class: \"flat\",\n troughed: \"yes\")".to_owned()).unwrap_err().0;
        let places: Vec<_> =
            problems[0].labels.iter().map(|label| label.place.to_string()).collect();
        assert_eq!(places, ["c.ron:2:12", "c.ron:1:9"]);
        assert!(parse("c.ron", "(class: \"troughed-bulk\", troughed: \"no\")".to_owned()).is_err());
        assert!(parse("c.ron", "(class: \"package\", troughed: \"yes\")".to_owned()).is_ok());
    }

    #[test]
    fn parts_are_facts_and_hanging_idlers_need_a_trough() {
        let text =
            "(class: \"troughed-bulk\", garland: \"yes\", slider_bed: \"yes\", v_guide: \"no\")";
        let (conveyor, warnings) = parse("c.ron", text.to_owned()).unwrap();
        assert_eq!(warnings, []);
        let facts = conveyor.facts();
        assert_eq!(
            [facts.garland(), facts.slider_bed(), facts.v_guide(), facts.tripper()],
            [Some(true), Some(true), Some(false), None]
        );
        for class in ["flat", "package"] {
            let hangs = format!("(class: \"{class}\", garland: \"yes\")");
            let problems = parse("c.ron", hangs).unwrap_err().0;
            let says = problems[0].message.as_str();
            assert!(says.contains(&format!("class {class} contradicts garland yes")), "{says}");
            assert_eq!(problems.len(), 1);
            let (other, _) = parse("c.ron", format!("(class: \"{class}\")")).unwrap();
            assert_eq!(other.facts().garland(), Some(false), "the class says so");
            assert!(parse("c.ron", format!("(class: \"{class}\", garland: \"no\")")).is_ok());
        }
        assert_eq!(
            told("(troughed: \"no\",\n garland: \"yes\")"),
            ["oq-04.ron:2:11 contradiction"]
        );
        for part in FactKey::PARTS {
            assert!(FactKey::FOR_RULES.contains(&part), "{part:?}");
            assert_eq!(part.value_words(), ["yes", "no"]);
        }
    }

    #[test]
    fn what_is_wrong_is_told_with_its_place() {
        assert_eq!(told("(class: \"flatt\")"), ["oq-04.ron:1:9 fact-value"]);
        assert_eq!(told("(clas: \"flat\")"), ["oq-04.ron:1:2 unknown-field"]);
        assert_eq!(told("(crowned: true)"), ["oq-04.ron:1:11 fact-value"]);
        assert_eq!(told("(crowned: \"no\", crowned: \"yes\")"), ["oq-04.ron:1:17 twice-field"]);
        assert_eq!(told("(belt_width_mm: 800)"), ["oq-04.ron:1:2 unknown-fact"]);
        assert_eq!(
            told("(sides: (left: \"wall\", right: \"Wall\"))"),
            ["oq-04.ron:1:9 contradiction"]
        );
        assert_eq!(told("(class: \"flat\" crowned: \"no\")"), ["oq-04.ron:1:9 syntax"]);
        assert_eq!(told("(sides: (left: \"\u{1b}[31m\"))"), ["oq-04.ron:1:16 shape"]);
    }

    #[test]
    fn a_key_of_a_later_version_is_passed_over_with_a_warning() {
        assert!(parse("c.ron", "(class: \"flat\", belt_width_mm: 800)".to_owned()).is_ok());
    }
}
