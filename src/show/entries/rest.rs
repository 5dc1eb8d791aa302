//! Cautions, sources, terms, and the questions before everything else, as they are read.

use super::sheet::{Bit, ListMark, RichText, Sheet};
use super::{BookSheets, entry};
use crate::rulebook::index::{CautionAt, SourceAt};
use crate::rulebook::model::{Grade, Hazard, RoomMeans, Source, Standing, StopMeans};

pub(super) fn caution(sheets: &BookSheets, sheet: &mut Sheet, at: CautionAt) {
    let book = sheets.book;
    let caution = &book.cautions[at];
    let title = format!("Caution: {}", caution.id.replace('-', " "));
    sheet.title(&super::anchor("caution", &caution.id), &title, &caution.id);
    sheet.warn(sheets.fill(&caution.text));
    let mut pairs = vec![("Rule", caution.rule.as_str().into())];
    if let Some(hazard) = caution.hazard {
        let words = format!("{}: a site may add to it, and changes nothing of it", guards(hazard));
        pairs.push(("Safety caution", words.into()));
    }
    if let Some(standing) = caution.standing {
        let pages = match standing {
            Standing::LockedOut => "on every page of locked-out work",
            Standing::Running => "on every page of work on a running machine",
            Standing::Always => "on every page of work",
        };
        pairs.push(("Stands", pages.into()));
    }
    pairs.push(("Source", sheets.mark(&caution.source)));
    sheet.pairs(pairs);
    let fixes = book.fixes.iter();
    let fixes = fixes.filter(|(_, fix)| fix.cautions.contains(&at));
    let fixes = fixes.map(|(fix, _)| sheets.fix(fix));
    let stops = book.stop_now.iter();
    let stops = stops.filter(|stop| stop.cautions.contains(&at));
    let stops = stops.map(|stop| entry("stop-now", &stop.id, &stop.ask));
    let looks = book.looks.values();
    let looks = looks.filter(|look| look.cautions.contains(&at));
    let looks = looks.map(|look| entry("look", &look.id, &look.title));
    let before: Vec<Bit> = fixes.chain(stops).chain(looks).collect();
    if !before.is_empty() {
        sheet.para(RichText::default().strong("Stands before: ").entries(before).and("."));
    }
}

/// What a safety caution guards against, in words.
fn guards(hazard: Hazard) -> &'static str {
    match hazard {
        Hazard::LockOut => "lock-out",
        Hazard::NipPoints => "nip points",
        Hazard::StoredEnergy => "stored energy",
        Hazard::Guards => "guards",
        Hazard::PeopleClear => "people clear",
        Hazard::Alone => "alone",
        Hazard::Fire => "fire",
    }
}

pub(super) fn source(sheets: &BookSheets, sheet: &mut Sheet, at: SourceAt) {
    let source = &sheets.book.sources[at];
    let anchor = super::anchor("source", &source.id);
    sheet.title(&anchor, &format!("Source: {}", source.short), &source.id);
    sheet.para(source.cite.as_str());
    sheet.pairs(vec![("Grade", grade(source.grade).into())]);
    let mut cited = RichText::default().strong("Cited by: ");
    for (place, words) in citing(sheets, at).into_iter().enumerate() {
        if place > 0 {
            cited = cited.and("; ");
        }
        cited.0.extend(words.0);
    }
    if cited.0.len() > 1 {
        sheet.para(cited.and("."));
    }
}

/// What a grade means.
pub(super) fn grade(grade: Grade) -> &'static str {
    match grade {
        Grade::A => "A: regulation, standard or official report",
        Grade::B => "B: maker's engineering manual or handbook",
        Grade::C => "C: trade or distributor's page",
        Grade::D => "D: forum or weak page",
    }
}

/// The entries that cite a source, with the place in it.
fn citing(sheets: &BookSheets, at: SourceAt) -> Vec<RichText> {
    let book = sheets.book;
    let mut cited = Vec::new();
    let mut look = |source: &Source, link: &dyn Fn() -> Bit| {
        if let Source::Published(published, place) = source
            && *published == at
        {
            let words = RichText::default().entry(link());
            cited.push(if place.is_empty() { words } else { words.faint(format!(", {place}")) });
        }
    };
    for (cause, entry) in book.causes.iter() {
        look(&entry.source, &|| sheets.cause(cause));
    }
    for (symptom, entry) in book.symptoms.iter() {
        look(&entry.source, &|| sheets.symptom(symptom));
    }
    for (fix, entry) in book.fixes.iter() {
        look(&entry.source, &|| sheets.fix(fix));
        look(&entry.done_when.1, &|| sheets.fix(fix));
    }
    for look_entry in book.looks.values().filter(|look| look.place.is_some()) {
        look(&look_entry.source, &|| entry("look", &look_entry.id, &look_entry.title));
    }
    for (_, caution) in book.cautions.iter() {
        look(&caution.source, &|| entry("caution", &caution.id, &caution.id.replace('-', " ")));
    }
    for stop in &book.stop_now {
        look(&stop.source, &|| entry("stop-now", &stop.id, &stop.ask));
    }
    look(&book.edge_room.source, &|| entry("edge-room", &book.edge_room.id, &book.edge_room.ask));
    cited
}

pub(super) fn term(sheets: &BookSheets, sheet: &mut Sheet, at: usize) {
    if let Some(term) = sheets.book.glossary.get(at) {
        sheet.title(&super::anchor("term", &term.term), &term.term, "");
        sheet.para(term.means.as_str());
    }
}

pub(super) fn stop_now(sheets: &BookSheets, sheet: &mut Sheet, at: usize) {
    let Some(stop) = sheets.book.stop_now.get(at) else {
        return;
    };
    let anchor = super::anchor("stop-now", &stop.id);
    sheet.title(&anchor, &sheets.fill(&stop.ask), &stop.id);
    sheet.pairs(vec![
        ("How to look", sheets.fill(&stop.look).into()),
        ("Tell", sheets.fill(&stop.tell).into()),
        ("Source", sheets.mark(&stop.source)),
    ]);
    let answers = stop.answers.iter().map(|answer| {
        let means = match answer.means {
            StopMeans::GoOn => "go on",
            StopMeans::Stop => "STOP: nothing more is asked",
            StopMeans::LockedOut => "the points of isolation come next, then on",
        };
        RichText::plain(format!("{}: ", sheets.fill(&answer.says))).strong(means)
    });
    sheet.list("Answers, and what follows", ListMark::Dot, answers.collect());
    let now = stop.do_now.iter().map(|text| sheets.fill(text).into());
    sheet.list("When it stops, do at once", ListMark::Number, now.collect());
    for caution in &stop.cautions {
        let caution = &sheets.book.cautions[*caution];
        sheet.warn(format!("{} ({})", sheets.fill(&caution.text), caution.rule));
    }
}

pub(super) fn edge_room(sheets: &BookSheets, sheet: &mut Sheet) {
    let room = &sheets.book.edge_room;
    let anchor = super::anchor("edge-room", &room.id);
    sheet.title(&anchor, &sheets.fill(&room.ask), &room.id);
    sheet.pairs(vec![
        ("How to look", sheets.fill(&room.look).into()),
        ("Why it matters", sheets.fill(&room.why).into()),
        ("Source", sheets.mark(&room.source)),
    ]);
    let answers = room.answers.iter().map(|answer| {
        let means = match answer.means {
            RoomMeans::LeaveIt => "leave it, and watch it",
            RoomMeans::GoOn => "go on asking",
            RoomMeans::Urgent => "have it stopped first",
        };
        RichText::plain(format!("{}: ", sheets.fill(&answer.says))).strong(means)
    });
    sheet.list("Answers, and what follows", ListMark::Dot, answers.collect());
    let leave = room.leave_it.iter().map(|text| sheets.fill(text).into());
    sheet.list("When it is best left alone", ListMark::Dot, leave.collect());
    let urgent = room.urgent.iter().map(|text| sheets.fill(text).into());
    sheet.list("When the belt is in danger", ListMark::Number, urgent.collect());
}
