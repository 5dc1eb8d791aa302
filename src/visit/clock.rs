//! What time it is, told from outside so that tests can say it.

use std::time::SystemTime;

use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

/// A clock.
pub trait Clock {
    /// Now.
    fn now(&self) -> Timestamp;
    /// The zone in which people here read the time.
    fn zone(&self) -> TimeZone;
}

/// The machine's clock.
#[derive(Debug, Clone, Copy, Default)]
pub struct SystemClock;

impl SystemClock {
    /// What is wrong with the machine's clock, if it shows a time that cannot be written down.
    pub fn wrong() -> Option<&'static str> {
        told(SystemTime::now()).err()
    }
}

impl Clock for SystemClock {
    fn now(&self) -> Timestamp {
        told(SystemTime::now()).unwrap_or_else(|_| nearest(SystemTime::now()))
    }
    fn zone(&self) -> TimeZone {
        TimeZone::system()
    }
}

/// The time, if it can be written down.
fn told(at: SystemTime) -> Result<Timestamp, &'static str> {
    let told = Timestamp::try_from(at)
        .ok()
        .filter(|at| (0..=9999).contains(&at.to_zoned_datetime(TimeZone::UTC).year()));
    told.ok_or("the clock of this machine shows a year before 0 or after 9999. Set it right first")
}

/// The first or last time that can be written down.
fn nearest(at: SystemTime) -> Timestamp {
    if at < SystemTime::UNIX_EPOCH { Timestamp::UNIX_EPOCH } else { Timestamp::MAX }
}

/// A clock for tests: a minute later at every look, in the zone of Greenwich.
#[derive(Debug)]
pub struct TestClock(std::cell::Cell<Timestamp>);

impl TestClock {
    /// First shows this time.
    pub fn from(start: Timestamp) -> Self {
        Self(std::cell::Cell::new(start))
    }
}

impl Clock for TestClock {
    fn now(&self) -> Timestamp {
        let now = self.0.get();
        self.0.set(now.checked_add(SignedDuration::from_mins(1)).unwrap_or(now));
        now
    }
    fn zone(&self) -> TimeZone {
        TimeZone::UTC
    }
}

/// The day of a time: "2026-03-04". The day of Greenwich, so that it is the same everywhere.
pub fn date(at: Timestamp) -> String {
    at.to_zoned_datetime(TimeZone::UTC).strftime("%Y-%m-%d").to_string()
}

/// A time as people read it: "2026-03-04 10:15".
pub fn readable(at: Timestamp, zone: &TimeZone) -> String {
    at.to_zoned_datetime(zone.clone()).strftime("%Y-%m-%d %H:%M").to_string()
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use super::*;

    #[test]
    fn a_clock_out_of_all_years_is_told_and_stands_still() {
        let after =
            |seconds| SystemTime::UNIX_EPOCH.checked_add(Duration::from_secs(seconds)).unwrap();
        assert_eq!(date(told(after(1_700_000_000)).unwrap()), "2023-11-14");
        let far = after(260_000_000_000);
        assert!(told(far).unwrap_err().contains("after 9999"));
        assert_eq!(date(nearest(far)), "9999-12-30");
        let old = SystemTime::UNIX_EPOCH.checked_sub(Duration::from_secs(100_000_000_000)).unwrap();
        assert!(told(old).is_err());
        assert_eq!(date(nearest(old)), "1970-01-01");
    }
}
