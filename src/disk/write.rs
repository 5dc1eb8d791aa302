//! Writing a file: whole or not at all, and never through anything that is no plain file.

use std::fs::{self, File, Metadata, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::create::{create, set_mode};
use super::plain::{only_plain, read_text};

/// What may stand at the place of a file that is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Over {
    /// Nothing.
    Nothing,
    /// Nothing, or a plain file, which is replaced.
    PlainFile,
}

/// Who may read what is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sight {
    /// Whoever the person lets read new files; of a file that is replaced, whoever might read that one.
    Usual,
    /// Nobody else, whatever the umask.
    Private,
}

/// The steps of writing, in order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Step {
    Create,
    Write,
    Force,
    Place,
    ForceFolder,
}

/// A place is tried so often for a file beside it; each time under another name.
const TRIES: u32 = 64;
/// So much of a file's name stands in that of the file beside it, in letters.
const SHOWN: usize = 40;
/// No text file that is written anew is larger, in bytes.
const LARGEST: u64 = 64 * 1024 * 1024;

/// Writes a file. At any moment its place holds what stood there before, or all of the new.
///
/// # Errors
/// If it cannot be written: of the kind `AlreadyExists` if the place is taken; with
/// [`NotPlain`](super::NotPlain) within if something stands there that is no plain file. Then nothing is left of it.
pub fn write(path: &Path, bytes: &[u8], over: Over, sight: Sight) -> io::Result<()> {
    write_in_steps(path, bytes, over, sight, &mut |_| Ok(()))
}

/// Writes a text file anew, if it still is what was read. A byte order mark stays.
///
/// # Errors
/// If it has changed since, or cannot be written; then it is as it was.
pub fn write_again(path: &Path, old: &str, new: &str) -> io::Result<()> {
    let mark = "\u{feff}";
    let now = read_text(path, LARGEST)?;
    let bare = now.strip_prefix(mark).unwrap_or(&now);
    if bare != old {
        return Err(io::Error::other("it changed in the meantime"));
    }
    let begin = if bare.len() < now.len() { mark } else { "" };
    write(path, format!("{begin}{new}").as_bytes(), Over::PlainFile, Sight::Usual)
}

/// The same as [`write()`]. `before` is called before each step; tests let it fail there.
fn write_in_steps(
    path: &Path,
    bytes: &[u8],
    over: Over,
    sight: Sight,
    before: &mut dyn FnMut(Step) -> io::Result<()>,
) -> io::Result<()> {
    let old = standing(path)?;
    if over == Over::Nothing && old.is_some() {
        return Err(io::Error::from(io::ErrorKind::AlreadyExists));
    }
    before(Step::Create)?;
    let mode = match (sight, &old) {
        (Sight::Usual, None) => usual_mode(path)?,
        _ => None,
    };
    let (beside, mut file) = temporary(path)?;
    let placed = (|| {
        before(Step::Write)?;
        file.write_all(bytes)?;
        before(Step::Force)?;
        file.sync_all()?;
        // As late as can be: until then it is nobody else's.
        grant(&file, sight, old.as_ref(), mode)?;
        drop(file);
        before(Step::Place)?;
        match over {
            Over::Nothing => put_where_nothing_is(&beside, path),
            Over::PlainFile => fs::rename(&beside, path),
        }
    })();
    let _ = fs::remove_file(&beside);
    placed?;
    before(Step::ForceFolder)?;
    force(folder(path))
}

/// Puts a file out of the way under a name that is free: `0007.ron.bad`, `0007.ron.bad2` and so on. Says where.
///
/// # Errors
/// If it cannot be moved.
pub fn set_aside(path: &Path) -> io::Result<PathBuf> {
    let mut name = path.file_name().unwrap_or_default().to_os_string();
    name.push(".bad");
    for nth in 1..=TRIES {
        let mut name = name.clone();
        if nth > 1 {
            name.push(nth.to_string());
        }
        let aside = path.with_file_name(name);
        match put_where_nothing_is(path, &aside) {
            Ok(()) => {
                // A place on disk has two names for a moment; the old one goes.
                match fs::remove_file(path) {
                    Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
                    _ => return Ok(aside),
                }
            }
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(error),
        }
    }
    Err(io::Error::from(io::ErrorKind::AlreadyExists))
}

/// What stands at the place; nothing but a plain file passes.
fn standing(path: &Path) -> io::Result<Option<Metadata>> {
    if path.file_name().is_none() {
        return Err(io::Error::other("this names no file"));
    }
    match path.symlink_metadata() {
        Ok(found) => only_plain(&found).map(|()| Some(found)),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error),
    }
}

/// A new empty file beside this one, for nobody else. Whatever was laid there under any name is left alone.
fn temporary(path: &Path) -> io::Result<(PathBuf, File)> {
    for _ in 0..TRIES {
        let beside = beside(path);
        match create(&beside) {
            Ok(file) => return Ok((beside, file)),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(error),
        }
    }
    Err(io::Error::other("no name is free for a file beside it"))
}

/// A name with a point in front is passed over by whoever reads the folder.
fn beside(path: &Path) -> PathBuf {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let name: String = name.chars().take(SHOWN).collect();
    path.with_file_name(format!(".{name}.{:08x}.new", fastrand::u32(..)))
}

/// Whether this name is that of a file beside `name` that was left behind.
pub(crate) fn is_left_of(name: &str, found: &str) -> bool {
    let name: String = name.chars().take(SHOWN).collect();
    let middle = found
        .strip_prefix('.')
        .and_then(|rest| rest.strip_prefix(name.as_str()))
        .and_then(|rest| rest.strip_prefix('.'))
        .and_then(|rest| rest.strip_suffix(".new"));
    middle.is_some_and(|middle| middle.len() == 8 && middle.chars().all(|c| c.is_ascii_hexdigit()))
}

/// The rights that a new file gets here. The umask cannot be asked for, and a folder may have rules of its own, so
/// an empty file is made, looked at and taken away again.
fn usual_mode(path: &Path) -> io::Result<Option<u32>> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        for _ in 0..TRIES {
            let beside = beside(path);
            match OpenOptions::new().write(true).create_new(true).open(&beside) {
                Ok(file) => {
                    let mode = file.metadata().map(|found| found.permissions().mode() & 0o777);
                    let _ = fs::remove_file(&beside);
                    return mode.map(Some);
                }
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
                Err(error) => return Err(error),
            }
        }
    }
    #[cfg(not(unix))]
    let _ = path;
    Ok(None)
}

/// Gives a file the owner that the old one had, and the rights that it is to have.
fn grant(file: &File, sight: Sight, old: Option<&Metadata>, new: Option<u32>) -> io::Result<()> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::{MetadataExt, PermissionsExt, fchown};
        let own = file.metadata()?;
        if let Some(old) = old.filter(|old| (old.uid(), old.gid()) != (own.uid(), own.gid())) {
            // Only who may do all can; a file that is replaced for somebody else would be lost to them.
            let _ = fchown(file, Some(old.uid()), Some(old.gid()));
        }
        let wanted = match (sight, old) {
            (Sight::Private, _) => Some(0o600),
            (Sight::Usual, Some(old)) => Some(old.permissions().mode() & 0o777),
            (Sight::Usual, None) => new,
        };
        if let Some(mode) = wanted {
            set_mode(file, mode)?;
        }
    }
    #[cfg(not(unix))]
    let _ = (file, sight, old, new);
    Ok(())
}

/// A second name is refused where there is something already, which a rename would replace. Some file systems have
/// no second names; there the place is claimed with an empty file first.
fn put_where_nothing_is(from: &Path, path: &Path) -> io::Result<()> {
    match fs::hard_link(from, path) {
        Ok(()) => Ok(()),
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Err(error),
        Err(_) => {
            create(path)?;
            let moved = fs::rename(from, path);
            if moved.is_err() {
                let _ = fs::remove_file(path);
            }
            moved
        }
    }
}

fn folder(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// The name is on disk as well, where the system can promise that.
fn force(folder: &Path) -> io::Result<()> {
    #[cfg(unix)]
    match File::open(folder)?.sync_all() {
        Err(error)
            if matches!(error.kind(), io::ErrorKind::InvalidInput | io::ErrorKind::Unsupported) => {
        }
        forced => return forced,
    }
    #[cfg(not(unix))]
    let _ = folder;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let names = fs::read_dir(folder).unwrap();
        let mut names: Vec<String> =
            names.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }

    fn taken(error: &io::Error) -> bool {
        error.kind() == io::ErrorKind::AlreadyExists
    }

    #[test]
    fn a_write_that_fails_at_any_step_leaves_the_old_file_or_the_new_and_nothing_else() {
        use Step::{Create, Force, ForceFolder, Place, Write};
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("0001.ron");
        for over in [Over::PlainFile, Over::Nothing] {
            for failing in [Create, Write, Force, Place, ForceFolder] {
                match over {
                    Over::PlainFile => fs::write(&path, "old").unwrap(),
                    Over::Nothing => drop(fs::remove_file(&path)),
                }
                let written =
                    write_in_steps(&path, b"new", over, Sight::Private, &mut |step| match step
                        == failing
                    {
                        true => Err(io::Error::from(io::ErrorKind::StorageFull)),
                        false => Ok(()),
                    });
                assert!(written.is_err());
                let old = (over == Over::PlainFile).then(|| "old".to_owned());
                let left = if failing == ForceFolder { Some("new".to_owned()) } else { old };
                assert_eq!(fs::read_to_string(&path).ok(), left, "{failing:?}");
                assert!(names(folder.path()).len() <= 1, "{failing:?}");
            }
        }
    }

    #[test]
    fn a_place_that_is_taken_stays_as_it_is() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("c.ron");
        write(&path, b"one", Over::Nothing, Sight::Usual).unwrap();
        assert!(taken(&write(&path, b"two", Over::Nothing, Sight::Usual).unwrap_err()));
        assert_eq!(fs::read_to_string(&path).unwrap(), "one");
        write(&path, b"two", Over::PlainFile, Sight::Usual).unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "two");
        assert_eq!(names(folder.path()), ["c.ron"]);
    }

    #[test]
    fn what_changed_since_it_was_read_is_not_written_over() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("c.ron");
        fs::write(&path, "\u{feff}one").unwrap();
        assert!(write_again(&path, "two", "three").is_err());
        write_again(&path, "one", "three").unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "\u{feff}three");
    }

    #[test]
    fn a_file_is_set_aside_under_a_name_that_is_free() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("0007.ron");
        for text in ["one", "two", "three"] {
            fs::write(&path, text).unwrap();
            set_aside(&path).unwrap();
        }
        assert_eq!(names(folder.path()), ["0007.ron.bad", "0007.ron.bad2", "0007.ron.bad3"]);
        assert_eq!(fs::read_to_string(folder.path().join("0007.ron.bad")).unwrap(), "one");
        assert!(set_aside(&path).is_err(), "there is nothing to set aside");
        assert_eq!(names(folder.path()).len(), 3);
    }

    #[test]
    fn files_left_behind_are_known_by_their_names() {
        let of = |path: &str| beside(Path::new(path)).file_name().unwrap().to_owned();
        let left = of("a/0001.ron");
        assert!(is_left_of("0001.ron", left.to_str().unwrap()));
        assert!(!is_left_of("0002.ron", left.to_str().unwrap()));
        assert!(!is_left_of("0001.ron", "0001.ron.new"));
        assert!(of(&"x".repeat(255)).len() < 60, "a long name leaves room");
    }

    #[cfg(unix)]
    #[test]
    fn nothing_but_a_plain_file_is_written_over_or_opened() {
        use super::super::{NotPlain, Odd, open, open_to_lock};
        use std::os::unix::fs::symlink;
        use std::os::unix::net::UnixListener;
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        fs::write(at("target"), "kept").unwrap();
        symlink("target", at("link")).unwrap();
        symlink("nowhere", at("dangling")).unwrap();
        fs::create_dir(at("folder")).unwrap();
        let _socket = UnixListener::bind(at("socket")).unwrap();
        let pipe = std::process::Command::new("mkfifo").arg(at("pipe")).status().unwrap();
        assert!(pipe.success());
        let odd = [
            (at("link"), Odd::Link),
            (at("dangling"), Odd::Link),
            (at("folder"), Odd::Folder),
            (at("socket"), Odd::Socket),
            (at("pipe"), Odd::Pipe),
            ("/dev/null".into(), Odd::Device),
        ];
        for (path, kind) in odd {
            for over in [Over::Nothing, Over::PlainFile] {
                let error = write(&path, b"new", over, Sight::Usual).unwrap_err();
                assert_eq!(NotPlain::within(&error), Some(kind), "{error}");
            }
            assert_eq!(NotPlain::within(&open(&path).unwrap_err()), Some(kind));
            assert_eq!(NotPlain::within(&open_to_lock(&path).unwrap_err()), Some(kind));
            assert_eq!(Odd::of(path.symlink_metadata().unwrap().file_type()), Some(kind));
        }
        assert_eq!(fs::read_to_string(at("target")).unwrap(), "kept");
        assert_eq!(names(folder.path()).len(), 6);
    }

    #[cfg(unix)]
    #[test]
    fn rights_are_the_usual_ones_those_of_the_old_file_or_ours_alone() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
        let (plain, written) = (folder.path().join("plain"), folder.path().join("written"));
        fs::write(&plain, "").unwrap();
        write(&written, b"", Over::Nothing, Sight::Usual).unwrap();
        assert_eq!(mode(&written), mode(&plain));
        fs::set_permissions(&written, fs::Permissions::from_mode(0o640)).unwrap();
        write(&written, b"new", Over::PlainFile, Sight::Usual).unwrap();
        assert_eq!(mode(&written), 0o640);
        write(&written, b"new", Over::PlainFile, Sight::Private).unwrap();
        assert_eq!(mode(&written), 0o600);
    }
}
