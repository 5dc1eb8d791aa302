//! From the written rule book to the checked one. Every problem is reported; a book comes out only
//! when none of them is an error.

mod alike;
mod begins_with;
mod conditions;
mod entries;
mod fixes;
mod gauge_sizes;
mod gauges;
mod hands;
mod looks;
mod mark_links;
mod marks;
mod meanings;
mod moving;
mod names;
mod order;
mod reach;
mod rows;
mod safety;
mod sets;
mod settings;
mod signs;
mod steps;
mod sums;
mod takes;
mod tools;
mod voices;
mod waiting;
mod words;

pub(crate) use begins_with::{CHECK, LONG_WORK_MIN};
pub(crate) use hands::{move_of_the_belt, speaks_of, work_for_hands};
pub(crate) use settings::other_schema;

use std::collections::{BTreeMap, BTreeSet};

use crate::problem::{Code, Problem, Report};
use crate::source::{Place, Span, Texts};

use super::graph::DecisionGraph;
use super::model::{Book, DrillFault};
use super::network::Network;
use super::rules::Rules;

/// Ids that a site has switched off. They may still be named; what names them is passed over.
#[derive(Debug, Default, Clone)]
pub struct Off {
    /// Symptoms.
    pub symptoms: BTreeSet<String>,
    /// Causes.
    pub causes: BTreeSet<String>,
    /// Fixes.
    pub fixes: BTreeSet<String>,
    /// Looks.
    pub looks: BTreeSet<String>,
    /// Cautions that guard against no hazard.
    pub cautions: BTreeSet<String>,
    /// Symptoms that stay, and were in a look that is switched off.
    pub out_of_looks: BTreeSet<String>,
    /// Where site.ron says so, by kind and id; of what goes with something else, where that is said.
    pub by: BTreeMap<(&'static str, String), Span>,
    /// Causes that lost a fix, and where that is said.
    pub uncured: BTreeMap<String, Span>,
    /// Symptoms that lost a cause: they may have none left.
    pub idle: BTreeSet<String>,
    /// Groups that lost a symptom.
    pub groups: BTreeSet<String>,
    /// Where site.ron changes an entry, by kind and id.
    pub changed: BTreeMap<(&'static str, String), Span>,
    /// The changes made in an entry, whole, those of the lowest folder first.
    pub changes: BTreeMap<(&'static str, String), Vec<Span>>,
    /// Entries that two folders change: kind, id, and where the lower one does. The upper one wins.
    pub again: Vec<(&'static str, String, Span)>,
    /// What the causes were in drills.
    pub faults: Vec<DrillFault>,
}

impl Off {
    /// What of it a message speaks of, in backticks.
    pub fn named_in(&self, message: &str) -> Option<String> {
        let mut words = message.split('`').skip(1).step_by(2);
        let all = [&self.symptoms, &self.causes, &self.fixes, &self.looks];
        words.find(|word| all.iter().any(|off| off.contains(*word))).map(str::to_owned)
    }
}

/// Makes the checked book, or reports why not. `fingerprint` is that of the texts.
pub fn check(
    rules: &Rules,
    off: &Off,
    fingerprint: String,
    texts: &Texts,
    report: &mut Report,
) -> Option<Book> {
    let mut diagnostics = Diagnostics { texts, report };
    let names = names::Names::new(rules, off, &mut diagnostics);
    let settings = settings::settings(rules, &names, &mut diagnostics)?;
    let (mut looks, look_of) = looks::looks(rules, &names, off, &mut diagnostics);
    let symptoms = entries::symptoms(rules, &names, &look_of, &mut diagnostics);
    looks::lone(&mut looks, &symptoms);
    let causes = entries::causes(rules, &names, &settings, &mut diagnostics);
    let nodes = signs::nodes(rules, &names, &settings, &mut diagnostics);
    let fixes = fixes::fixes(rules, &names, &settings, &mut diagnostics);
    let (groups, group_names) = entries::groups(rules, off, &mut diagnostics);
    let cautions = safety::cautions(rules, &names, &mut diagnostics);
    let stop_now = safety::stop_now(rules, &names, &mut diagnostics);
    let edge_room = safety::edge_room(rules, &names, &mut diagnostics);
    let opening = entries::opening(rules, &names, &mut diagnostics);
    let book = Book {
        name: settings.name,
        version: settings.version,
        fingerprint,
        signed: None,
        at_most: settings.at_most,
        something_else: settings.something_else,
        minutes: settings.minutes,
        restart: settings.restart,
        reports: settings.reports,
        thresholds: settings.thresholds,
        walking: settings.walking,
        told: settings.told,
        words: settings.numbers.0,
        network: Network { priors: causes.map(|cause| cause.prior), nodes },
        causes,
        symptoms,
        looks,
        fixes,
        cautions,
        sources: entries::sources(rules, &mut diagnostics),
        glossary: entries::glossary(rules, &mut diagnostics),
        tools: tools::tools(rules, &mut diagnostics),
        opening,
        groups,
        group_names,
        roles: settings.roles,
        stop_now,
        edge_room: edge_room?,
        tell_specialist: settings.tell_specialist,
        gauge_sizes: gauge_sizes::sizes(rules, &names, &mut diagnostics),
    };
    if diagnostics.report.has_errors() {
        return None;
    }
    safety::hazards(&book, rules, &mut diagnostics);
    alike::alike(rules, &mut diagnostics);
    moving::moving(rules, &mut diagnostics);
    // What follows needs a book that holds together.
    let graph = DecisionGraph::new(&book);
    order::circles(&book, &graph, rules, &mut diagnostics);
    waiting::circles(&book, rules, &mut diagnostics);
    reach::reach(&book, &graph, rules, off, &mut diagnostics);
    voices::voices(&book, rules, &mut diagnostics);
    sums::sums(&book, rules, &mut diagnostics);
    sets::sets(&book, rules, &mut diagnostics);
    if !diagnostics.report.has_errors() {
        alike::twice(rules, &mut diagnostics);
    }
    (!diagnostics.report.has_errors()).then_some(book)
}

/// Where problems are written down.
struct Diagnostics<'t, 'r> {
    texts: &'t Texts,
    report: &'r mut Report,
}

impl Diagnostics<'_, '_> {
    fn place(&self, span: Span) -> Place {
        self.texts.place(span)
    }

    fn problem(&self, code: Code, span: Span, message: impl Into<String>) -> Problem {
        Problem::at(code, self.place(span), message)
    }

    fn add(&mut self, problem: Problem) {
        self.report.add(problem);
    }

    /// A problem with nothing more to say than its message and what to do.
    fn tell(&mut self, code: Code, span: Span, message: impl Into<String>, help: &str) {
        let problem = self.problem(code, span, message);
        self.add(if help.is_empty() { problem } else { problem.help(help) });
    }
}
