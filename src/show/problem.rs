//! Problems as people read them, as single lines for other tools, and as JSON.

use crate::problem::{Label, Problem, Severity, count};
use crate::rulebook::load::{Checked, Laid};
use crate::source::At;
use crate::stream;
use crate::stream::paint::{Ink, Paint};
use serde::Serialize;

/// Narrower than this nothing is laid out.
const NARROWEST: usize = 30;
/// Stands before what to do.
const DO: &str = "do:";

/// A problem, wrapped to `width` columns: its place, so that an editor can jump there, what is wrong, the line with a
/// mark under it, and what to do.
pub fn page(problem: &Problem, width: usize, paint: Paint) -> String {
    let width = width.max(NARROWEST);
    let (word, tone) = match problem.severity {
        Severity::Error => ("error", Ink::Warn),
        Severity::Warning => ("warning", Ink::Strong),
    };
    let head = format!("{word} ({})", problem.code.word());
    let mut out = Vec::new();
    if let Some(first) = problem.labels.first() {
        out.push(place(first, paint));
    }
    let message = format!("{head}: {}", clean(&problem.message));
    for (number, line) in wrap(&message, width, "  ").into_iter().enumerate() {
        out.push(match line.strip_prefix(&head) {
            Some(rest) if number == 0 => format!("{}{rest}", paint.ink(tone, &head)),
            _ => line,
        });
    }
    let digits = problem
        .labels
        .iter()
        .filter_map(|label| label.place.at.as_ref())
        .map(|at| at.line.to_string().len())
        .max();
    let snippets = Snippets { digits: digits.unwrap_or(0), width, tone, paint };
    for (number, label) in problem.labels.iter().enumerate() {
        if number > 0 {
            out.push(place(label, paint));
        }
        snippets.write(label, if number == 0 { '~' } else { '-' }, &mut out);
    }
    for help in &problem.help {
        let text = wrap(&format!("  {DO} {}", clean(help)), width, "      ");
        out.extend(text.into_iter().enumerate().map(|(number, line)| {
            match line.trim_start().strip_prefix(DO) {
                Some(rest) if number == 0 => format!("  {}{rest}", paint.ink(Ink::Good, DO)),
                _ => line,
            }
        }));
    }
    out.push(String::new());
    out.join("\n")
}

/// Where a label points. A path is never broken: it is to be copied.
fn place(label: &Label, paint: Paint) -> String {
    paint.ink(Ink::Faint, &clean(&label.place.to_string()))
}

/// A problem in one line: `file:line:column: error (code): message`.
pub fn line(problem: &Problem) -> String {
    let place =
        problem.labels.first().map(|label| format!("{}: ", label.place)).unwrap_or_default();
    let word = if problem.is_error() { "error" } else { "warning" };
    let help = problem.help.first().map(|help| format!(" ({help})")).unwrap_or_default();
    clean(&format!("{place}{word} ({}): {}{help}", problem.code.word(), problem.message))
}

/// What was read, and whether it can be used.
pub fn summary(checked: &Checked, width: usize) -> String {
    let read = &checked.counts;
    let what = match checked.laid {
        Laid::Default => "the default rule book",
        Laid::Over => "the default rule book with the site's folder over it",
        Laid::Whole => "a whole rule book of its own",
    };
    let mut counts = vec![
        count(read.files, "file"),
        count(read.causes, "cause"),
        count(read.symptoms, "symptom"),
        count(read.fixes, "fix"),
        count(read.cautions, "caution"),
        count(read.sources, "source"),
        count(read.terms, "term"),
    ];
    // A small book does without.
    if read.looks > 0 {
        counts.insert(3, count(read.looks, "look"));
    }
    let errors = checked.problems.iter().filter(|problem| problem.is_error()).count();
    let verdict = match (errors, checked.problems.len() - errors) {
        (0, 0) => "No problems.".to_owned(),
        (0, warnings) => format!("It can be used: {}.", count(warnings, "warning")),
        (errors, 0) => format!("It cannot be used: {}.", count(errors, "error")),
        (errors, warnings) => {
            format!(
                "It cannot be used: {}, {}.",
                count(errors, "error"),
                count(warnings, "warning")
            )
        }
    };
    let mut lines =
        wrap(&format!("Read {what}: {}.", counts.join(", ")), width.max(NARROWEST), "  ");
    lines.push(verdict);
    if !checked.off.again.is_empty() {
        let again = checked.off.again.iter().map(|(what, id, _)| format!("{what} {id}"));
        let again: Vec<String> = again.collect();
        let text = format!("Changed in two folders; the upper one wins: {}.", again.join(", "));
        lines.extend(wrap(&text, width.max(NARROWEST), "  "));
    }
    if checked.followers > 0 {
        let more = count(checked.followers, "more place");
        let names = if checked.followers == 1 { "hangs" } else { "hang" };
        let text = format!(
            "{more} {names} on what is told of here, and will be looked at when that is mended."
        );
        lines.extend(wrap(&text, width.max(NARROWEST), "  "));
    }
    lines.join("\n")
}

/// A problem as JSON.
#[derive(Debug, Serialize)]
pub struct ProblemJson<'p> {
    code: &'static str,
    severity: Severity,
    message: &'p str,
    labels: Vec<JsonLabel<'p>>,
    help: &'p [String],
}

#[derive(Debug, Serialize)]
struct JsonLabel<'p> {
    file: &'p str,
    line: Option<usize>,
    column: Option<usize>,
    width: Option<usize>,
    says: &'p str,
}

impl<'p> From<&'p Problem> for ProblemJson<'p> {
    fn from(problem: &'p Problem) -> Self {
        let label = |label: &'p Label| {
            let at = label.place.at.as_ref();
            JsonLabel {
                file: &label.place.file,
                line: at.map(|at| at.line),
                column: at.map(|at| at.column),
                width: at.map(|at| at.width),
                says: &label.says,
            }
        };
        Self {
            code: problem.code.word(),
            severity: problem.severity,
            message: &problem.message,
            labels: problem.labels.iter().map(label).collect(),
            help: &problem.help,
        }
    }
}

/// How the lines of a file are shown with their marks.
struct Snippets {
    /// Digits of the longest line number.
    digits: usize,
    width: usize,
    tone: Ink,
    paint: Paint,
}

impl Snippets {
    fn write(&self, label: &Label, mark: char, out: &mut Vec<String>) {
        let Self { digits, width, tone, paint } = *self;
        let says = clean(&label.says);
        // The line's number, and what is said below it, stand two columns in.
        let left = digits + 5;
        let margin = " ".repeat(left);
        let Some(at) = &label.place.at else {
            if !says.is_empty() {
                out.extend(wrap(&format!("{margin}{says}"), width, &margin));
            }
            return;
        };
        let room = width.saturating_sub(left).max(10);
        let (text, before, under) = window(at, room);
        let number = paint.ink(Ink::Faint, &format!("  {:>digits$} :", at.line));
        out.push(format!("{number} {text}").trim_end().to_owned());
        let marks = paint.ink(tone, &mark.to_string().repeat(under.max(1)));
        let blank = " ".repeat(before);
        if before + under + 1 + columns(&says) <= room {
            out.push(format!("{margin}{blank}{marks} {says}").trim_end().to_owned());
        } else {
            out.push(format!("{margin}{blank}{marks}"));
            out.extend(wrap(&says, room, "").into_iter().map(|line| format!("{margin}{line}")));
        }
    }
}

/// As much of the line round the place as fits, how many columns stand before the place, and how many
/// it takes.
fn window(at: &At, room: usize) -> (String, usize, usize) {
    let chars: Vec<String> = at.text.chars().map(|c| clean(c.encode_utf8(&mut [0; 4]))).collect();
    let start = at.column.saturating_sub(1 + at.skipped).min(chars.len());
    let mut from = 0;
    let wide = |part: &[String]| part.iter().map(|c| columns(c)).sum::<usize>();
    let (head, tail) = chars.split_at(start);
    let (meant, _) = tail.split_at(at.width.min(tail.len()));
    // What stands before goes first, so that all that is meant is seen, and a little of what follows.
    let after = wide(tail.get(at.width.min(tail.len())..).unwrap_or(&[])).min(room / 6);
    let needed = (wide(meant) + after).min(room - room / 4) + 2;
    while wide(head.get(from..).unwrap_or(&[])) + needed > room && from < start {
        from += 1;
    }
    let mut text = String::new();
    if from > 0 || at.skipped > 0 {
        from = (from + 1).min(start);
        text.push('\u{2026}');
    }
    let before = columns(&text) + wide(head.get(from..).unwrap_or(&[]));
    for c in chars.get(from..).unwrap_or(&[]) {
        if columns(&text) + columns(c) > room {
            break;
        }
        text.push_str(c);
    }
    let under = wide(meant).max(1).min(room.saturating_sub(before).max(1));
    (text.trim_end().to_owned(), before, under)
}

/// Words of a problem stand on lines of ours alone.
fn clean(text: &str) -> String {
    stream::clean(text).replace('\n', "\u{fffd}")
}

fn columns(text: &str) -> usize {
    unicode_width::UnicodeWidthStr::width(text)
}

fn wrap(text: &str, width: usize, indent: &str) -> Vec<String> {
    // An id in the words keeps its hyphens.
    let options = textwrap::Options::new(width)
        .subsequent_indent(indent)
        .word_splitter(textwrap::WordSplitter::NoHyphenation);
    textwrap::wrap(text, options).into_iter().map(std::borrow::Cow::into_owned).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::Code;
    use crate::source::{Span, Texts};

    fn example(text: &str, find: &str) -> Problem {
        let mut texts = Texts::default();
        let file = texts.add("rules/causes/20.ron", text.to_owned());
        let start = text.find(find).unwrap();
        Problem::at(
            Code::UnknownId,
            texts.place(Span::new(file, start, start + find.len())),
            "unknown cause `bearng`",
        )
        .says("no cause has this id")
        .also(texts.place(Span::new(file, 0, 1)), "`bearing` is declared here")
        .help("did you mean `bearing`?")
    }

    #[test]
    fn a_problem_points_at_its_place() {
        let problem =
            example("[\n\tcures: [(\"Größe\", Often), (\"bearng\", Often)],\n]", "bearng");
        insta::assert_snapshot!(page(&problem, 80, Paint::NONE), @r#"
        rules/causes/20.ron:2:30
        error (unknown-id): unknown cause `bearng`
          2 :     cures: [("Größe", Often), ("bearng", Often)],
                                              ~~~~~~ no cause has this id
        rules/causes/20.ron:1:1
          1 : [
              - `bearing` is declared here
          do: did you mean `bearing`?
        "#);
    }

    #[test]
    fn at_forty_columns_the_line_is_cut_round_the_place() {
        let problem =
            example("[\n\tcures: [(\"Größe\", Often), (\"bearng\", Often)],\n]", "bearng");
        let page = page(&problem, 40, Paint::NONE);
        for line in page.lines() {
            assert!(columns(line) <= 40, "{line}");
        }
        insta::assert_snapshot!(page, @r#"
        rules/causes/20.ron:2:30
        error (unknown-id): unknown cause
          `bearng`
          2 : …("Größe", Often), ("bearng", Ofte
                                   ~~~~~~
              no cause has this id
        rules/causes/20.ron:1:1
          1 : [
              - `bearing` is declared here
          do: did you mean `bearing`?
        "#);
    }

    #[test]
    fn control_characters_of_a_file_never_reach_the_terminal() {
        let problem = example("\u{1b}[31m bearng \u{7}", "bearng").says("\u{1b}[0m");
        assert!(page(&problem, 80, Paint::NONE).chars().all(|c| c == '\n' || !c.is_control()));
        assert!(!line(&problem).contains('\u{1b}'));
    }

    #[test]
    fn a_huge_place_in_a_long_line_fits_the_width() {
        let problem =
            example(&format!("{}bearng{}", "x".repeat(5_000), "y".repeat(5_000)), "bearng");
        for width in [0, 30, 40, 80, 200] {
            let page = page(&problem, width, Paint::NONE);
            assert!(
                page.lines()
                    .all(|line| line.starts_with("rules/") || columns(line) <= width.max(NARROWEST)),
                "{page}"
            );
            assert!(page.contains("xbearngy"));
        }
    }
}
