//! What time it is, told from outside so that tests can say it.

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

impl Clock for SystemClock {
    fn now(&self) -> Timestamp {
        Timestamp::now()
    }
    fn zone(&self) -> TimeZone {
        TimeZone::system()
    }
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
