//! A case as written in `cases/*.ron`: ids are texts with their places. [`super::case`] checks them.

use serde::Deserialize;

use crate::rulebook::written::Source;
use crate::source::parse::{Spanned, Text, Unread};

/// One case: what is told, and what the book must make of it.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "case")]
#[expect(missing_docs, reason = "the fields of the file; rules/REFERENCE.md tells of them")]
pub struct CaseEntry {
    pub id: Text,
    pub title: Text,
    pub source: Source,
    #[serde(default)]
    pub conveyor: Option<Unread>,
    #[serde(default)]
    pub sides: Option<Unread>,
    #[serde(default)]
    pub answers: Option<Unread>,
    #[serde(default)]
    pub found: Option<Unread>,
    #[serde(default)]
    pub done: Option<Unread>,
    #[serde(default)]
    pub outcomes: Option<Unread>,
    #[serde(default)]
    pub second: Option<Unread>,
    #[serde(default)]
    pub machine: Option<Unread>,
    pub expect: Vec<Spanned<Expect>>,
    #[serde(default)]
    pub todo: bool,
}

/// One thing that a case expects.
#[derive(Debug, Clone, Deserialize)]
#[serde(rename = "expectation")]
pub enum Expect {
    /// The leading cause is one of these.
    Leads(Vec<Text>),
    /// Each of these is within the first so many.
    Among(Spanned<usize>, Vec<Text>),
    /// The first ranks above the second.
    Above(Text, Text),
    /// The chance that it is still present is at most this.
    Below(Text, Spanned<f64>),
    /// The chance that it is still present is at least this.
    AtLeast(Text, Spanned<f64>),
    /// These causes do not apply.
    LeftOut(Vec<Text>),
    /// What is looked at next has one of these in it.
    Asks(Vec<Text>),
    /// These questions do not apply.
    Never(Vec<Text>),
    /// These fixes are in the plan.
    Plans(Vec<Text>),
    /// These are not.
    NeverPlans(Vec<Text>),
    /// These fixes apply to the conveyor.
    Offers(Vec<Text>),
    /// These do not.
    NeverOffers(Vec<Text>),
    /// The first step of the plan is one of these.
    First(Vec<Text>),
    /// Both are planned, the first one earlier.
    Before(Text, Text),
    /// The words of a fix hold this text.
    Says(Text, Text),
    /// They do not.
    Unsays(Text, Text),
    /// No cause reaches one half, and what is looked at next has one of these in it.
    Unclear(Vec<Text>),
}
