//! The form of a case.

use std::path::Path;

use super::choices::Choices;
use super::entries::{NewFile, SHORT, put, put_list, put_or};
use super::form::{Blank, FilledIn, Form};
use super::reading::Choice;
use crate::conveyor::facts::{Fact, FactKey, Facts};
use crate::rulebook::fields;
use crate::rulebook::index::Place;
use crate::rulebook::network::Kind;
use crate::rulebook::writer::{Entry, list_file, quoted_list};
use crate::show::chance;
use crate::source::quoted;
use crate::visit::{Depth, Diagnosis, Finding, Observations, Reply};

const C: &str = "case";

/// Answers by symptom, as a case has them.
/// Ids of symptoms, each with its answer as the file writes it.
type CaseAnswers = Vec<(String, String)>;

/// Asks for answers, and says what they are as a visit would have them.
fn answers(form: &mut Form, choices: &Choices) -> FilledIn<(CaseAnswers, Observations)> {
    form.field(C, "answers", "The symptom's id, then its answer. Press Enter to end.");
    let mut told = Observations::none(choices.book);
    let mut answers = CaseAnswers::new();
    while let Some(at) =
        form.known("symptom", "symptom", &choices.symptoms, Blank::until(answers.len(), 1))?
    {
        let Some(asked) = choices.asked(at).filter(|a| answers.iter().all(|(id, _)| *id != a.id))
        else {
            form.say("That one has its answer already.");
            continue;
        };
        form.say(asked.ask);
        if let Kind::Marks { .. } = asked.kind {
            let symptom = &choices.book.symptoms[Place::at(at)];
            form.say("All that is ticked, one to a line. Press Enter to end. None at all: nothing is ticked.");
            let ticked = form.several("answer", "answer", &asked.answers, 0)?;
            let answer = symptom.ticking(|mark| ticked.contains(&mark));
            told.replies[Place::at(at)] = Reply::Answer(answer);
            answers.push((asked.id, symptom.told(answer).written()));
            continue;
        }
        let words: Vec<(&str, &str)> = asked
            .answers
            .iter()
            .map(|answer| (answer.id.as_str(), answer.name.as_str()))
            .chain([("unknown", "cannot be told")])
            .collect();
        let chosen = form.word("answer", &words, None)?;
        let reply = if chosen < asked.answers.len() {
            Reply::Answer(Place::at(chosen))
        } else {
            Reply::CantTell
        };
        told.replies[Place::at(at)] = reply;
        let answer = words.get(chosen).map_or("", |(id, _)| *id);
        answers.push((asked.id, quoted(answer)));
    }
    Ok((answers, told))
}

/// A case from answers that are typed.
pub(super) fn case(
    form: &mut Form,
    choices: &Choices,
    used: &[Choice],
    dir: &Path,
) -> FilledIn<NewFile> {
    let book = choices.book;
    let id = form.id(C, used, &dir.join("cases"))?;
    let title = form.must(C, "title", SHORT)?;
    let source = form.source(C, &choices.sources)?;
    let facts = facts(form)?;
    let (answers, told) = answers(form, choices)?;
    let known: Facts = facts.iter().copied().collect();
    let finding = Diagnosis::new(book).finding_to(&known, &told, Depth::Ranking);
    let leading: Vec<&str> = leading(choices, &finding).collect();
    let stand: Vec<String> = finding
        .ranked
        .iter()
        .take(3)
        .map(|r| format!("{} {}", book.causes[r.cause].id, chance::percent(r.probability)))
        .collect();
    form.field(C, "expect", "");
    form.say(&format!(
        "With these answers the book now puts first: {}. Which cause should lead? One to a line, any of them \
         will do; Press Enter for the one that leads now.",
        if stand.is_empty() { "nothing".to_owned() } else { stand.join(", ") }
    ));
    let leads = form.several("cause", "cause", &choices.causes, usize::from(leading.is_empty()))?;
    let leads: Vec<&str> = if leads.is_empty() {
        leading.iter().copied().take(1).collect()
    } else {
        leads.iter().filter_map(|at| Some(choices.causes.get(*at)?.id.as_str())).collect()
    };
    form.say("Fixes that must be in the plan, one to a line. Press Enter to end.");
    let plans = form.several("fix", "fix", &choices.fixes, 0)?;
    let plans: Vec<&str> =
        plans.iter().filter_map(|at| Some(choices.fixes.get(*at)?.id.as_str())).collect();

    let mut expect = vec![format!("Leads({})", quoted_list(&leads))];
    if !plans.is_empty() {
        expect.push(format!("Plans({})", quoted_list(&plans)));
    }
    let mut entry = Entry::of_list();
    put(&mut entry, C, "id", &quoted(&id));
    put(&mut entry, C, "title", &quoted(&title));
    put(&mut entry, C, "source", &source);
    let facts_written: Vec<(&str, &str)> =
        facts.iter().map(|fact| (fact.key().word(), fact.value())).collect();
    put_or(&mut entry, C, "conveyor", some_map(&facts_written), "{\"class\": \"troughed-bulk\"}");
    put_map(&mut entry, "answers", &answers);
    put_list(&mut entry, C, "expect", &expect);
    more_expectations(&mut entry);
    put_or(&mut entry, C, "todo", None, "true");
    Ok(NewFile::new(C, "cases", &id, &entry))
}

fn facts(form: &mut Form) -> FilledIn<Vec<Fact>> {
    form.field(C, "conveyor", "The fact, then its value. Press Enter to end.");
    let keys: Vec<Choice> = FactKey::FOR_RULES
        .iter()
        .map(|key| Choice { id: key.word().to_owned(), name: key.value_words().join(", ") })
        .collect();
    let mut facts: Vec<Fact> = Vec::new();
    while let Some(at) = form.known("fact", "fact", &keys, Blank::Allowed)? {
        let Some(key) = FactKey::FOR_RULES.get(at).copied() else {
            continue;
        };
        if facts.iter().any(|known| known.key() == key) {
            form.say("That one has its value already.");
            continue;
        }
        let values = key.values();
        let words: Vec<(&str, &str)> = values.iter().map(|fact| (fact.value(), "")).collect();
        let chosen = form.word("value", &words, None)?;
        facts.extend(values.get(chosen));
    }
    Ok(facts)
}

fn leading<'s>(choices: &'s Choices, finding: &'s Finding) -> impl Iterator<Item = &'s str> {
    finding.ranked.iter().map(|ranked| choices.book.causes[ranked.cause].id.as_str())
}

/// Named values in the words of the file.
pub(super) fn map<T: AsRef<str>>(pairs: &[(T, T)]) -> String {
    let pairs = pairs.iter().map(|(key, value)| (key.as_ref(), value.as_ref()));
    let pairs: Vec<String> =
        pairs.map(|(key, value)| format!("{}: {}", quoted(key), quoted(value))).collect();
    format!("{{{}}}", pairs.join(", "))
}

/// The same for values as the file writes them.
pub(super) fn map_written(pairs: &[(String, String)]) -> String {
    format!("{{{}}}", written(pairs).join(", "))
}

fn written(pairs: &[(String, String)]) -> Vec<String> {
    pairs.iter().map(|(key, value)| format!("{}: {value}", quoted(key))).collect()
}

/// Named values, as the file writes them, below their comment, as many to a line as fit.
pub(super) fn put_map(entry: &mut Entry, field: &str, pairs: &[(String, String)]) {
    entry.comment(fields::says(C, field).unwrap_or(field));
    entry.map(field, &written(pairs));
}

/// The same, or nothing for none.
pub(super) fn some_map<T: AsRef<str>>(pairs: &[(T, T)]) -> Option<String> {
    (!pairs.is_empty()).then(|| map(pairs))
}

/// What else a case may expect, as a comment below what it does.
pub(super) fn more_expectations(entry: &mut Entry) {
    entry.comment(
        "Also: Among(3, [causes]) within the first three, Above(\"a\", \"b\"), Below(\"a\", 0.05), \
         AtLeast(\"a\", 0.5), LeftOut([causes]), Asks([questions]), Never([questions]), Plans([fixes]), \
         NeverPlans([fixes]), First([fixes]), Before(\"fix\", \"fix\"), Says(\"fix\", \"text\"), Unclear([questions]).",
    );
}

/// A file of cases.
pub(super) fn cases_file(head: &[String], id: &str, entries: &[Entry]) -> NewFile {
    NewFile { inside: format!("cases/{id}.ron"), text: list_file(head, entries) }
}
