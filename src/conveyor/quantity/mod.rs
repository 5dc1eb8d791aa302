//! Quantities as people type and read them: `12mm`, `1-1/2"`, `3 ft 2 1/2 in`, `700 lb`, `45 F`, `EP 400/3`.
//!
//! Inside, every quantity is SI and its type says what it is; the conversions are those of the crate `uom`.

mod print;
mod read;
mod shown;
mod units;

pub use read::{Bare, Refused, Seen, of_unit, read, read_as};
pub use shown::{WRITTEN, as_seen, distance_words, example, place_words, unit};
pub use uom::si::f64::{
    Angle, Force, Length, LinearMassDensity, Ratio, SurfaceTension, TemperatureInterval,
    ThermodynamicTemperature, Time, Velocity,
};

/// Belt modulus: force per unit of width per unit of strain, N/m inside.
pub type Modulus = SurfaceTension;

/// What kind of quantity is asked for or shown; it settles the unit of a bare number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A length read with tape, rule or feeler gauge: mm or in.
    Length,
    /// A long length, such as centre distances and stations: m or ft.
    Distance,
    /// A force or load: N, kN or lbf.
    Force,
    /// Belt modulus: N/mm or lbf/in of width.
    Modulus,
    /// Rated tension of a belt: N/mm or lbf/in of width, or what is printed on the belt (EP 400/3, ST 1000).
    Rated,
    /// Belt speed: m/s or ft/min.
    Speed,
    /// Mass per length of belt or load: kg/m or lb/ft.
    LineMass,
    /// A temperature: degrees Celsius or Fahrenheit.
    Temperature,
    /// A rise or difference of temperature: degrees Celsius or Fahrenheit, counted from nothing.
    Rise,
    /// An angle: degrees.
    Angle,
    /// A time: seconds.
    Time,
    /// A share: per cent.
    Percent,
    /// A plain number.
    Number,
}

/// A quantity that was typed or worked out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Quantity {
    /// A length or distance.
    Length(Length),
    /// A force or load.
    Force(Force),
    /// A belt modulus.
    Modulus(Modulus),
    /// A speed.
    Speed(Velocity),
    /// Mass per length.
    LineMass(LinearMassDensity),
    /// A temperature.
    Temperature(ThermodynamicTemperature),
    /// A rise or difference of temperature.
    Rise(TemperatureInterval),
    /// An angle.
    Angle(Angle),
    /// A time.
    Time(Time),
    /// A share of one.
    Share(Ratio),
    /// A plain number.
    Number(f64),
}

impl Quantity {
    /// Its size in SI: m, N, N/m, m/s, kg/m, K, rad, s, or the bare number.
    pub fn si(self) -> f64 {
        match self {
            Self::Length(length) => length.value,
            Self::Force(force) => force.value,
            Self::Modulus(modulus) => modulus.value,
            Self::Speed(speed) => speed.value,
            Self::LineMass(mass) => mass.value,
            Self::Temperature(temperature) => temperature.value,
            Self::Rise(rise) => rise.value,
            Self::Angle(angle) => angle.value,
            Self::Time(time) => time.value,
            Self::Share(share) => share.value,
            Self::Number(number) => number,
        }
    }

    /// The unit of [`Quantity::si`], as JSON names it; a plain number and a share have none.
    pub fn si_unit(self) -> &'static str {
        match self {
            Self::Length(_) => "m",
            Self::Force(_) => "N",
            Self::Modulus(_) => "N/m",
            Self::Speed(_) => "m/s",
            Self::LineMass(_) => "kg/m",
            Self::Temperature(_) | Self::Rise(_) => "K",
            Self::Angle(_) => "rad",
            Self::Time(_) => "s",
            Self::Share(_) | Self::Number(_) => "1",
        }
    }

    /// The quantity of that kind and SI size.
    pub fn of(kind: Kind, si: f64) -> Self {
        use uom::si::{
            angle::radian, force::newton, length::meter, linear_mass_density::kilogram_per_meter,
            ratio::ratio, surface_tension::newton_per_meter, temperature_interval,
            thermodynamic_temperature::kelvin, time::second, velocity::meter_per_second,
        };
        match kind {
            Kind::Length | Kind::Distance => Self::Length(Length::new::<meter>(si)),
            Kind::Force => Self::Force(Force::new::<newton>(si)),
            Kind::Modulus | Kind::Rated => Self::Modulus(Modulus::new::<newton_per_meter>(si)),
            Kind::Speed => Self::Speed(Velocity::new::<meter_per_second>(si)),
            Kind::LineMass => Self::LineMass(LinearMassDensity::new::<kilogram_per_meter>(si)),
            Kind::Temperature => Self::Temperature(ThermodynamicTemperature::new::<kelvin>(si)),
            Kind::Rise => Self::Rise(TemperatureInterval::new::<temperature_interval::kelvin>(si)),
            Kind::Angle => Self::Angle(Angle::new::<radian>(si)),
            Kind::Time => Self::Time(Time::new::<second>(si)),
            Kind::Percent => Self::Share(Ratio::new::<ratio>(si)),
            Kind::Number => Self::Number(si),
        }
    }
}
