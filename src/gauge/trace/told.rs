//! What the gauge `trace` says: the sentence, what to look at, and what it rests on.

use super::{BELT_SILENT, Moves};
use crate::conveyor::quantity::Quantity;
use crate::gauge::readings::Kind;
use crate::gauge::rhythm::{Body, Rhythm, Weave};
use crate::gauge::words::Words;
use crate::say;

/// What a part is called.
pub(super) fn name(body: Body) -> &'static str {
    match body {
        Body::Belt => "the belt",
        Body::TailPulley => "the tail pulley",
        Body::HeadPulley => "the head pulley",
        Body::CarryRoll => "the carry rolls",
        Body::ReturnRoll => "the return rolls",
    }
}

pub(super) fn share_id(body: Body) -> &'static str {
    match body {
        Body::Belt => "share-belt",
        Body::TailPulley => "share-tail-pulley",
        Body::HeadPulley => "share-head-pulley",
        Body::CarryRoll => "share-carry-roll",
        Body::ReturnRoll => "share-return-roll",
    }
}

pub(super) fn amplitude_id(body: Body) -> &'static str {
    match body {
        Body::Belt => "amplitude-belt",
        Body::TailPulley => "amplitude-tail-pulley",
        Body::HeadPulley => "amplitude-head-pulley",
        Body::CarryRoll => "amplitude-carry-roll",
        Body::ReturnRoll => "amplitude-return-roll",
    }
}

pub(super) fn turn_id(body: Body) -> &'static str {
    match body {
        Body::Belt => "turn-belt",
        Body::TailPulley => "turn-tail-pulley",
        Body::HeadPulley => "turn-head-pulley",
        Body::CarryRoll => "turn-carry-roll",
        Body::ReturnRoll => "turn-return-roll",
    }
}

pub(super) fn amplitude_words(body: Body, waves: usize) -> Words {
    if waves == 1 {
        say!("largest wave of ", name(body), ", one per turn: to either side")
    } else {
        say!("largest wave of ", name(body), format!(", {waves} per turn: to either side"))
    }
}

fn of(weave: &Weave, body: Body) -> Option<&Rhythm> {
    weave.rhythms.iter().find(|it| it.body == body)
}

/// What is said of a part that the edge keeps time with. A jump is told as a jump: its largest single wave says nothing
/// of how far the edge goes.
fn keeps_time(weave: &Weave, body: Body, jump_m: Option<f64>) -> Words {
    let rhythm = of(weave, body);
    let share = Quantity::of(Kind::Percent, rhythm.map_or(0.0, |it| it.share));
    if let Some(jump_m) = jump_m {
        return say!(
            "The edge jumps aside by ",
            Quantity::of(Kind::Length, jump_m),
            " and comes back, once per belt turn: that is ",
            share,
            " of its movement."
        );
    }
    let (waves, amplitude_m) = rhythm.map_or((1, 0.0), Rhythm::largest);
    let often =
        if waves == 1 { "once per turn.".to_owned() } else { format!("{waves} times per turn.") };
    say!(
        "The edge keeps time with ",
        name(body),
        ": that is ",
        share,
        " of its movement, ",
        Quantity::of(Kind::Length, amplitude_m),
        " to either side, ",
        often
    )
}

/// The sentence, and what to look at.
pub(super) fn speak(weave: &Weave, moves: Moves, jump_m: Option<f64>) -> (Words, Vec<Words>) {
    match moves {
        Moves::With(body) => {
            // Those that turn alike are under the same suspicion.
            let alike = weave.rhythms.iter().filter(|it| it.like == Some(body));
            let mut work = vec![look(body, of(weave, body))];
            work.extend(alike.map(|it| look(it.body, Some(it))));
            (keeps_time(weave, body, jump_m), work)
        }
        Moves::Slow => (
            say!(
                "The edge drifts slower than the belt turns: that is ",
                Quantity::of(Kind::Percent, weave.slow_share),
                " of its movement."
            ),
            vec![say!(
                "Look for what changes with time: load and feed, weather, a take-up that creeps, dirt that builds up."
            )],
        ),
        Moves::None => (
            say!("The edge keeps time with nothing that turns here."),
            vec![say!(
                "Look at whether the empty belt lies on all rolls of the trough, and whether the feed is steady and central."
            )],
        ),
        Moves::Still => (
            say!("The edge moves no more than the reading error: there is no weave here."),
            Vec::new(),
        ),
        Moves::Unclear => (
            say!(
                "No part leads clearly: too close to call. Measure again for 12 belt turns or more, with the load steady."
            ),
            Vec::new(),
        ),
        Moves::BeltOr(body, long_s) => (belt_or(body, long_s), Vec::new()),
    }
}

fn belt_or(body: Body, long_s: f64) -> Words {
    if long_s < 1e6 {
        say!(
            "The line may be that of ",
            name(body),
            " or of the belt: too close to call. Measure again for ",
            Quantity::of(Kind::Time, long_s),
            " without stopping."
        )
    } else {
        say!(
            "The line may be that of ",
            name(body),
            " or of the belt, which it meets at the same place each turn: too close to call. Look at both."
        )
    }
}

/// What a rhythm points to.
fn look(body: Body, rhythm: Option<&Rhythm>) -> Words {
    match body {
        Body::Belt => {
            if rhythm.is_some_and(Rhythm::jumps) {
                say!(
                    "It jumps and comes back once per belt turn: look at the splice, whether it is square."
                )
            } else {
                say!(
                    "It weaves slowly, once or twice per belt turn: look for a bowed length of belt and a torn edge; then at the splice."
                )
            }
        }
        Body::TailPulley | Body::HeadPulley => say!(
            "With the machine locked out look at ",
            name(body),
            ": dirt or worn lagging on one part of its face, a bent shaft, a loose hub."
        ),
        Body::CarryRoll | Body::ReturnRoll => say!(
            "With the machine locked out look at ",
            name(body),
            " near this point and just before it: caked, worn or bent ones."
        ),
    }
}

/// What it rests on and what it leaves out.
pub(super) fn notes(weave: &Weave, speed_known: bool, other_turn_s: Option<f64>) -> Vec<Words> {
    let mut notes = Vec::new();
    if let Some(turn_s) = other_turn_s {
        notes.push(say!(
            "Belt length and speed would make a turn ",
            Quantity::of(Kind::Time, turn_s),
            ". The timed turn is believed: check length and speed."
        ));
    }
    if !speed_known {
        notes.push(say!("Without belt length or speed nothing can be said of pulleys and rolls."));
    } else if weave.rhythms.len() + weave.left_out.len() < 2 {
        notes.push(say!("No diameters were given, so pulleys and rolls were not looked for."));
    }
    for left_out in &weave.left_out {
        notes.push(say!(
            "Too quick for this record, and perhaps mistaken for something slower: ",
            name(left_out.body),
            ". To see it take a reading every ",
            Quantity::of(Kind::Time, left_out.needs_every_s),
            " or closer."
        ));
    }
    for rhythm in weave.rhythms.iter().filter(|it| it.share >= BELT_SILENT) {
        if let Some(other) = rhythm.like {
            notes.push(say!(format!(
                "This record cannot tell {} from {}: they turn too nearly alike.",
                name(other),
                name(rhythm.body)
            )));
        }
        if let Some((waves, _)) = rhythm.like_belt {
            notes.push(say!(format!(
                "The line of {} lies where the belt would have {waves} waves per turn. It counts for the belt only if the belt shows slower waves too.",
                name(rhythm.body)
            )));
        }
    }
    if weave.turns < 12.0 {
        notes.push(say!(format!(
            "The record spans {:.1} belt turns. 12 or more tell lines apart better.",
            weave.turns
        )));
    }
    notes.push(say!(
        "A part keeps time with the weave; that it makes it is likely, not certain. Look before you work."
    ));
    notes
}
