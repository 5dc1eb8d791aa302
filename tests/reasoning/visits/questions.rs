//! Which question is offered, what it costs and whether it pays.

use fastrand::Rng;
use straybelt::reason::{Evidence, Present};
use straybelt::rulebook::index::{AnswerAt, CauseAt, Place, SymptomAt};
use straybelt::rulebook::model::{Book, MachineState, Minutes};
use straybelt::rulebook::network::{Kind, Network, Node, Says, Voice};
use straybelt::visit::{Diagnosis, Finding, Machine, Observations, Reply, Stop};

use super::{finding, pattern, signs, told};
use crate::support::books::{self, NOTHING_KNOWN, fix, group};
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

/// A question that every cause answers alike saves no minute, however many unlikely sets of causes there
/// are: what is set aside as unlikely must weigh the same before and after.
#[test]
fn a_question_that_tells_nothing_saves_nothing() {
    let mut network = signs(&[0.02; 40], &[]);
    network.nodes.push(pattern(&[0.2, 0.8], &[]));
    let half: Vec<(usize, &[f64])> = (0..20).map(|c| (c, &[0.9, 0.1][..])).collect();
    network.nodes.push(pattern(&[0.1, 0.9], &half));
    let mut book = books::book(network, 3);
    for first in 0..8 {
        let cures: Vec<(usize, f64)> = (first..40).step_by(8).map(|c| (c, 0.95)).collect();
        book.fixes.push(fix(30.0, &cures));
    }
    book.symptoms[SymptomAt::at(0)].minutes = 1e-9;
    book.symptoms[SymptomAt::at(1)].minutes = 1e9;
    let finding = finding(&book, &Observations::none(&book));
    let of = |s: usize| {
        let mut next = finding.next.iter();
        next.find(|q| q.symptom == SymptomAt::at(s)).unwrap()
    };
    close(of(0).bits, 0.0, "bits");
    assert!(of(0).saves_minutes.unwrap().abs() < 1e-6, "{:?}", of(0));
    // The other one tells something, but not for a thousand million minutes.
    assert!(of(1).saves_minutes.unwrap() > 0.1, "{:?}", of(1));
    assert_eq!(of(1).pays, Some(false));
    assert!(finding.stop.now());
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

#[test]
fn the_opening_comes_first_in_the_order_of_the_book() {
    let mut book = books::book(two_causes(), 2);
    book.opening = vec![SymptomAt::at(2), SymptomAt::at(0)];
    let start = finding(&book, &Observations::none(&book));
    assert_eq!(offered(&start), [2, 0, 1]);
    assert_eq!(start.stop, Stop::Opening);
    assert!(!start.stop.now());
    let then = finding(&book, &told(&book, &[(2, 0)]));
    assert_eq!(offered(&then), [0, 1]);
    assert_eq!(then.stop, Stop::Opening);
    assert_ne!(finding(&book, &told(&book, &[(2, 0), (0, 0)])).stop, Stop::Opening);
}

#[test]
fn when_all_is_asked_nothing_is_left() {
    let book = books::book(two_causes(), 2);
    let finding = finding(&book, &told(&book, &[(0, 0), (1, 1), (2, 1)]));
    assert_eq!(finding.stop, Stop::NothingLeft);
    assert!(finding.stop.now() && finding.next.is_empty());
}

/// Of two questions that pay, the one with more bits per minute; a question never pays for more minutes
/// than a plan can save.
#[test]
fn the_best_rate_among_those_that_pay() {
    let mut book = books::book(two_causes(), 2);
    book.fixes.push(fix(100.0, &[(0, 0.95)]));
    book.fixes.push(fix(100.0, &[(1, 0.95)]));
    let start = finding(&book, &Observations::none(&book));
    assert_eq!(start.stop, Stop::Pays(SymptomAt::at(1)));
    assert_eq!(offered(&start)[0], 1);
    assert_eq!(start.next[0].pays, Some(true));
    assert!(start.next[0].saves_minutes.unwrap() > 1.0);
    // The same question, twice as long: its twin is taken first.
    book.symptoms[SymptomAt::at(1)].minutes = 2.0;
    assert_eq!(finding(&book, &Observations::none(&book)).stop, Stop::Pays(SymptomAt::at(2)));
    for symptom in book.symptoms.places() {
        book.symptoms[symptom].minutes = 300.0;
    }
    let dear = finding(&book, &Observations::none(&book));
    assert_eq!(dear.stop, Stop::NothingPays);
    assert!(dear.next.iter().all(|q| q.pays == Some(false)));
    let rate = |q: &straybelt::visit::NextQuestion| q.bits / q.minutes;
    assert!(dear.next.windows(2).all(|w| rate(&w[0]) >= rate(&w[1])));
}

/// Two causes that part only by how two answers go together: the side the belt runs to, and the low side
/// that one cause predicts and the other denies. Either answer alone tells nothing.
fn only_together() -> Book {
    let mut network = signs(&[0.2, 0.2], &[]);
    let parent = network.nodes.push(pattern(&[0.5, 0.5], &[]));
    let (toward, away) = (vec![0.98, 0.02], vec![0.02, 0.98]);
    let voice = |rows: [&Vec<f64>; 2]| Voice {
        weight: 1.0,
        says: Says::Relative { parent, rows: rows.iter().map(|r| Some((*r).clone())).collect() },
    };
    network.nodes.push(Node {
        answers: 2,
        kind: Kind::Pattern {
            background: vec![0.5, 0.5],
            voices: vec![
                (CauseAt::at(0), voice([&toward, &away])),
                (CauseAt::at(1), voice([&away, &toward])),
            ],
        },
    });
    let mut book = books::book(network, 1);
    book.fixes.push(fix(100.0, &[(0, 0.999)]));
    book.fixes.push(fix(100.0, &[(1, 0.999)]));
    book
}

/// A relative symptom and its parent pay together where neither pays alone: half of 100 minutes is saved,
/// less what is left to doubt.
#[test]
fn a_pair_that_only_tells_together_is_valued_together() {
    let mut book = only_together();
    let (parent, relative) = (SymptomAt::at(0), SymptomAt::at(1));
    let with_minutes = |book: &mut Book, minutes: f64| {
        book.symptoms[parent].minutes = minutes;
        book.symptoms[relative].minutes = minutes;
        finding(book, &Observations::none(book))
    };
    let start = with_minutes(&mut book, 23.0);
    let Stop::Pays(first) = start.stop else { panic!("{:?}", start.stop) };
    assert_eq!(start.next[0].symptom, first);
    close(start.next[0].bits, 0.0, "alone it tells nothing");
    assert_eq!(start.next[0].pays, Some(true));
    // (0.98 - 0.5) x 0.999 of 100 minutes together, 23 of them for the other one.
    close(start.next[0].saves_minutes.unwrap(), 47.952 - 23.0, "what it saves");
    assert_eq!(start.next[1].pays, Some(false));
    for answer in 0..2 {
        let then = finding(&book, &told(&book, &[(first.position(), answer)]));
        assert!(matches!(then.stop, Stop::Pays(second) if second != first));
    }
    assert_eq!(with_minutes(&mut book, 24.5).stop, Stop::NothingPays, "49 for 48");

    with_minutes(&mut book, 20.0);
    book.symptoms[relative].state = MachineState::LockedOut;
    let start = finding(&book, &Observations::none(&book));
    assert_eq!(start.stop, Stop::Pays(parent), "what needs no stop is asked first");
    book.symptoms[relative].state = MachineState::Running;
    book.symptoms[parent].state = MachineState::LockedOut;
    let start = finding(&book, &Observations::none(&book));
    assert_eq!(start.stop, Stop::Pays(relative), "what needs no stop is asked first");
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

/// A machine that is locked out already saves the plan a lock-out, and a question that unlocks it costs
/// the plan one.
#[test]
fn the_state_a_question_leaves_carries_into_the_plan() {
    let mut book = books::book(two_causes(), 2);
    book.minutes.lock_out = 20.0;
    for other in [0, 2] {
        book.symptoms[SymptomAt::at(other)].minutes = 1e6;
    }
    book.fixes.push(fix(100.0, &[(0, 0.95)]));
    book.fixes.push(fix(100.0, &[(1, 0.95)]));
    let saved = |book: &Book, machine| {
        let told = Observations { machine, ..Observations::none(book) };
        let finding = finding(book, &told);
        let mut next = finding.next.into_iter();
        next.find(|q| q.symptom == SymptomAt::at(1)).unwrap().saves_minutes.unwrap()
    };
    let stays = saved(&book, Machine::LockedOut);
    let stayed_running = saved(&book, Machine::Running);
    book.symptoms[SymptomAt::at(1)].state = MachineState::LockedOut;
    assert!(saved(&book, Machine::Running) > stayed_running + 15.0, "the plan starts locked out");
    let locked_all_along = saved(&book, Machine::LockedOut);
    assert!(locked_all_along > stays + 15.0, "a running question unlocks it again");
}

/// Answers for and against each cause, in decibans: 10 log10 of the odds with over the odds without.
#[test]
fn why_tells_the_weight_of_each_answer() {
    let diagnosed = |answers: &[(usize, usize)], symptom: usize| {
        let book = books::book(two_causes(), 2);
        let diagnosis = Diagnosis::new(&book);
        let finding = diagnosis.finding(&NOTHING_KNOWN, &told(&book, answers));
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
        let finding = diagnosis.finding(&NOTHING_KNOWN, &told(&book, answers));
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
