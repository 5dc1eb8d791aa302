//! Where somebody stands, what is at hand and what was noted, in an answers file.

use super::AnswersReader;
use crate::source::fields::{Field, Is, Value};
use crate::trade::{LookPlace, Worded};

/// What may stand in `means`.
const KEYS: &[&str] = &["tools", "history", "lock_out"];
/// What that looks like.
const SHAPE: &str =
    "means, such as {\"tools\": [\"torch\"], \"history\": true, \"lock_out\": true}";

impl AnswersReader<'_> {
    /// The place where somebody stands.
    pub(super) fn place(&mut self, value: &Value) {
        let words: Vec<(&str, LookPlace)> =
            LookPlace::ALL.iter().map(|place| (Worded::word(*place), *place)).collect();
        if let Some(place) = self.word(value, "place", &words) {
            self.answers.observed.standing.place = Some(place);
        }
    }

    /// What is at hand.
    pub(super) fn means(&mut self, value: &Value) {
        let Is::Fields(fields) = &value.is else {
            return self.expected(value.span, SHAPE);
        };
        self.each_once(fields);
        for field in fields {
            match field.key.text.as_str() {
                "tools" => self.tools(&field.value),
                "history" => self.answers.observed.means.history = self.truth(field),
                "lock_out" => self.answers.observed.means.lock_out = self.truth(field),
                _ => self.unknown_field(&field.key, KEYS),
            }
        }
    }

    /// Notes in the person's own words.
    pub(super) fn notes(&mut self, value: &Value) {
        for note in self.list(value, "a list of notes in quotes") {
            if let Some(note) = self.text(&note, "a note in quotes") {
                self.answers.observed.notes.push(note);
            }
        }
    }

    fn tools(&mut self, value: &Value) {
        let book = self.book;
        let known: Vec<(&str, &str)> =
            book.tools.iter().map(|tool| (tool.name.as_str(), tool.name.as_str())).collect();
        let mut tools = Vec::new();
        for tool in self.list(value, "a list of tools in quotes") {
            tools.extend(self.word(&tool, "tool", &known).map(str::to_owned));
        }
        self.answers.observed.means.tools = Some(tools);
    }

    fn truth(&mut self, field: &Field) -> Option<bool> {
        match field.value.is {
            Is::Truth(truth) => Some(truth),
            Is::Nothing => None,
            _ => {
                self.expected(field.value.span, "true or false");
                None
            }
        }
    }
}
