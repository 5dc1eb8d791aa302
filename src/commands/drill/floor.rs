//! The conversation of a run: one move after the other, each on disk before it is made.

use std::collections::BTreeMap;

use super::choose::one_of;
use crate::ask::{Ask, Entry, Farewell, KeyKind, Lost, Prompt, Reply};
use crate::conveyor::quantity::{self, Kind, Units};
use crate::drill::moves::{Move, Side};
use crate::drill::record::{Deed, Ended, Record};
use crate::drill::told::told;
use crate::drill::{World, follow};
use crate::gauge::{self, Gauge};
use crate::kept::{Kept, StoreError};
use crate::mechanics::Strand;
use crate::reason::Applies;
use crate::rulebook::index::{FixAt, List, SymptomAt};
use crate::rulebook::model::{Stage, State};
use crate::show::asking::{self, Asked};
use crate::show::drill::pages;
use crate::show::drill::words::Names;
use crate::show::page::{Page, Screen};
use crate::show::words::{Known, Sides};
use crate::show::work::{self, PlanLength};
use crate::show::{belief, chance};
use crate::visit::clock::Clock;
use crate::visit::{Depth, Diagnosis, Machine};

/// The keys at the choice of a move.
const KEYS: [KeyKind; 4] = [KeyKind::SoFar, KeyKind::Look, KeyKind::Stop, KeyKind::Help];
/// What two of them mean here.
const OWN: [asking::OwnKey; 3] = [
    (
        KeyKind::SoFar,
        "done so far",
        "Every move so far, and the minutes gone.",
    ),
    (
        KeyKind::Look,
        "look at the belt",
        "The belt from above, as it runs or last ran.",
    ),
    (
        KeyKind::Stop,
        "stop + save",
        "Stop here. Every move is saved; you can go on another day.",
    ),
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

/// A run that goes on at a terminal.
pub(super) struct Floor<'f> {
    pub(super) ask: &'f mut dyn Ask,
    pub(super) screen: Screen,
    pub(super) sides: Sides,
    pub(super) diagnosis: &'f Diagnosis<'f>,
    pub(super) world: World<'f>,
    pub(super) kept: Kept<Record>,
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
    /// Shows these pages, then holds the conversation until the run is over or the person goes away.
    ///
    /// # Errors
    /// When the person has gone.
    pub(super) fn converse(&mut self, opening: &[String]) -> Result<(), Gone> {
        self.farewell.set(self.part());
        for page in opening {
            self.ask.say(page);
            self.pause()?;
        }
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
    fn make(&mut self, what: Move) -> Result<(), Gone> {
        let deed = Deed::of(&what, self.world.book());
        self.unsaved = self.kept.add(deed, self.clock.now()).err();
        if let Some(error) = &self.unsaved {
            let words = format!(
                "NOT SAVED: {error}. The run goes on in memory and is saved with the next move."
            );
            let page = Page::new(self.screen).para(&words).finish();
            self.ask.say(&page);
        }
        let made = self.world.make(what.clone()).cloned();
        let page = match &made {
            Ok(step) => self.known(|known| pages::done(self.screen, known, step)),
            Err(refused) => pages::refused(self.screen, *refused, &what),
        };
        self.ask.say(&page);
        self.farewell.set(self.part());
        let ran = matches!(what, Move::Restore | Move::Wait(_) | Move::Work(_));
        if made.is_ok() && ran && self.world.machine() == Machine::Running {
            self.pause()?;
            self.show_belt()?;
        }
        Ok(())
    }

    /// Shows the belt, and waits: on a small screen the next page would push it out of sight.
    fn show_belt(&mut self) -> Result<(), Gone> {
        let page = pages::seen(self.screen, &self.world, &self.sides);
        self.ask.say(&page);
        self.pause()
    }

    /// Waits until what is on the screen was read.
    pub(super) fn pause(&mut self) -> Result<(), Gone> {
        match self.ask.note("Enter goes on", &[KeyKind::Stop]) {
            Entry::Key(_) => Err(Gone::Stopped),
            Entry::Lost(lost) => Err(lost.into()),
            Entry::Text(_) | Entry::Skipped => Ok(()),
        }
    }

    /// Words with the sides of this conveyor and the answers seen so far.
    fn known<T>(&self, with: impl FnOnce(&Known) -> T) -> T {
        let outset = self
            .diagnosis
            .outset(self.world.facts(), &told(&self.world));
        with(&Known::new(
            self.world.book(),
            self.world.facts(),
            &self.sides,
            &outset.answers,
        ))
    }

    fn look(&mut self) -> Result<(), Gone> {
        let book = self.world.book();
        let kinds = [
            "The first six looks",
            "Ask people, look into the papers",
            "Look and listen while it runs",
            "Look closely, on a dead machine",
        ];
        let kinds = kinds.map(str::to_owned);
        let Some(kind) = one_of(self, "Look", "What kind of look?", &kinds)? else {
            return Ok(());
        };
        let wanted = |symptom: &SymptomAt| {
            let entry = &book.symptoms[*symptom];
            let opening = book.opening.contains(symptom);
            match kind {
                0 => opening,
                1 => !opening && entry.state == State::Anywhere,
                2 => !opening && entry.state == State::Running,
                _ => !opening && entry.state == State::LockedOut,
            }
        };
        let answers = self.world.answers();
        let symptoms: Vec<SymptomAt> = match kind {
            0 => book.opening.clone(),
            _ => book
                .symptoms
                .places()
                .filter(|symptom| wanted(symptom))
                .collect(),
        };
        let symptoms: Vec<SymptomAt> = symptoms
            .into_iter()
            .filter(|symptom| answers[*symptom].is_some())
            .collect();
        let asks: Vec<String> = self.known(|known| {
            symptoms
                .iter()
                .map(|symptom| known.fill(&book.symptoms[*symptom].ask))
                .collect()
        });
        let title = kinds.get(kind).map_or("Look", String::as_str).to_owned();
        match one_of(self, &title, "Which question?", &asks)?.and_then(|at| symptoms.get(at)) {
            Some(symptom) => self.make(Move::Look(*symptom)),
            None => Ok(()),
        }
    }

    fn measure(&mut self) -> Result<(), Gone> {
        let gauges: Vec<&'static Gauge> = gauge::ALL.to_vec();
        let titles: Vec<String> = gauges.iter().map(|gauge| gauge.title.to_owned()).collect();
        let Some(gauge) =
            one_of(self, "Measure", "With which gauge?", &titles)?.and_then(|at| gauges.get(at))
        else {
            return Ok(());
        };
        let before = self.world.steps().len();
        self.make(Move::Measure(gauge))?;
        if self.world.steps().len() > before {
            self.show_measured(gauge);
        }
        Ok(())
    }

    /// The readings worked out, as the gauge shows them.
    fn show_measured(&mut self, gauge: &'static Gauge) {
        let page = super::run::measured(self.screen, &self.world, &self.sides, gauge);
        self.ask.say(&page);
    }

    fn work(&mut self) -> Result<(), Gone> {
        let book = self.world.book();
        let offered = self.world.offered();
        let mut stages: BTreeMap<Stage, Vec<FixAt>> = BTreeMap::new();
        for (fix, entry) in book.fixes.iter().filter(|(fix, _)| offered[*fix]) {
            stages.entry(entry.stage).or_default().push(fix);
        }
        let names: Vec<String> = stages
            .keys()
            .map(|stage| pages::stage(*stage).to_owned())
            .collect();
        let Some(fixes) = one_of(self, "Work", "What kind of work?", &names)?
            .and_then(|at| stages.values().nth(at).cloned())
        else {
            return Ok(());
        };
        let titles: Vec<String> = fixes
            .iter()
            .map(|fix| {
                let fix = &book.fixes[*fix];
                format!("{} ({})", fix.title, chance::minutes(fix.minutes))
            })
            .collect();
        match one_of(self, "Work", "Which work?", &titles)?.and_then(|at| fixes.get(at)) {
            Some(fix) => self.make(Move::Work(*fix)),
            None => Ok(()),
        }
    }

    fn shift(&mut self) -> Result<(), Gone> {
        let strands = ["Carry strand, on top", "Return strand, below"].map(str::to_owned);
        let Some(strand) = one_of(self, "Idler", "On which strand?", &strands)? else {
            return Ok(());
        };
        let strand = if strand == 0 {
            Strand::Carry
        } else {
            Strand::Return
        };
        let there = self.world.drill().line.idlers(strand).stations_m.len();
        let label = format!("Which one from the tail (1 to {there})?");
        let Some(station) = self.number(&label, |text| {
            text.parse::<usize>()
                .ok()
                .filter(|n| (1..=there).contains(n))
        })?
        else {
            return Ok(());
        };
        let Some(end) = self.side("Which end is moved?")? else {
            return Ok(());
        };
        let ways = ["Toward the head", "Toward the tail"].map(str::to_owned);
        let Some(way) = one_of(self, "Idler", "Which way?", &ways)? else {
            return Ok(());
        };
        let Some(by_m) = self.length("By how much? Such as 3 mm")? else {
            return Ok(());
        };
        self.make(Move::Shift {
            strand,
            station: station - 1,
            end,
            ahead_m: if way == 0 { by_m } else { -by_m },
        })
    }

    fn screw(&mut self) -> Result<(), Gone> {
        let Some(side) = self.side("Which screw?")? else {
            return Ok(());
        };
        let ways = ["Out: the belt gets tighter", "In: the belt gets slacker"].map(str::to_owned);
        let Some(way) = one_of(self, "Take-up screw", "Which way?", &ways)? else {
            return Ok(());
        };
        let Some(by_m) = self.length("By how much? Such as 4 mm")? else {
            return Ok(());
        };
        self.make(Move::Screw {
            side,
            out_m: if way == 0 { by_m } else { -by_m },
        })
    }

    fn side(&mut self, ask: &str) -> Result<Option<Side>, Gone> {
        let names = [&self.sides.left, &self.sides.right].map(|name| format!("The {name} one"));
        Ok(one_of(self, "Side", ask, &names)?
            .map(|at| if at == 0 { Side::Left } else { Side::Right }))
    }

    fn wait(&mut self) -> Result<(), Gone> {
        let turns = self.number("How many turns (1 to 200)?", |text| {
            text.parse::<u32>().ok().filter(|n| (1..=200).contains(n))
        })?;
        turns.map_or(Ok(()), |turns| self.make(Move::Wait(turns)))
    }

    fn name(&mut self) -> Result<(), Gone> {
        let book = self.world.book();
        let applies = Applies::of(
            book,
            self.world.facts(),
            &List::filled(None, book.symptoms.len()),
        );
        let causes = pages::nameable(&applies.causes);
        let names: Vec<String> = causes
            .iter()
            .map(|cause| book.causes[*cause].name.clone())
            .collect();
        let Some(cause) =
            one_of(self, "The cause", "Which cause is it?", &names)?.and_then(|at| causes.get(at))
        else {
            return Ok(());
        };
        let certainty = self.number("How many per cent certain?", |text| {
            let text = text.trim_end_matches('%').trim_end();
            text.parse::<f64>()
                .ok()
                .filter(|n| (0.0..=100.0).contains(n))
        })?;
        certainty.map_or(Ok(()), |certainty| {
            self.make(Move::Name(*cause, certainty / 100.0))
        })
    }

    fn advice(&mut self) -> Result<(), Gone> {
        let told = told(&self.world);
        let facts = self.world.facts().clone();
        let outset = self.diagnosis.outset(&facts, &told);
        let next = follow::next(self.diagnosis, &outset);
        self.make(Move::Advice)?;
        let page = match next {
            Some(symptom) => self.known(|known| {
                let mut page = Page::new(self.screen);
                page.title("straybelt would ask next");
                page.head(&known.fill(&self.world.book().symptoms[symptom].ask));
                page.para(&known.fill(&self.world.book().symptoms[symptom].why));
                page.finish()
            }),
            None => {
                let finding = self.diagnosis.finding_to(&facts, &told, Depth::Ranking);
                let plan = self.diagnosis.plan(&finding);
                self.known(|known| {
                    belief::so_far(self.screen, known, &finding)
                        + &work::plan(self.screen, known, &plan, PlanLength::FirstBatch)
                })
            }
        };
        self.ask.say(&page);
        Ok(())
    }

    /// A line that makes sense to `read`; nothing when it is skipped.
    fn number<T>(
        &mut self,
        label: &str,
        read: impl Fn(&str) -> Option<T>,
    ) -> Result<Option<T>, Gone> {
        self.line(label, |text| {
            read(text).ok_or_else(|| "That is no number that fits here.".to_owned())
        })
    }

    fn length(&mut self, label: &str) -> Result<Option<f64>, Gone> {
        let units = self.world.drill().conveyor.units().unwrap_or(Units::Metric);
        self.line(label, |text| {
            let size = quantity::read(text, Kind::Length, units)
                .map_err(|refused| capital_stop(&refused.to_string()))?;
            match size.si() {
                si if si > 0.0 => Ok(si),
                _ => Err("Give a size above nothing; the way was chosen before.".to_owned()),
            }
        })
    }

    fn line<T>(
        &mut self,
        label: &str,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<Option<T>, Gone> {
        let keys = [KeyKind::Back, KeyKind::Stop];
        loop {
            match self.ask.note(label, &keys) {
                Entry::Text(text) => match read(text.trim()) {
                    Ok(value) => return Ok(Some(value)),
                    Err(why) => {
                        let page = Page::new(self.screen)
                            .para(&format!("{why} Enter alone goes back."))
                            .finish();
                        self.ask.say(&page);
                    }
                },
                Entry::Skipped => return Ok(None),
                Entry::Key(key) if key.kind() == KeyKind::Stop => return Err(Gone::Stopped),
                Entry::Key(_) => return Ok(None),
                Entry::Lost(lost) => return Err(lost.into()),
            }
        }
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
            (None, None) => page.para(&format!(
                "Run {run} is saved as far as it goes. `straybelt drill again {run}{}` goes on with it.",
                self.again
            )),
        };
        page.finish()
    }
}

fn capital_stop(text: &str) -> String {
    format!("{}.", belief::capital(text))
}
