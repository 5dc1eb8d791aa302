//! Only plain files are opened, and opening never waits.

use std::fs::{File, FileType, Metadata, OpenOptions};
use std::io::{self, Read};
use std::path::Path;

use super::create::create;

/// What stands at a place where a plain file should.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Odd {
    /// A link, wherever it leads.
    Link,
    /// A folder.
    Folder,
    /// A pipe (FIFO).
    Pipe,
    /// A socket.
    Socket,
    /// A device.
    Device,
    /// Something else.
    Other,
}

impl Odd {
    /// What this kind of thing is; nothing if it is a plain file.
    pub fn of(kind: FileType) -> Option<Self> {
        if kind.is_file() {
            return None;
        }
        #[cfg(unix)]
        {
            use std::os::unix::fs::FileTypeExt;
            if kind.is_fifo() {
                return Some(Self::Pipe);
            }
            if kind.is_socket() {
                return Some(Self::Socket);
            }
            if kind.is_block_device() || kind.is_char_device() {
                return Some(Self::Device);
            }
        }
        Some(match (kind.is_symlink(), kind.is_dir()) {
            (true, _) => Self::Link,
            (false, true) => Self::Folder,
            (false, false) => Self::Other,
        })
    }

    /// In words, to stand after "is".
    pub fn words(self) -> &'static str {
        match self {
            Self::Link => "a link",
            Self::Folder => "a folder",
            Self::Pipe => "a pipe",
            Self::Socket => "a socket",
            Self::Device => "a device",
            Self::Other => "something else",
        }
    }
}

/// The reason within an error of the disk that something is no plain file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("it is {}, no plain file", .0.words())]
pub struct NotPlain(pub Odd);

impl NotPlain {
    /// What stands there, if that is what this error is about.
    pub fn within(error: &io::Error) -> Option<Odd> {
        error.get_ref()?.downcast_ref::<Self>().map(|odd| odd.0)
    }
}

/// Nothing but a plain file passes.
pub(super) fn only_plain(found: &Metadata) -> io::Result<()> {
    match Odd::of(found.file_type()) {
        None => Ok(()),
        Some(odd) => Err(io::Error::new(io::ErrorKind::InvalidInput, NotPlain(odd))),
    }
}

/// Opens a plain file to read it.
///
/// # Errors
/// If it cannot be opened, or is no plain file: [`NotPlain`] is within the error then.
pub fn open(path: &Path) -> io::Result<File> {
    opened(OpenOptions::new().read(true), path)
}

/// Opens a plain file to lock it, without changing it; makes an empty one, for nobody else, if there is none.
///
/// # Errors
/// If it cannot be opened or made, or is no plain file.
pub fn open_to_lock(path: &Path) -> io::Result<File> {
    loop {
        match opened(OpenOptions::new().write(true), path) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => {}
            opened => return opened,
        }
        match create(path) {
            // Somebody was quicker.
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            made => return made,
        }
    }
}

/// The text of a plain file of at most so many bytes.
///
/// # Errors
/// As for [`open`]; if it is larger, or no text.
pub fn read_text(path: &Path, largest: u64) -> io::Result<String> {
    let mut bytes = Vec::new();
    open(path)?.take(largest.saturating_add(1)).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > largest {
        return Err(io::Error::new(io::ErrorKind::InvalidData, "it is far too large"));
    }
    String::from_utf8(bytes)
        .map_err(|_| io::Error::new(io::ErrorKind::InvalidData, "it is not plain text"))
}

/// Looks before it opens, since opening some devices does something; and again afterwards, since what stood there
/// may have been changed for something else.
fn opened(options: &mut OpenOptions, path: &Path) -> io::Result<File> {
    only_plain(&path.symlink_metadata()?)?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        // Without waiting for the other end of a pipe.
        options.custom_flags(libc::O_NOFOLLOW | libc::O_NONBLOCK);
    }
    let file = options.open(path)?;
    only_plain(&file.metadata()?)?;
    Ok(file)
}
