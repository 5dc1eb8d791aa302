//! How plain the words are: words in a sentence, and the share of long words, over every page that a maintainer sees,
//! over all texts of the rules and over all that the program itself says.
//!
//! The limit of 22 words is a house rule, common practice for instructions that are read standing up; no source.

use std::collections::BTreeMap;
use std::path::Path;

use straybelt::conveyor::facts::Facts;
use straybelt::rulebook::load;
use straybelt::show::steps::{self, Preface};
use straybelt::show::words::{Known, Sides};
use straybelt::visit::{Diagnosis, Observations, Reply};

use crate::rust_texts;
use crate::support::files::root;

/// No sentence on a maintainer's page is longer.
const MOST_WORDS: usize = 22;
/// A word of more letters is a long one.
const LONG_WORD: usize = 9;
/// Begins a list of things to take along, which is no sentence.
const TAKE: &str = "Take: ";
/// Columns of the snapshots.
const WIDTH: usize = 40;

/// Longer pieces that are no sentences, by how they begin, each with why it may stand.
const EXCEPTIONS: [(&str, &str); 1] = [(
    "take-up weight or winch, tight belt",
    "what stored energy there is: a list, kept whole for safety",
)];

#[test]
fn no_sentence_on_a_maintainers_page_is_long() {
    let pages = snapshots();
    let sentences: BTreeMap<String, &str> = (pages.iter())
        .flat_map(|(name, page)| {
            let told = pieces(page).into_iter().filter(|piece| !piece.starts_with(TAKE));
            told.flat_map(|piece| sentences(&piece)).map(move |s| (s, name.as_str()))
        })
        .collect();
    println!("pages: {}", Figures::of(sentences.keys()));
    let long: Vec<String> = (sentences.iter())
        .filter(|(sentence, _)| words(sentence).count() > MOST_WORDS)
        .filter(|(sentence, _)| !EXCEPTIONS.iter().any(|(begins, _)| sentence.starts_with(begins)))
        .map(|(sentence, name)| format!("{name}, {} words: {sentence}", words(sentence).count()))
        .collect();
    assert!(long.is_empty(), "{} sentences are too long:\n{}", long.len(), long.join("\n"));
}

/// All that the rule files say: pages show what one visit happens to need of it.
#[test]
fn no_sentence_of_the_rules_is_long() {
    let mut all = Vec::new();
    let mut long = Vec::new();
    for (name, text) in ron_files(&root("rules")) {
        for sentence in quoted(&text).iter().flat_map(|text| sentences(text)) {
            if words(&sentence).count() > MOST_WORDS {
                long.push(format!("{name}, {} words: {sentence}", words(&sentence).count()));
            }
            all.push(sentence);
        }
    }
    let told = Figures::of(all.iter());
    println!("rules: {told}");
    assert!(told.sentences > 1000, "the texts of the rules were not found: {told}");
    assert!(long.is_empty(), "{} sentences are too long:\n{}", long.len(), long.join("\n"));
}

/// A step is put together from several texts of its fix: whole, as hands read it, with nothing told and with sides and
/// strand told.
#[test]
fn no_sentence_of_a_job_is_long() {
    let book = load::default_book().unwrap();
    let facts = Facts::default();
    let sides = Sides::named(Some("walkway"), Some("wall"));
    let nothing = Observations::none(&book);
    let mut told = Observations::none(&book);
    for (id, answer) in
        [("strand", "return"), ("runs-toward", "left"), ("first-split", "one-place")]
    {
        let (at, symptom) = book.symptoms.iter().find(|(_, symptom)| symptom.id == id).unwrap();
        let given = symptom.answers.iter().find(|(_, given)| given.id == answer);
        let given = given.map_or_else(|| symptom.ticking(|_| true), |(given, _)| given);
        told.replies[at] = Reply::Answer(given);
    }
    let mut long = Vec::new();
    let mut seen = 0;
    for told in [nothing, told] {
        let finding = Diagnosis::new(&book).finding(&facts, &told);
        let known = Known::new(&book, &facts, &sides, &finding.answers);
        for (at, fix) in book.fixes.iter() {
            let job = steps::fix_text(&book, &known, at, Preface::Nothing);
            let rest = job.never.iter().chain([&job.done_when, &job.worked]);
            for text in job.text.iter().chain(rest).chain(&job.cautions) {
                for sentence in sentences(text) {
                    seen += 1;
                    if words(&sentence).count() > MOST_WORDS {
                        long.push(format!("{}, {}", fix.id, sentence));
                    }
                }
            }
        }
    }
    assert!(seen > 2000, "the jobs were not found: {seen}");
    assert!(long.is_empty(), "{} sentences are too long:\n{}", long.len(), long.join("\n"));
}

/// What the program itself says: pages, prompts, errors, gauges, and the help of its commands. Pages that are kept show
/// a part of it only.
#[test]
fn no_sentence_of_the_program_is_long() {
    let mut long = Vec::new();
    let mut seen = 0;
    for (name, code) in rust_files(&root("src")) {
        // Lists: command lines with what each does, and conveyors as they stand in a file.
        if NO_SENTENCES.iter().any(|list| name.ends_with(list)) {
            continue;
        }
        for text in rust_texts::texts(&code, name.contains("src/cli/")) {
            for sentence in sentences(&text) {
                seen += 1;
                if words(&sentence).count() > MOST_WORDS {
                    long.push(format!("{name}, {} words: {sentence}", words(&sentence).count()));
                }
            }
        }
    }
    assert!(seen > 3000, "the texts of the program were not found: {seen}");
    assert!(long.is_empty(), "{} sentences are too long:\n{}", long.len(), long.join("\n"));
}

/// Files of the program that hold lists and rule texts, no sentences.
const NO_SENTENCES: [&str; 3] =
    ["src/cli/examples.rs", "src/drill/kinds.rs", "src/commands/rules/new/drill.rs"];

#[test]
fn a_page_is_taken_apart_where_a_reader_would() {
    let page = "--- The finding -----------------------\nFirst job: Clean the idler rolls down to\nthe bare shell. It \
                takes 45 min.\nShort head\nHere another paragraph begins.\n 1  An answer that goes on down here,\n    \
                below itself\nb back  l look how\n";
    let found: Vec<String> = pieces(page).iter().flat_map(|piece| sentences(piece)).collect();
    assert_eq!(
        found,
        [
            "First job:",
            "Clean the idler rolls down to the bare shell.",
            "It takes 45 min.",
            "Short head",
            "Here another paragraph begins.",
            "An answer that goes on down here, below itself",
        ]
    );
}

/// What is counted.
struct Figures {
    sentences: usize,
    words: usize,
    long_words: usize,
    longest: usize,
}

impl Figures {
    fn of<'s>(sentences: impl Iterator<Item = &'s String>) -> Self {
        let mut told = Self { sentences: 0, words: 0, long_words: 0, longest: 0 };
        for sentence in sentences {
            let here = words(sentence).count();
            told.sentences += 1;
            told.words += here;
            told.longest = told.longest.max(here);
            told.long_words += words(sentence).filter(|word| letters(word) > LONG_WORD).count();
        }
        told
    }
}

impl std::fmt::Display for Figures {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let share = |part: usize, whole: usize| part as f64 / whole.max(1) as f64;
        write!(
            f,
            "{} sentences, {:.1} words each, the longest {}; {:.1} % long words",
            self.sentences,
            share(self.words, self.sentences),
            self.longest,
            100.0 * share(self.long_words, self.words)
        )
    }
}

fn letters(word: &str) -> usize {
    word.chars().filter(|c| c.is_alphabetic()).count()
}

fn words(sentence: &str) -> impl Iterator<Item = &str> {
    sentence.split_whitespace().filter(|word| word.chars().any(char::is_alphabetic))
}

/// Every page at 40 columns but the help of the command line, which is a list for reference.
fn snapshots() -> Vec<(String, String)> {
    let folder = std::fs::read_dir(root("tests/screens/snapshots")).unwrap();
    let named = folder.map(|entry| entry.unwrap().path()).filter_map(|path| {
        let name = path.file_name()?.to_str()?.to_owned();
        (name.ends_with("-40.snap") && name != "help-40.snap").then_some((name, path))
    });
    named
        .map(|(name, path)| {
            let text = std::fs::read_to_string(path).unwrap();
            let (_, body) = text.split_once("\n---\n").unwrap();
            (name, body.to_owned())
        })
        .collect()
}

/// The paragraphs, items and answers of a page, each on one line. Lines are filled as far as words go, so a line whose
/// first word would have had room on the line above begins a new one.
fn pieces(page: &str) -> Vec<String> {
    let mut pieces: Vec<String> = Vec::new();
    let mut above: Option<&str> = None;
    for line in page.lines() {
        let text = line.trim();
        let titled = text.starts_with("--- ") || text.ends_with("----");
        let drawn = text.contains("  ") && marked(text).is_none() || text.starts_with('[');
        if text.is_empty() || titled || drawn {
            above = None;
            continue;
        }
        let further_in = |above: &str| indent(line) < indent(above);
        let goes_on = above.is_some_and(|above| !has_room(above, text) && !further_in(above))
            && marked(text).is_none()
            && !text.starts_with(TAKE);
        match (goes_on, pieces.last_mut()) {
            (true, Some(piece)) => {
                piece.push(' ');
                piece.push_str(text);
            }
            _ => pieces.push(marked(text).unwrap_or(text).to_owned()),
        }
        above = Some(line);
    }
    pieces
}

fn indent(line: &str) -> usize {
    line.chars().take_while(|c| *c == ' ').count()
}

/// Whether the first word of a line would have stood on the line above, had it been of the same piece.
fn has_room(above: &str, text: &str) -> bool {
    let mut parts = text.split(' ');
    let mut first = parts.next().unwrap_or_default().to_owned();
    // A number is never torn from its unit.
    while first.ends_with(|c: char| c.is_ascii_digit()) {
        let Some(unit) = parts.next() else { break };
        first.push(' ');
        first.push_str(unit);
    }
    above.chars().count() + 1 + first.chars().count() <= WIDTH
}

/// What stands behind the number or bullet of an item, or the time of day of an event.
fn marked(text: &str) -> Option<&str> {
    let (mark, rest) = text.split_once(' ')?;
    let number =
        !mark.is_empty() && mark.chars().all(|c| c.is_ascii_digit()) && rest.starts_with(' ');
    let time =
        mark.len() == 5 && mark.contains(':') && mark.starts_with(|c: char| c.is_ascii_digit());
    (number || time || ["*", "!", "-", "=>", "="].contains(&mark)).then(|| rest.trim_start())
}

/// The sentences of a piece. A source in brackets is none; names in a row, parted by a semicolon, are each their own;
/// so is a label of up to four words before a colon, such as "It worked if:".
fn sentences(piece: &str) -> Vec<String> {
    const LABEL: usize = 4;
    let mut found = vec![String::new()];
    let mut depth = 0_usize;
    let mut words = piece.split_whitespace().peekable();
    while let Some(word) = words.next() {
        if let Some(last) = found.last_mut() {
            if !last.is_empty() {
                last.push(' ');
            }
            last.push_str(word);
        }
        depth += word.matches('(').count();
        depth = depth.saturating_sub(word.matches(')').count());
        let bare = word.trim_end_matches(['"', ')']);
        let label = bare.ends_with(':')
            && found.last().is_some_and(|last| last.split(' ').count() <= LABEL);
        let ends = label || bare.ends_with(['.', '?', '!', ';']);
        if depth == 0 && ends && words.peek().is_some() {
            found.push(String::new());
        }
    }
    found.retain(|sentence| sentence.chars().any(char::is_alphabetic));
    found
}

/// The rule files in a folder and below it. Cases are for whoever writes rules.
fn ron_files(folder: &Path) -> Vec<(String, String)> {
    let mut files = files_below(folder, "ron");
    files.retain(|(name, _)| !name.contains("/cases/"));
    files
}

/// The files of the program.
fn rust_files(folder: &Path) -> Vec<(String, String)> {
    files_below(folder, "rs")
}

fn files_below(folder: &Path, ends: &str) -> Vec<(String, String)> {
    let entries = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let files = entries.flat_map(|path| {
        if path.is_dir() {
            return files_below(&path, ends);
        }
        let wanted = path.extension().is_some_and(|end| end == ends);
        let text = wanted.then(|| std::fs::read_to_string(&path).unwrap());
        text.map(|text| (path.display().to_string(), text)).into_iter().collect()
    });
    files.collect()
}

/// The texts in quotes of a rule file that are more than a name.
fn quoted(ron: &str) -> Vec<String> {
    let lines = ron.lines().filter(|line| !line.trim_start().starts_with("//"));
    let text: String = lines.collect::<Vec<_>>().join("\n").replace("\\\"", "'");
    let texts = text.split('"').skip(1).step_by(2);
    texts.filter(|text| text.split(' ').count() > 3).map(str::to_owned).collect()
}
