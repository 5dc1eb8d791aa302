//! The decision graph, drawn.

use straybelt::rulebook::graph::{DecisionGraph, GraphNode};
use straybelt::rulebook::model::Book;
use straybelt::show::entries::BookSheets;
use straybelt::show::graph::{diagram, matrix, svg, text};
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;

use super::{printed, shipped};
use crate::support::files::small;
use crate::support::pages::held;

fn entries(book: &Book) -> Vec<GraphNode> {
    let symptoms = book.symptoms.places().map(GraphNode::Symptom);
    let causes = book.causes.places().map(GraphNode::Cause);
    let fixes = book.fixes.places().map(GraphNode::Fix);
    symptoms.chain(causes).chain(fixes).collect()
}

#[test]
fn the_graph_of_the_small_book_in_every_form() {
    let around = ["graph", "--around", "low-frame", "--format", "text"];
    insta::assert_snapshot!("shelf-graph-around-40", held(|width| printed(width, &around)));
    let whole = ["graph", "--format", "text"];
    insta::assert_snapshot!("shelf-graph-40", held(|width| printed(width, &whole)));
    for format in ["svg", "dot", "mermaid"] {
        let drawn =
            printed(80, &["graph", "--around", "low-frame", "--steps", "2", "--format", format]);
        insta::assert_snapshot!(format!("shelf-graph-{format}"), drawn);
    }
}

#[test]
fn a_picture_around_any_entry_is_well_formed_fits_one_page_and_can_be_searched() {
    for (book, steps) in [(shipped(), 1), (shipped(), 2), (small(), 1)] {
        let sheets = BookSheets::new(&book);
        let graph = DecisionGraph::new(&book);
        for node in entries(&book) {
            let view = graph.around(&book, &sheets.links, node, steps);
            let picture = svg::around(&sheets, &view, false);
            let document = roxmltree::Document::parse(&picture)
                .unwrap_or_else(|error| panic!("{error}\n{picture}"));
            let root = document.root_element();
            let size: Vec<f64> = root
                .attribute("viewBox")
                .unwrap()
                .split(' ')
                .map(|number| number.parse().unwrap())
                .collect();
            // More than a page only where a page would hide more than it shows.
            let drawn = picture.matches("<rect class=\"card").count();
            let hidden: usize = hidden(&picture).into_iter().sum();
            assert!(hidden <= drawn, "{node:?}: {hidden} are hidden, {drawn} shown");
            assert!(hidden == 0 || size[3] <= svg::PAGE, "{node:?} is {} high", size[3]);
            let all = svg::around(&sheets, &view, true);
            assert_eq!(all.matches("<rect class=\"card").count(), view.cards.len());
            assert_eq!(self::hidden(&all), Vec::<usize>::new());
            assert!(steps > 1 || size[2] <= 1100.0, "{node:?} is {} wide", size[2]);
            let named = |name: &'static str| {
                document.descendants().filter(move |node| node.has_tag_name(name))
            };
            assert_eq!(named("title").count(), 1);
            assert_eq!(named("script").count() + named("image").count(), 0);
            let cards = document.descendants().filter(|node| {
                node.attribute("class").is_some_and(|class| class.starts_with("card"))
            });
            assert!(cards.count() >= 1);
            assert_eq!(through_a_box(&document), Vec::<String>::new(), "{node:?}");
            let words: String =
                named("text").filter_map(|node| node.text()).collect::<Vec<_>>().join(" ");
            let id = match node {
                GraphNode::Symptom(at) => &book.symptoms[at].id,
                GraphNode::Cause(at) => &book.causes[at].id,
                GraphNode::Fix(at) => &book.fixes[at].id,
                GraphNode::Answer(..) => unreachable!(),
            };
            assert!(words.contains(id.as_str()), "{id} is not in its own picture");
        }
    }
}

/// The lines that run through a card, or behind one. A line bends between its two ends and never beyond them, so that it is
/// clear of all cards where those stand beside its way.
fn through_a_box(document: &roxmltree::Document) -> Vec<String> {
    let class = |node: &roxmltree::Node, begins: &str| {
        node.attribute("class").is_some_and(|class| class.split(' ').next() == Some(begins))
    };
    let number =
        |node: &roxmltree::Node, name| node.attribute(name).unwrap().parse::<f64>().unwrap();
    let cards =
        document.descendants().filter(|node| node.has_tag_name("rect") && class(node, "card"));
    let cards: Vec<(f64, f64)> = cards
        .map(|card| (number(&card, "x"), number(&card, "x") + number(&card, "width")))
        .collect();
    // Below the picture stand samples of the lines, which join nothing.
    let lines = document.descendants().filter(|node| node.has_tag_name("path") && class(node, "a"));
    let lines = lines.map(|line| line.attribute("d").unwrap()).filter(|d| d.contains('C'));
    let crosses = lines.filter(|d| {
        let places: Vec<f64> = d[1..]
            .replace('C', " ")
            .split(' ')
            .step_by(2)
            .map(|place| place.parse().unwrap())
            .collect();
        let (from, to) = (places[0], places[places.len() - 1]);
        let between = places.iter().all(|x| (from..=to).contains(x));
        !between || cards.iter().any(|(left, right)| *left < to - 0.5 && *right > from + 0.5)
    });
    crosses.map(str::to_owned).collect()
}

/// How many cards each column of a picture leaves out.
fn hidden(picture: &str) -> Vec<usize> {
    let document = roxmltree::Document::parse(picture).unwrap();
    let texts = document.descendants().filter(roxmltree::Node::is_text);
    texts
        .filter_map(|node| node.text())
        .filter_map(|words| {
            let rest = words.strip_prefix("and ")?;
            let number = rest.strip_suffix(" more; --all draws them too")?;
            number.parse().ok()
        })
        .collect()
}

#[test]
fn the_whole_graph_is_drawn_with_every_entry() {
    let book = shipped();
    let sheets = BookSheets::new(&book);
    let view = DecisionGraph::new(&book).whole(&book, &sheets.links, 3);
    // A square for each cause and look, and no line that could cross another.
    let picture = matrix::whole(&sheets);
    let document = roxmltree::Document::parse(&picture).unwrap();
    let words: String = document.descendants().filter_map(|node| node.text()).collect();
    for cause in book.causes.values() {
        assert!(words.contains(&cause.id), "{}", cause.id);
    }
    let looks = book.looks.values().filter(|look| look.place.is_some()).count();
    let cells = document.descendants().filter(|node| node.attribute("class") == Some("cell"));
    assert_eq!(cells.count(), looks * book.causes.len());
    assert!(document.descendants().all(|node| !node.has_tag_name("path")));
    let drawn = text::whole(&sheets, &view, Screen::new(40, Paint::NONE), 3);
    assert!(drawn.lines().all(|line| line.chars().count() <= 40));
    assert!(diagram::mermaid(&sheets, &view).starts_with("flowchart LR\n"));
}
