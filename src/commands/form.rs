//! A form: one line after the other, each asked until it makes sense.
//!
//! Lines that were taken are kept. `<` drops the last one and fills the form in anew from those before it,
//! so that the fields themselves know nothing of going back.

use std::convert::Infallible;

use unicode_width::UnicodeWidthStr;

use crate::ask::{Ask, Lost};
use crate::show::page::{Page, Screen};
use crate::source::unprintable;

/// Why a form is not filled in to its end. `S` is a reason of the form's own to stop.
pub(super) enum Away<S = Infallible> {
    /// The last line was taken back: fill in anew.
    Again,
    /// The person has gone.
    Lost(Lost),
    /// The form has a reason of its own to stop.
    Stopped(S),
}

/// Why nothing came of a form.
#[derive(Debug, PartialEq)]
pub(super) enum Gone<S = Infallible> {
    /// The person has gone.
    Lost(Lost),
    /// The form had a reason of its own to stop.
    Stopped(S),
}

impl From<Gone> for Lost {
    fn from(gone: Gone) -> Self {
        match gone {
            Gone::Lost(lost) => lost,
            Gone::Stopped(never) => match never {},
        }
    }
}

/// What comes of a field.
pub(super) type Filled<T, S = Infallible> = Result<T, Away<S>>;

/// A form that is being filled in.
pub(super) struct Form<'a> {
    ask: &'a mut dyn Ask,
    screen: Screen,
    keys: &'static str,
    taken: Vec<String>,
    at: usize,
}

/// What may be typed at every line of a form without entries to look up.
pub(super) const KEYS: &str = "At every line: ? for help, < for one line back, Ctrl-C to leave.";

impl<'a> Form<'a> {
    /// A form put to this person; `keys` says what may be typed at every line.
    pub(super) fn new(ask: &'a mut dyn Ask, screen: Screen, keys: &'static str) -> Self {
        Self { ask, screen, keys, taken: Vec::new(), at: 0 }
    }

    /// Fills the form in, from the start again whenever a line is taken back.
    ///
    /// # Errors
    /// When the person has gone, or the form stops itself.
    pub(super) fn fill<T, S>(
        &mut self,
        mut fields: impl FnMut(&mut Self) -> Filled<T, S>,
    ) -> Result<T, Gone<S>> {
        loop {
            self.at = 0;
            match fields(self) {
                Ok(filled) => return Ok(filled),
                Err(Away::Again) => {}
                Err(Away::Lost(lost)) => return Err(Gone::Lost(lost)),
                Err(Away::Stopped(why)) => return Err(Gone::Stopped(why)),
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
        self.ask.say(&sheet.finish());
    }

    /// Shows a paragraph.
    pub(super) fn say(&mut self, words: &str) {
        self.show(|page| {
            page.para(words);
        });
    }

    /// Whether a question fits one line together with its label and room to type.
    pub(super) fn fits(&self, ask: &str, label: &str) -> bool {
        const ROOM: usize = 8;
        ask.width() + label.width() + ROOM < self.screen.width
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
                return Ok(value);
            }
            self.taken.truncate(self.at);
        }
        loop {
            let keys = self.keys;
            let line = self.ask.words(label).map_err(Away::Lost)?;
            let line = clean(&line);
            if line == "<" {
                if self.taken.pop().is_some() {
                    return Err(Away::Again);
                }
                self.say("This is the first line.");
            } else if let Some(word) = line.strip_prefix('?') {
                let lines = help(word.trim());
                self.show(|page| {
                    for line in lines {
                        page.item("  ", &line);
                    }
                    page.item("  ", keys);
                });
            } else {
                match read(&line) {
                    Ok(value) => {
                        self.taken.push(line);
                        self.at += 1;
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

/// A line without what cannot be printed, and without blanks round it.
pub(super) fn clean(line: &str) -> String {
    let line: String = line.chars().map(|c| if unprintable(c) { ' ' } else { c }).collect();
    line.trim().to_owned()
}
