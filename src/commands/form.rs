//! A form: one line after the other, each asked until it makes sense.
//!
//! Lines that were taken are kept. `<` drops the last one and fills the form in anew from those before it,
//! so that the fields themselves know nothing of going back.

use std::convert::Infallible;

use unicode_width::UnicodeWidthStr;

use crate::ask::{Ask, Lost};
use crate::show::page::{Page, Screen};
use crate::source::unprintable;

/// Whether a line may be left empty.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Blank {
    /// Press Enter to leave it out.
    Allowed,
    /// Something must be there.
    Refused,
}

impl Blank {
    /// Refused as long as there are fewer than `least`.
    pub(super) fn until(there: usize, least: usize) -> Self {
        if there < least { Self::Refused } else { Self::Allowed }
    }
}

/// Why a form is not filled in to its end. `S` is a reason of the form's own to stop.
pub(super) enum Unfilled<S = Infallible> {
    /// The last line was taken back: fill in anew.
    Again,
    /// The person has gone.
    Lost(Lost),
    /// The form has a reason of its own to stop.
    Stopped(S),
}

/// Why nothing came of a form.
#[derive(Debug, PartialEq)]
pub(super) enum FormLeft<S = Infallible> {
    /// The person has gone.
    Lost(Lost),
    /// The form had a reason of its own to stop.
    Stopped(S),
}

impl From<FormLeft> for Lost {
    fn from(gone: FormLeft) -> Self {
        match gone {
            FormLeft::Lost(lost) => lost,
            FormLeft::Stopped(never) => match never {},
        }
    }
}

/// What comes of a field.
pub(super) type Filled<T, S = Infallible> = Result<T, Unfilled<S>>;

/// Somebody who keeps each line of a form as soon as it is taken.
pub(super) trait Keeping {
    /// The person who is asked.
    fn person(&mut self) -> &mut dyn Ask;
    /// Keeps the lines taken so far, before the next one is asked for.
    ///
    /// # Errors
    /// When nothing can be kept any more.
    fn keep(&mut self, taken: &[String]) -> Result<(), Lost>;
    /// The form is left, and the person stays: nothing more is asked of it.
    fn leave(&mut self);
}

/// Who fills the form in, and whether the lines are kept on the way.
enum FilledBy<'a> {
    Person(&'a mut dyn Ask),
    Keeper(&'a mut dyn Keeping),
}

impl FilledBy<'_> {
    fn ask(&mut self) -> &mut dyn Ask {
        match self {
            Self::Person(ask) => *ask,
            Self::Keeper(keeper) => keeper.person(),
        }
    }

    fn keep(&mut self, taken: &[String]) -> Result<(), Lost> {
        match self {
            Self::Person(_) => Ok(()),
            Self::Keeper(keeper) => keeper.keep(taken),
        }
    }

    /// The next line; nothing where a form that is part of a visit is left by Ctrl-C.
    fn line(&mut self, label: &str) -> Result<Option<String>, Lost> {
        match self {
            Self::Person(ask) => ask.words(label).map(Some),
            Self::Keeper(keeper) => keeper.person().line_or_leave(label),
        }
    }

    /// Leaves the form where there is something behind it; whether it did.
    fn leave(&mut self) -> bool {
        match self {
            Self::Person(_) => false,
            Self::Keeper(keeper) => {
                keeper.leave();
                true
            }
        }
    }
}

/// A form that is being filled in.
pub(super) struct Form<'a> {
    by: FilledBy<'a>,
    screen: Screen,
    keys: &'static str,
    taken: Vec<String>,
    at: usize,
    /// The question that stands above the label of the next line, if there is one.
    asked: String,
}

/// What may be typed at every line of a form without entries to look up.
pub(super) const KEYS: &str = crate::show::gauge::LINE_KEYS;

impl<'a> Form<'a> {
    /// A form put to this person; `keys` says what may be typed at every line.
    pub(super) fn new(ask: &'a mut dyn Ask, screen: Screen, keys: &'static str) -> Self {
        let asked = String::new();
        Self { by: FilledBy::Person(ask), screen, keys, taken: Vec::new(), at: 0, asked }
    }

    /// A form whose lines are kept one by one, begun with those that were kept before.
    pub(super) fn kept(
        keeper: &'a mut dyn Keeping,
        screen: Screen,
        keys: &'static str,
        taken: Vec<String>,
    ) -> Self {
        let asked = String::new();
        Self { by: FilledBy::Keeper(keeper), screen, keys, taken, at: 0, asked }
    }

    /// Fills the form in, from the start again whenever a line is taken back.
    ///
    /// # Errors
    /// When the person has gone, or the form stops itself.
    pub(super) fn fill<T, S>(
        &mut self,
        mut fields: impl FnMut(&mut Self) -> Filled<T, S>,
    ) -> Result<T, FormLeft<S>> {
        loop {
            self.at = 0;
            match fields(self) {
                Ok(filled) => return Ok(filled),
                Err(Unfilled::Again) => {}
                Err(Unfilled::Lost(lost)) => return Err(FormLeft::Lost(lost)),
                Err(Unfilled::Stopped(why)) => return Err(FormLeft::Stopped(why)),
            }
        }
    }

    /// Shows a page, unless it was seen before the last line was taken back.
    pub(super) fn show(&mut self, page: impl FnOnce(&mut Page)) {
        if self.at < self.taken.len() {
            return;
        }
        let mut sheet = Page::new(self.screen);
        page(&mut sheet);
        self.by.ask().say(&sheet.finish());
    }

    /// Shows a paragraph.
    pub(super) fn say(&mut self, words: &str) {
        self.show(|page| {
            page.para(words);
        });
    }

    /// Shows the question of the next line; it stands there again after help.
    pub(super) fn ask(&mut self, question: &str) {
        self.say(question);
        self.asked = question.to_owned();
    }

    /// Whether a question fits one line together with its label and room to type.
    pub(super) fn fits(&self, ask: &str, label: &str) -> bool {
        const ROOM: usize = 8;
        ask.width() + label.width() + ROOM < self.screen.width()
    }

    /// A line that `read` makes sense of; what it says otherwise is shown and the line asked for again.
    pub(super) fn line<T, S>(
        &mut self,
        label: &str,
        help: &dyn Fn(&str) -> Vec<String>,
        read: &dyn Fn(&str) -> Result<T, String>,
    ) -> Filled<T, S> {
        if let Some(line) = self.taken.get(self.at) {
            if let Ok(value) = read(line) {
                self.at += 1;
                self.asked.clear();
                return Ok(value);
            }
            self.taken.truncate(self.at);
        }
        let question = std::mem::take(&mut self.asked);
        loop {
            let keys = self.keys;
            let Some(line) = self.by.line(label).map_err(Unfilled::Lost)? else {
                self.by.leave();
                return Err(Unfilled::Lost(Lost::EndOfInput));
            };
            let line = clean(&line);
            if is_back(&line, read(&line).is_ok()) {
                if self.taken.pop().is_some() {
                    self.by.keep(&self.taken).map_err(Unfilled::Lost)?;
                    return Err(Unfilled::Again);
                }
                if self.by.leave() {
                    return Err(Unfilled::Lost(Lost::EndOfInput));
                }
                self.say("This is the first line.");
            } else if let Some(word) = line.strip_prefix('?') {
                let lines = help(word.trim());
                self.show(|page| {
                    for line in lines {
                        page.item("  ", &line);
                    }
                    page.item("  ", keys);
                    if !question.is_empty() {
                        page.blank().para(&question);
                    }
                });
            } else {
                match read(&line) {
                    Ok(value) => {
                        self.taken.push(line);
                        self.at += 1;
                        self.by.keep(&self.taken).map_err(Unfilled::Lost)?;
                        return Ok(value);
                    }
                    Err(words) => self.say(&words),
                }
            }
        }
    }

    /// One of some things, by its number.
    pub(super) fn one_of<S>(&mut self, label: &str, things: &[String]) -> Filled<usize, S> {
        self.show(|page| {
            for (number, thing) in things.iter().enumerate() {
                page.item(&format!("{:>3}  ", number + 1), thing);
            }
        });
        let count = things.len();
        let says = format!("Type a number from 1 to {count}.");
        let help = |_: &str| vec![says.clone()];
        self.line(label, &help, &|line| {
            line.trim_end_matches(['.', ')'])
                .parse::<usize>()
                .ok()
                .and_then(|number| number.checked_sub(1))
                .filter(|at| *at < count)
                .ok_or_else(|| says.clone())
        })
    }

    /// Yes or no.
    pub(super) fn yes<S>(&mut self, label: &str) -> Filled<bool, S> {
        let help = |_: &str| vec!["y or n.".to_owned()];
        self.line(&format!("{label} (y/n)"), &help, &|line| match line.to_lowercase().as_str() {
            "y" | "yes" => Ok(true),
            "n" | "no" => Ok(false),
            _ => Err("Type y or n.".to_owned()),
        })
    }
}

/// Whether a line takes the one before it back: the sign for it, or its word where that is no answer.
fn is_back(line: &str, is_answer: bool) -> bool {
    line == "<" || (!is_answer && ["b", "back"].contains(&line.to_lowercase().as_str()))
}

/// A line without what cannot be printed, and without blanks round it.
pub(super) fn clean(line: &str) -> String {
    let line: String = line.chars().map(|c| if unprintable(c) { ' ' } else { c }).collect();
    line.trim().to_owned()
}
