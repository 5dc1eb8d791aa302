//! `rules check`: everything that is wrong with the rule files.

use std::io::Write;

use serde::Serialize;

use super::beside;
use super::watch::{Notices, watch};
use crate::cli::{CheckArgs, CheckFormat};
use crate::commands::{Failed, Streams};
use crate::exit::Exit;
use crate::rulebook::load::{self, Counts};
use crate::show::problem;

/// What `rules check --format json` prints.
#[derive(Serialize)]
struct CheckJson<'p> {
    format: u32,
    read: Counts,
    errors: usize,
    warnings: usize,
    followers: usize,
    problems: Vec<problem::ProblemJson<'p>>,
}

pub(super) fn run(args: &CheckArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    match args.dir.as_deref().filter(|_| args.watch) {
        Some(dir) => {
            let notices = match args.format {
                CheckFormat::Json => Notices::Apart,
                CheckFormat::Human | CheckFormat::Plain => Notices::Among,
            };
            watch(dir, notices, streams, &mut |streams| once(args, streams))
        }
        None => once(args, streams),
    }
}

fn once(args: &CheckArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let mut checked = load::read(args.dir.as_deref());
    let more = beside(&checked);
    checked.problems.extend(more);
    let problems = &checked.problems;
    let errors = problems.iter().filter(|problem| problem.is_error()).count();
    let warnings = problems.len() - errors;
    match args.format {
        CheckFormat::Human => {
            for found in problems {
                let page = problem::page(found, streams.columns.now(), streams.out_paint);
                streams.out.page(&format!("{page}\n"))?;
            }
            writeln!(streams.out, "{}", problem::summary(&checked, streams.columns.now()))?;
        }
        CheckFormat::Plain => {
            for found in problems {
                writeln!(streams.out, "{}", problem::line(found))?;
            }
        }
        CheckFormat::Json => {
            let problems = problems.iter().map(problem::ProblemJson::from).collect();
            let report = CheckJson {
                format: 1,
                read: checked.counts,
                errors,
                warnings,
                followers: checked.followers,
                problems,
            };
            streams.out.json(&report)?;
        }
    }
    let bad = errors > 0 || checked.book.is_none() || (!args.errors_only && warnings > 0);
    Ok(if bad { Exit::Problems } else { Exit::Done })
}
