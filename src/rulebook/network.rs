//! The numbers of a rule book without its words: what the reasoning works on.
//!
//! Meaning of the four kinds, with S the set of causes present (design: "What the rule book says"):
//! * sign: `P(no | S) = (1 - leak) * prod (1 - link_c)` over the linked causes in S (noisy-OR);
//! * pattern: the weighted mean of the rows of the voices in S, or the background when S has none;
//! * grade: `P(A <= a | S) = base(a) * prod row_c(a)`, all cumulative (noisy-MAX);
//! * marks: `P(ticked T | S)` is the product over T of `P_a` and over the others of `1 - P_a`, each `P_a` a
//!   noisy-OR of its own. An answer is a set of marks: bit `a` of its number says whether mark `a` is ticked.

use super::index::{CauseAt, List, SymptomAt};

/// Causes with their priors, symptoms with their likelihoods.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Network {
    /// Prior chance of each cause to be present, 0..1.
    pub priors: List<CauseAt, f64>,
    /// How each symptom depends on the causes.
    pub nodes: List<SymptomAt, Node>,
}

/// One symptom's answers and their dependence on the causes.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// How many answers it has, at least 2; of marks one for each set of them.
    pub answers: usize,
    /// How the answers depend on the causes present.
    pub kind: Kind,
}

/// The kinds of dependence. Links are sorted by cause, one a cause.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// No (answer 0) or yes (answer 1).
    Sign {
        /// Chance of yes when none of the linked causes is present.
        leak: f64,
        /// Chance that this cause alone produces a yes.
        links: Vec<(CauseAt, f64)>,
    },
    /// Several answers without an order.
    Pattern {
        /// Chance of each answer when no cause with a voice is present.
        background: Vec<f64>,
        /// What each cause says.
        voices: Vec<(CauseAt, Voice)>,
    },
    /// Answers from least to most severe.
    Grade {
        /// Cumulative chances when none of the linked causes is present; the last is 1.
        base: Vec<f64>,
        /// Cumulative chances of each cause alone; the last is 1.
        rows: Vec<(CauseAt, Vec<f64>)>,
    },
    /// Several marks at once, or none.
    Marks {
        /// Chance of each mark when none of its causes is present.
        leaks: Vec<f64>,
        /// Chance that this cause alone brings each mark; 0 where it has no link to it.
        links: Vec<(CauseAt, Vec<f64>)>,
    },
}

/// Whether an answer to a question of marks has this mark ticked.
pub fn is_ticked(answer: usize, mark: usize) -> bool {
    u32::try_from(mark).ok().and_then(|mark| answer.checked_shr(mark)).is_some_and(|a| a & 1 == 1)
}

/// How many answers a question of so many marks has: one for each set of them.
pub fn sets_of_marks(marks: usize) -> usize {
    u32::try_from(marks).ok().and_then(|marks| 1_usize.checked_shl(marks)).unwrap_or(usize::MAX)
}

/// What one cause says about a pattern.
#[derive(Debug, Clone, PartialEq)]
pub struct Voice {
    /// Weight against other causes present.
    pub weight: f64,
    /// The row, or the rows by a parent's answer.
    pub says: Says,
}

/// A voice's row of chances.
#[derive(Debug, Clone, PartialEq)]
pub enum Says {
    /// The same whatever else was answered.
    Row(Vec<f64>),
    /// Depends on the answer of another symptom.
    Relative {
        /// The symptom whose answer picks the row.
        parent: SymptomAt,
        /// One row per answer of the parent; without a row the voice is silent.
        rows: Vec<Option<Vec<f64>>>,
    },
}

impl Node {
    /// The causes that this symptom's own tables name, in order.
    pub fn linked(&self) -> Vec<CauseAt> {
        match &self.kind {
            Kind::Sign { links, .. } => links.iter().map(|(c, _)| *c).collect(),
            Kind::Pattern { voices, .. } => voices.iter().map(|(c, _)| *c).collect(),
            Kind::Grade { rows, .. } => rows.iter().map(|(c, _)| *c).collect(),
            Kind::Marks { links, .. } => links.iter().map(|(c, _)| *c).collect(),
        }
    }

    /// The parents of its relative voices, in order, each once.
    pub fn parents(&self) -> Vec<SymptomAt> {
        let Kind::Pattern { voices, .. } = &self.kind else {
            return Vec::new();
        };
        let mut parents: Vec<_> = voices
            .iter()
            .filter_map(|(_, voice)| match &voice.says {
                Says::Relative { parent, .. } => Some(*parent),
                Says::Row(_) => None,
            })
            .collect();
        parents.sort_unstable();
        parents.dedup();
        parents
    }
}
