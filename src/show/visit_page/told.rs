//! What a page of a visit says: what was seen, believed, done, found and moved, what cured it or is open.

use std::collections::BTreeSet;

use super::VisitPage;
use crate::rulebook::index::CautionAt;
use crate::show::chance;
use crate::show::entries::sheet::{Block, ListMark, RichText, Sheet};
use crate::show::happened::{Happened, state_words, usual_units};
use crate::show::letters::capital;
use crate::show::past::conveyor_name;
use crate::show::steps;
use crate::show::work::TO_WATCH;
use crate::visit::Weighed;
use crate::visit::clock::readable;
use crate::visit::event::{Ended, Event, Stamped, standing};
use crate::visit::store::VisitStatus;

/// So many causes are told, and so many reasons of each.
const CAUSES: usize = 3;
const REASONS: usize = 4;

/// The head, and what was seen.
pub(super) fn seen(page: &VisitPage) -> Sheet {
    let mut sheet = Sheet::default();
    let (record, now) = (page.visit.record, page.visit.now);
    let name = conveyor_name(record).unwrap_or_else(|| "Conveyor without a name".to_owned());
    sheet.title("visit", &format!("Visit {}: {name}", record.visit), "");
    let last = record.events.last().map_or(record.begun, |event| event.at);
    let facts = now.conveyor.facts.said_by_key().into_iter();
    let facts: Vec<String> =
        facts.map(|(key, value)| format!("{} {value}", key.replace('_', "-"))).collect();
    sheet.pairs(vec![
        ("Begun", readable(record.begun, page.zone).into()),
        ("Last entry", readable(last, page.zone).into()),
        ("State", capital(state_words(record.state)).into()),
        ("Conveyor", facts.join(", ").into()),
        ("Sides", page.known.sides().legend().unwrap_or_default().into()),
        ("Rule book", record.book.words().into()),
    ]);
    sheet.list("What was seen", ListMark::Dot, lines(page, is_seen));
    sheet
}

/// What was taken in, by eye, from people or by a gauge.
fn is_seen(event: &Event) -> bool {
    matches!(
        event,
        Event::StopNow { .. }
            | Event::StopAnswered { .. }
            | Event::EdgeRoom { .. }
            | Event::Answered { .. }
            | Event::Ticked { .. }
            | Event::Measured(_)
            | Event::Remarked { .. }
            | Event::By { .. }
            | Event::Photographed { .. }
    )
}

/// What was done, and what came of it.
fn is_done(event: &Event) -> bool {
    matches!(
        event,
        Event::BatchBegun { .. }
            | Event::BatchDropped
            | Event::FixBegun { .. }
            | Event::Checked { .. }
            | Event::StretchDone { .. }
            | Event::BeltMoved { .. }
            | Event::GivenBack
            | Event::Worked { .. }
            | Event::Found { .. }
            | Event::Ran { .. }
            | Event::PutBack { .. }
            | Event::PutOff { .. }
            | Event::Picked { .. }
            | Event::SomethingElse { .. }
            | Event::ElseDealtWith { .. }
            | Event::SaidCured { .. }
            | Event::BroughtOn { .. }
            | Event::RunsOn
            | Event::Reopened
            | Event::Ended { .. }
    )
}

/// The events of a kind, each in a line with its time.
fn lines(page: &VisitPage, wanted: fn(&Event) -> bool) -> Vec<RichText> {
    let mut told = Happened::new(page.known, usual_units(&page.visit.now.conveyor));
    let mut line = |event: &Stamped| {
        let words = told.words(event)?;
        let time = event.at.to_zoned_datetime(page.zone.clone()).strftime("%H:%M").to_string();
        wanted(&event.what).then(|| RichText::default().faint(format!("{time} ")).and(words))
    };
    standing(&page.visit.record.events).into_iter().filter_map(&mut line).collect()
}

/// All below the drawing.
pub(super) fn rest(page: &VisitPage) -> Sheet {
    let mut sheet = Sheet::default();
    believed(&mut sheet, page);
    sheet.list("What was done and found, step by step", ListMark::Dot, lines(page, is_done));
    moved(&mut sheet, page);
    outcome(&mut sheet, page);
    watch(&mut sheet, page);
    cautions(&mut sheet, page);
    sheet
}

fn believed(sheet: &mut Sheet, page: &VisitPage) {
    let (book, finding) = (page.known.book(), page.visit.finding);
    let ran_true = page.visit.record.state == VisitStatus::Over(Ended::True);
    let mut ranked = finding.ranked.clone();
    let chance_of = |one: &crate::visit::Ranked| match ran_true {
        true => one.was_present,
        false => one.probability,
    };
    ranked.sort_by(|one, other| chance_of(other).total_cmp(&chance_of(one)));
    if ranked.is_empty() {
        return;
    }
    sheet.section(match ran_true {
        true => "What was believed, and why: chances at the start",
        false => "What is believed, and why",
    });
    for one in ranked.iter().take(CAUSES) {
        let name = &book.causes[one.cause].name;
        sheet.para(
            RichText::default()
                .strong(name.clone())
                .and(format!(": {}", chance::percent(chance_of(one)))),
        );
        let why = (page.why)(one.cause);
        let said = |lead: &str, weighed: &Weighed| {
            let symptom = &book.symptoms[weighed.symptom];
            RichText::plain(format!(
                "{lead}: {} - {} ({})",
                page.known.fill(&symptom.ask),
                page.known.fill(&symptom.answers[weighed.answer].says),
                chance::weight(weighed.decibans)
            ))
        };
        let strong = |weighed: &&Weighed| weighed.decibans.abs() >= 0.5;
        let raises = why.raises.iter().filter(strong).take(REASONS).map(|one| said("For", one));
        let lowers = why.lowers.iter().filter(strong).take(REASONS).map(|one| said("Against", one));
        sheet.list("", ListMark::Dot, raises.chain(lowers).collect());
    }
}

fn moved(sheet: &mut Sheet, page: &VisitPage) {
    let note = |place: &Option<String>| place.clone().unwrap_or_else(|| "not noted".to_owned());
    let rows: Vec<Vec<RichText>> = page
        .visit
        .now
        .moved
        .iter()
        .map(|moved| {
            let back = match moved.put_back {
                Some(true) => "put back",
                Some(false) => "left as it is",
                None => "",
            };
            vec![
                moved.what.clone().into(),
                RichText::default().said("from ").and(note(&moved.from)),
                RichText::default().said("to ").and(note(&moved.to)),
                back.into(),
            ]
        })
        .collect();
    if !rows.is_empty() {
        sheet.section("What was moved");
        sheet.add(Block::Table { head: vec!["what", "from", "to", ""], rows });
    }
}

/// What cured it, or what is open.
fn outcome(sheet: &mut Sheet, page: &VisitPage) {
    let (book, finding) = (page.known.book(), page.visit.finding);
    let state = page.visit.record.state;
    if state == VisitStatus::Over(Ended::True) {
        let cured = finding.cured(book).into_iter().map(|cured| {
            let how_sure = match cured.seen {
                true => "found as suspected".to_owned(),
                false => format!("{} at the start", chance::percent(cured.was_present)),
            };
            let by: Vec<&str> =
                cured.by.iter().map(|fix| book.fixes[*fix].title.as_str()).collect();
            RichText::plain(format!(
                "{} ({how_sure}). Work done: {}",
                book.causes[cured.cause].name,
                by.join("; ")
            ))
        });
        let others = finding.observed.something_else.iter().filter(|told| told.is_put_right());
        let others =
            others.map(|told| RichText::plain(format!("Also put right: {}", told.words())));
        sheet.list("What cured it", ListMark::Dot, cured.chain(others).collect());
    } else {
        let mut batches = finding.plan.batches.iter().map(|batch| {
            let titles = batch.steps.iter().map(|step| book.fixes[step.fix].title.clone());
            titles.collect::<Vec<String>>()
        });
        let next: Vec<String> = batches.next().unwrap_or_default();
        let mut later: Vec<String> = Vec::new();
        for title in batches.flatten().filter(|title| !next.contains(title)) {
            if !later.contains(&title) {
                later.push(title);
            }
        }
        let list = |titles: Vec<String>| titles.into_iter().map(RichText::plain).collect();
        sheet.list("Next, in this order", ListMark::Number, list(next));
        sheet.list("Only if it still runs off then, in this order", ListMark::Number, list(later));
    }
    let open = page.visit.now.open_jobs().map(|job| page.known.fill(job).into());
    sheet.list("Open jobs, to keep it running true", ListMark::Dot, open.collect());
}

fn watch(sheet: &mut Sheet, page: &VisitPage) {
    let book = page.known.book();
    let done = page.visit.finding.observed.done.iter().flatten();
    let worked = done.map(|fix| page.known.fill(&book.fixes[*fix].worked));
    let worked: BTreeSet<String> = worked.filter(|words| !words.is_empty()).collect();
    let all = worked.into_iter().chain(TO_WATCH.map(str::to_owned));
    sheet.list(
        "What to watch, from outside the guards",
        ListMark::Dot,
        all.map(RichText::from).collect(),
    );
}

/// The cautions of what was done and of what is still planned, each once.
fn cautions(sheet: &mut Sheet, page: &VisitPage) {
    let (book, finding) = (page.known.book(), page.visit.finding);
    let done = finding.observed.done.iter().flatten().copied();
    let planned = finding.plan.batches.iter().flat_map(|batch| &batch.steps).map(|step| step.fix);
    let over = matches!(page.visit.record.state, VisitStatus::Over(_));
    let fixes = done.chain(planned.filter(|_| !over));
    let all: BTreeSet<CautionAt> = fixes
        .flat_map(|fix| {
            let fix = &book.fixes[fix];
            book.warnings(fix.state(), &fix.cautions)
        })
        .collect();
    let lines = all.into_iter().map(|at| steps::caution_line(page.known, at).into());
    sheet.list("Cautions that stay", ListMark::Dot, lines.collect());
}
