//! Likelihood words to numbers, and rows of them.

use crate::problem::{Code, count};
use crate::rulebook::index::Place;
use crate::rulebook::written::{Favoured, Likelihood};
use crate::source::Span;
use crate::source::parse::{Spanned, Text};

use super::Diagnostics;
use super::conditions::answer;
use super::names::each_once;
use super::settings::{LEAST, MOST, Numbers};
/// Favoured answers that do not name all may sum to this much.
const FAVOURED: f64 = 0.97;
/// Sums of decimal fractions are this exact.
const EXACT: f64 = 1e-9;

/// A single likelihood; out of range it is reported.
pub(super) fn chance(
    written: Spanned<Likelihood>,
    numbers: &Numbers,
    diagnostics: &mut Diagnostics,
) -> f64 {
    let value = numbers.of(written.value);
    // Words were checked where they are declared.
    if matches!(written.value, Likelihood::Chance(_)) && !(LEAST..=MOST).contains(&value) {
        let message = format!("a likelihood of {value} is out of range");
        diagnostics.tell(
            Code::Chance,
            written.span,
            message,
            "nothing is certain: write a number from 0.001 to 0.999",
        );
    }
    value
}

/// The row over all answers of a symptom: the favoured ones as written, the others share the rest.
/// Nothing is scaled: what does not sum up is reported.
pub(super) fn row(
    favoured: &[Favoured],
    (symptom, answers): (&str, &[(Text, Text)]),
    span: Span,
    numbers: &Numbers,
    diagnostics: &mut Diagnostics,
) -> Option<Vec<f64>> {
    each_once(&favoured.iter().map(|f| &f.0).collect::<Vec<_>>(), diagnostics);
    let mut row = vec![None; answers.len()];
    let mut good = true;
    for Favoured(id, likelihood) in favoured {
        let value = chance(*likelihood, numbers, diagnostics);
        match answer(id, symptom, answers, diagnostics).and_then(|at| row.get_mut(at.position())) {
            Some(entry) => *entry = Some(value),
            None => good = false,
        }
    }
    if !good {
        return None;
    }
    let sum: f64 = row.iter().flatten().sum();
    let others = row.iter().filter(|entry| entry.is_none()).count();
    let words =
        || favoured.iter().map(|f| spell(f.1.value, numbers)).collect::<Vec<_>>().join(" + ");
    if others == 0 && (sum - 1.0).abs() > EXACT {
        let message =
            format!("all answers are named, but their likelihoods sum to {sum:.3} instead of 1");
        let problem = diagnostics
            .problem(Code::RowSum, span, message)
            .says(words())
            .help("leave one answer out: what remains is its likelihood");
        diagnostics.add(problem);
        return None;
    }
    if others > 0 && sum > FAVOURED + EXACT {
        let message =
            format!("the favoured answers sum to {sum:.3}; at most {FAVOURED} may be given away");
        let problem = diagnostics.problem(Code::RowSum, span, message).says(words()).help(format!(
            "{} must keep a share: take weaker words",
            count(others, "other answer")
        ));
        diagnostics.add(problem);
        return None;
    }
    // With at most 12 answers nobody's share falls below 0.001.
    let share = (1.0 - sum) / others.max(1) as f64;
    Some(row.into_iter().map(|entry| entry.unwrap_or(share)).collect())
}

/// The cumulative form of a row; its last entry is exactly 1.
pub(super) fn cumulative(row: &[f64]) -> Vec<f64> {
    let mut sum = 0.0;
    let mut all: Vec<f64> = row
        .iter()
        .map(|entry| {
            sum += entry;
            sum
        })
        .collect();
    if let Some(last) = all.last_mut() {
        *last = 1.0;
    }
    all
}

/// `Often (0.55)`, or `Chance(0.3)`.
fn spell(likelihood: Likelihood, numbers: &Numbers) -> String {
    match likelihood {
        Likelihood::Chance(value) => format!("Chance({value})"),
        word => format!("{word:?} ({})", numbers.of(word)),
    }
}
