//! Small books at random, in which every way of asking can be worked out.

use fastrand::Rng;
use straybelt::rulebook::index::{CauseAt, List, Place, SymptomAt};
use straybelt::rulebook::model::{Book, MachineState, Minutes, Work};
use straybelt::rulebook::network::{Kind, Network, Node, Says, Voice};

use super::books::{book, fix, fixes, own_looks};
use super::draw::row;

/// A book of 4 or 5 causes and 4 or 5 questions. Every second one makes isolation and restart cost
/// something and has questions that need it; every third has imperfect cures.
pub fn small_book(rng: &mut Rng, number: usize) -> Book {
    let (causes, questions) = (rng.usize(4..=5), rng.usize(4..=5));
    let mut nodes: List<SymptomAt, Node> = List::default();
    for question in 0..questions {
        let kind = if question < 3 { (number + question) % 3 } else { rng.usize(0..4) };
        let of_first = nodes.values().next().map_or(2, |n| n.answers);
        nodes.push(node(rng, causes, kind, of_first));
    }
    let network = Network { priors: (0..causes).map(|_| 0.05 + 0.25 * rng.f64()).collect(), nodes };
    let mut book = book(network, 3);
    let (isolating, imperfect) = (number % 2 == 1, number % 3 == 1);
    book.minutes = Minutes {
        lock_out: if isolating { 5.0 + 15.0 * rng.f64() } else { 0.0 },
        restart_and_watch: if isolating { 5.0 + 10.0 * rng.f64() } else { 0.0 },
        give_up: 1000.0 + 2000.0 * rng.f64(),
    };
    for symptom in book.symptoms.places() {
        let entry = &mut book.symptoms[symptom];
        entry.minutes = 1.0 + 14.0 * rng.f64().powi(2);
        entry.state = match rng.u32(0..6) {
            0 => MachineState::Anywhere,
            1..3 if isolating => MachineState::LockedOut,
            _ => MachineState::Running,
        };
    }
    book.looks = own_looks(&book.symptoms);
    for cause in 0..causes {
        let surely = if imperfect { 0.6 + 0.39 * rng.f64() } else { 0.999 };
        let mut fix = fix(10.0 + 110.0 * rng.f64(), &[(cause, surely)]);
        if isolating && rng.f64() < 0.2 {
            fix.work = Work::Running(Vec::new());
        }
        if cause > 0 && rng.f64() < 0.25 {
            fix.after = fixes(&[rng.usize(0..cause)]);
        }
        book.fixes.push(fix);
    }
    if imperfect {
        // A second way for one cause, and some of another: longer and surer.
        let (one, other) = (rng.usize(0..causes - 1), causes - 1);
        book.fixes.push(fix(60.0 + 90.0 * rng.f64(), &[(one, 0.97), (other, 0.8)]));
    }
    book
}

/// A question of this kind: sign, pattern, grade, or a pattern relative to the first question, which has
/// so many answers.
fn node(rng: &mut Rng, causes: usize, kind: usize, of_first: usize) -> Node {
    let linked = |rng: &mut Rng| -> Vec<CauseAt> {
        let all = (0..causes).filter(|_| rng.f64() < 0.6);
        all.map(CauseAt::at).collect()
    };
    // A row that favours one answer, the more so the sharper.
    let favouring = |rng: &mut Rng, sharp: f64| -> Vec<f64> {
        let (rest, favoured) = (row(rng, 3), rng.usize(0..3));
        let share =
            |(a, p): (usize, &f64)| (1.0 - sharp) * p + if a == favoured { sharp } else { 0.0 };
        rest.iter().enumerate().map(share).collect()
    };
    let voices = linked(rng).into_iter();
    match kind {
        0 => Node {
            answers: 2,
            kind: Kind::Sign {
                leak: 0.01 + 0.15 * rng.f64(),
                links: voices.map(|c| (c, 0.5 + 0.49 * rng.f64())).collect(),
            },
        },
        2 => Node {
            answers: 3,
            kind: Kind::Grade {
                base: vec![0.8, 0.95, 1.0],
                rows: voices
                    .map(|c| {
                        let none = 0.02 + 0.3 * rng.f64();
                        (c, vec![none, none + (0.99 - none) * rng.f64(), 1.0])
                    })
                    .collect(),
            },
        },
        _ => Node {
            answers: 3,
            kind: Kind::Pattern {
                background: favouring(rng, 0.3),
                voices: voices
                    .map(|c| {
                        let says = if kind == 1 {
                            Says::Row(favouring(rng, 0.7))
                        } else {
                            Says::Relative {
                                parent: SymptomAt::at(0),
                                rows: (0..of_first).map(|_| Some(favouring(rng, 0.8))).collect(),
                            }
                        };
                        (c, Voice { weight: 1.0, says })
                    })
                    .collect(),
            },
        },
    }
}
