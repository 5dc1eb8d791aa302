//! An examination: its file does not show what is hidden, and the run goes as any other.

use jiff::Timestamp;
use straybelt::drill::Move;
use straybelt::drill::record::{Begun, Deed, Record, Store};
use straybelt::drill::worth::Worth;
use straybelt::kept::Keep;
use straybelt::visit::store::BookMark;

use crate::support::{BOOK, DIAGNOSIS, hidden, shipped, symptom};

fn exam(drill: &str) -> (tempfile::TempDir, Store, u32) {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::at(folder.path());
    let (drill, now) = (shipped(drill), Timestamp::UNIX_EPOCH);
    let begun = Begun { drill, who: Some("Kim".to_owned()), book: BookMark::new(&BOOK), now };
    let kept = store.begin(|run| Record::begun(run, begun).sealed(), now).unwrap();
    let run = kept.record().run;
    (folder, store, run)
}

fn file(folder: &tempfile::TempDir) -> String {
    std::fs::read_to_string(folder.path().join("runs/1970/0001.ron")).unwrap()
}

#[test]
fn the_file_of_an_examination_shows_nothing_of_the_drill() {
    let (folder, store, run) = exam("two-at-once");
    let mut kept = store.open(run).unwrap();
    kept.add(Deed::of(&Move::Look(symptom("where")), &BOOK), Timestamp::UNIX_EPOCH).unwrap();
    let drill = shipped("two-at-once");
    let text = file(&folder);
    let telling =
        [drill.id.as_str(), drill.title.as_str(), drill.briefing.as_str(), "hidden", "expert"];
    for words in telling.into_iter().chain(hidden(drill)) {
        assert!(!text.contains(words), "{words}");
    }
    assert!(
        text.contains("Kim") && text.contains("where"),
        "who, and what was done, stay readable"
    );
    assert!(text.get(..2048).unwrap().contains(Record::OPEN_MARK));
}

#[test]
fn it_is_opened_again_with_its_drill() {
    let (_folder, store, run) = exam("two-at-once");
    let record = store.look(run).unwrap();
    assert!(record.is_exam());
    assert_eq!(record.drill_id(), "two-at-once");
    assert_eq!(record.drill_shown(), "an examination");
    let drill = record.drill(&BOOK).unwrap();
    assert_eq!(drill.text, shipped("two-at-once").text);
    let mut kept = store.open(run).unwrap();
    kept.add(Deed::Declare, Timestamp::UNIX_EPOCH).unwrap();
    let world = kept.record().replay(&drill, &DIAGNOSIS).unwrap();
    kept.end(&world).unwrap();
    let over = store.look(run).unwrap();
    assert_eq!(over.drill_shown(), "two-at-once", "it is told when the run is over");
    assert_eq!(over.worth, Some(Worth::of(&world)));
}

#[test]
fn a_seal_that_was_changed_is_told_of_in_words() {
    let (_folder, store, run) = exam("two-at-once");
    let mut record = store.look(run).unwrap();
    let last = record.text.pop().unwrap();
    record.text.push(if last == '0' { '1' } else { '0' });
    let problems = record.drill(&BOOK).unwrap_err();
    assert_eq!(problems.0[0].message, "its seal does not open: the file was changed by hand");
    assert_eq!(problems.0[0].labels[0].place.to_string(), "the drill of run 1");
    // Another run's seal is another one, though the drill is the same.
    record.run += 1;
    assert!(record.drill(&BOOK).is_err());
    assert_eq!(record.drill_id(), "");
}
