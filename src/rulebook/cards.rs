//! What each entry of a book says, field by field in words of the files: what two books are held against each other by.

use std::collections::BTreeMap;

use super::index::{AnswerAt, CauseAt, FixAt, SymptomAt};
use super::links;
use super::model::{
    About, Book, Cause, Condition, Fix, FixCheck, IfWorse, Look, LooksAt, SizeOf, Source, Symptom,
    Work,
};
use super::network::Kind;
use super::written::{LIMIT, READING_ERROR};
use crate::conveyor::quantity::Quantity;
use crate::gauge::{catalogue, read_by};

/// What one entry says.
#[derive(Debug, Clone, PartialEq)]
pub struct EntryCard {
    /// Its kind, as it is called everywhere.
    pub kind: &'static str,
    /// Its id.
    pub id: String,
    /// What people know it by.
    pub name: String,
    /// Where its facts come from.
    pub source: String,
    /// Its fields that say something: what they are called, and what stands in them.
    pub fields: Vec<(&'static str, Vec<String>)>,
}

/// A card being filled in.
struct Fields(Vec<(&'static str, Vec<String>)>);

impl Fields {
    fn put(&mut self, name: &'static str, value: impl Into<String>) {
        let value = value.into();
        if !value.is_empty() {
            self.0.push((name, vec![value]));
        }
    }

    fn list(&mut self, name: &'static str, values: Vec<String>) {
        if !values.is_empty() {
            self.0.push((name, values));
        }
    }
}

/// The cards of a book, in the order of kinds and entries.
pub fn cards(book: &Book) -> Vec<EntryCard> {
    let signs = signs(book);
    let mut all = vec![settings(book)];
    let none = Vec::new();
    for (at, cause) in book.causes.iter() {
        all.push(of_cause(book, cause, signs.get(&at).unwrap_or(&none)));
    }
    for (at, symptom) in book.symptoms.iter() {
        all.push(of_symptom(book, at, symptom));
    }
    all.extend(
        book.looks.values().filter(|look| look.place.is_some()).map(|look| of_look(book, look)),
    );
    all.extend(book.fixes.values().map(|fix| of_fix(book, fix)));
    for caution in book.cautions.values() {
        let mut fields = Fields(Vec::new());
        fields.put("text", &caution.text);
        fields.put("rule", &caution.rule);
        fields.put("hazard", caution.hazard.map_or(String::new(), |hazard| format!("{hazard:?}")));
        fields.put("standing", caution.standing.map_or(String::new(), |s| format!("{s:?}")));
        fields.list("only_if", conditions(book, &caution.only_if));
        let source = source(book, &caution.source);
        all.push(card("caution", &caution.id, &caution.text, source, fields));
    }
    for entry in book.sources.values() {
        let mut fields = Fields(Vec::new());
        fields.put("cite", &entry.cite);
        fields.put("grade", format!("{:?}", entry.grade));
        all.push(card("source", &entry.id, &entry.short, String::new(), fields));
    }
    for term in &book.glossary {
        let mut fields = Fields(Vec::new());
        fields.put("means", &term.means);
        all.push(card("term", &term.term, &term.term, String::new(), fields));
    }
    for tool in &book.tools {
        let mut fields = Fields(Vec::new());
        fields.list("words", tool.words.clone());
        fields.put("held", format!("{:?}", tool.held));
        all.push(card("tool", &tool.name, &tool.name, String::new(), fields));
    }
    before_all(book, &mut all);
    all
}

fn card(kind: &'static str, id: &str, name: &str, source: String, fields: Fields) -> EntryCard {
    EntryCard { kind, id: id.to_owned(), name: name.to_owned(), source, fields: fields.0 }
}

/// What stands once for the whole book.
fn settings(book: &Book) -> EntryCard {
    let mut fields = Fields(Vec::new());
    fields.put("at_most", book.at_most.to_string());
    fields.put("something_else", book.something_else.to_string());
    fields.put("lock_out", minutes(book.minutes.lock_out));
    fields.put("restart_and_watch", minutes(book.minutes.restart_and_watch));
    fields.put("give_up", minutes(book.minutes.give_up));
    fields.put("same_again", book.reports.same_again.to_string());
    fields.put("likelihood", format!("{:?}", book.words.likelihood));
    fields.put("how_common", format!("{:?}", book.words.common));
    fields.put("thresholds", format!("{:?}", book.thresholds));
    fields.list("tell_specialist", book.tell_specialist.clone());
    card("book", "book", &book.name, String::new(), fields)
}

fn of_cause(book: &Book, cause: &Cause, signs: &[String]) -> EntryCard {
    let mut fields = Fields(Vec::new());
    fields.put("name", &cause.name);
    fields
        .put("how_common", format!("{} ({})", book.words.common(cause.prior), short(cause.prior)));
    let on = cause
        .priors_on
        .iter()
        .map(|(on, prior)| format!("{}: {}", conditions(book, on).join(", "), short(*prior)));
    fields.list("on", on.collect());
    fields.put("happens_because", &cause.happens_because);
    fields.put("shows_at", &cause.shows_at);
    fields.list("signs", signs.to_vec());
    let brought = cause.brought_on_by.iter();
    fields.list(
        "brought_on_by",
        brought.map(|b| format!("{} {} {}", b.words, b.look_for, b.job)).collect(),
    );
    let mistaken = cause.mistaken_for.iter().map(|at| book.causes[*at].id.clone());
    fields.list("mistaken_for", mistaken.collect());
    fields.list("only_if", conditions(book, &cause.only_if));
    fields.put("specialist", &cause.specialist);
    fields.put("drilled_as", cause.drilled_as.map_or(String::new(), |fault| format!("{fault:?}")));
    card("cause", &cause.id, &cause.name, source(book, &cause.source), fields)
}

fn of_symptom(book: &Book, at: SymptomAt, symptom: &Symptom) -> EntryCard {
    let mut fields = Fields(Vec::new());
    fields.put("ask", &symptom.ask);
    let answers = symptom.named().map(|(_, answer)| format!("{}: {}", answer.id, answer.says));
    fields.list("answers", answers.collect());
    fields.put("look", &symptom.how_to_look);
    fields.put("why", &symptom.why);
    fields.put("minutes", minutes(symptom.minutes));
    fields.put("state", format!("{:?}", symptom.state));
    fields.put("told_by", format!("{:?}", symptom.told_by));
    fields.put("tick", &symptom.tick);
    fields.list("tools", symptom.tools.clone());
    fields.list("by_itself", by_itself(book, at, symptom));
    fields.put(
        "group",
        symptom.group.and_then(|at| book.group_names.get(at)).cloned().unwrap_or_default(),
    );
    fields.list("only_if", conditions(book, &symptom.only_if));
    let look = book.looks.item(symptom.look).filter(|look| look.place.is_some());
    fields.put("looked at in", look.map_or(String::new(), |look| look.id.clone()));
    card("symptom", &symptom.id, &symptom.ask, source(book, &symptom.source), fields)
}

/// What is seen when none of its causes is there.
fn by_itself(book: &Book, at: SymptomAt, symptom: &Symptom) -> Vec<String> {
    let each = |row: &[f64]| -> Vec<String> {
        let answers = symptom.answers.values().zip(row);
        answers.map(|(answer, chance)| format!("{}: {}", answer.id, short(*chance))).collect()
    };
    match &book.network.nodes[at].kind {
        Kind::Sign { leak, .. } => vec![format!("yes: {}", short(*leak))],
        Kind::Pattern { background, .. } => each(background),
        Kind::Grade { base, .. } => {
            let before = std::iter::once(&0.0).chain(base);
            each(&base.iter().zip(before).map(|(to, from)| to - from).collect::<Vec<_>>())
        }
        Kind::Marks { leaks, .. } => {
            let marks = symptom.named().zip(leaks);
            marks.map(|((_, answer), leak)| format!("{}: {}", answer.id, short(*leak))).collect()
        }
    }
}

fn of_look(book: &Book, look: &Look) -> EntryCard {
    let mut fields = Fields(Vec::new());
    fields.put("title", &look.title);
    fields.put("place", look.place.map_or(String::new(), |place| format!("{place:?}")));
    fields.put("state", format!("{:?}", look.state));
    fields.put("stand", &look.stand);
    fields.put("minutes", minutes(look.minutes));
    fields.put("turns", short(look.turns));
    fields.put("per_50_m", minutes(look.per_50_m_minutes));
    fields.list("early_if", conditions(book, &look.early_if));
    fields.list("symptoms", look.symptoms.iter().map(|at| book.symptoms[*at].id.clone()).collect());
    fields.list("tools", look.tools.clone());
    fields.list("cautions", look.cautions.iter().map(|at| book.cautions[*at].id.clone()).collect());
    card("look", &look.id, &look.title, source(book, &look.source), fields)
}

fn of_fix(book: &Book, fix: &Fix) -> EntryCard {
    let mut fields = Fields(Vec::new());
    fields.put("title", &fix.title);
    fields.put("stage", format!("{:?}", fix.stage));
    let cures =
        fix.cures.iter().map(|(at, chance)| format!("{}: {}", book.causes[*at].id, short(*chance)));
    fields.list("cures", cures.collect());
    fields.list("begins_with", fix.begins_with.iter().map(|check| of_check(book, check)).collect());
    fields.put("work", &fix.in_short);
    fields.put("state", format!("{:?}", fix.state()));
    fields.put("minutes", minutes(fix.minutes));
    fields.put("people", fix.people.to_string());
    fields.list("tools", fix.tools.clone());
    fields.list("parts", fix.parts.clone());
    let ids = |list: &[FixAt]| -> Vec<String> {
        list.iter().map(|at| book.fixes[*at].id.clone()).collect()
    };
    fields.list("after", ids(&fix.after));
    fields.list("needs", ids(&fix.needs));
    fields.list("only_if", conditions(book, &fix.only_if));
    let steps = match &fix.work {
        Work::Running(steps) => steps.iter().map(|step| format!("{step:?}")).collect(),
        Work::LockedOut(steps) => steps.iter().map(|step| format!("{step:?}")).collect(),
    };
    fields.list("steps", steps);
    fields.put("done_when", &fix.done_when.0);
    fields.list("never", fix.never.clone());
    fields.put("worked", &fix.worked);
    fields.put(
        "if_worse",
        match &fix.if_worse {
            IfWorse::Undo(how) | IfWorse::Stays(how) => how.clone(),
        },
    );
    fields.put("lasting", if fix.lasting { "" } else { "false" });
    fields.list("cautions", fix.cautions.iter().map(|at| book.cautions[*at].id.clone()).collect());
    card("fix", &fix.id, &fix.title, source(book, &fix.source), fields)
}

fn of_check(book: &Book, check: &FixCheck) -> String {
    let looks_at = match &check.looks_at {
        LooksAt::Words { words, state } => format!("{words} ({state:?})"),
        LooksAt::Symptom { at, go_on, stop_on, .. } => {
            let symptom = &book.symptoms[*at];
            let ids = |answers: &[AnswerAt]| {
                let answers = symptom.named_of(answers).map(|answer| answer.id.as_str());
                answers.collect::<Vec<_>>().join(" or ")
            };
            let mut words = symptom.id.clone();
            for (answers, does) in [(go_on, "goes on with"), (stop_on, "stops at")] {
                if !answers.is_empty() {
                    words += &format!(", {does} {}", ids(answers));
                }
            }
            words
        }
    };
    let words = [&check.needs, &check.stop_if].map(String::as_str);
    let words = words
        .iter()
        .filter(|words| !words.is_empty())
        .fold(looks_at, |all, words| format!("{all}; {words}"));
    format!("{words}; {}", minutes(check.minutes))
}

fn before_all(book: &Book, all: &mut Vec<EntryCard>) {
    for question in &book.stop_now {
        let mut fields = Fields(Vec::new());
        fields.put("ask", &question.ask);
        let answers = question.answers.iter();
        let answers = answers.map(|a| format!("{}: {} ({:?})", a.id, a.says, a.means));
        fields.list("answers", answers.collect());
        fields.put("look", &question.look);
        fields.list("do_now", question.do_now.clone());
        fields.put("tell", &question.tell);
        let source = source(book, &question.source);
        all.push(card("stop question", &question.id, &question.ask, source, fields));
    }
    let room = &book.edge_room;
    let mut fields = Fields(Vec::new());
    fields.put("ask", &room.ask);
    let answers = room.answers.iter().map(|a| format!("{}: {} ({:?})", a.id, a.says, a.means));
    fields.list("answers", answers.collect());
    fields.put("look", &room.look);
    fields.put("why", &room.why);
    fields.list("leave_it", room.leave_it.clone());
    fields.list("urgent", room.urgent.clone());
    all.push(card("edge room", &room.id, &room.ask, source(book, &room.source), fields));
}

/// The limits of gauges and the errors of readings, as they hold by the book.
fn sizes_of_gauges(book: &Book) -> impl Iterator<Item = EntryCard> {
    let limits = catalogue::limits().map(|limit| (LIMIT, SizeOf::Limit(limit)));
    let errors = read_by::ALL.iter().map(|error| (READING_ERROR, SizeOf::Error(error)));
    limits.chain(errors).map(|(kind, of)| {
        let set = book.gauge_sizes.iter().find(|set| set.of.is(of));
        let size = set.map_or(Quantity::of(of.kind(), of.shipped_si()), |set| set.size);
        let mut fields = Fields(Vec::new());
        fields.put("size", size.exact(of.kind()));
        let damaged = set.map_or(of.is_damaged(), |set| set.damaged);
        fields.put("damaged", if damaged { "true" } else { "" });
        let source = match set {
            Some(set) => self::source(book, &set.source),
            None => shipped_source(book, of),
        };
        card(kind, of.id(), of.what(), source, fields)
    })
}

/// What the program's own size rests on.
fn shipped_source(book: &Book, of: SizeOf) -> String {
    let find = |id: &&str| book.sources.places().find(|at| book.sources[*at].id == **id);
    let mark = of.shipped_mark().try_map(find, |text| (*text).to_owned());
    mark.map_or_else(String::new, |mark| source(book, &mark))
}

/// The signs of each cause, one line each.
fn signs(book: &Book) -> BTreeMap<CauseAt, Vec<String>> {
    let mut rows: BTreeMap<(CauseAt, SymptomAt), Vec<String>> = BTreeMap::new();
    for link in links::all(book) {
        let symptom = &book.symptoms[link.symptom];
        let Some(answer) = symptom.answers.item(link.answer) else { continue };
        // "no" only says again what "yes" says.
        if answer.id == "no" && symptom.answers.len() == 2 {
            continue;
        }
        let given = link.given.map_or(String::new(), |(parent, given)| {
            let parent = &book.symptoms[parent];
            format!("with {} {}: ", parent.id, parent.answers[given].id)
        });
        let row = rows.entry((link.cause, link.symptom)).or_default();
        row.push(format!("{given}{} {}", answer.id, short(link.written)));
    }
    let mut all: BTreeMap<CauseAt, Vec<String>> = BTreeMap::new();
    for ((cause, symptom), row) in rows {
        let line = format!("{}: {}", book.symptoms[symptom].id, row.join(", "));
        all.entry(cause).or_default().push(line);
    }
    all
}

fn conditions(book: &Book, conditions: &[Condition]) -> Vec<String> {
    let one = |condition: &Condition| {
        let not = if condition.not { "not " } else { "" };
        match &condition.about {
            About::Conveyor { key, is } => {
                let is: Vec<&str> = is.iter().map(|fact| fact.value()).collect();
                format!("{} is {not}{}", key.word(), is.join(" or "))
            }
            About::Answer { symptom, is } => {
                let symptom = &book.symptoms[*symptom];
                let is: Vec<&str> = symptom.named_of(is).map(|answer| answer.id.as_str()).collect();
                format!("{} is {not}{}", symptom.id, is.join(" or "))
            }
        }
    };
    conditions.iter().map(one).collect()
}

fn source(book: &Book, source: &Source) -> String {
    match source {
        Source::Published(at, place) => format!("{}, {place}", book.sources[*at].short),
        Source::CommonPractice => "common practice".to_owned(),
        Source::Memory => "from memory".to_owned(),
        Source::Derived(from) => format!("derived from {from}"),
    }
}

fn minutes(minutes: f64) -> String {
    format!("{} min", short(minutes))
}

/// A number with as many digits as tell it.
fn short(number: f64) -> String {
    let text = format!("{number:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    text.to_owned()
}

/// How two books differ in one entry.
#[derive(Debug, Clone, PartialEq)]
pub enum Difference {
    /// Only the new book has it.
    Added(EntryCard),
    /// Only the old book has it.
    Gone(EntryCard),
    /// Both have it, and it says something else.
    Changed {
        /// As it is in the new book.
        card: EntryCard,
        /// Field by field what it said before and says now.
        fields: Vec<FieldChange>,
    },
}

/// What a field said and says; what both say is left out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldChange {
    /// What the field is called.
    pub name: &'static str,
    /// What only the old book says.
    pub before: Vec<String>,
    /// What only the new book says.
    pub after: Vec<String>,
}

impl Difference {
    /// The entry.
    pub fn card(&self) -> &EntryCard {
        match self {
            Self::Added(card) | Self::Gone(card) | Self::Changed { card, .. } => card,
        }
    }
}

/// What differs between two books, in the order of the new one; what is gone stands last.
pub fn differences(old: &Book, new: &Book) -> Vec<Difference> {
    let of = |book| cards(book).into_iter().chain(sizes_of_gauges(book)).collect::<Vec<_>>();
    let (olds, news) = (of(old), of(new));
    let key = |card: &EntryCard| (card.kind, card.id.clone());
    let before: BTreeMap<_, &EntryCard> = olds.iter().map(|card| (key(card), card)).collect();
    let after: BTreeMap<_, &EntryCard> = news.iter().map(|card| (key(card), card)).collect();
    // What only speaks of an entry that one of them does not have is no change of its own.
    let alone = |value: &str| {
        let id = value.split(':').next().unwrap_or(value).to_owned();
        ["fix", "cause", "symptom", "caution"].into_iter().any(|kind| {
            let key = (kind, id.clone());
            before.contains_key(&key) != after.contains_key(&key)
        })
    };
    let mut all = Vec::new();
    for card in &news {
        match before.get(&key(card)) {
            None => all.push(Difference::Added(card.clone())),
            Some(old) => {
                let fields = changed(old, card, &alone);
                if !fields.is_empty() {
                    all.push(Difference::Changed { card: card.clone(), fields });
                }
            }
        }
    }
    let gone = olds.iter().filter(|card| !after.contains_key(&key(card)));
    all.extend(gone.cloned().map(Difference::Gone));
    all
}

fn changed(old: &EntryCard, new: &EntryCard, alone: &dyn Fn(&str) -> bool) -> Vec<FieldChange> {
    let of = |card: &EntryCard, name: &str| -> Vec<String> {
        let field = card.fields.iter().find(|(known, _)| *known == name);
        field.map_or_else(Vec::new, |(_, values)| values.clone())
    };
    let mut names: Vec<&'static str> = new.fields.iter().map(|(name, _)| *name).collect();
    names.extend(
        old.fields
            .iter()
            .map(|(name, _)| *name)
            .filter(|name| new.fields.iter().all(|(known, _)| known != name)),
    );
    let names_others = |name: &str| {
        matches!(name, "mistaken_for" | "symptoms" | "cautions" | "cures" | "signs" | "begins_with")
    };
    // The stages order what is new as well.
    let ordered = |name: &str| matches!(name, "after" | "needs");
    let mut fields = Vec::new();
    for name in names {
        let (was, is) = (of(old, name), of(new, name));
        let only = |these: &[String], those: &[String], follows: bool| -> Vec<String> {
            let only = these.iter().filter(|value| !those.contains(value));
            only.filter(|value| !(follows && alone(value))).cloned().collect()
        };
        let before = only(&was, &is, ordered(name) || names_others(name));
        let after = only(&is, &was, ordered(name));
        if !(before.is_empty() && after.is_empty()) {
            fields.push(FieldChange { name, before, after });
        }
    }
    if old.source != new.source {
        let one = |source: &String| vec![source.clone()];
        fields.push(FieldChange {
            name: "source",
            before: one(&old.source),
            after: one(&new.source),
        });
    }
    fields
}

/// How many of a list of differences are of each sort: added, changed, gone.
pub fn counts(all: &[Difference]) -> (usize, usize, usize) {
    let of = |is: fn(&Difference) -> bool| all.iter().filter(|d| is(d)).count();
    (
        of(|d| matches!(d, Difference::Added(_))),
        of(|d| matches!(d, Difference::Changed { .. })),
        of(|d| matches!(d, Difference::Gone(_))),
    )
}
