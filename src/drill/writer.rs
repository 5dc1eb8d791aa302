//! Writes a drill as a person would, with a comment above each field: for drills that are drawn or asked for.

use super::written::Grade;
use crate::rulebook::writer::{Entry, list_file, quoted_list};
use crate::source::quoted;
use crate::trade::Basis;

/// A drill in plain words, before it is written. What it says is checked when it is read.
#[derive(Debug, Clone, PartialEq)]
pub struct Sketch {
    /// Its id: a-z, 0-9 and -.
    pub id: String,
    /// What it is called.
    pub title: String,
    /// How much it asks.
    pub grade: Grade,
    /// What the learner is told at the start.
    pub briefing: String,
    /// The data of the conveyor in the words of the file, in brackets: `(name: "OQ-04", class: "flat")`.
    pub conveyor: String,
    /// What is hidden.
    pub hidden: Vec<SketchedCause>,
    /// Answers that stand whatever else is the case: question and answer, by id.
    pub shows: Vec<(String, String)>,
    /// What an expert looks at after the opening questions, by id.
    pub expert: Vec<String>,
    /// What the learner is to take home.
    pub aims: Vec<String>,
    /// What to talk about afterwards.
    pub talk: Vec<String>,
    /// Settles all that is left to chance.
    pub seed: u32,
    /// Where it comes from.
    pub source: Origin,
}

/// A hidden cause before it is written.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SketchedCause {
    /// Its id.
    pub cause: String,
    /// Its parts in the words of the file: `SpliceCrooked(at: "12 m", toward: Left, by: "20 mm")`.
    pub parts: Vec<String>,
    /// The fixes that take it away, by id; empty: those that the book says.
    pub yields_to: Vec<String>,
}

/// Where a drill comes from; a source of the book by its id.
pub type Origin = Basis<String, String>;

fn written(origin: &Origin) -> String {
    match origin {
        Basis::Published(id, place) => format!("Published({}, {})", quoted(id), quoted(place)),
        Basis::CommonPractice => "CommonPractice".to_owned(),
        Basis::Memory => "Memory".to_owned(),
        Basis::Derived(from) => format!("Derived({})", quoted(from)),
    }
}

/// The drill as a file of its own, with this comment at its head.
pub fn drill_file(head: &[String], sketch: &Sketch) -> String {
    list_file(head, &[entry(sketch)])
}

fn entry(sketch: &Sketch) -> Entry {
    let mut entry = Entry::of_list();
    let texts = |texts: &[String]| texts.iter().map(|text| quoted(text)).collect::<Vec<_>>();
    let grade = match sketch.grade {
        Grade::First => "First",
        Grade::Second => "Second",
        Grade::Third => "Third",
    };
    let shows = sketch.shows.iter();
    let shows: Vec<String> =
        shows.map(|(symptom, answer)| format!("({}, {answer})", quoted(symptom))).collect();
    entry
        .comment("Its name among drills: a-z, 0-9 and -.")
        .field("id", &quoted(&sketch.id))
        .comment("What the learner sees in the list. It must not give the cause away.")
        .field("title", &quoted(&sketch.title))
        .comment("First: one cause that shows itself. Second: one that must be proved. Third: more than one.")
        .field("grade", grade)
        .comment("What the learner is told at the start: only what the shift would know.")
        .field("briefing", &quoted(&sketch.briefing))
        .comment("The conveyor, as in a conveyor file. What is left out is taken as on a middling one.")
        .field("conveyor", &sketch.conveyor)
        .comment("What is out of order. Stations count from the tail, the first is 1; left and right are looking from tail to head.")
        .list("hidden", &sketch.hidden.iter().map(hidden).collect::<Vec<_>>())
        .comment("Answers that stand whatever model and book say, until the causes are gone.")
        .list("shows", &shows)
        .comment("What an expert looks at after the opening questions, in this order.")
        .field("expert", &quoted_list(&sketch.expert))
        .comment("What the learner is to take home.")
        .list("aims", &texts(&sketch.aims))
        .comment("What to talk about afterwards.")
        .list("talk", &texts(&sketch.talk))
        .comment("The same number, the same errors of eye and tape.")
        .field("seed", &sketch.seed.to_string())
        .field("source", &written(&sketch.source));
    entry
}

/// A hidden cause on lines of its own, a part on each.
fn hidden(hidden: &SketchedCause) -> String {
    const INDENT: &str = "                ";
    let mut text = format!("(\n{INDENT}cause: {},\n{INDENT}parts: [\n", quoted(&hidden.cause));
    for part in &hidden.parts {
        text.push_str(&format!("{INDENT}    {part},\n"));
    }
    text.push_str(&format!("{INDENT}],\n"));
    if !hidden.yields_to.is_empty() {
        let fixes = quoted_list(&hidden.yields_to);
        text.push_str(&format!("{INDENT}yields_to: {fixes},\n"));
    }
    text.push_str("            )");
    text
}
