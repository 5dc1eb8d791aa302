//! `rules`: one file per subcommand.

mod check;
mod compare;
mod coverage;
mod export;
mod graph;
mod learn;
mod new;
mod pace;
mod print;
mod separate;
mod show;
mod test;
mod trial;

use std::io;
use std::path::Path;

pub(super) use self::new::run as write_new_entry;
use super::{Failed, Streams};
use crate::cli::{RulesArgs, RulesCommand};
use crate::drill;
use crate::exit::Exit;
use crate::problem::{Problem, Problems, Report, count};
use crate::proof::case;
use crate::rulebook::load::{self, BUILT_IN, Checked};
use crate::rulebook::model::Book;
use crate::show::problem;

/// Does what `rules` was told.
///
/// # Errors
/// If the output cannot be written.
pub(super) fn run(args: &RulesArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    match &args.command {
        RulesCommand::Check(args) => check::run(args, streams),
        RulesCommand::Export(args) => export::run(args, streams),
        RulesCommand::Test(args) => test::run(args, streams),
        RulesCommand::Learn(args) => learn::run(args, streams),
        RulesCommand::New(args) => new::run(args, streams),
        RulesCommand::Coverage(args) => coverage::run(args, streams),
        RulesCommand::Compare(args) => compare::run(args, streams),
        RulesCommand::Pace(args) => pace::run(args, streams),
        RulesCommand::Trial(args) => trial::run(args, streams),
        RulesCommand::Separate(args) => separate::run(args, streams),
        RulesCommand::Show(args) => show::run(args, streams),
        RulesCommand::Graph(args) => graph::run(args, streams),
        RulesCommand::Print(args) => print::run(args, streams),
    }
}

/// What is wrong with the files that go with a book: cases and drills.
fn beside(checked: &Checked) -> Vec<Problem> {
    let Some(book) = &checked.book else {
        return Vec::new();
    };
    let mut report = Report::default();
    case::read(book, checked, &mut report);
    for drill in drill::read::read(book, checked, &mut report) {
        // Those that are shipped are run by tests, so that a check stays quick.
        if !drill.place.file.starts_with(BUILT_IN)
            && let Some(problem) = drill::read::run(&drill)
        {
            report.add(problem);
        }
    }
    report.sorted()
}

/// The rule book with the site's folder laid over it, and its warnings told; or how the program ends without one.
fn book(site: Option<&Path>, streams: &mut Streams) -> Result<Book, Failed> {
    match load::with_site(site) {
        Ok((book, warnings)) => {
            tell(&warnings, streams)?;
            Ok(book)
        }
        Err(problems) => does_not_load(&problems, streams).and_then(Failed::told),
    }
}

/// Tells what is wrong with a file, on standard error.
pub(in crate::commands) fn tell(problems: &[Problem], streams: &mut Streams) -> io::Result<()> {
    for found in problems {
        let page = problem::page(found, streams.columns.now(), streams.err_paint);
        streams.err.page(&format!("{page}\n"))?;
    }
    Ok(())
}

/// Tells that the rule book does not load, and why.
pub(in crate::commands) fn does_not_load(
    problems: &Problems,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    tell(&problems.0, streams)?;
    let errors = problems.0.iter().filter(|problem| problem.is_error()).count();
    let errors = count(errors, "error");
    streams.complain(&format!("error: the rule book does not load: {errors}. `straybelt rules check DIR` tells of them too."))?;
    Ok(Exit::Rules)
}
