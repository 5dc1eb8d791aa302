//! `rules coverage`: what no case exercises.

use serde::Serialize;

use super::test::{judge, load};
use crate::cli::{CoverageArgs, ReportFormat};
use crate::commands::{Failed, Streams};
use crate::exit::Exit;
use crate::proof::coverage::{self, Missing};
use crate::show::proof;

#[derive(Serialize)]
struct CoverageJson<'t> {
    format: u32,
    per_cent: f64,
    counts: Vec<(&'t str, usize, usize)>,
    never_first: Vec<&'t str>,
    missing: Vec<MissingLine<'t>>,
}

#[derive(Serialize)]
struct MissingLine<'t> {
    kind: &'static str,
    id: &'t str,
    part: Option<&'t str>,
    place: Option<String>,
}

/// Runs all cases and tells what they reach.
pub(super) fn run(args: &CoverageArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let loaded = load(args.dir.as_deref(), streams)?;
    let ran = judge(&loaded, &[]);
    let book = &loaded.book;
    let covered = coverage::of(book, ran.iter().map(|(case, verdict)| (*case, verdict)));
    let place = |missing: &Missing| {
        let checked = &loaded.checked;
        let place = checked.places.find(missing.kind, &missing.id, &checked.texts)?;
        Some(place.to_string())
    };
    match args.format {
        ReportFormat::Text => {
            let screen = streams.screen();
            let page = proof::coverage(screen, book, &covered, &place);
            streams.out.page(&page)?;
        }
        ReportFormat::Json => {
            let told = CoverageJson {
                format: 1,
                per_cent: covered.per_cent(),
                counts: covered.counts.iter().map(|c| (c.what, c.reached, c.all)).collect(),
                never_first: covered
                    .never_first
                    .iter()
                    .map(|c| book.causes[*c].id.as_str())
                    .collect(),
                missing: covered
                    .missing
                    .iter()
                    .map(|m| MissingLine {
                        kind: m.kind.word(),
                        id: &m.id,
                        part: m.part.as_deref(),
                        place: place(m),
                    })
                    .collect(),
            };
            streams.out.json(&told)?;
        }
    }
    let short = args.min.is_some_and(|min| covered.per_cent() < min);
    if short {
        streams.complain(&format!(
            "error: {:.1} per cent is exercised, less than {} per cent.",
            covered.per_cent(),
            args.min.unwrap_or_default()
        ))?;
    }
    Ok(if short { Exit::Problems } else { Exit::Done })
}
