//! Small files of named fields, in RON or in JSON, each key and value with its place: conveyor data,
//! answers. What keys there are is not known here.

use serde::de::{self, Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use std::fmt;

use super::misread::{Misread, What, misread};
use super::parse::Text;
use super::reading::options;
use super::{FileId, Span, Texts};

/// A key with what it stands for.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// The key.
    pub key: Text,
    /// Its value.
    pub value: Value,
}

/// A value and its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Value {
    /// What it is.
    pub is: Is,
    /// Where it stands.
    pub span: Span,
}

/// What a value is.
#[derive(Debug, Clone, PartialEq)]
pub enum Is {
    /// A text in quotes.
    Text(String),
    /// A number.
    Number(f64),
    /// true or false.
    Truth(bool),
    /// Nothing: `null` or `None`.
    Nothing,
    /// A list.
    List(Vec<Value>),
    /// Named fields, in the order of the file.
    Fields(Vec<Field>),
    /// A word without quotes.
    Word(String),
}

/// Values nested deeper than this are refused.
const DEEPEST: usize = 16;

/// Reads a file of named fields. A file that begins with `{` is taken for JSON, and for a RON map if
/// it is none.
///
/// # Errors
/// The first thing that is wrong with it.
pub fn read(texts: &Texts, file: FileId) -> Result<Vec<Field>, Misread> {
    let text = texts.text(file);
    let reader = Reader { file, text, json: text.trim_start().starts_with('{') };
    let value = reader.value(text, 0).or_else(|misread| {
        let ron = Reader { json: false, ..reader };
        // A map in RON's own words, with comments say; otherwise JSON's complaint is the better one.
        if reader.json { ron.value(text, 0).map_err(|_| misread) } else { Err(misread) }
    })?;
    match value.is {
        Is::Fields(fields) => Ok(fields),
        _ => Err(Misread {
            span: value.span.first(),
            what: What::Expected("named fields in ( ) or { } are expected here".to_owned()),
        }),
    }
}

/// Reads a stretch of a RON file as one value.
///
/// # Errors
/// The first thing that is wrong with it.
pub fn part(texts: &Texts, span: Span) -> Result<Value, Misread> {
    let reader = Reader { file: span.file, text: texts.text(span.file), json: false };
    reader.value(texts.slice(span), 0)
}

#[derive(Clone, Copy)]
struct Reader<'t> {
    file: FileId,
    text: &'t str,
    json: bool,
}

impl<'t> Reader<'t> {
    fn value(self, slice: &'t str, depth: usize) -> Result<Value, Misread> {
        let slice = self.bare(slice);
        let span = self.span(slice);
        if depth > DEEPEST {
            return Err(Misread { span: span.first(), what: What::TooDeep });
        }
        let is = match slice.chars().next() {
            Some('"') => Is::Text(self.read::<String, String>(slice)?),
            Some('[') => {
                let items: Vec<&'t str> = self.items(slice)?;
                Is::List(
                    items
                        .into_iter()
                        .map(|item| self.value(item, depth + 1))
                        .collect::<Result<_, _>>()?,
                )
            }
            Some('{' | '(') => {
                let mut fields = Vec::new();
                for (key, value) in self.fields(slice)? {
                    fields
                        .push(Field { key: self.key(key)?, value: self.value(value, depth + 1)? });
                }
                Is::Fields(fields)
            }
            Some(c) if c.is_ascii_digit() || "+-.".contains(c) => {
                Is::Number(self.read::<f64, f64>(slice)?)
            }
            _ => match slice {
                "true" => Is::Truth(true),
                "false" => Is::Truth(false),
                "null" | "None" => Is::Nothing,
                // Refused here if it is no word either.
                word => {
                    let good = !word.is_empty() && word.chars().all(char::is_alphanumeric);
                    if !(self.json && good) {
                        self.read::<de::IgnoredAny, de::IgnoredAny>(slice)?;
                    }
                    Is::Word(word.to_owned())
                }
            },
        };
        Ok(Value { is, span })
    }

    fn key(self, key: &'t str) -> Result<Text, Misread> {
        let span = self.span(key);
        if key.starts_with('"') {
            let text: String = self.read::<String, String>(key)?;
            let plain = !key.contains('\\');
            let span = if plain { span.part(1, key.len().saturating_sub(1)) } else { span };
            return Ok(Text { text, span, plain });
        }
        Ok(Text { text: key.to_owned(), span, plain: true })
    }

    fn items(self, slice: &'t str) -> Result<Vec<&'t str>, Misread> {
        if self.json {
            let raws: Vec<&'t serde_json::value::RawValue> = self.json_text(slice)?;
            return Ok(raws.into_iter().map(serde_json::value::RawValue::get).collect());
        }
        let raws: Vec<&'t ron::value::RawValue> = self.ron_text(slice)?;
        Ok(raws.into_iter().map(super::reading::raw).collect())
    }

    fn fields(self, slice: &'t str) -> Result<Vec<(&'t str, &'t str)>, Misread> {
        if self.json {
            let pairs: JsonPairs<'t> = self.json_text(slice)?;
            return Ok(pairs.0);
        }
        // Brackets with nothing but comments in them are no fields, not no brackets.
        let inside = slice.get(1..slice.len().saturating_sub(1));
        if slice.ends_with([')', '}']) && inside.is_some_and(|inside| self.bare(inside).is_empty())
        {
            return Ok(Vec::new());
        }
        let pairs: RonPairs<'t> = self.ron_text(slice)?;
        Ok(pairs.0)
    }

    fn read<R: Deserialize<'t>, J: Deserialize<'t> + Into<R>>(
        self,
        slice: &'t str,
    ) -> Result<R, Misread> {
        if self.json { self.json_text::<J>(slice).map(Into::into) } else { self.ron_text(slice) }
    }

    fn ron_text<T: Deserialize<'t>>(self, slice: &'t str) -> Result<T, Misread> {
        options()
            .from_str(slice)
            .map_err(|error| misread(self.file, slice, self.offset(slice), error))
    }

    fn json_text<T: Deserialize<'t>>(self, slice: &'t str) -> Result<T, Misread> {
        serde_json::from_str(slice).map_err(|error| {
            let line = slice
                .split_inclusive('\n')
                .take(error.line().saturating_sub(1))
                .map(str::len)
                .sum::<usize>();
            let at = self.offset(slice) + line + error.column().saturating_sub(1);
            let words = error.to_string();
            let words = words.split(" at line ").next().unwrap_or("").to_owned();
            Misread { span: Span::new(self.file, at, at + 1), what: What::Syntax(words) }
        })
    }

    /// The slice without the blanks round it.
    fn bare(self, slice: &'t str) -> &'t str {
        let mut slice = slice.trim();
        // A comment before the first bracket of a RON file.
        while !self.json && (slice.starts_with("//") || slice.starts_with("/*")) {
            let end = if slice.starts_with("//") {
                slice.find('\n')
            } else {
                slice.find("*/").map(|at| at + 2)
            };
            slice = slice.get(end.unwrap_or(slice.len())..).unwrap_or("").trim_start();
        }
        slice
    }

    fn offset(self, slice: &str) -> usize {
        (slice.as_ptr() as usize).saturating_sub(self.text.as_ptr() as usize)
    }

    fn span(self, slice: &str) -> Span {
        let start = self.offset(slice);
        Span::new(self.file, start, start + slice.len())
    }
}

struct RonPairs<'t>(Vec<(&'t str, &'t str)>);

impl<'de: 't, 't> Deserialize<'de> for RonPairs<'t> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Pairs;
        impl<'de> Visitor<'de> for Pairs {
            type Value = Vec<(&'de str, &'de str)>;
            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("named fields")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
                let mut pairs = Vec::new();
                while let Some((key, value)) =
                    map.next_entry::<RonKey<'de>, &'de ron::value::RawValue>()?
                {
                    pairs.push((key.0, super::reading::raw(value)));
                }
                Ok(pairs)
            }
            fn visit_seq<A: SeqAccess<'de>>(self, _: A) -> Result<Self::Value, A::Error> {
                Err(de::Error::custom("named fields are expected here, such as (class: \"flat\")"))
            }
            fn visit_unit<E: de::Error>(self) -> Result<Self::Value, E> {
                Ok(Vec::new())
            }
        }
        deserializer.deserialize_any(Pairs).map(Self)
    }
}

/// A field's name, or a map's key in quotes.
struct RonKey<'t>(&'t str);

impl<'de: 't, 't> Deserialize<'de> for RonKey<'t> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Key;
        impl<'de> Visitor<'de> for Key {
            type Value = &'de str;
            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("the name of a field")
            }
            fn visit_borrowed_str<E: de::Error>(self, key: &'de str) -> Result<Self::Value, E> {
                Ok(key)
            }
        }
        deserializer.deserialize_any(Key).map(Self)
    }
}

struct JsonPairs<'t>(Vec<(&'t str, &'t str)>);

impl<'de: 't, 't> Deserialize<'de> for JsonPairs<'t> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Pairs;
        impl<'de> Visitor<'de> for Pairs {
            type Value = Vec<(&'de str, &'de str)>;
            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("named fields in { }")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
                let mut pairs = Vec::new();
                while let Some((key, value)) =
                    map.next_entry::<&'de serde_json::value::RawValue, &'de serde_json::value::RawValue>()?
                {
                    pairs.push((key.get(), value.get()));
                }
                Ok(pairs)
            }
        }
        deserializer.deserialize_map(Pairs).map(Self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fields(text: &str) -> (Texts, Result<Vec<Field>, Misread>) {
        let mut texts = Texts::default();
        let file = texts.add("c", text.to_owned());
        let fields = read(&texts, file);
        (texts, fields)
    }

    #[test]
    fn ron_and_json_read_alike_and_know_their_places() {
        for (text, column) in [
            (
                "{\n \"class\": \"flat\", \"sides\": {\"left\": \"wall\"}, \"n\": [1, 2.5], \"t\": true}",
                11,
            ),
            ("// c\n(class: \"flat\", sides: (left: \"wall\"), n: [1, 2.5], t: true,)", 9),
            (
                "{ // c\n \"class\": \"flat\", \"sides\": {\"left\": \"wall\"}, \"n\": [1, 2.5], \"t\": true}",
                11,
            ),
        ] {
            let (texts, fields) = fields(text);
            let fields = fields.unwrap();
            let keys: Vec<_> = fields.iter().map(|field| field.key.text.as_str()).collect();
            assert_eq!(keys, ["class", "sides", "n", "t"]);
            assert_eq!(fields[0].value.is, Is::Text("flat".to_owned()));
            let at = texts.place(fields[0].value.span).at.unwrap();
            assert_eq!((at.line, at.column, at.width), (2, column, 6), "{text}");
            let Is::Fields(sides) = &fields[1].value.is else { panic!() };
            assert_eq!(texts.slice(sides[0].key.span), "left");
            let Is::List(numbers) = &fields[2].value.is else { panic!() };
            assert_eq!(numbers[1].is, Is::Number(2.5));
            assert_eq!(fields[3].value.is, Is::Truth(true));
        }
    }

    #[test]
    fn json_escapes_are_those_of_json() {
        let (_, fields) = fields("{\"a\": \"Gr\\u00f6\\/\"}");
        assert_eq!(fields.unwrap()[0].value.is, Is::Text("Grö/".to_owned()));
    }

    #[test]
    fn what_is_wrong_is_told_with_its_place() {
        for (text, place) in [
            ("{\"a\": \n  }", (2, 3)),
            ("(a: \"x\" b: 1)", (1, 9)),
            ("[1]", (1, 1)),
            ("", (1, 1)),
            ("(1, 2)", (1, 1)),
        ] {
            let (texts, fields) = fields(text);
            let misread = fields.unwrap_err();
            let at = texts.place(misread.span).at.unwrap();
            assert_eq!((at.line, at.column), place, "{text}: {}", misread.what);
        }
        for text in ["{\"a\":".repeat(100_000), "(a:".repeat(100_000), "[".repeat(100_000)] {
            assert!(fields(&text).1.is_err());
        }
    }
}
