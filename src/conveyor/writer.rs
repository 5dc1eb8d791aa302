//! Writing conveyor files: a new one as a person would write it, and dimensions put into one that is there, its
//! comments and everything else left as they are.

use super::dimensions::{self, Dimension, Dimensions};
use super::facts::{FactKey, Facts};
use super::quantity;
use super::{Conveyor, parse};
use crate::problem::Problems;
use crate::source::fields::{self, Field, Is};
use crate::source::{Texts, quoted};
use crate::trade::Units;

/// What a new conveyor file holds; sizes as they were typed.
#[derive(Debug, Clone, Default)]
pub struct Sheet {
    /// What the conveyor is called.
    pub name: Option<String>,
    /// Its facts.
    pub facts: Facts,
    /// What the sides are called.
    pub sides: (Option<String>, Option<String>),
    /// In which units its people read and type.
    pub units: Units,
    /// Sizes by the path of their dimension, as text with a unit.
    pub sizes: Vec<(&'static str, String)>,
}

impl Sheet {
    /// The text of the file. What is not known stands as a comment, to be filled in later.
    pub fn text(&self) -> String {
        let mut text = String::from(
            "// One conveyor. What is not known is left out; lines that begin with // are comments to fill in.\n\
             // Sizes are text with a unit: \"800 mm\", \"31 1/2 in\", \"3.1 kN\".\n(\n",
        );
        let mut line = |key: &str, value: Option<String>, example: &str| match value {
            Some(value) => text.push_str(&format!("    {key}: {value},\n")),
            None => text.push_str(&format!("    // {key}: {example},\n")),
        };
        line("name", self.name.as_deref().map(quoted), "\"OQ-04\"");
        for &key in FactKey::ALL {
            let values: Vec<String> = key.value_words().into_iter().map(quoted).collect();
            let known = self.facts.said(key).map(|fact| quoted(fact.value()));
            line(key.word(), known, &(values.join(" or ") + example_of(key)));
        }
        let sides = match &self.sides {
            (None, None) => None,
            (left, right) => {
                let side = |key: &str, name: &Option<String>| {
                    name.as_ref().map(|name| format!("{key}: {}", quoted(name)))
                };
                let named: Vec<String> =
                    [side("left", left), side("right", right)].into_iter().flatten().collect();
                Some(format!("({})", named.join(", ")))
            }
        };
        line("sides", sides, "(left: \"walkway\", right: \"wall\"), looking from tail to head");
        line("units", Some(quoted(self.units.word())), "");
        let mut group = "";
        for dimension in dimensions::ALL {
            let (own, key) = dimension.path.rsplit_once('.').unwrap_or(("", dimension.path));
            if own != group {
                if !group.is_empty() {
                    text.push_str("    ),\n");
                }
                group = own;
                if !own.is_empty() {
                    text.push_str(&format!("    {own}: (\n"));
                }
            }
            let indent = if own.is_empty() { "    " } else { "        " };
            text.push_str(&format!("{indent}// {}\n", dimension.ask));
            match self.sizes.iter().find(|(path, _)| *path == dimension.path) {
                Some((_, size)) => text.push_str(&format!("{indent}{key}: {},\n", quoted(size))),
                None => text.push_str(&format!(
                    "{indent}// {key}: {},\n",
                    quoted(&example(dimension, self.units))
                )),
            }
        }
        if !group.is_empty() {
            text.push_str("    ),\n");
        }
        text.push_str(
            "    // The site's own limits stand in place of the tool's: straybelt conveyor check names them.\n    // limits: (),\n)\n",
        );
        text
    }
}

/// What is said beside the values of a fact.
fn example_of(fact: FactKey) -> &'static str {
    match fact {
        FactKey::Curve => ", a concave vertical curve: the belt may lift off there",
        FactKey::Garland => ", idler sets that hang on hooks or ropes",
        FactKey::Bearings => ", of the end pulleys",
        FactKey::Lagging => ", of the drive pulley",
        FactKey::DustBurns => ": coal, grain, wood, sulphur, sugar, rubber; not said counts as yes",
        _ => "",
    }
}

/// Something that could stand for a dimension.
fn example(dimension: &Dimension, units: Units) -> String {
    let example = quantity::example(dimension.kind, units);
    example.rsplit_once("or ").map_or(example, |(_, last)| last).to_owned()
}

/// Why dimensions are not put into a file.
#[derive(Debug, thiserror::Error)]
pub enum Unfit {
    /// The file cannot be read.
    #[error("the file cannot be read")]
    Unread(Problems),
    /// The file would not read back as it should.
    #[error("the file is written in a way that this cannot add to; add the lines by hand")]
    Shape,
}

/// The text of a conveyor file with these sizes put in where it has none, as text with a unit.
///
/// # Errors
/// The file does not read, or its shape is beyond this.
pub fn with_sizes(
    name: &str,
    text: &str,
    sizes: &[(&'static str, String)],
) -> Result<String, Unfit> {
    let before = parse(name, text.to_owned()).map_err(Unfit::Unread)?.0;
    let mut new = text.to_owned();
    for (path, size) in sizes {
        if before.dimensions().get(path).is_none() {
            new = with_size(name, &new, path, size).ok_or(Unfit::Shape)?;
        }
    }
    let after = parse(name, new.clone()).map_err(|_| Unfit::Shape)?.0;
    if reads_back(&before, &after, sizes) { Ok(new) } else { Err(Unfit::Shape) }
}

/// Whether all that was there is there still, and what was to be added is added.
fn reads_back(before: &Conveyor, after: &Conveyor, sizes: &[(&'static str, String)]) -> bool {
    let units = before.units().unwrap_or_default();
    let mut wanted: Dimensions = before.dimensions().clone();
    for (path, size) in sizes {
        let read =
            dimensions::named(path).map(|dimension| quantity::read(size, dimension.kind, units));
        if let (None, Some(Ok(size))) = (before.dimensions().get(path), read) {
            wanted.set(path, size);
        }
    }
    let same_rest = before.facts() == after.facts()
        && before.name() == after.name()
        && before.sides() == after.sides()
        && before.units() == after.units();
    *after.dimensions() == wanted && same_rest
}

fn with_size(name: &str, text: &str, path: &str, size: &str) -> Option<String> {
    let mut texts = Texts::default();
    let file = texts.add(name, text.to_owned());
    let fields = fields::read(&texts, file).ok()?;
    let (group, key) = path.rsplit_once('.').unwrap_or(("", path));
    let holder = fields.iter().find(|field| field.key.text == group);
    let (open, inside): (usize, &[Field]) = match holder {
        Some(Field { value, .. }) => match &value.is {
            Is::Fields(inside) => (value.span.start as usize, inside),
            _ => return None,
        },
        None => (first_bracket(text)?, &fields),
    };
    let bracket = text.get(open..)?.chars().next()?;
    let named = |key: &str| {
        if bracket == '{' { quoted(key) } else { key.to_owned() }
    };
    let value = quoted(size);
    let added = match (holder.is_some() || group.is_empty(), bracket) {
        (true, _) => format!("{}: {value}", named(key)),
        (false, '{') => format!("{}: {{ {}: {value} }}", named(group), quoted(key)),
        (false, _) => format!("{group}: ({key}: {value})"),
    };
    let comma = match (inside.is_empty(), tail_begins_anew(text, open)) {
        (true, _) => "",
        (false, true) => ",",
        (false, false) => ",\n    ",
    };
    let (head, tail) = text.split_at_checked(open + bracket.len_utf8())?;
    Some(format!("{head}\n    {added}{comma}{tail}"))
}

/// Whether what stands behind the bracket begins with a blank or a line of its own.
fn tail_begins_anew(text: &str, open: usize) -> bool {
    let behind = text.get(open..).map(|rest| rest.chars().nth(1));
    behind.flatten().is_some_and(char::is_whitespace)
}

/// Where the outermost bracket opens, comments passed over.
fn first_bracket(text: &str) -> Option<usize> {
    let mut rest = text;
    loop {
        rest = rest.trim_start();
        if rest.starts_with("//") {
            rest = rest.split_once('\n')?.1;
        } else if rest.starts_with("/*") {
            rest = rest.split_once("*/")?.1;
        } else {
            break;
        }
    }
    rest.starts_with(['(', '{']).then_some(text.len() - rest.len())
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test that cannot go on fails loudly")]
mod tests {
    use super::*;
    use crate::conveyor::facts::Fact;
    use crate::conveyor::quantity::Kind;
    use crate::conveyor::quantity::Quantity;
    use crate::trade::{ConveyorClass, Lagging, RollingElement};

    #[test]
    fn a_new_file_reads_back_without_a_warning_and_with_all_that_was_typed() {
        let empty = parse("new.ron", Sheet::default().text()).unwrap();
        assert_eq!(empty.1, []);
        let facts = [
            Fact::Class(ConveyorClass::Flat),
            Fact::Bearings(RollingElement::Ball),
            Fact::Lagging(Lagging::Lagged),
            Fact::DustBurns(false),
        ];
        let facts: Facts = facts.into_iter().collect();
        let sheet = Sheet {
            name: Some("OQ-04 \"salt\"".to_owned()),
            facts,
            sides: (Some("walkway".to_owned()), None),
            units: Units::Inch,
            sizes: vec![("belt.width", "24 in".to_owned()), ("centres", "30".to_owned())],
        };
        let (conveyor, warnings) = parse("new.ron", sheet.text()).unwrap();
        assert_eq!(warnings, []);
        assert_eq!(conveyor.name(), Some("OQ-04 \"salt\""));
        assert_eq!(*conveyor.facts(), facts);
        let centres = conveyor.dimensions().get("centres").unwrap().si();
        assert!((centres - 9.144).abs() < 1e-9, "bare numbers are of the file's units: {centres}");
    }

    #[test]
    fn sizes_are_put_in_and_comments_stay() {
        let sizes = [("belt.width", "800 mm".to_owned()), ("speed", "1.5 m/s".to_owned())];
        for text in [
            "// mine\n(class: \"flat\", // so\n belt: (mass: \"12 kg/m\"))",
            "(class: \"flat\")",
            "()",
            "{\"class\": \"flat\"}",
            "{\"belt\": {}}",
            "/* ( */ (belt: (), speed: \"1 m/s\")",
        ] {
            let new = with_sizes("c.ron", text, &sizes).unwrap();
            let conveyor = parse("c.ron", new.clone()).unwrap().0;
            assert_eq!(
                conveyor.dimensions().get("belt.width"),
                Some(Quantity::of(Kind::Length, 0.8)),
                "{new}"
            );
            for kept in ["// mine", "// so", "12 kg/m", "\"1 m/s\"", "/* ( */"] {
                assert_eq!(text.contains(kept), new.contains(kept), "{new}");
            }
        }
        assert!(matches!(with_sizes("c.ron", "(class: 7)", &sizes), Err(Unfit::Unread(_))));
        assert!(matches!(with_sizes("c.ron", "(belt: None)", &sizes), Err(Unfit::Shape)));
    }
}
