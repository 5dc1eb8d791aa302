//! What is told of a book and only follows from entries that did not load.

use super::rules::Rules;
use crate::problem::{Code, Report};
use crate::source::{Place, Span, Texts};

/// Takes out what only follows from entries that did not load, and says how much that was.
pub(super) fn without_followers(rules: &Rules, texts: &Texts, report: &mut Report) -> usize {
    let broken = &rules.broken;
    let lines = |span: &Span| {
        let first = texts.place(span.first());
        let last = texts.place(Span { start: span.end.saturating_sub(1).max(span.start), ..*span });
        let line = |place: &Place| place.at.as_ref().map_or(0, |at| at.line);
        (first.file.clone(), line(&first)..=line(&last))
    };
    let guessed: Vec<_> = broken.guessed.iter().map(lines).collect();
    report.retain(|problem| {
        let follows = match problem.code {
            Code::ToolName | Code::RunningFix => broken.any("tool"),
            Code::NoLook => broken.any("look"),
            code => !problem.comes_first && !AUTHORS_OWN.contains(&code),
        };
        let place = problem.labels.first().map(|label| &label.place);
        let inside = place.is_some_and(|place| {
            let line = place.at.as_ref().map_or(0, |at| at.line);
            guessed.iter().any(|(file, lines)| *file == place.file && lines.contains(&line))
        });
        match problem.code {
            Code::ToolName | Code::RunningFix | Code::NoLook => !(follows || inside),
            _ => !(follows && inside),
        }
    })
}

/// What an author wrote is wrong in these ways whatever else of the entry is missing.
const AUTHORS_OWN: &[Code] = &[
    Code::BadId,
    Code::TwiceId,
    Code::UnknownId,
    Code::TwiceNamed,
    Code::LongText,
    Code::Control,
    Code::Placeholder,
    Code::RawSide,
    Code::Chance,
    Code::WrongKind,
    Code::FactValue,
];
