//! Cases of a rule book, checked: every id in them names something in the book.

use std::collections::HashMap;

use super::written::{CaseEntry, Expect as Written};
use crate::conveyor::{self, Conveyor};
use crate::problem::{Code, Problem, Report};
use crate::rulebook::check::Off;
use crate::rulebook::ids::{self, Ids};
use crate::rulebook::index::{CauseAt, FixAt, SymptomAt};
use crate::rulebook::load::{BUILT_IN, Checked, Laid};
use crate::rulebook::model::{Book, Source};
use crate::rulebook::written::Source as WrittenSource;
use crate::source::fields::{self, Field, Is, Value};
use crate::source::parse::{Spanned, Text, Unread};
use crate::source::{Place as FilePlace, Span, Texts};
use crate::visit::Observations;
use crate::visit::answers;

/// A case of the book.
#[derive(Debug, Clone)]
pub struct Case {
    /// Its id, unique over all files.
    pub id: String,
    /// What it is about, in a few words.
    pub title: String,
    /// Where its expectations come from.
    pub source: Source,
    /// The conveyor it plays on.
    pub conveyor: Conveyor,
    /// What is told.
    pub observed: Observations,
    /// What the book must make of it.
    pub expect: Vec<Expected>,
    /// Whether it is known not to hold yet.
    pub todo: bool,
    /// Where it stands.
    pub place: FilePlace,
}

/// One expectation and its place in the file.
#[derive(Debug, Clone)]
pub struct Expected {
    /// What is expected.
    pub what: Expect,
    /// The whole of it in the file.
    pub span: Span,
}

/// What may be expected. See [`Written`] for the words of the file.
#[derive(Debug, Clone, PartialEq)]
pub enum Expect {
    /// The leading cause is one of these.
    Leads(Vec<CauseAt>),
    /// Each of these is within the first so many.
    Among(usize, Vec<CauseAt>),
    /// The first ranks above the second.
    Above(CauseAt, CauseAt),
    /// The chance that it is still present is at most this.
    Below(CauseAt, f64),
    /// The chance that it is still present is at least this.
    AtLeast(CauseAt, f64),
    /// These causes do not apply.
    LeftOut(Vec<CauseAt>),
    /// What is looked at next has one of these in it.
    Asks(Vec<SymptomAt>),
    /// These questions do not apply.
    Never(Vec<SymptomAt>),
    /// These fixes are in the plan.
    Plans(Vec<FixAt>),
    /// These are not.
    NeverPlans(Vec<FixAt>),
    /// These fixes apply to the conveyor.
    Offers(Vec<FixAt>),
    /// These do not.
    NeverOffers(Vec<FixAt>),
    /// The first step of the plan is one of these.
    First(Vec<FixAt>),
    /// Both are planned, the first one earlier.
    Before(FixAt, FixAt),
    /// The words of a fix hold this text.
    Says(FixAt, String),
    /// They do not.
    Unsays(FixAt, String),
    /// No cause reaches one half, and what is looked at next has one of these in it.
    Unclear(Vec<SymptomAt>),
}

impl Expect {
    /// Whether it can only be told from a plan.
    pub fn needs_plan(&self) -> bool {
        matches!(self, Self::Plans(_) | Self::NeverPlans(_) | Self::First(_) | Self::Before(..))
    }

    /// Whether it can only be told from the next look.
    pub fn needs_question(&self) -> bool {
        matches!(self, Self::Asks(_) | Self::Unclear(_))
    }
}

/// The cases of a book.
#[derive(Debug, Default)]
pub struct Cases {
    /// Those that can be run.
    pub cases: Vec<Case>,
    /// Those that name something which the site has switched off: the case's id, and what it names. Where it is not
    /// that, a case of the default book that does not fit the site's book: its id, and why.
    pub aside: Vec<(String, String)>,
    /// Cases of the default book in whose place a case of the site with the same id stands: the id, and where
    /// the site's stands.
    pub replaced: Vec<(String, FilePlace)>,
}

/// Reads and checks the cases beside a book. A case with something wrong is told of in the report and left
/// out; so is one that names what the site has switched off, which is not wrong. A site's case takes the place of
/// the default book's with the same id.
pub fn read(book: &Book, checked: &Checked, report: &mut Report) -> Cases {
    let Checked { off, texts, .. } = checked;
    let ids = Ids::new(book);
    let mut cases = Vec::new();
    let mut aside: Vec<(String, String)> = Vec::new();
    let mut replaced = Vec::new();
    let built_in = |span: Span| texts.name(span.file).starts_with(BUILT_IN);
    // Of two folders laid over each other the upper one wins.
    let upper =
        |span: Span| !checked.top.is_empty() && texts.name(span.file).starts_with(&checked.top);
    let mut known: HashMap<String, Span> = HashMap::new();
    for entry in ids::entries::<CaseEntry>(texts, &checked.cases, report) {
        let id = &entry.id;
        let before = known.insert(id.text.clone(), id.span);
        let below = |first: Span| !upper(first) && upper(id.span);
        if before.is_some_and(|first| (built_in(first) && !built_in(id.span)) || below(first)) {
            cases.retain(|case: &Case| case.id != id.text);
            aside.retain(|(case, _)| *case != id.text);
            replaced.push((id.text.clone(), texts.place(id.span)));
        } else if let Some(first) = before {
            let message = format!("two cases have the id `{}`", entry.id.text);
            let problem = Problem::at(Code::TwiceId, texts.place(entry.id.span), message)
                .also(texts.place(first), "first here");
            report.add(problem.help("give one of them another id"));
            continue;
        }
        let mut reader =
            CaseReader { book, texts, ids: &ids, off, found: Report::default(), names_off: None };
        let case = reader.case(&entry);
        if let Some(gone) = reader.names_off {
            aside.push((case.id, gone));
            continue;
        }
        let wrong = reader.found.has_errors();
        // What does not fit the book any more because of what the site did to it: nobody there can mend the file.
        if wrong && checked.laid == Laid::Over && built_in(id.span) {
            let why = reader.found.sorted().into_iter().find(Problem::is_error);
            let why = why.map_or_else(String::new, |why| why.message);
            aside.push((case.id, off.named_in(&why).unwrap_or(why)));
            continue;
        }
        reader.found.sorted().into_iter().for_each(|p| report.add(p));
        if !wrong {
            cases.push(case);
        }
    }
    Cases { cases, aside, replaced }
}

struct CaseReader<'t> {
    book: &'t Book,
    texts: &'t Texts,
    ids: &'t Ids<'t>,
    off: &'t Off,
    found: Report,
    /// The first thing named that the site has switched off.
    names_off: Option<String>,
}

impl CaseReader<'_> {
    fn case(&mut self, entry: &CaseEntry) -> Case {
        if entry.expect.is_empty() {
            self.add(
                Problem::at(
                    Code::EmptyText,
                    self.texts.place(entry.id.span),
                    "this case expects nothing",
                )
                .help("say in `expect` what the book must make of the answers"),
            );
        }
        let mut expect = Vec::new();
        for written in &entry.expect {
            if let Some(what) = self.expectation(&written.value, written.span) {
                expect.push(Expected { what, span: written.span });
            }
        }
        Case {
            id: entry.id.text.clone(),
            title: entry.title.text.clone(),
            source: self.source(&entry.source),
            conveyor: self.conveyor(entry),
            observed: self.told(entry),
            expect,
            todo: entry.todo,
            place: self.texts.place(entry.id.span),
        }
    }

    fn expectation(&mut self, written: &Written, at: Span) -> Option<Expect> {
        Some(match written {
            Written::Leads(ids) => Expect::Leads(self.causes(ids, at)?),
            Written::Among(number, ids) => Expect::Among(number.value, self.causes(ids, at)?),
            Written::Above(a, b) => Expect::Above(self.cause(a)?, self.cause(b)?),
            Written::Below(id, chance) => Expect::Below(self.cause(id)?, self.chance(chance)?),
            Written::AtLeast(id, chance) => Expect::AtLeast(self.cause(id)?, self.chance(chance)?),
            Written::LeftOut(ids) => Expect::LeftOut(self.causes(ids, at)?),
            Written::Asks(ids) => Expect::Asks(self.symptoms(ids, at)?),
            Written::Never(ids) => Expect::Never(self.symptoms(ids, at)?),
            Written::Plans(ids) => Expect::Plans(self.fixes(ids, at)?),
            Written::NeverPlans(ids) => Expect::NeverPlans(self.fixes(ids, at)?),
            Written::Offers(ids) => Expect::Offers(self.fixes(ids, at)?),
            Written::NeverOffers(ids) => Expect::NeverOffers(self.fixes(ids, at)?),
            Written::First(ids) => Expect::First(self.fixes(ids, at)?),
            Written::Before(a, b) => Expect::Before(self.fix(a)?, self.fix(b)?),
            Written::Says(id, text) => Expect::Says(self.fix(id)?, self.words(text)?),
            Written::Unsays(id, text) => Expect::Unsays(self.fix(id)?, self.words(text)?),
            Written::Unclear(ids) => Expect::Unclear(self.symptoms(ids, at)?),
        })
    }

    fn chance(&mut self, chance: &Spanned<f64>) -> Option<f64> {
        if (0.0..=1.0).contains(&chance.value) {
            return Some(chance.value);
        }
        let message = format!("{} is no chance", chance.value);
        self.add(
            Problem::at(Code::Chance, self.texts.place(chance.span), message)
                .help("a chance lies between 0 and 1"),
        );
        None
    }

    fn words(&mut self, text: &Text) -> Option<String> {
        if !text.text.trim().is_empty() {
            return Some(text.text.clone());
        }
        let place = self.texts.place(text.span);
        self.add(Problem::at(Code::EmptyText, place, "every text holds nothing"));
        None
    }

    fn causes(&mut self, ids: &[Text], at: Span) -> Option<Vec<CauseAt>> {
        self.some(ids, at, Self::cause)
    }

    fn symptoms(&mut self, ids: &[Text], at: Span) -> Option<Vec<SymptomAt>> {
        self.some(ids, at, Self::symptom)
    }

    fn fixes(&mut self, ids: &[Text], at: Span) -> Option<Vec<FixAt>> {
        self.some(ids, at, Self::fix)
    }

    fn some<P>(
        &mut self,
        ids: &[Text],
        at: Span,
        one: fn(&mut Self, &Text) -> Option<P>,
    ) -> Option<Vec<P>> {
        if ids.is_empty() {
            let place = self.texts.place(at);
            self.add(Problem::at(Code::EmptyText, place, "at least one id is expected here"));
            return None;
        }
        let found: Vec<Option<P>> = ids.iter().map(|id| one(self, id)).collect();
        found.into_iter().collect()
    }

    fn cause(&mut self, id: &Text) -> Option<CauseAt> {
        self.find("cause", id, &self.ids.causes)
    }

    fn symptom(&mut self, id: &Text) -> Option<SymptomAt> {
        self.find("symptom", id, &self.ids.symptoms)
    }

    fn fix(&mut self, id: &Text) -> Option<FixAt> {
        self.find("fix", id, &self.ids.fixes)
    }

    fn find<P: Copy>(&mut self, kind: &str, id: &Text, known: &HashMap<&str, P>) -> Option<P> {
        match ids::find(known, kind, id, self.texts) {
            Ok(found) => Some(found),
            Err(_) if self.is_off(kind, id) => {
                self.names_off.get_or_insert_with(|| id.text.clone());
                None
            }
            Err(problem) => {
                self.add(
                    problem
                        .help("a case goes with the book: change the case, or bring the id back"),
                );
                None
            }
        }
    }

    fn is_off(&self, kind: &str, id: &Text) -> bool {
        let off = match kind {
            "symptom" => &self.off.symptoms,
            "cause" => &self.off.causes,
            "fix" => &self.off.fixes,
            _ => return false,
        };
        off.contains(&id.text)
    }

    fn source(&mut self, written: &WrittenSource) -> Source {
        let place = |text: &Text| text.text.clone();
        // A source that is not there is reported, and the book refused.
        written
            .try_map(|id| self.find("source", id, &self.ids.sources), place)
            .unwrap_or(Source::Memory)
    }

    fn conveyor(&mut self, entry: &CaseEntry) -> Conveyor {
        let mut fields = entry.conveyor.map_or_else(Vec::new, |at| self.named(at));
        if let Some(value) = entry.sides.and_then(|at| self.value(at)) {
            fields.push(field("sides", value));
        }
        self.within(|texts, report| conveyor::from_fields(texts, &fields, report))
    }

    fn told(&mut self, entry: &CaseEntry) -> Observations {
        let parts = [
            ("answers", entry.answers),
            ("found", entry.found),
            ("done", entry.done),
            ("outcomes", entry.outcomes),
            ("second", entry.second),
            ("machine", entry.machine),
        ];
        let mut fields: Vec<Field> =
            parts.into_iter().filter_map(|(key, at)| Some(field(key, self.value(at?)?))).collect();
        self.without_off(&mut fields);
        let book = self.book;
        let answers =
            self.within(|texts, report| answers::from_fields(book, texts, &fields, report));
        answers.observed
    }

    /// Takes out what the site has switched off, and notes that the case names it.
    fn without_off(&mut self, fields: &mut [Field]) {
        for field in fields {
            let off = match field.key.text.as_str() {
                "answers" => &self.off.symptoms,
                "found" => &self.off.causes,
                "second" => {
                    if let Is::List(looks) = &mut field.value.is {
                        let parts = looks.iter_mut().filter_map(|look| match &mut look.is {
                            Is::Fields(parts) => Some(parts),
                            _ => None,
                        });
                        parts.for_each(|parts| self.without_off(parts));
                    }
                    continue;
                }
                _ => continue,
            };
            if let Is::Fields(named) = &mut field.value.is {
                let gone = named.iter().find(|f| off.contains(&f.key.text));
                if let Some(gone) = gone {
                    self.names_off.get_or_insert_with(|| gone.key.text.clone());
                }
                named.retain(|f| !off.contains(&f.key.text));
            }
        }
    }

    /// Reads with another room's reader; what it finds wrong is wrong with this case.
    fn within<T>(&mut self, read: impl FnOnce(&Texts, &mut Report) -> T) -> T {
        let mut found = Report::default();
        let value = read(self.texts, &mut found);
        for problem in found.sorted() {
            self.add(problem);
        }
        value
    }

    fn named(&mut self, at: Unread) -> Vec<Field> {
        match self.value(at) {
            Some(Value { is: Is::Fields(fields), .. }) => fields,
            Some(value) => {
                let place = self.texts.place(value.span.first());
                let message = "facts are expected here, such as { \"class\": \"flat\" }";
                self.add(Problem::at(Code::Shape, place, message));
                Vec::new()
            }
            None => Vec::new(),
        }
    }

    fn value(&mut self, at: Unread) -> Option<Value> {
        fields::part(self.texts, at.0)
            .map_err(|misread| self.add(Problem::misread(self.texts, &misread)))
            .ok()
    }

    fn add(&mut self, problem: Problem) {
        self.found.add(problem);
    }
}

fn field(key: &str, value: Value) -> Field {
    Field { key: Text { text: key.to_owned(), span: value.span, plain: false }, value }
}
