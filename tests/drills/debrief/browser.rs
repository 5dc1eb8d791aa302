//! The pages for a browser.

use roxmltree::{Document, ParsingOptions};
use straybelt::show::drill::debrief::{class, html};

use super::{bad, good, unfinished, with};

fn parsed(page: &str) -> Document<'_> {
    let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
    Document::parse_with_options(page, options).unwrap_or_else(|error| panic!("{error}\n{page}"))
}

fn pages() -> Vec<String> {
    let mut pages: Vec<String> = [good(), bad(), unfinished()]
        .into_iter()
        .map(|run| with(&[run], |runs| html::write(&runs[0])))
        .collect();
    pages.push(with(&[good(), bad(), unfinished()], class::html));
    pages
}

#[test]
fn pages_are_whole_and_need_nothing_from_outside() {
    for page in pages() {
        let document = parsed(&page);
        for node in document.descendants().filter(roxmltree::Node::is_element) {
            let name = node.tag_name().name();
            assert!(
                !["script", "link", "img", "iframe", "object", "use", "image"].contains(&name),
                "{name}"
            );
            for attribute in node.attributes() {
                let (name, value) = (attribute.name(), attribute.value());
                assert!(!name.starts_with("on"), "{name}");
                assert!(!["src", "href"].contains(&name) || value.starts_with('#'), "{value}");
                assert!(!value.contains("url("), "{value}");
            }
        }
        assert!(!page.contains("@import") && !page.contains("url("));
    }
}

#[test]
fn what_people_wrote_stays_text() {
    for (run, written) in [(unfinished(), "Ilse <b>&"), (good(), "put back <by hand>?")] {
        let page = with(&[run], |runs| html::write(&runs[0]));
        let document = parsed(&page);
        let holds = document
            .descendants()
            .any(|node| node.is_text() && node.text().is_some_and(|text| text.contains(written)));
        assert!(holds, "{page}");
        assert!(document.descendants().all(|node| !["b", "by"].contains(&node.tag_name().name())));
    }
}

/// Two strands before and two after, one line for each bearing; nothing of it while a run goes on.
#[test]
fn a_run_that_is_over_has_its_pictures() {
    let count = |page: &str, class: &str| {
        let of = |node: &roxmltree::Node<'_, '_>| node.attribute("class") == Some(class);
        parsed(page).descendants().filter(of).count()
    };
    let page = with(&[bad()], |runs| html::write(&runs[0]));
    assert_eq!(count(&page, "belt"), 4);
    assert_eq!(count(&page, "room"), 4);
    assert_eq!((count(&page, "load left"), count(&page, "load right")), (1, 1));
    let page = with(&[unfinished()], |runs| html::write(&runs[0]));
    assert_eq!(count(&page, "belt"), 0);
}

/// The drawing is a shape: no number stands in it but the bearings' multiples and the count of moves.
#[test]
fn no_picture_of_the_belt_has_a_scale() {
    let page = with(&[bad()], |runs| html::write(&runs[0]));
    let document = parsed(&page);
    let drawings: Vec<_> =
        document.descendants().filter(|node| node.tag_name().name() == "svg").collect();
    assert_eq!(drawings.len(), 3);
    for drawing in &drawings[..2] {
        for text in drawing.descendants().filter(|node| node.tag_name().name() == "text") {
            let words = text.text().unwrap();
            assert!(!words.contains(|letter: char| letter.is_ascii_digit()), "{words}");
        }
    }
}
