//! One entry to be read.

use super::{printed, run};

#[test]
fn entries_of_every_kind_read_well_at_both_widths() {
    for id in ["crooked-splice", "runs-toward", "level-frame", "lockout", "smoke", "edge-room"] {
        for width in [40, 80] {
            let page = printed(width, &["show", id]);
            assert!(page.lines().all(|line| line.chars().count() <= width), "{page}");
            insta::assert_snapshot!(format!("shelf-{id}-{width}"), page);
        }
    }
}

#[test]
fn an_entry_as_json_holds_its_links_with_words_and_numbers() {
    let json: serde_json::Value =
        serde_json::from_str(&printed(80, &["show", "crooked-splice", "--format", "json"]))
            .unwrap();
    let entry = &json["entries"][0];
    assert_eq!((&json["format"], &entry["kind"]), (&1.into(), &"cause".into()));
    let link = entry["links"]
        .as_array()
        .unwrap()
        .iter()
        .find(|link| link["symptom"] == "jumps" && link["answer"] == "yes")
        .unwrap();
    assert_eq!(link["word"], "always");
    assert_eq!(link["written"], 0.97);
    let close = |key: &str, expected: f64| (link[key].as_f64().unwrap() - expected).abs() < 1e-9;
    assert!(close("chance", 0.9724) && close("without", 0.08), "{link}");
    assert_eq!(entry["fixes"][0]["fix"], "re-splice");
}

#[test]
fn the_cases_that_touch_an_entry_are_named() {
    let output = run(80, &["show", "RC01", "--format", "json"]);
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let cases = json["entries"][0]["cases"].as_array().unwrap();
    assert!(!cases.is_empty());
}

#[test]
fn an_unknown_id_is_refused_with_the_nearest_names() {
    for command in
        [&["show", "old-trim"][..], &["graph", "--around", "old-trim", "--format", "svg"]]
    {
        let output = run(80, command);
        assert_eq!(output.status.code(), Some(2));
        assert!(output.stdout.is_empty());
        let told = String::from_utf8(output.stderr).unwrap();
        assert!(told.contains("did you mean old-trims"), "{told}");
    }
    let output = run(80, &["graph", "--around", "lockout", "--format", "text"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("rules show lockout"));
}
