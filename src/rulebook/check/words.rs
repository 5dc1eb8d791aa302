//! Texts that people will read: not empty, not too long, no control characters, sides and
//! placeholders written as they must be. And numbers: finite and in range.

use std::ops::RangeInclusive;

use crate::problem::{Code, near};
use crate::source::parse::{Spanned, Text};
use crate::source::unprintable;

use super::Diagnostics;

/// Most characters of a question.
pub(super) const ASK: usize = 90;
/// Most characters of an answer, a name or a title.
pub(super) const SHORT: usize = 60;
/// Most characters of a step, a look, a why.
pub(super) const LONG: usize = 240;
/// Most characters of a caution.
pub(super) const CAUTION: usize = 200;
/// Most characters of a citation.
pub(super) const CITE: usize = 500;

/// What may stand between `{` and `}` in a text.
pub(super) const PLACEHOLDERS: &[&str] = &[
    "left",
    "right",
    "belt-side",
    "far-side",
    "slack-side",
    "tight-side",
    "low-frame-side",
    "low-pulley-side",
    "low-idler-side",
    "long-pulley-side",
    "long-diagonal",
    "light-side",
    "heavy-side",
    "wind-side",
    "strand",
    "strand-way",
];

/// A text that is shown with its sides filled in.
pub(super) fn shown(text: &Text, limit: usize, diagnostics: &mut Diagnostics) -> String {
    placeholders(text, diagnostics);
    raw_sides(text, diagnostics);
    plain(text, limit, diagnostics)
}

/// A text that is shown as it stands: names, sources, terms.
pub(super) fn plain(text: &Text, limit: usize, diagnostics: &mut Diagnostics) -> String {
    if text.trim().is_empty() {
        diagnostics.tell(
            Code::EmptyText,
            text.span,
            "this text is empty",
            "say something, or leave the field out if it may be left out",
        );
    }
    if let Some((at, c)) = text.char_indices().find(|(_, c)| unprintable(*c)) {
        let (message, help) = if c == '\n' {
            (
                "this text goes over the end of the line".to_owned(),
                "end the line with \\ to go on, or write two texts",
            )
        } else {
            (format!("a text may not hold the control character U+{:04X}", c as u32), "delete it")
        };
        diagnostics.tell(Code::Control, text.part(at..at + c.len_utf8()), message, help);
    }
    let length = text.chars().count();
    if length > limit {
        let message = format!("this text has {length} characters; {limit} fit");
        let cut = text.char_indices().nth(limit).map_or(0, |(at, _)| at);
        diagnostics.tell(
            Code::LongText,
            text.part(cut..text.len()),
            message,
            "shorten it, or make two of it",
        );
    }
    text.text.clone()
}

/// Several texts that are shown.
pub(super) fn all_shown(
    texts: &[Text],
    limit: usize,
    diagnostics: &mut Diagnostics,
) -> Vec<String> {
    texts.iter().map(|text| shown(text, limit, diagnostics)).collect()
}

/// Reports a number outside of `range`; gives it back either way.
pub(super) fn number(
    number: Spanned<f64>,
    range: RangeInclusive<f64>,
    what: &str,
    diagnostics: &mut Diagnostics,
) -> f64 {
    if !(number.value.is_finite() && range.contains(&number.value)) {
        let message = format!("{} is out of range for {what}", number.value);
        let help = format!("write a number from {} to {}", range.start(), range.end());
        diagnostics.tell(Code::NumberRange, number.span, message, &help);
    }
    number.value
}

/// `amount-` and a gauge: what it measured. `limit-` and one of the gauges' limits: its size at this conveyor.
fn names_an_amount(name: &str) -> bool {
    let gauge = name.strip_prefix("amount-").and_then(crate::gauge::named);
    let limit = name.strip_prefix("limit-").and_then(crate::gauge::catalogue::limit_named);
    gauge.is_some() || limit.is_some()
}

fn placeholders(text: &Text, diagnostics: &mut Diagnostics) {
    let mut from = 0;
    while let Some(found) = text.get(from..).and_then(|rest| rest.find(['{', '}'])) {
        let open = from + found;
        let rest = text.get(open + 1..).unwrap_or("");
        let inside = rest.find(['{', '}']).map(|end| (end, rest.get(..end).unwrap_or("")));
        match inside {
            Some((end, name))
                if text.get(open..=open) == Some("{") && rest.get(end..=end) == Some("}") =>
            {
                if !PLACEHOLDERS.contains(&name) && !names_an_amount(name) {
                    let span = text.part(open..open + end + 2);
                    let problem = diagnostics.problem(
                        Code::Placeholder,
                        span,
                        format!("unknown placeholder {{{name}}}"),
                    );
                    diagnostics.add(near(
                        problem,
                        name,
                        PLACEHOLDERS.iter().copied(),
                        "placeholders",
                    ));
                }
                from = open + end + 2;
            }
            _ => {
                let span = text.part(open..open + 1);
                diagnostics.tell(
                    Code::Placeholder,
                    span,
                    "a bracket that opens or closes no placeholder",
                    "write {left} and the like, or use ( )",
                );
                from = open + 1;
            }
        }
    }
}

fn raw_sides(text: &Text, diagnostics: &mut Diagnostics) {
    let mut from = 0;
    for word in text.split(|c: char| !(c.is_alphanumeric() || c == '{' || c == '}')) {
        let at = from;
        from += word.len()
            + text
                .get(from + word.len()..)
                .and_then(|rest| rest.chars().next())
                .map_or(0, char::len_utf8);
        if word.eq_ignore_ascii_case("left") || word.eq_ignore_ascii_case("right") {
            let span = text.part(at..at + word.len());
            let problem = diagnostics
                .problem(Code::RawSide, span, format!("the word `{word}` stands here by itself"))
                .help(format!(
                    "for a side write {{{}}}, so that the conveyor's own name for it is shown",
                    word.to_lowercase()
                ))
                .help("for anything else take another word: square, correct, remaining");
            diagnostics.add(problem);
        }
    }
}
