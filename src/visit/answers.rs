//! An answers file: what was told, written down beforehand; rules/REFERENCE.md tells of it.

mod means;
mod second;

use std::path::Path;

use super::finding::{FoundReport, Machine, Observations, Reply};
use crate::problem::{Code, Problem, Problems, Report, near};
use crate::reason::Outcome;
use crate::rulebook::index::{CauseAt, FixAt, SymptomAt};
use crate::rulebook::model::{Book, StopMeans, Symptom};
use crate::source::fields::{self, Field, Is, Value};
use crate::source::parse::Text;
use crate::source::{Span, Texts, folder};

/// What an answers file tells.
#[derive(Debug, Clone, PartialEq)]
pub struct Answers {
    /// Answers, findings and work.
    pub observed: Observations,
    /// Stop-now questions answered yes, by their place in the book.
    pub stop_now: Vec<usize>,
    /// The answer about the edge room, by its place in the book.
    pub edge_room: Option<usize>,
}

/// What may stand in an answers file.
pub const KEYS: &[&str] =
    &["answers", "found", "done", "outcomes", "second", "machine", "place", "means", "notes"];
/// The answer that is no evidence.
const UNKNOWN: &str = "unknown";

/// Reads an answers file, RON or JSON.
///
/// # Errors
/// Everything that is wrong with it.
pub fn read(book: &Book, path: &Path) -> Result<Answers, Problems> {
    match folder::text(path) {
        Ok(text) => parse(book, &path.display().to_string(), text),
        Err(refused) => Err(Problems(vec![Problem::refused_file(&refused)])),
    }
}

/// Reads the text of an answers file known as `name`.
///
/// # Errors
/// Everything that is wrong with it.
pub fn parse(book: &Book, name: &str, text: String) -> Result<Answers, Problems> {
    let mut texts = Texts::default();
    let file = texts.add(name, text);
    let mut report = Report::default();
    let answers = match fields::read(&texts, file) {
        Ok(fields) => from_fields(book, &texts, &fields, &mut report),
        Err(misread) => {
            report.add(Problem::refused_text(&texts, &misread));
            Answers::none(book)
        }
    };
    if report.has_errors() { Err(Problems(report.sorted())) } else { Ok(answers) }
}

/// What named fields tell; what is wrong with them goes into the report.
pub fn from_fields(book: &Book, texts: &Texts, fields: &[Field], report: &mut Report) -> Answers {
    let mut reader = AnswersReader { book, texts, report, answers: Answers::none(book) };
    reader.all(fields);
    reader.answers
}

impl Answers {
    fn none(book: &Book) -> Self {
        Self { observed: Observations::none(book), stop_now: Vec::new(), edge_room: None }
    }
}

struct AnswersReader<'t> {
    book: &'t Book,
    texts: &'t Texts,
    report: &'t mut Report,
    answers: Answers,
}

impl AnswersReader<'_> {
    fn all(&mut self, fields: &[Field]) {
        self.each_once(fields);
        self.known_fields(fields);
        self.outcomes_fit(fields);
        // The batches may be told after the looks.
        for field in fields.iter().filter(|field| field.key.text == "second") {
            self.second(&field.value);
        }
    }

    fn known_fields(&mut self, fields: &[Field]) {
        for field in fields {
            match field.key.text.as_str() {
                "answers" => self.fields(&field.value, Self::answer),
                "found" => self.fields(&field.value, Self::found),
                "done" => {
                    for batch in self.list(&field.value, "a list of lists of fix ids") {
                        let fixes: Vec<FixAt> = self
                            .list(&batch, "a list of fix ids")
                            .iter()
                            .filter_map(|fix| self.fix(fix))
                            .collect();
                        self.answers.observed.done.push(fixes);
                    }
                }
                "outcomes" => {
                    for outcome in self.list(&field.value, "a list of outcomes") {
                        if let Some(outcome) = self.word(&outcome, "outcome", &Outcome::WORDS) {
                            self.answers.observed.outcomes.push(outcome);
                        }
                    }
                }
                "machine" => {
                    let words =
                        &[("running", Machine::Running), ("locked-out", Machine::LockedOut)];
                    if let Some(machine) = self.word(&field.value, "machine state", words) {
                        self.answers.observed.machine = machine;
                    }
                }
                "place" => self.place(&field.value),
                "means" => self.means(&field.value),
                "notes" => self.notes(&field.value),
                "second" => {}
                _ => self.unknown_field(&field.key, KEYS),
            }
        }
    }

    fn unknown_field(&mut self, key: &Text, known: &[&str]) {
        let message = format!("unknown field `{}`", key.text);
        let problem = self.problem(Code::UnknownField, key.span, message);
        self.report.add(near(problem, &key.text, known.iter().copied(), "known here"));
    }

    fn outcomes_fit(&mut self, fields: &[Field]) {
        let observed = &self.answers.observed;
        let (outcomes, batches) = (observed.outcomes.len(), observed.done.len());
        let written = fields.iter().find(|field| field.key.text == "outcomes");
        if let Some(field) = written
            && outcomes > batches
        {
            let message = format!("{outcomes} outcomes, but {batches} batches done");
            let problem = self.problem(Code::Shape, field.value.span, message);
            self.report.add(problem.help("an outcome belongs to each list of fixes in `done`"));
        }
    }

    fn answer(&mut self, field: &Field) {
        let id = field.key.text.as_str();
        if let Some(place) = self.book.stop_now.iter().position(|q| q.id == id) {
            let answers = self.book.stop_now.get(place).map(|q| q.answers.as_slice());
            let mut words: Vec<(&str, bool)> = (answers.unwrap_or_default().iter())
                .map(|answer| (answer.id.as_str(), answer.means == StopMeans::Stop))
                .collect();
            words.push((UNKNOWN, false));
            if self.word(&field.value, id, &words) == Some(true) {
                self.answers.stop_now.push(place);
            }
            return;
        }
        if id == self.book.edge_room.id {
            let answers = self.book.edge_room.answers.iter().enumerate();
            let mut words: Vec<(&str, Option<usize>)> =
                answers.map(|(at, a)| (a.id.as_str(), Some(at))).collect();
            words.push((UNKNOWN, None));
            self.answers.edge_room = self.word(&field.value, id, &words).flatten();
            return;
        }
        let others = self.book.stop_now.iter().map(|q| q.id.as_str()).chain([self
            .book
            .edge_room
            .id
            .as_str()]);
        if let Some((at, reply)) = self.reply(field, others.collect()) {
            self.answers.observed.replies[at] = reply;
        }
    }

    /// The answer to a symptom's question; `others` may be answered here besides.
    fn reply(&mut self, field: &Field, others: Vec<&str>) -> Option<(SymptomAt, Reply)> {
        let (book, id) = (self.book, field.key.text.as_str());
        let Some((at, symptom)) = book.symptoms.iter().find(|(_, s)| s.id == id) else {
            let known = book.symptoms.values().map(|s| s.id.as_str()).chain(others);
            self.unknown_id("symptom", id, field.key.span, known);
            return None;
        };
        let mut what = format!("answer to `{id}`");
        if symptom.is_marks() {
            what.push_str(" ([]: none of them)");
            if let Is::List(marks) = &field.value.is {
                return Some((at, self.ticked(symptom, &what, marks)?));
            }
        }
        let mut words: Vec<(&str, Reply)> =
            symptom.named().map(|(a, answer)| (answer.id.as_str(), Reply::Answer(a))).collect();
        words.push((UNKNOWN, Reply::CantTell));
        Some((at, self.word(&field.value, &what, &words)?))
    }

    /// The reply with these marks ticked; an empty list: none of them.
    fn ticked(&mut self, symptom: &Symptom, what: &str, marks: &[Value]) -> Option<Reply> {
        let known: Vec<(&str, usize)> = symptom
            .named()
            .enumerate()
            .map(|(mark, (_, answer))| (answer.id.as_str(), mark))
            .collect();
        let mut ticked: Vec<usize> = Vec::new();
        let mut good = true;
        for (place, value) in marks.iter().enumerate() {
            match self.word(value, what, &known) {
                Some(mark) if ticked.contains(&mark) => {
                    let first = marks.iter().take(place).find(|first| first.is == value.is);
                    let message = "this answer stands here twice".to_owned();
                    let mut problem = self.problem(Code::TwiceNamed, value.span, message);
                    if let Some(first) = first {
                        problem = problem.also(self.texts.place(first.span), "first here");
                    }
                    self.report.add(problem.help("keep one of them"));
                    good = false;
                }
                Some(mark) => ticked.push(mark),
                None => good = false,
            }
        }
        good.then(|| Reply::Answer(symptom.ticking(|mark| ticked.contains(&mark))))
    }

    fn found(&mut self, field: &Field) {
        let Some(cause) = self.cause(&field.key.text, field.key.span) else {
            return;
        };
        let words =
            &[("as-suspected", FoundReport::AsSuspected), ("was-fine", FoundReport::WasFine)];
        if let Some(report) = self.word(&field.value, "report", words) {
            self.answers.observed.found.push((cause, report));
        }
    }

    fn cause(&mut self, id: &str, span: Span) -> Option<CauseAt> {
        let found = self.book.causes.iter().find(|(_, c)| c.id == id).map(|(at, _)| at);
        if found.is_none() {
            self.unknown_id("cause", id, span, self.book.causes.values().map(|c| c.id.as_str()));
        }
        found
    }

    fn fix(&mut self, value: &Value) -> Option<FixAt> {
        let id = self.text(value, "a fix id in quotes")?;
        let found = self.book.fixes.iter().find(|(_, f)| f.id == id).map(|(at, _)| at);
        if found.is_none() {
            self.unknown_id(
                "fix",
                &id,
                value.span,
                self.book.fixes.values().map(|f| f.id.as_str()),
            );
        }
        found
    }

    /// Calls `each` with every named field, each name once.
    fn fields(&mut self, value: &Value, each: fn(&mut Self, &Field)) {
        match &value.is {
            Is::Fields(fields) => {
                self.each_once(fields);
                fields.iter().for_each(|field| each(self, field));
            }
            Is::Nothing => {}
            _ => self.expected(
                value.span,
                "ids with their answers, such as { \"first-split\": \"one-place\" }",
            ),
        }
    }

    fn each_once(&mut self, fields: &[Field]) {
        for (at, field) in fields.iter().enumerate() {
            let same = |earlier: &&Field| earlier.key.text == field.key.text;
            if let Some(first) = fields.iter().take(at).find(same) {
                let problem = self
                    .problem(
                        Code::TwiceField,
                        field.key.span,
                        format!("`{}` stands here twice", field.key.text),
                    )
                    .also(self.texts.place(first.key.span), "first here")
                    .help("keep one of them");
                self.report.add(problem);
            }
        }
    }

    fn list(&mut self, value: &Value, expected: &str) -> Vec<Value> {
        match &value.is {
            Is::List(items) => items.clone(),
            Is::Nothing => Vec::new(),
            _ => {
                self.expected(value.span, expected);
                Vec::new()
            }
        }
    }

    fn text(&mut self, value: &Value, expected: &str) -> Option<String> {
        match &value.is {
            Is::Text(text) => Some(text.clone()),
            _ => {
                self.expected(value.span, expected);
                None
            }
        }
    }

    /// One of some words, in quotes.
    fn word<T: Copy>(&mut self, value: &Value, what: &str, words: &[(&str, T)]) -> Option<T> {
        let text = self.text(value, &format!("one of: {}", list_of(words)))?;
        let found = words.iter().find(|(word, _)| *word == text).map(|(_, means)| *means);
        if found.is_none() {
            let message = format!("no such {what}: `{text}`");
            let problem = self.problem(Code::UnknownWord, value.span, message);
            let known = words.iter().map(|(word, _)| *word);
            self.report.add(near(problem, &text, known, "one of"));
        }
        found
    }

    fn unknown_id<'k>(
        &mut self,
        kind: &str,
        id: &str,
        span: Span,
        known: impl Iterator<Item = &'k str>,
    ) {
        let problem = self.problem(Code::UnknownId, span, format!("unknown {kind} `{id}`"));
        let problem = near(problem, id, known, "known");
        self.report.add(problem.help("`straybelt rules export --format json` lists all ids"));
    }

    fn expected(&mut self, span: Span, what: &str) {
        let problem = self.problem(Code::Shape, span, format!("expected {what}"));
        self.report.add(problem);
    }

    fn problem(&self, code: Code, span: Span, message: String) -> Problem {
        Problem::at(code, self.texts.place(span), message)
    }
}

fn list_of<T>(words: &[(&str, T)]) -> String {
    words.iter().map(|(word, _)| *word).collect::<Vec<_>>().join(", ")
}
