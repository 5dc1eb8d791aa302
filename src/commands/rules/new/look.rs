//! The form of a look: what one person takes in standing at one place.

use std::path::Path;

use super::choices::Choices;
use super::entries::{NewFile, STATES, name_of, put, put_list, put_or, some_list};
use super::form::{FilledIn, Form};
use super::reading::Choice;
use crate::rulebook::index::SymptomAt;
use crate::rulebook::writer::Entry;
use crate::source::quoted;

/// Most characters of a title, and of where to stand.
const TITLE: usize = 38;
const STAND: usize = 160;

const PLACES: &[(&str, &str)] = &[
    ("Papers", "at the desk or by radio"),
    ("WholeLine", "all along the conveyor and back"),
    ("Tail", "at the tail"),
    ("LoadZone", "just past the chute and the skirts"),
    ("CarryRun", "beside the carry strand"),
    ("Head", "at the head"),
    ("Drive", "at the drive"),
    ("ReturnRun", "beside the return strand"),
    ("TakeUp", "at the take-up"),
    ("TroubleSpot", "wherever the belt is worst"),
    ("BeltPart", "wherever one part of the belt was stopped"),
];

/// A look.
pub(super) fn look(form: &mut Form, choices: &Choices, dir: &Path) -> FilledIn<NewFile> {
    const L: &str = "look";
    let id = form.id(L, &choices.looks, &dir.join("looks"))?;
    let title = form.must(L, "title", TITLE)?;
    form.field(L, "place", "");
    let place = form.word("place", PLACES, None)?;
    form.field(L, "state", "");
    let state = form.word("state", STATES, None)?;
    let stand = form.must(L, "stand", STAND)?;
    form.field(L, "minutes", "Enter alone: 1.");
    let minutes = form.number("minutes", 0.0..=600.0, Some(1.0))?;
    form.field(L, "turns", "Enter alone: 0.");
    let turns = form.number("turns", 0.0..=10.0, Some(0.0))?;
    form.field(L, "per_50_m", "Enter alone: 0.");
    let per_50_m = form.number("per_50_m", 0.0..=60.0, Some(0.0))?;
    let symptoms = symptoms(form, choices, name_of(STATES, state))?;
    form.field(L, "tools", "One to a line. Press Enter to end.");
    let tools = ids(&choices.tools, form.several("tool", "tool", &choices.tools, 0)?);
    form.field(L, "cautions", "One to a line. Press Enter to end.");
    let cautions =
        ids(&choices.cautions, form.several("caution", "caution", &choices.cautions, 0)?);
    let source = form.source(L, &choices.sources)?;

    let list = |ids: &[String]| some_list(ids).unwrap_or_else(|| "[]".to_owned());
    let over_nought = |number: f64| (number > 0.0).then(|| format!("{number:?}"));
    let mut entry = Entry::of_list();
    put(&mut entry, L, "id", &quoted(&id));
    put(&mut entry, L, "title", &quoted(&title));
    put(&mut entry, L, "place", name_of(PLACES, place));
    put(&mut entry, L, "state", name_of(STATES, state));
    put(&mut entry, L, "stand", &quoted(&stand));
    put(&mut entry, L, "minutes", &format!("{minutes:?}"));
    put_or(&mut entry, L, "turns", over_nought(turns), "3.0");
    put_or(&mut entry, L, "per_50_m", over_nought(per_50_m), "3.0");
    put_or(&mut entry, L, "early_if", None, "[Answer(\"strand\", [\"return\"])]");
    let quoted_symptoms: Vec<String> = symptoms.iter().map(|symptom| quoted(symptom)).collect();
    put_list(&mut entry, L, "symptoms", &quoted_symptoms);
    put(&mut entry, L, "tools", &list(&tools));
    put(&mut entry, L, "cautions", &list(&cautions));
    put(&mut entry, L, "source", &source);
    Ok(NewFile::new(L, "looks", &id, &entry))
}

/// What is looked at there: symptoms that stand in no look yet, all of the look's state.
fn symptoms(form: &mut Form, choices: &Choices, state: &str) -> FilledIn<Vec<String>> {
    let book = choices.book;
    let free = |at: &SymptomAt| {
        let symptom = &book.symptoms[*at];
        book.looks[symptom.look].place.is_none() && format!("{:?}", symptom.state) == state
    };
    let free: Vec<Choice> = book
        .symptoms
        .places()
        .filter(free)
        .map(|at| Choice { id: book.symptoms[at].id.clone(), name: book.symptoms[at].ask.clone() })
        .collect();
    form.field("look", "symptoms", "One to a line. Press Enter to end.");
    if free.is_empty() {
        form.say(
            "Every symptom of this state is in a look already. Write the symptom first, with \
             `straybelt rules new symptom`, then add its id to the list in the file.",
        );
        return Ok(Vec::new());
    }
    let chosen = form.several("symptom", "symptom in no look yet", &free, 1)?;
    Ok(ids(&free, chosen))
}

fn ids(known: &[Choice], chosen: Vec<usize>) -> Vec<String> {
    chosen.into_iter().filter_map(|at| Some(known.get(at)?.id.clone())).collect()
}
