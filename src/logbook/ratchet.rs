//! The ratchet watch: a take-up that is only ever tightened, sides that drift apart, travel that runs out.
//!
//! It goes by the readings since the belt or its splice was last changed, or since the take-up was last slackened.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::entry::{Entry, Reading, What, Work};
use super::size::Millimetres;
use super::slope::Slope;
use super::story::Story;
use super::take_up_sizes::TakeUpSizes;
pub use super::travel::{Point, TravelEnd};
use super::travel::{travel_end, trend};
use crate::gauge::Basis;
use crate::gauge::takeup::life_stretch;

/// A position has changed when it did by more than this: two readings, each off by half a millimetre.
const STEP_MM: f64 = 1.0;
/// A weight or a pull has changed when it did by more than this share. Our own.
const STEP_SHARE: f64 = 0.03;
/// Tightened so often without ever being slackened, it is a ratchet. Our own.
const OFTEN: usize = 3;
/// The end of the travel is warned of when it is expected within so many days, or so small a share is left. Our own.
const SOON_DAYS: f64 = 365.0;
const LITTLE: f64 = 0.1;

/// What there is to warn of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Warning {
    /// Tightened again and again, never slackened.
    OnlyTightened,
    /// Left and right stand apart, or drift apart.
    DriftsApart,
    /// The travel runs out.
    TravelEnds,
    /// The belt has stretched more than it should in its life.
    MuchStretch,
}

impl Warning {
    /// The word for it, in files.
    pub fn word(self) -> &'static str {
        match self {
            Self::OnlyTightened => "only-tightened",
            Self::DriftsApart => "drifts-apart",
            Self::TravelEnds => "travel-ends",
            Self::MuchStretch => "much-stretch",
        }
    }

    /// In a few words, for lists.
    pub fn says(self) -> &'static str {
        match self {
            Self::OnlyTightened => "take-up only ever tightened",
            Self::DriftsApart => "screws drift apart",
            Self::TravelEnds => "travel of the take-up runs out",
            Self::MuchStretch => "belt has stretched much",
        }
    }
}

/// From when on readings count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Since {
    /// From the first one.
    FirstReading,
    /// From work on the belt.
    Work(Work, Date),
    /// From when it was slackened.
    Slackened(Date),
}

/// How far the belt has stretched since it was last changed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// As a share of its length.
    pub share: f64,
    /// What a belt of this kind may stretch in its life, as a share.
    pub may: f64,
    /// What that rests on.
    pub rests_on: Basis,
}

/// What the watch has seen.
#[derive(Debug, Clone, PartialEq)]
pub struct Watch {
    /// From when on readings count.
    pub since: Since,
    /// The readings that count.
    pub points: Vec<Point>,
    /// How often it was tightened.
    pub tightened: usize,
    /// How far out it stands: millimetres a day.
    pub out: Option<Slope>,
    /// How much further out the left screw stands: millimetres a day.
    pub lead: Option<Slope>,
    /// How far it has moved out since the first reading that counts.
    pub moved: Option<Millimetres>,
    /// When the travel ends, if that is known.
    pub end: Option<TravelEnd>,
    /// How far the belt has stretched, if its length is known.
    pub stretch: Option<Stretch>,
    /// What there is to warn of.
    pub warnings: Vec<Warning>,
}

impl Watch {
    /// Over the readings of a story; nothing without any.
    pub fn over(story: &Story, sizes: &TakeUpSizes) -> Option<Self> {
        let (since, readings) = counted(story);
        let (first, _) = *readings.first()?;
        let points: Vec<Point> = readings
            .iter()
            .map(|(on, reading)| Point { day: days(first, *on), on: *on, reading: *reading })
            .collect();
        let outs: Vec<(f64, f64)> =
            points.iter().filter_map(|p| Some((p.day, p.reading.out()?.0))).collect();
        let leads: Vec<(f64, f64)> =
            points.iter().filter_map(|p| Some((p.day, p.reading.lead()?.0))).collect();
        let steps = readings
            .windows(2)
            .filter(|pair| matches!(pair, [one, other] if step(&one.1, &other.1) > 0));
        let mut watch = Self {
            since,
            tightened: steps.count(),
            out: trend(&outs),
            lead: trend(&leads),
            moved: moved(&outs),
            end: travel_end(&points, sizes),
            stretch: None,
            points,
            warnings: Vec::new(),
        };
        watch.stretch = watch.moved.and_then(|moved| stretch(moved, sizes));
        watch.warnings = warnings(&watch, sizes);
        Some(watch)
    }

    /// Whether the take-up is a ratchet: tightened again and again, never slackened.
    pub fn is_ratchet(&self) -> bool {
        self.warnings.contains(&Warning::OnlyTightened)
    }
}

/// The readings that count, with their days.
fn counted(story: &Story) -> (Since, Vec<(Date, Reading)>) {
    let mut since = Since::FirstReading;
    let mut readings: Vec<(Date, Reading)> = Vec::new();
    for entry in &story.told {
        match &entry.what {
            What::Done { on, work, .. } if work.renews_the_belt() => {
                since = Since::Work(*work, *on);
                readings.clear();
            }
            What::TakeUp { on, reading, .. } => {
                let last = readings.last().map(|(_, last)| *last);
                if let Some(last) = last {
                    // Another kind of take-up cannot be compared with the one before.
                    if last.word() != reading.word() || step(&last, reading) < 0 {
                        since = Since::Slackened(*on);
                        readings.clear();
                    }
                }
                readings.push((*on, *reading));
            }
            _ => {}
        }
    }
    (since, readings)
}

/// Whether it was tightened (1), slackened (-1) or left (0) between two readings. A weight that goes down by itself
/// tightens nothing: there its mass counts, and at a winch its pull.
fn step(before: &Reading, after: &Reading) -> i8 {
    let by = |before: f64, after: f64, least: f64| match after - before {
        more if more > least => 1,
        less if less < -least => -1,
        _ => 0,
    };
    match (before, after) {
        (Reading::Screws { .. }, Reading::Screws { .. }) => match (before.out(), after.out()) {
            (Some(before), Some(after)) => by(before.0, after.0, STEP_MM),
            _ => 0,
        },
        (Reading::Weight { mass: before, .. }, Reading::Weight { mass: after, .. }) => {
            by(before.0, after.0, before.0 * STEP_SHARE)
        }
        (Reading::Winch { pull: before, .. }, Reading::Winch { pull: after, .. }) => {
            by(before.0, after.0, before.0 * STEP_SHARE)
        }
        // A carriage is pulled by a weight: how far out it stands is the belt's doing.
        _ => 0,
    }
}

/// Whether it was tightened between two readings.
pub(super) fn is_tighter(before: &Reading, after: &Reading) -> bool {
    step(before, after) > 0
}

fn moved(outs: &[(f64, f64)]) -> Option<Millimetres> {
    match (outs.first(), outs.last()) {
        (Some(first), Some(last)) if outs.len() > 1 => Some(Millimetres(last.1 - first.1)),
        _ => None,
    }
}

fn days(from: Date, to: Date) -> f64 {
    from.until(to).map_or(0.0, |span| f64::from(span.get_days()))
}

/// Of the travel each strand takes its half, so that the belt grows by twice as much.
fn stretch(moved: Millimetres, sizes: &TakeUpSizes) -> Option<Stretch> {
    let belt = sizes.belt.filter(|belt| belt.0 > 0.0)?;
    let (may, rests_on) = life_stretch(sizes.carcass);
    Some(Stretch { share: 2.0 * moved.0 / belt.0, may, rests_on })
}

fn warnings(watch: &Watch, sizes: &TakeUpSizes) -> Vec<Warning> {
    let mut warnings = Vec::new();
    if watch.tightened >= OFTEN {
        warnings.push(Warning::OnlyTightened);
    }
    if drifts_apart(watch, sizes) {
        warnings.push(Warning::DriftsApart);
    }
    if travel_ends(watch, sizes) {
        warnings.push(Warning::TravelEnds);
    }
    if watch.stretch.is_some_and(|stretch| stretch.share >= stretch.may) {
        warnings.push(Warning::MuchStretch);
    }
    warnings
}

fn drifts_apart(watch: &Watch, sizes: &TakeUpSizes) -> bool {
    let leads: Vec<f64> =
        watch.points.iter().filter_map(|p| p.reading.lead()).map(|lead| lead.0).collect();
    let (Some(first), Some(last)) = (leads.first(), leads.last()) else { return false };
    let beyond = sizes.apart.is_some_and(|apart| last.abs() > apart.0 + STEP_MM / 2.0);
    let drifts = watch.lead.is_some_and(|lead| lead.surely_goes());
    beyond || drifts && last.abs() > first.abs() + STEP_MM
}

fn travel_ends(watch: &Watch, sizes: &TakeUpSizes) -> bool {
    let (Some(end), Some(travel)) = (watch.end, sizes.travel) else { return false };
    let last = watch.points.last().map(|point| point.on);
    let soon = end.on.zip(last).is_some_and(|(on, last)| days(last, on) <= SOON_DAYS);
    soon || end.left.0 < travel.0 * LITTLE
}

/// The reading before the latest, of those that count.
pub fn last_reading<'e>(story: &Story<'e>) -> Option<&'e Entry> {
    story.told.iter().rev().find(|entry| matches!(entry.what, What::TakeUp { .. })).copied()
}

#[cfg(test)]
mod tests {
    use jiff::Timestamp;
    use jiff::civil::date;

    use super::*;
    use crate::logbook::TabletId;
    use crate::logbook::size::{Kilograms, Newtons};
    use crate::trade::{Carcass, Side};

    fn entry(what: What) -> Entry {
        Entry::new(&TabletId::named("aaaa").unwrap(), Timestamp::UNIX_EPOCH, None, what)
    }

    fn reading(on: Date, reading: Reading) -> Entry {
        entry(What::TakeUp { on, reading, why: None })
    }

    fn screws(month: i8, left: f64, right: f64) -> Entry {
        let (left, right) = (Millimetres(left), Millimetres(right));
        reading(date(2025, month, 1), Reading::Screws { left, right })
    }

    fn sizes() -> TakeUpSizes {
        TakeUpSizes {
            travel: Some(Millimetres(500.0)),
            belt: Some(Millimetres(78_000.0)),
            carcass: Some(Carcass::Fabric),
            apart: Some(Millimetres(2.0)),
        }
    }

    fn watch(entries: &[Entry]) -> Watch {
        Watch::over(&Story::of(entries), &sizes()).unwrap()
    }

    /// Three millimetres a month on the left, two on the right.
    fn ratchet() -> Vec<Entry> {
        (0..8_i8)
            .map(|month| {
                let steps = f64::from(month);
                screws(month + 1, 440.0 + 3.0 * steps, 440.0 + 2.0 * steps)
            })
            .collect()
    }

    #[test]
    fn a_take_up_that_is_only_tightened_is_a_ratchet() {
        let watch = watch(&ratchet());
        assert!(watch.is_ratchet());
        assert_eq!(watch.tightened, 7);
        assert!(watch.warnings.contains(&Warning::DriftsApart));
        assert_eq!(watch.moved, Some(Millimetres(17.5)));
        // 17.5 mm out make 35 mm of belt in 78 m.
        assert!((watch.stretch.unwrap().share - 0.035 / 78.0).abs() < 1e-12);
        assert!(!watch.warnings.contains(&Warning::MuchStretch));
    }

    #[test]
    fn the_end_of_the_travel_is_that_of_the_screw_further_out() {
        let watch = watch(&ratchet());
        let end = watch.end.unwrap();
        assert_eq!((end.left, end.side), (Millimetres(39.0), Some(Side::Left)));
        // 39 mm at some 3 mm a month: thirteen months after August 2025.
        let on = end.on.unwrap();
        assert!(on > date(2026, 8, 1) && on < date(2026, 10, 15), "{on}");
        assert!(end.between.0.unwrap() <= on && on <= end.between.1.unwrap());
        assert!(watch.warnings.contains(&Warning::TravelEnds), "less than a tenth is left");
    }

    #[test]
    fn slackening_and_a_new_splice_begin_anew() {
        let mut entries = ratchet();
        entries.push(screws(9, 430.0, 430.0));
        let slackened = watch(&entries);
        assert_eq!(slackened.since, Since::Slackened(date(2025, 9, 1)));
        assert_eq!((slackened.points.len(), slackened.tightened), (1, 0));
        assert!(!slackened.is_ratchet() && slackened.out.is_none());
        let mut entries = ratchet();
        let on = date(2025, 6, 15);
        entries.push(entry(What::Done { on, work: Work::SpliceMade, note: None }));
        let spliced = watch(&entries);
        assert_eq!((spliced.since, spliced.points.len()), (Since::Work(Work::SpliceMade, on), 2));
        let on = date(2025, 6, 15);
        entries.push(entry(What::Done { on, work: Work::Cleaned, note: None }));
        assert_eq!(watch(&entries).points.len(), 2, "cleaning changes no belt");
    }

    #[test]
    fn readings_that_differ_by_less_than_their_error_are_no_step() {
        let entries = [screws(1, 100.0, 100.0), screws(2, 100.4, 100.2), screws(3, 99.8, 100.0)];
        let watch = watch(&entries);
        assert_eq!((watch.since, watch.tightened), (Since::FirstReading, 0));
        assert!(watch.warnings.is_empty());
    }

    #[test]
    fn screws_apart_by_more_than_the_limit_are_told_at_once() {
        assert!(watch(&[screws(1, 104.0, 100.0)]).warnings.contains(&Warning::DriftsApart));
        assert!(watch(&[screws(1, 102.0, 100.0)]).warnings.is_empty());
    }

    #[test]
    fn weight_and_winch_count_by_what_pulls_and_a_carriage_by_nothing() {
        let weight = |month: i8, mass: f64, at: f64| {
            let reading_of = Reading::Weight { mass: Kilograms(mass), at: Some(Millimetres(at)) };
            reading(date(2025, month, 1), reading_of)
        };
        let same: Vec<Entry> =
            (1..8).map(|month| weight(month, 300.0, 100.0 + f64::from(month))).collect();
        assert_eq!(watch(&same).tightened, 0, "it goes down by itself");
        assert!(watch(&same).out.unwrap().surely_rises());
        let more: Vec<Entry> =
            (1..6).map(|month| weight(month, 300.0 + 20.0 * f64::from(month), 100.0)).collect();
        assert!(watch(&more).is_ratchet());
        let winch = |month: i8, pull: f64| {
            let pull = Newtons(pull);
            reading(date(2025, month, 1), Reading::Winch { pull, at: None })
        };
        let pulls = [winch(1, 9e3), winch(2, 10e3), winch(3, 11e3), winch(4, 12e3)];
        assert_eq!(watch(&pulls).tightened, 3);
        let carriage = |month: i8| {
            let at = Millimetres(f64::from(month) * 20.0);
            reading(date(2025, month, 1), Reading::Carriage { at })
        };
        let out: Vec<Entry> = (1..8).map(carriage).collect();
        assert_eq!(watch(&out).tightened, 0);
    }

    #[test]
    fn much_stretch_is_told_by_the_kind_of_belt() {
        let entries = [screws(1, 0.0, 0.0), screws(2, 100.0, 100.0)];
        let steel = TakeUpSizes { carcass: Some(Carcass::SteelCord), ..sizes() };
        let story = Story::of(&entries);
        let told = |sizes: &TakeUpSizes| Watch::over(&story, sizes).unwrap().warnings;
        assert!(told(&steel).contains(&Warning::MuchStretch), "0.26 %");
        assert!(!told(&sizes()).contains(&Warning::MuchStretch));
    }

    #[test]
    fn without_sizes_it_says_what_it_can() {
        let entries = ratchet();
        let watch = Watch::over(&Story::of(&entries), &TakeUpSizes::default()).unwrap();
        assert!(watch.is_ratchet() && watch.end.is_none() && watch.stretch.is_none());
        assert_eq!(Watch::over(&Story::of(&[]), &sizes()), None);
    }
}
