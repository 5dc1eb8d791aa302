//! The form of a fix.

use std::path::Path;

use super::entries::{
    LONG, SHORT, STATES, Sheet, conditions, name_of, put, put_list, put_or, some_list,
};
use super::form::{Filled, Form};
use super::shelf::Shelf;
use crate::rulebook::pen::{Entry, quoted};

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
const ENDS: &[(&str, &str)] = &[
    ("BeltSide", "the side the belt has run to"),
    ("FarSide", "the other one"),
    ("SlackSide", "the side whose take-up stands shorter"),
    ("TightSide", "the other one"),
    ("LowFrameSide", "the low side of the frame"),
    ("LowPulleySide", "the low side of the pulley"),
    ("LowIdlerSide", "the low side of the idler"),
    ("LeadingEnd", "the end of the roll that the belt meets first"),
    ("LaggingEnd", "the end that it meets last"),
];
const WAYS: &[(&str, &str)] = &[
    ("WithStrand", "the way this strand travels: a skew"),
    ("AgainstStrand", "against it: a skew"),
    ("SquareUp", "the way this strand travels, until it is square: no skew"),
    ("Head", "toward the head"),
    ("Tail", "toward the tail"),
];

/// A fix.
pub(super) fn fix(form: &mut Form, shelf: &Shelf, dir: &Path) -> Filled<Sheet> {
    const F: &str = "fix";
    let id = form.id(F, &shelf.fixes, &dir.join("fixes"))?;
    let title = form.must(F, "title", SHORT)?;
    form.field(F, "stage", "");
    let stage = form.word("stage", STAGES, None)?;
    let cures = cures(form, shelf)?;
    form.field(F, "state", "");
    let states = STATES.get(1..).unwrap_or_default();
    let state = form.word("state", states, Some(1))?;
    form.field(F, "minutes", "");
    let minutes = form.number("minutes", 1.0..=10_000.0, None)?;
    form.field(F, "people", "Enter alone: 1.");
    let people = form.number("people", 1.0..=20.0, Some(1.0))?;
    let tools = form.texts(F, "tools", SHORT, 0)?;
    let only_if = conditions(form, shelf, F)?;
    let steps = steps(form)?;
    let done_when = form.must(F, "done_when", LONG)?;
    form.say("Where does that limit come from?");
    let limit = form.source_mark(&shelf.sources)?;
    let do_not = form.texts(F, "do_not", LONG, 0)?;
    let worked = form.text(F, "worked", LONG, false)?;
    let least = usize::from(name_of(states, state) == "LockedOut");
    let more = if least > 0 {
        "A locked-out fix has at least one; lockout is the first. One to a line; Enter alone ends."
    } else {
        "One to a line; Enter alone ends."
    };
    form.field(F, "cautions", more);
    let cautions = form.several("caution", "caution", &shelf.cautions, least)?;
    let source = form.source(F, &shelf.sources)?;

    let mut entry = Entry::of_list();
    put(&mut entry, F, "id", &quoted(&id));
    put(&mut entry, F, "title", &quoted(&title));
    put(&mut entry, F, "stage", name_of(STAGES, stage));
    put_list(&mut entry, F, "cures", &cures);
    put(&mut entry, F, "state", name_of(states, state));
    put(&mut entry, F, "minutes", &format!("{minutes:?}"));
    put(&mut entry, F, "people", &format!("{people:.0}"));
    put_or(&mut entry, F, "tools", some_list(&tools), "[\"spirit level\"]");
    put_or(&mut entry, F, "after", None, "[Every(Clean)]");
    put_or(&mut entry, F, "needs", None, "[Fix(\"another-fix\")]");
    put_or(&mut entry, F, "only_if", only_if, "[Conveyor(\"take_up\", [\"screw\"])]");
    put_list(&mut entry, F, "steps", &steps);
    put(&mut entry, F, "done_when", &format!("({}, {limit})", quoted(&done_when)));
    put_or(&mut entry, F, "do_not", some_list(&do_not), "[\"Do not cut across the belt cover.\"]");
    put_or(
        &mut entry,
        F,
        "worked",
        worked.map(|t| quoted(&t)),
        "\"The belt keeps its place for three full turns.\"",
    );
    let cautions: Vec<String> =
        cautions.iter().filter_map(|at| Some(shelf.cautions.get(*at)?.id.clone())).collect();
    put_or(&mut entry, F, "cautions", some_list(&cautions), "[\"lockout\"]");
    put(&mut entry, F, "source", &source);
    Ok(Sheet::of(F, "fixes", &id, &entry))
}

fn cures(form: &mut Form, shelf: &Shelf) -> Filled<Vec<String>> {
    form.field("fix", "cures", "Enter alone ends; at least one.");
    let mut cures = Vec::new();
    let mut named = Vec::new();
    while let Some(at) = form.known("cause", "cause", &shelf.causes, cures.is_empty())? {
        let Some(cause) = shelf.causes.get(at).filter(|_| !named.contains(&at)) else {
            form.say("That one is there already.");
            continue;
        };
        let likely = form.likelihood("how often it is cured then")?;
        cures.push(format!("({}, {likely})", quoted(&cause.id)));
        named.push(at);
    }
    Ok(cures)
}

fn steps(form: &mut Form) -> Filled<Vec<String>> {
    form.field(
        "fix",
        "steps",
        "A step to a line, in plain words. The word mark, end, move or raise alone asks for such a step: what \
         is moved must be marked before. Enter alone ends.",
    );
    let mut steps = Vec::new();
    loop {
        let label = format!("step {}", steps.len() + 1);
        let Some(step) = form.words(&label, LONG, steps.is_empty())? else {
            return Ok(steps);
        };
        let part = |form: &mut Form, field: &str| -> Filled<String> {
            Ok(quoted(&form.must("step", field, SHORT)?))
        };
        steps.push(match step.to_lowercase().as_str() {
            "mark" => format!("Mark({})", part(form, "what")?),
            "move" => format!("Move(what: {}, how: {})", part(form, "what")?, part(form, "how")?),
            "end" => {
                let of = part(form, "of")?;
                form.field("step", "end", "");
                let end = name_of(ENDS, form.word("end", ENDS, None)?);
                form.field("step", "toward", "");
                let toward = name_of(WAYS, form.word("toward", WAYS, None)?);
                format!(
                    "MoveEnd(of: {of}, end: {end}, toward: {toward}, by: {})",
                    part(form, "by")?
                )
            }
            "raise" => {
                let what = part(form, "what")?;
                form.field("step", "end", "");
                let end = name_of(ENDS, form.word("end", ENDS, None)?);
                format!("Raise(what: {what}, end: {end}, by: {})", part(form, "by")?)
            }
            _ => format!("Do({})", quoted(&step)),
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rulebook::model::{End, Stage, State, Toward};

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
        assert_eq!(offered(STATES), taken::<State>());
    }
}
