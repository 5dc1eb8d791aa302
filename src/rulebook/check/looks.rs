//! Looks: each symptom in one of them and of its state, nothing in them that puts a hand to a moving belt. A symptom
//! that is in none has one of its own.

use std::collections::HashMap;

use crate::problem::Code;
use crate::rulebook::index::{List, LookAt, Place, SymptomAt};
use crate::rulebook::model::{Look, Symptom};
use crate::rulebook::rules::Rules;
use crate::rulebook::written;
use crate::source::Span;
use crate::source::parse::{Spanned, Text};
use crate::trade::MachineState;

use super::conditions::conditions;
use super::entries::source;
use super::names::Names;
use super::words::{self, SHORT};
use super::{Diagnostics, Off, hands, tools};

/// Most characters of a look's title.
const TITLE: usize = 38;
/// Most characters of where to stand.
const STAND: usize = 160;

/// The looks of the files, and for each symptom which look shows it: one of these, or the next that comes after them
/// ([`lone`]).
pub(super) fn looks(
    rules: &Rules,
    names: &Names,
    off: &Off,
    diagnostics: &mut Diagnostics,
) -> (List<LookAt, Look>, List<SymptomAt, LookAt>) {
    let mut list = List::default();
    let mut shown: HashMap<SymptomAt, (LookAt, Span)> = HashMap::new();
    for written in rules.looks.iter().map(|look| &look.value) {
        let look = look(written, rules, names, diagnostics);
        if written.symptoms.is_empty() {
            diagnostics.tell(
                Code::IdleLook,
                written.id.span,
                format!("the look `{}` shows nothing", written.id),
                "name under symptoms what is seen there, or take the look out",
            );
        }
        // One of which everything is switched off goes with it.
        if look.symptoms.is_empty() {
            continue;
        }
        let at = list.push(look);
        for named in &written.symptoms {
            if let Some(symptom) = names.symptoms.known(named) {
                same_state(written, named, symptom, rules, diagnostics);
                in_one_look(named, (symptom, at), &mut shown, diagnostics);
            }
        }
    }
    let mut next = list.len();
    let mut of = List::default();
    for (position, symptom) in rules.symptoms.iter().enumerate() {
        of.push(match shown.get(&SymptomAt::at(position)) {
            Some((at, _)) => *at,
            None => {
                in_no_look(symptom, (rules, names, off), diagnostics);
                next += 1;
                LookAt::at(next - 1)
            }
        });
    }
    (list, of)
}

/// Each symptom that is in none of the looks gets one of its own, after them.
pub(super) fn lone(looks: &mut List<LookAt, Look>, symptoms: &List<SymptomAt, Symptom>) {
    for (at, symptom) in symptoms.iter() {
        if looks.item(symptom.look).is_none() {
            looks.push(Look::of_its_own(at, symptom));
        }
    }
}

fn look(
    written: &written::Look,
    rules: &Rules,
    names: &Names,
    diagnostics: &mut Diagnostics,
) -> Look {
    tools::of_look(written, &rules.tools, diagnostics);
    if written.state.value != MachineState::LockedOut {
        hands::near_moving_belt(&written.stand, diagnostics);
    }
    waits_for_itself(written, diagnostics);
    let none_or = |number: Option<Spanned<f64>>, most, what, diagnostics: &mut Diagnostics| {
        number.map_or(0.0, |number| words::number(number, 0.0..=most, what, diagnostics))
    };
    Look {
        id: written.id.text.clone(),
        title: words::shown(&written.title, TITLE, diagnostics),
        place: Some(written.place),
        state: written.state.value,
        stand: words::shown(&written.stand, STAND, diagnostics),
        minutes: words::number(written.minutes, 0.0..=1_000.0, "minutes", diagnostics),
        turns: none_or(written.turns, 100.0, "turns of the belt", diagnostics),
        per_50_m_minutes: none_or(written.per_50_m, 1_000.0, "minutes", diagnostics),
        early_if: conditions(&written.early_if, rules, names, diagnostics),
        symptoms: names.symptoms.find_all(&written.symptoms, diagnostics),
        tools: words::all_shown(&written.tools, SHORT, diagnostics),
        cautions: names.cautions.find_all(&written.cautions, diagnostics),
        source: source(&written.source, names, diagnostics),
    }
}

/// What brings a look forward is known before it: its own answers are not.
fn waits_for_itself(written: &written::Look, diagnostics: &mut Diagnostics) {
    for condition in &written.early_if {
        let Some(asked) = condition.value.asks() else { continue };
        if let Some(own) = written.symptoms.iter().find(|own| own.text == asked.text) {
            let message =
                format!("early_if waits for the answer to `{asked}`, which this look gives");
            let problem = diagnostics
                .problem(Code::Circle, asked.span, message)
                .also(diagnostics.place(own.span), "it is looked at here")
                .help("name what is known before: an answer of another look, or a fact of the conveyor");
            diagnostics.add(problem);
        }
    }
}

/// One look is one state of the machine, that of all its symptoms.
fn same_state(
    written: &written::Look,
    named: &Text,
    symptom: SymptomAt,
    rules: &Rules,
    diagnostics: &mut Diagnostics,
) {
    let Some(entry) = rules.symptoms.get(symptom.position()) else { return };
    if entry.state == written.state.value {
        return;
    }
    let message = format!(
        "`{named}` is looked at in the state {:?}, and this look is {:?}",
        entry.state, written.state.value
    );
    let problem = diagnostics
        .problem(Code::LookState, named.span, message)
        .also(diagnostics.place(written.state.span), "the state of the look")
        .also(diagnostics.place(entry.id.span), "the symptom is declared here")
        .help("put it into a look of its own state");
    diagnostics.add(problem);
}

fn in_one_look(
    named: &Text,
    (symptom, look): (SymptomAt, LookAt),
    shown: &mut HashMap<SymptomAt, (LookAt, Span)>,
    diagnostics: &mut Diagnostics,
) {
    let (first, span) = *shown.entry(symptom).or_insert((look, named.span));
    if first != look {
        let problem = diagnostics
            .problem(Code::TwoLooks, named.span, format!("`{named}` is in another look already"))
            .also(diagnostics.place(span), "named here first")
            .help("leave it where it is seen best: one symptom is looked at in one place");
        diagnostics.add(problem);
    }
}

/// Where the book has looks, a symptom in none of them is told of, and so is a look that takes its name.
fn in_no_look(
    written: &written::Symptom,
    (rules, names, off): (&Rules, &Names, &Off),
    diagnostics: &mut Diagnostics,
) {
    let id = &written.id;
    if !rules.looks.is_empty() && !off.out_of_looks.contains(&id.text) {
        diagnostics.tell(
            Code::NoLook,
            id.span,
            format!("`{id}` is in no look, so nobody is told where to stand for it"),
            "name it under symptoms of a look; a site puts it into one of the book's with `change` in site.ron",
        );
    }
    if let Some(look) = names.looks.declared(id) {
        let message =
            format!("`{id}` is a symptom in no look, so it has a look of that id already");
        let problem = diagnostics
            .problem(Code::TwiceId, look, message)
            .also(diagnostics.place(id.span), "the symptom is declared here")
            .help("name the symptom in this look, or give the look another id");
        diagnostics.add(problem);
    }
}
