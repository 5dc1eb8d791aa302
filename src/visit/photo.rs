//! Photos that belong to a visit: copied beside its record, known by what they hold and not by their names.

use std::io::Read;
use std::path::Path;

use super::store::{OpenVisit, StoreError};
use crate::disk::{self, NotPlain, Over, Sight};
use crate::kept::io_error;

/// How the folder of a visit's photos ends.
pub const FOLDER: &str = "photos";
/// No photo is larger, in bytes.
const LARGEST: u64 = 20 * 1024 * 1024;
/// So many photos belong to one visit at most.
const MOST: u32 = 99;

/// What kind of picture it is, by its first bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PhotoKind {
    /// JPEG.
    Jpeg,
    /// PNG.
    Png,
    /// WebP.
    Webp,
}

impl PhotoKind {
    /// Of a file that holds this; nothing if it is none of these.
    pub fn of(bytes: &[u8]) -> Option<Self> {
        match bytes {
            [0xff, 0xd8, 0xff, ..] => Some(Self::Jpeg),
            [0x89, b'P', b'N', b'G', b'\r', b'\n', 0x1a, b'\n', ..] => Some(Self::Png),
            [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => Some(Self::Webp),
            _ => None,
        }
    }

    /// The ending of its file.
    pub fn ending(self) -> &'static str {
        match self {
            Self::Jpeg => "jpg",
            Self::Png => "png",
            Self::Webp => "webp",
        }
    }

    /// Its name in pages for a browser.
    pub fn media_type(self) -> &'static str {
        match self {
            Self::Jpeg => "image/jpeg",
            Self::Png => "image/png",
            Self::Webp => "image/webp",
        }
    }
}

/// Reads a photo.
///
/// # Errors
/// What is wrong with it, in words.
pub fn read(path: &Path) -> Result<(PhotoKind, Vec<u8>), String> {
    let shown = path.display();
    let file = disk::open(path).map_err(|error| match NotPlain::within(&error) {
        Some(odd) => format!("{shown} is {}, no plain file", odd.words()),
        None => format!("{shown} cannot be read: {error}"),
    })?;
    let mut bytes = Vec::new();
    file.take(LARGEST + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| format!("{shown} cannot be read: {error}"))?;
    if bytes.len() as u64 > LARGEST {
        return Err(format!("{shown} is larger than 20 MB: make it smaller first"));
    }
    match PhotoKind::of(&bytes) {
        Some(kind) => Ok((kind, bytes)),
        None => Err(format!("{shown} is no picture: only JPEG, PNG and WebP are kept")),
    }
}

/// Why a photo is not kept.
#[derive(Debug, thiserror::Error)]
pub enum NotKept {
    /// It is none that can be kept, in words.
    #[error("{0}")]
    Unfit(String),
    /// The state folder does not take it.
    #[error("the photo is not kept: {0}")]
    Store(#[source] StoreError),
}

/// Copies a photo beside the record of a visit, and says under which name.
///
/// # Errors
/// What is wrong with it, or why it cannot be written.
pub fn keep(visit: &OpenVisit, path: &Path) -> Result<String, NotKept> {
    let (kind, bytes) = read(path).map_err(NotKept::Unfit)?;
    let folder = visit.beside(FOLDER);
    let full = |error| NotKept::Store(io_error(&folder, "cannot be written", error));
    disk::make_folders(&folder, Sight::Private).map_err(full)?;
    for number in 1..=MOST {
        let name = format!("{number:02}.{}", kind.ending());
        let taken = [PhotoKind::Jpeg, PhotoKind::Png, PhotoKind::Webp]
            .into_iter()
            .any(|kind| folder.join(format!("{number:02}.{}", kind.ending())).exists());
        if taken {
            continue;
        }
        return match disk::write(&folder.join(&name), &bytes, Over::Nothing, Sight::Private) {
            Ok(()) => Ok(name),
            Err(error) => Err(full(error)),
        };
    }
    Err(NotKept::Unfit(format!("this visit has {MOST} photos already: no more are kept")))
}

/// Takes copies away again that no event names, since something after them failed.
pub fn take_away(visit: &OpenVisit, copies: &[String]) {
    for copy in copies {
        // What cannot be taken away harms nothing: no page shows it.
        let _ = std::fs::remove_file(visit.beside(FOLDER).join(copy));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_picture_is_known_by_what_it_holds() {
        assert_eq!(PhotoKind::of(b"\xff\xd8\xff\xe0rest"), Some(PhotoKind::Jpeg));
        assert_eq!(PhotoKind::of(b"\x89PNG\r\n\x1a\nrest"), Some(PhotoKind::Png));
        assert_eq!(PhotoKind::of(b"RIFF1234WEBPVP8 "), Some(PhotoKind::Webp));
        for other in [&b""[..], b"GIF89a", b"<svg/>", b"%PDF-1.7", b"MZ", b"\xff\xd8"] {
            assert_eq!(PhotoKind::of(other), None);
        }
    }

    #[test]
    fn what_is_no_picture_or_too_large_is_refused_in_words() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str, bytes: &[u8]| {
            let path = folder.path().join(name);
            std::fs::write(&path, bytes).unwrap();
            path
        };
        assert!(read(&at("a.jpg", b"no picture")).unwrap_err().contains("is no picture"));
        let mut large = b"\xff\xd8\xff".to_vec();
        large.resize(LARGEST as usize + 1, 0);
        assert!(read(&at("b.jpg", &large)).unwrap_err().contains("larger than 20 MB"));
        large.truncate(LARGEST as usize);
        assert!(read(&at("c.txt", &large)).is_ok(), "its name does not count");
        assert!(read(folder.path()).unwrap_err().contains("a folder"));
        assert!(read(&folder.path().join("none")).unwrap_err().contains("cannot be read"));
    }
}
