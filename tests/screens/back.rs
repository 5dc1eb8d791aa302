//! Several replies taken back at once, and what is typed that does not fit.

use straybelt::visit::event::{Event, standing};

use super::site::{OPENING, OQ_04, SAFE, Site, typed};

/// The answers to questions of the book that stand.
fn answers(site: &Site) -> usize {
    let kept = site.store().look(1).expect("it reads");
    let answered = |event: &Event| matches!(event, Event::Answered { .. } | Event::Ticked { .. });
    standing(&kept.events).iter().filter(|event| answered(&event.what)).count()
}

fn on_one_line(seen: &str) -> String {
    seen.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn several_replies_back_are_named_and_asked_about() {
    let site = Site::small();
    let (seen, _) = site.sit(40, OQ_04, &typed(&[SAFE, OPENING, &["b2", "2", "s"]]));
    let seen = on_one_line(&seen);
    assert!(seen.contains("These would be taken back"), "{seen}");
    assert!(seen.contains("- Where on the conveyor"), "each by its words: {seen}");
    assert_eq!(answers(&site), 3, "no: all stand");
}

#[test]
fn several_replies_taken_back_can_be_had_back() {
    let taken = |undo: &str| {
        let site = Site::small();
        let (seen, _) = site.sit(40, OQ_04, &typed(&[SAFE, OPENING, &["b2", "h", "1", undo, "s"]]));
        assert!(on_one_line(&seen).contains("2 replies are taken back."), "{seen}");
        (answers(&site), seen)
    };
    let (left, seen) = taken("1");
    assert_eq!(left, 1);
    assert!(seen.rfind("Where on the conveyor") > seen.find("replies are taken"), "{seen}");
    let (left, seen) = taken("2");
    assert_eq!(left, 3);
    assert!(seen.matches("--- Enough to act").count() == 2, "where it was: {seen}");
}

#[test]
fn a_side_with_the_name_of_the_other_is_asked_again() {
    let site = Site::new();
    let to_the_sides = ["1", "1", "1", "1", "1", "OQ-04", "c", "c", "c", "c", "c", "c", "0"];
    let (seen, _) =
        site.sit(40, None, &typed(&[&to_the_sides, &["right", "wall", "WALL", "walkway", "s"]]));
    assert_eq!(on_one_line(&seen).matches("needs a name of its own").count(), 2, "{seen}");
    let kept = site.store().look(1).expect("it reads");
    let names: Vec<_> = (kept.events.iter())
        .filter_map(|event| match &event.what {
            Event::SideNamed { name, .. } => name.as_deref(),
            _ => None,
        })
        .collect();
    assert_eq!(names, ["wall", "walkway"]);
}

#[test]
fn c_skips_the_names_as_the_page_says_and_long_ones_are_refused() {
    let site = Site::new();
    let long = "x".repeat(61);
    let (seen, _) = site.sit(40, None, &["1", "1", "1", "1", "1", &long, "c", "s"]);
    let seen = on_one_line(&seen);
    assert!(seen.contains("That is 61 characters; at most 60 fit."), "{seen}");
    let kept = site.store().look(1).expect("it reads");
    let named: Vec<_> = (kept.events.iter())
        .filter_map(|event| match &event.what {
            Event::Named { name } => Some(name.clone()),
            _ => None,
        })
        .collect();
    assert_eq!(named, [None], "skipped, not called c");
}

/// Help leads back to the line that it was asked at; back goes a line back.
#[test]
fn help_within_something_else_leads_back_to_its_line() {
    let site = Site::small();
    let words = ["e", "a stone", "h", "under the chute", "b", "at the tail", "the skirt", "s"];
    let (seen, _) = site.sit(40, OQ_04, &typed(&[SAFE, OPENING, &["1"], &words]));
    assert_eq!(seen.matches("--- Something else").count(), 2, "{seen}");
    let kept = site.store().look(1).expect("it reads");
    let told = kept.events.iter().find_map(|event| match &event.what {
        Event::SomethingElse { what, place, part } => Some([what, place, part].map(Clone::clone)),
        _ => None,
    });
    let said = ["a stone", "at the tail", "the skirt"].map(|words| Some(words.to_owned()));
    assert_eq!(told, Some(said));
}

/// A look that needs the machine dead says what it is before anybody locks out, and leads to the plan as well.
#[test]
fn a_look_behind_lock_out_says_what_for_and_offers_the_plan() {
    let site = Site::small();
    let asked_on = ["3", "c", "c", "c", "c"];
    let (seen, _) = site.sit(40, OQ_04, &typed(&[SAFE, OPENING, &asked_on, &["p", "s"]]));
    let page = on_one_line(&seen[seen.find("--- Lock out first").expect("the page")..]);
    for part in ["once it is locked out.", "to lock out.", "What for:", "p goes to the plan"] {
        assert!(page.contains(part), "{part}: {page}");
    }
    assert!(page.contains("--- The finding"), "{page}");
}
