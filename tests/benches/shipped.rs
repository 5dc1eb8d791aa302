//! The shipped book with ten answers given: what somebody at a conveyor waits for.
//!
//! `cargo bench --bench shipped`

#![expect(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a bench: what cannot go on may end it"
)]

mod synthetic;

use divan::{Bencher, black_box};
use straybelt::reason::{Belief, Engine, Evidence, Present, Seen, Worth};
use straybelt::rulebook::index::{AnswerAt, Place};
use straybelt::rulebook::load::default_book;
use straybelt::rulebook::model::Book;
use straybelt::visit::{ConveyorFacts, Diagnosis, Observations, Reply};

/// So many visits, each to a conveyor drawn from the book.
const VISITS: u64 = 12;
/// Answers given in each; the first six are the opening questions.
const ANSWERS: usize = 10;

fn main() {
    divan::main();
}

/// Six opening answers, then whatever the program itself would ask.
fn visits(book: &Book, diagnosis: &Diagnosis<'_>) -> Vec<Observations> {
    (0..VISITS)
        .map(|seed| {
            let mut rng = fastrand::Rng::with_seed(seed);
            let mut told = Observations::none(book);
            for _ in 0..ANSWERS {
                let finding = diagnosis.finding(&ConveyorFacts::default(), &told);
                let next = finding.next.first().unwrap();
                let answer = synthetic::pick(&next.chances, &mut rng);
                told.replies[next.symptom] = Reply::Answer(AnswerAt::at(answer));
            }
            told
        })
        .collect()
}

/// The beliefs and the bits of every question that is open.
#[divan::bench]
fn beliefs_and_bits(bencher: Bencher<'_, '_>) {
    let book = default_book().unwrap();
    let diagnosis = Diagnosis::new(&book);
    let evidence: Vec<Evidence> = visits(&book, &diagnosis)
        .iter()
        .map(|told| diagnosis.finding(&ConveyorFacts::default(), told).evidence)
        .collect();
    let present = Present { min: 1, max: book.at_most };
    let engine = Engine::new(&book.network, present);
    let mut next = evidence.iter().cycle();
    bencher.bench_local(|| {
        let evidence = next.next().unwrap();
        let belief = Belief::new(&engine, evidence).unwrap();
        let open = evidence.symptoms.iter();
        open.filter(|(_, seen)| **seen == Seen::Open)
            .map(|(symptom, _)| Worth::new(&engine, evidence, &belief, symptom).bits)
            .sum::<f64>()
    });
}

/// Beliefs, bits, the savings of questions, the plan: all that follows from one more answer.
#[divan::bench]
fn answer_to_next_question(bencher: Bencher<'_, '_>) {
    let book = default_book().unwrap();
    let diagnosis = Diagnosis::new(&book);
    let visits = visits(&book, &diagnosis);
    let mut next = visits.iter().cycle();
    bencher.bench_local(|| {
        diagnosis.finding(&ConveyorFacts::default(), black_box(next.next().unwrap()))
    });
}

/// Whether the answers fit together, by visits drawn from the book.
#[divan::bench]
fn fits(bencher: Bencher<'_, '_>) {
    let book = default_book().unwrap();
    let diagnosis = Diagnosis::new(&book);
    let finding = diagnosis.finding(&ConveyorFacts::default(), &visits(&book, &diagnosis)[0]);
    bencher.bench_local(|| diagnosis.fits(black_box(&finding)));
}

/// What speaks for and against every cause.
#[divan::bench]
fn why_all(bencher: Bencher<'_, '_>) {
    let book = default_book().unwrap();
    let diagnosis = Diagnosis::new(&book);
    let finding = diagnosis.finding(&ConveyorFacts::default(), &visits(&book, &diagnosis)[0]);
    let causes: Vec<_> = book.causes.places().collect();
    bencher.bench_local(|| diagnosis.why_all(black_box(&finding), &causes));
}

/// Reading and checking the compiled-in rules.
#[divan::bench]
fn reading_the_book() -> Book {
    default_book().unwrap()
}
