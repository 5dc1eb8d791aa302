//! The logbook of this conveyor, when a visit begins: what comes back is said, and what answers a question is offered.

use super::talk::{Away, Got, Talk};
use crate::ask::KeyKind;
use crate::commands::logbook::{self, ReadBook};
use crate::logbook::{ComesBack, Offered};
use crate::rulebook::index::SymptomAt;
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

/// The next thing that is offered as answered: of a question that applies and has no reply yet.
pub(super) fn next(talk: &mut Talk) -> Option<(SymptomAt, Offered)> {
    while !talk.sitting.offered.is_empty() {
        let offered = talk.sitting.offered.remove(0);
        let book = talk.means.book;
        let known = book.symptoms.iter().find(|(_, symptom)| symptom.id == offered.symptom);
        let Some((at, symptom)) = known else { continue };
        let answer = symptom.answers.values().any(|answer| answer.id == offered.answer);
        let open = talk.now().observed.latest(at) == Reply::Unanswered;
        if answer && open && talk.finding().symptoms_apply[at] {
            return Some((at, offered));
        }
    }
    None
}

/// Offers it: confirmed it counts as answered, else the question stays open.
pub(super) fn offer(talk: &mut Talk, (at, offered): (SymptomAt, Offered)) -> Result<(), Away> {
    let symptom = &talk.means.book.symptoms[at];
    let says = symptom.answers.values().find(|answer| answer.id == offered.answer);
    let says = says.map_or_else(|| offered.answer.to_owned(), |answer| answer.says.clone());
    let (ask, says) = talk.words(|_, known| (known.fill(&symptom.ask), known.fill(&says)));
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
            symptom: offered.symptom.to_owned(),
            answer: Some(offered.answer.to_owned()),
        }),
        Got::Choice(_) => Ok(()),
        // Whoever looked something up, or took a reply back, is asked again.
        Got::Key(_) | Got::Typed(_) | Got::Again => {
            talk.sitting.offered.insert(0, offered);
            Ok(())
        }
    }
}
