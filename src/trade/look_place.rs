//! Where on a conveyor somebody stands to look.

use serde::{Deserialize, Serialize};

use super::Worded;

/// Where somebody stands for a look.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename = "look place")]
pub enum LookPlace {
    /// At the desk, or by radio: nowhere on the conveyor.
    Papers,
    /// All along the conveyor and back.
    WholeLine,
    /// At the tail.
    Tail,
    /// Just past the chute and the skirts.
    LoadZone,
    /// Beside the carry strand.
    CarryRun,
    /// At the head.
    Head,
    /// At the drive.
    Drive,
    /// Beside the return strand.
    ReturnRun,
    /// At the take-up.
    TakeUp,
    /// Wherever the belt is worst.
    TroubleSpot,
    /// Wherever one part of the belt was stopped, to be reached from a platform.
    BeltPart,
}

impl LookPlace {
    /// Its word in documents.
    pub fn word(self) -> &'static str {
        match self {
            Self::Papers => "papers",
            Self::WholeLine => "whole-line",
            Self::Tail => "tail",
            Self::LoadZone => "load-zone",
            Self::CarryRun => "carry-run",
            Self::Head => "head",
            Self::Drive => "drive",
            Self::ReturnRun => "return-run",
            Self::TakeUp => "take-up",
            Self::TroubleSpot => "trouble-spot",
            Self::BeltPart => "belt-part",
        }
    }
}

impl Worded for LookPlace {
    const ALL: &'static [Self] = &[
        Self::Papers,
        Self::WholeLine,
        Self::Tail,
        Self::LoadZone,
        Self::CarryRun,
        Self::Head,
        Self::Drive,
        Self::ReturnRun,
        Self::TakeUp,
        Self::TroubleSpot,
        Self::BeltPart,
    ];

    fn word(self) -> &'static str {
        self.word()
    }
}
