//! A debrief as one JSON document: every figure of it. How far the belt is off stands there in words too.

use crate::trade::Side;
use serde_json::{Value, json};

use super::told::instead;
use super::why::{WhyCostly, why};
use super::{Debrief, was_found};
use crate::drill::moves::Move;
use crate::drill::score::Bearing;
use crate::rulebook::model::Book;
use crate::stream;

/// The format this program writes.
pub(super) const FORMAT: u32 = 1;

/// The document, with a line end.
pub fn write(debrief: &Debrief<'_, '_>) -> String {
    let (record, world, score) = (debrief.record, debrief.world, &debrief.score);
    let (book, drill) = (world.book(), world.drill());
    let left = &score.left;
    let [one, other] = left.bearings;
    let bearing = |side: Side, bearing: Bearing| {
        json!({
            "side": debrief.names.sides().of(side),
            "load_n": bearing.load_n,
            "load_ratio": bearing.load_ratio,
            "life_factor": bearing.life_factor,
        })
    };
    let document = json!({
        "format": FORMAT,
        "run": record.run,
        "who": record.who,
        "begun": record.begun,
        "book": record.book,
        "drill": drill.id,
        "title": drill.title,
        "grade": format!("{:?}", drill.grade).to_lowercase(),
        "over": debrief.is_over(),
        "as_kept": debrief.as_kept(),
        "solved": debrief.is_solved(),
        "runs_true": score.runs_true,
        "all_cured": score.all_cured,
        "minutes": {
            "yours": score.minutes,
            "looking": score.minutes_looking,
            "expert": score.expert.minutes,
            "best": score.best_minutes,
            "still_to_do": debrief.minutes_to_do(),
        },
        "steps": steps(debrief),
        "safety_faults": world.safety_faults().iter().map(|fault| json!({
            "after": fault.after,
            "move": kind(&fault.what),
            "of": of(&fault.what, book),
            "words": debrief.names.to_do(book, &fault.what),
            "instead": instead(&fault.what),
        })).collect::<Vec<Value>>(),
        "causes": score.causes.iter().zip(&drill.hidden).map(|(found, hidden)| json!({
            "id": book.causes[found.cause].id,
            "name": book.causes[found.cause].name,
            "parts": hidden.things.iter().map(|thing| debrief.names.thing(*thing)).collect::<Vec<_>>(),
            "certainty": found.certainty,
            "found": was_found(found),
            "put_right": found.put_right,
        })).collect::<Vec<Value>>(),
        "not_there": score.wrongly_named.iter().map(|(cause, certainty)| json!({
            "id": book.causes[*cause].id,
            "name": book.causes[*cause].name,
            "certainty": certainty,
        })).collect::<Vec<Value>>(),
        "statements": score.stated.len(),
        "brier": score.brier,
        "left": {
            "off": left.off.words(),
            "in_order_n": left.in_order_n,
            "bearings": [
                bearing(Side::Left, one),
                bearing(Side::Right, other),
            ],
            "pull_n": left.pull_n,
            "needed_n": left.needed_n,
        },
        "expert": {
            "looks": score.expert.looks.iter().map(|look| &book.symptoms[*look].id).collect::<Vec<_>>(),
            "fixes": score.expert.fixes.iter().map(|fix| &book.fixes[*fix].id).collect::<Vec<_>>(),
        },
        "aims": drill.aims,
        "talk": drill.talk,
    });
    stream::json(&document).unwrap_or_default()
}

fn steps(debrief: &Debrief<'_, '_>) -> Vec<Value> {
    let world = debrief.world;
    let in_order_n = debrief.score.left.in_order_n;
    let steps = world.steps().iter().enumerate();
    steps
        .map(|(nth, step)| {
            let (left_n, right_n) = step.bearings_n;
            let why = why(debrief, nth);
            json!({
                "move": kind(&step.what),
                "of": of(&step.what, world.book()),
                "words": debrief.names.did(world.book(), &step.what),
                "minutes": step.minutes,
                "regret": step.regret,
                "expert_too": why == WhyCostly::ExpertToo,
                "why": match why {
                    WhyCostly::Because(because) if step.regret >= 0.5 => Some(because),
                    _ => None,
                },
                "off": debrief.size(step.off_share).words(),
                "runs_true": step.runs_true,
                "load_ratios": [left_n / in_order_n, right_n / in_order_n],
            })
        })
        .collect()
}

/// What kind of move it is.
fn kind(what: &Move) -> &'static str {
    match what {
        Move::Look(_) => "look",
        Move::LockOut => "lock-out",
        Move::Restore => "restore",
        Move::Measure(_) => "measure",
        Move::Check(..) => "check",
        Move::Work(_) => "work",
        Move::Shift { .. } => "shift",
        Move::Screw { .. } => "screw",
        Move::Wait(_) => "wait",
        Move::Advice => "advice",
        Move::Name(..) => "name",
        Move::Declare => "declare",
    }
}

/// The id of what it names in the rule book, if it names something.
fn of<'b>(what: &Move, book: &'b Book) -> Option<&'b str> {
    match what {
        Move::Look(symptom) => Some(&book.symptoms[*symptom].id),
        Move::Measure(gauge) => Some(gauge.id),
        Move::Check(fix, _) | Move::Work(fix) => Some(&book.fixes[*fix].id),
        Move::Name(cause, _) => Some(&book.causes[*cause].id),
        _ => None,
    }
}
