//! Two rule books side by side: what they make of the same cases, and of the same visits drawn from the
//! old one. Causes, symptoms, answers and fixes are the same where their ids are.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::case::Case;
use super::draw::{self, Drawn, On, in_other};
use super::run::{self, CaseWording};
use super::score::{Mean, Share};
use super::walk::{self, Policy};
use super::workers;
use crate::conveyor::facts::Facts;
use crate::plan::Plan;
use crate::rulebook::index::{FixAt, List, Place, SymptomAt};
use crate::rulebook::model::Book;
use crate::visit::{Depth, Diagnosis, Finding, Observations, Reply, SecondReplies, Standing, Stop};

/// Chances that differ by less than this are the same.
const SAME: f64 = 1e-9;

/// A book with its cases.
#[derive(Debug, Clone, Copy)]
pub struct BookWithCases<'s> {
    /// The book.
    pub book: &'s Book,
    /// Its cases.
    pub cases: &'s [Case],
}

/// What is drawn.
#[derive(Debug, Clone, Copy)]
pub struct CompareSettings {
    /// How many visits.
    pub visits: usize,
    /// The same seed gives the same visits.
    pub seed: u64,
}

/// What two books make of the same cases and visits.
#[derive(Debug, Clone, PartialEq)]
pub struct Compared {
    /// All cases of either book, worst first.
    pub cases: Vec<Row>,
    /// All visits, worst first.
    pub visits: Vec<Row>,
}

/// One case or visit.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// WhichBook.
    pub what: What,
    /// What the old book makes of it.
    pub old: BookView,
    /// What the new book makes of it.
    pub new: BookView,
}

/// What is compared.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum What {
    /// A case.
    Case {
        /// Its id.
        id: String,
        /// Whose it is, if it is not in both.
        only_in: Option<WhichBook>,
    },
    /// A drawn visit.
    Visit {
        /// Its number, from 1.
        number: usize,
        /// The ids of the causes that were really present.
        present: Vec<String>,
    },
}

impl What {
    /// The id of a case, or the number of a visit.
    pub fn id(&self) -> String {
        match self {
            Self::Case { id, .. } => id.clone(),
            Self::Visit { number, .. } => format!("visit {number}"),
        }
    }
}

/// One of the two books.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhichBook {
    /// The old one.
    Old,
    /// The new one.
    New,
}

/// What one book makes of a case or visit. Everything by id.
#[derive(Debug, Clone, PartialEq)]
pub struct BookView {
    /// The leading cause, if one applies, and the chance that it is still present.
    pub leads: Option<(String, f64)>,
    /// Of a case: all its expectations hold. Of a visit: the leading cause was present. Nothing for a case
    /// of the other book.
    pub right: Option<bool>,
    /// The chance of every cause that applies to be still present.
    pub chances: BTreeMap<String, f64>,
    /// The next look, of a case that is not to be stopped at.
    pub next: Option<String>,
    /// Questions to the finding, of a visit.
    pub questions: usize,
    /// Minutes to the finding, of a visit.
    pub minutes_asking: f64,
    /// Those, and what the plan takes.
    pub minutes_expected: f64,
    /// The fixes of the plan, batch by batch.
    pub plan: Vec<Vec<String>>,
}

/// What became of one row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Turn {
    /// What was right is wrong.
    Lost,
    /// Another cause leads.
    OtherLead,
    /// What was wrong is right.
    Gained,
    /// The same cause leads; something else differs.
    Shifted,
    /// Nothing differs.
    Same,
}

/// A chance that changed.
#[derive(Debug, Clone, PartialEq)]
pub struct Shift {
    /// The id of the cause.
    pub cause: String,
    /// Its chance by the old book; nothing if it does not apply there.
    pub old: Option<f64>,
    /// Its chance by the new one.
    pub new: Option<f64>,
}

impl Shift {
    /// How far the chance moved, 0..1.
    pub fn by(&self) -> f64 {
        (self.new.unwrap_or(0.0) - self.old.unwrap_or(0.0)).abs()
    }
}

impl Row {
    /// What became of it.
    pub fn turn(&self) -> Turn {
        let lead = |view: &BookView| view.leads.as_ref().map(|(id, _)| id.clone());
        match (self.old.right, self.new.right) {
            (Some(true), Some(false)) => Turn::Lost,
            (Some(false), Some(true)) => Turn::Gained,
            _ if lead(&self.old) != lead(&self.new) => Turn::OtherLead,
            _ if self.differs() => Turn::Shifted,
            _ => Turn::Same,
        }
    }

    /// The chance that changed most, if one did.
    pub fn largest(&self) -> Option<Shift> {
        let mut ids: Vec<&String> =
            self.old.chances.keys().chain(self.new.chances.keys()).collect();
        ids.sort_unstable();
        ids.dedup();
        let shifts = ids.into_iter().map(|id| Shift {
            cause: id.clone(),
            old: self.old.chances.get(id).copied(),
            new: self.new.chances.get(id).copied(),
        });
        let moved =
            shifts.filter(|shift| shift.by() > SAME || shift.old.is_some() != shift.new.is_some());
        moved.max_by(|a, b| a.by().total_cmp(&b.by()).then(b.cause.cmp(&a.cause)))
    }

    fn differs(&self) -> bool {
        let (old, new) = (&self.old, &self.new);
        let apart = |a: f64, b: f64| (a - b).abs() > SAME * a.abs().max(1.0);
        self.largest().is_some()
            || old.next != new.next
            || old.questions != new.questions
            || apart(old.minutes_asking, new.minutes_asking)
            || apart(old.minutes_expected, new.minutes_expected)
            || old.plan != new.plan
    }

    /// Worst first: what turned, then by the largest change, then by minutes.
    fn worse(&self, other: &Self) -> Ordering {
        let moved = |row: &Self| row.largest().map_or(0.0, |shift| shift.by());
        let longer = |row: &Self| row.new.minutes_expected - row.old.minutes_expected;
        self.turn()
            .cmp(&other.turn())
            .then(moved(other).total_cmp(&moved(self)))
            .then(longer(other).total_cmp(&longer(self)))
    }
}

/// Sums over rows.
#[derive(Debug, Clone, PartialEq)]
pub struct Totals {
    /// Rows in all.
    pub of: usize,
    /// Rows by what became of them, in the order of [`Turn`].
    pub turns: [usize; 5],
    /// Rows in which another cause leads, right or wrong.
    pub other_lead: usize,
    /// Rows with another plan.
    pub other_plan: usize,
    /// Rows with another next look.
    pub other_next: usize,
    /// How many are right by the old book, of those it can judge, and by the new one.
    pub right: [Share; 2],
    /// Questions to the finding, by each.
    pub questions: [Mean; 2],
    /// Minutes to the finding, by each.
    pub minutes_asking: [Mean; 2],
    /// Minutes to true as stated, by each.
    pub minutes_expected: [Mean; 2],
    /// The largest change of a chance in each row.
    pub largest: Mean,
}

impl Totals {
    /// Over these rows.
    pub fn from_rows(rows: &[Row]) -> Self {
        let mut turns = [0; 5];
        for row in rows {
            let turn = row.turn() as usize;
            if let Some(count) = turns.get_mut(turn) {
                *count += 1;
            }
        }
        let count = |differs: &dyn Fn(&Row) -> bool| rows.iter().filter(|r| differs(r)).count();
        let lead = |view: &BookView| view.leads.as_ref().map(|(id, _)| id.clone());
        let both = |what: &dyn Fn(&BookView) -> f64| {
            [
                Mean::new(rows.iter().map(|r| what(&r.old))),
                Mean::new(rows.iter().map(|r| what(&r.new))),
            ]
        };
        let right = |view: &dyn Fn(&Row) -> Option<bool>| {
            let judged: Vec<bool> = rows.iter().filter_map(view).collect();
            Share::new(judged.iter().filter(|right| **right).count(), judged.len())
        };
        Self {
            of: rows.len(),
            turns,
            other_lead: count(&|r| lead(&r.old) != lead(&r.new)),
            other_plan: count(&|r| r.old.plan != r.new.plan),
            other_next: count(&|r| r.old.next != r.new.next),
            right: [right(&|r| r.old.right), right(&|r| r.new.right)],
            questions: both(&|v| v.questions as f64),
            minutes_asking: both(&|v| v.minutes_asking),
            minutes_expected: both(&|v| v.minutes_expected),
            largest: Mean::new(rows.iter().map(|r| r.largest().map_or(0.0, |s| s.by()))),
        }
    }
}

/// Compares two books, cases in this wording. `progress` is told how many cases and visits are through.
pub fn compare(
    old: BookWithCases<'_>,
    new: BookWithCases<'_>,
    setting: CompareSettings,
    wording: CaseWording,
    progress: &mut dyn FnMut(usize),
) -> Compared {
    let pairs = pairs(old.cases, new.cases);
    let both = workers::share_out(
        pairs.len() + setting.visits,
        || (Diagnosis::new(old.book), Diagnosis::new(new.book)),
        |(old, new), number| match pairs.get(number) {
            Some(pair) => case(old, new, *pair, wording),
            None => visit(old, new, setting.seed, number - pairs.len()),
        },
        progress,
    );
    let (mut cases, mut visits): (Vec<Row>, Vec<Row>) =
        both.into_iter().flatten().partition(|row| matches!(row.what, What::Case { .. }));
    cases.sort_by(Row::worse);
    visits.sort_by(Row::worse);
    Compared { cases, visits }
}

/// How many cases two books have, each counted once.
pub fn cases(old: BookWithCases<'_>, new: BookWithCases<'_>) -> usize {
    pairs(old.cases, new.cases).len()
}

/// A case by each book; at least one has it.
type Pair<'c> = (Option<&'c Case>, Option<&'c Case>);

fn pairs<'c>(old: &'c [Case], new: &'c [Case]) -> Vec<Pair<'c>> {
    let find = |cases: &'c [Case], id: &str| cases.iter().find(|case| case.id == id);
    let olds = old.iter().map(|case| (Some(case), find(new, &case.id)));
    let news = new.iter().filter(|case| find(old, &case.id).is_none());
    olds.chain(news.map(|case| (None, Some(case)))).collect()
}

fn case(
    old: &Diagnosis<'_>,
    new: &Diagnosis<'_>,
    pair: Pair<'_>,
    wording: CaseWording,
) -> Option<Row> {
    let (case, only_in) = match pair {
        (Some(case), Some(_)) => (case, None),
        (Some(case), None) => (case, Some(WhichBook::Old)),
        (None, Some(case)) => (case, Some(WhichBook::New)),
        (None, None) => return None,
    };
    let judged = |diagnosis: &Diagnosis<'_>, own: Option<&Case>, other: &Diagnosis<'_>| match own {
        Some(case) => {
            let mut view = told_view(diagnosis, case.conveyor.facts(), &case.observed);
            view.right = Some(run::run(diagnosis, case, wording).holds());
            view
        }
        None => {
            let observed = told_in_other(&case.observed, other.book(), diagnosis.book());
            told_view(diagnosis, case.conveyor.facts(), &observed)
        }
    };
    Some(Row {
        old: judged(old, pair.0, new),
        new: judged(new, pair.1, old),
        what: What::Case { id: case.id.clone(), only_in },
    })
}

fn told_view(diagnosis: &Diagnosis<'_>, facts: &Facts, observed: &Observations) -> BookView {
    let finding = diagnosis.finding_to(facts, observed, Depth::All);
    let mut view = view(diagnosis.book(), &finding, &finding.plan);
    if let Stop::LookOn(look) = &finding.stop {
        view.next = Some(diagnosis.book().looks[look.look].id.clone());
    }
    view.minutes_expected = finding.plan.expected_minutes;
    view
}

fn visit(old: &Diagnosis<'_>, new: &Diagnosis<'_>, seed: u64, number: usize) -> Option<Row> {
    let drawn = Drawn::new(old.engine(), old.book(), On::Any, seed, number)?;
    let there = drawn.in_other(old.book(), new.book());
    let id = |cause| old.book().causes[cause].id.clone();
    Some(Row {
        what: What::Visit {
            number: number + 1,
            present: drawn.present.iter().map(|cause| id(*cause)).collect(),
        },
        old: asked_view(old, &drawn, seed, number),
        new: asked_view(new, &there, seed, number),
    })
}

fn asked_view(diagnosis: &Diagnosis<'_>, drawn: &Drawn, seed: u64, number: usize) -> BookView {
    let mut rng = draw::rng(!seed, number);
    let asked = walk::ask(diagnosis, drawn, Policy::OWN, &mut rng);
    let lead = asked.finding.ranked.first();
    let mut view = view(diagnosis.book(), &asked.finding, &asked.plan);
    view.right = Some(lead.is_some_and(|lead| drawn.present.contains(&lead.cause)));
    view.questions = asked.questions;
    view.minutes_asking = asked.minutes;
    view.minutes_expected = asked.minutes + asked.plan.expected_minutes;
    view
}

fn view(book: &Book, finding: &Finding, plan: &Plan) -> BookView {
    let id = |cause| book.causes[cause].id.clone();
    let ranked = finding.ranked.iter();
    let batches = plan.batches.iter();
    BookView {
        leads: finding.ranked.first().map(|r| (id(r.cause), r.probability)),
        right: None,
        chances: ranked.map(|r| (id(r.cause), r.probability)).collect(),
        next: None,
        questions: 0,
        minutes_asking: 0.0,
        minutes_expected: 0.0,
        plan: batches
            .map(|batch| {
                let steps = batch.steps.iter();
                steps.map(|s| book.fixes[s.fix].id.clone()).collect()
            })
            .collect(),
    }
}

/// What was told in the words of another book; what it does not know falls away.
fn told_in_other(observed: &Observations, own: &Book, other: &Book) -> Observations {
    let answers = observed.replies.map(|reply| match reply {
        Reply::Answer(answer) => Some(*answer),
        Reply::Unanswered | Reply::CantTell => None,
    });
    let answers = in_other(&answers, own, other);
    let cant_tell = |there: SymptomAt| {
        let id = &other.symptoms[there].id;
        let here = own.symptoms.iter().find(|(_, s)| s.id == *id);
        here.is_some_and(|(at, _)| observed.replies[at] == Reply::CantTell)
    };
    let replies: List<SymptomAt, Reply> = answers
        .iter()
        .map(|(there, answer)| match answer {
            Some(answer) => Reply::Answer(*answer),
            None if cant_tell(there) => Reply::CantTell,
            None => Reply::Unanswered,
        })
        .collect();
    let fix = |fix: &FixAt| place_of(other.fixes.values().map(|f| &f.id), &own.fixes[*fix].id);
    let found = observed.found.iter().filter_map(|(cause, report)| {
        let ids = other.causes.values().map(|c| &c.id);
        Some((place_of(ids, &own.causes[*cause].id)?, *report))
    });
    let batches = observed.done.iter();
    let seen_anew = observed.second.iter().map(|look| SecondReplies {
        after_batch: look.after_batch,
        replies: look
            .replies
            .iter()
            .filter_map(|reply| reply_in_other(*reply, own, other))
            .collect(),
    });
    Observations {
        replies,
        found: found.collect(),
        done: batches.map(|batch| batch.iter().filter_map(fix).collect()).collect(),
        outcomes: observed.outcomes.clone(),
        second: seen_anew.collect(),
        could_not: observed.could_not.iter().filter_map(fix).collect(),
        put_off: observed.put_off.iter().filter_map(fix).collect(),
        found_sound: observed.found_sound.iter().filter_map(fix).collect(),
        checked: (observed.checked.iter())
            .filter_map(|(of, place, shown)| Some((fix(of)?, *place, *shown)))
            .collect(),
        something_else: observed.something_else.clone(),
        said_cured: None,
        machine: observed.machine,
        standing: Standing::default(),
        means: observed.means.clone(),
        notes: observed.notes.clone(),
        size: observed.size,
    }
}

fn reply_in_other(
    (symptom, reply): (SymptomAt, Reply),
    own: &Book,
    other: &Book,
) -> Option<(SymptomAt, Reply)> {
    let here = &own.symptoms[symptom];
    let there: SymptomAt = place_of(other.symptoms.values().map(|s| &s.id), &here.id)?;
    let reply = match reply {
        Reply::Answer(answer) => {
            let answers = other.symptoms[there].answers.values().map(|a| &a.id);
            Reply::Answer(place_of(answers, &here.answers[answer].id)?)
        }
        Reply::Unanswered | Reply::CantTell => reply,
    };
    Some((there, reply))
}

fn place_of<'i, P: Place>(mut ids: impl Iterator<Item = &'i String>, id: &str) -> Option<P> {
    ids.position(|known| known == id).map(P::at)
}
