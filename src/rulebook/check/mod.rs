//! From the written rule book to the checked one. Every problem is reported; a book comes out only
//! when none of them is an error.

mod begins_with;
mod conditions;
mod entries;
mod fixes;
mod gauges;
mod hands;
mod looks;
mod mark_links;
mod marks;
mod meanings;
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
mod waiting;
mod words;

pub(crate) use begins_with::{CHECK, LONG_WORK_MIN};
pub(crate) use hands::{move_of_the_belt, speaks_of, work_for_hands};
pub(crate) use settings::other_schema;

use std::collections::BTreeSet;

use crate::problem::{Code, Problem, Report};
use crate::source::{Place, Span, Texts};

use super::graph::DecisionGraph;
use super::model::Book;
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
    /// Symptoms that stay, and were in a look that is switched off.
    pub out_of_looks: BTreeSet<String>,
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
    let (groups, group_names) = entries::groups(rules, &mut diagnostics);
    let cautions = safety::cautions(rules, &names, &mut diagnostics);
    let stop_now = safety::stop_now(rules, &names, &mut diagnostics);
    let edge_room = safety::edge_room(rules, &names, &mut diagnostics);
    let opening = entries::opening(rules, &names, &mut diagnostics);
    let book = Book {
        name: settings.name,
        version: settings.version,
        fingerprint,
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
    };
    if diagnostics.report.has_errors() {
        return None;
    }
    safety::hazards(&book, rules, &mut diagnostics);
    // What follows needs a book that holds together.
    let graph = DecisionGraph::new(&book);
    order::circles(&book, &graph, rules, &mut diagnostics);
    waiting::circles(&book, rules, &mut diagnostics);
    reach::reach(&book, &graph, rules, &mut diagnostics);
    sums::sums(&book, rules, &mut diagnostics);
    sets::sets(&book, rules, &mut diagnostics);
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
