//! A measurement as one JSON document.

use serde_json::{Map, Value, json};

use super::GaugeWording;
use super::reading_errors::counted;
use crate::conveyor::quantity::Quantity;
use crate::gauge::{
    Figure, Gauge, Given, Grade, Limit, Mark, Outcome, Plot, ReadingKey, Readings, Way,
};
use crate::rulebook::index::{AnswerAt, SymptomAt};
use crate::rulebook::model::AnswerIds;
use crate::trade::Basis;

/// The readings and what came of them. Sizes are SI, each beside its unit; words are those that a person reads.
/// `symptoms` are the answers it gives, by symptom.
pub fn document(
    told: GaugeWording,
    gauge: &Gauge,
    (way, readings): (&Way, &Readings),
    outcome: &Outcome,
    symptoms: &[(SymptomAt, Option<AnswerAt>)],
) -> Value {
    let words = |list: &[crate::gauge::Words]| -> Vec<String> {
        list.iter().map(|words| told.words(words)).collect()
    };
    json!({
        "format": 1,
        "gauge": gauge.id,
        "way": readings.way,
        "readings": given(readings.single.iter().map(|(key, given)| (*key, given))),
        "rows": readings.rows.iter().map(|row| given(row.iter())).collect::<Vec<_>>(),
        "reading_errors": counted(told, way, readings).map(|counts| json!({
            "id": counts.by.id,
            "how": counts.by.how,
            "size": counts.si(),
            "unit": Quantity::of(counts.by.kind, 0.0).si_unit(),
            "mark": mark(told, counts.mark()),
        })).collect::<Vec<_>>(),
        "says": told.words(&outcome.says),
        "verdict": outcome.verdict.id(),
        "figures": outcome.figures.iter().map(|f| figure(told, f)).collect::<Vec<_>>(),
        "tells": outcome.tells.iter().map(|(id, word)| ((*id).to_owned(), json!(word))).collect::<Map<_, _>>(),
        "symptoms": symptoms.iter().map(|(at, answer)| {
            let symptom = &told.book.symptoms[*at];
            let answer = answer.map_or(AnswerIds::One("unknown"), |answer| symptom.told(answer));
            (symptom.id.clone(), json!(answer))
        }).collect::<Map<_, _>>(),
        "work": words(&outcome.work),
        "notes": words(&outcome.notes),
        "plot": outcome.plot.as_ref().map(|plot| picture(told, plot)),
    })
}

fn given<'g>(readings: impl Iterator<Item = (ReadingKey, &'g Given)>) -> Value {
    readings
        .map(|(key, given)| {
            let value = match given {
                Given::Quantity(quantity) => sized(*quantity),
                Given::Count(count) => json!(count),
                Given::Side(side) => json!(side.id()),
                Given::Choice(word) => json!(word),
                Given::Label(name) => json!(name),
            };
            (key.as_str().to_owned(), value)
        })
        .collect::<Map<_, _>>()
        .into()
}

fn sized(quantity: Quantity) -> Value {
    json!({ "size": quantity.si(), "unit": quantity.si_unit() })
}

fn figure(told: GaugeWording, figure: &Figure) -> Value {
    json!({
        "id": figure.id,
        "what": told.words(&figure.what),
        "size": figure.size.si(),
        "unit": figure.size.si_unit(),
        "error": figure.error.map(Quantity::si),
        "limit": figure.limit.map(|limit| limited(told, limit)),
        "verdict": figure.verdict.id(),
        "mark": mark(told, figure.mark),
    })
}

fn limited(told: GaugeWording, limit: Limit) -> Value {
    json!({
        "id": limit.id,
        "what": limit.what,
        "size": limit.size.si(),
        "unit": limit.size.si_unit(),
        "mark": mark(told, limit.mark),
        "grade": limit.grade.map(Grade::letter),
        "weak": limit.is_weak(),
    })
}

fn mark(told: GaugeWording, mark: Mark) -> Value {
    let words = told.mark(mark);
    match mark {
        Mark::Rests(basis) => json!({ "kind": rests(&basis), "words": words }),
        Mark::Site => json!({ "kind": "site", "words": words }),
        Mark::Rules(at) => {
            json!({ "kind": "site-rules", "rests": told.source_set(at).map(rests), "words": words })
        }
    }
}

fn rests<S, T>(basis: &Basis<S, T>) -> &'static str {
    match basis {
        Basis::Published(..) => "published",
        Basis::CommonPractice => "common-practice",
        Basis::Memory => "memory",
        Basis::Derived(_) => "derived",
    }
}

fn picture(told: GaugeWording, plot: &Plot) -> Value {
    match plot {
        Plot::Points(points) => json!({
            "along": points.along.what,
            "up": told.sides.fill(points.up.what),
            "points": points.points.iter().map(|point| json!({
                "along": point.along, "up": point.up, "beyond": point.beyond, "label": point.label,
            })).collect::<Vec<_>>(),
            "lines": points.lines.iter().map(|(name, ends)| json!({"name": name, "ends": ends})).collect::<Vec<_>>(),
        }),
        Plot::Bars(bars) => json!({
            "what": bars.what,
            "bars": bars.bars.iter().map(|(words, size)| json!({
                "what": told.words(words), "size": size.si(), "unit": size.si_unit(),
            })).collect::<Vec<_>>(),
        }),
        Plot::Heat(heat) => json!({
            "rows": { "what": heat.rows.0, "names": heat.rows.1 },
            "columns": { "what": heat.columns.0, "names": heat.columns.1 },
            "sizes": heat.sizes,
        }),
    }
}
