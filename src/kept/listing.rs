//! What records there are: pages of them, their beginnings, those that are open, those that were set aside. Every file is
//! left alone, whatever it holds.

use std::path::PathBuf;

use super::Keep;
use super::RecordStore;
use super::error::{StoreError, io_error};
use super::file::{head, read};
use super::record_file::{self, RecordFile};

/// A record's number, and how its file begins.
pub type Beginning = (u32, Result<String, StoreError>);

/// Records of a kind, and those that could not be read.
#[derive(Debug)]
pub struct Listing<R> {
    /// The records, newest first.
    pub records: Vec<R>,
    /// What could not be read.
    pub bad: Vec<StoreError>,
    /// How many older ones there are.
    pub older: usize,
    /// The lowest number looked at: older ones are below.
    pub from: Option<u32>,
}

impl<R: Keep> RecordStore<R> {
    /// The newest records, so many at most; with `before` only those with lower numbers. Every file is left alone,
    /// whatever it holds, and no more are opened than are asked for.
    ///
    /// # Errors
    /// If the folder cannot be read.
    pub fn newest(&self, before: Option<u32>, most: usize) -> Result<Listing<R>, StoreError> {
        let files = self.files()?;
        let below = files.partition_point(|found| before.is_some_and(|b| found.number >= b));
        let files = files.get(below..).unwrap_or_default();
        let mut listing = Listing { records: Vec::new(), bad: Vec::new(), older: 0, from: None };
        let mut numbers = files.chunk_by(|one, other| one.number == other.number);
        for same in numbers.by_ref().take(most) {
            listing.from = same.first().map(|found| found.number);
            match record_file::only(R::WORDING, same)
                .and_then(|found| read(found.number, &found.path))
            {
                Ok(record) => listing.records.push(record),
                Err(bad) => listing.bad.push(bad),
            }
        }
        listing.older = numbers.count();
        Ok(listing)
    }

    /// The first 2048 bytes of every record's file with its number, newest first, or why they cannot be had. They
    /// are not held against the checksum.
    ///
    /// # Errors
    /// If the folder cannot be read.
    pub fn beginnings(&self) -> Result<Vec<Beginning>, StoreError> {
        let files = self.files()?;
        let same = files.chunk_by(|one, other| one.number == other.number);
        let begun = same.filter_map(|same| {
            let number = same.first()?.number;
            let text = record_file::only(R::WORDING, same).and_then(|found| {
                head(&found.path).map_err(|e| io_error(&found.path, "cannot be read", e))
            });
            Some((number, text))
        });
        Ok(begun.collect())
    }

    /// Every record, newest first; every file is left alone, whatever it holds.
    ///
    /// # Errors
    /// If the folder cannot be read.
    pub fn look_at_all(&self) -> Result<Listing<R>, StoreError> {
        self.newest(None, usize::MAX)
    }

    /// Open records, newest first. Only heads are looked at for the others, so this stays quick.
    ///
    /// # Errors
    /// If the folder cannot be read.
    pub fn open_ones(&self) -> Result<Vec<R>, StoreError> {
        let files = self.files()?;
        Ok(files.iter().filter_map(Self::if_open).collect())
    }

    /// The number of every record, newest first.
    ///
    /// # Errors
    /// If the folder cannot be read.
    pub fn numbers(&self) -> Result<Vec<u32>, StoreError> {
        Ok(self.files()?.into_iter().map(|found| found.number).collect())
    }

    /// The records whose numbers are wanted, newest first; every file is left alone, whatever it holds.
    ///
    /// # Errors
    /// If the folder cannot be read.
    pub fn those(&self, wanted: impl Fn(u32) -> bool) -> Result<Listing<R>, StoreError> {
        let files = self.files()?;
        let mut listing = Listing { records: Vec::new(), bad: Vec::new(), older: 0, from: None };
        for same in files.chunk_by(|one, other| one.number == other.number) {
            let Some(number) = same.first().map(|f| f.number).filter(|number| wanted(*number))
            else {
                continue;
            };
            listing.from = Some(number);
            match record_file::only(R::WORDING, same).and_then(|found| read(number, &found.path)) {
                Ok(record) => listing.records.push(record),
                Err(bad) => listing.bad.push(bad),
            }
        }
        Ok(listing)
    }

    /// Files of such records that were set aside because they could not be understood, and how they begin.
    ///
    /// # Errors
    /// If the folder cannot be read.
    pub fn set_aside(&self) -> Result<Vec<(PathBuf, String)>, StoreError> {
        let files = record_file::set_aside(&self.folder())?.into_iter();
        Ok(files.map(|path| (path.clone(), head(&path).unwrap_or_default())).collect())
    }

    /// The record in this file, if it is open. What cannot be read is said by the list, not in the way of somebody
    /// who wants to begin.
    pub(super) fn if_open(found: &RecordFile) -> Option<R> {
        if found.odd.is_some() || !head(&found.path).is_ok_and(|head| head.contains(R::OPEN_MARK)) {
            return None;
        }
        read(found.number, &found.path).ok().filter(R::is_open)
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::super::slip::{Slip, begun, refused, store};
    use super::*;

    #[test]
    fn only_open_ones_are_open_whatever_is_noted_in_the_others() {
        let (_folder, store) = store();
        assert_eq!(
            refused(store.open_newest()),
            "no slip is open. Begin one with `straybelt slip`; `straybelt slips` lists those that ended"
        );
        let mut last = None;
        for over in [false, false, true] {
            let mut kept = begun(&store);
            kept.change(|slip| {
                slip.note = Slip::OPEN_MARK.to_owned();
                slip.open = !over;
            })
            .expect("saved");
            last = Some(kept);
        }
        drop(last);
        let open = store.open_ones().expect("a list");
        assert_eq!(open.iter().map(Keep::number).collect::<Vec<_>>(), [2, 1]);
        assert_eq!(store.open_newest().expect("slip 2").record().slip, 2);
    }

    #[test]
    fn what_was_set_aside_is_found_with_its_beginning() {
        let (folder, store) = store();
        (0..2).for_each(|_| drop(begun(&store)));
        let year = folder.path().join("slips/1970");
        assert_eq!(store.set_aside().expect("a list"), []);
        for number in 1..=2 {
            let path = year.join(format!("000{number}.ron"));
            fs::write(&path, format!("spoilt {number}")).expect("written");
            assert!(store.open(number).is_err());
        }
        // Neither is of ours.
        fs::write(year.join("notes.ron.bad"), "x").expect("written");
        fs::write(year.join("0003.ron.bad.txt"), "x").expect("written");
        let expected = [1, 2]
            .map(|number| (year.join(format!("000{number}.ron.bad")), format!("spoilt {number}")));
        assert_eq!(store.set_aside().expect("a list"), expected);
    }

    #[test]
    fn pages_go_from_the_newest_on_and_open_no_other_file() {
        let (folder, store) = store();
        (0..5).for_each(|_| drop(begun(&store)));
        fs::write(folder.path().join("slips/1970/0002.ron"), "spoilt").expect("written");
        let page = |before| {
            let page = store.newest(before, 2).expect("a page");
            let numbers: Vec<u32> = page.records.iter().map(Keep::number).collect();
            (numbers, page.bad.len(), page.older, page.from)
        };
        assert_eq!(page(None), (vec![5, 4], 0, 3, Some(4)));
        assert_eq!(page(Some(4)), (vec![3], 1, 1, Some(2)));
        assert_eq!(page(Some(2)), (vec![1], 0, 0, Some(1)));
        assert_eq!(page(Some(1)), (vec![], 0, 0, None));
    }

    #[cfg(unix)]
    #[test]
    fn what_is_no_plain_file_is_told_and_passed_by() {
        let (folder, store) = store();
        drop(begun(&store));
        let year = folder.path().join("slips/1970");
        let made = std::process::Command::new("mkfifo")
            .args([year.join("0002.ron"), year.join("0003.lock")])
            .status();
        assert!(made.expect("made").success());
        fs::copy(year.join("0001.ron"), year.join("0003.ron")).expect("copied");
        std::os::unix::fs::symlink("0001.ron", year.join("0004.ron")).expect("linked");
        assert!(refused(store.open(2)).contains("0002.ron is a pipe, no plain file"));
        assert!(refused(store.open(3)).contains("it is a pipe, no plain file"));
        assert!(refused(store.open(4)).contains("0004.ron is a link, no plain file"));
        let listing = store.look_at_all().expect("a list");
        assert_eq!((listing.records.len(), listing.bad.len()), (1, 3));
        assert_eq!(store.open_ones().expect("a list").len(), 1);
        assert_eq!(begun(&store).record().slip, 5);
    }
}
