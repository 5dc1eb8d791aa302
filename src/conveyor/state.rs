//! The state of the machine.

/// The state a machine must be in for a question or a fix.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize,
)]
pub enum State {
    /// History, weather, papers.
    Anywhere,
    /// Watched from outside the guards, nothing touched.
    Running,
    /// Stopped, isolated, locked, tagged, tried.
    LockedOut,
}
