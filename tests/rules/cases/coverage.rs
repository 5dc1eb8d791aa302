//! Coverage figures against those counted by hand.
//!
//! The small book has 5 symptoms with 2 + 2 + 3 + 3 + 3 = 13 answers, 3 causes and no conditions on
//! them. The one case gives 2 answers, so of 5 symptoms 2 are exercised, of 13 answers 2; it names 2
//! causes, and one of them leads. No fix is named or planned, so no fix and no caution is exercised.

use super::small::Site;

const ONE: &str = r#"[(id: "splice", title: "Jumps", source: CommonPractice,
    answers: {"what-is-off": "one-part", "jumps": "yes"},
    expect: [Leads(["crooked-splice"]), Above("crooked-splice", "low-frame")])]"#;

fn covered(site: &Site, more: &[&str]) -> serde_json::Value {
    let mut words = vec!["--format", "json"];
    words.extend(more);
    serde_json::from_str(&site.rules("coverage", &words).out).unwrap()
}

#[test]
fn counted_by_hand() {
    let site = Site::with(ONE);
    let told = covered(&site, &[]);
    let of = |what: &str| {
        let counts = told["counts"].as_array().unwrap();
        let found = counts.iter().find(|c| c[0] == what).unwrap();
        (found[1].as_u64().unwrap(), found[2].as_u64().unwrap())
    };
    assert_eq!(of("symptoms"), (2, 5));
    assert_eq!(of("answers"), (2, 13));
    assert_eq!(of("causes"), (2, 3));
    assert_eq!(of("fixes").0, 0);
    assert_eq!(of("cautions").0, 0);
    let counts = told["counts"].as_array().unwrap();
    let sum = |at: usize| -> f64 { counts.iter().map(|c| c[at].as_f64().unwrap()).sum() };
    let expected = 100.0 * sum(1) / sum(2);
    assert!((told["per_cent"].as_f64().unwrap() - expected).abs() < 1e-9);
    assert_eq!(told["never_first"], serde_json::json!(["dirty-rolls", "low-frame"]));
    let missing = told["missing"].as_array().unwrap();
    let cause = missing.iter().find(|m| m["kind"] == "cause").unwrap();
    assert_eq!(cause["id"], "dirty-rolls");
    assert_eq!(cause["place"], "(site)/causes/small.ron:2:14");
}

#[test]
fn a_case_that_fails_exercises_nothing() {
    let site =
        Site::with(&ONE.replace(r#"Leads(["crooked"#, r#"Leads(["low-frame"]), Leads(["crooked"#));
    let told = covered(&site, &[]);
    assert_eq!(told["counts"][0][1], 0);
}

#[test]
fn below_the_least_it_fails() {
    let site = Site::with(ONE);
    let said = site.rules("coverage", &["--min", "90"]);
    assert_eq!(said.code, 1);
    assert!(said.err.contains("less than 90 per cent"), "{}", said.err);
    assert_eq!(site.rules("coverage", &["--min", "5"]).code, 0);
}
