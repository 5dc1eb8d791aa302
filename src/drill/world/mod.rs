//! A run as it goes: the state of the conveyor, and how it answers each move. What may be asked of that state is in
//! [`standing`].

mod standing;

use crate::trade::{Side, Strand, TakeUp};
use std::collections::BTreeMap;

use super::belt::Belt;
use super::best::Best;
use super::eyes::{Eyes, Person};
use super::look::{self, Scene};
use super::model::Drill;
use super::moves::{
    Checked, Done, GAUGE_MINUTES, MADE_BY_HAND, MOST_SCREW_M, MOST_SHIFT_M, MOST_WAIT, Move,
    Refused, SCREW_MINUTES, SHIFT_MINUTES,
};
use super::read;
use super::readings::Stand;
use crate::gauge::Gauge;
use crate::mechanics::{Case, Fault};
use crate::reason::Engine;
use crate::rulebook::index::{AnswerAt, CauseAt, FixAt, List, SymptomAt};
use crate::rulebook::model::{Book, DrillFault, Shown};
use crate::trade::MachineState;
use crate::visit::{ConveyorFacts, Diagnosis, Machine, Standing};

/// An idler end or a screw within this of its place is back there, m.
const BACK_M: f64 = 0.001;
/// The belt is too tight above so many times the pull at the start.
const TIGHTER: f64 = 1.3;
/// Fewest turns that are watched after a restart.
const WATCHED: u32 = 3;

/// A run of a drill.
#[derive(Debug, Clone)]
pub struct World<'d> {
    drill: &'d Drill,
    book: &'d Book,
    engine: &'d Engine<'d>,
    facts: ConveyorFacts,
    gone: Vec<bool>,
    /// Left end ahead of where it stood, m.
    shifts: BTreeMap<(usize, usize), f64>,
    /// Left and right, out from where they stood, m.
    screws: (f64, f64),
    /// The same when the belt last ran.
    screws_run: (f64, f64),
    machine: Machine,
    restarts: u32,
    minutes: f64,
    standing: Standing,
    person: Person,
    belt: Belt,
    start: Belt,
    best_at_start: Best,
    /// Minutes of the best from here: what the next move is held against.
    best_minutes: f64,
    /// Whether the belt runs true with what the learner moved and nothing else: asked again and again of the same.
    harmless: Vec<(Moved, bool)>,
    answers: List<SymptomAt, Option<AnswerAt>>,
    answers_at_start: List<SymptomAt, Option<AnswerAt>>,
    /// What was looked at since the belt was last started.
    seen: Vec<SymptomAt>,
    /// Checks made since then that no symptom covers.
    checked: Vec<(FixAt, usize)>,
    steps: Vec<Step>,
    faults_made: Vec<SafetyFault>,
    named: Vec<(CauseAt, f64)>,
    over: Option<(bool, bool)>,
}

/// One move that was made.
#[derive(Debug, Clone)]
pub struct Step {
    /// The move.
    pub what: Move,
    /// What came of it.
    pub done: Done,
    /// Minutes it took.
    pub minutes: f64,
    /// What it cost against the best way from where it was made, minutes.
    pub regret: f64,
    /// How far the belt is off afterwards, as a share of the edge room.
    pub off_share: f64,
    /// Whether the belt runs true afterwards.
    pub runs_true: bool,
    /// Whether it is then off to the other side than at the start.
    pub other_side: bool,
    /// What the left and the right take-up bearing carry afterwards, N.
    pub bearings_n: (f64, f64),
}

/// What the learner moved, and by how much: stations with their shifts, and both screws.
type Moved = (BTreeMap<(usize, usize), f64>, (f64, f64));

/// A hand where the belt was moving.
#[derive(Debug, Clone, PartialEq)]
pub struct SafetyFault {
    /// How many moves had been made before.
    pub after: usize,
    /// What was to be done.
    pub what: Move,
}

impl<'d> World<'d> {
    /// A run from its beginning; nothing if the belt of the drill cannot run. Drills that were read can.
    pub fn begin(drill: &'d Drill, diagnosis: &'d Diagnosis<'d>) -> Option<Self> {
        let book = diagnosis.book();
        let faults: Vec<Fault> = drill
            .hidden
            .iter()
            .flat_map(|hidden| &hidden.things)
            .map(|thing| thing.fault(&drill.line))
            .collect();
        let belt = Belt::begin(&drill.line, &faults).ok()?;
        let nothing = List::filled(None, book.symptoms.len());
        let mut world = Self {
            drill,
            book,
            engine: diagnosis.engine(),
            facts: ConveyorFacts::from(&drill.conveyor),
            gone: vec![false; drill.hidden.len()],
            shifts: BTreeMap::new(),
            screws: (0.0, 0.0),
            screws_run: (0.0, 0.0),
            machine: Machine::Running,
            restarts: 0,
            minutes: 0.0,
            standing: Standing::default(),
            person: Person::new(Eyes::default(), drill.seed),
            start: belt.clone(),
            best_at_start: Best::default(),
            best_minutes: 0.0,
            harmless: Vec::new(),
            belt,
            answers: nothing.clone(),
            answers_at_start: nothing,
            seen: Vec::new(),
            checked: Vec::new(),
            steps: Vec::new(),
            faults_made: Vec::new(),
            named: Vec::new(),
            over: None,
        };
        world.look_round();
        world.answers_at_start = world.answers.clone();
        world.best_at_start = world.best();
        world.best_minutes = world.best_at_start.minutes;
        Some(world)
    }

    /// The same as somebody goes through it who sees like this.
    #[must_use]
    pub fn seen_with(self, eyes: Eyes) -> Self {
        Self { person: Person::new(eyes, self.drill.seed), ..self }
    }

    /// Makes a move.
    ///
    /// # Errors
    /// Why it is not made; a hand near a moving belt is noted as a safety fault.
    pub fn make(&mut self, what: Move) -> Result<&Step, Refused> {
        self.may(&what).inspect_err(|refused| {
            if *refused == Refused::Moving {
                self.faults_made.push(SafetyFault { after: self.steps.len(), what });
            }
        })?;
        let (done, minutes) = self.carry_out(&what).inspect_err(|_| {
            // What failed half way may have changed something.
            self.best_minutes = self.best().minutes;
        })?;
        self.minutes += minutes;
        if !matches!(what, Move::Look(_) | Move::Advice | Move::Name(..)) {
            self.standing = self.standing.taken_anew();
        }
        self.look_at_what_was_moved();
        let best = self.best().minutes;
        let regret = minutes + best - std::mem::replace(&mut self.best_minutes, best);
        let bearings_n = self.bearings_n();
        self.steps.push(Step {
            what,
            done,
            minutes,
            regret,
            off_share: self.belt.worst_share(&self.drill.line),
            runs_true: self.runs_true(),
            other_side: self.belt.furthest_m() * self.start.furthest_m() < 0.0,
            bearings_n,
        });
        self.steps.last().ok_or(Refused::Over)
    }

    /// Brings the machine into a state by the learner's moves.
    pub fn bring(&mut self, machine: Machine) {
        if self.machine != machine {
            let _ = self.make(match machine {
                Machine::LockedOut => Move::LockOut,
                Machine::Running => Move::Restore,
            });
        }
    }

    fn may(&self, what: &Move) -> Result<(), Refused> {
        if self.over.is_some() {
            return Err(Refused::Over);
        }
        match (what, self.machine) {
            (Move::LockOut, Machine::LockedOut) => return Err(Refused::LockedAlready),
            (Move::Restore, Machine::Running) => return Err(Refused::RunsAlready),
            _ => {}
        }
        let book = self.book;
        let state = what.state(
            |symptom| book.symptoms[symptom].state,
            |fix| book.fixes[fix].state(),
            |fix, place| {
                let check = book.fixes[fix].begins_with.get(place);
                check.map_or(MachineState::Anywhere, |check| check.state(book))
            },
        );
        match (state, self.machine) {
            (MachineState::LockedOut, Machine::Running) => Err(Refused::Moving),
            (MachineState::Running, Machine::LockedOut) => Err(Refused::Standing),
            _ => Ok(()),
        }
    }

    /// Does it: what came of it, and the minutes it took.
    fn carry_out(&mut self, what: &Move) -> Result<(Done, f64), Refused> {
        let minutes = &self.book.minutes;
        match *what {
            Move::Look(symptom) => {
                self.seen.push(symptom);
                let minutes = self.ways().minutes_for(self.standing, symptom);
                let look = self.book.symptoms[symptom].look;
                self.standing = self.standing.moved_to(self.book, look);
                let shows = self.answers[symptom];
                let told = self.person.tells(self.book, symptom, shows, self.restarts);
                Ok((Done::Looked(told), minutes))
            }
            Move::LockOut => {
                self.machine = Machine::LockedOut;
                Ok((Done::LockedOut, minutes.lock_out))
            }
            Move::Restore => {
                let turns = self.turns_in(minutes.restart_and_watch).max(WATCHED);
                self.run_on(turns)?;
                self.machine = Machine::Running;
                Ok((Done::Running(turns), minutes.restart_and_watch))
            }
            Move::Measure(gauge) => self.measure(gauge),
            Move::Check(fix, place) => self.check(fix, place),
            Move::Work(fix) => self.work(fix),
            Move::Shift { strand, station, end, ahead_m } => {
                self.shift(strand, station, end, ahead_m)?;
                Ok((Done::Moved, SHIFT_MINUTES))
            }
            Move::Screw { side, out_m } => {
                self.screw(side, out_m)?;
                Ok((Done::Moved, SCREW_MINUTES))
            }
            Move::Wait(turns) => {
                if !(1..=MOST_WAIT).contains(&turns) {
                    return Err(Refused::Number);
                }
                self.run_on(turns)?;
                Ok((Done::Running(turns), f64::from(turns) * self.turn_minutes()))
            }
            Move::Advice => Ok((Done::Advised, 0.0)),
            Move::Name(cause, certainty) => {
                if !(0.0..=1.0).contains(&certainty) {
                    return Err(Refused::Number);
                }
                self.named.retain(|(known, _)| *known != cause);
                self.named.push((cause, certainty));
                Ok((Done::Noted, 0.0))
            }
            Move::Declare => {
                let runs_true = self.runs_true();
                let all_cured = self.gone.iter().all(|gone| *gone);
                self.over = Some((runs_true, all_cured));
                Ok((Done::Declared { runs_true, all_cured }, 0.0))
            }
        }
    }

    /// Makes a check: what it looks at is answered as a question would be; what no symptom covers shows whether
    /// anything that the work cures is there.
    fn check(&mut self, fix: FixAt, place: usize) -> Result<(Done, f64), Refused> {
        let entry = &self.book.fixes[fix];
        let check = entry.begins_with.get(place).ok_or(Refused::NotHere)?;
        let Some(symptom) = check.symptom() else {
            self.checked.push((fix, place));
            let present = self.present();
            let there = entry.cures.iter().any(|(cause, _)| present.contains(cause));
            let shown = match there && !check.needs.is_empty() {
                true => Shown::Calls,
                false => Shown::Sound,
            };
            return Ok((Done::Checked(Checked { answer: None, shown }), check.minutes));
        };
        let minutes = if self.seen.contains(&symptom) { 0.0 } else { check.minutes };
        self.seen.push(symptom);
        let answer = self.answers[symptom];
        let shown = answer.map_or(Shown::CantTell, |answer| check.shown_by(answer));
        Ok((Done::Checked(Checked { answer: Some((symptom, answer)), shown }), minutes))
    }

    fn work(&mut self, fix: FixAt) -> Result<(Done, f64), Refused> {
        if !self.offered()[fix] {
            return Err(Refused::NotHere);
        }
        let entry = &self.book.fixes[fix];
        let found =
            entry.cures.iter().map(|(cause, _)| (*cause, self.present().contains(cause))).collect();
        for (gone, hidden) in self.gone.iter_mut().zip(&self.drill.hidden) {
            *gone |= hidden.yields_to.contains(&fix);
        }
        // It also takes back what the learner made of the same kind.
        let serves = |fault: DrillFault| {
            entry.cures.iter().any(|(cause, chance)| {
                self.book.causes[*cause].drilled_as == Some(fault) && *chance >= read::TAKES_AWAY
            })
        };
        let [shifted, uneven, tight] = MADE_BY_HAND.map(serves);
        if shifted {
            self.shifts.clear();
        }
        if uneven {
            let mean = 0.5 * (self.screws.0 + self.screws.1);
            self.screws = (mean, mean);
        }
        if tight {
            let mean = 0.5 * (self.screws.0 + self.screws.1);
            self.screws = (self.screws.0 - mean, self.screws.1 - mean);
        }
        let unmade = entry.begins_with.iter().enumerate();
        let unmade = unmade.filter(|(place, check)| match check.symptom() {
            Some(symptom) => !self.seen.contains(&symptom),
            None => !self.checked.contains(&(fix, *place)),
        });
        let minutes = entry.work_minutes() + unmade.map(|(_, check)| check.minutes).sum::<f64>();
        if entry.state() == MachineState::Running {
            let watch = self.book.minutes.restart_and_watch;
            self.run_on(self.turns_in(watch).max(WATCHED))?;
            return Ok((Done::Worked(found), minutes + watch));
        }
        Ok((Done::Worked(found), minutes))
    }

    fn shift(
        &mut self,
        strand: Strand,
        station: usize,
        end: Side,
        ahead_m: f64,
    ) -> Result<(), Refused> {
        if station >= self.drill.line.idlers(strand).stations_m.len() {
            return Err(Refused::NoStation);
        }
        if !ahead_m.is_finite() {
            return Err(Refused::Number);
        }
        let place = (usize::from(strand == Strand::Return), station);
        let left_ahead = match end {
            Side::Left => ahead_m,
            Side::Right => -ahead_m,
        };
        let now = self.shifts.get(&place).copied().unwrap_or(0.0) + left_ahead;
        if now.abs() > MOST_SHIFT_M {
            return Err(Refused::TooFar);
        }
        self.shifts.insert(place, now);
        self.shifts.retain(|_, shift| shift.abs() >= BACK_M);
        Ok(())
    }

    fn screw(&mut self, side: Side, out_m: f64) -> Result<(), Refused> {
        if self.drill.conveyor.facts().take_up() != Some(TakeUp::Screw) {
            return Err(Refused::NoScrews);
        }
        if !out_m.is_finite() {
            return Err(Refused::Number);
        }
        let mut screws = self.screws;
        match side {
            Side::Left => screws.0 += out_m,
            Side::Right => screws.1 += out_m,
        }
        if screws.0.abs().max(screws.1.abs()) > MOST_SCREW_M {
            return Err(Refused::TooFar);
        }
        let before = std::mem::replace(&mut self.screws, screws);
        // Nobody is left with a belt that the model cannot run.
        Case::new(&self.drill.line, &self.faults()).map_err(|_| {
            self.screws = before;
            Refused::BeyondModel
        })?;
        Ok(())
    }

    fn measure(&mut self, gauge: &'static Gauge) -> Result<(Done, f64), Refused> {
        let this = Move::Measure(gauge);
        let before = self.steps.iter().filter(|step| step.what == this).count();
        let measured = Stand {
            book: self.book,
            line: &self.drill.line,
            conveyor: &self.drill.conveyor,
            faults: &self.faults(),
            belt: &self.belt,
            answers: &self.answers,
            seed: self.drill.seed,
        }
        .measured(gauge, before)
        .ok_or(Refused::NoGauge)?;
        let answered = |id: &String| {
            let mut symptoms = self.book.symptoms.iter();
            symptoms.find(|(_, symptom)| symptom.id == *id).map(|(at, _)| at)
        };
        self.seen.extend(measured.answers.iter().filter_map(|(id, _)| answered(id)));
        Ok((Done::Measured(Box::new(measured)), self.gauge_minutes(gauge)))
    }

    /// Minutes of a measurement: those of the question that it answers.
    fn gauge_minutes(&self, gauge: &Gauge) -> f64 {
        let asked =
            self.book.symptoms.values().filter(|symptom| {
                symptom.measured.as_ref().is_some_and(|by| by.gauge.id == gauge.id)
            });
        asked
            .map(|symptom| symptom.minutes)
            .fold(None, |least: Option<f64>, minutes| {
                Some(least.map_or(minutes, |least| least.min(minutes)))
            })
            .unwrap_or(GAUGE_MINUTES)
    }

    fn run_on(&mut self, turns: u32) -> Result<(), Refused> {
        let faults = self.faults();
        self.belt =
            self.belt.after(&self.drill.line, &faults, turns).map_err(|_| Refused::BeyondModel)?;
        self.restarts += 1;
        self.seen.clear();
        self.checked.clear();
        self.screws_run = self.screws;
        self.look_round();
        Ok(())
    }

    fn look_round(&mut self) {
        let faults = self.faults();
        let (present, at_start) = (self.present(), self.hidden_causes());
        // What the drill's author lets it show is the picture with everything hidden.
        let shows = if self.gone.iter().any(|gone| *gone) { &[][..] } else { &self.drill.shows };
        self.answers = look::answers(&Scene {
            book: self.book,
            engine: self.engine,
            facts: &self.facts,
            line: &self.drill.line,
            faults: &faults,
            belt: &self.belt,
            present: &present,
            at_start: &at_start,
            shows,
            seed: self.drill.seed,
            occasion: &format!("look {}", self.restarts),
        });
    }

    fn turn_minutes(&self) -> f64 {
        self.drill.line.belt_m() / self.drill.line.speed_m_s / 60.0
    }

    fn turns_in(&self, minutes: f64) -> u32 {
        (minutes / self.turn_minutes()).clamp(0.0, f64::from(MOST_WAIT)) as u32
    }
}
