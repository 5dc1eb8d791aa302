//! Symptoms, causes, sources and the rest: entry by entry into the model.

use std::collections::HashMap;

use crate::problem::Code;
use crate::rulebook::index::{AnswerAt, CauseAt, List, LookAt, Place, SourceAt, SymptomAt};
use crate::rulebook::model::{
    Answer, BroughtOn, Cause, Condition, Meaning, Source, SourceEntry, Symptom, Term, ToldBy,
};
use crate::rulebook::rules::Rules;
use crate::rulebook::written::{self, SymptomKind};
use crate::source::Span;
use crate::source::parse::Text;
use crate::trade::MachineState;

use super::begins_with::CHECK;
use super::conditions::{conditions, follows};
use super::gauges;
use super::marks;
use super::meanings;
use super::names::{Names, each_once, good_id};
use super::settings::Settings;
use super::words::{self, ASK, CITE, LONG, SHORT};
use super::{Diagnostics, Off};

/// A symptom has at most so many answers.
const MOST_ANSWERS: usize = 12;

pub(super) fn symptoms(
    rules: &Rules,
    names: &Names,
    look_of: &List<SymptomAt, LookAt>,
    diagnostics: &mut Diagnostics,
) -> List<SymptomAt, Symptom> {
    let groups = group_places(rules);
    let mut list = List::default();
    for (symptom, look) in rules.symptoms.iter().zip(look_of.values()) {
        if symptom.kind.value == SymptomKind::Sign {
            no_yes(
                &symptom.answers,
                symptom.id.span,
                "a sign has the answers `no` and `yes`, in this order",
                diagnostics,
            );
        }
        marks::refuse(symptom, diagnostics);
        let means = meanings::answers(symptom, rules, diagnostics);
        let after = |named: &[Text], diagnostics: &mut Diagnostics| {
            marks::any_of(symptom, &gauges::answers(named, &symptom.answers, diagnostics))
        };
        meanings::role_tells(symptom, rules, diagnostics);
        list.push(Symptom {
            id: symptom.id.text.clone(),
            ask: words::shown(&symptom.ask, ASK, diagnostics),
            answers: match marks::is_marks(symptom) {
                true => marks::answers(symptom, &means, diagnostics),
                false => answers(&symptom.answers, &means, symptom.id.span, diagnostics),
            },
            marks: match marks::is_marks(symptom) {
                true => {
                    (0..marks::written(symptom).len()).map(|m| marks::alone(symptom, m)).collect()
                }
                false => Vec::new(),
            },
            how_to_look: words::shown(&symptom.look, LONG, diagnostics),
            look: *look,
            told_by: symptom.told_by.unwrap_or(match symptom.state {
                MachineState::Anywhere => ToldBy::History,
                MachineState::Running | MachineState::LockedOut => ToldBy::Seen,
            }),
            tick: tick(symptom, diagnostics),
            why: words::shown(&symptom.why, LONG, diagnostics),
            drawing: symptom.drawing,
            minutes: words::number(symptom.minutes, 0.05..=1_000.0, "minutes", diagnostics),
            state: symptom.state,
            tools: words::all_shown(&symptom.tools, SHORT, diagnostics),
            opening: symptom.opening.is_some(),
            group: symptom
                .group
                .as_ref()
                .and_then(|group| groups.get(group.text.as_str()).copied()),
            measured: symptom
                .measured_by
                .as_ref()
                .and_then(|by| gauges::measured(by, symptom, diagnostics)),
            also_measured: symptom
                .also_measured_by
                .iter()
                .filter_map(|by| gauges::measured(by, symptom, diagnostics))
                .collect(),
            price_of_screw_after: after(&symptom.price_of_screw_after, diagnostics),
            may_it_run_after: after(&symptom.may_it_run_after, diagnostics),
            drilled_as: meanings::drilled(symptom, &means, diagnostics),
            shift_says: meanings::shift_says(symptom, diagnostics),
            in_logbook: meanings::in_logbook(symptom, diagnostics),
            only_if: conditions(&symptom.only_if, rules, names, diagnostics),
            follows: follows(symptom, rules, names, diagnostics),
            source: source(&symptom.source, names, diagnostics),
        });
    }
    list
}

/// What is ticked when a sign is there: its own words, else those of its yes.
fn tick(symptom: &written::Symptom, diagnostics: &mut Diagnostics) -> String {
    let yes = symptom.answers.iter().find(|(id, _)| id.text == "yes").map(|(_, says)| says);
    match (&symptom.tick, symptom.kind.value) {
        (Some(tick), SymptomKind::Sign) => words::shown(tick, SHORT, diagnostics),
        (None, SymptomKind::Sign) => yes.map_or_else(String::new, |says| says.text.clone()),
        (None, _) => String::new(),
        (Some(tick), _) => {
            let message = format!("`{}` is no sign, so there is nothing to tick", symptom.id);
            let help = "take `tick` out: its answers are shown as they are";
            diagnostics.tell(Code::SignAnswers, tick.span, message, help);
            String::new()
        }
    }
}

pub(super) fn causes(
    rules: &Rules,
    names: &Names,
    settings: &Settings,
    diagnostics: &mut Diagnostics,
) -> List<CauseAt, Cause> {
    let mut list = List::default();
    for cause in &rules.causes {
        let optional = |text: &Option<Text>, diagnostics: &mut Diagnostics| {
            text.as_ref().map(|text| words::shown(text, LONG, diagnostics)).unwrap_or_default()
        };
        list.push(Cause {
            id: cause.id.text.clone(),
            name: words::plain(&cause.name, SHORT, diagnostics),
            prior: settings.numbers.prior(cause.how_common, diagnostics),
            priors_on: priors_on(&cause.on, rules, names, settings, diagnostics),
            happens_because: words::shown(&cause.happens_because, LONG, diagnostics),
            shows_at: optional(&cause.shows_at, diagnostics),
            brought_on_by: brought_on_by(&cause.brought_on_by, names, diagnostics),
            mistaken_for: names.causes.find_all(&cause.mistaken_for, diagnostics),
            only_if: conditions(&cause.only_if, rules, names, diagnostics),
            specialist: optional(&cause.specialist, diagnostics),
            drilled_as: cause.drilled_as,
            not_drilled: optional(&cause.not_drilled, diagnostics),
            source: source(&cause.source, names, diagnostics),
        });
    }
    list
}

/// What brings a cause on. It is looked for while the belt runs, so what is asked puts no hand to it.
fn brought_on_by(
    written: &[written::BroughtOn],
    names: &Names,
    diagnostics: &mut Diagnostics,
) -> Vec<BroughtOn> {
    let one = |brought: &written::BroughtOn| {
        super::hands::near_moving_belt(&brought.look_for, diagnostics);
        BroughtOn {
            words: words::shown(&brought.words, LONG, diagnostics),
            look_for: words::shown(&brought.look_for, ASK, diagnostics),
            job: words::shown(&brought.job, CHECK, diagnostics),
            cause: brought.cause.as_ref().and_then(|id| names.causes.find(id, diagnostics)),
            source: source(&brought.source, names, diagnostics),
        }
    };
    written.iter().map(one).collect()
}

/// How common a cause is on some conveyors. A prior is of the time before any question, so answers do not count.
fn priors_on(
    written: &[written::On],
    rules: &Rules,
    names: &Names,
    settings: &Settings,
    diagnostics: &mut Diagnostics,
) -> Vec<(Vec<Condition>, f64)> {
    let one = |written::On(on, common): &written::On| {
        for asks in on.iter().filter(|condition| condition.value.asks().is_some()) {
            diagnostics.tell(
                Code::PriorOn,
                asks.span,
                "how common a cause is hangs on the conveyor, and on no answer",
                "write Conveyor(\"class\", [\"package\"]); what an answer says of a cause stands among its signs",
            );
        }
        if on.is_empty() {
            let message = "this names no conveyor, so it would hold everywhere";
            diagnostics.tell(Code::PriorOn, common.span, message, "write it as `how_common`");
        }
        let on = conditions(on, rules, names, diagnostics);
        (on, settings.numbers.prior(*common, diagnostics))
    };
    written.iter().map(one).collect()
}

pub(super) fn sources(rules: &Rules, diagnostics: &mut Diagnostics) -> List<SourceAt, SourceEntry> {
    let mut list = List::default();
    for entry in &rules.sources {
        list.push(SourceEntry {
            id: entry.id.text.clone(),
            short: words::plain(&entry.short, SHORT, diagnostics),
            cite: words::plain(&entry.cite, CITE, diagnostics),
            grade: entry.grade,
        });
    }
    list
}

/// Terms in alphabetical order; one defined twice is reported.
pub(super) fn glossary(rules: &Rules, diagnostics: &mut Diagnostics) -> Vec<Term> {
    let mut seen: HashMap<String, Span> = HashMap::new();
    let mut terms = Vec::new();
    for entry in &rules.glossary {
        let term = words::plain(&entry.term, SHORT, diagnostics);
        if let Some(first) = seen.insert(term.to_lowercase(), entry.term.span) {
            let problem = diagnostics
                .problem(
                    Code::TwiceId,
                    entry.term.span,
                    format!("the term `{term}` is defined twice"),
                )
                .also(diagnostics.place(first), "defined here first");
            diagnostics.add(problem);
        }
        terms.push(Term { term, means: words::plain(&entry.means, LONG, diagnostics) });
    }
    terms.sort_by_cached_key(|term| (term.term.to_lowercase(), term.term.clone()));
    terms
}

/// The opening questions in the order of their numbers; a number taken twice is reported.
pub(super) fn opening(
    rules: &Rules,
    names: &Names,
    diagnostics: &mut Diagnostics,
) -> Vec<SymptomAt> {
    let mut places: Vec<(u32, SymptomAt, Span)> = Vec::new();
    for symptom in &rules.symptoms {
        let Some(number) = symptom.opening else {
            continue;
        };
        if let Some((.., first)) = places.iter().find(|(taken, ..)| *taken == number.value) {
            let problem = diagnostics
                .problem(
                    Code::TwiceNamed,
                    number.span,
                    format!("opening place {} is taken already", number.value),
                )
                .also(diagnostics.place(*first), "taken here first");
            diagnostics.add(problem);
        }
        if let Some(at) = names.symptoms.find(&symptom.id, diagnostics) {
            places.push((number.value, at, number.span));
        }
    }
    places.sort_by_key(|(number, at, _)| (*number, *at));
    places.into_iter().map(|(_, at, _)| at).collect()
}

/// The groups in order of their first symptom, and their names.
pub(super) fn groups(
    rules: &Rules,
    off: &Off,
    diagnostics: &mut Diagnostics,
) -> (Vec<Vec<SymptomAt>>, Vec<String>) {
    let places = group_places(rules);
    let mut groups = vec![Vec::new(); places.len()];
    let mut names: Vec<String> = vec![String::new(); places.len()];
    let mut spans: Vec<Option<Span>> = vec![None; places.len()];
    for (position, symptom) in rules.symptoms.iter().enumerate() {
        let Some(group) = &symptom.group else {
            continue;
        };
        good_id(group, diagnostics);
        let Some(&at) = places.get(group.text.as_str()) else {
            continue;
        };
        if let (Some(list), Some(name), Some(span)) =
            (groups.get_mut(at), names.get_mut(at), spans.get_mut(at))
        {
            list.push(SymptomAt::at(position));
            name.clone_from(&group.text);
            *span = Some(group.span);
        }
    }
    for (list, span) in groups.iter().zip(spans) {
        let alone = |at: &SymptomAt| {
            let group = rules.symptoms.get(at.position()).and_then(|s| s.group.as_ref());
            group.is_some_and(|group| !off.groups.contains(&group.text))
        };
        if let ([only], Some(span)) = (list.as_slice(), span)
            && alone(only)
        {
            diagnostics.tell(
                Code::Group,
                span,
                "no other symptom is in this group",
                "a group joins questions that differ merely in wording",
            );
        }
    }
    (groups, names)
}

fn group_places(rules: &Rules) -> HashMap<&str, usize> {
    let mut places = HashMap::new();
    for group in rules.symptoms.iter().filter_map(|symptom| symptom.group.as_ref()) {
        let next = places.len();
        places.entry(group.text.as_str()).or_insert(next);
    }
    places
}

/// Where something comes from.
pub(super) fn source(
    written: &written::Source,
    names: &Names,
    diagnostics: &mut Diagnostics,
) -> Source {
    match written {
        written::Source::Published(id, place) => {
            let place = words::plain(place, LONG, diagnostics);
            names
                .sources
                .find(id, diagnostics)
                .map_or(Source::Memory, |at| Source::Published(at, place))
        }
        written::Source::CommonPractice => Source::CommonPractice,
        written::Source::Memory => Source::Memory,
        written::Source::Derived(from) => Source::Derived(words::plain(from, LONG, diagnostics)),
    }
}

fn answers(
    written: &[(Text, Text)],
    means: &[Option<Meaning>],
    whose: Span,
    diagnostics: &mut Diagnostics,
) -> List<AnswerAt, Answer> {
    if !(2..=MOST_ANSWERS).contains(&written.len()) {
        let message = format!("{} answers: a question has 2 to {MOST_ANSWERS}", written.len());
        diagnostics.tell(Code::SignAnswers, first(written, whose), message, "");
    }
    each_once(&written.iter().map(|(id, _)| id).collect::<Vec<_>>(), diagnostics);
    let mut list = List::default();
    for ((id, says), means) in written.iter().zip(means) {
        good_id(id, diagnostics);
        if id.text == "unknown" {
            diagnostics.tell(
                Code::BadId,
                id.span,
                "`unknown` is the answer of whoever can't tell",
                "every question has that by itself",
            );
        }
        list.push(Answer {
            id: id.text.clone(),
            says: words::shown(says, SHORT, diagnostics),
            means: *means,
        });
    }
    list
}

/// The place of the first answer, or of the entry if it has none.
fn first(answers: &[(Text, Text)], whose: Span) -> Span {
    answers.first().map_or(whose, |(id, _)| id.span)
}

fn no_yes(answers: &[(Text, Text)], whose: Span, message: &str, diagnostics: &mut Diagnostics) {
    let ids: Vec<&str> = answers.iter().map(|(id, _)| id.text.as_str()).collect();
    if ids != ["no", "yes"] {
        diagnostics.tell(
            Code::SignAnswers,
            first(answers, whose),
            message,
            "write [(\"no\", \"...\"), (\"yes\", \"...\")]",
        );
    }
}
