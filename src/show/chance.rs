//! Chances, weights and worth in plain words. The numbers always stand beside them.

/// What stands for something else in lists of causes.
pub const NONE_OF_THE_BOOK: &str = "None of the causes in the book";

/// Per cent as shown: "<1 %", "37 %", ">99 %".
pub fn percent(chance: f64) -> String {
    let hundredths = chance * 100.0;
    if hundredths < 1.0 {
        "<1 %".to_owned()
    } else if hundredths > 99.0 {
        ">99 %".to_owned()
    } else {
        format!("{hundredths:.0} %")
    }
}

/// How likely, in words.
pub fn likely(chance: f64) -> &'static str {
    match chance {
        c if c >= 0.95 => "almost certain",
        c if c >= 0.80 => "very likely",
        c if c >= 0.55 => "likely",
        c if c >= 0.30 => "quite possible",
        c if c >= 0.10 => "possible",
        c if c >= 0.03 => "unlikely",
        _ => "very unlikely",
    }
}

/// How strongly an answer speaks, in words; the sign is said elsewhere.
pub fn weight(decibans: f64) -> &'static str {
    match decibans.abs() {
        d if d >= 10.0 => "very strongly",
        d if d >= 6.0 => "strongly",
        d if d >= 3.0 => "clearly",
        d if d >= 1.0 => "a little",
        _ => "very little",
    }
}

/// Decibans as shown: "+7.1 decibans".
pub fn decibans(decibans: f64) -> String {
    format!("{decibans:+.1} decibans")
}

/// How much a question tells, in words.
pub fn tells(bits: f64) -> &'static str {
    match bits {
        b if b >= 0.50 => "a lot",
        b if b >= 0.20 => "quite a lot",
        b if b >= 0.05 => "something",
        b if b >= 0.01 => "a little",
        _ => "almost nothing",
    }
}

/// Minutes in words: "less than 1 min", "45 min", "2 h 05 min".
pub fn minutes(minutes: f64) -> String {
    let whole = minutes.round();
    if !whole.is_finite() || whole < 0.0 {
        return "unknown time".to_owned();
    }
    if whole < 1.0 {
        return "less than 1 min".to_owned();
    }
    let whole = whole as u64;
    match (whole / 60, whole % 60) {
        (0, m) => format!("{m} min"),
        (h, 0) => format!("{h} h"),
        (h, m) => format!("{h} h {m:02} min"),
    }
}

/// Minutes as an estimate: "About 45 min", "Less than 1 min".
pub fn about(minutes_taken: f64) -> String {
    match minutes(minutes_taken) {
        least if least.starts_with("less") => super::letters::capital(&least),
        some => format!("About {some}"),
    }
}

/// "1 person", "2 people".
pub fn people(people: u32) -> String {
    if people == 1 { "1 person".to_owned() } else { format!("{people} people") }
}

/// "1 step", "3 steps".
pub fn count(number: usize, one: &str, many: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {many}") }
}

/// A share as so many of a hundred: whole, unless that would hide that it is not all or nothing.
pub(super) fn of_hundred(share: f64) -> String {
    let whole = (share * 100.0).round();
    if (whole >= 100.0 && share < 1.0) || (whole <= 0.0 && share > 0.0) {
        format!("{:.1}", share * 100.0)
    } else {
        format!("{whole:.0}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn per_cents_never_claim_certainty() {
        let shown: Vec<String> = [0.0, 0.009, 0.01, 0.37, 0.989, 0.995, 1.0].map(percent).to_vec();
        assert_eq!(shown, ["<1 %", "<1 %", "1 %", "37 %", "99 %", ">99 %", ">99 %"]);
    }

    #[test]
    fn an_estimate_of_next_to_nothing_is_not_about_less() {
        assert_eq!([0.2, 45.0].map(about), ["Less than 1 min", "About 45 min"]);
    }

    #[test]
    fn minutes_read_well() {
        let shown: Vec<String> = [0.2, 1.0, 59.6, 61.0, 125.0, f64::NAN].map(minutes).to_vec();
        assert_eq!(
            shown,
            ["less than 1 min", "1 min", "1 h", "1 h 01 min", "2 h 05 min", "unknown time"]
        );
    }
}
