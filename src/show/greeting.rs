//! What `straybelt` alone says at a terminal.

use super::page::{Page, Screen};
use super::past;
use crate::stream::paint::Ink;
use crate::visit::store::Record;

/// What can be begun.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wish {
    /// A new visit.
    NewVisit,
    /// Going on with the newest open visit.
    GoOn,
    /// Practice.
    Practise,
    /// A measurement.
    Measure,
    /// Nothing.
    Leave,
}

impl Wish {
    /// Its key.
    pub fn letter(self) -> char {
        match self {
            Self::NewVisit => 'n',
            Self::GoOn => 'g',
            Self::Practise => 'p',
            Self::Measure => 'm',
            Self::Leave => 'q',
        }
    }
}

/// What can be begun now, in the order of the page.
pub fn wishes(one_is_open: bool) -> Vec<Wish> {
    let all = [Wish::NewVisit, Wish::GoOn, Wish::Practise, Wish::Measure, Wish::Leave];
    all.into_iter().filter(|wish| one_is_open || *wish != Wish::GoOn).collect()
}

/// The greeting: what can be done now. `open` is the newest open visit.
pub fn page(screen: Screen, open: Option<&Record>) -> String {
    let mut page = Page::new(screen);
    page.para_in(Ink::Strong, "Belt off centre? Press a key (q leaves):");
    for wish in wishes(open.is_some()) {
        let says = match (wish, open) {
            (Wish::NewVisit, _) => "new visit: find the cause".to_owned(),
            (Wish::GoOn, Some(record)) => match past::conveyor_name(record) {
                Some(name) => format!("go on with visit {}, {name}", record.visit),
                None => format!("go on with visit {}", record.visit),
            },
            (Wish::Practise, _) => "practise: no belt runs".to_owned(),
            (Wish::Measure, _) => "measure: all gauges".to_owned(),
            (Wish::GoOn | Wish::Leave, _) => continue,
        };
        page.item(&format!(" {}  ", wish.letter()), &says);
    }
    page.finish()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stream::paint::Paint;

    #[test]
    fn the_greeting_has_five_lines_at_most() {
        let page = page(Screen::new(40, Paint::NONE), None);
        assert_eq!(page.lines().count(), 4, "{page}");
        assert!(page.lines().all(|line| line.len() <= 40), "{page}");
    }
}
