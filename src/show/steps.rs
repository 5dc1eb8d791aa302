//! A fix as a person reads it: steps with sides and directions filled in, cautions, when it is done.

use super::chance::{self, count};
use super::letters::capital;
use super::suspicion::SideKnown;
use super::words::Known;
use crate::plan::PlanStep;
use crate::rulebook::index::{CautionAt, FixAt};
use crate::rulebook::model::{Book, End, Fix, FixCheck, LooksAt, Source, Step, Toward, Work};
use crate::trade::MachineState;
use crate::trade::{Side, Strand, TakeUp};

/// What a person reads about one fix.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepWords {
    /// The steps in order. The isolation sequence is the first of a locked-out batch's first fix.
    pub text: Vec<String>,
    /// How to know it is done, with its source mark.
    pub done_when: String,
    /// The warnings in front of it, each with its rule.
    pub cautions: Vec<String>,
    /// What never to do.
    pub never: Vec<String>,
    /// How to see that it worked.
    pub worked: String,
    /// What is moved, so that it can be written down and put back.
    pub moves: Vec<MoveWords>,
}

/// One thing that a fix moves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MoveWords {
    /// What: "that return roll, WALKWAY end".
    pub what: String,
    /// Which side it is on, if known.
    pub side: Option<Side>,
    /// Which way along the conveyor, if it goes along it and that is known.
    pub toward_head: Option<bool>,
    /// Whether it goes up.
    pub up: bool,
}

/// The sequence in front of the work, as one step.
pub const ISOLATION: &str = "Lock the machine out by the site's procedure, in this order. Stop it. Isolate it. Lock it, each person with their own lock. Tag it. Release or block all stored energy: take-up weight or winch, tight belt, belt and load on a slope, springs, hung-up material. Try it: reset pull cords and interlocks, then press start. Nothing may move. Look once more that the blocks hold.";

/// What stands round a step that moves the belt.
const GIVEN_BACK_FIRST: &str = "Before: tools out, guards on, people clear, locks off, start warning. After: isolate, lock, tag, block and try again.";

/// What stands before the steps of a fix.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Preface {
    /// The isolation sequence, if the fix is done locked out.
    Isolation,
    /// Nothing: the machine is isolated already, or the page says it elsewhere.
    Nothing,
}

impl Preface {
    /// Before the fix at this place of a batch: the first one is isolated for.
    pub fn place(place: usize) -> Self {
        if place == 0 { Self::Isolation } else { Self::Nothing }
    }
}

/// What a person reads about one step of a plan.
pub fn plan_text(book: &Book, known: &Known, step: &PlanStep, before: Preface) -> StepWords {
    fix_text(book, known, step.fix, before)
}

/// The same for a fix that is not in a plan (any more).
pub fn fix_text(book: &Book, known: &Known, fix: FixAt, before: Preface) -> StepWords {
    let fix = &book.fixes[fix];
    let mut text = Vec::new();
    if before == Preface::Isolation && fix.state() == MachineState::LockedOut {
        text.push(ISOLATION.to_owned());
    }
    text.extend(check_lines(known, fix));
    text.extend(amount_lines(known, fix));
    text.extend(work_lines(known, fix));
    StepWords {
        text,
        done_when: done_when(known, fix),
        cautions: (book.warnings(fix.state(), &fix.cautions).into_iter())
            .filter(|at| book.cautions[*at].concerns(known.facts()))
            .map(|caution| caution_line(known, caution))
            .collect(),
        never: fix.never.iter().map(|text| known.fill(text)).collect(),
        worked: known.fill(&fix.worked),
        moves: moves(known, fix.steps()),
    }
}

/// When it is done, with what the limit rests on.
fn done_when(known: &Known, fix: &Fix) -> String {
    let (text, source) = &fix.done_when;
    let rests_on = match known.has_own_limit(text) {
        true => "The limit is the site's own".to_owned(),
        false => format!("Source: {}", mark(known.book(), source)),
    };
    format!("{}. {rests_on}.", known.fill(text).trim_end_matches('.'))
}

/// What is written down so that it can be put back: what is moved; in work under tension, what was marked before.
fn moves(known: &Known, steps: &[Step]) -> Vec<MoveWords> {
    let moved: Vec<MoveWords> = steps.iter().filter_map(|step| move_words(known, step)).collect();
    if !moved.is_empty() || !steps.iter().any(|step| matches!(step, Step::Tension(_))) {
        return moved;
    }
    let marked = steps.iter().filter_map(|step| match step {
        Step::Mark(what) => {
            Some(MoveWords { what: known.fill(what), side: None, toward_head: None, up: false })
        }
        _ => None,
    });
    marked.collect()
}

/// A caution with its rule, as it stands on a page of work.
pub fn caution_line(known: &Known, caution: CautionAt) -> String {
    let caution = &known.book().cautions[caution];
    format!("{} ({})", known.fill(&caution.text), caution.rule)
}

/// The checks of a fix, each with its minutes and what follows from it.
pub fn check_lines(known: &Known, fix: &Fix) -> Vec<String> {
    let count = fix.begins_with.len();
    let work = chance::minutes(fix.work_minutes());
    let mut lines: Vec<String> = (fix.begins_with.iter())
        .map(|check| {
            let minutes = chance::minutes(check.minutes);
            let order = capital(known.fill(check_order(known.book(), check)).trim_end_matches('.'));
            let mut line = match order.ends_with('?') {
                true => format!("{order} ({minutes})"),
                false => format!("{order} ({minutes})."),
            };
            if !check.stop_if.is_empty() {
                line.push_str(&format!(" {}? Stop here and leave it.", known.fill(&check.stop_if)));
            }
            match (count, check.needs.is_empty()) {
                (_, true) => {}
                (1, false) => line.push_str(&format!(
                    " {}? Then {} ({work}). If not, leave it.",
                    known.fill(&check.needs),
                    known.fill(&fix.in_short)
                )),
                (_, false) => {
                    line.push_str(&format!(" {}? It needs the work.", known.fill(&check.needs)));
                }
            }
            line
        })
        .collect();
    if !fix.checks_call() && count > 0 {
        lines.push(format!("If not: {} ({work}).", known.fill(&fix.in_short)));
    } else if count > 1 {
        lines.push(format!(
            "If one of these calls for it: {} ({work}). If none does, leave it.",
            known.fill(&fix.in_short)
        ));
    }
    lines
}

/// How a check is done, as an order; without one, the symptom's own question.
pub fn check_order<'b>(book: &'b Book, check: &'b FixCheck) -> &'b str {
    match &check.looks_at {
        LooksAt::Symptom { at, words, .. } if words.is_empty() => &book.symptoms[*at].ask,
        LooksAt::Symptom { words, .. } | LooksAt::Words { words, .. } => words,
    }
}

/// One step of work by hand, without what the conversation walks after it.
pub fn hand_text(known: &Known, step: &Step) -> String {
    match step {
        Step::Tension(text) => of_take_up(&known.fill(text), known.facts().take_up()),
        other => step_text(known, other),
    }
}

/// A step says in a sentence of its own what is done with screws, with a rope and with a weight. Those of other take-ups
/// are left out where it is known what keeps this belt tight.
fn of_take_up(text: &str, take_up: Option<TakeUp>) -> String {
    let others: &[&str] = match take_up {
        Some(TakeUp::Screw) => &["Rope: ", "Weight: "],
        Some(TakeUp::Winch) => &["Screws: ", "Weight: "],
        Some(TakeUp::Gravity | TakeUp::Carriage) => &["Screws: "],
        Some(TakeUp::None) | None => &[],
    };
    let kept = text
        .split_inclusive(". ")
        .filter(|sentence| !others.iter().any(|other| sentence.starts_with(other)));
    kept.collect::<String>().trim_end().to_owned()
}

/// The steps of work on a running machine.
pub fn watch_lines(known: &Known, fix: &Fix) -> Vec<String> {
    match &fix.work {
        Work::Running(steps) => steps.iter().map(|step| known.fill(step.text())).collect(),
        Work::LockedOut(_) => Vec::new(),
    }
}

/// The steps themselves, without the checks before them.
pub fn work_lines(known: &Known, fix: &Fix) -> Vec<String> {
    match &fix.work {
        Work::Running(_) => watch_lines(known, fix),
        Work::LockedOut(steps) => steps.iter().map(|step| step_text(known, step)).collect(),
    }
}

/// What was measured of the amounts.
pub fn amount_lines(known: &Known, fix: &Fix) -> Vec<String> {
    let lines = fix.amounts_from.iter().flat_map(|gauge| {
        let lines = known.amounts(gauge.id).iter();
        lines.map(|line| format!("As measured with the gauge {}: {line}", gauge.id))
    });
    lines.collect()
}

/// Where something comes from, in the few words that stand beside it.
pub fn mark(book: &Book, source: &Source) -> String {
    match source {
        Source::Published(at, place) if place.is_empty() => book.sources[*at].short.clone(),
        Source::Published(at, place) => format!("{}, {place}", book.sources[*at].short),
        Source::CommonPractice => "common practice, no published source".to_owned(),
        Source::Memory => "from memory, unverified".to_owned(),
        Source::Derived(from) => format!("derived from: {from}"),
    }
}

/// How many steps it has and which cautions stand before it, for the plan's short form.
pub fn in_short(words: &StepWords) -> String {
    let own = words.text.iter().filter(|text| *text != ISOLATION).count();
    let steps = count(own, "step", "steps");
    let cautions = count(words.cautions.len(), "caution", "cautions");
    format!("{steps}, {cautions}")
}

/// One step as the plan shows it.
pub fn step_text(known: &Known, step: &Step) -> String {
    match step {
        Step::Do(text) => known.fill(text),
        Step::Tension(text) => {
            format!("{} Then look at every block again, and try again.", known.fill(text))
        }
        Step::Jog(order) => format!("MOVE THE BELT: {} {GIVEN_BACK_FIRST}", known.fill(order)),
        Step::Restart(order) => format!("RUN AND WATCH: {} {GIVEN_BACK_FIRST}", known.fill(order)),
        Step::Mark(what) => {
            format!(
                "Mark the old position: {}. Use paint or a scribe, and write it down.",
                known.fill(what)
            )
        }
        Step::Move { what, how } => {
            how_it_goes(&format!("Move {}", known.fill(what)), ": ", &known.fill(how))
        }
        Step::Raise { what, end, by } => {
            let side = match known.end(*end) {
                Some(side) => format!("on the {} side", known.sides().of(side)),
                None => raise_unknown(*end).to_owned(),
            };
            let line =
                how_it_goes(&format!("Raise {} {side}", known.fill(what)), ", ", &known.fill(by));
            line + by_the_run(known, known.end_known(*end))
        }
        Step::MoveEnd { of, end, toward, by } => move_end(known, of, *end, *toward, by),
    }
}

fn move_end(known: &Known, raw: &str, end: End, toward: Toward, by: &str) -> String {
    let (of, by) = (known.fill(raw), known.fill(by));
    let skew = matches!(toward, Toward::WithStrand | Toward::AgainstStrand);
    if skew && known.reversing() == Some(true) {
        return format!(
            "Reversing belt: skew nothing. Leave {of} square to the belt line, or set it square."
        );
    }
    let way = match (toward, strand_of(known, raw)) {
        (Toward::Head, _) => "toward the head".to_owned(),
        (Toward::Tail, _) => "toward the tail".to_owned(),
        (Toward::OtherPulley, _) => match known.toward_other_pulley() {
            Some(way) => format!("toward the other end pulley, so {way}"),
            None => "toward the other end pulley".to_owned(),
        },
        (Toward::WithStrand, Some((strand, _))) => strand.way().to_owned(),
        (Toward::SquareUp, Some((strand, StrandBy::ItsName))) => strand.way().to_owned(),
        (Toward::SquareUp, Some((strand, StrandBy::Answers))) => {
            format!("{}{OTHER_STRAND} {})", strand.way(), strand.against())
        }
        (Toward::AgainstStrand, Some((strand, _))) => strand.against().to_owned(),
        (Toward::WithStrand | Toward::SquareUp, None) => both_ways(Strand::way),
        (Toward::AgainstStrand, None) => both_ways(Strand::against),
    };
    let side = end_of(known, raw, end);
    let (suspected, end) =
        (by_the_run(known, side), known.end_of_side(end, side.map(SideKnown::side)));
    let unsure = match skew && known.reversing().is_none() {
        true => "Do this only if the belt never runs in reverse. ",
        false => "",
    };
    format!("{unsure}Move {end} of {of} {way}. How far: {by}.{suspected}")
}

/// What is moved and how, in one sentence; in two where one would be too long to be read standing up.
fn how_it_goes(what: &str, between: &str, how: &str) -> String {
    const MOST_WORDS: usize = 22;
    let joined = format!("{what}{between}{how}.");
    let first = joined.split(". ").next().unwrap_or_default();
    match first.split_whitespace().count() <= MOST_WORDS {
        true => joined,
        false => format!("{what}. How: {how}."),
    }
}

/// What stands before the way of an idler of the other strand, where the answers alone tell the strand: a skewed set may
/// stand on the strand that runs well, and show on the other one round the pulley.
pub(super) const OTHER_STRAND: &str = " (one of the other strand:";

/// Said where the side is taken from where the belt runs.
fn by_the_run(known: &Known, side: Option<SideKnown>) -> &'static str {
    match (side, known.reversing()) {
        (Some(SideKnown::Suspected(_)), Some(true)) => {
            " The side follows from where the belt runs in the forward run. A measured side comes first."
        }
        (Some(SideKnown::Suspected(_)), _) => {
            " The side follows from where the belt runs. A measured side comes first."
        }
        _ => "",
    }
}

fn both_ways(way: fn(Strand) -> &'static str) -> String {
    format!("(carry strand: {}; return strand: {})", way(Strand::Carry), way(Strand::Return))
}

/// What tells the strand of what is moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum StrandBy {
    /// Its own name in the rule: "that return roll".
    ItsName,
    /// Where the belt was seen to be off.
    Answers,
}

/// The thing itself tells the strand it bears; else the answers do.
fn strand_of(known: &Known, of: &str) -> Option<(Strand, StrandBy)> {
    let of = of.to_lowercase();
    match (of.contains("return"), of.contains("carry") || of.contains("trough")) {
        (true, false) => Some((Strand::Return, StrandBy::ItsName)),
        (false, true) => Some((Strand::Carry, StrandBy::ItsName)),
        _ => known.strand().map(|strand| (strand, StrandBy::Answers)),
    }
}

/// An end of what is moved. Where the belt was told to be worst on one strand, its side says nothing of a part that
/// bears the other.
fn end_of(known: &Known, of: &str, end: End) -> Option<SideKnown> {
    let bears = match strand_of(known, of) {
        Some((strand, StrandBy::ItsName)) => Some(strand),
        Some((_, StrandBy::Answers)) | None => None,
    };
    let elsewhere = bears.zip(known.strand_of_place()).is_some_and(|(bears, told)| bears != told);
    let by_the_belt = matches!(end, End::BeltSide | End::FarSide);
    known.end_known(end).filter(|side| match side {
        SideKnown::Measured(_) => !(elsewhere && by_the_belt),
        SideKnown::Suspected(_) => !elsewhere,
    })
}

fn raise_unknown(end: End) -> &'static str {
    match end {
        End::LowFrameSide | End::LowPulleySide | End::LowIdlerSide => "on the low side",
        End::BeltSide => "on the side the belt has run to",
        End::FarSide => "on the side away from the belt",
        End::SlackSide => "on the slack side",
        End::TightSide => "on the tight side",
        End::LeadingEnd => "at the end that the belt meets first",
        End::LaggingEnd => "at the end that the belt meets last",
        End::ShortPulleySide => "on the shorter side",
        End::LongPulleySide => "on the longer side",
        End::LeadingSnubEnd => "at the end that the belt meets first",
    }
}

fn move_words(known: &Known, step: &Step) -> Option<MoveWords> {
    let sided = |what: &str, side: Option<Side>| match side {
        Some(side) => format!("{}, {} end", known.fill(what), known.sides().of(side)),
        None => known.fill(what),
    };
    match step {
        Step::Do(_) | Step::Mark(_) | Step::Tension(_) | Step::Jog(_) | Step::Restart(_) => None,
        Step::Move { what, .. } => {
            Some(MoveWords { what: known.fill(what), side: None, toward_head: None, up: false })
        }
        Step::Raise { what, end, .. } => Some(MoveWords {
            what: sided(what, known.end(*end)),
            side: known.end(*end),
            toward_head: None,
            up: true,
        }),
        Step::MoveEnd { toward: Toward::WithStrand | Toward::AgainstStrand, .. }
            if known.reversing() == Some(true) =>
        {
            None
        }
        Step::MoveEnd { of, end, toward, .. } => {
            let toward_head = match (toward, strand_of(known, of).map(|(strand, _)| strand)) {
                (Toward::OtherPulley, _) => {
                    known.toward_other_pulley().map(|way| way == Strand::Carry.way())
                }
                (Toward::Head, _)
                | (Toward::WithStrand | Toward::SquareUp, Some(Strand::Carry))
                | (Toward::AgainstStrand, Some(Strand::Return)) => Some(true),
                (Toward::Tail, _)
                | (Toward::WithStrand | Toward::SquareUp, Some(Strand::Return))
                | (Toward::AgainstStrand, Some(Strand::Carry)) => Some(false),
                (_, None) => None,
            };
            let side = end_of(known, of, *end).map(SideKnown::side);
            Some(MoveWords { what: sided(of, side), side, toward_head, up: false })
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test that cannot go on fails loudly")]
mod tests {
    use super::*;
    use crate::conveyor::facts::Facts;
    use crate::rulebook::load::default_book;
    use crate::show::amounts::{Amounts, MeasuredAmount};
    use crate::show::words::Sides;

    #[test]
    fn a_step_tells_of_the_take_up_that_there_is() {
        let text = "Nobody in line. Screws: both back. Rope: paid out. Weight: hoisted. Then look.";
        let of = |take_up| of_take_up(text, take_up);
        assert_eq!(of(Some(TakeUp::Screw)), "Nobody in line. Screws: both back. Then look.");
        assert_eq!(of(Some(TakeUp::Winch)), "Nobody in line. Rope: paid out. Then look.");
        assert!(!of(Some(TakeUp::Carriage)).contains("Screws"));
        assert_eq!(of(None), text, "nobody has said which");
    }

    #[test]
    fn what_was_measured_stands_with_the_steps_of_the_fixes_that_ask_for_it() {
        let book = default_book().unwrap();
        let facts = Facts::default();
        let sides = Sides::named(None, None);
        let answers = book.symptoms.map(|_| None);
        let amounts = Amounts {
            measured: vec![MeasuredAmount {
                gauge: "takeup",
                says: vec!["Slacken the RIGHT screw by 12 mm.".to_owned()],
                size: Some(
                    "12 mm, give or take 0.7 mm (gauge takeup: the RIGHT bearing)".to_owned(),
                ),
            }],
            ..Amounts::default()
        };
        let known = Known::new(&book, &facts, &sides, &answers).with_amounts(&amounts);
        let said = "As measured with the gauge takeup: Slacken the RIGHT screw by 12 mm.";
        for (at, fix) in book.fixes.iter() {
            let asks = fix.amounts_from.iter().any(|gauge| gauge.id == "takeup");
            let words = fix_text(&book, &known, at, Preface::Nothing);
            assert_eq!(words.text.iter().any(|line| line == said), asks, "{}", fix.id);
        }
        let amount = "by 12 mm, give or take 0.7 mm (gauge takeup: the RIGHT bearing)";
        let equalise = book.fixes.iter().find(|(_, fix)| fix.id == "equalise-screws").unwrap().0;
        let text = fix_text(&book, &known, equalise, Preface::Nothing).text;
        let line_at = text.iter().position(|line| line == said).unwrap();
        let moved_at = text.iter().position(|line| line.contains(amount)).unwrap();
        assert!(line_at < moved_at, "{text:?}");
        assert!(
            book.fixes
                .values()
                .any(|fix| fix.amounts_from.iter().any(|gauge| gauge.id == "takeup"))
        );
    }
}
