//! A fresh drill, drawn: a conveyor of Ostrel Quay, causes as often as the rule book says, parts and sizes by chance.

use fastrand::Rng;

use super::belt::{Belt, TRUE_SHARE};
use super::carried::{self, Carried, Part};
use super::kinds::{self, Kind};
use super::model::{Drill, Thing};
use super::parts::Parts;
use super::world::World;
use super::writer::{self, Origin, Sketch, SketchedCause};
use super::written::{Grade, PartEntry};
use super::{noise, plant, read, visible};
use crate::mechanics::{Fault, Line};
use crate::problem::Report;
use crate::reason::{Applicability, draw};
use crate::rulebook::index::{CauseAt, List};
use crate::rulebook::model::{Book, Cause, Meaning, Sight};
use crate::source::{Texts, parse};
use crate::visit::{ConveyorFacts, Diagnosis};

/// A drawn cause alone brings the belt off by a share of the edge room between these: what somebody is called for.
pub const OFF_SHARE: (f64, f64) = (0.5, 1.5);
/// All drawn causes together bring it off by no more than this: further out it would have been stopped.
const MOST_SHARE: f64 = 2.5;
/// The size of a part is settled to one part in two to this power of its range.
const HALVINGS: usize = 5;
/// So often parts are drawn for the same causes, and causes for the same seed, until the belt runs off.
const PARTS_TRIES: usize = 4;
const MOST_TRIES: usize = 60;

/// Why no drill could be drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NotDrawn {
    /// The book has none of the causes that the model carries.
    #[error("the rule book has no cause that the belt-line model can carry")]
    NothingCarried,
    /// The belt ran true, or beyond all bounds, whatever was drawn.
    #[error("nothing that was drawn brought the belt off; try another seed")]
    NoLuck,
}

/// A drill from this seed; the same seed and book give the same drill, text and all.
///
/// # Errors
/// If the book has nothing that can be drawn, or nothing drawn brings the belt off.
pub fn fresh(diagnosis: &Diagnosis<'_>, seed: u32) -> Result<Drill, NotDrawn> {
    let book = diagnosis.book();
    if !book.causes.values().any(|cause| drawn_as(cause).is_some()) {
        return Err(NotDrawn::NothingCarried);
    }
    let mut rng = noise::rng(u64::from(seed), "a fresh drill");
    for _ in 0..MOST_TRIES {
        let Some(kind) = rng.choice(kinds::KINDS) else {
            break;
        };
        if let Some(drill) = on(diagnosis, kind, seed, &mut rng) {
            return Ok(drill);
        }
    }
    Err(NotDrawn::NoLuck)
}

/// What is known of one of the conveyors that drills are drawn on.
pub(super) fn conveyor(book: &Book, rng: &mut Rng) -> Option<ConveyorFacts> {
    let kind = rng.choice(kinds::KINDS)?;
    let bare = read_back(book, &sketch(kind, 0, Vec::new()))?;
    Some(ConveyorFacts::from(&bare.conveyor))
}

/// A drill on such a conveyor, if luck has it.
fn on(diagnosis: &Diagnosis<'_>, kind: &Kind, seed: u32, rng: &mut Rng) -> Option<Drill> {
    let book = diagnosis.book();
    let bare = read_back(book, &sketch(kind, seed, Vec::new()))?;
    let facts = ConveyorFacts::from(&bare.conveyor);
    let nothing = List::filled(None, book.symptoms.len());
    let applies = Applicability::new(book, &facts.facts, &nothing).causes;
    let shows_here = |cause: CauseAt| {
        drawn_as(&book.causes[cause]).is_some_and(|known| (known.shows_on)(&bare.line))
    };
    let mut may_be = applies.clone();
    for cause in applies.places() {
        may_be[cause] &= shows_here(cause);
    }
    if !may_be.values().any(|may| *may) {
        return None;
    }
    let known = book.priors(&facts.facts);
    let priors: List<CauseAt, f64> =
        may_be.iter().map(|(cause, may)| if *may { known[cause] } else { 0.0 }).collect();
    let present = draw::causes(diagnosis.engine(), &priors, rng);
    for _ in 0..PARTS_TRIES {
        let mut shown = Vec::new();
        let hidden = present.iter().map(|cause| {
            let cause = &book.causes[*cause];
            let drawn = drawn_as(cause)?.draw(&bare.line, rng);
            shown.extend(
                drawn.shows.into_iter().flat_map(|(sight, means)| shows(book, sight, means)),
            );
            Some(SketchedCause {
                cause: cause.id.clone(),
                parts: sized(&bare, &drawn.parts, rng)?,
                yields_to: Vec::new(),
            })
        });
        let Some(hidden) = hidden.collect::<Option<Vec<_>>>() else {
            continue;
        };
        let mut sketch = sketch(kind, seed, hidden);
        sketch.shows = shown;
        let Some(drill) = read_back(book, &sketch).filter(runs_off) else {
            continue;
        };
        if let Some(world) = World::begin(&drill, diagnosis) {
            sketch.briefing = visible::briefing(&world, kind);
            sketch.expert = visible::expert(&world, diagnosis.engine());
            return read_back(book, &sketch);
        }
    }
    None
}

/// How a cause is drawn, if drills are drawn with it.
fn drawn_as(cause: &Cause) -> Option<&'static Carried> {
    carried::of(cause.drilled_as?).filter(|_| cause.not_drilled.is_empty())
}

/// The questions that this answers, each with its answer. A book that lacks the question has nothing to show.
fn shows(book: &Book, sight: Sight, means: Meaning) -> impl Iterator<Item = (String, String)> {
    let asked = book.symptoms.values().filter(move |symptom| symptom.drilled_as == Some(sight));
    asked.filter_map(move |symptom| {
        let answer = symptom.meant(means)?;
        Some((symptom.id.clone(), symptom.told(answer).written()))
    })
}

fn sketch(kind: &Kind, seed: u32, hidden: Vec<SketchedCause>) -> Sketch {
    Sketch {
        id: format!("drawn-{seed}"),
        title: format!("Drawn on {}, number {seed}", kind.name),
        grade: match hidden.len() {
            0 | 1 => Grade::First,
            2 => Grade::Second,
            _ => Grade::Third,
        },
        briefing: format!("{} runs off.", kind.name),
        conveyor: kind.data.to_owned(),
        hidden,
        shows: Vec::new(),
        expert: Vec::new(),
        aims: vec![
            "Look first, then measure, then work: each minute where it tells most.".to_owned(),
            "Say what it is before you open it up, and how sure you are.".to_owned(),
        ],
        talk: vec![
            "Which answer told you most, and what did it cost?".to_owned(),
            "What would you look at first the next time a belt does this?".to_owned(),
        ],
        seed,
        source: Origin::Derived("causes as often as the rule book says; sizes assumed".to_owned()),
    }
}

/// What is written, read again as any drill is; nothing if something is wrong with it.
fn read_back(book: &Book, sketch: &Sketch) -> Option<Drill> {
    let mut texts = Texts::default();
    let file = texts.add("a drawn drill", writer::drill_file(&[], sketch));
    let mut report = Report::default();
    let mut drills = read::read_files(book, &texts, &[file], &mut report);
    drills.pop().filter(|_| !report.has_errors())
}

/// Whether the belt runs off, and not so far that it would have been stopped.
fn runs_off(drill: &Drill) -> bool {
    let things = drill.hidden.iter().flat_map(|hidden| &hidden.things);
    let faults: Vec<Fault> = things.map(|thing| thing.fault(&drill.line)).collect();
    let share = Belt::begin(&drill.line, &faults).map(|belt| belt.worst_share(&drill.line));
    share.is_ok_and(|share| share > TRUE_SHARE && share <= MOST_SHARE)
}

/// The parts with sizes that bring the belt off as far as is drawn, or as far as the largest sizes do; nothing if
/// even these leave it true.
fn sized(bare: &Drill, parts: &[Part], rng: &mut Rng) -> Option<Vec<String>> {
    let (least, most) = OFF_SHARE;
    let wanted = least + (most - least) * rng.f64();
    let texts = |at: f64| parts.iter().map(|part| part.text(at)).collect::<Vec<_>>();
    // A belt that finds no place at all is further off than any wish.
    let share = |at: f64| {
        let faults = faults(bare, &texts(at))?;
        Some(share(&bare.line, &faults).unwrap_or(f64::INFINITY))
    };
    let (mut below, mut above) = (0.0, 1.0);
    match share(above)? {
        largest if largest <= TRUE_SHARE => return None,
        largest if largest <= wanted => return Some(texts(above)),
        _ => {}
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (below + above);
        if share(middle)? < wanted {
            below = middle;
        } else {
            above = middle;
        }
    }
    Some(texts(above))
}

fn share(line: &Line, faults: &[Fault]) -> Option<f64> {
    Some(Belt::begin(line, faults).ok()?.worst_share(line))
}

/// The faults that these parts are; nothing if one of them cannot be.
fn faults(bare: &Drill, parts: &[String]) -> Option<Vec<Fault>> {
    let mut texts = Texts::default();
    let file = texts.add("parts", format!("[{}]", parts.join(", ")));
    let mut report = Report::default();
    let entries = parse::list::<PartEntry>(&texts, file);
    let things: Option<Vec<Thing>> = entries
        .items
        .into_iter()
        .map(|entry| {
            let mut parts = Parts {
                texts: &texts,
                report: &mut report,
                line: &bare.line,
                feet_m: plant::feet_m(&bare.conveyor, bare.line.belt.width_m),
                units: bare.conveyor.units().unwrap_or_default(),
            };
            parts.read(&entry.value.filter(|_| entry.slips.is_empty())?)
        })
        .collect();
    Some(things?.into_iter().map(|thing| thing.fault(&bare.line)).collect())
}
