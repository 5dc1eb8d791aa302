//! Making the machine dead and giving it back, confirmed point by point. That it is dead is never saved.

use super::talk::{Away, BackKey, CautionsRead, Got, Talk};
use crate::ask::{Key, KeyKind};
use crate::show::asking::{OwnKey, QuestionPut};
use crate::show::page::Page;
use crate::show::points::{
    self as pages, ConfirmPoint, Confirmed, MOVE, WATCH, isolate_points, look_again_points,
};
use crate::trade::TakeUp;
use crate::visit::Machine;
use crate::visit::event::Event;

/// What the keys do at a point.
const OWN: [OwnKey; 3] = [
    (KeyKind::CantTell, "can't now", "It cannot be locked out now: leave the question out."),
    (KeyKind::Back, "back", "One point back; at the first one, one question back."),
    (KeyKind::Why, "what yes means", "What a yes means here."),
];

/// How going through the points ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Through {
    /// Every point was confirmed.
    All,
    /// Not: the person cannot do it now.
    CantNow,
    /// Not: the person wants the plan instead.
    ToPlan,
    /// Not: replies were taken back, so look afresh.
    TookBack,
}

/// Whether "it cannot be done now" is on offer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Refusal {
    /// It is: what is behind it can be left out.
    MayRefuse,
    /// It is, and so is the plan.
    MayPlan,
    /// It is not.
    MustDo,
}

/// What is gone through point by point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Procedure {
    LockOut,
    /// The locks are on still, but the belt's pull was changed behind them.
    LookAgain,
    GiveBack,
    MoveBelt,
}

impl Procedure {
    fn title(self) -> &'static str {
        match self {
            Self::LockOut => "Lock out",
            Self::LookAgain => "Look again",
            Self::GiveBack => "Give back",
            Self::MoveBelt => "Move the belt",
        }
    }

    fn points(self, take_up: Option<TakeUp>) -> Vec<ConfirmPoint> {
        match self {
            Self::LockOut => isolate_points(take_up).to_vec(),
            Self::LookAgain => look_again_points(take_up),
            Self::GiveBack => WATCH.to_vec(),
            Self::MoveBelt => MOVE.to_vec(),
        }
    }
}

/// Makes sure that the machine is locked out.
pub(super) fn isolate(talk: &mut Talk, what_for: &str, refusal: Refusal) -> Result<Through, Away> {
    if talk.is_isolated() {
        return Ok(Through::All);
    }
    let procedure = match talk.sitting.pull_changed {
        true => Procedure::LookAgain,
        false => Procedure::LockOut,
    };
    let page = match procedure {
        Procedure::LookAgain => pages::look_again(talk.means.screen, what_for),
        _ => pages::isolate(talk.means.screen, what_for),
    };
    talk.say(&page);
    let through = points(talk, procedure, refusal)?;
    if through == Through::All {
        (talk.sitting.pull_changed, talk.sitting.half_given_back) = (false, false);
        talk.set_machine(Machine::LockedOut);
    }
    Ok(through)
}

/// The belt's pull was changed while the machine stood locked out: what holds it is looked at again before hands go on.
/// The locks stay on, so it is not all of the lock-out that is walked again.
pub(super) fn pull_changed(talk: &mut Talk) {
    talk.sitting.pull_changed = talk.is_isolated();
    talk.set_machine(Machine::Running);
}

/// Makes sure that the machine is given back and watched. The questions that may stop everything come next.
pub(super) fn give_back(talk: &mut Talk, what_for: &str) -> Result<Through, Away> {
    let page = pages::give_back(talk.means.screen, what_for);
    talk.say(&page);
    // The next isolation is a new one, and its cautions are read anew.
    talk.sitting.read = CautionsRead::default();
    (talk.sitting.pull_changed, talk.sitting.half_given_back) = (false, true);
    let through = points(talk, Procedure::GiveBack, Refusal::MustDo)?;
    if through == Through::All {
        talk.sitting.half_given_back = false;
        talk.set_machine(Machine::Running);
        talk.happened(Event::GivenBack)?;
        talk.sitting.stop_round_due = true;
    }
    Ok(through)
}

/// Gives the machine back so that the belt can be moved a short way; nobody is at it meanwhile.
pub(super) fn move_belt(talk: &mut Talk, title: &str, order: &str) -> Result<Through, Away> {
    let page = pages::move_belt(talk.means.screen, title, order);
    talk.say(&page);
    talk.sitting.pull_changed = false;
    let through = points(talk, Procedure::MoveBelt, Refusal::MustDo)?;
    if through == Through::All {
        talk.set_machine(Machine::Running);
    }
    Ok(through)
}

/// What came of one point.
enum PointReply {
    Confirmed,
    NotYet,
    Key(Key),
    Afresh,
}

fn points(talk: &mut Talk, procedure: Procedure, refusal: Refusal) -> Result<Through, Away> {
    let points = procedure.points(talk.now().conveyor.facts.take_up());
    let mut keys = vec![KeyKind::Back, KeyKind::Why, KeyKind::Stop, KeyKind::Help];
    if refusal != Refusal::MustDo {
        keys.insert(0, KeyKind::CantTell);
    }
    if refusal == Refusal::MayPlan {
        keys.insert(3, KeyKind::Plan);
    }
    let mut place = 0;
    // What was typed in this walk: a word said once is no answer to another point.
    let mut said: Vec<(usize, String)> = Vec::new();
    while let Some(point) = points.get(place) {
        let title = format!("{}, point {} of {}", procedure.title(), place + 1, points.len());
        let back = if place == 0 { BackKey::TakesReplyBack } else { BackKey::LeftToAsker };
        let asked = QuestionPut {
            title,
            around: String::new(),
            ask: point.ask.to_owned(),
            answers: Vec::new(),
            keys: &keys,
            own: &OWN,
        };
        let reply = match point.by {
            Confirmed::Yes(yes) => put_yes(talk, asked, yes, back)?,
            Confirmed::Word { say, such_as } => {
                let hint = format!("{say} Such as: {such_as}. Not yet: n.");
                let elsewhere =
                    |word: &String| said.iter().any(|(at, before)| *at != place && before == word);
                match put_word(talk, &asked, &hint, back)? {
                    WordReply::Word(word) if !elsewhere(&word) => {
                        said.retain(|(at, _)| *at != place);
                        said.push((place, word));
                        PointReply::Confirmed
                    }
                    WordReply::Word(_) => no_word(talk),
                    WordReply::Other(reply) => reply,
                }
            }
        };
        match reply {
            PointReply::Confirmed => {
                match procedure {
                    // From the first point on the machine is no longer the one that was given back.
                    Procedure::LockOut if place == 0 && talk.was_given_back() => {
                        talk.happened(Event::LockOutBegun)?;
                    }
                    // Nor is it isolated once the first block is off, however this walk ends.
                    Procedure::GiveBack | Procedure::MoveBelt if talk.is_isolated() => {
                        talk.set_machine(Machine::Running);
                    }
                    _ => {}
                }
                place += 1;
            }
            PointReply::NotYet => {
                let page = pages::not_yet(talk.means.screen);
                talk.say(&page);
            }
            PointReply::Key(Key::Back(steps)) => place = place.saturating_sub(steps),
            PointReply::Key(Key::CantTell) => return Ok(Through::CantNow),
            PointReply::Key(Key::Plan) => return Ok(Through::ToPlan),
            PointReply::Key(_) => {
                let page = Page::new(talk.means.screen)
                    .title("What a yes means")
                    .para(point.means)
                    .finish();
                talk.say(&page);
            }
            PointReply::Afresh if talk.took_back() => return Ok(Through::TookBack),
            PointReply::Afresh => {}
        }
    }
    Ok(Through::All)
}

/// Puts a point that a yes confirms. At the first one "back" goes back to what was before.
fn put_yes(
    talk: &mut Talk,
    mut asked: QuestionPut,
    yes: &str,
    back: BackKey,
) -> Result<PointReply, Away> {
    asked.answers = vec![yes.to_owned(), "Not yet".to_owned()];
    Ok(match talk.put_with(&asked, Some((1, 0)), back)? {
        Got::Choice(0) => PointReply::Confirmed,
        Got::Choice(_) => PointReply::NotYet,
        Got::Key(key) => PointReply::Key(key),
        Got::Typed(_) | Got::Again => PointReply::Afresh,
    })
}

/// What came of a point that a word confirms.
enum WordReply {
    Word(String),
    Other(PointReply),
}

fn put_word(
    talk: &mut Talk,
    asked: &QuestionPut,
    hint: &str,
    back: BackKey,
) -> Result<WordReply, Away> {
    Ok(match talk.put_in_words(asked, hint, back)? {
        Got::Typed(word) if is_not_yet(&word) => WordReply::Other(PointReply::NotYet),
        Got::Typed(word) if pages::is_word(&word) => WordReply::Word(word),
        Got::Typed(_) => WordReply::Other(no_word(talk)),
        Got::Key(key) => WordReply::Other(PointReply::Key(key)),
        Got::Choice(_) | Got::Again => WordReply::Other(PointReply::Afresh),
    })
}

fn no_word(talk: &mut Talk) -> PointReply {
    let page = pages::no_word(talk.means.screen);
    talk.say(&page);
    PointReply::Afresh
}

fn is_not_yet(word: &str) -> bool {
    matches!(word.trim().to_lowercase().as_str(), "n" | "no" | "not yet" | "not")
}
