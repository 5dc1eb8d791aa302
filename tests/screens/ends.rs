//! The person's own order, something else that was found, an unclear picture, and nothing left.

use straybelt::commands::visits;
use straybelt::rulebook::index::FixAt;
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;

use super::site::{
    GIVEN_BACK, LOCKED, OPENING, OQ_04, Person, SAFE, Site, both, from, snapshot, typed,
};
use crate::support::pages::{fits, same_words};

/// No jump, no wind told; the plan: scrape the rolls, then level the frame and square the idler.
const TO_THE_PLAN: &[&str] = &["1", "c", "p"];
const OTHER_FIRST: &str = "6";
const NOT_TODAY: &str = "7";

#[test]
fn another_job_first_and_one_not_today() {
    both("own-order", |width| {
        // Off the rolls, then off the frame; the rolls picked again, and begun with.
        let order = [NOT_TODAY, "1", NOT_TODAY, "1", "f", "h", "5", "1", "w", "1", "s"];
        let all = typed(&[SAFE, OPENING, TO_THE_PLAN, &order]);
        let (seen, exit) = Site::small().sit(width, OQ_04, &all);
        (from(&seen, "--- What now?"), exit)
    });
}
