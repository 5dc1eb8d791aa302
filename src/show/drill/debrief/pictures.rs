//! Pictures of a run as SVG inside a page: the belt from above before and after, without a scale, and what both
//! tail bearings carried. Their colours and strokes are set by the page's style.

use crate::trade::Side;
use std::fmt::Write as _;

use super::Debrief;
use crate::mechanics::{Line, Watched};
use crate::show::handbook::html::escape;

const WIDTH: f64 = 700.0;
/// Room for words on the left of a drawing, and on its right.
const LEAD: f64 = 92.0;
const TRAIL: f64 = 92.0;
/// From one strand to the next, and how far from a strand's middle the edge room ends in the drawing.
const STRIP: f64 = 96.0;
const ROOM: f64 = 22.0;
/// The belt is drawn off no further than so many times its edge room.
const FURTHEST: f64 = 1.6;
/// Height of the drawing of the loads.
const LOADS: f64 = 220.0;

/// One place along a strand: how far along, and the least, mean and most offset there as shares of the edge room.
#[derive(Debug, Clone, Copy)]
struct Spot {
    x_m: f64,
    least: f64,
    mean: f64,
    most: f64,
}

/// The belt as it ran before the first move.
pub(super) fn before(debrief: &Debrief<'_, '_>) -> String {
    belt(debrief, debrief.world.start().fed(), "The belt before")
}

/// The belt as it last ran.
pub(super) fn after(debrief: &Debrief<'_, '_>) -> String {
    belt(debrief, debrief.world.belt().fed(), "The belt afterwards")
}

fn belt(debrief: &Debrief<'_, '_>, watched: &Watched, title: &str) -> String {
    let line = &debrief.world.drill().line;
    let sides = debrief.names.sides();
    let mut out = opened(title, 2.0 * STRIP + 6.0);
    let strands = [
        ("carry strand, above", carry(watched, line)),
        ("return strand, below", ret(watched, line)),
    ];
    for (nth, (name, spots)) in strands.iter().enumerate() {
        let middle = STRIP * (nth as f64 + 0.5) + 12.0;
        text(&mut out, "start", 4.0, middle - 14.0, &sides.left);
        text(&mut out, "start", 4.0, middle + 24.0, &sides.right);
        text(&mut out, "mid", WIDTH / 2.0, middle - 40.0, name);
        text(&mut out, "end", LEAD - 4.0, middle + 4.0, "tail");
        text(&mut out, "start", WIDTH - TRAIL + 6.0, middle + 4.0, "head");
        strip(&mut out, spots, line.centres_m, middle);
    }
    out.push_str("</svg>\n");
    out
}

/// The belt enters the head on the carry strand and the tail on the return strand.
fn carry(watched: &Watched, line: &Line) -> Vec<Spot> {
    let stations = line.carry.stations_m.iter().copied();
    let places = stations.chain([line.centres_m]);
    let rows = watched.carry.iter().chain([&watched.head]);
    spots(places, rows, line)
}

fn ret(watched: &Watched, line: &Line) -> Vec<Spot> {
    let stations = line.ret.stations_m.iter().copied();
    let places = [0.0].into_iter().chain(stations);
    let rows = [&watched.tail].into_iter().chain(&watched.ret);
    spots(places, rows, line)
}

fn spots<'w>(
    places_m: impl Iterator<Item = f64>,
    rows: impl Iterator<Item = &'w Vec<f64>>,
    line: &Line,
) -> Vec<Spot> {
    let room_m = line.edge_room_m().max(0.005);
    places_m
        .zip(rows)
        .filter_map(|(x_m, row)| {
            let first = row.first()? / room_m;
            let shares = row.iter().map(|off_m| off_m / room_m);
            let (least, most, sum) = shares.fold((first, first, 0.0), |(least, most, sum), s| {
                (s.min(least), s.max(most), sum + s)
            });
            Some(Spot { x_m, least, mean: sum / row.len() as f64, most })
        })
        .collect()
}

fn strip(out: &mut String, spots: &[Spot], centres_m: f64, middle: f64) {
    let (x0, x1) = (LEAD, WIDTH - TRAIL);
    let x = |spot: &Spot| x0 + (x1 - x0) * (spot.x_m / centres_m).clamp(0.0, 1.0);
    // Left is up: the picture looks down, from tail to head.
    let y = |share: f64| middle - ROOM * share.clamp(-FURTHEST, FURTHEST);
    let _ = writeln!(
        out,
        "<rect class=\"room\" x=\"{x0:.0}\" y=\"{:.1}\" width=\"{:.0}\" height=\"{:.1}\"/>\
         <path class=\"middle\" d=\"M{x0:.0} {middle:.1}H{x1:.0}\"/>",
        middle - ROOM,
        x1 - x0,
        2.0 * ROOM
    );
    let points = |of: fn(&Spot) -> f64, spots: &mut dyn Iterator<Item = &Spot>| {
        spots.fold(String::new(), |mut points, spot| {
            let _ = write!(points, "{:.1},{:.1} ", x(spot), y(of(spot)));
            points
        })
    };
    let most = points(|spot| spot.most, &mut spots.iter());
    let least = points(|spot| spot.least, &mut spots.iter().rev());
    let mean = points(|spot| spot.mean, &mut spots.iter());
    let _ = writeln!(
        out,
        "<polygon class=\"swing\" points=\"{most}{least}\"/><polyline class=\"belt\" points=\"{mean}\"/>"
    );
    for spot in spots {
        for share in [spot.most, spot.least] {
            if share.abs() >= 1.0 {
                let (x, y) = (x(spot), y(share));
                let _ = writeln!(out, "<path class=\"rubs\" d=\"M{x:.1} {:.1}v8\"/>", y - 4.0);
            }
        }
    }
}

/// What both tail bearings carried, step by step, as multiples of all in order.
pub(super) fn loads(debrief: &Debrief<'_, '_>) -> String {
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
    let (x0, x1, top, bottom) = (LEAD, WIDTH - TRAIL, 16.0, LOADS - 36.0);
    let each = (x1 - x0) / ratios.len() as f64;
    let y = |ratio: f64| bottom - (bottom - top) * (ratio / (1.05 * most)).clamp(0.0, 1.0);
    let mut out = opened("What the tail bearings carried", LOADS);
    let _ = writeln!(
        out,
        "<path class=\"axis\" d=\"M{x0:.0} {top:.0}V{bottom:.0}H{x1:.0}\"/>\
         <path class=\"middle\" d=\"M{x0:.0} {:.1}H{x1:.0}\"/>",
        y(1.0)
    );
    for whole in 0..=most.floor().min(9.0) as u32 {
        let at = y(f64::from(whole));
        let says = match whole {
            1 => "in order: 1".to_owned(),
            n => n.to_string(),
        };
        text(&mut out, "end", x0 - 6.0, at + 4.0, &says);
    }
    let sides = debrief.names.sides();
    let last = ratios.last().copied().unwrap_or((1.0, 1.0));
    // Names at the ends of the lines keep clear of each other.
    let apart = if (y(last.0) - y(last.1)).abs() < 14.0 {
        if last.0 >= last.1 { 7.0 } else { -7.0 }
    } else {
        0.0
    };
    for (side, class, moved) in [(Side::Left, "left", -apart), (Side::Right, "right", apart)] {
        let of = |pair: &(f64, f64)| match side {
            Side::Left => pair.0,
            Side::Right => pair.1,
        };
        let mut path = String::new();
        for (nth, pair) in ratios.iter().enumerate() {
            let begin = if nth == 0 { 'M' } else { 'L' };
            let (from, at) = (x0 + each * nth as f64, y(of(pair)));
            let _ = write!(path, "{begin}{from:.1} {at:.1}H{:.1}", from + each);
        }
        let _ = writeln!(out, "<path class=\"load {class}\" d=\"{path}\"/>");
        let at = y(of(&last)) + 4.0 + moved;
        text(&mut out, "start", x1 + 6.0, at, sides.of(side));
    }
    text(&mut out, "start", x0, LOADS - 14.0, "start");
    let moves = format!("{} moves", world.steps().len());
    text(&mut out, "end", x1, LOADS - 14.0, &moves);
    out.push_str("</svg>\n");
    out
}

fn opened(title: &str, height: f64) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH:.0} {height:.0}\" role=\"img\">\n<title>{}</title>\n",
        escape(title)
    )
}

/// Words in a drawing; `anchor` is where they are held: start, mid or end.
fn text(out: &mut String, anchor: &str, x: f64, y: f64, words: &str) {
    let _ = writeln!(
        out,
        "<text class=\"{anchor}\" x=\"{x:.1}\" y=\"{y:.1}\">{}</text>",
        escape(words)
    );
}
