//! All entries of all rule files, each with the file it stands in.

use std::collections::BTreeSet;

use super::site::SiteFile;
use super::written::{
    BookFile, Cause, Caution, EdgeRoom, Fix, GaugeFile, Look, SourceEntry, StopQuestion, Symptom,
    Term, Tool,
};
use crate::source::Span;
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
    /// Limits of gauges and errors of readings, those of the lowest folder first.
    pub gauges: Vec<Spanned<GaugeFile>>,
    /// What a site changes.
    pub site: Option<Spanned<SiteFile>>,
    /// How many times as common the causes of the book below are taken at this site.
    pub rescaled: Option<f64>,
    /// What could not be read of them.
    pub broken: Broken,
}

/// Entries that did not load. Their names still stand, so that nothing that refers to them fails.
#[derive(Debug, Default)]
pub struct Broken {
    /// By kind and id.
    pub names: BTreeSet<(&'static str, String)>,
    /// Kinds of which a file cannot be read at all: nobody knows what it names.
    pub unsure: BTreeSet<&'static str>,
    /// Entries in which something stands for what their author left out.
    pub guessed: Vec<Span>,
}

impl Broken {
    /// Whether this is, or may be, the name of an entry that did not load.
    pub fn holds(&self, kind: &'static str, id: &str) -> bool {
        self.unsure.contains(kind) || self.names.contains(&(kind, id.to_owned()))
    }

    /// Whether anything of a kind did not load.
    pub fn any(&self, kind: &'static str) -> bool {
        self.unsure.contains(kind) || self.names.iter().any(|(known, _)| *known == kind)
    }

    /// Takes in what did not load of another folder.
    pub fn append(&mut self, other: Self) {
        self.names.extend(other.names);
        self.unsure.extend(other.unsure);
        self.guessed.extend(other.guessed);
    }
}
