//! Which question is offered, what it costs and whether it pays.

use fastrand::Rng;
use straybelt::conveyor::facts::Facts;
use straybelt::reason::{Evidence, Present};
use straybelt::rulebook::index::{AnswerAt, CauseAt, Place, SymptomAt};
use straybelt::rulebook::model::{Book, MachineState, Minutes};
use straybelt::rulebook::network::Network;
use straybelt::visit::{Diagnosis, Finding, Machine, Observations, Reply, Stop};

use super::{finding, looked_on, pattern, signs, told};
use crate::support::books::{self, fix, group, own_looks};
use crate::support::close;
use crate::support::draw;
use crate::support::enumerate::Enumeration;

fn offered(finding: &Finding) -> Vec<usize> {
    finding.next.iter().map(|q| q.symptom.position()).collect()
}

/// A random book with a fix for each cause.
fn random(rng: &mut Rng, causes: usize, symptoms: usize) -> Book {
    let mut book = books::book(draw::network(rng, causes, symptoms), 3);
    for cause in 0..causes {
        book.fixes.push(fix(10.0 + 60.0 * rng.f64(), &[(cause, 0.9)]));
    }
    book
}

/// "Can't tell" is no evidence, and the question is not offered again.
#[test]
fn cannot_tell_changes_nothing() {
    for seed in 0..30 {
        let rng = &mut Rng::with_seed(seed);
        let book = random(rng, 5, 5);
        let mut told = Observations::none(&book);
        for (symptom, node) in book.network.nodes.iter().skip(2) {
            if rng.bool() {
                told.replies[symptom] = Reply::Answer(AnswerAt::at(rng.usize(0..node.answers)));
            }
        }
        let before = finding(&book, &told);
        let asked = SymptomAt::at(rng.usize(0..2));
        told.replies[asked] = Reply::CantTell;
        let after = finding(&book, &told);
        assert_eq!(before.ranked, after.ranked, "seed {seed}");
        assert_eq!(before.sets, after.sets);
        assert_eq!(before.log_evidence, after.log_evidence);
        assert_eq!(before.plan, after.plan);
        assert!(offered(&before).contains(&asked.position()));
        assert!(!offered(&after).contains(&asked.position()));
        for question in &after.next {
            let same = before.next.iter().find(|q| q.symptom == question.symptom);
            assert_eq!(same.unwrap().bits, question.bits);
        }
    }
}

/// The numbers of every question offered are those of enumeration.
#[test]
fn chances_and_bits_are_told_right() {
    for seed in 0..20 {
        let rng = &mut Rng::with_seed(seed);
        let book = random(rng, 4, 5);
        let mut told = Observations::none(&book);
        let mut evidence = Evidence::none(4, 5);
        for (symptom, node) in book.network.nodes.iter().skip(1).step_by(2) {
            let answer = rng.usize(0..node.answers);
            told.replies[symptom] = Reply::Answer(AnswerAt::at(answer));
            evidence = evidence.with(symptom, straybelt::reason::Seen::Answered(answer));
        }
        let truth = Enumeration::of(&book.network, Present { min: 1, max: 3 }, &evidence).unwrap();
        let finding = finding(&book, &told);
        assert_eq!(finding.next.len(), 3);
        for question in &finding.next {
            close(question.bits, truth.bits(question.symptom), "bits");
            for (got, expected) in question.chances.iter().zip(truth.predictive(question.symptom)) {
                close(*got, expected, "chance");
            }
        }
        close(finding.log_evidence.unwrap(), truth.log_evidence, "log evidence");
    }
}

fn two_causes() -> Network {
    let clear: (f64, &[(usize, f64)]) = (0.05, &[(0, 0.9)]);
    let faint: (f64, &[(usize, f64)]) = (0.3, &[(0, 0.4)]);
    signs(&[0.2, 0.2], &[faint, clear, clear])
}

#[test]
fn once_one_of_a_group_is_answered_the_others_are_not_asked() {
    let mut book = books::book(two_causes(), 2);
    group(&mut book, &[0, 2]);
    let mut told = Observations::none(&book);
    assert_eq!(finding(&book, &told).next.len(), 3);
    told.replies[SymptomAt::at(2)] = Reply::CantTell;
    let mut left = offered(&finding(&book, &told));
    left.sort_unstable();
    assert_eq!(left, [0, 1], "can't tell leaves the other wording open");
    told.replies[SymptomAt::at(2)] = Reply::Answer(AnswerAt::at(1));
    assert_eq!(offered(&finding(&book, &told)), [1]);
}

/// What a book asks anew after work is told first where questions stand in a list; no look waits for it.
#[test]
fn the_opening_heads_the_list_and_holds_no_look_back() {
    let mut book = books::book(two_causes(), 2);
    book.thresholds.enough = 1.1;
    book.opening = vec![SymptomAt::at(2), SymptomAt::at(0)];
    book.symptoms[SymptomAt::at(2)].minutes = 2.0;
    let start = finding(&book, &Observations::none(&book));
    assert_eq!(offered(&start), [2, 0, 1]);
    assert_eq!(looked_on(&start), [1]);
    assert!(!start.stop.now());
    let then = finding(&book, &told(&book, &[(1, 0)]));
    assert_eq!((offered(&then), looked_on(&then)), (vec![2, 0], vec![2]));
}

#[test]
fn when_all_is_asked_nothing_is_left() {
    let mut book = books::book(two_causes(), 2);
    let all = told(&book, &[(0, 0), (1, 1), (2, 1)]);
    for (enough, stop) in [(0.8, Stop::LeaderStands), (1.1, Stop::NothingLeft)] {
        book.thresholds.enough = enough;
        let finding = finding(&book, &all);
        assert_eq!(finding.stop, stop);
        assert!(finding.stop.now() && finding.next.is_empty() && finding.next_looks.is_empty());
    }
}

/// What tells most a minute, until one cause is likely enough or looking has taken long enough. What needs isolation is
/// left to the checks of the work.
#[test]
fn the_best_rate_until_it_is_enough() {
    let mut book = books::book(two_causes(), 2);
    let start = finding(&book, &Observations::none(&book));
    assert_eq!(looked_on(&start), [1]);
    assert_eq!(offered(&start)[0], 1);
    let rate = |q: &straybelt::visit::NextQuestion| q.bits / q.minutes;
    assert!(start.next.windows(2).all(|w| rate(&w[0]) >= rate(&w[1])));
    // The same question, twice as long: its twin is taken first.
    book.symptoms[SymptomAt::at(1)].minutes = 2.0;
    assert_eq!(looked_on(&finding(&book, &Observations::none(&book))), [2]);
    let enough = finding(&book, &told(&book, &[(1, 1)]));
    let leader = enough.ranked[0].probability;
    book.thresholds.enough = leader - 0.01;
    assert_eq!(finding(&book, &told(&book, &[(1, 1)])).stop, Stop::LeaderStands);
    book.thresholds.enough = leader + 0.01;
    assert_eq!(looked_on(&finding(&book, &told(&book, &[(1, 1)]))), [2]);
    book.thresholds.enough = 0.9;
    // An hour went into looking, and nothing is clear.
    book.symptoms[SymptomAt::at(0)].minutes = 60.0;
    let mut late = Observations::none(&book);
    late.replies[SymptomAt::at(0)] = Reply::CantTell;
    assert_eq!(finding(&book, &late).stop, Stop::TimeIsUp);
    book.symptoms[SymptomAt::at(0)].minutes = 59.0;
    assert!(!finding(&book, &late).stop.now());
    let mut dead = |symptom| {
        book.symptoms[SymptomAt::at(symptom)].state = MachineState::LockedOut;
        book.looks = own_looks(&book.symptoms);
        finding(&book, &Observations::none(&book))
    };
    dead(0);
    assert_eq!(looked_on(&dead(1)), [2]);
    let dead = dead(2);
    assert_eq!((dead.stop, dead.next.len()), (Stop::NothingLeft, 3));
}

#[test]
fn what_tells_next_to_nothing_is_left_out() {
    let mut network = signs(&[0.2, 0.2], &[]);
    network.nodes.push(pattern(&[0.2, 0.8], &[]));
    let book = books::book(network, 2);
    let start = finding(&book, &Observations::none(&book));
    close(start.next[0].bits, 0.0, "it tells nothing");
    assert_eq!(start.stop, Stop::NothingLeft);
}

/// Minutes of a question: its own, and what changing the machine's state costs.
#[test]
fn changing_the_state_of_the_machine_is_charged() {
    let mut book = books::book(two_causes(), 2);
    book.minutes = Minutes { lock_out: 20.0, restart_and_watch: 10.0, ..book.minutes };
    for (symptom, state) in [MachineState::Anywhere, MachineState::Running, MachineState::LockedOut]
        .into_iter()
        .enumerate()
    {
        book.symptoms[SymptomAt::at(symptom)].state = state;
    }
    for (machine, expected) in
        [(Machine::Running, [1.0, 1.0, 21.0]), (Machine::LockedOut, [1.0, 11.0, 1.0])]
    {
        let told = Observations { machine, ..Observations::none(&book) };
        for question in finding(&book, &told).next {
            assert_eq!(question.minutes, expected[question.symptom.position()], "{machine:?}");
        }
    }
}

/// Answers for and against each cause, in decibans: 10 log10 of the odds with over the odds without.
#[test]
fn why_tells_the_weight_of_each_answer() {
    let diagnosed = |answers: &[(usize, usize)], symptom: usize| {
        let book = books::book(two_causes(), 2);
        let diagnosis = Diagnosis::new(&book);
        let finding = diagnosis.finding(&Facts::default(), &told(&book, answers));
        let odds = |skip: Option<usize>| {
            let kept: Vec<(usize, usize)> =
                answers.iter().copied().filter(|(s, _)| Some(*s) != skip).collect();
            let p = super::chances(&super::finding(&book, &told(&book, &kept)), 0).1;
            p / (1.0 - p)
        };
        let expected = 10.0 * (odds(None) / odds(Some(symptom))).log10();
        (diagnosis.why(&finding, CauseAt::at(0)), expected)
    };
    let (why, expected) = diagnosed(&[(0, 1), (1, 1), (2, 0)], 1);
    let order: Vec<usize> = why.raises.iter().map(|w| w.symptom.position()).collect();
    assert_eq!(order, [1, 0], "strongest first");
    close(why.raises[0].decibans, expected, "the clear sign");
    assert_eq!(why.raises[0].answer, AnswerAt::at(1));
    assert!(why.raises.iter().all(|w| w.decibans > 0.0));
    assert_eq!(why.lowers.len(), 1);
    assert_eq!(why.lowers[0].symptom, SymptomAt::at(2));
    assert!(why.lowers[0].decibans < 0.0);
}

/// Answers that the book expects fit; those that contradict each other do not, and the odd one is named.
#[test]
fn answers_fit_together_or_not() {
    let sure: (f64, &[(usize, f64)]) = (0.002, &[(0, 0.99)]);
    let other: (f64, &[(usize, f64)]) = (0.002, &[(1, 0.99)]);
    let book = books::book(signs(&[0.2, 0.2], &[sure, sure, sure, other, other]), 1);
    let diagnosis = Diagnosis::new(&book);
    let fits = |answers: &[(usize, usize)]| {
        let finding = diagnosis.finding(&Facts::default(), &told(&book, answers));
        diagnosis.fits(&finding).unwrap()
    };
    assert_eq!(fits(&[]).percentile, 100.0);
    let good = fits(&[(0, 1), (1, 1), (2, 1), (3, 0), (4, 0)]);
    assert!(good.percentile > 40.0, "{good:?}");
    assert!(good.worst.is_empty(), "{good:?}");
    let bad = fits(&[(0, 1), (1, 1), (2, 0), (3, 1), (4, 0)]);
    assert!(bad.percentile < 1.0, "{bad:?}");
    assert!(!bad.worst.is_empty());
    let odd = fits(&[(0, 1), (1, 1), (2, 1), (3, 1), (4, 0)]);
    assert_eq!(odd.worst[0], SymptomAt::at(3), "{odd:?}");
}
