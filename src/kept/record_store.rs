//! All records of one kind: what there is, one to look at, one to begin or to go on with.

use std::fs;
use std::marker::PhantomData;
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::Keep;
use super::error::{StoreError, io_error};
use super::file::{read, read_to_write};
use super::lock;
use super::open_record::OpenRecord;
use super::record_file::{self, RecordFile};
use crate::disk::{self, Sight};

/// Locked while a number is taken.
const NUMBERS: &str = "numbers.lock";
/// Locked while a record is looked for that is begun if it is not there.
const NAMES: &str = "names.lock";

/// The folder that records of one kind are kept in.
#[derive(Debug, Clone)]
pub struct RecordStore<R> {
    root: PathBuf,
    kind: PhantomData<fn() -> R>,
}

/// Which record is wanted.
pub struct Wanted<'w, R> {
    /// Whether a file that begins so is it; nothing where that cannot be told.
    pub begins: &'w dyn Fn(&str) -> Option<bool>,
    /// Whether a record is it.
    pub is: &'w dyn Fn(&R) -> bool,
}

/// Since when a record is there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Begun {
    /// It was there before.
    Before,
    /// It was begun now.
    Now,
}

impl<R: Keep> RecordStore<R> {
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
        // The standard for this variable has a relative path passed over.
        let xdg = || set("XDG_STATE_HOME").filter(|path| path.is_absolute());
        named
            .map(Path::to_path_buf)
            .or_else(|| set("STRAYBELT_STATE"))
            .or_else(|| xdg().map(|state| state.join("straybelt")))
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

    /// One record, its file left alone whatever it holds.
    ///
    /// # Errors
    /// If there is no such record, or it cannot be read.
    pub fn look(&self, number: u32) -> Result<R, StoreError> {
        read(number, &self.file(number)?)
    }

    /// A folder or file that belongs to a record, beside its file.
    ///
    /// # Errors
    /// If there is no such record.
    pub fn beside_record(&self, number: u32, ending: &str) -> Result<PathBuf, StoreError> {
        self.file(number).map(|path| path.with_extension(ending))
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
    ) -> Result<OpenRecord<R>, StoreError> {
        let year = now.to_zoned_datetime(TimeZone::UTC).year();
        let folder = self.folder().join(format!("{year:04}"));
        disk::make_folders(&folder, Sight::Private)
            .map_err(|e| io_error(&folder, "cannot be made", e))?;
        self.keep_private(&folder);
        // Somebody else may begin one at the same moment, perhaps in the folder of another year.
        let gate_path = self.folder().join(NUMBERS);
        let gate =
            lock::gate(&gate_path).map_err(|e| io_error(&gate_path, "cannot be locked", e))?;
        let (number, lock_path, lock) =
            record_file::take_number(R::WORDING, &self.folder(), &folder)?;
        drop(gate);
        let path = folder.join(format!("{number:04}.ron"));
        let mut kept = OpenRecord { record: make(number), path, lock_path, lock };
        if let Err(error) = kept.save() {
            let _ = fs::remove_file(&kept.lock_path);
            return Err(error);
        }
        Ok(kept)
    }

    /// Opens a record to go on with it. If its file cannot be understood it is set aside.
    ///
    /// # Errors
    /// If there is no such record, another process has it open, or it cannot be read.
    pub fn open(&self, number: u32) -> Result<OpenRecord<R>, StoreError> {
        let path = self.file(number)?;
        if let Some(folder) = path.parent() {
            self.keep_private(folder);
        }
        let lock_path = lock::name(&path);
        let lock = disk::open_to_lock(&lock_path)
            .map_err(|e| io_error(&lock_path, "cannot be opened", e))?;
        lock.try_lock().map_err(|_| busy::<R>(number))?;
        lock::sweep(&path);
        let record = read_to_write(number, &path)?;
        Ok(OpenRecord { record, path, lock_path, lock })
    }

    /// Opens the record that is wanted, or begins one. Of several processes that do this at once, one begins it. A record of
    /// which it cannot be told whether it is the wanted one is set aside first, and told as an error: none is begun in its
    /// stead in silence.
    ///
    /// # Errors
    /// If it cannot be opened, or none be begun.
    pub fn open_or_begin(
        &self,
        wanted: &Wanted<R>,
        make: impl FnOnce(u32) -> R,
        now: Timestamp,
    ) -> Result<(OpenRecord<R>, Begun), StoreError> {
        let folder = self.folder();
        disk::make_folders(&folder, Sight::Private)
            .map_err(|e| io_error(&folder, "cannot be made", e))?;
        let gate_path = folder.join(NAMES);
        let _gate =
            lock::gate(&gate_path).map_err(|e| io_error(&gate_path, "cannot be locked", e))?;
        let mut unknown = Vec::new();
        for (number, beginning) in self.beginnings()? {
            match beginning.map(|text| (wanted.begins)(&text)) {
                Ok(Some(true)) => return Ok((self.open(number)?, Begun::Before)),
                Ok(Some(false)) => {}
                Ok(None) => unknown.push(Ok(number)),
                Err(error) => unknown.push(Err(error)),
            }
        }
        for number in unknown {
            let open = self.open(number?)?;
            if (wanted.is)(open.record()) {
                return Ok((open, Begun::Before));
            }
        }
        Ok((self.begin(make, now)?, Begun::Now))
    }

    /// Opens the newest record that is open, to go on with it.
    ///
    /// # Errors
    /// If none is open, another process has it open, or it cannot be read.
    pub fn open_newest(&self) -> Result<OpenRecord<R>, StoreError> {
        let newest = self.files()?.iter().find_map(Self::if_open);
        self.open(newest.ok_or(StoreError::NoneOpen { of: R::WORDING })?.number())
    }

    pub(super) fn folder(&self) -> PathBuf {
        self.root.join(R::FOLDER)
    }

    /// Takes other people's rights away from the folders of records, which older versions made with the usual ones.
    /// The state folder itself may hold other things, and is left as it is. Where that cannot be done, the files'
    /// own rights have to do.
    fn keep_private(&self, year: &Path) {
        let _ = disk::private(&self.folder());
        let _ = disk::private(year);
    }

    /// The file of this record.
    fn file(&self, number: u32) -> Result<PathBuf, StoreError> {
        let files: Vec<RecordFile> =
            self.files()?.into_iter().filter(|found| found.number == number).collect();
        if files.is_empty() {
            return Err(StoreError::Missing { of: R::WORDING, number });
        }
        record_file::only(R::WORDING, &files).map(|found| found.path.clone())
    }

    /// Every record's number and file, newest first.
    pub(super) fn files(&self) -> Result<Vec<RecordFile>, StoreError> {
        record_file::records(&self.folder())
    }
}

fn busy<R: Keep>(number: u32) -> StoreError {
    StoreError::Busy { of: R::WORDING, number }
}

#[cfg(test)]
mod tests {
    use super::super::slip::{begun, make, refused, store};
    use super::*;

    #[test]
    fn what_was_changed_is_read_back() {
        let (folder, store) = store();
        let mut kept = begun(&store);
        kept.change(|slip| slip.note.push('a')).expect("saved");
        assert_eq!(store.look(1).expect("slip 1").note, "a");
        assert_eq!(store.look(1).expect("slip 1"), *kept.record());
        let lock = folder.path().join("slips/1970/0001.lock");
        assert!(lock.exists());
        kept.change(|slip| slip.open = false).expect("saved");
        assert!(!lock.exists());
        assert_eq!(store.look_at_all().expect("a list").records, [store.look(1).expect("slip 1")]);
    }

    #[test]
    fn numbers_go_on_and_a_second_terminal_is_told() {
        let (_folder, store) = store();
        let first = begun(&store);
        assert_eq!(begun(&store).record().slip, 2);
        assert!(matches!(store.open(1), Err(StoreError::Busy { number: 1, .. })));
        drop(first);
        assert!(store.open(1).is_ok());
        assert_eq!(
            refused(store.open(9)),
            "there is no slip 9 here. `straybelt slips` lists those there are"
        );
    }

    #[test]
    fn a_spoilt_file_is_set_aside_and_its_number_not_used_again() {
        let (folder, store) = store();
        drop(begun(&store));
        let path = folder.path().join("slips/1970/0001.ron");
        fs::write(&path, "(format: 2, slip: ").expect("written");
        assert!(matches!(store.look(1), Err(StoreError::Bad { kept: None, .. })));
        assert_eq!(store.look_at_all().expect("a list").bad.len(), 1);
        assert!(path.exists(), "a look changes nothing");
        fs::write(path.with_extension("ron.bad"), "an older one").expect("written");
        assert!(refused(store.open(1)).contains("0001.ron.bad2; mend it"));
        assert!(!path.exists());
        let older = fs::read_to_string(path.with_extension("ron.bad")).expect("there");
        assert_eq!(older, "an older one");
        assert_eq!(begun(&store).record().slip, 2);
    }

    #[test]
    fn a_file_of_another_format_is_named_and_left_alone() {
        let (folder, store) = store();
        drop(begun(&store));
        let path = folder.path().join("slips/1970/0001.ron");
        fs::write(&path, "(format: 3, slip: 1, something: New)").expect("written");
        assert_eq!(
            refused(store.open(1)),
            "slip 1 was written by a newer straybelt (format 3, this one reads 2). Use that one"
        );
        fs::write(&path, "(format: 1, slip: 1)").expect("written");
        assert_eq!(
            refused(store.open(1)),
            "slip 1 was written by an older straybelt (format 1, this one reads 2). Its file is left as it is; use the one that wrote it"
        );
        assert!(path.exists());
    }

    #[test]
    fn leftovers_of_a_save_are_swept_by_whoever_opens_the_record() {
        let (folder, store) = store();
        let kept = begun(&store);
        let left = ["0001.ron.new", ".0001.ron.12ab34cd.new"]
            .map(|name| folder.path().join("slips/1970").join(name));
        left.iter().for_each(|left| fs::write(left, "half").expect("written"));
        let of_another = folder.path().join("slips/1970/.0002.ron.12ab34cd.new");
        fs::write(&of_another, "half").expect("written");
        assert!(matches!(store.open(1), Err(StoreError::Busy { .. })));
        store.look_at_all().expect("a list");
        assert!(left.iter().all(|left| left.exists()));
        drop(kept);
        store.open(1).expect("slip 1");
        assert!(!left.iter().any(|left| left.exists()));
        assert!(of_another.exists());
    }

    #[test]
    fn a_number_that_stands_twice_is_told_and_neither_is_opened() {
        let (folder, store) = store();
        drop(begun(&store));
        let other = folder.path().join("slips/1971");
        fs::create_dir(&other).expect("a folder");
        fs::copy(folder.path().join("slips/1970/0001.ron"), other.join("0001.ron"))
            .expect("copied");
        assert!(refused(store.open(1)).contains("stands twice"));
        assert!(refused(store.look(1)).contains("1970/0001.ron and "));
        let listing = store.look_at_all().expect("a list");
        assert_eq!((listing.records.len(), listing.bad.len()), (0, 1));
    }

    #[test]
    fn the_last_number_is_not_followed_by_the_first() {
        let (folder, store) = store();
        drop(begun(&store));
        let last = folder.path().join("slips/1970/4294967295.ron");
        fs::write(&last, "").expect("written");
        let error = refused(store.begin(make, Timestamp::UNIX_EPOCH));
        assert!(error.contains("no number is left for another slip"), "{error}");
        assert!(error.contains("4294967295.ron"), "{error}");
        fs::rename(&last, last.with_file_name("4294967296.ron")).expect("renamed");
        assert_eq!(begun(&store).record().slip, 2, "what is no number does not count");
    }

    #[test]
    fn numbers_taken_at_once_in_two_years_are_different() {
        let (_folder, store) = store();
        let years = [Timestamp::UNIX_EPOCH, Timestamp::MAX];
        std::thread::scope(|scope| {
            for now in years.into_iter().cycle().take(8) {
                let store = &store;
                scope.spawn(move || {
                    (0..5).for_each(|_| drop(store.begin(make, now).expect("a slip")));
                });
            }
        });
        let listing = store.look_at_all().expect("a list");
        assert!(listing.bad.is_empty(), "{:?}", listing.bad);
        let numbers: Vec<u32> = listing.records.iter().rev().map(Keep::number).collect();
        assert_eq!(numbers, (1..=40).collect::<Vec<_>>());
    }

    #[test]
    fn a_folder_that_was_removed_is_made_again_unless_its_number_was_taken() {
        let (folder, store) = store();
        let mut kept = begun(&store);
        fs::remove_dir_all(folder.path().join("slips")).expect("removed");
        kept.change(|slip| slip.note.push('a')).expect("saved");
        assert_eq!(store.look(1).expect("slip 1").note, "a");
        assert!(matches!(store.open(1), Err(StoreError::Busy { .. })));
        fs::remove_dir_all(folder.path().join("slips")).expect("removed");
        let other = begun(&store);
        let displaced = kept.change(|slip| slip.note.push('b'));
        assert!(matches!(displaced, Err(StoreError::Displaced { number: 1, .. })));
        assert_eq!(store.look(1).expect("slip 1"), *other.record());
    }

    #[cfg(unix)]
    #[test]
    fn all_of_it_is_private_and_older_folders_become_so() {
        use std::os::unix::fs::PermissionsExt;
        let (folder, store) = store();
        let open = |mode| fs::Permissions::from_mode(mode);
        let old = folder.path().join("slips/1970");
        fs::create_dir_all(&old).expect("made");
        fs::set_permissions(&old, open(0o777)).expect("opened");
        fs::set_permissions(folder.path().join("slips"), open(0o755)).expect("opened");
        let mut kept = begun(&store);
        kept.change(|slip| slip.note.push('a')).expect("saved");
        let mode = |name: &str| {
            let found = fs::metadata(folder.path().join(name)).expect("there");
            found.permissions().mode() & 0o777
        };
        for name in ["slips", "slips/1970"] {
            assert_eq!(mode(name), 0o700, "{name}");
        }
        for name in ["slips/numbers.lock", "slips/1970/0001.ron", "slips/1970/0001.lock"] {
            assert_eq!(mode(name), 0o600, "{name}");
        }
    }
}
