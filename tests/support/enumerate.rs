//! The meaning of a network by the plainest means: every set of causes, every hidden answer, every way
//! the work may have gone, one after the other. Written from rules/JSON.md, not from the program.

use straybelt::reason::{Evidence, Outcome, Present, Seen, WorkDone};
use straybelt::rulebook::index::{CauseAt, Place, SymptomAt};
use straybelt::rulebook::network::{Kind, Network, Says};

/// One way things may be: the causes present at the start, those that remain, and its chance.
pub struct Way {
    pub present: Vec<CauseAt>,
    pub remaining: Vec<CauseAt>,
    pub chance: f64,
}

/// Everything that may be the case, the chances summing to 1.
pub struct Enumeration<'n> {
    pub network: &'n Network,
    pub evidence: &'n Evidence,
    pub ways: Vec<Way>,
    /// ln P(evidence | at least the least and at most the most causes present).
    pub log_evidence: f64,
}

impl<'n> Enumeration<'n> {
    /// Walks through everything; nothing when no set of causes is possible.
    pub fn of(network: &'n Network, present: Present, evidence: &'n Evidence) -> Option<Self> {
        let mut ways = Vec::new();
        let mut prior_mass = 0.0;
        for set in sets(network.priors.len()) {
            let applies = set.iter().all(|&c| evidence.causes[c]);
            if !applies || set.len() < present.min || set.len() > present.max {
                continue;
            }
            let prior: f64 = network
                .priors
                .iter()
                .filter(|(c, _)| evidence.causes[*c])
                .map(|(c, p)| if set.contains(&c) { *p } else { 1.0 - p })
                .product();
            prior_mass += prior;
            let said: f64 = likelihood(network, evidence, &set, None).iter().sum();
            let found: f64 = evidence
                .work
                .found
                .iter()
                .map(|f| if set.contains(&f.cause) { f.if_present } else { f.if_absent })
                .product();
            for (remaining, work) in how_the_work_went(&evidence.work, &set) {
                ways.push(Way {
                    present: set.clone(),
                    remaining,
                    chance: prior * said * found * work,
                });
            }
        }
        let mass: f64 = ways.iter().map(|w| w.chance).sum();
        if mass <= 0.0 {
            return None;
        }
        ways.iter_mut().for_each(|w| w.chance /= mass);
        Some(Self { network, evidence, ways, log_evidence: (mass / prior_mass).ln() })
    }

    /// Chance of what holds for the causes present at the start.
    pub fn chance(&self, holds: impl Fn(&[CauseAt]) -> bool) -> f64 {
        let ways = self.ways.iter().filter(|w| holds(&w.present));
        ways.map(|w| w.chance).sum()
    }

    /// Chance of each cause to have been present at the start.
    pub fn marginals(&self) -> Vec<f64> {
        self.each_cause(|way, cause| way.present.contains(&cause))
    }

    /// Chance of each cause to be still present.
    pub fn still_present(&self) -> Vec<f64> {
        self.each_cause(|way, cause| way.remaining.contains(&cause))
    }

    fn each_cause(&self, holds: impl Fn(&Way, CauseAt) -> bool) -> Vec<f64> {
        let places = self.network.priors.places();
        places
            .map(|c| {
                let ways = self.ways.iter().filter(|w| holds(w, c));
                ways.map(|w| w.chance).sum()
            })
            .collect()
    }

    /// Chance of each answer to an open question.
    pub fn predictive(&self, symptom: SymptomAt) -> Vec<f64> {
        let mut sum = vec![0.0; self.network.nodes[symptom].answers];
        for way in &self.ways {
            let row = self.row(&way.present, symptom);
            sum.iter_mut().zip(row).for_each(|(s, p)| *s += way.chance * p);
        }
        sum
    }

    /// Bits about the causes present: uncertainty about them before, less the mean after.
    pub fn bits(&self, symptom: SymptomAt) -> f64 {
        let entropy = |chances: &[f64]| -> f64 {
            let mass: f64 = chances.iter().sum();
            let terms = chances.iter().filter(|p| **p > 0.0);
            terms.map(|p| -p / mass * (p / mass).log2()).sum()
        };
        let mut before: Vec<(Vec<CauseAt>, f64)> = Vec::new();
        for way in &self.ways {
            match before.iter_mut().find(|(set, _)| *set == way.present) {
                Some((_, chance)) => *chance += way.chance,
                None => before.push((way.present.clone(), way.chance)),
            }
        }
        let now = entropy(&before.iter().map(|(_, p)| *p).collect::<Vec<_>>());
        let after: f64 = (0..self.network.nodes[symptom].answers)
            .map(|answer| {
                let chances: Vec<f64> =
                    before.iter().map(|(set, p)| p * self.row(set, symptom)[answer]).collect();
                chances.iter().sum::<f64>() * entropy(&chances)
            })
            .sum();
        now - after
    }

    /// Chance of each answer if these causes are present, given what else was answered.
    fn row(&self, present: &[CauseAt], symptom: SymptomAt) -> Vec<f64> {
        let mut row = likelihood(self.network, self.evidence, present, Some(symptom));
        let mass: f64 = row.iter().sum();
        row.iter_mut().for_each(|p| *p /= mass);
        row
    }
}

/// All sets of so many causes, the empty one first.
pub fn sets(causes: usize) -> impl Iterator<Item = Vec<CauseAt>> {
    (0..1_usize << causes)
        .map(move |bits| (0..causes).filter(|c| bits & (1 << c) != 0).map(CauseAt::at).collect())
}

/// Chance of one answer, given the causes present and the answers of the parents.
pub fn chance(
    network: &Network,
    symptom: SymptomAt,
    answer: usize,
    present: &[CauseAt],
    parent: impl Fn(SymptomAt) -> Option<usize>,
) -> f64 {
    match &network.nodes[symptom].kind {
        Kind::Sign { leak, links } => {
            let silent = links.iter().filter(|(c, _)| present.contains(c));
            let no = (1.0 - leak) * silent.map(|(_, link)| 1.0 - link).product::<f64>();
            if answer == 0 { no } else { 1.0 - no }
        }
        Kind::Grade { base, rows } => {
            let up_to = |level: usize| {
                let loud = rows.iter().filter(|(c, _)| present.contains(c));
                base[level] * loud.map(|(_, row)| row[level]).product::<f64>()
            };
            up_to(answer) - if answer == 0 { 0.0 } else { up_to(answer - 1) }
        }
        Kind::Pattern { background, voices } => {
            let mut heard: Vec<(f64, f64)> = Vec::new();
            for (cause, voice) in voices {
                let row = match &voice.says {
                    Says::Row(row) => Some(row),
                    Says::Relative { parent: at, rows } => {
                        parent(*at).and_then(|state| rows[state].as_ref())
                    }
                };
                if let Some(row) = row.filter(|_| present.contains(cause)) {
                    heard.push((voice.weight, row[answer]));
                }
            }
            let weight: f64 = heard.iter().map(|(w, _)| w).sum();
            if heard.is_empty() {
                background[answer]
            } else {
                heard.iter().map(|(w, p)| w * p).sum::<f64>() / weight
            }
        }
    }
}

/// Chance of the answers given the causes present, split by the answer to `asked`.
fn likelihood(
    network: &Network,
    evidence: &Evidence,
    present: &[CauseAt],
    asked: Option<SymptomAt>,
) -> Vec<f64> {
    let answered = |s: SymptomAt| match evidence.symptoms[s] {
        Seen::Answered(answer) => Some(answer),
        _ => None,
    };
    let symptoms: Vec<SymptomAt> = network.nodes.places().collect();
    let given = symptoms.iter().copied().filter(|&s| answered(s).is_some());
    // The hidden: what was asked, and the open parents of that and of what was answered.
    let mut hidden: Vec<SymptomAt> = asked.into_iter().collect();
    for symptom in given.clone().chain(asked) {
        for parent in network.nodes[symptom].parents() {
            if evidence.symptoms[parent] == Seen::Open && !hidden.contains(&parent) {
                hidden.push(parent);
            }
        }
    }
    let share = |symptom: SymptomAt| -> f64 {
        let group = evidence.groups.iter().find(|g| g.contains(&symptom));
        let members = group.map_or(1, |g| g.iter().filter(|s| answered(**s).is_some()).count());
        1.0 / members as f64
    };
    let mut split = vec![0.0; asked.map_or(1, |s| network.nodes[s].answers)];
    let combinations: usize = hidden.iter().map(|&s| network.nodes[s].answers).product();
    for mut number in 0..combinations {
        let states: Vec<usize> = hidden
            .iter()
            .map(|&s| {
                let state = number % network.nodes[s].answers;
                number /= network.nodes[s].answers;
                state
            })
            .collect();
        let state = |s: SymptomAt| hidden.iter().position(|h| *h == s).map(|at| states[at]);
        let parent = |s: SymptomAt| state(s).or_else(|| answered(s));
        let mut weight = 1.0;
        for (&symptom, &answer) in hidden.iter().zip(&states) {
            weight *= chance(network, symptom, answer, present, parent);
        }
        for symptom in given.clone() {
            let answer = answered(symptom).unwrap();
            weight *= chance(network, symptom, answer, present, parent).powf(share(symptom));
        }
        let slot = if asked.is_some() { states[0] } else { 0 };
        split[slot] += weight;
    }
    split
}

/// Every way the work may have gone for these causes: what remains, and the chance of that and of the
/// outcomes that were reported. Each cause carries a flag, cured or not; a batch may raise it and nothing
/// lowers it, and after each batch it is up with the best single chance so far.
pub fn how_the_work_went(work: &WorkDone, present: &[CauseAt]) -> Vec<(Vec<CauseAt>, f64)> {
    let mut ways: Vec<(Vec<bool>, f64)> = vec![(vec![false; present.len()], 1.0)];
    let mut best = vec![0.0_f64; present.len()];
    for batch in &work.batches {
        let before = best.clone();
        for (slot, cause) in best.iter_mut().zip(present) {
            let here = batch.cures.iter().filter(|(c, _)| c == cause);
            *slot = here.map(|(_, p)| *p).fold(*slot, f64::max);
        }
        for (i, (was, is)) in before.iter().zip(&best).enumerate() {
            let raised = (is - was) / (1.0 - was);
            ways = ways
                .into_iter()
                .flat_map(|(flags, chance)| {
                    let mut up = flags.clone();
                    up[i] = true;
                    if flags[i] {
                        vec![(up, chance)]
                    } else {
                        vec![(up, chance * raised), (flags, chance * (1.0 - raised))]
                    }
                })
                .collect();
        }
        for (flags, chance) in &mut ways {
            let cured = flags.iter().filter(|up| **up).count();
            let in_truth = if cured == flags.len() {
                Outcome::True
            } else if cured == 0 {
                Outcome::NoChange
            } else {
                Outcome::Better
            };
            *chance *= match batch.outcome {
                None
                | Some(
                    Outcome::Worse | Outcome::OtherSide | Outcome::Elsewhere | Outcome::Different,
                ) => 1.0,
                Some(said) if said == in_truth => 1.0 - work.wrong,
                Some(_) => work.wrong / 2.0,
            };
        }
    }
    let mut merged: Vec<(Vec<CauseAt>, f64)> = Vec::new();
    for (flags, chance) in ways {
        let left = present.iter().zip(&flags).filter(|(_, up)| !**up);
        let left: Vec<CauseAt> = left.map(|(c, _)| *c).collect();
        match merged.iter_mut().find(|(known, _)| *known == left) {
            Some((_, sum)) => *sum += chance,
            None => merged.push((left, chance)),
        }
    }
    merged
}
