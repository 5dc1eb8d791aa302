//! What reads the same and should not, and what is joined and is not the same: names, answers, groups, and entries that
//! name themselves.

use std::collections::HashMap;

use crate::problem::Code;
use crate::rulebook::rules::Rules;
use crate::rulebook::written::Symptom;
use crate::source::Span;
use crate::source::parse::Text;

use super::Diagnostics;

/// Names that stand twice: told of once nothing else is wrong.
pub(super) fn twice(rules: &Rules, diagnostics: &mut Diagnostics) {
    names("cause", rules.causes.iter().map(|cause| &cause.name), diagnostics);
    names("fix", rules.fixes.iter().map(|fix| &fix.title), diagnostics);
    names("look", rules.looks.iter().map(|look| &look.title), diagnostics);
    names("question", rules.symptoms.iter().map(|symptom| &symptom.ask), diagnostics);
    names("stop question", rules.stop_now.iter().map(|question| &question.ask), diagnostics);
    names("source", rules.sources.iter().map(|source| &source.short), diagnostics);
}

pub(super) fn alike(rules: &Rules, diagnostics: &mut Diagnostics) {
    for symptom in &rules.symptoms {
        answers(symptom.answers.iter().map(|(_, says)| says), diagnostics);
    }
    for question in &rules.stop_now {
        answers(question.answers.iter().map(|answer| &answer.says), diagnostics);
    }
    if let Some(room) = &rules.edge_room {
        answers(room.answers.iter().map(|answer| &answer.says), diagnostics);
    }
    groups(rules, diagnostics);
    themselves(rules, diagnostics);
}

/// Words as people read them: capitals and blanks aside.
fn read(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

fn names<'r>(what: &str, all: impl Iterator<Item = &'r Text>, diagnostics: &mut Diagnostics) {
    let mut seen: HashMap<String, Span> = HashMap::new();
    for text in all.filter(|text| !text.trim().is_empty()) {
        let Some(first) = seen.get(&read(text)) else {
            seen.insert(read(text), text.span);
            continue;
        };
        let problem = diagnostics
            .problem(Code::SameName, text.span, format!("another {what} has these words already"))
            .says("again here")
            .also(diagnostics.place(*first), "here first")
            .help("say what is different about it: ids are not shown at the belt");
        diagnostics.add(problem);
    }
}

fn answers<'r>(all: impl Iterator<Item = &'r Text>, diagnostics: &mut Diagnostics) {
    let mut seen: HashMap<String, Span> = HashMap::new();
    for says in all.filter(|says| !says.trim().is_empty()) {
        if let Some(first) = seen.insert(read(says), says.span) {
            let problem = diagnostics
                .problem(Code::SameAnswers, says.span, "another answer has these words already")
                .says("again here")
                .also(diagnostics.place(first), "here first")
                .help("say in a few words what parts the two");
            diagnostics.add(problem);
        }
    }
}

/// Questions of one group count as one, so they have to be of one kind and answered in the same way.
fn groups(rules: &Rules, diagnostics: &mut Diagnostics) {
    let mut firsts: HashMap<&str, &Symptom> = HashMap::new();
    for symptom in &rules.symptoms {
        let Some(group) = &symptom.group else { continue };
        let Some(first) = firsts.get(group.text.as_str()) else {
            firsts.insert(&group.text, symptom);
            continue;
        };
        let unlike = if first.kind.value != symptom.kind.value {
            format!("one is a {:?}, the other a {:?}", first.kind.value, symptom.kind.value)
        } else if first.answers.len() != symptom.answers.len() {
            format!("one has {} answers, the other {}", first.answers.len(), symptom.answers.len())
        } else {
            continue;
        };
        let message = format!("`{}` and `{}` are in one group, and {unlike}", first.id, symptom.id);
        let problem = diagnostics
            .problem(Code::UnlikeGroup, group.span, message)
            .also(diagnostics.place(first.id.span), "the first of the group")
            .help("a group joins questions that ask the same in other words: take one of them out of it");
        diagnostics.add(problem);
    }
}

fn themselves(rules: &Rules, diagnostics: &mut Diagnostics) {
    for cause in &rules.causes {
        let brought = cause.brought_on_by.iter().filter_map(|brought| brought.cause.as_ref());
        for (field, named) in cause
            .mistaken_for
            .iter()
            .map(|named| ("mistaken_for", named))
            .chain(brought.map(|named| ("brought_on_by", named)))
            .filter(|(_, named)| named.text == cause.id.text)
        {
            let message = format!("`{}` names itself under {field}", cause.id);
            diagnostics.tell(
                Code::Itself,
                named.span,
                message,
                "name the other cause that is meant",
            );
        }
    }
}
