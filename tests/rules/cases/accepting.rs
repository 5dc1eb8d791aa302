//! `--accept` rewrites what was expected and nothing else.

use super::small::Site;

const CASES: &str = "\u{feff}[\r\n    // Keep me: the reason of this case.\r\n    (   id: \"dirt\", title: \"Grey ridges, caf\u{e9} side\", source: CommonPractice,\r\n\
        answers: {\"what-is-off\": \"one-place\", \"ridges\": \"thick\"},\r\n\
        expect: [Leads([\"crooked-splice\"]), /* and me */ Above(\"crooked-splice\", \"dirty-rolls\"), AtLeast(\"dirty-rolls\", 0.999)],\r\n    ),\r\n]\r\n";

#[test]
fn only_the_expected_values_change() {
    let site = Site::with(CASES);
    let said = site.rules("test", &["--accept"]);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    let now = site.read("cases/small.ron");
    let expected =
        CASES.replace("Leads([\"crooked-splice\"])", "Leads([\"dirty-rolls\"])").replace(
            "Above(\"crooked-splice\", \"dirty-rolls\")",
            "Above(\"dirty-rolls\", \"crooked-splice\")",
        );
    let (head, tail) = expected.split_once("0.999").unwrap();
    assert!(now.starts_with(head), "{now}");
    assert!(now.ends_with(tail), "{now}");
    let again = site.rules("test", &[]);
    assert_eq!(again.code, 0, "{}", again.out);
}

#[test]
fn what_cannot_be_written_is_said_and_nothing_is_touched() {
    let cases = r#"[(id: "words", title: "Words", source: Memory, expect: [Says("wash-rolls", "polish with a feather")])]"#;
    let site = Site::with(cases);
    let fixes = site.read("fixes/small.ron");
    let first = fixes
        .split_once("id: \"")
        .and_then(|(_, rest)| rest.split_once('"'))
        .map(|(id, _)| id.to_owned())
        .unwrap();
    let cases = cases.replace("wash-rolls", &first);
    site.write("cases/small.ron", &cases);
    let said = site.rules("test", &["--accept"]);
    assert!(said.out.contains("Not accepted: words expects"), "{}", said.out);
    assert!(said.out.contains("Change it by hand."), "{}", said.out);
    assert_eq!(said.code, 1);
    assert_eq!(site.read("cases/small.ron"), cases);
    assert!(!site.file("cases/small.ron.new").exists());
}
