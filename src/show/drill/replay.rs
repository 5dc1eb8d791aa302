//! A run picture by picture, as text: what was done, and how the belt ran then.

use super::belt;
use super::words::DrillNames;
use crate::drill::World;
use crate::drill::frames::Frame;
use crate::show::chance::{count, minutes};
use crate::show::page::{Page, Screen};
use crate::stream::paint::Ink;

/// The start, then what was done before each picture, and the picture.
pub fn text(screen: Screen, world: &World<'_>, frames: &[Frame]) -> String {
    let names = DrillNames::new(world.drill());
    let line = &world.drill().line;
    let mut out = String::new();
    let mut before = 0;
    for frame in frames {
        let mut page = Page::new(screen);
        page.title(&match frame.moves {
            0 => "Before the first move".to_owned(),
            moves => format!("After move {moves}, {}", minutes(frame.minutes)),
        });
        told(&mut page, world, &names, (before, frame.moves));
        belt::draw(&mut page, frame.belt.fed(), line, names.sides());
        page.head(if frame.runs_true { "It runs true." } else { "It does not run true." });
        out += &page.finish();
        before = frame.moves;
    }
    let rest = world.steps().len();
    if before < rest || world.steps().is_empty() {
        let mut page = Page::new(screen);
        page.title("After that the belt did not run again");
        told(&mut page, world, &names, (before, rest));
        out += &page.finish();
    }
    out
}

/// The moves from one picture to the next, with hands at a moving belt in their places.
fn told(page: &mut Page, world: &World<'_>, names: &DrillNames<'_>, (from, to): (usize, usize)) {
    let book = world.book();
    for (nth, step) in world.steps().iter().enumerate().skip(from).take(to.saturating_sub(from)) {
        page.item(&format!("{:>3}  ", nth + 1), &names.did(book, &step.what));
    }
    // A fault before the first move is told with the first picture after it.
    let here =
        |after: usize| (from..to).contains(&after) || (after == to && to == world.steps().len());
    let faults = world.safety_faults().iter().filter(|fault| here(fault.after)).count();
    if faults > 0 {
        let words = format!("{} here.", count(faults, "safety fault", "safety faults"));
        page.item_in(Ink::Warn, "  ! ", &words);
    }
}
