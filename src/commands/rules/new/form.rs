//! The fields of a form about rules: each is explained in a line and asked until it makes sense.

use std::path::{Path, PathBuf};

use super::reading::{Choice, LIKELY, find, good_id, likelihood, listed, one_of};
use crate::commands::form;
pub(super) use crate::commands::form::{Blank, Form, Unfilled};
use crate::rulebook::fields;
use crate::source::quoted;
use crate::stream::paint::Ink;

/// Why nothing came of a form: the person has gone, or the file to be written is there already.
pub(super) type NewLeft = form::FormLeft<PathBuf>;

/// What comes of a field.
pub(super) type FilledIn<T> = form::Filled<T, PathBuf>;

/// What may be typed at every field.
pub(super) const KEYS: &str = "At every line you may type ? for help and a list of what is known, ? and a \
    word to find what has that word in it, and < to go a line back. Ctrl-C leaves, and nothing is written.";

impl Form<'_> {
    /// The name of a field and what it is for.
    pub(super) fn field(&mut self, kind: &str, field: &str, more: &str) {
        let says = fields::says(kind, field).unwrap_or("");
        self.show(|page| {
            page.line(Ink::Plain, "").line(Ink::Strong, &format!("[{field}]"));
            page.para(format!("{says} {more}").trim_end());
        });
    }

    /// A text of at most `most` characters; nothing if it may be left out and is.
    pub(super) fn text(
        &mut self,
        kind: &str,
        field: &str,
        most: usize,
        blank: Blank,
    ) -> FilledIn<Option<String>> {
        let more = if blank == Blank::Refused { "" } else { "Press Enter to leave it out." };
        self.field(kind, field, more);
        self.words(field, most, blank)
    }

    /// A text that must be there.
    pub(super) fn must(&mut self, kind: &str, field: &str, most: usize) -> FilledIn<String> {
        Ok(self.text(kind, field, most, Blank::Refused)?.unwrap_or_default())
    }

    /// A text under a label, not explained.
    pub(super) fn words(
        &mut self,
        label: &str,
        most: usize,
        blank: Blank,
    ) -> FilledIn<Option<String>> {
        self.words_that(label, most, blank, &|_| Ok(()))
    }

    /// The same, of a text that must also be `fit`, or else is answered with what is wrong.
    pub(super) fn words_that(
        &mut self,
        label: &str,
        most: usize,
        blank: Blank,
        fit: &dyn Fn(&str) -> Result<(), String>,
    ) -> FilledIn<Option<String>> {
        let help = |_: &str| vec![format!("A text of at most {most} characters.")];
        self.line(label, &help, &|line| {
            let length = line.chars().count();
            if line.is_empty() && blank == Blank::Refused {
                return Err("This cannot be left out.".to_owned());
            }
            if length > most {
                return Err(format!(
                    "That has {length} characters; {most} fit a small screen. Say it shorter."
                ));
            }
            fit(line)?;
            Ok((!line.is_empty()).then(|| line.to_owned()))
        })
    }

    /// Texts line by line until an empty one.
    pub(super) fn texts(
        &mut self,
        kind: &str,
        field: &str,
        most: usize,
        least: usize,
    ) -> FilledIn<Vec<String>> {
        self.field(kind, field, "One to a line. Press Enter to end.");
        self.texts_that(field, most, least, &|_| Ok(()))
    }

    /// The same, not explained, each of which must also be `fit`.
    pub(super) fn texts_that(
        &mut self,
        field: &str,
        most: usize,
        least: usize,
        fit: &dyn Fn(&str) -> Result<(), String>,
    ) -> FilledIn<Vec<String>> {
        let mut texts = Vec::new();
        loop {
            let label = format!("{field} {}", texts.len() + 1);
            match self.words_that(&label, most, Blank::until(texts.len(), least), fit)? {
                Some(text) => texts.push(text),
                None => return Ok(texts),
            }
        }
    }

    /// A new id that nothing of its kind has, and whose file in this folder is not there yet.
    pub(super) fn id(&mut self, kind: &str, used: &[Choice], folder: &Path) -> FilledIn<String> {
        let id = self.new_id(kind, used)?;
        let path = folder.join(format!("{id}.ron"));
        if path.exists() {
            return Err(Unfilled::Stopped(path));
        }
        Ok(id)
    }

    fn new_id(&mut self, kind: &str, used: &[Choice]) -> FilledIn<String> {
        self.field(kind, "id", "");
        let help = |word: &str| {
            let mut lines = vec!["Small letters, digits and -.".to_owned()];
            lines.extend(listed(used, word, "In use: "));
            lines
        };
        self.line("id", &help, &|line| {
            good_id(line)?;
            if used.iter().any(|known| known.id == line) {
                return Err(format!(
                    "There is a {kind} {line} already. Take another id, or change that one in site.ron."
                ));
            }
            Ok(line.to_owned())
        })
    }

    /// A number of this range; `usual` when the line is empty.
    pub(super) fn number(
        &mut self,
        label: &str,
        range: std::ops::RangeInclusive<f64>,
        usual: Option<f64>,
    ) -> FilledIn<f64> {
        let says = format!("A number from {} to {}.", range.start(), range.end());
        let help = |_: &str| vec![says.clone()];
        self.line(label, &help, &|line| {
            let line = line.replace(',', ".");
            match (line.is_empty(), usual) {
                (true, Some(usual)) => Ok(usual),
                _ => line
                    .parse()
                    .ok()
                    .filter(|number: &f64| range.contains(number))
                    .ok_or_else(|| format!("That is not it. {says}")),
            }
        })
    }

    /// One of some words, by its number or itself; `usual`, a place among them, when the line is empty.
    pub(super) fn word(
        &mut self,
        label: &str,
        words: &[(&str, &str)],
        usual: Option<usize>,
    ) -> FilledIn<usize> {
        self.show(|page| {
            for (number, (word, says)) in words.iter().enumerate() {
                let says =
                    if says.is_empty() { (*word).to_owned() } else { format!("{word}: {says}") };
                page.item(&format!("{:>3}  ", number + 1), &says);
            }
        });
        let help = |_: &str| {
            let words: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
            vec![format!(
                "The number, or the word: {}. {}",
                words.join(", "),
                usual.map_or_else(String::new, |at| format!(
                    "Enter alone: {}.",
                    words.get(at).unwrap_or(&"")
                ))
            )]
        };
        self.line(label, &help, &|line| match (line.is_empty(), usual) {
            (true, Some(usual)) => Ok(usual),
            _ => one_of(line, words.iter().map(|(word, _)| *word)),
        })
    }

    /// One of the things that are known, by its id; nothing when the line is empty and it may be.
    pub(super) fn known(
        &mut self,
        label: &str,
        what: &str,
        known: &[Choice],
        blank: Blank,
    ) -> FilledIn<Option<usize>> {
        let help = |word: &str| listed(known, word, "");
        self.line(label, &help, &|line| {
            if line.is_empty() {
                return if blank == Blank::Refused {
                    Err("This cannot be left out. ? lists what there is, < goes a line back."
                        .to_owned())
                } else {
                    Ok(None)
                };
            }
            find(line, what, known).map(Some)
        })
    }

    /// Things that are known, one to a line, until an empty one.
    pub(super) fn several(
        &mut self,
        label: &str,
        what: &str,
        known: &[Choice],
        least: usize,
    ) -> FilledIn<Vec<usize>> {
        let mut found: Vec<usize> = Vec::new();
        loop {
            let label = format!("{label} {}", found.len() + 1);
            match self.known(&label, what, known, Blank::until(found.len(), least))? {
                None => return Ok(found),
                Some(at) if found.contains(&at) => self.say("That one is there already."),
                Some(at) => found.push(at),
            }
        }
    }

    /// A likelihood in the words of the file.
    pub(super) fn likelihood(&mut self, label: &str) -> FilledIn<String> {
        let help = |_: &str| vec![LIKELY.to_owned()];
        self.line(label, &help, &|line| likelihood(line))
    }

    /// A row: favoured answers with their likelihoods, one to a line, until an empty one.
    pub(super) fn row(&mut self, answers: &[Choice]) -> FilledIn<Vec<(String, String)>> {
        self.show(|page| {
            for (number, answer) in answers.iter().enumerate() {
                let lead = format!("{:>3}  ", number + 1);
                page.item(&lead, &format!("{}: {}", answer.id, answer.name));
            }
        });
        let mut row: Vec<(String, String)> = Vec::new();
        loop {
            let help = |_: &str| {
                vec![
                    "An answer's number or id and how likely it is, such as: 1 usually. Answers not \
                     named share what is left. Press Enter to end."
                        .to_owned(),
                    LIKELY.to_owned(),
                ]
            };
            let ids = || answers.iter().map(|answer| answer.id.as_str());
            let used: Vec<String> = row.iter().map(|(id, _)| id.clone()).collect();
            let given = self.line("answer and how likely", &help, &|line| {
                if line.is_empty() {
                    return Ok(None);
                }
                let Some((answer, likely)) = line.split_once(char::is_whitespace) else {
                    return Err(
                        "Type the answer's number or id, a blank, and how likely it is: 1 usually."
                            .to_owned(),
                    );
                };
                let at = one_of(answer, ids())?;
                let id = ids().nth(at).unwrap_or("").to_owned();
                if used.contains(&id) {
                    return Err(format!("{id} has its likelihood already."));
                }
                Ok(Some((id, likelihood(likely.trim())?)))
            })?;
            match given {
                Some(pair) => row.push(pair),
                None => return Ok(row),
            }
        }
    }

    /// Where something comes from, in the words of the file.
    pub(super) fn source(&mut self, kind: &str, sources: &[Choice]) -> FilledIn<String> {
        self.field(kind, "source", "");
        self.source_mark(sources)
    }

    /// The same, not explained.
    pub(super) fn source_mark(&mut self, sources: &[Choice]) -> FilledIn<String> {
        const MARKS: &[(&str, &str)] = &[
            ("Published", "in one of the book's sources, with the place in it"),
            ("CommonPractice", "what the trade does and nobody needs to cite"),
            ("Memory", "believed, but not looked up"),
            ("Derived", "follows from something else"),
        ];
        Ok(match self.word("source", MARKS, None)? {
            0 => {
                let at = self.known("which source", "source", sources, Blank::Refused)?;
                let id = at.and_then(|at| sources.get(at)).map_or("", |s| &s.id);
                let place = self.words("place in it", 60, Blank::Refused)?.unwrap_or_default();
                format!("Published({}, {})", quoted(id), quoted(&place))
            }
            1 => "CommonPractice".to_owned(),
            2 => "Memory".to_owned(),
            _ => {
                let from = self.words("from what", 240, Blank::Refused)?.unwrap_or_default();
                format!("Derived({})", quoted(&from))
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::reading::row_text;
    use super::*;
    use crate::ask::{Lost, Script};
    use crate::show::page::Screen;
    use crate::stream::paint::Paint;

    fn form(ask: &mut Script) -> Form<'_> {
        Form::new(ask, Screen::new(80, Paint::NONE), KEYS)
    }

    fn known() -> Vec<Choice> {
        let known = |id: &str| Choice { id: id.to_owned(), name: format!("the {id}") };
        vec![known("caked-roll"), known("stuck-roll")]
    }

    #[test]
    fn a_line_back_asks_the_field_before_again() {
        let mut ask = Script::new(["one", "<", "uno", "two"]);
        let filled = form(&mut ask).fill(|form| {
            let first = form.words("first", 20, Blank::Refused)?;
            let second = form.words("second", 20, Blank::Refused)?;
            Ok((first, second))
        });
        let expected = (Some("uno".to_owned()), Some("two".to_owned()));
        assert_eq!(filled.ok(), Some(expected));
        assert_eq!(ask.seen, "first: one\nsecond: <\nfirst: uno\nsecond: two\n");
    }

    #[test]
    fn slips_are_met_with_what_was_meant() {
        let mut ask = Script::new(["stukc-roll", "?stuck", "Stuck-Roll"]);
        let found =
            form(&mut ask).fill(|form| form.known("symptom", "symptom", &known(), Blank::Refused));
        assert_eq!(found.ok(), Some(Some(1)));
        assert!(ask.seen.contains("Did you mean stuck-roll?"), "{}", ask.seen);
        assert!(ask.seen.contains("stuck-roll: the stuck-roll"), "{}", ask.seen);
        let mut ask =
            Script::new(["1 oftn", "2 often", "stuck-roll 0,3", "1 1.5", "caked-roll never", ""]);
        let row = form(&mut ask).fill(|form| form.row(&known())).expect("a row");
        assert_eq!(row_text(&row), "[(\"stuck-roll\", Often), (\"caked-roll\", Never)]");
        assert!(ask.seen.contains("Did you mean Often?"), "{}", ask.seen);
        assert!(ask.seen.contains("has its likelihood already"), "{}", ask.seen);
    }

    #[test]
    fn ids_are_well_formed_and_new() {
        let mut ask = Script::new(["", "Bark strings!", "caked-roll", "bark-strings"]);
        let id = form(&mut ask).fill(|form| form.new_id("symptom", &known()));
        assert_eq!(id.ok().as_deref(), Some("bark-strings"));
        assert!(ask.seen.contains("bark-strings?"), "{}", ask.seen);
        assert!(ask.seen.contains("There is a symptom caked-roll already"));
    }

    #[test]
    fn whoever_goes_away_is_told_apart_from_an_empty_line() {
        let mut ask = Script::new([""]);
        let gone = form(&mut ask).fill(|form| {
            form.words("may be left out", 9, Blank::Allowed)?;
            form.words("second", 9, Blank::Allowed)
        });
        assert_eq!(gone.err(), Some(NewLeft::Lost(Lost::EndOfInput)));
    }
}
