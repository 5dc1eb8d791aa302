//! A document that goes to standard output or into a file.

use std::io::{self, Write};
use std::path::Path;

use super::{Failed, Streams};
use crate::disk::{self, NotPlain, Over, Sight};
use crate::exit::Exit;
use crate::stream;

/// Writes a document into the file that was named, or else to standard output. `what` is what it is called, `over`
/// what may be replaced.
///
/// # Errors
/// If standard output cannot be written.
pub(super) fn deliver(
    document: &str,
    file: Option<&Path>,
    over: Over,
    what: &str,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let Some(file) = file else {
        streams.out.page(document)?;
        return Ok(Exit::Done);
    };
    let shown = file.display();
    match disk::write(file, stream::clean(document).as_bytes(), over, Sight::Usual) {
        Ok(()) => {
            writeln!(streams.out, "Wrote {what} to {shown}.")?;
            return Ok(Exit::Done);
        }
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => streams.complain(&format!(
            "error: {shown} is there already and is left as it is.\ndo: name another file, or replace this one with --force."
        ))?,
        Err(error) if NotPlain::within(&error).is_some() => streams.complain(&format!(
            "error: {shown} cannot be written: {error}.\ndo: name a plain file; without -o it goes to standard output."
        ))?,
        Err(error) => streams.complain(&format!(
            "error: {shown} cannot be written: {error}.\ndo: name a file in a folder that exists and may be written to."
        ))?,
    }
    Ok(Exit::Usage)
}
