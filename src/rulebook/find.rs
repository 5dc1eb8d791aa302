//! Entries of a book by their ids, whatever kind they are.

use super::index::{CauseAt, CautionAt, FixAt, LookAt, SourceAt, SymptomAt};
use super::model::Book;

/// Any entry of a book.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum EntryAt {
    /// A symptom.
    Symptom(SymptomAt),
    /// A look of the files; never one that a symptom has to itself.
    Look(LookAt),
    /// A cause.
    Cause(CauseAt),
    /// A fix.
    Fix(FixAt),
    /// A caution.
    Caution(CautionAt),
    /// A source.
    Source(SourceAt),
    /// A term, by its position in the glossary.
    Term(usize),
    /// A question that may stop the visit, by its position.
    StopNow(usize),
    /// The question about the edge room.
    EdgeRoom,
}

impl EntryAt {
    /// What kind of entry it is, in one word or two.
    pub fn kind(self) -> &'static str {
        match self {
            Self::Symptom(_) => "symptom",
            Self::Look(_) => "look",
            Self::Cause(_) => "cause",
            Self::Fix(_) => "fix",
            Self::Caution(_) => "caution",
            Self::Source(_) => "source",
            Self::Term(_) => "term",
            Self::StopNow(_) => "stop-now",
            Self::EdgeRoom => "edge-room",
        }
    }
}

/// Everything that has this id or term. Ids are unique among entries of one kind only, so there may
/// be several.
pub fn find(book: &Book, name: &str) -> Vec<EntryAt> {
    let wanted = plain(name);
    named(book)
        .into_iter()
        .filter(|(_, names)| names.iter().any(|known| plain(known) == wanted))
        .map(|(at, _)| at)
        .collect()
}

/// The names nearest to one that is not there, nearest first; at most `most`.
pub fn nearest<'b>(book: &'b Book, name: &str, most: usize) -> Vec<&'b str> {
    let wanted = plain(name);
    let near_enough = 2.max(wanted.chars().count() / 3);
    let mut near: Vec<(usize, &str)> = named(book)
        .into_iter()
        .flat_map(|(_, names)| names)
        .filter_map(|known| {
            let there = plain(known);
            let holds = wanted.len() > 2 && there.contains(&wanted);
            let distance = strsim::osa_distance(&wanted, &there);
            (holds || distance <= near_enough).then_some((if holds { 1 } else { distance }, known))
        })
        .collect();
    near.sort_unstable();
    near.dedup();
    near.into_iter().take(most).map(|(_, name)| name).collect()
}

/// Small letters, and words joined as ids join them.
fn plain(name: &str) -> String {
    name.trim().to_lowercase().replace([' ', '_'], "-")
}

fn named(book: &Book) -> Vec<(EntryAt, Vec<&str>)> {
    let mut all = Vec::new();
    for (at, symptom) in book.symptoms.iter() {
        all.push((EntryAt::Symptom(at), vec![symptom.id.as_str()]));
    }
    for (at, look) in book.looks.iter().filter(|(_, look)| look.place.is_some()) {
        all.push((EntryAt::Look(at), vec![look.id.as_str()]));
    }
    for (at, cause) in book.causes.iter() {
        all.push((EntryAt::Cause(at), vec![cause.id.as_str()]));
    }
    for (at, fix) in book.fixes.iter() {
        all.push((EntryAt::Fix(at), vec![fix.id.as_str()]));
    }
    for (at, caution) in book.cautions.iter() {
        all.push((EntryAt::Caution(at), vec![caution.id.as_str()]));
    }
    for (at, source) in book.sources.iter() {
        all.push((EntryAt::Source(at), vec![source.id.as_str()]));
    }
    for (position, term) in book.glossary.iter().enumerate() {
        all.push((EntryAt::Term(position), vec![term.term.as_str()]));
    }
    for (position, question) in book.stop_now.iter().enumerate() {
        all.push((EntryAt::StopNow(position), vec![question.id.as_str()]));
    }
    all.push((EntryAt::EdgeRoom, vec![book.edge_room.id.as_str()]));
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rulebook::load;

    #[test]
    fn ids_and_terms_are_found_and_misspelt_ones_named() {
        let book = load::default_book().unwrap();
        assert!(matches!(find(&book, "Crooked-Frame").as_slice(), [EntryAt::Cause(_)]));
        assert!(matches!(find(&book, "Carry strand").as_slice(), [EntryAt::Term(_)]));
        assert_eq!(find(&book, "no-such-thing"), []);
        assert!(nearest(&book, "old-trim", 3).contains(&"old-trims"));
        assert!(nearest(&book, "zzzzzzzzz", 3).is_empty());
    }
}
