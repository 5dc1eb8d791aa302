//! The 248 random networks of `networks.jsonl`, by enumeration and two general libraries.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::fixture::{Expected, Written, path};

#[derive(Debug, Deserialize)]
struct Line {
    seed: u64,
    features: Vec<String>,
    #[serde(flatten)]
    network: Written,
    answers: Vec<Option<usize>>,
    expected: Expected,
}

#[test]
fn random_networks_are_met() {
    let text = std::fs::read_to_string(path("networks.jsonl")).unwrap();
    let lines: Vec<Line> = text.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    let mut features: BTreeMap<&str, usize> = BTreeMap::new();
    for line in &lines {
        let name = format!("network {} {:?}", line.seed, line.features);
        line.network.meets(&line.answers, &line.expected, &name);
        for feature in &line.features {
            *features.entry(feature).or_default() += 1;
        }
    }
    assert!(lines.len() >= 200, "{}", lines.len());
    for feature in ["limited", "wide", "relative", "hidden-parent", "shared-evidence"] {
        assert!(features[feature] >= 8, "{feature}: {features:?}");
    }
    let unlimited = lines.iter().filter(|l| l.network.present().min == 0);
    assert!(unlimited.count() >= 100);
}
