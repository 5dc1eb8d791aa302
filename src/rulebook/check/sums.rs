//! Sums over the whole book: priors, what is left out, what giving up costs.

use crate::problem::{Code, Problem};
use crate::rulebook::model::Book;
use crate::rulebook::rules::Rules;
use crate::trade::MachineState;

use super::{Diagnostics, sets};

/// The priors of all causes that can apply together sum to at most this.
const PRIORS: f64 = 0.8;
/// At most so much chance of more causes at once than are reckoned with.
const LEFT_OUT: f64 = 0.02;
/// Giving up costs at least so many times the longest batch.
const GIVE_UP: f64 = 4.0;

pub(super) fn sums(book: &Book, rules: &Rules, diagnostics: &mut Diagnostics) {
    let Some(written) = rules.book.as_ref().map(|book| &book.value) else {
        return;
    };
    // On a conveyor of which nothing is known every cause applies, so that is the worst one.
    let priors: Vec<f64> = book.causes.values().map(|cause| cause.prior).collect();
    let sum: f64 = priors.iter().sum();
    if sum > PRIORS + 1e-9 {
        let message = format!(
            "the priors of all causes sum to {sum:.3}; more than {PRIORS} is not believable"
        );
        let problem = diagnostics.problem(Code::PriorSum, written.how_common.everyday.span, message).help(
            "make causes less common by word, or lower the numbers behind the words in book.ron",
        );
        diagnostics.add(problem);
    }
    let left = mass_left_out(&priors, book.at_most);
    if left > LEFT_OUT {
        let message = format!(
            "more than {} causes at once have a chance of {left:.3}; at most {LEFT_OUT} may be left out",
            book.at_most
        );
        let help = match sets::most(&book.network) {
            most if most > book.at_most => "raise at_most, or make causes less common".to_owned(),
            most => format!(
                "make causes less common: with so many of them at_most cannot be above {most}"
            ),
        };
        let problem =
            diagnostics.problem(Code::MassLeftOut, written.at_most.span, message).help(help);
        diagnostics.add(problem);
    }
    give_up(book, rules, diagnostics);
}

/// The chance of more than `at_most` causes, if there is at least one.
pub(super) fn mass_left_out(priors: &[f64], at_most: usize) -> f64 {
    let mut exactly = vec![0.0; at_most + 1];
    if let Some(none) = exactly.first_mut() {
        *none = 1.0;
    }
    for prior in priors {
        let before = exactly.clone();
        for (count, chance) in exactly.iter_mut().enumerate() {
            let fewer =
                count.checked_sub(1).and_then(|fewer| before.get(fewer)).copied().unwrap_or(0.0);
            *chance = *chance * (1.0 - prior) + fewer * prior;
        }
    }
    let none = exactly.first().copied().unwrap_or(1.0);
    let few: f64 = exactly.iter().skip(1).sum();
    if none >= 1.0 { 0.0 } else { (1.0 - none - few).max(0.0) / (1.0 - none) }
}

/// A batch is one lock-out with the longest single fix at the least.
fn give_up(book: &Book, rules: &Rules, diagnostics: &mut Diagnostics) {
    let Some(written) = rules.book.as_ref() else {
        return;
    };
    let batch = |state: MachineState, minutes: f64| {
        let lock = if state == MachineState::LockedOut { book.minutes.lock_out } else { 0.0 };
        lock + minutes + book.minutes.restart_and_watch
    };
    let longest = book
        .fixes
        .iter()
        .map(|(at, fix)| (batch(fix.state(), fix.minutes), at))
        .max_by(|one, two| one.0.total_cmp(&two.0));
    let Some((minutes, at)) = longest else { return };
    if book.minutes.give_up < GIVE_UP * minutes {
        let span = written.minutes.give_up.span;
        let message = format!(
            "give_up is {} minutes; it must be at least 4 times the longest batch, {minutes} minutes",
            book.minutes.give_up
        );
        let mut problem: Problem = diagnostics
            .problem(Code::GiveUp, span, message)
            .help(format!("write at least {}", GIVE_UP * minutes));
        use crate::rulebook::index::Place;
        if let Some(fix) = rules.fixes.get(at.position()) {
            problem = problem.also(diagnostics.place(fix.minutes.span), "the longest fix");
        }
        diagnostics.add(problem);
    }
}

#[cfg(test)]
mod tests {
    use super::mass_left_out;

    #[test]
    fn the_chance_of_more_causes_is_that_of_the_binomial() {
        assert_eq!(mass_left_out(&[], 3), 0.0);
        assert_eq!(mass_left_out(&[0.1, 0.2, 0.3], 3), 0.0);
        let none = 0.9 * 0.8 * 0.7;
        assert!(
            (mass_left_out(&[0.1, 0.2, 0.3], 2) - 0.1 * 0.2 * 0.3 / (1.0 - none)).abs() < 1e-12
        );
    }
}
