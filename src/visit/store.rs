//! Visits on disk: one file each, replaced whole and safely after every event.
//!
//! `visits/2026/0007.ron` is visit 7. A save writes `0007.ron.new`, forces it to disk, renames it over the old
//! file and forces the folder, so that at any moment the file is the visit before the event or after it.
//! `0007.lock` is locked while a visit is open in a terminal; it vanishes with the process.

use std::fs::{self, File, OpenOptions};
use std::io;
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::event::{Event, Stamped};
pub use super::record::{BookMark, Record, StoreError, VisitState};
use super::record::{FORMAT, head, io_error, new_name, read, read_only, replace};
use super::replay::ConveyorFacts;

/// The folder that visits are kept in.
#[derive(Debug, Clone)]
pub struct Store {
    root: PathBuf,
}

/// All visits, and those that could not be read.
#[derive(Debug, Default)]
pub struct Listing {
    /// The visits, newest first.
    pub visits: Vec<Record>,
    /// What could not be read.
    pub bad: Vec<StoreError>,
}

/// A visit that is open here: locked, and saved at every event.
#[derive(Debug)]
pub struct Kept {
    record: Record,
    path: PathBuf,
    lock_path: PathBuf,
    _lock: File,
}

impl Store {
    /// Visits below this folder.
    pub fn at(root: impl Into<PathBuf>) -> Self {
        Self { root: root.into() }
    }

    /// The folder named by the person, by `STRAYBELT_STATE`, or the usual place for such data.
    pub fn usual(named: Option<&Path>) -> Result<Self, StoreError> {
        let set = |name: &str| {
            std::env::var_os(name)
                .filter(|value| !value.is_empty())
                .map(PathBuf::from)
        };
        named
            .map(Path::to_path_buf)
            .or_else(|| set("STRAYBELT_STATE"))
            .or_else(|| set("XDG_STATE_HOME").map(|state| state.join("straybelt")))
            .or_else(|| set("HOME").map(|home| home.join(".local/state/straybelt")))
            .map(Self::at)
            .ok_or(StoreError::NoHome)
    }

    /// A file beside the visits.
    pub(super) fn beside(&self, name: &str) -> PathBuf {
        self.root.join(name)
    }

    /// Where it is, for people.
    pub fn shown(&self) -> String {
        self.root.display().to_string()
    }

    /// Every visit, newest first.
    pub fn list(&self) -> Result<Listing, StoreError> {
        let mut listing = Listing::default();
        for (visit, path) in self.files()? {
            self.sweep(&path);
            match read(visit, &path) {
                Ok(record) => listing.visits.push(record),
                Err(bad) => listing.bad.push(bad),
            }
        }
        listing
            .visits
            .sort_by_key(|record| std::cmp::Reverse(record.visit));
        Ok(listing)
    }

    /// Open visits, newest first. Only heads are looked at for the others, so this stays quick.
    pub fn open_visits(&self) -> Result<Vec<Record>, StoreError> {
        let mut open = Vec::new();
        for (visit, path) in self.files()? {
            if head(&path).is_ok_and(|head| head.contains("state: Open")) {
                // What cannot be read is said by `visits`, not in the way of somebody with a wandering belt.
                open.extend(read_only(visit, &path).ok());
            }
        }
        open.sort_by_key(|record| std::cmp::Reverse(record.visit));
        Ok(open)
    }

    /// One visit, to look at.
    pub fn read(&self, visit: u32) -> Result<Record, StoreError> {
        let (_, path) = self
            .files()?
            .into_iter()
            .find(|(v, _)| *v == visit)
            .ok_or(StoreError::Missing(visit))?;
        read(visit, &path)
    }

    /// Every visit, newest first; every file is left alone, whatever it holds.
    pub fn look_at_all(&self) -> Result<Listing, StoreError> {
        let mut listing = Listing::default();
        for (visit, path) in self.files()? {
            match read_only(visit, &path) {
                Ok(record) => listing.visits.push(record),
                Err(bad) => listing.bad.push(bad),
            }
        }
        let newest = |record: &Record| std::cmp::Reverse(record.visit);
        listing.visits.sort_by_key(newest);
        Ok(listing)
    }

    /// One visit, its file left alone whatever it holds.
    pub fn look(&self, visit: u32) -> Result<Record, StoreError> {
        let (_, path) = self
            .files()?
            .into_iter()
            .find(|(v, _)| *v == visit)
            .ok_or(StoreError::Missing(visit))?;
        read_only(visit, &path)
    }

    /// Begins a visit: it is on disk when this returns.
    pub fn begin(
        &self,
        book: BookMark,
        conveyor: ConveyorFacts,
        conveyor_file: bool,
        now: Timestamp,
    ) -> Result<Kept, StoreError> {
        let year = now.to_zoned_datetime(TimeZone::UTC).year();
        let folder = self.root.join("visits").join(format!("{year:04}"));
        fs::create_dir_all(&folder).map_err(|e| io_error(&folder, "cannot be made", e))?;
        let mut visit = self.highest()? + 1;
        // Somebody else may begin a visit at the same moment: whoever makes the lock file has the number.
        let (lock_path, lock) = loop {
            let lock_path = folder.join(format!("{visit:04}.lock"));
            match OpenOptions::new()
                .write(true)
                .create_new(true)
                .open(&lock_path)
            {
                Ok(lock) => break (lock_path, lock),
                Err(e) if e.kind() == io::ErrorKind::AlreadyExists => visit += 1,
                Err(e) => return Err(io_error(&lock_path, "cannot be made", e)),
            }
        };
        lock.try_lock().map_err(|_| StoreError::Busy(visit))?;
        let record = Record {
            format: FORMAT,
            visit,
            state: VisitState::Open,
            begun: now,
            book,
            conveyor,
            conveyor_file,
            events: Vec::new(),
        };
        let kept = Kept {
            record,
            path: folder.join(format!("{visit:04}.ron")),
            lock_path,
            _lock: lock,
        };
        kept.save()?;
        Ok(kept)
    }

    /// Opens a visit to go on with it.
    pub fn open(&self, visit: u32) -> Result<Kept, StoreError> {
        let (_, path) = self
            .files()?
            .into_iter()
            .find(|(v, _)| *v == visit)
            .ok_or(StoreError::Missing(visit))?;
        let lock_path = path.with_extension("lock");
        let lock = OpenOptions::new()
            .write(true)
            .create(true)
            .truncate(false)
            .open(&lock_path);
        let lock = lock.map_err(|e| io_error(&lock_path, "cannot be opened", e))?;
        lock.try_lock().map_err(|_| StoreError::Busy(visit))?;
        let _ = fs::remove_file(new_name(&path));
        let record = read(visit, &path)?;
        Ok(Kept {
            record,
            path,
            lock_path,
            _lock: lock,
        })
    }

    /// The highest number there is, of visits set aside too.
    fn highest(&self) -> Result<u32, StoreError> {
        let mut highest = 0;
        for year in entries(&self.root.join("visits"))?
            .iter()
            .filter(|year| year.is_dir())
        {
            for file in entries(year)? {
                let name = file
                    .file_name()
                    .and_then(|name| name.to_str())
                    .unwrap_or_default();
                let number = name
                    .split('.')
                    .next()
                    .and_then(|number| number.parse().ok());
                highest = highest.max(number.unwrap_or(0));
            }
        }
        Ok(highest)
    }

    /// Every visit's number and file.
    fn files(&self) -> Result<Vec<(u32, PathBuf)>, StoreError> {
        let mut files = Vec::new();
        let visits = self.root.join("visits");
        for year in entries(&visits)? {
            if !year.is_dir() {
                continue;
            }
            for file in entries(&year)? {
                let number = file
                    .file_stem()
                    .and_then(|stem| stem.to_str())
                    .and_then(|stem| stem.parse().ok());
                if let (Some(number), Some("ron")) =
                    (number, file.extension().and_then(|e| e.to_str()))
                {
                    files.push((number, file));
                }
            }
        }
        Ok(files)
    }

    /// A save that was cut short leaves a `.new` file; it goes when nobody has the visit open.
    fn sweep(&self, path: &Path) {
        let left = new_name(path);
        if !left.exists() {
            return;
        }
        let lock = OpenOptions::new()
            .write(true)
            .create(true)
            .truncate(false)
            .open(path.with_extension("lock"));
        if lock.is_ok_and(|lock| lock.try_lock().is_ok()) {
            let _ = fs::remove_file(left);
        }
    }
}

impl Kept {
    /// The visit.
    pub fn record(&self) -> &Record {
        &self.record
    }

    /// Adds an event and saves. If saving fails the event is kept in memory all the same, and saved together
    /// with the next.
    pub fn add(&mut self, what: Event, at: Timestamp) -> Result<(), StoreError> {
        if let Event::Ended { how } = what {
            self.record.state = VisitState::Over(how);
        }
        self.record.events.push(Stamped { at, what });
        self.save()?;
        if self.record.state != VisitState::Open {
            // A visit that is over is never written again.
            let _ = fs::remove_file(&self.lock_path);
        }
        Ok(())
    }

    /// Saves once more, after a save has failed.
    pub fn save(&self) -> Result<(), StoreError> {
        let pretty = ron::ser::PrettyConfig::new().depth_limit(2).new_line("\n");
        let text = ron::ser::to_string_pretty(&self.record, pretty)
            .map_err(|e| io_error(&self.path, "cannot be written", io::Error::other(e)))?;
        replace(&self.path, text.as_bytes(), &mut |_| Ok(()))
            .map_err(|e| io_error(&self.path, "cannot be written", e))
    }
}

fn entries(folder: &Path) -> Result<Vec<PathBuf>, StoreError> {
    match fs::read_dir(folder) {
        Ok(entries) => Ok(entries
            .filter_map(|entry| entry.ok().map(|entry| entry.path()))
            .collect()),
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(Vec::new()),
        Err(e) => Err(io_error(folder, "cannot be read", e)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::visit::event::Ended;
    use crate::visit::record::SaveStep;

    fn begun(store: &Store) -> Kept {
        let book = BookMark {
            name: "book".to_owned(),
            version: "1".to_owned(),
            fingerprint: "f".to_owned(),
        };
        let conveyor = ConveyorFacts {
            name: Some("OQ-04".to_owned()),
            ..ConveyorFacts::default()
        };
        store
            .begin(book, conveyor, true, Timestamp::UNIX_EPOCH)
            .expect("a visit")
    }

    fn answer(id: &str) -> Event {
        Event::Answered {
            symptom: id.to_owned(),
            answer: Some("yes".to_owned()),
        }
    }

    #[test]
    fn what_was_added_is_read_back() {
        let folder = tempfile::tempdir().expect("a folder");
        let store = Store::at(folder.path());
        let mut kept = begun(&store);
        kept.add(answer("a"), Timestamp::UNIX_EPOCH).expect("saved");
        assert_eq!(store.read(1).expect("visit 1"), *kept.record());
        assert_eq!(store.open_visits().expect("a list").len(), 1);
        kept.add(Event::Ended { how: Ended::True }, Timestamp::UNIX_EPOCH)
            .expect("saved");
        assert!(store.open_visits().expect("a list").is_empty());
        assert_eq!(store.list().expect("a list").visits.len(), 1);
    }

    #[test]
    fn numbers_go_on_and_a_second_terminal_is_told() {
        let folder = tempfile::tempdir().expect("a folder");
        let store = Store::at(folder.path());
        let first = begun(&store);
        assert_eq!(begun(&store).record().visit, 2);
        assert!(matches!(store.open(1), Err(StoreError::Busy(1))));
        drop(first);
        assert!(store.open(1).is_ok());
        assert!(matches!(store.open(9), Err(StoreError::Missing(9))));
    }

    #[test]
    fn a_spoilt_file_is_set_aside_and_its_number_not_used_again() {
        let folder = tempfile::tempdir().expect("a folder");
        let store = Store::at(folder.path());
        drop(begun(&store));
        let path = folder.path().join("visits/1970/0001.ron");
        fs::write(&path, "(format: 1, visit: ").expect("written");
        assert!(matches!(store.read(1), Err(StoreError::Bad { .. })));
        assert!(path.with_extension("ron.bad").exists());
        assert_eq!(begun(&store).record().visit, 2);
    }

    #[test]
    fn a_newer_file_is_named_and_left_alone() {
        let folder = tempfile::tempdir().expect("a folder");
        let store = Store::at(folder.path());
        drop(begun(&store));
        let path = folder.path().join("visits/1970/0001.ron");
        fs::write(&path, "(format: 2, visit: 1, something: New)").expect("written");
        assert!(matches!(
            store.open(1),
            Err(StoreError::Newer {
                visit: 1,
                format: 2
            })
        ));
        assert!(path.exists());
    }

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
            assert_eq!(
                text,
                if failing == ForceFolder {
                    "new\n"
                } else {
                    "old\n"
                },
                "{failing:?}"
            );
        }
    }

    #[test]
    fn a_leftover_of_a_save_is_swept_unless_the_visit_is_open() {
        let folder = tempfile::tempdir().expect("a folder");
        let store = Store::at(folder.path());
        let kept = begun(&store);
        let left = folder.path().join("visits/1970/0001.ron.new");
        fs::write(&left, "half").expect("written");
        store.list().expect("a list");
        assert!(left.exists());
        drop(kept);
        store.list().expect("a list");
        assert!(!left.exists());
    }
}
