//! How the conveyor of a run stands: what is out of order, what is present, what was done.

use super::{BACK_M, SafetyFault, Step, TIGHTER, World};
use crate::conveyor::ConveyorSize;
use crate::drill::belt::Belt;
use crate::drill::best::{self, Best, PutBack, Rest};
use crate::drill::eyes::Eyes;
use crate::drill::model::{Drill, Hidden};
use crate::drill::moves::{Done, MADE_BY_HAND, Move};
use crate::drill::plant;
use crate::mechanics::{Fault, just_after_screws};
use crate::reason::Applicability;
use crate::rulebook::index::{AnswerAt, CauseAt, FixAt, List, SymptomAt};
use crate::rulebook::model::Book;
use crate::trade::Strand;
use crate::visit::{ConveyorFacts, Machine, Standing, Ways};

/// So many arrangements of idlers and screws are kept.
const MOST_KEPT: usize = 32;

impl<'d> World<'d> {
    /// Everything that is out of order now.
    pub fn faults(&self) -> Vec<Fault> {
        let things = self.still_hidden().flat_map(|hidden| &hidden.things);
        let mut faults: Vec<Fault> = things.map(|thing| thing.fault(&self.drill.line)).collect();
        faults.extend(self.faults_made_by_hand());
        faults
    }

    /// What is hidden and not put right.
    fn still_hidden(&self) -> impl Iterator<Item = &'d Hidden> {
        debug_assert_eq!(self.drill.hidden.len(), self.gone.len(), "made together");
        self.drill
            .hidden
            .iter()
            .zip(&self.gone)
            .filter(|(_, gone)| !**gone)
            .map(|(hidden, _)| hidden)
    }

    /// What the learner moved.
    fn faults_made_by_hand(&self) -> Vec<Fault> {
        let feet_m = self.feet_m();
        let shifts = self.shifts.iter().map(|((strand, station), left_ahead_m)| Fault::Skewed {
            strand: if *strand == 0 { Strand::Carry } else { Strand::Return },
            station: *station,
            skew_rad: left_ahead_m / feet_m,
        });
        let (left_m, right_m) = self.screws;
        let screws = (left_m != 0.0 || right_m != 0.0).then_some(Fault::Screws { left_m, right_m });
        shifts.chain(screws).collect()
    }

    /// From foot to foot of an idler stand, m.
    pub fn feet_m(&self) -> f64 {
        plant::feet_m(&self.drill.conveyor, self.drill.line.belt.width_m)
    }

    /// The causes that the drill hides, put right or not.
    pub fn hidden_causes(&self) -> Vec<CauseAt> {
        self.drill.hidden.iter().map(|hidden| hidden.cause).collect()
    }

    /// The causes that are present now, those that the learner made included.
    pub fn present(&self) -> Vec<CauseAt> {
        let mut present: Vec<CauseAt> = self.still_hidden().map(|hidden| hidden.cause).collect();
        let uneven = (self.screws.0 - self.screws.1).abs() >= 2.0 * BACK_M;
        let made = [!self.shifts.is_empty(), uneven, self.too_tight()];
        for (fault, is) in MADE_BY_HAND.into_iter().zip(made) {
            let mut causes = self.book.causes.iter();
            let cause = causes.find(|(_, cause)| cause.drilled_as == Some(fault));
            if let Some((at, _)) = cause.filter(|(at, _)| is && !present.contains(at)) {
                present.push(at);
            }
        }
        present.sort();
        present
    }

    pub(super) fn too_tight(&self) -> bool {
        self.belt.pull_n().1 > TIGHTER * self.start.pull_n().1
            && self.belt.pull_n().1 > TIGHTER * plant::needed_n(&self.drill.line)
    }

    /// For each cause that is still hidden, the fixes that take it away here.
    fn open_causes(&self) -> Vec<Vec<FixAt>> {
        let applies =
            Applicability::new(self.book, &self.facts.facts, &self.answers_at_start).fixes;
        let open = self.still_hidden().map(|hidden| {
            let here = hidden.yields_to.iter().copied();
            here.filter(|fix| applies[*fix]).collect()
        });
        open.filter(|fixes: &Vec<FixAt>| !fixes.is_empty()).collect()
    }

    /// What the learner moved and has to put back, because the belt would not run true with it once all that is
    /// hidden is put right.
    fn to_put_back(&self) -> PutBack {
        let moved = PutBack {
            shifts: self.shifts.len(),
            screws: [self.screws.0, self.screws.1]
                .iter()
                .filter(|screw| screw.abs() >= BACK_M)
                .count(),
        };
        if moved == PutBack::default() {
            return moved;
        }
        if !self.too_tight() && self.is_harmless() { PutBack::default() } else { moved }
    }

    /// Whether the belt would run true with what the learner moved, everything else in order.
    fn is_harmless(&self) -> bool {
        let known = self
            .harmless
            .iter()
            .find(|((shifts, screws), _)| *screws == self.screws && *shifts == self.shifts);
        known.map_or_else(|| self.runs_true_with_what_was_moved(), |(_, harmless)| *harmless)
    }

    fn runs_true_with_what_was_moved(&self) -> bool {
        let line = &self.drill.line;
        Belt::begin(line, &self.faults_made_by_hand()).is_ok_and(|belt| belt.runs_true(line))
    }

    /// Keeps what a look at a belt with just this moved gives, since running one takes long.
    pub(super) fn look_at_what_was_moved(&mut self) {
        let nothing =
            self.shifts.is_empty() && self.screws.0.abs().max(self.screws.1.abs()) < BACK_M;
        let moved = (self.shifts.clone(), self.screws);
        if nothing || self.too_tight() || self.harmless.iter().any(|(known, _)| *known == moved) {
            return;
        }
        let harmless = self.runs_true_with_what_was_moved();
        if self.harmless.len() >= MOST_KEPT {
            self.harmless.remove(0);
        }
        self.harmless.push((moved, harmless));
    }

    /// Which fixes may be done on this conveyor.
    pub fn offered(&self) -> List<FixAt, bool> {
        Applicability::new(self.book, &self.facts.facts, &self.answers).fixes
    }

    /// The best that can be done from here.
    pub fn best(&self) -> Best {
        best::best(&Rest {
            book: self.book,
            machine: self.machine,
            open: self.open_causes(),
            put_back: self.to_put_back(),
        })
    }

    /// Whether the belt runs true now.
    pub fn runs_true(&self) -> bool {
        self.belt.runs_true(&self.drill.line)
    }

    /// The drill.
    pub fn drill(&self) -> &'d Drill {
        self.drill
    }

    /// The rule book.
    pub fn book(&self) -> &'d Book {
        self.book
    }

    /// What is known of the conveyor.
    pub fn facts(&self) -> &ConveyorFacts {
        &self.facts
    }

    /// What the minutes of looks depend on, as far as the learner has told.
    pub fn ways(&self) -> Ways<'d> {
        let looked = self.steps.iter().rev().find_map(|step| match (&step.what, &step.done) {
            (Move::Look(symptom), Done::Looked(answer)) => {
                (Some(*symptom) == self.book.roles.place).then_some(*answer)
            }
            _ => None,
        });
        let trouble = looked.flatten().and_then(|answer| self.book.trouble_place(answer));
        Ways { book: self.book, size: self.size(), trouble }
    }

    /// How well the learner sees.
    pub fn eyes(&self) -> Eyes {
        self.person.eyes()
    }

    /// How large the conveyor is.
    pub fn size(&self) -> ConveyorSize {
        ConveyorSize::from(self.drill.conveyor.dimensions())
    }

    /// Where the learner stands.
    pub fn standing(&self) -> Standing {
        self.standing
    }

    /// The state of the machine.
    pub fn machine(&self) -> Machine {
        self.machine
    }

    /// Minutes gone.
    pub fn minutes(&self) -> f64 {
        self.minutes
    }

    /// The belt as it last ran.
    pub fn belt(&self) -> &Belt {
        &self.belt
    }

    /// The belt at the start.
    pub fn start(&self) -> &Belt {
        &self.start
    }

    /// What the left and the right tail bearing carry now, N: as the belt last ran, and what the screws turned since
    /// have done at once.
    pub fn bearings_n(&self) -> (f64, f64) {
        let line = &self.drill.line;
        let loads = self.belt.loads();
        let at = |(left_m, right_m): (f64, f64)| just_after_screws(line, left_m, right_m);
        match (at(self.screws_run), at(self.screws)) {
            (Ok(before), Ok(now)) if self.screws != self.screws_run => (
                loads.left_n + now.left_n - before.left_n,
                loads.right_n + now.right_n - before.right_n,
            ),
            _ => (loads.left_n, loads.right_n),
        }
    }

    /// What anybody would answer now; nothing where a question does not apply.
    pub fn answers(&self) -> &List<SymptomAt, Option<AnswerAt>> {
        &self.answers
    }

    /// What anybody would have answered at the start.
    pub fn answers_at_start(&self) -> &List<SymptomAt, Option<AnswerAt>> {
        &self.answers_at_start
    }

    /// The best that could be done at the start.
    pub fn best_at_start(&self) -> &Best {
        &self.best_at_start
    }

    /// The moves that were made.
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// The hands that were where the belt was moving.
    pub fn safety_faults(&self) -> &[SafetyFault] {
        &self.faults_made
    }

    /// The causes named, with the certainty last stated for each.
    pub fn named(&self) -> &[(CauseAt, f64)] {
        &self.named
    }

    /// For each hidden cause, whether it is put right.
    pub fn put_right(&self) -> &[bool] {
        &self.gone
    }

    /// How it ended: whether the belt ran true, and whether all causes were put right.
    pub fn over(&self) -> Option<(bool, bool)> {
        self.over
    }

    /// Left and right screw, out from where they stood, m.
    pub fn screws_m(&self) -> (f64, f64) {
        self.screws
    }
}
