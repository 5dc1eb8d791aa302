//! A record's file: its text, what is read of it, and how it is replaced.

use std::cmp::Ordering;
use std::io::{self, Read};
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::Keep;
use super::error::{StoreError, io_error};
use super::seal::{seal, unseal};
use crate::disk::{self, NotPlain, Over, Sight};

/// No record's file is larger, in bytes.
const LARGEST: u64 = 16 * 1024 * 1024;
/// The head of a record's file is within so many bytes.
const HEAD: u64 = 2048;

/// The beginning of a file, where its state stands.
pub(super) fn head(path: &Path) -> io::Result<String> {
    let mut head = Vec::new();
    disk::open(path)?.take(HEAD).read_to_end(&mut head)?;
    Ok(String::from_utf8_lossy(&head).into_owned())
}

/// Reads a record to go on with it; a file that cannot be understood is set aside, never thrown away.
pub(super) fn read_to_write<R: Keep>(number: u32, path: &Path) -> Result<R, StoreError> {
    read(number, path).map_err(|error| match error {
        StoreError::Bad { of, number, path: shown, why, .. } => {
            let kept = disk::set_aside(path).ok().map(|aside| aside.display().to_string());
            StoreError::Bad { of, number, path: shown, why, kept }
        }
        other => other,
    })
}

/// Reads a record and leaves its file alone whatever it holds.
pub(super) fn read<R: Keep>(number: u32, path: &Path) -> Result<R, StoreError> {
    let of = R::WORDING;
    let reads = R::FORMAT;
    let bad = |why: String| StoreError::Bad {
        of,
        number,
        path: path.display().to_string(),
        why,
        kept: None,
    };
    let text = disk::read_text(path, LARGEST).map_err(|error| match NotPlain::within(&error) {
        Some(odd) => not_plain(of, number, path, odd),
        None if error.kind() == io::ErrorKind::InvalidData => bad(error.to_string()),
        None => io_error(path, "cannot be read", error),
    })?;
    let text = unseal(&text).map_err(|why| bad(why.to_owned()))?;
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

/// Replaces a record's file.
pub(super) fn save<R: Serialize>(path: &Path, record: &R) -> io::Result<()> {
    let pretty = ron::ser::PrettyConfig::new().depth_limit(2).new_line("\n");
    let text = ron::ser::to_string_pretty(record, pretty).map_err(io::Error::other)?;
    disk::write(path, seal(&text).as_bytes(), Over::PlainFile, Sight::Private)
}

/// Something stands in the place of a record's file.
pub(super) fn not_plain(
    of: &'static super::Wording,
    number: u32,
    path: &Path,
    odd: disk::Odd,
) -> StoreError {
    StoreError::NotPlain { of, number, path: path.display().to_string(), what: odd.words() }
}
