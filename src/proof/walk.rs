//! One drawn visit played from the first question until the belt runs true or is given up.

use fastrand::Rng;

use super::draw::Drawn;
use crate::plan::{Plan, PlanBatch};
use crate::reason::Outcome;
use crate::rulebook::index::{CauseAt, FixAt, SymptomAt};
use crate::rulebook::model::Book;
use crate::visit::{
    ConveyorFacts, Depth, Diagnosis, Finding, Machine, NextLook, Observations, Stop, Ways, askable,
    asking,
};

/// So many causes of one fix are reported on, most likely first, as in a visit.
const REPORTED: usize = 3;
/// Each batch takes fixes away, so a plan comes to its end long before this.
const MOST_BATCHES: usize = 200;
/// A cause as likely as this is as good as certain to whoever stops by certainty.
pub const SURE: f64 = 0.9;

/// A way of asking.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Policy {
    /// Which question comes next.
    pub order: AskingOrder,
    /// When to stop.
    pub until: Until,
}

/// Which question comes next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AskingOrder {
    /// As the program asks.
    Own,
    /// As they stand in the book.
    Book,
    /// Any.
    Random,
    /// As the program asks, but one thing at a time, each worth a walk of its own.
    OneThing,
}

/// When to stop asking.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Until {
    /// When enough was looked at to act, as the program does.
    Enough,
    /// When one cause is as likely as [`SURE`], or nothing is left to ask.
    Sure,
    /// As the program does, with another threshold: when one cause is as likely as so many per cent.
    At(u8),
    /// When no look at the running machine tells anything more, however sure.
    Looked,
    /// When nothing is left to ask, the checks of the locked-out machine included.
    Told,
}

impl Policy {
    /// The program's own way.
    pub const OWN: Self = Self { order: AskingOrder::Own, until: Until::Enough };
    /// The program's own way first, then those it is measured against.
    pub const ALL: [Self; 12] = [
        Self::OWN,
        Self::new(AskingOrder::OneThing, Until::Enough),
        Self::new(AskingOrder::Own, Until::At(60)),
        Self::new(AskingOrder::Own, Until::At(70)),
        Self::new(AskingOrder::Own, Until::At(90)),
        Self::new(AskingOrder::Own, Until::At(95)),
        Self::new(AskingOrder::Own, Until::Looked),
        Self::new(AskingOrder::Book, Until::Told),
        Self::new(AskingOrder::Book, Until::Enough),
        Self::new(AskingOrder::Random, Until::Enough),
        Self::new(AskingOrder::Book, Until::Sure),
        Self::new(AskingOrder::Random, Until::Sure),
    ];

    const fn new(order: AskingOrder, until: Until) -> Self {
        Self { order, until }
    }
}

/// A visit as far as its finding.
#[derive(Debug, Clone)]
pub struct AskedVisit {
    /// The finding; its plan is in `plan`.
    pub finding: Finding,
    /// The plan.
    pub plan: Plan,
    /// Questions asked, those that could not be answered included.
    pub questions: usize,
    /// Minutes that they took, lock-out and restart included.
    pub minutes: f64,
}

/// What came of a visit.
#[derive(Debug, Clone, PartialEq)]
pub struct Played {
    /// Place of the first cause that was present among the causes found, from 0.
    pub right_at: Option<usize>,
    /// For the leading cause, then the others: the chance stated, and whether it was present.
    pub stated: Vec<(f64, bool)>,
    /// Questions asked.
    pub questions: usize,
    /// Minutes to the finding.
    pub minutes_asking: f64,
    /// Minutes to the finding and what the plan says it will take from there.
    pub minutes_expected: f64,
    /// Minutes until the belt ran true, or until it was given up, what that costs included.
    pub minutes: f64,
    /// Whether it ran true in the end.
    pub cured: bool,
    /// Whether the finding said outright that it is none of the book's causes.
    pub none_of_them: bool,
}

/// Plays one drawn visit. Random orders come from `rng`.
pub fn play(diagnosis: &Diagnosis<'_>, drawn: &Drawn, policy: Policy, rng: &mut Rng) -> Played {
    let asked = ask(diagnosis, drawn, policy, rng);
    let stated: Vec<(f64, bool)> = asked
        .finding
        .ranked
        .iter()
        .map(|r| (r.was_present, drawn.present.contains(&r.cause)))
        .collect();
    let Worked { minutes: minutes_working, cured, .. } = work(diagnosis, drawn, &asked);
    Played {
        right_at: stated.iter().position(|(_, present)| *present),
        questions: asked.questions,
        minutes_asking: asked.minutes,
        minutes_expected: asked.minutes + asked.plan.expected_minutes,
        minutes: asked.minutes + minutes_working,
        cured,
        none_of_them: asked.finding.says_none_of_them(),
        stated,
    }
}

/// Asks until it is time to stop, and makes the plan.
pub fn ask(diagnosis: &Diagnosis<'_>, drawn: &Drawn, policy: Policy, rng: &mut Rng) -> AskedVisit {
    let book = diagnosis.book();
    let mut observed = Observations::none(book);
    let mut order: Vec<SymptomAt> = book.symptoms.places().collect();
    if policy.order == AskingOrder::Random {
        rng.shuffle(&mut order);
    }
    order.retain(|symptom| !book.opening.contains(symptom));
    order.splice(0..0, book.opening.iter().copied());
    let (mut questions, mut minutes) = (0, 0.0);
    loop {
        let applicable = diagnosis.applicability(&drawn.facts.facts, &observed);
        let asker = Asker { diagnosis, policy, order: &order, facts: &drawn.facts };
        let next = asker.next(&applicable);
        if next.is_empty() {
            let finding = diagnosis.finding_to(&drawn.facts.facts, &observed, Depth::Ranking);
            let plan = diagnosis.plan(&finding);
            return AskedVisit { finding, plan, questions, minutes };
        }
        for symptom in next {
            let applicable = diagnosis.applicability(&drawn.facts.facts, &observed);
            // What an earlier answer of the same look has closed is left out.
            if askable(book, &applicable).all(|open| open != symptom) {
                continue;
            }
            let (takes, machine) = asking(book, symptom, observed.machine);
            let look = book.symptoms[symptom].look;
            questions += 1;
            minutes += takes + Ways::known(book, &observed).minutes_to(observed.standing, look);
            observed.standing = observed.standing.moved_to(book, look);
            observed.machine = machine;
            observed.replies[symptom] = drawn.reply(symptom);
        }
    }
}

/// Who asks, on which conveyor, in which way.
struct Asker<'a> {
    diagnosis: &'a Diagnosis<'a>,
    policy: Policy,
    /// All symptoms, those of the pattern first.
    order: &'a [SymptomAt],
    facts: &'a ConveyorFacts,
}

impl Asker<'_> {
    /// What is looked at next, standing at one place; nothing if it is enough.
    fn next(&self, applicable: &Finding) -> Vec<SymptomAt> {
        let book = self.diagnosis.book();
        let open: Vec<SymptomAt> = askable(book, applicable).collect();
        let first = self.order.iter().find(|symptom| open.contains(symptom));
        let (Some(&first), true) =
            (first, applicable.causes_apply.values().any(|applies| *applies))
        else {
            return Vec::new();
        };
        match (self.policy.until, self.policy.order) {
            (Until::Sure, _) => {
                let (facts, observed) = (self.facts, &applicable.observed);
                let finding = self.diagnosis.finding_to(&facts.facts, observed, Depth::Ranking);
                let unsure = finding.ranked.first().is_some_and(|lead| lead.was_present < SURE);
                if unsure { vec![first] } else { Vec::new() }
            }
            (Until::Told, _) => vec![first],
            (_, AskingOrder::Own) => self.best(applicable).map_or(Vec::new(), |look| look.items),
            (_, AskingOrder::OneThing) => self
                .best(applicable)
                .and_then(|look| look.items.first().copied())
                .into_iter()
                .collect(),
            _ => self.best(applicable).map_or(Vec::new(), |_| vec![first]),
        }
    }

    /// The look that the program would take, if it would take one.
    fn best(&self, applicable: &Finding) -> Option<NextLook> {
        let mut thresholds = self.diagnosis.book().thresholds;
        match self.policy.until {
            Until::At(percent) => thresholds.enough = f64::from(percent) / 100.0,
            Until::Looked => {
                thresholds.enough = f64::INFINITY;
                thresholds.looking_minutes = f64::INFINITY;
            }
            Until::Enough | Until::Sure | Until::Told => {}
        }
        match self.diagnosis.stop_by(applicable, &thresholds) {
            Stop::LookOn(look) => Some(look),
            _ => None,
        }
    }
}

/// What came of the work.
#[derive(Debug, Clone)]
pub struct Worked {
    /// Minutes from the finding on, what giving up costs included.
    pub minutes: f64,
    /// Whether it ran true in the end.
    pub cured: bool,
    /// What was told until then.
    pub observed: Observations,
}

/// Works through the plan, made afresh after each batch, until the belt runs true or is given up. How the belt runs is told as it is.
pub fn work(diagnosis: &Diagnosis<'_>, drawn: &Drawn, asked: &AskedVisit) -> Worked {
    let book = diagnosis.book();
    let mut observed = asked.finding.observed.clone();
    let mut plan = asked.plan.clone();
    let mut minutes = 0.0;
    for _ in 0..MOST_BATCHES {
        let Some(batch) = plan.batches.first() else {
            break;
        };
        let before = observed.done.len();
        minutes += do_batch(book, drawn, batch, &mut observed);
        let remaining = drawn.remaining(|cause| cured(book, &observed, &[], cause));
        let outcome = drawn.outcome(&remaining);
        if outcome == Outcome::True {
            return Worked { minutes, cured: true, observed };
        }
        if observed.done.len() > before {
            observed.outcomes.push(outcome);
        }
        plan = diagnosis.plan_after(&drawn.facts.facts, &observed);
    }
    Worked { minutes: minutes + book.minutes.give_up, cured: false, observed }
}

/// The best chance of cure so far for a cause, by the batches and by what is done in the one at hand: of several fixes
/// the best single one counts.
fn cured(book: &Book, observed: &Observations, done: &[FixAt], cause: CauseAt) -> f64 {
    let done = observed.done.iter().flatten().chain(done);
    let cures = done.flat_map(|fix| &book.fixes[*fix].cures);
    let chances = cures.filter(|(c, _)| *c == cause).map(|(_, chance)| *chance);
    chances.fold(0.0, f64::max)
}

/// Does one batch as it was planned, to its end, and tells what was found: the minutes it took. Work is done where the
/// checks call for it.
fn do_batch(book: &Book, drawn: &Drawn, batch: &PlanBatch, observed: &mut Observations) -> f64 {
    let mut minutes = batch.round_minutes;
    let mut done: Vec<FixAt> = Vec::new();
    for step in &batch.steps {
        let cured = |cause| cured(book, observed, &done, cause);
        let calls = drawn.calls(step, book, &drawn.remaining(cured));
        if calls {
            minutes += step.work_minutes;
            done.push(step.fix);
        } else {
            observed.found_sound.push(step.fix);
        }
        for &cause in step.for_causes.iter().take(REPORTED) {
            report(book, drawn, cause, observed);
        }
    }
    if !done.is_empty() {
        observed.done.push(done);
        observed.started();
    }
    observed.machine = Machine::Running;
    minutes
}

/// One cause is reported on once: whoever looks again sees the same.
fn report(book: &Book, drawn: &Drawn, cause: CauseAt, observed: &mut Observations) {
    if observed.found.iter().all(|(known, _)| *known != cause) {
        observed.found.push((cause, drawn.found(book, cause)));
    }
}
