//! Writes what came into a case file, in place of what was expected. Everything else stays as it was.

use crate::source::Span;

/// Puts each text in place of its span. Spans of one file that do not overlap, in any order.
pub fn rewritten(text: &str, changes: &[(Span, String)]) -> String {
    let mut changes: Vec<&(Span, String)> = changes.iter().collect();
    changes.sort_by_key(|(span, _)| span.start);
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    for (span, new) in changes {
        let (start, end) = (span.start as usize, span.end as usize);
        if start < at {
            continue;
        }
        out.push_str(text.get(at..start).unwrap_or(""));
        out.push_str(new);
        at = end;
    }
    out.push_str(text.get(at..).unwrap_or(""));
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Texts;

    #[test]
    fn only_the_spans_change() {
        let text = "a: X, // why\r\nb: Y,";
        let mut texts = Texts::default();
        let file = texts.add("x", text);
        let span = |at: usize| Span::new(file, at, at + 1);
        let changes = [(span(17), "Z2".to_owned()), (span(3), "W".to_owned())];
        assert_eq!(rewritten(text, &changes), "a: W, // why\r\nb: Z2,");
    }
}
