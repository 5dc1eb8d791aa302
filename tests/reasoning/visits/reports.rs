//! What was found and done, through the book's own numbers.

use fastrand::Rng;
use straybelt::reason::{Batch, Evidence, Found, Outcome, Present, Seen, WorkDone};
use straybelt::rulebook::index::{AnswerAt, CauseAt, FixAt, Place};
use straybelt::rulebook::model::{Book, Reports};
use straybelt::visit::{Diagnosis, FoundReport, Observations, Reply};

use super::{chances, finding, signs};
use crate::support::books::{self, fix, fixes};
use crate::support::close;
use crate::support::draw;
use crate::support::enumerate::Enumeration;

/// Random books with random work: what the finding says is what enumeration says, from the book's own
/// numbers for reports.
#[test]
fn reports_reach_the_belief_with_the_numbers_of_the_book() {
    let outcomes = [Outcome::True, Outcome::Better, Outcome::NoChange, Outcome::Worse];
    for seed in 0..60 {
        let rng = &mut Rng::with_seed(seed);
        let mut book = books::book(draw::network(rng, 4, 3), 3);
        book.reports = Reports {
            as_suspected: (0.9, 0.02),
            was_fine: (0.1, 0.8),
            outcome_wrong: 0.08,
            same_again: 0.9,
        };
        // Two fixes may cure one cause; the best single chance counts, not the product.
        for cures in [&[(0, 0.9)][..], &[(0, 0.6), (1, 0.7)], &[(2, 0.5), (3, 0.8)], &[(3, 0.4)]] {
            book.fixes.push(fix(20.0, cures));
        }
        let mut told = Observations::none(&book);
        let answer = rng.usize(0..book.network.nodes.values().next().unwrap().answers);
        let first = book.symptoms.places().next().unwrap();
        told.replies[first] = Reply::Answer(AnswerAt::at(answer));
        told.done = vec![fixes(&[0, 1]), fixes(&[2, 3])];
        told.outcomes = (0..rng.usize(0..=2)).map(|_| outcomes[rng.usize(0..4)]).collect();
        told.found = vec![
            (CauseAt::at(1), FoundReport::AsSuspected),
            (CauseAt::at(2), FoundReport::WasFine),
        ];
        let mut evidence = Evidence::none(4, 3).with(first, Seen::Answered(answer));
        let found = |cause, (if_present, if_absent)| Found {
            cause: CauseAt::at(cause),
            if_present,
            if_absent,
        };
        let batch = |cures: &[(usize, f64)], number: usize| Batch {
            cures: cures.iter().map(|&(c, p)| (CauseAt::at(c), p)).collect(),
            outcome: told.outcomes.get(number).copied(),
        };
        let answers_alone = Enumeration::of(&book.network, Present { min: 1, max: 3 }, &evidence);
        let answers_alone = answers_alone.unwrap().log_evidence;
        evidence.work = WorkDone {
            found: vec![found(1, (0.9, 0.02)), found(2, (0.1, 0.8))],
            batches: vec![batch(&[(0, 0.9), (1, 0.7)], 0), batch(&[(2, 0.5), (3, 0.8)], 1)],
            wrong: 0.08,
        };
        let truth = Enumeration::of(&book.network, Present { min: 1, max: 3 }, &evidence).unwrap();
        let finding = finding(&book, &told);
        let (still, was) = (truth.still_present(), truth.marginals());
        for cause in 0..4 {
            let (now, then) = chances(&finding, cause);
            close(now, still[cause], &format!("seed {seed}: cause {cause} now"));
            close(then, was[cause], &format!("seed {seed}: cause {cause} at the start"));
        }
        close(finding.log_evidence.unwrap(), answers_alone, "ln P(answers), the work left out");
        let now: Vec<f64> = finding.ranked.iter().map(|r| r.probability).collect();
        assert!(now.windows(2).all(|w| w[0] >= w[1]), "most likely first: {now:?}");
        for (present, chance) in &finding.sets {
            close(*chance, truth.chance(|s| s == present), "a set");
        }
        let sets: Vec<f64> = finding.sets.iter().map(|s| s.1).collect();
        assert!(sets.windows(2).all(|w| w[0] >= w[1]), "likeliest first: {sets:?}");
    }
}

fn two_to_one() -> Book {
    let mut book = books::book(signs(&[0.4, 0.25], &[]), 1);
    book.fixes.push(fix(20.0, &[(0, 0.9)]));
    book.fixes.push(fix(20.0, &[(0, 0.9)]));
    book.fixes.push(fix(20.0, &[(1, 0.9)]));
    book
}

/// By hand: odds 2 to 1 between two causes, of which one is present.
#[test]
fn reports_by_hand() {
    let book = two_to_one();
    let told = Observations {
        found: vec![(CauseAt::at(0), FoundReport::WasFine)],
        ..Observations::none(&book)
    };
    // 2 x 0.05 against 1 x 0.97.
    close(chances(&finding(&book, &told), 0).0, 0.1 / 1.07, "was fine");

    let told = Observations {
        done: vec![fixes(&[0])],
        outcomes: vec![Outcome::NoChange],
        ..Observations::none(&book)
    };
    // Present and uncured: 2 x 0.1 x 0.95; cured, wrongly reported: 2 x 0.9 x 0.025; the other: 0.95.
    let (left, cured, other) = (0.2 * 0.95, 1.8 * 0.025, 0.95);
    let (now, then) = chances(&finding(&book, &told), 0);
    close(now, left / (left + cured + other), "still present");
    close(then, (left + cured) / (left + cured + other), "present at the start");
}

/// A second fix for the same cause as good as the first cures nothing more: it is not planned.
#[test]
fn the_same_chance_again_is_no_gain() {
    let book = two_to_one();
    let told = Observations { done: vec![fixes(&[0])], ..Observations::none(&book) };
    let finding = finding(&book, &told);
    let planned: Vec<FixAt> =
        finding.plan.batches.iter().flat_map(|b| &b.steps).map(|s| s.fix).collect();
    assert_eq!(planned, fixes(&[2]));
    // 2/3 x 0.1 of the first remain, and a third of the second.
    close(chances(&finding, 0).0, 2.0 / 30.0, "the first");
    close(chances(&finding, 1).0, 1.0 / 3.0, "the second");
    close(finding.plan.cured_by_plan, 2.0 / 3.0 * 0.9 + 0.9 / 3.0, "cured");
}

/// By hand: a try with 0.5 left half of the first cause; a surer one, 0.9, cures four fifths of that, since
/// both would have met the same easy cases: (0.9 - 0.5) / (1 - 0.5).
#[test]
fn a_surer_fix_cures_part_of_what_an_earlier_try_left() {
    let mut book = two_to_one();
    book.fixes[FixAt::at(0)] = fix(20.0, &[(0, 0.5)]);
    let told = Observations { done: vec![fixes(&[0])], ..Observations::none(&book) };
    let plan = finding(&book, &told).plan;
    let gains = plan.batches.iter().flat_map(|b| &b.steps);
    let mut gains: Vec<(FixAt, f64)> = gains.map(|s| (s.fix, s.gain)).collect();
    gains.sort_by_key(|(fix, _)| *fix);
    assert_eq!(gains.len(), 2, "{gains:?}");
    assert_eq!((gains[0].0, gains[1].0), (FixAt::at(1), FixAt::at(2)));
    close(gains[0].1, 0.8 / 3.0, "four fifths of what is left");
    close(gains[1].1, 0.9 / 3.0, "all of its own chance");
    close(plan.cured_by_plan, (1.0 + 0.8 + 0.9) / 3.0, "cured");
}

/// Ways that leave the same are planned for together. By hand: of {first}, {second} and {both} with 6, 3
/// and 2 in 11 a fix with 0.9 for the first leaves nothing, the first, the second or both with 5.4, 0.6,
/// 4.8 and 0.2 in 11.
#[test]
fn what_the_work_left_is_planned_for() {
    let mut book = two_to_one();
    book.at_most = 2;
    book.fixes[FixAt::at(1)] = fix(20.0, &[(0, 0.95)]);
    let told = Observations { done: vec![fixes(&[0])], ..Observations::none(&book) };
    let diagnosis = Diagnosis::new(&book);
    let problem = diagnosis.planning(&finding(&book, &told)).unwrap();
    assert_eq!(problem.fixes.len(), 2);
    let cured = |fixes: &[usize]| 11.0 * problem.all_cured(fixes.iter().copied());
    close(cured(&[]), 5.4, "nothing remains");
    close(cured(&[0]), 5.4 + 0.6 * 0.5, "another try at the first");
    close(cured(&[1]), 5.4 + 4.8 * 0.9, "the second");
    let both = 5.4 + 0.6 * 0.5 + 4.8 * 0.9 + 0.2 * 0.5 * 0.9;
    close(cured(&[0, 1]), both, "both");
}

#[test]
fn what_could_not_be_done_is_not_planned_again() {
    let book = two_to_one();
    let told = Observations { could_not: fixes(&[0]), ..Observations::none(&book) };
    let finding = finding(&book, &told);
    let mut planned: Vec<FixAt> =
        finding.plan.batches.iter().flat_map(|b| &b.steps).map(|s| s.fix).collect();
    planned.sort_unstable();
    assert_eq!(planned, fixes(&[1, 2]));
    close(chances(&finding, 0).0, 2.0 / 3.0, "no evidence");
}

/// At most twenty sets are told, those that are likeliest.
#[test]
fn twenty_sets_are_told() {
    let book = books::book(signs(&[0.1; 6], &[]), 3);
    let finding = finding(&book, &Observations::none(&book));
    assert_eq!(finding.sets.len(), 20);
    assert!(finding.sets[..6].iter().all(|(set, _)| set.len() == 1));
    assert!(finding.sets[6..].iter().all(|(set, _)| set.len() == 2));
    // By hand: more than three of six at 0.1, given one at least.
    let exactly = |n: i32, ways: f64| ways * 0.1_f64.powi(n) * 0.9_f64.powi(6 - n);
    let more = exactly(4, 15.0) + exactly(5, 6.0) + exactly(6, 1.0);
    close(finding.mass_left_out, more / (1.0 - 0.9_f64.powi(6)), "mass left out");
}
