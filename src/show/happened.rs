//! What happened in a visit, event by event, in words.

use std::fmt;

use super::chance;
use super::letters::{capital, small};
use super::words::Known;
use crate::gauge::{Given, ReadingKey};
use crate::reason::Outcome;
use crate::rulebook::model::Book;
use crate::trade::Units;
use crate::visit::event::{
    CauseFound, CheckShown, CuredBy, Ended, Event, How, NotedPlace, Ran, Stamped,
};
use crate::visit::store::VisitStatus;
use crate::visit::{ConveyorFacts, ElseHow, Measured};

/// Of what was believed at some time, causes with at least this chance are named.
const WORTH_NAMING: f64 = 0.03;
/// Rows of a table of readings that are shown.
const ROWS_SHOWN: usize = 12;

/// The units that people at a conveyor type in, if nothing else is known.
pub fn usual_units(conveyor: &ConveyorFacts) -> Units {
    conveyor.units.unwrap_or_default()
}

/// Tells the events of a visit one after the other.
pub struct Happened<'k> {
    known: &'k Known<'k>,
    /// The units that the latest measurement was typed in.
    units: Units,
}

impl<'k> Happened<'k> {
    /// Before the first event. `units` are for measurements of which is not kept in which they were typed.
    pub fn new(known: &'k Known<'k>, units: Units) -> Self {
        Self { known, units }
    }

    /// The next event in words; nothing for what only the program needs.
    pub fn words(&mut self, event: &Stamped) -> Option<String> {
        let book = self.known.book();
        let fix = |id: &str| fix_title(book, id).to_owned();
        Some(match &event.what {
            Event::Named { name } => format!("Conveyor: {}", or_skipped(name)),
            Event::Fact { key, value } => {
                format!("Conveyor, {}: {}", key.replace('_', "-"), or_skipped(value))
            }
            Event::Parts { parts } => parts_words(parts),
            Event::BroughtOn { look_for, job, there, .. } => brought_on(look_for, job, *there),
            Event::NotLookedFor => "What brought it on: not looked for".to_owned(),
            Event::SideNamed { side, name } => {
                format!("The {side} side is called: {}", or_skipped(name))
            }
            Event::StopNow { question, yes } => stop_now(book, question, *yes),
            Event::StopAnswered { question, answer, .. } => stop_answered(book, question, answer),
            Event::Reopened => "Taken up again after the stop".to_owned(),
            Event::RunsOn => "In danger, but runs on: decided on site".to_owned(),
            Event::FixBegun { fix: id } => format!("Begun: {}", fix(id)),
            Event::Checked { fix, check, shown } => checked_words(self.known, fix, *check, *shown),
            Event::StretchDone { fix: id, stretch } => {
                format!("{}: part {} done", fix(id), stretch + 1)
            }
            Event::BeltMoved { fix: id, .. } => format!("{}: belt moved, then stopped", fix(id)),
            Event::GivenBack => "Given back: the belt runs".to_owned(),
            Event::EdgeRoom { answer } => edge_room(book, answer.as_deref()),
            Event::LookBegun { look, .. } => look_begun(book, look),
            Event::Ticked { there, not_there, cant_tell } => {
                self.ticked(there, not_there, cant_tell)
            }
            Event::Answered { symptom, answer } => self.answered(symptom, answer.as_deref()),
            Event::MeasuringBegun { gauge, units, .. } => {
                self.units = Units::named(units).unwrap_or(self.units);
                format!("Measuring with the gauge {gauge}")
            }
            Event::ReadingTyped { line } => format!("Typed: {line}"),
            Event::ReadingTakenBack => "Taken back: the last line".to_owned(),
            Event::MeasuringLeft => "The measurement was left out".to_owned(),
            Event::Measured(measured) => self.measured(measured),
            Event::MeansTold { tools, history } => means(tools.as_deref(), *history),
            Event::MayLockOut { may } => {
                format!("May lock out: {}", if *may { "yes" } else { "no" })
            }
            Event::Remarked { text: words }
            | Event::By { name: words }
            | Event::Photographed { file: words } => format!("{}: {words}", belongs(&event.what)),
            Event::WentOn => "Went on, though best left alone".to_owned(),
            Event::AskedOn => "Asked on".to_owned(),
            Event::Enough => "Enough asked: to the plan".to_owned(),
            Event::BatchBegun { locked_out, .. } => batch_begun(*locked_out).to_owned(),
            Event::BatchDropped => "Nothing of the batch was needed".to_owned(),
            Event::LookedAnew => "From here on: as it runs after the work".to_owned(),
            Event::Worked { fix: id, how, .. } => format!("{}: {}", fix(id), how_words(*how)),
            Event::Noted { what, mark, place } => {
                let mark = if *mark == NotedPlace::From { "from" } else { "to" };
                format!("Moved: {what}, {mark}: {}", or_skipped(place))
            }
            Event::Found { cause, report } => {
                format!("Found: {} - {}", cause_name(book, cause), report_words(*report))
            }
            Event::Ran { outcome } => format!("It runs: {}", ran_words(*outcome)),
            Event::PutBack { what, done } => {
                format!("{what}: {}", if *done { "put back" } else { "left as it is" })
            }
            Event::Believed { causes } => believed(book, causes),
            Event::PutOff { fix: id } => format!("Put off, not today: {}", fix(id)),
            Event::Picked { fix: id } => format!("Picked as the first job: {}", fix(id)),
            Event::SomethingElse { what, place, part } => {
                let said = [what, place, part].into_iter().flatten();
                let said: Vec<&str> = said.map(String::as_str).collect();
                format!("Found besides: {}", said.join(", "))
            }
            Event::ElseDealtWith { how, .. } => {
                format!("What else was found: {}", Told(Some(*how)))
            }
            Event::SaidCured { by } => said_cured(book, by),
            Event::Ended { how } => capital(state_words(VisitStatus::Over(*how))),
            // What cured it has a place of its own on the page.
            Event::Back { .. } | Event::Cured { .. } | Event::LockOutBegun => return None,
        })
    }

    fn answered(&self, id: &str, answer: Option<&str>) -> String {
        let known = self.known;
        let asked = known.book().symptoms.values().find(|symptom| symptom.id == id);
        let ask = asked.map_or(id.to_owned(), |symptom| known.fill(&symptom.ask));
        let says = answer.map_or("can't tell".to_owned(), |answer| {
            asked
                .and_then(|symptom| symptom.answers.values().find(|x| x.id == answer))
                .map_or(answer.to_owned(), |x| known.fill(&x.says))
        });
        format!("{ask} - {says}")
    }

    fn ticked(&self, there: &[String], not_there: &[String], cant_tell: &[String]) -> String {
        let said = [("Seen", there), ("not seen", not_there), ("can't tell", cant_tell)];
        let ticks = |ids: &[String]| {
            ids.iter().map(|id| small(&self.tick(id))).collect::<Vec<String>>().join("; ")
        };
        let said = said.iter().filter(|(_, ids)| !ids.is_empty());
        let said: Vec<String> =
            said.map(|(label, ids)| format!("{label}: {}", ticks(ids))).collect();
        capital(&said.join(". "))
    }

    fn tick(&self, id: &str) -> String {
        let known = self.known;
        let asked = known.book().symptoms.values().find(|symptom| symptom.id == id);
        asked.map_or(id.to_owned(), |symptom| known.fill(&symptom.tick))
    }

    fn measured(&self, measured: &Measured) -> String {
        let mut words = measured_words(measured, self.units);
        for (id, answer) in &measured.answers {
            words.push_str(&format!("; {}", self.answered(id, answer.as_deref())));
        }
        words
    }
}

fn batch_begun(locked_out: bool) -> &'static str {
    match locked_out {
        true => "Work began, locked out",
        false => "Work began, running, watched only",
    }
}

/// What it is that belongs to the visit.
fn belongs(event: &Event) -> &'static str {
    match event {
        Event::By { .. } => "By",
        Event::Photographed { .. } => "Photo",
        _ => "Note",
    }
}

fn means(tools: Option<&[String]>, history: Option<bool>) -> String {
    let tools = match tools {
        None => "not said".to_owned(),
        Some([]) => "no tool".to_owned(),
        Some(tools) => tools.join(", "),
    };
    let somebody = match history {
        Some(true) => "; somebody who knows the conveyor",
        Some(false) => "; nobody who knows the conveyor",
        None => "",
    };
    format!("At hand: {tools}{somebody}")
}

fn look_begun(book: &Book, id: &str) -> String {
    let look = book.looks.values().find(|look| look.id == id);
    format!("Look: {}", look.map_or(id, |look| look.title.as_str()))
}

/// How a visit stands, in words.
pub fn state_words(state: VisitStatus) -> &'static str {
    match state {
        VisitStatus::Open => "open",
        VisitStatus::Over(Ended::True) => "ended: runs true",
        VisitStatus::Over(Ended::StoppedNow) => "ended: STOPPED for safety",
        VisitStatus::Over(Ended::LeftAlone) => "ended: left alone, to be watched",
        VisitStatus::Over(Ended::NothingLeft) => "ended: book had nothing left",
    }
}

/// What became of something else that was found, in words.
#[derive(Debug, Clone, Copy)]
pub struct Told(pub Option<ElseHow>);

impl fmt::Display for Told {
    fn fmt(&self, into: &mut fmt::Formatter<'_>) -> fmt::Result {
        into.write_str(match self.0 {
            Some(ElseHow::Watch | ElseHow::GoOn) => "put right",
            Some(ElseHow::Noted) => "left as it is",
            None => "nobody has said yet what was done",
        })
    }
}

fn said_cured(book: &Book, by: &CuredBy) -> String {
    match by {
        CuredBy::Cause(cause) => format!("What cured it: {}", cause_name(book, cause)),
        CuredBy::SomethingElse(_) => "What cured it: what else was found".to_owned(),
        CuredBy::NotClear => "What cured it: nobody can say".to_owned(),
    }
}

/// How the belt ran after a batch, in words.
pub fn outcome_words(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::True => ran_words(Ran::True),
        Outcome::Better => ran_words(Ran::Better),
        Outcome::NoChange => ran_words(Ran::NoChange),
        Outcome::Worse => ran_words(Ran::Worse),
        Outcome::OtherSide => ran_words(Ran::OtherSide),
        Outcome::Elsewhere => ran_words(Ran::Elsewhere),
        Outcome::Different => ran_words(Ran::Different),
    }
}

/// An outcome in words.
pub fn ran_words(ran: Ran) -> &'static str {
    match ran {
        Ran::True => "true now",
        Ran::Better => "better, not yet true",
        Ran::NoChange => "no change",
        Ran::Worse => "worse",
        Ran::OtherSide => "off to the other side now",
        Ran::Elsewhere => "off at another place now",
        Ran::Different => "a different picture now",
    }
}

/// What was looked for once it ran true, and the job that is left open.
fn brought_on(look_for: &str, job: &str, there: Option<bool>) -> String {
    match there {
        Some(true) => format!("{look_for} - yes. Open job: {job}"),
        Some(false) => format!("{look_for} - no"),
        None => format!("{look_for} - can't tell"),
    }
}

/// The parts that a conveyor has, and whether those of the list that it has not were told.
fn parts_words(parts: &[(String, String)]) -> String {
    let has = parts.iter().filter(|(_, value)| value == "yes");
    let has: Vec<String> = has.map(|(key, _)| key.replace('_', "-")).collect();
    match (has.is_empty(), parts.is_empty()) {
        (_, true) => "Conveyor, parts: not known".to_owned(),
        (true, false) => "Conveyor, parts: none of the list".to_owned(),
        (false, false) => format!("Conveyor, parts: {}", has.join(", ")),
    }
}

fn or_skipped(said: &Option<String>) -> &str {
    said.as_deref().unwrap_or("skipped")
}

fn cause_name<'b>(book: &'b Book, id: &'b str) -> &'b str {
    book.causes.values().find(|cause| cause.id == id).map_or(id, |cause| &cause.name)
}

fn fix_title<'b>(book: &'b Book, id: &'b str) -> &'b str {
    book.fixes.values().find(|fix| fix.id == id).map_or(id, |fix| &fix.title)
}

fn stop_now(book: &Book, question: &str, yes: bool) -> String {
    let asked = book.stop_now.iter().find(|asked| asked.id == question);
    let ask = asked.map_or(question, |asked| asked.ask.as_str());
    format!("{ask} - {}", if yes { "YES" } else { "no" })
}

fn stop_answered(book: &Book, question: &str, answer: &str) -> String {
    let asked = book.stop_now.iter().find(|asked| asked.id == question);
    let says = asked.and_then(|asked| asked.answers.iter().find(|known| known.id == answer));
    format!(
        "{} - {}",
        asked.map_or(question, |asked| asked.ask.as_str()),
        says.map_or(answer, |answer| answer.says.as_str())
    )
}

fn edge_room(book: &Book, answer: Option<&str>) -> String {
    let known = answer.and_then(|id| book.edge_room.answers.iter().find(|known| known.id == id));
    let says = known.map(|known| known.says.as_str()).or(answer).unwrap_or("can't tell");
    format!("{} - {says}", book.edge_room.ask)
}

fn how_words(how: How) -> &'static str {
    match how {
        How::Done => "done",
        How::NotNeeded => "not needed, all was fine",
        How::CouldNot => "could not be done",
    }
}

fn report_words(report: Option<CauseFound>) -> &'static str {
    match report {
        Some(CauseFound::AsSuspected) => "as suspected",
        Some(CauseFound::WasFine) => "was fine",
        None => "could not be seen",
    }
}

fn believed(book: &Book, causes: &[(String, f64)]) -> String {
    let named = causes.iter().enumerate();
    let names: Vec<String> = named
        .filter(|(place, (_, chance))| *place == 0 || *chance >= WORTH_NAMING)
        .map(|(_, (id, chance))| format!("{} {}", cause_name(book, id), chance::percent(*chance)))
        .collect();
    format!("Believed: {}", names.join("; "))
}

/// What a check showed, in its own words.
fn checked_words(known: &Known, id: &str, place: usize, shown: CheckShown) -> String {
    let book = known.book();
    let fix = book.fixes.values().find(|fix| fix.id == id);
    let check = fix.and_then(|fix| fix.begins_with.get(place));
    let Some(check) = check else { return format!("Looked at before {id}") };
    let says = match shown {
        CheckShown::Calls => known.fill(&check.needs),
        CheckShown::Ends => known.fill(&check.stop_if),
        CheckShown::Sound => "sound".to_owned(),
        CheckShown::CantTell => "can't tell".to_owned(),
    };
    format!("{} - {says}", known.fill(super::steps::check_order(book, check)))
}

/// A measurement in words: its readings, in the units that they were typed in.
pub fn measured_words(measured: &Measured, units: Units) -> String {
    let mut words = format!("Measured with the gauge {} ({})", measured.gauge, measured.way);
    let Some((_, _, readings)) = measured.readings() else {
        return words;
    };
    let given = |(key, given): (ReadingKey, &Given)| match given {
        Given::Quantity(size) => format!("{} {}", key.as_str(), size.words(units)),
        given => format!("{} {}", key.as_str(), given.written()),
    };
    let single: Vec<String> = readings.single.iter().map(|(key, g)| given((*key, g))).collect();
    if !single.is_empty() {
        words.push_str(&format!(": {}", single.join(", ")));
    }
    if !readings.rows.is_empty() {
        let rows = readings.rows.len();
        words
            .push_str(&format!("; {}", chance::count(rows, "row of readings", "rows of readings")));
        for row in readings.rows.iter().take(ROWS_SHOWN) {
            let cells: Vec<String> = row.iter().map(|(key, g)| given((key, g))).collect();
            words.push_str(&format!("; {}", cells.join(", ")));
        }
        if rows > ROWS_SHOWN {
            words.push_str("; ...");
        }
    }
    words
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use jiff::Timestamp;

    use super::*;
    use crate::conveyor::facts::Facts;
    use crate::conveyor::quantity::{self, Kind};
    use crate::gauge::{self, Need, Takes};
    use crate::rulebook::index::List;
    use crate::rulebook::load;
    use crate::show::words::Sides;

    /// The readings that must be there, every size one inch.
    fn measured() -> Measured {
        let way = gauge::named("takeup").unwrap().way("thread").unwrap();
        let must = way.wanted.iter().filter(|wanted| wanted.need == Need::Must);
        let single: BTreeMap<String, String> = must
            .map(|wanted| match wanted.takes {
                Takes::Choice(words) => (wanted.key.as_str().to_owned(), words[0].0.to_owned()),
                _ => (wanted.key.as_str().to_owned(), "25.4 mm".to_owned()),
            })
            .collect();
        let (gauge, way) = ("takeup".to_owned(), "thread".to_owned());
        Measured { gauge, way, single, rows: Vec::new(), answers: Vec::new() }
    }

    #[test]
    fn readings_are_told_in_the_units_that_they_were_typed_in() {
        let (book, _) = load::with_site(None).unwrap_or_else(|problems| panic!("{problems:?}"));
        let facts = Facts::default();
        let sides = Sides::named(None, None);
        let answers = List::filled(None, book.symptoms.len());
        let known = Known::new(&book, &facts, &sides, &answers);
        let begun = |units: Units| Event::MeasuringBegun {
            gauge: "takeup".to_owned(),
            way: "thread".to_owned(),
            units: units.word().to_owned(),
            symptom: None,
        };
        let at = |what| Stamped { at: Timestamp::UNIX_EPOCH, what };
        let size = quantity::read("25.4 mm", Kind::Length, Units::Metric).unwrap();
        let mut told = Happened::new(&known, Units::Metric);
        let mut says = |units: Option<Units>, shown: Units| {
            if let Some(units) = units {
                told.words(&at(begun(units)));
            }
            let words = told.words(&at(Event::Measured(measured()))).unwrap();
            assert!(words.contains(&format!("left {}", size.words(shown))), "{words}");
        };
        says(None, Units::Metric);
        says(Some(Units::Inch), Units::Inch);
        says(Some(Units::Both), Units::Both);
    }
}
