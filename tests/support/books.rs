//! Rule books of a few causes, made from numbers alone; the words are fillers.

use straybelt::conveyor::facts::{Fact, FactKey, Facts};
use straybelt::rulebook::index::{AnswerAt, CauseAt, FixAt, List, LookAt, Place, SymptomAt};
use straybelt::rulebook::model::{
    About, Answer, Book, Cause, Condition, EdgeRoom, Fix, IfWorse, Look, MachineState, Minutes,
    Reports, Roles, Source, Stage, Symptom, Takes, Thresholds, Told, ToldBy, Walking, Work,
};
use straybelt::rulebook::network::Network;
use straybelt::rulebook::words::Words;

/// A fact by its words.
pub fn fact(key: &str, value: &str) -> Fact {
    FactKey::named(key).and_then(|key| key.with(value)).expect("no such fact")
}

/// A conveyor of which this is known.
pub fn known(key: &str, value: &str) -> Facts {
    [fact(key, value)].into_iter().collect()
}

/// A book with the causes and symptoms of a network and no fixes. Questions are answered in a minute
/// from outside the guards, each by itself; isolation and restart cost nothing; giving up costs 4,800 minutes.
pub fn book(network: Network, at_most: usize) -> Book {
    let nodes = network.nodes.iter();
    let symptoms = nodes.map(|(s, node)| symptom(s.position(), node.answers)).collect();
    Book {
        name: "test".into(),
        version: "1".into(),
        fingerprint: String::new(),
        signed: None,
        at_most,
        something_else: 0.0,
        minutes: Minutes { lock_out: 0.0, restart_and_watch: 0.0, give_up: 4800.0 },
        restart: Takes::default(),
        reports: Reports {
            as_suspected: (0.95, 0.03),
            was_fine: (0.05, 0.97),
            outcome_wrong: 0.05,
            same_again: 0.9,
        },
        thresholds: Thresholds {
            unlikely: 0.01,
            enough: 0.80,
            looking_minutes: 60.0,
            clear: 0.30,
            unclear_work_minutes: 60.0,
            supervisor_first_minutes: 960.0,
        },
        words: Words::default(),
        causes: network.priors.iter().map(|(c, p)| cause(c.position(), *p)).collect(),
        looks: own_looks(&symptoms),
        symptoms,
        walking: Walking::default(),
        told: Told::default(),
        fixes: List::default(),
        cautions: List::default(),
        sources: List::default(),
        glossary: Vec::new(),
        tools: Vec::new(),
        opening: Vec::new(),
        groups: Vec::new(),
        group_names: Vec::new(),
        roles: Roles::default(),
        stop_now: Vec::new(),
        edge_room: EdgeRoom {
            id: "edge-room".into(),
            ask: String::new(),
            answers: Vec::new(),
            look: String::new(),
            why: String::new(),
            leave_it: Vec::new(),
            urgent: Vec::new(),
            source: Source::Memory,
        },
        tell_specialist: Vec::new(),
        gauge_sizes: Vec::new(),
        network,
    }
}

/// A look for each symptom, with its state and words as they are now.
pub fn own_looks(symptoms: &List<SymptomAt, Symptom>) -> List<LookAt, Look> {
    symptoms.iter().map(|(at, symptom)| Look::of_its_own(at, symptom)).collect()
}

fn cause(number: usize, prior: f64) -> Cause {
    Cause {
        id: format!("cause-{number}"),
        name: format!("cause {number}"),
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

fn symptom(number: usize, answers: usize) -> Symptom {
    let answer =
        |a: usize| Answer { id: format!("answer-{a}"), says: format!("answer {a}"), means: None };
    Symptom {
        id: format!("symptom-{number}"),
        ask: format!("Symptom {number}?"),
        answers: (0..answers).map(answer).collect(),
        marks: Vec::new(),
        how_to_look: String::new(),
        look: LookAt::at(number),
        told_by: ToldBy::Seen,
        tick: String::new(),
        why: String::new(),
        drawing: None,
        minutes: 1.0,
        state: MachineState::Running,
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

/// A fix that needs isolation, takes so many minutes and cures these causes with these chances.
pub fn fix(minutes: f64, cures: &[(usize, f64)]) -> Fix {
    Fix {
        id: String::new(),
        title: String::new(),
        stage: Stage::Clean,
        cures: cures.iter().map(|&(c, p)| (CauseAt::at(c), p)).collect(),
        begins_with: Vec::new(),
        no_check: String::new(),
        in_short: String::new(),
        work: Work::LockedOut(Vec::new()),
        minutes,
        takes: Takes::fixed(minutes),
        people: 1,
        tools: Vec::new(),
        parts: Vec::new(),
        after: Vec::new(),
        needs: Vec::new(),
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
}

/// Puts these symptoms into one group.
pub fn group(book: &mut Book, symptoms: &[usize]) {
    for &s in symptoms {
        book.symptoms[SymptomAt::at(s)].group = Some(book.groups.len());
    }
    let group = symptoms.iter().map(|&s| SymptomAt::at(s)).collect();
    book.groups.push(group);
    book.group_names.push(format!("group-{}", book.groups.len()));
}

/// A condition on the conveyor.
pub fn conveyor_is(key: &str, is: &[&str]) -> Condition {
    Condition {
        about: About::Conveyor {
            key: FactKey::named(key).expect("no such fact"),
            is: is.iter().map(|value| fact(key, value)).collect(),
        },
        not: false,
    }
}

/// A condition on an answer.
pub fn answered(symptom: usize, is: &[usize]) -> Condition {
    Condition {
        about: About::Answer {
            symptom: SymptomAt::at(symptom),
            is: is.iter().map(|&a| AnswerAt::at(a)).collect(),
        },
        not: false,
    }
}

/// The condition turned round.
pub fn not(condition: Condition) -> Condition {
    Condition { not: !condition.not, ..condition }
}

/// The places of these fixes.
pub fn fixes(numbers: &[usize]) -> Vec<FixAt> {
    numbers.iter().map(|&f| FixAt::at(f)).collect()
}
