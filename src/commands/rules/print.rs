//! `rules print`: the whole book as a handbook.

use std::fs;
use std::io::{self, Write};
use std::path::Path;

use crate::cli::{PrintArgs, PrintFormat};
use crate::commands::{Streams, book};
use crate::exit::Exit;
use crate::show::handbook::{Handbook, html, text};

pub(super) fn run(args: &PrintArgs, streams: &mut Streams) -> io::Result<Exit> {
    let book = match book(args.rules.as_deref(), streams)? {
        Ok(book) => book,
        Err(exit) => return Ok(exit),
    };
    let handbook = Handbook::of(&book);
    let written = match args.format {
        PrintFormat::Html => html::write(&handbook),
        PrintFormat::Text => text::write(&handbook),
    };
    let Some(file) = &args.output else {
        streams.out.write_all(written.as_bytes())?;
        return Ok(Exit::Done);
    };
    if let Err(error) = put(file, &written) {
        streams.complain(&format!("error: {} cannot be written: {error}.\nhelp: name a file in a folder that exists and may be written to.",
            file.display()))?;
        return Ok(Exit::Usage);
    }
    writeln!(streams.out, "Wrote the handbook to {}.", file.display())?;
    Ok(Exit::Done)
}

/// Writes beside the file and then puts it in its place: an older handbook is whole until the new one is.
fn put(file: &Path, text: &str) -> io::Result<()> {
    let name = file
        .file_name()
        .ok_or_else(|| io::Error::other("this names no file"))?;
    let mut part = name.to_os_string();
    part.push(".part");
    let part = file.with_file_name(part);
    let written = fs::write(&part, text).and_then(|()| fs::rename(&part, file));
    if written.is_err() {
        let _ = fs::remove_file(&part);
    }
    written
}
