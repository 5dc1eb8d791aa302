//! Quantities as people type them.

#![no_main]

use libfuzzer_sys::fuzz_target;
use straybelt::conveyor::quantity::{self, Kind};
use straybelt::trade::Units;

const KINDS: [Kind; 12] = [
    Kind::Length,
    Kind::Distance,
    Kind::Force,
    Kind::Modulus,
    Kind::Speed,
    Kind::LineMass,
    Kind::Temperature,
    Kind::Rise,
    Kind::Angle,
    Kind::Time,
    Kind::Percent,
    Kind::Number,
];

fuzz_target!(|data: &[u8]| {
    let Some((choice, text)) = data.split_first() else {
        return;
    };
    let Ok(text) = std::str::from_utf8(text) else {
        return;
    };
    let choice = usize::from(*choice);
    let kind = KINDS[choice % KINDS.len()];
    let units = Units::ALL[choice / KINDS.len() % Units::ALL.len()];
    if let Ok(size) = quantity::read(text, kind, units) {
        assert!(size.si().is_finite());
        for &shown in Units::ALL {
            let words = size.words(shown);
            assert!(!words.is_empty() && !words.contains("NaN") && !words.contains("inf"), "{words}");
        }
    }
});
