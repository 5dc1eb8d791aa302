//! What the gauge `spread` says.

use super::super::first_split::{Lead, Spread};
use super::super::{Kind, Words};
use super::asked::Read;
use crate::conveyor::quantity::Quantity;
use crate::say;
use crate::trade::Side;

fn toward(off_m: f64) -> (Quantity, Side) {
    (Quantity::of(Kind::Length, off_m.abs()), Side::of_sign(off_m).unwrap_or(Side::Left))
}

type Spoken = (Words, Option<&'static str>, Vec<Words>);

/// A place and a piece of belt, each by itself beyond what chance makes.
fn both(spread: &Spread, station: &str, mark: &str) -> Spoken {
    let (far, side) = toward(spread.worst_station.1);
    let (mark_far, mark_side) = toward(spread.worst_mark.1);
    let look = say!(
        "Look at rolls, pulleys and frame at station ",
        station.to_owned(),
        " and just before it, the way the belt comes."
    );
    let belt = say!(
        "Look at the belt at mark ",
        mark.to_owned(),
        ": the splice first, then bow and torn edges."
    );
    let [place, piece, _] = spread.sure;
    (
        say!(
            "It is both. At station ",
            station.to_owned(),
            " all of the belt is ",
            far,
            " to the ",
            side,
            "; the piece at mark ",
            mark.to_owned(),
            " runs ",
            mark_far,
            " to the ",
            mark_side,
            " of the rest everywhere."
        ),
        Some("both"),
        if piece > place { vec![belt, look] } else { vec![look, belt] },
    )
}

/// A piece of belt that is off wherever it goes.
fn part(spread: &Spread, mark: &str) -> Spoken {
    let (mark_far, mark_side) = toward(spread.worst_mark.1);
    (
        say!(
            "It is the belt: the piece at mark ",
            mark.to_owned(),
            " runs ",
            mark_far,
            " to the ",
            mark_side,
            " of the rest, wherever it goes."
        ),
        Some("part"),
        vec![say!(
            "Look at the belt at mark ",
            mark.to_owned(),
            ": the splice first, then bow and torn edges."
        )],
    )
}

/// The sentence, the word for the symptom, and what to do.
pub(super) fn speak(spread: &Spread, station: &str, mark: &str) -> Spoken {
    let (far, side) = toward(spread.worst_station.1);
    let look = say!(
        "Look at rolls, pulleys and frame at station ",
        station.to_owned(),
        " and just before it, the way the belt comes."
    );
    match spread.lead {
        Lead::Place => (
            say!(
                "It is the place: all of the belt is off at station ",
                station.to_owned(),
                ", by ",
                far,
                " to the ",
                side,
                "."
            ),
            Some("place"),
            vec![look],
        ),
        Lead::Stretch => (
            say!(
                "It is a long stretch: all of the belt is off at several neighbouring stations. Worst at ",
                station.to_owned(),
                ": ",
                far,
                " to the ",
                side,
                "."
            ),
            Some("stretch"),
            vec![say!(
                "Look at how the belt comes round the tail and at the loading. Then look at level and line of the frame along the stretch."
            )],
        ),
        Lead::PlaceOrStretch => (
            say!(
                "It is the place, not the belt. One place or a stretch round station ",
                station.to_owned(),
                " is too close to call: measure again with stations closer together."
            ),
            None,
            vec![look],
        ),
        Lead::Part => part(spread, mark),
        Lead::Both => both(spread, station, mark),
        Lead::Neither => (
            say!(
                "It is neither a place nor a piece of belt: the edge is never in the same place twice."
            ),
            Some("neither"),
            vec![say!(
                "Look at whether the empty belt lies on all rolls of the trough. Look also at whether the load lands in the middle all the time."
            )],
        ),
        Lead::Still => (
            say!("The edge stands still within the reading error: there is nothing to split."),
            None,
            Vec::new(),
        ),
        Lead::Unclear => (
            say!(
                "Too close to call: measure again, the same marks for 2 more belt turns. Put the further readings in the same table."
            ),
            None,
            Vec::new(),
        ),
    }
}

pub(super) fn notes(read: &Read, spread: &Spread) -> Vec<Words> {
    let mut notes = Vec::new();
    let missing = read.table.rows() * read.table.columns() - read.table.count();
    if missing > 0 {
        notes.push(say!(format!(
            "{missing} of {} cells have no reading. The split is the best fit to those that have; its shares are less sure.",
            read.table.rows() * read.table.columns()
        )));
    }
    if read.again > 0 {
        notes.push(say!(format!(
            "{} readings are of a station and mark that had one already: taken as further belt turns, and the mean used.",
            read.again
        )));
    }
    let [place, piece, _] = spread.sure;
    if !matches!(spread.lead, Lead::Still | Lead::Both) && place.min(piece) > 0.1 {
        notes.push(say!(
            "Both have a share: there is likely more than one cause. Put the larger right first, then read again."
        ));
    }
    notes.push(say!(
        "The shares add up as if place and belt did not act on each other. A belt that slips sideways can break that."
    ));
    notes
}
