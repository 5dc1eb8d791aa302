//! What cannot be entered: days to come, a screw beyond its travel, names that no page can show.

use jiff::ToSpan;
use jiff::civil::Date;

use super::entry::Reading;
use super::size::Millimetres;
use super::take_up_sizes::TakeUpSizes;
use crate::source::unprintable;

/// A name has no more characters.
pub const LONGEST_NAME: usize = 120;
/// A note has no more characters.
pub const LONGEST_NOTE: usize = 240;
/// No belt conveyor was at work before.
const EARLIEST_YEAR: i16 = 1900;
/// No take-up differs by more from side to side, in millimetres.
const MOST_APART_MM: f64 = 300.0;

/// What is known of the day on which something is entered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Calendar {
    /// Today, by this machine's clock.
    pub today: Date,
    /// The latest day that stands in the book, by what was entered or by the clock then.
    pub latest: Option<Date>,
}

impl Calendar {
    /// The latest day in the book, where this machine's clock stands before it: then one of the two is wrong, and no day is
    /// taken from the clock alone. By a day they differ in other zones too.
    pub fn behind(&self) -> Option<Date> {
        self.latest.filter(|latest| self.today.tomorrow().is_ok_and(|next| *latest > next))
    }

    /// The last day that may have been. Where the clock cannot tell, a slip in the year is still found.
    fn last(&self) -> Date {
        let year = 1.year();
        self.behind().map_or(self.today, |latest| latest.saturating_add(year))
    }
}

/// A day that can be entered.
///
/// # Errors
/// What is wrong with it, in words.
pub fn a_day(on: Date, calendar: &Calendar) -> Result<Date, String> {
    if on > calendar.last() {
        return Err(format!(
            "{on} is still to come: today is {} by this machine's clock. Give the day on which it was done",
            calendar.today
        ));
    }
    if on.year() < EARLIEST_YEAR {
        return Err(format!("{on} is too long ago: check the year"));
    }
    Ok(on)
}

/// Reads a day: `2026-03-01`, `today`, `yesterday`; nothing typed is today, where the clock can be relied on.
///
/// # Errors
/// What is wrong with it, in words.
pub fn read_day(text: &str, calendar: &Calendar) -> Result<Date, String> {
    let today = calendar.today;
    let on = match (text.trim(), calendar.behind()) {
        ("", Some(latest)) => {
            return Err(format!(
                "this machine's clock says {today}, and the book has an entry of {latest}. Set the clock right or give the day, such as {latest}; today, if {today} is right"
            ));
        }
        ("" | "today", _) => today,
        ("yesterday", _) => today.yesterday().unwrap_or(today),
        (text, _) => text.parse::<Date>().map_err(|_| {
            "that is no day: type it as year-month-day, such as 2026-03-01".to_owned()
        })?,
    };
    a_day(on, calendar)
}

/// A name or note that a page can show.
///
/// # Errors
/// What is wrong with it, in words.
pub fn words(text: &str, what: &str, most: usize) -> Result<String, String> {
    if text.chars().any(unprintable) {
        return Err(format!(
            "{what} holds a character that cannot be printed: type letters, digits and signs only"
        ));
    }
    let text = text.trim();
    if text.is_empty() {
        return Err(format!("{what} is empty"));
    }
    let count = text.chars().count();
    if count > most {
        return Err(format!("{what} has {count} characters; at most {most} fit"));
    }
    Ok(text.to_owned())
}

/// A reading that this take-up can have.
///
/// # Errors
/// What is wrong with it, in words.
pub fn reading(reading: Reading, sizes: &TakeUpSizes) -> Result<Reading, String> {
    let positions: Vec<(&str, Millimetres)> = match reading {
        Reading::Screws { left, right } => {
            vec![("the left screw", left), ("the right screw", right)]
        }
        other => other.out().map(|at| ("the take-up", at)).into_iter().collect(),
    };
    for (what, at) in positions {
        if !at.0.is_finite() || at.0 < 0.0 {
            return Err(format!(
                "{what} cannot stand at {} mm: measure how far out it stands from its slack end",
                at.0
            ));
        }
        if let Some(travel) = sizes.travel.filter(|travel| at.0 > travel.0) {
            return Err(format!(
                "{what} would stand at {} mm, and its travel is {} mm. Measure again from its slack end, or put screws.travel right in the conveyor's file",
                at.0, travel.0
            ));
        }
    }
    if let Some(lead) = reading.lead().filter(|lead| lead.0.abs() > MOST_APART_MM) {
        return Err(format!(
            "the sides would differ by {} mm, which no take-up does: measure both again, from marks that lie alike",
            lead.0.abs()
        ));
    }
    Ok(reading)
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    #[test]
    fn days_to_come_and_no_days_are_refused_in_words() {
        let clock = date(2026, 3, 1);
        let today = &Calendar { today: clock, latest: Some(date(2026, 3, 2)) };
        assert_eq!(read_day("2026-02-28", today), Ok(date(2026, 2, 28)));
        assert_eq!(read_day("yesterday", today), Ok(date(2026, 2, 28)));
        assert_eq!(read_day("", today), Ok(clock));
        assert!(read_day("2026-03-02", today).unwrap_err().contains("still to come"));
        assert!(read_day("0026-03-01", today).unwrap_err().contains("too long ago"));
        for text in ["1.3.2026", "2026-02-30", "soon"] {
            assert!(read_day(text, today).unwrap_err().contains("no day"), "{text}");
        }
    }

    #[test]
    fn a_clock_set_back_gives_no_day_and_refuses_none_that_was() {
        let latest = date(2026, 3, 1);
        let set_back = &Calendar { today: date(2020, 1, 1), latest: Some(latest) };
        let said = read_day("", set_back).unwrap_err();
        assert!(said.contains("says 2020-01-01") && said.contains("of 2026-03-01"), "{said}");
        assert_eq!(read_day("2026-03-01", set_back), Ok(latest));
        assert_eq!(read_day("2026-02-27", set_back), Ok(date(2026, 2, 27)));
        assert_eq!(read_day("2026-03-12", set_back), Ok(date(2026, 3, 12)), "days have passed");
        assert!(read_day("2062-03-12", set_back).unwrap_err().contains("still to come"));
        // Whoever names the clock's day has looked at it.
        assert_eq!(read_day("today", set_back), Ok(date(2020, 1, 1)));
        let first = &Calendar { today: date(2020, 1, 1), latest: None };
        assert_eq!(read_day("", first), Ok(date(2020, 1, 1)));
    }

    #[test]
    fn a_screw_beyond_its_travel_is_refused() {
        let sizes = TakeUpSizes { travel: Some(Millimetres(500.0)), ..TakeUpSizes::default() };
        let screws =
            |left, right| Reading::Screws { left: Millimetres(left), right: Millimetres(right) };
        assert!(reading(screws(500.0, 499.0), &sizes).is_ok());
        assert!(
            reading(screws(512.0, 499.0), &sizes).unwrap_err().contains("its travel is 500 mm")
        );
        assert!(reading(screws(512.0, 499.0), &TakeUpSizes::default()).is_ok());
        assert!(reading(screws(400.0, 20.0), &sizes).unwrap_err().contains("differ by 380 mm"));
        assert!(reading(screws(-4.0, 20.0), &sizes).is_err());
        assert!(reading(screws(f64::NAN, 20.0), &sizes).is_err());
    }

    #[test]
    fn names_are_taken_with_slashes_and_not_with_control_characters() {
        assert_eq!(words(" OQ/04 ", "the name", 20), Ok("OQ/04".to_owned()));
        assert!(words("OQ\u{7}", "the name", 20).unwrap_err().contains("cannot be printed"));
        assert!(words("\u{202e}OQ", "the name", 20).is_err());
        assert!(words("  ", "the name", 20).unwrap_err().contains("is empty"));
        assert!(words("OQ-04 is long", "the name", 5).unwrap_err().contains("at most 5"));
    }
}
