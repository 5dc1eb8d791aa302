//! A page for a browser as an outline: tags with their attributes, and texts, whatever blanks stand between them.

use roxmltree::{Document, Node, ParsingOptions};

/// The outline. Styles are left out.
#[track_caller]
pub(crate) fn tree(page: &str) -> String {
    let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
    let document = Document::parse_with_options(page, options)
        .unwrap_or_else(|error| panic!("{error}\n{page}"));
    let mut out = String::new();
    put(&mut out, document.root_element(), 0);
    out
}

fn put(out: &mut String, node: Node<'_, '_>, depth: usize) {
    let indent = " ".repeat(depth);
    if let Some(text) = node.text().filter(|text| node.is_text() && !text.trim().is_empty()) {
        let mut words = text.split_whitespace().collect::<Vec<_>>().join(" ");
        if text.starts_with(char::is_whitespace) {
            words.insert(0, ' ');
        }
        if text.ends_with(char::is_whitespace) {
            words.push(' ');
        }
        out.push_str(&format!("{indent}{words:?}\n"));
    }
    if !node.is_element() {
        return;
    }
    out.push_str(&format!("{indent}{}", node.tag_name().name()));
    for attribute in node.attributes() {
        out.push_str(&format!(" {}={:?}", attribute.name(), attribute.value()));
    }
    out.push('\n');
    if node.tag_name().name() != "style" {
        node.children().for_each(|child| put(out, child, depth + 1));
    }
}
