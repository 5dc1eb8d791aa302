//! The units that may be typed, and what each makes of a number.

use crate::trade::Units;
use uom::si::{
    angle::{degree, minute as arc_minute, radian},
    force::{kilogram_force, kilonewton, newton, pound_force},
    length::{centimeter, foot, inch, kilometer, meter, millimeter, yard},
    linear_mass_density::{kilogram_per_meter, pound_per_foot},
    ratio::{percent, ratio},
    surface_tension::{kilonewton_per_meter, newton_per_meter, pound_force_per_inch},
    temperature_interval::{
        degree_celsius as degree_celsius_apart, degree_fahrenheit as degree_fahrenheit_apart,
    },
    thermodynamic_temperature::{degree_celsius, degree_fahrenheit, kelvin},
    time::{hour, millisecond, minute, second},
    velocity::{foot_per_minute, foot_per_second, meter_per_second},
};

use super::{
    Angle, Force, Kind, Length, LinearMassDensity, Modulus, Quantity, Ratio, TemperatureInterval,
    ThermodynamicTemperature, Time, Velocity,
};

/// A unit: the ways to write it, lower case, and what a number of it is.
pub(super) struct Unit {
    pub(super) names: &'static [&'static str],
    pub(super) of: fn(f64) -> Quantity,
}

macro_rules! units {
    ($variant:ident, $type:ident: $($names:expr => $unit:ident $(* $times:literal)? $(/ $over:literal)?),+ $(,)?) => {
        &[$(Unit {
            names: &$names,
            of: |number| Quantity::$variant($type::new::<$unit>(number $(* $times)? $(/ $over)?)),
        }),+]
    };
}

const LENGTHS: &[Unit] = units!(Length, Length:
    ["mm", "millimetre", "millimetres", "millimeter", "millimeters"] => millimeter,
    ["cm", "centimetre", "centimetres", "centimeter", "centimeters"] => centimeter,
    ["m", "metre", "metres", "meter", "meters"] => meter,
    ["km"] => kilometer,
    ["in", "inch", "inches", "\""] => inch,
    ["ft", "foot", "feet", "'"] => foot,
    ["yd", "yard", "yards"] => yard,
);

const FORCES: &[Unit] = units!(Force, Force:
    ["n", "newton", "newtons"] => newton,
    ["kn"] => kilonewton,
    ["lb", "lbs", "lbf", "pound", "pounds"] => pound_force,
    ["kgf", "kg", "kp"] => kilogram_force,
    ["kip", "kips", "klbf"] => pound_force * 1000.0,
);

const MODULI: &[Unit] = units!(Modulus, Modulus:
    ["n/mm", "kn/m"] => kilonewton_per_meter,
    ["lbf/in", "lb/in", "piw", "pli"] => pound_force_per_inch,
    ["n/m"] => newton_per_meter,
    ["kip/in", "kips/in"] => pound_force_per_inch * 1000.0,
);

const SPEEDS: &[Unit] = units!(Speed, Velocity:
    ["m/s", "mps"] => meter_per_second,
    ["m/min", "mpm"] => meter_per_second / 60.0,
    ["ft/min", "fpm"] => foot_per_minute,
    ["ft/s", "fps"] => foot_per_second,
);

const LINE_MASSES: &[Unit] = units!(LineMass, LinearMassDensity:
    ["kg/m"] => kilogram_per_meter,
    ["lb/ft", "lbs/ft"] => pound_per_foot,
);

const TEMPERATURES: &[Unit] = units!(Temperature, ThermodynamicTemperature:
    ["c", "°c", "degc", "celsius"] => degree_celsius,
    ["f", "°f", "degf", "fahrenheit"] => degree_fahrenheit,
    ["k", "kelvin"] => kelvin,
);

const RISES: &[Unit] = units!(Rise, TemperatureInterval:
    ["c", "°c", "degc", "celsius", "k", "kelvin"] => degree_celsius_apart,
    ["f", "°f", "degf", "fahrenheit"] => degree_fahrenheit_apart,
);

const ANGLES: &[Unit] = units!(Angle, Angle:
    ["deg", "°", "degree", "degrees"] => degree,
    ["'", "arcmin"] => arc_minute,
    ["rad"] => radian,
);

const TIMES: &[Unit] = units!(Time, Time:
    ["s", "sec", "secs", "second", "seconds"] => second,
    ["ms"] => millisecond,
    ["min", "mins", "minute", "minutes"] => minute,
    ["h", "hour", "hours"] => hour,
);

const SHARES: &[Unit] = units!(Share, Ratio:
    ["%", "percent"] => percent,
    ["of one"] => ratio,
);

/// The units that a quantity of a kind may be typed in.
pub(super) fn known(kind: Kind) -> &'static [Unit] {
    match kind {
        Kind::Length | Kind::Distance => LENGTHS,
        Kind::Force => FORCES,
        Kind::Modulus | Kind::Rated => MODULI,
        Kind::Speed => SPEEDS,
        Kind::LineMass => LINE_MASSES,
        Kind::Temperature => TEMPERATURES,
        Kind::Rise => RISES,
        Kind::Angle => ANGLES,
        Kind::Time => TIMES,
        Kind::Percent => SHARES,
        Kind::Number => &[],
    }
}

/// A unit of a kind by one of its names, however it is spaced or dotted.
pub(super) fn find(kind: Kind, unit: &str) -> Option<&'static Unit> {
    let unit: String = unit.split_whitespace().collect::<Vec<_>>().join(" ");
    let unit = unit.trim_end_matches('.');
    let tight = unit.replace(' ', "");
    known(kind)
        .iter()
        .find(|known| known.names.contains(&unit) || known.names.contains(&tight.as_str()))
}

/// The unit of a bare number: its name as prompts show it.
pub(super) fn bare(kind: Kind, units: Units) -> &'static str {
    let in_inches = units == Units::Inch;
    match (kind, in_inches) {
        (Kind::Length, false) => "mm",
        (Kind::Length, true) => "in",
        (Kind::Distance, false) => "m",
        (Kind::Distance, true) => "ft",
        (Kind::Force, false) => "N",
        (Kind::Force, true) => "lb",
        (Kind::Modulus | Kind::Rated, false) => "N/mm",
        (Kind::Modulus | Kind::Rated, true) => "lbf/in",
        (Kind::Speed, false) => "m/s",
        (Kind::Speed, true) => "ft/min",
        (Kind::LineMass, false) => "kg/m",
        (Kind::LineMass, true) => "lb/ft",
        (Kind::Temperature | Kind::Rise, false) => "°C",
        (Kind::Temperature | Kind::Rise, true) => "°F",
        (Kind::Angle, _) => "deg",
        (Kind::Time, _) => "s",
        (Kind::Percent, _) => "%",
        (Kind::Number, _) => "",
    }
}
