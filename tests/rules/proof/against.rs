//! Two books on the same draws: better, worse, or it cannot be told.

use std::process::Command;

use straybelt::drill::eyes::Eyes;
use straybelt::drill::trial::Setting;
use straybelt::drill::trial_against;
use straybelt::proof::against::against;
use straybelt::proof::draw::On;
use straybelt::proof::paired::{Verdict, Wanted};
use straybelt::proof::what_if;
use straybelt::rulebook::load::{default_book, read_changed};
use straybelt::rulebook::model::Book;
use straybelt::show::proof_against::sentence;
use straybelt::show::ways;

use crate::support::files::{small, small_folder};

fn changed(changes: &[&str]) -> Book {
    let changes: Vec<String> = changes.iter().map(|&change| change.to_owned()).collect();
    let checked = read_changed(Some(&small_folder()), |rules, texts, report| {
        what_if::apply(rules, &changes, texts, report);
    });
    checked.book.unwrap()
}

#[test]
fn a_book_against_itself_differs_in_nothing() {
    let book = small();
    let came = against(&book, &small(), (60, 3), On::Any, &mut |_| {});
    assert_eq!((came.draws, came.left_out), (60, 0));
    assert_eq!(came.verdict(), Verdict::Same);
    assert!(sentence(&came).starts_with("No difference: the right cause leads in "));
}

#[test]
fn a_book_that_was_spoilt_does_worse_and_mended_it_does_better() {
    let (good, bad) =
        (small(), changed(&["crooked-splice.jumps=never", "dirty-rolls.ridges.thick=never"]));
    let came = against(&good, &bad, (200, 3), On::Any, &mut |_| {});
    assert_eq!(came.right_first.verdict(Wanted::More), Verdict::Worse, "{came:?}");
    let (low, high) = came.right_first.between();
    assert!(low < high && high < 0.0, "{low} {high}");
    let said = sentence(&came);
    assert!(
        said.starts_with("Worse: the right cause leads in ") && said.contains(" of 100, was "),
        "{said}"
    );
    // Few draws tell nothing of a small difference.
    let slight = changed(&["crooked-splice.how-common=0.026"]);
    let came = against(&good, &slight, (20, 3), On::Any, &mut |_| {});
    assert!(matches!(came.verdict(), Verdict::Same | Verdict::CannotBeTold), "{came:?}");
}

#[test]
fn the_same_conveyors_are_tried_with_both_books() {
    let book = default_book().unwrap();
    let setting =
        Setting { runs: 6, seed: 2, eyes: Eyes::default(), other: 0.0, words: &ways::said };
    let came = trial_against::against(&book, &default_book().unwrap(), &setting, &mut |_| {});
    assert_eq!((came.figures.draws, came.figures.left_out), (6, 0));
    assert_eq!(came.figures.verdict(), Verdict::Same);
    assert_eq!(came.figures.minutes.old, came.figures.minutes.new);
}

fn rules(args: &[&str]) -> (String, i32) {
    let ended =
        Command::new(env!("CARGO_BIN_EXE_straybelt")).arg("rules").args(args).output().unwrap();
    (String::from_utf8(ended.stdout).unwrap(), ended.status.code().unwrap())
}

#[test]
fn worse_is_an_exit_code_for_pace_and_a_lost_case_for_compare() {
    let good = small_folder().display().to_string();
    let dir = tempfile::tempdir().unwrap();
    crate::support::files::copy(&small_folder(), dir.path());
    let case = r#"[(id: "jumps", title: "One part jumps", source: Memory,
        answers: {"what-is-off": "one-part", "jumps": "yes"}, expect: [Leads(["crooked-splice"])])]"#;
    std::fs::create_dir_all(dir.path().join("cases")).unwrap();
    std::fs::write(dir.path().join("cases/a.ron"), case).unwrap();
    let held = tempfile::tempdir().unwrap();
    crate::support::files::copy(dir.path(), held.path());
    let file = dir.path().join("causes/small.ron");
    let text = std::fs::read_to_string(&file).unwrap();
    let spoilt = text
        .replace("Sees(\"jumps\", Always)", "Sees(\"jumps\", Never)")
        .replace("(\"one-part\", Usually)", "(\"one-part\", Seldom)");
    std::fs::write(&file, spoilt).unwrap();
    let (bad, held) = (dir.path().display().to_string(), held.path().display().to_string());
    let (out, code) = rules(&["pace", &bad, "--against", &good, "--runs", "200"]);
    assert_eq!(code, 1, "{out}");
    assert!(out.contains("Worse: "), "{out}");
    let (out, code) =
        rules(&["pace", &good, "--against", &good, "--runs", "20", "--format", "json"]);
    assert_eq!(code, 0, "{out}");
    let told: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!((told["verdict"].as_str(), told["draws"].as_u64()), (Some("same"), Some(20)));
    let (out, code) = rules(&["compare", &held, &bad, "--runs", "0"]);
    assert_eq!(code, 1, "{out}");
    assert!(out.contains("Worse: 1 case that held fails now."), "{out}");
    let (out, code) = rules(&["compare", &held, &held, "--runs", "0"]);
    assert_eq!(code, 0, "{out}");
}
