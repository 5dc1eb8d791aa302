//! The forms of a symptom and a cause, and what all forms share.

use std::path::Path;

use super::choices::Choices;
use super::form::{Blank, FilledIn, Form};
use super::reading::{Choice, row_text};
use crate::rulebook::fields;
use crate::rulebook::network::Kind;
use crate::rulebook::writer::{Entry, list_file, quoted_list};
use crate::source::quoted;

/// A file to be written: its path inside the folder, and what it holds.
pub(super) struct NewFile {
    pub(super) inside: String,
    pub(super) text: String,
}

/// Most characters of a question; of a name or an answer; of a longer text.
pub(super) const ASK: usize = 90;
pub(super) const SHORT: usize = 60;
pub(super) const LONG: usize = 240;

impl NewFile {
    /// A file with one entry.
    pub(super) fn new(kind: &str, folder: &str, id: &str, entry: &Entry) -> Self {
        let head = [
            format!("A {kind} of this site, begun with `straybelt rules new {kind}`. Change it as you like:"),
            "`straybelt rules check` says whether it still fits. rules/REFERENCE.md lists what may stand here.".to_owned(),
        ];
        Self {
            inside: format!("{folder}/{id}.ron"),
            text: list_file(&head, std::slice::from_ref(entry)),
        }
    }
}

/// A comment with what the field is for, then the field.
pub(super) fn put(entry: &mut Entry, kind: &str, field: &str, value: &str) {
    entry.comment(fields::says(kind, field).unwrap_or(field));
    entry.field(field, value);
}

/// The same for a list with an item on each line.
pub(super) fn put_list(entry: &mut Entry, kind: &str, field: &str, items: &[String]) {
    entry.comment(fields::says(kind, field).unwrap_or(field));
    entry.list(field, items);
}

/// A field that is there, or else left out with an example of it.
pub(super) fn put_or(
    entry: &mut Entry,
    kind: &str,
    field: &str,
    value: Option<String>,
    example: &str,
) {
    entry.comment(fields::says(kind, field).unwrap_or(field));
    match value {
        Some(value) => entry.field(field, &value),
        None => entry.left_out(field, example),
    };
}

/// The list in the words of the file, or nothing for an empty one.
pub(super) fn some_list(texts: &[String]) -> Option<String> {
    (!texts.is_empty()).then(|| quoted_list(texts))
}

const KINDS: &[(&str, &str)] = &[
    ("Sign", "no or yes"),
    ("Pattern", "several answers without an order"),
    ("Grade", "answers from least to most severe"),
    ("Marks", "several answers at once, or none of them"),
];
pub(super) const STATES: &[(&str, &str)] = &[
    ("Anywhere", "history, weather, papers"),
    ("Running", "watched from outside the guards, nothing touched"),
    ("LockedOut", "everything else, marking the belt included"),
];
pub(super) const COMMON: &[(&str, &str)] = &[
    ("Leading", "about 1 call in 13; one or two causes of a book"),
    ("Everyday", "about 1 call in 20"),
    ("Common", "about 1 in 40"),
    ("Occasional", "about 1 in 100"),
    ("Rare", "about 1 in 250"),
    ("Rarest", "about 1 in 500"),
];

/// A symptom.
pub(super) fn symptom(form: &mut Form, choices: &Choices, dir: &Path) -> FilledIn<NewFile> {
    const S: &str = "symptom";
    let id = form.id(S, &choices.symptoms, &dir.join("symptoms"))?;
    form.field(S, "kind", "");
    let kind = form.word("kind", KINDS, None)?;
    let ask = form.must(S, "ask", ASK)?;
    form.field(S, "answers", "");
    let answers = answers(form, kind)?;
    let look = form.must(S, "look", LONG)?;
    let why = form.must(S, "why", LONG)?;
    form.field(S, "minutes", "Enter alone: 1.");
    let minutes = form.number("minutes", 0.1..=600.0, Some(1.0))?;
    form.field(S, "state", "");
    let state = form.word("state", STATES, None)?;
    let tools = form.texts(S, "tools", SHORT, 0)?;
    let only_if = conditions(form, choices, S)?;
    form.field(S, "by_itself", "");
    let by_itself = likely(form, kind, &answers)?;
    form.field(S, "seen_with", "Press Enter to end.");
    let mut seen_with = Vec::new();
    let mut named = Vec::new();
    while let Some(at) = form.known("cause", "cause", &choices.causes, Blank::Allowed)? {
        let Some(cause) = choices.causes.get(at).filter(|_| !named.contains(&at)) else {
            form.say("That one is there already.");
            continue;
        };
        let likely = likely(form, kind, &answers)?;
        seen_with.push(format!("({}, {likely})", quoted(&cause.id)));
        named.push(at);
    }
    let source = form.source(S, &choices.sources)?;

    let mut entry = Entry::of_list();
    put(&mut entry, S, "id", &quoted(&id));
    put(&mut entry, S, "kind", name_of(KINDS, kind));
    put(&mut entry, S, "ask", &quoted(&ask));
    let pairs: Vec<String> = answers
        .iter()
        .map(|answer| format!("({}, {})", quoted(&answer.id), quoted(&answer.name)))
        .collect();
    put_list(&mut entry, S, "answers", &pairs);
    put(&mut entry, S, "look", &quoted(&look));
    put(&mut entry, S, "why", &quoted(&why));
    put(&mut entry, S, "minutes", &format!("{minutes:?}"));
    put(&mut entry, S, "state", name_of(STATES, state));
    put_or(&mut entry, S, "tools", some_list(&tools), "[\"torch\"]");
    put_or(&mut entry, S, "opening", None, "9");
    put_or(&mut entry, S, "group", None, "\"one-name-for-the-same-look\"");
    put_or(&mut entry, S, "only_if", only_if, "[Answer(\"strand\", [\"return\", \"both\"])]");
    put(&mut entry, S, "by_itself", &by_itself);
    put_list(&mut entry, S, "seen_with", &seen_with);
    put(&mut entry, S, "source", &source);
    Ok(NewFile::new(S, "symptoms", &id, &entry))
}

/// The answers of a symptom of this kind.
fn answers(form: &mut Form, kind: usize) -> FilledIn<Vec<Choice>> {
    if kind == 0 {
        let no = form.words("answer no, in words", SHORT, Blank::Refused)?.unwrap_or_default();
        let yes = form.words("answer yes, in words", SHORT, Blank::Refused)?.unwrap_or_default();
        let answer = |id: &str, name: String| Choice { id: id.to_owned(), name };
        return Ok(vec![answer("no", no), answer("yes", yes)]);
    }
    form.say(
        "For each answer its id, then what the person reads. Press Enter to end. At least two.",
    );
    let mut answers: Vec<Choice> = Vec::new();
    loop {
        let number = answers.len() + 1;
        let must = answers.len() < 2;
        let used: Vec<String> = answers.iter().map(|answer| answer.id.clone()).collect();
        let help = |_: &str| vec!["Small letters, digits and -, such as return-run.".to_owned()];
        let id = form.line(&format!("answer {number}, id"), &help, &|line| {
            if line.is_empty() && !must {
                return Ok(None);
            }
            super::reading::good_id(line)?;
            if used.iter().any(|known| known == line) {
                return Err("That id has an answer already.".to_owned());
            }
            Ok(Some(line.to_owned()))
        })?;
        let Some(id) = id else { return Ok(answers) };
        let name = form.words("the same, in words", SHORT, Blank::Refused)?.unwrap_or_default();
        answers.push(Choice { id, name });
    }
}

/// A likelihood for a sign, a row for anything else, in the words of the file.
fn likely(form: &mut Form, kind: usize, answers: &[Choice]) -> FilledIn<String> {
    if kind == 0 {
        form.likelihood("how likely is a yes")
    } else {
        Ok(row_text(&form.row(answers)?))
    }
}

/// Conditions in the words of the file; nothing when there are none.
pub(super) fn conditions(
    form: &mut Form,
    choices: &Choices,
    kind: &str,
) -> FilledIn<Option<String>> {
    form.field(
        kind,
        "only_if",
        "Type a fact of the conveyor or a symptom's id, then which values. Press Enter to end.",
    );
    let mut conditions = Vec::new();
    while let Some(at) =
        form.known("fact or symptom", "fact or symptom", &choices.subjects, Blank::Allowed)?
    {
        let Some((word, subject, values)) = choices.subject(at) else {
            continue;
        };
        form.show(|page| {
            for value in &values {
                let says = match value.name.as_str() {
                    "" => value.id.clone(),
                    name => format!("{}: {name}", value.id),
                };
                page.item("  ", &says);
            }
        });
        let chosen = form.several("value", "value", &values, 1)?;
        let chosen: Vec<&str> =
            chosen.iter().filter_map(|at| Some(values.get(*at)?.id.as_str())).collect();
        conditions.push(format!("{word}({}, {})", quoted(&subject), quoted_list(&chosen)));
    }
    Ok((!conditions.is_empty()).then(|| format!("[{}]", conditions.join(", "))))
}

/// A cause.
pub(super) fn cause(form: &mut Form, choices: &Choices, dir: &Path) -> FilledIn<NewFile> {
    const C: &str = "cause";
    let id = form.id(C, &choices.causes, &dir.join("causes"))?;
    let name = form.must(C, "name", SHORT)?;
    form.field(C, "how_common", "");
    let common = form.word("how_common", COMMON, None)?;
    let because = form.must(C, "happens_because", LONG)?;
    let shows_at = form.text(C, "shows_at", LONG, Blank::Allowed)?;
    let signs = signs(form, choices)?;
    form.field(C, "mistaken_for", "One to a line. Press Enter to end.");
    let mistaken = form.several("cause", "cause", &choices.causes, 0)?;
    let only_if = conditions(form, choices, C)?;
    let specialist = form.text(C, "specialist", LONG, Blank::Allowed)?;
    let source = form.source(C, &choices.sources)?;

    let mut entry = Entry::of_list();
    put(&mut entry, C, "id", &quoted(&id));
    put(&mut entry, C, "name", &quoted(&name));
    put(&mut entry, C, "how_common", name_of(COMMON, common));
    put(&mut entry, C, "happens_because", &quoted(&because));
    put_or(
        &mut entry,
        C,
        "shows_at",
        shows_at.map(|t| quoted(&t)),
        "\"At that roll and just after it.\"",
    );
    put_list(&mut entry, C, "signs", &signs);
    let mistaken: Vec<String> =
        mistaken.iter().filter_map(|at| Some(choices.causes.get(*at)?.id.clone())).collect();
    put_or(&mut entry, C, "mistaken_for", some_list(&mistaken), "[\"another-cause\"]");
    put_or(&mut entry, C, "only_if", only_if, "[Conveyor(\"troughed\", [\"yes\"])]");
    put_or(
        &mut entry,
        C,
        "specialist",
        specialist.map(|t| quoted(&t)),
        "\"Say which rolls, and how soon it came back.\"",
    );
    put(&mut entry, C, "source", &source);
    Ok(NewFile::new(C, "causes", &id, &entry))
}

/// The signs of a cause: first the questions that part the whole book, then those that are named.
fn signs(form: &mut Form, choices: &Choices) -> FilledIn<Vec<String>> {
    form.field("cause", "signs", "");
    form.say(
        "First the questions that everybody is asked: a cause that says nothing there wins or loses by \
         accident. Name the answers that speak for it; Press Enter to say nothing.",
    );
    let mut signs = Vec::new();
    let mut named = Vec::new();
    for &at in &choices.opening {
        if let Some(sign) = sign(form, choices, at)? {
            signs.push(sign);
        }
        named.push(at);
    }
    form.say("Now what else would be seen on a conveyor with just this fault? Press Enter to end.");
    while let Some(at) = form.known("symptom", "symptom", &choices.symptoms, Blank::Allowed)? {
        if named.contains(&at) {
            form.say("That one has its line already.");
            continue;
        }
        if let Some(sign) = sign(form, choices, at)? {
            signs.push(sign);
            named.push(at);
        }
    }
    Ok(signs)
}

/// What the cause says about one symptom.
fn sign(form: &mut Form, choices: &Choices, at: usize) -> FilledIn<Option<String>> {
    let Some(asked) = choices.asked(at) else {
        return Ok(None);
    };
    form.show(|page| {
        page.blank().item("  ", &format!("{}: {}", asked.id, asked.ask));
    });
    let id = quoted(&asked.id);
    let by_row = |word: &str, row: Vec<(String, String)>| {
        (!row.is_empty()).then(|| format!("{word}({id}, {})", row_text(&row)))
    };
    Ok(match asked.kind {
        Kind::Sign { .. } => {
            Some(format!("Sees({id}, {})", form.likelihood("how likely is a yes")?))
        }
        Kind::Grade { .. } => by_row("Reaches", form.row(&asked.answers)?),
        Kind::Marks { .. } => by_row("Marks", form.row(&asked.answers)?),
        Kind::Pattern { .. } => {
            let sided = |answers: &[Choice]| {
                ["left", "right"].iter().all(|side| answers.iter().any(|a| a.id == *side))
            };
            if sided(&asked.answers) {
                form.say(
                    "Does the side follow the side of another question? Type its id, or press Enter for no.",
                );
                let mut others = choices.sided();
                others.retain(|other| other.id != asked.id);
                if let Some(other) =
                    form.known("follows", "question with sides", &others, Blank::Allowed)?
                {
                    const WAYS: &[(&str, &str)] =
                        &[("SameSideAs", "the same side"), ("OppositeSideTo", "the other side")];
                    let way = form.word("which way", WAYS, None)?;
                    let likely = form.likelihood("how likely")?;
                    let other = others.get(other).map_or("", |other| &other.id);
                    return Ok(Some(format!(
                        "{}({id}, {}, {likely})",
                        name_of(WAYS, way),
                        quoted(other)
                    )));
                }
            }
            by_row("Shows", form.row(&asked.answers)?)
        }
    })
}

/// The word at a place.
pub(super) fn name_of(words: &[(&'static str, &str)], at: usize) -> &'static str {
    words.get(at).map_or("", |(word, _)| *word)
}
