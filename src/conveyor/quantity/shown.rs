//! Quantities as people read them.

use crate::trade::Units;
use uom::si::{
    angle::degree,
    force::{kilonewton, newton, pound_force},
    length::{foot, inch, meter, millimeter},
    linear_mass_density::pound_per_foot,
    ratio::percent,
    surface_tension::{kilonewton_per_meter, pound_force_per_inch},
    temperature_interval,
    thermodynamic_temperature::{degree_celsius, degree_fahrenheit},
    time::{hour, minute, second},
    velocity::{foot_per_minute, meter_per_second},
};

use super::units;
use super::{Force, Kind, Length, Quantity, Seen, Time};

/// The unit that a bare number of this kind has, as prompts show it; a plain number has none.
pub fn unit(kind: Kind, units: Units) -> &'static str {
    units::bare(kind, units)
}

/// Something that may be typed for a quantity of this kind, to be shown beside a refusal.
pub fn example(kind: Kind, units: Units) -> &'static str {
    let in_inches = units == Units::Inch;
    match kind {
        Kind::Length if in_inches => "1-1/2, or 1 1/2 in",
        Kind::Length => "12, 12 mm or 1/2 in",
        Kind::Distance if in_inches => "120, or 120 ft 6 in",
        Kind::Distance => "38, or 38.5 m",
        Kind::Force if in_inches => "700, or 700 lb",
        Kind::Force => "3100, or 3.1 kN",
        Kind::Modulus if in_inches => "15000, or 15000 lbf/in",
        Kind::Modulus => "2000, or 2000 N/mm",
        Kind::Rated if in_inches => "230, 230 lbf/in or EP 400/3",
        Kind::Rated => "40, 40 N/mm or EP 400/3",
        Kind::Speed if in_inches => "300, or 300 ft/min",
        Kind::Speed => "1.5, or 1.5 m/s",
        Kind::LineMass if in_inches => "8, or 8 lb/ft",
        Kind::LineMass => "12, or 12 kg/m",
        Kind::Temperature if in_inches => "140, or 140 F",
        Kind::Temperature => "60, or 60 C",
        Kind::Rise if in_inches => "5, or 5 F",
        Kind::Rise => "3, or 3 C",
        Kind::Angle => "0.5, or 0.5 deg",
        Kind::Time => "20, or 20 s",
        Kind::Percent => "2, or 2 %",
        Kind::Number => "3",
    }
}

/// How sizes are written, the same at every gauge: ten lines.
pub const WRITTEN: [&str; 10] = [
    "12, 12 mm, 1.2 cm, 0.5 m: a bare number has the unit that the prompt or the column names.",
    "1/2 in, 1-1/2 in, 2 1/16\", 1½\": a fraction needs its unit, unless inches are set.",
    "3 ft 2 1/2 in, 3'-2\", 1 m 20 cm: from large to small.",
    "0.5 or 0,5 or 0,500: decimals. 1,500 is refused: it may mean two things.",
    "3100 N, 3.1 kN, 700 lb, 1.2 kip, 300 kg: a load.",
    "1.5 m/s, 90 m/min, 300 ft/min: a speed.",
    "40 N/mm, 230 lbf/in, EP 400/3, ST 1000: a rated tension.",
    "12 kg/m, 8 lb/ft: mass per length.",
    "45 C, 113 F, 0.5 deg, 20 s, 1.5 min, 2 %: heat, angle, time, share.",
    "-3: the other way. A choice: its number, its word or the first letters.",
];

/// A quantity as it was written: in the unit it was given in, inches in fractions to 1/16 where they are such.
pub fn as_seen(size: Quantity, kind: Kind, seen: &Seen) -> String {
    let own = || {
        let unit = units::find(kind, seen.unit)?;
        let (nothing, one) = ((unit.of)(0.0).si(), (unit.of)(1.0).si());
        let number = (size.si() - nothing) / (one - nothing);
        Some(match seen.unit {
            "in" => format!("{} in", sixteenths(number).unwrap_or_else(|| trimmed(number, 3))),
            "ft" => feet(number),
            "c" => format!("{} °C", trimmed(number, 4)),
            "f" => format!("{} °F", trimmed(number, 4)),
            "n" | "kn" | "n/mm" | "n/m" => {
                format!("{} {}", trimmed(number, 4), seen.unit.replace('n', "N"))
            }
            "kgf" => format!("{} kg", trimmed(number, 4)),
            name => format!("{} {name}", trimmed(number, 4)),
        })
    };
    let words = own().unwrap_or_else(|| size.words(Units::Metric));
    match &seen.print {
        Some(print) => format!("{words} ({print})"),
        None => words,
    }
}

/// Feet, with inches where they are no whole feet.
fn feet(number: f64) -> String {
    let (whole, inches) = (number.abs().trunc(), number.abs().fract() * 12.0);
    let sign = if number < 0.0 { "-" } else { "" };
    match sixteenths(inches) {
        Some(inches) if inches == "0" => format!("{sign}{} ft", trimmed(whole, 0)),
        Some(inches) if whole > 0.0 && inches != "12" => {
            format!("{sign}{} ft {inches} in", trimmed(whole, 0))
        }
        _ => format!("{} ft", trimmed(number, 4)),
    }
}

/// Inches as a whole number and a fraction, if they are sixteenths: `2-1/16`.
fn sixteenths(inches: f64) -> Option<String> {
    let parts = (inches.abs() * 16.0).round();
    if (inches.abs() * 16.0 - parts).abs() > 1e-6 || parts > 1e6 {
        return None;
    }
    let sign = if inches < 0.0 { "-" } else { "" };
    let (whole, over) = ((parts / 16.0).trunc(), parts % 16.0);
    let under = [16.0, 8.0, 4.0, 2.0];
    let halves = under.iter().rev().find(|under| (over * **under) % 16.0 == 0.0).copied();
    Some(match (whole, over, halves) {
        (whole, 0.0, _) => format!("{sign}{whole}"),
        (0.0, over, Some(under)) => format!("{sign}{}/{under}", over * under / 16.0),
        (whole, over, Some(under)) => format!("{sign}{whole}-{}/{under}", over * under / 16.0),
        (_, _, None) => return None,
    })
}

/// So many decimals at most, without noughts at the end.
fn trimmed(number: f64, decimals: usize) -> String {
    let text = fixed(number, decimals);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// A place along the conveyor, in metres: on an axis all are of one unit, however near to nothing.
pub fn distance_words(metres: f64, units: Units) -> String {
    let length = Length::new::<meter>(metres);
    match units {
        Units::Inch => format!("{} ft", fixed(length.get::<foot>(), 1)),
        Units::Metric | Units::Both => format!("{} m", fixed(metres, 1)),
    }
}

/// A place along the conveyor, in metres, to the centimetre.
pub fn place_words(metres: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{} ft", trimmed(Length::new::<meter>(metres).get::<foot>(), 2)),
        Units::Metric | Units::Both => format!("{} m", trimmed(metres, 2)),
    }
}

impl Quantity {
    /// With as many digits as tell it, metric: a small share is not rounded away.
    pub fn exact(self, kind: Kind) -> String {
        match kind {
            Kind::Number => trimmed(self.si(), 6),
            Kind::Percent => format!("{} %", trimmed(self.si() * 100.0, 4)),
            _ => {
                let unit = units::bare(kind, Units::Metric);
                as_seen(self, kind, &Seen { unit, print: None })
            }
        }
    }

    /// The quantity in words, rounded to what a tape or gauge can tell.
    pub fn words(self, units: Units) -> String {
        let metric = self.metric();
        match units {
            Units::Metric => metric,
            Units::Inch => self.inch(),
            Units::Both => {
                let other = self.inch();
                if other == metric { metric } else { format!("{metric} ({other})") }
            }
        }
    }

    fn metric(self) -> String {
        match self {
            Self::Length(length) => metres(length),
            Self::Force(force) => newtons(force),
            Self::Modulus(modulus) => {
                format!("{} N/mm", rounded(modulus.get::<kilonewton_per_meter>()))
            }
            Self::Speed(speed) => format!("{} m/s", rounded(speed.get::<meter_per_second>())),
            Self::LineMass(mass) => format!("{} kg/m", rounded(mass.value)),
            Self::Temperature(temperature) => {
                format!("{} °C", whole(temperature.get::<degree_celsius>()))
            }
            Self::Rise(rise) => format!("{} °C", whole(rise.value)),
            _ => self.same_in_both(),
        }
    }

    fn inch(self) -> String {
        match self {
            Self::Length(length) => inches(length),
            Self::Force(force) => format!("{} lb", rounded(force.get::<pound_force>())),
            Self::Modulus(modulus) => {
                format!("{} lbf/in", rounded(modulus.get::<pound_force_per_inch>()))
            }
            Self::Speed(speed) => format!("{} ft/min", rounded(speed.get::<foot_per_minute>())),
            Self::LineMass(mass) => {
                format!("{} lb/ft", rounded(mass.get::<pound_per_foot>()))
            }
            Self::Temperature(temperature) => {
                format!("{} °F", whole(temperature.get::<degree_fahrenheit>()))
            }
            Self::Rise(rise) => {
                format!("{} °F", whole(rise.get::<temperature_interval::degree_fahrenheit>()))
            }
            _ => self.same_in_both(),
        }
    }

    /// What reads the same in both systems.
    fn same_in_both(self) -> String {
        match self {
            Self::Angle(angle) => {
                let degrees = angle.get::<degree>();
                let decimals = if degrees.abs() < 10.0 { 2 } else { 1 };
                format!("{}°", fixed(degrees, decimals))
            }
            Self::Time(time) => duration(time),
            Self::Share(share) => {
                let share = share.get::<percent>();
                let size = share.abs();
                let decimals = if size >= 9.95 {
                    0
                } else if !(0.0005..0.995).contains(&size) {
                    1
                } else if size >= 0.0995 {
                    2
                } else {
                    3
                };
                format!("{} %", fixed(share, decimals))
            }
            Self::Number(number) => rounded(number),
            _ => String::new(),
        }
    }
}

fn metres(length: Length) -> String {
    let millimetres = length.get::<millimeter>();
    let size = millimetres.abs();
    if size < 9.95 {
        format!("{} mm", fixed(millimetres, 1))
    } else if size < 9_999.5 {
        format!("{} mm", fixed(millimetres, 0))
    } else {
        let metres = length.get::<meter>();
        format!("{} m", fixed(metres, if metres.abs() < 100.0 { 2 } else { 0 }))
    }
}

fn inches(length: Length) -> String {
    let inches = length.get::<inch>();
    let size = inches.abs();
    if size < 0.995 {
        // What is less than an inch is told to a sixteenth only where it is one.
        let near = (inches * 16.0).round() / 16.0;
        match sixteenths(near).filter(|_| near != 0.0 && (near - inches).abs() < 0.004) {
            Some(sixteenths) => format!("{sixteenths} in"),
            None => format!("{} in", fixed(inches, if size < 0.0995 { 3 } else { 2 })),
        }
    } else if size < 119.95 {
        let near = (inches * 16.0).round() / 16.0;
        format!("{} in", sixteenths(near).unwrap_or_else(|| fixed(inches, 2)))
    } else {
        let feet = length.get::<foot>();
        format!("{} ft", fixed(feet, if feet.abs() < 100.0 { 1 } else { 0 }))
    }
}

fn newtons(force: Force) -> String {
    if force.get::<newton>().abs() < 9_999.5 {
        format!("{} N", rounded(force.get::<newton>()))
    } else {
        format!("{} kN", rounded(force.get::<kilonewton>()))
    }
}

fn duration(time: Time) -> String {
    let seconds = time.get::<second>();
    let minutes = time.get::<minute>();
    if seconds.abs() < 120.0 {
        format!("{} s", fixed(seconds, if seconds.abs() < 9.95 { 1 } else { 0 }))
    } else if minutes.abs() < 600.0 {
        format!("{} min", fixed(minutes, 1))
    } else {
        format!("{} h", rounded(time.get::<hour>()))
    }
}

/// Three figures that count, and whole numbers from a hundred on.
fn rounded(number: f64) -> String {
    let size = number.abs();
    let decimals = if size >= 99.95 || size == 0.0 {
        0
    } else if size >= 9.995 {
        1
    } else if size >= 0.995 {
        2
    } else if size >= 0.0995 {
        3
    } else if size >= 0.00995 {
        4
    } else {
        5
    };
    fixed(number, decimals)
}

fn whole(number: f64) -> String {
    fixed(number, 0)
}

/// So many decimals, and never a minus before nothing.
fn fixed(number: f64, decimals: usize) -> String {
    let text = format!("{number:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| c == '0' || c == '.') => rest.to_owned(),
        _ => text,
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Kind, Quantity};
    use crate::trade::Units;

    #[test]
    fn a_quantity_reads_in_either_system_or_both() {
        let length = Quantity::of(Kind::Length, 0.0127);
        assert_eq!(length.words(Units::Metric), "13 mm");
        assert_eq!(length.words(Units::Inch), "1/2 in");
        assert_eq!(length.words(Units::Both), "13 mm (1/2 in)");
        assert_eq!(Quantity::of(Kind::Length, -0.000_01).words(Units::Metric), "0.0 mm");
        assert_eq!(Quantity::of(Kind::Distance, 38.0).words(Units::Both), "38.00 m (125 ft)");
        assert_eq!(Quantity::of(Kind::Force, 4893.0).words(Units::Inch), "1100 lb");
        assert_eq!(Quantity::of(Kind::Temperature, 318.15).words(Units::Both), "45 °C (113 °F)");
        assert_eq!(Quantity::of(Kind::Angle, 0.01).words(Units::Both), "0.57°");
        assert_eq!(Quantity::of(Kind::Percent, 0.0123).words(Units::Metric), "1.2 %");
        assert_eq!(Quantity::of(Kind::Time, 150.0).words(Units::Metric), "2.5 min");
        assert_eq!(Quantity::of(Kind::Time, 1.2e6 * 3600.0).words(Units::Metric), "1200000 h");
        assert_eq!(Quantity::of(Kind::Rise, 15.0).words(Units::Both), "15 °C (27 °F)");
        assert_eq!(Quantity::of(Kind::Number, 0.0023).words(Units::Metric), "0.00230");
        assert_eq!(Quantity::of(Kind::Number, 0.0834).words(Units::Metric), "0.0834");
    }
}
