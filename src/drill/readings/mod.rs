//! What tape, string line, calipers, infrared gun and watch read on the conveyor of a drill, with their error.
//!
//! A learner's measurement is a measurement like any other: readings as a person would have written them down, worked
//! out by the gauge itself. What the gauges read of the parts is what [`super::hints`] says of them. A gauge that may
//! be held to several things (both strands, both end pulleys, string and level) is held to all of them; what is
//! furthest out is told first, the rest when the learner measures again.
//!
//! The same drill, gauge and number of the measurement give the same readings. All ways that are read need the state of
//! the machine that the gauge's first way needs. The trimming gauge measures nothing: it reckons with what is seen.

mod belt;
mod further;
mod hand;
mod pulleys;
mod running;
mod sheet;
mod stands;

use self::hand::Hand;
use self::sheet::Sheet;
use super::belt::Belt;
use super::{noise, plant};
use crate::conveyor::Conveyor;
use crate::gauge::{Gauge, Outcome, Readings, Setting, Verdict};
use crate::mechanics::{Fault, Line};
use crate::rulebook::index::{AnswerAt, List, SymptomAt};
use crate::rulebook::model::Book;
use crate::trade::Strand;
use crate::visit::{Measured, answer_id, answered};

/// What is further out than something else must be so by this much.
const CLEARLY: f64 = 1.25;

/// A conveyor as it stands when it is measured.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stand<'w> {
    pub(super) book: &'w Book,
    pub(super) line: &'w Line,
    pub(super) conveyor: &'w Conveyor,
    pub(super) faults: &'w [Fault],
    pub(super) belt: &'w Belt,
    /// What anybody would answer.
    pub(super) answers: &'w List<SymptomAt, Option<AnswerAt>>,
    pub(super) seed: u64,
}

impl Stand<'_> {
    /// A measurement after so many others with this gauge; nothing if it has nothing to measure on this conveyor.
    pub(super) fn measured(&self, gauge: &'static Gauge, before: usize) -> Option<Measured> {
        // How many sheets there are does not hang on what is read.
        let round = before.checked_div(Site::new(*self, gauge, 0).sheets(gauge).len())?;
        let setting = Setting::from(self.conveyor).with_rules(self.book.rule_sizes());
        let sheets = Site::new(*self, gauge, round).sheets(gauge);
        let worked = sheets.into_iter().filter_map(|sheet| {
            let readings = sheet.readings(self.conveyor)?;
            let outcome = (gauge.work)(&readings, &setting).ok()?;
            Some((readings, outcome))
        });
        let worked = furthest_first(worked.collect());
        let place = before.checked_rem(worked.len())?;
        let (readings, outcome) = worked.get(place)?;
        let answers = answered(self.book, gauge, outcome).into_iter().map(|(symptom, answer)| {
            let answer = answer.map(|answer| answer_id(self.book, symptom, answer));
            (self.book.symptoms[symptom].id.clone(), answer)
        });
        Some(Measured::new(gauge, readings, answers.collect()))
    }
}

type Worked = (Readings, Outcome);

/// The measurements with the one that is furthest out first, else in their order.
fn furthest_first(mut worked: Vec<Worked>) -> Vec<Worked> {
    let mut sorted = Vec::with_capacity(worked.len());
    while !worked.is_empty() {
        let mut furthest = 0;
        for at in 1..worked.len() {
            if let (Some(one), Some(other)) = (worked.get(furthest), worked.get(at))
                && further(&other.1, &one.1)
            {
                furthest = at;
            }
        }
        sorted.push(worked.remove(furthest));
    }
    sorted
}

fn further(one: &Outcome, other: &Outcome) -> bool {
    if one.verdict != other.verdict {
        return one.verdict == one.verdict.worse(other.verdict);
    }
    one.verdict == Verdict::Beyond && times_limit(one) > CLEARLY * times_limit(other)
}

/// How many times its limit a measurement comes to, by the number that is most telling.
fn times_limit(outcome: &Outcome) -> f64 {
    let figures = outcome.figures.iter();
    let most = figures.filter_map(|figure| {
        let limit = figure.limit?.size.si();
        (limit != 0.0).then(|| (figure.size.si() / limit).abs())
    });
    most.fold(0.0, f64::max)
}

/// The conveyor as it is measured.
struct Site<'w> {
    stand: Stand<'w>,
    line: &'w Line,
    conveyor: &'w Conveyor,
    faults: &'w [Fault],
    hand: Hand,
}

impl<'w> Site<'w> {
    fn new(stand: Stand<'w>, gauge: &Gauge, round: usize) -> Self {
        let purpose = format!("gauge {} {round}", gauge.id);
        Self {
            stand,
            line: stand.line,
            conveyor: stand.conveyor,
            faults: stand.faults,
            hand: Hand::new(noise::rng(stand.seed, &purpose)),
        }
    }

    /// What is written down, one sheet for each thing that the gauge is held to; none if it has nothing to measure.
    fn sheets(&mut self, gauge: &'static Gauge) -> Vec<Sheet> {
        let sheets = match gauge.id {
            "splice" => vec![self.splice(gauge)],
            "square" => self.square(gauge),
            "frame" => self.frame(gauge),
            "idlers" => self.idlers(gauge),
            "crown" => self.crown(gauge),
            "sag" => vec![self.sag(gauge)],
            "takeup" => vec![self.take_up(gauge)],
            "side-load" => vec![self.side_load(gauge)],
            "heat" => vec![self.heat(gauge)],
            "load" => vec![self.load(gauge)],
            "spread" => vec![self.spread(gauge)],
            "trace" => vec![self.trace(gauge)],
            "transition" => vec![self.transition(gauge)],
            "level" => self.level(gauge),
            "height" => self.height(gauge),
            "roll" => self.roll(gauge),
            "bow" => vec![self.bow(gauge)],
            "snub" => vec![self.snub(gauge)],
            "runout" => vec![self.runout(gauge)],
            "slip" => vec![self.slip(gauge)],
            "line" => vec![self.squared_line(gauge)],
            "weight" => vec![self.weight(gauge)],
            _ => Vec::new(),
        };
        sheets.into_iter().flatten().collect()
    }

    /// From foot to foot of an idler stand, m.
    fn feet_m(&self) -> f64 {
        plant::feet_m(self.conveyor, self.line.belt.width_m)
    }

    /// The sum of what each fault counts for.
    fn sum(&self, size: impl Fn(&Fault) -> f64) -> f64 {
        self.faults.iter().map(size).sum()
    }

    /// A size of the conveyor's file, SI.
    fn filed(&self, path: &str) -> Option<f64> {
        Some(self.conveyor.dimensions().get(path)?.si())
    }

    /// The stations of a strand, from the tail: which, and where.
    fn stations(&self, strand: Strand) -> impl Iterator<Item = (usize, f64)> + use<'w> {
        let stations_m = &self.line.idlers(strand).stations_m;
        stations_m.iter().copied().enumerate()
    }

    /// Left screw out less right screw out, m.
    fn screws_m(&self) -> f64 {
        self.sum(|fault| match *fault {
            Fault::Screws { left_m, right_m } => left_m - right_m,
            _ => 0.0,
        })
    }
}

const STRANDS: [Strand; 2] = [Strand::Carry, Strand::Return];
