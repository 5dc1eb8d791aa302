//! The conveyor seen from above: where the belt runs off, to which side, and what to move which way.

use super::page::Page;
use super::steps::MoveWords;
use super::words::Known;
use crate::rulebook::model::Meaning;
use crate::stream::paint::Ink;
use crate::trade::Side;

/// Columns of the drawing; the smallest screen shows it.
pub(super) const WIDTH: usize = 38;

/// Draws it on a page. `moves` are the things that the next work moves.
pub fn draw(page: &mut Page, known: &Known, moves: &[MoveWords]) {
    let side = known.belt_side();
    if side.is_none() && moves.is_empty() {
        // Nothing could be marked on it.
        return;
    }
    let stretch = stretch(known);
    page.blank().line(Ink::Strong, "The conveyor from above");
    let arrows: Vec<(Side, bool)> =
        moves.iter().filter_map(|m| Some((m.side?, m.toward_head?))).collect();
    let at = stretch.map_or(WIDTH / 2, |(from, to)| (from + to) / 2);
    edge(page, known, Side::Left, at, &arrows);
    for row in belt(side, stretch) {
        page.line(Ink::Plain, &row);
    }
    edge(page, known, Side::Right, at, &arrows);
    page.line(Ink::Plain, "TAIL                              HEAD");
    page.item("Off: ", &off_words(known, side, side.and(stretch)));
    for moved in moves {
        let way = match moved.toward_head {
            Some(true) => " --> toward the head",
            Some(false) => " <-- toward the tail",
            None if moved.up => " up",
            None => "",
        };
        page.item("Move: ", &format!("{}{way}", moved.what));
    }
}

/// Where along the drawing the belt is off, in columns.
pub(super) fn stretch(known: &Known) -> Option<(usize, usize)> {
    match (known.first_split(), known.place()) {
        (Some(Meaning::OnePart | Meaning::NoPattern), _) => None,
        (_, Some(Meaning::Tail)) => Some((1, 8)),
        (_, Some(Meaning::LoadZone)) => Some((5, 13)),
        (_, Some(Meaning::Head)) => Some((29, 36)),
        (_, Some(Meaning::TakeUp)) => Some((7, 15)),
        (Some(Meaning::LongStretch), Some(_)) => Some((5, 32)),
        (_, Some(_)) => Some((14, 25)),
        _ => None,
    }
}

/// One side's edge of steel with its name, and an arrow where an end on that side is to be moved.
fn edge(page: &mut Page, known: &Known, side: Side, at: usize, arrows: &[(Side, bool)]) {
    let name: String = known.sides().of(side).chars().take(14).collect();
    let mut line = format!("{:=<WIDTH$}", format!("== {name} side "));
    let mut arrow = None;
    for (_, toward_head) in arrows.iter().filter(|(on, _)| *on == side) {
        let sign = if *toward_head { "-->" } else { "<--" };
        arrow = Some(format!("{:at$}{sign}", "", at = at.saturating_sub(1)));
    }
    line.truncate(WIDTH.max(name.len()));
    match side {
        Side::Left => {
            page.line(Ink::Plain, &line);
            if let Some(arrow) = arrow {
                page.line(Ink::Strong, &arrow);
            }
        }
        Side::Right => {
            if let Some(arrow) = arrow {
                page.line(Ink::Strong, &arrow);
            }
            page.line(Ink::Plain, &line);
        }
    }
}

/// Seven rows with the belt on five of them, shifted where it is off.
fn belt(side: Option<Side>, stretch: Option<(usize, usize)>) -> Vec<String> {
    let shift = |column: usize| match (side, stretch) {
        (Some(side), Some((from, to))) if (from..=to).contains(&column) => match side {
            Side::Left => -1,
            Side::Right => 1,
        },
        _ => 0,
    };
    (0..5_i32)
        .map(|row| {
            (0..WIDTH)
                .map(|column| {
                    let lane = row - 2 - shift(column);
                    let edge_of_shift = column > 0 && shift(column) != shift(column - 1);
                    match lane {
                        -1..=1 if edge_of_shift => '|',
                        -1 | 1 => '-',
                        0 => ' ',
                        _ => ' ',
                    }
                })
                .collect::<String>()
        })
        .collect()
}

/// Where it is off, in words.
pub(super) fn off_words(
    known: &Known,
    side: Option<Side>,
    drawn: Option<(usize, usize)>,
) -> String {
    let strand =
        known.strand().map(|strand| format!("{} strand, ", strand.name())).unwrap_or_default();
    let toward = match side {
        Some(side) => format!("to the {} side", known.sides().of(side)),
        None if known.belt_side_asked() => "to no one side".to_owned(),
        None => "side not known".to_owned(),
    };
    let place = match known.first_split() {
        Some(Meaning::OnePart) => ", wherever one bit of the belt goes",
        Some(Meaning::NoPattern) => ", at no one place",
        _ if drawn.is_some() => ", where the belt is drawn aside",
        _ => "",
    };
    format!("{strand}{toward}{place}.")
}
