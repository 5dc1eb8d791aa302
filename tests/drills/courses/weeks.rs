//! What weeks of runs come to.

use jiff::tz::TimeZone;
use straybelt::drill::learners::{self, learners};
use straybelt::drill::progress::{Sums, weeks};
use straybelt::drill::worth::Worth;

use super::{attempt, worth};
use crate::debrief::{bad, good, steered, unfinished, world};

/// 2031-05-05 is a Monday by the Gregorian calendar.
#[test]
fn a_week_begins_on_monday_where_the_tablet_is() {
    let days = ["2031-05-04", "2031-05-05", "2031-05-11", "2031-05-12"];
    let attempts: Vec<_> = days.iter().map(|day| attempt(1, "x", day, worth(|_| ()))).collect();
    let mondays = |zone: &TimeZone| -> Vec<String> {
        weeks(&attempts, zone)
            .iter()
            .map(|week| format!("{} {}", week.monday, week.sums.runs))
            .collect()
    };
    assert_eq!(mondays(&TimeZone::UTC), ["2031-04-28 1", "2031-05-05 2", "2031-05-12 1"]);
    // Seven in the morning at Greenwich is still Sunday evening ten hours to the west.
    let west = TimeZone::fixed(jiff::tz::offset(-10));
    assert_eq!(mondays(&west), ["2031-04-28 2", "2031-05-05 2"]);
}

#[test]
fn sums_are_those_of_the_runs() {
    let mut second = attempt(
        2,
        "x",
        "2031-05-06",
        worth(|w| {
            (w.runs_true, w.minutes, w.safety_faults, w.found) = (false, 10.0, 2, 0);
            (w.stated, w.advice) = (vec![(0.5, true), (0.5, false)], 3);
        }),
    );
    second.earlier = 1;
    let first = attempt(1, "x", "2031-05-05", worth(|w| w.stated = vec![(1.0, true)]));
    let sums = Sums::of([&first, &second]);
    assert_eq!((sums.runs, sums.solved, sums.safety_faults, sums.safe_runs), (2, 1, 2, 1));
    assert_eq!((sums.hidden, sums.found, sums.advice, sums.repeats), (2, 1, 3, 1));
    // Only minutes of what was solved: giving up is quick.
    assert_eq!(sums.times(), Some(1.5));
    // (0 + 0.25 + 0.25) / 3 by the definition of the score (Brier 1950).
    let brier = sums.brier.unwrap().score;
    assert!((brier - 0.5 / 3.0).abs() < 1e-12, "{brier}");
    assert_eq!((Sums::of([]).times(), Sums::of([]).brier), (None, None));
}

/// What is kept with a run at its end is what the run is worth when it is made again.
#[test]
fn runs_are_told_by_who_made_them() {
    let mut again = good();
    (again.run, again.who) = (9, Some(" mara ".to_owned()));
    let records = [again, unfinished(), steered(), bad(), good()];
    let mut asked = Vec::new();
    let all = learners(&records, &mut |record| {
        asked.push(record.run);
        (record.run != 4).then(|| Worth::of(&world(record)))
    });
    let names: Vec<&str> = all.iter().map(|learner| learner.name.as_str()).collect();
    assert_eq!(names, ["Mara", "Ilse <b>&", "Tomas"], "who gave no name is nobody");
    assert_eq!(asked, [1, 4, 9], "each once, oldest first");
    let runs =
        |nth: usize| all[nth].attempts.iter().map(|a| (a.run, a.earlier)).collect::<Vec<_>>();
    assert_eq!(runs(0), [(1, 0), (9, 1)]);
    assert_eq!(all[1].open, [(3, records[1].drill.clone())]);
    assert_eq!((runs(2), &all[2].unknown), (vec![], &vec![4]));
    assert_eq!(all[0].attempts[0].worth, Worth::of(&world(&records[4])));
    assert_eq!(learners::earlier(&records, &records[3]), None);
}

#[test]
fn what_is_kept_with_a_run_is_not_reckoned_again() {
    let mut record = good();
    record.worth = Some(worth(|w| w.minutes = 12_345.0));
    let all = learners(&[record], &mut |_| panic!("asked for what is known"));
    assert_eq!(all[0].attempts[0].worth.minutes, 12_345.0);
}

/// The worth of a steered run: true without a cure, never named well.
#[test]
fn what_is_kept_says_what_the_debrief_says() {
    let steered = Worth::of(&world(&steered()));
    assert!(!steered.is_solved() && !steered.all_cured);
    assert_eq!((steered.hidden, steered.found, steered.wrongly_named), (1, 0, 0));
    let bad = Worth::of(&world(&bad()));
    assert_eq!((bad.safety_faults, bad.wrongly_named), (3, 1));
}
