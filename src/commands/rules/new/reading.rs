//! What a typed line means: a word, a number, an id, a likelihood; and what is said of one that means nothing.

use crate::problem::nearest;
use crate::rulebook::writer::quoted;

/// Something with an id and a name.
pub(super) struct Choice {
    pub(super) id: String,
    pub(super) name: String,
}

/// At most so many known things are listed at once.
const LISTED: usize = 20;

pub(super) const LIKELY: &str =
    "Always, Usually, Often, Sometimes, Seldom, Never, or a number between 0 and 1.";
const LIKELY_WORDS: [&str; 6] = ["Always", "Usually", "Often", "Sometimes", "Seldom", "Never"];

/// A row in the words of the file.
pub(super) fn row_text(row: &[(String, String)]) -> String {
    let pairs: Vec<String> =
        row.iter().map(|(answer, likely)| format!("({}, {likely})", quoted(answer))).collect();
    format!("[{}]", pairs.join(", "))
}

pub(super) fn likelihood(line: &str) -> Result<String, String> {
    if let Ok(number) = line.replace(',', ".").parse::<f64>() {
        return if (0.001..=0.999).contains(&number) {
            Ok(format!("Chance({number:?})"))
        } else {
            Err("A chance lies between 0.001 and 0.999: nothing is certain.".to_owned())
        };
    }
    let at = one_of_words(line, LIKELY_WORDS.into_iter())
        .map_err(|said| format!("{said} How likely is it: {LIKELY}"))?;
    Ok(LIKELY_WORDS.get(at).map_or("", |word| *word).to_owned())
}

/// The place of a word, typed as its number or itself.
pub(super) fn one_of<'w>(
    line: &str,
    words: impl Iterator<Item = &'w str> + Clone,
) -> Result<usize, String> {
    let number = line.trim_end_matches(['.', ')']).parse::<usize>().ok();
    if let Some(number) = number {
        let count = words.count();
        return match number.checked_sub(1).filter(|at| *at < count) {
            Some(at) => Ok(at),
            None => Err(format!("Type a number from 1 to {count}.")),
        };
    }
    one_of_words(line, words)
}

pub(super) fn one_of_words<'w>(
    line: &str,
    words: impl Iterator<Item = &'w str> + Clone,
) -> Result<usize, String> {
    if line.is_empty() {
        return Err("This cannot be left out.".to_owned());
    }
    let same = |word: &str| word.eq_ignore_ascii_case(line);
    if let Some(at) = words.clone().position(same) {
        return Ok(at);
    }
    // The beginning of a word is enough where only one begins so.
    let begins = |word: &str| word.to_lowercase().starts_with(&line.to_lowercase());
    let mut beginning = words.clone().enumerate().filter(|(_, word)| begins(word));
    if let (Some((at, _)), None) = (beginning.next(), beginning.next()) {
        return Ok(at);
    }
    Err(match nearest(line, words) {
        Some(meant) => format!("\"{}\" is not known here. Did you mean {meant}?", short(line)),
        None => format!("\"{}\" is not known here; ? shows what is.", short(line)),
    })
}

pub(super) fn find(line: &str, what: &str, known: &[Choice]) -> Result<usize, String> {
    let line = line.to_lowercase();
    let shown = short(&line);
    known.iter().position(|known| known.id == line).ok_or_else(|| {
        let ids = known.iter().map(|known| known.id.as_str());
        match nearest(&line, ids) {
            Some(meant) => format!("There is no {what} {shown}. Did you mean {meant}?"),
            None => format!(
                "There is no {what} {shown}. Type ? to list them, or ? and a word to find one."
            ),
        }
    })
}

/// A typed line as it is said back: whole if it is short, its beginning otherwise.
fn short(line: &str) -> String {
    const MOST: usize = 30;
    if line.chars().count() <= MOST {
        return line.to_owned();
    }
    let begin: String = line.chars().take(MOST).collect();
    format!("{} ..", begin.trim_end())
}

pub(super) fn listed(known: &[Choice], word: &str, lead: &str) -> Vec<String> {
    let word = word.to_lowercase();
    let fits =
        |known: &&Choice| known.id.contains(&word) || known.name.to_lowercase().contains(&word);
    let found: Vec<&Choice> = known.iter().filter(fits).collect();
    let mut lines: Vec<String> = found
        .iter()
        .take(LISTED)
        .map(|known| format!("{lead}{}: {}", known.id, known.name))
        .collect();
    if found.len() > LISTED {
        let more = found.len() - LISTED;
        lines.push(format!("... and {more} more. Type ? and a word to find those that have it."));
    } else if found.is_empty() {
        lines.push("Nothing is known with that word.".to_owned());
    }
    lines
}

/// Whether an id is well formed.
pub(super) fn good_id(id: &str) -> Result<(), String> {
    let good = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    if id.is_empty() {
        return Err("This cannot be left out.".to_owned());
    }
    if id.len() > 60 || !id.chars().all(good) || id.starts_with('-') || id.ends_with('-') {
        let mended: String = id
            .to_lowercase()
            .split(|c| !good(c))
            .filter(|part| !part.is_empty())
            .collect::<Vec<_>>()
            .join("-");
        let hint = if mended.is_empty() || mended.len() > 60 {
            String::new()
        } else {
            format!(" How about {mended}?")
        };
        return Err(format!(
            "An id is made of small letters, digits and -, at most 60 of them.{hint}"
        ));
    }
    Ok(())
}
