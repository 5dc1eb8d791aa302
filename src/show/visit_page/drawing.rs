//! The conveyor from above as a drawing: where the belt runs off, and to which side.

use maud::{Markup, html};

use crate::show::handbook::html::END;
use crate::show::map;
use crate::show::words::Known;
use crate::trade::Side;

const WIDTH: f64 = 700.0;
const HEIGHT: f64 = 190.0;
/// The belt lies from here to there, and between these edges.
const FROM: f64 = 20.0;
const TO: f64 = 680.0;
const LEFT_STEEL: f64 = 42.0;
const RIGHT_STEEL: f64 = 138.0;
const EDGES: (f64, f64) = (58.0, 122.0);
/// How far aside it is drawn, and how long it takes to get there.
const ASIDE: f64 = 12.0;
const BEND: f64 = 24.0;

/// The drawing; empty where neither side nor place is known.
pub(super) fn svg(known: &Known) -> Markup {
    let side = known.belt_side();
    if side.is_none() && map::stretch(known).is_none() {
        return Markup::default();
    }
    let columns = map::WIDTH as f64;
    let along = |column: usize| FROM + (TO - FROM) * column as f64 / columns;
    let stretch = map::stretch(known).map(|(from, to)| (along(from), along(to + 1)));
    let aside = match side {
        Some(Side::Left) => -ASIDE,
        Some(Side::Right) => ASIDE,
        None => 0.0,
    };
    let edge = |y: f64| match stretch {
        None => format!("{FROM:.0} {y:.0}L{TO:.0} {y:.0}"),
        Some((from, to)) => format!(
            "{FROM:.0} {y:.0}L{:.0} {y:.0}L{from:.0} {off:.0}L{to:.0} {off:.0}L{:.0} {y:.0}L{TO:.0} {y:.0}",
            from - BEND,
            to + BEND,
            off = y + aside
        ),
    };
    let back = |y: f64| edge(y).split('L').rev().collect::<Vec<_>>().join("L");
    let sides = known.sides();
    let mut off = map::off_words(known, side, side.and(map::stretch(known)));
    if side.is_none() {
        off.push_str(" The place is marked on both sides.");
    }
    html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format_args!("0 0 {WIDTH:.0} {HEIGHT:.0}")) role="img" { (END)
            title { "The conveyor from above. Off: " (off) } (END)
            (words("start", FROM, LEFT_STEEL - 12.0, &format!("{} side", sides.left)))
            (words("start", FROM, RIGHT_STEEL + 24.0, &format!("{} side", sides.right)))
            (words("end", TO, LEFT_STEEL - 12.0, "HEAD"))
            (words("mid", WIDTH / 2.0, LEFT_STEEL - 12.0, "from above; no scale"))
            path class="steel" d=(format_args!("M{FROM:.0} {LEFT_STEEL:.0}H{TO:.0}M{FROM:.0} {RIGHT_STEEL:.0}H{TO:.0}")) {} (END)
            path class="belt" d=(format_args!("M{}L{}Z", edge(EDGES.0), back(EDGES.1))) {} (END)
            @if let Some((from, to)) = stretch {
                @for (at, steel) in [(Side::Left, LEFT_STEEL + 6.0), (Side::Right, RIGHT_STEEL - 6.0)] {
                    // Where nobody has told the side it may be either.
                    @if side.is_none_or(|side| side == at) {
                        path class="off" d=(format_args!("M{from:.0} {steel:.0}H{to:.0}")) {} (END)
                    }
                }
            }
            (words("start", FROM, HEIGHT - 8.0, &format!("TAIL. Off: {off}")))
        } (END)
    }
}

fn words(anchor: &str, x: f64, y: f64, words: &str) -> Markup {
    html! {
        text class=(anchor) x=(format_args!("{x:.0}")) y=(format_args!("{y:.0}")) { (words) } (END)
    }
}
