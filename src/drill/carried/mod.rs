//! Which faults the belt-line model can carry, and what each looks like where it is found.
//!
//! All ranges of size are assumed: nothing published tells how large a fault is when somebody is called. They run from
//! what a tape can just tell to what a maintainer would call gross. No side is favoured: what the trade gives no side
//! (cake, stuck rolls, blades, skirts) pushes to either.

mod site;

use fastrand::Rng;

use crate::mechanics::Line;
use crate::rulebook::model::{DrillFault, Meaning, Sight};
pub use site::Part;
use site::{Site, Size, Unit};

/// A fault that may be drawn.
#[derive(Clone, Copy)]
pub struct Carried {
    /// Which; a cause says in the rule book that it is this.
    pub fault: DrillFault,
    /// Whether the model shows anything of it on such a conveyor.
    pub shows_on: fn(&Line) -> bool,
    parts: fn(&mut Site<'_>) -> Vec<Part>,
}

/// What a drawn cause is made of.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    /// Its parts.
    pub parts: Vec<Part>,
    /// Answers that the parts settle and that no reading of the model gives: by what answers, and what that means.
    pub shows: Vec<(Sight, Meaning)>,
}

impl Carried {
    /// Draws what it is made of on a conveyor: kinds, places and sides, and each part's own range of size.
    pub fn draw(&self, line: &Line, rng: &mut Rng) -> Drawn {
        let mut site = Site { line, rng, shows: Vec::new() };
        let parts = (self.parts)(&mut site);
        Drawn { parts, shows: site.shows }
    }
}

fn anywhere(_: &Line) -> bool {
    true
}

fn troughed(line: &Line) -> bool {
    line.carry.trough_rad > 0.0
}

fn crowned(line: &Line) -> bool {
    line.tail.crown_m > 0.0 && line.head.crown_m > 0.0
}

const fn carried(
    fault: DrillFault,
    shows_on: fn(&Line) -> bool,
    parts: fn(&mut Site<'_>) -> Vec<Part>,
) -> Carried {
    Carried { fault, shows_on, parts }
}

/// The faults that the model carries.
pub static CARRIED: &[Carried] = &[
    // Most cake is on the return rolls, which the dirty face of the belt meets. To which side a caked roll sends the belt
    // nobody has published; the model alone makes next to nothing of it, so a push to either side stands for it.
    carried(DrillFault::CakedRolls, anywhere, |site| {
        let strand = site.strand(0.2);
        let many = site.rng.usize(2..=4);
        let stations = site.neighbours(strand, many);
        let thick = format!("thick: {}", site.side());
        let cake = (Unit::Millimetres, 3.0, 10.0);
        let mut parts = site.at_each(strand, &stations, ("RollCaked", &thick), cake);
        let toward = format!("toward: {}", site.side());
        let push = (Unit::Newtons, 5.0, 250.0);
        parts.extend(site.at_each(strand, &stations, ("Push", &toward), push));
        parts
    }),
    carried(DrillFault::CakedPulley, anywhere, |site| {
        let (pulley, thick) = (site.pulley(0.7), site.side());
        vec![Part {
            words: format!("PulleyCaked(pulley: {pulley}, thick: {thick}"),
            size: site.mm(0.3, 12.0),
        }]
    }),
    // The roll stands still, and drags the belt to either side by so much more than the model's own roll does.
    carried(DrillFault::SeizedRoll, anywhere, |site| {
        let strand = site.strand(0.5);
        let station = site.neighbours(strand, 1);
        let rolls = if strand == "Return" { "Whole" } else { site.side() };
        let mut parts: Vec<Part> = station
            .iter()
            .map(|station| Part {
                words: format!("RollSeized(strand: {strand}, station: {station}, rolls: {rolls}"),
                size: None,
            })
            .collect();
        parts.extend(station.iter().map(|station| site.push(strand, *station, 10.0, 500.0)));
        parts
    }),
    carried(DrillFault::SkewedIdlers, anywhere, |site| {
        let strand = site.strand(0.55);
        let many = site.rng.usize(1..=2);
        let (stations, ahead) = (site.neighbours(strand, many), site.side());
        site.skewed(strand, &stations, ahead, 30.0)
    }),
    // Off centre matters only where the trough holds the belt. The trade has the belt go with the stands; the model has it
    // follow by a part of that, so a push to the same side stands for the rest.
    carried(DrillFault::IdlersOffCentre, troughed, |site| {
        let many = site.rng.usize(2..=5);
        let stations = site.neighbours("Carry", many);
        let toward = format!("toward: {}", site.side());
        let off = (Unit::Millimetres, 15.0, 70.0);
        let mut parts = site.at_each("Carry", &stations, ("IdlerOffCentre", &toward), off);
        let push = (Unit::Newtons, 5.0, 300.0);
        parts.extend(site.at_each("Carry", &stations, ("Push", &toward), push));
        parts
    }),
    // The same of sets that lean: the belt slides to the low side, in the model by less than people are called for.
    carried(DrillFault::LeaningIdlers, anywhere, |site| {
        let strand = site.strand(0.7);
        let many = site.rng.usize(1..=3);
        let stations = site.neighbours(strand, many);
        let side = site.side();
        let lean = (Unit::Millimetres, 8.0, 60.0);
        let low = format!("low: {side}");
        let mut parts = site.at_each(strand, &stations, ("IdlerLeaning", &low), lean);
        let toward = format!("toward: {side}");
        let push = (Unit::Newtons, 5.0, 300.0);
        parts.extend(site.at_each(strand, &stations, ("Push", &toward), push));
        parts
    }),
    carried(DrillFault::CrookedFrame, anywhere, |site| {
        let (from, to) = site.stretch(5.0, 14.0);
        let side = site.side();
        vec![if site.chance(0.6) {
            Part {
                words: format!("FrameBent(from: \"{from} m\", to: \"{to} m\", toward: {side}"),
                size: site.mm(10.0, 120.0),
            }
        } else {
            Part {
                words: format!("FrameRacked(from: \"{from} m\", to: \"{to} m\", ahead: {side}"),
                size: site.mm(5.0, 40.0),
            }
        }]
    }),
    carried(DrillFault::LowFrame, anywhere, |site| {
        let (from, to) = site.stretch(6.0, 25.0);
        let low = site.side();
        vec![Part {
            words: format!("FrameLow(from: \"{from} m\", to: \"{to} m\", low: {low}"),
            size: site.mm(8.0, 90.0),
        }]
    }),
    carried(DrillFault::SkewedPulley, anywhere, |site| {
        let (pulley, ahead) = (site.pulley(0.5), site.side());
        vec![Part {
            words: format!("PulleySkewed(pulley: {pulley}, ahead: {ahead}"),
            size: site.mm(2.0, 25.0),
        }]
    }),
    carried(DrillFault::LowPulley, anywhere, |site| {
        let (pulley, low) = (site.pulley(0.5), site.side());
        vec![Part {
            words: format!("PulleyLow(pulley: {pulley}, low: {low}"),
            size: site.mm(5.0, 60.0),
        }]
    }),
    carried(DrillFault::UnevenScrews, anywhere, |site| {
        let out = site.side();
        vec![Part { words: format!("ScrewsUneven(out: {out}"), size: site.mm(3.0, 30.0) }]
    }),
    // A worn crown lets go of a belt that something small pushes; the small thing stands for all that is not quite
    // right on any conveyor.
    carried(DrillFault::WornCrown, crowned, |site| {
        let pulley = site.pulley(0.8);
        let station = site.stations("Return");
        let station = if pulley == "Tail" { 1 } else { station };
        vec![
            Part {
                words: format!("CrownWorn(pulley: {pulley}"),
                size: Some(Size { unit: Unit::Share, least: 0.7, most: 1.0 }),
            },
            site.push("Return", station, 5.0, 250.0),
        ]
    }),
    // Lagging wears more at one end; the head has it as a rule.
    carried(DrillFault::WornLagging, anywhere, |site| {
        let thick = site.side();
        let end = if thick == "Left" { Meaning::Left } else { Meaning::Right };
        site.shows.push((Sight::ThickerEnd, end));
        vec![Part {
            words: format!("PulleyCaked(pulley: Head, thick: {thick}"),
            size: site.mm(0.3, 12.0),
        }]
    }),
    carried(DrillFault::LoadToOneSide, troughed, |site| {
        let toward = site.side();
        vec![Part { words: format!("LoadOff(toward: {toward}"), size: site.mm(25.0, 160.0) }]
    }),
    carried(DrillFault::PushingSkirts, anywhere, |site| {
        let side = format!("toward: {}", site.side());
        let there = site.stations("Carry").min(3);
        let stations: Vec<usize> = (1..=there).collect();
        site.at_each("Carry", &stations, ("Push", &side), (Unit::Newtons, 20.0, 300.0))
    }),
    carried(DrillFault::CrookedSplice, anywhere, |site| {
        let (at, _) = site.of_belt(1.0, 1.0);
        let toward = site.side();
        vec![Part {
            words: format!("SpliceCrooked(at: \"{at} m\", toward: {toward}"),
            size: site.mm(5.0, 60.0),
        }]
    }),
    carried(DrillFault::BowedBelt, anywhere, |site| {
        let (from, to) = site.of_belt(8.0, 30.0);
        let toward = site.side();
        vec![Part {
            words: format!("BeltBowed(from: \"{from} m\", to: \"{to} m\", toward: {toward}"),
            size: site.mm(10.0, 250.0),
        }]
    }),
    // Two lengths joined, each with its own bow.
    carried(DrillFault::OpposedBows, anywhere, |site| {
        let (from, to) = site.of_belt(16.0, 40.0);
        let middle = (0.5 * (from + to)).floor();
        let (one, other) = if site.chance(0.5) { ("Left", "Right") } else { ("Right", "Left") };
        [(from, middle, one), (middle, to, other)]
            .into_iter()
            .map(|(from, to, toward)| Part {
                words: format!("BeltBowed(from: \"{from} m\", to: \"{to} m\", toward: {toward}"),
                size: site.mm(10.0, 250.0),
            })
            .collect()
    }),
    // The chewed edge is the longer one, so that length lies in a bow.
    carried(DrillFault::ChewedEdge, anywhere, |site| {
        let (from, to) = site.of_belt(4.0, 15.0);
        let toward = site.side();
        vec![Part {
            words: format!("BeltBowed(from: \"{from} m\", to: \"{to} m\", toward: {toward}"),
            size: site.mm(5.0, 120.0),
        }]
    }),
    carried(DrillFault::PushingCleaner, anywhere, |site| {
        let station = site.stations("Return");
        vec![site.push("Return", station, 30.0, 700.0)]
    }),
    // A trainer that cannot swing back is no more than a push; which way it hangs is told by its own question.
    carried(DrillFault::PushingTrainer, anywhere, |site| {
        let strand = site.strand(0.45);
        let station = site.neighbours(strand, 1);
        station.iter().map(|station| site.push(strand, *station, 10.0, 600.0)).collect()
    }),
    carried(DrillFault::PushingReturnRoll, anywhere, |site| {
        let station = site.neighbours("Return", 1);
        station.iter().map(|station| site.push("Return", *station, 10.0, 400.0)).collect()
    }),
    // A heap or a thing wedged against the belt, mostly at the tail.
    carried(DrillFault::PushingHeap, anywhere, |site| vec![site.push("Return", 1, 15.0, 700.0)]),
    // Mostly on the empty return strand, which weighs least.
    carried(DrillFault::Crosswind, anywhere, |site| {
        let (from, to) = site.stretch(0.4 * site.line.centres_m, 0.8 * site.line.centres_m);
        let (strand, toward) = (site.strand(0.2), site.side());
        vec![Part {
            words: format!(
                "Wind(strand: {strand}, from: \"{from} m\", to: \"{to} m\", toward: {toward}"
            ),
            size: site.size(Unit::NewtonsPerMetre, 1.5, 60.0),
        }]
    }),
    // At least three, and some each way: else it would be no more than a few idlers out of square. Over the years they
    // come to stand all along the conveyor.
    carried(DrillFault::ScatteredTrims, anywhere, |site| {
        let on_carry = site.spread("Carry", 3);
        let on_return = site.spread("Return", 2);
        let mut ahead = site.side();
        let mut parts = Vec::new();
        for (strand, stations) in [("Carry", on_carry), ("Return", on_return)] {
            for station in stations {
                parts.extend(site.skewed(strand, &[station], ahead, 30.0));
                ahead = if ahead == "Left" { "Right" } else { "Left" };
            }
        }
        parts
    }),
    // All the same way on each strand: trimmed for one direction of running.
    carried(DrillFault::TrimsForOneWay, anywhere, |site| {
        let (on_carry, on_return) = (site.spread("Carry", 2), site.spread("Return", 2));
        let (ahead, back) = if site.chance(0.5) { ("Left", "Right") } else { ("Right", "Left") };
        let mut parts = site.skewed("Carry", &on_carry, ahead, 30.0);
        parts.extend(site.skewed("Return", &on_return, back, 30.0));
        parts
    }),
    // The frame goes with its supports: out of level first of all.
    carried(DrillFault::MovedSupports, anywhere, |site| {
        let (from, to) = site.stretch(5.0, 18.0);
        let side = site.side();
        vec![if site.chance(0.6) {
            Part {
                words: format!("FrameLow(from: \"{from} m\", to: \"{to} m\", low: {side}"),
                size: site.mm(10.0, 100.0),
            }
        } else {
            Part {
                words: format!("FrameBent(from: \"{from} m\", to: \"{to} m\", toward: {side}"),
                size: site.mm(10.0, 120.0),
            }
        }]
    }),
];

/// How a fault is drawn; nothing if none is: by itself a tight belt runs true.
pub fn of(fault: DrillFault) -> Option<&'static Carried> {
    CARRIED.iter().find(|carried| carried.fault == fault)
}
