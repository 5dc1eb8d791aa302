//! The keys that may be typed at a question in place of a number: a letter, or one of the words for it.

/// A key that may be typed at a question in place of a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Key {
    /// "I can't tell", or this is skipped.
    CantTell,
    /// Back by so many questions.
    Back(usize),
    /// Why is this asked?
    Why,
    /// How do I look?
    Look,
    /// Answer by measuring.
    Measure,
    /// What is believed so far?
    SoFar,
    /// What was moved?
    Moved,
    /// Something else was found.
    Else,
    /// Something was seen that was not asked about.
    Saw,
    /// Enough asked: on to the finding and the plan.
    Plan,
    /// The cautions of the work in hand.
    Cautions,
    /// Stop and save.
    Stop,
    /// What can I type here?
    Help,
}

/// A key without its number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "each is the key of the same name")]
pub enum KeyKind {
    CantTell,
    Back,
    Why,
    Look,
    Measure,
    SoFar,
    Moved,
    Else,
    Saw,
    Plan,
    Cautions,
    Stop,
    Help,
}

impl KeyKind {
    /// All keys, in the order in which they are printed.
    pub const ALL: [Self; 13] = [
        Self::CantTell,
        Self::Back,
        Self::Why,
        Self::Look,
        Self::Measure,
        Self::SoFar,
        Self::Moved,
        Self::Else,
        Self::Saw,
        Self::Plan,
        Self::Cautions,
        Self::Stop,
        Self::Help,
    ];

    /// The key itself, typed without a number.
    pub fn key(self) -> Key {
        match self {
            Self::CantTell => Key::CantTell,
            Self::Back => Key::Back(1),
            Self::Why => Key::Why,
            Self::Look => Key::Look,
            Self::Measure => Key::Measure,
            Self::SoFar => Key::SoFar,
            Self::Moved => Key::Moved,
            Self::Else => Key::Else,
            Self::Saw => Key::Saw,
            Self::Plan => Key::Plan,
            Self::Cautions => Key::Cautions,
            Self::Stop => Key::Stop,
            Self::Help => Key::Help,
        }
    }

    /// The letter to type.
    pub fn letter(self) -> char {
        match self {
            Self::CantTell => 'c',
            Self::Back => 'b',
            Self::Why => 'w',
            Self::Look => 'l',
            Self::Measure => 'g',
            Self::SoFar => 'f',
            Self::Moved => 'm',
            Self::Else => 'e',
            Self::Saw => 'v',
            Self::Plan => 'p',
            Self::Cautions => 'a',
            Self::Stop => 's',
            Self::Help => 'h',
        }
    }

    /// How soon it stands behind "h more" where the letters would take more than two lines: the highest first, 0 never.
    pub fn gives_way(self) -> u8 {
        match self {
            Self::CantTell | Self::Back | Self::Stop | Self::Help => 0,
            Self::Look | Self::Cautions | Self::Plan => 1,
            Self::Why => 2,
            Self::Measure => 3,
            Self::Else => 4,
            Self::Saw => 5,
            Self::SoFar => 6,
            Self::Moved => 7,
        }
    }

    /// What it is called beside its letter.
    pub fn short(self) -> &'static str {
        match self {
            Self::CantTell => "can't tell",
            Self::Back => "back",
            Self::Why => "why",
            Self::Look => "look how",
            Self::Measure => "gauge",
            Self::SoFar => "so far",
            Self::Moved => "moved",
            Self::Else => "something else",
            Self::Saw => "I saw",
            Self::Plan => "to the plan",
            Self::Cautions => "all cautions",
            Self::Stop => "stop + save",
            Self::Help => "help",
        }
    }

    /// What it does, for the help page.
    pub fn does(self) -> &'static str {
        match self {
            Self::CantTell => {
                "You can't tell, or skip it. It counts neither way and is not asked again."
            }
            Self::Back => "One question back. Its answer is taken out. \"b 3\" goes three back.",
            Self::Why => "Why this is asked now, and what it could change.",
            Self::Look => "How to look, from where it is safe, with a drawing if there is one.",
            Self::Measure => "Answer by measuring: how to measure, what to type, what it means.",
            Self::SoFar => "The likely causes as they stand now.",
            Self::Moved => "The list of what was moved: what, from, to.",
            Self::Else => {
                "You found something else: say what, where and which part, in your own words. It may be what cures the belt."
            }
            Self::Saw => {
                "You saw something that was not asked. Type a word such as screw or hot. Answer what matches, or leave a note."
            }
            Self::Plan => "Enough asked: show the finding and the plan with what is known.",
            Self::Cautions => "All cautions of this work, those of every such work too.",
            Self::Stop => "Stop here. Everything is saved already; you can go on another day.",
            Self::Help => "This page.",
        }
    }

    /// Other words that mean the same, lower case.
    fn words(self) -> &'static [&'static str] {
        match self {
            Self::CantTell => &[
                "can't tell",
                "cant tell",
                "cannot tell",
                "can't",
                "cant",
                "don't know",
                "dont know",
                "unknown",
                "skip",
                "?",
            ],
            Self::Back => &["back"],
            Self::Why => &["why"],
            Self::Look => &["look", "look how", "how", "how to look"],
            Self::Measure => &["gauge", "measure", "by gauge"],
            Self::SoFar => &["so far", "sofar", "far"],
            Self::Moved => &["moved", "moved list", "list"],
            Self::Saw => &["saw", "i saw", "i saw something", "seen", "note"],
            Self::Else => &["else", "something else", "found something else"],
            Self::Plan => &["plan", "to the plan", "finding", "enough"],
            Self::Cautions => &["cautions", "all cautions", "all"],
            Self::Stop => &["stop", "save", "stop + save", "stop and save", "quit", "exit", "q"],
            Self::Help => &["help", "keys"],
        }
    }
}

impl Key {
    /// The key without its number.
    pub fn kind(self) -> KeyKind {
        match self {
            Self::CantTell => KeyKind::CantTell,
            Self::Back(_) => KeyKind::Back,
            Self::Why => KeyKind::Why,
            Self::Look => KeyKind::Look,
            Self::Measure => KeyKind::Measure,
            Self::SoFar => KeyKind::SoFar,
            Self::Moved => KeyKind::Moved,
            Self::Else => KeyKind::Else,
            Self::Saw => KeyKind::Saw,
            Self::Plan => KeyKind::Plan,
            Self::Cautions => KeyKind::Cautions,
            Self::Stop => KeyKind::Stop,
            Self::Help => KeyKind::Help,
        }
    }
}

/// The key that was typed, by its letter or one of its words.
pub(super) fn read_key(typed: &str) -> Option<Key> {
    if let Some(steps) = read_back(typed) {
        return Some(Key::Back(steps));
    }
    let kind = KeyKind::ALL.into_iter().find(|kind| {
        let mut letters = typed.chars();
        (letters.next() == Some(kind.letter()) && letters.next().is_none())
            || kind.words().contains(&typed)
    })?;
    Some(kind.key())
}

/// "b3", "b 3", "back 3".
fn read_back(typed: &str) -> Option<usize> {
    let rest = typed.strip_prefix("back").or_else(|| typed.strip_prefix('b'))?;
    rest.trim_start().parse().ok().filter(|steps| *steps > 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_keys_share_a_letter_or_word() {
        for kind in KeyKind::ALL {
            for word in kind.words() {
                assert_eq!(read_key(word).map(Key::kind), Some(kind), "{word}");
            }
            assert_eq!(read_key(&kind.letter().to_string()).map(Key::kind), Some(kind));
        }
    }
}
