//! What one rule book changes in another: a sheet that is printed as a page and stands first in a site's handbook, and a
//! document for programs.

use serde::Serialize;

use super::chance::count;
use super::entries::sheet::{RichText, Sheet};
use super::entries::{anchor, entry};
use super::proof_policy::JsonBook;
use crate::rulebook::cards::{Difference, FieldChange, counts};
use crate::rulebook::model::Book;

/// Two books, and what differs.
#[derive(Clone, Copy)]
pub struct Changes<'c> {
    /// The old one, and what it is called.
    pub old: (&'c Book, &'c str),
    /// The new one.
    pub new: (&'c Book, &'c str),
    /// What differs.
    pub all: &'c [Difference],
    /// Where it is said, `file:line:column`, if that is known.
    pub place: &'c dyn Fn(&Difference) -> Option<String>,
}

impl Changes<'_> {
    /// "3 entries are added, 2 are changed, 1 is switched off."
    pub fn sentence(&self) -> String {
        let (added, changed, gone) = counts(self.all);
        if self.all.is_empty() {
            return "Nothing differs.".to_owned();
        }
        let of = |number: usize, what: &str| {
            let verb = if number == 1 { "is" } else { "are" };
            format!("{} {verb} {what}", count(number, "entry", "entries"))
        };
        let parts = [(added, "added"), (changed, "changed"), (gone, "gone or switched off")];
        let parts = parts.iter().filter(|(number, _)| *number > 0);
        format!("{}.", parts.map(|(n, what)| of(*n, what)).collect::<Vec<_>>().join("; "))
    }

    /// The sheet; nothing under its title.
    pub fn sheet(&self) -> Sheet {
        let mut sheet = Sheet::default();
        sheet.para(RichText::default().strong(self.sentence()));
        let version = |(book, called): (&Book, &str)| {
            let print = book.fingerprint.get(..8).unwrap_or("");
            format!("{called} ({}, version {}, {print})", book.name, book.version)
        };
        sheet.pairs(vec![("before", version(self.old).into()), ("now", version(self.new).into())]);
        for (title, is) in [
            ("Added", is_added as fn(&Difference) -> bool),
            ("Changed", is_changed),
            ("Switched off or gone", is_gone),
        ] {
            let these: Vec<&Difference> = self.all.iter().filter(|d| is(d)).collect();
            if these.is_empty() {
                continue;
            }
            sheet.section(&format!("{title} ({})", these.len()));
            for difference in these {
                self.one(&mut sheet, difference);
            }
        }
        sheet
    }

    fn one(&self, sheet: &mut Sheet, difference: &Difference) {
        let card = difference.card();
        let head = RichText::default().strong(format!("{} ", card.kind));
        let head = match difference {
            // What is gone has no page that a link could lead to.
            Difference::Gone(card) => head.and(format!("{} [{}]", card.name, card.id)),
            Difference::Added(card) | Difference::Changed { card, .. }
                if !LEAVES.contains(&card.kind) =>
            {
                head.and(&card.name)
            }
            Difference::Added(card) | Difference::Changed { card, .. } => {
                head.entry(entry(&card.kind.replace(' ', "-"), &card.id, &card.name))
            }
        };
        sheet.para(head);
        let mut lines: Vec<(&'static str, RichText)> = Vec::new();
        match difference {
            Difference::Changed { fields, .. } => {
                for field in fields {
                    lines.push((field.name, told(field).into()));
                }
            }
            Difference::Added(card) => {
                for (name, values) in card.fields.iter().filter(|(name, _)| TELLING.contains(name))
                {
                    lines.push((name, values.join("; ").into()));
                }
            }
            Difference::Gone(_) => {}
        }
        if !card.source.is_empty() {
            lines.push(("source", card.source.clone().into()));
        }
        if let Some(place) = (self.place)(difference) {
            lines.push(("said in", place.into()));
        }
        if !lines.is_empty() {
            sheet.pairs(lines);
        }
    }
}

/// Kinds of entries that have a leaf of their own in a handbook.
const LEAVES: &[&str] = &["cause", "symptom", "look", "fix", "caution", "source"];

/// Of an entry that is new as a whole these fields are told; all of it has a page of its own.
const TELLING: &[&str] = &["how_common", "signs", "answers", "cures", "minutes", "text", "means"];

fn is_added(difference: &Difference) -> bool {
    matches!(difference, Difference::Added(_))
}

fn is_changed(difference: &Difference) -> bool {
    matches!(difference, Difference::Changed { .. })
}

fn is_gone(difference: &Difference) -> bool {
    matches!(difference, Difference::Gone(_))
}

/// What a field said and says.
fn told(field: &FieldChange) -> String {
    let before = field.before.join("; ");
    let after = field.after.join("; ");
    match (before.is_empty(), after.is_empty()) {
        (true, _) => format!("now also: {after}"),
        (_, true) => format!("no more: {before}"),
        _ => format!("before: {before} -> now: {after}"),
    }
}

/// What stands beside an entry of a handbook that a site has touched, by the anchor of its leaf.
pub fn marks(all: &[Difference]) -> Vec<(String, &'static str)> {
    let mark = |difference: &Difference| {
        let card = difference.card();
        let mark = match difference {
            Difference::Added(_) => "added by this site",
            Difference::Changed { .. } => "changed by this site",
            Difference::Gone(_) => return None,
        };
        Some((anchor(&card.kind.replace(' ', "-"), &card.id), mark))
    };
    all.iter().filter_map(mark).collect()
}

/// The same for programs.
#[derive(Serialize)]
pub struct ChangesJson<'c> {
    format: u32,
    old: JsonBook<'c>,
    new: JsonBook<'c>,
    added: usize,
    changed: usize,
    gone: usize,
    entries: Vec<EntryJson<'c>>,
}

#[derive(Serialize)]
struct EntryJson<'c> {
    what: &'static str,
    kind: &'static str,
    id: &'c str,
    name: &'c str,
    source: &'c str,
    place: Option<String>,
    fields: Vec<FieldJson<'c>>,
}

#[derive(Serialize)]
struct FieldJson<'c> {
    name: &'static str,
    before: &'c [String],
    after: &'c [String],
}

impl<'c> ChangesJson<'c> {
    /// Of these changes.
    pub fn new(changes: &Changes<'c>) -> Self {
        let (added, changed, gone) = counts(changes.all);
        let entry = |difference: &'c Difference| {
            let card = difference.card();
            let (what, fields) = match difference {
                Difference::Added(card) => ("added", alone(&card.fields, true)),
                Difference::Gone(card) => ("gone", alone(&card.fields, false)),
                Difference::Changed { fields, .. } => (
                    "changed",
                    fields
                        .iter()
                        .map(|f| FieldJson { name: f.name, before: &f.before, after: &f.after })
                        .collect(),
                ),
            };
            EntryJson {
                what,
                kind: card.kind,
                id: &card.id,
                name: &card.name,
                source: &card.source,
                place: (changes.place)(difference),
                fields,
            }
        };
        Self {
            format: 1,
            old: changes.old.0.into(),
            new: changes.new.0.into(),
            added,
            changed,
            gone,
            entries: changes.all.iter().map(entry).collect(),
        }
    }
}

/// The fields of an entry that only one of the books has.
fn alone<'c>(fields: &'c [(&'static str, Vec<String>)], new: bool) -> Vec<FieldJson<'c>> {
    let field = |(name, values): &'c (&'static str, Vec<String>)| {
        let (before, after) =
            if new { (&[][..], values.as_slice()) } else { (values.as_slice(), &[][..]) };
        FieldJson { name, before, after }
    };
    fields.iter().map(field).collect()
}
