//! A book is signed off when nothing speaks against it; the record is bound to its texts.

use std::fs;

use straybelt::rulebook::load;
use straybelt::visit::store::BookMark;

use super::{Folder, rules};
use crate::support::files::{copy, small_folder};

/// The small book, with a case of its own.
fn small() -> Folder {
    let folder = Folder::with(&[]);
    copy(&small_folder(), folder.path());
    let case = r#"[(id: "jumps", title: "One part jumps", source: Derived("the small example"),
        answers: {"what-is-off": "one-part", "jumps": "yes"}, expect: [Leads(["crooked-splice"])])]"#;
    fs::create_dir_all(folder.file("cases")).unwrap();
    fs::write(folder.file("cases/own.ron"), case).unwrap();
    folder
}

fn sign(folder: &Folder) -> super::Said {
    rules(&["sign-off", &folder.shown(), "--by", "A. Lead, belts", "--runs", "4", "--min", "0"])
}

#[test]
fn a_sound_book_is_signed_and_a_visit_says_so() {
    let folder = small();
    let said = sign(&folder);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    assert!(said.out.contains("Signed off by A. Lead, belts on "), "{}", said.out);
    for what in ["rules check", "rules test", "rules coverage", "rules compare", "rules trial"] {
        assert!(said.out.contains(&format!("good  {what}: ")), "{what}: {}", said.out);
    }
    let book = load::read(Some(folder.path())).book.unwrap();
    assert_eq!(book.signed.as_ref().unwrap().by, "A. Lead, belts");
    let words = BookMark::new(&book).words();
    let print = &book.fingerprint[..8];
    assert!(words.contains(&format!("({print}), signed off by A. Lead, belts, ")), "{words}");
    // Nothing of the record is read as a rule.
    assert_eq!(load::read(Some(folder.path())).problems, []);
    // Any change makes it another book.
    let file = folder.file("causes/small.ron");
    let text = fs::read_to_string(&file).unwrap();
    fs::write(&file, format!("{text}\n// Looked at again.\n")).unwrap();
    let book = load::read(Some(folder.path())).book.unwrap();
    assert_eq!(book.signed, None);
    assert!(!BookMark::new(&book).words().contains("signed"));
    // Signed again, it is held against what was signed before; both entries stand.
    let said = sign(&folder);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    assert!(said.out.contains(".signed"), "{}", said.out);
    let record = fs::read_to_string(folder.file("signed.ron")).unwrap();
    assert_eq!(record.matches("fingerprint: ").count(), 2, "{record}");
    assert!(load::read(Some(folder.path())).book.unwrap().signed.is_some());
}

#[test]
fn what_speaks_against_it_keeps_it_from_being_signed() {
    let folder = small();
    assert_eq!(sign(&folder).code, 0);
    let before = fs::read_to_string(folder.file("signed.ron")).unwrap();
    let file = folder.file("causes/small.ron");
    let text = fs::read_to_string(&file).unwrap();
    let worse = text.replace("Sees(\"jumps\", Always)", "Sees(\"jumps\", Never)");
    assert_ne!(worse, text);
    fs::write(&file, worse.replace("(\"one-part\", Usually)", "(\"one-part\", Seldom)")).unwrap();
    let said = sign(&folder);
    assert_eq!(said.code, 1, "{}{}", said.out, said.err);
    assert!(said.out.contains("Not signed off: "), "{}", said.out);
    assert!(
        said.out.contains("BAD   rules compare: held by") && said.out.contains("fail now: jumps"),
        "{}",
        said.out
    );
    assert_eq!(fs::read_to_string(folder.file("signed.ron")).unwrap(), before);
}
