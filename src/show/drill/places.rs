//! Where on a conveyor something is: for drawings of it from above.

use crate::drill::{Drill, Move, Thing};
use crate::mechanics::{Fault, Line};
use crate::trade::{End, Strand};

/// Where something is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Placed {
    /// On one strand, from here to there, metres from the tail.
    Along(Strand, f64, f64),
    /// On both strands, from here to there: the frame that carries them.
    Frame(f64, f64),
    /// At an end pulley.
    At(End),
    /// It goes round with the belt.
    OnTheBelt,
}

impl Placed {
    /// Where on a strand it is drawn, metres from the tail; nothing if it is not there.
    pub fn middle_m(self, strand: Strand, centres_m: f64) -> Option<f64> {
        match self {
            Self::Along(on, from_m, to_m) => (on == strand).then_some(0.5 * (from_m + to_m)),
            Self::Frame(from_m, to_m) => Some(0.5 * (from_m + to_m)),
            Self::At(End::Tail) => Some(0.0),
            Self::At(End::Head) => Some(centres_m),
            Self::OnTheBelt => None,
        }
    }
}

/// Where a hidden thing is.
pub fn of_thing(thing: Thing, line: &Line) -> Placed {
    match thing {
        // Screws are at the tail, and so is what they do to the pull.
        Thing::Pull(_) => Placed::At(End::Tail),
        Thing::Fault(fault) => of_fault(fault, line),
    }
}

fn of_fault(fault: Fault, line: &Line) -> Placed {
    match fault {
        Fault::Skewed { strand, station, .. }
        | Fault::OffCentre { strand, station, .. }
        | Fault::High { strand, station, .. }
        | Fault::Leaning { strand, station, .. }
        | Fault::CakedRoll { strand, station, .. }
        | Fault::SeizedRoll { strand, station, .. }
        | Fault::SidePush { strand, station, .. } => at_station(line, strand, station),
        Fault::BentFrame { from_m, to_m, .. }
        | Fault::RackedFrame { from_m, to_m, .. }
        | Fault::LowFrame { from_m, to_m, .. } => Placed::Frame(from_m, to_m),
        Fault::SkewedPulley { end, .. }
        | Fault::LowPulley { end, .. }
        | Fault::CakedPulley { end, .. }
        | Fault::WornCrown { end, .. } => Placed::At(end),
        Fault::CrookedSplice { .. } | Fault::Camber { .. } => Placed::OnTheBelt,
        Fault::OffCentreLoad { .. } => {
            Placed::Along(Strand::Carry, line.load.from_m, line.load.to_m)
        }
        Fault::Screws { .. } => Placed::At(End::Tail),
        Fault::Wind { strand, from_m, to_m, .. } => Placed::Along(strand, from_m, to_m),
    }
}

/// Where a move was made, if it was made at one place. Work was done where the hidden things are that it took away.
pub fn of_move(what: &Move, drill: &Drill) -> Vec<Placed> {
    match what {
        Move::Shift { strand, station, .. } => vec![at_station(&drill.line, *strand, *station)],
        Move::Screw { .. } => vec![Placed::At(End::Tail)],
        Move::Work(fix) => {
            let cured = drill.hidden.iter().filter(|hidden| hidden.yields_to.contains(fix));
            let things = cured.flat_map(|hidden| &hidden.things);
            things.map(|thing| of_thing(*thing, &drill.line)).collect()
        }
        _ => Vec::new(),
    }
}

fn at_station(line: &Line, strand: Strand, station: usize) -> Placed {
    let at_m = line.idlers(strand).stations_m.get(station).copied().unwrap_or(0.0);
    Placed::Along(strand, at_m, at_m)
}
