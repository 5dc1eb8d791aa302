//! A debrief as one page for a browser, to print or keep: no script, nothing from outside, well-formed as XML too.

use maud::{Markup, html};

use super::marks::{self, Mark};
use super::path::{EXPERTS, Paths, YOURS, paths};
use super::{Debrief, pictures, told};
use crate::drill::frames::Frame;
use crate::show::chance::{count, minutes};
use crate::show::drill::places::Placed;
use crate::show::handbook::html::{self as handbook, END};

/// Styles besides the handbook's own.
pub(super) const STYLE: &str = include_str!("debrief.css");
/// More pictures than this of one run nobody looks through; the last is always among them.
const MOST_PICTURES: usize = 24;

/// The page.
pub fn write(debrief: &Debrief<'_, '_>) -> String {
    let drill = debrief.world.drill();
    let body = html! {
        (handbook::sheet(&told::worth(debrief)))
        @if debrief.is_over() { (drawings(debrief)) (side_by_side(&paths(debrief))) }
        (handbook::sheet(&told::afterwards(debrief)))
    };
    handbook::page(&format!("Run {}: {}", debrief.record.run, drill.title), &[STYLE], &body)
}

fn drawings(debrief: &Debrief<'_, '_>) -> Markup {
    let sides = debrief.names.sides();
    let world = debrief.world;
    let nothing_yet = vec![false; world.drill().hidden.len()];
    let bad = marks::hidden(debrief, &nothing_yet);
    html! {
        h3 { "The belt from above" } (END)
        p {
            "Grey: where the middle of the belt may run before an edge comes near steel. Line: where it runs, on the mean; shade: how far it swings. A stroke across marks where it has no edge room left. "
            (sides.left)
            " is up. The drawing has no scale: sides and shapes can be trusted, distances only roughly."
        } (END)
        p { "Letters above a strand: what was hidden. Numbers below it: your moves at that place, as they are counted below." } (END)
        h4 { "Before" } (END)
        (pictures::belt(debrief, world.start().fed(), &bad, "The belt before"))
        (legend(&bad))
        (replay(debrief))
        h3 { "What the tail bearings carried, move by move" } (END)
        p { "As multiples of the load with all in order. A bearing that carries more lasts shorter by about the cube of it." } (END)
        (pictures::loads(debrief))
    }
}

/// The belt after each move that let it run, or, where nobody made the run again for it, as it last ran.
fn replay(debrief: &Debrief<'_, '_>) -> Markup {
    let world = debrief.world;
    let after = debrief.frames.get(1..).unwrap_or_default();
    if after.is_empty() {
        let left = marks::hidden(debrief, world.put_right());
        return html! {
            h4 { "As it last ran" } (END)
            (pictures::belt(debrief, world.belt().fed(), &left, "The belt afterwards"))
        };
    }
    let left_out = after.len().saturating_sub(MOST_PICTURES);
    let shown = after.iter().enumerate().skip(left_out);
    html! {
        @if left_out > 0 {
            p { (count(left_out, "picture", "pictures")) " before these are left out." } (END)
        }
        @for (nth, frame) in shown {
            @let before = debrief.frames.get(nth).map_or(0, |frame| frame.moves);
            (one(debrief, before, frame))
        }
    }
}

fn one(debrief: &Debrief<'_, '_>, before: usize, frame: &Frame) -> Markup {
    let title = format!("After move {}, {} gone", frame.moves, minutes(frame.minutes));
    let mut all = marks::hidden(debrief, &frame.put_right);
    let moves = marks::moves(debrief, before, frame);
    all.extend(moves.iter().cloned());
    let steps = debrief.world.steps().iter().enumerate();
    let did = steps.skip(before).take(frame.moves.saturating_sub(before)).map(|(nth, step)| {
        format!("{} {}", nth + 1, debrief.names.did(debrief.world.book(), &step.what))
    });
    html! {
        div.frame { (END)
            h4 { (title) } (END)
            p.did { (did.collect::<Vec<_>>().join(". ")) "." } (END)
            (pictures::belt(debrief, frame.belt.fed(), &all, &title))
            p { (verdict(debrief, frame)) } (END)
        } (END)
    }
}

/// How the belt runs in a picture, in a sentence or two.
fn verdict(debrief: &Debrief<'_, '_>, frame: &Frame) -> String {
    let left = marks::hidden(debrief, &frame.put_right);
    let names: Vec<&str> = left.iter().map(|mark| mark.name.as_str()).collect();
    let runs = if frame.runs_true { "It runs true." } else { "It does not run true." };
    match names.is_empty() {
        true => format!("{runs} Nothing hidden is left."),
        false => format!("{runs} Still there: {}.", names.join(", ")),
    }
}

/// What the letters stand for.
fn legend(marks: &[Mark]) -> Markup {
    html! {
        @if !marks.is_empty() {
            ul.marks { (END)
                @for mark in marks {
                    li {
                        strong { (mark.name) } ": " (mark.words)
                        @if mark.placed == Placed::OnTheBelt { " (goes round with the belt)" }
                    } (END)
                }
            } (END)
        }
    }
}

fn side_by_side(paths: &Paths) -> Markup {
    html! {
        h3 { "Both ways, step by step" } (END)
        div.paths { (END)
            @for (head, lines) in [(YOURS, &paths.yours), (EXPERTS, &paths.experts)] {
                div { (END)
                    h4 { (head) } (END)
                    ol { (END) @for line in lines { li { (line) } (END) } } (END)
                } (END)
            }
        } (END)
    }
}
