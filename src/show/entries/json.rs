//! One entry as JSON, for other programs. Keys are added, never renamed or dropped.

use serde_json::{Value, json};

use super::BookSheets;
use crate::rulebook::export::title;
use crate::rulebook::find::EntryAt;
use crate::rulebook::index::{AnswerAt, CauseAt, CautionAt, FixAt, LookAt, Place, SymptomAt};
use crate::rulebook::links::{Link, background};
use crate::rulebook::model::{About, Condition, FixCheck, IfWorse, LooksAt, Source, Takes};
use crate::rulebook::network::Kind;
use crate::show::steps::{Preface, check_order, fix_text, work_lines};
use crate::trade::LookPlace;

/// The entries that an id names, each with the ids of the cases that touch it.
pub fn document(sheets: &BookSheets, entries: &[(EntryAt, Vec<String>)]) -> Value {
    let entries = entries.iter().map(|(at, cases)| {
        let mut value = entry(sheets, *at);
        if let Value::Object(map) = &mut value {
            map.insert("kind".into(), json!(at.kind()));
            map.insert("cases".into(), json!(cases));
        }
        value
    });
    json!({
        "format": 1,
        "book": title(sheets.book),
        "entries": entries.collect::<Vec<_>>(),
    })
}

fn entry(sheets: &BookSheets, at: EntryAt) -> Value {
    let book = sheets.book;
    match at {
        EntryAt::Symptom(at) => symptom(sheets, at),
        EntryAt::Look(at) => look(sheets, at),
        EntryAt::Cause(at) => cause(sheets, at),
        EntryAt::Fix(at) => fix(sheets, at),
        EntryAt::Caution(at) => {
            let caution = &book.cautions[at];
            let fixes = book.fixes.values();
            let fixes = fixes.filter(|fix| fix.cautions.contains(&at));
            json!({
                "id": caution.id, "text": caution.text, "rule": caution.rule,
                "hazard": caution.hazard, "standing": caution.standing,
                "source": source(sheets, &caution.source),
                "before_fixes": fixes.map(|fix| &fix.id).collect::<Vec<_>>(),
            })
        }
        EntryAt::Source(at) => {
            let source = &book.sources[at];
            json!({ "id": source.id, "short": source.short, "cite": source.cite, "grade": source.grade })
        }
        EntryAt::Term(at) => book
            .glossary
            .get(at)
            .map_or(Value::Null, |term| json!({ "id": term.term, "means": term.means })),
        EntryAt::StopNow(at) => book.stop_now.get(at).map_or(Value::Null, |stop| {
            let cautions = stop.cautions.iter().map(|at| &book.cautions[*at].id);
            json!({
                "id": stop.id, "ask": stop.ask,
                "answers": stop.answers.iter().map(
                    |answer| json!({ "id": answer.id, "says": answer.says, "means": answer.means }),
                ).collect::<Vec<_>>(),
                "look": stop.look, "do_now": stop.do_now,
                "tell": stop.tell, "cautions": cautions.collect::<Vec<_>>(),
                "source": source(sheets, &stop.source),
            })
        }),
        EntryAt::EdgeRoom => {
            let room = &book.edge_room;
            let answers = room.answers.iter().map(
                |answer| json!({ "id": answer.id, "says": answer.says, "means": answer.means }),
            );
            json!({
                "id": room.id, "ask": room.ask, "look": room.look, "why": room.why,
                "answers": answers.collect::<Vec<_>>(), "leave_it": room.leave_it,
                "urgent": room.urgent,
                "source": source(sheets, &room.source),
            })
        }
    }
}

fn cause(sheets: &BookSheets, at: CauseAt) -> Value {
    let book = sheets.book;
    let cause = &book.causes[at];
    let ids = |list: &[CauseAt]| -> Vec<String> {
        list.iter().map(|at| book.causes[*at].id.clone()).collect()
    };
    let others = book.causes.values();
    let others = others.filter(|other| other.mistaken_for.contains(&at));
    let fixes = book.fixes.values().filter_map(|fix| {
        let (_, chance) = fix.cures.iter().find(|(cured, _)| *cured == at)?;
        Some(json!({
            "fix": fix.id, "chance": chance, "word": book.words.likelihood(*chance),
        }))
    });
    let links = sheets.links.iter().filter(|link| link.cause == at);
    let on = cause.priors_on.iter().map(|(on, prior)| {
        json!({
            "prior": prior, "how_common": book.words.common(*prior),
            "only_if": conditions(sheets, on),
        })
    });
    let brought_on = cause.brought_on_by.iter().map(|brought| {
        json!({
            "words": sheets.fill(&brought.words), "look_for": sheets.fill(&brought.look_for),
            "job": sheets.fill(&brought.job),
            "cause": brought.cause.map(|at| book.causes[at].id.as_str()),
            "source": source(sheets, &brought.source),
        })
    });
    json!({
        "id": cause.id, "name": cause.name,
        "prior": cause.prior, "how_common": book.words.common(cause.prior),
        "on": on.collect::<Vec<_>>(),
        "happens_because": cause.happens_because, "shows_at": cause.shows_at,
        "specialist": cause.specialist,
        "only_if": conditions(sheets, &cause.only_if),
        "brought_on_by": brought_on.collect::<Vec<_>>(),
        "mistaken_for": ids(&cause.mistaken_for),
        "others_mistaken_for_it": others.map(|other| &other.id).collect::<Vec<_>>(),
        "links": links.map(|l| link(sheets, l)).collect::<Vec<_>>(),
        "fixes": fixes.collect::<Vec<_>>(),
        "source": source(sheets, &cause.source),
    })
}

fn symptom(sheets: &BookSheets, at: SymptomAt) -> Value {
    let book = sheets.book;
    let symptom = &book.symptoms[at];
    let node = &book.network.nodes[at];
    let kind = match &node.kind {
        Kind::Sign { .. } => "sign",
        Kind::Pattern { .. } => "pattern",
        Kind::Grade { .. } => "grade",
        Kind::Marks { .. } => "marks",
    };
    let by_itself = background(node);
    let answers = symptom.named().map(|(at, answer)| {
        let by_itself = by_itself.get(at.position());
        json!({ "id": answer.id, "says": answer.says, "by_itself": by_itself })
    });
    let symptoms = |list: Vec<SymptomAt>| -> Vec<&String> {
        list.into_iter().map(|at| &book.symptoms[at].id).collect()
    };
    let group = symptom.group.and_then(|group| book.group_names.get(group));
    let links = sheets.links.iter().filter(|link| link.symptom == at);
    let given = book.network.nodes.iter();
    let given = given.filter(|(_, node)| node.parents().contains(&at));
    json!({
        "id": symptom.id, "ask": symptom.ask, "look": symptom.how_to_look, "why": symptom.why,
        "kind_of_symptom": kind, "minutes": symptom.minutes, "state": symptom.state.word(),
        "seen_in": book.looks[symptom.look].id, "told_by": symptom.told_by.word(), "tick": symptom.tick,
        "tools": symptom.tools, "opening": symptom.opening, "group": group,
        "answers": answers.collect::<Vec<_>>(),
        "only_if": conditions(sheets, &symptom.only_if),
        "takes_side_from": symptoms(node.parents()),
        "gives_side_to": symptoms(given.map(|(child, _)| child).collect()),
        "links": links.map(|l| link(sheets, l)).collect::<Vec<_>>(),
        "source": source(sheets, &symptom.source),
    })
}

fn look(sheets: &BookSheets, at: LookAt) -> Value {
    let book = sheets.book;
    let look = &book.looks[at];
    json!({
        "id": look.id, "title": look.title, "place": look.place.map(LookPlace::word),
        "state": look.state.word(), "stand": look.stand, "minutes": look.minutes,
        "turns": look.turns, "per_50_m": look.per_50_m_minutes,
        "early_if": conditions(sheets, &look.early_if),
        "symptoms": look.symptoms.iter().map(|at| &book.symptoms[*at].id).collect::<Vec<_>>(),
        "tools": look.tools,
        "cautions": look.cautions.iter().map(|at| &book.cautions[*at].id).collect::<Vec<_>>(),
        "source": source(sheets, &look.source),
    })
}

fn fix(sheets: &BookSheets, at: FixAt) -> Value {
    let book = sheets.book;
    let fix = &book.fixes[at];
    let ids = |list: &[FixAt]| -> Vec<String> {
        list.iter().map(|at| book.fixes[*at].id.clone()).collect()
    };
    let words = fix_text(book, &sheets.known(), at, Preface::Nothing);
    let checks = fix.begins_with.iter().map(|one| check(sheets, one));
    let cures = fix.cures.iter().map(|(cause, chance)| {
        json!({
            "cause": book.causes[*cause].id, "chance": chance,
            "word": book.words.likelihood(*chance),
        })
    });
    let cautions = |list: &[CautionAt]| -> Vec<String> {
        list.iter().map(|at| book.cautions[*at].id.clone()).collect()
    };
    let needed = book.fixes.values().filter(|other| other.needs.contains(&at));
    json!({
        "id": fix.id, "title": fix.title, "stage": fix.stage, "state": fix.state().word(),
        "minutes": fix.minutes, "takes": takes(&fix.takes), "people": fix.people, "tools": fix.tools, "parts": fix.parts,
        "begins_with": checks.collect::<Vec<_>>(), "no_check": fix.no_check, "work": fix.in_short,
        "check_minutes": fix.check_minutes(), "work_minutes": fix.work_minutes(),
        "cures": cures.collect::<Vec<_>>(),
        "after": ids(&fix.after), "needs": ids(&fix.needs),
        "needed_by": needed.map(|other| &other.id).collect::<Vec<_>>(),
        "only_if": conditions(sheets, &fix.only_if),
        "steps": work_lines(&sheets.known(), fix), "done_when": words.done_when,
        "never": words.never, "worked": words.worked, "cautions": cautions(&fix.cautions),
        "lasting": fix.lasting, "if_worse": if_worse(sheets, &fix.if_worse),
        "standing_cautions": cautions(&book.warnings(fix.state(), &[])),
        "source": source(sheets, &fix.source),
    })
}

fn takes(takes: &Takes) -> Value {
    json!({
        "fixed_minutes": takes.fixed_minutes, "turns": takes.turns,
        "per_carry_set": takes.per_carry_set, "per_return_set": takes.per_return_set,
        "per_pulley": takes.per_pulley,
    })
}

fn if_worse(sheets: &BookSheets, if_worse: &IfWorse) -> Value {
    let (undone, words) = match if_worse {
        IfWorse::Undo(how) => (true, how),
        IfWorse::Stays(look) => (false, look),
    };
    json!({ "undone": undone, "words": sheets.fill(words) })
}

fn check(sheets: &BookSheets, check: &FixCheck) -> Value {
    let book = sheets.book;
    let ids = |symptom: SymptomAt, list: &[AnswerAt]| -> Vec<String> {
        book.symptoms[symptom].named_of(list).map(|answer| answer.id.clone()).collect()
    };
    let (symptom, go_on, stop_on) = match &check.looks_at {
        LooksAt::Symptom { at, go_on, stop_on, .. } => {
            (Some(&book.symptoms[*at].id), ids(*at, go_on), ids(*at, stop_on))
        }
        LooksAt::Words { .. } => (None, Vec::new(), Vec::new()),
    };
    json!({
        "symptom": symptom, "words": sheets.fill(check_order(book, check)),
        "state": check.state(book).word(), "minutes": check.minutes,
        "needs": sheets.fill(&check.needs), "go_on": go_on,
        "stop_if": sheets.fill(&check.stop_if), "stop_on": stop_on,
    })
}

fn link(sheets: &BookSheets, link: &Link) -> Value {
    let book = sheets.book;
    let symptom = &book.symptoms[link.symptom];
    let given = link.given.map(|(parent, answer)| {
        let parent = &book.symptoms[parent];
        json!({ "symptom": parent.id, "answer": parent.answers[answer].id })
    });
    json!({
        "symptom": symptom.id, "answer": symptom.told(link.answer),
        "cause": book.causes[link.cause].id,
        "written": link.written, "word": book.words.likelihood(link.written),
        "chance": link.chance, "without": link.without, "decibans": link.decibans(),
        "when": given,
    })
}

fn source(sheets: &BookSheets, source: &Source) -> Value {
    match source {
        Source::Published(at, place) => {
            let known = &sheets.book.sources[*at];
            json!({
                "mark": "published", "id": known.id, "short": known.short, "cite": known.cite,
                "grade": known.grade, "place": place,
            })
        }
        Source::CommonPractice => json!({ "mark": "common-practice" }),
        Source::Memory => json!({ "mark": "memory" }),
        Source::Derived(from) => json!({ "mark": "derived", "from": from }),
    }
}

fn conditions(sheets: &BookSheets, conditions: &[Condition]) -> Vec<Value> {
    let symptoms = &sheets.book.symptoms;
    let condition = |condition: &Condition| match &condition.about {
        About::Conveyor { key, is } => {
            let is: Vec<&str> = is.iter().map(|fact| fact.value()).collect();
            json!({ "about": "conveyor", "key": key.word(), "is": is, "not": condition.not })
        }
        About::Answer { symptom, is } => {
            let symptom = &symptoms[*symptom];
            let is = symptom.named_of(is).map(|answer| &answer.id);
            json!({
                "about": "answer", "key": symptom.id, "is": is.collect::<Vec<_>>(),
                "not": condition.not,
            })
        }
    };
    conditions.iter().map(condition).collect()
}
