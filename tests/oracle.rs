//! Beliefs, log evidence and bits against enumerations made outside this program.
//!
//! Sources of the numbers: `tests/oracle/README.md`.

use std::path::Path;

use serde_json::Value;
use straybelt::reason::{Belief, Engine, Evidence, Present, Seen, Worth};
use straybelt::rulebook::index::{CauseAt, List, Place, SymptomAt};
use straybelt::rulebook::network::{Kind, Network, Node, Says, Voice};

const TOLERANCE: f64 = 1e-9;

fn close(got: f64, expected: f64, what: &str) {
    assert!((got - expected).abs() <= TOLERANCE, "{what}: got {got}, expected {expected}");
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|x| x.as_f64().unwrap()).collect()
}

fn index(value: &Value) -> usize {
    usize::try_from(value.as_u64().unwrap()).unwrap()
}

/// The twelve networks from elsewhere: any number of causes present, none included.
#[test]
fn networks_from_elsewhere() {
    let mut seen = 0;
    for entry in std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/oracle/nets")).unwrap() {
        let path = entry.unwrap().path();
        let net: Value = serde_json::from_str(&std::fs::read_to_string(&path).unwrap()).unwrap();
        let Some(expected) = net.get("expected") else { continue };
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let (network, causes, questions) = elsewhere(&net);
        let engine = Engine::new(&network, Present { min: 0, max: causes.len() });
        let mut evidence = Evidence::none(causes.len(), questions.len());
        for (question, answer) in net["evidence"].as_object().unwrap() {
            let at = questions.iter().position(|q| q == question).unwrap();
            evidence.symptoms[SymptomAt::at(at)] = Seen::Answered(index(answer));
        }
        let belief = Belief::of(&engine, &evidence).unwrap();
        close(belief.log_evidence(), expected["log_evidence"].as_f64().unwrap(), &format!("{name} evidence"));
        let marginals = belief.marginals();
        for (cause, chance) in expected["posterior"].as_object().unwrap() {
            let at = causes.iter().position(|c| c == cause).unwrap();
            close(marginals[CauseAt::at(at)], chance.as_f64().unwrap(), &format!("{name} {cause}"));
        }
        let mut best = (String::new(), 0.0);
        for (question, worth) in expected["questions"].as_object().unwrap() {
            let at = questions.iter().position(|q| q == question).unwrap();
            let got = Worth::of(&engine, &evidence, &belief, SymptomAt::at(at));
            for (g, e) in got.chances.iter().zip(numbers(&worth["predictive"])) {
                close(*g, e, &format!("{name} {question} chances"));
            }
            close(got.bits, worth["eig_joint"].as_f64().unwrap(), &format!("{name} {question} bits"));
            let rate = got.bits / worth["cost"].as_f64().unwrap();
            if rate > best.1 {
                best = (question.clone(), rate);
            }
        }
        if let Some(question) = expected["best_joint_per_min"].as_str() {
            assert_eq!(best.0, question, "{name}");
        }
        seen += 1;
    }
    assert_eq!(seen, 12);
}

fn elsewhere(net: &Value) -> (Network, Vec<String>, Vec<String>) {
    let id = |v: &Value| v["id"].as_str().unwrap().to_owned();
    let list = |key: &str| net[key].as_array().unwrap().clone();
    let causes: Vec<String> = list("causes").iter().map(id).collect();
    let questions: Vec<String> = list("questions").iter().map(id).collect();
    let priors = list("causes").iter().map(|c| c["prior"].as_f64().unwrap()).collect();
    let cause = |name: &String| CauseAt::at(causes.iter().position(|c| c == name).unwrap());
    let nodes = list("questions")
        .iter()
        .map(|q| Node {
            answers: q["answers"].as_array().unwrap().len(),
            kind: match q["kind"].as_str().unwrap() {
                "noisy_or" => Kind::Sign {
                    leak: q["leak"].as_f64().unwrap(),
                    links: sorted(q["links"].as_object().unwrap().iter().map(|(c, p)| (cause(c), p.as_f64().unwrap()))),
                },
                "mixture" => Kind::Pattern {
                    background: numbers(&q["background"]),
                    voices: sorted(q["voices"].as_object().unwrap().iter().map(|(c, v)| {
                        (cause(c), Voice { weight: v["w"].as_f64().unwrap(), says: Says::Row(numbers(&v["p"])) })
                    })),
                },
                "noisy_max" => Kind::Grade {
                    base: numbers(&q["leak_cum"]),
                    rows: sorted(
                        q["cum"].as_object().unwrap().iter().map(|(c, r)| (cause(c), numbers(r))),
                    ),
                },
                other => panic!("kind {other}"),
            },
        })
        .collect::<List<SymptomAt, Node>>();
    (Network { priors, nodes }, causes, questions)
}

fn sorted<T>(links: impl Iterator<Item = (CauseAt, T)>) -> Vec<(CauseAt, T)> {
    let mut links: Vec<_> = links.collect();
    links.sort_by_key(|(cause, _)| *cause);
    links
}
