//! What is found without a flag, and that nothing for whoever writes rules stands above a page for the belt.

use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};

/// A cause of a site that no fix cures: `rules check` warns of it.
const CAUSE: &str = r#"[(
    id: "bark-wound-up", name: "Bark wound round a return roll", how_common: Occasional,
    happens_because: "Strings of bark make one end of a roll thicker, which pushes the belt aside.",
    signs: [Shows("where", [("return-run", Usually)]), Shows("strand", [("return", Usually)])],
    source: CommonPractice,
)]"#;

/// A site's folder of rules in this place.
fn rules_in(folder: &Path) {
    fs::create_dir_all(folder.join("causes")).unwrap();
    fs::write(folder.join("causes/bark.ron"), CAUSE).unwrap();
}

fn run(state: &Path, rules: Option<&Path>, arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_straybelt"));
    command.env("STRAYBELT_STATE", state).env("COLUMNS", "120").env_remove("STRAYBELT_RULES");
    if let Some(rules) = rules {
        command.env("STRAYBELT_RULES", rules);
    }
    command.args(arguments).stdin(Stdio::null()).output().unwrap()
}

fn said(output: &Output) -> (String, String) {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (text(&output.stdout), text(&output.stderr))
}

#[test]
fn rules_are_found_in_the_state_folder_unless_a_variable_names_others() {
    let state = tempfile::tempdir().unwrap();
    let (_, none) = said(&run(state.path(), None, &["visits"]));
    assert_eq!(none, "");
    rules_in(&state.path().join("rules"));
    let (_, found) = said(&run(state.path(), None, &["visits"]));
    assert!(
        found.starts_with("Rules: ") && found.ends_with("rules (from the state folder)\n"),
        "{found}"
    );
    let other = tempfile::tempdir().unwrap();
    rules_in(other.path());
    let (_, named) = said(&run(state.path(), Some(other.path()), &["visits"]));
    assert!(named.contains(&other.path().display().to_string()), "{named}");
    assert!(named.ends_with("(from STRAYBELT_RULES)\n") && named.lines().count() == 1, "{named}");
}

#[test]
fn warnings_about_rules_are_told_where_rules_are_written_and_nowhere_else() {
    let state = tempfile::tempdir().unwrap();
    let site = state.path().join("site");
    rules_in(&site);
    let site = site.to_str().unwrap();
    let (page, errors) = said(&run(state.path(), None, &["rules", "check", site]));
    assert!(format!("{page}{errors}").contains("warning ("), "{page}{errors}");
    for arguments in [["visits", "--rules", site], ["diagnose", "--rules", site]] {
        let (page, errors) = said(&run(state.path(), None, &arguments));
        assert!(!format!("{page}{errors}").contains("warning ("), "{arguments:?}: {page}{errors}");
    }
}

#[test]
fn conveyors_of_the_state_folder_are_offered_and_found_by_name() {
    let state = tempfile::tempdir().unwrap();
    let folder = state.path().join("conveyors");
    fs::create_dir_all(&folder).unwrap();
    let example =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/ostrel-quay/conveyors/OQ-04.ron");
    fs::copy(example, folder.join("OQ-04.ron")).unwrap();
    let (page, _) = said(&run(state.path(), None, &["diagnose"]));
    assert!(page.contains("Which conveyor?") && page.contains(" 1  OQ-04\n"), "{page}");
    let (page, errors) = said(&run(state.path(), None, &["diagnose", "--conveyor", "OQ-04"]));
    assert!(errors.contains("OQ-04.ron (from the state folder)"), "{errors}");
    assert!(page.contains("Before you look") && !page.contains("Which conveyor?"), "{page}");
}
