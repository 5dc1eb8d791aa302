//! The rule loader: the first byte says which file of a small whole book, or a site's file over the default one,
//! is replaced by what follows. Whatever comes, it is read or refused with places that can be shown.

#![no_main]

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use libfuzzer_sys::fuzz_target;
use straybelt::rulebook::load;
use straybelt::show::paint::Paint;
use straybelt::show::problem::{line, page};
use straybelt::source::unprintable;
use straybelt::visit::{ConveyorFacts, Depth, Diagnosis, Observations};

/// The files of the small book, in this order; then site.ron over the default book.
const FILES: [&str; 9] = [
    "symptoms/small.ron",
    "causes/small.ron",
    "fixes/small.ron",
    "cautions.ron",
    "book.ron",
    "stop-now.ron",
    "edge-room.ron",
    "sources.ron",
    "glossary.ron",
];

struct Folders {
    whole: PathBuf,
    site: PathBuf,
}

fn folders() -> &'static Folders {
    static FOLDERS: OnceLock<Folders> = OnceLock::new();
    FOLDERS.get_or_init(|| {
        let root = std::env::temp_dir().join(format!("straybelt-fuzz-{}", std::process::id()));
        let folders = Folders {
            whole: root.join("whole"),
            site: root.join("site"),
        };
        copy(
            Path::new(concat!(
                env!("CARGO_MANIFEST_DIR"),
                "/../../examples/small-book"
            )),
            &folders.whole,
        );
        fs::create_dir_all(&folders.site).expect("a folder");
        folders
    })
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).expect("a folder");
    for entry in fs::read_dir(from).expect("the small book").flatten() {
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), target).expect("copied");
        }
    }
}

fuzz_target!(|data: &[u8]| {
    let Some((which, text)) = data.split_first() else {
        return;
    };
    let folders = folders();
    let which = usize::from(which % 10);
    let (dir, path) = match FILES.get(which) {
        Some(file) => (&folders.whole, folders.whole.join(file)),
        None => (&folders.site, folders.site.join("site.ron")),
    };
    let before = fs::read(&path).ok();
    fs::write(&path, text).expect("written");
    let checked = load::read(Some(dir));
    match before {
        Some(before) if which < FILES.len() => fs::write(&path, before).expect("written"),
        _ => fs::remove_file(&path).expect("removed"),
    }
    assert_eq!(
        checked.book.is_none(),
        checked.problems.iter().any(|problem| problem.is_error())
    );
    for problem in &checked.problems {
        let shown = page(problem, 40, Paint::NONE);
        let line = line(problem);
        assert!(
            !shown
                .chars()
                .chain(line.chars())
                .any(|c| unprintable(c) && c != '\n'),
            "{shown}"
        );
    }
    if let Some(book) = &checked.book {
        let told = Observations::none(book);
        let finding =
            Diagnosis::new(book).finding_to(&ConveyorFacts::default(), &told, Depth::Ranking);
        for ranked in &finding.ranked {
            assert!((0.0..=1.0).contains(&ranked.probability), "{ranked:?}");
        }
    }
});
