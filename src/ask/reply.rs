//! The grammar of replies: a number for an answer, a letter or word for everything else.

use super::key::read_key;
pub use super::key::{Key, KeyKind};
use super::ticks::{self, Ticks};
use crate::source::unprintable;

/// What may be answered to a question.
#[derive(Debug, Clone)]
pub struct Prompt {
    /// The numbered answers as they read on the page, one line each.
    pub options: Vec<String>,
    /// Where "no" and "yes" may be typed as well: their places among the options.
    pub no_yes: Option<(usize, usize)>,
    /// The keys on offer.
    pub keys: Vec<KeyKind>,
    /// The answer that Enter alone gives; mostly none.
    pub by_enter: Option<usize>,
    /// Several may be ticked at once, or none of them.
    pub is_tick_list: bool,
    /// What Enter alone ticks; mostly nothing.
    pub ticked_by_enter: Option<Ticks>,
}

impl Prompt {
    /// A prompt with these answers and keys.
    pub fn new(options: Vec<String>, keys: &[KeyKind]) -> Self {
        Self {
            options,
            no_yes: None,
            keys: keys.to_vec(),
            by_enter: None,
            is_tick_list: false,
            ticked_by_enter: None,
        }
    }

    /// A list of which several lines may be ticked at once.
    pub fn tick_list(lines: Vec<String>, keys: &[KeyKind]) -> Self {
        Self { is_tick_list: true, ..Self::new(lines, keys) }
    }

    /// What stands in front of the place where the reply is typed.
    pub fn label(&self) -> String {
        if self.is_tick_list {
            return "Numbers, 0 for none, or a letter".to_owned();
        }
        match self.options.len() {
            0 => "Letter".to_owned(),
            1 => "1 or a letter".to_owned(),
            2 => "1 or 2, or a letter".to_owned(),
            n => format!("1 to {n}, or a letter"),
        }
    }

    /// Reads a reply, or says in one line what can be typed.
    pub fn read(&self, line: &str) -> Result<PromptReply, String> {
        let typed = line.trim().trim_end_matches(['.', ')']).trim_end().to_lowercase();
        if typed.is_empty() {
            if let Some(place) = self.by_enter {
                return Ok(PromptReply::Choice(place));
            }
            if let Some(ticks) = self.ticked_by_enter {
                return Ok(PromptReply::Ticked(ticks));
            }
            return Err(format!("Nothing was typed. {}", self.on_offer()));
        }
        if self.is_tick_list
            && let Some(ticks) = ticks::read(line.trim(), self.options.len())
        {
            let again = |wrong: String| format!("{wrong} {}", self.on_offer());
            return ticks.map(PromptReply::Ticked).map_err(again);
        }
        if self.is_tick_list && ["none", "nothing"].contains(&typed.as_str()) {
            return Ok(PromptReply::Ticked(Ticks::default()));
        }
        if let Ok(number) = typed.parse::<usize>() {
            return match number.checked_sub(1).filter(|i| *i < self.options.len()) {
                Some(i) => Ok(PromptReply::Choice(i)),
                None => Err(format!("There is no answer {number} here. {}", self.on_offer())),
            };
        }
        if let Some((no, yes)) = self.no_yes {
            match typed.as_str() {
                "n" | "no" => return Ok(PromptReply::Choice(no)),
                "y" | "yes" => return Ok(PromptReply::Choice(yes)),
                _ => {}
            }
        }
        match read_key(&typed) {
            Some(key) if self.keys.contains(&key.kind()) => Ok(PromptReply::Key(key)),
            Some(key) => {
                Err(format!("\"{}\" does nothing here. {}", key.kind().short(), self.on_offer()))
            }
            None => Err(format!(
                "\"{}\" is not known here. {}",
                shortened(line.trim()),
                self.on_offer()
            )),
        }
    }

    fn on_offer(&self) -> String {
        let letters: Vec<String> = self.keys.iter().map(|k| k.letter().to_string()).collect();
        let letters = match letters.as_slice() {
            [] => String::new(),
            [only] => only.clone(),
            [front @ .., last] => format!("{} or {last}", front.join(", ")),
        };
        if self.is_tick_list {
            return format!(
                "Type the numbers of all that apply, such as 1 3. Type 0 for none, ?2 if you can't tell line 2. Or type {letters}."
            );
        }
        let numbers = match self.options.len() {
            0 => return format!("Type {letters}."),
            1 => "1".to_owned(),
            2 => "1 or 2".to_owned(),
            n => format!("1 to {n}"),
        };
        match letters.is_empty() {
            true => format!("Type {numbers}."),
            false => format!("Type {numbers}, or {letters}."),
        }
    }
}

/// Reply to a question.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PromptReply {
    /// The answer at this place, from 0.
    Choice(usize),
    /// What was ticked in a list.
    Ticked(Ticks),
    /// A key.
    Key(Key),
    /// Nobody is there any more.
    Lost(Lost),
}

/// A line of somebody's own words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoteReply {
    /// These.
    Text(String),
    /// None.
    Skipped,
    /// A key.
    Key(Key),
    /// Nobody is there any more.
    Lost(Lost),
}

/// How a person went away.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lost {
    /// The input ended, or the terminal closed.
    EndOfInput,
    /// Interrupted from the keyboard.
    Interrupted,
}

/// The longest line of own words, in characters.
pub const LONGEST_NOTE: usize = 120;

/// Reads a line of own words. A line that is exactly one of the keys on offer is that key.
///
/// # Errors
/// That it is too long, and how long it may be, in words: nothing that somebody typed is cut.
pub fn read_note(line: &str, keys: &[KeyKind]) -> Result<NoteReply, String> {
    let text: String = line.chars().filter(|c| !unprintable(*c)).collect();
    let text = text.trim();
    if text.is_empty() {
        return Ok(NoteReply::Skipped);
    }
    if let Some(words) = too_long(text, LONGEST_NOTE) {
        return Err(words);
    }
    Ok(match read_key(&text.to_lowercase()) {
        Some(key) if keys.contains(&key.kind()) => NoteReply::Key(key),
        _ => NoteReply::Text(text.to_owned()),
    })
}

/// What is said to an entry of more characters than it may have; nothing to one that fits.
pub fn too_long(text: &str, most: usize) -> Option<String> {
    let count = text.chars().count();
    (count > most)
        .then(|| format!("That is {count} characters; at most {most} fit. Say it more briefly."))
}

fn shortened(typed: &str) -> String {
    let clean: String = typed.chars().filter(|c| !unprintable(*c)).collect();
    if clean.chars().count() <= 20 {
        return clean;
    }
    clean.chars().take(17).chain("...".chars()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn prompt() -> Prompt {
        let options = vec!["No".to_owned(), "Yes".to_owned(), "Both".to_owned()];
        let keys = [KeyKind::CantTell, KeyKind::Back, KeyKind::Stop];
        Prompt { no_yes: Some((0, 1)), ..Prompt::new(options, &keys) }
    }

    #[test]
    fn a_number_is_an_answer_with_blanks_and_a_full_stop() {
        for line in ["2", " 2 ", "2.", "2)", "yes", "Y", "YES  "] {
            assert_eq!(prompt().read(line), Ok(PromptReply::Choice(1)), "{line:?}");
        }
    }

    #[test]
    fn letters_and_words_are_keys_in_any_case() {
        for (line, key) in [
            ("c", Key::CantTell),
            ("Can't tell", Key::CantTell),
            ("B", Key::Back(1)),
            ("back 4", Key::Back(4)),
            ("b2", Key::Back(2)),
            ("STOP ", Key::Stop),
        ] {
            assert_eq!(prompt().read(line), Ok(PromptReply::Key(key)), "{line:?}");
        }
    }

    #[test]
    fn whatever_else_gets_one_line_that_helps() {
        for line in ["", "4", "0", "w", "xyz", "b0", "-1", "\u{1b}[B"] {
            let said = prompt().read(line).expect_err(line);
            assert!(said.contains("Type 1 to 3, or c, b or s."), "{said}");
            assert!(!said.contains('\n') && !said.contains('\u{1b}'));
        }
    }

    #[test]
    fn own_words_stay_own_words() {
        let keys = [KeyKind::Back, KeyKind::Stop];
        assert_eq!(
            read_note(" 14 mm from the bolt ", &keys),
            Ok(NoteReply::Text("14 mm from the bolt".to_owned()))
        );
        assert_eq!(read_note("  ", &keys), Ok(NoteReply::Skipped));
        assert_eq!(read_note("s", &keys), Ok(NoteReply::Key(Key::Stop)));
        assert_eq!(read_note("l", &keys), Ok(NoteReply::Text("l".to_owned())));
    }

    #[test]
    fn what_is_too_long_is_refused_and_never_cut() {
        let fits = "\u{e4}".repeat(LONGEST_NOTE);
        assert_eq!(read_note(&fits, &[]), Ok(NoteReply::Text(fits.clone())));
        let said = read_note(&format!("{fits}x"), &[]).expect_err("too long");
        assert!(said.contains("121 characters") && said.contains("at most 120"), "{said}");
    }
}
