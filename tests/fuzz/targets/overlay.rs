//! Two folders laid over the small book, the company's and the plant's: what stands before the first line of `---` is
//! what the company's site.ron holds, what stands behind it the plant's. Whatever comes, it is laid or refused; no safety caution
//! of the book is lost, and what can be used gives a finding.

#![no_main]

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use libfuzzer_sys::fuzz_target;
use straybelt::conveyor::facts::Facts;
use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;
use straybelt::show::problem::{line, page};
use straybelt::source::unprintable;
use straybelt::stream::paint::Paint;
use straybelt::visit::{Depth, Diagnosis, Observations};

struct Folders {
    small: Book,
    company: PathBuf,
    plant: PathBuf,
}

fn folders() -> &'static Folders {
    static FOLDERS: OnceLock<Folders> = OnceLock::new();
    FOLDERS.get_or_init(|| {
        let root = std::env::temp_dir().join(format!("straybelt-fuzz-{}", std::process::id()));
        let (company, plant) = (root.join("company"), root.join("plant"));
        for folder in [&company, &plant] {
            fs::create_dir_all(folder).expect("a folder");
        }
        let small = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/small-book"));
        std::os::unix::fs::symlink(small.canonicalize().expect("the small book"), root.join("small"))
            .expect("a link");
        let small = load::read(Some(small)).book.expect("the small book");
        Folders { small, company, plant }
    })
}

fuzz_target!(|data: &[u8]| {
    let Ok(text) = std::str::from_utf8(data) else { return };
    let (company, plant) = text.split_once("\n---\n").unwrap_or((text, ""));
    let folders = folders();
    let write = |folder: &Path, over: &str, fields: &str| {
        let text = format!("(over: \"../{over}\",\n{fields}\n)");
        fs::write(folder.join("site.ron"), text).expect("written");
    };
    write(&folders.company, "small", company);
    write(&folders.plant, "company", plant);
    let checked = load::read(Some(&folders.plant));
    assert_eq!(
        checked.book.is_none(),
        checked.problems.iter().any(|problem| problem.is_error())
    );
    for problem in &checked.problems {
        let (shown, line) = (page(problem, 40, Paint::NONE), line(problem));
        let odd = |c| unprintable(c) && c != '\n';
        assert!(!shown.chars().chain(line.chars()).any(odd), "{shown}");
    }
    let Some(book) = &checked.book else { return };
    for caution in folders.small.cautions.values().filter(|caution| caution.hazard.is_some()) {
        let same = book.cautions.values().any(|kept| {
            (&kept.id, &kept.text, kept.hazard) == (&caution.id, &caution.text, caution.hazard)
        });
        assert!(same, "the safety caution {} is gone", caution.id);
    }
    let told = Observations::none(book);
    let finding = Diagnosis::new(book).finding_to(&Facts::default(), &told, Depth::All);
    for ranked in &finding.ranked {
        assert!((0.0..=1.0).contains(&ranked.probability), "{ranked:?}");
    }
});
