//! Twelve older networks by enumeration, any number of causes present, none included.

use serde_json::Value;
use straybelt::reason::{Belief, Engine, Evidence, Present, Seen, Worth};
use straybelt::rulebook::index::{CauseAt, List, Place, SymptomAt};
use straybelt::rulebook::network::{Kind, Network, Node, Says, Voice};

use super::fixture::{by_cause, path};
use crate::support::{close, close_all};

#[test]
fn older_networks_are_met() {
    let mut seen = 0;
    for entry in std::fs::read_dir(path("nets")).unwrap() {
        let path = entry.unwrap().path();
        let net: Value = serde_json::from_str(&std::fs::read_to_string(&path).unwrap()).unwrap();
        let Some(expected) = net.get("expected") else {
            continue;
        };
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let (network, causes, questions) = older(&net);
        let engine = Engine::new(&network, Present { min: 0, max: causes.len() });
        let mut evidence = Evidence::none(causes.len(), questions.len());
        for (question, answer) in net["evidence"].as_object().unwrap() {
            let at = questions.iter().position(|q| q == question).unwrap();
            let answer = usize::try_from(answer.as_u64().unwrap()).unwrap();
            evidence.symptoms[SymptomAt::at(at)] = Seen::Answered(answer);
        }
        let belief = Belief::new(&engine, &evidence).unwrap();
        let log_evidence = expected["log_evidence"].as_f64().unwrap();
        close(belief.log_evidence(), log_evidence, &name);
        let marginals = belief.marginals();
        for (cause, chance) in expected["posterior"].as_object().unwrap() {
            let at = CauseAt::at(causes.iter().position(|c| c == cause).unwrap());
            close(marginals[at], chance.as_f64().unwrap(), &format!("{name} {cause}"));
        }
        let mut best = (String::new(), 0.0);
        for (question, worth) in expected["questions"].as_object().unwrap() {
            let name = format!("{name} {question}");
            let at = SymptomAt::at(questions.iter().position(|q| q == question).unwrap());
            let got = Worth::new(&engine, &evidence, &belief, at);
            close_all(&got.chances, &numbers(&worth["predictive"]), &name);
            close(got.bits, worth["eig_joint"].as_f64().unwrap(), &name);
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

fn older(net: &Value) -> (Network, Vec<String>, Vec<String>) {
    let ids = |key: &str| -> Vec<String> {
        let list = net[key].as_array().unwrap().iter();
        list.map(|v| v["id"].as_str().unwrap().to_owned()).collect()
    };
    let (causes, questions) = (ids("causes"), ids("questions"));
    let number = |name: &String| causes.iter().position(|c| c == name).unwrap();
    let priors = net["causes"].as_array().unwrap().iter();
    let nodes = net["questions"].as_array().unwrap().iter().map(|q| {
        let links = |key: &str| q[key].as_object().unwrap().iter();
        Node {
            answers: q["answers"].as_array().unwrap().len(),
            kind: match q["kind"].as_str().unwrap() {
                "noisy_or" => Kind::Sign {
                    leak: q["leak"].as_f64().unwrap(),
                    links: by_cause(links("links").map(|(c, p)| (number(c), p.as_f64().unwrap()))),
                },
                "mixture" => Kind::Pattern {
                    background: numbers(&q["background"]),
                    voices: by_cause(links("voices").map(|(c, v)| (number(c), voice(v)))),
                },
                "noisy_max" => Kind::Grade {
                    base: numbers(&q["leak_cum"]),
                    rows: by_cause(links("cum").map(|(c, row)| (number(c), numbers(row)))),
                },
                other => panic!("kind {other}"),
            },
        }
    });
    let network = Network {
        priors: priors.map(|c| c["prior"].as_f64().unwrap()).collect(),
        nodes: nodes.collect::<List<SymptomAt, Node>>(),
    };
    (network, causes, questions)
}

fn voice(written: &Value) -> Voice {
    Voice { weight: written["w"].as_f64().unwrap(), says: Says::Row(numbers(&written["p"])) }
}

fn numbers(value: &Value) -> Vec<f64> {
    let list = value.as_array().unwrap().iter();
    list.map(|x| x.as_f64().unwrap()).collect()
}
