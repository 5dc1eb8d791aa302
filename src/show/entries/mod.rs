//! The rule book to be read: one entry, the decision graph, and the whole book as a handbook.

mod cause;
mod fix;
pub mod json;
mod look;
mod rest;
pub mod sheet;
mod symptom;

use crate::conveyor::Conveyor;
use crate::conveyor::facts::Facts;
use crate::rulebook::find::EntryAt;
use crate::rulebook::index::{AnswerAt, CauseAt, FixAt, List, SymptomAt};
use crate::rulebook::links::{self, Link};
use crate::rulebook::model::{About, Book, Condition, Source};
use crate::show::steps::mark;
use crate::show::words::{Known, Sides};
use crate::trade::MachineState;

use sheet::{Bit, RichText, Sheet};

/// A book laid out for reading: what several sheets need, worked out once.
#[derive(Debug)]
pub struct BookSheets<'b> {
    /// The book.
    pub book: &'b Book,
    /// All links between answers and causes.
    pub links: Vec<Link>,
    sides: Sides,
    unanswered: List<SymptomAt, Option<AnswerAt>>,
    nowhere: Conveyor,
}

/// How much of an entry's neighbours is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Detail {
    /// Their names: they have sheets of their own, or can be asked for.
    Names,
    /// What a person needs on this one page.
    Whole,
}

impl<'b> BookSheets<'b> {
    /// A sheets for one book.
    pub fn new(book: &'b Book) -> Self {
        Self {
            book,
            links: links::all(book),
            sides: Sides::named(None, None),
            unanswered: List::filled(None, book.symptoms.len()),
            nowhere: Conveyor::default(),
        }
    }

    /// Everything about one entry. `cases` are the ids of the cases that touch it.
    pub fn sheet(&self, entry: EntryAt, depth: Detail, cases: &[String]) -> Sheet {
        let mut sheet = Sheet::default();
        match entry {
            EntryAt::Symptom(at) => symptom::sheet(self, &mut sheet, at, depth),
            EntryAt::Look(at) => look::sheet(self, &mut sheet, at),
            EntryAt::Cause(at) => cause::sheet(self, &mut sheet, at, depth),
            EntryAt::Fix(at) => fix::sheet(self, &mut sheet, at, depth),
            EntryAt::Caution(at) => rest::caution(self, &mut sheet, at),
            EntryAt::Source(at) => rest::source(self, &mut sheet, at),
            EntryAt::Term(at) => rest::term(self, &mut sheet, at),
            EntryAt::StopNow(at) => rest::stop_now(self, &mut sheet, at),
            EntryAt::EdgeRoom => rest::edge_room(self, &mut sheet),
        }
        if !cases.is_empty() {
            sheet.section(&format!("Cases that touch it ({})", cases.len()));
            sheet.para(cases.join(", "));
        }
        sheet
    }

    /// A conveyor of which nothing is known.
    pub(in crate::show) fn nothing_known(&self) -> &Facts {
        self.nowhere.facts()
    }

    /// Words for a conveyor of which nothing is known.
    pub(in crate::show) fn known(&self) -> Known<'_> {
        Known::new(self.book, self.nowhere.facts(), &self.sides, &self.unanswered)
    }

    /// A text with its placeholders filled in for a conveyor of which nothing is known.
    pub(in crate::show) fn fill(&self, text: &str) -> String {
        self.known().fill(text)
    }

    /// A link to a cause.
    pub(in crate::show) fn cause(&self, at: CauseAt) -> Bit {
        let cause = &self.book.causes[at];
        entry("cause", &cause.id, &cause.name)
    }

    /// A link to a symptom, by its question.
    pub(in crate::show) fn symptom(&self, at: SymptomAt) -> Bit {
        let symptom = &self.book.symptoms[at];
        entry("symptom", &symptom.id, &self.fill(&symptom.ask))
    }

    /// A link to a fix.
    pub(in crate::show) fn fix(&self, at: FixAt) -> Bit {
        let fix = &self.book.fixes[at];
        entry("fix", &fix.id, &fix.title)
    }

    /// What an answer reads like.
    pub(in crate::show) fn answer(&self, symptom: SymptomAt, answer: AnswerAt) -> String {
        let answer = self.book.symptoms[symptom].answers.item(answer);
        answer.map_or(String::new(), |answer| self.fill(&answer.says))
    }

    /// A source mark, with the source as a link.
    pub(in crate::show) fn mark(&self, source: &Source) -> RichText {
        match source {
            Source::Published(at, place) => {
                let known = &self.book.sources[*at];
                let words = RichText::default().entry(entry("source", &known.id, &known.short));
                if place.is_empty() { words } else { words.and(format!(", {place}")) }
            }
            other => RichText::plain(mark(self.book, other)),
        }
    }

    /// Conditions in words; nothing when there are none.
    pub(in crate::show) fn conditions(&self, conditions: &[Condition]) -> RichText {
        let mut words = RichText::default();
        for (place, condition) in conditions.iter().enumerate() {
            let joined = if place > 0 { "; and " } else { "" };
            words = match &condition.about {
                About::Conveyor { key, is } => {
                    let not = if condition.not { "not " } else { "" };
                    let is = is.iter().map(|fact| fact.value()).collect::<Vec<_>>().join(" or ");
                    words.and(format!("{joined}the conveyor's `{}` is {not}{is}", key.word()))
                }
                About::Answer { symptom, is } => {
                    let answers = self.book.symptoms[*symptom].named_of(is);
                    let answers = answers.map(|answer| self.fill(&answer.says));
                    let answers = answers.collect::<Vec<_>>().join("\" or \"");
                    let was = if condition.not {
                        " was answered, and not with "
                    } else {
                        " was answered "
                    };
                    words
                        .and(joined)
                        .entry(self.symptom(*symptom))
                        .and(format!("{was}\"{answers}\""))
                }
            };
        }
        words
    }

    /// A number as the book writes it: "usually (0.80)".
    pub(in crate::show) fn likelihood(&self, chance: f64) -> String {
        format!("{} ({})", self.book.words.likelihood(chance), digits(chance))
    }
}

/// A link to an entry.
pub(in crate::show) fn entry(kind: &str, id: &str, text: &str) -> Bit {
    Bit::Entry { anchor: anchor(kind, id), text: text.to_owned(), id: id.to_owned() }
}

/// Where links to an entry lead.
pub fn anchor(kind: &str, id: &str) -> String {
    let id = id.to_lowercase();
    let id = id.replace(|c: char| !c.is_ascii_alphanumeric() && c != '-', "-");
    format!("{kind}-{id}")
}

/// A chance with as many digits as tell it: 0.80, 0.004.
pub(in crate::show) fn digits(chance: f64) -> String {
    if chance < 0.0095 {
        format!("{chance:.4}").trim_end_matches('0').to_owned()
    } else if (chance * 100.0 - (chance * 100.0).round()).abs() < 1e-6 {
        format!("{chance:.2}")
    } else {
        format!("{chance:.3}")
    }
}

/// The machine's state in words.
pub(in crate::show) fn state(state: MachineState) -> &'static str {
    match state {
        MachineState::Anywhere => "anywhere, no machine needed",
        MachineState::Running => "running, watched from outside the guards, nothing touched",
        MachineState::LockedOut => "LOCKED OUT",
    }
}
