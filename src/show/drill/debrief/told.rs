//! What is said of a run, as sheets.

use super::why::{WhyCostly, why};
use super::{Debrief, NAMED, was_found};
use crate::drill::course::Matched;
use crate::drill::moves::Move;
use crate::drill::score::{Bearing, Found};
use crate::mechanics::Size;
use crate::proof::score::Brier;
use crate::show::chance::{self, count, minutes};
use crate::show::drill::judged::matched;
use crate::show::drill::list;
use crate::show::entries::sheet::{ListMark, RichText, Sheet};
use crate::show::letters::capital;
use crate::show::steps::ISOLATION;
use crate::trade::Side;

/// So many costly steps are named one by one.
const COSTLY: usize = 8;
/// Fewer statements than this are not split into parts.
pub(super) const TO_SPLIT: usize = 5;
/// A bearing whose load is within this of all in order carries what it should.
const AS_IT_SHOULD: f64 = 0.05;
/// A bearing that carries less than this share hangs slack.
const SLACK: f64 = 0.05;
/// Lives beyond so many times, or below one over it, are not told to the number.
const MANY: f64 = 10.0;
/// What is 5 % more or less than needed is as needed.
const ABOUT: f64 = 0.05;

/// From the verdict to what is left on the belt.
pub(super) fn worth(debrief: &Debrief<'_, '_>) -> Sheet {
    let mut sheet = Sheet::default();
    head(&mut sheet, debrief);
    if debrief.is_over() {
        verdict(&mut sheet, debrief);
        times(&mut sheet, debrief);
        where_they_went(&mut sheet, debrief);
    } else {
        not_over(&mut sheet, debrief);
    }
    safety(&mut sheet, debrief);
    if debrief.is_over() {
        causes(&mut sheet, debrief);
        certainty(&mut sheet, debrief);
        left(&mut sheet, debrief);
    }
    sheet
}

/// Aims, and what to talk about.
pub(super) fn afterwards(debrief: &Debrief<'_, '_>) -> Sheet {
    let drill = debrief.world.drill();
    let words = |lines: &[String]| lines.iter().cloned().map(RichText::from).collect();
    let mut sheet = Sheet::default();
    sheet.list("To take home", ListMark::Dot, words(&drill.aims));
    if debrief.is_over() {
        sheet.list("To talk about", ListMark::Dot, words(&drill.talk));
    }
    sheet
}

fn head(sheet: &mut Sheet, debrief: &Debrief<'_, '_>) {
    let drill = debrief.world.drill();
    let run = format!("run {}", debrief.record.run);
    sheet.title(&run.replace(' ', "-"), &drill.title, &run);
    let who = debrief.record.who.as_deref().map(|who| format!("{who}. "));
    let conveyor = drill.conveyor.name().map(|name| format!("{name}. "));
    sheet.para(format!(
        "{}{}{}.",
        who.unwrap_or_default(),
        conveyor.unwrap_or_default(),
        capital(list::grade(drill.grade))
    ));
    if let Some(legend) = debrief.names.sides().legend() {
        sheet.para(legend);
    }
    if !debrief.as_kept() {
        sheet.warn("Made again, the run came out differently than it was kept: the rule book or the program has changed since.");
    }
}

fn not_over(sheet: &mut Sheet, debrief: &Debrief<'_, '_>) {
    let run = debrief.record.run;
    sheet.section("Not finished").para(format!(
        "So far {} in {}. What was hidden, and what an expert would have done, is told when the run is over. `straybelt drill again {run}` goes on with it.",
        minutes(debrief.score.minutes),
        count(debrief.world.steps().len(), "move", "moves"),
    ));
}

fn verdict(sheet: &mut Sheet, debrief: &Debrief<'_, '_>) {
    let (book, score) = (debrief.world.book(), &debrief.score);
    let still: Vec<&str> = score
        .causes
        .iter()
        .filter(|found| !found.put_right)
        .map(|found| book.causes[found.cause].name.as_str())
        .collect();
    let still = still.join("; ");
    match (score.runs_true, score.all_cured) {
        (true, true) if score.causes.is_empty() => {
            sheet.section("The belt runs true. Nothing was hidden in this conveyor.");
        }
        (true, true) => {
            sheet.section("Solved: the belt runs true, and nothing hidden is left.");
        }
        (true, false) => {
            sheet
                .section("Not solved: the belt runs true, but the cause is still there.")
                .para(format!("Still there: {still}."))
                .para("That is no cure. A correction now works against the cause. It holds for this load and this weather. Meanwhile a bearing, a belt edge or the tension pays for it. When the cause grows, or is put right later, the belt runs off again.");
            if let Some((side, bearing)) = heavier(debrief) {
                sheet.para(format!(
                    "Here the {} bearing pays: {}.",
                    debrief.names.sides().of(side),
                    carries(bearing)
                ));
            }
        }
        (false, true) => {
            sheet
                .section("Not solved: what was hidden is put right, but the belt does not run true.")
                .para("Something that was moved on the way still pushes it, or it was not given the turns it needs.");
        }
        (false, false) => {
            sheet
                .section("Not solved: the belt does not run true.")
                .para(format!("Still there: {still}."));
        }
    }
}

/// The bearing that carries clearly more than it should.
fn heavier(debrief: &Debrief<'_, '_>) -> Option<(Side, Bearing)> {
    let [left, right] = debrief.score.left.bearings;
    let (side, bearing) =
        if left.load_ratio > right.load_ratio { (Side::Left, left) } else { (Side::Right, right) };
    (bearing.load_ratio > 1.0 + AS_IT_SHOULD).then_some((side, bearing))
}

fn times(sheet: &mut Sheet, debrief: &Debrief<'_, '_>) {
    let score = &debrief.score;
    let times = score.minutes / score.expert.minutes.max(1.0);
    let against = match debrief.is_solved() {
        true => format!("; {times:.1} times the expert's"),
        false => "; not solved by then".to_owned(),
    };
    sheet.section("Minutes").pairs(vec![
        ("Yours", format!("{}{against}", minutes(score.minutes)).into()),
        ("An expert's, with looking", format!("about {}", minutes(score.expert.minutes)).into()),
        ("The quickest repair, all known", minutes(score.best_minutes).into()),
        ("Of yours, looking and measuring", minutes(score.minutes_looking).into()),
    ]);
    let to_do = debrief.minutes_to_do();
    if to_do >= 0.5 {
        sheet.para(format!("What is still to be done would take another {}.", minutes(to_do)));
    }
}

/// The costly steps, dearest first.
fn where_they_went(sheet: &mut Sheet, debrief: &Debrief<'_, '_>) {
    let (world, names) = (debrief.world, &debrief.names);
    let mut shared = 0.0;
    let mut lost: Vec<(f64, String)> = Vec::new();
    for (nth, regret) in &debrief.score.regrets {
        let Some(step) = world.steps().get(*nth) else {
            continue;
        };
        let because = match why(debrief, *nth) {
            WhyCostly::ExpertToo => {
                shared += regret;
                continue;
            }
            WhyCostly::Because(because) => format!(" {because}"),
            WhyCostly::Unsaid => String::new(),
        };
        let did = names.did(world.book(), &step.what);
        let stop = if did.ends_with(['?', '.']) { "" } else { "." };
        lost.push((*regret, format!("{}: {did}{stop}{because}", minutes(*regret))));
    }
    sheet.section("What it cost, dearest first");
    if lost.is_empty() {
        sheet.para("Nothing to speak of: an expert would have spent the same minutes.");
    }
    let more = lost.get(COSTLY..).unwrap_or_default();
    let rest: f64 = more.iter().map(|(regret, _)| regret).sum();
    let left_out = more.len();
    let items = lost.into_iter().take(COSTLY);
    sheet.list("", ListMark::Number, items.map(|(_, words)| words.into()).collect());
    if left_out > 0 {
        sheet.para(format!("And {}, together {}.", count(left_out, "more", "more"), minutes(rest)));
    }
    if shared >= 0.5 {
        sheet.para(format!("Looks that an expert makes too took {}.", minutes(shared)));
    }
}

fn safety(sheet: &mut Sheet, debrief: &Debrief<'_, '_>) {
    let (world, names) = (debrief.world, &debrief.names);
    sheet.section("Safety faults");
    if world.safety_faults().is_empty() {
        sheet.para("None: no hand came near a moving belt.");
        return;
    }
    sheet.para(
        "A hand was to go where the belt was moving. Practice refuses that; a belt does not.",
    );
    let items = world.safety_faults().iter().map(|fault| {
        let wanted = names.to_do(world.book(), &fault.what);
        let stop = if wanted.ends_with(['?', '.']) { "" } else { "." };
        format!(
            "After {}: {wanted}{stop} {}",
            count(fault.after, "move", "moves"),
            instead(&fault.what)
        )
        .into()
    });
    sheet.list("", ListMark::Number, items.collect()).warn(ISOLATION);
}

/// What should have been done in place of a hand at a moving belt.
pub(super) fn instead(what: &Move) -> &'static str {
    match what {
        Move::Look(_) | Move::Check(..) | Move::Measure(_) => {
            "Instead: lock out first, then look and measure; while it runs, only look from outside the guards."
        }
        Move::Work(_) => "Instead: lock out first, then do the work on the dead machine.",
        Move::Shift { .. } | Move::Screw { .. } => {
            "Instead: lock out first, move it on the dead machine, give back, start, and watch three turns from outside."
        }
        _ => "Instead: lock out first.",
    }
}

fn causes(sheet: &mut Sheet, debrief: &Debrief<'_, '_>) {
    let (world, score) = (debrief.world, &debrief.score);
    let book = world.book();
    sheet.section("What was hidden");
    if score.causes.is_empty() {
        sheet.para("Nothing: the conveyor was in order.");
    }
    let items = score.causes.iter().zip(&world.drill().hidden);
    let items = items.map(|(found, hidden)| {
        let things = hidden.things.iter().map(|thing| debrief.names.thing(*thing));
        let things: Vec<String> = things.collect();
        RichText::default().strong(book.causes[found.cause].name.clone()).and(format!(
            ": {} ({})",
            how_found(found),
            things.join("; ")
        ))
    });
    sheet.list("", ListMark::Dot, items.collect());
    let wrong = score.wrongly_named.iter().map(|(cause, certainty)| {
        let says = if *certainty >= NAMED {
            "named, but it was not there"
        } else {
            "thought possible, was not there"
        };
        let sure = chance::percent(*certainty);
        RichText::from(format!("{}: {says} ({sure} certain)", book.causes[*cause].name))
    });
    sheet.list("What was named and was not there", ListMark::Dot, wrong.collect());
}

fn how_found(found: &Found) -> String {
    let sure = found.certainty.map(chance::percent).unwrap_or_default();
    match (found.certainty, found.put_right) {
        (Some(_), true) if was_found(found) => format!("found, {sure} certain, and put right"),
        (Some(_), false) if was_found(found) => {
            format!("found, {sure} certain, but not put right")
        }
        (Some(_), true) => format!("thought possible, {sure} certain, and put right"),
        (Some(_), false) => format!("thought possible, {sure} certain, not put right"),
        (None, true) => "put right, but never named".to_owned(),
        (None, false) => "missed".to_owned(),
    }
}

fn certainty(sheet: &mut Sheet, debrief: &Debrief<'_, '_>) {
    sheet.section("How certain you were");
    let (Some(brier), statements) = (debrief.score.brier, debrief.score.stated.len()) else {
        sheet.para("Nothing was hidden and nothing was named, so there is nothing to score.");
        return;
    };
    sheet.para(brier_words(brier));
    if statements < TO_SPLIT {
        sheet.para(format!(
            "That rests on {}: too few to say more. A class list splits it.",
            count(statements, "statement", "statements")
        ));
    } else {
        parts(sheet, brier);
    }
}

/// The score in plain words.
pub(super) fn brier_words(brier: Brier) -> String {
    let word = matched(Matched::of(brier.score));
    format!(
        "What was said and what was so: {word}. Brier score {:.2}: 0 is best, \"50 %\" each time gives 0.25, certain and wrong each time gives 1. A hidden cause that was never named counts as \"not there\".",
        brier.score
    )
}

/// The three parts in plain words.
pub(super) fn parts(sheet: &mut Sheet, brier: Brier) {
    sheet.para(format!(
        "The score is the first part, less the second, plus the third{}:",
        match brier.within {
            within if within.abs() >= 0.005 =>
                format!(" ({within:+.2} for sorting what was said into tenths)"),
            _ => String::new(),
        }
    ));
    sheet.list(
        "",
        ListMark::Number,
        vec![
            format!(
                "{:.2} for saying more or less than was so: of what is said with 80 %, eight in ten should be so. 0 is best.",
                brier.reliability
            )
            .into(),
            format!(
                "{:.2} for telling apart what is there and what is not. More is better.",
                brier.resolution
            )
            .into(),
            format!(
                "{:.2} for how open it was: nobody can change that part.",
                brier.uncertainty
            )
            .into(),
        ],
    );
}

fn left(sheet: &mut Sheet, debrief: &Debrief<'_, '_>) {
    let (left, sides) = (&debrief.score.left, debrief.names.sides());
    let [one, other] = left.bearings;
    sheet.section("What is left on the belt").para(off(left.off, left.off_share));
    let bearings = [(Side::Left, one), (Side::Right, other)].map(|(side, bearing)| {
        format!("{} tail bearing: {}", sides.of(side), carries(bearing)).into()
    });
    sheet.list("", ListMark::Dot, bearings.into());
    sheet.para(pull(left.pull_n, left.needed_n, |n| debrief.names.force(n)));
}

fn off(size: Size, share: f64) -> String {
    let room = match share {
        s if s <= 0.35 => "well inside its edge room",
        s if s < 0.7 => "inside its edge room, but not true",
        s if s < 1.0 => "near the end of its edge room",
        _ => "past its edge room: it rubs, or leaves the rolls",
    };
    let size = match size {
        Size::OffTheRoll => String::new(),
        size => format!("{size}; "),
    };
    format!("Off the middle at its worst, as last run: {size}{room}.")
}

/// What a bearing carries and how long it lasts, both against all in order.
fn carries(bearing: Bearing) -> String {
    if bearing.load_ratio < SLACK {
        return "hangs slack, the other one carries it all".to_owned();
    }
    if (bearing.load_ratio - 1.0).abs() < AS_IT_SHOULD {
        return "carries what it should".to_owned();
    }
    let life = match bearing.life_factor {
        life if life > MANY => "many times as long".to_owned(),
        life if life < 1.0 / MANY => "less than a tenth as long".to_owned(),
        life => format!("{life:.1} times as long"),
    };
    format!("{:.1} times the load with all in order, so it lasts {life}", bearing.load_ratio)
}

fn pull(pull_n: f64, needed_n: f64, force: impl Fn(f64) -> String) -> String {
    let ratio = pull_n / needed_n;
    let word = match ratio {
        r if r < 1.0 - ABOUT => "too little: it sags and may slip",
        r if r < 1.3 => "as it should be",
        _ => "more than it needs: bearings, splice and shafts carry that",
    };
    format!("Pull on the return side: {}; needed are {}: {word}.", force(pull_n), force(needed_n))
}
