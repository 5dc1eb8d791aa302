//! What a logbook keeps of a visit: enough to tell the story of a conveyor without opening the visit.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::ids::{JobId, TabletId};
use crate::visit::event::{CuredBy, Event, How, Ran, Stamped, standing};
use crate::visit::store::{Record, VisitStatus};

/// A visit as it stood when the entry was written. A later entry of the same visit stands for the earlier ones.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VisitMark {
    /// Its number on its tablet.
    pub visit: u32,
    /// When it began.
    pub begun: Timestamp,
    /// Whether it goes on, or how it ended.
    pub state: VisitStatus,
    /// How many events there were.
    pub events: usize,
    /// From its first event to its last, in minutes. Where a clock was set back, as much of it as is known.
    pub minutes: u32,
    /// What cured it: ids of causes.
    pub cured: Vec<String>,
    /// What else cured it, in the person's words.
    pub cured_else: Option<String>,
    /// What was believed likeliest at the end, with its chance.
    pub likeliest: Option<(String, f64)>,
    /// Fixes that were done, in order, by their ids.
    pub done: Vec<String>,
    /// How the belt last ran after a batch.
    pub ran: Option<Ran>,
    /// Jobs that it left open, to keep the belt running true.
    pub open_jobs: Vec<OpenJob>,
}

/// A job that a visit left open.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OpenJob {
    /// The cause that comes back without it.
    pub cause: String,
    /// The job, as the book says it.
    pub job: String,
}

impl OpenJob {
    /// Its id.
    pub fn id(&self, tablet: &TabletId, visit: u32) -> JobId {
        JobId::of(tablet, visit, &self.job)
    }
}

impl VisitMark {
    /// Of a visit's record.
    pub fn of(record: &Record) -> Self {
        let events = standing(&record.events);
        let mut mark = Self {
            visit: record.visit,
            begun: record.begun,
            state: record.state,
            events: record.events.len(),
            minutes: minutes(record.begun, &record.events),
            cured: Vec::new(),
            cured_else: cured_else(&events),
            likeliest: None,
            done: Vec::new(),
            ran: None,
            open_jobs: Vec::new(),
        };
        for event in events {
            match &event.what {
                Event::Believed { causes } => mark.likeliest = causes.first().cloned(),
                Event::Cured { causes } => {
                    mark.cured = causes.iter().map(|(id, _)| id.clone()).collect();
                }
                Event::Worked { fix, how: How::Done, .. } => mark.done.push(fix.clone()),
                Event::Ran { outcome } => mark.ran = Some(*outcome),
                Event::BroughtOn { cause, job, there: Some(true), .. } => {
                    mark.open_jobs.push(OpenJob { cause: cause.clone(), job: job.clone() });
                }
                _ => {}
            }
        }
        if mark.cured_else.is_some() {
            // The person says that none of the causes did it.
            mark.cured.clear();
        }
        mark
    }

    /// Whether it is over.
    pub fn is_over(&self) -> bool {
        self.state != VisitStatus::Open
    }
}

/// From event to event; between two where the clock was set back nothing is known to have passed.
fn minutes(begun: Timestamp, events: &[Stamped]) -> u32 {
    let mut before = begun.as_second();
    let mut seconds = 0;
    for event in events {
        let at = event.at.as_second();
        seconds += (at - before).max(0);
        before = at;
    }
    u32::try_from(seconds / 60).unwrap_or(0)
}

fn cured_else(events: &[&Stamped]) -> Option<String> {
    let place = events.iter().rev().find_map(|event| match &event.what {
        Event::SaidCured { by } => Some(match by {
            CuredBy::SomethingElse(place) => Some(*place),
            CuredBy::Cause(_) | CuredBy::NotClear => None,
        }),
        _ => None,
    })??;
    let mut told = events.iter().filter_map(|event| match &event.what {
        Event::SomethingElse { what, place, part } => Some([what, place, part]),
        _ => None,
    });
    let said: Vec<&str> = told.nth(place)?.into_iter().flatten().map(String::as_str).collect();
    Some(said.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::visit::ConveyorFacts;
    use crate::visit::event::Ended;
    use crate::visit::store::BookMark;

    fn record(events: Vec<(i64, Event)>) -> Record {
        let book = BookMark {
            name: "book".to_owned(),
            version: "1".to_owned(),
            fingerprint: "f".to_owned(),
            signed: None,
        };
        let begun = Timestamp::UNIX_EPOCH;
        let mut record = Record::begun(7, book, ConveyorFacts::default(), false, begun);
        record.events = events
            .into_iter()
            .map(|(minute, what)| Stamped {
                at: Timestamp::from_second(minute * 60).unwrap(),
                what,
            })
            .collect();
        record
    }

    fn brought_on(there: Option<bool>) -> Event {
        Event::BroughtOn {
            cause: "cake".to_owned(),
            look_for: "scraper".to_owned(),
            job: "Set the scraper".to_owned(),
            there,
        }
    }

    #[test]
    fn it_holds_what_was_done_and_left_open() {
        let worked = |fix: &str, how| Event::Worked {
            fix: fix.to_owned(),
            how,
            causes: vec!["cake".to_owned()],
        };
        let mut kept = record(vec![
            (5, worked("clean", How::Done)),
            (6, worked("square", How::NotNeeded)),
            (30, Event::Ran { outcome: Ran::True }),
            (31, Event::Cured { causes: vec![("cake".to_owned(), 0.9)] }),
            (33, brought_on(Some(true))),
            (34, brought_on(Some(false))),
            (35, Event::Ended { how: Ended::True }),
        ]);
        kept.state = VisitStatus::Over(Ended::True);
        let mark = VisitMark::of(&kept);
        assert_eq!((mark.visit, mark.minutes, mark.events), (7, 35, 7));
        assert_eq!((mark.cured, mark.done), (vec!["cake".to_owned()], vec!["clean".to_owned()]));
        assert_eq!(mark.open_jobs.len(), 1);
        assert!(VisitMark::of(&kept).is_over());
    }

    #[test]
    fn what_was_taken_back_is_no_part() {
        let mark = VisitMark::of(&record(vec![
            (5, brought_on(Some(true))),
            (7, Event::Back { steps: 1 }),
        ]));
        assert_eq!((mark.open_jobs.len(), mark.events), (0, 2));
    }

    #[test]
    fn a_clock_set_back_within_a_visit_takes_none_of_its_minutes() {
        let events = [5, 40, -90, -60].map(|minute| (minute, Event::Enough));
        assert_eq!(VisitMark::of(&record(events.to_vec())).minutes, 40 + 30);
    }

    #[test]
    fn something_else_that_cured_it_stands_in_the_persons_words() {
        let mark = VisitMark::of(&record(vec![
            (
                1,
                Event::SomethingElse {
                    what: Some("a glove".to_owned()),
                    place: Some("tail".to_owned()),
                    part: None,
                },
            ),
            (2, Event::SaidCured { by: CuredBy::SomethingElse(0) }),
            (3, Event::Cured { causes: vec![("cake".to_owned(), 0.2)] }),
        ]));
        assert_eq!(mark.cured_else.as_deref(), Some("a glove, tail"));
        assert!(mark.cured.is_empty());
    }
}
