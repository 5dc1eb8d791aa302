//! Times one network for `against_libraries.py --ours`, and prints what was worked out.
//!
//! `cargo bench --bench timing -- FILE` reads a network in the format of `tests/oracle/README.md` (`-`
//! reads standard input) and prints one JSON object: `posterior`, `bits` (null where a question is no
//! longer open), `belief_us` and `bits_us`, the best microseconds of many runs. Without a file it does
//! nothing, so that a plain `cargo bench` passes it by.

#![expect(clippy::print_stdout, reason = "its output is for another program")]
#![expect(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a bench: what is not in the format may end it"
)]

use std::io::Read;
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use straybelt::reason::{Belief, Engine, Evidence, Present, Seen, Worth};
use straybelt::rulebook::index::{CauseAt, Place, SymptomAt};
use straybelt::rulebook::network::{Kind, Network, Node, Says, Voice};

/// Runs are repeated for so long.
const REPEAT_FOR: Duration = Duration::from_millis(200);

fn main() {
    let file = std::env::args().skip(1).find(|word| !word.starts_with("--"));
    let Some(file) = file else { return };
    let mut text = String::new();
    if file == "-" {
        std::io::stdin().read_to_string(&mut text).unwrap();
    } else {
        text = std::fs::read_to_string(file).unwrap();
    }
    let case: Value = serde_json::from_str(&text).unwrap();
    let (network, evidence, present) = read(&case);
    let engine = Engine::new(&network, present);
    let (belief, belief_time) = best_of(|| {
        let belief = Belief::new(&engine, &evidence).unwrap();
        let posterior = belief.marginals();
        (belief, posterior)
    });
    let open = open_questions(&evidence);
    let (bits, bits_time) = best_of(|| {
        let of = |s: SymptomAt| Worth::new(&engine, &evidence, &belief.0, s).bits;
        open.iter().map(|&(symptom, open)| open.then(|| of(symptom))).collect::<Vec<Option<f64>>>()
    });
    let report = json!({
        "posterior": belief.1.as_slice(),
        "bits": bits,
        "belief_us": belief_time.as_secs_f64() * 1e6,
        "bits_us": bits_time.as_secs_f64() * 1e6,
    });
    println!("{report}");
}

/// The result and the best time of a few runs.
fn best_of<T>(work: impl Fn() -> T) -> (T, Duration) {
    let began = Instant::now();
    let mut best = Duration::MAX;
    loop {
        let start = Instant::now();
        let result = work();
        best = best.min(start.elapsed());
        if began.elapsed() > REPEAT_FOR {
            return (result, best);
        }
    }
}

/// Every symptom, and whether it may still be asked.
fn open_questions(evidence: &Evidence) -> Vec<(SymptomAt, bool)> {
    let answered = |s: &SymptomAt| matches!(evidence.symptoms[*s], Seen::Answered(_));
    let closed = |s: &SymptomAt| {
        let mut groups = evidence.groups.iter();
        answered(s) || groups.any(|group| group.contains(s) && group.iter().any(answered))
    };
    let places = evidence.symptoms.places();
    places.map(|s| (s, !closed(&s))).collect()
}

fn read(case: &Value) -> (Network, Evidence, Present) {
    let symptoms = case["symptoms"].as_array().unwrap();
    let network = Network {
        priors: numbers(&case["priors"]).into_iter().collect(),
        nodes: symptoms.iter().map(node).collect(),
    };
    let mut evidence = Evidence::none(network.priors.len(), network.nodes.len());
    for (at, answer) in case["answers"].as_array().unwrap().iter().enumerate() {
        if !answer.is_null() {
            evidence.symptoms[SymptomAt::at(at)] = Seen::Answered(index(answer));
        }
    }
    let members = |group: &Value| {
        let members = group.as_array().unwrap().iter();
        members.map(|m| SymptomAt::at(index(m))).collect()
    };
    let groups = case["groups"].as_array().unwrap();
    evidence.groups = groups.iter().map(members).collect();
    let present = Present {
        min: index(&case["present"]["min"]),
        max: index(&case["present"]["max"]).min(network.priors.len()),
    };
    (network, evidence, present)
}

fn node(symptom: &Value) -> Node {
    let list = |key: &str| symptom[key].as_array().unwrap().iter();
    let cause = |entry: &Value| CauseAt::at(index(&entry["cause"]));
    match symptom["kind"].as_str().unwrap() {
        "sign" => Node {
            answers: 2,
            kind: Kind::Sign {
                leak: symptom["leak"].as_f64().unwrap(),
                links: list("links")
                    .map(|link| (CauseAt::at(index(&link[0])), link[1].as_f64().unwrap()))
                    .collect(),
            },
        },
        "pattern" => {
            let background = numbers(&symptom["background"]);
            let voice = |voice: &Value| Voice {
                weight: voice["weight"].as_f64().unwrap(),
                says: match voice.get("parent") {
                    None => Says::Row(numbers(&voice["row"])),
                    Some(parent) => Says::Relative {
                        parent: SymptomAt::at(index(parent)),
                        rows: voice["rows"]
                            .as_array()
                            .unwrap()
                            .iter()
                            .map(|row| (!row.is_null()).then(|| numbers(row)))
                            .collect(),
                    },
                },
            };
            Node {
                answers: background.len(),
                kind: Kind::Pattern {
                    background,
                    voices: list("voices").map(|v| (cause(v), voice(v))).collect(),
                },
            }
        }
        _ => {
            let base = numbers(&symptom["base"]);
            Node {
                answers: base.len(),
                kind: Kind::Grade {
                    base,
                    rows: list("rows").map(|row| (cause(row), numbers(&row["row"]))).collect(),
                },
            }
        }
    }
}

fn numbers(value: &Value) -> Vec<f64> {
    let values = value.as_array().unwrap().iter();
    values.map(|x| x.as_f64().unwrap()).collect()
}

fn index(value: &Value) -> usize {
    usize::try_from(value.as_u64().unwrap()).unwrap()
}
