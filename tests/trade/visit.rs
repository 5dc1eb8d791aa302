//! A visit as a test writes it: facts and answers by id.

use std::sync::OnceLock;

use straybelt::conveyor::facts::{Fact, FactKey, Facts};
use straybelt::rulebook::index::{CauseAt, FixAt, SymptomAt};
use straybelt::rulebook::model::Book;
use straybelt::show::steps::{Preface, StepWords, fix_text};
use straybelt::show::words::{Known, Sides};
use straybelt::trade::{Carcass, ConveyorClass, TakeUp};
use straybelt::visit::{Diagnosis, Finding, Observations, Reply};

/// Facts of a conveyor.
#[derive(Debug, Default, Clone)]
pub(crate) struct Conveyor(pub(crate) Facts);

/// The shipped book, read once for all tests.
pub(crate) fn book() -> &'static Book {
    static BOOK: OnceLock<Book> = OnceLock::new();
    BOOK.get_or_init(|| straybelt::rulebook::load::default_book().expect("the shipped book loads"))
}

/// Reasoning over it.
pub(crate) fn diagnosis() -> &'static Diagnosis<'static> {
    static DIAGNOSIS: OnceLock<Diagnosis<'static>> = OnceLock::new();
    DIAGNOSIS.get_or_init(|| Diagnosis::new(book()))
}

/// A troughed bulk conveyor, indoors, with a screw take-up: where most answers can be given.
pub(crate) fn troughed() -> Conveyor {
    let facts = [
        Fact::Class(ConveyorClass::TroughedBulk),
        Fact::Reversing(false),
        Fact::TakeUp(TakeUp::Screw),
        Fact::Carcass(Carcass::Fabric),
    ];
    Conveyor(facts.into_iter().collect())
}

impl Conveyor {
    /// The same with one fact changed.
    pub(crate) fn with(mut self, key: &str, value: &str) -> Self {
        let fact = FactKey::named(key).and_then(|key| key.with(value));
        self.0.set(fact.expect("no such fact"));
        self
    }
}

pub(crate) fn symptom(id: &str) -> SymptomAt {
    book().symptoms.iter().find(|(_, s)| s.id == id).unwrap_or_else(|| panic!("no symptom {id}")).0
}

pub(crate) fn cause(id: &str) -> CauseAt {
    book().causes.iter().find(|(_, c)| c.id == id).unwrap_or_else(|| panic!("no cause {id}")).0
}

fn fix(id: &str) -> FixAt {
    book().fixes.iter().find(|(_, f)| f.id == id).unwrap_or_else(|| panic!("no fix {id}")).0
}

/// What was told, answers by id.
pub(crate) fn told(answers: &[(&str, &str)]) -> Observations {
    let mut told = Observations::none(book());
    for (id, answer) in answers {
        let at = symptom(id);
        let answers = &book().symptoms[at].answers;
        let found = answers.iter().find(|(_, a)| a.id == *answer);
        told.replies[at] =
            Reply::Answer(found.unwrap_or_else(|| panic!("{id} has no answer {answer}")).0);
    }
    told
}

/// The finding from these answers.
pub(crate) fn finding(conveyor: &Conveyor, answers: &[(&str, &str)]) -> Finding {
    let finding = diagnosis().finding(&conveyor.0, &told(answers));
    assert!(finding.ignored.is_empty(), "{answers:?}: ignored {:?}", finding.ignored);
    finding
}

/// Chance of a cause, by id; 0 when it does not apply.
pub(crate) fn chance(finding: &Finding, id: &str) -> f64 {
    let at = cause(id);
    finding.ranked.iter().find(|r| r.cause == at).map_or(0.0, |r| r.probability)
}

/// The ids of the leading causes.
pub(crate) fn leading(finding: &Finding, many: usize) -> Vec<&'static str> {
    finding.ranked.iter().take(many).map(|r| book().causes[r.cause].id.as_str()).collect()
}

/// A fix's words, with sides filled in.
pub(crate) fn words(
    conveyor: &Conveyor,
    sides: (&str, &str),
    answers: &[(&str, &str)],
    id: &str,
) -> StepWords {
    let finding = finding(conveyor, answers);
    let sides = Sides::named(Some(sides.0), Some(sides.1));
    fix_text(
        book(),
        &Known::new(book(), &conveyor.0, &sides, &finding.answers),
        fix(id),
        Preface::Nothing,
    )
}
