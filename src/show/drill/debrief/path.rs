//! The learner's path and the expert's, step by step.

use unicode_width::UnicodeWidthStr;

use super::Debrief;
use crate::drill::moves::Move;
use crate::show::chance;
use crate::show::page::{Page, Screen};
use crate::stream::paint::{Ink, Paint};
use crate::trade::MachineState;

/// From this width on the two paths stand side by side.
const WIDE: usize = 72;
/// Columns between them.
const BETWEEN: usize = 3;

/// Both paths, a line for each step.
#[derive(Debug)]
pub(super) struct Paths {
    /// What the learner did; a hand at a moving belt has its place in it.
    pub(super) yours: Vec<String>,
    /// What an expert would have done.
    pub(super) experts: Vec<String>,
}

/// What stands over the two.
pub(super) const YOURS: &str = "Your way";
/// The same for the expert's.
pub(super) const EXPERTS: &str = "The expert's way";

/// Both paths of a run.
pub(super) fn paths(debrief: &Debrief<'_, '_>) -> Paths {
    Paths { yours: yours(debrief), experts: experts(debrief) }
}

fn yours(debrief: &Debrief<'_, '_>) -> Vec<String> {
    let (world, names) = (debrief.world, &debrief.names);
    let faults_after = |steps: usize| {
        let faults = world.safety_faults().iter();
        faults.filter(move |fault| fault.after == steps).map(|fault| {
            let wanted = names.to_do(world.book(), &fault.what);
            format!("SAFETY FAULT, belt moving: {wanted}")
        })
    };
    let mut lines: Vec<String> = faults_after(0).collect();
    for (nth, step) in world.steps().iter().enumerate() {
        lines.push(timed(&names.did(world.book(), &step.what), step.minutes));
        lines.extend(faults_after(nth + 1));
    }
    lines
}

fn experts(debrief: &Debrief<'_, '_>) -> Vec<String> {
    let (book, names) = (debrief.world.book(), &debrief.names);
    let expert = &debrief.score.expert;
    let told = |what: Move, minutes| timed(&names.did(book, &what), minutes);
    let round = debrief.world.ways().round(&expert.looks);
    let looks = |dead: bool| {
        let looks = round.iter();
        looks
            .filter(move |(look, _)| {
                (book.symptoms[*look].state == MachineState::LockedOut) == dead
            })
            .map(move |(look, minutes)| told(Move::Look(*look), *minutes))
    };
    let works = |dead: bool| {
        let fixes = expert.fixes.iter().copied();
        fixes
            .filter(move |fix| (book.fixes[*fix].state() == MachineState::LockedOut) == dead)
            .map(move |fix| told(Move::Work(fix), book.fixes[fix].minutes))
    };
    let mut lines: Vec<String> = looks(false).collect();
    let on_dead: Vec<String> = looks(true).chain(works(true)).collect();
    if !on_dead.is_empty() {
        lines.push(told(Move::LockOut, book.minutes.lock_out));
        lines.extend(on_dead);
        lines.push(told(Move::Restore, book.minutes.restart_and_watch));
    }
    lines.extend(works(false));
    lines.push(names.did(book, &Move::Declare));
    lines
}

fn timed(what: &str, minutes: f64) -> String {
    if minutes < 0.5 {
        return what.to_owned();
    }
    format!("{what} ({})", chance::minutes(minutes))
}

/// Both paths as text: side by side where there is room, else one after the other.
pub(super) fn text(screen: Screen, paths: &Paths) -> String {
    let width = screen.width();
    if width < WIDE {
        return column(Page::new(screen), YOURS, &paths.yours)
            + &column(Page::new(screen), EXPERTS, &paths.experts);
    }
    let half = (width - BETWEEN) / 2;
    let left = column(Page::column(half, Paint::NONE), YOURS, &paths.yours);
    let right = column(Page::column(half, Paint::NONE), EXPERTS, &paths.experts);
    let (mut left, mut right) = (left.lines(), right.lines());
    let mut page = Page::new(screen);
    let mut ink = Ink::Strong;
    loop {
        let (one, other) = match (left.next(), right.next()) {
            (None, None) => break,
            (one, other) => (one.unwrap_or_default(), other.unwrap_or_default()),
        };
        let room = " ".repeat((half + BETWEEN).saturating_sub(one.width()));
        page.line(ink, &format!("{one}{room}{other}"));
        if !one.is_empty() {
            ink = Ink::Plain;
        }
    }
    page.finish()
}

/// One path under its heading.
fn column(mut page: Page, head: &str, lines: &[String]) -> String {
    page.line(Ink::Plain, "").head(head);
    for (nth, line) in lines.iter().enumerate() {
        page.item(&format!("{:>2} ", nth + 1), line);
    }
    page.finish()
}
