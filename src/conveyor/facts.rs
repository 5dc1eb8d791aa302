//! The facts of a conveyor that rules may ask for, and the values each may have.

/// Every fact's key with its values.
pub const KEYS: &[(&str, &[&str])] = &[
    ("class", &["troughed-bulk", "flat", "package"]),
    ("troughed", &["yes", "no"]),
    ("reversing", &["yes", "no"]),
    ("crowned", &["yes", "no"]),
    ("carcass", &["fabric", "steel-cord", "other"]),
    ("take_up", &["screw", "gravity", "carriage", "winch", "none"]),
    ("place", &["indoors", "outdoors"]),
];

/// Facts that only gauges ask for, with their values.
pub const FOR_GAUGES: &[(&str, &[&str])] = &[
    ("bearings", &["ball", "roller"]),
    ("lagging", &["bare", "lagged"]),
    ("dust_burns", &["yes", "no"]),
];

/// The values that a fact may have, if there is such a fact.
pub fn values(key: &str) -> Option<&'static [&'static str]> {
    KEYS.iter().find(|(known, _)| *known == key).map(|(_, values)| *values)
}

/// What a class settles about the trough.
pub fn troughed(class: &str) -> Option<&'static str> {
    match class {
        "troughed-bulk" => Some("yes"),
        "flat" => Some("no"),
        _ => None,
    }
}
