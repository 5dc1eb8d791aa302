//! `straybelt drill debrief`: what a run was worth; of several runs, a class list.

use super::DrillBook;
use super::replay::pictured;
use crate::cli::{DebriefArgs, DebriefFormat};
use crate::commands::{Failed, Streams, output, refuse, say_store};
use crate::disk::Over;
use crate::drill::frames::Frame;
use crate::drill::record::{Record, Store};
use crate::drill::{Drill, World, learners};
use crate::exit::Exit;
use crate::show::drill::debrief::{Debrief, class, html, json, text};
use crate::show::page::Screen;
use crate::stream::paint::Paint;
use crate::visit::Diagnosis;

/// Writes the debrief of a run, or the class list of several.
///
/// # Errors
/// If standard output cannot be written.
pub(super) fn debrief(
    room: &DrillBook,
    store: &Store,
    wanted: &DebriefArgs,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let mut numbers = Vec::new();
    for run in &wanted.runs {
        if !numbers.contains(run) {
            numbers.push(*run);
        }
    }
    let mut kept: Vec<(Record, Drill)> = Vec::new();
    for run in numbers {
        let record = match store.look(run) {
            Ok(record) => record,
            Err(error) => return say_store(&error, streams),
        };
        match record.drill(&room.book) {
            Ok(drill) => kept.push((record, drill)),
            Err(problems) => return refuse(&problems, streams),
        }
    }
    let diagnosis = Diagnosis::new(&room.book);
    let mut worlds: Vec<(&Record, World<'_>, Vec<Frame>)> = Vec::new();
    // Who ran what before is told of a class; what cannot be read counts for nothing there.
    let all = match kept.len() {
        1 => Vec::new(),
        _ => store.look_at_all().map_or_else(|_| Vec::new(), |all| all.records),
    };
    for (record, drill) in &kept {
        let Some((world, frames)) = pictured(record, drill, &diagnosis, streams) else {
            streams.complain(&format!(
                "error: the belt of run {} cannot run any more. `straybelt rules check` tells why.",
                record.run
            ))?;
            return Ok(Exit::Usage);
        };
        worlds.push((record, world, frames));
    }
    let runs: Vec<Debrief<'_, '_>> = worlds
        .iter()
        .map(|(record, world, frames)| {
            let earlier = learners::earlier(&all, record);
            Debrief::new(record, world).with_frames(frames.clone()).after(earlier)
        })
        .collect();
    let paint = if wanted.output.is_some() { Paint::NONE } else { streams.out_paint };
    let screen = Screen::with(streams.columns, paint);
    let (document, what) = match runs.as_slice() {
        [run] => (one(run, wanted.format, screen), "the debrief"),
        runs => (several(runs, wanted.format, screen), "the class list"),
    };
    let over = if wanted.force { Over::PlainFile } else { Over::Nothing };
    output::deliver(&document, wanted.output.as_deref(), over, what, streams)
}

/// One run in full.
fn one(run: &Debrief<'_, '_>, format: DebriefFormat, screen: Screen) -> String {
    match format {
        DebriefFormat::Text => text::write(screen, run),
        DebriefFormat::Json => json::write(run),
        DebriefFormat::Html => html::write(run),
    }
}

/// Several runs, a row for each.
fn several(runs: &[Debrief<'_, '_>], format: DebriefFormat, screen: Screen) -> String {
    match format {
        DebriefFormat::Text => class::text(screen, runs),
        DebriefFormat::Json => class::json(runs),
        DebriefFormat::Html => class::html(runs),
    }
}
