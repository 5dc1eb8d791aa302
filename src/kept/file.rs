//! A record's file: reading it, and replacing it whole and safely.

use std::cmp::Ordering;
use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use serde::Deserialize;

use super::Keep;
use super::error::{StoreError, io_error};

/// No record's file is larger, in bytes.
const LARGEST: u64 = 16 * 1024 * 1024;
/// The head of a record's file is within so many bytes.
const HEAD: u64 = 2048;

/// The beginning of a file, where its state stands.
pub(super) fn head(path: &Path) -> io::Result<String> {
    let mut head = Vec::new();
    File::open(path)?.take(HEAD).read_to_end(&mut head)?;
    Ok(String::from_utf8_lossy(&head).into_owned())
}

/// Reads a record; a file that cannot be understood is set aside, never thrown away.
pub(super) fn read<R: Keep>(number: u32, path: &Path) -> Result<R, StoreError> {
    read_only(number, path).map_err(|error| match error {
        StoreError::Bad { of, number, path: shown, why, .. } => {
            let aside = path.with_extension("ron.bad");
            let kept = match fs::rename(path, &aside) {
                Ok(()) => aside.display().to_string(),
                Err(_) => shown.clone(),
            };
            StoreError::Bad { of, number, path: shown, why, kept }
        }
        other => other,
    })
}

/// Reads a record and leaves its file alone whatever it holds.
pub(super) fn read_only<R: Keep>(number: u32, path: &Path) -> Result<R, StoreError> {
    let of = R::WORDING;
    let reads = R::FORMAT;
    let mut bytes = Vec::new();
    let opened = File::open(path).and_then(|file| file.take(LARGEST + 1).read_to_end(&mut bytes));
    opened.map_err(|e| io_error(path, "cannot be read", e))?;
    let bad = |why: String| StoreError::Bad {
        of,
        number,
        path: path.display().to_string(),
        why,
        kept: path.display().to_string(),
    };
    if bytes.len() as u64 > LARGEST {
        return Err(bad("far too large".to_owned()));
    }
    let text = std::str::from_utf8(&bytes).map_err(|_| bad("not plain text".to_owned()))?;
    #[derive(Deserialize)]
    struct Head {
        format: u32,
    }
    let spoilt =
        |e: ron::error::SpannedError| bad(format!("line {}: {}", e.span.start.line, e.code));
    let head: Head = ron::from_str(text).map_err(spoilt)?;
    let format = head.format;
    match format.cmp(&reads) {
        Ordering::Less => {
            return Err(StoreError::Older { of, number, format, reads });
        }
        Ordering::Greater => {
            return Err(StoreError::Newer { of, number, format, reads });
        }
        Ordering::Equal => {}
    }
    let record: R = ron::from_str(text).map_err(spoilt)?;
    if record.number() == number {
        Ok(record)
    } else {
        let (one, says) = (of.one, record.number());
        Err(bad(format!("it says that it is {one} {says}")))
    }
}

/// The steps of a save, in order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum SaveStep {
    Create,
    Write,
    Force,
    Rename,
    ForceFolder,
}

/// Replaces a file whole. `before` is called before each step; tests let it fail there.
pub(crate) fn replace(
    path: &Path,
    text: &[u8],
    before: &mut dyn FnMut(SaveStep) -> io::Result<()>,
) -> io::Result<()> {
    let new = new_name(path);
    before(SaveStep::Create)?;
    let mut file = File::create(&new)?;
    before(SaveStep::Write)?;
    file.write_all(text)?;
    file.write_all(b"\n")?;
    before(SaveStep::Force)?;
    file.sync_all()?;
    drop(file);
    before(SaveStep::Rename)?;
    fs::rename(&new, path)?;
    before(SaveStep::ForceFolder)?;
    #[cfg(unix)]
    if let Some(folder) = path.parent() {
        File::open(folder)?.sync_all()?;
    }
    Ok(())
}

/// Where a file is written before it takes the place of the old one.
pub(super) fn new_name(path: &Path) -> PathBuf {
    path.with_extension("ron.new")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_save_that_fails_at_any_step_leaves_the_old_file_or_the_new() {
        use SaveStep::{Create, Force, ForceFolder, Rename, Write};
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("0001.ron");
        for failing in [Create, Write, Force, Rename, ForceFolder] {
            fs::write(&path, "old\n").expect("written");
            let saved = replace(&path, b"new", &mut |step| match step == failing {
                true => Err(io::Error::from(io::ErrorKind::StorageFull)),
                false => Ok(()),
            });
            assert!(saved.is_err());
            let text = fs::read_to_string(&path).expect("readable");
            assert_eq!(text, if failing == ForceFolder { "new\n" } else { "old\n" }, "{failing:?}");
        }
    }
}
