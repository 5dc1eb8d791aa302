//! RON text -> written types, with the place of every id, text and number kept.
//!
//! [`super::reading`] knows the places. Words are watched as ron hands them over ([`super::watch`]), so that no
//! value has to be read twice for its place.

use std::cell::Cell;
use std::fmt;
use std::ops::{Deref, Range};

use ron::value::RawValue;
use serde::de::{self, Deserialize, Deserializer};

use super::lexer::{self, extent};
use super::misread::{Misread, NO_LIST, What};
use super::reading::{NOWHERE, Reading, inner, raw, read, seen, seen_escaped, seen_text};
use super::watch::Watch;
use super::{FileId, Span, Texts};

/// A text in double quotes and its place, the quotes not counted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Text {
    /// What it says, escapes resolved.
    pub text: String,
    /// Where it says it.
    pub span: Span,
    /// Whether each byte of `text` is one of the span, that is, whether it has no escapes.
    pub plain: bool,
}

/// A value and its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spanned<T> {
    /// The value.
    pub value: T,
    /// Its place.
    pub span: Span,
}

/// The place of a value that is read later, in another way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Unread(pub Span);

/// An item of a list that could not be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    /// Why, and where in it.
    pub misread: Misread,
    /// The whole item.
    pub item: Span,
}

/// Reads a whole file as one value.
///
/// # Errors
/// The first thing that is wrong with it.
pub fn whole<T: for<'de> Deserialize<'de>>(
    texts: &Texts,
    file: FileId,
) -> Result<Spanned<T>, Misread> {
    let text = texts.text(file);
    let _reading = Reading::of(file, text);
    let (start, end) = extent(text);
    Ok(Spanned { value: read(file, text, 0)?, span: Span::new(file, start, end) })
}

/// Reads a file that is a list, item by item, so that every wrong item is told of.
///
/// # Errors
/// If the file is no list at all, or its brackets do not fit.
pub fn list<T: for<'de> Deserialize<'de>>(
    texts: &Texts,
    file: FileId,
) -> Result<Vec<Result<Spanned<T>, Refused>>, Misread> {
    let text = texts.text(file);
    let _reading = Reading::of(file, text);
    let Some(items) = lexer::items(text) else {
        // ron's words for what is wrong with it.
        let none = "a list of entries is expected here: [ before the first, ] after the last";
        let misread = match read::<Vec<de::IgnoredAny>>(file, text, 0) {
            Err(misread) if misread.what != What::Syntax(NO_LIST.to_owned()) => misread,
            Err(misread) => Misread { what: What::Syntax(none.to_owned()), ..misread },
            Ok(_) => Misread { span: Span::new(file, 0, 1), what: What::Syntax(none.to_owned()) },
        };
        return Err(misread);
    };
    Ok(items
        .into_iter()
        .map(|(start, end)| {
            let span = Span::new(file, start, end);
            match read(file, text.get(start..end).unwrap_or(""), start) {
                Ok(value) => Ok(Spanned { value, span }),
                Err(misread) => Err(Refused { misread, item: span }),
            }
        })
        .collect())
}

impl<T> Deref for Spanned<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.value
    }
}

impl Text {
    /// The place of the bytes `range` of the text; the whole if it has escapes.
    pub fn part(&self, range: Range<usize>) -> Span {
        if self.plain { self.span.part(range.start, range.end) } else { self.span }
    }
}

impl Deref for Text {
    type Target = str;
    fn deref(&self) -> &str {
        &self.text
    }
}

impl fmt::Display for Text {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl<'de> Deserialize<'de> for Text {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct InQuotes;
        impl<'de> de::Visitor<'de> for InQuotes {
            type Value = Text;
            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("a text in double quotes")
            }
            fn visit_borrowed_str<E: de::Error>(self, text: &'de str) -> Result<Text, E> {
                Ok(Text { text: text.to_owned(), span: seen_text(text), plain: true })
            }
            fn visit_str<E: de::Error>(self, text: &str) -> Result<Text, E> {
                Ok(Text { text: text.to_owned(), span: seen_escaped(), plain: false })
            }
        }
        deserializer.deserialize_str(InQuotes)
    }
}

impl<'de> Deserialize<'de> for Unread {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        <&'de RawValue>::deserialize(deserializer).map(|value| Self(seen(raw(value))))
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Spanned<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let span = Cell::new(NOWHERE);
        let value = T::deserialize(Watch { inner: deserializer, span: &span })?;
        Ok(Self { value, span: span.get() })
    }
}

/// Reads a value of either of two shapes: a list in `[ ]`, or something else.
pub(crate) fn either<'de, D, L, O, T>(
    deserializer: D,
    list: fn(L) -> T,
    other: fn(O) -> T,
) -> Result<T, D::Error>
where
    D: Deserializer<'de>,
    L: Deserialize<'de>,
    O: Deserialize<'de>,
{
    let raw = raw(<&'de RawValue>::deserialize(deserializer)?);
    if raw.starts_with('[') { inner(raw).map(list) } else { inner(raw).map(other) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(serde::Deserialize, Debug)]
    #[serde(deny_unknown_fields)]
    struct Item {
        id: Text,
        #[serde(default)]
        size: Option<Spanned<f64>>,
        #[serde(default)]
        more: Vec<Spanned<Word>>,
    }

    #[derive(serde::Deserialize, Debug)]
    #[serde(deny_unknown_fields)]
    enum Word {
        Plain,
        With(Text, #[expect(dead_code, reason = "only its shape matters")] f64),
    }

    type Items = Vec<Result<Spanned<Item>, Refused>>;

    fn items(text: &str) -> (Texts, Result<Items, Misread>) {
        let mut texts = Texts::default();
        let file = texts.add("t.ron", text.to_owned());
        let items = list(&texts, file);
        (texts, items)
    }

    fn place(texts: &Texts, span: Span) -> (usize, usize, usize) {
        let at = texts.place(span).at.unwrap();
        (at.line, at.column, at.width)
    }

    #[test]
    fn ids_numbers_and_words_know_their_places() {
        let (texts, items) = items(
            "[\r\n  // Größe\r\n\t(id: \"ä-b\", size: /* x */ 1.5, more: [Plain, With(\"q\\\"\", 2)]),\r\n]",
        );
        let items = items.unwrap();
        let item = items[0].as_ref().unwrap();
        assert_eq!(place(&texts, item.span), (3, 2, 61));
        assert_eq!(place(&texts, item.id.span), (3, 8, 3));
        assert_eq!(texts.slice(item.size.unwrap().span), "1.5");
        assert_eq!(texts.slice(item.more[0].span), "Plain");
        let Word::With(text, _) = &item.more[1].value else { panic!() };
        assert_eq!((&*text.text, texts.slice(text.span)), ("q\"", "\"q\\\"\""));
    }

    #[test]
    fn every_wrong_item_is_told_of_where_it_is_wrong() {
        let (texts, items) = items(
            "[\n(id: \"a\", sise: 1),\n(id: \"b\"),\n(size: 1),\n(id: \"c\", more: [Plain, Whith(\"x\", 1)]),\n(id: 7),\n(id: \"d\", size: \"x\"),\n(id: \"e\", more: [With(\"x\")])]",
        );
        let wrong: Vec<_> = items.unwrap().into_iter().filter_map(Result::err).collect();
        let told: Vec<_> = wrong
            .iter()
            .map(|m| {
                let (line, column, length) = place(&texts, m.misread.span);
                format!("({line}, {column}, {length}) {}", m.misread.what)
            })
            .collect();
        assert_eq!(
            told,
            [
                "(2, 11, 4) unknown field `sise`",
                "(4, 1, 1) field `id` is missing",
                "(5, 25, 5) unknown word `Whith`",
                "(6, 6, 1) a text in double quotes is expected here",
                "(7, 17, 3) a number is expected here",
                "(8, 26, 1) 2 values are expected in this bracket, but there is 1",
            ]
        );
    }

    #[test]
    fn deep_nesting_and_junk_are_refused_without_a_panic() {
        for text in [
            "(".repeat(200_000),
            "[".repeat(200_000),
            "\u{0}\u{1}".to_owned(),
            String::new(),
            "[(id: \"".to_owned(),
        ] {
            assert!(items(&text).1.is_err());
        }
    }
}
