//! How good the questioning of a book is: visits drawn from it, played by the program's own way of asking
//! and by others, and what came of them.

use fastrand::Rng;

use super::draw::{self, Drawn, On};
use super::optimal::{self, Exact};
use super::score::{self, Band, Brier, Mean, Share};
use super::walk::{self, Played, Policy};
use super::workers;
use crate::rulebook::model::Book;
use crate::visit::Diagnosis;

/// What is to be simulated.
#[derive(Debug, Clone, Copy)]
pub struct PolicySettings<'s> {
    /// How many visits.
    pub visits: usize,
    /// The same seed gives the same visits.
    pub seed: u64,
    /// The conveyors.
    pub on: On<'s>,
    /// The ways of asking.
    pub policies: &'s [Policy],
    /// In so many of the visits the trouble is none of the book's causes, 0..1.
    pub other: f64,
}

/// What came of the simulated visits.
#[derive(Debug, Clone, PartialEq)]
pub struct PolicyReport {
    /// Visits drawn; fewer than wanted where no cause applies to a conveyor drawn.
    pub visits: usize,
    /// Those of them whose trouble is none of the book's causes. They count in no figure but [`Figures::named_other`].
    pub others: usize,
    /// By way of asking, in the order asked for.
    pub figures: Vec<(Policy, Figures)>,
    /// The best way of asking there is, for a small book.
    pub exact: Option<Exact>,
}

/// The figures of one way of asking.
#[derive(Debug, Clone, PartialEq)]
pub struct Figures {
    /// The leading cause was present.
    pub right_first: Share,
    /// Of the visits whose trouble is none of the book's causes: that was said outright.
    pub named_other: Share,
    /// One of the first three causes was present.
    pub right_in_three: Share,
    /// The belt ran true in the end.
    pub cured: Share,
    /// Questions to the finding.
    pub questions: Mean,
    /// Minutes to the finding.
    pub minutes_asking: Mean,
    /// Minutes to true as stated at the finding.
    pub minutes_expected: Mean,
    /// Minutes to true as they came.
    pub minutes: Mean,
    /// How the chance stated for the leading cause came true.
    pub leading: Calibration,
    /// How the chances stated for all causes came true.
    pub all: Calibration,
}

/// How stated chances came true.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibration {
    /// By the chance stated, lowest first.
    pub bands: Vec<Band>,
    /// The score; nothing if nothing was stated.
    pub brier: Option<Brier>,
}

impl Calibration {
    /// Of these pairs: the chance stated, and whether it came true.
    pub fn from_pairs(pairs: &[(f64, bool)]) -> Self {
        Self { bands: score::calibration(pairs), brier: score::brier(pairs) }
    }
}

/// Plays the visits. `progress` is told how many are through.
pub fn simulate(
    book: &Book,
    setting: &PolicySettings<'_>,
    progress: &mut dyn FnMut(usize),
) -> PolicyReport {
    let played: Vec<Option<Visit>> = workers::share_out(
        setting.visits,
        || Diagnosis::new(book),
        |diagnosis, number| visit(diagnosis, setting, number),
        progress,
    );
    let played: Vec<Visit> = played.into_iter().flatten().collect();
    let others = played.iter().filter(|visit| visit.other).count();
    let of = |at: usize, other: bool| {
        let there = played.iter().filter(move |visit| visit.other == other);
        there.filter_map(move |visit| visit.by_policy.get(at)).collect::<Vec<&Played>>()
    };
    let figures = setting.policies.iter().enumerate();
    PolicyReport {
        visits: played.len(),
        others,
        figures: figures
            .map(|(at, policy)| (*policy, Figures::new(&of(at, false), &of(at, true))))
            .collect(),
        exact: optimal::exact(book),
    }
}

/// One drawn visit, played in each way.
struct Visit {
    /// Whether the trouble is none of the book's causes.
    other: bool,
    by_policy: Vec<Played>,
}

/// Sets the numbers that draw whether it is none of the causes apart from all others.
const OTHERS_SEED: u64 = 0x006f_7468_6572_7300;

fn visit(diagnosis: &Diagnosis<'_>, setting: &PolicySettings<'_>, number: usize) -> Option<Visit> {
    let (book, seed) = (diagnosis.book(), setting.seed);
    let other = draw::rng(seed ^ OTHERS_SEED, number).f64() < setting.other;
    let engine = diagnosis.engine();
    let drawn = match other {
        true => Drawn::none_of_them(engine, book, setting.on, seed, number),
        false => Drawn::new(engine, book, setting.on, seed, number)?,
    };
    let mut rng: Rng = draw::rng(!seed, number);
    let policies = setting.policies.iter();
    let by_policy = policies.map(|policy| walk::play(diagnosis, &drawn, *policy, &mut rng));
    Some(Visit { other, by_policy: by_policy.collect() })
}

impl Figures {
    fn new(played: &[&Played], others: &[&Played]) -> Self {
        let share = |holds: &dyn Fn(&Played) -> bool| {
            Share::new(played.iter().filter(|p| holds(p)).count(), played.len())
        };
        let mean = |what: &dyn Fn(&Played) -> f64| Mean::new(played.iter().map(|p| what(p)));
        let leading: Vec<(f64, bool)> =
            played.iter().filter_map(|p| p.stated.first().copied()).collect();
        let all: Vec<(f64, bool)> = played.iter().flat_map(|p| p.stated.clone()).collect();
        Self {
            right_first: share(&|p| p.right_at == Some(0)),
            named_other: Share::new(others.iter().filter(|p| p.none_of_them).count(), others.len()),
            right_in_three: share(&|p| p.right_at.is_some_and(|at| at < 3)),
            cured: share(&|p| p.cured),
            questions: mean(&|p| p.questions as f64),
            minutes_asking: mean(&|p| p.minutes_asking),
            minutes_expected: mean(&|p| p.minutes_expected),
            minutes: mean(&|p| p.minutes),
            leading: Calibration::from_pairs(&leading),
            all: Calibration::from_pairs(&all),
        }
    }
}
