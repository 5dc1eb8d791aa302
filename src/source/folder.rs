//! Reading a folder of texts, within limits, without following circles of links.

use std::collections::BTreeSet;
use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};

use super::{FILE_LIMIT, FOLDER_LIMIT, Place, Texts, at_in};

/// No folder in a folder in a folder ... deeper than this.
const DEEPEST: usize = 12;
/// No more files than this.
const MOST_FILES: usize = 20_000;

/// What a folder holds and what was odd about it.
#[derive(Debug, Default)]
pub struct Folder {
    /// The files that end in `.ron`, in order of path: the place in `Texts` and the path inside the folder,
    /// its parts joined with `/`.
    pub files: Vec<(super::FileId, String)>,
    /// What could not be read.
    pub refused: Vec<Refused>,
    /// Files whose names look as if they were meant to be read.
    pub near_misses: Vec<Place>,
    /// Links to folders that are read already: mostly to one that they lie in, a circle.
    pub again: Vec<Place>,
}

/// A file or folder that could not be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    /// Which, and where in it.
    pub place: Place,
    /// Why.
    pub why: Why,
    /// Its path inside the folder, if it is a file that would be read.
    pub inside: Option<String>,
    /// What can be made out of it all the same: the names in it.
    pub text: Option<String>,
}

/// Why a file could not be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Why {
    /// The system said no; its words.
    System(String),
    /// The file is larger than [`FILE_LIMIT`].
    Large,
    /// All files together are larger than [`FOLDER_LIMIT`], or too many.
    TooMuch,
    /// It is not UTF-8 from the place on.
    Encoding,
    /// It is UTF-16.
    Utf16,
    /// Folders are nested too deeply.
    Deep,
}

/// Reads all `.ron` files under `folder`, sorted by path. Hidden files and folders are passed over.
pub fn read(folder: &Path, texts: &mut Texts) -> Folder {
    let mut walk = Walk { seen: BTreeSet::new(), found: Vec::new(), out: Folder::default() };
    walk.enter(folder, "", 0);
    let Walk { found, mut out, .. } = walk;
    let mut left = FOLDER_LIMIT;
    for (path, inside) in found {
        let shown = path.display().to_string();
        match text(&path) {
            Ok(text) if text.len() > left => {
                out.refused.push(Refused::whole(shown, Why::TooMuch));
                break;
            }
            Ok(text) => {
                left -= text.len();
                out.files.push((texts.add(shown, text), inside));
            }
            Err(refused) => out.refused.push(Refused { inside: Some(inside), ..refused }),
        }
    }
    out
}

/// Reads one file, at most [`FILE_LIMIT`] bytes of UTF-8.
///
/// # Errors
/// If it cannot be read, is too large or no UTF-8.
#[expect(
    clippy::result_large_err,
    reason = "a file is refused once, and what is known of it goes along"
)]
pub fn text(path: &Path) -> Result<String, Refused> {
    let shown = path.display().to_string();
    let refuse = |why| Refused::whole(shown.clone(), why);
    let system = |error: std::io::Error| refuse(Why::System(error.to_string()));
    // A pipe or device would keep us waiting for ever.
    if !fs::metadata(path).map_err(system)?.is_file() {
        return Err(refuse(Why::System("not a plain file".to_owned())));
    }
    decode(&shown, fs::File::open(path).map_err(system)?)
}

/// Reads at most [`FILE_LIMIT`] bytes of UTF-8 from an open file or stream known as `shown`.
///
/// # Errors
/// If it cannot be read, is too large or no UTF-8.
#[expect(
    clippy::result_large_err,
    reason = "a file is refused once, and what is known of it goes along"
)]
pub fn decode(shown: &str, from: impl Read) -> Result<String, Refused> {
    let refuse = |why| Refused::whole(shown, why);
    let mut bytes = Vec::new();
    from.take(FILE_LIMIT as u64 + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| refuse(Why::System(error.to_string())))?;
    if bytes.len() > FILE_LIMIT {
        return Err(refuse(Why::Large));
    }
    if let Some(text) = utf16(&bytes) {
        let place = Place { file: shown.to_owned(), at: Some(at_in(&text, 0, 1)) };
        return Err(Refused { place, text: Some(text), ..refuse(Why::Utf16) });
    }
    String::from_utf8(bytes).map_err(|error| {
        let good = error.utf8_error().valid_up_to();
        let lossy = String::from_utf8_lossy(error.as_bytes());
        let at = at_in(&lossy, good, good + '\u{fffd}'.len_utf8());
        let place = Place { file: shown.to_owned(), at: Some(at) };
        Refused { place, text: Some(lossy.into_owned()), ..refuse(Why::Encoding) }
    })
}

/// The text of a file in UTF-16: one that begins with its mark, or has a zero in every other byte.
fn utf16(bytes: &[u8]) -> Option<String> {
    let pairs = bytes.chunks_exact(2);
    let zeros = |at: usize| {
        let first = bytes.get(..64.min(bytes.len())).unwrap_or(&[]);
        first.len() >= 4
            && first.iter().skip(at).step_by(2).all(|byte| *byte == 0)
            && first.iter().skip(1 - at).step_by(2).all(|byte| *byte != 0)
    };
    let units: Vec<u16> = match bytes {
        [0xff, 0xfe, ..] => {
            pairs.filter_map(|p| Some(u16::from_le_bytes(p.try_into().ok()?))).collect()
        }
        [0xfe, 0xff, ..] => {
            pairs.filter_map(|p| Some(u16::from_be_bytes(p.try_into().ok()?))).collect()
        }
        _ if zeros(1) => {
            pairs.filter_map(|p| Some(u16::from_le_bytes(p.try_into().ok()?))).collect()
        }
        _ if zeros(0) => {
            pairs.filter_map(|p| Some(u16::from_be_bytes(p.try_into().ok()?))).collect()
        }
        _ => return None,
    };
    Some(String::from_utf16_lossy(&units))
}

impl Refused {
    fn whole(shown: impl Into<String>, why: Why) -> Self {
        Self { place: Place::file(shown), why, inside: None, text: None }
    }
}

struct Walk {
    /// Folders already entered, by their real path.
    seen: BTreeSet<PathBuf>,
    found: Vec<(PathBuf, String)>,
    out: Folder,
}

impl Walk {
    fn enter(&mut self, folder: &Path, inside: &str, depth: usize) {
        let refuse = |why| Refused::whole(folder.display().to_string(), why);
        if depth > DEEPEST {
            self.out.refused.push(refuse(Why::Deep));
            return;
        }
        let entries = fs::canonicalize(folder).and_then(|real| {
            if self.seen.insert(real) {
                fs::read_dir(folder)?.collect::<Result<Vec<_>, _>>()
            } else {
                let place = Place::file(folder.display().to_string());
                self.out.again.push(place);
                Ok(Vec::new())
            }
        });
        let mut entries = match entries {
            Ok(entries) => entries,
            Err(error) => {
                self.out.refused.push(refuse(Why::System(error.to_string())));
                return;
            }
        };
        entries.sort_by_key(fs::DirEntry::file_name);
        for entry in entries {
            let name = entry.file_name().to_string_lossy().into_owned();
            let path = entry.path();
            if name.starts_with('.') {
                continue;
            }
            if self.found.len() >= MOST_FILES {
                self.out.refused.push(refuse(Why::TooMuch));
                return;
            }
            let inside = if inside.is_empty() { name.clone() } else { format!("{inside}/{name}") };
            match fs::metadata(&path) {
                Ok(data) if data.is_dir() && name.ends_with(".ron") => {
                    let shown = path.display().to_string();
                    let why =
                        Why::System("this is a folder, and a file is read by that name".to_owned());
                    self.out
                        .refused
                        .push(Refused { inside: Some(inside), ..Refused::whole(shown, why) });
                }
                Ok(data) if data.is_dir() => self.enter(&path, &inside, depth + 1),
                _ if name.ends_with(".ron") => self.found.push((path, inside)),
                Ok(_) if near_miss(&name) => {
                    self.out.near_misses.push(Place::file(path.display().to_string()));
                }
                _ => {}
            }
        }
    }
}

/// Whether a name was probably meant to end in `.ron`: `a.ron.txt`, `a.RON`, `a.ron~`, `a.rno`.
fn near_miss(name: &str) -> bool {
    let lower = name.to_lowercase();
    lower.contains(".ron")
        || [".rno", ".rom", ".orn", ".nor"].iter().any(|end| lower.ends_with(end))
        || lower == "ron"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_folder_is_read_in_order_and_oddities_are_told() {
        let dir = tempfile::tempdir().unwrap();
        let path = |name: &str| dir.path().join(name);
        fs::create_dir(path("causes")).unwrap();
        fs::write(path("causes/b.ron"), "[]").unwrap();
        fs::write(path("a.ron"), "[]").unwrap();
        fs::write(path("a.ron.txt"), "[]").unwrap();
        fs::write(path("c.RON"), "[]").unwrap();
        fs::write(path("README.md"), "hello").unwrap();
        fs::write(path(".hidden.ron"), "[]").unwrap();
        fs::write(path("bad.ron"), b"[\n \xff]").unwrap();
        #[cfg(unix)]
        std::os::unix::fs::symlink(dir.path(), path("causes/loop")).unwrap();
        let mut texts = Texts::default();
        let folder = read(dir.path(), &mut texts);
        let names: Vec<_> = folder.files.iter().map(|(_, inside)| inside.as_str()).collect();
        assert_eq!(names, ["a.ron", "causes/b.ron"]);
        assert_eq!(folder.near_misses.len(), 2);
        let [refused] = folder.refused.as_slice() else { panic!("{:?}", folder.refused) };
        assert_eq!(refused.why, Why::Encoding);
        let at = refused.place.at.as_ref().unwrap();
        assert_eq!((at.line, at.column), (2, 2));
    }

    #[test]
    fn a_huge_file_is_refused_without_being_kept() {
        let refused = decode("x", std::io::repeat(b'x')).unwrap_err();
        assert_eq!(refused.why, Why::Large);
    }
}
