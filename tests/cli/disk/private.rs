//! Nobody else may read what is kept, whatever the umask.

use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::Path;

use super::{small_book, typed_in};

fn modes(folder: &Path, found: &mut Vec<(String, bool, u32)>) {
    for entry in fs::read_dir(folder).unwrap().map(Result::unwrap) {
        let kind = entry.file_type().unwrap();
        let mode = entry.metadata().unwrap().permissions().mode() & 0o777;
        found.push((entry.path().display().to_string(), kind.is_dir(), mode));
        if kind.is_dir() {
            modes(&entry.path(), found);
        }
    }
}

#[test]
fn files_and_folders_of_the_state_are_private_with_any_umask() {
    let rules = small_book();
    for umask in ["umask 000", "umask 022", "umask 077", "umask 277", "umask 777"] {
        let folder = tempfile::tempdir().unwrap();
        let visit = ["diagnose", "--plain", "--rules", &rules, "--state", "a/kept"];
        let said = typed_in(folder.path(), umask, &visit, "1\nOQ-04\n1\n1\nno\n");
        assert_eq!(said.code, Some(0), "{umask}: {}{}", said.out, said.err);
        let run = ["drill", "run", "crooked-splice", "--plain", "--state", "a/kept"];
        let said = typed_in(folder.path(), umask, &run, "\n\n\n7\ns\n");
        assert_eq!(said.code, Some(0), "{umask}: {}{}", said.out, said.err);
        let units = ["gauge", "splice", "--units", "inch", "--state", "a/kept"];
        typed_in(folder.path(), umask, &units, "");
        let mut found = Vec::new();
        modes(folder.path(), &mut found);
        assert!(found.len() >= 12, "{found:?}");
        for (path, is_folder, mode) in found {
            assert_eq!(mode, if is_folder { 0o700 } else { 0o600 }, "{umask}: {path}");
        }
    }
}
