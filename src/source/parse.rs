//! RON text -> written types, with the place of every id, text and number kept.
//!
//! [`super::reading`] knows the places. Words are watched as ron hands them over ([`super::watch`]), so that no
//! value has to be read twice for its place.

use std::cell::Cell;
use std::collections::VecDeque;
use std::fmt;
use std::ops::{Deref, Range};
use std::rc::Rc;

use ron::value::RawValue;
use serde::de::{self, Deserialize, Deserializer};

use super::lexer::{self, extent};
use super::mended::Mended;
use super::misread::{Misread, NO_LIST, What};
use super::reading::{Back, NOWHERE, Reading, inner, raw, read, seen, seen_escaped, seen_text};
use super::recover::{FEW, Recovered, recover, signs};
use super::slip::Slip;
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

/// An entry of a list.
#[derive(Debug, Clone)]
pub struct Item<T> {
    /// What could be read; something may be left out of it if there are slips.
    pub value: Option<Spanned<T>>,
    /// The whole of it.
    pub span: Span,
    /// Its id, where it has one in quotes.
    pub id: Option<Text>,
    /// What is wrong with its shape.
    pub slips: Vec<Slip>,
    /// Whether something in the value stands for what its author left out.
    pub guessed: bool,
}

/// A file that is a list.
#[derive(Debug, Clone)]
pub struct Items<T> {
    /// Its entries.
    pub items: Vec<Item<T>>,
    /// What is wrong with the list itself.
    pub slips: Vec<Slip>,
    /// The ids in a file that could not be taken apart.
    pub names: Vec<Text>,
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

/// Reads a whole file as one value in spite of slips, and tells of each.
pub fn whole_in_spite<T: for<'de> Deserialize<'de>>(texts: &Texts, file: FileId) -> Item<T> {
    let text = texts.text(file);
    let (start, end) = extent(text);
    let span = Span::new(file, start, end);
    match whole(texts, file) {
        Ok(value) => Item { value: Some(value), span, id: None, slips: Vec::new(), guessed: false },
        Err(misread) => {
            let Recovered { value, mut slips, guessed } = match misread.what {
                What::TooDeep => Recovered { value: None, slips: Vec::new(), guessed: true },
                _ => recover(file, text, Rc::new(|at| at)),
            };
            if slips.is_empty() {
                slips.push(Slip::File(misread));
            }
            let value = value.map(|value| Spanned { value, span });
            Item { value, span, id: None, slips, guessed }
        }
    }
}

/// Reads a file that is a list, entry by entry and in spite of slips, so that everything wrong is told of.
pub fn list<T: for<'de> Deserialize<'de>>(texts: &Texts, file: FileId) -> Items<T> {
    let text = texts.text(file);
    if let Some(items) = lexer::items(text) {
        let mut read = Items { items: Vec::new(), slips: Vec::new(), names: Vec::new() };
        let back: Back = Rc::new(|at| at);
        read.each(file, text, items, &back);
        return read;
    }
    mended_list(file, text)
}

/// A file whose brackets do not fit, or that has none.
fn mended_list<T: for<'de> Deserialize<'de>>(file: FileId, text: &str) -> Items<T> {
    let whole = no_list(file, text);
    if whole.what == What::TooDeep {
        return Items {
            items: Vec::new(),
            slips: vec![Slip::File(whole)],
            names: names(file, text),
        };
    }
    let mut mended = Mended::new(text);
    let mut slips = Vec::new();
    let mut fits = signs(&mut mended, &mut |mended, told| {
        slips.push(Slip::guess(file, told, &|at| mended.back(at)));
    });
    if fits && lexer::items(mended.text()).is_none() && mended.text().trim_start().starts_with('(')
    {
        let what = What::Syntax(
            "a list of entries is expected here: [ before the first, ] after the last".to_owned(),
        );
        let start = mended.text().len() - mended.text().trim_start().len();
        slips.push(Slip::File(Misread { span: Span::new(file, start, start + 1), what }));
        let end = mended.text().len();
        // A comment may stand last.
        fits = mended.put((end, end), "\n]") && mended.put((start, start), "[");
    }
    if fits && let Some(items) = lexer::items(mended.text()) {
        let mut read = Items { items: Vec::new(), slips, names: Vec::new() };
        let whole = mended.text().to_owned();
        let back: Back = Rc::new(move |at| mended.back(at));
        read.each(file, &whole, items, &back);
        return read;
    }
    // What follows the first slip may be of its making.
    slips.truncate(1);
    if slips.is_empty() {
        slips.push(Slip::File(whole));
    }
    Items { items: Vec::new(), slips, names: names(file, text) }
}

/// Why a text is no list, in ron's words.
fn no_list(file: FileId, text: &str) -> Misread {
    let none = "a list of entries is expected here: [ before the first, ] after the last";
    let _reading = Reading::of(file, text);
    match read::<Vec<de::IgnoredAny>>(file, text, 0) {
        Err(misread) if misread.what != What::Syntax(NO_LIST.to_owned()) => misread,
        Err(misread) => Misread { what: What::Syntax(none.to_owned()), ..misread },
        Ok(_) => Misread { span: Span::new(file, 0, 1), what: What::Syntax(none.to_owned()) },
    }
}

/// All that stands after `id:` anywhere in a text.
pub fn names(file: FileId, text: &str) -> Vec<Text> {
    let all = lexer::ids(text, true).into_iter();
    let id = |(start, end): (usize, usize)| Text {
        text: text.get(start..end).unwrap_or("").to_owned(),
        span: Span::new(file, start, end),
        plain: true,
    };
    all.map(id).collect()
}

impl<T: for<'de> Deserialize<'de>> Items<T> {
    /// Reads the entries that stand at these bytes of a text, which `back` leads back to the file's.
    fn each(&mut self, file: FileId, text: &str, items: Vec<(usize, usize)>, back: &Back) {
        let mut left: VecDeque<(usize, usize)> = items.into();
        let sore = self.slips.iter().filter(|slip| slip.is_sore());
        let sore: Vec<Span> = sore.filter_map(Slip::span).collect();
        let mut reading = Some(Reading::mended(file, text, Rc::clone(back)));
        while let Some((start, end)) = left.pop_front() {
            let slice = text.get(start..end).unwrap_or("");
            let span = Span::new(file, back(start), back(end));
            match read(file, slice, start) {
                Ok(value) => {
                    let value = Some(Spanned { value, span });
                    self.items.push(Item {
                        value,
                        span,
                        id: None,
                        slips: Vec::new(),
                        guessed: false,
                    });
                }
                Err(refused) => {
                    let two = lexer::two_in_one(slice).filter(|_| self.slips.len() < MOST_SLIPS);
                    if let Some((first, second)) = two {
                        let at = Span::new(file, back(start + first - 1), back(start + first));
                        let says = "a comma is missing after this".to_owned();
                        self.slips.push(Slip::Guess {
                            places: vec![(at, says)],
                            also: None,
                            more: 0,
                        });
                        left.push_front((start + second, end));
                        left.push_front((start, start + first));
                        continue;
                    }
                    // Reading once more notes its places anew.
                    reading.take();
                    self.items.push(in_spite(file, (slice, start), refused, &sore, back));
                    reading = Some(Reading::mended(file, text, Rc::clone(back)));
                }
            }
        }
    }
}

/// Reads an entry that was refused; it begins at byte `start` of a text that `back` leads back to the file's.
fn in_spite<T: for<'de> Deserialize<'de>>(
    file: FileId,
    (slice, start): (&str, usize),
    refused: Misread,
    mended: &[Span],
    back: &Back,
) -> Item<T> {
    let span_of = |from: usize, to: usize| Span::new(file, back(from), back(to));
    let outer = Rc::clone(back);
    let Recovered { value, mut slips, guessed } = match refused.what {
        What::TooDeep => Recovered { value: None, slips: Vec::new(), guessed: true },
        _ => recover(file, slice, Rc::new(move |at| outer(start + at))),
    };
    if slips.is_empty() {
        let span = span_of(refused.span.start as usize, refused.span.end as usize);
        slips.push(Slip::Entry(Misread { span, ..refused }));
    }
    let id = lexer::ids(slice, false).first().map(|(from, to)| Text {
        text: slice.get(*from..*to).unwrap_or("").to_owned(),
        span: span_of(start + from, start + to),
        plain: true,
    });
    let span = span_of(start, start + slice.len());
    let sore = |place: Span| span.start <= place.start && place.start <= span.end;
    if slips.len() > FEW && mended.iter().any(|place| sore(*place)) {
        return Item { value: None, span, id, slips: Vec::new(), guessed: true };
    }
    Item { value: value.map(|value| Spanned { value, span }), span, id, slips, guessed }
}

/// More entries without a comma between them are not taken apart.
const MOST_SLIPS: usize = 200;

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
    struct Entry {
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

    fn items(text: &str) -> (Texts, Items<Entry>) {
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
        let item = items.items[0].value.as_ref().unwrap();
        assert_eq!(place(&texts, item.span), (3, 2, 61));
        assert_eq!(place(&texts, item.id.span), (3, 8, 3));
        assert_eq!(texts.slice(item.size.unwrap().span), "1.5");
        assert_eq!(texts.slice(item.more[0].span), "Plain");
        let Word::With(text, _) = &item.more[1].value else { panic!() };
        assert_eq!((&*text.text, texts.slice(text.span)), ("q\"", "\"q\\\"\""));
    }

    /// What is said of each slip, and where.
    fn told(texts: &Texts, items: &Items<Entry>) -> Vec<String> {
        let slips = items.slips.iter().chain(items.items.iter().flat_map(|item| &item.slips));
        let one = |slip: &Slip| match slip {
            Slip::File(m) | Slip::Entry(m) => (m.span, m.what.to_string()),
            Slip::Guess { places, .. } => places[0].clone(),
        };
        slips
            .map(one)
            .map(|(span, says)| {
                let (line, column, length) = place(texts, span);
                format!("({line}, {column}, {length}) {says}")
            })
            .collect()
    }

    #[test]
    fn four_slips_in_one_entry_are_four_and_the_rest_is_read() {
        let (texts, items) = items(
            "[\n(id: \"a\" sise: 1,5,\n more: [Plian, With(\"x\", 1), Plain),\n(id: \"b\", size: 2, size: 3, \u{a0}nonsense: 1)]",
        );
        assert_eq!(
            told(&texts, &items),
            [
                "(2, 6, 3) a comma is missing after this",
                "(3, 8, 1) this `[` is still open",
                "(4, 29, 1) a no-break space stands here: it looks like a blank and is none; write a blank",
                "(2, 10, 4) unknown field `sise`",
                "(2, 16, 3) write a decimal point, not a decimal comma",
                "(3, 9, 5) unknown word `Plian`",
                "(4, 20, 4) field `size` stands here twice",
                "(4, 30, 8) unknown field `nonsense`",
            ]
        );
        let read: Vec<_> = items.items.iter().filter_map(|item| item.value.as_ref()).collect();
        assert_eq!((read[0].id.text.as_str(), read[0].size.unwrap().value), ("a", 1.5));
        assert_eq!(texts.slice(read[0].more[1].span), "With(\"x\", 1)");
        assert_eq!(read.len(), 2);
    }

    #[test]
    fn what_cannot_be_taken_apart_still_has_names() {
        let (_, items) = items("[(id: \"a\", (id: \"b\" /* (id: \"no\") ");
        let ids: Vec<_> = items.names.iter().map(|id| id.text.as_str()).collect();
        assert_eq!((ids, items.slips.len()), (vec!["a", "b"], 1));
    }

    #[test]
    fn every_wrong_item_is_told_of_where_it_is_wrong() {
        let (texts, items) = items(
            "[\n(id: \"a\", sise: 1),\n(id: \"b\"),\n(size: 1),\n(id: \"c\", more: [Plain, Whith(\"x\", 1)]),\n(id: 7),\n(id: \"d\", size: \"x\"),\n(id: \"e\", more: [With(\"x\")])]",
        );
        let told = told(&texts, &items);
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
        for text in
            ["(".repeat(200_000), "[".repeat(200_000), "\u{0}\u{1}".to_owned(), String::new()]
        {
            let (_, items) = items(&text);
            assert!(!items.slips.is_empty());
            assert!(items.items.iter().all(|item| item.value.is_none()));
        }
    }
}
