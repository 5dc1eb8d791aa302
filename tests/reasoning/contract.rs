//! Another program can work out our figures from the two documents alone: the exported network and a
//! finding. This test is that program. It knows rules/JSON.md and plain enumeration of all sets of
//! causes, and nothing of the reasoning inside.

mod second;

use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;

use serde_json::Value;

/// Runs the program and reads the one document it prints.
fn document(words: &[&str]) -> Value {
    let ended = Command::new(env!("CARGO_BIN_EXE_straybelt"))
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/ostrel-quay"))
        .args(words)
        .output()
        .unwrap();
    assert!(ended.status.success(), "{words:?}: {ended:?}");
    serde_json::from_slice(&ended.stdout).unwrap()
}

/// The book for a conveyor.
fn network_of(conveyor: &str) -> Value {
    document(&["rules", "export", "--format", "json", "--conveyor", conveyor])
}

fn list(value: &Value) -> impl Iterator<Item = &Value> {
    value.as_array().unwrap().iter()
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap()
}

/// An answer as one text: the id, or the list of marks as it stands in the document.
fn said(answer: &Value) -> &str {
    match answer {
        Value::String(id) => id,
        // There are few of them, and the test ends soon.
        ticked => Box::leak(ticked.to_string().into_boxed_str()),
    }
}

/// Where such an answer stands among those of its symptom; of marks among the sets of them, by their bits.
fn place(symptom: &Value, answer: &str) -> usize {
    let at = |id: &str| list(&symptom["answers"]).position(|known| known == id).unwrap();
    if symptom["kind"] != "marks" {
        return at(answer);
    }
    let ticked: Vec<String> = serde_json::from_str(answer).unwrap();
    ticked.iter().map(|mark| 1 << at(mark)).sum()
}

/// All answers of a symptom; of marks every set of them.
fn all_answers(symptom: &Value) -> Vec<&str> {
    let answers: Vec<&str> = list(&symptom["answers"]).map(text).collect();
    if symptom["kind"] != "marks" {
        return answers;
    }
    let set = |bits: usize| {
        let ticked = answers.iter().enumerate().filter(|(mark, _)| bits & (1 << mark) != 0);
        Value::from(ticked.map(|(_, id)| *id).collect::<Vec<&str>>())
    };
    (0..1 << answers.len()).map(|bits| said(Box::leak(Box::new(set(bits))))).collect()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn row(value: &Value) -> Vec<f64> {
    list(value).map(number).collect()
}

fn close(got: f64, told: f64, what: &str) {
    let room = 1e-9 * told.abs().max(1.0);
    assert!((got - told).abs() <= room, "{what}: worked out {got}, told {told}");
}

/// One finding with the network it was made from, and the chance of every set of causes.
struct Visit<'d> {
    network: &'d Value,
    finding: &'d Value,
    symptoms: BTreeMap<&'d str, &'d Value>,
    answers: BTreeMap<&'d str, &'d str>,
    sets: Vec<(Vec<&'d str>, f64)>,
    log_evidence: f64,
}

impl<'d> Visit<'d> {
    fn of(network: &'d Value, finding: &'d Value) -> Self {
        let symptoms: BTreeMap<&str, &Value> =
            list(&network["symptoms"]).map(|s| (text(&s["id"]), s)).collect();
        let answers = finding["answers"].as_object().unwrap();
        let mut visit = Self {
            network,
            finding,
            symptoms,
            answers: answers.iter().map(|(s, a)| (s.as_str(), said(a))).collect(),
            sets: Vec::new(),
            log_evidence: 0.0,
        };
        visit.believe();
        visit
    }

    /// Every set of one to `at_most` causes, by its prior odds.
    fn sets_before(&self) -> Vec<(Vec<&'d str>, f64)> {
        let prior = |id: &str| {
            let mut causes = list(&self.network["causes"]);
            number(&causes.find(|c| c["id"] == id).unwrap()["prior"])
        };
        let causes: Vec<&str> = list(&self.finding["applies"]["causes"]).map(text).collect();
        let at_most = self.network["at_most"].as_u64().unwrap();
        let mut sets: Vec<(Vec<&str>, f64)> = vec![(Vec::new(), 1.0)];
        let mut open = 0;
        for _ in 0..at_most {
            let last = sets.len();
            for at in open..last {
                let (set, odds) = sets[at].clone();
                let from =
                    set.last().map_or(0, |c| causes.iter().position(|d| d == c).unwrap() + 1);
                for cause in &causes[from..] {
                    let mut more = set.clone();
                    more.push(cause);
                    let p = prior(cause);
                    sets.push((more, odds * p / (1.0 - p)));
                }
            }
            open = last;
        }
        sets.remove(0);
        sets
    }

    /// Prior odds that it is none of the causes.
    fn odds_of_something_else(&self) -> f64 {
        let share = number(&self.network["something_else"]);
        share / (1.0 - share)
    }

    /// Every set by its prior and the answers.
    fn believe(&mut self) {
        let mut sets = self.sets_before();
        let before: f64 = sets.iter().map(|(_, odds)| odds).sum();
        // Something else stands last, as a set without causes.
        sets.push((Vec::new(), before * self.odds_of_something_else()));
        for (set, weight) in &mut sets {
            for group in list(&self.finding["evidence"]) {
                let said: Vec<f64> = list(group)
                    .map(|pair| self.chance(text(&pair[0]), said(&pair[1]), set, &self.answers))
                    .collect();
                let product: f64 = said.iter().product();
                *weight *= product.powf(1.0 / said.len() as f64);
            }
        }
        let of_causes: f64 =
            sets.iter().filter(|(set, _)| !set.is_empty()).map(|(_, weight)| weight).sum();
        let after: f64 = sets.iter().map(|(_, weight)| weight).sum();
        sets.iter_mut().for_each(|(_, weight)| *weight /= after);
        self.log_evidence = (of_causes / before).ln();
        self.sets = sets;
    }

    /// P(answer | set), parents that apply and are not among `given` summed out.
    fn chance(&self, id: &str, answer: &str, set: &[&str], given: &BTreeMap<&str, &str>) -> f64 {
        let symptom = self.symptoms[id];
        let at = place(symptom, answer);
        let applies = |p: &str| list(&self.finding["applies"]["symptoms"]).any(|s| s == p);
        let parents = set.iter().filter_map(|c| {
            let parent = symptom["voices"].get(c)?.get("relative_to")?;
            Some(text(parent))
        });
        let hidden = parents.filter(|p| applies(p) && !given.contains_key(p)).min();
        let Some(hidden) = hidden else {
            return self.row(symptom, set, given)[at];
        };
        let parent = self.symptoms[hidden];
        let chances = self.row(parent, set, given);
        list(&parent["answers"])
            .zip(chances)
            .map(|(said, p)| {
                let mut known = given.clone();
                known.insert(hidden, text(said));
                p * self.chance(id, answer, set, &known)
            })
            .sum()
    }

    /// The chances of all answers of a symptom, as rules/JSON.md says.
    fn row(&self, symptom: &Value, set: &[&str], given: &BTreeMap<&str, &str>) -> Vec<f64> {
        match text(&symptom["kind"]) {
            "sign" => {
                let links = set.iter().filter_map(|c| symptom["links"].get(c)).map(number);
                let no = links.fold(1.0 - number(&symptom["leak"]), |no, link| no * (1.0 - link));
                vec![no, 1.0 - no]
            }
            "marks" => {
                let mut sets = vec![1.0];
                for (mark, leak) in row(&symptom["leaks"]).into_iter().enumerate() {
                    let links = set.iter().filter_map(|c| symptom["links"].get(c));
                    let not = links.fold(1.0 - leak, |not, link| not * (1.0 - number(&link[mark])));
                    let ticked: Vec<f64> = sets.iter().map(|p| p * (1.0 - not)).collect();
                    sets.iter_mut().for_each(|p| *p *= not);
                    sets.extend(ticked);
                }
                sets
            }
            "pattern" => {
                let background = row(&symptom["background"]);
                let (mut sum, mut total) = (vec![0.0; background.len()], 0.0);
                for voice in set.iter().filter_map(|c| symptom["voices"].get(c)) {
                    let says = match voice.get("relative_to") {
                        None => voice.get("row"),
                        Some(parent) => {
                            given.get(text(parent)).and_then(|answer| voice["rows"].get(answer))
                        }
                    };
                    if let Some(says) = says {
                        let weight = number(&voice["weight"]);
                        total += weight;
                        let said = row(says);
                        sum.iter_mut().zip(said).for_each(|(s, p)| *s += weight * p);
                    }
                }
                if total > 0.0 { sum.iter().map(|s| s / total).collect() } else { background }
            }
            _ => {
                let mut most = row(&symptom["base"]);
                for says in set.iter().filter_map(|c| symptom["rows"].get(c)) {
                    most.iter_mut().zip(row(says)).for_each(|(m, p)| *m *= p);
                }
                let below = std::iter::once(0.0).chain(most.iter().copied());
                most.iter().zip(below).map(|(m, b)| m - b).collect()
            }
        }
    }

    /// I(S; answer | evidence). An open parent of an answered symptom is looked at together with it.
    fn bits(&self, id: &str) -> f64 {
        let symptom = self.symptoms[id];
        let answers = all_answers(symptom);
        let relatives: Vec<&str> = self
            .answers
            .keys()
            .copied()
            .filter(|s| {
                let voices = self.symptoms[s]["voices"].as_object();
                voices.is_some_and(|v| v.values().any(|v| v["relative_to"] == id))
            })
            .collect();
        let mut mean = vec![0.0; answers.len()];
        let mut uncertain = 0.0;
        for (set, weight) in &self.sets {
            let mut joint: Vec<f64> = answers
                .iter()
                .map(|answer| {
                    let mut given = self.answers.clone();
                    given.insert(id, answer);
                    let own = self.chance(id, answer, set, &self.answers);
                    let theirs =
                        relatives.iter().map(|r| self.chance(r, self.answers[r], set, &given));
                    own * theirs.product::<f64>()
                })
                .collect();
            let all: f64 = joint.iter().sum();
            joint.iter_mut().for_each(|p| *p /= all);
            uncertain += weight * entropy(&joint);
            mean.iter_mut().zip(&joint).for_each(|(m, p)| *m += weight * p);
        }
        entropy(&mean) - uncertain
    }

    /// The fix with this id.
    fn fix(&self, id: &str) -> &Value {
        list(&self.network["fixes"]).find(|fix| fix["id"] == id).unwrap()
    }

    /// Chance of each cause to be cured by these steps: what checks do not find is not cured.
    fn cured(&self, done: &[&'d Value]) -> BTreeMap<&str, f64> {
        let mut cured: BTreeMap<&str, f64> = BTreeMap::new();
        for step in done {
            for (cause, chance) in self.fix(text(&step["fix"]))["cures"].as_object().unwrap() {
                let best = cured.entry(cause).or_insert(0.0);
                *best = best.max(self.found(step).0 * number(chance));
            }
        }
        cured
    }

    /// How sure the checks of a step are: of the export's reports where any is left to be made.
    fn found(&self, step: &Value) -> (f64, f64) {
        let reports = &self.network["reports"]["as_suspected"];
        match list(&step["checks"]).next() {
            Some(_) => (number(&reports[0]), number(&reports[1])),
            None => (1.0, 1.0),
        }
    }

    /// Chance that something of a step's fix is there, once these are cured.
    fn there(&self, step: &Value, cured: &BTreeMap<&str, f64>) -> f64 {
        let cures = self.fix(text(&step["fix"]))["cures"].as_object().unwrap();
        let gone = |set: &[&str]| -> f64 {
            let own = set.iter().filter(|c| cures.contains_key(**c));
            own.map(|c| cured.get(c).copied().unwrap_or(0.0)).product()
        };
        self.sets.iter().map(|(set, p)| p * (1.0 - gone(set))).sum()
    }

    /// Chance that something is left when these steps are done.
    fn left(&self, done: &[&'d Value]) -> f64 {
        let cured = self.cured(done);
        let all = |set: &[&str]| -> f64 {
            // Something else is never cured.
            if set.is_empty() {
                return 0.0;
            }
            set.iter().map(|c| cured.get(c).copied().unwrap_or(0.0)).product()
        };
        1.0 - self.sets.iter().map(|(set, p)| p * all(set)).sum::<f64>()
    }

    fn plan_minutes(&self) -> f64 {
        let minutes = &self.network["minutes"];
        let mut done: Vec<&Value> = Vec::new();
        let mut cost = 0.0;
        for batch in list(&self.finding["plan"]["batches"]) {
            let locked = batch["state"] == "locked-out";
            let isolation = if locked { number(&minutes["lock_out"]) } else { 0.0 };
            let needed = self.left(&done);
            // A check that several steps begin with is made once.
            let mut checks: Vec<&Value> = Vec::new();
            for check in list(&batch["steps"]).flat_map(|step| list(&step["checks"])) {
                let same = |known: &&Value| {
                    !check["symptom"].is_null() && known["symptom"] == check["symptom"]
                };
                if !checks.iter().any(same) {
                    checks.push(check);
                }
            }
            let checks: f64 = checks.iter().map(|check| number(&check["minutes"])).sum();
            cost += needed * (isolation + checks + number(&minutes["restart_and_watch"]));
            for step in list(&batch["steps"]) {
                let there = self.there(step, &self.cured(&done));
                close(there, number(&step["there"]), "there");
                let (if_there, if_not) = self.found(step);
                let work = number(&self.fix(text(&step["fix"]))["work_minutes"]);
                cost += work * (if_there * there + if_not * (needed - there));
                done.push(step);
            }
        }
        let left = self.left(&done);
        close(1.0 - left, number(&self.finding["plan"]["cured_by_plan"]), "cured_by_plan");
        cost + left * number(&minutes["give_up"])
    }
}

fn entropy(row: &[f64]) -> f64 {
    let terms = row.iter().filter(|p| **p > 0.0);
    terms.map(|p| -p * p.log2()).sum()
}

/// Another conveyor and other answers each: troughed, flat, steel cord, with answers that form relatives.
const VISITS: &[(&str, &str)] = &[
    ("OQ-04.ron", "01-caked-return-rolls.ron"),
    ("OQ-07.ron", "02-jumps-at-the-splice.ron"),
    ("OQ-04.ron", "03-two-causes.ron"),
    ("OQ-11.ron", "05-gate-heavy-side.ron"),
];

#[test]
fn every_figure_follows_from_the_two_documents() {
    for (conveyor, answers) in VISITS {
        let conveyor = format!("conveyors/{conveyor}");
        let network = network_of(&conveyor);
        let answers = format!("answers/{answers}");
        let words = ["diagnose", "--conveyor", &conveyor, "--answers", &answers];
        let finding = document(&[&words[..], &["--format", "json"]].concat());
        assert_eq!(network["book"], finding["book"]);
        let visit = Visit::of(&network, &finding);
        close(visit.log_evidence, number(&finding["log_evidence"]), "log_evidence");
        for cause in list(&finding["causes"]) {
            let id = text(&cause["id"]);
            let sets = visit.sets.iter().filter(|(set, _)| set.contains(&id));
            close(sets.map(|(_, p)| p).sum(), number(&cause["was_present"]), id);
        }
        let none = visit.sets.iter().find(|(set, _)| set.is_empty()).unwrap();
        close(none.1, number(&finding["something_else"]), "something else");
        for told in list(&finding["sets"]) {
            let causes: Vec<&str> = list(&told["causes"]).map(text).collect();
            let same =
                |set: &[&str]| set.len() == causes.len() && set.iter().all(|c| causes.contains(c));
            let (_, chance) = visit.sets.iter().find(|(set, _)| same(set)).unwrap();
            close(*chance, number(&told["probability"]), "set");
        }
        // Every eighth question, and those that have parents or are looked at by others all the same.
        for (at, next) in list(&finding["next"]).enumerate() {
            let id = text(&next["symptom"]);
            let turns = text(&visit.symptoms[id]["kind"]) == "pattern";
            let marks = visit.symptoms[id]["kind"] == "marks";
            if at % 8 == 0 || marks || (turns && at % 3 == 0) {
                close(visit.bits(id), number(&next["bits"]), id);
            }
        }
        close(
            visit.plan_minutes(),
            number(&finding["plan"]["expected_minutes"]),
            "expected_minutes",
        );
    }
}
