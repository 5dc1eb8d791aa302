//! The parts of a RON text: brackets, texts, numbers, words. For hints, fingerprints and the true
//! extent of a value; ron itself reads the rules.

use super::hint::Hint;

/// The same text without comments, and with single blanks between its parts outside quotes:
/// what a fingerprint of an entry is taken of.
pub(crate) fn bare(text: &str) -> String {
    let (tokens, _) = Lexer::new(text).run();
    let parts: Vec<&str> = tokens.iter().map(|t| text.get(t.start..t.end).unwrap_or("")).collect();
    parts.join(" ")
}

/// The bytes of a value within `text`: what stands before and after it is blanks and comments.
pub(super) fn extent(text: &str) -> (usize, usize) {
    let closed = !text.ends_with(char::is_whitespace) && !text.ends_with("*/");
    if closed && !text.starts_with(|c: char| c == '/' || c.is_whitespace()) {
        return (0, text.len());
    }
    let mut lexer = Lexer::new(text);
    let Some(first) = lexer.token() else {
        return (0, text.len());
    };
    let mut end = first.end;
    while let Some(token) = lexer.token() {
        end = token.end;
    }
    (first.start, end)
}

/// The items of a list in `[ ]`, if the text is one and its brackets fit. An item may still be anything.
pub(super) fn items(text: &str) -> Option<Vec<(usize, usize)>> {
    let mut lexer = Lexer::new(text);
    let mut open = Vec::new();
    let mut items = Vec::new();
    let mut item: Option<(usize, usize)> = None;
    // Lines for editors, such as `#![type = "..."]`, may stand before the list.
    let mut attribute = false;
    while let Some(token) = lexer.token() {
        match token.kind {
            Kind::Open(sign) => open.push(sign),
            Kind::Close(sign) if open.pop().map(closer) != Some(sign) => return None,
            _ => {}
        }
        match (token.kind, open.len()) {
            // The list's own brackets; nothing may follow the closing one.
            (Kind::Other, 0) if attribute || token.start == lexer.first => attribute = true,
            (Kind::Close(_), 0) if attribute => {
                attribute = false;
                lexer.first = usize::MAX;
            }
            _ if attribute => {}
            (Kind::Open(b'['), 1) if token.start == lexer.first => {}
            (_, 0) => {
                items.extend(item);
                return (token.kind == Kind::Close(b']') && lexer.token().is_none())
                    .then_some(items);
            }
            (Kind::Comma, 1) => items.push(item.take()?),
            _ => item = Some((item.map_or(token.start, |(start, _)| start), token.end)),
        }
    }
    None
}

/// Where the value ends that begins at `start`: a word takes the bracket with it that follows.
pub(super) fn value_end(text: &str, start: usize) -> usize {
    let mut lexer = Lexer { at: start, ..Lexer::new(text) };
    let mut depth = 0_usize;
    let mut end = start;
    let mut first = true;
    while let Some(token) = lexer.token() {
        match token.kind {
            Kind::Open(_) => depth += 1,
            Kind::Close(_) if depth == 0 => return end,
            Kind::Close(_) => depth -= 1,
            _ if depth == 0 && !first => return end,
            _ => {}
        }
        end = token.end;
        if depth == 0 && !first {
            return end;
        }
        first = false;
    }
    end
}

/// The next part of the text at or after `start`.
pub(super) fn next(text: &str, start: usize) -> Option<(usize, usize)> {
    let mut lexer = Lexer { at: start, ..Lexer::new(text) };
    lexer.token().map(|token| (token.start, token.end))
}

/// The innermost bracket that is open at the end of `text`.
pub(super) fn open_bracket(text: &str) -> Option<usize> {
    let mut lexer = Lexer::new(text);
    let mut open = Vec::new();
    while let Some(token) = lexer.token() {
        match token.kind {
            Kind::Open(_) => open.push(token.start),
            Kind::Close(_) => {
                open.pop();
            }
            _ => {}
        }
    }
    open.pop()
}

/// The first text in quotes after `start` that holds a backslash.
pub(super) fn escaped(text: &str, start: usize) -> Option<(usize, usize)> {
    let mut lexer = Lexer { at: start, ..Lexer::new(text) };
    while let Some(token) = lexer.token() {
        let holds = |text: &str| text.starts_with('"') && text.contains('\\');
        if token.kind == Kind::Text && text.get(token.start..token.end).is_some_and(holds) {
            return Some((token.start, token.end));
        }
    }
    None
}

/// All parts of a text.
pub(super) fn tokens(text: &str) -> Vec<Token> {
    Lexer::new(text).run().0
}

/// Where a second value begins in what should be one item, and where the first ends.
pub(super) fn two_in_one(item: &str) -> Option<(usize, usize)> {
    let mut depth = 0_usize;
    let mut before: Option<Token> = None;
    for token in tokens(item) {
        let follows = before.filter(|before| matches!(before.kind, Kind::Close(_)));
        if let (0, Some(first), Kind::Open(_) | Kind::Word) = (depth, follows, token.kind) {
            return Some((first.end, token.start));
        }
        match token.kind {
            Kind::Open(_) => depth += 1,
            Kind::Close(_) => depth = depth.saturating_sub(1),
            _ => {}
        }
        before = Some(token);
    }
    None
}

/// What stands after `id:` in the outermost bracket, its quotes left out; or after any `id:` in the text.
pub(super) fn ids(text: &str, any: bool) -> Vec<(usize, usize)> {
    let mut depth = 0_usize;
    let mut found = Vec::new();
    let tokens = tokens(text);
    for (number, token) in tokens.iter().enumerate() {
        match token.kind {
            Kind::Open(_) => depth += 1,
            Kind::Close(_) => depth = depth.saturating_sub(1),
            Kind::Word if (any || depth == 1) && text.get(token.start..token.end) == Some("id") => {
                let (sign, value) = (tokens.get(number + 1), tokens.get(number + 2));
                let is = |kind: Kind| matches!(kind, Kind::Colon | Kind::Equals);
                let id = value
                    .filter(|value| value.kind == Kind::Text && sign.is_some_and(|s| is(s.kind)));
                let inside = id.filter(|id| {
                    id.end > id.start + 2
                        && text.get(id.start..).is_some_and(|t| t.starts_with('"'))
                });
                found.extend(inside.map(|id| (id.start + 1, id.end - 1)));
            }
            _ => {}
        }
    }
    found
}

/// The bracket that closes what this one opens.
pub(super) fn closer(opener: u8) -> u8 {
    match opener {
        b'(' => b')',
        b'[' => b']',
        _ => b'}',
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Text,
    Number,
    Word,
    Open(u8),
    Close(u8),
    Comma,
    Colon,
    Equals,
    Other,
}

#[derive(Debug, Clone, Copy)]
pub(super) struct Token {
    pub(super) kind: Kind,
    pub(super) start: usize,
    pub(super) end: usize,
}

pub(super) struct Lexer<'t> {
    text: &'t str,
    at: usize,
    /// Where the first part begins.
    first: usize,
    hints: Vec<Hint>,
}

impl<'t> Lexer<'t> {
    pub(super) fn new(text: &'t str) -> Self {
        Self { text, at: 0, first: usize::MAX, hints: Vec::new() }
    }

    fn rest(&self) -> &'t str {
        self.text.get(self.at..).unwrap_or("")
    }

    /// All parts, and what was odd about them.
    pub(super) fn run(mut self) -> (Vec<Token>, Vec<Hint>) {
        let mut tokens = Vec::new();
        while let Some(token) = self.token() {
            tokens.push(token);
        }
        (tokens, self.hints)
    }

    /// The next part; comments and blanks are passed over.
    fn token(&mut self) -> Option<Token> {
        loop {
            let rest = self.rest();
            let c = rest.chars().next()?;
            if c.is_whitespace() || unseen(c) {
                if let Some(says) = odd_blank(c) {
                    let at = (self.at, self.at + c.len_utf8());
                    let put = if unseen(c) { "" } else { " " };
                    self.hints.push(Hint::new(at, says).mend(at, put));
                }
                self.at += c.len_utf8();
            } else if rest.starts_with("//") {
                self.at += rest.find('\n').unwrap_or(rest.len());
            } else if rest.starts_with("/*") {
                self.comment();
            } else {
                let start = self.at;
                self.first = self.first.min(start);
                let kind = self.part(c, rest);
                return Some(Token { kind, start, end: self.at });
            }
        }
    }

    fn part(&mut self, c: char, rest: &str) -> Kind {
        let up_to = |end: fn(char) -> bool| rest.find(end).unwrap_or(rest.len());
        let signed = matches!(c, '-' | '+' | '.') && digit_follows(rest);
        if c == '"' {
            self.quoted();
            Kind::Text
        } else if rest.starts_with("r\"") || (rest.starts_with("r#") && raw_opens(rest)) {
            self.raw();
            Kind::Text
        } else if c.is_ascii_digit() || signed {
            self.at += up_to(|c| !(c.is_ascii_alphanumeric() || "_.+-".contains(c)));
            Kind::Number
        } else if c.is_alphanumeric() || c == '_' {
            self.at += up_to(|c| !(c.is_alphanumeric() || c == '_'));
            Kind::Word
        } else {
            let start = self.at;
            self.at += c.len_utf8();
            self.sign(c, start)
        }
    }

    fn sign(&mut self, c: char, start: usize) -> Kind {
        let here = (start, self.at);
        match c {
            '(' | '[' | '{' => Kind::Open(c as u8),
            ')' | ']' | '}' => Kind::Close(c as u8),
            ',' => Kind::Comma,
            ':' => Kind::Colon,
            '=' => {
                let says = "write `:` between a field and its value, not `=`";
                self.hints.push(Hint::new(here, says).mend(here, ":"));
                Kind::Equals
            }
            ';' => {
                self.hints.push(Hint::new(here, "write a comma, not `;`").mend(here, ","));
                Kind::Comma
            }
            '#' if self.rest().starts_with('!') => Kind::Other,
            '#' => {
                self.hints.push(Hint::new(here, "comments start with //, not #").mend(here, "//"));
                let rest = self.rest();
                self.at += rest.find('\n').unwrap_or(rest.len());
                Kind::Other
            }
            '\u{201c}' | '\u{201d}' | '\u{201e}' | '\u{201f}' | '\u{00ab}' | '\u{00bb}'
            | '\u{2018}' | '\u{2019}' => {
                let says = "curly quote; use the plain \" character";
                self.hints.push(Hint::new(here, says).mend(here, "\""));
                Kind::Other
            }
            '\'' => {
                let says = "texts stand in double quotes \", not in single ones";
                self.hints.push(Hint::new(here, says).mend(here, "\""));
                Kind::Other
            }
            c if c.is_control() => {
                self.hints.push(Hint::new(here, "a control character stands here").mend(here, " "));
                Kind::Other
            }
            _ => Kind::Other,
        }
    }

    /// A block comment; they may be nested.
    fn comment(&mut self) {
        let start = self.at;
        let mut depth = 0_usize;
        loop {
            let rest = self.rest();
            if rest.starts_with("/*") {
                depth += 1;
                self.at += 2;
            } else if rest.starts_with("*/") {
                depth -= 1;
                self.at += 2;
                if depth == 0 {
                    return;
                }
            } else if let Some(c) = rest.chars().next() {
                self.at += c.len_utf8();
            } else {
                self.hints.push(Hint::new((start, start + 2), "this comment has no closing */"));
                return;
            }
        }
    }

    /// A text in plain quotes. One that ends on another line probably lacks its closing quote,
    /// unless each line end is escaped.
    fn quoted(&mut self) {
        let start = self.at;
        let mut line_end = None;
        let mut chars = self.rest().char_indices().skip(1);
        while let Some((at, c)) = chars.next() {
            match c {
                '\\' => {
                    chars.next();
                }
                '\n' => line_end = line_end.or(Some(start + at)),
                '"' => {
                    self.at = start + at + 1;
                    if let Some(end) = line_end {
                        self.unclosed(start, end);
                    }
                    return;
                }
                _ => {}
            }
        }
        self.at = self.text.len();
        self.unclosed(start, line_end.unwrap_or(self.text.len()));
    }

    fn unclosed(&mut self, start: usize, end: usize) {
        let line = self.text.get(start..end).unwrap_or("").trim_end();
        let close = start + closes_at(line);
        let says = "this text has no closing \" on its line";
        let hint = Hint::new((start, start + line.len().max(1)), says);
        self.hints.push(hint.mend((close, close), "\""));
    }

    fn raw(&mut self) {
        let rest = self.rest();
        let marks = rest.chars().skip(1).take_while(|&c| c == '#').count();
        let close = format!("\"{}", "#".repeat(marks));
        let from = marks + 2;
        match rest.get(from..).and_then(|inside| inside.find(&close)) {
            Some(found) => self.at += from + found + close.len(),
            None => {
                self.hints.push(Hint::new(
                    (self.at, self.at + from),
                    format!("this text has no closing {close}"),
                ));
                self.at = self.text.len();
            }
        }
    }
}

/// Where a text that is not closed on its line was probably meant to end: before the next field, or before the commas
/// and brackets at the end of the line that it did not open.
fn closes_at(line: &str) -> usize {
    let next_field = line.match_indices(", ").find(|(at, _)| {
        let rest = line.get(at + 2..).unwrap_or("");
        let name = rest.find(|c: char| !(c.is_ascii_lowercase() || c == '_')).unwrap_or(0);
        name > 1 && rest.get(name..).is_some_and(|after| after.starts_with(": "))
    });
    if let Some((at, _)) = next_field {
        return at;
    }
    let mut text = line.trim_end_matches([',', ' ']);
    for (open, close) in [('(', ')'), ('[', ']'), ('(', ')')] {
        let more = |text: &str| text.matches(close).count() > text.matches(open).count();
        while text.ends_with(close) && more(text) {
            text = text.strip_suffix(close).unwrap_or(text).trim_end();
        }
    }
    text.len().max(1)
}

/// Characters that take no room: they come along when text is copied from a page.
fn unseen(c: char) -> bool {
    matches!(c, '\u{200b}' | '\u{2060}' | '\u{feff}' | '\u{ad}')
}

/// What is odd about a blank that the format does not know.
fn odd_blank(c: char) -> Option<&'static str> {
    match c {
        ' ' | '\t'..='\r' | '\u{85}' | '\u{2028}' | '\u{2029}' => None,
        '\u{a0}' | '\u{2007}' | '\u{202f}' => {
            Some("a no-break space stands here: it looks like a blank and is none; write a blank")
        }
        c if unseen(c) => Some("a character that nobody sees stands here: delete it"),
        _ => Some("an unusual blank stands here: write a plain one"),
    }
}

fn raw_opens(rest: &str) -> bool {
    rest.get(1..).is_some_and(|rest| rest.trim_start_matches('#').starts_with('"'))
}

fn digit_follows(rest: &str) -> bool {
    rest.chars().nth(1).is_some_and(|c| c.is_ascii_digit() || c == '.')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_and_blanks_do_not_count_in_a_bare_text() {
        assert_eq!(bare("( id: \"a  b\", // x\n n: 1 )"), bare("(id:\"a  b\",n:/* y */1)"));
        assert_ne!(bare("(id: \"a  b\")"), bare("(id: \"a b\")"));
    }

    #[test]
    fn a_list_is_taken_apart_when_its_brackets_fit() {
        let parts = |text: &str| {
            items(text).map(|items| {
                items.into_iter().map(|(from, to)| text[from..to].to_owned()).collect::<Vec<_>>()
            })
        };
        let two = Some(vec!["(a: [1, 2])".to_owned(), "B(\"],\")".to_owned()]);
        assert_eq!(parts("[(a: [1, 2]), B(\"],\")]"), two);
        assert_eq!(parts(" // x [\n[ /* ( */ (a: [1, 2]), // y ]\n B(\"],\"),\n] // z"), two);
        assert_eq!(parts("[]"), Some(Vec::new()));
        assert_eq!(parts("#![type = \"x\"]\n[1]"), Some(vec!["1".to_owned()]));
        for text in [
            "",
            "(a: 1)",
            "[(a: 1]",
            "[(a: 1)",
            "[] []",
            "[,]",
            "[1,,2]",
            "[(a: 1))]",
            "x[1]",
            "[\"a]",
        ] {
            assert_eq!(parts(text), None, "{text}");
        }
    }

    #[test]
    fn values_end_where_their_bracket_closes() {
        let text = "[Shows(\"x)\", [(\"y\", Often)]), Never, Chance(0.1), -1.5]";
        let end = |word: &str| {
            let start = text.find(word).unwrap();
            text[start..value_end(text, start)].to_owned()
        };
        assert_eq!(end("Shows"), "Shows(\"x)\", [(\"y\", Often)])");
        assert_eq!(end("Often"), "Often");
        assert_eq!(end("Never"), "Never");
        assert_eq!(end("Chance"), "Chance(0.1)");
        assert_eq!(open_bracket("(a: [1, 2], b: (c: \"(\", "), Some(15));
        assert_eq!(escaped("\"a\" r\"\\\" \"b\\\"c\"", 0), Some((9, 15)));
    }

    #[test]
    fn the_extent_of_a_value_leaves_comments_out() {
        for text in [
            "// x\n /* y */ (a: \"//\") // z\n",
            "(a: \"//\")",
            " (a: \"//\") /* )) */",
            "/* /* */ */ (a: \"//\")",
        ] {
            let (start, end) = extent(text);
            assert_eq!(text.get(start..end), Some("(a: \"//\")"), "{text}");
        }
    }
}
