//! Making the machine dead and giving it back, confirmed point by point. That it is dead is never saved.

use super::talk::{Away, Got, Talk};
use crate::ask::{Key, KeyKind};
use crate::show::asking::{Asked, OwnKey};
use crate::show::page::Page;
use crate::show::points::{self as pages, Confirmed, ISOLATE, MOVE, Point, WATCH};
use crate::visit::event::Event;

/// What the keys do at a point.
const OWN: [OwnKey; 3] = [
    (
        KeyKind::CantTell,
        "can't now",
        "It cannot be locked out now: the question behind it is left out.",
    ),
    (KeyKind::Back, "back", "One point back; at the first one, one question back."),
    (KeyKind::Why, "what yes means", "What a yes means here."),
];

/// How going through the points ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Through {
    /// Every point was confirmed.
    All,
    /// The person turned away: went back, or can't do it now.
    TurnedAway(Turned),
}

/// How somebody turned away.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Turned {
    /// It cannot be done now.
    CantNow,
    /// Replies were taken back: look afresh.
    Back,
}

/// Whether "it cannot be done now" is on offer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Refusal {
    /// It is: what is behind it can be left out.
    MayRefuse,
    /// It is not.
    MustDo,
}

/// A walk from point to point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Walk {
    LockOut,
    GiveBack,
    MoveBelt,
}

impl Walk {
    fn title(self) -> &'static str {
        match self {
            Self::LockOut => "Lock out",
            Self::GiveBack => "Give back",
            Self::MoveBelt => "Move the belt",
        }
    }

    fn points(self) -> &'static [Point] {
        match self {
            Self::LockOut => &ISOLATE,
            Self::GiveBack => &WATCH,
            Self::MoveBelt => &MOVE,
        }
    }
}

/// Makes sure that the machine is locked out.
pub(super) fn isolate(talk: &mut Talk, what_for: &str, refusal: Refusal) -> Result<Through, Away> {
    if talk.is_isolated() {
        return Ok(Through::All);
    }
    let page = pages::isolate(talk.means.screen, what_for);
    talk.say(&page);
    let through = points(talk, Walk::LockOut, refusal)?;
    if through == Through::All {
        talk.set_isolated(true);
    }
    Ok(through)
}

/// Makes sure that the machine is given back and watched. The questions that may stop everything come next.
pub(super) fn give_back(talk: &mut Talk, what_for: &str) -> Result<Through, Away> {
    let page = pages::give_back(talk.means.screen, what_for);
    talk.say(&page);
    let through = points(talk, Walk::GiveBack, Refusal::MustDo)?;
    if through == Through::All {
        talk.set_isolated(false);
        talk.happened(Event::GivenBack)?;
        talk.sitting.stop_round_due = true;
    }
    Ok(through)
}

/// Gives the machine back so that the belt can be moved a short way; nobody is at it meanwhile.
pub(super) fn move_belt(talk: &mut Talk, title: &str, order: &str) -> Result<Through, Away> {
    let page = pages::move_belt(talk.means.screen, title, order);
    talk.say(&page);
    let through = points(talk, Walk::MoveBelt, Refusal::MustDo)?;
    if through == Through::All {
        talk.set_isolated(false);
    }
    Ok(through)
}

/// What came of one point.
enum Reply {
    Confirmed,
    NotYet,
    Key(Key),
    Afresh,
}

fn points(talk: &mut Talk, walk: Walk, refusal: Refusal) -> Result<Through, Away> {
    let points = walk.points();
    let mut keys = vec![KeyKind::Back, KeyKind::Why, KeyKind::Stop, KeyKind::Help];
    if refusal == Refusal::MayRefuse {
        keys.insert(0, KeyKind::CantTell);
    }
    let mut place = 0;
    // What was typed in this walk: a word said once is no answer to another point.
    let mut said: Vec<(usize, String)> = Vec::new();
    while let Some(point) = points.get(place) {
        let title = format!("{}, point {} of {}", walk.title(), place + 1, points.len());
        match put(talk, &title, point, &keys, (place, &mut said))? {
            Reply::Confirmed => {
                match walk {
                    // From the first point on the machine is no longer the one that was given back.
                    Walk::LockOut if place == 0 && talk.was_given_back() => {
                        talk.happened(Event::LockOutBegun)?;
                    }
                    // Nor is it isolated once the first block is off, however this walk ends.
                    Walk::GiveBack | Walk::MoveBelt if talk.is_isolated() => {
                        talk.set_isolated(false);
                    }
                    _ => {}
                }
                place += 1;
            }
            Reply::NotYet => {
                let page = pages::not_yet(talk.means.screen);
                talk.say(&page);
            }
            Reply::Key(Key::Back(steps)) => place = place.saturating_sub(steps),
            Reply::Key(Key::CantTell) => return Ok(Through::TurnedAway(Turned::CantNow)),
            Reply::Key(_) => {
                let page = Page::new(talk.means.screen)
                    .title("What a yes means")
                    .para(point.means)
                    .finish();
                talk.say(&page);
            }
            Reply::Afresh if talk.took_back() => return Ok(Through::TurnedAway(Turned::Back)),
            Reply::Afresh => {}
        }
    }
    Ok(Through::All)
}

/// Puts one point. At the first one "back" goes back to what was before the walk.
fn put(
    talk: &mut Talk,
    title: &str,
    point: &Point,
    keys: &[KeyKind],
    (place, said): (usize, &mut Vec<(usize, String)>),
) -> Result<Reply, Away> {
    let mut asked = Asked {
        title: title.to_owned(),
        around: String::new(),
        ask: point.ask.to_owned(),
        answers: Vec::new(),
        keys,
        own: &OWN,
    };
    let own_back = place > 0;
    match point.by {
        Confirmed::Yes(yes) => {
            asked.answers = vec![yes.to_owned(), "Not yet".to_owned()];
            Ok(match talk.put_unless_back(&asked, Some((1, 0)), own_back)? {
                Got::Choice(0) => Reply::Confirmed,
                Got::Choice(_) => Reply::NotYet,
                Got::Key(key) => Reply::Key(key),
                Got::Typed(_) | Got::Again => Reply::Afresh,
            })
        }
        Confirmed::Word { say, such_as } => {
            let hint = format!("{say} Such as: {such_as}. Not yet: n.");
            Ok(match talk.put_in_words(&asked, &hint, own_back)? {
                Got::Typed(word) if is_not_yet(&word) => Reply::NotYet,
                Got::Typed(word)
                    if pages::is_word(&word)
                        && !said.iter().any(|(at, before)| *at != place && *before == word) =>
                {
                    said.retain(|(at, _)| *at != place);
                    said.push((place, word));
                    Reply::Confirmed
                }
                Got::Typed(_) => {
                    let page = pages::no_word(talk.means.screen);
                    talk.say(&page);
                    Reply::Afresh
                }
                Got::Key(key) => Reply::Key(key),
                Got::Choice(_) | Got::Again => Reply::Afresh,
            })
        }
    }
}

fn is_not_yet(word: &str) -> bool {
    matches!(word.trim().to_lowercase().as_str(), "n" | "no" | "not yet" | "not")
}
