//! The conversation of a run: one move after the other, each on disk before it is made.

use crate::ask::{Ask, Farewell, KeyKind, Lost, NoteReply, Prompt, PromptReply};
use crate::drill::World;
use crate::drill::moves::Move;
use crate::drill::record::{Deed, Record};
use crate::drill::told::told;
use crate::exit::Exit;
use crate::kept::{OpenRecord, StoreError};
use crate::show::asking::{self, QuestionPut};
use crate::show::drill::pages;
use crate::show::drill::words::DrillNames;
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

/// The last of the moves.
pub(super) const DECLARES: &str = "It runs true: end the run";

/// How a conversation ends before the run is over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum RunLeft {
    /// Stopped by key, or the input ended.
    Stopped,
    /// Interrupted from the keyboard.
    Interrupted,
}

impl From<Lost> for RunLeft {
    fn from(lost: Lost) -> Self {
        match lost {
            Lost::EndOfInput => Self::Stopped,
            Lost::Interrupted => Self::Interrupted,
        }
    }
}

impl RunLeft {
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
pub(super) fn read(ask: &mut dyn Ask, page: &str) -> Result<(), RunLeft> {
    ask.say(page);
    match ask.note("Press Enter to go on", &[KeyKind::Stop]) {
        NoteReply::Key(_) => Err(RunLeft::Stopped),
        NoteReply::Lost(lost) => Err(lost.into()),
        NoteReply::Text(_) | NoteReply::Skipped => Ok(()),
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
enum MoveKind {
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
    pub(super) fn converse(&mut self) -> Result<(), RunLeft> {
        self.farewell.set(self.part());
        self.show_belt()?;
        while self.world.over().is_none() {
            self.one()?;
        }
        let page = pages::in_short(self.screen, &self.world);
        self.ask.say(&page);
        if let Err(error) = self.kept.end(&self.world) {
            self.unsaved = Some(error);
        }
        self.farewell.set(self.part());
        Ok(())
    }

    /// One choice and what comes of it.
    fn one(&mut self) -> Result<(), RunLeft> {
        let turn = match self.world.machine() {
            Machine::Running => (MoveKind::Isolate, "Lock the machine out"),
            Machine::LockedOut => (MoveKind::GiveBack, "Give it back, restart, watch"),
        };
        let ways = [
            (MoveKind::Look, "Look, listen or ask"),
            (MoveKind::Measure, "Measure with a gauge"),
            (MoveKind::Work, "Clean, mend, set or renew"),
            (MoveKind::Shift, "Move one end of an idler"),
            (MoveKind::Screw, "Turn a take-up screw"),
            (MoveKind::Wait, "Let it run and watch"),
            turn,
            (MoveKind::Name, "Say what the cause is"),
            (MoveKind::Advice, "Ask straybelt"),
            (MoveKind::Declare, DECLARES),
        ];
        let asked = QuestionPut {
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
            PromptReply::Lost(lost) => Err(lost.into()),
            PromptReply::Ticked(_) => Ok(()),
            PromptReply::Choice(place) => match ways.get(place) {
                Some((way, _)) => self.go(*way),
                None => Ok(()),
            },
            PromptReply::Key(key) => {
                match key.kind() {
                    KeyKind::Stop => return Err(RunLeft::Stopped),
                    KeyKind::SoFar => {
                        let names = DrillNames::new(self.world.drill());
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

    fn go(&mut self, way: MoveKind) -> Result<(), RunLeft> {
        match way {
            MoveKind::Look => self.look(),
            MoveKind::Measure => self.measure(),
            MoveKind::Work => self.work(),
            MoveKind::Shift => self.shift(),
            MoveKind::Screw => self.screw(),
            MoveKind::Wait => self.wait(),
            MoveKind::Isolate => self.make(Move::LockOut),
            MoveKind::GiveBack => self.make(Move::Restore),
            MoveKind::Name => self.name(),
            MoveKind::Advice => self.advice(),
            MoveKind::Declare => self.make(Move::Declare),
        }
    }

    /// Saves a move, makes it, and shows what came of it.
    pub(super) fn make(&mut self, what: Move) -> Result<(), RunLeft> {
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

    fn show_belt(&mut self) -> Result<(), RunLeft> {
        let page = pages::seen(self.screen, &self.world, &self.sides);
        read(self.ask, &page)
    }

    /// Words with the sides of this conveyor and the answers seen so far.
    pub(super) fn known<T>(&self, with: impl FnOnce(&Known) -> T) -> T {
        let applicable =
            self.diagnosis.applicability(&self.world.facts().facts, &told(&self.world));
        let known = Known::new(
            self.world.book(),
            &self.world.facts().facts,
            &self.sides,
            &applicable.answers,
        );
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
