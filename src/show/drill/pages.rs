//! Pages while a drill runs: where it stands, what came of a move, why one is refused.

use super::belt;
use crate::drill::moves::{Done, Move, Refused};
use crate::drill::world::Step;
use crate::drill::{World, score};
use crate::gauge::Gauge;
use crate::mechanics::Size;
use crate::rulebook::index::{AnswerAt, CauseAt, List, SymptomAt};
use crate::rulebook::model::{Shown, Stage};
use crate::show::chance;
use crate::show::page::{Page, Screen};
use crate::show::points::{ConfirmPoint, ISOLATE, WATCH};
use crate::show::words::{Known, Sides};
use crate::stream::paint::Ink;
use crate::trade::MachineState;
use crate::visit::Machine;

/// What a drill is, said once before the first move.
pub fn rules(screen: Screen, sides: &Sides) -> String {
    let mut page = Page::new(screen);
    page.title("How this works");
    page.para("This is practice: no belt runs and nobody can be hurt. Act as you would at a real belt. A hand on a moving belt is refused here, and counted.");
    page.para("Look, ask, measure, lock out, mend, give back, and watch what the belt does. Each move takes as long as it would at a real belt. The belt follows a model. You can trust its sides and shapes, and which move does more. Distances are only rough.");
    page.para("Say what the cause is when you think you know it, and how sure you are. When the belt runs true and the cause is put right, say so. That ends the run.");
    if let Some(legend) = sides.legend() {
        page.para(&legend);
    }
    page.finish()
}

/// Where the run stands: one line or two before each choice.
pub fn standing(world: &World<'_>) -> String {
    let machine = match world.machine() {
        Machine::Running => "The belt runs.",
        Machine::LockedOut => "Locked out: the belt stands.",
    };
    match world.minutes() {
        minutes if minutes < 0.5 => format!("{machine} No time used yet."),
        minutes => format!("{machine} {} gone.", chance::minutes(minutes)),
    }
}

/// The belt as it runs, or as it was last seen running.
pub fn seen(screen: Screen, world: &World<'_>, sides: &Sides) -> String {
    let mut page = Page::new(screen);
    let title = match world.machine() {
        Machine::Running => "The belt, from above",
        Machine::LockedOut => "The belt, as it last ran",
    };
    page.title(title);
    let line = &world.drill().line;
    belt::draw(&mut page, world.belt().fed(), line, sides);
    let off = Size::of(world.belt().worst_m(), line.edge_room_m());
    let size = match off {
        Size::None | Size::FewMillimetres => "It keeps to the middle, as far as the eye can tell.",
        Size::Finger => "At its worst it is off by about a finger's breadth.",
        Size::Hand => "At its worst it is off by about a hand's breadth.",
        Size::OffTheRoll => "At its worst it has no edge room left: it rubs, or leaves the rolls.",
    };
    page.para(size);
    page.finish()
}

/// What came of a move that was made.
pub fn done(screen: Screen, known: &Known, step: &Step) -> String {
    let mut page = Page::new(screen);
    let book = known.book();
    match &step.done {
        Done::Looked(answer) => {
            if let Move::Look(symptom) = step.what {
                looked(&mut page, known, symptom, *answer);
            }
        }
        Done::LockedOut => points(&mut page, "Locked out", &ISOLATE),
        Done::Running(turns) => {
            if step.what == Move::Restore {
                points(&mut page, "Given back", &WATCH);
            } else {
                page.title("Watched");
            }
            page.para(&format!(
                "Watched from outside for {} of the belt.",
                chance::count(*turns as usize, "turn", "turns")
            ));
        }
        Done::Measured(_) | Done::Advised => {}
        Done::Checked(checked) => {
            page.title("Checked").para(match checked.shown {
                Shown::Calls => "It calls for the work.",
                Shown::Ends => "It ends the job: the fault lies elsewhere.",
                Shown::Sound => "It is sound.",
                Shown::CantTell | Shown::NotYet => "That cannot be told on this conveyor.",
            });
        }
        Done::Worked(found) => {
            page.title("Done. What was found");
            for (cause, was_there) in found {
                page.item(
                    " - ",
                    &format!(
                        "{}: {}",
                        book.causes[*cause].name,
                        if *was_there { "as suspected" } else { "was fine" }
                    ),
                );
            }
            if book_state(known, &step.what) == Some(MachineState::Running) {
                page.para("The belt was watched afterwards.");
            } else {
                page.para("Whether it helped shows when the belt runs again.");
            }
        }
        Done::Moved => {
            page.title("Moved").para(
                "The old place is marked and written down. What it does shows when the belt runs again.",
            );
        }
        Done::Noted => {
            page.title("Noted")
                .para("It counts for the debrief. You may say something else later.");
        }
        Done::Declared { runs_true, all_cured } => {
            ended(&mut page, Declared { runs_true: *runs_true, all_cured: *all_cured });
        }
    }
    if step.minutes >= 0.5 {
        page.para_in(Ink::Faint, &format!("That took {}.", chance::minutes(step.minutes)));
    }
    page.finish()
}

fn book_state(known: &Known, what: &Move) -> Option<MachineState> {
    match what {
        Move::Work(fix) => Some(known.book().fixes[*fix].state()),
        _ => None,
    }
}

fn looked(page: &mut Page, known: &Known, symptom: SymptomAt, answer: Option<AnswerAt>) {
    let asked = &known.book().symptoms[symptom];
    page.title("Seen").para_in(Ink::Faint, &known.fill(&asked.ask));
    match answer {
        Some(answer) => page.head(&known.fill(&asked.answers[answer].says)),
        None => page.para("That cannot be told on this conveyor."),
    };
}

fn points(page: &mut Page, title: &str, points: &[ConfirmPoint]) {
    page.title(title);
    for point in points {
        let word = point.ask.split(':').next().unwrap_or_default();
        page.item(" - ", &format!("{word}: {}", point.means));
    }
}

/// What a declaration was worth.
struct Declared {
    runs_true: bool,
    all_cured: bool,
}

fn ended(page: &mut Page, Declared { runs_true, all_cured }: Declared) {
    page.title("The run is over");
    page.head(match (runs_true, all_cured) {
        (true, true) => "The belt runs true, and everything that was hidden is put right.",
        (true, false) => "The belt runs true, but a cause is still in it.",
        (false, true) => "All that was hidden is put right, but the belt does not run true yet.",
        (false, false) => "The belt does not run true, and a cause is still in it.",
    });
    if runs_true && !all_cured {
        page.para("A correction against the cause holds it now. The fault will come back. Meanwhile a bearing, an edge or the tension pays for it.");
    }
}

/// What readings of the belt itself are worth in a drill, after the result of a gauge that takes them.
pub fn readings(screen: Screen, gauge: &Gauge) -> String {
    let mut page = Page::new(screen);
    if matches!(gauge.id, "spread" | "trace") {
        page.para("Practice readings, made by the model: pattern, side and rhythm are as they would be. The millimetres are not: no model tells those beforehand.");
    }
    page.finish()
}

/// Why a move was not made.
pub fn refused(screen: Screen, why: Refused, what: &Move) -> String {
    let mut page = Page::new(screen);
    match why {
        Refused::Moving => {
            page.title("NOT DONE: safety fault");
            page.para(match what {
                Move::Look(_) | Move::Check(..) | Move::Measure(_) => "That needs hands at the conveyor, and the belt is moving. A belt takes a sleeve, then the arm. A tape or a straight-edge goes in with it.",
                Move::Work(_) => "That is work on the conveyor, and the belt is moving. Cleaning and mending at a moving belt is how hands are lost.",
                Move::Restore | Move::LockOut | Move::Wait(_) | Move::Declare | Move::Advice | Move::Name(..) => "The belt is moving.",
                Move::Shift { .. } => "An idler is moved with a spanner between the strands, and the belt is moving. One slip and the hand is in the nip.",
                Move::Screw { .. } => "The guards at the take-up stay on while the belt moves. The screw is turned on a dead machine, both sides written down.",
            });
            page.para("First lock out: stop, isolate, lock, tag, try, stored energy. This counts as a safety fault. At a real belt it could have been the last one.");
        }
        other => {
            page.title("Not done").para(words(other));
        }
    }
    page.finish()
}

fn words(why: Refused) -> &'static str {
    match why {
        Refused::Moving => "The belt is moving.",
        Refused::Standing => {
            "The belt stands still, so there is nothing to be seen of it. Give it back and restart first."
        }
        Refused::LockedAlready => "It is locked out already.",
        Refused::RunsAlready => "It runs already.",
        Refused::NoScrews => "This conveyor has no take-up screws.",
        Refused::NoStation => "There is no such idler. Count from the tail; the first one is 1.",
        Refused::TooFar => {
            "It does not go that far: the slot or the thread ends first. Small moves are enough: an idler end goes some 40 mm in all, a screw 80 mm."
        }
        Refused::NotHere => {
            "That is not for this conveyor, or the answers so far do not call for it."
        }
        Refused::NoGauge => "There is nothing for this gauge to measure here.",
        Refused::Number => {
            "That number cannot be right. How sure you are goes from 0 to 100 per cent, turns from 1 to 200."
        }
        Refused::BeyondModel => {
            "With that the belt would be slack or leave the conveyor: here the model ends. Nothing was changed."
        }
        Refused::Over => "The run is over.",
    }
}

/// Everything done so far.
pub fn so_far(screen: Screen, world: &World<'_>, words: &dyn Fn(&Move) -> String) -> String {
    let mut page = Page::new(screen);
    page.title("Done so far");
    if world.steps().is_empty() {
        page.para("Nothing yet.");
    }
    let mut minutes = 0.0;
    for step in world.steps() {
        minutes += step.minutes;
        page.item(&format!("{minutes:>4.0}  "), &words(&step.what));
    }
    if !world.steps().is_empty() {
        page.para_in(Ink::Faint, "In front: minutes gone.");
    }
    let faults = world.safety_faults().len();
    if faults > 0 {
        page.para_in(
            Ink::Warn,
            &format!("{} so far.", chance::count(faults, "safety fault", "safety faults")),
        );
    }
    page.finish()
}

/// What a run looks like that was made again, and whether it came out as it was kept.
pub fn again(
    screen: Screen,
    world: &World<'_>,
    kept: Option<&crate::drill::record::Ended>,
) -> String {
    let mut page = Page::new(screen);
    let now = crate::drill::record::Ended::of(world);
    match kept {
        Some(kept) if *kept == now => page.para("Made again, it came out to the same numbers."),
        Some(_) => page.para_in(
            Ink::Warn,
            "Made again, it came out differently than it was kept: the rule book or the program has changed since.",
        ),
        None => page.para("It was never finished."),
    };
    page.finish()
}

/// What has to be done with the machine before something is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MachineFirst {
    /// Nothing: it is in the state for it.
    Nothing,
    /// It is locked out.
    LockOut,
    /// It is given back.
    GiveBack,
}

/// The question that straybelt would put, with why, and what has to be done before it can be looked at.
pub fn advised(screen: Screen, known: &Known, symptom: SymptomAt, first: MachineFirst) -> String {
    let asked = &known.book().symptoms[symptom];
    let mut page = Page::new(screen);
    page.title("straybelt would look next")
        .head(&known.fill(&asked.ask))
        .para(&known.fill(&asked.why));
    match first {
        MachineFirst::LockOut => page.para("It is looked at on a dead machine: lock out first."),
        MachineFirst::GiveBack => {
            page.para("It is watched on the running belt: give it back first.")
        }
        MachineFirst::Nothing => &mut page,
    };
    page.finish()
}

/// The causes that may be named, those not possible here left out.
pub fn nameable(causes: &List<CauseAt, bool>) -> Vec<CauseAt> {
    let possible = causes.iter().filter(|(_, applies)| **applies);
    possible.map(|(cause, _)| cause).collect()
}

/// In one line, after a declaration: what it was worth.
pub fn in_short(screen: Screen, world: &World<'_>) -> String {
    let score = score::score(world);
    let mut page = Page::new(screen);
    page.para(&format!(
        "It took {}; an expert would have taken about {}. {}.",
        chance::minutes(score.minutes),
        chance::minutes(score.expert.minutes),
        chance::count(score.safety_faults, "safety fault", "safety faults")
    ));
    page.finish()
}

/// What the work of a stage is called.
pub fn stage(stage: Stage) -> &'static str {
    match stage {
        Stage::Weather => "Wait, or put the urgent right",
        Stage::Clean => "Clean",
        Stage::Rolls => "Rolls",
        Stage::Supports => "Supports and ground",
        Stage::Frame => "Frame",
        Stage::Pulleys => "Pulleys",
        Stage::TakeUp => "Take-up",
        Stage::Idlers => "Idlers",
        Stage::Tension => "Tension",
        Stage::Surface => "Lagging and crown",
        Stage::Belt => "Belt and splice",
        Stage::Load => "Chute, feed and skirts",
        Stage::Train => "Train the belt",
        Stage::Trainers => "Self-aligning idlers",
    }
}
