//! Two books on the same draws: one sentence first, then the figures, for people without statistics; a document for
//! programs.

use serde::Serialize;

use super::chance::of_hundred;
use super::page::{Page, Screen};
use super::proof_policy::{JsonBook, row};
use crate::proof::paired::{Against, Paired, Verdict, Wanted};
use crate::rulebook::model::Book;
use crate::stream::paint::Ink;

/// What was held against what.
#[derive(Debug, Clone, Copy)]
pub struct AgainstHead<'h> {
    /// The old book, and what it was called on the command line.
    pub old: (&'h Book, &'h str),
    /// The new one.
    pub new: (&'h Book, &'h str),
    /// The seed of the draws.
    pub seed: u64,
    /// What was drawn: "visit", "conveyor".
    pub what: &'static str,
}

/// The page.
pub fn page(
    screen: Screen,
    head: AgainstHead<'_>,
    of: &Against,
    wrong: Option<(usize, usize)>,
) -> String {
    let mut page = Page::new(screen);
    page.title("Better or worse?");
    page.para_in(ink(of.verdict()), &sentence(of));
    for (which, (book, called)) in [("old: ", head.old), ("new: ", head.new)] {
        let print = book.fingerprint.get(..8).unwrap_or("");
        page.item(which, &format!("{called} ({}, version {}, {print})", book.name, book.version));
    }
    page.blank();
    page.para(&format!(
        "Both books had the same {} {}s with the same hidden causes (seed {}).",
        of.draws, head.what, head.seed
    ));
    if of.left_out > 0 {
        page.para(&format!(
            "{} more left out: what is hidden there is no cause of both books.",
            of.left_out
        ));
    }
    page.blank();
    for (label, paired, wanted) in [
        ("Right cause leads", &of.right_first, Some(Wanted::More)),
        ("Among the first three", &of.right_in_three, None),
        ("Belt ran true", &of.ran_true, Some(Wanted::More)),
    ] {
        row(
            &mut page,
            label,
            &format!("{}; {}", hundreds(paired), verdict_of(paired, wanted, share_range)),
        );
    }
    let minutes = &of.minutes;
    row(
        &mut page,
        "Minutes to true",
        &format!(
            "{:.0} -> {:.0}; {}",
            minutes.old,
            minutes.new,
            verdict_of(minutes, Some(Wanted::Less), minutes_range)
        ),
    );
    if let Some((old, new)) = wrong {
        row(&mut page, "Sent the wrong way", &format!("{old} -> {new} times; it must be 0"));
    }
    page.para_in(
        Ink::Faint,
        "\"From ... to\": in 19 of 20 such comparisons the true difference lies in between. Where that holds both signs it cannot be told which book is better; more draws (--runs) narrow it.",
    );
    page.finish()
}

fn ink(verdict: Verdict) -> Ink {
    match verdict {
        Verdict::Worse => Ink::Warn,
        Verdict::Better => Ink::Good,
        Verdict::CannotBeTold | Verdict::Same => Ink::Strong,
    }
}

/// What it comes to, in one sentence.
pub fn sentence(of: &Against) -> String {
    if of.draws == 0 {
        return "Cannot be told: nothing could be drawn for both books.".to_owned();
    }
    let verdict = of.verdict();
    let word = word(verdict);
    let judged = of.judged();
    // The figure that the verdict rests on; where nothing was told, the one that weighs most.
    let rests = judged.iter().find(|(_, paired, wanted)| paired.verdict(*wanted) == verdict);
    let (name, paired) =
        rests.map_or(("right-first", &of.right_first), |(name, paired, _)| (*name, *paired));
    match name {
        "minutes" => format!(
            "{word}: it takes {:.0} minutes until the belt runs true, was {:.0}.",
            paired.new, paired.old
        ),
        name => {
            let what =
                if name == "ran-true" { "the belt runs true" } else { "the right cause leads" };
            format!("{word}: {what} in {}.", was(paired))
        }
    }
}

/// "86 of 100, was 93".
fn was(paired: &Paired) -> String {
    let [old, new] = [paired.old, paired.new].map(of_hundred);
    if old == new { format!("{new} of 100 by both") } else { format!("{new} of 100, was {old}") }
}

fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Better => "Better",
        Verdict::Worse => "Worse",
        Verdict::CannotBeTold => "Cannot be told",
        Verdict::Same => "No difference",
    }
}

fn hundreds(paired: &Paired) -> String {
    let [old, new] = [paired.old, paired.new].map(of_hundred);
    format!("{old} -> {new} of 100")
}

fn verdict_of(paired: &Paired, wanted: Option<Wanted>, range: fn(&Paired) -> String) -> String {
    let verdict = wanted.map(|wanted| paired.verdict(wanted));
    match verdict {
        Some(Verdict::Same) => "no difference".to_owned(),
        Some(verdict) => format!("{} ({})", word(verdict).to_lowercase(), range(paired)),
        None => range(paired),
    }
}

fn share_range(paired: &Paired) -> String {
    let (low, high) = paired.between();
    format!("from {:+.1} to {:+.1} of 100", low * 100.0, high * 100.0)
}

fn minutes_range(paired: &Paired) -> String {
    let (low, high) = paired.between();
    format!("from {low:+.0} to {high:+.0} minutes")
}

/// The same for programs.
#[derive(Debug, Serialize)]
pub struct AgainstJson<'a> {
    format: u32,
    verdict: Verdict,
    sentence: String,
    old: JsonBook<'a>,
    new: JsonBook<'a>,
    seed: u64,
    of: &'static str,
    #[serde(flatten)]
    figures: &'a Against,
    judged: Vec<JudgedJson>,
    wrong_ways: Option<(usize, usize)>,
}

#[derive(Debug, Serialize)]
struct JudgedJson {
    figure: &'static str,
    verdict: Verdict,
    between: (f64, f64),
}

impl<'a> AgainstJson<'a> {
    /// Of these figures.
    pub fn new(head: AgainstHead<'a>, of: &'a Against, wrong: Option<(usize, usize)>) -> Self {
        let judged = of.judged().map(|(figure, paired, wanted)| JudgedJson {
            figure,
            verdict: paired.verdict(wanted),
            between: paired.between(),
        });
        Self {
            format: 1,
            verdict: of.verdict(),
            sentence: sentence(of),
            old: head.old.0.into(),
            new: head.new.0.into(),
            seed: head.seed,
            of: head.what,
            figures: of,
            judged: judged.into(),
            wrong_ways: wrong,
        }
    }
}
