//! A document that goes to standard output or into a file.

use std::fs;
use std::io::{self, Write};
use std::path::Path;

use super::Streams;
use crate::exit::Exit;
use crate::stream;

/// Writes a document into the file that was named, or else to standard output. `what` is what it is called.
///
/// # Errors
/// If standard output cannot be written.
pub(super) fn deliver(
    document: &str,
    file: Option<&Path>,
    what: &str,
    streams: &mut Streams,
) -> io::Result<Exit> {
    let Some(file) = file else {
        streams.out.page(document)?;
        return Ok(Exit::Done);
    };
    if let Err(error) = put(file, &stream::clean(document)) {
        streams.complain(&format!("error: {} cannot be written: {error}.\nhelp: name a file in a folder that exists and may be written to.",
            file.display()))?;
        return Ok(Exit::Usage);
    }
    writeln!(streams.out, "Wrote {what} to {}.", file.display())?;
    Ok(Exit::Done)
}

/// Writes beside the file and then puts it in its place: an older document is whole until the new one is.
fn put(file: &Path, text: &str) -> io::Result<()> {
    let name = file.file_name().ok_or_else(|| io::Error::other("this names no file"))?;
    let mut part = name.to_os_string();
    part.push(".part");
    let part = file.with_file_name(part);
    let written = fs::write(&part, text).and_then(|()| fs::rename(&part, file));
    if written.is_err() {
        let _ = fs::remove_file(&part);
    }
    written
}
