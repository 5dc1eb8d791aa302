//! A kept visit turned into cases: what its answers alone must lead to, and what it came to in the end.
//! Names of people, conveyors and sides stay out.

use super::case::{cases_file, map, map_written, more_expectations, put_map, some_map};
use super::entries::{NewFile, put, put_list, put_or};
use crate::rulebook::index::CauseAt;
use crate::rulebook::model::Book;
use crate::rulebook::writer::{Entry, quoted_list};
use crate::source::quoted;
use crate::visit::clock::date;
use crate::visit::event::Ended;
use crate::visit::store::Record;
use crate::visit::{
    Depth, Diagnosis, Finding, FoundReport, Machine, Observations, Reply, SecondReplies,
    VisitState, replay,
};

const C: &str = "case";

/// What became of a visit.
pub(super) enum FromVisit {
    /// A file of cases.
    Cases(NewFile),
    /// Nothing can be expected of it, for this reason.
    Nothing(&'static str),
}

/// The cases of a visit.
pub(super) fn cases(book: &Book, record: &Record) -> FromVisit {
    let now = replay(book, &record.conveyor, &record.events);
    if now.ended == Some(Ended::StoppedNow) {
        return FromVisit::Nothing("it was stopped at once, for safety, and nothing was found out");
    }
    let answers = answers(book, &now.observed);
    if answers.is_empty() {
        return FromVisit::Nothing("no question of this rule book was answered in it");
    }
    let told = CaseWriter {
        book,
        now: &now,
        answers,
        source: format!(
            "Derived({})",
            quoted(&format!("visit {} of {}", record.visit, date(record.begun)))
        ),
    };
    let number = record.visit;
    let confirmed = confirmed(&now);
    let entries = match confirmed.as_slice() {
        [] => match told.leading_now(number) {
            Some(entry) => vec![entry],
            None => {
                return FromVisit::Nothing("no cause of this rule book applies to its conveyor");
            }
        },
        confirmed => told.what_was_found(number, confirmed),
    };
    let mut head = vec![format!(
        "From visit {number} of {}. Give the cases titles that say what they are about.",
        date(record.begun)
    )];
    if !now.unknown.is_empty() {
        head.push(format!(
            "Left out, since the rule book does not have it: {}.",
            now.unknown.join(", ")
        ));
    }
    FromVisit::Cases(cases_file(&head, &format!("visit-{number}"), &entries))
}

const NOT_YET: &str = "The rule book does not say so yet, so `todo` is set. Look whether the answers were right, \
                       then whether a sign of the cause is missing or too weak.";

/// Causes seen as suspected in a visit after which the belt ran true.
fn confirmed(now: &VisitState) -> Vec<CauseAt> {
    let mut confirmed: Vec<CauseAt> = Vec::new();
    if now.ended != Some(Ended::True) {
        return confirmed;
    }
    let last = |cause: CauseAt| now.observed.found.iter().rev().find(|(c, _)| *c == cause);
    for (cause, _) in &now.observed.found {
        let seen = last(*cause).is_some_and(|(_, report)| *report == FoundReport::AsSuspected);
        if seen && !confirmed.contains(cause) {
            confirmed.push(*cause);
        }
    }
    confirmed
}

fn answers(book: &Book, told: &Observations) -> Vec<(String, String)> {
    let answer = |(at, reply): (_, &Reply)| {
        let symptom = &book.symptoms[at];
        let answer = match reply {
            Reply::Unanswered => return None,
            Reply::CantTell => quoted("unknown"),
            Reply::Answer(answer) => symptom.told(*answer).written(),
        };
        Some((symptom.id.clone(), answer))
    };
    told.replies.iter().filter_map(answer).collect()
}

struct CaseWriter<'v> {
    book: &'v Book,
    now: &'v VisitState,
    answers: Vec<(String, String)>,
    source: String,
}

/// Expectations, and whether the book holds them now.
struct Expectations {
    lines: Vec<String>,
    holds: bool,
}

/// What a case is told of a visit.
enum CaseEvidence {
    /// The answers alone.
    Answers,
    /// The work too, and what was found.
    Work,
}

/// A case to be written.
struct CaseWords<'w> {
    id: String,
    title: &'static str,
    told: CaseEvidence,
    expect: &'w Expectations,
    note: &'static str,
}

impl CaseWriter<'_> {
    fn cause(&self, cause: CauseAt) -> &str {
        &self.book.causes[cause].id
    }

    /// What leads now in a visit that did not end with a cause that was seen.
    fn leading_now(&self, number: u32) -> Option<Entry> {
        let finding = Diagnosis::new(self.book).finding_to(
            &self.now.conveyor.facts,
            &self.now.observed,
            Depth::Ranking,
        );
        let leading = finding.ranked.first()?;
        let expect = Expectations {
            lines: vec![format!("Leads([{}])", quoted(self.cause(leading.cause)))],
            holds: true,
        };
        Some(self.entry(&CaseWords {
            id: format!("visit-{number}"),
            title: "A visit without a confirmed cause",
            told: CaseEvidence::Work,
            expect: &expect,
            note: "It did not end with a cause that was seen: this is only what leads now. Change it to what it \
                   should be.",
        }))
    }

    /// What the answers alone must lead to, and what the visit came to in the end.
    fn what_was_found(&self, number: u32, confirmed: &[CauseAt]) -> Vec<Entry> {
        let diagnosis = Diagnosis::new(self.book);
        let facts = &self.now.conveyor.facts;
        let mut answers_alone = Observations::none(self.book);
        answers_alone.replies = self.now.observed.replies.clone();
        let finding = diagnosis.finding_to(facts, &answers_alone, Depth::Ranking);
        let alone = self.leads(confirmed, &finding);
        let finding = diagnosis.finding_to(facts, &self.now.observed, Depth::Ranking);
        let below = |cause: &CauseAt| format!("Below({}, 0.05)", quoted(self.cause(*cause)));
        let at_end = Expectations {
            lines: confirmed.iter().map(below).collect(),
            holds: confirmed.iter().all(|cause| {
                let mut ranked = finding.ranked.iter();
                ranked.find(|r| r.cause == *cause).is_none_or(|r| r.probability <= 0.05)
            }),
        };
        let note = |expect: &Expectations| if expect.holds { "" } else { NOT_YET };
        vec![
            self.entry(&CaseWords {
                id: format!("visit-{number}-answers"),
                title: "From the answers alone: what was then found",
                told: CaseEvidence::Answers,
                note: note(&alone),
                expect: &alone,
            }),
            self.entry(&CaseWords {
                id: format!("visit-{number}-end"),
                title: "In the end: what was found is cured",
                told: CaseEvidence::Work,
                note: note(&at_end),
                expect: &at_end,
            }),
        ]
    }

    fn leads(&self, confirmed: &[CauseAt], finding: &Finding) -> Expectations {
        let ids: Vec<&str> = confirmed.iter().map(|cause| self.cause(*cause)).collect();
        let mut expect = vec![format!("Leads({})", quoted_list(&ids))];
        let first = finding.ranked.first();
        let mut holds = first.is_some_and(|r| confirmed.contains(&r.cause));
        if confirmed.len() > 1 {
            let within = confirmed.len() + 2;
            expect.push(format!("Among({within}, {})", quoted_list(&ids)));
            let among: Vec<CauseAt> = finding.ranked.iter().take(within).map(|r| r.cause).collect();
            holds &= confirmed.iter().all(|cause| among.contains(cause));
        }
        Expectations { lines: expect, holds }
    }

    fn entry(&self, case: &CaseWords) -> Entry {
        let facts: Vec<(&str, &str)> = self.now.conveyor.facts.said_by_key().into_iter().collect();
        let mut entry = Entry::of_list();
        put(&mut entry, C, "id", &quoted(&case.id));
        put(&mut entry, C, "title", &quoted(case.title));
        put(&mut entry, C, "source", &self.source);
        put_or(&mut entry, C, "conveyor", some_map(&facts), "{\"class\": \"troughed-bulk\"}");
        put_map(&mut entry, "answers", &self.answers);
        if let CaseEvidence::Work = case.told {
            self.work(&mut entry);
        }
        put_list(&mut entry, C, "expect", &case.expect.lines);
        if !case.note.is_empty() {
            entry.comment(case.note);
        }
        more_expectations(&mut entry);
        let todo = (!case.expect.holds).then(|| "true".to_owned());
        put_or(&mut entry, C, "todo", todo, "true");
        entry
    }

    fn look(&self, look: &SecondReplies) -> String {
        let told = look.answers().map(|(symptom, answer)| {
            let symptom = &self.book.symptoms[symptom];
            (symptom.id.clone(), symptom.told(answer).written())
        });
        let told: Vec<(String, String)> = told.collect();
        format!("(after_batch: {}, answers: {})", look.after_batch, map_written(&told))
    }

    fn work(&self, entry: &mut Entry) {
        let told = &self.now.observed;
        let mut found: Vec<(String, String)> = Vec::new();
        for (cause, report) in &told.found {
            let report = match report {
                FoundReport::AsSuspected => "as-suspected",
                FoundReport::WasFine => "was-fine",
            };
            found.retain(|(known, _)| known != self.cause(*cause));
            found.push((self.cause(*cause).to_owned(), report.to_owned()));
        }
        if !found.is_empty() {
            put(entry, C, "found", &map(&found));
        }
        let done: Vec<String> = told
            .done
            .iter()
            .map(|batch| {
                let ids: Vec<&str> =
                    batch.iter().map(|fix| self.book.fixes[*fix].id.as_str()).collect();
                quoted_list(&ids)
            })
            .collect();
        if !done.is_empty() {
            put(entry, C, "done", &format!("[{}]", done.join(", ")));
        }
        let outcomes: Vec<&str> = told.outcomes.iter().map(|outcome| outcome.word()).collect();
        if !outcomes.is_empty() {
            put(entry, C, "outcomes", &quoted_list(&outcomes));
        }
        let looks: Vec<String> = told.second.iter().map(|look| self.look(look)).collect();
        if !looks.is_empty() {
            put(entry, C, "second", &format!("[{}]", looks.join(", ")));
        }
        if told.machine == Machine::LockedOut {
            put(entry, C, "machine", &quoted("locked-out"));
        }
    }
}
