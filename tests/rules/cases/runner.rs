//! What the runner says of cases that hold, fail, wait, or name what is not there.

use super::small::Site;

const STORY: &str = r#"[
    // Ridges and one place: dirt. The second expectation is wrong on purpose.
    (   id: "dirt", title: "Grey ridges at one place", source: CommonPractice,
        answers: {"what-is-off": "one-place", "ridges": "thick"},
        expect: [Leads(["dirty-rolls"]), Above("crooked-splice", "dirty-rolls")],
    ),
    (   id: "splice", title: "One bit of belt jumps", source: CommonPractice,
        answers: {"what-is-off": "one-part", "jumps": "yes"},
        expect: [Leads(["crooked-splice"]), AtLeast("crooked-splice", 0.9), Below("low-frame", 0.05)],
    ),
    (   id: "nothing-yet", title: "Nothing is known", source: Derived("the priors"),
        expect: [Unclear(["what-is-off"]), Among(2, ["low-frame"])],
        todo: true,
    ),
    (   id: "later", title: "Was thought not to hold", source: Memory, todo: true,
        answers: {"jumps": "yes"},
        expect: [Leads(["crooked-splice"])],
    ),
]"#;

#[test]
fn failures_tell_expected_got_and_the_answers_that_made_the_difference() {
    let said = Site::with(STORY).rules("test", &[]);
    insta::assert_snapshot!(said.out);
    assert_eq!((said.err.as_str(), said.code), ("", 1));
}

#[test]
fn a_filter_chooses_by_id_or_title() {
    let site = Site::with(STORY);
    let said = site.rules("test", &["--filter", "jumps"]);
    assert_eq!(said.out, "1 case holds, 0 fail.\n");
    assert_eq!(said.code, 0);
    let none = site.rules("test", &["--filter", "gulls"]);
    assert_eq!(none.err, "error: no case has gulls in its id or title.\n");
    assert_eq!(none.code, 2);
}

#[test]
fn the_same_in_json() {
    let said = Site::with(STORY).rules("test", &["--format", "json"]);
    let told: serde_json::Value = serde_json::from_str(&said.out).unwrap();
    assert_eq!((told["holds"].as_u64(), told["fails"].as_u64()), (Some(1), Some(1)));
    let failure = &told["cases"][0]["failures"][0];
    assert_eq!(failure["expected"], "crooked-splice above dirty-rolls");
    assert_eq!(failure["because"][0][0], "ridges");
}

#[test]
fn what_a_case_names_must_be_there() {
    let cases = r#"[
    (   id: "gone", title: "Names what is gone", source: Published("old-book", "p. 1"),
        answers: {"what-is-of": "one-place", "ridges": "thik"}, found: {"dirty-roll": "was-fine"},
        done: [["wash"]], conveyor: {"class": "flatt"},
        expect: [Leads(["dirty-roll"]), Asks(["jump"]), Plans(["square-spice"]), Below("low-frame", 1.5), Leads([])],
    ),
    (   id: "gone", title: "Same id", source: Memory, expect: [Leads(["low-frame"])]),
    (   id: "empty", title: "Expects nothing", source: Memory, expect: []),
    (   id: "unknown-field", title: "x", source: Memory, expects: []),
]"#;
    let site = Site::with(cases);
    let said = site.rules("test", &[]);
    insta::assert_snapshot!(said.err);
    assert_eq!(said.code, 1);
    let checked = site.rules("check", &["--format", "plain"]);
    assert!(checked.out.contains("unknown-id"), "{}", checked.out);
    assert_eq!(checked.code, 1);
}

#[test]
fn a_site_that_switches_something_off_leaves_its_cases_aside_by_name() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(
        dir.path().join("site.ron"),
        r#"(name: "Quay", switch_off: [Cause("crosswind")])"#,
    )
    .unwrap();
    let ended = std::process::Command::new(env!("CARGO_BIN_EXE_straybelt"))
        .args(["rules", "test", "--filter", "crosswind", "--format", "json"])
        .arg(dir.path())
        .output()
        .unwrap();
    let whole = std::process::Command::new(env!("CARGO_BIN_EXE_straybelt"))
        .args(["rules", "test", "--format", "json"])
        .arg(dir.path())
        .output()
        .unwrap();
    let told: serde_json::Value = serde_json::from_slice(&whole.stdout).unwrap();
    let aside = told["left_aside"].as_array().unwrap();
    assert!(!aside.is_empty());
    assert!(aside.iter().all(|pair| pair[1] == "crosswind"), "{aside:?}");
    assert_ne!(ended.status.code(), Some(3));
}
