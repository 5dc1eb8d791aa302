//! What comes back at a conveyor: the same cause within weeks, a fix that did not hold, training done again and again. What
//! of it answers a question of the book is offered as answered; a person confirms it.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::bounds::Calendar;
use super::entry::{Entry, Reading, What, Work};
use super::ratchet::Watch;
use super::story::Story;
use super::visit_mark::VisitMark;
use crate::trade::LogbookSign;

/// Visits this far apart at most are about the same thing. Our own.
const SAME_WITHIN_DAYS: i64 = 26 * 7;
/// A fix that was done no longer ago did not hold. Our own.
const HELD_DAYS: i64 = 8 * 7;
/// What was tried no longer ago is what was tried against this run-off. Our own.
const TRIED_DAYS: i64 = 6 * 7;
/// Tightened so often within a year is again and again. Our own.
const AGAIN: usize = 2;
const A_YEAR_DAYS: i64 = 365;
/// Trimmed so often is for years. Our own.
const TRIMMED: usize = 3;
/// A screw was turned more than the other when the difference changed by more than this.
const ONE_MORE_MM: f64 = 1.5;
/// Both were tightened when the mean went out by more than this.
const BOTH_MM: f64 = 1.0;

/// Something that the logbook says, and that may answer a question of the book.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offered {
    /// What it says; a symptom of the book names the answer that this speaks for.
    pub sign: LogbookSign,
    /// What in the logbook says so.
    pub grounds: Grounds,
}

/// What in the logbook says so.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Grounds {
    /// Tightened so often since that day.
    Tightened(usize, Date),
    /// The screws drift apart.
    ScrewsApart,
    /// Trimmed on these days.
    Trimmed(Vec<Date>),
    /// The last thing that was done, and when.
    LastDone(Date),
}

/// What comes back.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ComesBack {
    /// Causes that were cured more than once, with the days of those visits, the latest last.
    pub causes: Vec<(String, Vec<Date>)>,
    /// The last visit ended true, and no long time ago: it did not hold. Its day, its causes, the fixes done.
    pub did_not_hold: Option<(Date, Vec<String>, Vec<String>)>,
    /// The days on which idlers were trimmed, where that was again and again.
    pub trimmed: Vec<Date>,
    /// Jobs that were left open.
    pub open_jobs: Vec<String>,
    /// What is offered as answered.
    pub offered: Vec<Offered>,
    /// Visits whose day is not known, because a clock was set back.
    pub unsure_visits: usize,
    /// The latest day in the book, where this machine's clock stands before it: how long ago anything was is not known.
    pub clock_behind: Option<Date>,
}

impl ComesBack {
    /// By the story so far, for a visit that begins today. `trims` tells of a fix's id whether it trims idlers.
    pub fn of(
        story: &Story,
        watch: Option<&Watch>,
        today: Date,
        trims: &dyn Fn(&str) -> bool,
    ) -> Self {
        let calendar = Calendar { today, latest: story.latest_day() };
        let today = match calendar.behind() {
            None => Some(today),
            Some(_) => None,
        };
        let trimmed = trimmed(story, trims);
        let mut offered = Vec::new();
        offered.extend(tightened(watch, today));
        offered.extend(
            watch
                .filter(|watch| steered(watch))
                .map(|_| Offered { sign: LogbookSign::ScrewAhead, grounds: Grounds::ScrewsApart }),
        );
        if trimmed.len() >= TRIMMED {
            let grounds = Grounds::Trimmed(trimmed.clone());
            offered.push(Offered { sign: LogbookSign::OftenTrimmed, grounds });
        }
        offered.extend(tried(story, today));
        Self {
            causes: again(story, today),
            did_not_hold: did_not_hold(story, today),
            trimmed: if trimmed.len() >= TRIMMED { trimmed } else { Vec::new() },
            open_jobs: story.open_jobs().iter().map(|(_, _, job)| job.job.clone()).collect(),
            offered,
            unsure_visits: story.visits().filter(|(entry, _)| story.day(entry).is_none()).count(),
            clock_behind: calendar.behind(),
        }
    }

    /// Whether there is nothing to say.
    pub fn is_nothing(&self) -> bool {
        *self == Self::default()
    }
}

/// Whether one day is no more than so many days before another; that is not so where the other is not known.
fn within(then: Date, now: Option<Date>, days: i64) -> bool {
    let span = now.and_then(|now| then.until(now).ok());
    span.is_some_and(|span| i64::from(span.get_days()) <= days)
}

/// Causes cured more than once, the last time no long time ago; by visits whose day is known.
fn again(story: &Story, today: Option<Date>) -> Vec<(String, Vec<Date>)> {
    let mut days: BTreeMap<&str, Vec<Date>> = BTreeMap::new();
    for (entry, mark) in story.visits() {
        for (cause, day) in mark.cured.iter().zip(std::iter::repeat(story.day(entry))) {
            days.entry(cause).or_default().extend(day);
        }
    }
    let close = |days: &[Date]| {
        let last = days.last().is_some_and(|last| within(*last, today, SAME_WITHIN_DAYS));
        let pair = |pair: &[Date]| matches!(pair, [one, other] if within(*one, Some(*other), SAME_WITHIN_DAYS));
        last && days.windows(2).any(pair)
    };
    let back = days.into_iter().filter(|(_, days)| close(days));
    back.map(|(cause, days)| (cause.to_owned(), days)).collect()
}

fn did_not_hold(story: &Story, today: Option<Date>) -> Option<(Date, Vec<String>, Vec<String>)> {
    let (entry, mark) = story.visits().rfind(|(_, mark)| mark.is_over())?;
    let on = story.day(entry)?;
    let cured = !mark.cured.is_empty() && within(on, today, HELD_DAYS);
    cured.then(|| (on, mark.cured.clone(), mark.done.clone()))
}

/// The days on which idlers were trimmed.
fn trimmed(story: &Story, trims: &dyn Fn(&str) -> bool) -> Vec<Date> {
    let on = |entry: &&Entry| match &entry.what {
        What::Done { on, work: Work::Trimmed, .. } => Some(*on),
        // A day that is not known is the clock's: it is the number of times that counts.
        What::Visit(VisitMark { done, .. }) if done.iter().any(|fix| trims(fix)) => {
            Some(entry.on())
        }
        _ => None,
    };
    story.told.iter().filter_map(on).collect()
}

fn tightened(watch: Option<&Watch>, today: Option<Date>) -> Option<Offered> {
    let watch = watch?;
    let recent: Vec<&Reading> = watch
        .points
        .iter()
        .filter(|point| within(point.on, today, A_YEAR_DAYS))
        .map(|point| &point.reading)
        .collect();
    let pairs = recent.windows(2);
    let steps = pairs.filter(|pair| match pair {
        [one, other] => super::ratchet::is_tighter(one, other),
        _ => false,
    });
    let times = steps.count();
    let since = watch.points.iter().find(|point| within(point.on, today, A_YEAR_DAYS))?.on;
    (times >= AGAIN).then_some(Offered {
        sign: LogbookSign::OftenTightened,
        grounds: Grounds::Tightened(times, since),
    })
}

/// One screw was turned more than the other, again and again: the difference surely grows.
fn steered(watch: &Watch) -> bool {
    let leads: Vec<f64> =
        watch.points.iter().filter_map(|point| Some(point.reading.lead()?.0)).collect();
    let (Some(first), Some(last)) = (leads.first(), leads.last()) else { return false };
    watch.lead.is_some_and(|lead| lead.surely_goes()) && (last - first).abs() > 2.0 * ONE_MORE_MM
}

/// The last thing that was done against it, if that was no long time ago.
fn tried(story: &Story, today: Option<Date>) -> Option<Offered> {
    let mut before: Option<Reading> = None;
    let mut last: Option<(Date, LogbookSign)> = None;
    for entry in &story.told {
        match &entry.what {
            What::Done { on, work: Work::Trimmed, .. } => {
                last = Some((*on, LogbookSign::TrimmedLast));
            }
            // With another belt both stand where it needs them.
            What::Done { work, .. } if work.renews_the_belt() => before = None,
            What::TakeUp { on, reading, .. } => {
                if let Some(sign) = before.and_then(|before| turned(&before, reading)) {
                    last = Some((*on, sign));
                }
                before = Some(*reading);
            }
            // What was tried before a visit was tried against another run-off.
            What::Visit(mark) if mark.is_over() => last = None,
            _ => {}
        }
    }
    let (on, sign) = last.filter(|(on, _)| within(*on, today, TRIED_DAYS))?;
    Some(Offered { sign, grounds: Grounds::LastDone(on) })
}

/// What was done to the take-up between two readings.
fn turned(before: &Reading, after: &Reading) -> Option<LogbookSign> {
    if let (Some(one), Some(other)) = (before.lead(), after.lead())
        && (other.0 - one.0).abs() > ONE_MORE_MM
    {
        return Some(LogbookSign::ScrewLast);
    }
    match (before, after) {
        (Reading::Screws { .. }, Reading::Screws { .. }) => {
            let (one, other) = (before.out()?, after.out()?);
            (other.0 - one.0 > BOTH_MM).then_some(LogbookSign::TightenedLast)
        }
        _ => super::ratchet::is_tighter(before, after).then_some(LogbookSign::TightenedLast),
    }
}

#[cfg(test)]
mod tests {
    use jiff::Timestamp;
    use jiff::civil::date;

    use super::*;
    use crate::logbook::size::Millimetres;
    use crate::logbook::visit_mark::OpenJob;
    use crate::logbook::{Entry, TabletId, TakeUpSizes};
    use crate::visit::event::Ended;
    use crate::visit::store::VisitStatus;

    fn entry(what: What) -> Entry {
        Entry::new(&TabletId::named("aaaa").unwrap(), Timestamp::UNIX_EPOCH, None, what)
    }

    fn visit(number: u32, on: &str, cured: &[&str], done: &[&str]) -> Entry {
        entry(What::Visit(VisitMark {
            visit: number,
            begun: format!("{on}T08:00:00Z").parse().unwrap(),
            state: VisitStatus::Over(Ended::True),
            events: 1,
            minutes: 90,
            cured: cured.iter().map(|id| (*id).to_owned()).collect(),
            cured_else: None,
            likeliest: None,
            done: done.iter().map(|id| (*id).to_owned()).collect(),
            ran: None,
            open_jobs: vec![OpenJob { cause: "cake".to_owned(), job: format!("Job {number}") }],
        }))
    }

    fn screws(month: i8, left: f64, right: f64) -> Entry {
        let (left, right) = (Millimetres(left), Millimetres(right));
        let reading = Reading::Screws { left, right };
        entry(What::TakeUp { on: date(2026, month, 1), reading, why: None })
    }

    fn on(entries: &[Entry], today: Date) -> ComesBack {
        let story = Story::of(entries);
        let watch = Watch::over(&story, &TakeUpSizes::default());
        ComesBack::of(&story, watch.as_ref(), today, &|fix| fix.starts_with("train-"))
    }

    fn offers(back: &ComesBack) -> Vec<&str> {
        back.offered.iter().map(|offered| offered.sign.word()).collect()
    }

    #[test]
    fn the_same_cause_within_half_a_year_comes_back_and_a_fix_of_last_month_did_not_hold() {
        let entries = [
            visit(1, "2026-02-03", &["cake"], &["clean"]),
            visit(2, "2026-05-04", &["cake"], &["clean"]),
        ];
        let back = on(&entries, date(2026, 6, 1));
        assert_eq!(back.causes, [("cake".to_owned(), vec![date(2026, 2, 3), date(2026, 5, 4)])]);
        let (on_day, _, done) = back.did_not_hold.unwrap();
        assert_eq!((on_day, done), (date(2026, 5, 4), vec!["clean".to_owned()]));
        assert_eq!(back.open_jobs, ["Job 1", "Job 2"]);
        let later = on(&entries, date(2027, 5, 1));
        assert!(later.causes.is_empty() && later.did_not_hold.is_none());
        let once = on(&entries[..1], date(2026, 6, 1));
        assert!(once.causes.is_empty());
    }

    #[test]
    fn a_ratchet_answers_three_questions_of_the_book() {
        let entries: Vec<Entry> = (1..7_i8)
            .map(|month| screws(month, 200.0 + 4.0 * f64::from(month), 200.0 + f64::from(month)))
            .collect();
        let back = on(&entries, date(2026, 6, 20));
        assert_eq!(offers(&back), ["often-tightened", "screw-ahead", "screw-last"]);
        assert_eq!(back.offered[0].grounds, Grounds::Tightened(5, date(2026, 1, 1)));
        // Years later nothing of it is lately.
        assert_eq!(offers(&on(&entries, date(2029, 6, 20))), ["screw-ahead"]);
    }

    #[test]
    fn both_screws_alike_are_tension_and_no_steering() {
        let entries: Vec<Entry> = (1..7_i8)
            .map(|month| {
                screws(month, 200.0 + 4.0 * f64::from(month), 200.0 + 4.0 * f64::from(month))
            })
            .collect();
        let told = on(&entries, date(2026, 6, 20));
        assert_eq!(offers(&told), ["often-tightened", "tightened-last"]);
    }

    #[test]
    fn readings_before_and_after_a_new_splice_are_no_turn_of_a_screw() {
        let on_day = date(2026, 2, 1);
        let splice = entry(What::Done { on: on_day, work: Work::SpliceMade, note: None });
        let turned = [screws(1, 214.0, 210.0), screws(3, 230.0, 190.0)];
        assert_eq!(offers(&on(&turned, date(2026, 3, 20))), ["screw-last"]);
        let [before, after] = turned;
        assert_eq!(offers(&on(&[before, splice, after], date(2026, 3, 20))), [""; 0]);
    }

    #[test]
    fn trimming_again_and_again_is_told_wherever_it_was_done() {
        let trimmed =
            |month| entry(What::Done { on: date(2026, month, 1), work: Work::Trimmed, note: None });
        let entries = [trimmed(1), visit(1, "2026-02-03", &[], &["train-carry-run"]), trimmed(3)];
        let back = on(&entries, date(2026, 3, 20));
        assert_eq!(offers(&back), ["often-trimmed", "trimmed-last"]);
        assert_eq!(back.trimmed.len(), 3);
        assert!(offers(&on(&entries[..2], date(2026, 3, 20))).is_empty(), "a visit came after it");
    }

    #[test]
    fn with_a_clock_set_back_nothing_is_said_of_how_long_ago_it_was() {
        let mut entries: Vec<Entry> =
            (1..7_i8).map(|month| screws(month, 200.0 + 4.0 * f64::from(month), 200.0)).collect();
        entries.push(visit(1, "2026-02-03", &["cake"], &["clean"]));
        entries.push(visit(2, "2026-05-04", &["cake"], &["clean"]));
        let now = on(&entries, date(2026, 6, 2));
        assert!(now.clock_behind.is_none() && now.did_not_hold.is_some());
        assert_eq!(offers(&now), ["often-tightened", "screw-ahead", "screw-last"]);
        let set_back = on(&entries, date(2020, 1, 1));
        assert_eq!(set_back.clock_behind, Some(date(2026, 6, 1)));
        assert!(set_back.causes.is_empty() && set_back.did_not_hold.is_none());
        // The screws drift apart whatever day it is.
        assert_eq!(offers(&set_back), ["screw-ahead"]);
        assert_eq!(set_back.open_jobs, now.open_jobs);
    }

    #[test]
    fn a_visit_whose_day_is_not_known_comes_back_on_none() {
        let entries = [
            visit(1, "2026-01-12", &[], &[]),
            visit(2, "2026-02-03", &["cake"], &["clean"]),
            visit(3, "2020-01-01", &["cake"], &["clean"]),
            visit(4, "2026-05-04", &["cake"], &["clean"]),
        ];
        let back = on(&entries, date(2026, 6, 1));
        assert_eq!(back.causes, [("cake".to_owned(), vec![date(2026, 2, 3), date(2026, 5, 4)])]);
        assert_eq!((back.unsure_visits, back.clock_behind), (1, None));
    }

    #[test]
    fn an_empty_logbook_says_nothing() {
        assert!(on(&[], date(2026, 3, 20)).is_nothing());
    }
}
