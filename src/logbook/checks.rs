//! What is wrong with a logbook that can be read: entries that do not fit their ids, days to come, readings that cannot be.

use std::collections::BTreeSet;

use jiff::civil::Date;

use super::bounds::{self, Calendar};
use super::entry::What;
use super::record::LogbookRecord;
use super::story::{Story, in_order};
use super::take_up_sizes::TakeUpSizes;

/// All that is wrong, in words.
pub fn problems(record: &LogbookRecord, sizes: &TakeUpSizes, today: Date) -> Vec<String> {
    let mut found = Vec::new();
    let mut seen = BTreeSet::new();
    let story = Story::of(&record.entries);
    let calendar = Calendar { today, latest: None };
    // Days of visits are those at Greenwich, and in another zone it may be tomorrow by now.
    let tomorrow = today.tomorrow().unwrap_or(today);
    for entry in in_order(&record.entries) {
        if !entry.is_sound() {
            found.push(format!("entry {}: its id does not fit what it holds", entry.id));
        }
        if !seen.insert(&entry.id) {
            found.push(format!("entry {} stands twice", entry.id));
        }
        // What was struck out counts for nothing.
        let counts = !story.struck.iter().any(|(struck, _)| struck.id == entry.id);
        let late = entry.on() > tomorrow;
        if let Err(why) = bounds::a_day(entry.on(), &calendar)
            && counts
            && (late || entry.on() <= today)
        {
            found.push(format!("entry {}: {why}", entry.id));
        }
        match &entry.what {
            What::TakeUp { reading, .. } if counts => {
                if let Err(why) = bounds::reading(*reading, sizes) {
                    found.push(format!("entry {}: {why}", entry.id));
                }
            }
            What::Struck { entry: struck, .. } => {
                let known = record.entries.iter().any(|other| other.id == *struck);
                if !known {
                    found.push(format!(
                        "entry {} strikes out {struck}, which is not here",
                        entry.id
                    ));
                }
            }
            _ => {}
        }
    }
    for (one, other) in &story.conflicts {
        found.push(format!("entries {} and {} cannot both be right", one.id, other.id));
    }
    if record.head != record.head_now(sizes) {
        found.push(
            "what its list shows is not what its entries say; the next entry puts it right"
                .to_owned(),
        );
    }
    found
}

#[cfg(test)]
mod tests {
    use jiff::Timestamp;
    use jiff::civil::date;

    use super::*;
    use crate::logbook::size::Millimetres;
    use crate::logbook::{Entry, EntryId, Reading, TabletId};

    #[test]
    fn a_sound_logbook_has_no_problem_and_each_fault_has_one() {
        let tablet = TabletId::named("aaaa").unwrap();
        let entry = |day: i8, left: f64| {
            let reading = Reading::Screws { left: Millimetres(left), right: Millimetres(left) };
            let what = What::TakeUp { on: date(2026, 3, day), reading, why: None };
            Entry::new(&tablet, Timestamp::UNIX_EPOCH, None, what)
        };
        let sizes = TakeUpSizes { travel: Some(Millimetres(500.0)), ..TakeUpSizes::default() };
        let today = date(2026, 3, 10);
        let mut record = LogbookRecord::new(1, "OQ-04".to_owned());
        record.add([entry(1, 200.0), entry(2, 203.0)], &sizes);
        assert_eq!(problems(&record, &sizes, today), Vec::<String>::new());
        let with = |change: &dyn Fn(&mut LogbookRecord)| {
            let mut record = record.clone();
            change(&mut record);
            record.renew_head(&sizes);
            problems(&record, &sizes, today)
        };
        assert!(with(&|r| r.entries.push(entry(20, 205.0)))[0].contains("still to come"));
        assert_eq!(with(&|r| r.entries.push(entry(11, 205.0))), [""; 0], "tomorrow elsewhere");
        assert!(with(&|r| r.entries.push(entry(3, 512.0)))[0].contains("its travel is 500 mm"));
        let struck_out = |r: &mut LogbookRecord| {
            let wrong = entry(20, 512.0);
            let what = What::Struck { entry: wrong.id.clone(), why: "x".to_owned() };
            r.entries.extend([Entry::new(&tablet, Timestamp::UNIX_EPOCH, None, what), wrong]);
        };
        assert_eq!(with(&struck_out), [""; 0]);
        assert!(with(&|r| r.entries.push(entry(1, 200.0)))[0].contains("stands twice"));
        let spoilt = |r: &mut LogbookRecord| {
            let what = What::Struck { entry: r.entries[0].id.clone(), why: "x".to_owned() };
            r.entries[1].what = what;
        };
        assert!(with(&spoilt)[0].contains("does not fit"));
        let gone = EntryId::of(&tablet, &entry(9, 1.0).what);
        let strikes = |r: &mut LogbookRecord| {
            let what = What::Struck { entry: gone.clone(), why: "x".to_owned() };
            let written = "2026-03-01T00:00:00Z".parse().unwrap();
            r.entries.push(Entry::new(&tablet, written, None, what));
        };
        assert!(with(&strikes)[0].contains("which is not here"));
        let mut stale = record.clone();
        stale.head.visits = 9;
        assert!(problems(&stale, &sizes, today)[0].contains("what its list shows"));
    }
}
