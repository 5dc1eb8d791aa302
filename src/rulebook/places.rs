//! Where each entry of the book stands in the files.

use std::collections::HashMap;

use super::rules::Rules;
use crate::source::{Place, Span, Texts};

/// The kinds of entries that have an id of their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum EntryKind {
    /// A symptom.
    Symptom,
    /// A cause.
    Cause,
    /// A fix.
    Fix,
    /// A caution.
    Caution,
    /// A look.
    Look,
}

/// Places of entries by kind and id.
#[derive(Debug, Clone, Default)]
pub struct Places(HashMap<(EntryKind, String), Span>);

impl Places {
    /// The places of all entries.
    pub fn new(rules: &Rules) -> Self {
        let symptoms = rules.symptoms.iter().map(|e| (EntryKind::Symptom, &e.id));
        let causes = rules.causes.iter().map(|e| (EntryKind::Cause, &e.id));
        let fixes = rules.fixes.iter().map(|e| (EntryKind::Fix, &e.id));
        let cautions = rules.cautions.iter().map(|e| (EntryKind::Caution, &e.id));
        let looks = rules.looks.iter().map(|e| (EntryKind::Look, &e.id));
        let all = symptoms.chain(causes).chain(fixes).chain(cautions).chain(looks);
        Self(all.map(|(kind, id)| ((kind, id.text.clone()), id.span)).collect())
    }

    /// Where the entry stands.
    pub fn find(&self, kind: EntryKind, id: &str, texts: &Texts) -> Option<Place> {
        let span = self.0.get(&(kind, id.to_owned()))?;
        Some(texts.place(*span))
    }
}

impl EntryKind {
    /// The kind that is called so.
    pub fn of_word(word: &str) -> Option<Self> {
        let all = [Self::Symptom, Self::Cause, Self::Fix, Self::Caution, Self::Look];
        all.into_iter().find(|kind| kind.word() == word)
    }

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Symptom => "symptom",
            Self::Cause => "cause",
            Self::Fix => "fix",
            Self::Caution => "caution",
            Self::Look => "look",
        }
    }
}
