//! Pairs of causes: how far apart the answers keep them, and after how many minutes.

use std::collections::BTreeSet;

use super::{CauseAlone, Levels, decibans};
use crate::conveyor::facts::Facts;
use crate::rulebook::index::{AnswerAt, CauseAt, FixAt, Place, SymptomAt};
use crate::rulebook::model::Book;
use crate::trade::MachineState;

/// Questions that add less to the average separation, in decibans, are not asked.
const LEAST: f64 = 0.01;

/// Two causes, and what it takes to tell them apart when it is one or the other alone.
#[derive(Debug, Clone, PartialEq)]
pub struct Apart {
    /// One.
    pub one: CauseAt,
    /// The other.
    pub other: CauseAt,
    /// The single question that tells most.
    pub best: Option<Best>,
    /// The questions asked until the level is reached, or all that tell anything.
    pub questions: Vec<SymptomAt>,
    /// Their minutes, lock-out and restart included.
    pub minutes: f64,
    /// What their answers speak on average for whichever it is, in decibans; the smaller of both.
    pub decibans: f64,
    /// Whether the level is reached.
    pub reached: bool,
    /// Fixes that cure both: telling these two apart matters less.
    pub one_fix: Vec<FixAt>,
}

/// One question and how far it tells two causes apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Best {
    /// The question.
    pub symptom: SymptomAt,
    /// The answer that speaks most for the one, and the one that speaks most for the other, times how often
    /// each is given.
    pub answers: (AnswerAt, AnswerAt),
    /// Jensen-Shannon divergence of its answers under the one cause and the other, in bits, 0..1; less as far
    /// as the question may stay closed.
    pub bits: f64,
    /// What its answer speaks on average for whichever it is, in decibans; the smaller of both.
    pub decibans: f64,
}

/// All pairs that can be at one conveyor, hardest first.
pub(super) fn all(alone: &CauseAlone, levels: &Levels) -> Vec<Apart> {
    let mut pairs = Vec::new();
    for (position, &one) in alone.causes.iter().enumerate() {
        for &other in alone.causes.iter().skip(position + 1) {
            if alone.together(one, other) {
                pairs.push(Pair { alone, one, other }.apart(levels.apart));
            }
        }
    }
    pairs.sort_by(|a, b| {
        let hard = |pair: &Apart| if pair.reached { 0.0 } else { -pair.decibans };
        (a.reached.cmp(&b.reached))
            .then(hard(b).total_cmp(&hard(a)))
            .then(b.minutes.total_cmp(&a.minutes))
            .then((a.one, a.other).cmp(&(b.one, b.other)))
    });
    pairs
}

/// For each pair, the single question that tells the two best apart; for books to be read.
pub fn telling(book: &Book, facts: &Facts, pairs: &[(CauseAt, CauseAt)]) -> Vec<Option<Best>> {
    let alone = CauseAlone::new(book, facts);
    let best = |&(one, other): &(CauseAt, CauseAt)| Pair { alone: &alone, one, other }.best();
    pairs.iter().map(best).collect()
}

struct Pair<'a> {
    alone: &'a CauseAlone<'a>,
    one: CauseAt,
    other: CauseAt,
}

/// What is gained on average if it is the one, and if it is the other, in decibans.
type Gain = (f64, f64);

impl Pair<'_> {
    fn best(&self) -> Option<Best> {
        let nothing = BTreeSet::new();
        let symptoms = self.alone.symptoms.iter();
        let all = symptoms.map(|&symptom| {
            let gain = self.gain(symptom, &nothing);
            let rows = &self.alone.rows[symptom];
            Best {
                symptom,
                answers: (
                    strongest(&rows[self.one], &rows[self.other]),
                    strongest(&rows[self.other], &rows[self.one]),
                ),
                bits: self.bits(symptom),
                decibans: gain.0.min(gain.1),
            }
        });
        all.filter(|best| best.bits > 1e-9)
            .max_by(|a, b| a.bits.total_cmp(&b.bits).then(b.symptom.cmp(&a.symptom)))
    }

    /// Jensen-Shannon divergence, weighed by how likely the question is open.
    fn bits(&self, symptom: SymptomAt) -> f64 {
        let rows = &self.alone.rows[symptom];
        let surprise = |p: f64, mean: f64| if p > 0.0 { p * (p / mean).log2() } else { 0.0 };
        let both = rows[self.one].iter().zip(&rows[self.other]);
        let apart: f64 = both
            .map(|(p, q)| {
                let mean = f64::midpoint(*p, *q);
                f64::midpoint(surprise(*p, mean), surprise(*q, mean))
            })
            .sum();
        let open = &self.alone.open[symptom];
        apart.max(0.0) * f64::midpoint(open[self.one], open[self.other])
    }

    /// Asks whatever tells most per minute until the level is reached.
    fn apart(&self, level: f64) -> Apart {
        let book = self.alone.book;
        let mut asked: BTreeSet<SymptomAt> = BTreeSet::new();
        let mut questions = Vec::new();
        let (mut gained, mut minutes, mut locked): (Gain, f64, bool) = ((0.0, 0.0), 0.0, false);
        while gained.0.min(gained.1) < level {
            let best = self
                .alone
                .symptoms
                .iter()
                .filter_map(|&symptom| self.bundle(symptom, &asked, locked))
                .filter(|bundle| bundle.gain.0 + bundle.gain.1 > 2.0 * LEAST)
                .max_by(|a, b| a.rate().total_cmp(&b.rate()));
            let Some(bundle) = best else {
                break;
            };
            gained = (gained.0 + bundle.gain.0, gained.1 + bundle.gain.1);
            minutes += bundle.minutes;
            locked = bundle.locked;
            asked.extend(&bundle.questions);
            questions.extend(bundle.questions);
        }
        let decibans = gained.0.min(gained.1);
        let fixes = book.fixes.iter();
        let cures =
            |fix: &crate::rulebook::model::Fix, cause| fix.cures.iter().any(|(c, _)| *c == cause);
        Apart {
            one: self.one,
            other: self.other,
            best: self.best(),
            questions,
            minutes,
            decibans,
            reached: decibans >= level,
            one_fix: fixes
                .filter(|(_, fix)| cures(fix, self.one) && cures(fix, self.other))
                .map(|(at, _)| at)
                .collect(),
        }
    }

    /// A question with those that must be answered before it is asked; nothing if it is asked already, or one
    /// of its group.
    fn bundle(
        &self,
        symptom: SymptomAt,
        asked: &BTreeSet<SymptomAt>,
        locked: bool,
    ) -> Option<Bundle> {
        let mut questions = Vec::new();
        self.collect(symptom, asked, &mut questions);
        if questions.is_empty() || questions.iter().any(|&s| self.group_asked(s, asked)) {
            return None;
        }
        let book = self.alone.book;
        let mut bundle = Bundle { questions: Vec::new(), gain: (0.0, 0.0), minutes: 0.0, locked };
        let mut known = asked.clone();
        for question in questions {
            let entry = &book.symptoms[question];
            bundle.minutes += entry.minutes;
            match (entry.state, bundle.locked) {
                (MachineState::LockedOut, false) => {
                    bundle.minutes += book.minutes.lock_out;
                    bundle.locked = true;
                }
                (MachineState::Running, true) => {
                    bundle.minutes += book.minutes.restart_and_watch;
                    bundle.locked = false;
                }
                _ => {}
            }
            let gain = self.gain(question, &known);
            bundle.gain = (bundle.gain.0 + gain.0, bundle.gain.1 + gain.1);
            known.insert(question);
            bundle.questions.push(question);
        }
        Some(bundle)
    }

    /// Those that open it come first. Conditions are free of circles in a checked book.
    fn collect(&self, symptom: SymptomAt, asked: &BTreeSet<SymptomAt>, out: &mut Vec<SymptomAt>) {
        if asked.contains(&symptom) || out.contains(&symptom) {
            return;
        }
        for (earlier, ..) in self.alone.openers(symptom) {
            self.collect(earlier, asked, out);
        }
        out.push(symptom);
    }

    fn group_asked(&self, symptom: SymptomAt, asked: &BTreeSet<SymptomAt>) -> bool {
        let book = self.alone.book;
        let group = book.symptoms[symptom].group;
        let group = group.and_then(|group| book.groups.get(group));
        group.is_some_and(|group| group.iter().any(|other| asked.contains(other)))
    }

    /// What a question adds when these are asked already. A relative symptom and its parents are taken
    /// jointly; where several hang on one parent, each is taken with it alone.
    fn gain(&self, symptom: SymptomAt, asked: &BTreeSet<SymptomAt>) -> Gain {
        let open = &self.alone.open[symptom];
        let own = if self.parents(symptom).is_empty() {
            self.of_rows(symptom)
        } else {
            self.beside_parents(symptom, asked)
        };
        let mut gain = (open[self.one] * own.0, open[self.other] * own.1);
        for &relative in asked {
            if relative != symptom && self.parents(relative).contains(&symptom) {
                let mut with = asked.clone();
                with.insert(symptom);
                let (before, after) =
                    (self.beside_parents(relative, asked), self.beside_parents(relative, &with));
                gain = (gain.0 + after.0 - before.0, gain.1 + after.1 - before.1);
            }
        }
        gain
    }

    fn of_rows(&self, symptom: SymptomAt) -> Gain {
        let rows = &self.alone.rows[symptom];
        (apart(&rows[self.one], &rows[self.other]), apart(&rows[self.other], &rows[self.one]))
    }

    /// The symptoms whose answers pick the one's row or the other's.
    fn parents(&self, symptom: SymptomAt) -> Vec<SymptomAt> {
        let parents = [self.one, self.other].map(|cause| self.alone.parent(symptom, cause));
        let mut parents: Vec<SymptomAt> = parents.into_iter().flatten().collect();
        parents.sort_unstable();
        parents.dedup();
        parents
    }

    /// What a relative symptom tells when the answers of its asked parents are known.
    fn beside_parents(&self, symptom: SymptomAt, asked: &BTreeSet<SymptomAt>) -> Gain {
        let parents = self.parents(symptom).into_iter();
        let known: Vec<SymptomAt> = parents.filter(|parent| asked.contains(parent)).collect();
        let mut gain = (0.0, 0.0);
        let mut answers = vec![0; known.len()];
        loop {
            let weight = |cause: CauseAt| -> f64 {
                let both = known.iter().zip(&answers);
                both.map(|(parent, answer)| {
                    self.alone.rows[*parent][cause].get(*answer).copied().unwrap_or(0.0)
                })
                .product()
            };
            let row = |cause: CauseAt| match self.alone.parent(symptom, cause) {
                Some(parent) => {
                    match known.iter().zip(&answers).find(|(known, _)| **known == parent) {
                        Some((_, answer)) => {
                            self.alone.given(symptom, cause, Some((parent, *answer)))
                        }
                        None => self.alone.rows[symptom][cause].clone(),
                    }
                }
                None => self.alone.rows[symptom][cause].clone(),
            };
            let (one, other) = (row(self.one), row(self.other));
            gain.0 += weight(self.one) * apart(&one, &other);
            gain.1 += weight(self.other) * apart(&other, &one);
            if !self.next(&known, &mut answers) {
                return gain;
            }
        }
    }

    /// The next combination of answers; false after the last.
    fn next(&self, of: &[SymptomAt], answers: &mut [usize]) -> bool {
        for (symptom, answer) in of.iter().zip(answers) {
            *answer += 1;
            if *answer < self.alone.book.symptoms[*symptom].answers.len() {
                return true;
            }
            *answer = 0;
        }
        false
    }
}

/// Questions asked together.
struct Bundle {
    questions: Vec<SymptomAt>,
    gain: Gain,
    minutes: f64,
    locked: bool,
}

impl Bundle {
    fn rate(&self) -> f64 {
        (self.gain.0 + self.gain.1) / self.minutes.max(0.1)
    }
}

/// What the answers speak on average for the first row when it is the right one, in decibans.
fn apart(right: &[f64], wrong: &[f64]) -> f64 {
    let both = right.iter().zip(wrong);
    both.map(|(p, q)| p * decibans(*p, *q)).sum()
}

/// The answer that adds most to that.
fn strongest(right: &[f64], wrong: &[f64]) -> AnswerAt {
    let both = right.iter().zip(wrong).map(|(p, q)| p * decibans(*p, *q));
    let best = both.enumerate().max_by(|a, b| a.1.total_cmp(&b.1));
    AnswerAt::at(best.map_or(0, |(at, _)| at))
}
