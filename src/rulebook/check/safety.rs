//! What comes before everything else and stands above it: safety cautions, stop questions, the edge room.

use crate::problem::Code;
use crate::rulebook::index::{CautionAt, List};
use crate::rulebook::model::{
    Book, Caution, EdgeRoom, Hazard, RoomAnswer, RoomMeans, StopAnswer, StopMeans, StopQuestion,
};
use crate::rulebook::rules::Rules;
use crate::rulebook::written;

use super::Diagnostics;
use super::conditions::conditions;
use super::entries::source;
use super::names::{Names, each_once, good_id};
use super::words::{self, ASK, CAUTION, LONG, SHORT};

pub(super) fn cautions(
    rules: &Rules,
    names: &Names,
    diagnostics: &mut Diagnostics,
) -> List<CautionAt, Caution> {
    let mut list = List::default();
    for caution in &rules.cautions {
        if let (Some(standing), None) = (caution.standing, caution.hazard) {
            diagnostics.tell(
                Code::MissingField,
                standing.span,
                "only a safety caution stands on every page",
                "write hazard: LockOut (or NipPoints, StoredEnergy, Guards, PeopleClear, Alone, Fire) beside it",
            );
        }
        list.push(Caution {
            id: caution.id.text.clone(),
            hazard: caution.hazard,
            standing: caution.standing.map(|standing| standing.value),
            only_if: conditions(&caution.only_if, rules, names, diagnostics),
            text: words::shown(&caution.text, CAUTION, diagnostics),
            rule: words::plain(&caution.rule, LONG, diagnostics),
            source: source(&caution.source, names, diagnostics),
        });
    }
    list
}

pub(super) fn stop_now(
    rules: &Rules,
    names: &Names,
    diagnostics: &mut Diagnostics,
) -> Vec<StopQuestion> {
    each_once(&rules.stop_now.iter().map(|question| &question.id).collect::<Vec<_>>(), diagnostics);
    let mut list = Vec::new();
    for question in &rules.stop_now {
        good_id(&question.id, diagnostics);
        list.push(StopQuestion {
            id: question.id.text.clone(),
            ask: words::shown(&question.ask, ASK, diagnostics),
            answers: stop_answers(question, diagnostics),
            look: words::shown(&question.look, LONG, diagnostics),
            do_now: words::all_shown(&question.do_now, LONG, diagnostics),
            tell: words::shown(&question.tell, LONG, diagnostics),
            cautions: names.cautions.find_all(&question.cautions, diagnostics),
            source: source(&question.source, names, diagnostics),
        });
    }
    list
}

/// The answers: the first goes on and no other, and one at least stops.
fn stop_answers(
    question: &written::StopQuestion,
    diagnostics: &mut Diagnostics,
) -> Vec<StopAnswer> {
    each_once(&question.answers.iter().map(|answer| &answer.id).collect::<Vec<_>>(), diagnostics);
    let means: Vec<StopMeans> = question.answers.iter().map(|answer| answer.means).collect();
    let goes_on = means.iter().filter(|means| **means == StopMeans::GoOn).count();
    if means.first() != Some(&StopMeans::GoOn) || goes_on != 1 || !means.contains(&StopMeans::Stop)
    {
        diagnostics.tell(
            Code::SignAnswers,
            question.answers.first().map_or(question.id.span, |answer| answer.id.span),
            "of a stop question the first answer goes on, no other does, and at least one stops",
            "write [(id: \"no\", says: \"...\", means: GoOn), (id: \"yes\", says: \"...\", means: Stop)]",
        );
    }
    let mut answers = Vec::new();
    for answer in &question.answers {
        good_id(&answer.id, diagnostics);
        let says = words::shown(&answer.says, SHORT, diagnostics);
        answers.push(StopAnswer { id: answer.id.text.clone(), says, means: answer.means });
    }
    answers
}

pub(super) fn edge_room(
    rules: &Rules,
    names: &Names,
    diagnostics: &mut Diagnostics,
) -> Option<EdgeRoom> {
    let written = rules.edge_room.as_ref()?;
    good_id(&written.id, diagnostics);
    each_once(&written.answers.iter().map(|answer| &answer.id).collect::<Vec<_>>(), diagnostics);
    let has = |means| written.answers.iter().any(|answer| answer.means == means);
    if !(has(RoomMeans::LeaveIt) && (has(RoomMeans::GoOn) || has(RoomMeans::Urgent))) {
        let message =
            "the edge room needs an answer that means LeaveIt, and one that means GoOn or Urgent";
        diagnostics.tell(Code::SignAnswers, written.id.span, message, "");
    }
    let mut answers = Vec::new();
    for answer in &written.answers {
        good_id(&answer.id, diagnostics);
        let says = words::shown(&answer.says, SHORT, diagnostics);
        answers.push(RoomAnswer { id: answer.id.text.clone(), says, means: answer.means });
    }
    Some(EdgeRoom {
        id: written.id.text.clone(),
        ask: words::shown(&written.ask, ASK, diagnostics),
        answers,
        look: words::shown(&written.look, LONG, diagnostics),
        why: words::shown(&written.why, LONG, diagnostics),
        leave_it: words::all_shown(&written.leave_it, LONG, diagnostics),
        urgent: words::all_shown(&written.urgent, LONG, diagnostics),
        source: source(&written.source, names, diagnostics),
    })
}

/// A book warns of every hazard that work on a conveyor has.
pub(super) fn hazards(book: &Book, rules: &Rules, diagnostics: &mut Diagnostics) {
    let Some(place) = rules.book.as_ref().map(|book| book.value.name.span) else { return };
    for hazard in Hazard::ALL {
        let warned = book.cautions.values().any(|caution| caution.hazard == Some(hazard));
        if !warned {
            diagnostics.tell(
                Code::NoHazard,
                place,
                format!("no caution of this book has hazard: {hazard:?}"),
                "add one to cautions.ron; `straybelt rules export DIR` writes the default book's to take over",
            );
        }
    }
}
