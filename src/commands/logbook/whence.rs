//! When, by whom and why something was read or done; and how it is entered.

use std::io::Write;

use jiff::civil::Date;

use super::which::{self, Named};
use super::{Desk, sizes};
use crate::cli::WhenceArgs;
use crate::commands::form::{Filled, Form};
use crate::commands::{Failed, Streams, say_store};
use crate::exit::Exit;
use crate::logbook::bounds::{self, Calendar, LONGEST_NAME, LONGEST_NOTE};
use crate::logbook::{Entry, What};
use crate::show::logbook as pages;

/// When, by whom and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Whence {
    pub(super) on: Date,
    pub(super) by: Option<String>,
    pub(super) why: Option<String>,
}

impl Whence {
    /// As flags say it.
    ///
    /// # Errors
    /// What is wrong, in words.
    pub(super) fn of(args: &WhenceArgs, calendar: &Calendar) -> Result<Self, String> {
        Ok(Self {
            on: bounds::read_day(args.on.as_deref().unwrap_or_default(), calendar)?,
            by: maybe(args.by.as_deref(), "the name", LONGEST_NAME)?,
            why: maybe(args.why.as_deref(), "the reason", LONGEST_NOTE)?,
        })
    }

    /// What of the flags is wrong, if anything is: nobody is asked first and refused after.
    pub(super) fn wrong(args: &WhenceArgs, calendar: &Calendar) -> Option<String> {
        let today = || Some("today".to_owned());
        let on = args.on.clone().or_else(today);
        Self::of(&WhenceArgs { on, ..args.clone() }, calendar).err()
    }

    /// Asks for what the flags have not said.
    pub(super) fn ask(
        form: &mut Form,
        args: &WhenceArgs,
        calendar: &Calendar,
        why: &str,
    ) -> Filled<Self> {
        let told = args.on.as_deref().and_then(|text| bounds::read_day(text, calendar).ok());
        let on = match told {
            Some(on) => on,
            None => {
                match calendar.behind() {
                    None => form.ask("On which day? Press Enter for today."),
                    Some(latest) => {
                        form.say(&format!(
                            "The clock of this machine says {}, and the book has an entry of {latest}. One of them is wrong.",
                            calendar.today
                        ));
                        form.ask("On which day?");
                    }
                }
                let help = |_: &str| vec!["Such as 2026-03-01, or yesterday.".to_owned()];
                form.line("Day", &help, &|line| {
                    bounds::read_day(line, calendar).map_err(|why| sentence(&why))
                })?
            }
        };
        let by = text(
            form,
            args.by.as_ref(),
            ("Who did it? Press Enter to leave it out.", "Who"),
            LONGEST_NAME,
        )?;
        let why = text(form, args.why.as_ref(), (why, "Why"), LONGEST_NOTE)?;
        Ok(Self { on, by, why })
    }
}

fn text(
    form: &mut Form,
    told: Option<&String>,
    (ask, label): (&str, &str),
    most: usize,
) -> Filled<Option<String>> {
    if let Some(text) = told {
        return Ok(Some(text.trim().to_owned()));
    }
    form.ask(ask);
    let help = |_: &str| vec!["A few words, or Enter.".to_owned()];
    form.line(label, &help, &|line| match line.trim().is_empty() {
        true => Ok(None),
        false => bounds::words(line, "that", most).map(Some).map_err(|why| sentence(&why)),
    })
}

fn maybe(text: Option<&str>, what: &str, most: usize) -> Result<Option<String>, String> {
    text.map(|text| bounds::words(text, what, most)).transpose()
}

/// A reason as a sentence of its own.
pub(super) fn sentence(why: &str) -> String {
    format!("{}.", crate::show::letters::capital(why))
}

/// Something to be entered, and who did it.
pub(super) type ToEnter = (Option<String>, What);

/// Enters what is new, says what was entered and what the watch has to warn of.
///
/// # Errors
/// If the output cannot be written.
pub(super) fn enter(
    desk: &Desk,
    named: &Named,
    new: Vec<ToEnter>,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let tablet = desk.tablet(streams)?;
    let mut open = match which::to_write(desk, named, streams)? {
        Ok(open) => open,
        Err(error) => return say_store(&error, streams),
    };
    let now = desk.now();
    if let Some(latest) = desk.calendar(open.record()).behind() {
        streams.complain(&format!(
            "warning: this machine's clock stands before an entry of {latest}. Set it right. Nothing is lost: the story goes by the days that were given and by the order of the entries."
        ))?;
    }
    let count = new.len();
    let entries: Vec<Entry> =
        new.into_iter().map(|(by, what)| Entry::new(&tablet, now, by, what)).collect();
    let mut added = 0;
    let ids: Vec<_> = entries.iter().map(|entry| entry.id.clone()).collect();
    let changed = open.change(|record| {
        let (_, _, sizes) = sizes(record);
        added = record.enter(entries, &sizes);
    });
    if let Err(error) = changed {
        streams.complain("error: nothing was entered.")?;
        return say_store(&error, streams);
    }
    let record = open.record();
    let (setting, units, sizes) = sizes(record);
    let told = pages::Told {
        book: desk.book,
        record,
        setting: &setting,
        sizes: &sizes,
        units: units.unwrap_or_default(),
        tomorrow: desk.tomorrow(),
    };
    let page = pages::entered(streams.screen(), &told, &ids, count - added, &desk.again);
    streams.out.page(&page)?;
    streams.out.flush()?;
    Ok(Exit::Done)
}
