//! Ids of a book, for files that go with it (cases, drills) and name what it holds.

use std::collections::HashMap;
use std::fmt;

use serde::Deserialize;

use super::index::{CauseAt, FixAt, List, LookAt, Place, SourceAt, SymptomAt};
use super::model::Book;
use crate::problem::{Code, Problem, Report, near};
use crate::source::parse::{self, Items, Spanned, Text};
use crate::source::{FileId, Texts};

/// The ids of a book.
#[derive(Debug)]
pub struct Ids<'b> {
    /// Of the causes.
    pub causes: HashMap<&'b str, CauseAt>,
    /// Of the symptoms.
    pub symptoms: HashMap<&'b str, SymptomAt>,
    /// Of the looks, those of lone symptoms included.
    pub looks: HashMap<&'b str, LookAt>,
    /// Of the fixes.
    pub fixes: HashMap<&'b str, FixAt>,
    /// Of the sources.
    pub sources: HashMap<&'b str, SourceAt>,
}

impl<'b> Ids<'b> {
    /// All of them.
    pub fn new(book: &'b Book) -> Self {
        fn map<'b, P: Place, T>(
            list: &'b List<P, T>,
            id: fn(&'b T) -> &'b str,
        ) -> HashMap<&'b str, P> {
            list.iter().map(|(at, entry)| (id(entry), at)).collect()
        }
        Self {
            causes: map(&book.causes, |c| &c.id),
            symptoms: map(&book.symptoms, |s| &s.id),
            looks: map(&book.looks, |l| &l.id),
            fixes: map(&book.fixes, |f| &f.id),
            sources: map(&book.sources, |s| &s.id),
        }
    }
}

/// What an id names.
///
/// # Errors
/// That the book has nothing of that kind by that name, with the nearest it has.
pub fn find<P: Copy>(
    known: &HashMap<&str, P>,
    kind: impl fmt::Display,
    id: &Text,
    texts: &Texts,
) -> Result<P, Problem> {
    known.get(id.text.as_str()).copied().ok_or_else(|| {
        let message = format!("the book has no {kind} `{}`", id.text);
        let problem = Problem::at(Code::UnknownId, texts.place(id.span), message);
        let mut ids: Vec<&str> = known.keys().copied().collect();
        ids.sort_unstable();
        near(problem, id, ids, "known")
    })
}

/// The entries of files that are lists; what cannot be read is told of in the report and left out.
pub fn entries<T: for<'de> Deserialize<'de>>(
    texts: &Texts,
    files: &[FileId],
    report: &mut Report,
) -> Vec<Spanned<T>> {
    let mut read = Vec::new();
    for &file in files {
        let Items { items, slips, .. } = parse::list(texts, file);
        slips.iter().for_each(|slip| report.add(Problem::slip(texts, slip)));
        for item in items {
            item.slips.iter().for_each(|slip| report.add(Problem::slip(texts, slip)));
            // What is not as its author wrote it is not run.
            read.extend(item.value.filter(|_| item.slips.is_empty()));
        }
    }
    read
}
