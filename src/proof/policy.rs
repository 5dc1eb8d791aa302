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
}

/// What came of the simulated visits.
#[derive(Debug, Clone, PartialEq)]
pub struct PolicyReport {
    /// Visits drawn; fewer than wanted where no cause applies to a conveyor drawn.
    pub visits: usize,
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
    let played: Vec<Option<Vec<Played>>> = workers::share_out(
        setting.visits,
        || Diagnosis::new(book),
        |diagnosis, number| visit(diagnosis, setting, number),
        progress,
    );
    let played: Vec<Vec<Played>> = played.into_iter().flatten().collect();
    let of = |at: usize| played.iter().filter_map(move |by| by.get(at));
    let figures = setting.policies.iter().enumerate();
    PolicyReport {
        visits: played.len(),
        figures: figures
            .map(|(at, policy)| (*policy, Figures::new(&of(at).collect::<Vec<_>>())))
            .collect(),
        exact: optimal::exact(book),
    }
}

fn visit(
    diagnosis: &Diagnosis<'_>,
    setting: &PolicySettings<'_>,
    number: usize,
) -> Option<Vec<Played>> {
    let (book, seed) = (diagnosis.book(), setting.seed);
    let drawn = Drawn::new(diagnosis.engine(), book, setting.on, seed, number)?;
    let mut rng: Rng = draw::rng(!seed, number);
    let policies = setting.policies.iter();
    Some(policies.map(|policy| walk::play(diagnosis, &drawn, *policy, &mut rng)).collect())
}

impl Figures {
    fn new(played: &[&Played]) -> Self {
        let share = |holds: &dyn Fn(&Played) -> bool| {
            Share::new(played.iter().filter(|p| holds(p)).count(), played.len())
        };
        let mean = |what: &dyn Fn(&Played) -> f64| Mean::new(played.iter().map(|p| what(p)));
        let leading: Vec<(f64, bool)> =
            played.iter().filter_map(|p| p.stated.first().copied()).collect();
        let all: Vec<(f64, bool)> = played.iter().flat_map(|p| p.stated.clone()).collect();
        Self {
            right_first: share(&|p| p.right_at == Some(0)),
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
