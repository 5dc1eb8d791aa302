//! Every gauge is described so that prompts, flags, tables and screens can rely on it.

use std::collections::BTreeSet;

use straybelt::gauge::catalogue::limits;
use straybelt::gauge::limits::Basis;
use straybelt::gauge::{ALL, Way};

fn ways() -> impl Iterator<Item = (&'static str, &'static Way)> {
    ALL.iter().flat_map(|gauge| gauge.ways.iter().map(|way| (gauge.id, way)))
}

#[test]
fn drawings_fit_the_narrowest_screen() {
    for (gauge, way) in ways() {
        assert!(way.drawing.len() <= 10, "{gauge} {}", way.id);
        for line in way.drawing {
            assert!(line.is_ascii() && line.len() <= 38, "{gauge} {}: {line}", way.id);
        }
    }
}

#[test]
fn names_are_plain_and_stand_once() {
    let plain = |name: &str, gap: char| {
        !name.is_empty()
            && name.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == gap)
    };
    let mut gauges = BTreeSet::new();
    for gauge in ALL {
        assert!(plain(gauge.id, '-') && gauges.insert(gauge.id), "{}", gauge.id);
    }
    for (gauge, way) in ways() {
        let columns = way.rows.as_ref().map_or(&[][..], |rows| rows.columns);
        let mut keys = BTreeSet::new();
        for wanted in way.wanted.iter().chain(columns) {
            assert!(
                plain(wanted.key.as_str(), '_') && keys.insert(wanted.key),
                "{gauge} {}: {}",
                way.id,
                wanted.key.as_str()
            );
        }
        assert!(!way.how.is_empty(), "{gauge} {}", way.id);
    }
}

#[test]
fn limits_have_one_name_each_and_a_source_that_is_there() {
    let sources =
        std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/rules/sources.ron")).unwrap();
    let mut names = BTreeSet::new();
    for limit in limits() {
        assert!(names.insert(limit.id), "{}", limit.id);
        assert!(limit.si > 0.0, "{}", limit.id);
        if let Basis::Published(id, _) = limit.mark {
            assert!(sources.contains(&format!("id: \"{id}\"")), "{}: {id}", limit.id);
        }
    }
}
