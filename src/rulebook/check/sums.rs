//! Sums over the whole book: priors, what is left out, what giving up costs.

use std::collections::BTreeSet;

use crate::conveyor::facts::{FactKey, Facts};
use crate::problem::{Code, Problem};
use crate::rulebook::index::{CauseAt, Place};
use crate::rulebook::model::{self, Book};
use crate::rulebook::part::BUILT_IN;
use crate::rulebook::rules::Rules;
use crate::rulebook::written::{Cause, Common};
use crate::source::Span;
use crate::source::parse::Spanned;
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
    // On a conveyor of which nothing is known every cause applies, each by its plain word.
    let plain = book.causes.iter().map(|(at, cause)| (at, cause.prior)).collect();
    let mut kinds = vec![Kind { says: String::new(), priors: plain }];
    if book.causes.values().any(|cause| !cause.priors_on.is_empty()) {
        kinds.extend(kinds_of_conveyor().map(|facts| Kind::new(book, facts)));
    }
    let site = Site::of(rules, &kinds, book.at_most, diagnostics);
    if let Some((kind, sum)) = worst(&kinds, PRIORS + 1e-9, |kind| sum(&kind.plain())) {
        let message = format!(
            "the priors of all causes{} sum to {sum:.3}; more than {PRIORS} is not believable",
            kind.says
        );
        let place = site.as_ref().map_or(written.how_common.everyday.span, |site| site.place);
        let help = match &site {
            Some(site) => site.help.clone(),
            None => {
                "make causes less common by word, or lower the numbers behind the words in book.ron"
                    .to_owned()
            }
        };
        let problem = diagnostics.problem(Code::PriorSum, place, message).help(help);
        diagnostics.add(problem);
    }
    let left = |kind: &Kind| mass_left_out(&kind.plain(), book.at_most);
    if let Some((kind, left)) = worst(&kinds, LEFT_OUT, left) {
        let message = format!(
            "more than {} causes at once{} have a chance of {left:.3}; at most {LEFT_OUT} may be left out",
            book.at_most, kind.says
        );
        let help = match (&site, sets::most(&book.network)) {
            (Some(site), _) => site.help.clone(),
            (None, most) if most > book.at_most => {
                "raise at_most, or make causes less common".to_owned()
            }
            (None, most) => format!(
                "make causes less common: with so many of them at_most cannot be above {most}"
            ),
        };
        let place = site.as_ref().map_or(written.at_most.span, |site| site.place);
        let problem = diagnostics.problem(Code::MassLeftOut, place, message).help(help);
        diagnostics.add(problem);
    }
    give_up(book, rules, diagnostics);
}

/// What a site laid over the default book can do about priors that are too much.
struct Site {
    /// Its own cause that weighs most.
    place: Span,
    help: String,
}

impl Site {
    /// Nothing unless some priors are the site's and others the default book's.
    fn of(
        rules: &Rules,
        kinds: &[Kind],
        at_most: usize,
        diagnostics: &Diagnostics,
    ) -> Option<Self> {
        let words = &rules.book.as_ref()?.value.how_common;
        let own = |cause: &Cause| {
            !diagnostics.texts.name(cause.how_common.span.file).starts_with(BUILT_IN)
        };
        let (site, below): (Vec<_>, Vec<_>) =
            rules.causes.iter().partition(|cause| own(&cause.value));
        let prior = |cause: &Cause| words.of(cause.how_common.value);
        let weighs = |one: &&&Spanned<Cause>, two: &&&Spanned<Cause>| {
            prior(&one.value).total_cmp(&prior(&two.value))
        };
        let place = site.iter().max_by(weighs).filter(|_| !below.is_empty())?.how_common.span;
        let own: BTreeSet<CauseAt> = (rules.causes.iter().enumerate())
            .filter(|(_, cause)| own(&cause.value))
            .map(|(at, _)| CauseAt::at(at))
            .collect();
        let fits = |by: f64| {
            kinds.iter().all(|kind| {
                let priors: Vec<f64> = (kind.priors.iter())
                    .map(|(at, prior)| if own.contains(at) { *prior } else { prior * by })
                    .collect();
                sum(&priors) <= PRIORS && mass_left_out(&priors, at_most) <= LEFT_OUT
            })
        };
        let by =
            (50..100_u8).rev().map(|hundredth| f64::from(hundredth) / 100.0).find(|by| fits(*by));
        let help = match by {
            Some(by) => {
                let now = rules.rescaled.unwrap_or(1.0);
                // Rounded down, so that it still fits.
                let whole = (now * by * 100.0 + 1e-6).floor() / 100.0;
                let word = |common| words.of(common);
                format!(
                    "write rescale: {whole} in site.ron. The {} causes of the default book are then {whole} times as common. Everyday {:.3} instead of {:.3}, Occasional {:.4} instead of {:.4}; their order stays, and yours gain on them. Or make your own less common",
                    below.len(),
                    whole * word(Common::Everyday),
                    now * word(Common::Everyday),
                    whole * word(Common::Occasional),
                    now * word(Common::Occasional),
                )
            }
            None => "make your own causes less common: no scale of the default book's makes room for so much".to_owned(),
        };
        Some(Self { place, help })
    }
}

fn sum(priors: &[f64]) -> f64 {
    priors.iter().sum()
}

/// A kind of conveyor with the priors of the causes that may be there.
struct Kind {
    /// " on a package conveyor", or nothing where nothing is known of it.
    says: String,
    priors: Vec<(CauseAt, f64)>,
}

impl Kind {
    fn new(book: &Book, facts: Facts) -> Self {
        let of: Vec<String> = facts
            .among(&FactKey::FOR_RULES)
            .filter(|fact| facts.said(fact.key()).is_some())
            .map(|fact| format!("{} {}", fact.key().word(), fact.value()))
            .collect();
        let applies = |cause: &model::Cause| {
            cause.only_if.iter().all(|condition| condition.of_conveyor(&facts) != Some(false))
        };
        let applying = book.causes.iter().filter(|(_, cause)| applies(cause));
        let priors = applying.map(|(at, cause)| (at, cause.prior_on(&facts))).collect();
        Self { says: format!(" on a conveyor with {}", of.join(", ")), priors }
    }

    fn plain(&self) -> Vec<f64> {
        self.priors.iter().map(|(_, prior)| *prior).collect()
    }
}

/// Every class with every take-up, indoors and outdoors; each of these as it is, and with each part that it may have.
fn kinds_of_conveyor() -> impl Iterator<Item = Facts> {
    let with = |facts: Vec<Facts>, key: FactKey| -> Vec<Facts> {
        let each = |facts: Facts| {
            key.values().into_iter().map(move |value| {
                let mut more = facts;
                more.set(value);
                more
            })
        };
        facts.into_iter().flat_map(each).collect()
    };
    let bare = [FactKey::Class, FactKey::TakeUp, FactKey::Place]
        .into_iter()
        .fold(vec![Facts::default()], with);
    bare.into_iter().flat_map(|facts| {
        let parts = FactKey::PARTS.into_iter().filter_map(move |part| {
            let yes = part.with("yes").filter(|_| facts.get(part).is_none())?;
            let mut more = facts;
            more.set(yes);
            Some(more)
        });
        std::iter::once(facts).chain(parts)
    })
}

/// The first of those that are worst by some measure, if that is above the limit.
fn worst(kinds: &[Kind], limit: f64, of: impl Fn(&Kind) -> f64) -> Option<(&Kind, f64)> {
    let measured = kinds.iter().map(|kind| (kind, of(kind))).filter(|(_, size)| *size > limit);
    measured.reduce(|worst, next| if next.1 > worst.1 + 1e-12 { next } else { worst })
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
