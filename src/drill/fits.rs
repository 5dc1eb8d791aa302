//! Whether what a drill says of itself fits together: its cause and its parts, its answers and its belt, its fixes and the
//! book, its grade and what it hides. None of it keeps a drill from being run; each makes one that teaches something wrong.

use super::belt::Belt;
use super::look;
use super::model::{Drill, Hidden, Thing};
use super::written::Grade;
use crate::mechanics::Fault;
use crate::problem::{Code, Problem};
use crate::rulebook::model::{Book, DrillFault};

/// What does not fit. It takes some hundredths of a second, since the belt is run for it.
pub fn problems(book: &Book, drill: &Drill) -> Vec<Problem> {
    let mut found = Vec::new();
    for hidden in &drill.hidden {
        found.extend(cause(book, drill, hidden));
        found.extend(cures(book, drill, hidden));
    }
    found.extend(grade(book, drill));
    found.extend(shows(book, drill));
    found
}

fn at(drill: &Drill, code: Code, message: String, remedy: &str) -> Problem {
    Problem::at(code, drill.place.clone(), message).help(remedy)
}

/// That none of the parts of a cause is what that cause is drilled as.
fn cause(book: &Book, drill: &Drill, hidden: &Hidden) -> Option<Problem> {
    let cause = &book.causes[hidden.cause];
    let stands_for = cause.drilled_as?;
    let fits = hidden.things.iter().any(|thing| is(*thing, stands_for));
    (!fits).then(|| {
        let message =
            format!("`{}` is drilled as {stands_for:?}, and none of its parts is that", cause.id);
        let remedy = "name the cause that these parts are, or give it parts of its own kind";
        at(drill, Code::DrillCause, message, remedy)
    })
}

/// Whether something out of order is of a kind of fault. A push stands in for whatever has no direction in the trade.
fn is(thing: Thing, kind: DrillFault) -> bool {
    use DrillFault as K;
    let Thing::Fault(fault) = thing else {
        return kind == K::TightBelt;
    };
    let kinds: &[K] = match fault {
        Fault::Skewed { .. } => &[K::SkewedIdlers, K::ScatteredTrims, K::TrimsForOneWay],
        Fault::OffCentre { .. } => &[K::IdlersOffCentre],
        Fault::High { .. } => &[K::MovedSupports],
        Fault::Leaning { .. } => &[K::LeaningIdlers],
        Fault::CakedRoll { .. } => &[K::CakedRolls],
        Fault::SeizedRoll { .. } => &[K::SeizedRoll],
        Fault::BentFrame { .. } | Fault::RackedFrame { .. } => &[K::CrookedFrame, K::MovedSupports],
        Fault::LowFrame { .. } => &[K::LowFrame, K::MovedSupports],
        Fault::SkewedPulley { .. } => &[K::SkewedPulley],
        Fault::LowPulley { .. } => &[K::LowPulley],
        Fault::CakedPulley { .. } => &[K::CakedPulley, K::WornLagging],
        Fault::WornCrown { .. } => &[K::WornCrown],
        Fault::CrookedSplice { .. } => &[K::CrookedSplice],
        Fault::Camber { .. } => &[K::BowedBelt, K::OpposedBows, K::ChewedEdge],
        Fault::OffCentreLoad { .. } => &[K::LoadToOneSide],
        Fault::Screws { .. } => &[K::UnevenScrews, K::TightBelt],
        Fault::Wind { .. } => &[K::Crosswind],
        Fault::SidePush { .. } => &[
            K::CakedRolls,
            K::SeizedRoll,
            K::PushingSkirts,
            K::PushingCleaner,
            K::PushingTrainer,
            K::PushingReturnRoll,
            K::PushingHeap,
        ],
    };
    kinds.contains(&kind)
}

/// That a fix which the drill names does not cure the cause by the book.
fn cures(book: &Book, drill: &Drill, hidden: &Hidden) -> Vec<Problem> {
    let cause = &book.causes[hidden.cause];
    let cures = |fix: &&crate::rulebook::index::FixAt| {
        book.fixes[**fix].cures.iter().any(|(cured, _)| *cured == hidden.cause)
    };
    let idle = hidden.yields_to.iter().filter(|fix| !cures(fix));
    let told = idle.map(|fix| {
        let fix = &book.fixes[*fix].id;
        let message = format!("by the book `{fix}` does not cure `{}`", cause.id);
        let remedy = "take it out of `yields_to`, or see whether the fix lacks the cause";
        at(drill, Code::DrillCure, message, remedy)
    });
    told.collect()
}

/// That the grade promises another number of causes. An old correction is a cause that hides nothing but itself.
fn grade(book: &Book, drill: &Drill) -> Option<Problem> {
    let correction = |hidden: &Hidden| {
        let stands_for = book.causes[hidden.cause].drilled_as;
        stands_for.is_some_and(|fault| {
            matches!(fault, DrillFault::ScatteredTrims | DrillFault::TrimsForOneWay)
        })
    };
    let (message, remedy) = match (drill.grade, drill.hidden.as_slice()) {
        (Grade::Third, []) => ("a drill of the third grade that hides nothing", "hide two causes"),
        (Grade::Third, [only]) if !correction(only) => (
            "a drill of the third grade that hides one cause",
            "hide a second cause or an old correction, or make it Second",
        ),
        (Grade::First | Grade::Second, [_, _, ..]) => {
            ("a drill of the first or second grade that hides several causes", "make it Third")
        }
        _ => return None,
    };
    Some(at(drill, Code::DrillGrade, message.to_owned(), remedy))
}

/// Answers that the drill shows, where its own belt and parts give others.
fn shows(book: &Book, drill: &Drill) -> Vec<Problem> {
    let things = drill.hidden.iter().flat_map(|hidden| &hidden.things);
    let faults: Vec<Fault> = things.map(|thing| thing.fault(&drill.line)).collect();
    // A belt that cannot run is told of by itself.
    let Ok(belt) = Belt::begin(&drill.line, &faults) else {
        return Vec::new();
    };
    let ground = (&drill.line, faults.as_slice(), &belt);
    let against = drill.shows.iter().filter_map(|(symptom, shown)| {
        let settled = look::settled(book, ground, *symptom, drill.seed)?;
        let entry = &book.symptoms[*symptom];
        (settled != *shown).then(|| {
            let message = format!(
                "`{}` shows \"{}\", and its own belt and parts give \"{}\"",
                entry.id, entry.answers[*shown].id, entry.answers[settled].id
            );
            let remedy = "take it out of `shows`, or change the parts";
            at(drill, Code::DrillShows, message, remedy)
        })
    });
    against.collect()
}
