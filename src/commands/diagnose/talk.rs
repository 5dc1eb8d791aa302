//! One conversation: who is asked, what is shown, where it is saved, and what every question shares.

mod put;
mod take_back;

use std::path::Path;

use jiff::tz::TimeZone;

pub(super) use put::{BackKey, Got, OwnWords};

use super::amounts::amounts;
use crate::ask::{Ask, Farewell, KeyKind, Lost};
use crate::logbook::Offered;
use crate::reason::Applicability;
use crate::rulebook::index::{CautionAt, FixAt, SymptomAt};
use crate::rulebook::model::Book;
use crate::show::amounts::Amounts;
use crate::show::happened::usual_units;
use crate::show::page::{Page, Screen};
use crate::show::past;
use crate::show::past::Parting;
use crate::show::words::{Known, Sides};
use crate::stream::paint::Ink;
use crate::visit::clock::Clock;
use crate::visit::event::{Event, Stamped, standing};
use crate::visit::opening;
use crate::visit::photo;
use crate::visit::store::{BookMark, OpenVisit, Record, StoreError, VisitStore};
use crate::visit::{
    ConveyorFacts, Diagnosis, Finding, Machine, Means as VisitMeans, VisitState, replay,
};

/// So many of the newest visits are looked through for the last one to a conveyor.
const LOOKED_BACK_ON: usize = 30;
/// The keys of every question in the middle of a visit that has none of its own.
pub(super) const LOOK_BACK_KEYS: [KeyKind; 5] =
    [KeyKind::Back, KeyKind::SoFar, KeyKind::Moved, KeyKind::Stop, KeyKind::Help];

/// Why a conversation ended before its visit did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Away {
    /// The person stopped.
    Stopped,
    /// The input ended, or the terminal closed.
    EndOfInput,
    /// Interrupted from the keyboard.
    Interrupted,
}

impl From<Lost> for Away {
    fn from(lost: Lost) -> Self {
        match lost {
            Lost::EndOfInput => Self::EndOfInput,
            Lost::Interrupted => Self::Interrupted,
        }
    }
}

/// What a conversation works with.
pub struct Means<'a> {
    /// The rule book.
    pub book: &'a Book,
    /// Where visits are kept.
    pub store: &'a VisitStore,
    /// What time it is.
    pub clock: &'a dyn Clock,
    /// What pages are laid out for.
    pub screen: Screen,
    /// The words to part with on a signal.
    pub farewell: &'a Farewell,
    /// What must be typed behind a command to come back to the same book and folder; mostly nothing.
    pub again: &'a str,
}

/// Where the data of a new visit's conveyor come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ConveyorFrom {
    /// From a conveyor file: nothing is asked of it.
    File,
    /// From what the person says.
    Questions,
}

/// One conversation.
pub struct Talk<'a> {
    pub(super) means: Means<'a>,
    pub(super) ask: &'a mut dyn Ask,
    diagnosis: Diagnosis<'a>,
    kept: Option<OpenVisit>,
    begun_with: ConveyorFacts,
    conveyor_from: ConveyorFrom,
    now: VisitState,
    applies: Applicability,
    finding: Option<Finding>,
    /// What measurements say of amounts, by gauge.
    amounts: Amounts,
    unsaved: Option<String>,
    /// What was answered when no visit could be begun.
    never_kept: Vec<Stamped>,
    /// What the machine does, as confirmed in this sitting. Never saved.
    machine: Machine,
    took_back: bool,
    /// What this sitting alone knows; see [`Sitting`].
    pub(super) sitting: Sitting,
}

/// What is remembered of this sitting only.
#[derive(Debug, Clone, Default)]
pub(super) struct Sitting {
    /// Replies that stood when the finding was last shown.
    pub finding_shown: Option<usize>,
    /// Replies that stood when the fit of the answers was last looked at, or accepted.
    pub fits_said: Option<usize>,
    /// All that can be done at the plan is to be offered, not just what is likeliest.
    pub all_choices: bool,
    /// The machine stands locked out, but the belt's pull was changed since every point was confirmed.
    pub pull_changed: bool,
    /// What steering with a take-up screw costs was shown.
    pub price_shown: bool,
    /// The reasons to ask whether it may run at all that were told.
    pub may_run_told: Vec<String>,
    /// What the logbook says is to be told: of a new visit, once the conveyor is known.
    pub logbook_due: bool,
    /// What the logbook answers, to be offered.
    pub offered: Vec<Offered>,
    /// A question to be asked again.
    pub again: Option<SymptomAt>,
    /// Something was seen that was not asked about: what is to be told next.
    pub saw_due: bool,
    /// The questions that may stop everything are to be asked before anything else.
    pub stop_round_due: bool,
    /// They were asked one by one in this sitting, so after a restart they stand on one page.
    pub stop_round_known: bool,
    /// What the machine does is to be asked: a visit with work begun was taken up again.
    pub machine_due: bool,
    /// Where somebody is in the steps of the job in hand. It is not saved: after a break the part begins at its first.
    pub step: Option<StepPlace>,
    /// The job in hand whose tools and steps were told after its looks.
    pub head_shown: Option<FixAt>,
    /// The cautions that were read since the machine was last given back.
    pub read: CautionsRead,
    /// It was said that it is likely none of the causes of the book, and somebody went on, after so many jobs.
    pub went_on_after: Option<usize>,
    /// It is handed over to a specialist as soon as the machine is given back.
    pub handing_over: bool,
    /// Giving the machine back was begun and not brought to its end.
    pub half_given_back: bool,
}

/// The cautions that were read since the machine was last given back.
#[derive(Debug, Clone, Default)]
pub(super) struct CautionsRead {
    /// Those of all work behind the lock-out.
    pub standing: bool,
    /// What matters at a look at the running belt.
    pub running_look: bool,
    /// Those of jobs.
    pub own: Vec<CautionAt>,
    /// The job whose look was begun last,
    pub at_look_of: Option<FixAt>,
    /// and those of its cautions that stood before that look.
    pub at_look: Vec<CautionAt>,
}

/// A place in the steps of a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct StepPlace {
    /// The job.
    pub fix: FixAt,
    /// The part of it that hands do in one go, from 0.
    pub stretch: usize,
    /// The screen of it, from 0; as many as there are: all were read.
    pub screen: usize,
}

impl ConveyorFrom {
    fn of_record(record: &Record) -> Self {
        if record.conveyor_file { Self::File } else { Self::Questions }
    }
}

impl<'a> Talk<'a> {
    /// A conversation about a new visit. Nothing is on disk before the first reply.
    pub fn begin(
        means: Means<'a>,
        ask: &'a mut dyn Ask,
        begun_with: ConveyorFacts,
        conveyor_from: ConveyorFrom,
    ) -> Self {
        let now = replay(means.book, &begun_with, &[]);
        let diagnosis = Diagnosis::new(means.book);
        let applies = opening::applicability(means.book, &now.conveyor.facts, &now.observed);
        Self {
            means,
            ask,
            diagnosis,
            kept: None,
            begun_with,
            conveyor_from,
            applies,
            now,
            finding: None,
            amounts: Amounts::default(),
            unsaved: None,
            never_kept: Vec::new(),
            machine: Machine::Running,
            took_back: false,
            sitting: Sitting { stop_round_due: true, logbook_due: true, ..Sitting::default() },
        }
    }

    /// A conversation that goes on with a visit.
    pub fn resume(means: Means<'a>, ask: &'a mut dyn Ask, kept: OpenVisit) -> Self {
        let record = kept.record();
        let mut talk =
            Self::begin(means, ask, record.conveyor.clone(), ConveyorFrom::of_record(record));
        talk.take_up(kept);
        talk
    }

    /// Goes on with another visit in place of this one.
    pub fn take_up(&mut self, kept: OpenVisit) {
        let record = kept.record();
        self.begun_with = record.conveyor.clone();
        self.conveyor_from = ConveyorFrom::of_record(record);
        let now = replay(self.means.book, &record.conveyor, &record.events);
        self.kept = Some(kept);
        self.sitting.logbook_due = false;
        self.stand_at(now);
        self.sitting.machine_due = self.now.batch.as_ref().is_some_and(|batch| batch.locked_out);
        self.part_words();
    }

    /// Where the visit stands.
    pub fn now(&self) -> &VisitState {
        &self.now
    }

    /// Whether the conveyor's data came from a file.
    pub fn has_conveyor_file(&self) -> bool {
        self.conveyor_from == ConveyorFrom::File
    }

    /// The visit's number, once something is saved.
    pub fn visit(&self) -> Option<u32> {
        self.kept.as_ref().map(|kept| kept.record().visit)
    }

    /// Copies a photo beside the visit's record, and says under which name.
    ///
    /// # Errors
    /// What is wrong with it, or why it cannot be written, in words.
    pub fn keep_photo(&self, path: &Path) -> Result<String, String> {
        match &self.kept {
            Some(kept) => photo::keep(kept, path).map_err(|why| why.to_string()),
            None => Err("nothing of this visit is saved yet: answer a question first".to_owned()),
        }
    }

    /// The visit that this sitting goes on with, if it was begun in another.
    pub fn taken_up(&self) -> Option<&Record> {
        self.kept.as_ref().map(OpenVisit::record)
    }

    /// Which book the visit was begun with, if it is an older one.
    pub fn begun_with_other_book(&self) -> bool {
        self.kept
            .as_ref()
            .is_some_and(|kept| kept.record().book.fingerprint != self.means.book.fingerprint)
    }

    /// Why the last save failed, if it did.
    pub fn unsaved(&self) -> Option<&str> {
        self.unsaved.as_deref()
    }

    /// Whether the machine is locked out, as confirmed in this sitting.
    pub fn is_isolated(&self) -> bool {
        self.machine == Machine::LockedOut
    }

    /// Says what the machine does from now on.
    pub fn set_machine(&mut self, machine: Machine) {
        self.machine = machine;
        self.finding = None;
        self.part_words();
    }

    /// Adds an event and saves it before anything else happens. When it cannot be saved that is said at once;
    /// the visit goes on in memory.
    pub fn happened(&mut self, event: Event) -> Result<(), Away> {
        let at = self.means.clock.now();
        if self.kept.is_none() {
            let mark = BookMark::new(self.means.book);
            let (conveyor, file) = (self.begun_with.clone(), self.has_conveyor_file());
            let make = |visit| Record::begun(visit, mark, conveyor, file, at);
            match self.means.store.begin(make, at) {
                Ok(kept) => self.kept = Some(kept),
                // Better to stop at the first answer than to let somebody type on for nothing.
                Err(error) => {
                    self.unsaved = Some(error.to_string());
                    self.never_kept.push(Stamped { at, what: event });
                    return Err(Away::Stopped);
                }
            }
        }
        let Some(kept) = &mut self.kept else {
            return Ok(());
        };
        let saved = kept.add(event, at);
        let now = replay(self.means.book, &self.begun_with, &kept.record().events);
        self.stand_at(now);
        match saved {
            Ok(()) => self.unsaved = None,
            Err(error) => self.not_saved(&error),
        }
        self.part_words();
        Ok(())
    }

    /// What follows from what was told, worked out once until something changes.
    pub fn finding(&mut self) -> &Finding {
        self.worked_out().1
    }

    /// What of a look in hand is still to be taken in.
    pub fn left_to_take_in(&mut self, items: &[SymptomAt]) -> Vec<SymptomAt> {
        let (diagnosis, finding) = self.worked_out();
        diagnosis.left_to_take_in(finding, items)
    }

    fn worked_out(&mut self) -> (&Diagnosis<'a>, &Finding) {
        let mut told = self.now.observed.clone();
        // A batch is in hand until the belt has run, whether isolation was confirmed anew or not.
        if self.is_isolated() {
            told.machine = Machine::LockedOut;
        }
        let (diagnosis, conveyor) = (&self.diagnosis, &self.now.conveyor);
        let work_out = || diagnosis.finding(&conveyor.facts, &told);
        (diagnosis, self.finding.get_or_insert_with(work_out))
    }

    /// The reasoning.
    pub fn diagnosis(&self) -> &Diagnosis<'a> {
        &self.diagnosis
    }

    /// What the sides are called.
    pub fn sides(&self) -> Sides {
        Sides::named(self.now.conveyor.left.as_deref(), self.now.conveyor.right.as_deref())
    }

    /// Makes a page that needs the words for sides and directions, but no finding.
    pub fn words<T>(&self, make: impl FnOnce(Screen, &Known) -> T) -> T {
        let sides = self.sides();
        let known =
            Known::new(self.means.book, &self.now.conveyor.facts, &sides, &self.applies.counted)
                .after(&self.now.observed)
                .with_amounts(&self.amounts);
        make(self.means.screen, &known)
    }

    /// Makes a page that needs the finding as well.
    pub fn page<T>(&mut self, make: impl FnOnce(Screen, &Known, &Finding) -> T) -> T {
        let finding = self.finding().clone();
        let sides = self.sides();
        let known = Known::new(self.means.book, &self.now.conveyor.facts, &sides, &finding.latest)
            .after(&finding.observed)
            .with_amounts(&self.amounts);
        make(self.means.screen, &known, &finding)
    }

    /// Prints a page.
    pub fn say(&mut self, page: &str) {
        self.ask.say(page);
    }

    /// Prints one paragraph.
    pub fn say_para(&mut self, ink: Ink, text: &str) {
        let mut page = Page::new(self.means.screen);
        page.para_in(ink, text);
        self.say(&page.finish());
    }

    /// What taking so many replies back would take out, as it stands in the visit.
    pub(super) fn taken_out_by(&self, steps: usize) -> Vec<Stamped> {
        let events = match &self.kept {
            Some(kept) => &kept.record().events,
            None => &self.never_kept,
        };
        let mut events = events.clone();
        let at = self.means.clock.now();
        events.push(Stamped { at, what: Event::Back { steps } });
        let left = standing(&events);
        let before = standing(events.get(..events.len() - 1).unwrap_or_default());
        let stays = |event: &Stamped| left.iter().any(|other| std::ptr::eq(*other, event));
        before.into_iter().filter(|event| !stays(event)).cloned().collect()
    }

    /// Whether the machine was given back after the work of the open batch.
    pub fn was_given_back(&self) -> bool {
        self.now.batch.as_ref().is_some_and(|batch| batch.given_back)
    }

    /// Whether the last key took replies back.
    pub fn took_back(&self) -> bool {
        self.took_back
    }

    /// The farewell: where it is saved and how to go on; if it could not be saved, what was answered.
    pub fn part(&self) -> String {
        let folder = self.means.store.shown();
        let events = match &self.kept {
            Some(kept) => &kept.record().events,
            None => &self.never_kept,
        };
        let answered = match self.unsaved {
            Some(_) => self
                .words(|_, known| past::answered(known, events, usual_units(&self.now.conveyor))),
            None => Vec::new(),
        };
        past::part(
            self.means.screen,
            &Parting {
                visit: self.visit().filter(|_| {
                    self.unsaved.is_none() || self.kept.as_ref().is_some_and(OpenVisit::is_on_disk)
                }),
                folder: &folder,
                again: self.means.again,
                ended: self.now.ended,
                isolated: self.is_isolated(),
                unsaved: self.unsaved(),
                answered,
            },
        )
    }

    /// What was at hand when a conveyor of this name was visited last.
    pub(super) fn last_means(&self, conveyor: &str) -> Option<VisitMeans> {
        let visits = self.means.store.newest(None, LOOKED_BACK_ON).ok()?.records;
        let other = visits.iter().filter(|record| Some(record.visit) != self.visit());
        let mut same = other.filter(|record| record.conveyor_name() == Some(conveyor));
        same.find_map(Record::means)
    }

    /// The zone people read times in.
    pub fn zone(&self) -> TimeZone {
        self.means.clock.zone()
    }

    fn stand_at(&mut self, now: VisitState) {
        self.applies = opening::applicability(self.means.book, &now.conveyor.facts, &now.observed);
        self.now = now;
        self.finding = None;
        let events = self.kept.as_ref().map_or(&self.never_kept, |kept| &kept.record().events);
        self.amounts = amounts(self.means.book, &self.now, events, &self.sides());
    }

    fn not_saved(&mut self, error: &StoreError) {
        let text = error.to_string();
        let words = match self.unsaved {
            None => format!(
                "NOT SAVED: {text}. Your answers stay in memory while this program runs. Each new answer tries to save again."
            ),
            Some(_) => "Still NOT SAVED. The next answer tries again.".to_owned(),
        };
        self.say_para(Ink::Warn, &words);
        self.unsaved = Some(text);
    }

    fn part_words(&self) {
        self.means.farewell.set(self.part());
    }
}
