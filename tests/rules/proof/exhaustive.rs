//! Every way of asking in a small book by exhaustive search. Chances and costs are worked out here from the
//! book's numbers alone, not by the program.

use std::collections::HashMap;

use straybelt::conveyor::facts::Facts;
use straybelt::plan::{Found, PlanFix, PlanningProblem, solve_exactly};
use straybelt::rulebook::index::{AnswerAt, CauseAt, FixAt, Place, SymptomAt};
use straybelt::rulebook::model::{Book, Fix, MachineState};
use straybelt::visit::{Diagnosis, Finding, Machine, Observations, Reply, Stop};

use crate::support::enumerate::{chance, sets};

/// What a look of one thing must tell to be put unasked, bits times the chance that it can be told.
const WORTH_A_PAGE: f64 = 0.07;

/// Answers to all questions, each with its number plus one, 0 for none.
pub(crate) type Answers = Vec<usize>;

/// A book with the chance of everything that may come to light.
pub(crate) struct World<'b> {
    book: &'b Book,
    sets: Vec<Vec<CauseAt>>,
    /// For every state of the answers: its chance together with each set of causes.
    joint: HashMap<Answers, Vec<f64>>,
    best: HashMap<(Answers, Machine), f64>,
}

impl<'b> World<'b> {
    pub(crate) fn of(book: &'b Book) -> Self {
        let possible = |s: &Vec<CauseAt>| (1..=book.at_most).contains(&s.len());
        let mut world = Self {
            book,
            sets: sets(book.causes.len()).filter(possible).collect(),
            joint: HashMap::new(),
            best: HashMap::new(),
        };
        world.sum_out(&mut vec![0; book.symptoms.len()]);
        world
    }

    /// The chances of a state: of a full one from the book, of any other by adding up what may follow.
    fn sum_out(&mut self, answers: &mut Answers) -> Vec<f64> {
        if let Some(known) = self.joint.get(answers) {
            return known.clone();
        }
        let network = &self.book.network;
        let chances = match answers.iter().position(|a| *a == 0) {
            Some(open) => {
                let mut sum = vec![0.0; self.sets.len()];
                for answer in 1..=network.nodes[SymptomAt::at(open)].answers {
                    answers[open] = answer;
                    let more = self.sum_out(answers);
                    sum.iter_mut().zip(more).for_each(|(s, p)| *s += p);
                }
                answers[open] = 0;
                sum
            }
            None => {
                let prior = |set: &Vec<CauseAt>| -> f64 {
                    let priors = network.priors.iter();
                    priors.map(|(c, p)| if set.contains(&c) { *p } else { 1.0 - p }).product()
                };
                let said = |s: SymptomAt| answers[s.position()] - 1;
                let given = |set: &Vec<CauseAt>| -> f64 {
                    let each = network.nodes.places();
                    each.map(|s| chance(network, s, said(s), set, |p| Some(said(p)))).product()
                };
                self.sets.iter().map(|s| prior(s) * given(s)).collect()
            }
        };
        self.joint.insert(answers.clone(), chances.clone());
        chances
    }

    fn chance(&mut self, answers: &Answers) -> f64 {
        self.sum_out(&mut answers.clone()).iter().sum()
    }

    /// The planning problem after these answers, all fixes in it.
    pub(crate) fn problem(&mut self, answers: &Answers, machine: Machine) -> PlanningProblem {
        let chances = self.sum_out(&mut answers.clone());
        let mass: f64 = chances.iter().sum();
        let numbers = |set: &Vec<CauseAt>| set.iter().map(|c| c.position()).collect();
        let sets = self.sets.iter().zip(&chances);
        PlanningProblem {
            causes: self.book.causes.len(),
            remain: sets.map(|(set, p)| (numbers(set), p / mass)).collect(),
            besides: Vec::new(),
            check_minutes: Vec::new(),
            fixes: self
                .book
                .fixes
                .values()
                .map(|f| PlanFix {
                    locked: f.state() == MachineState::LockedOut,
                    work_minutes: f.minutes,
                    checks: Vec::new(),
                    found: Found::ALWAYS,
                    cures: f.cures.iter().map(|(c, p)| (c.position(), *p)).collect(),
                    after: self.before(f).iter().map(|f| f.position()).collect(),
                    needs: f.needs.iter().map(|f| f.position()).collect(),
                })
                .collect(),
            lock_out: self.book.minutes.lock_out,
            restart_and_watch: self.book.minutes.restart_and_watch,
            give_up: self.book.minutes.give_up,
            locked_out_now: machine == Machine::LockedOut,
        }
    }

    /// The fixes that come before one, by way of others too.
    fn before(&self, fix: &Fix) -> Vec<FixAt> {
        let mut before = fix.after.clone();
        for &earlier in &fix.after {
            before.extend(self.before(&self.book.fixes[earlier]));
        }
        before.sort_unstable();
        before.dedup();
        before
    }

    /// What a question costs, and the state it leaves the machine in.
    fn asking(&self, symptom: SymptomAt, machine: Machine) -> (f64, Machine) {
        let (symptom, minutes) = (&self.book.symptoms[symptom], &self.book.minutes);
        match (machine, symptom.state) {
            (Machine::Running, MachineState::LockedOut) => {
                (symptom.minutes + minutes.lock_out, Machine::LockedOut)
            }
            (Machine::LockedOut, MachineState::Running) => {
                (symptom.minutes + minutes.restart_and_watch, Machine::Running)
            }
            _ => (symptom.minutes, machine),
        }
    }

    /// The states after each answer to a question, with their chances.
    fn after(&mut self, answers: &Answers, symptom: SymptomAt) -> Vec<(f64, Answers)> {
        let now = self.chance(answers);
        (1..=self.book.network.nodes[symptom].answers)
            .map(|answer| {
                let mut next = answers.clone();
                next[symptom.position()] = answer;
                (self.chance(&next) / now, next)
            })
            .collect()
    }

    /// Least expected minutes from here.
    pub(crate) fn best(&mut self, answers: &Answers, machine: Machine) -> f64 {
        if let Some(known) = self.best.get(&(answers.clone(), machine)) {
            return *known;
        }
        let problem = self.problem(answers, machine);
        let mut best = problem.cost(&solve_exactly(&problem));
        let places = self.book.symptoms.places();
        for symptom in places.filter(|s| answers[s.position()] == 0) {
            let (mut minutes, then) = self.asking(symptom, machine);
            for (chance, next) in self.after(answers, symptom) {
                minutes += chance * self.best(&next, then);
            }
            best = best.min(minutes);
        }
        self.best.insert((answers.clone(), machine), best);
        best
    }

    /// Bits that a question tells about the set of causes.
    fn bits(&mut self, answers: &Answers, symptom: SymptomAt) -> f64 {
        let before = self.sum_out(&mut answers.clone());
        let mass: f64 = before.iter().sum();
        let mut bits = 0.0;
        for (chance, next) in self.after(answers, symptom) {
            let joint = self.sum_out(&mut next.clone());
            let one = |(&both, &set): (&f64, &f64)| match both > 0.0 {
                true => both / mass * (both / (set * chance)).log2(),
                false => 0.0,
            };
            bits += joint.iter().zip(&before).map(one).sum::<f64>();
        }
        bits
    }

    /// Looking goes on until the likeliest cause has 80 in 100, or an hour went into it, or nothing open tells anything
    /// worth a page; until then comes what tells most in a minute of what needs no isolation.
    fn held_to_our_way(&mut self, finding: &Finding, answers: &Answers, machine: Machine) {
        let chances = self.sum_out(&mut answers.clone());
        let mass: f64 = chances.iter().sum();
        let with = |cause: CauseAt| -> f64 {
            let sets = self.sets.iter().zip(&chances);
            sets.filter(|(set, _)| set.contains(&cause)).map(|(_, p)| p / mass).sum()
        };
        let leader = self.book.causes.places().map(with).fold(0.0, f64::max);
        let entry = |s: SymptomAt| &self.book.symptoms[s];
        let first = |s: &SymptomAt| entry(*s).state != MachineState::LockedOut;
        let (open, told): (Vec<SymptomAt>, Vec<SymptomAt>) =
            self.book.symptoms.places().partition(|s| answers[s.position()] == 0);
        let looked: f64 = told.iter().filter(|s| first(s)).map(|s| entry(*s).minutes).sum();
        let enough = leader >= 0.8 || looked >= 60.0 || open.is_empty();
        let open: Vec<SymptomAt> = open.into_iter().filter(|s| first(s)).collect();
        let mut rates: Vec<(SymptomAt, f64)> = Vec::new();
        for symptom in open {
            let bits = self.bits(answers, symptom);
            // What was told in the same way so far counts for whether this can be told; here all was.
            let by = entry(symptom).told_by;
            let so_far = told.iter().filter(|s| entry(**s).told_by == by).count() as f64;
            let weight = self.book.told.weight_answers;
            let can_tell = (weight * self.book.told.chance(by) + so_far) / (weight + so_far);
            if bits * can_tell >= WORTH_A_PAGE {
                rates.push((symptom, bits / self.asking(symptom, machine).0));
            }
        }
        let best = rates.iter().map(|(_, rate)| *rate).fold(0.0, f64::max);
        match &finding.stop {
            Stop::LookOn(look) => {
                // Nobody said where to stand, so each look has one thing.
                let [symptom] = look.items[..] else { panic!("{look:?}") };
                let rate = rates.iter().find(|(open, _)| *open == symptom).unwrap().1;
                assert!(!enough && rate >= best - 1e-9, "{symptom:?} is not best: {rates:?}");
            }
            Stop::LeaderStands => assert!(leader >= 0.8, "{leader}"),
            Stop::TimeIsUp => assert!(looked >= 60.0, "{looked}"),
            Stop::NothingLeft => assert!(rates.is_empty(), "{rates:?}"),
            Stop::NoCause => panic!("some cause applies: {finding:?}"),
        }
    }

    /// Expected minutes from here by our way.
    pub(crate) fn ours(
        &mut self,
        diagnosis: &Diagnosis<'_>,
        answers: &Answers,
        machine: Machine,
    ) -> f64 {
        let mut told = Observations::none(self.book);
        told.machine = machine;
        told.replies = answers
            .iter()
            .map(|&a| match a {
                0 => Reply::Unanswered,
                a => Reply::Answer(AnswerAt::at(a - 1)),
            })
            .collect();
        let finding = diagnosis.finding(&Facts::default(), &told);
        self.held_to_our_way(&finding, answers, machine);
        if let Stop::LookOn(look) = &finding.stop {
            let symptom = look.items[0];
            let next = finding.next.iter().find(|next| next.symptom == symptom).unwrap();
            let (mut minutes, then) = self.asking(symptom, machine);
            assert!((next.minutes - minutes).abs() < 1e-9, "{next:?}");
            assert!((look.minutes - minutes).abs() < 1e-9, "{look:?}");
            for (number, (chance, next_answers)) in
                self.after(answers, symptom).into_iter().enumerate()
            {
                assert!((chance - next.chances[number]).abs() < 1e-9);
                minutes += chance * self.ours(diagnosis, &next_answers, then);
            }
            return minutes;
        }
        let problem = self.problem(answers, machine);
        let steps =
            |b: &straybelt::plan::PlanBatch| b.steps.iter().map(|s| s.fix.position()).collect();
        let sequence: Vec<Vec<usize>> = finding.plan.batches.iter().map(steps).collect();
        assert!(problem.allows(&sequence), "{sequence:?}");
        let cost = problem.cost(&sequence);
        let told_to_the_user = finding.plan.expected_minutes;
        assert!(
            (told_to_the_user - cost).abs() < 1e-6 * cost,
            "{told_to_the_user} is told, {cost} is true"
        );
        cost
    }
}
