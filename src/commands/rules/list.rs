//! `rules list`: all ids by kind.

use std::collections::BTreeMap;

use serde::Serialize;

use super::test::load;
use crate::cli::{ListArgs, ReportFormat};
use crate::commands::{Failed, Streams};
use crate::drill;
use crate::exit::Exit;
use crate::problem::Report;
use crate::rulebook::cards::cards;
use crate::show::page::Page;
use crate::stream::paint::Ink;

#[derive(Serialize)]
struct ListJson<'l> {
    format: u32,
    kinds: BTreeMap<&'l str, Vec<IdJson>>,
}

#[derive(Serialize)]
struct IdJson {
    id: String,
    name: String,
    place: Option<String>,
}

pub(super) fn run(args: &ListArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let loaded = load(args.dir.as_deref(), streams)?;
    let mut kinds: BTreeMap<&str, Vec<IdJson>> = BTreeMap::new();
    for card in cards(&loaded.book).into_iter().filter(|card| card.kind != "book") {
        let place = loaded.checked.said(card.kind, &card.id).map(|place| place.to_string());
        kinds.entry(card.kind).or_default().push(IdJson { id: card.id, name: card.name, place });
    }
    for case in &loaded.cases.cases {
        let (id, name) = (case.id.clone(), case.title.clone());
        kinds.entry("case").or_default().push(IdJson {
            id,
            name,
            place: Some(case.place.to_string()),
        });
    }
    let mut report = Report::default();
    let drills = drill::read::read(&loaded.book, &loaded.checked, &mut report).drills;
    for course in drill::course::read::read(&loaded.book, &loaded.checked, &drills, &mut report) {
        let place = Some(course.place.to_string());
        kinds.entry("course").or_default().push(IdJson {
            id: course.id,
            name: course.title,
            place,
        });
    }
    for drill in drills {
        let place = Some(drill.place.to_string());
        kinds.entry("drill").or_default().push(IdJson { id: drill.id, name: drill.title, place });
    }
    if let Some(kind) = &args.kind {
        if !kinds.contains_key(kind.as_str()) {
            let known: Vec<&str> = kinds.keys().copied().collect();
            streams.complain(&format!(
                "error: the book has nothing of the kind {kind}.\ndo: its kinds are {}.",
                known.join(", ")
            ))?;
            return Ok(Exit::Usage);
        }
        kinds.retain(|known, _| known == kind);
    }
    match args.format {
        ReportFormat::Text => {
            let mut page = Page::new(streams.screen());
            for (kind, ids) in &kinds {
                page.head(&format!("{kind} ({})", ids.len()));
                for id in ids {
                    page.item("  ", &format!("{}: {}", id.id, id.name));
                }
                page.blank();
            }
            page.para_in(Ink::Faint, "`straybelt rules show ID` tells all of one.");
            streams.out.page(&page.finish())?;
        }
        ReportFormat::Json => streams.out.json(&ListJson { format: 1, kinds })?,
    }
    Ok(Exit::Done)
}
