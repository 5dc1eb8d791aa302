//! When the picture is not clear: which looks or readings would part the causes that are left, and which work waits.

use super::finding::{Finding, Reply};
use super::findings::Diagnosis;
use super::looks::Ways;
use super::questions::{askable, asking};
use crate::reason::{Belief, Looked, Worth};
use crate::rulebook::index::{FixAt, SymptomAt};

/// So many looks are named at most.
const MOST: usize = 3;
/// One that tells less than this, in bits, parts nothing.
const LEAST_BITS: f64 = 0.01;

/// A look or a reading that would part the causes that are left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parting {
    /// The question that it answers.
    pub symptom: SymptomAt,
    /// Minutes, the way there and changing the machine's state included.
    pub minutes: f64,
    /// Bits about the causes present.
    pub bits: f64,
    /// Whether it could not be told when it was asked.
    pub could_not_tell: bool,
}

/// What to say while the picture is not clear.
#[derive(Debug, Clone, PartialEq)]
pub struct Unclear {
    /// The looks or readings that would part the rest, best first.
    pub parting: Vec<Parting>,
    /// Locked-out work that waits, that which would cure most first.
    pub held_back: Vec<FixAt>,
}

impl Diagnosis<'_> {
    /// What to say while the picture is not clear; nothing when it is, or when there is nothing to say.
    pub fn unclear(&self, finding: &Finding) -> Option<Unclear> {
        if finding.is_clear(self.book()) {
            return None;
        }
        let unclear =
            Unclear { parting: self.parting(finding), held_back: self.held_back(finding) };
        (!unclear.parting.is_empty() || !unclear.held_back.is_empty()).then_some(unclear)
    }

    /// The two or three looks or readings that would tell most for their minutes, best first: questions that are open
    /// still, and those that could not be told.
    fn parting(&self, finding: &Finding) -> Vec<Parting> {
        let Some(belief) = Belief::new(self.engine(), &finding.evidence) else {
            return Vec::new();
        };
        let book = self.book();
        let replies = &finding.observed.replies;
        let ways = Ways::known(book, &finding.observed);
        // A question that could not be told is open to whoever brings what it takes.
        let mut open = finding.clone();
        open.observed.replies = replies.map(|reply| match reply {
            Reply::CantTell => Reply::Unanswered,
            other => *other,
        });
        let mut looked = Looked::at(&belief);
        let mut best: Vec<Parting> = askable(book, &open)
            .map(|symptom| Parting {
                symptom,
                minutes: asking(book, symptom, finding.observed.machine).0
                    + ways.minutes_to(finding.observed.standing, book.symptoms[symptom].look),
                bits: Worth::looked_at(self.engine(), &finding.evidence, &mut looked, symptom).bits,
                could_not_tell: replies[symptom] == Reply::CantTell,
            })
            .filter(|look| look.bits >= LEAST_BITS)
            .collect();
        let rate = |look: &Parting| look.bits / look.minutes;
        best.sort_by(|a, b| rate(b).total_cmp(&rate(a)).then(a.symptom.cmp(&b.symptom)));
        best.truncate(MOST);
        best
    }

    /// Locked-out work that waits because the picture is not clear, that which would cure most first.
    fn held_back(&self, finding: &Finding) -> Vec<FixAt> {
        let mut held = self.too_long_now(finding);
        let still = |fix: FixAt| -> f64 {
            let cures = &self.book().fixes[fix].cures;
            let chance = |cause| finding.ranked.iter().find(|r| r.cause == cause);
            cures.iter().filter_map(|(c, p)| Some(p * chance(*c)?.probability)).sum()
        };
        held.sort_by(|a, b| still(*b).total_cmp(&still(*a)).then(a.cmp(b)));
        held
    }
}
