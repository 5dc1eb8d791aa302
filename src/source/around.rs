//! What stands round a place in a text: the item of a list, or the field with its name, that it lies in.

use super::lexer::{Kind, Token, tokens};

/// An item of a list or a field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Part {
    /// All of it, with the comma that follows.
    pub(super) whole: (usize, usize),
    /// Its value: without name and comma.
    pub(super) value: (usize, usize),
}

/// An open bracket and the part of it that a place lies in.
struct Level {
    list: bool,
    from: usize,
    to: usize,
    comma: Option<usize>,
    name: Option<usize>,
}

/// The part in which a place lies that can be taken out: `outer` of them further out. An entry itself is none.
pub(super) fn part_round(text: &str, at: usize, outer: usize) -> Option<Part> {
    let mut levels = levels(text, at);
    levels.retain(|level| level.list || level.name.is_some());
    let level = levels.iter().rev().nth(outer)?;
    if level.to <= level.from {
        return None;
    }
    let end = level.comma.map_or(level.to, |comma| comma + 1);
    Some(Part { whole: (level.from, end), value: (level.name.unwrap_or(level.from), level.to) })
}

/// The name of a field, if a stretch of the text is one.
pub(super) fn field_name(text: &str, at: (usize, usize)) -> Option<String> {
    let part = text.get(at.0..at.1)?;
    let found = tokens(part);
    match found.as_slice() {
        [name, colon, ..] if name.kind == Kind::Word && colon.kind == Kind::Colon => {
            part.get(name.start..name.end).map(str::to_owned)
        }
        _ => None,
    }
}

/// The names of all fields of the innermost bracket round a place.
pub(super) fn places_of(text: &str, at: usize) -> Vec<String> {
    let tokens = tokens(text);
    let Some(open) = open_round(&tokens, at).pop() else { return Vec::new() };
    let mut depth = 0_usize;
    let mut names = Vec::new();
    for (number, token) in tokens.iter().enumerate().skip(open + 1) {
        match token.kind {
            Kind::Open(_) => depth += 1,
            Kind::Close(_) => match depth.checked_sub(1) {
                Some(less) => depth = less,
                None => break,
            },
            Kind::Word
                if depth == 0
                    && tokens.get(number + 1).is_some_and(|next| next.kind == Kind::Colon) =>
            {
                names.extend(text.get(token.start..token.end).map(str::to_owned));
            }
            _ => {}
        }
    }
    names
}

/// The brackets that are open at a place, as numbers of their tokens.
fn open_round(tokens: &[Token], at: usize) -> Vec<usize> {
    let mut open = Vec::new();
    for (number, token) in tokens.iter().enumerate().take_while(|(_, token)| token.start < at) {
        match token.kind {
            Kind::Open(_) => open.push(number),
            Kind::Close(_) if token.end <= at => {
                open.pop();
            }
            _ => {}
        }
    }
    open
}

fn levels(text: &str, at: usize) -> Vec<Level> {
    let tokens = tokens(text);
    open_round(&tokens, at).into_iter().filter_map(|open| level(&tokens, open, at)).collect()
}

/// The part of one bracket in which a place lies.
fn level(tokens: &[Token], open: usize, at: usize) -> Option<Level> {
    let list = matches!(tokens.get(open)?.kind, Kind::Open(b'['));
    let mut level = Level { list, from: 0, to: 0, comma: None, name: None };
    let mut depth = 0_usize;
    let mut begins = true;
    for (number, token) in tokens.iter().enumerate().skip(open + 1) {
        if depth == 0 && (token.kind == Kind::Comma || matches!(token.kind, Kind::Close(_))) {
            let comma = token.kind == Kind::Comma;
            level.comma = comma.then_some(token.start);
            if !comma || token.end > at {
                return Some(level);
            }
            begins = true;
            continue;
        }
        if begins {
            begins = false;
            let named = token.kind == Kind::Word
                && tokens.get(number + 1).is_some_and(|next| next.kind == Kind::Colon);
            let name = tokens.get(number + 2).filter(|_| named).map(|value| value.start);
            level = Level { list, from: token.start, to: token.end, comma: None, name };
        }
        match token.kind {
            Kind::Open(_) => depth += 1,
            Kind::Close(_) => depth = depth.saturating_sub(1),
            _ => {}
        }
        level.to = token.end;
    }
    Some(level)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_innermost_item_or_field_is_found() {
        let text = "(id: \"a\", signs: [Sees(\"x\", Offen), Sees(\"y\", Often)], n: 1)";
        let part = |word: &str, outer| {
            let at = text.find(word).unwrap();
            part_round(text, at, outer).map(|part| &text[part.whole.0..part.whole.1])
        };
        assert_eq!(part("Offen", 0), Some("Sees(\"x\", Offen),"));
        assert_eq!(part("Often", 0), Some("Sees(\"y\", Often)"));
        assert_eq!(part("Offen", 1), Some("signs: [Sees(\"x\", Offen), Sees(\"y\", Often)],"));
        assert_eq!(part("1", 0), Some("n: 1"));
        assert_eq!(part("(id", 0), None);
        assert_eq!(places_of(text, text.find("n: 1").unwrap()), ["id", "signs", "n"]);
        assert_eq!(field_name(text, (1, 9)).as_deref(), Some("id"));
    }
}
