//! Each way to go on at the first choice: what is asked for it before the move is made.

use crate::trade::{Side, Strand};
use std::collections::BTreeMap;

use super::choose::one_of;
use super::floor::{Floor, RunLeft};
use crate::ask::{KeyKind, NoteReply};
use crate::conveyor::quantity::{self, Kind};
use crate::drill::follow;
use crate::drill::moves::Move;
use crate::drill::told::told;
use crate::gauge::{self, Gauge};
use crate::reason::Applicability;
use crate::rulebook::index::{FixAt, List, SymptomAt};
use crate::rulebook::model::Stage;
use crate::show::drill::pages;
use crate::show::page::Page;
use crate::show::work::{self, PlanLength};
use crate::show::{belief, chance};
use crate::trade::{MachineState, Units};
use crate::visit::{Depth, Machine, Reply as Answered};

impl Floor<'_> {
    pub(super) fn look(&mut self) -> Result<(), RunLeft> {
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
                1 => !opening && entry.state == MachineState::Anywhere,
                2 => !opening && entry.state == MachineState::Running,
                _ => !opening && entry.state == MachineState::LockedOut,
            }
        };
        let answers = self.world.answers();
        let symptoms: Vec<SymptomAt> = match kind {
            0 => book.opening.clone(),
            _ => book.symptoms.places().filter(|symptom| wanted(symptom)).collect(),
        };
        let symptoms: Vec<SymptomAt> =
            symptoms.into_iter().filter(|symptom| answers[*symptom].is_some()).collect();
        let seen = told(&self.world).replies;
        let asks: Vec<String> = self.known(|known| {
            let ask = |symptom: &SymptomAt| {
                let seen = if seen[*symptom] == Answered::Unanswered { "" } else { " [seen]" };
                format!("{}{seen}", known.fill(&book.symptoms[*symptom].ask))
            };
            symptoms.iter().map(ask).collect()
        });
        let title = kinds.get(kind).map_or("Look", String::as_str).to_owned();
        match one_of(self, &title, "Which question?", &asks)?.and_then(|at| symptoms.get(at)) {
            Some(symptom) => self.make(Move::Look(*symptom)),
            None => Ok(()),
        }
    }

    pub(super) fn measure(&mut self) -> Result<(), RunLeft> {
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

    pub(super) fn work(&mut self) -> Result<(), RunLeft> {
        let book = self.world.book();
        let offered = self.world.offered();
        let mut stages: BTreeMap<Stage, Vec<FixAt>> = BTreeMap::new();
        for (fix, entry) in book.fixes.iter().filter(|(fix, _)| offered[*fix]) {
            stages.entry(entry.stage).or_default().push(fix);
        }
        let names: Vec<String> =
            stages.keys().map(|stage| pages::stage(*stage).to_owned()).collect();
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

    pub(super) fn shift(&mut self) -> Result<(), RunLeft> {
        let strands = ["Carry strand, on top", "Return strand, below"].map(str::to_owned);
        let Some(strand) = one_of(self, "Idler", "On which strand?", &strands)? else {
            return Ok(());
        };
        let strand = if strand == 0 { Strand::Carry } else { Strand::Return };
        let there = self.world.drill().line.idlers(strand).stations_m.len();
        let label = format!("Which one from the tail (1 to {there})?");
        let Some(station) = self.number(&label, |text| {
            text.parse::<usize>().ok().filter(|n| (1..=there).contains(n))
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

    pub(super) fn screw(&mut self) -> Result<(), RunLeft> {
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
        self.make(Move::Screw { side, out_m: if way == 0 { by_m } else { -by_m } })
    }

    fn side(&mut self, ask: &str) -> Result<Option<Side>, RunLeft> {
        let names = [&self.sides.left, &self.sides.right].map(|name| format!("The {name} one"));
        Ok(one_of(self, "Side", ask, &names)?
            .map(|at| if at == 0 { Side::Left } else { Side::Right }))
    }

    pub(super) fn wait(&mut self) -> Result<(), RunLeft> {
        let turns = self.number("How many turns (1 to 200)?", |text| {
            text.parse::<u32>().ok().filter(|n| (1..=200).contains(n))
        })?;
        turns.map_or(Ok(()), |turns| self.make(Move::Wait(turns)))
    }

    pub(super) fn name(&mut self) -> Result<(), RunLeft> {
        let book = self.world.book();
        let applies = Applicability::new(
            book,
            &self.world.facts().facts,
            &List::filled(None, book.symptoms.len()),
        );
        let causes = pages::nameable(&applies.causes);
        let names: Vec<String> =
            causes.iter().map(|cause| book.causes[*cause].name.clone()).collect();
        let Some(cause) =
            one_of(self, "The cause", "Which cause is it?", &names)?.and_then(|at| causes.get(at))
        else {
            return Ok(());
        };
        let certainty = self.number("How many per cent certain?", |text| {
            let text = text.trim_end_matches('%').trim_end();
            text.parse::<f64>().ok().filter(|n| (0.0..=100.0).contains(n))
        })?;
        certainty.map_or(Ok(()), |certainty| self.make(Move::Name(*cause, certainty / 100.0)))
    }

    pub(super) fn advice(&mut self) -> Result<(), RunLeft> {
        let told = told(&self.world);
        let facts = self.world.facts().clone();
        let applicable = self.diagnosis.applicability(&facts.facts, &told);
        let next = follow::next(self.diagnosis, &applicable);
        self.make(Move::Advice)?;
        let page = match next.first() {
            Some(symptom) => return self.advised_look(*symptom),
            None => {
                let finding = self.diagnosis.finding_to(&facts.facts, &told, Depth::Ranking);
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

    /// Shows the question that straybelt would put, and puts it if the machine is in the state for it.
    fn advised_look(&mut self, symptom: SymptomAt) -> Result<(), RunLeft> {
        let asked = &self.world.book().symptoms[symptom];
        let first = match (asked.state, self.world.machine()) {
            (MachineState::LockedOut, Machine::Running) => pages::MachineFirst::LockOut,
            (MachineState::Running, Machine::LockedOut) => pages::MachineFirst::GiveBack,
            _ => pages::MachineFirst::Nothing,
        };
        let page = self.known(|known| pages::advised(self.screen, known, symptom, first));
        self.ask.say(&page);
        if first != pages::MachineFirst::Nothing {
            return Ok(());
        }
        let answers = ["Yes, look now", "No, go back"].map(str::to_owned);
        match one_of(self, "Advice", "Look at that now?", &answers)? {
            Some(0) => self.make(Move::Look(symptom)),
            _ => Ok(()),
        }
    }

    /// A line that makes sense to `read`; nothing when it is skipped.
    fn number<T>(
        &mut self,
        label: &str,
        read: impl Fn(&str) -> Option<T>,
    ) -> Result<Option<T>, RunLeft> {
        self.line(label, |text| {
            read(text).ok_or_else(|| "That is no number that fits here.".to_owned())
        })
    }

    fn length(&mut self, label: &str) -> Result<Option<f64>, RunLeft> {
        let units = self.world.drill().conveyor.units().unwrap_or(Units::Metric);
        self.line(label, |text| {
            let size = quantity::read(text, Kind::Length, units)
                .map_err(|refused| capital_stop(&refused.to_string()))?;
            match size.si() {
                si if si > 0.0 => Ok(si),
                _ => Err("Give a size above 0. The way was chosen before.".to_owned()),
            }
        })
    }

    fn line<T>(
        &mut self,
        label: &str,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<Option<T>, RunLeft> {
        let keys = [KeyKind::Back, KeyKind::Stop];
        loop {
            match self.ask.note(label, &keys) {
                NoteReply::Text(text) => match read(text.trim()) {
                    Ok(value) => return Ok(Some(value)),
                    Err(why) => {
                        let page = Page::new(self.screen)
                            .para(&format!("{why} Press Enter to go back."))
                            .finish();
                        self.ask.say(&page);
                    }
                },
                NoteReply::Skipped => return Ok(None),
                NoteReply::Key(key) if key.kind() == KeyKind::Stop => return Err(RunLeft::Stopped),
                NoteReply::Key(_) => return Ok(None),
                NoteReply::Lost(lost) => return Err(lost.into()),
            }
        }
    }
}

fn capital_stop(text: &str) -> String {
    format!("{}.", crate::show::letters::capital(text))
}
