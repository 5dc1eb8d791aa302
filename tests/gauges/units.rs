//! Units: no silent factor of 25. Each way of writing a number, and each mistake with a unit that was ever made.

use proptest::prelude::*;
use straybelt::conveyor::quantity::{self, Bare, Kind, Quantity, Refused, as_seen};
use straybelt::gauge::frame;
use straybelt::gauge::table::{Table, read};
use straybelt::gauge::{Keyed, Rows, Takes, Wanted};
use straybelt::trade::Units;

use crate::support::{key, near};

fn gaps(text: &str, units: Units) -> Result<Vec<f64>, String> {
    let way = frame::GAUGE.way("string").unwrap();
    let rows: &Rows = way.rows.as_ref().unwrap();
    let table: Table = read(text, rows, units).map_err(|bad| bad.to_string())?;
    Ok(table.rows.iter().map(|row| row.si(key("gap")).unwrap()).collect())
}

#[test]
fn the_columns_unit_holds_for_every_way_of_writing_a_number() {
    // By definition an inch is 25.4 mm.
    for cell in ["2-1/16", "2 1/16", "2¹⁄₁₆", "2.0625", "2-1/16 in", "2-1/16\""] {
        let read = gaps(&format!("station,gap [in]\n0,{cell}\n"), Units::Metric).unwrap();
        near(read[0], 2.0625 * 0.0254, 1e-12);
    }
    let whole = gaps("station,gap [in]\n0,2\n1,1/2\n", Units::Metric).unwrap();
    near(whole[0], 2.0 * 0.0254, 1e-12);
    near(whole[1], 0.5 * 0.0254, 1e-12);
    // A cell with a unit of its own keeps it.
    near(gaps("station,gap [in]\n0,5 mm\n", Units::Metric).unwrap()[0], 0.005, 1e-12);
    near(gaps("station,gap [mm]\n0,12.5\n", Units::Inch).unwrap()[0], 0.0125, 1e-12);
}

#[test]
fn a_fraction_without_a_unit_is_refused_where_metric_is_set() {
    for text in ["1/2", "2-1/16", "2 1/16", "½", "2½"] {
        for units in [Units::Metric, Units::Both] {
            for kind in [Kind::Length, Kind::Distance] {
                assert_eq!(quantity::read(text, kind, units), Err(Refused::Fraction), "{text}");
            }
        }
        assert!(quantity::read(text, Kind::Length, Units::Inch).is_ok(), "{text}");
    }
    assert!(gaps("station,gap\n0,2-1/16\n", Units::Metric).unwrap_err().contains("needs its unit"));
    // What is no length has no rule to read it off.
    assert!(quantity::read("1/2", Kind::Angle, Units::Metric).is_ok());
}

#[test]
fn what_people_write_is_understood() {
    let si = |text: &str, kind: Kind| quantity::read(text, kind, Units::Metric).unwrap().si();
    // By definition: 25.4 mm to the inch, 60 s to the minute, 1,000 lbf to the kip (4.448 221 615 N to the lbf).
    for (text, kind, expected) in [
        ("12 in.", Kind::Length, 0.3048),
        ("3 ft. 2 in.", Kind::Length, 0.9652),
        ("0,500 m", Kind::Length, 0.5),
        ("0,125 mm", Kind::Length, 0.000_125),
        ("12″", Kind::Length, 0.3048),
        ("3′ 2″", Kind::Length, 0.9652),
        ("1⅝ in", Kind::Length, 1.625 * 0.0254),
        ("1¹⁵⁄₁₆ in", Kind::Length, 1.9375 * 0.0254),
        ("⅓ ft", Kind::Length, 0.1016),
        ("90 m/min", Kind::Speed, 1.5),
        ("1.2 kip", Kind::Force, 1_200.0 * 4.448_221_615),
        ("2 kip/in", Kind::Modulus, 2_000.0 * 4.448_221_615 / 0.0254),
    ] {
        near(si(text, kind), expected, 2e-7 * expected);
    }
    // A tenth of the breaking strength for fabric (as a belt seller has it), less than a sixth for steel cord (from memory).
    for (text, newtons_per_mm) in [
        ("EP 400/3", 40.0),
        ("EP400/3", 40.0),
        ("nn 250/2", 25.0),
        ("EP 400", 40.0),
        ("ST 1000", 1_000.0 / 6.67),
        ("ST-1000", 1_000.0 / 6.67),
        ("40 N/mm", 40.0),
    ] {
        near(si(text, Kind::Rated) / 1000.0, newtons_per_mm, 1e-9);
    }
    for text in ["EP 4/3", "EP 400/99", "XX 400/3", "EP", "ST", "1,500", "2,000 mm"] {
        assert!(quantity::read(text, Kind::Rated, Units::Metric).is_err(), "{text}");
    }
    // A modulus is no rated tension.
    assert!(quantity::read("EP 400/3", Kind::Modulus, Units::Metric).is_err());
}

fn again(text: &str, kind: Kind, bare: Bare) -> String {
    let (size, seen) = quantity::read_as(text, kind, bare).unwrap();
    as_seen(size, kind, &seen)
}

#[test]
fn a_reading_is_shown_again_as_it_was_given() {
    let metric = Bare::Of(Units::Metric);
    for (text, kind, shown) in [
        ("900", Kind::Length, "900 mm"),
        ("2-1/16 in", Kind::Length, "2-1/16 in"),
        ("2.0625 in", Kind::Length, "2-1/16 in"),
        ("2.07 in", Kind::Length, "2.07 in"),
        ("1/2\"", Kind::Length, "1/2 in"),
        ("-3/4 in", Kind::Length, "-3/4 in"),
        ("3 ft 2-1/2 in", Kind::Length, "3 ft 2-1/2 in"),
        ("38", Kind::Distance, "38 m"),
        ("120 ft", Kind::Distance, "120 ft"),
        ("14.5 cm", Kind::Length, "14.5 cm"),
        ("3.1 kN", Kind::Force, "3.1 kN"),
        ("EP 400/3", Kind::Rated, "40 N/mm (EP 400/3)"),
        ("-25", Kind::Temperature, "-25 °C"),
        ("113 F", Kind::Temperature, "113 °F"),
        ("90 m/min", Kind::Speed, "90 m/min"),
    ] {
        assert_eq!(again(text, kind, metric), shown, "{text}");
    }
    assert_eq!(again("2-1/16", Kind::Length, Bare::Unit("in")), "2-1/16 in");
}

/// Units as people type them, by kind.
const TYPED: &[(Kind, &[&str])] = &[
    (Kind::Length, &["mm", "cm", "m", "in", "ft", "yd"]),
    (Kind::Distance, &["mm", "m", "km", "in", "ft"]),
    (Kind::Force, &["N", "kN", "lb", "kip", "kg"]),
    (Kind::Modulus, &["N/mm", "kN/m", "lbf/in"]),
    (Kind::Rated, &["N/mm", "lbf/in"]),
    (Kind::Speed, &["m/s", "m/min", "ft/min", "ft/s"]),
    (Kind::LineMass, &["kg/m", "lb/ft"]),
    (Kind::Temperature, &["C", "F", "K"]),
    (Kind::Rise, &["C", "F"]),
    (Kind::Angle, &["deg", "rad"]),
    (Kind::Time, &["s", "min", "h"]),
    (Kind::Percent, &["%"]),
];

proptest! {
    /// Whatever is read and shown again as it was understood reads back as the same size, in any setting.
    #[test]
    fn units_round_trip(kind in 0..TYPED.len(), unit in 0..6_usize, sixteenths in 1..16_000_u32, inch in any::<bool>()) {
        let (kind, units) = TYPED[kind];
        let unit = units[unit % units.len()];
        let number = f64::from(sixteenths) / 16.0;
        let set = if inch { Units::Inch } else { Units::Metric };
        let (size, seen) = quantity::read_as(&format!("{number} {unit}"), kind, Bare::Of(set)).unwrap();
        let shown = as_seen(size, kind, &seen);
        let back = quantity::read(&shown, kind, set).unwrap();
        prop_assert!(
            (back.si() - size.si()).abs() <= 1e-6 * size.si().abs().max(1e-3),
            "{} {}: {} reads {} not {}", number, unit, shown, back.si(), size.si()
        );
    }

    /// A bare number is of the column's unit, whatever is set, and however it is written.
    #[test]
    fn a_column_of_inches_is_a_column_of_inches(whole in 0..40_u32, over in 1..16_u32, inch in any::<bool>()) {
        let set = if inch { Units::Inch } else { Units::Metric };
        let expected = (f64::from(whole) + f64::from(over) / 16.0) * 0.0254;
        for cell in [format!("{whole}-{over}/16"), format!("{}", f64::from(whole) + f64::from(over) / 16.0)] {
            let read = gaps(&format!("station,gap [in]\n0,{cell}\n"), set).unwrap();
            prop_assert!((read[0] - expected).abs() < 1e-12, "{}", cell);
        }
    }

    /// A fraction and its decimal are one size in each unit of length.
    #[test]
    fn a_fraction_is_its_decimal(whole in 0..100_u32, over in 1..8_u32, unit in 0..4_usize) {
        let unit = ["mm", "m", "in", "ft"][unit];
        let read = |text: String| quantity::read(&text, Kind::Length, Units::Metric).unwrap().si();
        let decimal = f64::from(whole) + f64::from(over) / 8.0;
        let (fraction, plain) = (format!("{whole} {over}/8 {unit}"), format!("{decimal} {unit}"));
        prop_assert!((read(fraction) - read(plain)).abs() < 1e-9);
    }
}

#[test]
fn choices_are_taken_by_number_too() {
    let wanted: &Wanted = &frame::GAUGE.way("string").unwrap().wanted[1];
    let Takes::Choice(words) = wanted.takes else { panic!("a choice") };
    for (at, (word, _)) in words.iter().enumerate() {
        let by_number = wanted.takes.read(&format!("{}", at + 1), Units::Metric);
        assert_eq!(by_number, wanted.takes.read(word, Units::Metric));
    }
    assert!(wanted.takes.read("0", Units::Metric).is_err());
    assert!(wanted.takes.read("9", Units::Metric).is_err());
}

#[test]
fn lengths_in_inches_come_back_in_sixteenths() {
    for (inches, words) in [
        (0.5, "1/2 in"),
        (2.0625, "2-1/16 in"),
        (2.0, "2 in"),
        (15.63, "15-5/8 in"),
        (0.02, "0.020 in"),
    ] {
        assert_eq!(Quantity::of(Kind::Length, inches * 0.0254).words(Units::Inch), words);
    }
}
