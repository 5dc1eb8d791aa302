//! The form of a fix.

use std::path::Path;

use super::checks::{Checks, checks};
use super::choices::Choices;
use super::entries::{
    ASK, LONG, NewFile, SHORT, STATES, conditions, name_of, put, put_list, put_or, some_list,
};
use super::form::{Blank, FilledIn, Form};
use super::reading::{Choice, find, listed};
use super::steps::{self, Steps};
use crate::rulebook::check::{LONG_WORK_MIN, speaks_of};
use crate::rulebook::model::{Held, Tool};
use crate::rulebook::writer::Entry;
use crate::source::quoted;

const STAGES: &[(&str, &str)] = &[
    ("Weather", "ice, snow, rain, sun and wind"),
    ("Clean", "dirt off rolls, pulleys and carriage"),
    ("Rolls", "rolls that stick or are worn"),
    ("Supports", "supports, anchors and ground"),
    ("Frame", "the frame straight and level"),
    ("Pulleys", "pulleys sound, square and level"),
    ("TakeUp", "screws and carriage of the take-up"),
    ("Idlers", "idlers square, level and in line"),
    ("Tension", "how tight the belt is"),
    ("Surface", "lagging and crown of pulleys"),
    ("Belt", "splices and the belt itself"),
    ("Load", "chute and feed"),
    ("Train", "steers: only after everything that makes it run off is put right"),
    ("Trainers", "steers: only after everything that makes it run off is put right"),
];
/// A fix.
pub(super) fn fix(form: &mut Form, choices: &Choices, dir: &Path) -> FilledIn<NewFile> {
    const F: &str = "fix";
    let id = form.id(F, &choices.fixes, &dir.join("fixes"))?;
    let title = form.must(F, "title", SHORT)?;
    form.field(F, "stage", "");
    let stage = form.word("stage", STAGES, None)?;
    let cures = cures(form, choices)?;
    form.field(F, "state", "");
    let states = STATES.get(1..).unwrap_or_default();
    let state = name_of(states, form.word("state", states, Some(1))?);
    let runs = state == "Running";
    let checks = checks(form, choices)?;
    let in_short = match checks.lines.is_empty() {
        true => None,
        false => Some(form.must(F, "work", SHORT)?),
    };
    let steps = if runs { steps::running(form)? } else { steps::locked_out(form)? };
    let minutes = minutes(form, choices, &checks, &steps)?;
    let no_check = match checks.lines.is_empty() && minutes >= LONG_WORK_MIN {
        true => Some(form.must(F, "no_check", LONG)?),
        false => None,
    };
    form.field(F, "people", "Enter alone: 1.");
    let people = form.number("people", 1.0..=20.0, Some(1.0))?;
    let held = runs.then_some(Held::FromOutside);
    let tools = tools(form, choices, held, &steps.said)?;
    let parts = form.texts(F, "parts", ASK, 0)?;
    let only_if = conditions(form, choices, F)?;
    let fit: &dyn Fn(&str) -> Result<(), String> =
        if runs { &steps::hands_off } else { &|_| Ok(()) };
    form.field(F, "done_when", "");
    let done_when = form.words_that("done_when", LONG, Blank::Refused, fit)?.unwrap_or_default();
    form.say("Where does that limit come from?");
    let limit = form.source_mark(&choices.sources)?;
    let never = form.texts(F, "never", LONG, 0)?;
    form.field(F, "worked", "Press Enter to leave it out.");
    let worked = form.words_that("worked", LONG, Blank::Allowed, fit)?;
    form.field(F, "cautions", "One to a line. Press Enter to end.");
    let cautions = form.several("caution", "caution", &choices.cautions, 0)?;
    let source = form.source(F, &choices.sources)?;

    let mut entry = Entry::of_list();
    put(&mut entry, F, "id", &quoted(&id));
    put(&mut entry, F, "title", &quoted(&title));
    put(&mut entry, F, "stage", name_of(STAGES, stage));
    put_list(&mut entry, F, "cures", &cures);
    if checks.lines.is_empty() {
        let example = "[(symptom: \"caked-roll\", needs: \"Cake on it\", go_on: [\"yes\"])]";
        put_or(&mut entry, F, "begins_with", None, example);
    } else {
        put_list(&mut entry, F, "begins_with", &checks.lines);
    }
    let no_check = no_check.map(|text| quoted(&text));
    put_or(&mut entry, F, "no_check", no_check, "\"The stop itself has shown it.\"");
    put_or(&mut entry, F, "work", in_short.map(|text| quoted(&text)), "\"cut it off\"");
    put(&mut entry, F, "state", state);
    put(&mut entry, F, "minutes", &format!("{minutes:?}"));
    put(&mut entry, F, "people", &format!("{people:.0}"));
    put_or(&mut entry, F, "tools", some_list(&tools), "[\"spirit level\"]");
    put_or(&mut entry, F, "parts", some_list(&parts), "[\"steel shims of the full foot size\"]");
    put_or(&mut entry, F, "after", None, "[Every(Clean)]");
    put_or(&mut entry, F, "needs", None, "[Fix(\"another-fix\")]");
    put_or(&mut entry, F, "only_if", only_if, "[Conveyor(\"take_up\", [\"screw\"])]");
    put_list(&mut entry, F, "steps", &steps.lines);
    put(&mut entry, F, "done_when", &format!("({}, {limit})", quoted(&done_when)));
    put_or(&mut entry, F, "never", some_list(&never), "[\"Cut across the belt cover.\"]");
    put_or(
        &mut entry,
        F,
        "worked",
        worked.map(|t| quoted(&t)),
        "\"The belt keeps its place for three full turns.\"",
    );
    let cautions: Vec<String> =
        cautions.iter().filter_map(|at| Some(choices.cautions.get(*at)?.id.clone())).collect();
    put_or(&mut entry, F, "cautions", some_list(&cautions), "[\"manual-handling\"]");
    put(&mut entry, F, "source", &source);
    Ok(NewFile::new(F, "fixes", &id, &entry))
}

/// The whole, which holds the checks and what each move of the belt costs.
fn minutes(form: &mut Form, choices: &Choices, checks: &Checks, steps: &Steps) -> FilledIn<f64> {
    let each = choices.book.minutes.lock_out + choices.book.minutes.restart_and_watch;
    let spent = checks.minutes + f64::from(steps.moves) * each;
    let more = if spent > 0.0 {
        format!("Checks and moves of the belt take {spent} of them.")
    } else {
        String::new()
    };
    form.field("fix", "minutes", &more);
    form.number("minutes", (spent + 1.0)..=10_000.0, None)
}

/// Tools by the book's names; on a running machine only those that are used from outside the guards.
fn tools(
    form: &mut Form,
    choices: &Choices,
    only: Option<Held>,
    said: &[String],
) -> FilledIn<Vec<String>> {
    let fits = |tool: &Tool| only.is_none_or(|held| tool.held == held);
    let book = || choices.book.tools.iter().zip(&choices.tools).filter(|(tool, _)| fits(tool));
    let known: Vec<Choice> =
        book().map(|(_, tool)| Choice { id: tool.id.clone(), name: tool.name.clone() }).collect();
    form.field("fix", "tools", "One to a line. Press Enter to end.");
    let spoken: Vec<&str> = book()
        .map(|(tool, _)| tool)
        .filter(|tool| {
            let words: Vec<String> =
                std::iter::once(&tool.name).chain(&tool.words).map(|w| w.to_lowercase()).collect();
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            said.iter().any(|text| speaks_of(text, &words))
        })
        .map(|tool| tool.name.as_str())
        .collect();
    if !spoken.is_empty() {
        form.say(&format!("The steps speak of: {}.", spoken.join(", ")));
    }
    let mut tools: Vec<String> = Vec::new();
    loop {
        let label = format!("tool {}", tools.len() + 1);
        let help = |word: &str| listed(&known, word, "");
        let named = form.line(&label, &help, &|line| {
            let lower = line.to_lowercase();
            match known.iter().find(|tool| tool.id.to_lowercase() == lower) {
                _ if line.is_empty() => Ok(None),
                Some(tool) => Ok(Some((tool.id.clone(), true))),
                None if only.is_some() => {
                    let wrong = find(line, "tool that may be used while it runs", &known);
                    Err(wrong.err().unwrap_or_default())
                }
                None if line.chars().count() > SHORT => Err("A tool's name is shorter.".to_owned()),
                None => Ok(Some((line.to_owned(), false))),
            }
        })?;
        let Some((name, in_book)) = named else { return Ok(tools) };
        if !in_book {
            let wrong = find(&name, "tool", &known).err().unwrap_or_default();
            form.say(&wrong);
            let keep = "Keep it as it is, and add it to tools.ron of this folder afterwards?";
            if !form.yes(keep)? {
                continue;
            }
        }
        if tools.contains(&name) {
            form.say("That one is there already.");
        } else {
            tools.push(name);
        }
    }
}

fn cures(form: &mut Form, choices: &Choices) -> FilledIn<Vec<String>> {
    form.field("fix", "cures", "Press Enter to end. At least one.");
    let mut cures = Vec::new();
    let mut named = Vec::new();
    while let Some(at) =
        form.known("cause", "cause", &choices.causes, Blank::until(cures.len(), 1))?
    {
        let Some(cause) = choices.causes.get(at).filter(|_| !named.contains(&at)) else {
            form.say("That one is there already.");
            continue;
        };
        let likely = form.likelihood("how often it is cured then")?;
        cures.push(format!("({}, {likely})", quoted(&cause.id)));
        named.push(at);
    }
    Ok(cures)
}

#[cfg(test)]
mod tests {
    use super::steps::{ENDS, WAYS};
    use super::*;
    use crate::commands::rules::new::site::{HAZARDS, STANDING};
    use crate::rulebook::model::{End, Hazard, Stage, Standing, Toward};
    use crate::trade::MachineState;

    /// The words that a type takes, from what ron says of one that it does not.
    fn taken<T: serde::de::DeserializeOwned + std::fmt::Debug>() -> &'static [&'static str] {
        match ron::from_str::<T>("Nonsense").unwrap_err().code {
            ron::Error::NoSuchEnumVariant { expected, .. } => expected,
            other => panic!("{other}"),
        }
    }

    fn offered(words: &[(&'static str, &str)]) -> Vec<&'static str> {
        words.iter().map(|(word, _)| *word).collect()
    }

    #[test]
    fn every_word_of_the_files_is_offered() {
        assert_eq!(offered(STAGES), taken::<Stage>());
        assert_eq!(offered(ENDS), taken::<End>());
        assert_eq!(offered(WAYS), taken::<Toward>());
        assert_eq!(offered(STATES), taken::<MachineState>());
        assert_eq!(offered(HAZARDS), taken::<Hazard>());
        assert_eq!(offered(STANDING), taken::<Standing>());
    }
}
