//! A run as it is kept: the drill as it was written, and every move in order, so that it can be made again.

use crate::trade::{Side, Strand};
use std::borrow::Cow;

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::model::Drill;
use super::moves::Move;
use super::read;
use super::sealed;
use super::world::World;
use super::worth::Worth;
use crate::gauge;
use crate::kept::{Keep, OpenRecord, RecordStore, StoreError, Wording};
use crate::problem::{Code, Problem, Problems, Report};
use crate::rulebook::index::{List, Place as Position};
use crate::rulebook::model::Book;
use crate::source::{Place, Texts};
use crate::visit::Diagnosis;
use crate::visit::store::BookMark;

/// The folder that runs are kept in.
pub type Store = RecordStore<Record>;

/// The format this program writes.
const FORMAT: u32 = 1;

/// A run as it stands in its file; what identifies it comes first.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Record {
    /// The format of the file.
    pub format: u32,
    /// The run's number.
    pub run: u32,
    /// Whether it goes on.
    pub state: RunState,
    /// When it began.
    pub begun: Timestamp,
    /// The drill's id.
    pub drill: String,
    /// Who runs it, as the learner wishes to be called.
    #[serde(default)]
    pub who: Option<String>,
    /// The minutes by the clock after which it ends as it stands, counted from its beginning; none: no limit.
    #[serde(default)]
    pub limit_minutes: Option<u32>,
    /// The book it was begun with.
    pub book: BookMark,
    /// The drill as it was written then.
    pub text: String,
    /// Every move that was tried, refused ones too.
    pub moves: Vec<Stamped>,
    /// How it stood when it ended, to tell a replay that comes out differently.
    #[serde(default)]
    pub ended: Option<Ended>,
    /// What it was worth when it ended, so that it counts so from then on.
    #[serde(default)]
    pub worth: Option<Worth>,
}

/// Whether a run goes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum RunState {
    /// It goes on.
    Open,
    /// It is over.
    Over,
}

/// How a run stood when it ended.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ended {
    /// Minutes.
    pub minutes: f64,
    /// How far the belt was off, as a share of its edge room.
    pub off_share: f64,
    /// Hands where the belt was moving.
    pub safety_faults: usize,
}

/// A move, and when it was made.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stamped {
    /// When.
    pub at: Timestamp,
    /// What.
    pub what: Deed,
}

/// A move in the words of the file: ids of the rule book. Lengths stay as the move has them: scaled to
/// millimetres and back some would not be the same to the last bit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(missing_docs, reason = "each is the move of that name")]
pub enum Deed {
    Look { symptom: String },
    LockOut,
    Restore,
    Measure { gauge: String },
    Check { fix: String, check: usize },
    Work { fix: String },
    Shift { strand: OfStrand, station: usize, end: OfSide, ahead_m: f64 },
    Screw { side: OfSide, out_m: f64 },
    Wait { turns: u32 },
    Advice,
    Name { cause: String, certainty: f64 },
    Declare,
}

/// A side, in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[expect(missing_docs, reason = "they say it themselves")]
pub enum OfSide {
    Left,
    Right,
}

/// A strand, in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[expect(missing_docs, reason = "they say it themselves")]
pub enum OfStrand {
    Carry,
    Return,
}

impl Keep for Record {
    const FORMAT: u32 = FORMAT;
    const FOLDER: &'static str = "runs";
    const OPEN_MARK: &'static str = "state: Open";
    const WORDING: &'static Wording = &Wording {
        one: "run",
        many: "runs",
        listed_by: "straybelt drill list",
        begun_by: "straybelt drill run",
    };

    fn number(&self) -> u32 {
        self.run
    }

    fn is_open(&self) -> bool {
        self.state == RunState::Open
    }
}

/// What a run needs to know of whom it belongs to and what it is about, at its beginning.
#[derive(Debug)]
pub struct Begun<'r> {
    /// The drill.
    pub drill: &'r Drill,
    /// Who runs it.
    pub who: Option<String>,
    /// The book.
    pub book: BookMark,
    /// Now.
    pub now: Timestamp,
}

impl Record {
    /// A run with this number, nothing done yet.
    pub fn begun(run: u32, begun: Begun<'_>) -> Self {
        Self {
            format: FORMAT,
            run,
            state: RunState::Open,
            begun: begun.now,
            drill: begun.drill.id.clone(),
            who: begun.who,
            limit_minutes: None,
            book: begun.book,
            text: begun.drill.text.clone(),
            moves: Vec::new(),
            ended: None,
            worth: None,
        }
    }

    /// The same as an examination: the file does not show at a glance which drill it is and what it hides.
    #[must_use]
    pub fn sealed(self) -> Self {
        let drill = sealed::seal(&self.key(), &self.drill);
        let text = sealed::seal(&self.key(), &self.text);
        Self { drill, text, ..self }
    }

    /// Whether it is an examination.
    pub fn is_exam(&self) -> bool {
        sealed::is_sealed(&self.drill)
    }

    /// The drill's id, whether it is sealed or not.
    pub fn drill_id(&self) -> Cow<'_, str> {
        match self.is_exam() {
            false => Cow::Borrowed(&self.drill),
            true => Cow::Owned(sealed::open(&self.key(), &self.drill).unwrap_or_default()),
        }
    }

    /// What the drill may be called while the run goes on: nothing of an examination.
    pub fn drill_shown(&self) -> Cow<'_, str> {
        match self.is_exam() && self.state == RunState::Open {
            true => Cow::Borrowed("an examination"),
            false => self.drill_id(),
        }
    }

    /// What the seal of this run hangs on, so that no two look alike.
    fn key(&self) -> String {
        format!("{} {}", self.run, self.begun)
    }

    /// The drill of the run, read against a book.
    ///
    /// # Errors
    /// What is wrong with it by now: the book may have changed since.
    pub fn drill(&self, book: &Book) -> Result<Drill, Problems> {
        let mut texts = Texts::default();
        let name = format!("the drill of run {}", self.run);
        let opened = match sealed::is_sealed(&self.text) {
            true => sealed::open(&self.key(), &self.text),
            false => Some(self.text.clone()),
        };
        let Some(opened) = opened else {
            let message = "its seal does not open: the file was changed by hand";
            let problem = Problem::at(Code::Unreadable, Place::file(name), message);
            return Err(Problems(vec![problem.help("begin the examination anew")]));
        };
        let text: Cow<'static, str> = format!("[{opened}]").into();
        let file = texts.add(name, text);
        let mut report = Report::default();
        let drill = read::read_files(book, &texts, &[file], &mut report).pop();
        drill.ok_or_else(|| Problems(report.sorted()))
    }

    /// The run as far as it has gone, made again. Moves that name what the book no longer has are left out; nothing
    /// if the belt cannot run.
    pub fn replay<'d>(&self, drill: &'d Drill, diagnosis: &'d Diagnosis<'d>) -> Option<World<'d>> {
        self.replay_told(drill, diagnosis, &mut |_| true)
    }

    /// The same; before each move it tells how many were made, and goes no further when it is told not to.
    pub fn replay_told<'d>(
        &self,
        drill: &'d Drill,
        diagnosis: &'d Diagnosis<'d>,
        through: &mut dyn FnMut(usize) -> bool,
    ) -> Option<World<'d>> {
        self.replay_seen(drill, diagnosis, through, &mut |_| {})
    }

    /// The same; how it stands is shown at the start and after each move that was made or refused.
    pub fn replay_seen<'d>(
        &self,
        drill: &'d Drill,
        diagnosis: &'d Diagnosis<'d>,
        through: &mut dyn FnMut(usize) -> bool,
        seen: &mut dyn FnMut(&World<'d>),
    ) -> Option<World<'d>> {
        let mut world = World::begin(drill, diagnosis)?;
        seen(&world);
        for (number, made) in self.moves.iter().enumerate() {
            if !through(number) {
                break;
            }
            if let Some(what) = made.what.in_book(diagnosis.book()) {
                // A move that was refused then is refused again.
                let _ = world.make(what);
                seen(&world);
            }
        }
        Some(world)
    }
}

impl OpenRecord<Record> {
    /// Adds a move that is about to be made, and saves.
    ///
    /// # Errors
    /// If it cannot be saved; it is kept in memory all the same.
    pub fn add(&mut self, what: Deed, at: Timestamp) -> Result<(), StoreError> {
        self.change(|record| record.moves.push(Stamped { at, what }))
    }

    /// Ends the run as it stands.
    ///
    /// # Errors
    /// If it cannot be saved.
    pub fn end(&mut self, world: &World<'_>) -> Result<(), StoreError> {
        let (ended, worth) = (Ended::of(world), Worth::of(world));
        self.change(|record| {
            record.state = RunState::Over;
            record.ended = Some(ended);
            record.worth = Some(worth);
        })
    }
}

impl Ended {
    /// How a run stands now.
    pub fn of(world: &World<'_>) -> Self {
        Self {
            minutes: world.minutes(),
            off_share: world.belt().worst_share(&world.drill().line),
            safety_faults: world.safety_faults().len(),
        }
    }
}

impl Deed {
    /// The words for a move.
    pub fn of(what: &Move, book: &Book) -> Self {
        match *what {
            Move::Look(symptom) => Self::Look { symptom: book.symptoms[symptom].id.clone() },
            Move::LockOut => Self::LockOut,
            Move::Restore => Self::Restore,
            Move::Measure(gauge) => Self::Measure { gauge: gauge.id.to_owned() },
            Move::Check(fix, check) => Self::Check { fix: book.fixes[fix].id.clone(), check },
            Move::Work(fix) => Self::Work { fix: book.fixes[fix].id.clone() },
            Move::Shift { strand, station, end, ahead_m } => Self::Shift {
                strand: match strand {
                    Strand::Carry => OfStrand::Carry,
                    Strand::Return => OfStrand::Return,
                },
                station: station + 1,
                end: end.into(),
                ahead_m,
            },
            Move::Screw { side, out_m } => Self::Screw { side: side.into(), out_m },
            Move::Wait(turns) => Self::Wait { turns },
            Move::Advice => Self::Advice,
            Move::Name(cause, certainty) => {
                Self::Name { cause: book.causes[cause].id.clone(), certainty }
            }
            Move::Declare => Self::Declare,
        }
    }

    /// The move; nothing if the book no longer has what it names.
    pub fn in_book(&self, book: &Book) -> Option<Move> {
        Some(match self {
            Self::Look { symptom } => Move::Look(named(&book.symptoms, |s| s.id == *symptom)?),
            Self::LockOut => Move::LockOut,
            Self::Restore => Move::Restore,
            Self::Measure { gauge } => Move::Measure(gauge::named(gauge)?),
            Self::Check { fix, check } => {
                Move::Check(named(&book.fixes, |f| f.id == *fix)?, *check)
            }
            Self::Work { fix } => Move::Work(named(&book.fixes, |f| f.id == *fix)?),
            Self::Shift { strand, station, end, ahead_m } => Move::Shift {
                strand: match strand {
                    OfStrand::Carry => Strand::Carry,
                    OfStrand::Return => Strand::Return,
                },
                station: station.checked_sub(1)?,
                end: (*end).into(),
                ahead_m: *ahead_m,
            },
            Self::Screw { side, out_m } => Move::Screw { side: (*side).into(), out_m: *out_m },
            Self::Wait { turns } => Move::Wait(*turns),
            Self::Advice => Move::Advice,
            Self::Name { cause, certainty } => {
                Move::Name(named(&book.causes, |c| c.id == *cause)?, *certainty)
            }
            Self::Declare => Move::Declare,
        })
    }
}

fn named<P: Position, T>(list: &List<P, T>, is: impl Fn(&T) -> bool) -> Option<P> {
    list.iter().find(|(_, entry)| is(entry)).map(|(at, _)| at)
}

impl From<Side> for OfSide {
    fn from(side: Side) -> Self {
        match side {
            Side::Left => Self::Left,
            Side::Right => Self::Right,
        }
    }
}

impl From<OfSide> for Side {
    fn from(side: OfSide) -> Self {
        match side {
            OfSide::Left => Self::Left,
            OfSide::Right => Self::Right,
        }
    }
}
