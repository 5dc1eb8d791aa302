//! Fixes: what they cure, in which order, with which checks, cautions and ends. Steps are checked in `steps`.

use std::collections::BTreeSet;

use crate::problem::Code;
use crate::rulebook::index::{CauseAt, FixAt, List, Place};
use crate::rulebook::model::{Fix, Stage};
use crate::rulebook::written::{self, Order, Rules};
use crate::source::parse::Spanned;

use super::Desk;
use super::conditions::conditions;
use super::entries::source;
use super::gauges;
use super::names::{Names, each_once};
use super::rows::chance;
use super::settings::Settings;
use super::words::{self, ASK, LONG, SHORT};
use super::{begins_with, steps, tools};

pub(super) fn fixes(
    rules: &Rules,
    names: &Names,
    settings: &Settings,
    desk: &mut Desk,
) -> List<FixAt, Fix> {
    let mut stages: std::collections::BTreeMap<Stage, Vec<FixAt>> =
        std::collections::BTreeMap::new();
    for (position, fix) in rules.fixes.iter().enumerate() {
        stages.entry(fix.stage.value).or_default().push(FixAt::at(position));
    }
    let spoken = tools::Spoken::new(&rules.tools);
    let mut list = List::default();
    for (position, fix) in rules.fixes.iter().enumerate() {
        let me = FixAt::at(position);
        let every = |list: &[Stage]| -> Vec<FixAt> {
            list.iter().filter_map(|stage| stages.get(stage)).flatten().copied().collect()
        };
        let order = |written: &[Order], stage: &[Stage], desk: &mut Desk| -> BTreeSet<FixAt> {
            let mut all: BTreeSet<FixAt> = every(stage).into_iter().collect();
            for before in written {
                match before {
                    Order::Fix(id) if id.text == fix.id.text => {
                        desk.tell(Code::Circle, id.span, "a fix cannot come before itself", "");
                    }
                    Order::Fix(id) => all.extend(names.fixes.find(id, desk)),
                    Order::Every(stage) => all.extend(every(&[stage.value])),
                }
            }
            all.remove(&me);
            all
        };
        let before = settings.stages.get(&fix.stage.value);
        let needs = order(&fix.needs, before.map_or(&[], |b| b.needs.as_slice()), desk);
        let mut after = order(&fix.after, before.map_or(&[], |b| b.after.as_slice()), desk);
        after.retain(|before| !needs.contains(before));
        let work = steps::work(fix, desk);
        let checks = begins_with::checks(fix, rules, names, desk);
        let minutes = words::number(fix.minutes, 0.1..=100_000.0, "minutes", desk);
        begins_with::hold_against(fix, &checks, &work, settings.minutes, desk);
        tools::of_fix(fix, &spoken, desk);
        list.push(Fix {
            id: fix.id.text.clone(),
            title: words::shown(&fix.title, SHORT, desk),
            stage: fix.stage.value,
            cures: cures(fix, names, settings, desk),
            begins_with: checks,
            no_check: begins_with::optional(fix.no_check.as_ref(), LONG, desk),
            in_short: begins_with::optional(fix.work.as_ref(), SHORT, desk),
            work,
            minutes,
            people: people(fix.people, desk),
            tools: words::all_shown(&fix.tools, SHORT, desk),
            parts: words::all_shown(&fix.parts, ASK, desk),
            after: after.into_iter().collect(),
            needs: needs.into_iter().collect(),
            only_if: conditions(&fix.only_if, rules, names, desk),
            done_when: done_when(fix, names, desk),
            never: words::all_shown(&fix.never, LONG, desk),
            worked: fix
                .worked
                .as_ref()
                .map(|text| words::shown(text, LONG, desk))
                .unwrap_or_default(),
            amounts_from: gauges::all(&fix.amounts_from, desk),
            cautions: names.cautions.find_all(&fix.cautions, desk),
            source: source(&fix.source, names, desk),
        });
    }
    list
}

fn cures(
    fix: &written::Fix,
    names: &Names,
    settings: &Settings,
    desk: &mut Desk,
) -> Vec<(CauseAt, f64)> {
    each_once(&fix.cures.iter().map(|cure| &cure.0).collect::<Vec<_>>(), desk);
    if fix.cures.is_empty() {
        desk.tell(
            Code::NoCure,
            fix.id.span,
            format!("the fix `{}` cures nothing", fix.id),
            "write cures: [(\"cause-id\", Usually)]",
        );
    }
    let mut cures: Vec<(CauseAt, f64)> = fix
        .cures
        .iter()
        .filter_map(|cure| {
            let chance = chance(cure.1, &settings.numbers, desk);
            Some((names.causes.find(&cure.0, desk)?, chance))
        })
        .collect();
    cures.sort_by_key(|(cause, _)| *cause);
    cures
}

fn people(people: Option<Spanned<u32>>, desk: &mut Desk) -> u32 {
    let Some(people) = people else { return 1 };
    if !(1..=50).contains(&people.value) {
        desk.tell(
            Code::NumberRange,
            people.span,
            format!("{} people for a fix is out of range", people.value),
            "write a number from 1 to 50",
        );
    }
    people.value
}

fn done_when(
    fix: &written::Fix,
    names: &Names,
    desk: &mut Desk,
) -> (String, crate::rulebook::model::Source) {
    match &fix.done_when {
        Some((text, from)) => (words::shown(text, LONG, desk), source(from, names, desk)),
        None => {
            let help = "write done_when: (\"what shows that it is done\", CommonPractice)";
            desk.tell(
                Code::NoDoneWhen,
                fix.id.span,
                format!("the fix `{}` does not say when it is done", fix.id),
                help,
            );
            (String::new(), crate::rulebook::model::Source::Memory)
        }
    }
}
