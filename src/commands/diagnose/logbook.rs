//! The logbook of this conveyor, when a visit begins: what comes back is said, and what answers a question is offered.

use super::talk::{Away, Got, Talk};
use crate::ask::KeyKind;
use crate::commands::logbook::{self, ReadBook};
use crate::logbook::{ComesBack, Offered};
use crate::rulebook::index::{AnswerAt, SymptomAt};
use crate::rulebook::model::Stage;
use crate::show::asking::QuestionPut;
use crate::show::logbook as pages;
use crate::visit::Reply;
use crate::visit::event::Event;

const KEYS: [KeyKind; 4] = [KeyKind::Back, KeyKind::SoFar, KeyKind::Stop, KeyKind::Help];

/// Says what comes back, once, and keeps what is to be offered.
pub(super) fn look(talk: &mut Talk) {
    talk.sitting.logbook_due = false;
    let Some(name) = talk.now().conveyor.name.clone() else { return };
    let Some(ReadBook { record, sizes }) =
        logbook::read(talk.means.store, &name, &talk.now().conveyor)
    else {
        return;
    };
    let book = talk.means.book;
    let trims = |id: &str| {
        book.fixes
            .values()
            .any(|fix| fix.id == id && matches!(fix.stage, Stage::Train | Stage::Idlers))
    };
    let story = crate::logbook::Story::of(&record.entries);
    let watch = crate::logbook::Watch::over(&story, &sizes);
    let today = talk.means.clock.now().to_zoned_datetime(talk.zone()).date();
    let back = ComesBack::of(&story, watch.as_ref(), today, &trims);
    let page = pages::comes_back(talk.means.screen, book, &back, watch.as_ref());
    if !page.is_empty() {
        talk.say(&page);
    }
    talk.sitting.offered = back.offered;
}

/// An answer that is offered: of which question, and what in the logbook speaks for it.
pub(super) struct Offer {
    symptom: SymptomAt,
    answer: AnswerAt,
    offered: Offered,
}

/// The next thing that is offered as answered: of a question that applies and has no reply yet.
pub(super) fn next(talk: &mut Talk) -> Option<Offer> {
    while !talk.sitting.offered.is_empty() {
        let offered = talk.sitting.offered.remove(0);
        let book = talk.means.book;
        let all = book.symptoms.iter().flat_map(|(symptom, entry)| {
            entry.in_logbook.iter().map(move |(answer, sign)| (symptom, *answer, *sign))
        });
        let mut speaks = all.filter(|(.., sign)| *sign == offered.sign);
        let Some((symptom, answer, _)) = speaks.next() else { continue };
        let open = talk.now().observed.latest(symptom) == Reply::Unanswered;
        if open && talk.finding().symptoms_apply[symptom] {
            return Some(Offer { symptom, answer, offered });
        }
    }
    None
}

/// Offers it: confirmed it counts as answered, else the question stays open.
pub(super) fn offer(talk: &mut Talk, offer: Offer) -> Result<(), Away> {
    let Offer { symptom, answer, offered } = offer;
    let entry = &talk.means.book.symptoms[symptom];
    let (ask, says) =
        talk.words(|_, known| (known.fill(&entry.ask), known.fill(&entry.answers[answer].says)));
    let asked = QuestionPut {
        title: "From the logbook".to_owned(),
        around: pages::grounds(&offered.grounds),
        ask,
        answers: vec![format!("Confirm: {says}"), "Leave it open: it is asked later".to_owned()],
        keys: &KEYS,
        own: &[],
    };
    match talk.put(&asked, None)? {
        Got::Choice(0) => talk.happened(Event::Answered {
            symptom: entry.id.clone(),
            answer: Some(entry.answers[answer].id.clone()),
        }),
        Got::Choice(_) => Ok(()),
        // Whoever looked something up, or took a reply back, is asked again.
        Got::Key(_) | Got::Typed(_) | Got::Again => {
            talk.sitting.offered.insert(0, offered);
            Ok(())
        }
    }
}
