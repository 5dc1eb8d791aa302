//! Books made up at random for measuring: any number of causes, symptoms and links, and visits drawn
//! from them. The same seed gives the same book.
#![allow(
    dead_code,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    reason = "each bench uses some of it; what cannot go on may end it"
)]

use std::ops::RangeInclusive;

use fastrand::Rng;
use straybelt::reason::Engine;
use straybelt::rulebook::index::{AnswerAt, CauseAt, FixAt, List, LookAt, Place, SymptomAt};
use straybelt::rulebook::load::default_book;
use straybelt::rulebook::model::{
    Answer, Book, Cause, Fix, IfWorse, Look, MachineState, Roles, Source, Stage, Symptom, Takes,
    ToldBy, Work,
};
use straybelt::rulebook::network::{Kind, Network, Node, Says, Voice};
use straybelt::visit::{Observations, Reply};

/// What a made-up book looks like.
#[derive(Debug, Clone)]
pub(crate) struct Shape {
    /// How many causes.
    pub(crate) causes: usize,
    /// How many symptoms.
    pub(crate) symptoms: usize,
    /// How many causes each symptom is linked to.
    pub(crate) linked: RangeInclusive<usize>,
    /// Symptoms that stand before all others: patterns, each with so many voices.
    pub(crate) patterns: &'static [usize],
    /// How many voices of the pattern "which side" (the fifth one) look at another symptom.
    pub(crate) relative: usize,
    /// Such other symptoms, each with so many voices.
    pub(crate) sides: &'static [usize],
    /// How many fixes.
    pub(crate) fixes: usize,
}

/// The shape of the book that comes with the program: 41 causes, a dozen patterns that nearly all of them
/// speak in, one of them relative to ten others, and many signs of few causes.
pub(crate) const LIKE_THE_DEFAULT: Shape = Shape {
    causes: 41,
    symptoms: 91,
    linked: 1..=8,
    patterns: &[41, 41, 41, 41, 41, 41, 41, 41, 41, 38, 28, 26, 23, 13, 12, 10, 7],
    relative: 12,
    sides: &[6, 5, 4, 4, 3, 3, 2, 2, 1, 1],
    fixes: 100,
};

/// Which of [`Shape::patterns`] is the relative one.
const WHICH_SIDE: usize = 4;

impl Shape {
    /// Every symptom linked to between 8 and 14 causes, all three kinds in equal parts.
    pub(crate) fn plain(causes: usize, symptoms: usize) -> Self {
        Self {
            causes,
            symptoms,
            linked: 8..=14,
            patterns: &[],
            relative: 0,
            sides: &[],
            fixes: causes * 3 / 2,
        }
    }

    /// The numbers of a book of this shape.
    pub(crate) fn network(&self, seed: u64) -> Network {
        let mut rng = Rng::with_seed(seed);
        let common: Vec<f64> =
            (0..self.causes).map(|_| [8.0, 4.0, 2.0, 1.0][rng.usize(0..4)]).collect();
        let total: f64 = common.iter().sum();
        let mut nodes: Vec<Node> = Vec::new();
        for (number, &voices) in self.patterns.iter().enumerate() {
            let causes = some_causes(&mut rng, self.causes, voices);
            let relative = if number == WHICH_SIDE { self.relative } else { 0 };
            nodes.push(self.pattern(&mut rng, &causes, relative));
        }
        for (number, &voices) in self.sides.iter().enumerate() {
            // One of them is the cause whose side it tells.
            let mut causes = some_causes(&mut rng, self.causes, voices - 1);
            causes.push(CauseAt::at(number));
            causes.sort_unstable();
            causes.dedup();
            nodes.push(self.pattern(&mut rng, &causes, 0));
        }
        while nodes.len() < self.symptoms {
            let count = rng.usize(self.linked.clone());
            let causes = some_causes(&mut rng, self.causes, count);
            // A book like the default one has signs left over; a plain one has all kinds.
            let kind = if self.patterns.is_empty() { rng.usize(0..3) } else { rng.usize(0..10) };
            nodes.push(match kind {
                1 => self.pattern(&mut rng, &causes, 0),
                2 => grade(&mut rng, &causes),
                _ => sign(&mut rng, &causes),
            });
        }
        Network {
            priors: common.iter().map(|c| 0.8 * c / total).collect(),
            nodes: nodes.into_iter().collect(),
        }
    }

    /// A whole book of this shape. Its words are empty.
    pub(crate) fn book(&self, seed: u64) -> Book {
        let network = self.network(seed);
        let mut rng = Rng::with_seed(seed ^ 1);
        let mut symptoms: List<SymptomAt, Symptom> =
            network.nodes.map(|node| symptom(&mut rng, node));
        for at in symptoms.places() {
            symptoms[at].look = LookAt::at(at.position());
        }
        let looks = symptoms.iter().map(|(at, symptom)| Look::of_its_own(at, symptom)).collect();
        // What is not measured comes from the default book.
        let other = default_book().expect("the default book is sound");
        Book {
            at_most: 3,
            something_else: 0.0,
            causes: network.priors.map(|&prior| cause(prior)),
            symptoms,
            looks,
            fixes: fixes(&mut rng, self.fixes, self.causes),
            opening: Vec::new(),
            groups: Vec::new(),
            roles: Roles::default(),
            network,
            ..other
        }
    }

    fn pattern(&self, rng: &mut Rng, causes: &[CauseAt], relative: usize) -> Node {
        let answers = rng.usize(3..=6);
        let first_side = self.patterns.len();
        let voice = |rng: &mut Rng, number: usize| {
            let says = if number < relative {
                let side =
                    if number < self.sides.len() { number } else { rng.usize(0..self.sides.len()) };
                Says::Relative {
                    parent: SymptomAt::at(first_side + side),
                    rows: (0..6).map(|answer| (answer != 0).then(|| row(rng, answers))).collect(),
                }
            } else {
                Says::Row(row(rng, answers))
            };
            Voice { weight: 1.0, says }
        };
        Node {
            answers,
            kind: Kind::Pattern {
                background: row(rng, answers),
                voices: causes
                    .iter()
                    .enumerate()
                    .map(|(number, &cause)| (cause, voice(rng, number)))
                    .collect(),
            },
        }
    }
}

/// A visit to a conveyor drawn from the book, with so many questions answered. Half of the questions are
/// about a cause that is present, as they are when somebody asks with a purpose; `leading` of them are the
/// first ones of the book.
pub(crate) fn visit(book: &Book, answered: usize, leading: usize, seed: u64) -> Observations {
    let mut told = Observations::none(book);
    for (symptom, answer) in answers(&book.network, answered, leading, seed) {
        told.replies[symptom] = Reply::Answer(AnswerAt::at(answer));
    }
    told
}

/// The answers of such a visit.
pub(crate) fn answers(
    network: &Network,
    answered: usize,
    leading: usize,
    seed: u64,
) -> Vec<(SymptomAt, usize)> {
    let present_limits = straybelt::reason::Present { min: 1, max: 3 };
    let engine = Engine::new(network, present_limits);
    let mut rng = Rng::with_seed(seed);
    let count = if rng.f64() < 0.8 { 1 } else { 2 };
    let present = some_causes(&mut rng, network.priors.len(), count);
    let symptoms = network.nodes.len();
    let mut hidden: List<SymptomAt, Option<usize>> = List::filled(None, symptoms);
    let mut asked: Vec<SymptomAt> = (0..leading).map(SymptomAt::at).collect();
    for tries in 0.. {
        if asked.len() >= answered.min(symptoms) {
            break;
        }
        let symptom = SymptomAt::at(rng.usize(0..symptoms));
        let to_the_point = network.nodes[symptom].linked().iter().any(|c| present.contains(c));
        let wanted = asked.len().is_multiple_of(2) || to_the_point || tries > 100 * symptoms;
        if wanted && !asked.contains(&symptom) {
            asked.push(symptom);
        }
    }
    let mut answers = Vec::new();
    for symptom in asked {
        for parent in network.nodes[symptom].parents() {
            if hidden[parent].is_none() {
                let row = engine.row(parent, &present, |_| None);
                hidden[parent] = Some(pick(&row, &mut rng));
            }
        }
        let row = engine.row(symptom, &present, |parent| hidden[parent]);
        let answer = hidden[symptom].unwrap_or_else(|| pick(&row, &mut rng));
        hidden[symptom] = Some(answer);
        answers.push((symptom, answer));
    }
    answers
}

fn some_causes(rng: &mut Rng, of: usize, count: usize) -> Vec<CauseAt> {
    let mut chosen: Vec<usize> = rng.choose_multiple(0..of, count);
    chosen.sort_unstable();
    chosen.into_iter().map(CauseAt::at).collect()
}

fn between(rng: &mut Rng, low: f64, high: f64) -> f64 {
    low + (high - low) * rng.f64()
}

/// A row that favours one or two answers.
fn row(rng: &mut Rng, answers: usize) -> Vec<f64> {
    let mut row: Vec<f64> = (0..answers).map(|_| between(rng, 0.05, 0.3)).collect();
    row[rng.usize(0..answers)] += between(rng, 0.5, 3.0);
    let total: f64 = row.iter().sum();
    row.iter().map(|p| p / total).collect()
}

fn cumulative(rng: &mut Rng, answers: usize) -> Vec<f64> {
    let mut sum = 0.0;
    let mut row: Vec<f64> = row(rng, answers)
        .into_iter()
        .map(|p| {
            sum += p;
            sum
        })
        .collect();
    row[answers - 1] = 1.0;
    row
}

fn sign(rng: &mut Rng, causes: &[CauseAt]) -> Node {
    Node {
        answers: 2,
        kind: Kind::Sign {
            leak: 0.03,
            links: causes.iter().map(|&cause| (cause, between(rng, 0.2, 0.95))).collect(),
        },
    }
}

fn grade(rng: &mut Rng, causes: &[CauseAt]) -> Node {
    let answers = rng.usize(3..=4);
    let mut base: Vec<f64> =
        (0..answers).map(|level| 1.0 - 0.05 / 3_f64.powi(level as i32)).collect();
    base[answers - 1] = 1.0;
    Node {
        answers,
        kind: Kind::Grade {
            base,
            rows: causes.iter().map(|&cause| (cause, cumulative(rng, answers))).collect(),
        },
    }
}

/// The answer that a draw falls on.
pub(crate) fn pick(row: &[f64], rng: &mut Rng) -> usize {
    let mut left = rng.f64();
    let last = row.len() - 1;
    row.iter()
        .position(|p| {
            left -= p;
            left < 0.0
        })
        .unwrap_or(last)
}

fn cause(prior: f64) -> Cause {
    Cause {
        id: String::new(),
        name: String::new(),
        prior,
        priors_on: Vec::new(),
        brought_on_by: Vec::new(),
        happens_because: String::new(),
        shows_at: String::new(),
        mistaken_for: Vec::new(),
        only_if: Vec::new(),
        specialist: String::new(),
        drilled_as: None,
        not_drilled: String::new(),
        source: Source::Memory,
    }
}

fn symptom(rng: &mut Rng, node: &Node) -> Symptom {
    let answer = |_| Answer { id: String::new(), says: String::new(), means: None };
    let states = [MachineState::Anywhere, MachineState::Running, MachineState::LockedOut];
    Symptom {
        id: String::new(),
        ask: String::new(),
        answers: (0..node.answers).map(answer).collect(),
        marks: Vec::new(),
        how_to_look: String::new(),
        look: LookAt::at(0),
        told_by: ToldBy::Seen,
        tick: String::new(),
        why: String::new(),
        drawing: None,
        minutes: between(rng, 1.0, 10.0).round(),
        state: states[rng.usize(0..3)],
        tools: Vec::new(),
        opening: false,
        group: None,
        measured: None,
        also_measured: Vec::new(),
        price_of_screw_after: Vec::new(),
        may_it_run_after: Vec::new(),
        drilled_as: None,
        shift_says: None,
        in_logbook: Vec::new(),
        only_if: Vec::new(),
        follows: Vec::new(),
        source: Source::Memory,
    }
}

/// Fixes of which each cures one to three causes; the last few need and follow earlier ones, as training
/// does.
fn fixes(rng: &mut Rng, count: usize, causes: usize) -> List<FixAt, Fix> {
    (0..count)
        .map(|number| {
            let training = number + 4 > count;
            let several = rng.usize(0..3);
            let mut cured: Vec<usize> = vec![number % causes];
            cured.extend((0..several).map(|_| rng.usize(0..causes)));
            cured.sort_unstable();
            cured.dedup();
            let earlier = |share: f64, rng: &mut Rng| -> Vec<FixAt> {
                let candidates = number.saturating_sub(40)..number;
                candidates.filter(|_| rng.f64() < share).map(FixAt::at).collect()
            };
            let after = earlier(0.1, rng);
            let needs = if training { earlier(0.5, rng) } else { Vec::new() };
            Fix {
                id: String::new(),
                title: String::new(),
                stage: Stage::Clean,
                cures: cured
                    .into_iter()
                    .map(|c| (CauseAt::at(c), between(rng, 0.5, 0.95)))
                    .collect(),
                begins_with: Vec::new(),
                no_check: String::new(),
                in_short: String::new(),
                work: if rng.f64() < 0.85 {
                    Work::LockedOut(Vec::new())
                } else {
                    Work::Running(Vec::new())
                },
                minutes: between(rng, 5.0, 120.0).round(),
                takes: Takes::default(),
                people: 1,
                tools: Vec::new(),
                parts: Vec::new(),
                after,
                needs,
                only_if: Vec::new(),
                done_when: (String::new(), Source::Memory),
                never: Vec::new(),
                worked: String::new(),
                amounts_from: Vec::new(),
                lasting: true,
                if_worse: IfWorse::Stays(String::new()),
                cautions: Vec::new(),
                source: Source::Memory,
            }
        })
        .collect()
}
