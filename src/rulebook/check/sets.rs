//! How many sets of causes a book asks to be reckoned with, and the most that can be.
//!
//! A question keeps a chance of each answer for every set of up to `at_most` of the causes with a sign on it, and a
//! visit keeps a few numbers for every such set of the causes that its answers speak for. Both grow as binomials, so
//! that one more cause at once may cost ten times as much.

use crate::problem::Code;
use crate::rulebook::index::CauseAt;
use crate::rulebook::model::Book;
use crate::rulebook::network::Network;
use crate::rulebook::rules::Rules;

use super::Diagnostics;

/// So many numbers may be kept, of eight bytes each: some hundred megabytes, and a few seconds for a whole finding.
const MOST_NUMBERS: f64 = 32e6;
/// As many answers as a long visit has; those with most causes count.
const ANSWERS: usize = 24;
/// What came of work ties so many causes together (`reason::belief`).
const TIED: usize = 120;
/// Numbers kept in a visit for each set.
const LISTS: f64 = 4.0;
/// No book may ask for more at once.
pub(super) const MOST_AT_ONCE: usize = 6;

/// Whether the book asks for more than can be reckoned with.
pub(super) fn sets(book: &Book, rules: &Rules, diagnostics: &mut Diagnostics) {
    let Some(written) = rules.book.as_ref().map(|book| &book.value) else {
        return;
    };
    let wanted = numbers(&book.network, book.at_most);
    if wanted <= MOST_NUMBERS {
        return;
    }
    let message = format!(
        "sets of up to {} of {} causes need {} million numbers to be kept; {} million can be",
        book.at_most,
        book.causes.len(),
        (wanted / 1e6).ceil(),
        MOST_NUMBERS / 1e6
    );
    let help = match most(&book.network) {
        0 => "with so many causes and signs not even one at once can be reckoned with".to_owned(),
        most => format!(
            "write at most {most}: with these causes and signs no more can be reckoned with"
        ),
    };
    diagnostics.add(diagnostics.problem(Code::AtMost, written.at_most.span, message).help(help));
}

/// The most causes at once that can be reckoned with.
pub(super) fn most(network: &Network) -> usize {
    let fit = |at_most: &usize| numbers(network, *at_most) <= MOST_NUMBERS;
    (1..=MOST_AT_ONCE).take_while(fit).last().unwrap_or(0)
}

/// How many numbers have to be kept.
fn numbers(network: &Network, at_most: usize) -> f64 {
    let mut scopes: Vec<Vec<CauseAt>> = Vec::new();
    let mut kept = 0.0;
    for node in network.nodes.values() {
        let scope = node.linked();
        // The chance of each answer, and how much they leave open.
        kept += up_to(scope.len(), at_most) * (node.answers + 1) as f64;
        scopes.push(scope);
    }
    scopes.sort_by_key(|scope| std::cmp::Reverse(scope.len()));
    let mut spoken_for: Vec<CauseAt> = scopes.into_iter().take(ANSWERS).flatten().collect();
    spoken_for.sort_unstable();
    spoken_for.dedup();
    let tied = spoken_for.len().max(network.priors.len().min(TIED));
    kept + LISTS * up_to(tied, at_most)
}

/// How many sets of up to so many of `n` things there are.
fn up_to(n: usize, at_most: usize) -> f64 {
    let mut of_size = 1.0;
    let mut all = 1.0;
    for size in 0..at_most.min(n) {
        of_size *= (n - size) as f64 / (size + 1) as f64;
        all += of_size;
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rulebook::index::Place;
    use crate::rulebook::network::{Kind, Node};

    /// So many causes, and so many signs that each have a number of them.
    fn network(causes: usize, signs: usize, linked: usize) -> Network {
        let links = |nth: usize| (0..linked).map(move |at| (nth + at) % causes);
        let node = |nth: usize| {
            let mut links: Vec<_> = links(nth).map(|c| (CauseAt::at(c), 0.5)).collect();
            links.sort_by_key(|(cause, _)| *cause);
            Node { answers: 2, kind: Kind::Sign { leak: 0.1, links } }
        };
        Network {
            priors: std::iter::repeat_n(0.01, causes).collect(),
            nodes: (0..signs).map(node).collect(),
        }
    }

    #[test]
    fn sets_are_counted_as_binomials() {
        assert_eq!(up_to(5, 2), 1.0 + 5.0 + 10.0);
        assert_eq!(up_to(3, 6), 8.0);
        assert_eq!(up_to(0, 3), 1.0);
        // One sign of two causes: 4 sets and 3 numbers for each; 4 sets and 4 for the visit.
        assert_eq!(numbers(&network(2, 1, 2), 2), 12.0 + 16.0);
    }

    #[test]
    fn few_causes_may_all_be_there_at_once_and_many_with_few_signs_each_three() {
        assert_eq!(most(&network(20, 40, 20)), 6);
        assert_eq!(most(&network(41, 40, 41)), 4);
        assert_eq!(most(&network(1_000, 2_000, 10)), 3);
        assert_eq!(most(&network(10_000, 100, 9_000)), 1);
    }
}
