//! What a site switches off, and what goes with it.

use super::steps::safety_cautions;
use super::{Over, looks};
use crate::problem::{Code, Problem, Report, near, plural};
use crate::rulebook::check::Off;
use crate::rulebook::rules::Rules;
use crate::rulebook::site::Which;
use crate::rulebook::written::{self, Condition};
use crate::source::parse::{Spanned, Text};
use crate::source::{Span, Texts};

/// Symptoms and fixes that wait for an answer to a symptom that is switched off would wait for ever:
/// they go too, and that is told.
pub(super) fn closed_for_good(base: &mut Rules, off: &mut Off, texts: &Texts, report: &mut Report) {
    let waits = |conditions: &[Spanned<Condition>], off: &Off| {
        conditions.iter().find_map(|condition| {
            let asked = condition.value.asks()?;
            let by = off.by.get(&("symptom", asked.text.clone()))?;
            Some((condition.span, asked.text.clone(), *by))
        })
    };
    let mut tell = |what: &str, id: &str, (span, asked, by): &(Span, String, Span)| {
        let message = format!("the {what} `{id}` waits for `{asked}`, so it is off too");
        let problem = Problem::at(Code::Unreachable, texts.place(*by), message)
            .also(texts.place(*span), "here it waits");
        let entry = if what == "fix" { "Fix" } else { "Symptom" };
        report
            .add(problem.help(format!("write {entry}(\"{id}\") beside it, so that this is meant")));
    };
    while let Some((at, why)) = base
        .symptoms
        .iter()
        .enumerate()
        .find_map(|(at, symptom)| Some((at, waits(&symptom.only_if, off)?)))
    {
        let symptom = base.symptoms.remove(at);
        tell("symptom", &symptom.id, &why);
        off.by.insert(("symptom", symptom.id.text.clone()), why.2);
        off.groups.extend(symptom.group.as_ref().map(|group| group.text.clone()));
        off.symptoms.insert(symptom.value.id.text);
    }
    let closed: Vec<(Text, (Span, String, Span))> = (base.fixes.iter())
        .filter_map(|fix| Some((fix.id.clone(), waits(&fix.only_if, off)?)))
        .collect();
    for (id, why) in closed {
        tell("fix", &id, &why);
        fix_off(base, &id.text, why.2, off);
    }
}

/// Takes a fix away, and notes what it cured.
fn fix_off(base: &mut Rules, id: &str, by: Span, off: &mut Off) {
    for fix in base.fixes.iter().filter(|fix| fix.id.text == id) {
        off.uncured.extend(fix.cures.iter().map(|cure| (cure.0.text.clone(), by)));
    }
    base.fixes.retain(|fix| fix.id.text != id);
    off.by.insert(("fix", id.to_owned()), by);
    off.fixes.insert(id.to_owned());
}

/// Takes an entry away. A fix that then cures nothing goes with it.
pub(super) fn switch_off(
    base: &mut Rules,
    which: Which,
    off: &mut Off,
    texts: &Texts,
    report: &mut Report,
) {
    let (what, id, known): (_, _, Vec<&str>) = match &which {
        Which::Cause(id) => ("cause", id, base.causes.iter().map(|c| &*c.id.text).collect()),
        Which::Symptom(id) => ("symptom", id, base.symptoms.iter().map(|s| &*s.id.text).collect()),
        Which::Look(id) => ("look", id, base.looks.iter().map(|l| &*l.id.text).collect()),
        Which::Fix(id) => ("fix", id, base.fixes.iter().map(|f| &*f.id.text).collect()),
        Which::Caution(id) => ("caution", id, base.cautions.iter().map(|c| &*c.id.text).collect()),
    };
    let gone = match what {
        "cause" => &off.causes,
        "symptom" => &off.symptoms,
        "look" => &off.looks,
        "caution" => &off.cautions,
        _ => &off.fixes,
    };
    if gone.contains(&id.text) {
        off.by.insert((what, id.text.clone()), id.span);
        return;
    }
    if !known.contains(&id.text.as_str()) {
        let message = format!("the book below has no {what} `{id}` to switch off");
        let problem = Problem::at(Code::UnknownId, texts.place(id.span), message);
        report.add(near(problem, id, known, &plural(what)));
        return;
    }
    match which {
        Which::Cause(id) => cause_off(base, &id, off),
        Which::Symptom(id) => {
            if let Some(role) = base.book.as_ref().and_then(|book| book.value.roles.of(&id.text)) {
                let message = format!(
                    "`{id}` cannot be switched off: it has the role `{role}`, which steps and drawings speak of"
                );
                let problem = Problem::at(Code::Needed, texts.place(id.span), message);
                report.add(problem.help(
                    "switch off the causes that it tells of: a question that tells nothing is not asked",
                ));
                return;
            }
            let gone = base.symptoms.iter().filter(|symptom| symptom.id.text == id.text);
            off.groups
                .extend(gone.filter_map(|s| s.group.as_ref()).map(|group| group.text.clone()));
            base.symptoms.retain(|symptom| symptom.id.text != id.text);
            off.by.insert(("symptom", id.text.clone()), id.span);
            off.symptoms.insert(id.text);
        }
        Which::Look(id) => {
            off.by.insert(("look", id.text.clone()), id.span);
            looks::switch_off(base, &id, off);
        }
        Which::Fix(id) => fix_off(base, &id.text, id.span, off),
        Which::Caution(id) => {
            if safety_cautions(&base.cautions).contains(&id.text) {
                Over { below: Vec::new(), texts, report }.safety(&id);
                return;
            }
            base.cautions.retain(|caution| caution.id.text != id.text);
            off.by.insert(("caution", id.text.clone()), id.span);
            off.cautions.insert(id.text);
        }
    }
}

/// Takes a cause away, with the fixes that cure nothing else. Its questions stay, and are told of no more when nothing
/// else hangs on them.
fn cause_off(base: &mut Rules, id: &Text, off: &mut Off) {
    for cause in base.causes.iter().filter(|cause| cause.id.text == id.text) {
        off.idle.extend(cause.signs.iter().map(|sign| sign.symptom().text.clone()));
        off.faults.extend(cause.drilled_as);
    }
    let linked = |seen: &written::SeenWith| seen.0.text == id.text;
    let seen = base.symptoms.iter().filter(|symptom| symptom.seen_with.iter().any(linked));
    off.idle.extend(seen.map(|symptom| symptom.id.text.clone()));
    base.causes.retain(|cause| cause.id.text != id.text);
    off.by.insert(("cause", id.text.clone()), id.span);
    off.causes.insert(id.text.clone());
    let cures_nothing = |fix: &&Spanned<written::Fix>| {
        !fix.cures.is_empty() && fix.cures.iter().all(|cure| off.causes.contains(&cure.0.text))
    };
    let gone: Vec<String> =
        base.fixes.iter().filter(cures_nothing).map(|fix| fix.id.text.clone()).collect();
    for fix in gone {
        fix_off(base, &fix, id.span, off);
    }
}
