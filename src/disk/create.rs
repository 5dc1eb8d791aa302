//! Making a new empty file, for nobody else.

use std::fs::{File, OpenOptions};
use std::io;
use std::path::Path;

/// Makes an empty file that is not there yet and that nobody else may read, whatever the umask.
///
/// # Errors
/// Of the kind `AlreadyExists` if something stands there; or if it cannot be made.
pub fn create(path: &Path) -> io::Result<File> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        options.mode(0o600);
    }
    let file = options.open(path)?;
    set_mode(&file, 0o600)?;
    Ok(file)
}

/// Gives a file these rights, unless it has them.
pub(super) fn set_mode(file: &File, mode: u32) -> io::Result<()> {
    #[cfg(unix)]
    {
        use std::fs::Permissions;
        use std::os::unix::fs::PermissionsExt;
        if file.metadata()?.permissions().mode() & 0o777 != mode {
            file.set_permissions(Permissions::from_mode(mode))?;
        }
    }
    #[cfg(not(unix))]
    let _ = (file, mode);
    Ok(())
}
