//! From what was told to a finding.

use super::finding::{
    Finding, Fits, FoundReport, Machine, Observations, Ranked, Stop, Weighed, Why,
};
use super::questions::AskingNow;
use super::second::OverTime;
use super::{fits, questions};
use crate::conveyor::facts::Facts;
use crate::plan::{Candidates, Plan, PlanInputs, PlanningProblem};
use crate::reason::{
    Batch, Belief, Engine, Evidence, Found, Outcome, Present, Scenarios, Seen, Truth, WorkDone,
    left_out, truth,
};
use crate::rulebook::index::{CauseAt, FixAt, List, Place};
use crate::rulebook::model::{Book, Condition, Thresholds};
use crate::trade::MachineState;

/// At most so many sets of causes are told.
const MOST_SETS: usize = 20;

/// How much of a finding is worked out. A plan takes most of the time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Depth {
    /// What applies and how likely each cause is.
    Ranking,
    /// That and the questions, with what pays.
    Questions,
    /// That and the plan.
    All,
}

/// The reasoning over one book, kept through a visit.
#[derive(Debug)]
pub struct Diagnosis<'b> {
    book: &'b Book,
    engine: Engine<'b>,
}

impl<'b> Diagnosis<'b> {
    /// Reasoning over `book`.
    pub fn new(book: &'b Book) -> Self {
        let present = Present { min: 1, max: book.at_most };
        Self { book, engine: Engine::new(&book.network, present) }
    }

    /// The book it reasons over.
    pub fn book(&self) -> &'b Book {
        self.book
    }

    /// The engine underneath.
    pub fn engine(&self) -> &Engine<'b> {
        &self.engine
    }

    /// Everything that follows from what was told, but [`Fits`].
    pub fn finding(&self, facts: &Facts, observed: &Observations) -> Finding {
        self.finding_to(facts, observed, Depth::All)
    }

    /// A finding worked out so far; what lies deeper is left empty.
    pub fn finding_to(&self, facts: &Facts, observed: &Observations, depth: Depth) -> Finding {
        let mut finding = self.applicability(facts, observed);
        if let Some(belief) = Belief::new(&self.engine, &finding.evidence) {
            self.conclude(&belief, &mut finding, depth);
        }
        finding
    }

    /// What applies and what the evidence is, and nothing that follows from it.
    pub fn applicability(&self, facts: &Facts, observed: &Observations) -> Finding {
        let over_time = OverTime::new(self.book, facts, observed);
        let evidence = self.evidence(facts, &over_time, observed);
        let latest = over_time.latest();
        let OverTime { start: applies, looks, now } = over_time;
        let now = now.unwrap_or_else(|| applies.clone());
        let holds = |condition: &Condition| {
            truth(condition, facts, |symptom| latest[symptom]) == Truth::True
        };
        let looks_early = self
            .book
            .looks
            .map(|look| !look.early_if.is_empty() && look.early_if.iter().all(holds));
        Finding {
            observed: observed.clone(),
            second: looks,
            latest,
            answers: applies.counted,
            ignored: applies.ignored,
            ranked: Vec::new(),
            sets: Vec::new(),
            something_else: 0.0,
            log_evidence: None,
            mass_left_out: left_out(&self.book.priors(facts), &applies.causes, self.book.at_most),
            causes_apply: applies.causes,
            applied_at_start: applies.symptoms,
            symptoms_apply: now.symptoms,
            fixes_apply: now.fixes,
            fixes_waiting: now.waiting,
            fits: None,
            next: Vec::new(),
            next_looks: Vec::new(),
            stop: Stop::NoCause,
            looks_early,
            plan: Plan::default(),
            evidence,
        }
    }

    /// Whether to stop looking, and where to look if not: as in a finding, without working out the rest.
    pub fn stop(&self, open: &Finding) -> Stop {
        self.stop_by(open, &self.book.thresholds)
    }

    /// The same with other thresholds than the book's.
    pub fn stop_by(&self, open: &Finding, thresholds: &Thresholds) -> Stop {
        let Some(belief) = Belief::new(&self.engine, &open.evidence) else {
            return Stop::NoCause;
        };
        let marginals = belief.marginals();
        let still = match open.evidence.work.batches.is_empty() {
            true => marginals,
            false => Scenarios::new(&self.engine, &belief, &open.evidence, 0.0)
                .still_present(&belief, &open.evidence),
        };
        let asking = AskingNow { thresholds, ..self.asking(open, &still, belief.something_else()) };
        questions::stop(asking, &belief)
    }

    fn asking<'q>(
        &'q self,
        finding: &'q Finding,
        still: &List<CauseAt, f64>,
        something_else: f64,
    ) -> AskingNow<'q> {
        let applies = |(cause, chance): (CauseAt, &f64)| {
            if finding.causes_apply[cause] { *chance } else { 0.0 }
        };
        let leader = still.iter().map(applies).fold(something_else, f64::max);
        let thresholds = &self.book.thresholds;
        AskingNow { engine: &self.engine, book: self.book, finding, leader, thresholds }
    }

    /// The planning problem behind the plan of a finding, for checks; nothing if no cause applies.
    pub fn planning(&self, finding: &Finding) -> Option<PlanningProblem> {
        self.problem(finding, Candidates::new)
    }

    /// The same with all fixes in it that can be done, however little they cure.
    pub fn planning_with_all(&self, finding: &Finding) -> Option<PlanningProblem> {
        self.problem(finding, Candidates::all)
    }

    fn problem(
        &self,
        finding: &Finding,
        candidates: impl Fn(&Book, &PlanInputs<'_>) -> Candidates,
    ) -> Option<PlanningProblem> {
        let belief = Belief::new(&self.engine, &finding.evidence)?;
        let scenarios = Scenarios::new(&self.engine, &belief, &finding.evidence, 0.0);
        let still = scenarios.still_present(&belief, &finding.evidence);
        let locked_out = finding.observed.machine == Machine::LockedOut;
        let candidates = self.candidates(finding, &still, candidates);
        Some(candidates.facing(&scenarios, locked_out))
    }

    /// The plan after what was told.
    pub fn plan_after(&self, facts: &Facts, observed: &Observations) -> Plan {
        self.plan(&self.applicability(facts, observed))
    }

    /// The plan that belongs to a finding, whatever depth that was worked out to.
    pub fn plan(&self, finding: &Finding) -> Plan {
        let Some(belief) = Belief::new(&self.engine, &finding.evidence) else {
            return Plan::default();
        };
        let scenarios = Scenarios::new(&self.engine, &belief, &finding.evidence, 0.0);
        let still = scenarios.still_present(&belief, &finding.evidence);
        self.plan_now(finding, &scenarios, &still)
    }

    /// The plan as things stand. Where the picture is not clear and no short work is left, long work is looked at all
    /// the same if it begins with a check: only what that calls for is done. Where nothing is left at all, what was
    /// found sound once is looked at once more.
    fn plan_now(
        &self,
        finding: &Finding,
        scenarios: &Scenarios,
        still: &List<CauseAt, f64>,
    ) -> Plan {
        let plan =
            self.candidates(finding, still, Candidates::new).plan(scenarios, still, self.book);
        if !plan.batches.is_empty() {
            return plan;
        }
        let looked_at = |book: &Book, inputs: &PlanInputs<'_>| {
            Candidates::new(book, &PlanInputs { unless_checked: true, ..inputs.clone() })
        };
        let plan = self.candidates(finding, still, looked_at).plan(scenarios, still, self.book);
        if !plan.batches.is_empty() {
            return plan;
        }
        let sound = &finding.observed.found_sound;
        let times = |fix: &FixAt| sound.iter().filter(|other| *other == fix).count();
        let twice: Vec<FixAt> = sound.iter().copied().filter(|fix| times(fix) > 1).collect();
        let once_more = |book: &Book, inputs: &PlanInputs<'_>| {
            let inputs = PlanInputs { unless_checked: true, found_sound: &twice, ..inputs.clone() };
            Candidates::new(book, &inputs)
        };
        let plan = self.candidates(finding, still, once_more).plan(scenarios, still, self.book);
        if !plan.batches.is_empty() {
            return plan;
        }
        // What was done once is looked at again: whether it holds, nobody has seen.
        let done: Vec<FixAt> = finding.observed.done.iter().flatten().copied().collect();
        let stays = |fix: &FixAt| {
            self.book.fixes[*fix].begins_with.is_empty()
                || done.iter().filter(|other| *other == fix).count() > 1
        };
        let done: Vec<FixAt> = done.iter().copied().filter(stays).collect();
        let done_again = |book: &Book, inputs: &PlanInputs<'_>| {
            let cured_so_far = |_: CauseAt| 0.0;
            let inputs = PlanInputs {
                unless_checked: true,
                found_sound: &twice,
                done: &done,
                cured_so_far: &cured_so_far,
                ..inputs.clone()
            };
            Candidates::new(book, &inputs)
        };
        self.candidates(finding, still, done_again).plan(scenarios, still, self.book)
    }

    /// How the answers fit together, by visits drawn from the book with the same questions.
    pub fn fits(&self, finding: &Finding) -> Option<Fits> {
        fits::against_drawn_visits(&self.engine, &finding.evidence.answers_alone())
    }

    /// The answers for and against a cause, strongest first.
    pub fn why(&self, finding: &Finding, cause: CauseAt) -> Why {
        self.why_all(finding, &[cause]).pop().unwrap_or_default()
    }

    /// The same for several causes, for little more than the price of one.
    pub fn why_all(&self, finding: &Finding, causes: &[CauseAt]) -> Vec<Why> {
        let mut whys = vec![Why::default(); causes.len()];
        let log_odds = |evidence: &Evidence| -> Option<Vec<f64>> {
            let marginals = Belief::new(&self.engine, evidence)?.marginals();
            Some(
                causes
                    .iter()
                    .map(|&c| 10.0 * (marginals[c] / (1.0 - marginals[c])).log10())
                    .collect(),
            )
        };
        let Some(with) = log_odds(&finding.evidence) else {
            return whys;
        };
        let start = finding.answers.iter().filter_map(|(s, a)| Some((0, s, (*a)?)));
        let anew = finding.second.iter();
        let anew =
            anew.flat_map(|look| look.answers.iter().map(|(s, a)| (look.after_batch, *s, *a)));
        for (after_batch, symptom, answer) in start.chain(anew) {
            let Some(without) = log_odds(&finding.evidence.without(after_batch, symptom)) else {
                continue;
            };
            for ((why, with), without) in whys.iter_mut().zip(&with).zip(&without) {
                let weighed = Weighed { symptom, answer, after_batch, decibans: with - without };
                if weighed.decibans > 0.0 {
                    why.raises.push(weighed);
                } else {
                    why.lowers.push(weighed);
                }
            }
        }
        for why in &mut whys {
            for list in [&mut why.raises, &mut why.lowers] {
                list.sort_by(|a, b| b.decibans.abs().total_cmp(&a.decibans.abs()));
            }
        }
        whys
    }

    fn conclude(&self, belief: &Belief, finding: &mut Finding, depth: Depth) {
        let evidence = &finding.evidence;
        finding.log_evidence = if evidence.work.is_empty() {
            Some(belief.log_evidence())
        } else {
            Belief::new(&self.engine, &evidence.answers_alone()).map(|b| b.log_evidence())
        };
        let marginals = belief.marginals();
        // Before any work all that was present still is, and only a plan looks at every set.
        let scenarios = (depth == Depth::All || !evidence.work.batches.is_empty())
            .then(|| Scenarios::new(&self.engine, belief, evidence, 0.0));
        let still = scenarios.as_ref().map_or_else(
            || marginals.clone(),
            |scenarios| scenarios.still_present(belief, evidence),
        );
        finding.something_else = belief.something_else();
        finding.ranked = self
            .book
            .causes
            .places()
            .filter(|&c| finding.causes_apply[c])
            .map(|cause| Ranked { cause, probability: still[cause], was_present: marginals[cause] })
            .collect();
        finding.ranked.sort_by(|a, b| {
            b.probability
                .total_cmp(&a.probability)
                .then(b.was_present.total_cmp(&a.was_present))
                .then(a.cause.cmp(&b.cause))
        });
        if depth == Depth::Ranking {
            return;
        }
        if let Some(scenarios) = scenarios.as_ref().filter(|_| depth == Depth::All) {
            finding.sets = likeliest_sets(scenarios, belief.something_else());
            finding.plan = self.plan_now(finding, scenarios, &still);
        }
        let next = questions::next(self.asking(finding, &still, belief.something_else()), belief);
        finding.next = next.questions;
        finding.next_looks = next.looks;
        finding.stop = next.stop;
    }

    /// The fixes that may not be planned only because the picture is not clear.
    pub(super) fn too_long_now(&self, finding: &Finding) -> Vec<FixAt> {
        let Some(belief) = Belief::new(&self.engine, &finding.evidence) else {
            return Vec::new();
        };
        let scenarios = Scenarios::new(&self.engine, &belief, &finding.evidence, 0.0);
        let still = scenarios.still_present(&belief, &finding.evidence);
        let now = self.candidates(finding, &still, Candidates::new);
        let all = self.candidates(finding, &still, |book, inputs| {
            Candidates::new(book, &PlanInputs { longest_minutes: None, ..inputs.clone() })
        });
        all.fixes().iter().copied().filter(|fix| !now.fixes().contains(fix)).collect()
    }

    /// What may be planned: while the picture is not clear, no long work.
    fn candidates(
        &self,
        finding: &Finding,
        still: &List<CauseAt, f64>,
        choose: impl Fn(&Book, &PlanInputs<'_>) -> Candidates,
    ) -> Candidates {
        let observed = &finding.observed;
        let done: Vec<_> = observed.done.iter().flatten().copied().collect();
        let fine = |(cause, report): &(CauseAt, FoundReport)| {
            (*report == FoundReport::WasFine).then_some(*cause)
        };
        let found_fine: Vec<CauseAt> = observed.found.iter().filter_map(fine).collect();
        let cured_so_far = |cause| finding.evidence.work.cured(cause);
        let shown = |fix: FixAt, place: usize| observed.shown(self.book, fix, place);
        let thresholds = self.book.thresholds;
        let clear = still.values().any(|chance| *chance >= thresholds.clear);
        let setting = PlanInputs {
            applies: &finding.fixes_apply,
            done: &done,
            could_not: &observed.could_not,
            put_off: &observed.put_off,
            found_sound: &observed.found_sound,
            found_fine: &found_fine,
            shown: &shown,
            still_present: still,
            cured_so_far: &cured_so_far,
            longest_minutes: (!clear).then_some(thresholds.unclear_work_minutes),
            unless_checked: false,
            locked_out: observed.machine == Machine::LockedOut,
        };
        choose(self.book, &setting)
    }

    fn evidence(&self, facts: &Facts, over_time: &OverTime, observed: &Observations) -> Evidence {
        let applies = &over_time.start;
        let symptoms = self
            .book
            .symptoms
            .places()
            .map(|s| match applies.counted[s] {
                _ if !applies.symptoms[s] => Seen::Absent,
                Some(answer) => Seen::Answered(answer.position()),
                None => Seen::Open,
            })
            .collect();
        let reports = &self.book.reports;
        let found = observed.found.iter().map(|&(cause, report)| {
            let (if_present, if_absent) = match report {
                FoundReport::AsSuspected => reports.as_suspected,
                FoundReport::WasFine => reports.was_fine,
            };
            Found { cause, if_present, if_absent }
        });
        let batches = observed.done.iter().enumerate().map(|(number, fixes)| {
            let mut cures: Vec<(CauseAt, f64)> =
                fixes.iter().flat_map(|&f| self.book.fixes[f].cures.iter().copied()).collect();
            cures.sort_by(|a, b| a.0.cmp(&b.0).then(b.1.total_cmp(&a.1)));
            cures.dedup_by_key(|(cause, _)| *cause);
            // What something else has cured says nothing about the causes of the book.
            let besides = observed.something_else.iter().any(|told| told.batch == Some(number));
            let unsaid =
                |outcome: &Outcome| besides && matches!(outcome, Outcome::True | Outcome::Better);
            let outcome = observed.outcomes.get(number).copied();
            Batch { cures, outcome: outcome.filter(|outcome| !unsaid(outcome)) }
        });
        Evidence {
            causes: applies.causes.clone(),
            priors: Some(self.book.priors(facts)),
            something_else: self.book.something_else,
            symptoms,
            groups: self.book.groups.clone(),
            work: WorkDone {
                found: found.collect(),
                batches: batches.collect(),
                wrong: reports.outcome_wrong,
            },
            second: over_time.evidence(),
            history: self.book.symptoms.map(|s| s.state == MachineState::Anywhere),
            same_again: reports.same_again,
        }
    }
}

fn likeliest_sets(scenarios: &Scenarios, something_else: f64) -> Vec<(Vec<CauseAt>, f64)> {
    let mut sets: Vec<(Vec<CauseAt>, f64)> = Vec::new();
    if something_else > 0.0 {
        sets.push((Vec::new(), something_else));
    }
    for scenario in &scenarios.list {
        match sets.last_mut() {
            Some((present, chance)) if **present == *scenario.present => *chance += scenario.chance,
            _ => sets.push((scenario.present.to_vec(), scenario.chance)),
        }
    }
    sets.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    sets.truncate(MOST_SETS);
    sets
}
