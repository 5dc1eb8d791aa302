//! All records of one kind: what there is, one to look at, one to begin or to go on with.

use std::cmp::Reverse;
use std::fs::{self, OpenOptions};
use std::io;
use std::marker::PhantomData;
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::Keep;
use super::error::{StoreError, io_error};
use super::file::{head, new_name, read, read_only};
use super::held::Kept;
use super::lock;

/// The folder that records of one kind are kept in.
#[derive(Debug, Clone)]
pub struct Shelf<R> {
    root: PathBuf,
    kind: PhantomData<fn() -> R>,
}

/// All records of a kind, and those that could not be read.
#[derive(Debug)]
pub struct Listing<R> {
    /// The records, newest first.
    pub records: Vec<R>,
    /// What could not be read.
    pub bad: Vec<StoreError>,
}

impl<R: Keep> Shelf<R> {
    /// Records below this state folder.
    pub fn at(root: impl Into<PathBuf>) -> Self {
        Self { root: root.into(), kind: PhantomData }
    }

    /// The state folder named by the person, by `STRAYBELT_STATE`, or the usual place for such data.
    ///
    /// # Errors
    /// If nothing says where that is.
    pub fn usual(named: Option<&Path>) -> Result<Self, StoreError> {
        let set = |name: &str| {
            std::env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from)
        };
        named
            .map(Path::to_path_buf)
            .or_else(|| set("STRAYBELT_STATE"))
            .or_else(|| set("XDG_STATE_HOME").map(|state| state.join("straybelt")))
            .or_else(|| set("HOME").map(|home| home.join(".local/state/straybelt")))
            .map(Self::at)
            .ok_or(StoreError::NoHome { of: R::WORDING })
    }

    /// A file in the state folder, beside the folders of records.
    pub(crate) fn beside(&self, name: &str) -> PathBuf {
        self.root.join(name)
    }

    /// Where the state folder is, for people.
    pub fn shown(&self) -> String {
        self.root.display().to_string()
    }

    /// Every record, newest first. A file that cannot be understood is set aside.
    ///
    /// # Errors
    /// If the folder cannot be read.
    pub fn list(&self) -> Result<Listing<R>, StoreError> {
        self.listing(|number, path| {
            lock::sweep(path);
            read(number, path)
        })
    }

    /// Every record, newest first; every file is left alone, whatever it holds.
    ///
    /// # Errors
    /// If the folder cannot be read.
    pub fn look_at_all(&self) -> Result<Listing<R>, StoreError> {
        self.listing(read_only)
    }

    /// Open records, newest first. Only heads are looked at for the others, so this stays quick.
    ///
    /// # Errors
    /// If the folder cannot be read.
    pub fn open_ones(&self) -> Result<Vec<R>, StoreError> {
        let mut open = Vec::new();
        for (number, path) in self.files()? {
            if head(&path).is_ok_and(|head| head.contains(R::OPEN_MARK)) {
                // What cannot be read is said by the list, not in the way of somebody who wants to begin.
                open.extend(read_only(number, &path).ok().filter(R::is_open));
            }
        }
        open.sort_by_key(|record: &R| Reverse(record.number()));
        Ok(open)
    }

    /// One record, to look at. If its file cannot be understood it is set aside.
    ///
    /// # Errors
    /// If there is no such record, or it cannot be read.
    pub fn read(&self, number: u32) -> Result<R, StoreError> {
        read(number, &self.file(number)?)
    }

    /// One record, its file left alone whatever it holds.
    ///
    /// # Errors
    /// If there is no such record, or it cannot be read.
    pub fn look(&self, number: u32) -> Result<R, StoreError> {
        read_only(number, &self.file(number)?)
    }

    /// Begins a record in the folder of the year of `now`, made with the number that it is to have. It is on
    /// disk when this returns.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn begin(
        &self,
        make: impl FnOnce(u32) -> R,
        now: Timestamp,
    ) -> Result<Kept<R>, StoreError> {
        let year = now.to_zoned_datetime(TimeZone::UTC).year();
        let folder = self.folder().join(format!("{year:04}"));
        fs::create_dir_all(&folder).map_err(|e| io_error(&folder, "cannot be made", e))?;
        let mut number = self.highest()? + 1;
        // Somebody else may begin one at the same moment: whoever makes the lock file has the number.
        let (lock_path, lock) = loop {
            let lock_path = folder.join(format!("{number:04}.lock"));
            match OpenOptions::new().write(true).create_new(true).open(&lock_path) {
                Ok(lock) => break (lock_path, lock),
                Err(e) if e.kind() == io::ErrorKind::AlreadyExists => number += 1,
                Err(e) => return Err(io_error(&lock_path, "cannot be made", e)),
            }
        };
        lock.try_lock().map_err(|_| busy::<R>(number))?;
        let kept = Kept {
            record: make(number),
            path: folder.join(format!("{number:04}.ron")),
            lock_path,
            _lock: lock,
        };
        kept.save()?;
        Ok(kept)
    }

    /// Opens a record to go on with it.
    ///
    /// # Errors
    /// If there is no such record, another process has it open, or it cannot be read.
    pub fn open(&self, number: u32) -> Result<Kept<R>, StoreError> {
        let path = self.file(number)?;
        let lock_path = lock::name(&path);
        let lock =
            lock::file(&lock_path).map_err(|e| io_error(&lock_path, "cannot be opened", e))?;
        lock.try_lock().map_err(|_| busy::<R>(number))?;
        let _ = fs::remove_file(new_name(&path));
        let record = read(number, &path)?;
        Ok(Kept { record, path, lock_path, _lock: lock })
    }

    /// Opens the newest record that is open, to go on with it.
    ///
    /// # Errors
    /// If none is open, another process has it open, or it cannot be read.
    pub fn open_newest(&self) -> Result<Kept<R>, StoreError> {
        let newest = self.open_ones()?.first().map(R::number);
        self.open(newest.ok_or(StoreError::NoneOpen { of: R::WORDING })?)
    }

    fn listing(
        &self,
        read: impl Fn(u32, &Path) -> Result<R, StoreError>,
    ) -> Result<Listing<R>, StoreError> {
        let mut listing = Listing { records: Vec::new(), bad: Vec::new() };
        for (number, path) in self.files()? {
            match read(number, &path) {
                Ok(record) => listing.records.push(record),
                Err(bad) => listing.bad.push(bad),
            }
        }
        listing.records.sort_by_key(|record| Reverse(record.number()));
        Ok(listing)
    }

    fn folder(&self) -> PathBuf {
        self.root.join(R::FOLDER)
    }

    /// The highest number there is, of records set aside too.
    fn highest(&self) -> Result<u32, StoreError> {
        let mut highest = 0;
        for file in self.all_files()? {
            let name = file.file_name().and_then(|name| name.to_str()).unwrap_or_default();
            let number = name.split('.').next().and_then(|number| number.parse().ok());
            highest = highest.max(number.unwrap_or(0));
        }
        Ok(highest)
    }

    /// The file of this record.
    fn file(&self, number: u32) -> Result<PathBuf, StoreError> {
        let mut files = self.files()?.into_iter();
        let found = files.find(|(of, _)| *of == number);
        found.map(|(_, path)| path).ok_or(StoreError::Missing { of: R::WORDING, number })
    }

    /// Every record's number and file.
    fn files(&self) -> Result<Vec<(u32, PathBuf)>, StoreError> {
        let numbered = |file: PathBuf| {
            let number = file.file_stem()?.to_str()?.parse().ok()?;
            (file.extension()?.to_str()? == "ron").then_some((number, file))
        };
        Ok(self.all_files()?.into_iter().filter_map(numbered).collect())
    }

    /// All that stands in the folders of the years, locks and leftovers too.
    fn all_files(&self) -> Result<Vec<PathBuf>, StoreError> {
        let mut files = Vec::new();
        for year in entries(&self.folder())? {
            if year.is_dir() {
                files.extend(entries(&year)?);
            }
        }
        Ok(files)
    }
}

fn busy<R: Keep>(number: u32) -> StoreError {
    StoreError::Busy { of: R::WORDING, number }
}

fn entries(folder: &Path) -> Result<Vec<PathBuf>, StoreError> {
    match fs::read_dir(folder) {
        Ok(entries) => {
            Ok(entries.filter_map(|entry| entry.ok().map(|entry| entry.path())).collect())
        }
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(Vec::new()),
        Err(e) => Err(io_error(folder, "cannot be read", e)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kept::Wording;
    use serde::{Deserialize, Serialize};

    #[derive(Debug, PartialEq, Serialize, Deserialize)]
    struct Slip {
        format: u32,
        slip: u32,
        note: String,
        open: bool,
    }

    impl Keep for Slip {
        const FORMAT: u32 = 2;
        const FOLDER: &'static str = "slips";
        const OPEN_MARK: &'static str = "open: true";
        const WORDING: &'static Wording = &Wording {
            one: "slip",
            many: "slips",
            listed_by: "straybelt slips",
            begun_by: "straybelt slip",
        };

        fn number(&self) -> u32 {
            self.slip
        }

        fn is_open(&self) -> bool {
            self.open
        }
    }

    fn begun(shelf: &Shelf<Slip>) -> Kept<Slip> {
        let make = |slip| Slip { format: Slip::FORMAT, slip, note: String::new(), open: true };
        shelf.begin(make, Timestamp::UNIX_EPOCH).expect("a slip")
    }

    fn shelf() -> (tempfile::TempDir, Shelf<Slip>) {
        let folder = tempfile::tempdir().expect("a folder");
        let shelf = Shelf::at(folder.path());
        (folder, shelf)
    }

    fn refused<T>(tried: Result<T, StoreError>) -> String {
        tried.err().expect("refused").to_string()
    }

    #[test]
    fn what_was_changed_is_read_back() {
        let (folder, shelf) = shelf();
        let mut kept = begun(&shelf);
        kept.change(|slip| slip.note.push('a')).expect("saved");
        assert_eq!(shelf.read(1).expect("slip 1").note, "a");
        assert_eq!(shelf.read(1).expect("slip 1"), *kept.record());
        let lock = folder.path().join("slips/1970/0001.lock");
        assert!(lock.exists());
        kept.change(|slip| slip.open = false).expect("saved");
        assert!(!lock.exists());
        assert_eq!(shelf.list().expect("a list").records, [shelf.look(1).expect("slip 1")]);
    }

    #[test]
    fn only_open_ones_are_open_whatever_is_noted_in_the_others() {
        let (_folder, shelf) = shelf();
        assert_eq!(
            refused(shelf.open_newest()),
            "no slip is open. Begin one with `straybelt slip`; `straybelt slips` lists those that ended"
        );
        let mut last = None;
        for over in [false, false, true] {
            let mut kept = begun(&shelf);
            kept.change(|slip| {
                slip.note = Slip::OPEN_MARK.to_owned();
                slip.open = !over;
            })
            .expect("saved");
            last = Some(kept);
        }
        drop(last);
        let open = shelf.open_ones().expect("a list");
        assert_eq!(open.iter().map(Keep::number).collect::<Vec<_>>(), [2, 1]);
        assert_eq!(shelf.open_newest().expect("slip 2").record().slip, 2);
    }

    #[test]
    fn numbers_go_on_and_a_second_terminal_is_told() {
        let (_folder, shelf) = shelf();
        let first = begun(&shelf);
        assert_eq!(begun(&shelf).record().slip, 2);
        assert!(matches!(shelf.open(1), Err(StoreError::Busy { number: 1, .. })));
        drop(first);
        assert!(shelf.open(1).is_ok());
        assert_eq!(
            refused(shelf.open(9)),
            "there is no slip 9 here. `straybelt slips` lists those there are"
        );
    }

    #[test]
    fn a_spoilt_file_is_set_aside_and_its_number_not_used_again() {
        let (folder, shelf) = shelf();
        drop(begun(&shelf));
        let path = folder.path().join("slips/1970/0001.ron");
        fs::write(&path, "(format: 2, slip: ").expect("written");
        assert!(matches!(shelf.look(1), Err(StoreError::Bad { .. })));
        assert_eq!(shelf.look_at_all().expect("a list").bad.len(), 1);
        assert!(path.exists(), "a look changes nothing");
        assert!(matches!(shelf.read(1), Err(StoreError::Bad { .. })));
        assert!(path.with_extension("ron.bad").exists());
        assert_eq!(begun(&shelf).record().slip, 2);
    }

    #[test]
    fn a_file_of_another_format_is_named_and_left_alone() {
        let (folder, shelf) = shelf();
        drop(begun(&shelf));
        let path = folder.path().join("slips/1970/0001.ron");
        fs::write(&path, "(format: 3, slip: 1, something: New)").expect("written");
        assert_eq!(
            refused(shelf.open(1)),
            "slip 1 was written by a newer straybelt (format 3, this one reads 2). Use that one"
        );
        fs::write(&path, "(format: 1, slip: 1)").expect("written");
        assert_eq!(
            refused(shelf.open(1)),
            "slip 1 was written by an older straybelt (format 1, this one reads 2). Its file is left as it is; use the one that wrote it"
        );
        assert!(path.exists());
    }

    #[test]
    fn a_leftover_of_a_save_is_swept_unless_the_record_is_open() {
        let (folder, shelf) = shelf();
        let kept = begun(&shelf);
        let left = folder.path().join("slips/1970/0001.ron.new");
        fs::write(&left, "half").expect("written");
        shelf.list().expect("a list");
        assert!(left.exists());
        drop(kept);
        shelf.list().expect("a list");
        assert!(!left.exists());
    }
}
