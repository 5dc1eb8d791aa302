//! Pictures of a run as SVG inside a page: the belt from above at the start and after each move that let it run, with
//! what is hidden and where hands were; and what both tail bearings carried. No scale. Colours and strokes are set by
//! the page's style. All of it is as narrow as a phone, so that words keep their size there.

use crate::trade::{Side, Strand};
use std::fmt::Write as _;

use maud::{Markup, html};

use super::Debrief;
use super::marks::{Mark, spread};
use crate::mechanics::{Line, Watched};
use crate::show::handbook::html::END;

/// A phone's width without its margins is about this many pixels.
pub(super) const WIDTH: f64 = 380.0;
/// From where to where the strands are drawn.
pub(super) const ALONG: (f64, f64) = (38.0, 338.0);
/// From one strand to the next, where its middle is below its beginning, and how far from there the edge room ends.
const STRIP: f64 = 122.0;
const MIDDLE: f64 = 66.0;
const ROOM: f64 = 20.0;
/// Below the beginning of a strand: its name, the letters of what is hidden, the numbers of the moves.
const NAME: f64 = 14.0;
const LETTERS: f64 = 32.0;
const NUMBERS: f64 = 112.0;
/// The belt is drawn off no further than so many times its edge room.
const FURTHEST: f64 = 1.6;
/// Height of the drawing of the loads.
const LOADS: f64 = 200.0;

/// One place along a strand: how far along, and the least, mean and most offset there as shares of the edge room.
#[derive(Debug, Clone, Copy)]
struct OffsetSpot {
    x_m: f64,
    least: f64,
    mean: f64,
    most: f64,
}

/// The belt as it ran at one moment, with what was hidden then and the moves made before.
pub(super) fn belt(
    debrief: &Debrief<'_, '_>,
    watched: &Watched,
    marks: &[Mark],
    title: &str,
) -> Markup {
    let line = &debrief.world.drill().line;
    let strands = [
        (Strand::Carry, "carry strand, above", carry(watched, line)),
        (Strand::Return, "return strand, below", ret(watched, line)),
    ];
    let drawn = html! {
        @for (nth, (strand, name, spots)) in strands.iter().enumerate() {
            @let top = STRIP * nth as f64;
            (text("start", 2.0, top + NAME, name))
            (text("end", ALONG.0 - 5.0, top + MIDDLE + 4.0, "tail"))
            (text("start", ALONG.1 + 5.0, top + MIDDLE + 4.0, "head"))
            (strip(spots, line.centres_m, top + MIDDLE))
            (marked(marks, *strand, line.centres_m, top))
        }
    };
    picture(title, 2.0 * STRIP + 2.0, &drawn)
}

/// Letters above the strand for what is hidden, numbers below it for moves.
fn marked(marks: &[Mark], strand: Strand, centres_m: f64, top: f64) -> Markup {
    let x = |at_m: f64| ALONG.0 + (ALONG.1 - ALONG.0) * (at_m / centres_m).clamp(0.0, 1.0);
    let row = |hidden: bool| {
        let here = marks.iter().filter(|mark| mark.hidden == hidden);
        let here =
            here.filter_map(|mark| Some((x(mark.placed.middle_m(strand, centres_m)?), mark)));
        spread(here.collect(), ALONG)
    };
    html! {
        @for (at, drawn_at, mark) in row(true) {
            (path("bad", &format!("M{at:.1} {:.1}l-5 -9h10z", top + MIDDLE - ROOM)))
            (text("mid mark", drawn_at, top + LETTERS, &mark.name))
        }
        @for (at, drawn_at, mark) in row(false) {
            (path("hand", &format!("M{at:.1} {:.1}l-5 9h10z", top + MIDDLE + ROOM)))
            (text("mid mark", drawn_at, top + NUMBERS, &mark.name))
        }
    }
}

/// The belt enters the head on the carry strand and the tail on the return strand.
fn carry(watched: &Watched, line: &Line) -> Vec<OffsetSpot> {
    let stations = line.carry.stations_m.iter().copied();
    let places = stations.chain([line.centres_m]);
    let rows = watched.carry.iter().chain([&watched.head]);
    spots(places, rows, line)
}

fn ret(watched: &Watched, line: &Line) -> Vec<OffsetSpot> {
    let stations = line.ret.stations_m.iter().copied();
    let places = [0.0].into_iter().chain(stations);
    let rows = [&watched.tail].into_iter().chain(&watched.ret);
    spots(places, rows, line)
}

fn spots<'w>(
    places_m: impl Iterator<Item = f64>,
    rows: impl Iterator<Item = &'w Vec<f64>>,
    line: &Line,
) -> Vec<OffsetSpot> {
    let room_m = line.edge_room_m().max(0.005);
    places_m
        .zip(rows)
        .filter_map(|(x_m, row)| {
            let first = row.first()? / room_m;
            let shares = row.iter().map(|off_m| off_m / room_m);
            let (least, most, sum) = shares.fold((first, first, 0.0), |(least, most, sum), s| {
                (s.min(least), s.max(most), sum + s)
            });
            Some(OffsetSpot { x_m, least, mean: sum / row.len() as f64, most })
        })
        .collect()
}

fn strip(spots: &[OffsetSpot], centres_m: f64, middle: f64) -> Markup {
    let (x0, x1) = ALONG;
    let x = |spot: &OffsetSpot| x0 + (x1 - x0) * (spot.x_m / centres_m).clamp(0.0, 1.0);
    // Left is up: the picture looks down, from tail to head.
    let y = |share: f64| middle - ROOM * share.clamp(-FURTHEST, FURTHEST);
    let points = |of: fn(&OffsetSpot) -> f64, spots: &mut dyn Iterator<Item = &OffsetSpot>| {
        spots.fold(String::new(), |mut points, spot| {
            let _ = write!(points, "{:.1},{:.1} ", x(spot), y(of(spot)));
            points
        })
    };
    let most = points(|spot| spot.most, &mut spots.iter());
    let least = points(|spot| spot.least, &mut spots.iter().rev());
    let mean = points(|spot| spot.mean, &mut spots.iter());
    let edges = spots.iter().flat_map(|spot| [(spot, spot.most), (spot, spot.least)]);
    let rubs = edges.filter(|(_, share)| share.abs() >= 1.0);
    html! {
        rect.room x=(format_args!("{x0:.0}")) y=(format_args!("{:.1}", middle - ROOM))
            width=(format_args!("{:.0}", x1 - x0)) height=(format_args!("{:.1}", 2.0 * ROOM)) {}
        (path("middle", &format!("M{x0:.0} {middle:.1}H{x1:.0}")))
        polygon.swing points=(format_args!("{most}{least}")) {}
        polyline.belt points=(mean) {} (END)
        @for (spot, share) in rubs {
            (path("rubs", &format!("M{:.1} {:.1}v8", x(spot), y(share) - 4.0)))
        }
    }
}

/// Where the drawing of the loads stands: from left to right, from top to bottom.
const LOADS_X: (f64, f64) = (88.0, 300.0);
const LOADS_Y: (f64, f64) = (16.0, LOADS - 36.0);

/// What both tail bearings carried, step by step, as multiples of all in order.
pub(super) fn loads(debrief: &Debrief<'_, '_>) -> Markup {
    let world = debrief.world;
    let in_order_n = debrief.score.left.in_order_n;
    let start = world.start().loads();
    let steps = world.steps().iter().map(|step| step.bearings_n);
    let ratios: Vec<(f64, f64)> = [(start.left_n, start.right_n)]
        .into_iter()
        .chain(steps)
        .map(|(left, right)| (left / in_order_n, right / in_order_n))
        .collect();
    let most = ratios.iter().fold(1.5_f64, |most, (left, right)| most.max(*left).max(*right));
    let ((x0, x1), (top, bottom)) = (LOADS_X, LOADS_Y);
    let y = |ratio: f64| bottom - (bottom - top) * (ratio / (1.05 * most)).clamp(0.0, 1.0);
    let scale = |whole: u32| if whole == 1 { "in order: 1".to_owned() } else { whole.to_string() };
    let sides = debrief.names.sides();
    let last = ratios.last().copied().unwrap_or((1.0, 1.0));
    // Names at the ends of the lines keep clear of each other.
    let apart = if (y(last.0) - y(last.1)).abs() < 14.0 {
        if last.0 >= last.1 { 7.0 } else { -7.0 }
    } else {
        0.0
    };
    let lines = [(Side::Left, "load left", -apart), (Side::Right, "load right", apart)];
    let of = |side: Side, pair: &(f64, f64)| if side == Side::Left { pair.0 } else { pair.1 };
    let drawn = html! {
        (path("axis", &format!("M{x0:.0} {top:.0}V{bottom:.0}H{x1:.0}")))
        (path("middle", &format!("M{x0:.0} {:.1}H{x1:.0}", y(1.0))))
        @for whole in 0..=most.floor().min(9.0) as u32 {
            (text("end", x0 - 6.0, y(f64::from(whole)) + 4.0, &scale(whole)))
        }
        @for (side, class, moved) in lines {
            (path(class, &stairs(ratios.iter().map(|pair| y(of(side, pair))))))
            (text("start", x1 + 6.0, y(of(side, &last)) + 4.0 + moved, &cut(sides.of(side), 10)))
        }
        (text("start", x0, LOADS - 14.0, "start"))
        (text("end", x1, LOADS - 14.0, &format!("{} moves", world.steps().len())))
    };
    picture("What the tail bearings carried", LOADS, &drawn)
}

/// A name that has room for so many letters only.
fn cut(name: &str, most: usize) -> String {
    match name.chars().count() <= most {
        true => name.to_owned(),
        false => name.chars().take(most - 1).chain(['~']).collect(),
    }
}

/// A line that holds each height for one move.
fn stairs(heights: impl ExactSizeIterator<Item = f64>) -> String {
    let (x0, x1) = LOADS_X;
    let each = (x1 - x0) / heights.len() as f64;
    let mut path = String::new();
    for (nth, at) in heights.enumerate() {
        let begin = if nth == 0 { 'M' } else { 'L' };
        let from = x0 + each * nth as f64;
        let _ = write!(path, "{begin}{from:.1} {at:.1}H{:.1}", from + each);
    }
    path
}

fn picture(title: &str, height: f64, drawn: &Markup) -> Markup {
    html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format_args!("0 0 {WIDTH:.0} {height:.0}")) role="img" { (END)
            title { (title) } (END)
            (drawn)
        } (END)
    }
}

fn path(class: &str, d: &str) -> Markup {
    html! { path class=(class) d=(d) {} (END) }
}

/// Words in a drawing; the class says where they are held: start, mid or end.
fn text(class: &str, x: f64, y: f64, words: &str) -> Markup {
    html! {
        text class=(class) x=(format_args!("{x:.1}")) y=(format_args!("{y:.1}")) { (words) } (END)
    }
}
