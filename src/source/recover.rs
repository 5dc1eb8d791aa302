//! Reads an entry in spite of slips: what is wrong is told, put right or taken out, and the rest is read on, so that four
//! slips in one entry are four problems, and none of them hides another.

use std::collections::BTreeSet;
use std::rc::Rc;

use serde::Deserialize;

use super::around::{Part, field_name, part_round, places_of};
use super::hints;
use super::lexer::{Kind, Token, tokens};
use super::mended::Mended;
use super::misread::{Misread, NO_LIST, NO_OPENING, NO_WORD, What};
use super::reading::{Back, Reading, expected, read};
use super::slip::Slip;
use super::{FileId, Span};

/// No more slips of one entry are told of, and no more rounds made to find them.
const MOST: usize = 40;
/// So many rounds over commas, quotes and brackets: putting one right may show the next.
const ROUNDS: usize = 6;
/// A text with more wrong signs than this is no rule file.
const MOST_MENDS: usize = 200;
/// The calls that take a list of answers with their likelihoods.
const WITH_ANSWERS: &[&str] = &["Shows", "Reaches", "Marks"];

/// What could be read of an entry.
pub(super) struct Recovered<T> {
    pub(super) value: Option<T>,
    pub(super) slips: Vec<Slip>,
    /// Whether something in it stands for what its author left out or wrote in a way that says nothing.
    pub(super) guessed: bool,
}

/// Reads an entry that was refused once, slip by slip. `outer` leads from a place in `text` to that in the file.
pub(super) fn recover<T: for<'de> Deserialize<'de>>(
    file: FileId,
    text: &str,
    outer: Back,
) -> Recovered<T> {
    let mut work = Work {
        file,
        mended: Mended::new(text),
        outer,
        slips: Vec::new(),
        gone: BTreeSet::new(),
        strange: Vec::new(),
        guessed: false,
        told: BTreeSet::new(),
    };
    let whole = work.signs();
    let signs = work.slips.len();
    // Where a bracket or quote was put in, it may be at the wrong place.
    let sore = work.slips.iter().any(Slip::is_sore);
    let mut value = None;
    for _ in 0..if whole { MOST } else { 0 } {
        match work.attempt::<T>() {
            Ok(read) => {
                value = Some(read);
                break;
            }
            Err(refused) => {
                if !work.mend::<T>(&refused) {
                    break;
                }
            }
        }
    }
    if work.slips.is_empty()
        && let Err(refused) = work.attempt::<T>()
    {
        work.tell(refused.misread);
    }
    if sore && work.slips.len() > signs + FEW {
        work.slips.truncate(signs);
        value = None;
    }
    Recovered { value, slips: work.slips, guessed: work.guessed }
}

/// More slips than this behind a bracket that was put in are of its making.
pub(super) const FEW: usize = 3;

/// Puts right what is wrong with commas, quotes and brackets; gives back what it told of. Whether all of it could be
/// put right comes with it.
pub(super) fn signs(mended: &mut Mended, tell: &mut dyn FnMut(&Mended, hints::Told)) -> bool {
    for round in 0..ROUNDS {
        let mut found = hints::slips(mended.text());
        let few = found.len() <= MOST_MENDS;
        found.truncate(MOST_MENDS);
        let at_once = found.iter().filter(|h| h.mend.as_ref().is_none_or(|m| !m.only_there));
        let mut told = hints::together(at_once.cloned().collect());
        if told.is_empty() {
            return true;
        }
        // Words in a row without commas are a text without its quotes, and much that comes up behind a mend is its doing.
        let prose = hints::run_of_words(mended.text(), &found);
        if round > 0 && (prose.is_some() || told.len() > 2) {
            return false;
        }
        if let Some(prose) = prose {
            told.truncate(1);
            told.iter_mut().for_each(|told| told.hints = vec![prose.clone()]);
        }
        let mut all = few;
        let mut mends = Vec::new();
        for told in told {
            for hint in &told.hints {
                match &hint.mend {
                    Some(mend) => mends.push(mend.clone()),
                    None => all = false,
                }
            }
            tell(mended, told);
        }
        if !few {
            return false;
        }
        // From the back, so that what stands before keeps its place.
        mends.sort_by_key(|mend| std::cmp::Reverse(mend.at));
        if !mends.iter().fold(all, |all, mend| mended.put(mend.at, &mend.put) && all) {
            return false;
        }
    }
    hints::slips(mended.text()).iter().all(|h| h.mend.as_ref().is_some_and(|m| m.only_there))
}

struct Work {
    file: FileId,
    mended: Mended,
    outer: Back,
    slips: Vec<Slip>,
    /// Fields that were taken out because of what stood in them.
    gone: BTreeSet<String>,
    /// Names of fields that are none.
    strange: Vec<String>,
    guessed: bool,
    /// The places in the file that were told of.
    told: BTreeSet<u32>,
}

/// Why an attempt was refused, its place counted in the mended text, and the words one of which was expected.
struct Refusal {
    misread: Misread,
    words: &'static [&'static str],
}

impl Refusal {
    fn at(&self) -> usize {
        self.misread.span.start as usize
    }
}

impl Work {
    /// The commas, quotes and brackets first. Whether reading on makes sense after them.
    fn signs(&mut self) -> bool {
        let (file, outer) = (self.file, Rc::clone(&self.outer));
        let mut found = Vec::new();
        let whole = signs(&mut self.mended, &mut |mended, told| {
            found.push(Slip::guess(file, told, &|at| outer(mended.back(at))));
        });
        if !whole {
            // What follows the first slip may be of its making.
            found.truncate(1);
        }
        self.slips = found;
        whole
    }

    fn attempt<T: for<'de> Deserialize<'de>>(&self) -> Result<T, Refusal> {
        let (mended, outer) = (self.mended.clone(), Rc::clone(&self.outer));
        let text = self.mended.text();
        let _reading = Reading::mended(self.file, text, Rc::new(move |at| outer(mended.back(at))));
        read(self.file, text, 0).map_err(|misread| Refusal { misread, words: expected() })
    }

    fn span(&self, at: (usize, usize)) -> Span {
        let back = |at| (self.outer)(self.mended.back(at));
        Span::new(self.file, back(at.0), back(at.1))
    }

    /// Tells of a refusal whose place counts in the mended text.
    fn tell(&mut self, misread: Misread) {
        let span = misread.span;
        let span = self.span((span.start as usize, span.end as usize));
        // What is wrong in a second way at the same place is told of when the first is mended.
        let lacks = matches!(misread.what, What::MissingField(_));
        if lacks || self.told.insert(span.start) {
            self.slips.push(Slip::Entry(Misread { span, ..misread }));
        }
    }

    fn tell_at(&mut self, at: (usize, usize), says: String) {
        let span = self.span(at);
        self.told.insert(span.start);
        self.slips.push(Slip::Entry(Misread { span, what: What::Expected(says) }));
    }

    /// Tells of what was refused, and puts it right or takes it out. Whether the text is another now.
    fn mend<T: for<'de> Deserialize<'de>>(&mut self, refused: &Refusal) -> bool {
        let at = refused.at();
        let there = hints::slips(self.mended.text()).into_iter().find(|hint| {
            hint.mend.as_ref().is_some_and(|m| m.only_there)
                && (hint.at.0..=hint.at.1 + 1).contains(&at)
        });
        if let Some(hint) = there
            && let Some(mend) = hint.mend.clone()
        {
            let told = hints::Told { hints: vec![hint] };
            let (file, outer) = (self.file, Rc::clone(&self.outer));
            let back = |at| outer(self.mended.back(at));
            self.slips.push(Slip::guess(file, told, &back));
            return self.mended.put(mend.at, &mend.put);
        }
        match &refused.misread.what {
            What::UnknownField(found, known) => {
                self.tell(refused.misread.clone());
                let meant = nearest(found, known);
                let there = meant.is_some_and(|meant| {
                    places_of(self.mended.text(), at).iter().any(|name| name == meant)
                });
                match meant {
                    Some(meant) if !there => self.mended.put((at, at + found.len()), meant),
                    _ => {
                        // Perhaps it was meant for one that will be missing.
                        self.strange.push(found.clone());
                        self.take_out(at, 0)
                    }
                }
            }
            What::UnknownWord(found, known) => {
                self.tell(refused.misread.clone());
                match nearest(found, known) {
                    Some(meant) => self.mended.put((at, at + found.len()), meant),
                    None => self.take_out(at, 0),
                }
            }
            What::MissingField(name) => {
                let meant = self
                    .strange
                    .iter()
                    .any(|strange| strsim::osa_distance(strange, name) <= 2.max(name.len() / 2));
                if !meant && !self.gone.contains(name) {
                    self.tell(refused.misread.clone());
                }
                self.stand_in::<T>(at, name)
            }
            What::TwiceField(_) => {
                self.tell(refused.misread.clone());
                self.take_out(at, 0)
            }
            What::TooDeep => {
                self.tell(refused.misread.clone());
                false
            }
            What::Expected(says) | What::Syntax(says) => {
                let says = says.clone();
                self.expected(refused, &says)
            }
        }
    }

    /// Something else stands where a word, a list or a bracket belongs.
    fn expected(&mut self, refused: &Refusal, says: &str) -> bool {
        let at = refused.at();
        let tokens = tokens(self.mended.text());
        let Some(token) = tokens.iter().find(|token| token.end > at).copied() else {
            self.tell(refused.misread.clone());
            return false;
        };
        let here = (token.start, token.end);
        let text = self.mended.text().get(here.0..here.1).unwrap_or("").to_owned();
        let call = call_round(self.mended.text(), &tokens, at);
        let with_answers = call.as_deref().filter(|call| WITH_ANSWERS.contains(call));
        let no_word = says == NO_WORD || says.ends_with("cannot stand here");
        if no_word && token.kind == Kind::Number {
            let word = ["Often", "Common"].into_iter().find(|word| refused.words.contains(word));
            if let Some(word) = word.filter(|_| refused.words.contains(&"Chance")) {
                let says =
                    format!("a number is written Chance({text}); the words are such as {word}");
                self.tell_at(here, says);
                return self.mended.put(here, &format!("Chance({text})"));
            }
        }
        let inside = text.trim_matches('"');
        // Words begin with a capital; a small letter would be the name of a field.
        let is_word = inside.starts_with(|c: char| c.is_ascii_uppercase())
            && inside.chars().all(|c| c.is_ascii_alphanumeric() || c == '_');
        if no_word && token.kind == Kind::Text && is_word {
            self.tell_at(here, format!("words stand without quotes: write {inside}"));
            return self.mended.put(here, inside);
        }
        if says == NO_LIST {
            if let (Some(call), Kind::Word) = (with_answers, token.kind) {
                let says = format!(
                    "{call} names answers, each with its likelihood: [(\"answer\", {text})]"
                );
                self.tell_at(here, says);
                return self.take_out(at, 1);
            }
            let whole = part_round(self.mended.text(), at, 0).map_or(here, |part| part.value);
            let says = "a list is expected here: write [ before it and ] after it".to_owned();
            self.tell_at(here, says);
            return whole.0 >= here.0
                && self.mended.put((whole.1, whole.1), "]")
                && self.mended.put((here.0, here.0), "[");
        }
        if let (Some(call), true) = (with_answers, says == NO_OPENING) {
            let says = format!(
                "each answer of {call} stands in ( ) with its likelihood: [(\"answer\", Often)]"
            );
            self.tell_at(here, says);
            return self.take_out(at, 1);
        }
        self.tell(refused.misread.clone());
        if says.starts_with("a text in double quotes") && token.kind == Kind::Word {
            return self.mended.put(here, &format!("\"{text}\""));
        }
        self.take_out(at, 0)
    }

    /// Takes out the item of a list, or the field, in which a place lies: `outer` of them further out.
    fn take_out(&mut self, at: usize, outer: usize) -> bool {
        let Some(Part { whole, .. }) = part_round(self.mended.text(), at, outer) else {
            return false;
        };
        if let Some(name) = field_name(self.mended.text(), whole) {
            self.gone.insert(name);
        }
        self.guessed = true;
        self.mended.put(whole, "")
    }

    /// Puts something in the place of a field that is missing, so that the rest is read. `at` is the bracket in which
    /// it is missing.
    fn stand_in<T: for<'de> Deserialize<'de>>(&mut self, at: usize, name: &str) -> bool {
        let tokens = tokens(self.mended.text());
        let Some((end, after_comma)) = closing_of(&tokens, at) else { return false };
        let comma = if after_comma { "" } else { ", " };
        self.guessed = true;
        let before = self.mended.clone();
        let mut words: Vec<String> =
            ["\"x\"", "[]", "1.0", "1", "Zz"].iter().map(|&w| w.to_owned()).collect();
        while let Some(word) = words.pop() {
            let put = format!("{comma}{name}: {word}");
            self.mended = before.clone();
            if !self.mended.put((end, end), &put) {
                return false;
            }
            match self.attempt::<T>() {
                Ok(_) => return true,
                Err(refused) => {
                    // ron may stand one bracket behind it.
                    let inside = (end..=end + put.len() + 1).contains(&refused.at());
                    if !inside
                        && !matches!(&refused.misread.what, What::MissingField(n) if n == name)
                    {
                        return true;
                    }
                    // The words that may stand there are tried as well, once.
                    if let (What::UnknownWord(found, known), true) =
                        (&refused.misread.what, word == "Zz")
                        && found == "Zz"
                    {
                        words.extend(known.iter().rev().map(|&known| known.to_owned()));
                    }
                }
            }
        }
        self.mended = before;
        false
    }
}

/// The closing bracket of the one at `at`, and whether a comma or the opening one stands before it.
fn closing_of(tokens: &[Token], at: usize) -> Option<(usize, bool)> {
    let mut depth = 0_usize;
    let mut before = None;
    for token in tokens.iter().filter(|token| token.start >= at) {
        match token.kind {
            Kind::Open(_) => depth += 1,
            Kind::Close(_) => {
                depth = depth.checked_sub(1)?;
                if depth == 0 {
                    let free = matches!(before, Some(Kind::Comma | Kind::Open(_)));
                    return Some((token.start, free));
                }
            }
            _ => {}
        }
        before = Some(token.kind);
    }
    None
}

/// The word before the innermost bracket round a place that has one, lists left out: `Sees` in `Sees("x", 0.9)`.
fn call_round(text: &str, tokens: &[Token], at: usize) -> Option<String> {
    let mut open: Vec<Option<&Token>> = Vec::new();
    let mut before: Option<&Token> = None;
    for token in tokens.iter().take_while(|token| token.start < at) {
        match token.kind {
            Kind::Open(_) => open.push(before.filter(|before| before.kind == Kind::Word)),
            Kind::Close(_) => {
                open.pop();
            }
            _ => {}
        }
        before = Some(token);
    }
    let word = open.into_iter().rev().flatten().next()?;
    text.get(word.start..word.end).map(str::to_owned)
}

/// The known name that was probably meant.
fn nearest(found: &str, known: &'static [&'static str]) -> Option<&'static str> {
    let near_enough = 1.max(found.chars().count() / 3);
    known
        .iter()
        .map(|name| (strsim::osa_distance(&found.to_lowercase(), &name.to_lowercase()), *name))
        .filter(|(distance, _)| *distance <= near_enough)
        .min()
        .map(|(_, name)| name)
}
