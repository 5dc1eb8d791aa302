//! Which fixes are worth considering, what their checks have shown, and what must come before them.

use crate::rulebook::index::{CauseAt, FixAt, List, Place};
use crate::rulebook::model::{Book, Shown, Verdict};
use crate::trade::MachineState;

/// Fixes that cure less of the belief than this are not considered.
pub(super) const LEAST_CURE: f64 = 0.005;
/// So many candidates are considered at most, those that cure most.
const MOST_CANDIDATES: usize = 28;
/// With what they need there are at most so many.
const MOST_WITH_NEEDS: usize = 120;
/// Work is dear from so many minutes on; where another does in half the time, that is tried first. Our own rule.
const DEAR_MINUTES: f64 = 120.0;
/// What cures a cause with less than this chance is no cheap way of doing so.
const FAIR_CURE: f64 = 0.25;

/// What a plan depends on besides the book and the belief.
#[derive(Clone)]
#[expect(missing_debug_implementations, reason = "it borrows functions")]
pub struct PlanInputs<'s> {
    /// Which fixes apply.
    pub applies: &'s List<FixAt, bool>,
    /// Fixes done already.
    pub done: &'s [FixAt],
    /// Fixes that could not be done.
    pub could_not: &'s [FixAt],
    /// Fixes that are put off: not today, and neither done nor impossible.
    pub put_off: &'s [FixAt],
    /// Fixes whose checks called for nothing since the machine was last started; they may come again after that.
    pub found_sound: &'s [FixAt],
    /// Causes that were found to be fine.
    pub found_fine: &'s [CauseAt],
    /// What each check of a fix has shown, by its place.
    pub shown: &'s dyn Fn(FixAt, usize) -> Shown,
    /// Chance of each cause to be still present.
    pub still_present: &'s List<CauseAt, f64>,
    /// Best chance so far that each cause was cured by what was done.
    pub cured_so_far: &'s dyn Fn(CauseAt) -> f64,
    /// No locked-out work longer than this is planned, minutes: the picture is not clear.
    pub longest_minutes: Option<f64>,
    /// Unless it begins with a check: then it is looked at all the same, for nothing else is left.
    pub unless_checked: bool,
    /// Whether the machine is locked out now.
    pub locked_out: bool,
}

/// The fixes worth considering, and how they hang together.
#[derive(Debug, Clone)]
pub(super) struct Choice {
    /// In book order.
    pub(super) fixes: Vec<FixAt>,
    /// For each, those that must be done in an earlier batch.
    pub(super) needs: Vec<Vec<FixAt>>,
    /// For each, those that come first in one batch.
    pub(super) after: Vec<Vec<FixAt>>,
}

impl Choice {
    /// The fixes that cure at least so much of the belief, and what they need.
    pub(super) fn new(least: f64, book: &Book, inputs: &PlanInputs<'_>) -> Self {
        let chooser = Chooser { book, inputs };
        let mut fixes = chooser.worth_considering(least);
        let mut cheap: Vec<(FixAt, FixAt)> = Vec::new();
        for &dear in &fixes {
            let before = chooser.cheap_before(dear, &fixes, &cheap);
            cheap.extend(before.map(|before| (dear, before)));
        }
        let needs = |fix: FixAt| -> Vec<FixAt> {
            let cheap = cheap.iter().filter(|(dear, _)| *dear == fix).map(|(_, cheap)| *cheap);
            let stages = book.fixes[fix].needs.iter().copied();
            let mut needs: Vec<FixAt> =
                stages.filter(|&n| chooser.is_wanting(n)).chain(cheap).collect();
            needs.sort_unstable();
            needs.dedup();
            needs
        };
        let mut at = 0;
        while let Some(&fix) = fixes.get(at) {
            for needed in needs(fix) {
                if chooser.is_open(needed) && !fixes.contains(&needed) {
                    fixes.push(needed);
                }
            }
            at += 1;
        }
        // A need that cannot be met (it could not be done) shuts its fix out.
        loop {
            let kept = fixes.clone();
            fixes.retain(|&fix| needs(fix).iter().all(|n| kept.contains(n)));
            if fixes.len() == kept.len() {
                break;
            }
        }
        fixes.truncate(MOST_WITH_NEEDS);
        fixes.sort_unstable();
        let after = fixes.iter().map(|&fix| chooser.wanting_before(fix)).collect();
        Self { needs: fixes.iter().map(|&fix| needs(fix)).collect(), after, fixes }
    }
}

/// What the checks of a fix say so far.
pub(super) fn verdict(book: &Book, inputs: &PlanInputs<'_>, fix: FixAt) -> Verdict {
    book.fixes[fix].verdict(|place, _| (inputs.shown)(fix, place))
}

/// The chance of a cure for what an earlier try with chance `so_far` left uncured.
pub(super) fn beyond(chance: f64, so_far: f64) -> f64 {
    if chance <= so_far { 0.0 } else { (chance - so_far) / (1.0 - so_far) }
}

struct Chooser<'c> {
    book: &'c Book,
    inputs: &'c PlanInputs<'c>,
}

impl Chooser<'_> {
    fn is_open(&self, fix: FixAt) -> bool {
        let PlanInputs { applies, done, could_not, put_off, found_sound, longest_minutes, .. } =
            self.inputs;
        let entry = &self.book.fixes[fix];
        let too_long = longest_minutes.is_some_and(|longest| {
            let may_be_looked_at = self.inputs.unless_checked && !entry.begins_with.is_empty();
            entry.state() == MachineState::LockedOut
                && entry.work_minutes() > longest
                && !may_be_looked_at
        });
        let left = [done, could_not, put_off, found_sound].iter().any(|fixes| fixes.contains(&fix));
        applies[fix] && !left && !too_long
    }

    /// How much of the belief a fix would cure.
    fn cures(&self, fix: FixAt) -> f64 {
        self.book.fixes[fix].cures.iter().map(|&(c, p)| self.gain(c, p)).sum()
    }

    fn gain(&self, cause: CauseAt, chance: f64) -> f64 {
        self.inputs.still_present[cause] * beyond(chance, (self.inputs.cured_so_far)(cause))
    }

    fn worth_considering(&self, least: f64) -> Vec<FixAt> {
        let open = |&fix: &FixAt| self.is_open(fix) && self.cures(fix) >= least;
        let mut chosen: Vec<FixAt> = self.book.fixes.places().filter(open).collect();
        chosen.sort_by(|a, b| self.cures(*b).total_cmp(&self.cures(*a)).then(a.cmp(b)));
        chosen.truncate(MOST_CANDIDATES);
        chosen
    }

    /// Whether a fix that another stands behind is still wanting: it applies, its checks have not shown all sound,
    /// and some cause of it is not unlikely, was not found fine and had nothing done for it.
    fn is_wanting(&self, fix: FixAt) -> bool {
        let PlanInputs { applies, done, found_fine, found_sound, still_present, .. } = self.inputs;
        let cures = |fix: FixAt, cause: CauseAt| {
            self.book.fixes[fix].cures.iter().any(|(cured, _)| *cured == cause)
        };
        let matters = |&(cause, _): &(CauseAt, f64)| {
            still_present[cause] >= self.book.thresholds.unlikely
                && !found_fine.contains(&cause)
                && !done.iter().any(|&done| cures(done, cause))
        };
        applies[fix]
            && !found_sound.contains(&fix)
            && self.book.fixes[fix].cures.iter().any(matters)
            && (self.book.fixes[fix].begins_with.is_empty()
                || verdict(self.book, self.inputs, fix) != Verdict::Sound)
    }

    /// Everything wanting that comes before a fix, by way of others too: the order holds even when what stands
    /// between is not planned.
    fn wanting_before(&self, fix: FixAt) -> Vec<FixAt> {
        let mut before: Vec<FixAt> = Vec::new();
        let mut seen: List<FixAt, bool> = List::filled(false, self.book.fixes.len());
        let mut open = vec![fix];
        while let Some(at) = open.pop() {
            let entry = &self.book.fixes[at];
            for &earlier in entry.after.iter().chain(&entry.needs) {
                if !seen[earlier] {
                    seen[earlier] = true;
                    before.push(earlier);
                    open.push(earlier);
                }
            }
        }
        before.retain(|&earlier| self.is_wanting(earlier));
        before.sort_by_key(|f| f.position());
        before
    }

    /// What stands before a dear fix: another that may cure the likeliest of its causes in half the minutes or less.
    /// Nothing once its own check has called for it. `known` are such pairs that hold already, the dear one first: what
    /// itself stands behind the dear one, by way of others too, comes no sooner.
    fn cheap_before(
        &self,
        dear: FixAt,
        chosen: &[FixAt],
        known: &[(FixAt, FixAt)],
    ) -> Option<FixAt> {
        let entry = &self.book.fixes[dear];
        let speaks_for_it = !entry.begins_with.is_empty()
            && verdict(self.book, self.inputs, dear) == Verdict::NeedsWork;
        if entry.work_minutes() < DEAR_MINUTES || speaks_for_it {
            return None;
        }
        let gain = |&(cause, chance): &(CauseAt, f64)| self.gain(cause, chance);
        let &(cause, _) = entry.cures.iter().max_by(|a, b| gain(a).total_cmp(&gain(b)))?;
        let cure = |fix: FixAt| {
            let own = self.book.fixes[fix].cures.iter().find(|(cured, _)| *cured == cause);
            own.map_or(0.0, |&(_, chance)| chance)
        };
        (chosen.iter().copied())
            .filter(|&fix| self.book.fixes[fix].work_minutes() <= 0.5 * entry.work_minutes())
            .filter(|&fix| cure(fix) >= FAIR_CURE && !self.needs_by_way(fix, dear, known))
            .max_by(|&a, &b| cure(a).total_cmp(&cure(b)).then(b.cmp(&a)))
    }

    /// Whether a fix needs another one, by way of others too.
    fn needs_by_way(&self, fix: FixAt, needed: FixAt, cheap: &[(FixAt, FixAt)]) -> bool {
        let mut seen: List<FixAt, bool> = List::filled(false, self.book.fixes.len());
        let mut open = vec![fix];
        while let Some(at) = open.pop() {
            if at == needed {
                return true;
            }
            if std::mem::replace(&mut seen[at], true) {
                continue;
            }
            open.extend(&self.book.fixes[at].needs);
            open.extend(cheap.iter().filter(|(dear, _)| *dear == at).map(|(_, cheap)| *cheap));
        }
        false
    }
}
