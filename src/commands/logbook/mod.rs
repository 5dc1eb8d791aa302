//! `straybelt logbook`: the story of each conveyor, readings of its take-up, things done.

mod add;
mod beginnings;
pub mod gather;
mod hand_on;
mod measure;
mod table;
mod takeup;
mod whence;
mod which;

use std::io::Write;

use gather::Occasion;
use jiff::Timestamp;
use jiff::civil::Date;

use super::output::deliver;
use super::{Failed, Streams, flags, say_store, setting};
use crate::cli::{LogbookArgs, LogbookCommand, LogbookShowArgs, PageFormat, ReportFormat};
use crate::disk::Over;
use crate::exit::Exit;
use crate::gauge::Setting;
use crate::gauge::takeup::lead_limit;
use crate::kept::StoreError;
use crate::logbook::bounds::Calendar;
use crate::logbook::size::Millimetres;
use crate::logbook::{LogbookRecord, LogbookStore, Story, TabletId, TakeUpSizes, key, tablet};
use crate::rulebook::model::Book;
use crate::show::logbook as pages;
use crate::stream;
use crate::trade::Units;
use crate::visit::ConveyorFacts;
use crate::visit::clock::{Clock, SystemClock};
use crate::visit::store::VisitStore;

/// Does what `logbook` was told.
///
/// # Errors
/// If the output cannot be written.
pub(super) fn run(args: &LogbookArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let state = args.state.state.as_deref();
    let (visits, books) = match (VisitStore::usual(state), LogbookStore::usual(state)) {
        (Ok(visits), Ok(books)) => (visits, books),
        (Err(error), _) | (_, Err(error)) => return say_store(&error, streams),
    };
    let book = super::book(args.book.rules.as_deref(), streams)?;
    let again = flags(&[("--rules", args.book.rules.as_deref()), ("--state", state)]);
    let desk = Desk { book: &book, visits: &visits, books: &books, clock: &SystemClock, again };
    match &args.command {
        None => list(&desk, args.format, streams),
        Some(LogbookCommand::Show(args)) => show(&desk, args, streams),
        Some(LogbookCommand::Takeup(args)) => takeup::run(&desk, args, streams),
        Some(LogbookCommand::Add(args)) => add::run(&desk, args, streams),
        Some(LogbookCommand::Strike { conveyor, entry, why }) => {
            add::strike(&desk, conveyor, entry, why, streams)
        }
        Some(LogbookCommand::Gather) => gather_all(&desk, streams),
        Some(LogbookCommand::Export(args)) => hand_on::export(&desk, args, streams),
        Some(LogbookCommand::Import { file }) => hand_on::import(&desk, file, streams),
        Some(LogbookCommand::Check) => hand_on::check(&desk, streams),
    }
}

/// More visits than this are not taken in on the way to a belt: `logbook gather` does it.
const A_FEW: usize = 50;

/// What every command of the logbook works with.
pub(super) struct Desk<'a> {
    pub(super) book: &'a Book,
    pub(super) visits: &'a VisitStore,
    pub(super) books: &'a LogbookStore,
    pub(super) clock: &'a dyn Clock,
    /// The flags that were named, to be named again.
    pub(super) again: String,
}

impl Desk<'_> {
    pub(super) fn now(&self) -> Timestamp {
        self.clock.now()
    }

    /// The day, as people here read it.
    pub(super) fn today(&self) -> Date {
        self.now().to_zoned_datetime(self.clock.zone()).date()
    }

    /// What is known of the day on which something is entered in this logbook.
    pub(super) fn calendar(&self, record: &LogbookRecord) -> Calendar {
        let latest = Story::of(&record.entries).latest_written();
        Calendar { today: self.today(), latest }
    }

    /// The day after today.
    pub(super) fn tomorrow(&self) -> Date {
        let today = self.today();
        today.tomorrow().unwrap_or(today)
    }

    /// Which tablet this is.
    ///
    /// # Errors
    /// After it was told why that cannot be known.
    pub(super) fn tablet(&self, streams: &mut Streams) -> Result<TabletId, Failed> {
        match tablet::tablet(self.books) {
            Ok(tablet) => Ok(tablet),
            Err(error) => {
                streams.complain("error: nothing was entered.")?;
                say_store(&disk_error(self.books, error), streams).and_then(Failed::told)
            }
        }
    }
}

/// What gauges and the watch go by on the conveyor of a logbook.
pub(super) fn sizes(record: &LogbookRecord) -> (Setting, Option<Units>, TakeUpSizes) {
    let (setting, units) = setting::of_facts(&record.conveyor);
    let apart = Millimetres::of_metres(lead_limit(&setting).size.si());
    let sizes = TakeUpSizes::of(&record.conveyor, Some(apart));
    (setting, units, sizes)
}

/// A logbook that was read, and what its watch goes by.
pub struct ReadBook {
    /// The logbook.
    pub record: LogbookRecord,
    /// What its watch goes by.
    pub sizes: TakeUpSizes,
}

/// The logbook of a conveyor of this name beside these visits, if there is one that can be read. What the visit knows of
/// the conveyor goes before what was kept of it.
pub fn read(visits: &VisitStore, name: &str, facts: &ConveyorFacts) -> Option<ReadBook> {
    let books = LogbookStore::at(visits.beside(""));
    let (glances, _) = beginnings::glances(&books).ok()?;
    let glance = glances.into_iter().find(|glance| key(&glance.name) == key(name))?;
    let mut record = books.look(glance.logbook).ok()?;
    if !facts.dimensions.is_empty() && record.other_conveyor(facts).is_none() {
        record.conveyor = facts.clone();
    }
    let (_, _, sizes) = sizes(&record);
    Some(ReadBook { record, sizes })
}

/// Takes new visits into the logbooks beside them. Nobody at a belt is kept waiting for that: what goes wrong here is told
/// by the commands of the logbook.
pub fn gather_quietly(visits: &VisitStore, clock: &dyn Clock) {
    let books = LogbookStore::at(visits.beside(""));
    if gather::waiting(visits, &books).is_ok_and(|waiting| waiting.new <= A_FEW) {
        let _ = gather::gather(visits, &books, clock, Occasion::OnTheWay);
    }
}

fn list(desk: &Desk, format: ReportFormat, streams: &mut Streams) -> Result<Exit, Failed> {
    let (glances, bad) = match beginnings::glances(desk.books) {
        Ok(all) => all,
        Err(error) => return say_store(&error, streams),
    };
    let waiting = gather::waiting(desk.visits, desk.books);
    let waiting = waiting.map_or(0, |waiting| waiting.new + waiting.left_out);
    let aside = match beginnings::set_aside(desk.books) {
        Ok(aside) => aside,
        Err(error) => return say_store(&error, streams),
    };
    let bad: Vec<StoreError> = bad.into_iter().map(|bad| bad.error).collect();
    let again = &desk.again;
    let all = pages::List { glances: &glances, bad: &bad, aside: &aside, waiting, again };
    let text = match format {
        ReportFormat::Text => pages::list(streams.screen(), &all),
        ReportFormat::Json => stream::json(&pages::list_document(&all))?,
    };
    streams.out.page(&text)?;
    Ok(if bad.is_empty() { Exit::Done } else { Exit::State })
}

fn show(desk: &Desk, args: &LogbookShowArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let record = match which::standing(desk, &args.conveyor, streams)? {
        Ok(record) => record,
        Err(error) => return say_store(&error, streams),
    };
    let (setting, units, sizes) = sizes(&record);
    let told = pages::Told {
        book: desk.book,
        record: &record,
        setting: &setting,
        sizes: &sizes,
        units: units.unwrap_or_default(),
        tomorrow: desk.tomorrow(),
    };
    let document = match args.page.format {
        PageFormat::Text => pages::page(streams.screen(), &told),
        PageFormat::Html => pages::html(&told),
        PageFormat::Json => stream::json(&pages::document(&told))?,
    };
    let over = if args.page.force { Over::PlainFile } else { Over::Nothing };
    deliver(&document, args.page.output.as_deref(), over, "the logbook", streams)
}

fn gather_all(desk: &Desk, streams: &mut Streams) -> Result<Exit, Failed> {
    match gather::gather(desk.visits, desk.books, desk.clock, Occasion::Asked) {
        Ok(gathered) => {
            for lost in &gathered.begun_beside {
                which::begun_beside(lost, streams)?;
            }
            for why in &gathered.left_out {
                streams.complain(&format!("warning: {why}."))?;
            }
            writeln!(
                streams.out,
                "{}",
                pages::gathered(gathered.taken_in, gathered.nameless, gathered.left_out.len())
            )?;
            Ok(if gathered.left_out.is_empty() { Exit::Done } else { Exit::Problems })
        }
        Err(error) => say_store(&error, streams),
    }
}

/// An error of the disk at one of the small files beside the logbooks.
pub(super) fn disk_error(store: &LogbookStore, error: std::io::Error) -> StoreError {
    StoreError::Io {
        path: store.shown(),
        what: "cannot be written",
        error,
        remedy: "Free some space, give yourself the right to write there, or name another folder with --state DIR",
    }
}

/// A form was left before its end.
pub(super) fn left(lost: crate::ask::Lost, streams: &mut Streams) -> Result<Exit, Failed> {
    writeln!(streams.err, "error: left before the end; nothing was entered.")?;
    Ok(match lost {
        crate::ask::Lost::Interrupted => Exit::Interrupted,
        crate::ask::Lost::EndOfInput => Exit::Usage,
    })
}
