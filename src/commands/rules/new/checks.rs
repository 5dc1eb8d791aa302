//! What a fix begins with, as it is typed: a question of the book, or words of its own.

use super::choices::Choices;
use super::entries::{STATES, name_of};
use super::form::{Blank, FilledIn, Form};
use super::reading::Choice;
use super::steps::hands_off;
use crate::rulebook::check::CHECK;
use crate::rulebook::index::{Place, SymptomAt};
use crate::rulebook::writer::quoted_list;
use crate::source::quoted;

const C: &str = "check";
/// Typed instead of a question's id.
const OWN: &str = "words";

/// Checks as they are typed, in the words of the file.
#[derive(Default)]
pub(super) struct Checks {
    /// One to a line of the file.
    pub(super) lines: Vec<String>,
    /// Minutes of all of them.
    pub(super) minutes: f64,
}

/// One of them, its minutes, and whether it can call for the work.
type Check = (String, f64, bool);

/// The checks of a fix; of several, one at least can call for the work.
pub(super) fn checks(form: &mut Form, choices: &Choices) -> FilledIn<Checks> {
    form.field(
        "fix",
        "begins_with",
        "The id of a question, or the word words for a look that no question covers. Press Enter to end.",
    );
    let own = Choice { id: OWN.to_owned(), name: "a look that no question covers".to_owned() };
    let asked = choices.symptoms.iter().map(|s| Choice { id: s.id.clone(), name: s.name.clone() });
    let known: Vec<Choice> = std::iter::once(own).chain(asked).collect();
    let mut checks = Checks::default();
    let mut named: Vec<usize> = Vec::new();
    let mut calls = false;
    loop {
        let blank = match checks.lines.is_empty() || calls {
            true => Blank::Allowed,
            false => Blank::Refused,
        };
        if blank == Blank::Refused {
            form.say("None of these calls for the work yet: it would never be done. Name a check that does.");
        }
        let Some(at) = form.known("check", "question", &known, blank)? else { return Ok(checks) };
        let (line, minutes, can_call) = match at.checked_sub(1) {
            None => of_words(form)?,
            Some(at) if named.contains(&at) => {
                form.say("That one is there already.");
                continue;
            }
            Some(at) => {
                named.push(at);
                of_symptom(form, choices, at)?
            }
        };
        calls |= can_call;
        checks.minutes += minutes;
        checks.lines.push(line);
    }
}

fn of_symptom(form: &mut Form, choices: &Choices, at: usize) -> FilledIn<Check> {
    let Some(asked) = choices.asked(at) else {
        return Ok((String::new(), 0.0, false));
    };
    let symptom = &choices.book.symptoms[SymptomAt::at(at)];
    form.say(asked.ask);
    form.show(|page| {
        for answer in &asked.answers {
            page.item("  ", &format!("{}: {}", answer.id, answer.name));
        }
    });
    form.field(C, "go_on", "One to a line. Press Enter to end.");
    let go_on = form.several("go_on", "answer", &asked.answers, 0)?;
    let needs = match go_on.is_empty() {
        true => None,
        false => meaning(form, "needs", Blank::Refused)?,
    };
    let left: Vec<Choice> = (asked.answers.iter().enumerate())
        .filter(|(place, _)| !go_on.contains(place))
        .map(|(_, answer)| Choice { id: answer.id.clone(), name: answer.name.clone() })
        .collect();
    form.field(C, "stop_on", "One to a line. Press Enter to end.");
    let stop_on = form.several("stop_on", "answer", &left, usize::from(go_on.is_empty()))?;
    let stop_if = match stop_on.is_empty() {
        true => None,
        false => meaning(form, "stop_if", Blank::Refused)?,
    };
    form.field(C, "words", "Press Enter for the question itself.");
    let words = form.words("words", CHECK, Blank::Allowed)?;
    form.field(C, "minutes", &format!("Enter alone: {}.", symptom.minutes));
    let minutes = form.number("minutes", 0.1..=1000.0, Some(symptom.minutes))?;

    let ids = |known: &[Choice], places: &[usize]| -> Vec<String> {
        places.iter().filter_map(|at| Some(known.get(*at)?.id.clone())).collect()
    };
    let mut parts = vec![format!("symptom: {}", quoted(&asked.id))];
    let mut put = |field: &str, value: Option<String>| {
        parts.extend(value.map(|value| format!("{field}: {value}")));
    };
    put("words", words.map(|text| quoted(&text)));
    put("needs", needs.as_deref().map(quoted));
    put("go_on", (!go_on.is_empty()).then(|| quoted_list(&ids(&asked.answers, &go_on))));
    put("stop_if", stop_if.as_deref().map(quoted));
    put("stop_on", (!stop_on.is_empty()).then(|| quoted_list(&ids(&left, &stop_on))));
    put("minutes", (minutes != symptom.minutes).then(|| format!("{minutes:?}")));
    Ok((format!("({})", parts.join(", ")), minutes, needs.is_some()))
}

fn of_words(form: &mut Form) -> FilledIn<Check> {
    form.field(C, "state", "Press Enter for LockedOut.");
    let state = form.word("state", STATES, Some(2))?;
    let state = name_of(STATES, state);
    form.field(C, "words", "");
    let fit = |text: &str| if state == "LockedOut" { Ok(()) } else { hands_off(text) };
    let words = form.words_that("words", CHECK, Blank::Refused, &fit)?.unwrap_or_default();
    let needs = meaning(form, "needs", Blank::Allowed)?;
    let stop_if = meaning(form, "stop_if", Blank::until(needs.iter().len(), 1))?;
    form.field(C, "minutes", "");
    let minutes = form.number("minutes", 0.1..=1000.0, None)?;
    let mut parts = vec![format!("words: {}", quoted(&words))];
    if state != "LockedOut" {
        parts.push(format!("state: {state}"));
    }
    parts.extend(needs.as_deref().map(|text| format!("needs: {}", quoted(text))));
    parts.extend(stop_if.as_deref().map(|text| format!("stop_if: {}", quoted(text))));
    parts.push(format!("minutes: {minutes:?}"));
    Ok((format!("({})", parts.join(", ")), minutes, needs.is_some()))
}

/// What an answer of a check means, in words.
fn meaning(form: &mut Form, field: &str, blank: Blank) -> FilledIn<Option<String>> {
    form.field(C, field, if blank == Blank::Refused { "" } else { "Press Enter to leave it out." });
    form.words(field, CHECK, blank)
}
