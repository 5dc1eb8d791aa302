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

/// What was left at the start, after the first batch, after the second and so on.
pub type Course = Vec<Vec<CauseAt>>;

/// Everything that may be the case, the chances summing to 1.
pub struct Enumeration<'n> {
    pub network: &'n Network,
    pub evidence: &'n Evidence,
    pub ways: Vec<Way>,
    /// The same by all that the work may have done on the way: what was left at the start, after the first
    /// batch, and so on.
    pub courses: Vec<(Course, f64)>,
    /// ln P(evidence | at least the least and at most the most causes present).
    pub log_evidence: f64,
}

impl<'n> Enumeration<'n> {
    /// Walks through everything; nothing when no set of causes is possible.
    pub fn of(network: &'n Network, present: Present, evidence: &'n Evidence) -> Option<Self> {
        let mut courses: Vec<(Course, f64)> = Vec::new();
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
            let found: f64 = evidence
                .work
                .found
                .iter()
                .map(|f| if set.contains(&f.cause) { f.if_present } else { f.if_absent })
                .product();
            for (course, work) in courses_of(&evidence.work, &set) {
                let said = likelihood(network, evidence, &course);
                courses.push((course, prior * said * found * work));
            }
        }
        let mass: f64 = courses.iter().map(|(_, chance)| chance).sum();
        if mass <= 0.0 {
            return None;
        }
        let log_evidence = (mass / prior_mass).ln();
        if evidence.something_else > 0.0 && present.min > 0 {
            let (course, said) = something_else(network, evidence);
            let odds = evidence.something_else / (1.0 - evidence.something_else);
            courses.push((course, odds * prior_mass * said));
        }
        let mass: f64 = courses.iter().map(|(_, chance)| chance).sum();
        courses.iter_mut().for_each(|(_, chance)| *chance /= mass);
        let mut ways: Vec<Way> = Vec::new();
        for (course, chance) in &courses {
            let (first, last) = (course.first().unwrap(), course.last().unwrap());
            match ways.iter_mut().find(|w| w.present == *first && w.remaining == *last) {
                Some(way) => way.chance += chance,
                None => ways.push(Way {
                    present: first.clone(),
                    remaining: last.clone(),
                    chance: *chance,
                }),
            }
        }
        Some(Self { network, evidence, ways, courses, log_evidence })
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
        for (course, chance) in &self.courses {
            let row = self.row(course, symptom);
            sum.iter_mut().zip(row).for_each(|(s, p)| *s += chance * p);
        }
        sum
    }

    /// Bits about how things stand: uncertainty about it before, less the mean after.
    pub fn bits(&self, symptom: SymptomAt) -> f64 {
        let entropy = |chances: &[f64]| -> f64 {
            let mass: f64 = chances.iter().sum();
            let terms = chances.iter().filter(|p| **p > 0.0);
            terms.map(|p| -p / mass * (p / mass).log2()).sum()
        };
        let now = entropy(&self.courses.iter().map(|(_, p)| *p).collect::<Vec<_>>());
        let rows: Vec<Vec<f64>> = self.courses.iter().map(|(c, _)| self.row(c, symptom)).collect();
        let after: f64 = (0..self.network.nodes[symptom].answers)
            .map(|answer| {
                let weighed = self.courses.iter().zip(&rows).map(|((_, p), row)| p * row[answer]);
                let chances: Vec<f64> = weighed.collect();
                chances.iter().sum::<f64>() * entropy(&chances)
            })
            .sum();
        now - after
    }

    /// Chance of each answer if the work went like this, given what else was answered.
    pub fn row(&self, course: &Course, symptom: SymptomAt) -> Vec<f64> {
        let answers = 0..self.network.nodes[symptom].answers;
        let mut row: Vec<f64> = answers
            .map(|answer| {
                let mut evidence = self.evidence.clone();
                let history = evidence.history[symptom];
                match evidence.second.last_mut().filter(|_| !history) {
                    None => evidence.symptoms[symptom] = Seen::Answered(answer),
                    Some(look) => {
                        look.told.retain(|(told, _)| *told != symptom);
                        look.told.push((symptom, answer));
                    }
                }
                likelihood(self.network, &evidence, course)
            })
            .collect();
        let mass: f64 = row.iter().sum();
        row.iter_mut().for_each(|p| *p /= mass);
        row
    }
}

/// None of the causes was there, and nothing was cured: what was left at each time, and the chance of all that was told.
fn something_else(network: &Network, evidence: &Evidence) -> (Course, f64) {
    let work = &evidence.work;
    let course: Course = vec![Vec::new(); work.batches.len() + 1];
    let found: f64 = work.found.iter().map(|found| found.if_absent).product();
    let outcome = |said: Option<Outcome>| match said {
        Some(Outcome::NoChange) => 1.0 - work.wrong,
        Some(Outcome::True | Outcome::Better) => work.wrong / 2.0,
        _ => 1.0,
    };
    let outcomes: f64 = work.batches.iter().map(|batch| outcome(batch.outcome)).product();
    let said = likelihood(network, evidence, &course);
    (course, found * outcomes * said)
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
        Kind::Marks { leaks, links } => {
            let mut product = 1.0;
            for (mark, leak) in leaks.iter().enumerate() {
                let own = links.iter().filter(|(c, _)| present.contains(c));
                let not = (1.0 - leak) * own.map(|(_, link)| 1.0 - link[mark]).product::<f64>();
                product *= if answer & (1 << mark) == 0 { not } else { 1.0 - not };
            }
            product
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

/// Everything that was answered: after how many batches, to which question, and what.
fn everything_told(evidence: &Evidence) -> Vec<(usize, SymptomAt, usize)> {
    let mut told = Vec::new();
    for (symptom, seen) in evidence.symptoms.iter() {
        if let Seen::Answered(answer) = seen {
            told.push((0, symptom, *answer));
        }
    }
    for look in &evidence.second {
        told.extend(look.told.iter().map(|&(symptom, answer)| (look.after, symptom, answer)));
    }
    told
}

/// Chance of all answers if what was left at each time was this.
fn likelihood(network: &Network, evidence: &Evidence, course: &Course) -> f64 {
    let told = everything_told(evidence);
    let latest = |symptom: SymptomAt, until: usize| {
        let until = told.iter().filter(|(time, s, _)| *s == symptom && *time <= until);
        until.max_by_key(|(time, _, _)| *time).map(|&(time, _, answer)| (time, answer))
    };
    let applies = |symptom: SymptomAt, time: usize| {
        let looks = evidence.second.iter().filter(|look| look.after <= time);
        match looks.max_by_key(|look| look.after) {
            Some(look) => look.applies[symptom],
            None => evidence.symptoms[symptom] != Seen::Absent,
        }
    };
    let open = |p: SymptomAt, time: usize| applies(p, time) && latest(p, time).is_none();
    // Whether of a symptom's causes the same were there at both times.
    let same = |symptom: SymptomAt, one: usize, other: usize| {
        let linked = network.nodes[symptom].linked();
        let there = |time: usize, c: &CauseAt| course[time].contains(c);
        linked.iter().all(|c| there(one, c) == there(other, c))
    };
    // The hidden, each with the time at which it first matters.
    let mut hidden: Vec<(SymptomAt, usize)> = Vec::new();
    for &(time, symptom, _) in &told {
        for parent in network.nodes[symptom].parents() {
            if open(parent, time) {
                match hidden.iter_mut().find(|(h, _)| *h == parent) {
                    Some((_, first)) => *first = time.min(*first),
                    None => hidden.push((parent, time)),
                }
            }
        }
    }
    let share = |time: usize, symptom: SymptomAt| -> f64 {
        let group = evidence.groups.iter().find(|g| g.contains(&symptom));
        let then = |s: &SymptomAt| told.iter().any(|(t, other, _)| *t == time && other == s);
        let members = group.map_or(1, |g| g.iter().filter(|s| then(s)).count());
        1.0 / members as f64
    };
    let combinations: usize = hidden.iter().map(|(h, _)| network.nodes[*h].answers).product();
    let mut sum = 0.0;
    for mut number in 0..combinations {
        let states: Vec<usize> = hidden
            .iter()
            .map(|(h, _)| {
                let state = number % network.nodes[*h].answers;
                number /= network.nodes[*h].answers;
                state
            })
            .collect();
        let hidden_at = |s: SymptomAt| hidden.iter().position(|(h, _)| *h == s);
        let parent_at = |p: SymptomAt, time: usize| {
            if !applies(p, time) {
                return None;
            }
            latest(p, time).map(|(_, answer)| answer).or_else(|| Some(states[hidden_at(p)?]))
        };
        let mut weight = 1.0;
        for (&(symptom, first), &state) in hidden.iter().zip(&states) {
            weight *= chance(network, symptom, state, &course[first], |_| None);
        }
        for &(time, symptom, answer) in &told {
            let parent = |p: SymptomAt| parent_at(p, time);
            let of_left = chance(network, symptom, answer, &course[time], parent);
            let earlier = time.checked_sub(1).and_then(|until| latest(symptom, until));
            let said =
                match (earlier, hidden_at(symptom)) {
                    (Some((before, said)), _) if same(symptom, before, time) => {
                        let again = if said == answer { evidence.same_again } else { 0.0 };
                        again + (1.0 - evidence.same_again) * of_left
                    }
                    // What was open when it was first looked at, and has not changed since.
                    (None, Some(at)) if same(symptom, hidden[at].1, time) => {
                        if states[at] == answer { 1.0 } else { 0.0 }
                    }
                    _ => of_left,
                };
            weight *= said.powf(share(time, symptom));
        }
        sum += weight;
    }
    sum
}

/// Every way the work may have gone for these causes: what remains, and the chance of that and of the
/// outcomes that were reported.
pub fn how_the_work_went(work: &WorkDone, present: &[CauseAt]) -> Vec<(Vec<CauseAt>, f64)> {
    let mut merged: Vec<(Vec<CauseAt>, f64)> = Vec::new();
    for (mut course, chance) in courses_of(work, present) {
        let left = course.pop().unwrap();
        match merged.iter_mut().find(|(known, _)| *known == left) {
            Some((_, sum)) => *sum += chance,
            None => merged.push((left, chance)),
        }
    }
    merged
}

/// The same with what was left on the way. Each cause carries a flag, cured or not; a batch may raise it and nothing
/// lowers it, and after each batch it is up with the best single chance so far.
fn courses_of(work: &WorkDone, present: &[CauseAt]) -> Vec<(Course, f64)> {
    let mut ways: Vec<(Vec<bool>, Course, f64)> =
        vec![(vec![false; present.len()], vec![present.to_vec()], 1.0)];
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
                .flat_map(|(flags, course, chance)| {
                    let mut up = flags.clone();
                    up[i] = true;
                    if flags[i] {
                        vec![(up, course, chance)]
                    } else {
                        let is_cured = (up, course.clone(), chance * raised);
                        vec![is_cured, (flags, course, chance * (1.0 - raised))]
                    }
                })
                .filter(|(_, _, chance)| *chance > 0.0)
                .collect();
        }
        for (flags, course, chance) in &mut ways {
            let left = present.iter().zip(flags.iter()).filter(|(_, up)| !**up);
            course.push(left.map(|(c, _)| *c).collect());
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
    ways.into_iter().map(|(_, course, chance)| (course, chance)).collect()
}
