//! The whole book as a handbook.

use std::collections::BTreeSet;
use std::fs;

use straybelt::rulebook::graph::{DecisionGraph, GraphNode};
use straybelt::show::entries::{BookSheets, anchor};
use straybelt::show::graph::{diagram, svg};
use straybelt::show::handbook::{self, Handbook};

use super::{printed, run, shipped};
use crate::support::files::small;
use crate::support::tree::tree;

#[test]
fn the_handbook_of_the_shipped_book_has_a_page_for_every_cause_and_no_dead_link() {
    let book = shipped();
    let html = handbook::html::write(&Handbook::new(&book));
    let document = roxmltree::Document::parse_with_options(
        &html,
        roxmltree::ParsingOptions { allow_dtd: true, ..Default::default() },
    )
    .unwrap_or_else(|error| panic!("{error}"));
    let mut places = BTreeSet::new();
    for node in document.descendants() {
        if let Some(id) = node.attribute("id") {
            assert!(places.insert(id), "the id {id} stands twice");
        }
    }
    for node in document.descendants() {
        if let Some(link) = node.attribute("href") {
            let to = link.strip_prefix('#').unwrap_or_else(|| panic!("{link} leads outside"));
            assert!(places.contains(to), "{link} leads nowhere");
        }
        assert!(!["script", "link", "img", "iframe"].contains(&node.tag_name().name()));
    }
    for cause in book.causes.values() {
        let head = document
            .descendants()
            .find(|node| node.attribute("id") == Some(&anchor("cause", &cause.id)));
        let page = head.unwrap().parent().unwrap();
        assert_eq!(page.attribute("class"), Some("leaf page"), "{}", cause.id);
        let words: String = page.descendants().filter_map(|node| node.text()).collect();
        assert!(
            words.contains(&cause.name) && words.contains(&cause.happens_because),
            "{}",
            cause.id
        );
    }
    assert!(!html.contains("@import") && !html.contains("url("));
    assert!(html.contains("@media print") && html.contains(&book.fingerprint));
    let text = handbook::text::write(&Handbook::new(&book));
    assert!(text.lines().all(|line| line.chars().count() <= handbook::text::COLUMNS));
    assert!(book.causes.values().all(|cause| text.contains(&cause.id)));
}

#[test]
fn the_handbook_of_the_small_book_reads_well() {
    insta::assert_snapshot!("shelf-handbook", handbook::text::write(&Handbook::new(&small())));
}

#[test]
fn the_page_of_the_small_book_keeps_its_tags_and_texts() {
    let book = small();
    let outline = tree(&handbook::html::write(&Handbook::new(&book)));
    let outline = outline.replace(&book.fingerprint, "[fingerprint]");
    insta::assert_snapshot!("shelf-handbook-tree", outline);
}

#[test]
fn texts_of_rules_cannot_break_out_of_a_page_or_picture() {
    let nasty = "</title><script>alert(1)</script> & \"quoted\" 'single' ]]>";
    let mut book = small();
    let at = book.causes.places().next().unwrap();
    book.name = nasty.into();
    book.causes[at].name = nasty.into();
    book.causes[at].happens_because = nasty.into();
    let symptom = book.symptoms.places().next().unwrap();
    book.symptoms[symptom].ask = format!("{nasty}?");
    let sheets = BookSheets::new(&book);
    let view = DecisionGraph::new(&book).around(&book, &sheets.links, GraphNode::Cause(at), 1);
    let picture = svg::around(&sheets, &view, false);
    let html = handbook::html::write(&Handbook::new(&book));
    let options = || roxmltree::ParsingOptions { allow_dtd: true, ..Default::default() };
    for page in [&picture, &html] {
        let document = roxmltree::Document::parse_with_options(page, options()).unwrap();
        assert!(document.descendants().all(|node| node.tag_name().name() != "script"));
        let words: String = document.descendants().filter_map(|node| node.text()).collect();
        assert!(words.contains("alert(1)"), "the words are kept");
    }
    let mermaid = diagram::mermaid(&sheets, &view);
    assert!(!mermaid.contains("<script") && mermaid.contains("#lt;script#gt;"));
    let dot = diagram::dot(&sheets, &view);
    assert!(dot.contains("\\\"quoted\\\""));
}

#[test]
fn a_handbook_goes_to_a_file_in_one_piece_or_not_at_all() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("handbook.html");
    let name = file.display().to_string();
    let told = printed(80, &["print", "--whole", "--format", "html", "-o", &name]);
    assert!(told.contains("Wrote the handbook"));
    assert!(fs::read_to_string(&file).unwrap().ends_with("</html>\n"));
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    let nowhere = folder.path().join("no/such/folder.html").display().to_string();
    let output = run(80, &["print", "--whole", "--format", "html", "-o", &nowhere]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("cannot be written"));
}
