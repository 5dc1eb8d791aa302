//! Means: what the person has at hand and may do. What was not said is taken to be there.

use serde::{Deserialize, Serialize};

use crate::rulebook::index::SymptomAt;
use crate::rulebook::model::{Book, ToldBy};
use crate::trade::MachineState;

/// What the person has at hand and may do.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Means {
    /// The tools at hand, by their names in the book; nothing where nobody has said.
    pub tools: Option<Vec<String>>,
    /// Whether somebody is there who knows what was done to the conveyor and how it ran.
    pub history: Option<bool>,
    /// Whether the person may lock the machine out.
    pub lock_out: Option<bool>,
}

impl Means {
    /// Whether a symptom's question can be answered with them.
    pub fn suffice(&self, book: &Book, symptom: SymptomAt) -> bool {
        let entry = &book.symptoms[symptom];
        let known = entry.told_by != ToldBy::History || self.history != Some(false);
        known && self.missing(book, symptom).next().is_none()
    }

    /// The tools that a symptom needs and that are not at hand, of those that are asked about.
    pub fn missing<'b>(
        &'b self,
        book: &'b Book,
        symptom: SymptomAt,
    ) -> impl Iterator<Item = &'b str> {
        let needed = book.symptoms[symptom].tools.iter().map(String::as_str);
        needed.filter(move |tool| self.lacks(book, tool))
    }

    /// Whether a tool was asked about and is not at hand.
    pub fn lacks(&self, book: &Book, tool: &str) -> bool {
        let held = |tools: &[String]| tools.iter().any(|held| held == tool);
        self.tools.as_deref().is_some_and(|tools| !held(tools))
            && tools_to_look_with(book).contains(&tool)
    }
}

/// The tools that decide what can be looked at before any work, in the order of the book: those are asked about. All
/// others belong to work, and are fetched for it.
pub fn tools_to_look_with(book: &Book) -> Vec<&str> {
    let needed = |tool: &str| {
        let before_work = book.symptoms.iter().filter(|(_, s)| s.state != MachineState::LockedOut);
        before_work.into_iter().any(|(_, symptom)| symptom.tools.iter().any(|t| t == tool))
    };
    book.tools.iter().map(|tool| tool.name.as_str()).filter(|tool| needed(tool)).collect()
}
