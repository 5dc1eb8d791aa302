//! The shipped drills: sound, enough of them, of every kind that was asked for, and true to the direction rules.

use std::collections::BTreeSet;

use straybelt::drill::{Drill, Grade, read};
use straybelt::trade::ConveyorClass;

use crate::support::{BOOK, SHIPPED, begin, fix, hidden, shipped, shows, symptom};

/// One cause of each family at least is drilled (the families are those of the book's files).
const FAMILIES: &[(&str, &[&str])] = &[
    ("dirt and rolls", &["idler-build-up", "pulley-build-up", "stuck-roll"]),
    ("idlers", &["idler-out-of-square", "idler-off-centre", "idler-high-or-tilted"]),
    ("frame", &["crooked-frame", "frame-not-level", "supports-moved"]),
    ("pulleys", &["end-pulley-out-of-square", "pulley-not-level", "snub-out-of-square"]),
    ("screws", &["unequal-take-up-screws"]),
    ("pull", &["belt-too-tight", "belt-too-slack"]),
    ("carriage", &["take-up-carriage-off-line"]),
    ("pulley surface", &["crown-worn", "crown-wrong", "lagging-worn", "loose-pulley-or-bearing"]),
    ("load", &["load-off-centre", "load-off-centre-flat", "feed-surge", "skirts-uneven"]),
    ("splice", &["crooked-splice", "splice-failing", "mixed-cambers"]),
    ("belt", &["cambered-belt", "edge-damage", "belt-too-stiff", "cupped-belt", "belt-not-run-in"]),
    ("accessories", &["cleaner-askew", "trainer-stuck", "return-roll-wrong", "object-or-spillage"]),
    ("weather", &["crosswind", "rain-ice-sun"]),
    ("history", &["old-trims", "reversing-with-skew"]),
];

#[test]
fn every_shipped_drill_reads_without_a_problem_and_its_belt_runs() {
    let (drills, problems) = &*SHIPPED;
    assert_eq!(problems, &[], "problems of the shipped drills");
    assert!(drills.len() >= 14, "{} drills", drills.len());
    for drill in drills {
        assert_eq!(read::run(drill), None, "{}", drill.id);
    }
}

#[test]
fn there_are_several_of_each_grade() {
    for grade in [Grade::First, Grade::Second, Grade::Third] {
        let many = SHIPPED.0.iter().filter(|drill| drill.grade == grade).count();
        assert!(many >= 4, "{grade:?}: {many}");
    }
    for drill in &SHIPPED.0 {
        let two = drill.hidden.len() > 1;
        assert!(!two || drill.grade == Grade::Third, "{}", drill.id);
    }
}

#[test]
fn every_family_of_causes_is_drilled() {
    let drilled: BTreeSet<&str> = SHIPPED.0.iter().flat_map(hidden).collect();
    for (family, causes) in FAMILIES {
        assert!(causes.iter().any(|cause| drilled.contains(cause)), "{family}");
    }
}

#[test]
fn the_kinds_that_were_asked_for_are_there() {
    let hides = |drill: &Drill, causes: &[&str]| hidden(drill) == causes;
    let some = |kind: &str, is: &dyn Fn(&Drill) -> bool| {
        assert!(SHIPPED.0.iter().any(is), "{kind}");
    };
    some("two at once, no old correction", &|drill| {
        hides(drill, &["pulley-build-up", "load-off-centre"])
    });
    some("the screw that hides the splice", &|drill| {
        hides(drill, &["crooked-splice", "unequal-take-up-screws"])
    });
    some("a frame bent and trimmed for years", &|drill| {
        hides(drill, &["crooked-frame", "old-trims"])
    });
    some("a load that looks like an idler", &|drill| {
        hides(drill, &["load-off-centre"])
            && begin(drill).answers()[symptom("one-station")].is_some()
    });
    some("a belt that reverses", &|drill| {
        drill.conveyor.facts().reversing() == Some(true) && hides(drill, &["reversing-with-skew"])
    });
    some("a short flat belt steered by its manual", &|drill| {
        drill.conveyor.facts().troughed() == Some(false)
            && drill.hidden.iter().any(|h| h.yields_to.contains(&fix("steer-short-flat-by-manual")))
            && begin(drill).best().fixes == [fix("steer-short-flat-by-manual")]
    });
    some("nothing but wind", &|drill| hides(drill, &["crosswind"]));
}

#[test]
fn the_screws_may_steer_nowhere_else() {
    let steer = fix("steer-short-flat-by-manual");
    for drill in
        SHIPPED.0.iter().filter(|d| d.conveyor.facts().class() == Some(ConveyorClass::TroughedBulk))
    {
        assert!(!begin(drill).offered()[steer], "{}", drill.id);
    }
}

#[test]
fn a_drill_begins_off_but_not_beyond_all_reason() {
    for drill in &SHIPPED.0 {
        let world = begin(drill);
        let off = world.belt().worst_share(&drill.line);
        assert!((0.45..=1.5).contains(&off), "{}: {off}", drill.id);
        assert_ne!(shows(&world, "first-split"), Some("none"), "{}", drill.id);
    }
}

#[test]
fn no_briefing_names_what_is_hidden() {
    for drill in &SHIPPED.0 {
        let said = format!("{} {}", drill.title, drill.briefing).to_lowercase();
        for at in drill.hidden.iter().map(|hidden| hidden.cause) {
            assert!(!said.contains(&BOOK.causes[at].name.to_lowercase()), "{}", drill.id);
        }
        assert!(drill.briefing.contains("OQ-"), "{}: which conveyor?", drill.id);
        assert!(drill.conveyor.name().is_some_and(|n| n.starts_with("OQ-")), "{}", drill.id);
    }
}

/// Each drill of one cause with a side runs to the side that the trade's direction rule says. The hidden part is on
/// the side named here, so the belt has to be on the other side named.
#[test]
fn belts_run_to_the_side_of_the_rule() {
    for (id, rule, side) in [
        ("one-return-roll-askew", "left end nearer to the head on the way back: met first", "left"),
        ("frame-sunk-on-one-side", "right side low", "right"),
        ("tail-pulley-out-of-square", "left end nearer to the head: met first", "left"),
        ("carriage-off-its-rails", "right end nearer to the head: met first", "right"),
        ("screws-set-unequally", "left screw out: the right is slack", "right"),
        ("load-that-looks-like-an-idler", "load on the left", "right"),
        ("nothing-but-wind", "wind from the left", "right"),
        ("tight-and-tighter", "right end of a return roll nearer to the head: met first", "right"),
    ] {
        assert_eq!(shows(&begin(shipped(id)), "runs-toward"), Some(side), "{id}: {rule}");
    }
}

/// The first split of each picture is one that a practitioner expects of that cause (the trade's first-split rules:
/// all the belt at one place or along a stretch, or the same part of it everywhere).
#[test]
fn the_first_split_fits_what_is_hidden() {
    for drill in &SHIPPED.0 {
        let of_the_belt =
            hidden(drill).iter().any(|id| matches!(*id, "crooked-splice" | "cambered-belt"));
        let split = shows(&begin(drill), "first-split");
        assert_eq!(split == Some("one-part"), of_the_belt, "{}: {split:?}", drill.id);
    }
}
