//! Fixes: what they cure, in which order, with which checks, cautions and ends. Steps are checked in `steps`.

use std::collections::BTreeSet;

use crate::problem::Code;
use crate::rulebook::index::{CauseAt, FixAt, List, Place};
use crate::rulebook::model::{Fix, IfWorse, Stage};
use crate::rulebook::rules::Rules;
use crate::rulebook::written::{self, Order};
use crate::source::parse::Spanned;

use super::Diagnostics;
use super::conditions::conditions;
use super::entries::source;
use super::gauges;
use super::names::{Names, each_once};
use super::rows::chance;
use super::settings::Settings;
use super::words::{self, ASK, LONG, SHORT};
use super::{begins_with, steps, takes, tools};

pub(super) fn fixes(
    rules: &Rules,
    names: &Names,
    settings: &Settings,
    diagnostics: &mut Diagnostics,
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
        let order = |written: &[Order],
                     stage: &[Stage],
                     diagnostics: &mut Diagnostics|
         -> BTreeSet<FixAt> {
            let mut all: BTreeSet<FixAt> = every(stage).into_iter().collect();
            for before in written {
                match before {
                    Order::Fix(id) if id.text == fix.id.text => {
                        diagnostics.tell(
                            Code::Circle,
                            id.span,
                            "a fix cannot come before itself",
                            "",
                        );
                    }
                    Order::Fix(id) => all.extend(names.fixes.find(id, diagnostics)),
                    Order::Every(stage) => all.extend(every(&[stage.value])),
                }
            }
            all.remove(&me);
            all
        };
        let before = settings.stages.get(&fix.stage.value);
        let needs = order(&fix.needs, before.map_or(&[], |b| b.needs.as_slice()), diagnostics);
        let mut after = order(&fix.after, before.map_or(&[], |b| b.after.as_slice()), diagnostics);
        after.retain(|before| !needs.contains(before));
        let work = steps::work(fix, diagnostics);
        let checks = begins_with::checks(fix, rules, names, settings.unknown, diagnostics);
        let takes = takes::takes((fix.minutes, 0.1..=100_000.0), fix.besides(), diagnostics);
        begins_with::hold_against(fix, takes, (&checks, &work), settings, diagnostics);
        tools::of_fix(fix, &spoken, diagnostics);
        list.push(Fix {
            id: fix.id.text.clone(),
            title: words::shown(&fix.title, SHORT, diagnostics),
            stage: fix.stage.value,
            cures: cures(fix, names, settings, diagnostics),
            begins_with: checks,
            no_check: begins_with::optional(fix.no_check.as_ref(), LONG, diagnostics),
            in_short: begins_with::optional(fix.work.as_ref(), SHORT, diagnostics),
            work,
            minutes: takes.on(settings.unknown),
            takes,
            people: people(fix.people, diagnostics),
            tools: words::all_shown(&fix.tools, SHORT, diagnostics),
            parts: words::all_shown(&fix.parts, ASK, diagnostics),
            after: after.into_iter().collect(),
            needs: needs.into_iter().collect(),
            only_if: conditions(&fix.only_if, rules, names, diagnostics),
            done_when: done_when(fix, names, diagnostics),
            never: words::all_shown(&fix.never, LONG, diagnostics),
            worked: fix
                .worked
                .as_ref()
                .map(|text| words::shown(text, LONG, diagnostics))
                .unwrap_or_default(),
            amounts_from: gauges::all(&fix.amounts_from, diagnostics),
            lasting: fix.lasting,
            if_worse: if_worse(fix, diagnostics),
            cautions: names.cautions.find_all(&fix.cautions, diagnostics),
            source: source(&fix.source, names, diagnostics),
        });
    }
    list
}

fn cures(
    fix: &written::Fix,
    names: &Names,
    settings: &Settings,
    diagnostics: &mut Diagnostics,
) -> Vec<(CauseAt, f64)> {
    each_once(&fix.cures.iter().map(|cure| &cure.0).collect::<Vec<_>>(), diagnostics);
    if fix.cures.is_empty() {
        diagnostics.tell(
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
            let chance = chance(cure.1, &settings.numbers, diagnostics);
            Some((names.causes.find(&cure.0, diagnostics)?, chance))
        })
        .collect();
    cures.sort_by_key(|(cause, _)| *cause);
    cures
}

/// What was moved goes back to its marks unless the fix says otherwise; where nothing was moved nothing can go back.
fn if_worse(fix: &written::Fix, diagnostics: &mut Diagnostics) -> IfWorse {
    use written::Step as W;
    let moves = |step: &Spanned<W>| {
        matches!(step.value, W::MoveEnd { .. } | W::Move { .. } | W::Raise { .. } | W::Tension(_))
    };
    match &fix.if_worse {
        Some(written::IfWorse::Undo(how)) => IfWorse::Undo(words::shown(how, LONG, diagnostics)),
        Some(written::IfWorse::Stays(look)) => {
            IfWorse::Stays(words::shown(look, LONG, diagnostics))
        }
        None if fix.steps.iter().any(moves) => IfWorse::Undo(String::new()),
        None => IfWorse::Stays(String::new()),
    }
}

fn people(people: Option<Spanned<u32>>, diagnostics: &mut Diagnostics) -> u32 {
    let Some(people) = people else { return 1 };
    if !(1..=50).contains(&people.value) {
        diagnostics.tell(
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
    diagnostics: &mut Diagnostics,
) -> (String, crate::rulebook::model::Source) {
    match &fix.done_when {
        Some((text, from)) => {
            (words::shown(text, LONG, diagnostics), source(from, names, diagnostics))
        }
        None => {
            let help = "write done_when: (\"what shows that it is done\", CommonPractice)";
            diagnostics.tell(
                Code::NoDoneWhen,
                fix.id.span,
                format!("the fix `{}` does not say when it is done", fix.id),
                help,
            );
            (String::new(), crate::rulebook::model::Source::Memory)
        }
    }
}
