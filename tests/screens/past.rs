//! Looking back: visits, one of them in full, open ones announced.

use straybelt::commands::visits;
use straybelt::exit::Exit;
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;

use super::site::{GIVEN_BACK, LOCKED, OPENING, OQ_04, SAFE, Site, snapshot, typed};

/// Return rolls are scraped, and it runs true.
fn cured() -> Vec<&'static str> {
    typed(&[SAFE, OPENING, &["1", "c", "p", "1"], LOCKED, &["1", "1"], GIVEN_BACK, &["1"]])
}

#[test]
fn the_list_of_visits_and_an_announcement() {
    for width in [40, 80] {
        let site = Site::small();
        let screen = Screen::new(width, Paint::NONE);
        let none =
            visits::list(screen, &site.book, &site.store(), None, &site.clock, "").expect("a list");
        snapshot(&format!("visits-none-{width}"), &none);
        site.sit(width, OQ_04, &cured());
        site.sit(width, Some("OQ-07.ron"), &["1", "yes", "1"]);
        site.sit(width, Some("OQ-01.ron"), &["1", "1", "1", "1"]);
        let (_, exit) = site.sit(width, OQ_04, &typed(&[SAFE, &["1", "4", "p", "s"]]));
        assert_eq!(exit, Exit::Done);
        let (seen, _) = site.sit(width, OQ_04, &["h", "2", "1", "s"]);
        snapshot(&format!("announced-{width}"), &seen);
        let list =
            visits::list(screen, &site.book, &site.store(), None, &site.clock, " --state kept")
                .expect("a list");
        snapshot(&format!("visits-{width}"), &list);
    }
}

#[test]
fn visits_in_full() {
    for width in [40, 80] {
        let site = Site::small();
        let screen = Screen::new(width, Paint::NONE);
        site.sit(width, OQ_04, &cured());
        let unsure = [
            "1", "no", "OQ-09", "3", "c", "1", "2", "c", "1", "", "", "2", "1", "c", "b", "2", "p",
            "s",
        ];
        site.sit(width, None, &unsure);
        for (visit, name) in [(1, "true"), (2, "open")] {
            let page = visits::show(screen, &site.book, &site.store(), visit, &site.clock);
            snapshot(&format!("visit-{name}-{width}"), &page.expect("a visit"));
        }
    }
}
