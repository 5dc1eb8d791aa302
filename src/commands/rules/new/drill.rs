//! The form of a drill.

use std::path::Path;

use super::choices::Choices;
use super::entries::{LONG, NewFile, SHORT};
use super::form::{Blank, FilledIn, Form};
use super::reading::Choice;
use crate::conveyor::quantity::{self, Kind};
use crate::drill::Grade;
use crate::drill::read as drills;
use crate::drill::writer::{Origin, Sketch, SketchedCause, drill_file};
use crate::problem::Problem;
use crate::rulebook::fields;
use crate::rulebook::index::{CauseAt, Place as _};
use crate::rulebook::network;
use crate::rulebook::writer::quoted_list;
use crate::source::folder;
use crate::source::quoted;
use crate::trade::Units;

const D: &str = "drill";
const PART: &str = "part";

/// The conveyor of a drill when no file is named.
const USUAL_CONVEYOR: &str = r#"(
            name: "OQ-20 practice belt", class: "troughed-bulk", reversing: "no", crowned: "yes",
            carcass: "fabric", take_up: "screw", place: "indoors",
            centres: "30 m", speed: "1.5 m/s", belt: (width: "800 mm"),
            tail: (face: "900 mm"), head: (face: "900 mm"),
        )"#;

const GRADES: [(Grade, &str, &str); 3] = [
    (Grade::First, "First", "one cause that shows itself"),
    (Grade::Second, "Second", "one cause that looks like another"),
    (Grade::Third, "Third", "two causes, or one behind an old correction"),
];

/// A field of a part, as it is asked for.
#[derive(Debug, Clone, Copy)]
enum Asks {
    Strand,
    Station,
    /// A side, under this name.
    Side(&'static str),
    /// A size in millimetres or so, under this name.
    Size(&'static str),
    /// A place in metres, under this name.
    Place(&'static str),
    Pulley,
    Rolls,
    /// A number from the first to the second, under this name.
    Number(&'static str, f64, f64),
}

/// What may be out of order: the word of the file, what it is, and its fields.
const PARTS: &[(&str, &str, &[Asks])] = {
    use Asks::{Number, Place, Pulley, Rolls, Side, Size, Station, Strand};
    &[
        (
            "IdlerSkewed",
            "an idler out of square, at its feet",
            &[Strand, Station, Side("ahead"), Size("by")],
        ),
        (
            "IdlerOffCentre",
            "an idler stand out of the middle",
            &[Strand, Station, Side("toward"), Size("by")],
        ),
        ("IdlerHigh", "an idler that stands high", &[Strand, Station, Size("by")]),
        ("IdlerLeaning", "an idler with one end low", &[Strand, Station, Side("low"), Size("by")]),
        (
            "RollCaked",
            "cake on a roll, thicker at one end",
            &[Strand, Station, Side("thick"), Size("by")],
        ),
        ("RollSeized", "a roll that does not turn", &[Strand, Station, Rolls]),
        (
            "FrameBent",
            "a stretch of frame bowed",
            &[Place("from"), Place("to"), Side("toward"), Size("by")],
        ),
        (
            "FrameRacked",
            "a stretch of frame racked, at the feet",
            &[Place("from"), Place("to"), Side("ahead"), Size("by")],
        ),
        (
            "FrameLow",
            "a stretch of frame low on one side",
            &[Place("from"), Place("to"), Side("low"), Size("by")],
        ),
        (
            "PulleySkewed",
            "a pulley out of square, at its bearings",
            &[Pulley, Side("ahead"), Size("by")],
        ),
        ("PulleyLow", "a pulley out of level, at its bearings", &[Pulley, Side("low"), Size("by")]),
        ("PulleyCaked", "a pulley thicker at one end", &[Pulley, Side("thick"), Size("by")]),
        ("CrownWorn", "a crown worn away", &[Pulley, Number("share", 0.0, 1.0)]),
        (
            "SpliceCrooked",
            "a splice out of square over the belt's width",
            &[Place("at"), Side("toward"), Size("by")],
        ),
        (
            "BeltBowed",
            "a length of belt that bows",
            &[Place("from"), Place("to"), Side("toward"), Size("by")],
        ),
        ("LoadOff", "the load off the middle", &[Side("toward"), Size("by")]),
        ("ScrewsUneven", "one take-up screw further out", &[Side("out"), Size("by")]),
        ("Pull", "the belt tighter or slacker than drawn", &[Number("times", 0.2, 5.0)]),
        (
            "Wind",
            "wind, or an even push",
            &[
                Strand,
                Place("from"),
                Place("to"),
                Side("toward"),
                Number("newtons_per_metre", 0.0, 1000.0),
            ],
        ),
        (
            "Push",
            "a push at one idler",
            &[Strand, Station, Side("toward"), Number("newtons", 0.0, 10_000.0)],
        ),
    ]
};

/// A drill.
pub(super) fn drill(
    form: &mut Form,
    choices: &Choices,
    used: &[Choice],
    dir: &Path,
) -> FilledIn<NewFile> {
    let id = form.id(D, used, &dir.join("drills"))?;
    let title = form.must(D, "title", SHORT)?;
    form.field(D, "grade", "");
    let words = GRADES.map(|(_, word, says)| (word, says));
    let at = form.word("grade", &words, Some(0))?;
    let grade = GRADES.get(at).map_or(Grade::First, |(grade, _, _)| *grade);
    let briefing = form.must(D, "briefing", LONG)?;
    let conveyor = conveyor(form)?;
    form.field(D, "hidden", "One cause after the other. Press Enter to end.");
    let mut hidden = Vec::new();
    while let Some(at) = form.known("cause", "cause", &choices.causes, Blank::Allowed)? {
        let Some(cause) = choices.causes.get(at) else {
            continue;
        };
        form.say(&format!("What is out of order, so that there is: {}?", cause.name));
        let parts = parts(form)?;
        let yields_to = yields_to(form, choices, at)?;
        hidden.push(SketchedCause { cause: cause.id.clone(), parts, yields_to });
    }
    let shows = shows(form, choices)?;
    form.field(D, "expert", "One to a line. Press Enter to end.");
    let looks = form.several("look", "symptom", &choices.symptoms, 0)?;
    let aims = form.texts(D, "aims", LONG, 1)?;
    let talk = form.texts(D, "talk", LONG, 1)?;
    form.field(D, "seed", "Press Enter for 1.");
    let seed = form.number("seed", 0.0..=f64::from(u32::MAX), Some(1.0))? as u32;
    form.field(D, "source", "");
    let source = origin(form, choices)?;
    let sketch = Sketch {
        title,
        grade,
        briefing,
        conveyor,
        hidden,
        shows,
        expert: ids(&choices.symptoms, looks),
        aims,
        talk,
        seed,
        source,
        id,
    };
    let head = [
        "A drill of this site, begun with `straybelt drill new`. Change it as you like:".to_owned(),
        "`straybelt rules check` says whether it can be run. rules/REFERENCE.md lists what may stand here.".to_owned(),
    ];
    Ok(NewFile { inside: format!("drills/{}.ron", sketch.id), text: drill_file(&head, &sketch) })
}

fn ids(known: &[Choice], places: Vec<usize>) -> Vec<String> {
    let named = places.into_iter().filter_map(|at| known.get(at));
    named.map(|known| known.id.clone()).collect()
}

/// The fixes that take a cause away, where the book does not say it for this drill.
fn yields_to(form: &mut Form, choices: &Choices, cause: usize) -> FilledIn<Vec<String>> {
    let book = choices.book;
    let by_book = drills::cures(book, CauseAt::at(cause));
    let titles: Vec<&str> = by_book.iter().map(|fix| book.fixes[*fix].title.as_str()).collect();
    form.say(&match titles.is_empty() {
        true => "By the book no fix takes it away surely enough. Name one at least.".to_owned(),
        false => format!(
            "By the book it is taken away by: {}. Press Enter for these, or name your own.",
            titles.join("; ")
        ),
    });
    let named = form.several("fix", "fix", &choices.fixes, usize::from(titles.is_empty()))?;
    Ok(ids(&choices.fixes, named))
}

/// Questions with the answers that stand whatever model and book say.
fn shows(form: &mut Form, choices: &Choices) -> FilledIn<Vec<(String, String)>> {
    form.field(D, "shows", "The question, then its answer. Press Enter to end.");
    let mut shows: Vec<(String, String)> = Vec::new();
    while let Some(at) = form.known("question", "symptom", &choices.symptoms, Blank::Allowed)? {
        let Some(asked) = choices.asked(at) else {
            continue;
        };
        if shows.iter().any(|(known, _)| *known == asked.id) {
            form.say("That one has its answer already.");
            continue;
        }
        form.say(asked.ask);
        let ticked = matches!(asked.kind, network::Kind::Marks { .. });
        let answer = if ticked {
            let marks = form.several("mark", "answer", &asked.answers, 0)?;
            quoted_list(&ids(&asked.answers, marks))
        } else {
            let words: Vec<(&str, &str)> =
                asked.answers.iter().map(|a| (a.id.as_str(), a.name.as_str())).collect();
            let chosen = form.word("answer", &words, None)?;
            quoted(words.get(chosen).map_or("", |(id, _)| *id))
        };
        shows.push((asked.id, answer));
    }
    Ok(shows)
}

/// Where the drill comes from.
fn origin(form: &mut Form, choices: &Choices) -> FilledIn<Origin> {
    const MARKS: &[(&str, &str)] = &[
        ("Published", "in one of the book's sources, with the place in it"),
        ("CommonPractice", "what the trade does and nobody needs to cite"),
        ("Memory", "something that happened, as you remember it"),
        ("Derived", "follows from something else"),
    ];
    Ok(match form.word("source", MARKS, Some(1))? {
        0 => {
            let at = form.known("which source", "source", &choices.sources, Blank::Refused)?;
            let id = at.and_then(|at| choices.sources.get(at)).map_or("", |source| &source.id);
            let place = form.words("place in it", SHORT, Blank::Refused)?.unwrap_or_default();
            Origin::Published(id.to_owned(), place)
        }
        1 => Origin::CommonPractice,
        2 => Origin::Memory,
        _ => Origin::Derived(form.words("from what", SHORT, Blank::Refused)?.unwrap_or_default()),
    })
}

/// The data of the conveyor in the words of the file: out of a conveyor file, or the usual ones to begin with.
fn conveyor(form: &mut Form) -> FilledIn<String> {
    form.field(
        D,
        "conveyor",
        "The path of a conveyor file to take over. Press Enter for a plain one, to be changed in the file.",
    );
    let help = |_: &str| {
        vec!["Such as conveyors/OQ-04.ron; `straybelt conveyor new` writes one.".to_owned()]
    };
    form.line("conveyor file", &help, &|line| {
        if line.is_empty() {
            return Ok(USUAL_CONVEYOR.to_owned());
        }
        let said = |problem: &Problem| format!("That file {}.", problem.message);
        let path = Path::new(line);
        let text = folder::text(path).map_err(|refused| said(&Problem::refused_file(&refused)))?;
        match (text.find(['(', '{']), text.rfind([')', '}'])) {
            (Some(from), Some(to)) if from < to => {
                Ok(text.get(from..=to).unwrap_or_default().to_owned())
            }
            _ => Err("That is no conveyor file.".to_owned()),
        }
    })
}

/// The parts of one cause, at least one.
fn parts(form: &mut Form) -> FilledIn<Vec<String>> {
    let words: Vec<(&str, &str)> = PARTS.iter().map(|(word, says, _)| (*word, *says)).collect();
    let mut parts = Vec::new();
    loop {
        let at = form.word("part", &words, None)?;
        let Some((word, _, asks)) = PARTS.get(at) else {
            continue;
        };
        let mut fields = Vec::new();
        for ask in *asks {
            fields.push(field(form, *ask)?);
        }
        parts.push(format!("{word}({})", fields.join(", ")));
        if !form.yes("Is there another part of this cause?")? {
            return Ok(parts);
        }
    }
}

fn field(form: &mut Form, asks: Asks) -> FilledIn<String> {
    const SIDES: &[(&str, &str)] =
        &[("Left", "looking from tail to head"), ("Right", "looking from tail to head")];
    let chosen = |form: &mut Form, name: &str, words: &[(&str, &str)]| -> FilledIn<String> {
        form.say(fields::says(PART, name).unwrap_or(name));
        let at = form.word(name, words, None)?;
        let word = words.get(at).map_or("", |(word, _)| *word);
        Ok(format!("{name}: {word}"))
    };
    match asks {
        Asks::Strand => chosen(form, "strand", &[("Carry", "on top"), ("Return", "below")]),
        Asks::Side(name) => chosen(form, name, SIDES),
        Asks::Pulley => chosen(form, "pulley", &[("Tail", ""), ("Head", "")]),
        Asks::Rolls => chosen(
            form,
            "rolls",
            &[("Whole", "all of them"), ("Left", "the left wing"), ("Right", "the right wing")],
        ),
        Asks::Station => {
            form.say(fields::says(PART, "station").unwrap_or("station"));
            let station = form.number("station", 1.0..=10_000.0, None)?;
            Ok(format!("station: {}", station.round()))
        }
        Asks::Number(name, least, most) => {
            form.say(fields::says(PART, name).unwrap_or(name));
            let number = form.number(name, least..=most, None)?;
            Ok(format!("{name}: {number:?}"))
        }
        Asks::Size(name) => size(form, name, Kind::Length, "8 mm"),
        Asks::Place(name) => size(form, name, Kind::Distance, "12 m"),
    }
}

/// A size as text with its unit.
fn size(form: &mut Form, name: &str, kind: Kind, example: &str) -> FilledIn<String> {
    form.say(fields::says(PART, name).unwrap_or(name));
    let help = |_: &str| vec![format!("A size with its unit, such as {example}.")];
    form.line(name, &help, &|line| match quantity::read(line, kind, Units::Metric) {
        Ok(size) if size.si() >= 0.0 => Ok(format!("{name}: {}", quoted(line))),
        Ok(_) => Err("It is never below nothing; name the other side instead.".to_owned()),
        Err(refused) => Err(format!("{refused}. Such as {example}.")),
    })
}
