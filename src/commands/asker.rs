//! Who is asked: a person at a terminal, or plain lines.

use std::io::{self, IsTerminal};

use super::Streams;
use crate::ask::{Ask, Lines, Typed};
use crate::show::page::Screen;

/// A terminal narrower than this many columns gets plain lines.
const NARROW: usize = 20;

/// Whoever is there, and the screen to lay pages out for. With `plain` plain lines in any case; with `menu` an
/// arrow-key list where there are answers to choose from.
pub(super) fn somebody(plain: bool, menu: bool, streams: &Streams) -> (Box<dyn Ask>, Screen) {
    let columns = Screen::columns();
    let plain = plain
        || !(io::stdin().is_terminal() && io::stderr().is_terminal())
        || columns < NARROW
        || std::env::var_os("TERM").is_some_and(|term| term == "dumb");
    if plain {
        let lines = Lines::new(io::stdin().lock(), io::stdout(), columns);
        (Box::new(lines), Screen::new(columns, streams.out_paint))
    } else {
        let typed = Typed::new(menu, columns);
        (Box::new(typed), Screen::new(columns, streams.err_paint))
    }
}
