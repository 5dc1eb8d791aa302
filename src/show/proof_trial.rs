//! What a trial on drawn conveyors says about the rule book: a page for people, a document for programs.

use crate::trade::Side;
use serde::Serialize;

use super::chance::{self, of_hundred};
use super::page::{Page, Screen};
use super::proof_policy::{JsonBook, JsonKept, TABLE, kept, number, row, share, share_of};
use crate::drill::account::Split;
use crate::drill::eyes::Eyes;
use crate::drill::measures::{Measures, OfNumber, Spread};
use crate::drill::others::Others;
use crate::drill::trial::{OfCause, Report, WrongWay};
use crate::drill::ways::{Along, By, Said, Work};
use crate::proof::score::{Mean, Share};
use crate::rulebook::index::CauseAt;
use crate::rulebook::model::Book;
use crate::stream::paint::Ink;

/// What the figures are of.
#[derive(Debug, Clone, Copy)]
pub struct TrialHead<'h> {
    /// The book.
    pub book: &'h Book,
    /// The seed of the conveyors.
    pub seed: u64,
    /// How well the people see.
    pub eyes: Eyes,
    /// The share of conveyors whose trouble is none of the book's causes, 0..1.
    pub other: f64,
}

/// The page.
pub fn page(screen: Screen, head: TrialHead<'_>, report: &Report) -> String {
    let mut page = Page::new(screen);
    page.title("The book on the belt-line model");
    let of_100 = |share: &Share| of_hundred(share.value());
    page.para_in(
        Ink::Strong,
        &format!(
            "The right cause leads in {} of 100 conveyors, and the belt runs true in the end in {} of 100. Half of them take no longer than {:.0} minutes.",
            of_100(&report.right_first),
            of_100(&report.solved),
            report.minutes.median
        ),
    );
    page.para(&format!(
        "{}, version {}: {} conveyors with hidden causes; seed {}.",
        head.book.name, head.book.version, report.runs, head.seed
    ));
    page.para_in(
        Ink::Faint,
        "Causes are drawn as often as the book says; how the belt runs comes from the model, and what neither model nor parts tell comes from the book. Sizes are assumed. A cause that does badly is a question to book and model alike.",
    );
    if head.eyes != Eyes::default() {
        page.para(&format!(
            "Before work {} of what is looked at cannot be told, and {} of the signs that are there are overlooked.",
            chance::percent(head.eyes.unsure),
            chance::percent(head.eyes.miss)
        ));
    }
    if report.others.named.of > 0 {
        page.para(&format!(
            "Of {} more the trouble is none of the book's causes. They stand in these lines alone:",
            chance::count(report.others.named.of, "conveyor", "conveyors")
        ));
        row(&mut page, "Said when looking ended", &share_of(&report.others.named));
        row(&mut page, "Said in the end", &share_of(&report.others.named_in_the_end));
        row(&mut page, "Minutes until then", &number(&report.others.minutes));
    }
    if report.not_drawn > 0 {
        page.para(&format!("{} could not be drawn.", report.not_drawn));
    }
    page.blank();
    row(&mut page, "Leading cause right", &share_of(&report.right_first));
    row(&mut page, "Right in first three", &share_of(&report.right_in_three));
    row(&mut page, "Ran true in the end", &share_of(&report.solved));
    row(&mut page, "All causes put right", &share_of(&report.all_cured));
    row(
        &mut page,
        "Sent the wrong way",
        &format!("{} of {} sides named", report.wrong_ways.len(), report.sides_named),
    );
    row(&mut page, "Steering steps sided", &share_of(&report.measures.steps_sided));
    row(&mut page, "Leader's own job first", &share_of(&report.measures.first_step));
    row(&mut page, "Questions asked", &number(&report.questions));
    row(&mut page, "Pages before work", &number(&report.measures.pages));
    row(&mut page, "Things put before work", &number(&report.measures.things_put));
    row(&mut page, "Minutes asking", &number(&report.minutes_asking));
    row(&mut page, "Minutes before work", &number(&report.measures.minutes_before_work));
    row(&mut page, "Minutes to true", &spread(&report.minutes));
    row(&mut page, "An expert's minutes", &spread(&report.expert_minutes));
    page.para_in(
        Ink::Faint,
        "Sides named: of something that was out of order. Sided: of steps that move one end or one screw, strand and side told, those whose words name both. The leader's own job may stand behind another that the order of work puts first. What did not run true counts twice the minutes of somebody who knew all besides.",
    );
    minutes(&mut page, &report.measures);
    wrong(&mut page, head.book, &report.wrong_ways);
    kept(&mut page, &report.leading, &report.all);
    causes(&mut page, head.book, &report.causes);
    page.finish()
}

fn minutes(page: &mut Page, of: &Measures) {
    page.blank().head("What the minutes went into");
    let split = of.split;
    let into = [
        ("Looking", split.looks),
        ("Checks before work", split.checks),
        ("Lock-out and restart", split.isolation),
        ("Work on what was there", split.work_right),
        ("Work on what was fine", split.work_wrong),
        ("All of them", split.total()),
    ];
    for (name, minutes) in into {
        row(page, name, &format!("{minutes:.1} min"));
    }
    page.blank().head("Against somebody who knew all");
    row(page, "That one's minutes", &spread(&of.clairvoyant));
    row(page, "Minutes over these", &spread(&of.minutes_over));
    for (name, of) in [("One cause", &of.one_cause), ("More than one", &of.two_causes)] {
        page.line(Ink::Plain, &format!("  {name}, {} drawn", of.solved.of));
        row(page, "  Minutes over", &spread(&of.minutes_over));
        row(page, "  Leading cause right", &share_of(&of.right_first));
        row(page, "  Right in first three", &share_of(&of.right_in_three));
        row(page, "  Ran true in the end", &share_of(&of.solved));
        row(page, "  All causes put right", &share_of(&of.all_cured));
    }
    page.para_in(
        Ink::Faint,
        "Somebody who knew all looks at nothing and does the cheapest work that takes away what is hidden.",
    );
}

fn spread(of: &Spread) -> String {
    format!("{:.0} in the middle, mean {}", of.median, number(&of.mean))
}

fn wrong(page: &mut Page, book: &Book, ways: &[WrongWay]) {
    if ways.is_empty() {
        return;
    }
    page.blank().head("Sent the wrong way");
    for way in ways {
        let fix = &book.fixes[way.fix].id;
        page.item(&format!("  drawn-{}: ", way.seed), &format!("{fix}: {}", work(way.said)));
    }
}

fn work(said: Said) -> String {
    let side = match said.side {
        Side::Left => "left",
        Side::Right => "right",
    };
    let way = |along| match along {
        Along::Head => "toward the head",
        Along::Tail => "toward the tail",
        Along::WithStrand => "with its strand",
    };
    let done = match said.work {
        Work::SquareIdler(along) => format!("square the idler, {side} end {}", way(along)),
        Work::SteerByIdler(along) => format!("steer by an idler, {side} end {}", way(along)),
        Work::RaiseFrame => format!("raise the {side} side of the frame"),
        Work::RaisePulley => format!("raise the {side} end of the pulley"),
        Work::RaiseIdler => format!("raise the {side} end of the idler"),
        Work::SlackenScrew => format!("slacken the {side} screw until both are alike"),
        Work::SteerByScrew => format!("steer by slackening the {side} screw"),
        Work::TurnLoad => format!("turn the load to the {side}"),
        Work::Shelter => format!("shelter the belt on the {side}"),
        Work::SquarePulley => format!("move the {side} end of the end pulley inward"),
    };
    match said.by {
        By::Measured => done,
        By::WhereItRuns => format!("{done} (by where it runs)"),
    }
}

fn causes(page: &mut Page, book: &Book, causes: &[OfCause]) {
    page.blank().head("By cause, worst first");
    page.para_in(
        Ink::Faint,
        "First: it, or a cause hidden with it, led. Three: it was among the first three. True: the belt ran true in the end. Then what led instead, and how often.",
    );
    if page.width() >= TABLE {
        let line = format!(
            "  {:<26}{:>5}{:>7}{:>7}{:>7}  {}",
            "", "drawn", "first", "three", "true", "instead"
        );
        page.line(Ink::Faint, &line);
        for of in causes {
            let line = format!(
                "  {:<26}{:>5}{:>7}{:>7}{:>7}  {}",
                id(book, of.cause),
                of.drawn,
                share(&of.right_first),
                share(&of.in_three),
                share(&of.solved),
                instead(book, of)
            );
            page.line(Ink::Plain, line.trim_end());
        }
        return;
    }
    for of in causes {
        page.item("  ", &format!("{}, drawn {}", id(book, of.cause), of.drawn));
        let mut figures = vec![
            format!("first {}", share(&of.right_first)),
            format!("three {}", share(&of.in_three)),
            format!("true {}", share(&of.solved)),
        ];
        let instead = instead(book, of);
        if !instead.is_empty() {
            figures.push(format!("instead {instead}"));
        }
        page.item("    ", &figures.join(", "));
    }
}

fn id(book: &Book, cause: CauseAt) -> &str {
    &book.causes[cause].id
}

fn instead(book: &Book, of: &OfCause) -> String {
    of.said_instead
        .map_or_else(String::new, |(rival, times)| format!("{} {times}", book.causes[rival].id))
}

/// The document for programs.
#[derive(Debug, Serialize)]
pub struct TrialJson<'j> {
    format: u32,
    book: JsonBook<'j>,
    runs: usize,
    not_drawn: usize,
    seed: u64,
    unsure: f64,
    miss: f64,
    other: f64,
    others: JsonOthers,
    right_first: Share,
    right_in_three: Share,
    solved: Share,
    all_cured: Share,
    sides_named: usize,
    sent_wrong: usize,
    wrong_ways: Vec<JsonWrongWay<'j>>,
    questions: Mean,
    minutes_asking: Mean,
    pages: Mean,
    things_put: Mean,
    minutes_before_work: Mean,
    first_step: Share,
    steps_sided: Share,
    minutes_to_true: JsonSpread,
    expert_minutes: JsonSpread,
    minutes_split: JsonSplit,
    clairvoyant_minutes: JsonSpread,
    minutes_over: JsonSpread,
    one_cause: JsonOfNumber,
    two_causes: JsonOfNumber,
    leading_cause: JsonKept<'j>,
    all_causes: JsonKept<'j>,
    causes: Vec<JsonCause<'j>>,
}

#[derive(Debug, Serialize)]
struct JsonWrongWay<'j> {
    drill: String,
    fix: &'j str,
    says: String,
}

#[derive(Debug, Serialize)]
struct JsonOthers {
    named: Share,
    named_in_the_end: Share,
    minutes: Mean,
}

impl From<&Others> for JsonOthers {
    fn from(of: &Others) -> Self {
        let Others { named, named_in_the_end, minutes } = *of;
        Self { named, named_in_the_end, minutes }
    }
}

#[derive(Debug, Serialize)]
struct JsonSpread {
    mean: f64,
    give_or_take: f64,
    median: f64,
}

impl From<Spread> for JsonSpread {
    fn from(of: Spread) -> Self {
        Self { mean: of.mean.mean, give_or_take: of.mean.give_or_take, median: of.median }
    }
}

#[derive(Debug, Serialize)]
struct JsonSplit {
    looks: f64,
    checks: f64,
    isolation: f64,
    work_right: f64,
    work_wrong: f64,
}

impl From<Split> for JsonSplit {
    fn from(of: Split) -> Self {
        let Split { looks, checks, isolation, work_right, work_wrong } = of;
        Self { looks, checks, isolation, work_right, work_wrong }
    }
}

#[derive(Debug, Serialize)]
struct JsonOfNumber {
    right_first: Share,
    right_in_three: Share,
    solved: Share,
    all_cured: Share,
    minutes_over: JsonSpread,
}

impl From<&OfNumber> for JsonOfNumber {
    fn from(of: &OfNumber) -> Self {
        Self {
            right_first: of.right_first,
            right_in_three: of.right_in_three,
            solved: of.solved,
            all_cured: of.all_cured,
            minutes_over: of.minutes_over.into(),
        }
    }
}

#[derive(Debug, Serialize)]
struct JsonCause<'j> {
    cause: &'j str,
    drawn: usize,
    right_first: Share,
    in_three: Share,
    solved: Share,
    said_instead: Option<&'j str>,
    said_instead_times: usize,
    missed: Option<String>,
}

impl<'j> TrialJson<'j> {
    /// The document.
    pub fn new(head: TrialHead<'j>, report: &'j Report) -> Self {
        let book = head.book;
        let drill = |seed: u32| format!("drawn-{seed}");
        Self {
            format: 1,
            book: book.into(),
            runs: report.runs,
            not_drawn: report.not_drawn,
            seed: head.seed,
            unsure: head.eyes.unsure,
            miss: head.eyes.miss,
            other: head.other,
            others: (&report.others).into(),
            right_first: report.right_first,
            right_in_three: report.right_in_three,
            solved: report.solved,
            all_cured: report.all_cured,
            sides_named: report.sides_named,
            sent_wrong: report.wrong_ways.len(),
            wrong_ways: report
                .wrong_ways
                .iter()
                .map(|way| JsonWrongWay {
                    drill: drill(way.seed),
                    fix: &book.fixes[way.fix].id,
                    says: work(way.said),
                })
                .collect(),
            questions: report.questions,
            minutes_asking: report.minutes_asking,
            pages: report.measures.pages,
            things_put: report.measures.things_put,
            minutes_before_work: report.measures.minutes_before_work,
            first_step: report.measures.first_step,
            steps_sided: report.measures.steps_sided,
            minutes_to_true: report.minutes.into(),
            expert_minutes: report.expert_minutes.into(),
            minutes_split: report.measures.split.into(),
            clairvoyant_minutes: report.measures.clairvoyant.into(),
            minutes_over: report.measures.minutes_over.into(),
            one_cause: (&report.measures.one_cause).into(),
            two_causes: (&report.measures.two_causes).into(),
            leading_cause: (&report.leading).into(),
            all_causes: (&report.all).into(),
            causes: report
                .causes
                .iter()
                .map(|of| JsonCause {
                    cause: id(book, of.cause),
                    drawn: of.drawn,
                    right_first: of.right_first,
                    in_three: of.in_three,
                    solved: of.solved,
                    said_instead: of.said_instead.map(|(rival, _)| id(book, rival)),
                    said_instead_times: of.said_instead.map_or(0, |(_, times)| times),
                    missed: of.missed.map(drill),
                })
                .collect(),
        }
    }
}
