//! From what was told to a finding.

use super::finding::{
    Finding, Fits, FoundReport, Machine, Ranked, Reply, Stop, Told, Weighed, Why,
};
use super::{fits, questions};
use crate::plan::{Candidates, Plan, Problem, Setting};
use crate::reason::{
    Applies, Batch, Belief, Engine, Evidence, Facts, Found, Outlook, Present, Seen, Work, left_out,
};
use crate::rulebook::index::{AnswerAt, CauseAt, FixAt, List, Place, SymptomAt};
use crate::rulebook::model::Book;

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

impl Told {
    /// Nothing told yet.
    pub fn nothing(book: &Book) -> Self {
        Self {
            replies: List::filled(Reply::None, book.symptoms.len()),
            found: Vec::new(),
            done: Vec::new(),
            outcomes: Vec::new(),
            could_not: Vec::new(),
            machine: Machine::Running,
        }
    }

    fn answers(&self) -> List<SymptomAt, Option<AnswerAt>> {
        self.replies.map(|reply| match reply {
            Reply::Answer(answer) => Some(*answer),
            Reply::None | Reply::CantTell => None,
        })
    }
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
    pub fn finding(&self, facts: &dyn Facts, told: &Told) -> Finding {
        self.finding_to(facts, told, Depth::All)
    }

    /// A finding worked out so far; what lies deeper is left empty.
    pub fn finding_to(&self, facts: &dyn Facts, told: &Told, depth: Depth) -> Finding {
        let mut finding = self.outset(facts, told);
        if let Some(belief) = Belief::of(&self.engine, &finding.evidence) {
            self.conclude(&belief, &mut finding, depth);
        }
        finding
    }

    /// What applies and what the evidence is, and nothing that follows from it.
    pub fn outset(&self, facts: &dyn Facts, told: &Told) -> Finding {
        let applies = Applies::of(self.book, facts, &told.answers());
        let evidence = self.evidence(&applies, told);
        Finding {
            told: told.clone(),
            answers: applies.counted,
            ignored: applies.ignored,
            ranked: Vec::new(),
            sets: Vec::new(),
            log_evidence: None,
            mass_left_out: left_out(&self.book.network.priors, &applies.causes, self.book.at_most),
            causes_apply: applies.causes,
            symptoms_apply: applies.symptoms,
            fixes_apply: applies.fixes,
            fixes_waiting: applies.waiting,
            fits: None,
            next: Vec::new(),
            stop: Stop::NoCause,
            plan: Plan::default(),
            evidence,
        }
    }

    /// Whether to stop asking, and what to ask if not: as in a finding, without working out the rest.
    pub fn stop(&self, outset: &Finding) -> Stop {
        let Some(belief) = Belief::of(&self.engine, &outset.evidence) else {
            return Stop::NoCause;
        };
        let likely = questions::likely(&belief, &outset.evidence);
        let still = likely.still_present(&belief, &outset.evidence);
        let candidates = |opened: &[FixAt]| self.candidates(outset, &still, opened, Candidates::of);
        questions::stop(&self.engine, self.book, outset, &belief, likely, &candidates)
    }

    /// Whether this question pays for its minutes, whatever others do.
    pub fn pays(&self, finding: &Finding, symptom: SymptomAt) -> bool {
        let Some(belief) = Belief::of(&self.engine, &finding.evidence) else {
            return false;
        };
        let likely = questions::likely(&belief, &finding.evidence);
        let still = likely.still_present(&belief, &finding.evidence);
        let candidates =
            |opened: &[FixAt]| self.candidates(finding, &still, opened, Candidates::of);
        questions::pays(&self.engine, self.book, finding, likely, &candidates, symptom)
    }

    /// The planning problem behind the plan of a finding, for checks; nothing if no cause applies.
    pub fn planning(&self, finding: &Finding) -> Option<Problem> {
        self.problem(finding, Candidates::of)
    }

    /// The same with all fixes in it that can be done, however little they cure.
    pub fn planning_with_all(&self, finding: &Finding) -> Option<Problem> {
        self.problem(finding, Candidates::all)
    }

    fn problem(
        &self,
        finding: &Finding,
        candidates: impl Fn(&Book, &Setting<'_>) -> Candidates,
    ) -> Option<Problem> {
        let belief = Belief::of(&self.engine, &finding.evidence)?;
        let outlook = Outlook::of(&belief, &finding.evidence, 0.0);
        let still = outlook.still_present(&belief, &finding.evidence);
        let locked_out = finding.told.machine == Machine::LockedOut;
        let candidates = self.candidates(finding, &still, &[], candidates);
        Some(candidates.facing(&outlook, locked_out))
    }

    /// The plan after what was told.
    pub fn plan_after(&self, facts: &dyn Facts, told: &Told) -> Plan {
        self.plan(&self.outset(facts, told))
    }

    /// The plan that belongs to a finding, whatever depth that was worked out to.
    pub fn plan(&self, finding: &Finding) -> Plan {
        let Some(belief) = Belief::of(&self.engine, &finding.evidence) else {
            return Plan::default();
        };
        let outlook = Outlook::of(&belief, &finding.evidence, 0.0);
        let still = outlook.still_present(&belief, &finding.evidence);
        let candidates = self.candidates(finding, &still, &[], Candidates::of);
        candidates.plan(&outlook, &still, self.book)
    }

    /// How the answers fit together, by visits drawn from the book with the same questions.
    pub fn fits(&self, finding: &Finding) -> Option<Fits> {
        fits::of(&self.engine, &finding.evidence.answers_alone())
    }

    /// The answers for and against a cause, strongest first.
    pub fn why(&self, finding: &Finding, cause: CauseAt) -> Why {
        self.why_all(finding, &[cause]).pop().unwrap_or_default()
    }

    /// The same for several causes, for little more than the price of one.
    pub fn why_all(&self, finding: &Finding, causes: &[CauseAt]) -> Vec<Why> {
        let mut whys = vec![Why::default(); causes.len()];
        let log_odds = |evidence: &Evidence| -> Option<Vec<f64>> {
            let marginals = Belief::of(&self.engine, evidence)?.marginals();
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
        for (symptom, answer) in finding.answers.iter().filter_map(|(s, a)| Some((s, (*a)?))) {
            let Some(without) = log_odds(&finding.evidence.with(symptom, Seen::Open)) else {
                continue;
            };
            for ((why, with), without) in whys.iter_mut().zip(&with).zip(&without) {
                let weighed = Weighed { symptom, answer, decibans: with - without };
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
            Belief::of(&self.engine, &evidence.answers_alone()).map(|b| b.log_evidence())
        };
        let marginals = belief.marginals();
        // Before any work all that was present still is, and only a plan looks at every set.
        let outlook = (depth == Depth::All || !evidence.work.batches.is_empty())
            .then(|| Outlook::of(belief, evidence, 0.0));
        let still = outlook
            .as_ref()
            .map_or_else(|| marginals.clone(), |outlook| outlook.still_present(belief, evidence));
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
        if let Some(outlook) = outlook.as_ref().filter(|_| depth == Depth::All) {
            finding.sets = likeliest_sets(outlook);
            finding.plan = self
                .candidates(finding, &still, &[], Candidates::of)
                .plan(outlook, &still, self.book);
        }
        let candidates =
            |opened: &[FixAt]| self.candidates(finding, &still, opened, Candidates::of);
        let (next, stop) = questions::next(
            &self.engine,
            self.book,
            finding,
            belief,
            outlook.as_ref(),
            &candidates,
        );
        finding.next = next;
        finding.stop = stop;
    }

    /// What may be planned; `opened` are fixes that an answer would open besides.
    fn candidates(
        &self,
        finding: &Finding,
        still: &List<CauseAt, f64>,
        opened: &[FixAt],
        choose: impl Fn(&Book, &Setting<'_>) -> Candidates,
    ) -> Candidates {
        let told = &finding.told;
        let done: Vec<_> = told.done.iter().flatten().copied().collect();
        let fine = |(cause, report): &(CauseAt, FoundReport)| {
            (*report == FoundReport::WasFine).then_some(*cause)
        };
        let found_fine: Vec<CauseAt> = told.found.iter().filter_map(fine).collect();
        let cured_so_far = |cause| finding.evidence.work.cured(cause);
        let mut applies = finding.fixes_apply.clone();
        opened.iter().for_each(|&fix| applies[fix] = true);
        let setting = Setting {
            applies: &applies,
            done: &done,
            could_not: &told.could_not,
            found_fine: &found_fine,
            still_present: still,
            cured_so_far: &cured_so_far,
            locked_out: told.machine == Machine::LockedOut,
        };
        choose(self.book, &setting)
    }

    fn evidence(&self, applies: &Applies, told: &Told) -> Evidence {
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
        let found = told.found.iter().map(|&(cause, report)| {
            let (if_present, if_absent) = match report {
                FoundReport::AsSuspected => reports.as_suspected,
                FoundReport::WasFine => reports.was_fine,
            };
            Found { cause, if_present, if_absent }
        });
        let batches = told.done.iter().enumerate().map(|(number, fixes)| {
            let mut cures: Vec<(CauseAt, f64)> =
                fixes.iter().flat_map(|&f| self.book.fixes[f].cures.iter().copied()).collect();
            cures.sort_by(|a, b| a.0.cmp(&b.0).then(b.1.total_cmp(&a.1)));
            cures.dedup_by_key(|(cause, _)| *cause);
            Batch { cures, outcome: told.outcomes.get(number).copied() }
        });
        Evidence {
            causes: applies.causes.clone(),
            symptoms,
            groups: self.book.groups.clone(),
            work: Work {
                found: found.collect(),
                batches: batches.collect(),
                wrong: reports.outcome_wrong,
            },
        }
    }
}

fn likeliest_sets(outlook: &Outlook) -> Vec<(Vec<CauseAt>, f64)> {
    let mut sets: Vec<(Vec<CauseAt>, f64)> = Vec::new();
    for standing in &outlook.standings {
        match sets.last_mut() {
            Some((present, chance)) if **present == *standing.present => *chance += standing.chance,
            _ => sets.push((standing.present.to_vec(), standing.chance)),
        }
    }
    sets.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    sets.truncate(MOST_SETS);
    sets
}
