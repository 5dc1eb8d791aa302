//! What measuring and sighting show of the parts that are out of order: sides, and whether they are.
//!
//! A question is answered here only if the parts settle it. Ids are those of the rule book.

use crate::trade::Strand;
use std::cmp::Ordering;

use crate::gauge::tension::sag_share;
use crate::mechanics::{End, Fault, Line};

/// Less than this nobody measures on a conveyor, m.
const TELL_M: f64 = 0.002;
/// Less than this nobody measures, as an angle.
const TELL_RAD: f64 = 0.0015;
/// The dip of the return strand, as a share of the roll spacing, that is usual: from the rule book's own words.
const USUAL_SAG: (f64, f64) = (0.008, 0.025);

/// The answer that the parts settle, if they do.
pub fn answer(
    symptom: &str,
    faults: &[Fault],
    line: &Line,
    return_pull_n: f64,
) -> Option<&'static str> {
    let parts = Parts { faults, line };
    match symptom {
        "idler-leads" => Some(parts.first_met()),
        "slots-both-ways" => Some(yes(parts.trimmed_both_ways())),
        "idler-low-side" => Some(sided(parts.idler_lean(), TELL_RAD, "level")),
        "frame-low-side" => Some(sided(parts.largest(frame_lean), TELL_RAD, "level")),
        "frame-string" => Some(parts.frame()),
        "stand-off-centre" => Some(yes(parts.largest(off_centre).abs() >= TELL_M)),
        "pulley-low-side" => Some(sided(parts.largest(pulley_lean), TELL_RAD, "level")),
        "end-pulley-short-side" => Some(sided(parts.nearer(), TELL_RAD, "equal")),
        // The bearing that is further out stands further from the other end.
        "slack-side" => Some(sided(-parts.screws(), TELL_M, "equal")),
        "heavy-side" => Some(sided(parts.largest(load), TELL_M, "centred")),
        "wind-from" => {
            let push = parts.largest(wind);
            // It blows from the side that it pushes away from.
            (push != 0.0).then(|| sided(-push, 0.0, "no-cross-wind"))
        }
        "splice-out-of-square" => Some(yes(parts.largest(kink).abs() >= TELL_RAD)),
        "follows-splice" => Some(yes(parts.largest(kink).abs() >= TELL_RAD)),
        "belt-bow" => Some(parts.bow()),
        "caked-roll" => Some(yes(parts.largest(cake).abs() > 0.0)),
        "sag-measured" => Some(by_sag(line, return_pull_n, ["too-little", "usual", "too-much"])),
        "return-sag" => Some(by_sag(line, return_pull_n, ["flat", "normal", "deep"])),
        "crown-left" => parts.crown(),
        _ => None,
    }
}

struct Parts<'f> {
    faults: &'f [Fault],
    line: &'f Line,
}

fn yes(is: bool) -> &'static str {
    if is { "yes" } else { "no" }
}

/// The word for the side of a size, left being positive; below `tell` it is neither.
fn sided(size: f64, tell: f64, neither: &'static str) -> &'static str {
    if size.abs() < tell {
        neither
    } else if size > 0.0 {
        "left"
    } else {
        "right"
    }
}

fn by_sag(line: &Line, pull_n: f64, words: [&'static str; 3]) -> &'static str {
    let stations = &line.ret.stations_m;
    let pitch_m = match stations.as_slice() {
        [first, second, ..] => second - first,
        _ => line.centres_m,
    };
    let share = sag_share(line.belt.mass_kg_per_m, pitch_m, pull_n);
    let [little, usual, much] = words;
    if share < USUAL_SAG.0 {
        little
    } else if share > USUAL_SAG.1 {
        much
    } else {
        usual
    }
}

// What each kind of part counts as, left being positive; nothing for all others.
fn frame_lean(fault: &Fault) -> f64 {
    match *fault {
        Fault::LowFrame { left_low_rad, .. } => left_low_rad,
        _ => 0.0,
    }
}

fn off_centre(fault: &Fault) -> f64 {
    match *fault {
        Fault::OffCentre { left_m, .. } | Fault::BentFrame { left_m, .. } => left_m,
        _ => 0.0,
    }
}

fn pulley_lean(fault: &Fault) -> f64 {
    match *fault {
        Fault::LowPulley { left_low_rad, .. } => left_low_rad,
        _ => 0.0,
    }
}

fn load(fault: &Fault) -> f64 {
    match *fault {
        Fault::OffCentreLoad { left_m } => left_m,
        _ => 0.0,
    }
}

fn wind(fault: &Fault) -> f64 {
    match *fault {
        Fault::Wind { left_n_per_m, .. } => left_n_per_m,
        _ => 0.0,
    }
}

fn kink(fault: &Fault) -> f64 {
    match *fault {
        Fault::CrookedSplice { kink_rad, .. } => kink_rad,
        _ => 0.0,
    }
}

fn cake(fault: &Fault) -> f64 {
    match *fault {
        Fault::CakedRoll { left_thicker_m, .. } => left_thicker_m,
        _ => 0.0,
    }
}

impl Parts<'_> {
    fn largest(&self, size: fn(&Fault) -> f64) -> f64 {
        let sizes = self.faults.iter().map(size);
        sizes.fold(0.0, |a, b| if b.abs() > a.abs() { b } else { a })
    }

    /// The end of the most skewed idler that the belt meets first.
    fn first_met(&self) -> &'static str {
        let skews = self.faults.iter().map(|fault| match *fault {
            Fault::Skewed { strand, skew_rad, .. } => (strand, skew_rad),
            Fault::RackedFrame { skew_rad, .. } => (Strand::Carry, skew_rad),
            _ => (Strand::Carry, 0.0),
        });
        let most = skews.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
        // The end nearer to where the belt comes from is met first.
        let met = most.map_or(0.0, |(strand, skew)| -self.line.travel(strand) * skew);
        sided(met, TELL_RAD, "square")
    }

    /// Whether several idlers are out of square, some each way.
    fn trimmed_both_ways(&self) -> bool {
        let way = |sign: f64| {
            let skewed = |fault: &&Fault| matches!(fault, Fault::Skewed { skew_rad, .. } if sign * skew_rad >= TELL_RAD);
            self.faults.iter().filter(skewed).count()
        };
        let (one, other) = (way(1.0), way(-1.0));
        one > 0 && other > 0 && one + other >= 3
    }

    fn idler_lean(&self) -> f64 {
        self.largest(|fault| match *fault {
            Fault::Leaning { left_low_rad, .. } | Fault::LowFrame { left_low_rad, .. } => {
                left_low_rad
            }
            _ => 0.0,
        })
    }

    fn frame(&self) -> &'static str {
        let bent = self.largest(|fault| match *fault {
            Fault::BentFrame { left_m, .. } => left_m,
            _ => 0.0,
        });
        let racked = self.largest(|fault| match *fault {
            Fault::RackedFrame { skew_rad, .. } => skew_rad,
            _ => 0.0,
        });
        if bent.abs() >= TELL_M {
            "bowed"
        } else if racked.abs() >= TELL_RAD {
            "racked"
        } else {
            "straight"
        }
    }

    /// Left screw out less right screw out, m.
    fn screws(&self) -> f64 {
        let uneven = self.faults.iter().map(|fault| match *fault {
            Fault::Screws { left_m, right_m } => left_m - right_m,
            _ => 0.0,
        });
        uneven.sum()
    }

    /// By how much the left side of an end pulley is nearer to the other end, as an angle, of the pulley that is
    /// more out of square.
    fn nearer(&self) -> f64 {
        let skew = |at: End| -> f64 {
            let skews = self.faults.iter().map(|fault| match *fault {
                Fault::SkewedPulley { end, skew_rad } if end == at => skew_rad,
                _ => 0.0,
            });
            skews.sum()
        };
        let tail = skew(End::Tail) - self.screws() / self.line.take_up.bearing_centres_m;
        let head = -skew(End::Head);
        match tail.abs().partial_cmp(&head.abs()) {
            Some(Ordering::Less) => head,
            _ => tail,
        }
    }

    fn bow(&self) -> &'static str {
        let bows = |sign: f64| {
            self.faults
                .iter()
                .any(|fault| matches!(fault, Fault::Camber { per_m, .. } if sign * per_m > 0.0))
        };
        match (bows(1.0), bows(-1.0)) {
            (false, false) => "straight",
            (true, true) => "opposed",
            _ => "one-way",
        }
    }

    fn crown(&self) -> Option<&'static str> {
        let crowned = self.line.tail.crown_m > 0.0 || self.line.head.crown_m > 0.0;
        let worn = self.largest(|fault| match *fault {
            Fault::WornCrown { share, .. } => share,
            _ => 0.0,
        });
        if worn >= 0.5 {
            Some("flat-or-hollow")
        } else {
            // A crown that is wrong for its belt is no part of the model.
            (crowned && worn > 0.0).then_some("as-drawn")
        }
    }
}
