//! All entries of all rule files, each with the file it stands in.

use super::site::SiteFile;
use super::written::{
    BookFile, Cause, Caution, EdgeRoom, Fix, Look, SourceEntry, StopQuestion, Symptom, Term, Tool,
};
use crate::source::parse::Spanned;

/// All entries of all files of one folder, or of several laid over each other.
#[derive(Debug, Default)]
pub struct Rules {
    /// What stands in book.ron.
    pub book: Option<Spanned<BookFile>>,
    /// The symptoms.
    pub symptoms: Vec<Spanned<Symptom>>,
    /// The causes.
    pub causes: Vec<Spanned<Cause>>,
    /// The looks.
    pub looks: Vec<Spanned<Look>>,
    /// The fixes.
    pub fixes: Vec<Spanned<Fix>>,
    /// The cautions.
    pub cautions: Vec<Spanned<Caution>>,
    /// The sources.
    pub sources: Vec<Spanned<SourceEntry>>,
    /// Terms of the trade.
    pub glossary: Vec<Spanned<Term>>,
    /// The tools.
    pub tools: Vec<Spanned<Tool>>,
    /// Questions before everything else.
    pub stop_now: Vec<Spanned<StopQuestion>>,
    /// How far off against the edge room.
    pub edge_room: Option<Spanned<EdgeRoom>>,
    /// What a site changes.
    pub site: Option<Spanned<SiteFile>>,
}
