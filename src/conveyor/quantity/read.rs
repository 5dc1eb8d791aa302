//! Reading what a person typed.

use super::units;
use super::{Kind, Quantity, print};
use crate::trade::Units;

/// Numbers beyond this are slips of the finger, whatever their unit.
const LARGEST: f64 = 1e9;
/// No quantity takes more characters than this.
const LONGEST: usize = 60;

/// Why a text is not read as a quantity.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Refused {
    /// Nothing was typed.
    #[error("nothing is typed")]
    Empty,
    /// It has no number where one must stand.
    #[error("no number is found at \"{0}\"")]
    NoNumber(String),
    /// A comma that may mean thousands or a decimal.
    #[error("\"{0}\" may mean two things: write a point for decimals and nothing for thousands")]
    Comma(String),
    /// A fraction of a length without its unit, where bare numbers are metric.
    #[error("a fraction needs its unit here, such as 1/2 in")]
    Fraction,
    /// A unit that is not known here, or not for this kind of quantity.
    #[error("the unit \"{0}\" is not understood here")]
    Unit(String),
    /// Several parts that do not go together, such as `2 in 3 ft`.
    #[error("the parts of \"{0}\" do not go together")]
    Parts(String),
    /// A division by zero, no finite number, or one beyond all sense.
    #[error("\"{0}\" is no sensible number")]
    Size(String),
}

/// What a bare number is a number of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bare<'u> {
    /// Of the unit that this system has for the kind ([`super::unit`]). A fraction of a length needs a unit of its own where
    /// that is no inch or foot: nobody reads off a millimetre rule in sixteenths.
    Of(Units),
    /// Of this unit, which was named for it, however the number is written.
    Unit(&'u str),
}

/// How a quantity was written, so that it can be shown the same.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Seen {
    /// The name of its first unit.
    pub unit: &'static str,
    /// What is printed on a belt, if it was given by that.
    pub print: Option<String>,
}

/// Reads a quantity of that kind; a bare number has the unit that [`super::unit`] names.
///
/// Understands decimals with a point or a comma, fractions (`1/2`, `1-1/2`, `1 1/2`, `½`), feet with inches
/// and other lengths from large to small, inch and foot marks, and for a rated tension what is printed on a belt.
///
/// # Errors
/// Why it cannot be read.
pub fn read(text: &str, kind: Kind, units: Units) -> Result<Quantity, Refused> {
    read_as(text, kind, Bare::Of(units)).map(|(size, _)| size)
}

/// The same with what a bare number is a number of, and with how it was written.
///
/// # Errors
/// Why it cannot be read.
pub fn read_as(text: &str, kind: Kind, bare: Bare) -> Result<(Quantity, Seen), Refused> {
    if text.chars().count() > LONGEST {
        return Err(Refused::Size(text.chars().take(20).collect()));
    }
    let plain = plain(text);
    let typed = plain.trim();
    if typed.is_empty() {
        return Err(Refused::Empty);
    }
    if kind == Kind::Rated
        && let Some(rated) = print::rated(typed)
    {
        let print = Some(text.trim().to_uppercase());
        return Ok((rated, Seen { unit: "n/mm", print }));
    }
    let (negative, rest) = sign(typed);
    let parts = parts(rest)?;
    let mut sum: Option<(Quantity, &'static str)> = None;
    let mut last_size = f64::INFINITY;
    for part in &parts {
        let unit = unit_of(part, parts.len(), kind, bare)?;
        let signed = if negative { -part.number } else { part.number };
        let (value, name) = of_named(signed, &unit, kind)?;
        let one = of_unit(1.0, &unit, kind)?.si();
        sum = Some(match sum {
            None => (value, name),
            // Only lengths are typed in parts, from large to small: 3 ft 2 in, 1 m 20 cm.
            Some((before, first)) => match (before, value) {
                (Quantity::Length(before), Quantity::Length(value))
                    if one < last_size && value.value.abs() < last_size =>
                {
                    (Quantity::Length(before + value), first)
                }
                _ => return Err(Refused::Parts(typed.to_owned())),
            },
        });
        last_size = one;
    }
    let Some((sum, unit)) = sum else {
        return Err(Refused::Empty);
    };
    if sum.si().is_finite() && sum.si().abs() <= LARGEST {
        Ok((sum, Seen { unit, print: None }))
    } else {
        Err(Refused::Size(typed.to_owned()))
    }
}

/// The unit of a part: its own, or that of a bare number.
fn unit_of(part: &Part, parts: usize, kind: Kind, bare: Bare) -> Result<String, Refused> {
    if !part.unit.is_empty() || (parts > 1 && kind != Kind::Number) {
        return Ok(part.unit.clone());
    }
    match bare {
        Bare::Unit(unit) => Ok(unit.to_lowercase()),
        Bare::Of(units) => {
            let length = matches!(kind, Kind::Length | Kind::Distance);
            if part.is_fraction && length && units != Units::Inch {
                return Err(Refused::Fraction);
            }
            Ok(units::bare(kind, units).to_lowercase())
        }
    }
}

/// The text with the many ways to write the same sign made one.
fn plain(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    let mut raised = false;
    for c in text.chars() {
        match c {
            '″' | '”' | '“' | '„' | 'ʺ' | '˝' | '＂' => plain.push('"'),
            '′' | '’' | '‘' | 'ʹ' | '´' | '`' => plain.push('\''),
            '⁄' | '∕' | '／' => plain.push('/'),
            'º' | '˚' => plain.push('°'),
            '−' | '–' | '—' => plain.push('-'),
            '\u{a0}' | '\u{202f}' | '\u{2009}' | '\t' => plain.push(' '),
            '½' => plain.push_str(" 1/2"),
            '¼' => plain.push_str(" 1/4"),
            '¾' => plain.push_str(" 3/4"),
            '⅛' => plain.push_str(" 1/8"),
            '⅜' => plain.push_str(" 3/8"),
            '⅝' => plain.push_str(" 5/8"),
            '⅞' => plain.push_str(" 7/8"),
            '⅓' => plain.push_str(" 1/3"),
            '⅔' => plain.push_str(" 2/3"),
            '⅙' => plain.push_str(" 1/6"),
            '⅚' => plain.push_str(" 5/6"),
            '⅕' => plain.push_str(" 1/5"),
            '⅖' => plain.push_str(" 2/5"),
            '⅗' => plain.push_str(" 3/5"),
            '⅘' => plain.push_str(" 4/5"),
            c => match small_digit(c) {
                // A raised number begins a fraction: 2¹⁄₂ is two and a half.
                Some((digit, true)) if !raised => {
                    plain.push(' ');
                    plain.push(digit);
                }
                Some((digit, _)) => plain.push(digit),
                None => plain.extend(c.to_lowercase()),
            },
        }
        raised = matches!(small_digit(c), Some((_, true)));
    }
    plain.replace("''", "\"")
}

/// A raised (true) or lowered digit as a plain one.
fn small_digit(c: char) -> Option<(char, bool)> {
    let of = |digits: &str, raised| {
        let at = digits.chars().position(|digit| digit == c)?;
        Some((char::from_digit(u32::try_from(at).ok()?, 10)?, raised))
    };
    of("⁰¹²³⁴⁵⁶⁷⁸⁹", true).or_else(|| of("₀₁₂₃₄₅₆₇₈₉", false))
}

fn sign(text: &str) -> (bool, &str) {
    match text.strip_prefix('-') {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text.strip_prefix('+').unwrap_or(text).trim_start()),
    }
}

/// A number with what stands behind it.
struct Part {
    number: f64,
    is_fraction: bool,
    unit: String,
}

fn parts(text: &str) -> Result<Vec<Part>, Refused> {
    let mut parts = Vec::new();
    let mut rest = text;
    while !rest.is_empty() {
        // A dash between feet and inches: 3'-2".
        if !parts.is_empty() {
            rest = rest.strip_prefix('-').unwrap_or(rest).trim_start();
        }
        let (number, after) = mixed(rest)?;
        let written = rest.strip_suffix(after).unwrap_or(rest);
        let is_fraction = written.contains('/');
        let after = after.trim_start();
        // A full stop ends a unit (12 in.) unless a digit follows: then it begins a number.
        let begins = |(at, c): (usize, char)| {
            let digit = |c: char| c.is_ascii_digit();
            digit(c)
                || (c == '.' && after.get(at + 1..).is_some_and(|rest| rest.starts_with(digit)))
        };
        let end = after.char_indices().find(|it| begins(*it)).map_or(after.len(), |(at, _)| at);
        let (unit, after) = after.split_at(end);
        // A dash that leads to the inches belongs to no unit.
        let bare = unit.trim().trim_end_matches('-').trim_end();
        if bare != unit.trim() && after.is_empty() {
            return Err(Refused::Parts(text.trim().to_owned()));
        }
        parts.push(Part { number, is_fraction, unit: bare.to_owned() });
        if parts.len() > 3 {
            return Err(Refused::Parts(text.to_owned()));
        }
        rest = after;
    }
    Ok(parts)
}

/// A number, a fraction, or a whole number with a fraction, and what is left.
fn mixed(text: &str) -> Result<(f64, &str), Refused> {
    let (first, rest) = number(text)?;
    if let Some(after) = rest.trim_start().strip_prefix('/') {
        let (share, rest) = fraction(text, first, after)?;
        return Ok((share, rest));
    }
    // 1-1/2 or 1 1/2: only if a fraction follows, else the second number is the next part.
    let gap = rest.strip_prefix('-').or_else(|| rest.strip_prefix(' '));
    if let Some(gap) = gap
        && let Ok((over, after)) = number(gap.trim_start())
        && let Some(after) = after.strip_prefix('/')
    {
        let (share, rest) = fraction(text, over, after)?;
        if first.fract() != 0.0 || share >= 1.0 {
            return Err(Refused::Parts(text.trim().to_owned()));
        }
        return Ok((first + share, rest));
    }
    Ok((first, rest))
}

fn fraction<'t>(whole: &str, over: f64, after: &'t str) -> Result<(f64, &'t str), Refused> {
    let (under, rest) = number(after.trim_start())?;
    if under == 0.0 {
        return Err(Refused::Size(whole.trim().to_owned()));
    }
    Ok((over / under, rest))
}

fn number(text: &str) -> Result<(f64, &str), Refused> {
    let end =
        text.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ',')).unwrap_or(text.len());
    let (digits, rest) = text.split_at(end);
    if !digits.contains(|c: char| c.is_ascii_digit()) {
        return Err(Refused::NoNumber(text.trim().chars().take(20).collect()));
    }
    let point = match digits.split_once(',') {
        Some((_, after)) if digits.contains('.') || after.contains(',') => {
            return Err(Refused::Comma(digits.to_owned()));
        }
        // 1,5 and 1,25 are decimals; 1,500 may be thousands, but no thousands begin with nothing: 0,500.
        Some((before, after)) if after.len() == 3 && !before.trim_start_matches('0').is_empty() => {
            return Err(Refused::Comma(digits.to_owned()));
        }
        Some((before, after)) => format!("{before}.{after}"),
        None => digits.to_owned(),
    };
    let number: f64 = point.parse().map_err(|_| Refused::Size(digits.to_owned()))?;
    if number > LARGEST {
        return Err(Refused::Size(digits.to_owned()));
    }
    Ok((number, rest))
}

/// So many of a unit, by one of the unit's names.
///
/// # Errors
/// The unit is not known for that kind.
pub fn of_unit(number: f64, unit: &str, kind: Kind) -> Result<Quantity, Refused> {
    of_named(number, unit, kind).map(|(size, _)| size)
}

/// The same, with the first of the unit's names.
fn of_named(number: f64, unit: &str, kind: Kind) -> Result<(Quantity, &'static str), Refused> {
    if kind == Kind::Number && unit.is_empty() {
        return Ok((Quantity::Number(number), ""));
    }
    let refused = || Refused::Unit(unit.trim_end_matches('.').to_owned());
    let found = units::find(kind, unit).ok_or_else(refused)?;
    Ok(((found.of)(number), found.names.first().copied().unwrap_or("")))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test that cannot go on fails loudly")]
mod tests {
    use super::super::Kind;
    use super::*;

    fn si(text: &str, kind: Kind, units: Units) -> f64 {
        read(text, kind, units).unwrap().si()
    }

    #[test]
    fn lengths_are_read_as_people_write_them() {
        // The inch is 25.4 mm by definition, the foot 12 of them.
        for (text, millimetres) in [
            ("12mm", 12.0),
            ("12 mm", 12.0),
            ("1/2 in", 12.7),
            ("1-1/2\"", 38.1),
            ("1 1/2 in", 38.1),
            ("1½\"", 38.1),
            ("3 ft 2 1/2 in", 977.9),
            ("3' 2\"", 965.2),
            ("3'-2 1/2\"", 977.9),
            ("3′ 2″", 965.2),
            ("3ft2in", 965.2),
            ("1 m 20 cm", 1200.0),
            ("0,5 cm", 5.0),
            ("12,75", 12.75),
            ("-4", -4.0),
            ("+4", 4.0),
            ("−4 mm", -4.0),
            (".5", 0.5),
            ("7", 7.0),
            ("1 yd", 914.4),
        ] {
            let read = si(text, Kind::Length, Units::Metric) * 1000.0;
            assert!((read - millimetres).abs() < 1e-9, "{text}: {read}");
        }
        assert!((si("0.5", Kind::Length, Units::Inch) - 0.0127).abs() < 1e-12);
        assert!((si("38", Kind::Distance, Units::Both) - 38.0).abs() < 1e-12);
    }

    #[test]
    fn other_quantities_are_read_as_people_write_them() {
        // Standard gravity 9.80665 m/s2 and the pound of 0.45359237 kg, both by definition.
        let pound = 0.453_592_37 * 9.806_65;
        for (text, kind, expected) in [
            ("700 lb", Kind::Force, 700.0 * pound),
            ("3.1kN", Kind::Force, 3100.0),
            ("250", Kind::Force, 250.0),
            ("12 kg", Kind::Force, 12.0 * 9.806_65),
            ("45 F", Kind::Temperature, 280.372_222_222_222_2),
            ("45 °C", Kind::Temperature, 318.15),
            ("-5", Kind::Temperature, 268.15),
            ("27 F", Kind::Rise, 15.0),
            ("15", Kind::Rise, 15.0),
            ("15000 lbf/in", Kind::Modulus, 15000.0 * pound / 0.0254),
            ("400 N/mm", Kind::Modulus, 400_000.0),
            ("300 fpm", Kind::Speed, 1.524),
            ("1.5", Kind::Speed, 1.5),
            ("8 lb/ft", Kind::LineMass, 8.0 * 0.453_592_37 / 0.3048),
            ("0.25 deg", Kind::Angle, 0.25_f64.to_radians()),
            ("8'", Kind::Angle, (8.0_f64 / 60.0).to_radians()),
            ("1.5 min", Kind::Time, 90.0),
            ("2 %", Kind::Percent, 0.02),
            ("2", Kind::Percent, 0.02),
            ("35", Kind::Number, 35.0),
        ] {
            let read = si(text, kind, Units::Metric);
            // uom rounds the pound to seven figures.
            assert!((read - expected).abs() < 2e-7 * expected.abs(), "{text}: {read}");
        }
    }

    #[test]
    fn what_may_mean_two_things_or_nothing_is_refused() {
        for text in [
            "",
            "  ",
            "mm",
            "1,500",
            "1,2,3",
            "1.2.3",
            "12 lb",
            "12 parsec",
            "2 in 3 ft",
            "1 m 200 cm",
            "1/0",
            "1.5 1/2",
            "1 5/4",
            "3 3",
            "--3",
            "NaN",
            "inf",
            "1e5",
            "9999999999",
            "1/",
            "/2",
            "3 ft -",
            "1 m 1 m",
            "½½",
            "0x10",
            "1 2 3 4 5 6",
        ] {
            assert!(read(text, Kind::Length, Units::Metric).is_err(), "{text}");
        }
        let long = "1".repeat(10_000);
        assert!(read(&long, Kind::Length, Units::Metric).is_err());
    }
}
