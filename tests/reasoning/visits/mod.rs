//! What follows from what was told: conditions, questions, reports and plans of small books, by hand and
//! by enumeration.

mod choices;
mod conditions;
mod looks;
mod marks;
mod plans;
mod questions;
mod reports;
mod second;

use straybelt::conveyor::facts::Facts;
use straybelt::rulebook::index::{AnswerAt, CauseAt, List, Place, SymptomAt};
use straybelt::rulebook::model::Book;
use straybelt::rulebook::network::{Kind, Network, Node, Says, Voice};
use straybelt::visit::{Diagnosis, Finding, Observations, Reply, Stop};

/// A network of these priors and signs, each with its leak and links.
fn signs(priors: &[f64], signs: &[(f64, &[(usize, f64)])]) -> Network {
    let sign = |(leak, links): &(f64, &[(usize, f64)])| Node {
        answers: 2,
        kind: Kind::Sign {
            leak: *leak,
            links: links.iter().map(|&(c, p)| (CauseAt::at(c), p)).collect(),
        },
    };
    Network {
        priors: priors.iter().copied().collect(),
        nodes: signs.iter().map(sign).collect::<List<SymptomAt, Node>>(),
    }
}

/// A pattern in which these causes have a voice.
fn pattern(background: &[f64], voices: &[(usize, &[f64])]) -> Node {
    let voice = |&(cause, row): &(usize, &[f64])| {
        let says = Says::Row(row.to_vec());
        (CauseAt::at(cause), Voice { weight: 1.0, says })
    };
    Node {
        answers: background.len(),
        kind: Kind::Pattern {
            background: background.to_vec(),
            voices: voices.iter().map(voice).collect(),
        },
    }
}

/// What was told: these answers, the other questions not asked.
fn told(book: &Book, answers: &[(usize, usize)]) -> Observations {
    let mut told = Observations::none(book);
    for &(symptom, answer) in answers {
        told.replies[SymptomAt::at(symptom)] = Reply::Answer(AnswerAt::at(answer));
    }
    told
}

/// The finding on a conveyor of which nothing is known.
fn finding(book: &Book, told: &Observations) -> Finding {
    Diagnosis::new(book).finding(&Facts::default(), told)
}

/// What is looked at next, standing at one place; nothing where looking is at its end.
fn looked_on(finding: &Finding) -> Vec<usize> {
    match &finding.stop {
        Stop::LookOn(look) => look.items.iter().map(|item| item.position()).collect(),
        _ => Vec::new(),
    }
}

/// Chance of a cause to be still present, and to have been at the start.
fn chances(finding: &Finding, cause: usize) -> (f64, f64) {
    let mut ranked = finding.ranked.iter();
    let found = ranked.find(|r| r.cause == CauseAt::at(cause)).unwrap();
    (found.probability, found.was_present)
}
