//! Tables of readings, for every gauge that reads one, and what the gauge makes of them.

#![no_main]

use libfuzzer_sys::fuzz_target;
use straybelt::gauge::given::Gathered;
use straybelt::gauge::{self, Setting, table};
use straybelt::trade::Units;

fuzz_target!(|data: &[u8]| {
    let Some((choice, text)) = data.split_first() else {
        return;
    };
    let Ok(text) = std::str::from_utf8(text) else {
        return;
    };
    let tables: Vec<_> = gauge::ALL
        .iter()
        .flat_map(|gauge| gauge.ways.iter().map(move |way| (gauge, way)))
        .filter_map(|(gauge, way)| Some((gauge, way, way.rows.as_ref()?)))
        .collect();
    let (gauge, way, rows) = tables[usize::from(*choice) % tables.len()];
    match table::read(text, rows, Units::Metric) {
        Err(bad) => assert!(bad.line > 0 && !bad.to_string().is_empty()),
        Ok(read) => {
            let gathered = Gathered {
                rows: read.rows,
                ..Gathered::default()
            };
            let Ok(readings) = gathered.complete(way) else {
                return;
            };
            if let Ok(outcome) = (gauge.work)(&readings, &Setting::default()) {
                assert!(outcome.figures.iter().all(|figure| figure.size.si().is_finite()));
            }
        }
    }
});
