//! `straybelt drill course`: where a learner stands in a course, and the drill that comes next.

use std::io::Write as _;

use super::run::{again, begin};
use super::{DrillBook, Practice, learners};
use crate::ask::NoteReply;
use crate::cli::{CourseArgs, RunArgs};
use crate::commands::{Failed, Streams, asker, flags, say_store};
use crate::drill::course::{Course, StepStanding};
use crate::drill::learners::{Learner, same_person};
use crate::exit::Exit;
use crate::problem::nearest;
use crate::show::drill::course as pages;

/// Lists the courses, or shows where the learner stands in one and runs the next drill.
///
/// # Errors
/// If standard output cannot be written.
pub(super) fn take(
    practice: &Practice<'_>,
    wanted: &CourseArgs,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let room = practice.room;
    let Some(name) = &wanted.name else {
        return list(practice, wanted, streams);
    };
    let Some(course) = room.courses.iter().find(|course| course.id == *name) else {
        let meant = nearest(name, room.courses.iter().map(|course| course.id.as_str()));
        let meant = meant.map_or(String::new(), |meant| format!(" Did you mean {meant}?"));
        streams.complain(&format!(
            "error: there is no course {name}.{meant} `straybelt drill course` lists those there are."
        ))?;
        return Ok(Exit::Usage);
    };
    let who = match (&wanted.who, wanted.show) {
        (Some(who), _) => Some(who.clone()),
        (None, true) => None,
        (None, false) => asked_for(wanted, streams),
    };
    let Some(who) = who else {
        return shown(room, course, streams);
    };
    let learner = match learner(practice, &who, streams) {
        Ok(learner) => learner,
        Err(error) => return say_store(&error, streams),
    };
    let standing = course.standing(&learner.attempts);
    let page = pages::standing(streams.screen(), course, &titles(room), &learner.name, &standing);
    streams.out.page(&page)?;
    // The run speaks past this stream.
    streams.out.flush()?;
    let next = course.next(&standing).and_then(|at| course.steps.get(at));
    let Some(step) = next.filter(|_| !wanted.show) else {
        return Ok(Exit::Done);
    };
    let open = learner.open.iter().rev().find(|(_, drill)| *drill == step.drill);
    let ended = match open {
        Some((run, _)) => again(practice, *run, wanted.plain.manner(), streams)?,
        None => {
            let run = RunArgs {
                name: Some(step.drill.clone()),
                who: Some(who.clone()),
                exam: step.exam,
                plain: wanted.plain,
                ..RunArgs::default()
            };
            begin(practice, &run, streams)?
        }
    };
    if ended == Exit::Done {
        afterwards(practice, course, (&who, &standing), streams)?;
    }
    Ok(ended)
}

/// What the run that has just ended was worth to the course.
fn afterwards(
    practice: &Practice<'_>,
    course: &Course,
    (who, before): (&str, &[StepStanding]),
    streams: &mut Streams,
) -> Result<(), Failed> {
    let Ok(learner) = learner(practice, who, streams) else {
        return Ok(());
    };
    let after = course.standing(&learner.attempts);
    let Some(at) = course.next(before).filter(|_| before != after) else {
        return Ok(());
    };
    let again = flags(&[
        ("--rules", practice.args.book.rules.as_deref()),
        ("--state", practice.args.state.state.as_deref()),
    ]);
    let came = pages::Came { course, at, standing: &after, who, again: &again };
    let page =
        pages::afterwards(streams.screen(), &came, &titles(practice.room), &learner.attempts);
    streams.out.page(&page)?;
    Ok(())
}

fn list(
    practice: &Practice<'_>,
    wanted: &CourseArgs,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let learner = match &wanted.who {
        None => None,
        Some(who) => match learner(practice, who, streams) {
            Ok(learner) => Some(learner),
            Err(error) => return say_store(&error, streams),
        },
    };
    let page = pages::list(streams.screen(), &practice.room.courses, learner.as_ref());
    streams.out.page(&page)?;
    Ok(Exit::Done)
}

/// The course by itself, for nobody.
fn shown(room: &DrillBook, course: &Course, streams: &mut Streams) -> Result<Exit, Failed> {
    let page = pages::alone(streams.screen(), course, &titles(room));
    streams.out.page(&page)?;
    Ok(Exit::Done)
}

/// The learner of this name, with nothing done if there is none yet.
fn learner(
    practice: &Practice<'_>,
    who: &str,
    streams: &mut Streams,
) -> Result<Learner, crate::kept::StoreError> {
    let (all, _) = learners::all(practice.room, practice.store, streams)?;
    let known = all.into_iter().find(|learner| same_person(&learner.name, who));
    Ok(known.unwrap_or_else(|| Learner::new(who)))
}

/// The name of whoever is there; nothing if they give none.
fn asked_for(wanted: &CourseArgs, streams: &Streams) -> Option<String> {
    let (mut ask, _) = asker::somebody(wanted.plain.manner(), streams);
    match ask.note("Your name, as in the class list", &[]) {
        NoteReply::Text(name) => Some(name.trim().chars().take(40).collect()),
        NoteReply::Skipped | NoteReply::Key(_) | NoteReply::Lost(_) => None,
    }
}

/// What each drill is called: its id would give it away.
fn titles(room: &DrillBook) -> pages::Titles<'_> {
    room.drills.iter().map(|drill| (drill.id.as_str(), drill.title.as_str())).collect()
}
