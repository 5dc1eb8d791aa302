//! Pages for a terminal, where work is put a step at a time: a short head, the cautions, one step to a screen.

use super::asking::{OwnKey, key_words};
use super::chance::{self, count};
use super::map;
use super::page::{Page, Screen};
use super::steps::{self, Preface};
use super::take;
use super::words::Known;
use super::work::{self, RULES_NAMED};
use crate::ask::KeyKind;
use crate::rulebook::index::{CautionAt, FixAt};
use crate::rulebook::model::{Fix, Work};
use crate::stream::paint::Ink;
use crate::trade::MachineState;

/// More cautions of a job than this stand on a screen of their own.
pub const FEW: usize = 3;

/// The answer that goes on to the next screen.
pub const GO_ON: &str = "Read: go on (or Enter alone)";

/// One screen of the walk through the steps of a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StepScreen {
    /// This job's own cautions, where they are many.
    Cautions,
    /// One step: its place among all steps of the job, and its place in what hands do in one go, both from 0.
    Step {
        /// Among all of them.
        number: usize,
        /// In this stretch.
        place: usize,
    },
}

/// What is read before a job is begun: of one that begins with a look no more than that look, since most such work is
/// never called for.
pub fn begun(screen: Screen, known: &Known, fix: FixAt) -> String {
    let entry = &known.book().fixes[fix];
    if entry.begins_with.is_empty() {
        return work_head(screen, known, fix);
    }
    let mut page = Page::new(screen);
    let looks = match entry.begins_with.len() {
        1 => "A look first".to_owned(),
        many => count(many, "look", "looks first"),
    };
    page.title("Work").head(&entry.title);
    page.para(&format!(
        "{looks}: {}.{}",
        chance::minutes(entry.check_minutes()),
        take::sentence(known, &looked_with(known, entry))
    ));
    page.finish()
}

/// The tools of a job that its looks speak of.
fn looked_with<'f>(known: &Known, fix: &'f Fix) -> Vec<&'f str> {
    let book = known.book();
    let orders: Vec<&str> =
        fix.begins_with.iter().map(|check| steps::check_order(book, check)).collect();
    let named = |tool: &&str| {
        let known = book.tools.iter().find(|known| known.name == **tool);
        known.is_some_and(|known| orders.iter().any(|order| known.is_named_in(order)))
    };
    fix.tools.iter().map(String::as_str).filter(named).collect()
}

/// What is read before the work itself: what it is, how long it takes, who and what is needed.
pub fn work_head(screen: Screen, known: &Known, fix: FixAt) -> String {
    let entry = &known.book().fixes[fix];
    let mut page = Page::new(screen);
    page.title("Work").head(&entry.title);
    if !entry.begins_with.is_empty() {
        page.para(&format!("The work itself: {}.", known.fill(&entry.in_short)));
    }
    let minutes = chance::minutes(entry.work_minutes());
    let steps = count(how_many(entry), "step", "steps");
    page.para(&format!("{minutes}, {}: {steps}.", chance::people(entry.people)));
    take::lines(&mut page, known, entry.tools.iter().chain(&entry.parts).map(String::as_str));
    page.finish()
}

/// The cautions of every work on the isolated machine.
pub fn standing(screen: Screen, known: &Known) -> String {
    let mut page = Page::new(screen);
    page.title("CAUTION at all work like this");
    cautions(&mut page, &known.book().warnings(MachineState::LockedOut, &[]), &in_short(known));
    page.para("They are shown once for each lock-out. At every step they stand behind a, with the rules they come from.");
    page.finish()
}

/// What matters to somebody who looks at the running belt, on one screen of the smallest size: the cautions of all
/// such looks without the rules that they name, and what stops the belt at once.
pub fn running_look(screen: Screen, known: &Known) -> String {
    let mut page = Page::new(screen);
    page.title("Look only: the belt runs");
    for caution in known.book().warnings(MachineState::Running, &[]) {
        page.item_in(Ink::Warn, " ! ", &known.fill(&known.book().cautions[caution].text));
    }
    page.item_in(
        Ink::Warn,
        " ! ",
        "Guards stay on. Smoke, a splice that opens, belt on steel, somebody inside: have it stopped.",
    );
    page.finish()
}

/// The cautions of a job that stand before its first look on the isolated machine, without those that were `read` for
/// another job since it was locked out; empty where none is left.
pub fn before_look(screen: Screen, known: &Known, fix: FixAt, read: &[CautionAt]) -> String {
    let own = own_cautions(known, fix);
    let new: Vec<CautionAt> = own.iter().copied().filter(|at| !read.contains(at)).collect();
    if new.is_empty() {
        return String::new();
    }
    let mut page = Page::new(screen);
    page.title("CAUTION at this job");
    cautions(&mut page, &new, &in_short(known));
    if new.len() < own.len() {
        page.para("Others that you have read in this lock-out hold here too: a.");
    }
    page.finish()
}

/// The cautions of a job that stand before its first step, without those that stood before its look, and what is never
/// done at it; empty where it has none.
pub fn before_work(screen: Screen, known: &Known, fix: FixAt, at_look: &[CautionAt]) -> String {
    let own = own_cautions(known, fix);
    let left: Vec<CautionAt> = own.into_iter().filter(|at| !at_look.contains(at)).collect();
    let never = &known.book().fixes[fix].never;
    if left.is_empty() && never.is_empty() {
        return String::new();
    }
    let mut page = Page::new(screen);
    page.title("CAUTION at this job");
    cautions(&mut page, &left, &in_short(known));
    never_lines(&mut page, known, never);
    page.finish()
}

/// All cautions of a job, those of all that is done in this state of the machine too.
pub fn all_cautions(screen: Screen, known: &Known, fix: FixAt, state: MachineState) -> String {
    let mut page = Page::new(screen);
    let with_its_rule = |at: CautionAt| steps::caution_line(known, at);
    page.title("All cautions");
    cautions(&mut page, &own_cautions(known, fix), &with_its_rule);
    never_lines(&mut page, known, &known.book().fixes[fix].never);
    page.blank();
    cautions(&mut page, &known.book().warnings(state, &[]), &with_its_rule);
    page.para_in(Ink::Faint, RULES_NAMED);
    page.finish()
}

/// Whether the cautions of a job that stand before its first step are so many that they have a screen of their own.
pub fn are_many(known: &Known, fix: FixAt, at_look: &[CautionAt]) -> bool {
    own_cautions(known, fix).iter().filter(|at| !at_look.contains(at)).count() > FEW
}

/// The screen of the cautions of a job, as part of the walk.
pub fn cautions_screen(
    screen: Screen,
    known: &Known,
    fix: FixAt,
    at_look: &[CautionAt],
    keys: Keys<'_>,
) -> String {
    let mut page = Page::new(screen);
    page.text(&before_work(screen, known, fix, at_look)).blank();
    go_on(&mut page, &[GO_ON.to_owned()], keys);
    page.finish()
}

/// The keys under a screen, and what they are called there.
#[derive(Debug, Clone, Copy)]
pub struct Keys<'k> {
    /// The keys.
    pub keys: &'k [KeyKind],
    /// What they mean here.
    pub own: &'k [OwnKey],
}

/// What stands on the screen of one step.
#[derive(Debug, Clone, Copy)]
pub struct StepPut<'p> {
    /// The job.
    pub fix: FixAt,
    /// The stretch of its steps, from 0.
    pub stretch: usize,
    /// Among all steps of the job, from 0.
    pub number: usize,
    /// In the stretch, from 0.
    pub place: usize,
    /// The answers: first the one that goes on.
    pub answers: &'p [String],
}

/// One step, with what was measured for it, the drawing where something is moved, and after the last one when the work
/// is done.
pub fn step(screen: Screen, known: &Known, put: StepPut<'_>, keys: Keys<'_>) -> String {
    let book = known.book();
    let entry = &book.fixes[put.fix];
    let all = how_many(entry);
    let mut page = Page::new(screen);
    page.title(&format!("Step {} of {all}", put.number + 1)).para_in(Ink::Faint, &entry.title);
    if matches!(entry.work, Work::Running(_)) {
        page.para_in(Ink::Warn, "Watch, touch nothing.");
    }
    let moves_now = moves_first(entry, put.stretch) == Some(put.place);
    if moves_now {
        for (at, line) in steps::amount_lines(known, entry).iter().enumerate() {
            page.item(if at == 0 { " =  " } else { "    " }, line);
        }
    }
    let order = text(known, entry, put.stretch, put.place);
    page.blank().head(&order);
    take::without(&mut page, known, &order);
    let words = steps::fix_text(book, known, put.fix, Preface::Nothing);
    if moves_now && words.moves.iter().any(|moved| moved.side.is_some()) {
        map::draw(&mut page, known, &words.moves);
    }
    if put.number + 1 >= all {
        page.blank().item("Done when: ", &words.done_when);
    }
    page.blank();
    go_on(&mut page, put.answers, keys);
    page.finish()
}

/// Asks how the work went, with how it is seen later that it worked.
pub fn how_did_it_go(
    screen: Screen,
    known: &Known,
    fix: FixAt,
    answers: &[String],
    keys: Keys<'_>,
) -> String {
    let entry = &known.book().fixes[fix];
    let mut page = Page::new(screen);
    page.title("How did it go?").head(&entry.title);
    page.item("It worked if: ", &known.fill(&entry.worked)).blank();
    go_on(&mut page, answers, keys);
    page.finish()
}

/// How many steps hands do in one stretch; of work that is only watched, all of them.
pub fn in_stretch(fix: &Fix, stretch: usize) -> usize {
    match &fix.work {
        Work::Running(steps) => steps.len(),
        Work::LockedOut(_) => fix.stretches().get(stretch).map_or(0, |part| part.hands.len()),
    }
}

/// How many steps come before a stretch.
pub fn before(fix: &Fix, stretch: usize) -> usize {
    match &fix.work {
        Work::Running(_) => 0,
        Work::LockedOut(_) => {
            fix.stretches().iter().take(stretch).map(|part| part.hands.len()).sum()
        }
    }
}

fn how_many(fix: &Fix) -> usize {
    match &fix.work {
        Work::Running(steps) => steps.len(),
        Work::LockedOut(_) => fix.stretches().iter().map(|part| part.hands.len()).sum(),
    }
}

/// Where in a stretch something moves that did not before: the first step of the job that moves anything.
fn moves_first(fix: &Fix, stretch: usize) -> Option<usize> {
    let stretches = fix.stretches();
    let moving = |hands: &[&_]| hands.iter().position(|step| work::moves(step));
    let first = stretches.iter().position(|part| moving(&part.hands).is_some());
    match first {
        Some(first) if first == stretch => {
            stretches.get(first).and_then(|part| moving(&part.hands))
        }
        // Where nothing moves, what was measured stands with the first step.
        None if stretch == 0 => Some(0),
        _ => None,
    }
}

fn text(known: &Known, fix: &Fix, stretch: usize, place: usize) -> String {
    match &fix.work {
        Work::Running(_) => steps::watch_lines(known, fix).into_iter().nth(place),
        Work::LockedOut(_) => (fix.stretches().get(stretch))
            .and_then(|part| part.hands.get(place).map(|step| steps::hand_text(known, step))),
    }
    .unwrap_or_default()
}

/// The cautions of a job that not all work in its state has.
pub fn own_cautions(known: &Known, fix: FixAt) -> Vec<CautionAt> {
    let fix = &known.book().fixes[fix];
    let standing = known.book().warnings(fix.state(), &[]);
    let cautions = fix.cautions.iter().copied().filter(|at| !standing.contains(at));
    cautions.filter(|at| known.book().cautions[*at].concerns(known.facts())).collect()
}

fn never_lines(page: &mut Page, known: &Known, never: &[String]) {
    for never in never {
        page.item_in(Ink::Strong, "Never: ", &known.fill(never));
    }
}

/// Whoever reads it before the work needs what it says; the rule that it comes from stands with all cautions.
fn in_short(known: &Known) -> impl Fn(CautionAt) -> String {
    |at| known.fill(&known.book().cautions[at].text)
}

/// A blank line stands between them: there a tall page may stop.
fn cautions(page: &mut Page, cautions: &[CautionAt], words: &dyn Fn(CautionAt) -> String) {
    for (place, caution) in cautions.iter().enumerate() {
        if place > 0 {
            page.blank();
        }
        page.item_in(Ink::Warn, " ! ", &words(*caution));
    }
}

fn go_on(page: &mut Page, answers: &[String], keys: Keys<'_>) {
    for (place, answer) in answers.iter().enumerate() {
        page.item(&format!("{:>2}  ", place + 1), answer);
    }
    page.blank().flow(Ink::Faint, &key_words(keys.keys, keys.own));
}
