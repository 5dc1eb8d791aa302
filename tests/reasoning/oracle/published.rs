//! Worked examples from the literature. The numbers stand in `published.json`, each with its source and
//! a note on what is from where.

use std::collections::BTreeMap;

use serde::Deserialize;
use straybelt::reason::{Belief, Engine};
use straybelt::rulebook::index::{CauseAt, Place, SymptomAt};

use super::fixture::{Expected, Written, path};
use crate::support::close;

#[derive(Debug, Deserialize)]
struct File {
    networks: Vec<Example>,
}

#[derive(Debug, Deserialize)]
struct Example {
    id: String,
    source: String,
    causes: Vec<String>,
    network: Written,
    checks: Vec<Check>,
    #[serde(default)]
    rows: Vec<Row>,
    fractions: Option<BTreeMap<String, (f64, f64)>>,
    #[serde(default)]
    decibans: Vec<Decibans>,
    decibans_tolerance: Option<f64>,
}

#[derive(Debug, Deserialize)]
struct Check {
    answers: Vec<Option<usize>>,
    expected: Expected,
    published: BTreeMap<String, f64>,
    published_tolerance: f64,
    #[serde(default)]
    published_sums: BTreeMap<String, Sum>,
}

/// Chances of several causes, added.
#[derive(Debug, Deserialize)]
struct Sum {
    of: Vec<usize>,
    printed: f64,
}

/// Chance of a no for a set of causes present.
#[derive(Debug, Deserialize)]
struct Row {
    present: Vec<usize>,
    no: f64,
}

/// Weight of evidence, in decibans.
#[derive(Debug, Deserialize)]
struct Decibans {
    cause: usize,
    answers: Vec<Option<usize>>,
    against: Option<Vec<Option<usize>>>,
    decibans: f64,
    printed: f64,
}

impl Example {
    fn find(id: &str) -> Self {
        let text = std::fs::read_to_string(path("published.json")).unwrap();
        let file: File = serde_json::from_str(&text).unwrap();
        let found = file.networks.into_iter().find(|e| e.id == id);
        found.unwrap_or_else(|| panic!("no example {id}"))
    }

    /// All its checks, the printed digits included.
    fn is_met(&self) {
        for check in &self.checks {
            let name = format!("{} ({}), {:?}", self.id, self.source, check.answers);
            self.network.meets(&check.answers, &check.expected, &name);
            let chances = self.chances(&check.answers);
            let agrees = |got: f64, printed: f64, what: &str| {
                assert!(
                    (got - printed).abs() <= check.published_tolerance,
                    "{name}, {what}: got {got}, printed {printed}"
                );
            };
            for (cause, printed) in &check.published {
                let number = self.causes.iter().position(|c| c == cause).unwrap();
                agrees(chances[number], *printed, cause);
            }
            for (what, sum) in &check.published_sums {
                let got = sum.of.iter().map(|&c| chances[c]).sum();
                agrees(got, sum.printed, what);
            }
        }
    }

    fn chances(&self, answers: &[Option<usize>]) -> Vec<f64> {
        let network = self.network.network();
        let engine = Engine::new(&network, self.network.present());
        let belief = Belief::new(&engine, &self.network.evidence(answers)).unwrap();
        belief.marginals().as_slice().to_vec()
    }
}

/// Russell and Norvig, *Artificial Intelligence: A Modern Approach*: the noisy-OR table for fever. The
/// eight rows are theirs; priors and chances given fever are ours.
#[test]
fn fever_by_cold_flu_or_malaria() {
    let example = Example::find("fever");
    example.is_met();
    let network = example.network.network();
    let engine = Engine::new(&network, example.network.present());
    assert_eq!(example.rows.len(), 8);
    for row in &example.rows {
        let present: Vec<CauseAt> = row.present.iter().map(|&c| CauseAt::at(c)).collect();
        let got = engine.row(SymptomAt::at(0), &present, |_| None);
        assert!((got[0] - row.no).abs() < 1e-12, "{row:?}: got {got:?}");
        assert!((got[0] + got[1] - 1.0).abs() < 1e-12, "{row:?}");
    }
}

/// Lauritzen and Spiegelhalter 1988, the chest clinic: visit yes, smoker, X-ray abnormal. Tuberculosis
/// and lung cancer are two causes, the X-ray one pattern; none, one or both may be present.
#[test]
fn chest_clinic_of_a_smoker() {
    Example::find("chest-clinic-smoker").is_met();
}

/// The same source, for somebody who does not smoke.
#[test]
fn chest_clinic_of_a_non_smoker() {
    Example::find("chest-clinic-non-smoker").is_met();
}

/// Pearl 1988; tables as in Russell and Norvig. The alarm as a noisy-OR, which differs from the
/// published table where both causes are present.
#[test]
fn burglar_alarm_as_noisy_or() {
    Example::find("burglar-alarm-noisy-or").is_met();
}

/// The same network to the letter: alarm on, and both neighbours calling with the alarm unknown. The
/// four states of its two causes are four causes of which exactly one is present.
#[test]
fn burglar_alarm_to_the_letter() {
    Example::find("burglar-alarm-exact").is_met();
}

/// Jensen and Nielsen 2007, *Bayesian Networks and Decision Graphs*, the car that does not start; weights
/// of evidence in decibans after Good 1950, *Probability and the Weighing of Evidence*.
#[test]
fn car_that_does_not_start() {
    let example = Example::find("car-start");
    example.is_met();
    let tolerance = example.decibans_tolerance.unwrap();
    assert_eq!(example.decibans.len(), 5);
    for step in &example.decibans {
        let odds = |answers: &[Option<usize>]| {
            let chance = example.chances(answers)[step.cause];
            chance / (1.0 - chance)
        };
        let against = step.against.as_deref().map_or(1.0, odds);
        let got = 10.0 * (odds(&step.answers) / against).log10();
        close(got, step.decibans, &format!("{step:?}"));
        assert!((got - step.printed).abs() <= tolerance, "{step:?}: {got}");
    }
}

/// Own arithmetic in exact fractions: two causes, one sign answered yes.
#[test]
fn exact_fractions() {
    let example = Example::find("exact-fractions");
    example.is_met();
    let fractions = example.fractions.as_ref().unwrap();
    let value = |name: &str| fractions[name].0 / fractions[name].1;
    close(example.chances(&[Some(1)])[0], value("c1"), "P(c1 | yes)");
    let evidence = example.checks[0].expected.log_evidence;
    close(evidence.exp(), value("evidence"), "P(yes)");
}

/// Own arithmetic: the same with the second cause known, which explains the sign away.
#[test]
fn the_other_cause_known_explains_away() {
    Example::find("exact-second-known").is_met();
}
