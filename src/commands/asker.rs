//! Who is asked: a person at a terminal, or plain lines.

use std::io::{self, IsTerminal};

use super::Streams;
use crate::ask::{Ask, Choosing, PlainLines, Typed};
use crate::cli::Manner;
use crate::show::page::Screen;

/// A terminal narrower than this many columns gets plain lines.
const NARROW: usize = 20;

/// Whoever is there, and the screen to lay pages out for. Where there is no terminal to type at, plain lines in any
/// case.
pub(super) fn somebody(manner: Manner, streams: &Streams) -> (Box<dyn Ask>, Screen) {
    let columns = streams.columns;
    let plain = manner == Manner::PlainLines
        || !(io::stdin().is_terminal() && io::stderr().is_terminal())
        || columns.now() < NARROW
        || std::env::var_os("TERM").is_some_and(|term| term == "dumb");
    if plain {
        let lines = PlainLines::new(io::stdin().lock(), io::stdout(), columns);
        (Box::new(lines), Screen::with(columns, streams.out_paint))
    } else {
        let choosing = match manner {
            Manner::ArrowKeys => Choosing::ByArrowKeys,
            Manner::PlainLines | Manner::Typed => Choosing::ByNumber,
        };
        let typed = Typed::new(choosing, columns);
        (Box::new(typed), Screen::with(columns, streams.err_paint))
    }
}
