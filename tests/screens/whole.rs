//! One visit from end to end with the default book.

use straybelt::exit::Exit;

use super::site::{Person, Site, WHOLE, both};

/// A return strand that runs to the walkway over caked rolls. Whoever answers looks at the question, so that the
/// visit survives a book whose questions come in another order.
pub(crate) fn whole_visit(width: usize) -> (String, Exit) {
    let site = Site::new();
    let mut person = Person::new(
        &[
            ("Look again?", &["4"]),
            // Enough, whatever the book would still ask.
            ("Look 6:", &["p"]),
            ("Look 7:", &["p"]),
            ("You could not tell", &["1"]),
            ("Before you look", &["1"]),
            ("First: safety", &["no"]),
            ("How far off?", &["3"]),
            ("Lock out, point", &["1"]),
            ("Give back, point", &["1"]),
            ("Move the belt, point", &["1"]),
            ("does cake make a roll", &["2"]),
            ("Go to work, or look on?", &["1"]),
            ("What now?", &["1"]),
            ("How did it go?", &["1"]),
            ("What did you find?", &["1"]),
            ("How does it run?", &["2", "1"]),
            ("Where was its old mark", &["as marked"]),
            ("What runs off centre", &["1"]),
            ("Where on the conveyor is the belt", &["5"]),
            ("Which strand is off centre", &["2"]),
            ("with load, empty", &["1"]),
            ("How dirty are the idler rolls", &["3"]),
            ("How do the belt cleaner", &["2"]),
            ("How much material lies under", &["3"]),
            ("Tick all that", &["0 ?2", "0"]),
            ("What is at hand?", &["2 4"]),
        ],
        "c",
    );
    let exit = site.sit_with(width, Some("OQ-04.ron"), &mut person);
    (site.checked(width, &person.seen), exit)
}

#[test]
fn a_whole_visit() {
    both(WHOLE, whole_visit);
}
