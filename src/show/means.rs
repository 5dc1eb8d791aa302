//! The page that asks what is at hand.

use super::asking::key_words;
use super::page::{Page, Screen};
use crate::ask::KeyKind;
use crate::ask::ticks::Ticks;
use crate::stream::paint::Ink;

/// Somebody who can tell of the past, as a line of the list.
pub const SOMEBODY: &str = "Somebody who knows this conveyor: what was done to it, how it ran";

/// What is at hand, to be ticked. `before` is what was ticked at the last visit to this conveyor.
pub fn at_hand(
    screen: Screen,
    lines: &[String],
    before: Option<Ticks>,
    keys: &[KeyKind],
) -> String {
    let mut page = Page::new(screen);
    page.title("What is at hand?").para_in(
        Ink::Faint,
        "Questions that need something you do not have are left out. They are listed at the end.",
    );
    page.head("Tick what you have with you or can get.");
    for (place, line) in lines.iter().enumerate() {
        page.item(&format!("{:>2}  ", place + 1), line);
    }
    page.item(" 0  ", "None of these");
    if let Some(before) = before {
        let ticked: Vec<String> = (0..lines.len())
            .filter(|line| before.is_there(*line))
            .map(|line| (line + 1).to_string())
            .collect();
        let ticked = if ticked.is_empty() { "0".to_owned() } else { ticked.join(" ") };
        page.para_in(Ink::Faint, &format!("Press Enter for the same as last time here: {ticked}."));
    }
    page.flow(Ink::Faint, &key_words(keys, &[]));
    page.finish()
}
