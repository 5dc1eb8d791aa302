//! How time and memory grow with the book: made-up books, 8 to 14 causes a symptom, twelve answers given.
//!
//! `cargo bench --bench growth` prints a table: milliseconds (middle and longest of some visits) for the
//! beliefs with the bits of all open questions, and for everything that follows from one more answer;
//! then the largest memory so far, which is each book's own since they are taken in rising size.

#![expect(clippy::print_stdout, reason = "it prints a table")]
#![expect(clippy::unwrap_used, reason = "a bench: what cannot go on may end it")]

mod synthetic;

use std::time::{Duration, Instant};

use straybelt::reason::{Belief, Seen, Worth};
use straybelt::visit::{ConveyorFacts, Diagnosis};
use synthetic::Shape;

/// Causes and symptoms of each book.
const SIZES: [(usize, usize); 6] =
    [(20, 50), (40, 100), (100, 250), (200, 500), (500, 2_500), (1_000, 5_000)];
const VISITS: u64 = 9;
const ANSWERS: usize = 12;

fn main() {
    if std::env::args().any(|word| word == "--list") {
        return;
    }
    println!("causes  symptoms  beliefs and bits ms   to next question ms   memory MB");
    println!("                   middle   longest      middle   longest");
    for (causes, symptoms) in SIZES {
        let book = Shape::plain(causes, symptoms).book(7);
        let diagnosis = Diagnosis::new(&book);
        let (mut bits, mut whole) = (Vec::new(), Vec::new());
        for seed in 0..VISITS {
            let told = synthetic::visit(&book, ANSWERS, 0, seed);
            let began = Instant::now();
            let finding = diagnosis.finding(&ConveyorFacts::default(), &told);
            whole.push(began.elapsed());
            let evidence = &finding.evidence;
            let began = Instant::now();
            let belief = Belief::new(diagnosis.engine(), evidence).unwrap();
            let open = evidence.symptoms.iter();
            let sum: f64 = open
                .filter(|(_, seen)| **seen == Seen::Open)
                .map(|(s, _)| Worth::new(diagnosis.engine(), evidence, &belief, s).bits)
                .sum();
            bits.push(began.elapsed());
            assert!(sum.is_finite());
        }
        let ((b, b_most), (w, w_most)) = (middle_and_most(bits), middle_and_most(whole));
        let memory = peak_megabytes().map_or("unknown".to_owned(), |mb| format!("{mb:.0}"));
        println!(
            "{causes:6}  {symptoms:8}  {b:7.2}  {b_most:8.2}    {w:8.2}  {w_most:8.2}   {memory:>9}"
        );
    }
}

fn middle_and_most(mut times: Vec<Duration>) -> (f64, f64) {
    times.sort_unstable();
    let ms = |time: Option<&Duration>| time.map_or(f64::NAN, |t| t.as_secs_f64() * 1e3);
    (ms(times.get(times.len() / 2)), ms(times.last()))
}

/// The largest resident memory of this process so far, where the system tells it.
fn peak_megabytes() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    let kilobytes: f64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kilobytes / 1024.0)
}
