//! The pages of a logbook, and the pictures of the demo's in the guide: drawn by the program, kept by this test.
//! `STRAYBELT_RENEW=1 cargo test --test cli picture` renews them.

use std::fs;

use jiff::civil::date;
use straybelt::conveyor;
use straybelt::logbook::size::Millimetres;
use straybelt::logbook::{ComesBack, LogbookStore, Story, TakeUpSizes, Watch};
use straybelt::rulebook::load;
use straybelt::show::logbook as pages;
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;
use straybelt::visit::ConveyorFacts;

use super::logbook::{DEMO, OQ_04, Site};
use crate::support::files::root;

#[test]
fn the_page_for_a_browser_is_whole_and_needs_nothing_from_outside() {
    let site = Site::new();
    site.demo();
    let path = site.path("oq-04.html");
    let show = ["show", "OQ-04", "--format", "html", "-o", &path];
    site.done(&show);
    let page = fs::read_to_string(&path).unwrap();
    let options =
        roxmltree::ParsingOptions { allow_dtd: true, ..roxmltree::ParsingOptions::default() };
    let tree = roxmltree::Document::parse_with_options(&page, options).unwrap();
    let drawn = |name: &str| {
        tree.descendants()
            .filter(|node| node.has_tag_name(("http://www.w3.org/2000/svg", name)))
            .count()
    };
    assert_eq!((drawn("svg"), drawn("circle")), (1, 32));
    for outside in ["http:", "https:", "src=", "@import", "<script"] {
        let rest = page.replace("http://www.w3.org/", "");
        assert!(!rest.contains(outside), "{outside}");
    }
    assert!(site.refused(&show).contains("is there already"));
}

/// What the drawing needs of the page's style, to stand alone.
fn style() -> String {
    let all = include_str!("../../src/show/logbook/logbook.css");
    let of_drawings = all.lines().filter(|line| line.starts_with('.') || line.contains("text"));
    let lines: Vec<&str> = of_drawings.collect();
    format!(
        "<style>:root {{ --ink: #111; --paper: #fff; --line: #777; }}\n{}</style>\n<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n",
        lines.join("\n")
    )
}

/// The chart of the demo's take-up, as its page has it.
fn chart(site: &Site) -> String {
    let page = site.0.done(&["logbook", "show", OQ_04, "--format", "html"]);
    let (_, from) = page.split_once("<svg").unwrap();
    let (drawing, _) = from.split_once("</svg>").unwrap();
    let (open, rest) = drawing.split_once(">\n").unwrap();
    format!("<svg{open}>\n{}{rest}</svg>\n", style())
}

/// The logbook in text: what it warns of with the grounds, the chart, and what a visit begins with.
fn told(site: &Site) -> String {
    let show = site.0.command(&["logbook", "show", OQ_04]).env("COLUMNS", "72").output().unwrap();
    let page = String::from_utf8(show.stdout).unwrap();
    let (watch, rest) = page.split_once("What the difference costs").unwrap();
    let chart: Vec<&str> = rest.lines().skip_while(|line| !line.contains(" mm |")).collect();
    let (chart, _) = chart.split_at(chart.iter().position(|line| line.is_empty()).unwrap());
    let back = comes_back(site);
    format!("{}\n\n{}\n...\n\n{}\n", watch.trim(), chart.join("\n"), back.trim())
}

/// What a visit would have begun with that came soon after the last one.
fn comes_back(site: &Site) -> String {
    let (book, _) = load::with_site(None).unwrap();
    let record = LogbookStore::at(site.path("state")).look(1).unwrap();
    let (oq_04, _) = conveyor::read(&root(OQ_04)).unwrap();
    let apart = Some(Millimetres(2.0));
    let sizes = TakeUpSizes::of(&ConveyorFacts::from(&oq_04), apart);
    let story = Story::of(&record.entries);
    let watch = Watch::over(&story, &sizes);
    let back = ComesBack::of(&story, watch.as_ref(), date(2023, 10, 9), &|_| false);
    pages::comes_back(Screen::new(72, Paint::NONE), &book, &back, watch.as_ref())
}

#[test]
fn the_pictures_of_the_guide_are_the_program_as_it_is() {
    const BEGINS: &str = "<!-- logbook: OQ-04 -->\n```text\n";
    let site = Site::new();
    site.done(&["import", DEMO]);
    let (now, words) = (chart(&site), told(&site));
    roxmltree::Document::parse(&now).unwrap();
    let (file, guide) = (root("examples/take-up.svg"), root("rules/GUIDE.md"));
    let page = fs::read_to_string(&guide).unwrap();
    let (before, rest) = page.split_once(BEGINS).unwrap();
    let (kept, after) = rest.split_once("```\n").unwrap();
    if std::env::var_os("STRAYBELT_RENEW").is_some() {
        fs::write(file, now).unwrap();
        fs::write(guide, format!("{before}{BEGINS}{words}```\n{after}")).unwrap();
        return;
    }
    let renew = "renew it and look at it: STRAYBELT_RENEW=1 cargo test --test cli picture";
    assert!(fs::read_to_string(file).unwrap() == now, "{renew}");
    assert!(kept == words, "{renew}\n{words}");
}
