//! One file per subcommand: each wires the rooms and owns no logic.

mod asker;
mod begin;
mod conveyor;
pub mod diagnose;
pub mod drill;
mod failed;
mod form;
mod found;
mod gauge;
pub mod logbook;
mod new_file;
mod note;
mod output;
mod paper;
mod progress;
mod rules;
mod scripted;
mod setting;
mod sides;
pub mod visits;

use std::ffi::OsString;
use std::io::{self, IsTerminal, Write};
use std::path::Path;

use clap::{CommandFactory, FromArgMatches};

use self::failed::Failed;
use crate::cli::{Cli, Colour, Command};
use crate::exit::Exit;
use crate::kept::StoreError;
use crate::problem::Problems;
use crate::rulebook::load;
use crate::rulebook::model::Book;
use crate::show::page::Screen;
use crate::stream::paint::Paint;
use crate::stream::terminal::Columns;
use crate::stream::{self, Stream};

/// Where output goes, and what is known of it.
pub struct Streams {
    /// Results.
    pub out: Stream,
    /// Errors and talk.
    pub err: Stream,
    /// Whether results are painted.
    pub out_paint: Paint,
    /// Whether errors and talk are painted.
    pub err_paint: Paint,
    /// How wide lines may be.
    pub columns: Columns,
}

impl Streams {
    /// The process's own.
    pub fn real() -> Self {
        let wanted = std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty())
            && std::env::var_os("TERM").is_none_or(|term| term != "dumb");
        let out_paint = Paint::new(wanted && io::stdout().is_terminal());
        let err_paint = Paint::new(wanted && io::stderr().is_terminal());
        Self {
            out: Stream::new(Box::new(io::BufWriter::new(io::stdout())), out_paint),
            err: Stream::new(Box::new(io::stderr()), err_paint),
            out_paint,
            err_paint,
            columns: Columns::OfTerminal,
        }
    }

    /// What pages of results are laid out for.
    pub(in crate::commands) fn screen(&self) -> Screen {
        Screen::with(self.columns, self.out_paint)
    }

    /// From now on both are painted, or neither.
    fn paint(&mut self, paint: Paint) {
        (self.out_paint, self.err_paint) = (paint, paint);
        self.out.paint(paint);
        self.err.paint(paint);
    }
}

/// On a screen as wide as this or wider an error is one line, for whoever searches a log for it.
const ROOMY: usize = 80;

impl Streams {
    /// Tells an error or what helps against it, on a narrow screen wrapped at words.
    ///
    /// # Errors
    /// If it cannot be written.
    pub(in crate::commands) fn complain(&mut self, words: &str) -> io::Result<()> {
        let columns = self.columns.now();
        if columns >= ROOMY {
            return writeln!(self.err, "{words}");
        }
        let options = textwrap::Options::new(columns.max(Screen::NARROWEST))
            .subsequent_indent("  ")
            .break_words(false)
            .word_splitter(textwrap::WordSplitter::NoHyphenation);
        for line in words.split('\n') {
            writeln!(self.err, "{}", textwrap::fill(line, &options))?;
        }
        Ok(())
    }
}

/// Runs the program: parses the arguments, does what they say, tells how it ended.
pub fn run(args: impl IntoIterator<Item = OsString>, streams: &mut Streams) -> Exit {
    crate::disk::survive_size_limit();
    let args: Vec<OsString> = args.into_iter().collect();
    let cli = match parse(&args, streams.columns) {
        Ok(cli) => cli,
        Err(error) => return tell_usage(&error, &args, streams),
    };
    match cli.color {
        Colour::Auto if cli.command.as_ref().is_some_and(Command::is_plain) => {
            (streams.out_paint, streams.err_paint) = (Paint::NONE, Paint::NONE);
        }
        Colour::Auto => {}
        Colour::Always => streams.paint(Paint::new(true)),
        Colour::Never => streams.paint(Paint::NONE),
    }
    let ended = match cli.command {
        Some(command) => run_command(command, streams),
        None if io::stdin().is_terminal() && io::stderr().is_terminal() => begin::wished(streams)
            .and_then(|wished| match wished {
                Some(command) => run_command(command, streams),
                None => Ok(Exit::Done),
            }),
        None => {
            let help = command(streams.columns).render_help();
            write!(streams.err, "{help}").map(|()| Exit::Usage).map_err(Failed::from)
        }
    };
    let ended = Failed::exit(ended).and_then(|exit| streams.out.flush().map(|()| exit));
    match ended {
        Ok(exit) => exit,
        // Whoever reads our output has gone: that is no error of ours.
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Exit::Done,
        Err(error) => {
            let _ = writeln!(streams.err, "error: the output cannot be written: {error}");
            Exit::Usage
        }
    }
}

fn run_command(mut command: Command, streams: &mut Streams) -> Result<Exit, Failed> {
    found::rules(&mut command, streams)?;
    match command {
        Command::Diagnose(args) => match &args.answers {
            Some(file) => scripted::run(&args, file, streams),
            None => diagnose::run(&args, streams),
        },
        Command::Visits(args) => visits::run(&args, streams),
        Command::Logbook(args) => logbook::run(&args, streams),
        Command::Conveyor(args) => conveyor::run(&args, streams),
        Command::Gauge(args) => gauge::run(&args, streams),
        Command::Drill(args) => drill::run(&args, streams),
        Command::Rules(args) => rules::run(&args, streams),
        Command::Completions { shell } => paper::completions(shell, streams),
        Command::Man => paper::man(streams),
    }
}

/// No line of help is longer, however wide the terminal.
const HELP: usize = 100;

/// The command line, its help as wide as every other page.
fn command(columns: Columns) -> clap::Command {
    let columns = columns.known().map_or(HELP, |columns| columns.clamp(Screen::NARROWEST, HELP));
    Cli::command().term_width(columns)
}

fn parse(
    args: impl IntoIterator<Item = impl Into<OsString> + Clone>,
    columns: Columns,
) -> Result<Cli, clap::Error> {
    let mut command = command(columns);
    let matches = command.try_get_matches_from_mut(args)?;
    Cli::from_arg_matches(&matches).map_err(|error| error.format(&mut command))
}

/// Help and the version, which are results, or what is wrong with the command line.
fn tell_usage(error: &clap::Error, args: &[OsString], streams: &mut Streams) -> Exit {
    if !error.use_stderr() {
        let help = error.render();
        // Who does not listen any more needs no help.
        let _ = match streams.out_paint.is_on() {
            true => streams.out.page(&help.ansi().to_string()),
            false => streams.out.page(&help.to_string()),
        };
        let _ = streams.out.flush();
        return Exit::Done;
    }
    // The error repeats what was typed, among inks: so it is made of what may be shown.
    let shown = args.iter().map(|arg| stream::clean(&arg.to_string_lossy()).into_owned());
    let words = parse(shown, streams.columns).err().map(|error| error.render());
    let _ = match words.filter(|_| streams.err_paint.is_on()) {
        Some(words) => streams.err.page(&words.ansi().to_string()),
        None => write!(streams.err, "{}", error.render()),
    };
    Exit::Usage
}

/// The rule book with the site's folder laid over it, or how the program ends without one. Warnings are for whoever
/// writes rules: `rules check` tells of them, and nothing stands above a page for the belt.
fn book(site: Option<&Path>, streams: &mut Streams) -> Result<Book, Failed> {
    match load::with_site(site) {
        Ok((book, _)) => Ok(book),
        Err(problems) => rules::does_not_load(&problems, streams).and_then(Failed::told),
    }
}

/// The folders that were named, to be named again. Paths with odd letters are quoted for a shell.
fn flags(named: &[(&str, Option<&Path>)]) -> String {
    let mut again = String::new();
    for (flag, path) in named {
        let Some(path) = path else { continue };
        let path = path.display().to_string();
        let plain = |c: char| c.is_ascii_alphanumeric() || "/._-~".contains(c);
        again.push_str(&match path.chars().all(plain) {
            true => format!(" {flag} {path}"),
            false => format!(" {flag} '{}'", path.replace('\'', "'\\''")),
        });
    }
    again
}

/// Tells what is wrong with a file that the person named.
fn refuse(problems: &Problems, streams: &mut Streams) -> Result<Exit, Failed> {
    rules::tell(&problems.0, streams)?;
    Ok(Exit::Usage)
}

/// Says why the state folder cannot be used.
fn say_store(error: &StoreError, streams: &mut Streams) -> Result<Exit, Failed> {
    streams.complain(&format!("error: {error}."))?;
    Ok(match error {
        StoreError::Missing { .. } | StoreError::NoneOpen { .. } | StoreError::Busy { .. } => {
            Exit::Usage
        }
        _ => Exit::State,
    })
}
