//! The state of a machine.

use serde::{Deserialize, Serialize};

/// The state a machine must be in for a look or a piece of work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum MachineState {
    /// History, weather, papers.
    Anywhere,
    /// Watched from outside the guards, nothing touched.
    Running,
    /// Stopped, isolated, locked, tagged, tried.
    LockedOut,
}

impl MachineState {
    /// Its name in files.
    pub fn word(self) -> &'static str {
        match self {
            Self::Anywhere => "anywhere",
            Self::Running => "running",
            Self::LockedOut => "locked-out",
        }
    }
}
