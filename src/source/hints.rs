//! What is probably wrong with a text that ron refuses. A guess beside ron's own words: it runs only
//! after a refusal, and knows brackets, quotes and commas, not fields.

use super::hint::Hint;
use super::lexer::{Kind, Lexer, Token, closer};

/// At most so many guesses are given.
const MOST: usize = 3;

/// The guesses for a text, most telling first.
pub fn hints(text: &str) -> Vec<Hint> {
    let mut found = slips(text);
    found.truncate(MOST);
    found
}

/// All of them, in the order of the text.
pub(super) fn slips(text: &str) -> Vec<Hint> {
    if text.trim().is_empty() {
        return vec![Hint::new((0, 0), "the file is empty")];
    }
    let (tokens, mut found) = Lexer::new(text).run();
    // A text without its closing quote turns everything after it inside out: say that alone.
    if let Some(open) = found.iter().find(|hint| hint.says.starts_with("this text has no closing"))
    {
        return vec![open.clone()];
    }
    found.extend(neighbours(text, &tokens));
    found.extend(brackets(&tokens));
    found.sort_by_key(|hint| hint.at);
    found
}

/// Hints that are told of as one: the same wrong sign in many places was mostly one slip of an editor.
#[derive(Debug, Clone)]
pub(super) struct Told {
    pub(super) hints: Vec<Hint>,
}

/// Puts together what is told of as one.
pub(super) fn together(found: Vec<Hint>) -> Vec<Told> {
    let mut all: Vec<Told> = Vec::new();
    for hint in found {
        // Where a single sign is another one than it should be.
        let sign =
            hint.mend.as_ref().is_some_and(|mend| mend.at == hint.at && hint.at.1 <= hint.at.0 + 3);
        let same =
            |told: &&mut Told| told.hints.first().is_some_and(|first| first.says == hint.says);
        match all.iter_mut().find(same).filter(|_| sign) {
            Some(told) => told.hints.push(hint),
            None => all.push(Told { hints: vec![hint] }),
        }
    }
    all
}

/// So many words in a row, without commas between them, are no slip of commas.
const RUN: usize = 3;

/// Where words stand in a row as if they were a text, if they do: its quotes are wrong.
pub(super) fn run_of_words(text: &str, found: &[Hint]) -> Option<Hint> {
    let commas: Vec<&Hint> = found.iter().filter(|hint| hint.says.starts_with("a comma")).collect();
    commas.windows(RUN - 1).find_map(|run| {
        let (first, last) = (run.first()?, run.last()?);
        let between = text.get(first.at.0..last.at.1)?;
        let words = between.chars().all(|c| !matches!(c, '\n' | '(' | ')' | '[' | ']' | ':' | '"'));
        words.then(|| {
            Hint::new(
                (first.at.0, last.at.1),
                "this text has no quotes round it, or one too many before it",
            )
        })
    })
}

/// Missing commas, decimal commas, field names in quotes: seen by what stands beside what.
fn neighbours(text: &str, tokens: &[Token]) -> Vec<Hint> {
    let mut hints = Vec::new();
    let mut inside = Vec::new();
    for (at, pair) in tokens.windows(2).enumerate() {
        let [one, two] = pair else { continue };
        match one.kind {
            Kind::Open(sign) => inside.push(sign),
            Kind::Close(_) => {
                inside.pop();
            }
            _ => {}
        }
        let ends = matches!(one.kind, Kind::Text | Kind::Number | Kind::Word | Kind::Close(_));
        let begins = matches!(two.kind, Kind::Text | Kind::Number | Kind::Word | Kind::Open(_));
        let calls = one.kind == Kind::Word && matches!(two.kind, Kind::Open(_));
        // A quote inside a text ends it too early.
        let cut = one.end == two.start
            && matches!((one.kind, two.kind), (Kind::Text, Kind::Word) | (Kind::Word, Kind::Text));
        if cut && one.kind == Kind::Text {
            let says = "a quote inside a text is written \\\", or use single quotes there";
            hints.push(Hint::new((one.end - 1, one.end), says));
        } else if ends && begins && !calls && !cut {
            let hint = Hint::new((one.start, one.end), "a comma is missing after this");
            hints.push(hint.mend((one.end, one.end), ","));
        }
        let three = tokens.get(at + 2);
        let before = at.checked_sub(1).and_then(|at| tokens.get(at));
        let called =
            at.checked_sub(2).and_then(|at| tokens.get(at)).is_some_and(|t| t.kind == Kind::Word);
        // `minutes: 60,0` and `Chance(0,35)`.
        let single =
            before.is_some_and(|t| t.kind == Kind::Colon || (called && t.kind == Kind::Open(b'(')));
        if one.kind == Kind::Number
            && two.kind == Kind::Comma
            && single
            && let Some(three) = three
            && three.kind == Kind::Number
            && three.start == one.end + 1
        {
            let says = "write a decimal point, not a decimal comma";
            let hint = Hint::new((one.start, three.end), says);
            hints.push(hint.mend_there((two.start, two.end), "."));
        }
        // Ids in { } do have quotes.
        if one.kind == Kind::Text && two.kind == Kind::Colon && inside.last() != Some(&b'{') {
            let name = text.get(one.start..one.end).unwrap_or("");
            let name = name.trim_matches('"');
            let says = format!("field names stand without quotes: {name}");
            hints.push(Hint::new((one.start, one.end), says).mend((one.start, one.end), name));
        }
        if matches!(one.kind, Kind::Comma) && two.kind == Kind::Comma {
            let at = (two.start, two.end);
            hints.push(Hint::new(at, "one comma too many").mend(at, ""));
        }
    }
    hints
}

/// A bracket that is open.
struct Opened {
    sign: u8,
    at: (usize, usize),
    /// Whether what stands in it has names, once its first part is seen.
    named: Option<bool>,
    /// The last comma of its own.
    comma: Option<(usize, usize)>,
}

/// Brackets that are never closed, or closed by the wrong one.
fn brackets(tokens: &[Token]) -> Vec<Hint> {
    let mut open: Vec<Opened> = Vec::new();
    let mut hints = Vec::new();
    let mut begins = true;
    for (number, token) in tokens.iter().enumerate() {
        let part = !matches!(token.kind, Kind::Close(_) | Kind::Comma);
        if begins && part && !follows_a_decimal_comma(tokens, number) {
            let next = tokens.get(number + 1).map(|next| next.kind);
            let named = matches!(token.kind, Kind::Word | Kind::Text)
                && matches!(next, Some(Kind::Colon | Kind::Equals));
            begins_inside(named, token, &mut open, &mut hints);
        }
        begins = matches!(token.kind, Kind::Open(_) | Kind::Comma);
        match token.kind {
            Kind::Open(sign) => {
                open.push(Opened { sign, at: (token.start, token.end), named: None, comma: None });
            }
            Kind::Comma => {
                if let Some(last) = open.last_mut() {
                    last.comma = Some((token.start, token.end));
                }
            }
            Kind::Close(sign) => closes(sign, token, &mut open, &mut hints),
            _ => {}
        }
    }
    if hints.is_empty()
        && let Some(last) = open.last()
    {
        let end = tokens.last().map_or(0, |token| token.end);
        let closers: String = open.iter().rev().map(|o| closer(o.sign) as char).collect();
        let says = format!("this `{}` is never closed", last.sign as char);
        hints.push(Hint::new(last.at, says).mend((end, end), closers));
    }
    hints
}

/// Whether it is what stands behind the comma of `60,0`: that begins no part of its own.
fn follows_a_decimal_comma(tokens: &[Token], number: usize) -> bool {
    let Some([whole, comma, part]) =
        number.checked_sub(2).and_then(|from| tokens.get(from..=number))
    else {
        return false;
    };
    (whole.kind, comma.kind, part.kind) == (Kind::Number, Kind::Comma, Kind::Number)
        && whole.end == comma.start
        && comma.end == part.start
}

/// A part begins. Fields have names in some brackets and none in others: a part of the other sort belongs further out,
/// so a closing bracket is missing before it.
fn begins_inside(named: bool, token: &Token, open: &mut Vec<Opened>, hints: &mut Vec<Hint>) {
    while let Some(last) = open.last_mut().filter(|last| last.sign != b'{') {
        let fits = match (last.sign, last.named) {
            (b'[', _) => !named,
            (_, Some(known)) => named == known,
            (_, None) => true,
        };
        let Some(comma) = last.comma.filter(|_| !fits) else {
            last.named = last.named.or(Some(named));
            return;
        };
        let (sign, at) = (last.sign, last.at);
        open.pop();
        if !open.iter().any(|outer| outer.named != Some(!named) || outer.sign == b'[') {
            return;
        }
        hints.push(Hint {
            also: Some((
                (token.start, token.end),
                format!("a `{}` is missing before this", closer(sign) as char),
            )),
            ..Hint::new(at, still_open(sign)).mend((comma.0, comma.0), closing(sign))
        });
        if let Some(outer) = open.last_mut() {
            outer.comma = Some(comma);
        }
    }
}

/// A bracket closes: the last one that is open, or one further out.
fn closes(sign: u8, token: &Token, open: &mut Vec<Opened>, hints: &mut Vec<Hint>) {
    let here = (token.start, token.end);
    let Some(last) = open.last() else {
        hints.push(Hint::new(here, "this bracket closes nothing").mend(here, ""));
        return;
    };
    if closer(last.sign) == sign {
        open.pop();
        return;
    }
    let fits = open.iter().rposition(|outer| closer(outer.sign) == sign);
    let missing: String = (open.iter().skip(fits.map_or(open.len(), |fits| fits + 1)).rev())
        .map(|inner| closer(inner.sign) as char)
        .collect();
    // Whichever of the two is wrong: both places are shown.
    let hint = Hint {
        also: Some((here, format!("where this `{}` closes", sign as char))),
        ..Hint::new(last.at, still_open(last.sign))
    };
    hints.push(match fits {
        Some(_) => hint.mend((token.start, token.start), missing),
        // Nothing that is open fits: it is the wrong one of the two.
        None => hint.mend(here, closing(last.sign)),
    });
    open.truncate(fits.unwrap_or(open.len().saturating_sub(1)));
}

fn still_open(sign: u8) -> String {
    format!("this `{}` is still open", sign as char)
}

fn closing(sign: u8) -> String {
    (closer(sign) as char).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn first(text: &str) -> (usize, usize, String) {
        let hints = hints(text);
        let hint = hints.first().unwrap_or_else(|| panic!("no hint for {text}"));
        let mut texts = crate::source::Texts::default();
        let file = texts.add("x", text.to_owned());
        let span = crate::source::Span::new(file, hint.at.0, hint.at.1);
        let at = texts.place(span).at.expect("a place in it");
        (at.line, at.column, hint.says.clone())
    }

    #[test]
    fn the_usual_slips_are_named_where_they_are() {
        let says = |line, column, words: &str| (line, column, words.to_owned());
        assert_eq!(first("[(id: \"a\" name: \"b\")]"), says(1, 7, "a comma is missing after this"));
        assert_eq!(
            first("[\n(id: \"a\")\n(id: \"b\")]"),
            says(2, 9, "a comma is missing after this")
        );
        assert_eq!(
            first("[(id: \"a,\n name: \"b\")]"),
            says(1, 7, "this text has no closing \" on its line")
        );
        assert_eq!(
            first("[(id: \u{201c}a\u{201d})]"),
            says(1, 7, "curly quote; use the plain \" character")
        );
        assert_eq!(first("[(n: 60,0)]"), says(1, 6, "write a decimal point, not a decimal comma"));
        assert_eq!(
            first("[(n: Chance(0,35))]"),
            says(1, 13, "write a decimal point, not a decimal comma")
        );
        assert_eq!(first("# x\n[]"), says(1, 1, "comments start with //, not #"));
        assert_eq!(
            first("[(id = \"a\")]"),
            says(1, 6, "write `:` between a field and its value, not `=`")
        );
        assert_eq!(first("[(id: \"a\"]"), says(1, 2, "this `(` is still open"));
        assert_eq!(first("[(id: \"a\"),"), says(1, 1, "this `[` is never closed"));
        assert_eq!(first("[(\"id\": \"a\")]"), says(1, 3, "field names stand without quotes: id"));
        assert_eq!(first("(answers: {\"a\": \"b\"}"), says(1, 1, "this `(` is never closed"));
        assert_eq!(first(" \n"), says(1, 1, "the file is empty"));
        assert_eq!(first("[]]"), says(1, 3, "this bracket closes nothing"));
        assert_eq!(first("/* x"), says(1, 1, "this comment has no closing */"));
    }

    #[test]
    fn a_good_text_gives_no_hint() {
        let text = "// c\n[(id: \"a\\\"b\", n: -1.5e3, w: Chance(0.35), l: [(\"x\", Often), (\"y\", 1)], r: r#\"a\"b\"#), /* d /* e */ */ Item(id: \"c\"),]";
        assert_eq!(hints(text), []);
    }
}
