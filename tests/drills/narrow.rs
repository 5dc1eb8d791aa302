//! Drawings on a page 420 pixels wide: no label is smaller than 11 pixels, and none sticks out.
//!
//! The page's own margins are a rem on either side (src/show/handbook/handbook.css), and a rem is 16 pixels in browsers
//! as they come (the HTML standard's rendering section leaves that to them; it has been so for decades: from memory).

use roxmltree::{Document, ParsingOptions};
use straybelt::show::drill::sheet::{html, learners};

use crate::courses::pages::kim_page;
use crate::debrief::replay::page;
use crate::debrief::{bad, good, steered};
use crate::support::{BOOK, SHIPPED};

const PAGE_PX: f64 = 420.0 - 2.0 * 16.0;
const SMALLEST_PX: f64 = 11.0;
/// A letter of the drawings' sans-serif is so many of its heights wide at most, on the mean of a word.
const LETTER: f64 = 0.62;

#[test]
fn labels_are_large_enough_and_stay_inside() {
    let mut pages: Vec<String> = [good(), bad(), steered()].iter().map(page).collect();
    pages.push(kim_page());
    pages.extend(SHIPPED.0.iter().map(|drill| html("", &learners::sheet(drill, BOOK.minutes))));
    let mut seen = 0;
    for page in &pages {
        let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
        let document = Document::parse_with_options(page, options).unwrap();
        let (_, size) = page.split_once("svg text { font: ").unwrap();
        let size: f64 = size.split_once("px").unwrap().0.parse().unwrap();
        for drawing in document.descendants().filter(|node| node.tag_name().name() == "svg") {
            let view = drawing.attribute("viewBox").unwrap();
            let width: f64 = view.split(' ').nth(2).unwrap().parse().unwrap();
            let px = size * PAGE_PX / width;
            assert!(px >= SMALLEST_PX, "{px} px");
            for text in drawing.descendants().filter(|node| node.tag_name().name() == "text") {
                seen += 1;
                let words = text.text().unwrap();
                let long = LETTER * size * words.chars().count() as f64;
                let x: f64 = text.attribute("x").unwrap().parse().unwrap();
                let class = text.attribute("class").unwrap_or_default();
                let from = match class.split(' ').next().unwrap_or_default() {
                    "end" => x - long,
                    "mid" => x - 0.5 * long,
                    _ => x,
                };
                assert!(
                    from >= -1.0 && from + long <= width + 1.0,
                    "{words}: {from} to {}",
                    from + long
                );
            }
        }
    }
    assert!(seen > 200, "{seen}");
}
