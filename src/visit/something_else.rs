//! What is told besides what the book asks: something else that was found, and what the person says cured it.

use serde::{Deserialize, Serialize};

use crate::rulebook::index::CauseAt;

/// What became of something else that was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum ElseHow {
    /// It is put right, and the belt is run and watched before any other work.
    Watch,
    /// It is put right, and the work of the batch goes on.
    GoOn,
    /// It is left as it is.
    Noted,
}

/// Something that was found and that no job is about, in the person's own words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SomethingElse {
    /// What.
    pub what: Option<String>,
    /// Where.
    pub place: Option<String>,
    /// Which part.
    pub part: Option<String>,
    /// What became of it; nothing while that was not said.
    pub became: Option<ElseHow>,
    /// In which batch of those done, from 0, it was put right.
    pub batch: Option<usize>,
}

impl SomethingElse {
    /// All of it on one line, as it was typed.
    pub fn words(&self) -> String {
        let said = [&self.what, &self.place, &self.part].into_iter().flatten();
        said.map(String::as_str).collect::<Vec<_>>().join(", ")
    }

    /// Whether it was put right.
    pub fn is_put_right(&self) -> bool {
        matches!(self.became, Some(ElseHow::Watch | ElseHow::GoOn))
    }
}

/// What cured it, as the person says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SaidCured {
    /// This cause was cured.
    Cause(CauseAt),
    /// The something else at this place among those told.
    SomethingElse(usize),
    /// It cannot be said.
    NotClear,
}
