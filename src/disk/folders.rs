//! Folders, made one by one.

use std::fs::{self, DirBuilder};
use std::io;
use std::path::{Path, PathBuf};

use super::Sight;

/// Makes the folders that are missing on the way to this one, and tells which, outermost first. With
/// [`Sight::Private`] nobody else may look into those that were made, whatever the umask.
///
/// # Errors
/// If one cannot be made; those before it stay.
pub fn make_folders(folder: &Path, sight: Sight) -> io::Result<Vec<PathBuf>> {
    let mut missing = Vec::new();
    let mut at = Some(folder);
    while let Some(folder) = at.filter(|f| !f.as_os_str().is_empty() && !f.is_dir()) {
        missing.push(folder.to_owned());
        at = folder.parent();
    }
    missing.reverse();
    let mut made = Vec::new();
    for folder in missing {
        match make(&folder, sight) {
            Ok(()) => made.push(folder),
            // Somebody was quicker, or it is named twice on the way, as in "a/../a".
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists && folder.is_dir() => {}
            Err(error) => return Err(error),
        }
    }
    Ok(made)
}

fn make(folder: &Path, sight: Sight) -> io::Result<()> {
    let mut builder = DirBuilder::new();
    if sight == Sight::Private {
        #[cfg(unix)]
        {
            use std::os::unix::fs::DirBuilderExt;
            builder.mode(0o700);
        }
    }
    builder.create(folder)?;
    if sight == Sight::Private {
        // The umask may have taken even our own rights away.
        private(folder)?;
    }
    Ok(())
}

/// Lets nobody else look into a folder.
///
/// # Errors
/// If it belongs to somebody else.
pub fn private(folder: &Path) -> io::Result<()> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        if fs::metadata(folder)?.permissions().mode() & 0o777 != 0o700 {
            fs::set_permissions(folder, fs::Permissions::from_mode(0o700))?;
        }
    }
    #[cfg(not(unix))]
    fs::metadata(folder)?;
    Ok(())
}
