//! The questions before everything else, and the one about the edge room, as the files write them.

use serde::Deserialize;

use super::Source;
use crate::rulebook::model::{RoomMeans, StopMeans};
use crate::source::parse::Text;

/// A question before everything else.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "question")]
pub struct StopQuestion {
    pub id: Text,
    pub ask: Text,
    pub answers: Vec<StopAnswer>,
    pub look: Text,
    pub do_now: Vec<Text>,
    pub tell: Text,
    #[serde(default)]
    pub cautions: Vec<Text>,
    pub source: Source,
}

/// An answer to a question before everything else.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "stop answer")]
pub struct StopAnswer {
    pub id: Text,
    pub says: Text,
    pub means: StopMeans,
}

/// How far off against the edge room.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "edge room")]
pub struct EdgeRoom {
    pub id: Text,
    pub ask: Text,
    pub answers: Vec<RoomAnswer>,
    pub look: Text,
    pub why: Text,
    pub source: Source,
    #[serde(default)]
    pub leave_it: Vec<Text>,
    #[serde(default)]
    pub urgent: Vec<Text>,
}

/// An answer about the edge room.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "answer")]
pub struct RoomAnswer {
    pub id: Text,
    pub says: Text,
    pub means: RoomMeans,
}
