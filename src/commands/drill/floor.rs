//! The conversation of a run: one move after the other, each on disk before it is made.

use crate::ask::{Ask, Entry, Farewell, KeyKind, Lost, Prompt, Reply};
use crate::drill::World;
use crate::drill::moves::Move;
use crate::drill::record::{Deed, Ended, Record};
use crate::drill::told::told;
use crate::exit::Exit;
use crate::kept::{OpenRecord, StoreError};
use crate::show::asking::{self, Asked};
use crate::show::drill::pages;
use crate::show::drill::words::Names;
use crate::show::page::{Page, Screen};
use crate::show::words::{Known, Sides};
use crate::visit::clock::Clock;
use crate::visit::{Diagnosis, Machine};

/// The keys at the choice of a move.
const KEYS: [KeyKind; 4] = [KeyKind::SoFar, KeyKind::Look, KeyKind::Stop, KeyKind::Help];
/// What two of them mean here.
const OWN: [asking::OwnKey; 3] = [
    (KeyKind::SoFar, "done so far", "Every move so far, and the minutes gone."),
    (KeyKind::Look, "look at the belt", "The belt from above, as it runs or last ran."),
    (KeyKind::Stop, "stop + save", "Stop here. Every move is saved; you can go on another day."),
];

/// How a conversation ends before the run is over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Gone {
    /// Stopped by key, or the input ended.
    Stopped,
    /// Interrupted from the keyboard.
    Interrupted,
}

impl From<Lost> for Gone {
    fn from(lost: Lost) -> Self {
        match lost {
            Lost::EndOfInput => Self::Stopped,
            Lost::Interrupted => Self::Interrupted,
        }
    }
}

impl Gone {
    /// How the program ends then, when all is saved.
    pub(super) fn exit(self) -> Exit {
        match self {
            Self::Stopped => Exit::Done,
            Self::Interrupted => Exit::Interrupted,
        }
    }
}

/// Shows a page and waits until it was read: on a small screen the next page would push it out of sight.
///
/// # Errors
/// When the person has gone.
pub(super) fn read(ask: &mut dyn Ask, page: &str) -> Result<(), Gone> {
    ask.say(page);
    match ask.note("Enter goes on", &[KeyKind::Stop]) {
        Entry::Key(_) => Err(Gone::Stopped),
        Entry::Lost(lost) => Err(lost.into()),
        Entry::Text(_) | Entry::Skipped => Ok(()),
    }
}

/// That a run is kept as far as it goes, and how to go on.
pub(super) fn saved(screen: Screen, run: u32, again: &str) -> String {
    let words = format!(
        "Run {run} is saved as far as it goes. `straybelt drill again {run}{again}` goes on with it."
    );
    Page::new(screen).blank().para(&words).finish()
}

/// A run that goes on at a terminal.
pub(super) struct Floor<'f> {
    pub(super) ask: &'f mut dyn Ask,
    pub(super) screen: Screen,
    pub(super) sides: Sides,
    pub(super) diagnosis: &'f Diagnosis<'f>,
    pub(super) world: World<'f>,
    pub(super) kept: OpenRecord<Record>,
    pub(super) clock: &'f dyn Clock,
    pub(super) farewell: &'f Farewell,
    /// Why the last move could not be saved.
    pub(super) unsaved: Option<StoreError>,
    /// Flags that were named, to be named again.
    pub(super) again: &'f str,
}

/// What may be done at the first choice.
#[derive(Debug, Clone, Copy)]
enum Way {
    Look,
    Measure,
    Work,
    Shift,
    Screw,
    Wait,
    Isolate,
    GiveBack,
    Name,
    Advice,
    Declare,
}

impl Floor<'_> {
    /// Holds the conversation until the run is over or the person goes away.
    ///
    /// # Errors
    /// When the person has gone.
    pub(super) fn converse(&mut self) -> Result<(), Gone> {
        self.farewell.set(self.part());
        self.show_belt()?;
        while self.world.over().is_none() {
            self.one()?;
        }
        let page = pages::in_short(self.screen, &self.world);
        self.ask.say(&page);
        if let Err(error) = self.kept.end(Ended::of(&self.world)) {
            self.unsaved = Some(error);
        }
        self.farewell.set(self.part());
        Ok(())
    }

    /// One choice and what comes of it.
    fn one(&mut self) -> Result<(), Gone> {
        let turn = match self.world.machine() {
            Machine::Running => (Way::Isolate, "Lock the machine out"),
            Machine::LockedOut => (Way::GiveBack, "Give it back, restart, watch"),
        };
        let ways = [
            (Way::Look, "Look, listen or ask"),
            (Way::Measure, "Measure with a gauge"),
            (Way::Work, "Clean, mend, set or renew"),
            (Way::Shift, "Move one end of an idler"),
            (Way::Screw, "Turn a take-up screw"),
            (Way::Wait, "Let it run and watch"),
            turn,
            (Way::Name, "Say what the cause is"),
            (Way::Advice, "Ask straybelt"),
            (Way::Declare, "It runs true: end the run"),
        ];
        let asked = Asked {
            title: format!("Run {}", self.kept.record().run),
            around: pages::standing(&self.world),
            ask: "What do you do?".to_owned(),
            answers: ways.iter().map(|(_, says)| (*says).to_owned()).collect(),
            keys: &KEYS,
            own: &OWN,
        };
        let page = asking::question(self.screen, &asked);
        self.ask.say(&page);
        match self.ask.choose(&Prompt::new(asked.answers, &KEYS)) {
            Reply::Lost(lost) => Err(lost.into()),
            Reply::Choice(place) => match ways.get(place) {
                Some((way, _)) => self.go(*way),
                None => Ok(()),
            },
            Reply::Key(key) => {
                match key.kind() {
                    KeyKind::Stop => return Err(Gone::Stopped),
                    KeyKind::SoFar => {
                        let names = Names::of(self.world.drill());
                        let words = |what: &Move| names.did(self.world.book(), what);
                        let page = pages::so_far(self.screen, &self.world, &words);
                        self.ask.say(&page);
                    }
                    KeyKind::Look => self.show_belt()?,
                    _ => {
                        let page = asking::help(self.screen, &KEYS, &OWN);
                        self.ask.say(&page);
                    }
                }
                Ok(())
            }
        }
    }

    fn go(&mut self, way: Way) -> Result<(), Gone> {
        match way {
            Way::Look => self.look(),
            Way::Measure => self.measure(),
            Way::Work => self.work(),
            Way::Shift => self.shift(),
            Way::Screw => self.screw(),
            Way::Wait => self.wait(),
            Way::Isolate => self.make(Move::LockOut),
            Way::GiveBack => self.make(Move::Restore),
            Way::Name => self.name(),
            Way::Advice => self.advice(),
            Way::Declare => self.make(Move::Declare),
        }
    }

    /// Saves a move, makes it, and shows what came of it.
    pub(super) fn make(&mut self, what: Move) -> Result<(), Gone> {
        let deed = Deed::of(&what, self.world.book());
        self.unsaved = self.kept.add(deed, self.clock.now()).err();
        if let Some(error) = &self.unsaved {
            let words = format!(
                "NOT SAVED: {error}. The run goes on in memory and is saved with the next move."
            );
            let page = Page::new(self.screen).para(&words).finish();
            self.ask.say(&page);
        }
        let made = self.world.make(what).cloned();
        let shown = match &made {
            Ok(step) => self.known(|known| pages::done(self.screen, known, step)),
            Err(refused) => pages::refused(self.screen, *refused, &what),
        };
        self.farewell.set(self.part());
        let ran = matches!(what, Move::Restore | Move::Wait(_) | Move::Work(_));
        if made.is_ok() && ran && self.world.machine() == Machine::Running {
            read(self.ask, &shown)?;
            return self.show_belt();
        }
        self.ask.say(&shown);
        Ok(())
    }

    fn show_belt(&mut self) -> Result<(), Gone> {
        let page = pages::seen(self.screen, &self.world, &self.sides);
        read(self.ask, &page)
    }

    /// Words with the sides of this conveyor and the answers seen so far.
    pub(super) fn known<T>(&self, with: impl FnOnce(&Known) -> T) -> T {
        let applicable = self.diagnosis.applicability(self.world.facts(), &told(&self.world));
        let known =
            Known::new(self.world.book(), self.world.facts(), &self.sides, &applicable.answers);
        with(&known.after(&applicable.observed))
    }

    /// Where the run is kept and how to go on.
    pub(super) fn part(&self) -> String {
        let run = self.kept.record().run;
        let mut page = Page::new(self.screen);
        page.blank();
        match (&self.unsaved, self.world.over()) {
            (Some(error), _) => page.para(&format!("NOT SAVED: {error}.")),
            (None, Some(_)) => page.para(&format!(
                "Run {run} is kept. `straybelt drill debrief {run}{}` tells what it was worth.",
                self.again
            )),
            (None, None) => return saved(self.screen, run, self.again),
        };
        page.finish()
    }
}
