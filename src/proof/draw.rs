//! A visit drawn from a book: what is really the case at a conveyor, which nobody in the visit knows.

use fastrand::Rng;

use crate::conveyor::facts::{Fact, FactKey, Facts};
use crate::plan::PlanStep;
use crate::reason::{Applicability, Engine, Outcome, Truth, draw, truth};
use crate::rulebook::index::{AnswerAt, CauseAt, FixAt, List, Place, SymptomAt};
use crate::rulebook::model::{About, Book};
use crate::trade::ConveyorClass;
use crate::visit::{ConveyorFacts, FoundReport, Reply};

/// Causes that do not apply after the answers drawn are drawn again so often.
const MOST_TRIES: u32 = 1_000;

/// The conveyor of a drawn visit.
#[derive(Debug, Clone, Copy)]
pub enum On<'f> {
    /// Drawn too: each fact has any of its values, all equally likely.
    Any,
    /// This one.
    This(&'f ConveyorFacts),
}

impl On<'_> {
    fn conveyor(self, rng: &mut Rng) -> ConveyorFacts {
        match self {
            On::Any => any_conveyor(rng),
            On::This(facts) => facts.clone(),
        }
    }
}

/// What is really the case.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    /// What is known of the conveyor.
    pub facts: ConveyorFacts,
    /// The causes present at the start, in book order.
    pub present: Vec<CauseAt>,
    /// The answer to every question, `None` where it does not apply.
    answers: List<SymptomAt, Option<AnswerAt>>,
    /// Work on a cause cures it when the best chance so far exceeds this, 0..1.
    stubborn: List<CauseAt, f64>,
    /// A cause is reported as suspected when the chance of that exceeds this, 0..1.
    mistaken: List<CauseAt, f64>,
    /// The checks of a fix call for the work when the chance of that exceeds this, 0..1.
    misread: List<FixAt, f64>,
}

impl Drawn {
    /// The visit with this number from this seed; nothing if no cause applies to the conveyor.
    pub fn new(
        engine: &Engine<'_>,
        book: &Book,
        on: On<'_>,
        seed: u64,
        number: usize,
    ) -> Option<Self> {
        let mut rng = rng(seed, number);
        let facts = on.conveyor(&mut rng);
        let nothing = List::filled(None, book.symptoms.len());
        let may_be = Applicability::new(book, &facts.facts, &nothing).causes;
        if !may_be.values().any(|applies| *applies) {
            return None;
        }
        let priors = among(book, &facts, &may_be);
        let mut tries = 0;
        let (present, answers) = loop {
            let present = draw::causes(engine, &priors, &mut rng);
            let answers = all_answers(book, &facts, |symptom, before| {
                draw::answer(engine, symptom, &present, before, &mut rng)
            });
            let applies = Applicability::new(book, &facts.facts, &answers).causes;
            tries += 1;
            if present.iter().all(|&cause| applies[cause]) || tries == MOST_TRIES {
                break (present, answers);
            }
        };
        Some(Self {
            facts,
            present,
            answers,
            stubborn: book.causes.map(|_| rng.f64()),
            mistaken: book.causes.map(|_| rng.f64()),
            misread: book.fixes.map(|_| rng.f64()),
        })
    }

    /// The visit with this number from this seed to a conveyor whose trouble is none of the book's causes.
    pub fn none_of_them(
        engine: &Engine<'_>,
        book: &Book,
        on: On<'_>,
        seed: u64,
        number: usize,
    ) -> Self {
        let mut rng = rng(seed, number);
        let facts = on.conveyor(&mut rng);
        Self::of_none(engine, book, facts, &mut rng)
    }

    /// A conveyor of which this is known, and whose trouble is none of the book's causes: nothing answers but leaks,
    /// backgrounds and bases.
    pub fn of_none(engine: &Engine<'_>, book: &Book, facts: ConveyorFacts, rng: &mut Rng) -> Self {
        let answers = all_answers(book, &facts, |symptom, before| {
            draw::answer(engine, symptom, &[], before, rng)
        });
        Self {
            facts,
            present: Vec::new(),
            answers,
            stubborn: book.causes.map(|_| rng.f64()),
            mistaken: book.causes.map(|_| rng.f64()),
            misread: book.fixes.map(|_| rng.f64()),
        }
    }

    /// What a person answers to a question. One that has no answer here cannot be told.
    pub fn reply(&self, symptom: SymptomAt) -> Reply {
        self.answers[symptom].map_or(Reply::CantTell, Reply::Answer)
    }

    /// The causes that remain, given the best chance of cure so far for each.
    pub fn remaining(&self, cured: impl Fn(CauseAt) -> f64) -> Vec<CauseAt> {
        let left = |cause: &CauseAt| cured(*cause) <= self.stubborn[*cause];
        self.present.iter().copied().filter(left).collect()
    }

    /// How the belt runs when these causes remain.
    pub fn outcome(&self, remaining: &[CauseAt]) -> Outcome {
        match remaining.len() {
            _ if self.present.is_empty() => Outcome::NoChange,
            0 => Outcome::True,
            left if left == self.present.len() => Outcome::NoChange,
            _ => Outcome::Better,
        }
    }

    /// What is reported of a cause that was looked at, right or wrong as often as the book says.
    pub fn found(&self, book: &Book, cause: CauseAt) -> FoundReport {
        let (if_present, if_absent) = book.reports.as_suspected;
        let chance = if self.present.contains(&cause) { if_present } else { if_absent };
        if self.mistaken[cause] < chance { FoundReport::AsSuspected } else { FoundReport::WasFine }
    }

    /// Whether the checks of a fix call for the work, these causes being there; right or wrong as often as the plan
    /// reckons with.
    pub fn calls(&self, step: &PlanStep, book: &Book, remaining: &[CauseAt]) -> bool {
        let there = book.fixes[step.fix].cures.iter().any(|(cause, _)| remaining.contains(cause));
        let chance = if there { step.found.if_there } else { step.found.if_not };
        self.misread[step.fix] < chance
    }

    /// The same visit in the words of another book: causes, symptoms and answers by their ids. What the
    /// other book asks and this one does not cannot be told.
    pub fn in_other(&self, own: &Book, other: &Book) -> Self {
        let cause_here = |id: &str| own.causes.iter().find(|(_, c)| c.id == id).map(|(c, _)| c);
        let luck = |list: &List<CauseAt, f64>| -> List<CauseAt, f64> {
            let of = |id: &str| cause_here(id).map_or(0.5, |cause| list[cause]);
            other.causes.map(|cause| of(&cause.id))
        };
        let id = |cause: CauseAt| own.causes[cause].id.as_str();
        Self {
            facts: self.facts.clone(),
            present: other
                .causes
                .iter()
                .filter(|(_, c)| self.present.iter().any(|&p| id(p) == c.id))
                .map(|(cause, _)| cause)
                .collect(),
            answers: in_other(&self.answers, own, other),
            stubborn: luck(&self.stubborn),
            mistaken: luck(&self.mistaken),
            misread: other.fixes.map(|there| {
                let mut here = own.fixes.iter().filter(|(_, fix)| fix.id == there.id);
                here.next().map_or(0.5, |(fix, _)| self.misread[fix])
            }),
        }
    }
}

/// Answers in the places of another book, by the ids of symptoms and answers.
pub fn in_other(
    answers: &List<SymptomAt, Option<AnswerAt>>,
    own: &Book,
    other: &Book,
) -> List<SymptomAt, Option<AnswerAt>> {
    other.symptoms.map(|there| {
        let (at, here) = own.symptoms.iter().find(|(_, s)| s.id == there.id)?;
        let id = &here.answers[answers[at]?].id;
        let mut known = there.answers.iter();
        known.find(|(_, a)| a.id == *id).map(|(answer, _)| answer)
    })
}

/// The random numbers of one visit: its number and the seed settle them.
pub fn rng(seed: u64, number: usize) -> Rng {
    let number = u64::try_from(number).unwrap_or(u64::MAX);
    let mut rng = Rng::with_seed(seed ^ number.wrapping_add(1).wrapping_mul(0x9e37_79b9_7f4a_7c15));
    // The first number of neighbouring seeds is too much alike.
    rng.u64(..);
    rng
}

/// How likely each cause is on this conveyor before any answer, of those that may be there; 0 for the others.
fn among(book: &Book, facts: &ConveyorFacts, may_be: &List<CauseAt, bool>) -> List<CauseAt, f64> {
    let priors = book.priors(&facts.facts);
    let of = |(cause, may): (CauseAt, &bool)| if *may { priors[cause] } else { 0.0 };
    may_be.iter().map(of).collect()
}

/// A drawn conveyor has each part that conveyors may have with this chance.
const PART: f64 = 0.1;
/// Sets the numbers that draw parts apart from all others.
const PARTS_SEED: u64 = 0x7061_7274_7300;

fn any_conveyor(rng: &mut Rng) -> ConveyorFacts {
    let mut facts: Facts = FactKey::FOR_RULES
        .iter()
        .filter(|key| !FactKey::PARTS.contains(key))
        .filter_map(|key| rng.choice(key.values()))
        .collect();
    // Parts are rare, and come from numbers of their own, so that what is drawn after them stays as it was.
    let mut own = Rng::with_seed(rng.clone().u64(..) ^ PARTS_SEED);
    for key in FactKey::PARTS {
        let word = if own.f64() < PART { "yes" } else { "no" };
        if facts.get(key).is_none() {
            key.with(word).into_iter().for_each(|fact| facts.set(fact));
        }
    }
    if let Some(troughed) = facts.class().and_then(ConveyorClass::troughed) {
        facts.set(Fact::Troughed(troughed));
    }
    ConveyorFacts { facts, ..ConveyorFacts::default() }
}

/// Answers to all questions of a conveyor that behaves so: `draw` gives the answer to one, after those that its
/// conditions and its parents hang on; nothing where a question does not apply.
pub fn all_answers(
    book: &Book,
    facts: &ConveyorFacts,
    draw: impl FnMut(SymptomAt, &List<SymptomAt, Option<usize>>) -> usize,
) -> List<SymptomAt, Option<AnswerAt>> {
    let mut hidden = AnswerDraw {
        book,
        facts,
        draw,
        answers: List::filled(None, book.symptoms.len()),
        begun: List::filled(false, book.symptoms.len()),
    };
    for symptom in book.symptoms.places() {
        hidden.settle(symptom);
    }
    hidden.answers.map(|answer| answer.map(AnswerAt::at))
}

/// The hidden answers while they are drawn.
struct AnswerDraw<'h, D> {
    book: &'h Book,
    facts: &'h ConveyorFacts,
    draw: D,
    answers: List<SymptomAt, Option<usize>>,
    begun: List<SymptomAt, bool>,
}

impl<D: FnMut(SymptomAt, &List<SymptomAt, Option<usize>>) -> usize> AnswerDraw<'_, D> {
    /// Settles what its conditions ask for and its parents first.
    fn settle(&mut self, symptom: SymptomAt) {
        if std::mem::replace(&mut self.begun[symptom], true) {
            return;
        }
        let book = self.book;
        for condition in &book.symptoms[symptom].only_if {
            if let About::Answer { symptom: asked, .. } = condition.about {
                self.settle(asked);
            }
            let holds = truth(condition, &self.facts.facts, |s| self.answers[s].map(AnswerAt::at));
            let about_answer = matches!(condition.about, About::Answer { .. });
            if holds == Truth::False || (about_answer && holds == Truth::Unknown) {
                return;
            }
        }
        for follows in &book.symptoms[symptom].follows {
            if let About::Answer { symptom: from, .. } = follows.from.about {
                self.settle(from);
            }
            let given = |s: SymptomAt| self.answers[s].map(AnswerAt::at);
            if truth(&follows.from, &self.facts.facts, given) == Truth::True {
                self.answers[symptom] = Some(follows.is.position());
                return;
            }
        }
        for parent in book.network.nodes[symptom].parents() {
            self.settle(parent);
        }
        let answer = (self.draw)(symptom, &self.answers);
        self.answers[symptom] = Some(answer);
    }
}
