//! A drill, checked: every id names something, every size can be.

pub use super::written::Grade;
use crate::conveyor::Conveyor;
use crate::mechanics::{Fault, Line};
use crate::rulebook::index::{AnswerAt, CauseAt, FixAt, SymptomAt};
use crate::rulebook::model::Source;
use crate::source::Place;

/// A drill.
#[derive(Debug, Clone)]
pub struct Drill {
    /// Its id, unique over all files.
    pub id: String,
    /// What it is called.
    pub title: String,
    /// How much it asks.
    pub grade: Grade,
    /// What the learner is told at the start.
    pub briefing: String,
    /// The conveyor.
    pub conveyor: Conveyor,
    /// The conveyor as the belt-line model has it: square, level, clean.
    pub line: Line,
    /// What is hidden.
    pub hidden: Vec<Hidden>,
    /// Answers that stand whatever model and book say, until the causes are gone.
    pub shows: Vec<(SymptomAt, AnswerAt)>,
    /// What an expert looks at after the opening questions, in order: enough to prove what is hidden and to rule out
    /// what looks like it.
    pub expert: Vec<SymptomAt>,
    /// What the learner is to take home.
    pub aims: Vec<String>,
    /// What to talk about afterwards.
    pub talk: Vec<String>,
    /// Settles all that is left to chance.
    pub seed: u64,
    /// Where it comes from.
    pub source: Source,
    /// Where its id stands.
    pub place: Place,
    /// The drill as it is written, to be kept with a run.
    pub text: String,
}

/// A cause that is present.
#[derive(Debug, Clone)]
pub struct Hidden {
    /// The cause.
    pub cause: CauseAt,
    /// What it is made of.
    pub things: Vec<Thing>,
    /// The fixes that take it away; never empty.
    pub yields_to: Vec<FixAt>,
}

/// Something out of order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Thing {
    /// A fault of the model.
    Fault(Fault),
    /// The pull in the belt is so many times what it is as drawn.
    Pull(f64),
}

impl Thing {
    /// The fault that stands for it on a conveyor.
    pub fn fault(self, line: &Line) -> Fault {
        match self {
            Self::Fault(fault) => fault,
            Self::Pull(times) => {
                // The screws that would make this pull: `rise = Eb b x / C`.
                let rise_n = (times - 1.0) * line.ret.tension_n;
                let out_m =
                    rise_n * line.centres_m / (line.belt.modulus_n_per_m * line.belt.width_m);
                Fault::Screws { left_m: out_m, right_m: out_m }
            }
        }
    }
}
