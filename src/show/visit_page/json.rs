//! A visit as one JSON document.

use serde_json::{Value, json};

use super::VisitPage;
use crate::show::happened::{Happened, state_words, usual_units};
use crate::show::past::conveyor_name;
use crate::visit::event::standing;

/// The document.
pub fn document(page: &VisitPage) -> Value {
    let (record, now, finding) = (page.visit.record, page.visit.now, page.visit.finding);
    let book = page.known.book();
    let mut told = Happened::new(page.known, usual_units(&now.conveyor));
    let happened = standing(&record.events).into_iter().filter_map(|event| {
        told.words(event).map(|words| json!({ "at": event.at, "words": words }))
    });
    let happened: Vec<Value> = happened.collect();
    let moved = now.moved.iter().map(|moved| {
        json!({
            "what": moved.what,
            "from": moved.from,
            "to": moved.to,
            "put_back": moved.put_back,
        })
    });
    let causes = finding.ranked.iter().map(|ranked| {
        let cause = &book.causes[ranked.cause];
        json!({
            "id": cause.id,
            "name": cause.name,
            "probability": ranked.probability,
            "was_present": ranked.was_present,
        })
    });
    let batches = finding.plan.batches.iter().map(|batch| {
        batch.steps.iter().map(|step| book.fixes[step.fix].id.clone()).collect::<Vec<String>>()
    });
    let cured = finding.cured(book).into_iter().map(|cured| book.causes[cured.cause].id.clone());
    let runs_true =
        record.state == crate::visit::store::VisitStatus::Over(crate::visit::event::Ended::True);
    json!({
        "format": 1,
        "visit": record.visit,
        "conveyor": conveyor_name(record),
        "begun": record.begun,
        "state": state_words(record.state),
        "book": record.book,
        "happened": happened,
        "moved": moved.collect::<Vec<Value>>(),
        "causes": causes.collect::<Vec<Value>>(),
        "cured": cured.filter(|_| runs_true).collect::<Vec<String>>(),
        "plan": batches.collect::<Vec<_>>(),
        "open_jobs": now.open_jobs().map(|job| page.known.fill(job)).collect::<Vec<String>>(),
    })
}
