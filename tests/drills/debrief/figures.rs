//! The numbers: JSON, and certainties worked out by hand.

use serde_json::Value;
use straybelt::drill::Move;
use straybelt::show::drill::debrief::{class, json};

use super::{bad, cause, good, record, unfinished, with};

fn close(value: &Value, expected: f64) {
    let got = value.as_f64().unwrap();
    assert!((got - expected).abs() < 1e-12, "{got}, not {expected}");
}

/// Five statements: 0.8 and it was there, 0.6 and it was there, never named and it was there, 0.9 and 0.2 and they
/// were not there. By hand: (0.04 + 0.16 + 1 + 0.81 + 0.04) / 5.
#[test]
fn the_certainties_of_a_class_come_to_what_the_hand_works_out() {
    let hidden = cause("idler-out-of-square");
    let splice = cause("crooked-splice");
    let runs = [
        record(1, None, &[Move::Name(hidden, 0.8), Move::Declare]),
        record(2, None, &[Move::Name(hidden, 0.6), Move::Name(splice, 0.2), Move::Declare]),
        record(3, None, &[Move::Name(splice, 0.9), Move::Declare]),
        // It goes on, so its certainty does not count yet.
        record(4, None, &[Move::Name(splice, 1.0)]),
    ];
    let list: Value = serde_json::from_str(&with(&runs, class::json)).unwrap();
    let together = &list["together"];
    assert_eq!(together["statements"], 5);
    assert_eq!(together["found"], 2);
    assert_eq!(together["hidden"], 3);
    assert_eq!(together["solved"], 0);
    let brier = &together["brier"];
    close(&brier["score"], 0.41);
    // Each statement has its tenth for itself, so a band's word is as far off as the statement.
    close(&brier["reliability"], 0.41);
    // Three of five were there: 3/5 x (2/5)^2 + 2/5 x (3/5)^2, which is also what the open question is worth.
    close(&brier["resolution"], 0.24);
    close(&brier["uncertainty"], 0.24);
    close(&brier["within"], 0.0);
}

#[test]
fn the_costs_of_the_steps_add_up_to_the_minutes_lost() {
    for run in [good(), bad()] {
        let document: Value =
            serde_json::from_str(&with(&[run], |runs| json::write(&runs[0]))).unwrap();
        let regrets = document["steps"].as_array().unwrap();
        let sum: f64 = regrets.iter().map(|step| step["regret"].as_f64().unwrap()).sum();
        let minutes = |key: &str| document["minutes"][key].as_f64().unwrap();
        let lost = minutes("yours") + minutes("still_to_do") - minutes("best");
        assert!((sum - lost).abs() < 1e-9, "{sum} {lost}");
    }
}

#[test]
fn what_a_run_was_worth_stands_in_its_document() {
    let document: Value =
        serde_json::from_str(&with(&[bad()], |runs| json::write(&runs[0]))).unwrap();
    assert_eq!(document["format"], 1);
    assert_eq!(document["over"], true);
    assert_eq!(document["solved"], false);
    assert_eq!(document["as_kept"], true);
    assert_eq!(document["safety_faults"].as_array().unwrap().len(), 3);
    assert_eq!(document["safety_faults"][0]["after"], 1);
    assert_eq!(document["causes"][0]["found"], false);
    assert_eq!(document["causes"][0]["certainty"], Value::Null);
    assert_eq!(document["not_there"][0]["id"], "crooked-splice");
    // What carries more than it should lasts shorter, and the other way round.
    for bearing in document["left"]["bearings"].as_array().unwrap() {
        let of = |key: &str| bearing[key].as_f64().unwrap();
        assert!((of("load_ratio") > 1.0) == (of("life_factor") < 1.0), "{bearing}");
    }
}

#[test]
fn a_run_that_came_out_differently_is_marked() {
    let mut run = bad();
    run.ended.as_mut().unwrap().minutes += 1.0;
    let document: Value =
        serde_json::from_str(&with(&[run], |runs| json::write(&runs[0]))).unwrap();
    assert_eq!(document["as_kept"], false);
}

/// Millimetres of the belt's offset are no measurement, so no figure of a document tells them.
#[test]
fn how_far_the_belt_is_off_is_a_word() {
    for run in [good(), bad(), unfinished()] {
        let document: Value =
            serde_json::from_str(&with(&[run], |runs| json::write(&runs[0]))).unwrap();
        assert!(document["left"]["off"].is_string());
        assert!(document["steps"].as_array().unwrap().iter().all(|step| step["off"].is_string()));
    }
}
