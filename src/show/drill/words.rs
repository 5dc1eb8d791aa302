//! Words for what is hidden on a drill's conveyor and for what a learner does there.
//!
//! Sizes of what is hidden are facts of the drill and stand here with their units. How far the belt is off is told
//! elsewhere, and never as a number.

use crate::conveyor::quantity::{Kind, Quantity, distance_words};
use crate::drill::{Drill, Move, Thing, plant};
use crate::mechanics::{Fault, Line, Seized};
use crate::rulebook::model::Book;
use crate::show::chance;
use crate::show::steps::check_order;
use crate::show::words::Sides;
use crate::trade::End;
use crate::trade::{Side, Strand, Units};

/// Two screws less than this apart stand equal, m.
const SAME_M: f64 = 5e-4;

/// How things are called on one conveyor.
#[derive(Debug, Clone)]
pub struct DrillNames<'d> {
    line: &'d Line,
    sides: Sides,
    units: Units,
    /// From foot to foot of an idler stand, m.
    feet_m: f64,
}

impl<'d> DrillNames<'d> {
    /// The names on the conveyor of a drill: its own names of the sides, its own units.
    pub fn new(drill: &'d Drill) -> Self {
        let conveyor = &drill.conveyor;
        let sides = conveyor.sides();
        Self {
            line: &drill.line,
            sides: Sides::named(sides.left.as_deref(), sides.right.as_deref()),
            units: conveyor.units().unwrap_or_default(),
            feet_m: plant::feet_m(conveyor, drill.line.belt.width_m),
        }
    }

    /// What the sides are called.
    pub fn sides(&self) -> &Sides {
        &self.sides
    }

    /// Something that is hidden: "return roll 4 from the tail: WALL end 14 mm nearer the head, at its feet".
    pub fn thing(&self, thing: Thing) -> String {
        match thing {
            Thing::Fault(fault) => self.fault(fault),
            Thing::Pull(times) => format!("belt pulled {times:.1} times as hard as drawn"),
        }
    }

    fn fault(&self, fault: Fault) -> String {
        let bearings_m = self.line.take_up.bearing_centres_m;
        match fault {
            Fault::Skewed { strand, station, skew_rad } => {
                let moved = self.end_moved("end", skew_rad * self.feet_m);
                format!("{}: {moved} nearer the head, at its feet", nth(strand, station))
            }
            Fault::OffCentre { strand, station, left_m } => format!(
                "{}: stands {} off the middle, toward {}",
                nth(strand, station),
                self.length(left_m),
                self.side(left_m)
            ),
            Fault::High { strand, station, by_m } => {
                let way = if by_m < 0.0 { "low" } else { "high" };
                format!("{}: stands {} too {way}", nth(strand, station), self.length(by_m))
            }
            Fault::Leaning { strand, station, left_low_rad } => {
                let moved = self.end_moved("end", left_low_rad * self.feet_m);
                format!("{}: {moved} low, at its feet", nth(strand, station))
            }
            Fault::CakedRoll { strand, station, left_thicker_m } => {
                format!("{}: {}", nth(strand, station), self.cake(left_thicker_m))
            }
            Fault::SeizedRoll { strand, station, which } => {
                format!("{}: {}", nth(strand, station), self.stuck(which))
            }
            Fault::BentFrame { from_m, to_m, left_m } => format!(
                "{}: bowed {} toward {}",
                self.frame(from_m, to_m),
                self.length(left_m),
                self.side(left_m)
            ),
            Fault::RackedFrame { from_m, to_m, skew_rad } => {
                let moved = self.end_moved("beam", skew_rad * self.feet_m);
                format!("{}: racked, {moved} nearer the head", self.frame(from_m, to_m))
            }
            Fault::LowFrame { from_m, to_m, left_low_rad } => {
                let moved = self.end_moved("side", left_low_rad * self.feet_m);
                format!("{}: {moved} low", self.frame(from_m, to_m))
            }
            Fault::SkewedPulley { end, skew_rad } => {
                format!(
                    "{end}: {} nearer the head",
                    self.end_moved("bearing", skew_rad * bearings_m)
                )
            }
            Fault::LowPulley { end, left_low_rad } => {
                format!("{end}: {} low", self.end_moved("bearing", left_low_rad * bearings_m))
            }
            Fault::CakedPulley { end, left_thicker_m } => {
                format!("{end}: {}", self.cake(left_thicker_m))
            }
            Fault::WornCrown { end, share } => crown(end, share),
            Fault::CrookedSplice { at_m, kink_rad } => self.splice(at_m, kink_rad),
            Fault::Camber { from_m, to_m, per_m } => format!(
                "belt from {} to {} behind mark 0: bows {} to {} in its middle",
                self.distance(from_m),
                self.distance(to_m),
                self.length(per_m * (to_m - from_m).powi(2) / 8.0),
                self.side(per_m)
            ),
            Fault::OffCentreLoad { left_m } => format!(
                "load: lies {} off the middle of the belt, toward {}",
                self.length(left_m),
                self.side(left_m)
            ),
            Fault::Screws { left_m, right_m } => self.screws(left_m, right_m),
            Fault::Wind { strand, from_m, to_m, left_n_per_m } => {
                self.wind(strand, from_m, to_m, left_n_per_m)
            }
            Fault::SidePush { strand, station, left_n } => format!(
                "at {}: something pushes the belt toward {}, {}",
                nth(strand, station),
                self.side(left_n),
                self.force(left_n.abs())
            ),
        }
    }

    /// "WALL end 14 mm": which end of something stands off, and by how much.
    fn end_moved(&self, end: &str, left_m: f64) -> String {
        format!("{} {end} {}", self.side(left_m), self.length(left_m))
    }

    fn splice(&self, at_m: f64, kink_rad: f64) -> String {
        format!(
            "splice {} behind mark 0: {} out of square over the belt's width, the belt ahead of it points to {}",
            self.distance(at_m),
            self.length(kink_rad * self.line.belt.width_m),
            self.side(kink_rad)
        )
    }

    fn wind(&self, strand: Strand, from_m: f64, to_m: f64, left_n_per_m: f64) -> String {
        format!(
            "{} strand from {} to {} from the tail: pushed toward {}, {:.0} N on each metre",
            strand_name(strand),
            self.distance(from_m),
            self.distance(to_m),
            self.side(left_n_per_m),
            left_n_per_m.abs()
        )
    }

    fn cake(&self, left_thicker_m: f64) -> String {
        format!(
            "cake {} thicker at the {} end",
            self.length(left_thicker_m),
            self.side(left_thicker_m)
        )
    }

    fn stuck(&self, which: Seized) -> String {
        let side = match which {
            Seized::Whole => return "does not turn".to_owned(),
            Seized::LeftWing => Side::Left,
            Seized::RightWing => Side::Right,
        };
        format!("its {} wing roll does not turn", self.sides.of(side))
    }

    fn screws(&self, left_m: f64, right_m: f64) -> String {
        let apart_m = left_m - right_m;
        if apart_m.abs() < SAME_M {
            let way = if left_m < 0.0 { "in" } else { "out" };
            return format!("take-up screws: both {} further {way}", self.length(left_m));
        }
        format!(
            "take-up screws: the {} one {} further out than the other",
            self.side(apart_m),
            self.length(apart_m)
        )
    }

    /// What a learner did: "Shifted the WALL end of carry idler 9 from the tail by 5 mm toward the head".
    pub fn did(&self, book: &Book, what: &Move) -> String {
        let (did, _, what) = self.told(book, what);
        format!("{did}{what}")
    }

    /// What a learner wanted to do: "shift the WALL end of carry idler 9 from the tail by 5 mm toward the head".
    pub fn to_do(&self, book: &Book, what: &Move) -> String {
        let (_, to_do, what) = self.told(book, what);
        format!("{to_do}{what}")
    }

    /// A move as it was made, as it was wanted, and what it was about.
    fn told(&self, book: &Book, what: &Move) -> (&'static str, &'static str, String) {
        let nothing = String::new;
        match what {
            Move::Look(symptom) => {
                ("Looked: ", "look: ", self.sides.fill(&book.symptoms[*symptom].ask))
            }
            Move::LockOut => (
                "Stopped, isolated, locked, tagged, tried",
                "stop, isolate, lock, tag, try",
                nothing(),
            ),
            Move::Restore => (
                "Guards on, people clear, started, watched",
                "guards on, people clear, start, watch",
                nothing(),
            ),
            Move::Measure(gauge) => ("Measured: ", "measure: ", gauge.title.to_owned()),
            Move::Check(fix, place) => {
                let check = book.fixes[*fix].begins_with.get(*place);
                let order = check.map_or("", |check| check_order(book, check));
                ("Checked: ", "check: ", self.sides.fill(order))
            }
            Move::Work(fix) => ("Did: ", "", self.sides.fill(&book.fixes[*fix].title)),
            Move::Shift { .. } => ("Shifted ", "shift ", self.moved(what)),
            Move::Screw { .. } => ("Turned ", "turn ", self.moved(what)),
            Move::Wait(turns) => (
                "Watched the belt for ",
                "watch the belt for ",
                match turns {
                    1 => "1 turn".to_owned(),
                    turns => format!("{turns} turns"),
                },
            ),
            Move::Advice => ("Asked straybelt", "ask straybelt", nothing()),
            Move::Name(cause, certainty) => (
                "Named: ",
                "name: ",
                format!("{}, {} certain", book.causes[*cause].name, chance::percent(*certainty)),
            ),
            Move::Declare => {
                ("Said that the belt is put right", "say that the belt is put right", nothing())
            }
        }
    }

    /// The object of a shift or of a turn of a screw; empty for any other move.
    fn moved(&self, what: &Move) -> String {
        match *what {
            Move::Shift { strand, station, end, ahead_m } => format!(
                "the {} end of {} by {} toward the {}",
                self.sides.of(end),
                nth(strand, station),
                self.length(ahead_m),
                if ahead_m < 0.0 { "tail" } else { "head" }
            ),
            Move::Screw { side, out_m } => format!(
                "the {} take-up screw {} {}",
                self.sides.of(side),
                self.length(out_m),
                if out_m < 0.0 { "in, slacker" } else { "out, tighter" }
            ),
            _ => String::new(),
        }
    }

    /// The name of the side that a size stands for, left being positive.
    fn side(&self, left: f64) -> &str {
        self.sides.of(Side::of_sign(left).unwrap_or(Side::Left))
    }

    fn length(&self, size_m: f64) -> String {
        Quantity::of(Kind::Length, size_m.abs()).words(self.units)
    }

    /// A force or load, N, in the conveyor's units.
    pub fn force(&self, size_n: f64) -> String {
        Quantity::of(Kind::Force, size_n).words(self.units)
    }

    fn distance(&self, size_m: f64) -> String {
        distance_words(size_m, self.units)
    }

    fn frame(&self, from_m: f64, to_m: f64) -> String {
        format!("frame from {} to {} from the tail", self.distance(from_m), self.distance(to_m))
    }
}

/// "carry idler 9 from the tail"; stations are counted from 0.
fn nth(strand: Strand, station: usize) -> String {
    format!("{strand} {} from the tail", station.saturating_add(1))
}

fn strand_name(strand: Strand) -> &'static str {
    match strand {
        Strand::Carry => "carry",
        Strand::Return => "return",
    }
}

fn crown(end: End, share: f64) -> String {
    if share >= 0.995 {
        format!("{end}: its crown is worn flat")
    } else {
        format!("{end}: {} of its crown worn away", chance::percent(share))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(line: &Line) -> DrillNames<'_> {
        DrillNames {
            line,
            sides: Sides::named(Some("walkway"), Some("wall")),
            units: Units::Metric,
            feet_m: 1.2,
        }
    }

    /// A skew is an angle in the model and millimetres at the feet in a drill; out and back it stays the same.
    #[test]
    fn sizes_come_back_as_they_were_measured_on_their_own_base() {
        let line = Line::middling(30.0);
        let names = names(&line);
        let says = |fault| names.thing(Thing::Fault(fault));
        assert_eq!(
            says(Fault::Skewed { strand: Strand::Return, station: 3, skew_rad: -0.014 / 1.2 }),
            "return roll 4 from the tail: WALL end 14 mm nearer the head, at its feet"
        );
        assert_eq!(
            says(Fault::SkewedPulley {
                end: End::Tail,
                skew_rad: 0.006 / line.take_up.bearing_centres_m
            }),
            "tail pulley: WALKWAY bearing 6.0 mm nearer the head"
        );
        assert_eq!(
            says(Fault::Camber { from_m: 10.0, to_m: 30.0, per_m: 8.0 * 0.04 / 400.0 }),
            "belt from 10.0 m to 30.0 m behind mark 0: bows 40 mm to WALKWAY in its middle"
        );
        assert_eq!(
            says(Fault::Screws { left_m: -0.005, right_m: 0.005 }),
            "take-up screws: the WALL one 10 mm further out than the other"
        );
    }

    #[test]
    fn moves_are_told_with_their_ends_and_ways() {
        let line = Line::middling(30.0);
        let names = names(&line);
        let shift =
            Move::Shift { strand: Strand::Carry, station: 8, end: Side::Right, ahead_m: -0.005 };
        assert_eq!(
            names.moved(&shift),
            "the WALL end of carry idler 9 from the tail by 5.0 mm toward the tail"
        );
        let screw = Move::Screw { side: Side::Left, out_m: 0.01 };
        assert_eq!(names.moved(&screw), "the WALKWAY take-up screw 10 mm out, tighter");
    }
}
