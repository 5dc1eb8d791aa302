//! How long the belt-line model takes, and how that grows with the conveyor: `cargo bench --bench mechanics`.

#![allow(clippy::expect_used, reason = "a bench that cannot go on fails loudly")]

use divan::{Bencher, black_box};
use straybelt::mechanics::{BeltState, Case, Fault, Line, March};
use straybelt::trade::End;
use straybelt::trade::Strand;

fn main() {
    divan::main();
}

/// Metres between the pulleys.
const LENGTHS: [u32; 6] = [25, 100, 200, 500, 1_000, 2_000];

fn case(metres: u32) -> Case {
    let line = Line::middling(f64::from(metres));
    let faults = [
        Fault::Skewed { strand: Strand::Return, station: 3, skew_rad: 0.03 },
        Fault::SkewedPulley { end: End::Tail, skew_rad: 0.002 },
        Fault::BentFrame { from_m: 5.0, to_m: 20.0, left_m: 0.02 },
        Fault::CrookedSplice { at_m: 0.0, kink_rad: 0.005 },
    ];
    Case::new(&line, &faults).expect("a possible conveyor")
}

/// Aimed at: 100 m in 5 ms, 2 km in 200 ms.
#[divan::bench(args = LENGTHS)]
fn comes_to_rest(bencher: Bencher<'_, '_>, metres: u32) {
    let case = case(metres);
    bencher.bench(|| black_box(&case).steady().expect("at rest"));
}

/// Faults put on and the conveyor meshed: part of every move.
#[divan::bench(args = [100, 2_000])]
fn puts_faults_on(bencher: Bencher<'_, '_>, metres: u32) {
    bencher.bench(|| case(black_box(metres)));
}

/// Aimed at: 100 m in 50 ms.
#[divan::bench(args = LENGTHS, sample_count = 10)]
fn one_turn(bencher: Bencher<'_, '_>, metres: u32) {
    let case = case(metres);
    bencher.with_inputs(|| BeltState::straight(&case, 0.0)).bench_values(|lies| {
        let mut march = March::new(&case, lies).expect("it runs");
        march.turns(1).expect("a turn");
        march.into_state()
    });
}

/// The same, looked at from every station by 24 marks.
#[divan::bench(args = [100, 500], sample_count = 10)]
fn one_turn_watched(bencher: Bencher<'_, '_>, metres: u32) {
    let case = case(metres);
    bencher.with_inputs(|| BeltState::straight(&case, 0.0)).bench_values(|lies| {
        let mut march = March::new(&case, lies).expect("it runs");
        march.watch(24).expect("a turn")
    });
}
