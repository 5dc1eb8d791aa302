//! The belt of a drill: where it lies, and what its last turn looked like, fed and empty.

use crate::mechanics::{BeltState, Case, Fault, Line, March, SideLoads, Watched, Wrong};
use crate::trade::Strand;

/// Marks that are watched on the belt.
pub(super) const MARKS: usize = 24;
/// Turns that a belt has run before anybody comes.
const BEFORE: u32 = 12;
/// Turns that it runs empty before it is looked at empty.
const EMPTY: u32 = 4;
/// The belt runs true when no edge comes nearer to steel than this share of the edge room leaves.
pub(super) const TRUE_SHARE: f64 = 0.35;

/// The belt as it last ran.
#[derive(Debug, Clone)]
pub struct Belt {
    lies: BeltState,
    fed: Watched,
    empty: Watched,
    loads: SideLoads,
    pull_n: (f64, f64),
}

impl Belt {
    /// A belt that has long been running with these faults.
    ///
    /// # Errors
    /// If the conveyor or a fault cannot be, or the belt finds no place.
    pub fn begin(line: &Line, faults: &[Fault]) -> Result<Self, Wrong> {
        let case = Case::new(line, faults)?;
        let lies = if case.holds_a_place() {
            BeltState::at_rest(&case, &case.steady()?)
        } else {
            BeltState::straight(&case, 0.0)
        };
        Self::run(line, faults, &case, lies, BEFORE)
    }

    /// The same belt so many turns later, at least one, with these faults.
    ///
    /// # Errors
    /// If a fault cannot be, or the belt goes beyond all bounds.
    pub fn after(&self, line: &Line, faults: &[Fault], turns: u32) -> Result<Self, Wrong> {
        let case = Case::new(line, faults)?;
        Self::run(line, faults, &case, self.lies.clone(), turns)
    }

    fn run(
        line: &Line,
        faults: &[Fault],
        case: &Case,
        lies: BeltState,
        turns: u32,
    ) -> Result<Self, Wrong> {
        let mut march = March::new(case, lies)?;
        march.turns(turns.saturating_sub(1))?;
        let fed = march.watch(MARKS)?;
        let lies = march.into_state();
        let mut bare = line.clone();
        bare.load.mass_kg_per_m = 0.0;
        let empty_case = Case::new(&bare, faults)?;
        let mut march = March::new(&empty_case, lies.clone())?;
        march.turns(EMPTY)?;
        let empty = march.watch(MARKS)?;
        Ok(Self {
            loads: lies.loads(case),
            pull_n: (case.tension_n(Strand::Carry), case.tension_n(Strand::Return)),
            lies,
            fed,
            empty,
        })
    }

    /// Its last turn, fed as usual.
    pub fn fed(&self) -> &Watched {
        &self.fed
    }

    /// Its last turn when run empty.
    pub fn empty(&self) -> &Watched {
        &self.empty
    }

    /// What the bearings of the tail pulley carry.
    pub fn loads(&self) -> SideLoads {
        self.loads
    }

    /// The pull in the carry and in the return strand, N.
    pub fn pull_n(&self) -> (f64, f64) {
        self.pull_n
    }

    /// How far it comes off the middle anywhere, fed or empty, m. Never to be shown as a number.
    pub fn worst_m(&self) -> f64 {
        [&self.fed, &self.empty]
            .iter()
            .flat_map(|watched| rows(watched))
            .flatten()
            .fold(0.0, |worst, off| worst.max(off.abs()))
    }

    /// The reading that is furthest off, fed, with its side: left is positive, m. Never to be shown as a number.
    pub fn furthest_m(&self) -> f64 {
        let further = |a: f64, b: &f64| if b.abs() > a.abs() { *b } else { a };
        rows(&self.fed).flatten().fold(0.0, further)
    }

    /// [`Self::worst_m`] as a share of the edge room.
    pub fn worst_share(&self, line: &Line) -> f64 {
        self.worst_m() / line.edge_room_m().max(0.005)
    }

    /// Whether it runs true: well inside its edge room everywhere, fed and empty.
    pub fn runs_true(&self, line: &Line) -> bool {
        self.worst_share(line) <= TRUE_SHARE
    }
}

/// All that was watched, place by place.
fn rows(watched: &Watched) -> impl Iterator<Item = &Vec<f64>> {
    let ends = [&watched.tail, &watched.head];
    watched.carry.iter().chain(&watched.ret).chain(ends)
}
