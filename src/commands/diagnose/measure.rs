//! A question answered by measuring, and what measurements say of amounts.

use super::points::{self, Refusal, Through};
use super::talk::{Away, BackKey, Got, Talk};
use crate::ask::{Ask, KeyKind, Lost};
use crate::commands::form::Keeping;
use crate::commands::gauge::{Bench, form};
use crate::commands::setting;
use crate::gauge::{self, Gauge, Outcome, Way};
use crate::rulebook::index::{AnswerAt, SymptomAt};
use crate::rulebook::model::Book;
use crate::show::asking::QuestionPut;
use crate::show::gauge as pages;
use crate::stream::paint::Ink;
use crate::trade::{MachineState, Units};
use crate::visit::event::Event;
use crate::visit::{Measured, Measuring, VisitState, answered};

/// The keys that stand by the result of a measurement.
const KEYS: [KeyKind; 3] = [KeyKind::Back, KeyKind::Stop, KeyKind::Help];

/// Answers a question by measuring, if that is wished after all.
pub(super) fn measure(talk: &mut Talk, symptom: SymptomAt) -> Result<(), Away> {
    match &talk.means.book.symptoms[symptom].measured {
        Some(by) => with(talk, by.gauge, Some(symptom)),
        None => Ok(()),
    }
}

/// Measures with any gauge: the result stands in the plan.
pub(super) fn any(talk: &mut Talk) -> Result<(), Away> {
    let asked = QuestionPut {
        title: "Measure what?".to_owned(),
        around: String::new(),
        ask: "With which gauge?".to_owned(),
        answers: gauge::ALL.iter().map(|gauge| format!("{}: {}", gauge.id, gauge.title)).collect(),
        keys: &KEYS,
        own: &[],
    };
    loop {
        match talk.put_with(&asked, None, BackKey::LeftToAsker)? {
            Got::Choice(place) => match gauge::ALL.get(place) {
                Some(gauge) => return with(talk, gauge, None),
                None => return Ok(()),
            },
            Got::Key(_) | Got::Typed(_) => return Ok(()),
            Got::Again => {}
        }
    }
}

/// Shows what steering with a take-up screw does to this conveyor.
pub(super) fn price_of_steering(talk: &mut Talk) {
    let (setting, units) = setting::of_visit(&talk.now().conveyor, talk.means.book);
    let sides = talk.sides();
    let told = pages::GaugeWording {
        book: talk.means.book,
        sides: &sides,
        units: units.unwrap_or_default(),
        places: None,
    };
    let outcome = gauge::side_load::consequence(&setting);
    let page = pages::price_of_steering(talk.means.screen, told, &outcome);
    talk.say(&page);
}

/// Measures, shows what it means, and takes it as an answer if that is wished.
fn with(talk: &mut Talk, gauge: &'static Gauge, symptom: Option<SymptomAt>) -> Result<(), Away> {
    let (setting, units) = setting::of_visit(&talk.now().conveyor, talk.means.book);
    let units = units.unwrap_or_default();
    let sides = talk.sides();
    let screen = talk.means.screen;
    let way = {
        let dimensions = |path: &str| setting.dimensions.get(path).copied();
        let bench = Bench {
            book: talk.means.book,
            setting: &setting,
            sides: &sides,
            units,
            dimensions: &dimensions,
            repeat: 1,
        };
        let mut choosing = WayChosen { talk, left: false };
        match form::choose_kept(&mut choosing, screen, &bench, gauge) {
            Ok(way) => way,
            Err(_) if choosing.left => return Ok(()),
            Err(lost) => return Err(lost.into()),
        }
    };
    let Some(way) = way else { return Ok(()) };
    if !in_state(talk, way.state)? {
        return Ok(());
    }
    talk.happened(Event::MeasuringBegun {
        gauge: gauge.id.to_owned(),
        way: way.id.to_owned(),
        units: units.word().to_owned(),
        symptom: symptom.map(|at| talk.means.book.symptoms[at].id.clone()),
    })?;
    readings(talk, gauge, way, units, symptom)
}

/// Goes on with the gauge in hand, from the line where it was.
pub(super) fn go_on(talk: &mut Talk, begun: &Measuring) -> Result<(), Away> {
    let gauge = gauge::named(&begun.gauge);
    let way = gauge.and_then(|gauge| gauge.way(&begun.way));
    let units = Units::named(&begun.units);
    let (Some(gauge), Some(way), Some(units)) = (gauge, way, units) else {
        talk.say_para(
            Ink::Warn,
            "This program no longer has the gauge that was in use. Its readings are in the visit's file.",
        );
        return talk.happened(Event::MeasuringLeft);
    };
    if !in_state(talk, way.state)? {
        return if talk.took_back() { Ok(()) } else { talk.happened(Event::MeasuringLeft) };
    }
    let book = talk.means.book;
    let symptom = begun.symptom.as_ref().and_then(|id| {
        book.symptoms.iter().find(|(_, symptom)| symptom.id == *id).map(|(at, _)| at)
    });
    readings(talk, gauge, way, units, symptom)
}

/// Which way it is measured is kept once the measuring begins.
struct WayChosen<'t, 'a> {
    talk: &'t mut Talk<'a>,
    /// Whether the gauge was left, and not the visit.
    left: bool,
}

impl Keeping for WayChosen<'_, '_> {
    fn person(&mut self) -> &mut dyn Ask {
        &mut *self.talk.ask
    }

    fn keep(&mut self, _: &[String]) -> Result<(), Lost> {
        Ok(())
    }

    fn leave(&mut self) {
        self.left = true;
    }
}

/// Keeps each line in the visit before the next is asked for.
struct LinesKept<'t, 'a> {
    talk: &'t mut Talk<'a>,
    /// Whether the gauge was left, and not the visit.
    left: bool,
}

impl Keeping for LinesKept<'_, '_> {
    fn person(&mut self) -> &mut dyn Ask {
        &mut *self.talk.ask
    }

    fn keep(&mut self, taken: &[String]) -> Result<(), Lost> {
        let kept = self.talk.now().measuring.as_ref().map_or(0, |gauge| gauge.lines.len());
        let event = match taken.get(kept) {
            Some(line) => Event::ReadingTyped { line: line.clone() },
            None => Event::ReadingTakenBack,
        };
        self.talk.happened(event).map_err(|_| Lost::EndOfInput)
    }

    fn leave(&mut self) {
        self.left = true;
    }
}

/// Takes the readings, shows what they mean, and asks whether they stand.
fn readings(
    talk: &mut Talk,
    gauge: &'static Gauge,
    way: &'static Way,
    units: Units,
    symptom: Option<SymptomAt>,
) -> Result<(), Away> {
    let book = talk.means.book;
    let (setting, _) = setting::of_visit(&talk.now().conveyor, talk.means.book);
    let sides = talk.sides();
    let screen = talk.means.screen;
    let dimensions = |path: &str| setting.dimensions.get(path).copied();
    let bench =
        Bench { book, setting: &setting, sides: &sides, units, dimensions: &dimensions, repeat: 1 };
    let taken = talk.now().measuring.as_ref().map(|gauge| gauge.lines.clone()).unwrap_or_default();
    let mut kept = LinesKept { talk, left: false };
    let measured = match form::measure_kept(&mut kept, screen, &bench, (gauge, way), taken) {
        Ok(measured) => measured,
        Err(_) if kept.left => return left(talk),
        Err(lost) => return Err(lost.into()),
    };
    let told = bench.told().placed(way, &measured.readings);
    let page = pages::outcome(screen, told, gauge, &measured.outcome)
        + &pages::understood(screen, told, way, &measured.readings)
        + &pages::errors_set(screen, told, way, &measured.readings);
    talk.say(&page);
    let answers = answers(book, gauge, symptom, talk.now(), &measured.outcome);
    let asked = QuestionPut {
        title: "Keep it?".to_owned(),
        around: talk.words(|_, known| pages::answers(known, &answers)),
        ask: "Does that agree with what you saw?".to_owned(),
        answers: vec!["Yes, keep it".to_owned(), "No, leave it out".to_owned()],
        keys: &KEYS,
        own: &[],
    };
    let got = loop {
        match talk.put_with(&asked, Some((1, 0)), BackKey::LeftToAsker)? {
            Got::Again => {}
            got => break got,
        }
    };
    match got {
        Got::Choice(0) => {
            let answers = answers
                .into_iter()
                .map(|(symptom, answer)| {
                    let symptom = &book.symptoms[symptom];
                    let answer = answer.map(|answer| symptom.answers[answer].id.clone());
                    (symptom.id.clone(), answer)
                })
                .collect();
            let measured = Measured::new(gauge, &measured.readings, answers);
            talk.happened(Event::Measured(measured))
        }
        // Back to the last line of the gauge.
        Got::Key(_)
            if talk.now().measuring.as_ref().is_some_and(|gauge| !gauge.lines.is_empty()) =>
        {
            talk.happened(Event::ReadingTakenBack)
        }
        Got::Choice(_) | Got::Key(_) | Got::Typed(_) | Got::Again => left(talk),
    }
}

/// The gauge is left, and the visit goes on where it was.
fn left(talk: &mut Talk) -> Result<(), Away> {
    talk.say_para(Ink::Plain, "The measurement is not kept.");
    talk.happened(Event::MeasuringLeft)
}

/// Brings the machine into the state that a measurement needs, by the person's own hands; no if it is not.
fn in_state(talk: &mut Talk, state: MachineState) -> Result<bool, Away> {
    let through = match state {
        MachineState::LockedOut => {
            points::isolate(talk, "This is measured on a locked-out machine.", Refusal::MayRefuse)?
        }
        MachineState::Running if talk.is_isolated() => {
            points::give_back(talk, "This is measured while the belt runs.")?
        }
        MachineState::Running | MachineState::Anywhere => Through::All,
    };
    Ok(through == Through::All)
}

type AnswersGiven = Vec<(SymptomAt, Option<AnswerAt>)>;

/// What a measurement answers here: the question that was put, and of the others that have no answer yet those that it
/// speaks of clearly.
fn answers(
    book: &Book,
    gauge: &Gauge,
    asked: Option<SymptomAt>,
    now: &VisitState,
    outcome: &Outcome,
) -> AnswersGiven {
    let all = answered(book, gauge, outcome);
    let mut answers: AnswersGiven = asked
        .map(|at| {
            let answer = all.iter().find(|(other, _)| *other == at);
            (at, answer.and_then(|(_, answer)| *answer))
        })
        .into_iter()
        .collect();
    answers.extend(
        all.into_iter().filter(|(at, answer)| {
            Some(*at) != asked && answer.is_some() && !now.order.contains(at)
        }),
    );
    answers
}
