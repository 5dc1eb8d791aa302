//! The course of a conversation.
//!
//! Where a visit stands follows from its events alone, so that going on after a break is the same as going on
//! after a reply: look where it stands, put one question, save the reply, look again.

use super::hand_over;
use super::talk::{Away, Got, Talk};
use super::{
    logbook, looks, means, measure, opening, plan, questions, saw, something_else, stop_now, walk,
};
use crate::ask::{KeyKind, Prompt, PromptReply};
use crate::exit::Exit;
use crate::reason::Outcome;
use crate::rulebook::model::RoomMeans;
use crate::show::asking;
use crate::show::may_it_run;
use crate::show::{opening as opening_pages, past};
use crate::stream::paint::Ink;
use crate::visit::event::{Ended, Event};
use crate::visit::store::{Record, StoreError};

/// Holds the conversation until the visit is over or the person goes away, and parts. The exit code says how.
pub fn converse(talk: &mut Talk) -> Exit {
    let ended = go_on(talk);
    let page = talk.part();
    talk.say(&page);
    match ended {
        Err(Away::Interrupted) => Exit::Interrupted,
        _ if talk.unsaved().is_some() => Exit::State,
        Ok(()) | Err(Away::Stopped | Away::EndOfInput) => Exit::Done,
    }
}

/// Announces open visits before another is begun, and goes on with one of them if that is wished.
pub fn announce(talk: &mut Talk, open: &[Record]) -> Result<Option<StoreError>, Away> {
    const SHOWN: usize = 6;
    let open = open.get(..SHOWN.min(open.len())).unwrap_or_default();
    if open.is_empty() {
        return Ok(None);
    }
    let page = past::open_visits(talk.means.screen, open, &talk.zone());
    talk.say(&page);
    let keys = [KeyKind::Stop, KeyKind::Help];
    let mut answers = vec!["Begin a new visit".to_owned()];
    answers.extend(open.iter().map(|record| format!("Go on with visit {}", record.visit)));
    let asked = asking::QuestionPut {
        title: "New visit?".to_owned(),
        around: String::new(),
        ask: "Begin a new visit, or go on with an open one?".to_owned(),
        answers,
        keys: &keys,
        own: &[],
    };
    loop {
        match talk.put(&asked, None)? {
            Got::Choice(0) => return Ok(None),
            Got::Choice(place) => {
                let Some(record) = open.get(place - 1) else {
                    continue;
                };
                return match talk.means.store.open(record.visit) {
                    Ok(kept) => {
                        talk.take_up(kept);
                        Ok(None)
                    }
                    Err(error) => Ok(Some(error)),
                };
            }
            Got::Key(_) | Got::Typed(_) | Got::Again => {}
        }
    }
}

/// Looks where the visit stands and puts one question, until it is over.
fn go_on(talk: &mut Talk) -> Result<(), Away> {
    safety(talk)?;
    going_on(talk);
    changed_book(talk);
    while open(talk) {
        one(talk)?;
    }
    Ok(())
}

/// Whether the visit goes on. One that was stopped does when it is taken up again, from its stop questions on.
fn open(talk: &Talk) -> bool {
    match talk.now().ended {
        None => true,
        Some(Ended::StoppedNow) => talk.sitting.stop_round_due,
        Some(Ended::True | Ended::LeftAlone | Ended::NothingLeft) => false,
    }
}

fn one(talk: &mut Talk) -> Result<(), Away> {
    if talk.sitting.stop_round_due {
        return stop_now::round(talk);
    }
    if talk.sitting.machine_due {
        return stop_now::what_state(talk);
    }
    if std::mem::take(&mut talk.sitting.saw_due) {
        return saw::tell(talk);
    }
    if let Some(begun) = talk.now().measuring.clone() {
        return measure::go_on(talk, &begun);
    }
    if let Some(question) = opening::next_about_conveyor(talk) {
        return opening::about_conveyor(talk, question);
    }
    let now = talk.now();
    match now.edge_room {
        None => return opening::edge_room(talk),
        Some(Some(RoomMeans::LeaveIt)) if !now.went_on => return opening::leave_it(talk),
        Some(Some(RoomMeans::Urgent)) if !now.runs_on => return opening::urgent(talk),
        Some(_) => {}
    }
    if let Some(about) = means::next(talk) {
        return means::ask(talk, about);
    }
    may_it_run(talk);
    if talk.sitting.logbook_due {
        logbook::look(talk);
    }
    if let Some(offer) = logbook::next(talk) {
        return logbook::offer(talk, offer);
    }
    let now = talk.now();
    if now.else_open().is_some() {
        return something_else::deal_with(talk);
    }
    if now.observed.outcomes.last() == Some(&Outcome::True) {
        return walk::runs_true(talk);
    }
    if let Some(batch) = now.batch.clone() {
        return walk::batch(talk, &batch);
    }
    if talk.sitting.handing_over {
        return hand_over::end(talk);
    }
    if walk::to_look_anew(talk) {
        return talk.happened(Event::LookedAnew);
    }
    if let Some(symptom) = talk.sitting.again {
        return questions::ask(talk, symptom);
    }
    let (enough, asked_on) = (now.enough, now.asked_on);
    if let Some(hand) = looks::in_hand(talk) {
        return looks::take(talk, &hand);
    }
    if let Some(look) = looks::anew(talk) {
        return looks::begin(talk, &look);
    }
    if enough {
        return plan::stand(talk);
    }
    match looks::next(talk) {
        (Some(look), stop) if asked_on || !stop => looks::begin(talk, &look),
        (None, _) if asked_on => match questions::next(talk) {
            Some(symptom) => questions::ask(talk, symptom),
            None => plan::stand(talk),
        },
        (Some(look), _) => questions::offer_to_act(talk, Some(look.look)),
        (None, _) if questions::next(talk).is_some() => questions::offer_to_act(talk, None),
        (None, _) => plan::stand(talk),
    }
}

/// As soon as something was told after which somebody else decides whether it may run, that is said: not only once
/// somebody asks for the finding. Once for each such answer and sitting.
fn may_it_run(talk: &mut Talk) {
    let room = talk.now().edge_room.flatten();
    let before = std::mem::take(&mut talk.sitting.may_run_told);
    let (reasons, page) = talk.page(|screen, known, finding| {
        let page = may_it_run::page(screen, known, finding, room, &before);
        (may_it_run::reasons(known, finding, room), page)
    });
    if !page.is_empty() {
        talk.say(&page);
    }
    talk.sitting.may_run_told = reasons;
}

fn safety(talk: &mut Talk) -> Result<(), Away> {
    let keys = [KeyKind::Stop];
    let understood = "Understood: I look only, from outside the guards";
    let page = opening_pages::safety(talk.means.screen, understood, &asking::key_words(&keys, &[]));
    talk.say(&page);
    let prompt = Prompt::new(vec![understood.to_owned()], &keys);
    match talk.ask.choose(&prompt) {
        PromptReply::Choice(_) | PromptReply::Ticked(_) => Ok(()),
        PromptReply::Key(_) => Err(Away::Stopped),
        PromptReply::Lost(lost) => Err(lost.into()),
    }
}

fn going_on(talk: &mut Talk) {
    if let Some(record) = talk.taken_up() {
        let words = format!("Going on with: {}.", past::one_line(record, &talk.zone()));
        talk.say_para(Ink::Strong, &words);
    }
}

fn changed_book(talk: &mut Talk) {
    if !talk.begun_with_other_book() {
        return;
    }
    let unknown = talk.now().unknown.clone();
    talk.say_para(
        Ink::Warn,
        "The rule book has changed since this visit began. The causes were worked out again.",
    );
    if !unknown.is_empty() {
        talk.say_para(
            Ink::Warn,
            &format!(
                "It no longer has: {}. Your answers to these are kept, but not counted. What is still a question is asked again.",
                unknown.join(", ")
            ),
        );
    }
    // Its steps cannot be shown any more, so nobody may take it for work that was never begun.
    let gone = talk.now().batch.iter().flat_map(|batch| &batch.gone);
    let gone: Vec<String> = gone
        .map(|(fix, done)| {
            let how = if *done { "done" } else { "planned, perhaps begun" };
            format!("{fix} ({how})")
        })
        .collect();
    if !gone.is_empty() {
        talk.say_para(
            Ink::Warn,
            &format!(
                "Work of this visit is no longer in the book: {}. Its steps cannot be shown. Finish it or put it back by the site's procedure before the machine is given back.",
                gone.join(", ")
            ),
        );
    }
}
