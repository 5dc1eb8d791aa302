//! What stands in the repository, and a copy of it that may be changed.

use std::fs;
use std::path::{Path, PathBuf};

use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;

/// Where something of the repository stands.
pub fn root(inside: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(inside)
}

/// Where the small book that is followed by hand stands.
pub fn small_folder() -> PathBuf {
    root("examples/small-book")
}

/// The small book that is followed by hand.
pub fn small() -> Book {
    let (book, _) = load::with_site(Some(&small_folder())).unwrap_or_else(|p| panic!("{p:?}"));
    book
}

/// A folder in memory where the system has one, on disk elsewhere: a visit forces each answer to disk, and a test that
/// plays hundreds of visits has nothing to wait for.
pub fn quick_folder() -> tempfile::TempDir {
    tempfile::tempdir_in("/dev/shm").or_else(|_| tempfile::tempdir()).unwrap()
}

/// Copies a folder with all that is in it.
pub fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().map(Result::unwrap) {
        let to = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy(&entry.path(), &to);
        } else {
            fs::copy(entry.path(), to).unwrap();
        }
    }
}
