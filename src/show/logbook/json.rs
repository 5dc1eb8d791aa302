//! A logbook as one JSON document.

use serde_json::{Value, json};

use super::Told;
use crate::logbook::ratchet::{Since, Warning, Watch};
use crate::logbook::slope::Slope;
use crate::logbook::{Entry, Reading, Story, What};
use crate::show::happened::state_words;

/// The document.
pub fn document(told: &Told) -> Value {
    let story = Story::of(&told.record.entries);
    let watch = Watch::over(&story, told.sizes);
    let jobs = story.open_jobs().into_iter().map(|(tablet, mark, job)| {
        json!({
            "id": job.id(tablet, mark.visit),
            "tablet": tablet,
            "visit": mark.visit,
            "cause": job.cause,
            "job": job.job,
        })
    });
    let conflicts = story.conflicts.iter().map(|(one, other)| json!([one.id, other.id]));
    let struck = story.struck.iter().map(|(entry, why)| json!({ "id": entry.id, "why": why }));
    json!({
        "format": 1,
        "conveyor": told.record.name,
        "open_jobs": jobs.collect::<Vec<Value>>(),
        "take_up": watch.as_ref().map(watch_value),
        "entries": story.told.iter().map(|entry| entry_value(&story, entry)).collect::<Vec<Value>>(),
        "conflicts": conflicts.collect::<Vec<Value>>(),
        "struck": struck.collect::<Vec<Value>>(),
    })
}

fn watch_value(watch: &Watch) -> Value {
    let (since, on) = match watch.since {
        Since::FirstReading => ("first-reading", watch.points.first().map(|point| point.on)),
        Since::Work(work, on) => (work.word(), Some(on)),
        Since::Slackened(on) => ("slackened", Some(on)),
    };
    let slope =
        |slope: &Slope| json!({ "mm_per_day": slope.slope, "low": slope.low, "high": slope.high });
    json!({
        "since": since,
        "since_day": on,
        "readings": watch.points.len(),
        "tightened": watch.tightened,
        "moved_mm": watch.moved,
        "out": watch.out.as_ref().map(slope),
        "lead": watch.lead.as_ref().map(slope),
        "travel": watch.end.map(|end| json!({
            "left_mm": end.left,
            "side": end.side.map(crate::trade::Side::id),
            "ends": end.on,
            "earliest": end.between.0,
            "latest": end.between.1,
        })),
        "stretch": watch.stretch.map(|stretch| json!({ "share": stretch.share, "may": stretch.may })),
        "warnings": watch.warnings.iter().map(|warning: &Warning| warning.word()).collect::<Vec<_>>(),
    })
}

fn entry_value(story: &Story, entry: &Entry) -> Value {
    let mut value = json!({
        "id": entry.id,
        "tablet": entry.tablet,
        "written": entry.written,
        "on": story.day(entry),
        "by": entry.by,
    });
    let what = match &entry.what {
        What::TakeUp { reading, why, .. } => {
            json!({ "kind": "takeup", "reading": reading_value(reading), "why": why })
        }
        What::Done { work, note, .. } => json!({ "kind": "done", "work": work, "note": note }),
        What::JobDone { job, note, .. } => json!({ "kind": "job-done", "job": job, "note": note }),
        What::Struck { entry, why } => json!({ "kind": "struck", "entry": entry, "why": why }),
        What::Visit(mark) => json!({
            "kind": "visit",
            "visit": mark.visit,
            "begun": mark.begun,
            "state": state_words(mark.state),
            "minutes": mark.minutes,
            "cured": mark.cured,
            "cured_else": mark.cured_else,
            "done": mark.done,
        }),
    };
    if let (Value::Object(all), Value::Object(more)) = (&mut value, what) {
        all.extend(more);
    }
    value
}

fn reading_value(reading: &Reading) -> Value {
    match reading {
        Reading::Screws { left, right } => {
            json!({ "kind": "screws", "left_mm": left, "right_mm": right })
        }
        Reading::Carriage { at } => json!({ "kind": "carriage", "at_mm": at }),
        Reading::Weight { mass, at } => json!({ "kind": "weight", "mass_kg": mass, "at_mm": at }),
        Reading::Winch { pull, at } => json!({ "kind": "winch", "pull_n": pull, "at_mm": at }),
    }
}
