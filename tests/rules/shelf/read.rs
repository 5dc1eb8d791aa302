//! One entry to be read.

use super::{printed, run};
use crate::support::pages::{fits, same_words};

#[test]
fn entries_of_every_kind_read_well_at_both_widths() {
    for id in ["crooked-splice", "runs-toward", "level-frame", "lockout", "smoke", "edge-room"] {
        let pages = [40, 80].map(|width| printed(width, &["show", id]));
        for (page, width) in pages.iter().zip([40, 80]) {
            fits(page, width);
        }
        insta::assert_snapshot!(format!("shelf-{id}-40"), pages[0]);
        // The title is the id alone where it has no room for the name as well, which then comes first below it.
        let [narrow, wide] = pages.map(|page| {
            let (title, below) = page.trim_start().split_once('\n').unwrap();
            let title = title.trim_matches(['-', ' ']).trim_end_matches(&format!("[{id}]"));
            format!("{} {below}", if title == id { "" } else { title })
        });
        same_words(&narrow, &wide);
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
    let output = run(80, &["show", "idler-build-up", "--format", "json"]);
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
