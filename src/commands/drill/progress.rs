//! `straybelt drill progress`: what learners have reached over the weeks.

use super::{DrillBook, learners};
use crate::cli::{PageFormat, ProgressArgs};
use crate::commands::{Failed, Streams, output, say_store};
use crate::disk::Over;
use crate::drill::learners::same_person;
use crate::drill::record::Store;
use crate::exit::Exit;
use crate::problem::nearest;
use crate::show::drill::progress::{self, Progress, json};
use crate::show::page::Screen;
use crate::stream::paint::Paint;
use crate::visit::clock::{Clock, SystemClock};

/// Writes the progress of one learner, or of all.
///
/// # Errors
/// If standard output cannot be written.
pub(super) fn tell(
    room: &DrillBook,
    store: &Store,
    wanted: &ProgressArgs,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let (mut all, bad) = match learners::all(room, store, streams) {
        Ok(all) => all,
        Err(error) => return say_store(&error, streams),
    };
    for error in &bad {
        streams.complain(&format!("warning: {error}. It is not counted."))?;
    }
    if let Some(name) = &wanted.name {
        let names: Vec<String> = all.iter().map(|learner| learner.name.clone()).collect();
        all.retain(|learner| same_person(&learner.name, name));
        if all.is_empty() {
            let meant = nearest(name, names.iter().map(String::as_str));
            let meant = meant.map_or(String::new(), |meant| format!(" Did you mean {meant}?"));
            streams.complain(&format!(
                "error: nobody called {name} has run a drill here.{meant} `straybelt drill progress` tells of everybody."
            ))?;
            return Ok(Exit::Usage);
        }
    }
    if all.is_empty() && wanted.page.format == PageFormat::Text {
        streams
            .out
            .page("No run has a name yet. `straybelt drill run --who NAME` gives it one.\n")?;
        return Ok(Exit::Done);
    }
    let titles =
        room.drills.iter().map(|drill| (drill.id.as_str(), drill.title.as_str())).collect();
    let zone = SystemClock.zone();
    let told = Progress { learners: &all, courses: &room.courses, titles: &titles, zone: &zone };
    let paint = if wanted.page.output.is_some() { Paint::NONE } else { streams.out_paint };
    let document = match wanted.page.format {
        PageFormat::Text => progress::text(Screen::with(streams.columns, paint), &told),
        PageFormat::Html => progress::html(&told),
        PageFormat::Json => json::write(&told),
    };
    let over = if wanted.page.force { Over::PlainFile } else { Over::Nothing };
    output::deliver(&document, wanted.page.output.as_deref(), over, "the progress", streams)
}
