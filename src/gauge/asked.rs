//! Asking: the one way in which gauges ask for readings and read back what was given, typed and checked.
//!
//! A gauge lists what it asks for as constants ([`Wanted`]); [`Asked`] hands each back as what it was asked for, from the
//! readings or from the conveyor's file. The same bounds and the same words hold in every gauge.

use super::key;
use super::limits::Setting;
use super::read_by::{self, ReadingError};
use super::readings::{Keyed, Need, Readings, Row, Takes, Wanted};
use super::words::Words;
use super::{Amiss, Kind, ReadingKey, Way, tension};
use crate::conveyor::quantity::Quantity;
use crate::say;
use crate::trade::{Side, Worded};

/// No length that others are divided by is smaller, m.
const SHORTEST_M: f64 = 0.001;
/// No length is larger, m.
const LONGEST_M: f64 = 1e6;
/// No other size of a conveyor is smaller or larger than this, SI. Between them no formula here runs out of numbers.
const SMALLEST: f64 = 1e-9;
const LARGEST: f64 = 1e12;

/// Words on offer: the kinds, the word of each, and what it means at a prompt.
macro_rules! choices {
    ($($(#[$about:meta])* $vis:vis $name:ident { $($(#[$of:meta])* $one:ident = $word:literal: $means:literal,)+ })+) => {
        $(
            $(#[$about])*
            #[derive(Debug, Clone, Copy, PartialEq, Eq)]
            $vis enum $name {
                $($(#[$of])* $one,)+
            }

            impl $name {
                /// What a prompt offers.
                pub(crate) const TAKES: $crate::gauge::Takes =
                    $crate::gauge::Takes::Choice(&[$(($word, $means)),+]);
            }

            impl $crate::trade::Worded for $name {
                const ALL: &'static [Self] = &[$(Self::$one),+];

                fn word(self) -> &'static str {
                    match self {
                        $(Self::$one => $word,)+
                    }
                }
            }
        )+
    };
}
pub(super) use choices;

/// A reading that must be given.
pub(super) const fn must(key: ReadingKey, ask: &'static str, takes: Takes) -> Wanted {
    Wanted { key, ask, takes, from: None, need: Need::Must }
}

/// A reading that may be left out, and what is done without it.
pub(super) const fn may(
    key: ReadingKey,
    ask: &'static str,
    takes: Takes,
    without: &'static str,
) -> Wanted {
    Wanted { key, ask, takes, from: None, need: Need::May(without) }
}

/// How far one reading may be off, of a way of reading.
pub(super) const fn error(ask: &'static str, usual: &ReadingError) -> Wanted {
    Wanted {
        key: key::ERROR,
        ask,
        takes: Takes::NotNegative(usual.kind),
        from: None,
        need: Need::May(usual.taken),
    }
}

/// How far one reading may be off, in most gauges' words.
pub(super) const fn error_of_one(usual: &ReadingError) -> Wanted {
    error("How far may one reading be off?", usual)
}

impl Wanted {
    /// The same, which a conveyor's file may have at this place.
    pub(super) const fn filed(self, path: &'static str) -> Self {
        Self { from: Some(path), ..self }
    }

    /// The same, which may be left out, with what is done without it.
    pub(super) const fn or_else(self, without: &'static str) -> Self {
        Self { need: Need::May(without), ..self }
    }

    /// The same, put in other words.
    pub(super) const fn asking(self, ask: &'static str) -> Self {
        Self { ask, ..self }
    }
}

/// The readings of one measurement, as what they were asked for.
#[derive(Clone, Copy)]
pub(super) struct Asked<'a> {
    readings: &'a Readings,
    /// Where it was measured.
    pub(super) setting: &'a Setting,
}

impl<'a> Asked<'a> {
    /// Of these readings, on this conveyor.
    pub(super) fn of(readings: &'a Readings, setting: &'a Setting) -> Self {
        Self { readings, setting }
    }

    /// Whether it was measured that way.
    pub(super) fn by(&self, way: &Way) -> bool {
        self.readings.way == way.id
    }

    /// Whether a person gave it; what comes from the conveyor's file counts.
    pub(super) fn has(&self, wanted: &Wanted) -> bool {
        self.readings.given(wanted.key).is_some()
    }

    /// A size in SI, as given or as the conveyor's file has it. Nothing if neither has it.
    ///
    /// # Errors
    /// It is beyond all sense, or not of the sign that was asked for.
    pub(super) fn may(&self, wanted: &Wanted) -> Result<Option<f64>, Amiss> {
        let filed = || self.setting.dimension(wanted.from?);
        match self.readings.si(wanted.key).or_else(filed) {
            Some(si) => sound(si, wanted, None).map(Some),
            None => Ok(None),
        }
    }

    /// The same for a size that nothing can be worked out without.
    ///
    /// # Errors
    /// It is missing or unsound.
    pub(super) fn must(&self, wanted: &Wanted) -> Result<f64, Amiss> {
        self.may(wanted)?.ok_or_else(|| missing(wanted, None))
    }

    /// The same for a size that may be left out, with what it is then taken as.
    ///
    /// # Errors
    /// It is unsound.
    pub(super) fn or(&self, wanted: &Wanted, usual_si: f64) -> Result<f64, Amiss> {
        Ok(self.may(wanted)?.unwrap_or(usual_si))
    }

    /// How far one reading may be off, SI: as given, else as rule files or the program have it for its way of reading.
    ///
    /// # Errors
    /// It is unsound.
    pub(super) fn error(&self, wanted: &Wanted, usual: &ReadingError) -> Result<f64, Amiss> {
        self.or(wanted, self.setting.reading_error(usual))
    }

    /// What was chosen, if a word was given.
    pub(super) fn chosen<T: Worded>(&self, wanted: &Wanted) -> Option<T> {
        self.readings.choice(wanted.key).and_then(T::named)
    }

    /// What was chosen.
    ///
    /// # Errors
    /// Nothing was.
    pub(super) fn choice<T: Worded>(&self, wanted: &Wanted) -> Result<T, Amiss> {
        self.chosen(wanted).ok_or_else(|| missing(wanted, None))
    }

    /// A side.
    ///
    /// # Errors
    /// None was given.
    pub(super) fn side(&self, wanted: &Wanted) -> Result<Side, Amiss> {
        self.readings.side(wanted.key).ok_or_else(|| missing(wanted, None))
    }

    /// A whole number, if one was given.
    pub(super) fn count(&self, wanted: &Wanted) -> Option<u32> {
        self.readings.count(wanted.key)
    }

    /// How many rows the table has.
    pub(super) fn length(&self) -> usize {
        self.readings.rows.len()
    }

    /// The rows of the table, in the order given.
    pub(super) fn rows(&self) -> impl Iterator<Item = AskedRow<'a>> + use<'a> {
        self.readings.rows.iter().enumerate().map(|(at, row)| AskedRow { at, row })
    }
}

/// A row of readings, as what they were asked for.
#[derive(Clone, Copy)]
pub(super) struct AskedRow<'a> {
    /// Its place in the table, from 0.
    pub(super) at: usize,
    row: &'a Row,
}

impl<'a> AskedRow<'a> {
    /// A size in SI, if it was given.
    ///
    /// # Errors
    /// It is unsound.
    pub(super) fn may(&self, wanted: &Wanted) -> Result<Option<f64>, Amiss> {
        self.row.si(wanted.key).map(|si| sound(si, wanted, Some(self.at))).transpose()
    }

    /// A size in SI.
    ///
    /// # Errors
    /// It is missing or unsound.
    pub(super) fn must(&self, wanted: &Wanted) -> Result<f64, Amiss> {
        self.may(wanted)?.ok_or_else(|| missing(wanted, Some(self.at)))
    }

    /// A name.
    ///
    /// # Errors
    /// It is missing.
    pub(super) fn name(&self, wanted: &Wanted) -> Result<&'a str, Amiss> {
        let name = self.row.label(wanted.key).map(str::trim).filter(|name| !name.is_empty());
        name.ok_or_else(|| missing(wanted, Some(self.at)))
    }

    /// What is amiss with a reading of this row.
    pub(super) fn amiss(&self, wanted: &Wanted, words: Words) -> Amiss {
        Amiss::at(self.at, wanted.key, words)
    }
}

fn missing(wanted: &Wanted, row: Option<usize>) -> Amiss {
    Amiss { row, key: Some(wanted.key), words: say!("this is needed: measure it, or look it up") }
}

fn sound(si: f64, wanted: &Wanted, row: Option<usize>) -> Result<f64, Amiss> {
    let refuse = |words| Err(Amiss { row, key: Some(wanted.key), words });
    let (least, most) = match wanted.takes.kind() {
        Some(Kind::Length | Kind::Distance) => (SHORTEST_M, LONGEST_M),
        _ => (SMALLEST, LARGEST),
    };
    if !si.is_finite() || si.abs() > most {
        return refuse(say!("this is no sensible number: read it again"));
    }
    match wanted.takes {
        Takes::Positive(Kind::Length | Kind::Distance) if si < least => refuse(say!(
            "this length must be at least ",
            Quantity::of(Kind::Length, least),
            ": measure it again"
        )),
        Takes::Positive(_) if si < least => {
            refuse(say!("this must be more than nothing: check the number and its unit"))
        }
        Takes::NotNegative(_) if si < 0.0 => {
            refuse(say!("this cannot be less than nothing: read it again"))
        }
        _ => Ok(si),
    }
}

/// A length to be put into a sentence.
pub(super) fn length(si: f64) -> Quantity {
    Quantity::of(Kind::Length, si)
}

/// A force to be put into a sentence.
pub(super) fn force(si: f64) -> Quantity {
    Quantity::of(Kind::Force, si)
}

/// A share to be put into a sentence.
pub(super) fn share(si: f64) -> Quantity {
    Quantity::of(Kind::Percent, si)
}

/// Where the edge of the belt lies at one time or place.
pub(super) const EDGE_OFFSET: Wanted = must(
    key::OFFSET,
    "How far the edge lies to the {left} of its right place (to the {right}: below nothing)",
    Takes::Signed(Kind::Length),
);

pub(super) const WIDTH: Wanted =
    must(key::WIDTH, "Belt width", Takes::Positive(Kind::Length)).filed("belt.width");
pub(super) const CENTRES: Wanted = must(
    key::CENTRES,
    "Distance between the end pulleys, middle to middle",
    Takes::Positive(Kind::Distance),
)
.filed("centres");
pub(super) const BEARING_CENTRES: Wanted = must(
    key::BEARING_CENTRES,
    "Distance between the two bearings of that pulley, middle to middle",
    Takes::Positive(Kind::Length),
)
.filed("tail.bearing_centres");
pub(super) const SPEED: Wanted =
    must(key::SPEED, "Belt speed", Takes::Positive(Kind::Speed)).filed("speed");
pub(super) const BELT_LENGTH: Wanted =
    must(key::BELT_LENGTH, "Length of the whole belt", Takes::Positive(Kind::Distance))
        .filed("belt.length");
pub(super) const MODULUS: Wanted = may(
    key::MODULUS,
    "Belt modulus, if its maker states it",
    Takes::Positive(Kind::Modulus),
    "estimated from the rated tension",
)
.filed("belt.modulus");
pub(super) const RATED: Wanted = may(
    key::RATED_TENSION,
    "Rated working tension of the belt, per width (or its print, EP 400/3)",
    Takes::Positive(Kind::Rated),
    "only needed when the modulus is not known",
)
.filed("belt.rated_tension");

/// The modulus as given, or estimated from the rated tension. Nothing if neither is known.
///
/// # Errors
/// A reading that cannot be.
pub(super) fn modulus(asked: &Asked) -> Result<Option<tension::Estimate>, Amiss> {
    if let Some(modulus_n_per_m) = asked.may(&MODULUS)? {
        return Ok(Some(tension::Estimate::stated(modulus_n_per_m)));
    }
    let rated = asked.may(&RATED)?;
    Ok(rated.map(|rated| tension::modulus_of(rated, asked.setting.facts.carcass())))
}

/// How far the squared line that was measured from may itself be off.
pub(super) const LINE_ERROR: Wanted = may(
    key::LINE_ERROR,
    "How far may the squared line be off, per length across?",
    Takes::NotNegative(Kind::Percent),
    read_by::SQUARED_LINE.taken,
);
