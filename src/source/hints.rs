//! What is probably wrong with a text that ron refuses. A guess beside ron's own words: it runs only
//! after a refusal, and knows brackets, quotes and commas, not fields.

use super::hint::Hint;
use super::lexer::{Kind, Lexer, Token, closer};

/// At most so many guesses are given.
const MOST: usize = 3;

/// The guesses for a text, most telling first.
pub fn hints(text: &str) -> Vec<Hint> {
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
    found.truncate(MOST);
    found
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
        if ends && begins && !calls {
            hints.push(Hint::new((one.start, one.end), "a comma is missing after this"));
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
            hints.push(Hint::new(
                (one.start, three.end),
                "write a decimal point, not a decimal comma",
            ));
        }
        // Ids in { } do have quotes.
        if one.kind == Kind::Text && two.kind == Kind::Colon && inside.last() != Some(&b'{') {
            let name = text.get(one.start..one.end).unwrap_or("");
            hints.push(Hint::new(
                (one.start, one.end),
                format!("field names stand without quotes: {}", name.trim_matches('"')),
            ));
        }
        if matches!(one.kind, Kind::Comma) && two.kind == Kind::Comma {
            hints.push(Hint::new((two.start, two.end), "one comma too many"));
        }
    }
    hints
}

/// Brackets that are never closed, or closed by the wrong one.
fn brackets(tokens: &[Token]) -> Vec<Hint> {
    let mut open: Vec<(u8, (usize, usize))> = Vec::new();
    let mut hints = Vec::new();
    for token in tokens {
        match token.kind {
            Kind::Open(sign) => open.push((sign, (token.start, token.end))),
            Kind::Close(sign) => match open.last() {
                Some(&(opener, _)) if closer(opener) == sign => {
                    open.pop();
                }
                Some(&(opener, at)) => {
                    // Whichever of the two is wrong: both places are shown.
                    hints.push(Hint {
                        at,
                        says: format!("this `{}` is still open", opener as char),
                        also: Some((
                            (token.start, token.end),
                            format!("where this `{}` closes", sign as char),
                        )),
                    });
                    let fits = open.iter().rposition(|&(opener, _)| closer(opener) == sign);
                    open.truncate(fits.unwrap_or(open.len()));
                }
                None => {
                    hints.push(Hint::new((token.start, token.end), "this bracket closes nothing"));
                }
            },
            _ => {}
        }
    }
    if hints.is_empty()
        && let Some((sign, at)) = open.last()
    {
        hints.push(Hint::new(*at, format!("this `{}` is never closed", *sign as char)));
    }
    hints
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
