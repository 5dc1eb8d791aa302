//! `rules`: one file per subcommand.

mod check;
mod compare;
mod coverage;
mod diff;
mod export;
mod graph;
mod learn;
mod list;
mod new;
mod pace;
mod print;
mod schema;
mod separate;
mod show;
mod sign_off;
mod test;
mod trial;
mod watch;

use std::io;
use std::path::Path;

pub(super) use self::new::run as write_new_entry;
use super::{Failed, Streams};
use crate::cli::{ReportFormat, RulesArgs, RulesCommand};
use crate::drill;
use crate::exit::Exit;
use crate::problem::{Problem, Problems, Report, count};
use crate::proof::case;
use crate::proof::paired::{Against, Verdict};
use crate::rulebook::load::{self, BUILT_IN, Checked};
use crate::rulebook::model::Book;
use crate::show::problem;
use crate::show::proof_against::{self, AgainstHead};

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
        RulesCommand::List(args) => list::run(args, streams),
        RulesCommand::Schema(args) => schema::run(args, streams),
        RulesCommand::Diff(args) => diff::run(args, streams),
        RulesCommand::SignOff(args) => sign_off::run(args, streams),
        RulesCommand::Pace(args) => pace::run(args, streams),
        RulesCommand::Trial(args) => trial::run(args, streams),
        RulesCommand::Separate(args) => separate::run(args, streams),
        RulesCommand::Show(args) => show::run(args, streams),
        RulesCommand::Graph(args) => graph::run(args, streams),
        RulesCommand::Print(args) => print::run(args, streams),
    }
}

/// What the compiled-in book is called.
const DEFAULT: &str = "default";

/// The folder that is meant; none for the compiled-in book.
fn folder(named: Option<&Path>) -> Option<&Path> {
    named.filter(|dir| dir.as_os_str() != DEFAULT)
}

/// What a book is called on a page.
fn called(named: Option<&Path>) -> String {
    named.map_or(DEFAULT.to_owned(), |dir| dir.display().to_string())
}

/// Tells what came of two books on the same draws; worse is a problem.
fn told(
    head: AgainstHead<'_>,
    (came, wrong): (&Against, Option<(usize, usize)>),
    format: ReportFormat,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    match format {
        ReportFormat::Text => {
            let page = proof_against::page(streams.screen(), head, came, wrong);
            streams.out.page(&page)?;
        }
        ReportFormat::Json => {
            streams.out.json(&proof_against::AgainstJson::new(head, came, wrong))?;
        }
    }
    let worse = came.verdict() == Verdict::Worse;
    Ok(if worse { Exit::Problems } else { Exit::Done })
}

/// What is wrong with the files that go with a book: cases, drills and courses.
fn beside(checked: &Checked) -> Vec<Problem> {
    let Some(book) = &checked.book else {
        return Vec::new();
    };
    let mut report = Report::default();
    case::read(book, checked, &mut report);
    let drills = drill::read::read(book, checked, &mut report).drills;
    drill::course::read::read(book, checked, &drills, &mut report);
    for drill in &drills {
        // Those that are shipped are run by tests, so that a check stays quick.
        if !drill.place.file.starts_with(BUILT_IN) {
            drill::fits::problems(book, drill).into_iter().for_each(|problem| report.add(problem));
            drill::read::run(drill).into_iter().for_each(|problem| report.add(problem));
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
