//! Which look next: what one person takes in standing at one place in one state of the machine. The next is the one
//! that tells most for its minutes, the way there, the standing and what can be told counted.

use std::cmp::Ordering;

use super::can_tell::CanTell;
use super::finding::{Finding, Machine, Observations, Reply};
use super::next_look::{NextLook, Standing};
use crate::conveyor::ConveyorSize;
use crate::rulebook::index::{List, LookAt, SymptomAt};
use crate::rulebook::model::Book;
use crate::trade::{LookPlace, MachineState};

/// What tells less is left out, bits.
pub(super) const LEAST_BITS: f64 = 0.02;

/// How much a look and the things in it must tell.
#[derive(Debug, Clone, Copy)]
pub(super) struct Least {
    /// Each thing, bits.
    item_bits: f64,
    /// All of them, bits times the chance that each can be told.
    look_bits: f64,
}

impl Least {
    /// To be put before the work unasked. On drawn conveyors this put a fifth fewer things on a tenth fewer pages than
    /// taking in all that tells something, for one right leader in a hundred.
    pub(super) const UNASKED: Self = Self { item_bits: 0.05, look_bits: 0.07 };
    /// To be put to somebody who looks on all the same.
    pub(super) const WANTED: Self = Self { item_bits: LEAST_BITS, look_bits: LEAST_BITS };
}
/// So many things are taken in at one look.
const MOST_ITEMS: usize = 6;
/// A look that something said calls for counts so many times what it tells a minute.
const EARLY: f64 = 2.0;
/// Minutes that noting a thing takes, however quickly it is seen.
const TO_NOTE_MINUTES: f64 = 0.2;

/// What the minutes of looks depend on.
#[derive(Debug, Clone, Copy)]
pub struct Ways<'b> {
    /// The book.
    pub book: &'b Book,
    /// How large the conveyor is, as far as it is known.
    pub size: ConveyorSize,
    /// Where the belt is worst, if that was told.
    pub trouble: Option<LookPlace>,
}

impl<'b> Ways<'b> {
    /// As far as they are known by what was observed.
    pub fn known(book: &'b Book, observed: &Observations) -> Self {
        let worst = book.roles.place.map(|place| observed.latest(place));
        let trouble = match worst {
            Some(Reply::Answer(answer)) => book.trouble_place(answer),
            _ => None,
        };
        Self { book, size: observed.size, trouble }
    }

    /// Minutes to get to a look and to take in what stands there, its symptoms' own left out. None where one stands at
    /// it; a look of its own has all its minutes in its symptom's.
    pub fn minutes_to(&self, from: Standing, look: LookAt) -> f64 {
        let entry = &self.book.looks[look];
        if from.at == Some(look) || entry.place.is_none() {
            return 0.0;
        }
        let walking = &self.book.walking;
        let way = walking.minutes_between(from.place, entry.place, self.trouble, self.size);
        way + entry.standing_minutes(self.size, walking)
    }

    /// These symptoms as somebody would look at them who knows which: those of one look together. Minutes for each, the
    /// ways and the standing with the first of a look.
    pub fn round(&self, symptoms: &[SymptomAt]) -> Vec<(SymptomAt, f64)> {
        let look_of = |symptom: &SymptomAt| self.book.symptoms[*symptom].look;
        let mut looks: Vec<LookAt> = Vec::new();
        for look in symptoms.iter().map(look_of) {
            if !looks.contains(&look) {
                looks.push(look);
            }
        }
        let mut standing = Standing::default();
        let mut round = Vec::new();
        for look in looks {
            for &symptom in symptoms.iter().filter(|symptom| look_of(symptom) == look) {
                round.push((symptom, self.minutes_for(standing, symptom)));
                standing = standing.moved_to(self.book, look);
            }
        }
        round
    }

    /// Minutes for looking at one symptom from where one stands.
    pub fn minutes_for(&self, from: Standing, symptom: SymptomAt) -> f64 {
        let entry = &self.book.symptoms[symptom];
        self.minutes_to(from, entry.look) + entry.minutes
    }
}

/// What looks are chosen by.
pub(super) struct Looks<'q> {
    finding: &'q Finding,
    ways: Ways<'q>,
    can_tell: CanTell,
    /// What may be looked at in each look before any work, in the order of the look.
    open: List<LookAt, Vec<SymptomAt>>,
}

impl<'q> Looks<'q> {
    /// Of what is askable now.
    pub(super) fn new(book: &'q Book, finding: &'q Finding, askable: &[SymptomAt]) -> Self {
        let observed = &finding.observed;
        let can_tell = CanTell::learnt(book, observed);
        let open = book.looks.map(|look| {
            let symptoms = look.symptoms.iter().copied();
            // What needs isolation is a check of the work that needs it too.
            symptoms
                .filter(|_| look.state != MachineState::LockedOut)
                .filter(|symptom| askable.contains(symptom))
                .filter(|symptom| can_tell.chance(book, *symptom) > 0.0)
                .collect()
        });
        Self { finding, ways: Ways::known(book, observed), can_tell, open }
    }

    /// The looks with something to be told, in book order.
    pub(super) fn places(&self) -> impl Iterator<Item = LookAt> {
        self.open.iter().filter(|(_, open)| !open.is_empty()).map(|(look, _)| look)
    }

    /// What the rate of a look counts by: a look that something said already calls for comes before those that tell
    /// somewhat more a minute.
    pub(super) fn weight(&self, look: LookAt) -> f64 {
        if self.finding.looks_early[look] { EARLY } else { 1.0 }
    }

    /// A look by its best items; nothing if they do not tell enough. `bits` of each, told for sure.
    pub(super) fn look(
        &self,
        look: LookAt,
        least: Least,
        mut bits: impl FnMut(SymptomAt) -> f64,
    ) -> Option<NextLook> {
        let book = self.ways.book;
        let told = self.open[look].iter().map(|&symptom| {
            let bits = bits(symptom);
            (symptom, bits, bits * self.can_tell.chance(book, symptom))
        });
        let mut items: Vec<(SymptomAt, f64)> = told
            .filter(|(_, bits, _)| *bits >= least.item_bits)
            .map(|(symptom, _, told)| (symptom, told))
            .collect();
        let rate = |(symptom, told): &(SymptomAt, f64)| {
            told / (book.symptoms[*symptom].minutes + TO_NOTE_MINUTES)
        };
        items.sort_by(|a, b| rate(b).total_cmp(&rate(a)).then(a.0.cmp(&b.0)));
        items.truncate(MOST_ITEMS);
        let bits: f64 = items.iter().map(|(_, told)| told).sum();
        if items.is_empty() || bits < least.look_bits {
            return None;
        }
        let own: f64 = items.iter().map(|(symptom, _)| book.symptoms[*symptom].minutes).sum();
        let order = |symptom: &SymptomAt| self.open[look].iter().position(|s| s == symptom);
        let mut items: Vec<SymptomAt> = items.into_iter().map(|(symptom, _)| symptom).collect();
        items.sort_by_key(order);
        let minutes = self.minutes_to(look) + own;
        Some(NextLook { look, items, minutes, bits })
    }

    /// At most so much is its score: the bits of its best items by a bound on each, for the fewest minutes.
    pub(super) fn at_most(&self, look: LookAt, bound: impl Fn(SymptomAt) -> f64) -> f64 {
        let book = self.ways.book;
        let open = &self.open[look];
        let bits = open.iter().map(|&symptom| bound(symptom) * self.can_tell.chance(book, symptom));
        let mut bits: Vec<f64> = bits.collect();
        bits.sort_by(|a, b| b.total_cmp(a));
        let own = open.iter().map(|symptom| book.symptoms[*symptom].minutes);
        let least = own.fold(f64::INFINITY, f64::min);
        let rate = bits.iter().take(MOST_ITEMS).sum::<f64>() / (self.minutes_to(look) + least);
        self.weight(look) * rate
    }

    fn minutes_to(&self, look: LookAt) -> f64 {
        let Ways { book, .. } = self.ways;
        let observed = &self.finding.observed;
        let restart = match (book.looks[look].state, observed.machine) {
            (MachineState::Running, Machine::LockedOut) => book.minutes.restart_and_watch,
            _ => 0.0,
        };
        restart + self.ways.minutes_to(observed.standing, look)
    }

    /// Bits per minute as they count.
    pub(super) fn score(&self, look: &NextLook) -> f64 {
        self.weight(look.look) * look.rate()
    }

    /// The better look first; of equal ones the earlier in the book.
    pub(super) fn better_first(&self, a: &NextLook, b: &NextLook) -> Ordering {
        self.score(b).total_cmp(&self.score(a)).then(a.look.cmp(&b.look))
    }
}

/// Minutes that went into looking so far, checks on the locked-out machine not counted. Each look of a time is taken in
/// once; where the ways are not remembered each counts as one to turn to.
pub(super) fn minutes_looking(book: &Book, observed: &Observations) -> f64 {
    let replied = |reply: &Reply| *reply != Reply::Unanswered;
    let start = observed.replies.iter().filter(|(_, reply)| replied(reply)).map(|(s, _)| s);
    let later = observed
        .second
        .iter()
        .map(|look| look.replies.iter().map(|(symptom, _)| *symptom).collect::<Vec<SymptomAt>>());
    let times = std::iter::once(start.collect()).chain(later);
    times.map(|seen| minutes_of_a_time(book, observed.size, &seen)).sum()
}

fn minutes_of_a_time(book: &Book, size: ConveyorSize, seen: &[SymptomAt]) -> f64 {
    let ways = Ways { book, size, trouble: None };
    let running = |symptom: &&SymptomAt| book.symptoms[**symptom].state != MachineState::LockedOut;
    let seen: Vec<SymptomAt> = seen.iter().filter(running).copied().collect();
    let mut looks: Vec<LookAt> = seen.iter().map(|symptom| book.symptoms[*symptom].look).collect();
    looks.sort_unstable();
    looks.dedup();
    let standing = looks.iter().map(|look| ways.minutes_to(Standing::default(), *look));
    let own = seen.iter().map(|symptom| book.symptoms[*symptom].minutes);
    standing.sum::<f64>() + own.sum::<f64>()
}
