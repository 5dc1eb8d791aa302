//! How far a long run is, on one line of a terminal; elsewhere nothing.

use std::io::{self, IsTerminal, Write};
use std::time::{Duration, Instant};

/// The line. It is wiped when this is dropped.
pub(super) struct Progress<'w> {
    to: Option<&'w mut dyn Write>,
    of: usize,
    what: &'static str,
    shown: usize,
    since: Instant,
}

/// What takes no longer than this needs no line.
const PATIENCE: Duration = Duration::from_millis(300);

impl<'w> Progress<'w> {
    /// For so many things called so.
    pub(super) fn new(to: &'w mut dyn Write, of: usize, what: &'static str) -> Self {
        Self {
            to: io::stderr().is_terminal().then_some(to),
            of,
            what,
            shown: usize::MAX,
            since: Instant::now(),
        }
    }

    /// Only now is anybody waiting.
    pub(super) fn begin(&mut self) {
        self.since = Instant::now();
    }

    /// So many are through.
    pub(super) fn through(&mut self, number: usize) {
        let percent = number * 100 / self.of.max(1);
        if percent != self.shown
            && self.since.elapsed() >= PATIENCE
            && let Some(to) = &mut self.to
        {
            self.shown = percent;
            // Who cannot see it misses nothing.
            let _ = write!(to, "\r{number} of {} {}", self.of, self.what);
            let _ = to.flush();
        }
    }
}

impl Drop for Progress<'_> {
    fn drop(&mut self) {
        if self.shown != usize::MAX
            && let Some(to) = &mut self.to
        {
            let _ = write!(to, "\r{:40}\r", "");
            let _ = to.flush();
        }
    }
}
