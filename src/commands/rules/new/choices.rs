//! What the book holds, as a form needs it: ids with names, and what may be answered.

use super::reading::Choice;
use crate::conveyor::facts::FactKey;
use crate::rulebook::index::{Place, SymptomAt};
use crate::rulebook::model::Book;
use crate::rulebook::network::Kind;

/// The book's entries by kind, in its order.
pub(super) struct Choices<'b> {
    pub(super) book: &'b Book,
    pub(super) symptoms: Vec<Choice>,
    pub(super) looks: Vec<Choice>,
    pub(super) causes: Vec<Choice>,
    pub(super) fixes: Vec<Choice>,
    pub(super) cautions: Vec<Choice>,
    pub(super) tools: Vec<Choice>,
    pub(super) sources: Vec<Choice>,
    /// What a condition may ask about: the conveyor's facts, then the symptoms.
    pub(super) subjects: Vec<Choice>,
    /// Opening questions of several answers, by their places among the symptoms.
    pub(super) opening: Vec<usize>,
}

/// A symptom as it is put to an author.
pub(super) struct AskedSymptom<'b> {
    pub(super) id: String,
    pub(super) ask: &'b str,
    pub(super) kind: &'b Kind,
    pub(super) answers: Vec<Choice>,
}

impl<'b> Choices<'b> {
    pub(super) fn new(book: &'b Book) -> Self {
        let known = |id: &str, name: &str| Choice { id: id.to_owned(), name: name.to_owned() };
        let symptoms = || book.symptoms.values().map(|s| known(&s.id, &s.ask));
        let subjects = FactKey::FOR_RULES.iter().map(|key| {
            known(key.word(), &format!("the conveyor's: {}", key.value_words().join(", ")))
        });
        let opening = book.opening.iter().copied();
        let pattern = |at: &SymptomAt| {
            matches!(book.network.nodes[*at].kind, Kind::Pattern { .. } | Kind::Marks { .. })
        };
        // A symptom in no look is a look of its own, under its own id.
        let looks = book.looks.values().filter(|look| look.place.is_some());
        Self {
            book,
            symptoms: symptoms().collect(),
            looks: looks.map(|l| known(&l.id, &l.title)).collect(),
            causes: book.causes.values().map(|c| known(&c.id, &c.name)).collect(),
            fixes: book.fixes.values().map(|f| known(&f.id, &f.title)).collect(),
            cautions: book.cautions.values().map(|c| known(&c.id, &c.text)).collect(),
            tools: book.tools.iter().map(|t| known(&t.name, &t.words.join(", "))).collect(),
            sources: book.sources.values().map(|s| known(&s.id, &s.short)).collect(),
            subjects: subjects.chain(symptoms()).collect(),
            opening: opening.filter(pattern).map(Place::position).collect(),
        }
    }

    /// The symptom at a place.
    pub(super) fn asked(&self, at: usize) -> Option<AskedSymptom<'b>> {
        let at = SymptomAt::at(at);
        let symptom = self.book.symptoms.item(at)?;
        let answers = symptom.named().map(|(_, answer)| answer);
        Some(AskedSymptom {
            id: symptom.id.clone(),
            ask: &symptom.ask,
            kind: &self.book.network.nodes.item(at)?.kind,
            answers: answers
                .map(|answer| Choice {
                    id: answer.id.clone(),
                    name: answer.says.replace("{left}", "left").replace("{right}", "right"),
                })
                .collect(),
        })
    }

    /// What a condition at a place is called, about what it is, and the values it may ask for.
    pub(super) fn subject(&self, at: usize) -> Option<(&'static str, String, Vec<Choice>)> {
        if let Some(key) = FactKey::FOR_RULES.get(at) {
            let values = key
                .value_words()
                .into_iter()
                .map(|value| Choice { id: value.to_owned(), name: String::new() });
            return Some(("Conveyor", key.word().to_owned(), values.collect()));
        }
        let asked = self.asked(at.checked_sub(FactKey::FOR_RULES.len())?)?;
        Some(("Answer", asked.id, asked.answers))
    }

    /// Questions with the answers left and right that another may follow: those in no group.
    pub(super) fn sided(&self) -> Vec<Choice> {
        let sided = self.book.symptoms.values().filter(|symptom| {
            let has = |side: &str| symptom.answers.values().any(|answer| answer.id == side);
            has("left") && has("right") && symptom.group.is_none() && !symptom.is_marks()
        });
        sided.map(|symptom| Choice { id: symptom.id.clone(), name: symptom.ask.clone() }).collect()
    }
}
