//! `rules compare`: what changes from one rule book to another, or with other likelihoods.

use std::path::PathBuf;

use super::test::{Loaded, load, with_cases};
use super::{DEFAULT, folder, tell};
use crate::cli::{CompareArgs, ReportFormat};
use crate::commands::progress::Progress;
use crate::commands::{Failed, Streams};
use crate::exit::Exit;
use crate::problem::Problem;
use crate::proof::compare::{BookWithCases, CompareSettings, Turn, cases, compare};
use crate::proof::what_if;
use crate::rulebook::load::read_changed;
use crate::show::proof::WORDING;
use crate::show::proof_compare::{self, ComparisonHead, ComparisonJson};

pub(super) fn run(args: &CompareArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let called = |dir: &Option<PathBuf>| {
        dir.as_ref().map_or(DEFAULT.to_owned(), |dir| dir.display().to_string())
    };
    let old_called = called(&args.old);
    let old = load(folder(args.old.as_deref()), streams)?;
    let (new, new_called) = if args.what_if.is_empty() {
        (load(folder(args.new.as_deref()), streams)?, called(&args.new))
    } else {
        let called = format!("{old_called} with {}", args.what_if.join(" and "));
        (changed(args, streams)?, called)
    };
    let (old, new) = (side(&old), side(&new));
    let setting = CompareSettings { visits: args.draws.runs(), seed: args.draws.seed };
    let all = cases(old, new) + setting.visits;
    let mut progress = Progress::new(streams.err.bare(), all, "cases and visits");
    let compared = compare(old, new, setting, WORDING, &mut |through| progress.through(through));
    drop(progress);
    let head = ComparisonHead {
        old: (old.book, &old_called),
        new: (new.book, &new_called),
        seed: setting.seed,
    };
    match args.draws.format {
        ReportFormat::Text => {
            let screen = streams.screen();
            let page = proof_compare::page(screen, head, &compared);
            streams.out.page(&page)?;
        }
        ReportFormat::Json => {
            streams.out.json(&ComparisonJson::new(head, &compared))?;
        }
    }
    let lost = compared.cases.iter().any(|row| row.turn() == Turn::Lost);
    Ok(if lost { Exit::Problems } else { Exit::Done })
}

fn side(loaded: &Loaded) -> BookWithCases<'_> {
    BookWithCases { book: &loaded.book, cases: &loaded.cases.cases }
}

/// The old book with what `--what-if` changes.
fn changed(args: &CompareArgs, streams: &mut Streams) -> Result<Loaded, Failed> {
    let checked = read_changed(folder(args.old.as_deref()), |rules, texts, report| {
        what_if::apply(rules, &args.what_if, texts, report);
    });
    // It loaded without the change, so the change is what does not fit.
    if checked.book.is_none() {
        let errors: Vec<_> = checked.problems.into_iter().filter(Problem::is_error).collect();
        tell(&errors, streams)?;
        return Err(Failed::Told(Exit::Usage));
    }
    with_cases(checked, streams)
}
