//! A course that cannot be, and those that are shipped.

use std::fmt::Write as _;

use straybelt::drill::course::Goal;
use straybelt::drill::follow::follow;
use straybelt::drill::worth::Worth;
use straybelt::drill::{Grade, Move};
use straybelt::problem::Problem;

use super::{attempt, read_text, shipped, worth};
use crate::support::{DIAGNOSIS, SHIPPED, begin};

/// A sound course, to be spoiled.
const SOUND: &str = r#"[
    (
        id: "salt-season",
        title: "Salt season",
        about: "For the winter crew.",
        reach: [RunsTrue, Cured],
        steps: [
            (drill: "caked-return-rolls"),
            (drill: "crooked-splice", reach: [Safe, Times(2.0), Certain(Well)], exam: true),
        ],
        source: CommonPractice,
    ),
]
"#;

/// What is spoiled: what is wrong with it, what stands there, what is put in its place.
const SPOILED: &[(&str, &str, &str)] = &[
    ("unknown drill", "\"crooked-splice\"", "\"crooked-splices\""),
    ("the same drill twice", "\"crooked-splice\"", "\"caked-return-rolls\""),
    ("unknown goal", "RunsTrue", "RunsStraight"),
    ("unknown word of certainty", "Certain(Well)", "Certain(Good)"),
    ("a goal twice", "[RunsTrue, Cured]", "[Cured, Cured]"),
    ("quicker than an expert", "Times(2.0)", "Times(0.5)"),
    ("no number", "Times(2.0)", "Times(NaN)"),
    ("nothing to reach", "reach: [RunsTrue, Cured]", "reach: []"),
    (
        "no drills",
        "(drill: \"caked-return-rolls\"),\n            (drill: \"crooked-splice\", reach: [Safe, Times(2.0), Certain(Well)], exam: true),",
        "",
    ),
    ("no title", "\"Salt season\"", "\" \""),
    ("nothing about it", "\"For the winter crew.\"", "\"\""),
    ("an id that is none", "\"salt-season\"", "\"Salt season\""),
    ("unknown field", "about:", "abuot:"),
    ("unknown field of a step", "exam: true", "examination: true"),
    ("unknown source", "CommonPractice", "Published(\"nobody\", \"page 1\")"),
    ("missing field", "        title: \"Salt season\",\n", ""),
    ("a bracket left out", "steps: [", "steps: "),
];

#[test]
fn a_sound_course_is_read() {
    let (courses, problems) = read_text(SOUND);
    assert_eq!(problems, &[]);
    let steps = &courses[0].steps;
    assert_eq!(steps[0].goals, [Goal::RunsTrue, Goal::Cured]);
    assert_eq!(steps[1].goals.len(), 3);
    assert_eq!((steps[0].exam, steps[1].exam), (false, true));
}

#[test]
fn what_is_wrong_is_told_with_its_place_and_a_remedy() {
    let mut all = String::new();
    for (name, there, instead) in SPOILED {
        assert!(SOUND.matches(there).count() == 1, "{name}");
        let (courses, problems) = read_text(&SOUND.replace(there, instead));
        assert!(courses.is_empty(), "{name} is read");
        assert!(problems.iter().any(Problem::is_error), "{name} is not told");
        writeln!(all, "{name}").unwrap();
        for problem in &problems {
            let place = problem.labels[0].place.to_string();
            assert!(place.starts_with("courses/x.ron:"), "{name}: {place}");
            writeln!(all, "  {place} {}: {}", problem.code.word(), problem.message).unwrap();
            for help in &problem.help {
                writeln!(all, "    {help}").unwrap();
            }
        }
    }
    insta::assert_snapshot!(all);
}

#[test]
fn two_courses_of_one_id_are_told_of_and_one_bad_one_takes_no_other_with_it() {
    let one = SOUND.trim().trim_start_matches('[').trim_end_matches(']');
    let other = one.replace("salt-season", "other").replace("crooked-splice", "no-such");
    let (courses, problems) = read_text(&format!("[{one}{one}{other}]"));
    assert_eq!(courses.len(), 1);
    let codes: Vec<&str> = problems.iter().map(|problem| problem.code.word()).collect();
    assert_eq!(codes, ["twice-id", "unknown-id"]);
}

/// Each shipped course is without a problem, ends no easier than it begins, and leaves no drill without a goal for
/// safety.
#[test]
fn the_shipped_courses_are_sound() {
    let (courses, problems) = shipped();
    assert_eq!(problems, &[]);
    assert!(courses.len() >= 2);
    for course in &courses {
        let grade = |drill: &str| SHIPPED.0.iter().find(|d| d.id == drill).unwrap().grade;
        let grades: Vec<Grade> = course.steps.iter().map(|step| grade(&step.drill)).collect();
        assert!(grades.first() <= grades.last(), "{}: {grades:?}", course.id);
        for step in &course.steps {
            assert!(step.goals.contains(&Goal::Safe), "{} {}", course.id, step.drill);
            assert!(step.goals.contains(&Goal::Cured), "{} {}", course.id, step.drill);
        }
    }
}

/// Whoever goes straybelt's own way, and is rightly sure in the end, reaches all that a shipped course asks for: no step
/// of it is a wall.
#[test]
fn what_a_shipped_course_asks_for_can_be_reached() {
    for step in shipped().0.iter().flat_map(|course| &course.steps) {
        let drill = crate::support::shipped(&step.drill);
        let mut world = begin(drill);
        follow(&DIAGNOSIS, &mut world);
        let mut again = begin(drill);
        for made in world.steps().iter().filter(|made| made.what != Move::Declare) {
            again.make(made.what).unwrap();
        }
        for hidden in &drill.hidden {
            again.make(Move::Name(hidden.cause, 0.95)).unwrap();
        }
        again.make(Move::Declare).unwrap();
        let run = attempt(1, &step.drill, "2031-05-05", Worth::of(&again));
        assert_eq!(step.missed(&run), [], "{}", step.drill);
    }
}

/// Who gives up at once is quick, safe and silent, and goes on to nothing.
#[test]
fn giving_up_reaches_nothing() {
    for step in shipped().0.iter().flat_map(|course| &course.steps) {
        let mut world = begin(crate::support::shipped(&step.drill));
        world.make(Move::Declare).unwrap();
        let run = attempt(1, &step.drill, "2031-05-05", Worth::of(&world));
        assert!(!step.missed(&run).is_empty(), "{}", step.drill);
        assert!(!Goal::Times(20.0).is_reached(&run.worth), "{}", step.drill);
    }
}

/// Each goal is missed by what it is for, and by nothing else.
#[test]
fn each_goal_is_about_one_thing() {
    use straybelt::drill::course::Matched;
    let goals = [
        (Goal::RunsTrue, worth(|w| w.runs_true = false)),
        (Goal::Cured, worth(|w| w.all_cured = false)),
        (Goal::Named, worth(|w| w.found = 0)),
        (Goal::Named, worth(|w| w.wrongly_named = 1)),
        (Goal::Safe, worth(|w| w.safety_faults = 1)),
        (Goal::Times(2.0), worth(|w| w.minutes = 201.0)),
        (Goal::Certain(Matched::Well), worth(|w| w.stated = vec![(0.4, true)])),
        (Goal::NoAdvice, worth(|w| w.advice = 1)),
    ];
    for (goal, spoiled) in &goals {
        assert!(goal.is_reached(&worth(|_| ())), "{goal:?}");
        assert!(!goal.is_reached(spoiled), "{goal:?}");
        for (other, _) in goals.iter().filter(|(other, _)| other != goal) {
            // Minutes count of what is solved.
            let follows = matches!((goal, other), (Goal::RunsTrue | Goal::Cured, Goal::Times(_)));
            assert_eq!(other.is_reached(spoiled), !follows, "{goal:?} {other:?}");
        }
    }
    assert!(Goal::Times(2.0).is_reached(&worth(|w| w.minutes = 200.0)));
}

#[test]
fn the_first_drill_that_was_not_reached_comes_next() {
    let course = read_text(SOUND).0.remove(0);
    let good = |run, drill| attempt(run, drill, "2031-05-05", worth(|_| ()));
    let bad = attempt(1, "caked-return-rolls", "2031-05-05", worth(|w| w.all_cured = false));
    let next = |attempts: &[_]| course.next(&course.standing(attempts));
    assert_eq!(next(&[]), Some(0));
    assert_eq!(next(std::slice::from_ref(&bad)), Some(0));
    let standing = course.standing(std::slice::from_ref(&bad));
    assert_eq!(standing[0].last, Some((1, vec![Goal::Cured])));
    // Somebody may have reached the second before: the first still comes first.
    let mut exam = good(2, "crooked-splice");
    exam.exam = true;
    assert_eq!(next(&[exam.clone()]), Some(0));
    assert_eq!(next(&[bad.clone(), good(3, "caked-return-rolls")]), Some(1));
    // What is asked for as an examination counts only as one.
    assert_eq!(next(&[good(2, "crooked-splice"), good(3, "caked-return-rolls")]), Some(1));
    assert_eq!(next(&[exam, good(3, "caked-return-rolls")]), None);
    // One that was reached stays so, whatever came after.
    let after =
        [good(1, "caked-return-rolls"), attempt(4, "caked-return-rolls", "2031-05-09", bad.worth)];
    assert_eq!(course.standing(&after)[0].reached, Some(1));
    assert_eq!(course.standing(&after)[0].last, None);
}
