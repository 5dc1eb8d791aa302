//! A fix as it is read: the work, what must come before it, and what it cures.

use std::collections::BTreeMap;

use super::sheet::{Bit, ListMark, RichText, Sheet};
use super::{BookSheets, Detail, entry};
use crate::rulebook::index::{CautionAt, FixAt};
use crate::rulebook::model::{Fix, IfWorse, Stage, Takes};
use crate::show::chance::{minutes, people};
use crate::show::steps::{Preface, check_lines, fix_text, work_lines};
use crate::show::work::RULES_NAMED;
use crate::trade::MachineState;

pub(super) fn sheet(sheets: &BookSheets, sheet: &mut Sheet, at: FixAt, depth: Detail) {
    let book = sheets.book;
    let fix = &book.fixes[at];
    sheet.title(&super::anchor("fix", &fix.id), &fix.title, &fix.id);
    let cures = fix.cures.iter().map(|(cause, chance)| {
        RichText::default()
            .entry(sheets.cause(*cause))
            .and(format!(" {}", sheets.likelihood(*chance)))
    });
    let cures: Vec<RichText> = cures.collect();
    if depth == Detail::Names {
        cautions(sheets, sheet, &[at]);
        sheet.section("The work");
        work(sheets, sheet, at, "");
        sheet.list("Cures", ListMark::Dot, cures);
    } else {
        sheet.para(facts(sheets, at, ""));
        let mut words = RichText::default().strong("Cures, with the steps on that page: ");
        for (place, cure) in cures.into_iter().enumerate() {
            if place > 0 {
                words = words.and("; ");
            }
            words.0.extend(cure.0);
        }
        sheet.para(words.and("."));
    }
    let mut order = |head: &str, list: &[FixAt]| {
        if !list.is_empty() {
            let words = RichText::default().strong(head.to_owned());
            sheet.para(by_stage(sheets, words, list));
        }
    };
    order("Needs these done, found fine or unlikely to matter first: ", &fix.needs);
    order("Comes after these, when planned too: ", &fix.after);
    if depth == Detail::Names {
        let followers = |of: fn(&Fix) -> &Vec<FixAt>| -> Vec<FixAt> {
            let all = book.fixes.iter();
            let all = all.filter(|(_, other)| of(other).contains(&at));
            all.map(|(other, _)| other).collect()
        };
        order("Needed by: ", &followers(|fix| &fix.needs));
        order("Comes before: ", &followers(|fix| &fix.after));
    }
}

/// Fixes in few words: a stage whose every fix is among them is named as a whole.
fn by_stage(sheets: &BookSheets, mut words: RichText, list: &[FixAt]) -> RichText {
    let fixes = &sheets.book.fixes;
    let mut stages: BTreeMap<Stage, Vec<FixAt>> = BTreeMap::new();
    for fix in list {
        stages.entry(fixes[*fix].stage).or_default().push(*fix);
    }
    for (place, (stage, some)) in stages.into_iter().enumerate() {
        if place > 0 {
            words = words.and("; ");
        }
        let all = fixes.values().filter(|fix| fix.stage == stage).count();
        words = if some.len() == all && all > 1 {
            words.and(format!("all {all} of stage {stage:?}"))
        } else {
            words.entries(some.into_iter().map(|fix| sheets.fix(fix)))
        };
    }
    words.and(".")
}

/// What minutes hang on besides, where they do.
fn hangs_on(takes: &Takes) -> String {
    if takes.is_fixed() {
        return String::new();
    }
    let each = [
        (takes.turns, "turns of the belt"),
        (takes.per_carry_set, "min for each carry set"),
        (takes.per_return_set, "min for each return roll"),
        (takes.per_pulley, "min for each pulley"),
    ];
    let mut of = vec![format!("{} min", takes.fixed_minutes)];
    for (number, words) in each.into_iter().filter(|(number, _)| *number > 0.0) {
        of.push(format!("{number} {words}"));
    }
    format!(" ({})", of.join(", "))
}

/// Machine, minutes, people, tools, conditions, source: in one line.
fn facts(sheets: &BookSheets, at: FixAt, first: &str) -> RichText {
    let fix = &sheets.book.fixes[at];
    let mut words = RichText::default();
    if !first.is_empty() {
        words = words.strong(format!("{first}. "));
    }
    words = match fix.state() {
        MachineState::LockedOut => words.strong("LOCKED OUT"),
        other => words.and(crate::show::letters::capital(super::state(other))),
    };
    words = words.and(format!(
        "; {}{}, {}; stage {:?}",
        minutes(fix.minutes),
        hangs_on(&fix.takes),
        people(fix.people),
        fix.stage
    ));
    if !fix.tools.is_empty() {
        words = words.and(format!("; {}", sheets.fill(&fix.tools.join(", "))));
    }
    words = words.and(".");
    if !fix.parts.is_empty() {
        words = words.strong(" Parts: ").and(format!("{}.", sheets.fill(&fix.parts.join(", "))));
    }
    let only_if = sheets.conditions(&fix.only_if);
    if !only_if.0.is_empty() {
        words = words.strong(" Only if ");
        words.0.extend(only_if.0);
        words = words.and(".");
    }
    words = words.faint(" Source: ");
    words.0.extend(sheets.mark(&fix.source).0);
    words
}

/// The cautions of several fixes, each once.
pub(super) fn cautions(sheets: &BookSheets, sheet: &mut Sheet, fixes: &[FixAt]) {
    let book = sheets.book;
    let mut all: Vec<CautionAt> = Vec::new();
    for fix in fixes.iter().map(|fix| &book.fixes[*fix]) {
        for caution in book.warnings(fix.state(), &fix.cautions) {
            if !all.contains(&caution) {
                all.push(caution);
            }
        }
    }
    if all.is_empty() {
        return;
    }
    sheet.section("Cautions before any of the work");
    for at in all {
        let caution = &book.cautions[at];
        let text = format!("{} ({}) ", sheets.fill(&caution.text), caution.rule);
        sheet.warn(RichText::plain(text).entry(short(&caution.id)));
    }
    sheet.para(RULES_NAMED);
}

/// A caution by its id alone.
fn short(id: &str) -> Bit {
    entry("caution", id, id).without_id()
}

/// The work itself: which cautions, what it begins with, the steps, when it is done, what never to do.
pub(super) fn work(sheets: &BookSheets, sheet: &mut Sheet, at: FixAt, first: &str) {
    let book = sheets.book;
    let fix = &book.fixes[at];
    let words = fix_text(book, &sheets.known(), at, Preface::Nothing);
    sheet.para(facts(sheets, at, first));
    let standing = book.warnings(fix.state(), &[]);
    let own = fix.cautions.iter().filter(|at| !standing.contains(at));
    let ids: Vec<Bit> =
        standing.iter().chain(own).map(|at| short(&book.cautions[*at].id)).collect();
    if !ids.is_empty() {
        sheet.para(RichText::default().strong("Cautions: ").entries(ids).and("."));
    }
    let locked_out = checks(sheets, sheet, at);
    let mut steps: Vec<RichText> = Vec::new();
    if fix.state() == MachineState::LockedOut && !locked_out {
        steps.push(lock_out_first());
    }
    steps.extend(work_lines(&sheets.known(), fix).into_iter().map(RichText::plain));
    let head = if fix.begins_with.is_empty() { "" } else { "When it is called for" };
    sheet.list(head, ListMark::Number, steps);
    sheet.para(RichText::default().strong("Done when: ").and(words.done_when));
    for never in words.never {
        sheet.para(RichText::default().strong("Never: ").and(never));
    }
    if !words.worked.is_empty() {
        sheet.para(RichText::default().strong("It worked: ").and(words.worked));
    }
    let (lead, after_worse) = match &fix.if_worse {
        IfWorse::Undo(how) => ("If it then runs worse, undo it: ", how),
        IfWorse::Stays(look) => ("If it then runs worse, it stays: ", look),
    };
    if !after_worse.is_empty() {
        sheet.para(RichText::default().strong(lead).and(sheets.fill(after_worse)));
    }
    if !fix.lasting {
        sheet.para("It only waits: the belt runs off again with the next such weather.");
    }
}

fn lock_out_first() -> RichText {
    RichText::default().strong("Lock out first, in full: ").entry(safety())
}

/// What it begins with: each look with its minutes, what follows from it, and the question that it answers. Whether
/// it is locked out for one of them.
fn checks(sheets: &BookSheets, sheet: &mut Sheet, at: FixAt) -> bool {
    let fix = &sheets.book.fixes[at];
    if !fix.no_check.is_empty() {
        sheet.para(RichText::default().strong("No check: ").and(sheets.fill(&fix.no_check)));
    }
    let mut lines = check_lines(&sheets.known(), fix).into_iter();
    let mut list: Vec<RichText> = Vec::new();
    let mut locked_out = false;
    for (check, line) in fix.begins_with.iter().zip(lines.by_ref()) {
        let state = check.state(sheets.book);
        if state == MachineState::LockedOut && !locked_out {
            list.push(lock_out_first());
            locked_out = true;
        }
        let words = match state {
            MachineState::Running => RichText::default().strong("While it runs: "),
            MachineState::LockedOut | MachineState::Anywhere => RichText::default(),
        };
        let words = words.and(line);
        list.push(match check.symptom() {
            Some(symptom) => words.faint(" Answers: ").entry(sheets.symptom(symptom)),
            None => words,
        });
    }
    list.extend(lines.map(RichText::plain));
    sheet.list("Begins with", ListMark::Dot, list);
    locked_out
}

/// The page that says how a machine is made dead.
fn safety() -> Bit {
    Bit::Entry {
        anchor: "safety".to_owned(),
        text: "see the safety page".to_owned(),
        id: String::new(),
    }
}
