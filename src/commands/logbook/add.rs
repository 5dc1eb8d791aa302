//! `logbook add` and `logbook strike`: things done outside a visit, jobs that were open, entries that are wrong.

use std::path::Path;

use super::Desk;
use super::whence::{ToEnter, Whence, enter};
use super::which::{self, Named};
use crate::ask::Lost;
use crate::cli::LogbookAddArgs;
use crate::commands::form::{Filled, Form, KEYS};
use crate::commands::{Failed, Streams, asker};
use crate::exit::Exit;
use crate::logbook::bounds::{self, Calendar, LONGEST_NOTE};
use crate::logbook::{EntryId, JobId, LogbookRecord, Story, What, Work};

/// What was done.
#[derive(Clone)]
enum Done {
    Work(Work),
    Job(JobId),
}

impl Done {
    fn entered(self, whence: Whence) -> ToEnter {
        let Whence { on, by, why: note } = whence;
        (
            by,
            match self {
                Self::Work(work) => What::Done { on, work, note },
                Self::Job(job) => What::JobDone { on, job, note },
            },
        )
    }
}

/// Enters a thing that was done.
///
/// # Errors
/// If the output cannot be written.
pub(super) fn run(
    desk: &Desk,
    args: &LogbookAddArgs,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let named = which::named(desk, &args.conveyor, streams)?;
    let record = which::known(desk, &named, streams)?;
    let open = open_jobs(&record);
    let calendar = desk.calendar(&record);
    let done = match (args.done, &args.job) {
        (Some(work), _) => Done::Work(work),
        (None, Some(letters)) => match job(&open, letters) {
            Ok(job) => Done::Job(job),
            Err(why) => return refuse(&why, streams),
        },
        (None, None) => return talk(desk, args, (&named, &open), &calendar, streams),
    };
    let whence = match Whence::of(&args.whence, &calendar) {
        Ok(whence) => whence,
        Err(why) => return refuse(&why, streams),
    };
    if matches!(done, Done::Work(Work::Other)) && whence.why.is_none() {
        return refuse("say with --why what was done", streams);
    }
    enter(desk, &named, vec![done.entered(whence)], streams)
}

fn refuse(why: &str, streams: &mut Streams) -> Result<Exit, Failed> {
    streams.complain(&format!(
        "error: {why}.\ndo: put it right and try again; nothing was entered."
    ))?;
    Ok(Exit::Usage)
}

fn open_jobs(record: &LogbookRecord) -> Vec<(JobId, String)> {
    let story = Story::of(&record.entries);
    let open = story.open_jobs().into_iter();
    open.map(|(tablet, mark, job)| (job.id(tablet, mark.visit), job.job.clone())).collect()
}

/// The open job whose id begins so.
fn job(open: &[(JobId, String)], letters: &str) -> Result<JobId, String> {
    let mut fitting =
        open.iter().filter(|(id, _)| !letters.is_empty() && id.as_str().starts_with(letters));
    match (fitting.next(), fitting.next()) {
        (Some((id, _)), None) => Ok(id.clone()),
        (Some(_), Some(_)) => {
            Err(format!("several open jobs begin with {letters}: give more letters"))
        }
        _ => Err(format!("no open job begins with {letters}; `straybelt logbook show` lists them")),
    }
}

fn talk(
    desk: &Desk,
    args: &LogbookAddArgs,
    (named, open): (&Named, &[(JobId, String)]),
    calendar: &Calendar,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    if let Some(why) = Whence::wrong(&args.whence, calendar) {
        return refuse(&why, streams);
    }
    let (mut ask, screen) = asker::somebody(args.plain.manner(), streams);
    let filled = Form::new(ask.as_mut(), screen, KEYS).fill(|form| {
        form.show(|page| {
            page.title(&format!("Done at {}", named.name));
        });
        let done = ask_done(form, open)?;
        let more = "More of it, in your words? Press Enter to leave it out.";
        let whence = Whence::ask(form, &args.whence, calendar, more)?;
        Ok(done.entered(whence))
    });
    drop(ask);
    match filled {
        Ok(new) => enter(desk, named, vec![new], streams),
        Err(left) => super::left(Lost::from(left), streams),
    }
}

fn ask_done(form: &mut Form, open: &[(JobId, String)]) -> Filled<Done> {
    let work = Work::ALL.map(|work| (work.says().to_owned(), Done::Work(work)));
    let jobs = open.iter().map(|(id, job)| (format!("Open job: {job}"), Done::Job(id.clone())));
    let all: Vec<(String, Done)> = work.into_iter().chain(jobs).collect();
    let says: Vec<String> = all.iter().map(|(says, _)| says.clone()).collect();
    form.ask("What was done?");
    let at = form.one_of("Number", &says)?;
    Ok(all.get(at).map_or(Done::Work(Work::Other), |(_, done)| done.clone()))
}

/// Strikes an entry out.
///
/// # Errors
/// If the output cannot be written.
pub(super) fn strike(
    desk: &Desk,
    conveyor: &Path,
    letters: &str,
    why: &str,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let why = match bounds::words(why, "the reason", LONGEST_NOTE) {
        Ok(why) => why,
        Err(why) => return refuse(&why, streams),
    };
    let named = which::named(desk, conveyor, streams)?;
    let record = which::known(desk, &named, streams)?;
    match entry(&record, letters) {
        Ok(entry) => enter(desk, &named, vec![(None, What::Struck { entry, why })], streams),
        Err(why) => refuse(&why, streams),
    }
}

/// The entry whose id begins so; a visit cannot be struck out, nor what strikes something out.
fn entry(record: &LogbookRecord, letters: &str) -> Result<EntryId, String> {
    let mut fitting = record
        .entries
        .iter()
        .filter(|entry| !letters.is_empty() && entry.id.as_str().starts_with(letters));
    match (fitting.next(), fitting.next()) {
        (Some(entry), None) => match entry.what {
            What::Visit(_) | What::Struck { .. } => {
                Err(format!("{letters} is no reading and no thing done: it cannot be struck out"))
            }
            _ => Ok(entry.id.clone()),
        },
        (Some(_), Some(_)) => {
            Err(format!("several entries begin with {letters}: give more letters"))
        }
        _ => Err(format!("no entry begins with {letters}; `straybelt logbook show` lists them")),
    }
}
