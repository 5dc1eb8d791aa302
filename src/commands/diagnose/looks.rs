//! Taking a look: the person goes to one place, ticks what is there, and answers what has more than two answers.

use super::points::{self, Through};
use super::questions;
use super::talk::{Away, Got, Talk};
use crate::ask::ticks::Ticks;
use crate::ask::{Key, KeyKind};
use crate::rulebook::index::{LookAt, SymptomAt};
use crate::show::looks::{self as pages, LookHead, Noted, TickList};
use crate::trade::MachineState;
use crate::visit::event::Event;
use crate::visit::{NextLook, Stop, Ways, asked_anew, told_in_one_go};

/// The keys of a tick list.
const TICK_KEYS: [KeyKind; 10] = [
    KeyKind::CantTell,
    KeyKind::Back,
    KeyKind::Why,
    KeyKind::Look,
    KeyKind::SoFar,
    KeyKind::Moved,
    KeyKind::Saw,
    KeyKind::Plan,
    KeyKind::Stop,
    KeyKind::Help,
];

/// The look in hand, with what is still to be taken in there.
pub(super) struct InHand {
    look: LookAt,
    open: Vec<SymptomAt>,
}

/// The look that was begun, unless all of it is told or no longer matters.
pub(super) fn in_hand(talk: &mut Talk) -> Option<InHand> {
    let begun = talk.now().look.clone()?;
    let open = talk.left_to_take_in(&begun.items);
    (!open.is_empty()).then_some(InHand { look: begun.look, open })
}

/// What of the pattern is looked at anew because the belt runs otherwise after the work: that of one look.
pub(super) fn anew(talk: &mut Talk) -> Option<NextLook> {
    if talk.now().observed.second.is_empty() {
        return None;
    }
    let book = talk.means.book;
    let pattern: Vec<SymptomAt> = asked_anew(book, talk.finding()).collect();
    let look = book.symptoms[*pattern.first()?].look;
    let of_it = |symptom: &SymptomAt| book.symptoms[*symptom].look == look;
    let items = pattern.into_iter().filter(of_it).collect();
    Some(NextLook { look, items, minutes: 0.0, bits: 0.0 })
}

/// The look to take next, and whether enough was looked at to act without it.
pub(super) fn next(talk: &mut Talk) -> (Option<NextLook>, bool) {
    let finding = talk.finding();
    match &finding.stop {
        Stop::LookOn(look) => (Some(look.clone()), false),
        _ => (finding.next_looks.first().cloned(), true),
    }
}

/// Goes there.
pub(super) fn begin(talk: &mut Talk, next: &NextLook) -> Result<(), Away> {
    let book = talk.means.book;
    talk.happened(Event::LookBegun {
        look: book.looks[next.look].id.clone(),
        symptoms: next.items.iter().map(|item| book.symptoms[*item].id.clone()).collect(),
    })
}

/// One step of a look: the tick list, or one question.
pub(super) fn take(talk: &mut Talk, hand: &InHand) -> Result<(), Away> {
    let book = talk.means.book;
    if book.looks[hand.look].state == MachineState::Running && talk.is_isolated() {
        let what_for = "The next look is taken while the belt runs.";
        if points::give_back(talk, what_for)? != Through::All {
            return Ok(());
        }
    }
    let things = told_in_one_go(book, &hand.open);
    let first = match things.as_slice() {
        [] => return Ok(()),
        [first] => *first,
        ticks => return tick(talk, hand, ticks),
    };
    let head = head(talk, hand);
    let is_first = is_first(talk, hand);
    let around = match is_first {
        true => {
            let so_far = talk.page(|_, known, finding| pages::so_far(known, finding));
            let around = talk.words(|_, known| pages::around(known, head));
            Some(so_far.map_or(around.clone(), |so_far| format!("{around} {so_far}")))
        }
        false => None,
    };
    let title = talk.words(|_, known| pages::title(known, head));
    questions::put_at_look(talk, first, title, around)
}

fn tick(talk: &mut Talk, hand: &InHand, things: &[SymptomAt]) -> Result<(), Away> {
    let head = head(talk, hand);
    let so_far = talk.page(|_, known, finding| pages::so_far(known, finding));
    let page = talk.words(|screen, known| {
        let so_far = so_far.as_deref();
        pages::tick_list(screen, known, TickList { head, so_far, things, keys: &TICK_KEYS })
    });
    let lines = talk.words(|_, known| {
        let tick = |at: &SymptomAt| known.fill(&known.book().symptoms[*at].tick);
        things.iter().map(tick).collect()
    });
    let ticks = match talk.put_ticks(&page, lines, &TICK_KEYS)? {
        Ok(ticks) => ticks,
        Err(Got::Key(Key::CantTell)) => Ticks::nothing_told(things.len()),
        Err(Got::Key(Key::Plan)) => return talk.happened(Event::Enough),
        Err(Got::Key(Key::Why)) => {
            let page = talk.words(|screen, known| pages::why(screen, known, things));
            talk.say(&page);
            return Ok(());
        }
        Err(Got::Key(_)) => {
            let page = talk.words(|screen, known| pages::how_to_look(screen, known, things));
            talk.say(&page);
            return Ok(());
        }
        Err(Got::Choice(_) | Got::Typed(_) | Got::Again) => return Ok(()),
    };
    let of = |is: &dyn Fn(usize) -> bool| -> Vec<SymptomAt> {
        let things = things.iter().enumerate().filter(|(line, _)| is(*line));
        things.map(|(_, at)| *at).collect()
    };
    let there = of(&|line| ticks.is_there(line));
    let cant_tell = of(&|line| ticks.is_untold(line));
    let not_there = of(&|line| !ticks.is_there(line) && !ticks.is_untold(line));
    let page = talk.words(|screen, known| {
        let noted = Noted { there: &there, not_there: &not_there, untold: &cant_tell };
        pages::noted(screen, known, hand.look, noted)
    });
    talk.say(&page);
    let book = talk.means.book;
    let ids = |things: &[SymptomAt]| {
        things.iter().map(|at| book.symptoms[*at].id.clone()).collect::<Vec<String>>()
    };
    talk.happened(Event::Ticked {
        there: ids(&there),
        not_there: ids(&not_there),
        cant_tell: ids(&cant_tell),
    })
}

/// Whether nothing of the look in hand was told yet.
fn is_first(talk: &Talk, hand: &InHand) -> bool {
    talk.now().look.as_ref().is_some_and(|begun| begun.items.len() == hand.open.len())
}

fn head(talk: &Talk, hand: &InHand) -> LookHead {
    let (book, observed) = (talk.means.book, &talk.now().observed);
    let own = hand.open.iter().map(|item| book.symptoms[*item].minutes).sum::<f64>();
    let ways = Ways::known(book, observed);
    let anew = !observed.second.is_empty() && hand.open.iter().all(|s| book.opening.contains(s));
    LookHead {
        look: hand.look,
        number: talk.now().looks,
        minutes: ways.minutes_to(observed.standing, hand.look) + own,
        anew,
    }
}
