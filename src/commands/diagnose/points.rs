//! Isolation and giving back, confirmed point by point. Nothing of it is ever saved.

use super::talk::{Away, Got, Talk};
use crate::ask::{Key, KeyKind};
use crate::show::asking::{Asked, OwnKey};
use crate::show::page::Page;
use crate::show::work::{self as pages, GIVE_BACK, ISOLATE, Point};

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

/// Makes sure that the machine is locked out. `cant` offers the key for "it cannot be done now".
pub(super) fn isolate(talk: &mut Talk, what_for: &str, cant: bool) -> Result<Through, Away> {
    if talk.is_isolated() {
        return Ok(Through::All);
    }
    let page = pages::isolate(talk.means.screen, what_for);
    talk.say(&page);
    let through = points(talk, "Lock out", &ISOLATE, cant)?;
    if through == Through::All {
        talk.set_isolated(true);
    }
    Ok(through)
}

/// Makes sure that the machine is given back and watched.
pub(super) fn give_back(talk: &mut Talk, what_for: &str) -> Result<Through, Away> {
    let page = pages::give_back(talk.means.screen, what_for);
    talk.say(&page);
    let through = points(talk, "Give back", &GIVE_BACK, false)?;
    if through == Through::All {
        talk.set_isolated(false);
    }
    Ok(through)
}

fn points(talk: &mut Talk, title: &str, points: &[Point], cant: bool) -> Result<Through, Away> {
    let mut keys = vec![KeyKind::Back, KeyKind::Why, KeyKind::Stop, KeyKind::Help];
    if cant {
        keys.insert(0, KeyKind::CantTell);
    }
    let mut place = 0;
    while let Some(point) = points.get(place) {
        let asked = Asked {
            title: format!("{title}, point {} of {}", place + 1, points.len()),
            around: String::new(),
            ask: point.ask.to_owned(),
            answers: vec![point.yes.to_owned(), "Not yet".to_owned()],
            keys: &keys,
            own: &OWN,
        };
        match talk.put_unless_back(&asked, Some((1, 0)), place > 0)? {
            Got::Choice(0) => place += 1,
            Got::Choice(_) => {
                let page = pages::not_yet(talk.means.screen);
                talk.say(&page);
            }
            Got::Key(Key::Back(steps)) => place = place.saturating_sub(steps),
            Got::Key(Key::CantTell) => return Ok(Through::TurnedAway(Turned::CantNow)),
            Got::Key(_) => {
                let page = Page::new(talk.means.screen)
                    .title("What a yes means")
                    .para(point.means)
                    .finish();
                talk.say(&page);
            }
            Got::Again if talk.took_back() => return Ok(Through::TurnedAway(Turned::Back)),
            Got::Again => {}
        }
    }
    Ok(Through::All)
}
