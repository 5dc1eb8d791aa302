//! What simulated visits say about the questioning: a page for people, a document for programs.

use serde::Serialize;

use super::chance::{minutes, of_hundred, percent};
use super::page::{Page, Screen};
use crate::proof::optimal::Exact;
use crate::proof::policy::{Calibration, Figures, PolicyReport};
use crate::proof::score::{Band, Brier, Mean, Share};
use crate::proof::walk::{AskingOrder, Policy, SURE, Until};
use crate::rulebook::model::Book;
use crate::stream::paint::Ink;

/// Columns from which on there is room for a table.
pub(super) const TABLE: usize = 76;
/// Columns of what stands before a value.
const LABEL: usize = 24;

/// What the figures are of.
#[derive(Debug, Clone, Copy)]
pub struct PolicyHead<'h> {
    /// The book.
    pub book: &'h Book,
    /// The seed of the visits.
    pub seed: u64,
    /// The conveyor of all visits; without one, conveyors were drawn too.
    pub conveyor: Option<&'h str>,
}

/// The page.
pub fn page(screen: Screen, head: PolicyHead<'_>, report: &PolicyReport) -> String {
    let mut page = Page::new(screen);
    page.title("How good the questioning is");
    if let Some((_, own)) = report.figures.first() {
        let of_100 = |share: &Share| of_hundred(share.value());
        page.para_in(
            Ink::Strong,
            &format!(
                "The right cause leads in {} of 100 visits, after {:.0} minutes of asking. The belt runs true in {} of 100, after {:.0} minutes in all.",
                of_100(&own.right_first),
                own.minutes_asking.mean,
                of_100(&own.cured),
                own.minutes.mean
            ),
        );
    }
    let on = match head.conveyor {
        Some(name) => format!("all to the conveyor {name}"),
        None => "each to a conveyor drawn too".to_owned(),
    };
    page.para(&format!(
        "{}, version {}: {} visits drawn from the book itself, {on}; seed {}.",
        head.book.name, head.book.version, report.visits, head.seed
    ));
    page.para_in(
        Ink::Faint,
        "So this measures the way of asking, not the book: real conveyors may not be as the book says.",
    );
    page.blank();
    let mut figures = report.figures.iter();
    if let Some((policy, own)) = figures.next() {
        page.head(&name(*policy));
        block(&mut page, own);
    }
    if figures.len() > 0 {
        page.blank().head("Against other ways of asking");
        page.para_in(Ink::Faint, "All make and follow the plan in the same way.");
        if page.width() >= TABLE {
            table(&mut page, report);
        } else {
            figures.for_each(|(policy, of)| short(&mut page, *policy, of));
        }
    }
    if let Some((_, own)) = report.figures.first() {
        kept(&mut page, &own.leading, &own.all);
    }
    if let Some(exact) = &report.exact {
        best(&mut page, exact);
    }
    page.finish()
}

fn name(policy: Policy) -> String {
    let order = match policy.order {
        AskingOrder::Own => "The program's own way",
        AskingOrder::Book => "In book order",
        AskingOrder::Random => "In random order",
        AskingOrder::OneThing => "One thing at a time",
    };
    match (policy.order, policy.until) {
        (AskingOrder::Own, Until::Enough) => order.to_owned(),
        (_, Until::Enough) => format!("{order}, until it is enough"),
        (AskingOrder::Own, Until::At(percent)) => format!("Own way, until {percent} % sure"),
        (_, Until::At(percent)) => format!("{order}, until {percent} % sure"),
        (_, Until::Looked) => "All looks while it runs".to_owned(),
        (_, Until::Told) => "All looks and all checks".to_owned(),
        (_, Until::Sure) => format!("{order}, until {:.0} % sure", SURE * 100.0),
    }
}

fn block(page: &mut Page, of: &Figures) {
    row(page, "Leading cause right", &share_of(&of.right_first));
    if of.named_other.of > 0 {
        row(page, "None of them, said so", &share_of(&of.named_other));
    }
    row(page, "Right in first three", &share_of(&of.right_in_three));
    row(page, "Cured in the end", &share_of(&of.cured));
    row(page, "Questions asked", &number(&of.questions));
    row(page, "Minutes asking", &number(&of.minutes_asking));
    row(page, "Minutes to true, stated", &number(&of.minutes_expected));
    row(page, "Minutes to true, came", &number(&of.minutes));
}

pub(super) fn row(page: &mut Page, label: &str, value: &str) {
    page.item(&format!("  {label:<LABEL$}"), value);
}

fn table(page: &mut Page, report: &PolicyReport) {
    page.line(
        Ink::Faint,
        &format!(
            "  {:<37}{:>6}{:>7}{:>8}{:>8}{:>8}",
            "", "first", "three", "quest.", "asking", "to true"
        ),
    );
    for (policy, of) in &report.figures {
        page.line(
            Ink::Plain,
            &format!(
                "  {:<37}{:>6}{:>7}{:>8.1}{:>8.0}{:>8.0}",
                name(*policy),
                share(&of.right_first),
                share(&of.right_in_three),
                of.questions.mean,
                of.minutes_asking.mean,
                of.minutes.mean
            ),
        );
    }
    page.para_in(
        Ink::Faint,
        "First, three: a cause that was present led, or was among the first three. Then questions asked, minutes asking, and minutes until the belt ran true or was given up.",
    );
}

fn short(page: &mut Page, policy: Policy, of: &Figures) {
    page.item("  ", &name(policy));
    let figures = [
        format!("leads {}", share(&of.right_first)),
        // Only where such conveyors were drawn.
        match of.named_other.of {
            0 => String::new(),
            _ => format!("none of them said {}", share(&of.named_other)),
        },
        format!("in three {}", share(&of.right_in_three)),
        format!("{:.1} questions", of.questions.mean),
        format!("{:.0} min asking", of.minutes_asking.mean),
        format!("{:.0} min to true", of.minutes.mean),
    ];
    let told: Vec<&str> = figures.iter().map(String::as_str).filter(|of| !of.is_empty()).collect();
    page.item("    ", &told.join(", "));
}

pub(super) fn kept(page: &mut Page, leading: &Calibration, all: &Calibration) {
    page.blank().head("Whether its word is kept");
    if let Some(brier) = &all.brier {
        // The root brings the mean square back to chances.
        let off = 100.0 * brier.reliability.max(0.0).sqrt();
        page.para(&format!(
            "Its word is kept to about {off:.0} in 100. Where it says that a cause is there in 60 of 100 cases, it is there in {:.0} to {:.0}.",
            (60.0 - off).max(0.0),
            60.0 + off
        ));
    }
    page.para("The chance stated for the leading cause, and how often that cause was present. Range, here and above: in it the true share lies with 95 %.");
    page.line(Ink::Faint, "    band %  stated   true    n  range");
    for band in leading.bands.iter().filter(|band| band.came_true.of > 0) {
        page.line(Ink::Plain, &line(band));
    }
    for (what, kept) in [("leading cause", leading), ("all causes", all)] {
        if let Some(brier) = &kept.brier {
            page.para(&score(what, brier));
        }
    }
    page.para_in(
        Ink::Faint,
        "The Brier score is the mean squared distance of what was said from what was so. Reliability: how far the bands are from keeping their word. Resolution: how far they differ, the more the better. Uncertainty: what no book can help.",
    );
}

fn line(band: &Band) -> String {
    let (low, high) = band.came_true.between;
    format!(
        "  {:>4.0}-{:<3.0} {:>7}{:>7}{:>5}  {:>2.0}-{:.0} %",
        band.above * 100.0,
        band.up_to * 100.0,
        percent(band.stated),
        share(&band.came_true),
        band.came_true.of,
        low * 100.0,
        high * 100.0
    )
}

fn score(what: &str, brier: &Brier) -> String {
    format!(
        "Brier score, {what}: {:.4} (0 is perfect) = reliability {:.4} - resolution {:.4} + uncertainty {:.4} {} {:.4} within bands.",
        brier.score,
        brier.reliability,
        brier.resolution,
        brier.uncertainty,
        if brier.within < 0.0 { '-' } else { '+' },
        brier.within.abs()
    )
}

fn best(page: &mut Page, exact: &Exact) {
    page.blank().head("Against the best way there is");
    page.para(&format!(
        "This book is small enough to work out the best way of asking from every state of the answers. Nothing is known of the conveyor. Expected from the first question to true: {:.1} min by the best way. By the program's own: {:.1} min ({:+.2} %). Without any question: {:.1} min ({:+.2} %).",
        exact.best,
        exact.own,
        more(exact.own, exact.best),
        exact.at_once,
        more(exact.at_once, exact.best)
    ));
}

fn more(this: f64, best: f64) -> f64 {
    (this / best - 1.0) * 100.0
}

/// "84 %"; all and nothing only where it was all or nothing.
pub(super) fn share(share: &Share) -> String {
    match share.hits {
        _ if share.of == 0 => "-".to_owned(),
        0 => "0 %".to_owned(),
        hits if hits == share.of => "100 %".to_owned(),
        _ => percent(share.value()),
    }
}

pub(super) fn share_of(of: &Share) -> String {
    let (low, high) = of.between;
    format!(
        "{} ({} of {}; range {:.0} to {:.0} %)",
        share(of),
        of.hits,
        of.of,
        low * 100.0,
        high * 100.0
    )
}

pub(super) fn number(of: &Mean) -> String {
    let long = if of.mean >= 90.0 { format!(" = {}", minutes(of.mean)) } else { String::new() };
    format!("{:.1} (give or take {:.1}){long}", of.mean, of.give_or_take)
}

/// The document for programs.
#[derive(Debug, Serialize)]
pub struct PolicyJson<'j> {
    format: u32,
    book: JsonBook<'j>,
    visits: usize,
    others: usize,
    seed: u64,
    conveyor: Option<&'j str>,
    policies: Vec<JsonPolicy<'j>>,
    exact: Option<Exact>,
}

/// A book in a document.
#[derive(Debug, Serialize)]
pub struct JsonBook<'j> {
    name: &'j str,
    version: &'j str,
    fingerprint: &'j str,
}

impl<'j> From<&'j Book> for JsonBook<'j> {
    fn from(book: &'j Book) -> Self {
        Self { name: &book.name, version: &book.version, fingerprint: &book.fingerprint }
    }
}

#[derive(Debug, Serialize)]
struct JsonPolicy<'j> {
    order: &'static str,
    until: String,
    right_first: Share,
    named_other: Share,
    right_in_three: Share,
    cured: Share,
    questions: Mean,
    minutes_asking: Mean,
    minutes_to_true_stated: Mean,
    minutes_to_true: Mean,
    leading_cause: JsonKept<'j>,
    all_causes: JsonKept<'j>,
}

/// Whether stated chances came true, in a document.
#[derive(Debug, Serialize)]
pub struct JsonKept<'j> {
    bands: &'j [Band],
    brier: Option<Brier>,
}

impl<'j> From<&'j Calibration> for JsonKept<'j> {
    fn from(kept: &'j Calibration) -> Self {
        Self { bands: &kept.bands, brier: kept.brier }
    }
}

impl<'j> PolicyJson<'j> {
    /// The document.
    pub fn new(head: PolicyHead<'j>, report: &'j PolicyReport) -> Self {
        Self {
            format: 1,
            book: head.book.into(),
            visits: report.visits,
            others: report.others,
            seed: head.seed,
            conveyor: head.conveyor,
            policies: report.figures.iter().map(policy).collect(),
            exact: report.exact,
        }
    }
}

fn policy((policy, of): &(Policy, Figures)) -> JsonPolicy<'_> {
    JsonPolicy {
        order: match policy.order {
            AskingOrder::Own => "own",
            AskingOrder::Book => "book",
            AskingOrder::Random => "random",
            AskingOrder::OneThing => "one-thing",
        },
        until: match policy.until {
            Until::Enough => "enough".to_owned(),
            Until::Sure => "sure".to_owned(),
            Until::At(percent) => format!("at-{percent}"),
            Until::Looked => "looked".to_owned(),
            Until::Told => "told".to_owned(),
        },
        right_first: of.right_first,
        named_other: of.named_other,
        right_in_three: of.right_in_three,
        cured: of.cured,
        questions: of.questions,
        minutes_asking: of.minutes_asking,
        minutes_to_true_stated: of.minutes_expected,
        minutes_to_true: of.minutes,
        leading_cause: (&of.leading).into(),
        all_causes: (&of.all).into(),
    }
}
