//! How likely each mark is ticked: by itself, and with each cause.

use crate::problem::Code;
use crate::rulebook::index::Place;
use crate::rulebook::network::Kind;
use crate::rulebook::written::{Favoured, Likely, Symptom};

use super::Diagnostics;
use super::conditions::answer;
use super::marks::written;
use super::names::each_once;
use super::rows::chance;
use super::settings::Numbers;

/// Marks before any cause is linked to them: each has its chance by itself, and all are named.
pub(super) fn bare(symptom: &Symptom, numbers: &Numbers, diagnostics: &mut Diagnostics) -> Kind {
    let span = symptom.leak.span;
    let leaks = match &symptom.leak.value {
        Likely::Word(_) => {
            let message = "marks need a list of answers by itself, not one likelihood";
            let help = "write a list with all of them: by_itself: [(\"answer\", Seldom), ...]";
            diagnostics.tell(Code::WrongKind, span, message, help);
            None
        }
        Likely::Row(named) => row(named, symptom, numbers, diagnostics),
    };
    let Some(leaks) = leaks else {
        return Kind::Marks { leaks: vec![0.5; written(symptom).len()], links: Vec::new() };
    };
    let unnamed = written(symptom).iter().zip(&leaks).filter(|(_, leak)| leak.is_none());
    let unnamed: Vec<String> = unnamed.map(|((id, _), _)| format!("`{id}`")).collect();
    if !unnamed.is_empty() {
        let message = format!("nothing says how often {} is ticked by itself", unnamed.join(", "));
        let help = "each mark has a chance of its own, and none is left over: name all of them";
        diagnostics.tell(Code::Marks, span, message, help);
    }
    let leaks = leaks.into_iter().map(|leak| leak.unwrap_or(0.5)).collect();
    Kind::Marks { leaks, links: Vec::new() }
}

/// How likely a cause brings each mark; one that it does not name has no link.
pub(super) fn links(
    named: &[Favoured],
    symptom: &Symptom,
    numbers: &Numbers,
    diagnostics: &mut Diagnostics,
) -> Option<Vec<f64>> {
    let links = row(named, symptom, numbers, diagnostics)?;
    Some(links.into_iter().map(|link| link.unwrap_or(0.0)).collect())
}

/// The chance of each mark that is named; nothing if one of them is not known.
fn row(
    named: &[Favoured],
    symptom: &Symptom,
    numbers: &Numbers,
    diagnostics: &mut Diagnostics,
) -> Option<Vec<Option<f64>>> {
    each_once(&named.iter().map(|f| &f.0).collect::<Vec<_>>(), diagnostics);
    let mut row = vec![None; written(symptom).len()];
    let mut good = true;
    for Favoured(id, likelihood) in named {
        let value = chance(*likelihood, numbers, diagnostics);
        let at = answer(id, &symptom.id, &symptom.answers, diagnostics);
        match at.and_then(|at| row.get_mut(at.position())) {
            Some(entry) => *entry = Some(value),
            None => good = false,
        }
    }
    good.then_some(row)
}
