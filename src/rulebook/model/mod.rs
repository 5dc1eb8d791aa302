//! The checked rule book: no text stands for an id, nothing optional that must be there.
//! Made by [`super::check`] alone, so whoever holds a [`Book`] holds a sound one.

mod look;
mod meaning;
mod opening;
mod set_sizes;
mod settings;
mod symptom;
mod takes;
mod work;

use super::signed::Signed;
use super::words::Words;
use crate::conveyor::facts::{Fact, FactKey, Facts};
use crate::rulebook::index::{
    AnswerAt, CauseAt, CautionAt, FixAt, List, LookAt, SourceAt, SymptomAt,
};
use crate::rulebook::network::Network;
use crate::trade::Basis;
pub use crate::trade::MachineState;

pub use look::Look;
pub use meaning::{Drawing, DrillFault, Meaning, ShiftSays, Sight};
pub use opening::{EdgeRoom, RoomAnswer, RoomMeans, StopAnswer, StopMeans, StopQuestion};
pub use set_sizes::{GaugeSize, SizeOf};
pub use settings::{Minutes, Reports, Thresholds, Told, Walking};
pub use symptom::{
    Answer, AnswerIds, Follows, GaugeMeasure, NOTHING_TICKED, Symptom, TOGETHER, ToldBy,
};
pub use takes::{Figures, Takes};
pub use work::{
    End, Fix, FixCheck, IfWorse, LooksAt, Observed, Shown, Stage, Step, Stretch, Then, Toward,
    Verdict, Work,
};

/// A whole rule book, the site's overlay already laid over it.
#[derive(Debug, Clone)]
pub struct Book {
    /// What the book calls itself.
    pub name: String,
    /// The book's own version.
    pub version: String,
    /// SHA-256 in hex over the texts of all rule files.
    pub fingerprint: String,
    /// Who signed these very texts off, if anybody did.
    pub signed: Option<Signed>,
    /// At most so many causes are thought to be present at once.
    pub at_most: usize,
    /// The share of visits in which it is none of these causes, before any answer, 0..1.
    pub something_else: f64,
    /// What isolation, restart and giving up cost.
    pub minutes: Minutes,
    /// What restart and watching take; `minutes` has it for the conveyor at hand.
    pub restart: Takes,
    /// How far reports from the work are believed.
    pub reports: Reports,
    /// Where the plan and its words change.
    pub thresholds: Thresholds,
    /// Ways on foot, and sizes of a conveyor of which nothing is known.
    pub walking: Walking,
    /// How far it is taken for granted that somebody can tell.
    pub told: Told,
    /// The numbers behind the words for chances.
    pub words: Words,
    /// The causes.
    pub causes: List<CauseAt, Cause>,
    /// The symptoms.
    pub symptoms: List<SymptomAt, Symptom>,
    /// The looks: those of the files first, then one for each symptom that is in none of them.
    pub looks: List<LookAt, Look>,
    /// The fixes.
    pub fixes: List<FixAt, Fix>,
    /// The cautions.
    pub cautions: List<CautionAt, Caution>,
    /// The sources.
    pub sources: List<SourceAt, SourceEntry>,
    /// Terms of the trade, in alphabetical order.
    pub glossary: Vec<Term>,
    /// The tools, in the order of the files.
    pub tools: Vec<Tool>,
    /// Opening questions in the order in which they are asked.
    pub opening: Vec<SymptomAt>,
    /// Symptoms that count once, each list in book order.
    pub groups: Vec<Vec<SymptomAt>>,
    /// What the files call the groups, in the order of `groups`.
    pub group_names: Vec<String>,
    /// Which symptoms tell side and strand.
    pub roles: Roles,
    /// Questions that may stop the visit at once.
    pub stop_now: Vec<StopQuestion>,
    /// How far off against the edge room.
    pub edge_room: EdgeRoom,
    /// What to tell a specialist when the book has nothing left.
    pub tell_specialist: Vec<String>,
    /// What the rule files set in place of the gauges' own limits and errors of readings.
    pub gauge_sizes: Vec<GaugeSize>,
    /// The numbers alone. Places agree with `causes` and `symptoms`.
    pub network: Network,
}

/// A root cause.
#[derive(Debug, Clone)]
pub struct Cause {
    /// Its id in the files.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Prior chance to be present, 0..1, where nothing of `priors_on` holds.
    pub prior: f64,
    /// Prior chances on conveyors of which all of these hold; the first that holds counts.
    pub priors_on: Vec<(Vec<Condition>, f64)>,
    /// The mechanism, in one or two sentences.
    pub happens_because: String,
    /// Where it shows.
    pub shows_at: String,
    /// What commonly brings it on.
    pub brought_on_by: Vec<BroughtOn>,
    /// What it is often mistaken for.
    pub mistaken_for: Vec<CauseAt>,
    /// All must hold.
    pub only_if: Vec<Condition>,
    /// What to tell a specialist; may be empty.
    pub specialist: String,
    /// Which fault of the belt-line model it is in drills.
    pub drilled_as: Option<DrillFault>,
    /// Why no drill is drawn with it; may be empty.
    pub not_drilled: String,
    /// Where this comes from.
    pub source: Source,
}

/// What commonly brings a cause on.
#[derive(Debug, Clone)]
pub struct BroughtOn {
    /// What does, in a sentence or two.
    pub words: String,
    /// What to look for while the belt runs: a question of yes or no.
    pub look_for: String,
    /// The one job, when it is there.
    pub job: String,
    /// The cause of this book that it is, if it is one.
    pub cause: Option<CauseAt>,
    /// Where this comes from.
    pub source: Source,
}

/// A condition on the conveyor or on an earlier answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Condition {
    /// What it asks about.
    pub about: About,
    /// Turned round: true when it does not hold.
    pub not: bool,
}

/// What a condition asks about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum About {
    /// A fact of the conveyor has one of these values.
    Conveyor {
        /// Which fact.
        key: FactKey,
        /// Any of these.
        is: Vec<Fact>,
    },
    /// A symptom was answered with one of these.
    Answer {
        /// Which symptom.
        symptom: SymptomAt,
        /// Any of these.
        is: Vec<AnswerAt>,
    },
}

impl Book {
    /// The prior chance of each cause on a conveyor of which this is known, 0..1.
    pub fn priors(&self, facts: &Facts) -> List<CauseAt, f64> {
        self.causes.map(|cause| cause.prior_on(facts))
    }

    /// The standing cautions of work in this state, then those that it names itself, each once.
    pub fn warnings(&self, state: MachineState, own: &[CautionAt]) -> Vec<CautionAt> {
        let mut all: Vec<CautionAt> = (self.cautions.iter())
            .filter(|(_, caution)| caution.standing.is_some_and(|stands| stands.in_state(state)))
            .map(|(at, _)| at)
            .collect();
        all.extend(own.iter().filter(|at| !all.contains(at)).copied().collect::<Vec<_>>());
        all
    }
}

impl Cause {
    /// Its prior chance on a conveyor of which this is known, 0..1.
    pub fn prior_on(&self, facts: &Facts) -> f64 {
        let holds = |condition: &Condition| condition.of_conveyor(facts) == Some(true);
        let mut known = self.priors_on.iter();
        known.find(|(on, _)| on.iter().all(holds)).map_or(self.prior, |(_, prior)| *prior)
    }
}

impl Caution {
    /// Whether it has something to say on a conveyor of which this is known: it has unless that is known to be otherwise.
    pub fn concerns(&self, facts: &Facts) -> bool {
        self.only_if.iter().all(|condition| condition.of_conveyor(facts) != Some(false))
    }
}

impl Condition {
    /// Whether it holds of a conveyor of which this is known; nothing where it asks for an answer, or for what is
    /// not known.
    pub fn of_conveyor(&self, facts: &Facts) -> Option<bool> {
        match &self.about {
            About::Conveyor { key, is } => {
                facts.get(*key).map(|fact| is.contains(&fact) != self.not)
            }
            About::Answer { .. } => None,
        }
    }

    /// What it asks about: a fact's key or a symptom's id.
    pub fn subject<'b>(&'b self, book: &'b Book) -> &'b str {
        match &self.about {
            About::Conveyor { key, .. } => key.word(),
            About::Answer { symptom, .. } => &book.symptoms[*symptom].id,
        }
    }
}

/// Where something comes from.
pub type Source = Basis<SourceAt, String>;

/// A published source.
#[derive(Debug, Clone)]
pub struct SourceEntry {
    /// Its id in the files.
    pub id: String,
    /// The short neutral name that screens show.
    pub short: String,
    /// The full citation.
    pub cite: String,
    /// Its grade.
    pub grade: Grade,
}

/// How much a source is worth.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize,
)]
pub enum Grade {
    /// Regulation, standard, official report.
    A,
    /// Maker's engineering manual or handbook.
    B,
    /// Distributor or trade page.
    C,
    /// Forum or weak page.
    D,
}

/// A warning shown before the step it belongs to.
#[derive(Debug, Clone)]
pub struct Caution {
    /// Its id in the files.
    pub id: String,
    /// What it guards against, if it is a safety caution: a site may add to these and change none.
    pub hazard: Option<Hazard>,
    /// On which work pages it stands without being named.
    pub standing: Option<Standing>,
    /// It is left out where one of these is known not to hold of the conveyor. Where nobody has said, it stands.
    pub only_if: Vec<Condition>,
    /// The warning.
    pub text: String,
    /// The regulation by number, or "common practice".
    pub rule: String,
    /// Where this comes from.
    pub source: Source,
}

/// What a safety caution guards against. Every book has at least one caution for each.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize,
)]
#[expect(missing_docs, reason = "the words are the trade's own and say it all")]
pub enum Hazard {
    LockOut,
    NipPoints,
    StoredEnergy,
    Guards,
    PeopleClear,
    Alone,
    Fire,
}

impl Hazard {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::LockOut,
        Self::NipPoints,
        Self::StoredEnergy,
        Self::Guards,
        Self::PeopleClear,
        Self::Alone,
        Self::Fire,
    ];
}

/// On which work pages a safety caution stands without being named.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum Standing {
    /// On every page of work on an isolated machine.
    LockedOut,
    /// On every page of work on a running machine.
    Running,
    /// On both.
    Always,
}

impl Standing {
    /// Whether it stands on pages of work in this state.
    pub fn in_state(self, state: MachineState) -> bool {
        match self {
            Self::Always => true,
            Self::LockedOut => state == MachineState::LockedOut,
            Self::Running => state == MachineState::Running,
        }
    }
}

/// A tool: its one name in all fixes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tool {
    /// Its name.
    pub name: String,
    /// Other words by which a step may speak of it.
    pub words: Vec<String>,
    /// How it is used.
    pub held: Held,
    /// What to do where it is not at hand; may be empty.
    pub without: String,
}

impl Tool {
    /// Whether a text speaks of it, by its name or one of its words.
    pub fn is_named_in(&self, text: &str) -> bool {
        let text = text.to_lowercase();
        let inside = |c: char| c.is_alphanumeric() || c == '-';
        std::iter::once(&self.name).chain(&self.words).any(|word| {
            let word = word.to_lowercase();
            text.match_indices(&word).any(|(at, found)| {
                let before = text.get(..at).and_then(|text| text.chars().next_back());
                let after = text.get(at + found.len()..).and_then(|text| text.chars().next());
                !before.is_some_and(inside) && !after.is_some_and(inside)
            })
        })
    }
}

/// How a tool is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum Held {
    /// From outside the guards: it may be named by work on a running machine.
    FromOutside,
    /// By hand at the machine.
    InHand,
}

/// A term of the trade.
#[derive(Debug, Clone)]
pub struct Term {
    /// The term.
    pub term: String,
    /// What it means.
    pub means: String,
}

/// Symptoms with a part of their own in steps and drawings.
#[derive(Debug, Clone, Copy, Default)]
pub struct Roles {
    /// Which side the belt runs to.
    pub belt_side: Option<SymptomAt>,
    /// Which strand it is worst on.
    pub strand: Option<SymptomAt>,
    /// Where along the conveyor.
    pub place: Option<SymptomAt>,
    /// All of the belt at one place, or one part of the belt.
    pub first_split: Option<SymptomAt>,
    /// Which take-up side stands shorter.
    pub slack_side: Option<SymptomAt>,
    /// The low side of the frame.
    pub low_frame_side: Option<SymptomAt>,
    /// The low side of the pulley.
    pub low_pulley_side: Option<SymptomAt>,
    /// The low side of the idler.
    pub low_idler_side: Option<SymptomAt>,
    /// The end of the suspect idler that the belt meets first.
    pub leading_end: Option<SymptomAt>,
    /// The side on which the end pulley is nearer to the other one.
    pub short_pulley_side: Option<SymptomAt>,
    /// The end of the snub or bend pulley that the belt meets first.
    pub leading_snub_end: Option<SymptomAt>,
    /// The side on which the load lies.
    pub heavy_side: Option<SymptomAt>,
    /// Where the wind comes from.
    pub wind_side: Option<SymptomAt>,
}

impl Roles {
    /// The symptoms that have a role.
    pub fn all(&self) -> Vec<SymptomAt> {
        let all = [
            self.belt_side,
            self.strand,
            self.place,
            self.first_split,
            self.slack_side,
            self.low_frame_side,
            self.low_pulley_side,
            self.low_idler_side,
            self.leading_end,
            self.short_pulley_side,
            self.leading_snub_end,
            self.heavy_side,
            self.wind_side,
        ];
        all.into_iter().flatten().collect()
    }
}
