//! What finished visits say about the book's numbers: how often each cause really was it, and how the answers came
//! when it was, each with the interval that so few visits allow. Pure: proposes, and changes nothing.

use std::collections::BTreeMap;

use super::credible::CredibleShare;
use crate::reason::Applicability;
use crate::rulebook::index::{AnswerAt, CauseAt, Place, SymptomAt};
use crate::rulebook::links::{background, linked};
use crate::rulebook::model::Book;
use crate::rulebook::network::{Kind, Node, Says};
use crate::source::quoted;
use crate::visit::event::Ended;
use crate::visit::store::{Record, VisitStatus};
use crate::visit::{
    ConveyorFacts, Depth, Diagnosis, FoundReport, Observations, Reply, SaidCured, VisitState,
    replay,
};

/// A visit that says something.
#[derive(Debug, Clone)]
pub struct Taken {
    /// Its number.
    pub visit: u32,
    /// What was known of the conveyor.
    pub conveyor: ConveyorFacts,
    /// What was answered.
    pub replies: Observations,
    /// The causes that were seen, in a visit that ended true.
    pub confirmed: Vec<CauseAt>,
}

/// Why a visit says nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Aside {
    /// It is still open.
    Open,
    /// It did not end with a belt that runs true.
    NotTrue,
    /// No cause was seen as suspected.
    NoneSeen,
}

/// How often a cause really was it.
#[derive(Debug, Clone)]
pub struct CauseLine {
    /// The cause.
    pub cause: CauseAt,
    /// Among the visits to conveyors that it applies to. The book's number is the chance before any answer, given
    /// that something is there to be found.
    pub share: CredibleShare,
    /// How common it would have to be called, in the words of the file.
    pub propose: Option<String>,
}

/// How a symptom was answered when one cause alone was it.
#[derive(Debug, Clone)]
pub struct LinkLine {
    /// The cause.
    pub cause: CauseAt,
    /// The symptom.
    pub symptom: SymptomAt,
    /// Each answer that the link speaks of, by its id; "as predicted" where it follows another side.
    pub answers: Vec<(String, CredibleShare)>,
    /// The sign that would fit, in the words of the file.
    pub propose: Option<String>,
}

impl LinkLine {
    /// In how many visits it was answered.
    pub fn of(&self) -> usize {
        self.answers.first().map_or(0, |(_, share)| share.of)
    }
}

/// What visits say.
#[derive(Debug, Clone, Default)]
pub struct Learnt {
    /// Visits that say something.
    pub visits: usize,
    /// Causes, the most often confirmed first.
    pub causes: Vec<CauseLine>,
    /// Links of which at least one visit speaks, those with most visits first.
    pub links: Vec<LinkLine>,
}

const LIKELIHOOD: [&str; 6] = ["Always", "Usually", "Often", "Sometimes", "Seldom", "Never"];
const COMMON: [&str; 6] = ["Leading", "Everyday", "Common", "Occasional", "Rare", "Rarest"];

/// What a kept visit has to say, read against this book.
///
/// # Errors
/// Why it says nothing.
pub fn take(book: &Book, record: &Record) -> Result<Taken, Aside> {
    if record.state == VisitStatus::Open {
        return Err(Aside::Open);
    }
    let now = replay(book, &record.conveyor, &record.events);
    if now.ended != Some(Ended::True) {
        return Err(Aside::NotTrue);
    }
    let confirmed = seen(&now);
    if confirmed.is_empty() {
        return Err(Aside::NoneSeen);
    }
    let mut replies = Observations::none(book);
    replies.replies = now.observed.replies;
    Ok(Taken { visit: record.visit, conveyor: now.conveyor, replies, confirmed })
}

/// The causes that were last reported as suspected; where the person has said what cured it, that alone counts.
pub fn seen(now: &VisitState) -> Vec<CauseAt> {
    match now.observed.said_cured {
        Some(SaidCured::SomethingElse(_)) => return Vec::new(),
        Some(SaidCured::Cause(cause)) => return vec![cause],
        Some(SaidCured::NotClear) | None => {}
    }
    let mut last: BTreeMap<CauseAt, FoundReport> = BTreeMap::new();
    last.extend(now.observed.found.iter().copied());
    let seen = last.into_iter().filter(|(_, report)| *report == FoundReport::AsSuspected);
    seen.map(|(cause, _)| cause).collect()
}

/// Weighs the visits against the book.
pub fn learn(book: &Book, visits: &[Taken]) -> Learnt {
    let diagnosis = Diagnosis::new(book);
    let nothing = Observations::none(book);
    let mut expected: BTreeMap<CauseAt, (usize, usize, f64)> = BTreeMap::new();
    let mut links: BTreeMap<(CauseAt, SymptomAt), Tally> = BTreeMap::new();
    for visit in visits {
        let before = diagnosis.finding_to(&visit.conveyor.facts, &nothing, Depth::Ranking);
        for ranked in &before.ranked {
            let (hits, of, sum) = expected.entry(ranked.cause).or_default();
            *hits += usize::from(visit.confirmed.contains(&ranked.cause));
            *of += 1;
            *sum += ranked.was_present;
        }
        // With several causes at work nobody can say which of them made an answer.
        if let [cause] = visit.confirmed.as_slice() {
            let counted = counted(book, visit);
            for (symptom, answer) in &counted {
                let parent = |parent: SymptomAt| {
                    let mut answers = counted.iter();
                    answers.find(|(s, _)| *s == parent).map(|(_, a)| *a)
                };
                if let Some(row) = row(book, *symptom, *cause, &parent) {
                    let tally = links.entry((*cause, *symptom)).or_default();
                    tally.add(*answer, &book.symptoms[*symptom].parts(*answer), &row);
                }
            }
        }
    }
    let mut causes: Vec<CauseLine> = expected
        .into_iter()
        .map(|(cause, (hits, of, sum))| {
            let share = CredibleShare::new(hits, of, sum / of as f64);
            let propose = share.outside().then(|| {
                let prior = book.causes[cause].prior;
                // What is there to be found is the same for all: the prior moves as the share does.
                let wanted = (share.mean() * prior / share.book).clamp(0.0001, 0.5);
                let digits = if wanted < 0.1 { 4 } else { 2 };
                word(&COMMON, &book.words.common, wanted, prior, digits)
            });
            CauseLine { cause, share, propose }
        })
        .collect();
    causes.sort_by_key(|line| (std::cmp::Reverse(line.share.hits), line.cause));
    let mut links: Vec<LinkLine> = links
        .into_iter()
        .map(|((cause, symptom), tally)| tally.line(book, cause, symptom))
        .collect();
    links.sort_by_key(|line| (std::cmp::Reverse(line.of()), line.cause, line.symptom));
    Learnt { visits: visits.len(), causes, links }
}

/// The answers that count on this conveyor.
fn counted(book: &Book, visit: &Taken) -> Vec<(SymptomAt, AnswerAt)> {
    let answers = visit.replies.replies.map(|reply| match reply {
        Reply::Answer(answer) => Some(*answer),
        Reply::Unanswered | Reply::CantTell => None,
    });
    let applies = Applicability::new(book, &visit.conveyor.facts, &answers);
    let counted = applies.counted.iter();
    counted.filter_map(|(symptom, answer)| Some((symptom, (*answer)?))).collect()
}

/// What the book expects of a symptom when this cause alone is there: a chance for each answer, or for the answer
/// on the predicted side.
struct AnswerRow {
    chances: Vec<f64>,
    side: Option<PredictedSide>,
}

/// The side that a relative voice predicts in one visit.
#[derive(Clone, Copy)]
struct PredictedSide {
    predicted: AnswerAt,
    parent: SymptomAt,
    same: bool,
}

const SIDES: [&str; 2] = ["left", "right"];

/// The row of a linked cause; nothing if it is not linked, or its parent says nothing.
fn row(
    book: &Book,
    symptom: SymptomAt,
    cause: CauseAt,
    parent_answer: &dyn Fn(SymptomAt) -> Option<AnswerAt>,
) -> Option<AnswerRow> {
    let plain = |chances| Some(AnswerRow { chances, side: None });
    let node: &Node = &book.network.nodes[symptom];
    match &node.kind {
        Kind::Sign { leak, links } => {
            let (_, link) = links.iter().find(|(c, _)| *c == cause)?;
            let no = (1.0 - leak) * (1.0 - link);
            plain(vec![no, 1.0 - no])
        }
        Kind::Pattern { voices, .. } => {
            let (_, voice) = voices.iter().find(|(c, _)| *c == cause)?;
            match &voice.says {
                Says::Row(row) => plain(row.clone()),
                Says::Relative { parent, rows } => {
                    let told = parent_answer(*parent)?;
                    let chances = rows.get(told.position())?.clone()?;
                    // The side that the row favours, against the parent's own.
                    let side = &book.symptoms[*parent].answers[told].id;
                    let answers = || book.symptoms[symptom].answers.iter();
                    let place = |wanted: &dyn Fn(&str) -> bool| {
                        answers().find(|(_, a)| wanted(&a.id)).map(|(at, _)| at)
                    };
                    let same = place(&|id| id == side)?;
                    let other = place(&|id| id != side && SIDES.contains(&id))?;
                    let chance = |at: AnswerAt| chances.get(at.position()).copied().unwrap_or(0.0);
                    let follows = chance(same) >= chance(other);
                    let side = PredictedSide {
                        predicted: if follows { same } else { other },
                        parent: *parent,
                        same: follows,
                    };
                    Some(AnswerRow { side: Some(side), chances })
                }
            }
        }
        Kind::Marks { .. } => {
            // Each mark whatever else is ticked.
            let links = linked(symptom, node).into_iter().filter(|link| link.cause == cause);
            let links: Vec<(usize, f64)> = links.map(|l| (l.answer.position(), l.chance)).collect();
            let chance = |(answer, without): (usize, &f64)| {
                let link = links.iter().find(|(at, _)| *at == answer);
                link.map_or(*without, |(_, with)| *with)
            };
            let chances = background(node).iter().enumerate().map(chance).collect();
            (!links.is_empty()).then_some(AnswerRow { chances, side: None })
        }
        Kind::Grade { base, rows } => {
            let (_, row) = rows.iter().find(|(c, _)| *c == cause)?;
            let reached = base.iter().zip(row).map(|(b, r)| b * r);
            let mut below = 0.0;
            plain(
                reached
                    .map(|up_to| {
                        let chance = up_to - below;
                        below = up_to;
                        chance
                    })
                    .collect(),
            )
        }
    }
}

/// Answers of one link.
#[derive(Default)]
struct Tally {
    hits: Vec<usize>,
    of: usize,
    expected: Vec<f64>,
    side: Option<PredictedSide>,
}

impl Tally {
    /// An answer, and what it comes to where several may be given at once.
    fn add(&mut self, answer: AnswerAt, parts: &[AnswerAt], row: &AnswerRow) {
        self.of += 1;
        if let Some(side) = row.side {
            // One number: the answer on the predicted side.
            self.side = Some(side);
            self.hits.resize(1, 0);
            self.expected.resize(1, 0.0);
            let chance = row.chances.get(side.predicted.position());
            bump(&mut self.hits, 0, usize::from(answer == side.predicted));
            bump(&mut self.expected, 0, chance.copied().unwrap_or(0.0));
            return;
        }
        self.hits.resize(row.chances.len(), 0);
        self.expected.resize(row.chances.len(), 0.0);
        for part in parts {
            bump(&mut self.hits, part.position(), 1);
        }
        for (place, chance) in row.chances.iter().enumerate() {
            bump(&mut self.expected, place, *chance);
        }
    }

    fn line(self, book: &Book, cause: CauseAt, symptom: SymptomAt) -> LinkLine {
        let asked = &book.symptoms[symptom];
        let share = |place: usize| {
            let hits = self.hits.get(place).copied().unwrap_or(0);
            let expected = self.expected.get(place).copied().unwrap_or(0.0);
            CredibleShare::new(hits, self.of, expected / self.of as f64)
        };
        let sign = matches!(book.network.nodes[symptom].kind, Kind::Sign { .. });
        let answers: Vec<(String, CredibleShare)> = if self.side.is_some() {
            vec![("as predicted".to_owned(), share(0))]
        } else {
            let answers = asked.named().skip(usize::from(sign));
            answers.map(|(at, answer)| (answer.id.clone(), share(at.position()))).collect()
        };
        let outside = answers.iter().any(|(_, share)| share.outside());
        let propose = outside.then(|| fitting(book, cause, symptom, &answers, self.side)).flatten();
        LinkLine { cause, symptom, answers, propose }
    }
}

fn bump<T: Copy + std::ops::Add<Output = T>>(list: &mut [T], place: usize, by: T) {
    if let Some(item) = list.get_mut(place) {
        *item = *item + by;
    }
}

/// The sign that fits what was seen, in the words of the file.
fn fitting(
    book: &Book,
    cause: CauseAt,
    symptom: SymptomAt,
    answers: &[(String, CredibleShare)],
    side: Option<PredictedSide>,
) -> Option<String> {
    let id = quoted(&book.symptoms[symptom].id);
    let likely = |wanted: f64, now: f64| {
        word(&LIKELIHOOD, &book.words.likelihood, wanted.clamp(0.001, 0.999), now, 2)
    };
    if let (Some(side), Some((_, share))) = (side, answers.first()) {
        let parent = &book.symptoms[side.parent].id;
        let word = if side.same { "SameSideAs" } else { "OppositeSideTo" };
        let likely = likely(share.mean(), share.book);
        return Some(format!("{word}({id}, {}, {likely})", quoted(parent)));
    }
    let means: Vec<f64> = answers.iter().map(|(_, share)| share.mean()).collect();
    match &book.network.nodes[symptom].kind {
        Kind::Sign { leak, links } => {
            let (_, link) = links.iter().find(|(c, _)| *c == cause)?;
            let yes = *means.first()?;
            let wanted = 1.0 - (1.0 - yes) / (1.0 - leak);
            Some(format!("Sees({id}, {})", likely(wanted, *link)))
        }
        Kind::Marks { leaks, .. } => {
            let links = answers.iter().zip(means.iter().zip(leaks));
            let links = links.map(|((answer, share), (mean, leak))| {
                let link = |chance: f64| 1.0 - (1.0 - chance) / (1.0 - leak);
                format!("({}, {})", quoted(answer), likely(link(*mean), link(share.book)))
            });
            Some(format!("Marks({id}, [{}])", links.collect::<Vec<_>>().join(", ")))
        }
        Kind::Pattern { .. } => {
            let all: f64 = means.iter().sum();
            let row: Vec<(&str, f64)> = answers
                .iter()
                .zip(&means)
                .map(|((answer, _), mean)| (answer.as_str(), mean / all))
                .collect();
            Some(format!("Shows({id}, {})", favoured(row, &likely)))
        }
        Kind::Grade { base, .. } => {
            let all: f64 = means.iter().sum();
            let (mut up_to, mut below) = (0.0, 0.0);
            let row: Vec<(&str, f64)> = answers
                .iter()
                .zip(means.iter().zip(base))
                .map(|((answer, _), (mean, base))| {
                    up_to += mean / all;
                    let alone = (up_to / base.max(1e-9)).clamp(below, 1.0);
                    let chance = alone - below;
                    below = alone;
                    (answer.as_str(), chance)
                })
                .collect();
            let row = row.get(1..).unwrap_or_default().to_vec();
            Some(format!("Reaches({id}, {})", favoured(row, &likely)))
        }
    }
}

/// The answers that stand out of a row, by words if they fit into it, else by numbers.
fn favoured(mut row: Vec<(&str, f64)>, likely: &dyn Fn(f64, f64) -> String) -> String {
    const MOST: f64 = 0.97;
    let fair = 1.0 / (row.len() as f64 + 1.0);
    row.sort_by(|a, b| b.1.total_cmp(&a.1));
    let keep = row.iter().filter(|(_, chance)| *chance >= fair).count().max(1);
    row.truncate(keep);
    let all: f64 = row.iter().map(|(_, chance)| chance).sum();
    let scale = if all > MOST - 0.01 { (MOST - 0.01) / all } else { 1.0 };
    let pairs: Vec<String> = row
        .iter()
        .map(|(answer, chance)| {
            let chance = (chance * scale).max(0.01);
            // One favoured answer may take its word; several by words may not fit into one row.
            let says = if keep == 1 {
                likely(chance, f64::NAN)
            } else {
                format!("Chance({:.2})", (chance * 100.0).floor() / 100.0)
            };
            format!("({}, {says})", quoted(answer))
        })
        .collect();
    format!("[{}]", pairs.join(", "))
}

/// The word whose number is nearest in odds to what is wanted; the number itself where the book has that word now.
fn word(words: &[&str], numbers: &[f64], wanted: f64, now: f64, digits: usize) -> String {
    let odds = |chance: f64| (chance / (1.0 - chance)).ln();
    let apart = |number: &f64| (odds(*number) - odds(wanted)).abs();
    let nearest = words.iter().zip(numbers).min_by(|(_, a), (_, b)| apart(a).total_cmp(&apart(b)));
    match nearest {
        Some((word, number)) if (number - now).abs() > 1e-9 => (*word).to_owned(),
        _ => format!("Chance({wanted:.digits$})"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_word_is_proposed_and_never_the_one_that_stands_there() {
        let numbers = [0.97, 0.80, 0.55, 0.25, 0.08, 0.01];
        assert_eq!(word(&LIKELIHOOD, &numbers, 0.5, 0.97, 2), "Often");
        assert_eq!(word(&LIKELIHOOD, &numbers, 0.5, 0.55, 2), "Chance(0.50)");
    }
}
