//! Measuring within a visit: why not the screw, a gauge at the plan, and its amounts in the plan.

use super::site::{Person, Site, both, from};

#[test]
fn a_measurement_at_the_plan() {
    both("measured-at-the-plan", |width| {
        let site = Site::new();
        let mut person = Person::new(
            &[
                ("Look again?", &["4"]),
                ("Look 4:", &["p"]),
                ("You could not tell", &["1"]),
                ("Before you look", &["1"]),
                ("First: safety", &["no"]),
                ("How far off?", &["3"]),
                ("Lock out, point", &["1"]),
                ("Give back, point", &["1"]),
                ("Move the belt, point", &["1"]),
                ("Go to work, or look on?", &["1"]),
                ("What now?", &["w", "g", "3", "s"]),
                ("Measure what?", &["7"]),
                ("How is it measured?", &["2"]),
                ("Reading on the WALKWAY side", &["120"]),
                ("Reading on the WALL side", &["132"]),
                ("Does more or less thread", &["m"]),
                ("Last reading", &[""]),
                ("Belt modulus", &[""]),
                ("How far may one reading", &[""]),
                ("Keep it?", &["1"]),
                ("What runs off centre", &["1"]),
                ("Where on the conveyor is the belt", &["1"]),
                ("with load, empty", &["1"]),
            ],
            "c",
        );
        let exit = site.sit_with(width, Some("OQ-04.ron"), &mut person);
        let seen = site.checked(width, &person.seen);
        (from(&seen, "--- What now?"), exit)
    });
}
