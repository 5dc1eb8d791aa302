//! `rules new`: what is typed stands in the file, the file loads, and nothing is ever half written.

use std::fs;
use std::path::Path;

use straybelt::conveyor::facts::Fact;
use straybelt::rulebook::{load, writer};
use straybelt::trade::TakeUp;
use straybelt::visit::ConveyorFacts;
use straybelt::visit::event::{CauseFound, Ended, Event, How, Ran};
use straybelt::visit::store::{BookMark, Record, VisitStore};

use super::{run, shown, told};

const SYMPTOM: &[&str] = &[
    "bark-strings",
    "Sign",
    "Do strings of \"bark\" hang from a \\ return roll?",
    "No, the rolls are free",
    "Yes, strings on\tone or more",
    "From the walkway, outside the guards, with a torch: look at the roll ends. Touch nothing.",
    "A wound-up string makes one end of a roll thicker, and the belt climbs to it.",
    "2",
    "runing",
    "Running",
    "torch",
    "",
    "strnd",
    "strand",
    "return",
    "both",
    "",
    "",
    "seldom",
    "idler-build-up",
    "0.3",
    "",
    "common",
];

/// A cause that says nothing on the opening questions, but sees the bark.
fn cause() -> Vec<&'static str> {
    let book = load::default_book().unwrap();
    let patterns = book.opening.iter().filter(|at| {
        use straybelt::rulebook::network::Kind;
        matches!(book.network.nodes[**at].kind, Kind::Pattern { .. } | Kind::Marks { .. })
    });
    let mut lines = vec!["bark-wound-up", "Bark wound round a return roll", "rare"];
    lines.push("Strings of bark wind round the end of a roll until it is thicker there.");
    lines.push("At that return roll and just after it.");
    for at in patterns {
        let symptom = &book.symptoms[*at];
        let sided = ["left", "right"]
            .iter()
            .all(|side| symptom.answers.values().any(|answer| answer.id == *side));
        if sided {
            lines.push("");
        }
        if symptom.id == "strand" {
            lines.push("return 0.9");
        }
        lines.push("");
    }
    lines.extend(["bark-strings", "usually", "", "idler-build-up", "", "", "", "memory"]);
    lines
}

const CAUTION: &[&str] = &[
    "bark-knife",
    "A hooked knife slips on wet bark. Cut away from yourself.",
    "common practice",
    "",
    "common",
];
const FIX: &[&str] = &[
    "cut-bark-off",
    "Cut the bark off the return rolls",
    "clean",
    "bark-wound-up",
    "usually",
    "",
    "",
    // A check that can only end it calls for nothing: another is asked for.
    "strand",
    "",
    "carry",
    "",
    "The return rolls are free",
    "",
    "",
    "",
    "bark-strings",
    "yes",
    "",
    "Strings hang from a roll",
    "",
    "",
    "3",
    "",
    "cut it off",
    "Find the rolls: look along the return strand at both ends of every roll.",
    "Cut the bark off with the belt knife.",
    "Then jog the belt on by a roll.",
    "jog",
    "Have the belt moved on by one roll, then touch the next.",
    "Have the belt moved on by one roll, to bare the next.",
    "",
    "mark",
    "the roll",
    "move",
    "the roll",
    "out of its slot",
    "",
    "20",
    "60",
    "",
    "belt knif",
    "n",
    "Belt Knife",
    "bark hook",
    "y",
    "",
    "a new roll of the same size",
    "",
    "",
    "Both ends of each roll bare, and it turns freely by hand",
    "common",
    "Cut across the belt cover.",
    "",
    "",
    "bark-knife",
    "",
    "common",
];

/// Where to stand for what was typed, as the guide says it.
const LOOK: &[&str] = &[
    "return-rolls-from-walkway",
    "The return rolls from the walkway",
    "returnrun",
    "ReturnRun",
    "running",
    "On the walkway, outside the guards, with a torch. Look along the rolls; touch nothing.",
    "",
    "",
    "",
    "strand",
    "bark-strings",
    "",
    "torch",
    "",
    "",
    "common",
];

fn write(kind: &str, dir: &Path, lines: &[&str]) -> (i32, String) {
    told(&run(&["rules", "new", kind, shown(dir)], lines))
}

#[test]
fn a_symptom_a_cause_and_its_fix_are_typed_and_the_book_takes_them() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path().join("our/rules");
    let (code, said) = write("symptom", &dir, SYMPTOM);
    assert_eq!(code, 0, "{said}");
    assert!(said.contains("Did you mean strand?"), "{said}");
    assert!(said.contains("Did you mean Running?"), "{said}");
    // What may be answered is shown before it is asked for, and what to do next stands on a line of its own.
    assert!(said.contains("\n  return: Return strand only"), "{said}");
    assert!(said.contains("\n  straybelt rules test "), "{said}");
    // The book has looks, and nobody said yet where to stand for this one.
    assert!(said.contains("can be used, with 1 warning") && said.contains("no-look"), "{said}");
    let text = fs::read_to_string(dir.join("symptoms/bark-strings.ron")).unwrap();
    assert!(text.contains("// How to look, and from where it is safe."), "{text}");
    assert!(text.contains("// group: "), "{text}");

    // A symptom that stands in a look of the book already is not offered again.
    let (code, said) = write("look", &dir, LOOK);
    assert_eq!((code, said.contains("Checked: no problems.")), (0, true), "{said}");

    let (code, said) = write("caution", &dir, CAUTION);
    assert_eq!(code, 0, "{said}");
    let (code, said) = write("cause", &dir, &cause());
    assert_eq!(code, 0, "{said}");
    assert!(said.contains("no-fix") && said.contains("1 warning"), "{said}");
    assert!(said.contains("\n  straybelt rules new fix "), "{said}");
    assert!(said.contains("left: To the left side") && !said.contains("{left}"), "{said}");
    let (code, said) = write("fix", &dir, FIX);
    assert_eq!(code, 0, "{said}");
    assert!(said.contains("None of these calls for the work yet"), "{said}");
    assert!(said.contains("\"jog the\" moves the belt"), "{said}");
    assert!(said.contains("\"touch\" is work for hands"), "{said}");
    assert!(said.contains("The steps speak of: belt knife."), "{said}");
    assert!(said.contains("Did you mean belt knife?"), "{said}");
    // The one thing that the form could not mend: a tool that the book does not have.
    assert!(said.contains("warning (tool-name)") && said.contains("with 1 warning"), "{said}");
    fs::write(dir.join("tools.ron"), "[(name: \"bark hook\")]\n").unwrap();
    let (code, said) = told(&run(&["rules", "check", shown(&dir)], &[]));
    assert_eq!((code, said.contains("No problems.")), (0, true), "{said}");

    let (book, _) = load::with_site(Some(&dir)).unwrap();
    let symptom = book.symptoms.values().find(|s| s.id == "bark-strings").unwrap();
    assert_eq!(symptom.ask, "Do strings of \"bark\" hang from a \\ return roll?");
    assert_eq!(symptom.answers.values().last().unwrap().says, "Yes, strings on one or more");
    let look = &book.looks[symptom.look];
    let of_look = (look.id.as_str(), look.minutes, look.symptoms.len());
    assert_eq!(of_look, ("return-rolls-from-walkway", 1.0, 1));
    let fix = book.fixes.values().find(|f| f.id == "cut-bark-off").unwrap();
    assert_eq!((fix.cures.len(), fix.steps().len(), fix.cautions.len()), (1, 5, 1));
    // A check takes what its symptom takes, unless something else was typed.
    let strand = book.symptoms.values().find(|s| s.id == "strand").unwrap().minutes;
    assert_eq!((fix.begins_with.len(), fix.check_minutes(), fix.minutes), (2, strand + 3.0, 60.0));
    assert_eq!(fix.tools, ["belt knife", "bark hook"]);
    // What stands on every page is not typed, and stands there.
    let warned = book.warnings(fix.state(), &fix.cautions);
    assert!(warned.iter().any(|at| book.cautions[*at].id == "lockout"));
}

#[test]
fn a_fix_on_a_running_machine_is_only_watched_and_a_safety_caution_stands() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    let caution = [
        "rounds",
        "Call in every hour at this yard.",
        "common practice",
        "alone",
        "always",
        "common",
    ];
    let (code, said) = write("caution", dir, &caution);
    assert_eq!((code, said.contains("Checked: no problems.")), (0, true), "{said}");
    let lines = [
        "watch-the-dry-run",
        "Watch the belt run dry",
        "clean",
        "idler-build-up",
        "seldom",
        "",
        "running",
        "",
        "scrape",
        "watch",
        "Scrape a roll and watch.",
        "Watch the edge at the tail for ten full turns.",
        "load",
        "Feed nothing meanwhile.",
        "",
        "90",
        "It was asked for by the stop itself.",
        "",
        "hand scraper",
        "torch",
        "",
        "",
        "",
        "The edge keeps its place",
        "common",
        "",
        "",
        "",
        "common",
    ];
    let (code, said) = write("fix", dir, &lines);
    assert_eq!((code, said.contains("Checked: no problems.")), (0, true), "{said}");
    assert!(said.contains("\"Scrape\" is work for hands"), "{said}");
    assert!(
        said.contains("There is no tool that may be used while it runs hand scraper"),
        "{said}"
    );
    let (book, _) = load::with_site(Some(dir)).unwrap();
    let fix = book.fixes.values().find(|f| f.id == "watch-the-dry-run").unwrap();
    let warned = book.warnings(fix.state(), &fix.cautions);
    assert!(warned.iter().any(|at| book.cautions[*at].id == "rounds"));
}

/// A site's own file asks for what differs here and what cannot be, and what comes of it is a book without problems.
#[test]
fn a_sites_file_asks_for_changes_and_what_is_switched_off() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    let lines = [
        "Our yard",
        "",
        "25",
        "",
        "",
        "old-trims",
        "",
        "everyday",
        "crosswind",
        "",
        "turn-belt-over",
        "",
    ];
    let (code, said) = write("site", dir, &lines);
    assert_eq!((code, said.contains("Checked: no problems.")), (0, true), "{said}");
    let text = fs::read_to_string(dir.join("site.ron")).unwrap();
    assert!(
        text.contains("switch_off: [Cause(\"crosswind\"), Fix(\"turn-belt-over\")],"),
        "{text}"
    );
    let (book, _) = load::with_site(Some(dir)).unwrap();
    let prior = |id: &str| book.causes.values().find(|c| c.id == id).map(|c| c.prior);
    assert_eq!((prior("old-trims"), prior("crosswind")), (Some(0.05), None));
}

#[test]
fn nothing_is_ever_written_over() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    let lines = ["Our yard", "", "25", "", "Which boat was unloaded last", "", "", "", ""];
    let (code, said) = write("site", dir, &lines);
    assert_eq!(code, 0, "{said}");
    let first = fs::read_to_string(dir.join("site.ron")).unwrap();
    assert!(first.contains("minutes: (lock_out: 25.0),"), "{first}");
    let (code, said) = write("site", dir, &lines);
    assert_eq!(code, 2, "{said}");
    assert!(said.contains("site.ron is there already"), "{said}");
    assert!(!said.contains("another id"), "{said}");
    assert_eq!(fs::read_to_string(dir.join("site.ron")).unwrap(), first);

    fs::create_dir_all(dir.join("cautions")).unwrap();
    fs::write(dir.join("cautions/bark-knife.ron"), "[]\n").unwrap();
    let (code, said) = write("caution", dir, CAUTION);
    assert_eq!(code, 2, "{said}");
    assert!(said.contains("cautions/bark-knife.ron is there already"), "{said}");
    assert_eq!(fs::read_to_string(dir.join("cautions/bark-knife.ron")).unwrap(), "[]\n");
}

#[test]
fn many_answers_of_a_case_stand_on_lines_that_can_be_read() {
    let pairs: Vec<String> = (0..40).map(|n| format!("\"question-{n}\": \"yes\"")).collect();
    let mut entry = writer::Entry::of_list();
    entry.map("few", pairs.get(..2).unwrap());
    entry.map("answers", &pairs);
    let text = writer::list_file(&[], &[entry]);
    assert!(text.lines().all(|line| line.len() <= 110), "{text}");
    assert!(text.contains("few: {\"question-0\": \"yes\", \"question-1\": \"yes\"},"), "{text}");
    #[derive(serde::Deserialize)]
    struct Read {
        few: std::collections::BTreeMap<String, String>,
        answers: std::collections::BTreeMap<String, String>,
    }
    let read: Vec<Read> = ron::from_str(&text).unwrap();
    assert_eq!((read[0].few.len(), read[0].answers.len()), (2, 40));
}

#[test]
fn on_a_narrow_screen_no_error_is_torn() {
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_straybelt"))
        .args(["rules", "show", "carry"])
        .env("COLUMNS", "40")
        .output()
        .unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert!(said.lines().count() > 3, "{said}");
    assert!(said.lines().all(|line| line.len() <= 40), "{said}");
}

#[test]
fn whoever_goes_away_leaves_nothing_behind() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path().join("rules");
    for lines in [0, 1, 5, SYMPTOM.len() - 1] {
        let (code, said) = write("symptom", &dir, &SYMPTOM[..lines]);
        assert_eq!(code, 2, "{said}");
        assert!(said.contains("Nothing was written."), "{said}");
        assert!(!dir.exists());
    }
}

#[cfg(unix)]
#[test]
fn ctrl_c_at_a_terminal_leaves_nothing_behind() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path().join("rules");
    let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_straybelt"));
    command
        .args(["rules", "new", "caution", shown(&dir)])
        .env("TERM", "xterm")
        .env("NO_COLOR", "1");
    let mut session = rexpect::session::spawn_command(command, Some(120_000)).unwrap();
    session.exp_string("id: ").unwrap();
    session.send_line("bark-knife").unwrap();
    session.exp_string("text: ").unwrap();
    session.send_control('c').unwrap();
    session.exp_string("Nothing was written.").unwrap();
    let status = session.process().wait().unwrap();
    assert!(matches!(status, rexpect::process::WaitStatus::Exited(_, 130)), "{status:?}");
    assert!(!dir.exists());
}

#[test]
fn what_is_wrong_with_a_new_file_is_told_and_the_file_stays() {
    let folder = tempfile::tempdir().unwrap();
    let lines = ["bark-knife", "Keep your {hand} on the left.", "common practice", "", "common"];
    let (code, said) = write("caution", folder.path(), &lines);
    assert_eq!(code, 1, "{said}");
    assert!(said.contains("error (placeholder)"), "{said}");
    assert!(said.contains("Mend "), "{said}");
    assert!(folder.path().join("cautions/bark-knife.ron").exists());
    // The rule book no longer loads, and that is said before anything is asked.
    let (code, said) = write("caution", folder.path(), CAUTION);
    assert_eq!(code, 3, "{said}");
}

#[test]
fn a_case_is_typed_and_holds() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    let lines = [
        "jumps-at-the-splice",
        "It jumps as the splice passes",
        "derived",
        "a visit to our yard",
        "take_up",
        "screw",
        "",
        "first-split",
        "one-part",
        // Nothing else is ticked.
        "",
        "",
        "",
        "",
    ];
    let (code, said) = write("case", dir, &lines);
    assert_eq!(code, 0, "{said}");
    let (code, said) =
        told(&run(&["rules", "test", shown(dir), "--filter", "jumps-at-the-splice"], &[]));
    assert_eq!(code, 0, "{said}");
    assert!(said.contains("1 case holds"), "{said}");
}

/// A visit kept in `state` with these events after its answers.
pub(crate) fn kept(state: &Path, answers: &[(&str, &str)], then: Vec<Event>) -> u32 {
    let store = VisitStore::at(state);
    let book = BookMark {
        name: "book".to_owned(),
        version: "1".to_owned(),
        fingerprint: "f".to_owned(),
        signed: None,
    };
    let conveyor = ConveyorFacts {
        name: Some("OQ-04".to_owned()),
        left: Some("walkway".to_owned()),
        facts: [Fact::TakeUp(TakeUp::Screw)].into_iter().collect(),
        ..ConveyorFacts::default()
    };
    let at = jiff::Timestamp::UNIX_EPOCH;
    let begun = |visit| Record::begun(visit, book, conveyor, true, at);
    let mut visit = store.begin(begun, at).unwrap();
    for (symptom, answer) in answers {
        let answer =
            Event::Answered { symptom: (*symptom).to_owned(), answer: Some((*answer).to_owned()) };
        visit.add(answer, at).unwrap();
    }
    for event in then {
        visit.add(event, at).unwrap();
    }
    visit.record().visit
}

/// A locked-out batch of one fix in which this cause was found, after which the belt ran true.
pub(crate) fn cured(fix: &str, cause: &str) -> Vec<Event> {
    vec![
        Event::Enough,
        Event::BatchBegun { locked_out: true, fixes: vec![fix.to_owned()] },
        Event::Worked { fix: fix.to_owned(), how: How::Done, causes: vec![cause.to_owned()] },
        Event::Found { cause: cause.to_owned(), report: Some(CauseFound::AsSuspected) },
        Event::Ran { outcome: Ran::True },
        Event::Ended { how: Ended::True },
    ]
}

#[test]
fn a_visit_becomes_cases_without_names() {
    let folder = tempfile::tempdir().unwrap();
    let (state, dir) = (folder.path().join("state"), folder.path().join("rules"));
    let answers = [("first-split", "one-part"), ("splice-jump", "yes")];
    let book = load::default_book().unwrap();
    let answers: Vec<(&str, &str)> =
        answers.into_iter().filter(|(id, _)| book.symptoms.values().any(|s| s.id == *id)).collect();
    let visit = kept(&state, &answers, cured("re-splice-mechanical", "crooked-splice"));
    let number = visit.to_string();
    let from = ["rules", "new", "case", shown(&dir), "--from", &number, "--state", shown(&state)];
    let (code, said) = told(&run(&from, &[]));
    assert_eq!(code, 0, "{said}");
    let text = fs::read_to_string(dir.join("cases/visit-1.ron")).unwrap();
    assert!(text.contains("Derived(\"visit 1 of 1970-01-01\")"), "{text}");
    assert!(text.contains("Leads([\"crooked-splice\"])"), "{text}");
    assert!(text.contains("outcomes: [\"true\"]"), "{text}");
    assert!(!text.contains("OQ-04") && !text.contains("walkway"), "{text}");
    let (code, said) = told(&run(&["rules", "test", shown(&dir), "--filter", "visit-1"], &[]));
    assert_eq!(code, 0, "{said}");
    // A second time nothing is written over it.
    let (code, said) = told(&run(&from, &[]));
    assert_eq!(code, 2, "{said}");
    assert!(said.contains("visit-1.ron is there already"), "{said}");
    assert_eq!(fs::read_to_string(dir.join("cases/visit-1.ron")).unwrap(), text);
    let (code, said) = told(&run(
        &["rules", "new", "case", shown(&dir), "--from", "9", "--state", shown(&state)],
        &[],
    ));
    assert_eq!(code, 2, "{said}");
    assert!(said.contains("there is no visit 9 here"), "{said}");
}
