//! Pages at the beginning: safety, the conveyor, the questions that stop everything, the edge room.

use super::asking::{QuestionPut, key_words};
use super::page::{Page, Screen};
use super::words::Sides;
use crate::ask::{KeyKind, Ticks};
use crate::conveyor::facts::{Fact, FactKey, Facts};
use crate::rulebook::model::{Book, EdgeRoom, StopQuestion};
use crate::stream::paint::Ink;
use crate::trade::{Carcass, ConveyorClass, Surroundings, TakeUp};

/// The safety page, first of all.
pub fn safety(screen: Screen, understood: &str, keys: &[String]) -> String {
    let mut page = Page::new(screen);
    page.title("Before you look").head("A moving belt takes what touches it.");
    for rule in [
        "LOOK ONLY, from outside the guards. Never touch, clean, measure or adjust anything on a moving belt.",
        "Site rules, the law and people licensed for the work come before anything said here.",
        "Before any work: stop, isolate, lock and tag the machine. Release or block stored energy. Then try to start it: nothing may move.",
        "A stop button or pull cord does not isolate anything.",
        "Unsure, or alone where you should not be? Stop and ask the supervisor.",
    ] {
        page.item(" * ", rule);
    }
    page.blank().item(" 1  ", understood).blank().flow(Ink::Faint, keys);
    page.finish()
}

/// So many orders cannot wait: they stand on the first screen, and once more on the last.
const AT_ONCE: usize = 3;

/// The questions that may stop everything on one page, for somebody who has answered them one by one before.
pub fn stop_anew(screen: Screen, questions: &[String], keys: &[KeyKind]) -> String {
    let mut page = Page::new(screen);
    page.title("Safety, as it runs now");
    page.head(
        "Look again, at all of them. Tick what is so. Not sure about 2: type 2, it counts as yes.",
    );
    for (place, question) in questions.iter().enumerate() {
        page.item(&format!("{:>2}  ", place + 1), question);
    }
    page.item(" 0  ", "None: I have looked at each, and all is well");
    page.blank().flow(Ink::Faint, &key_words(keys, &[]));
    page.finish()
}

/// What to do at once after a yes: the orders that cannot wait, and whom to tell. It fits the smallest screen.
pub fn stop_now(screen: Screen, sides: &Sides, stop: &StopQuestion) -> String {
    let mut page = Page::new(screen);
    page.title("STOP").para_in(Ink::Warn, "STOP. Do this now:");
    for (place, order) in stop.do_now.iter().take(AT_ONCE).enumerate() {
        page.item(&format!("{:>2}  ", place + 1), &sides.fill(order));
    }
    page.item("Tell: ", &sides.fill(&stop.tell));
    page.finish()
}

/// What comes after that: the further orders and the cautions. A blank line stands between them: there a screenful ends.
pub fn stop_then(
    screen: Screen,
    (book, facts): (&Book, &Facts),
    sides: &Sides,
    stop: &StopQuestion,
) -> String {
    let mut page = Page::new(screen);
    let orders: Vec<String> = stop.do_now.iter().map(|order| sides.fill(order)).collect();
    for (place, order) in orders.iter().enumerate().skip(AT_ONCE) {
        page.start_with_blank().item(&format!("{:>2}  ", place + 1), order);
    }
    // Nobody beside a fire reads a sentence twice, nor the number of a rule.
    let mut said = orders.join(" ");
    let cautions = stop.cautions.iter().map(|caution| &book.cautions[*caution]);
    for caution in cautions.filter(|caution| caution.concerns(facts)) {
        let new: Vec<&str> = sentences(&caution.text).filter(|one| !said.contains(one)).collect();
        if !new.is_empty() {
            page.start_with_blank().item_in(Ink::Warn, "! ", &new.join(" "));
        }
        said.push_str(&caution.text);
    }
    page.start_with_blank().para("The site's emergency plan comes before this page.");
    page.finish()
}

/// The last of it, with the question how it stands: the orders that cannot wait are on the screen then too.
pub fn stop_again(
    screen: Screen,
    sides: &Sides,
    stop: &StopQuestion,
    asked: &QuestionPut,
) -> String {
    let mut page = Page::new(screen);
    page.title(&asked.title).para_in(Ink::Warn, "STOP, once more:");
    // Without numbers: those are of the answers below.
    for order in stop.do_now.iter().take(AT_ONCE) {
        page.item(" - ", &sides.fill(sentences(order).next().unwrap_or_default()));
    }
    page.item("Tell: ", &sides.fill(&stop.tell)).blank().head(&asked.ask);
    for (place, answer) in asked.answers.iter().enumerate() {
        page.item(&format!("{:>2}  ", place + 1), answer);
    }
    page.flow(Ink::Faint, &key_words(asked.keys, asked.own));
    page.finish()
}

fn sentences(text: &str) -> impl Iterator<Item = &str> {
    text.split_inclusive(". ").map(str::trim_end)
}

/// The belt is best left alone.
pub fn leave_it(screen: Screen, sides: &Sides, room: &EdgeRoom) -> String {
    let mut page = Page::new(screen);
    page.title("The finding: leave it, watch it");
    for what in &room.leave_it {
        page.item(" * ", &sides.fill(what));
    }
    page.finish()
}

/// The belt is in danger now: what to do.
pub fn urgent(screen: Screen, sides: &Sides, room: &EdgeRoom) -> String {
    let mut page = Page::new(screen);
    page.title("The belt is in danger now").para_in(Ink::Warn, "Have it stopped first.");
    for (place, what) in room.urgent.iter().enumerate() {
        page.item(&format!("{:>2}  ", place + 1), &sides.fill(what));
    }
    page.finish()
}

/// One of the short questions about the conveyor.
#[derive(Debug, Clone, Copy)]
pub struct FactQuestion {
    /// Which fact it asks for.
    pub key: FactKey,
    /// The question.
    pub ask: &'static str,
    /// The values with what they read like.
    pub values: &'static [(Fact, &'static str)],
    /// How to tell.
    pub look: &'static str,
    /// Why it is asked.
    pub why: &'static str,
}

/// The short questions about a conveyor without a file, in order. Each may be skipped.
pub const FACT_QUESTIONS: [FactQuestion; 6] = [
    FactQuestion {
        key: FactKey::Class,
        ask: "What kind of conveyor is it?",
        values: &[
            (Fact::Class(ConveyorClass::TroughedBulk), "Bulk material in a troughed belt"),
            (Fact::Class(ConveyorClass::Flat), "Flat belt: on a slider bed or flat rolls"),
            (Fact::Class(ConveyorClass::Package), "Short conveyor for packages or parts"),
        ],
        look: "A troughed belt lies in a V or U of two, three or more rolls. A flat one lies level on rolls or slides over a plate.",
        why: "What is right on a short flat conveyor can be wrong on a long bulk one. Steering with the tail screws is the main example.",
    },
    FactQuestion {
        key: FactKey::Troughed,
        ask: "Does the carry strand lie in a trough?",
        values: &[
            (Fact::Troughed(true), "Yes, in a trough"),
            (Fact::Troughed(false), "No, flat all along"),
        ],
        look: "Look along the top strand, empty, from outside the guards: are the edges higher than the middle?",
        why: "In a trough an off-centre load pushes the belt to its light side. On a flat belt it can go the other way.",
    },
    FactQuestion {
        key: FactKey::TakeUp,
        ask: "What keeps the belt tight?",
        values: &[
            (Fact::TakeUp(TakeUp::Screw), "Screws at a pulley, usually the tail"),
            (Fact::TakeUp(TakeUp::Gravity), "A hanging weight"),
            (Fact::TakeUp(TakeUp::Carriage), "A carriage on rails, pulled by a weight"),
            (Fact::TakeUp(TakeUp::Winch), "A winch with a rope"),
            (Fact::TakeUp(TakeUp::None), "Nothing that can be set"),
        ],
        look: "Look for the take-up: two long screws at a pulley, a weight under the conveyor, a carriage behind the tail, or a winch.",
        why: "Each kind goes wrong in its own way, and only screws can be set unequal.",
    },
    FactQuestion {
        key: FactKey::Reversing,
        ask: "Does the belt ever run in reverse?",
        values: &[
            (Fact::Reversing(true), "Yes, both ways"),
            (Fact::Reversing(false), "No, one way only"),
        ],
        look: "Ask the operator. If it reverses, head, tail, left and right are named for the forward run.",
        why: "On a belt that runs both ways nothing may be skewed. What centres it one way pushes it off the other way.",
    },
    FactQuestion {
        key: FactKey::Carcass,
        ask: "What is inside the belt?",
        values: &[
            (Fact::Carcass(Carcass::Fabric), "Fabric plies"),
            (Fact::Carcass(Carcass::SteelCord), "Steel cords"),
            (Fact::Carcass(Carcass::Other), "Something else, or a solid belt"),
        ],
        look: "The belt's stamp or the papers say. Never lean over a moving edge to see.",
        why: "Splices and edges are judged and mended differently.",
    },
    FactQuestion {
        key: FactKey::Place,
        ask: "Where does it stand?",
        values: &[
            (Fact::Place(Surroundings::Indoors), "Indoors or under a full cover"),
            (Fact::Place(Surroundings::Outdoors), "Outdoors, at least part of it"),
        ],
        look: "Outdoors if wind, rain or sun can reach the belt anywhere.",
        why: "Wind, rain and sun from one side can move a belt. Then there is nothing to adjust.",
    },
];

/// What is asked of the parts that a conveyor may have, in one list.
pub const PARTS_ASK: &str = "Which of these does it have?";

/// The parts in the order of the list, as they read.
pub const PARTS: [(FactKey, &str); 8] = [
    (FactKey::Tripper, "A tripper: a carriage that lifts the belt and unloads it"),
    (FactKey::PloughOff, "A plough or diverter that takes load off the belt"),
    (FactKey::Curve, "A hollow curve or tripper ramp: it runs on, then bends up"),
    (FactKey::Garland, "Idler sets that hang on hooks or ropes"),
    (FactKey::ImpactBed, "An impact bed: bars in place of rolls under the load"),
    (FactKey::SliderBed, "A slider bed: the belt slides over a plate or bars"),
    (FactKey::BeltScale, "A belt scale"),
    (FactKey::VGuide, "A V-guide: a strip beneath the belt that runs in grooves"),
];

/// How to tell the parts.
pub const PARTS_LOOK: &str = "Walk along it, outside the guards. The conveyor's papers say it too.";
/// Why the parts are asked for.
pub const PARTS_WHY: &str =
    "Some causes need such a part. Where there is none, they need no question.";

/// The facts of the list by what was ticked; what cannot be told is left out.
pub fn parts_told(ticks: Ticks) -> Vec<Fact> {
    let lines = PARTS.iter().enumerate().filter(|(line, _)| !ticks.is_untold(*line));
    lines
        .filter_map(|(line, (key, _))| key.with(if ticks.is_there(line) { "yes" } else { "no" }))
        .collect()
}

/// The list of parts, to be ticked.
pub fn parts(screen: Screen, keys: &[KeyKind]) -> String {
    let mut page = Page::new(screen);
    page.title("The conveyor").head(PARTS_ASK);
    for (place, (_, line)) in PARTS.iter().enumerate() {
        page.item(&format!("{:>2}  ", place + 1), line);
    }
    page.item(" 0  ", "None of these");
    page.para_in(Ink::Faint, "Press Enter if not sure.");
    page.flow(Ink::Faint, &key_words(keys, &[]));
    page.finish()
}

/// Said before the questions about the conveyor.
pub fn conveyor(screen: Screen) -> String {
    let mut page = Page::new(screen);
    page.title("Which conveyor?").para(
        "A few short questions about the conveyor itself. Type c to skip one: it counts as unknown. With a conveyor file (--conveyor FILE) none of them is asked.",
    );
    page.finish()
}
