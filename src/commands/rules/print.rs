//! `rules print`: the whole book as a handbook.

use super::book;
use crate::cli::{PrintArgs, PrintFormat};
use crate::commands::{Failed, Streams, output};
use crate::disk::Over;
use crate::exit::Exit;
use crate::show::handbook::{Handbook, html, text};

pub(super) fn run(args: &PrintArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let book = book(args.rules.as_deref(), streams)?;
    let handbook = Handbook::new(&book);
    let written = match args.format {
        PrintFormat::Html => html::write(&handbook),
        PrintFormat::Text => text::write(&handbook),
    };
    let over = if args.force { Over::PlainFile } else { Over::Nothing };
    output::deliver(&written, args.output.as_deref(), over, "the handbook", streams)
}
