//! A question answered by measuring, and what measurements say of amounts.

use super::points::{self, Through};
use super::talk::{Away, Got, Talk};
use crate::ask::KeyKind;
use crate::commands::gauge::{Bench, form};
use crate::commands::setting;
use crate::gauge::Outcome;
use crate::rulebook::index::SymptomAt;
use crate::rulebook::model::{Book, State};
use crate::show::asking::Asked;
use crate::show::gauge as pages;
use crate::show::paint::Ink;
use crate::show::words::{Amount, Sides};
use crate::visit::event::Event;
use crate::visit::{Measured, Standing, settings};

/// The keys that stand by the result of a measurement.
const KEYS: [KeyKind; 3] = [KeyKind::Back, KeyKind::Stop, KeyKind::Help];

/// Measures, shows what it means, and takes it as the answer if that is wished.
pub(super) fn measure(talk: &mut Talk, symptom: SymptomAt) -> Result<(), Away> {
    let book = talk.means.book;
    let Some(by) = &book.symptoms[symptom].measured else {
        return Ok(());
    };
    let (setting, units) = setting::of_visit(&talk.now().conveyor);
    let sides = talk.sides();
    let bench = Bench {
        book,
        setting: &setting,
        sides: &sides,
        units: units
            .or_else(|| settings::units(talk.means.store))
            .unwrap_or_default(),
        dimensions: &|path| setting.dimensions.get(path).copied(),
    };
    let screen = talk.means.screen;
    let Some(way) = form::choose(talk.ask, screen, &bench, by.gauge)? else {
        return Ok(());
    };
    match way.state {
        State::LockedOut => {
            let what_for = "This is measured on a machine that is dead.";
            if points::isolate(talk, what_for, true)? != Through::All {
                return Ok(());
            }
        }
        State::Running if talk.is_isolated() => {
            let what_for = "This is measured while the belt runs.";
            if points::give_back(talk, what_for)? != Through::All {
                return Ok(());
            }
        }
        State::Running | State::Anywhere => {}
    }
    let measured = form::measure(talk.ask, screen, &bench, by.gauge, way)?;
    let page = pages::outcome(screen, bench.told(), by.gauge, &measured.outcome);
    talk.say(&page);
    let answers = answers(book, symptom, talk.now(), &measured.outcome);
    let says = talk.words(|_, known| pages::answers(known, &answers));
    let asked = Asked {
        title: "Take it as the answer?".to_owned(),
        around: says,
        ask: "Does that agree with what you saw?".to_owned(),
        answers: vec![
            "Yes, take it".to_owned(),
            "No: I answer by looking".to_owned(),
        ],
        keys: &KEYS,
        own: &[],
    };
    match talk.put_unless_back(&asked, Some((1, 0)), true)? {
        Got::Choice(0) => {
            let answers = answers
                .into_iter()
                .map(|(symptom, answer)| {
                    let symptom = &book.symptoms[symptom];
                    let answer = answer.map(|answer| symptom.answers[answer].id.clone());
                    (symptom.id.clone(), answer)
                })
                .collect();
            let measured = Measured::of(by.gauge, &measured.readings, answers);
            talk.happened(Event::Measured(measured))
        }
        Got::Choice(_) | Got::Key(_) | Got::Again => {
            talk.say_para(Ink::Plain, "The measurement is not kept.");
            Ok(())
        }
    }
}

type Answers = Vec<(SymptomAt, Option<crate::rulebook::index::AnswerAt>)>;

/// What a measurement answers: the question that was put, and of the others that have no answer yet those that it
/// speaks of clearly.
fn answers(book: &Book, asked: SymptomAt, now: &Standing, outcome: &Outcome) -> Answers {
    let mut answers = Answers::new();
    let Some(gauge) = book.symptoms[asked].measured.as_ref().map(|by| by.gauge.id) else {
        return answers;
    };
    for (at, symptom) in book.symptoms.iter() {
        let Some(by) = symptom.measured.as_ref().filter(|by| by.gauge.id == gauge) else {
            continue;
        };
        let word = outcome
            .tells
            .iter()
            .find(|(tell, _)| *tell == by.tell.id)
            .and_then(|(_, word)| *word);
        let answer = word.and_then(|word| {
            by.means
                .iter()
                .find(|(known, _)| *known == word)
                .map(|(_, answer)| *answer)
        });
        if at == asked {
            answers.insert(0, (at, answer));
        } else if answer.is_some() && !now.order.contains(&at) {
            answers.push((at, answer));
        }
    }
    answers
}

/// What the latest measurements say of amounts.
pub(super) fn amounts(book: &Book, now: &Standing, sides: &Sides) -> Vec<Amount> {
    if now.measured.is_empty() {
        return Vec::new();
    }
    let (setting, units) = setting::of_visit(&now.conveyor);
    let told = pages::Told {
        book,
        sides,
        units: units.unwrap_or_default(),
    };
    now.measured
        .iter()
        .filter_map(|measured| {
            let (gauge, _, readings) = measured.readings()?;
            let outcome = (gauge.work)(&readings, &setting).ok()?;
            Some(Amount {
                gauge: gauge.id,
                says: outcome.work.iter().map(|line| told.words(line)).collect(),
            })
        })
        .collect()
}
