//! Words that may not stand where they stand: hands near a belt that moves, and a belt moved by a sentence.
//!
//! Types keep the kinds of steps apart; here the words inside them are held against what their kind allows. The lists
//! are plain on purpose: an author who trips over one finds another word sooner than a reader finds a finger.

use crate::problem::Code;
use crate::source::parse::Text;

use super::Diagnostics;

/// Orders for hands, as they begin a sentence or follow "then" and "and".
pub(super) const HAND_VERBS: &[&str] = &[
    "adjust",
    "brush",
    "chock",
    "clean",
    "clear",
    "cut",
    "dig",
    "feel",
    "fit",
    "free",
    "grease",
    "grind",
    "hammer",
    "hold",
    "hose",
    "jack",
    "knock",
    "lever",
    "lift",
    "loosen",
    "lower",
    "lubricate",
    "mark",
    "measure",
    "mend",
    "oil",
    "poke",
    "pry",
    "pull",
    "push",
    "reach",
    "remove",
    "replace",
    "rub",
    "scrape",
    "screw",
    "shift",
    "shim",
    "shovel",
    "slacken",
    "spray",
    "square",
    "sweep",
    "swap",
    "tap",
    "tape",
    "tighten",
    "touch",
    "train",
    "trim",
    "unbolt",
    "wash",
    "wedge",
    "weld",
    "wind",
    "wipe",
];

/// What hands hold. The hand tools of the book are held against its own list besides.
const HAND_TOOLS: &[&str] = &[
    "scraper",
    "spanner",
    "spanners",
    "wrench",
    "hammer",
    "crowbar",
    "pry bar",
    "shovel",
    "broom",
    "rag",
    "rags",
    "brush",
    "hose",
    "grease gun",
    "knife",
    "stick",
    "by hand",
    "with a hand",
    "with the hand",
    "hand on",
    "tape measure",
    "guards off",
    "guard off",
    "inside the guard",
];

/// What moves a belt, as a sentence of a step says it.
const MOVES: &[&str] = &[
    "jog the",
    "jog it",
    "be jogged",
    "is jogged",
    "inch the belt",
    "inched",
    "brought round",
    "bring it round",
    "bring the belt round",
    "bring the splice round",
    "start the belt",
    "start the conveyor",
    "start it up",
    "restart the",
    "run the belt",
    "run the conveyor",
    "run it empty",
    "let it run",
    "let the belt run",
    "belt is run",
    "belt is started",
    "belt is moved on",
    "move the belt on",
    "moved on by power",
    "turn the belt over by power",
    "while it runs",
    "while the belt runs",
    "while it turns under power",
];

/// The first words of a text that are work for hands: an order, or a hand tool.
pub(crate) fn work_for_hands(text: &str) -> Option<&str> {
    let (start, end) = verb(text).or_else(|| phrase(text, HAND_TOOLS))?;
    text.get(start..end)
}

/// The first words of a text that move the belt.
pub(crate) fn move_of_the_belt(text: &str) -> Option<&str> {
    let (start, end) = phrase(text, MOVES)?;
    text.get(start..end)
}

/// Whether a text speaks of something by one of these names.
pub(crate) fn speaks_of(text: &str, names: &[&str]) -> bool {
    phrase(text, names).is_some()
}

/// Reports an order for hands, or a hand tool, in words that belong to a moving belt.
pub(super) fn near_moving_belt(text: &Text, diagnostics: &mut Diagnostics) {
    let found = verb(text).or_else(|| phrase(text, HAND_TOOLS));
    if let Some((start, end)) = found {
        let words = text.get(start..end).unwrap_or_default();
        diagnostics.tell(
            Code::RunningFix,
            text.part(start..end),
            format!("\"{words}\" is work for hands, and the belt moves here"),
            "only watch, wait, load or ask while it moves; work for hands belongs in a LockedOut fix",
        );
    }
}

/// Reports a sentence that moves the belt in a step for hands.
pub(super) fn moves_the_belt(text: &Text, diagnostics: &mut Diagnostics) {
    if let Some((start, end)) = phrase(text, MOVES) {
        let words = text.get(start..end).unwrap_or_default();
        diagnostics.tell(
            Code::MovesBelt,
            text.part(start..end),
            format!("\"{words}\" moves the belt in the middle of work by hand"),
            "write Jog(\"...\") or Restart(\"...\"): giving back and isolating again then come with it",
        );
    }
}

/// The first order for hands: a verb of the list at the start of a clause. "Touch nothing" is none.
pub(super) fn verb(text: &str) -> Option<(usize, usize)> {
    let mut starts_clause = true;
    let mut words = words(text).peekable();
    while let Some((start, word)) = words.next() {
        let end = start + word.len();
        let lower = word.to_lowercase();
        let nothing = words.peek().is_some_and(|(_, next)| next.eq_ignore_ascii_case("nothing"));
        if starts_clause && !nothing && HAND_VERBS.contains(&lower.as_str()) {
            return Some((start, end));
        }
        let stops =
            text.get(end..).is_some_and(|rest| rest.starts_with(['.', ':', ';', '!', '?', ',']));
        starts_clause = stops || matches!(lower.as_str(), "then" | "and" | "or");
    }
    None
}

/// The first of the phrases that stands in the text as whole words.
pub(super) fn phrase(text: &str, phrases: &[&str]) -> Option<(usize, usize)> {
    let lower = text.to_lowercase();
    // Lower case may have other lengths in other scripts; then nothing is pointed at rather than something wrong.
    if lower.len() != text.len() {
        return None;
    }
    let bounded = |start: usize, end: usize| {
        let before = lower.get(..start).and_then(|part| part.chars().next_back());
        let after = lower.get(end..).and_then(|part| part.chars().next());
        let letter = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '-');
        !letter(before) && !letter(after)
    };
    phrases
        .iter()
        .flat_map(|phrase| {
            lower.match_indices(phrase).map(|(start, found)| (start, start + found.len()))
        })
        .filter(|(start, end)| bounded(*start, *end))
        .min()
}

fn words(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let letter = |c: char| c.is_alphanumeric() || c == '-' || c == '\'';
    let mut from = 0;
    std::iter::from_fn(move || {
        let rest = text.get(from..)?;
        let start = from + rest.find(letter)?;
        let length = text.get(start..)?.find(|c| !letter(c)).unwrap_or(text.len() - start);
        from = start + length;
        Some((start, text.get(start..from)?))
    })
}

#[cfg(test)]
mod tests {
    use super::{HAND_TOOLS, MOVES, phrase, verb};

    #[test]
    fn an_order_for_hands_is_found_at_the_start_of_a_clause_alone() {
        for bad in [
            "Scrape the roll.",
            "Wait an hour, then clean the roll.",
            "Watch it and push the belt over.",
            "Feed it: tap the chute.",
        ] {
            assert!(verb(bad).is_some(), "{bad}");
        }
        for good in [
            "Watch the push on the belt.",
            "Wait until the clean rolls have run dry.",
            "Ask what the last mark says.",
            "Look along the rolls; touch nothing, clean nothing.",
        ] {
            assert_eq!(verb(good), None, "{good}");
        }
    }

    #[test]
    fn phrases_are_found_as_whole_words() {
        assert!(phrase("Take the hand scraper to it.", HAND_TOOLS).is_some());
        assert!(phrase("The fragrance of ragwort.", HAND_TOOLS).is_none());
        assert!(phrase("Have it brought round by the crew.", MOVES).is_some());
        assert!(phrase("Look round it.", MOVES).is_none());
    }
}
