//! What of a conveyor's dimensions ways and belt turns are worked out from.

use std::collections::BTreeMap;

use super::dimensions::{self, Dimensions};
use super::quantity::{self, Quantity};
use crate::trade::Units;

/// The path of the distance between the end pulleys' shafts.
const CENTRES: &str = "centres";
/// The path of the belt speed.
const SPEED: &str = "speed";
/// The path of the distance between carry idlers.
const CARRY_PITCH: &str = "idlers.carry_pitch";
/// The path of the distance between return rolls.
const RETURN_PITCH: &str = "idlers.return_pitch";
/// The path of the number of pulleys.
const PULLEYS: &str = "pulleys";

/// How long and how fast a conveyor is, as far as that is known.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct ConveyorSize {
    /// Between the end pulleys' shafts, metres.
    pub centres_m: Option<f64>,
    /// Belt speed, metres a second.
    pub speed_m_s: Option<f64>,
    /// Between idler sets of the carry strand, metres.
    pub carry_pitch_m: Option<f64>,
    /// Between rolls of the return strand, metres.
    pub return_pitch_m: Option<f64>,
    /// How many pulleys the belt runs over.
    pub pulleys: Option<f64>,
}

impl ConveyorSize {
    /// From dimensions by path as a visit keeps them: texts with an SI unit. One that does not read is unknown.
    pub fn written(sizes: &BTreeMap<String, String>) -> Self {
        let read = |path: &str| {
            let kind = dimensions::named(path)?.kind;
            quantity::read(sizes.get(path)?, kind, Units::Metric).ok()
        };
        Self::by_path(read)
    }

    fn by_path(read: impl Fn(&str) -> Option<Quantity>) -> Self {
        let si = |path| read(path).map(Quantity::si);
        Self {
            centres_m: si(CENTRES),
            speed_m_s: si(SPEED),
            carry_pitch_m: si(CARRY_PITCH),
            return_pitch_m: si(RETURN_PITCH),
            pulleys: si(PULLEYS),
        }
    }
}

impl From<&Dimensions> for ConveyorSize {
    fn from(dimensions: &Dimensions) -> Self {
        Self::by_path(|path| dimensions.get(path))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conveyor;

    #[test]
    fn a_conveyor_and_what_a_visit_keeps_of_it_tell_the_same() {
        let text = "(centres: \"120 ft\", speed: \"1.5 m/s\")";
        let (conveyor, _) = conveyor::parse("c.ron", text.to_owned()).unwrap();
        let size = ConveyorSize::from(conveyor.dimensions());
        assert!((size.centres_m.unwrap() - 36.576).abs() < 1e-9);
        assert_eq!(size.speed_m_s, Some(1.5));
        let kept = [("centres", "36.576 m"), ("speed", "1.5 m/s"), ("no-such", "?")];
        let kept = kept.map(|(path, size)| (path.to_owned(), size.to_owned()));
        let kept = ConveyorSize::written(&kept.into_iter().collect());
        assert!((kept.centres_m.unwrap() - 36.576).abs() < 1e-9);
        assert_eq!(kept.speed_m_s, Some(1.5));
        let junk = [("speed".to_owned(), "fast".to_owned())];
        assert_eq!(ConveyorSize::written(&junk.into_iter().collect()), ConveyorSize::default());
    }
}
