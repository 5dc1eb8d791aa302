//! `rules print`: the whole book as a handbook.

use super::diff::place;
use super::{DEFAULT, does_not_load, tell};
use crate::cli::{PrintArgs, PrintFormat};
use crate::commands::{Failed, Streams, output};
use crate::disk::Over;
use crate::exit::Exit;
use crate::problem::Problems;
use crate::rulebook::cards::{Difference, differences};
use crate::rulebook::load::{self, Laid};
use crate::show::changes::Changes;
use crate::show::handbook::{Handbook, html, text};

/// A book with so few entries is printed as a whole without asking.
const FEW: usize = 60;

pub(super) fn run(args: &PrintArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let mut checked = load::read(args.rules.as_deref());
    let Some(book) = checked.book.take() else {
        return does_not_load(&Problems(checked.problems), streams);
    };
    tell(&checked.problems, streams)?;
    let mut handbook = Handbook::new(&book);
    if checked.laid == Laid::Over
        && let Ok(default) = load::default_book()
    {
        let all = differences(&default, &book);
        let place = |difference: &Difference| place(&checked, difference);
        let called = args.rules.as_ref().map_or(String::new(), |dir| dir.display().to_string());
        let changes =
            Changes { old: (&default, DEFAULT), new: (&book, &called), all: &all, place: &place };
        handbook.of_a_site(&changes);
    }
    if let Some(missing) = handbook.only(&args.chapter).err() {
        streams.complain(&format!(
            "error: the handbook has no chapter {missing}.\ndo: its chapters are {}.",
            handbook.anchors().join(", ")
        ))?;
        return Ok(Exit::Usage);
    }
    if args.chapter.is_empty() && !args.whole && handbook.leaves() > FEW {
        streams.complain(&format!(
            "error: all of this book is {} entries, some hundreds of pages.\ndo: print a chapter with --chapter ({}), or all of it with --whole.",
            handbook.leaves(),
            handbook.anchors().join(", ")
        ))?;
        return Ok(Exit::Usage);
    }
    let written = match args.format {
        PrintFormat::Html => html::write(&handbook),
        PrintFormat::Text => text::write(&handbook),
    };
    let over = if args.force { Over::PlainFile } else { Over::Nothing };
    output::deliver(&written, args.output.as_deref(), over, "the handbook", streams)
}
