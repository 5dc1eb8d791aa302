//! The decision graph as a tree of text, readable at 40 columns.

use super::{arrow_words, card_words, sides};
use crate::rulebook::graph::GraphNode;
use crate::rulebook::view::View;
use crate::show::entries::BookSheets;
use crate::show::letters::capital;
use crate::show::page::{Page, Screen};

/// What stands around an entry, as two trees.
pub fn around(sheets: &BookSheets, view: &View, screen: Screen) -> String {
    let mut page = Page::new(screen);
    let Some(centre) = view.cards.first() else {
        return String::new();
    };
    let words = card_words(sheets, centre.node);
    page.title(&format!("Around {}", words.id));
    page.head(&format!("{}: {}", capital(words.kind), words.title));
    let (left, right) = sides(centre.node);
    for (side, head) in [(-1, left), (1, right)] {
        let first: Vec<usize> = children(view, 0, side);
        page.blank().head(&format!("{head} ({}):", first.len()));
        if first.is_empty() {
            page.para("nothing");
        }
        for at in first {
            Branches { sheets, view, side }.write(&mut page, at, 0);
        }
    }
    page.finish()
}

/// The whole book: every question with what it opens, every cause with its strongest signs and its fixes.
pub fn whole(sheets: &BookSheets, view: &View, screen: Screen, strongest: usize) -> String {
    let mut page = Page::new(screen);
    page.title("The decision graph");
    page.para(&format!(
        "Every entry once under what leads to it. Of each cause its {strongest} strongest signs; the order of work is left out. \
         `--around ID` shows all that hangs on one entry."
    ));
    for (column, head) in [
        (0, "Opening questions, and what they open"),
        (1, "Other questions, and what they open"),
        (2, "Causes: strongest signs, then fixes"),
    ] {
        page.blank().head(head);
        let cards = view.cards.iter().enumerate();
        for (at, card) in cards.filter(|(_, card)| card.column == column) {
            let words = card_words(sheets, card.node);
            let is_cause = matches!(card.node, GraphNode::Cause(_));
            let leads: Vec<_> = view
                .arrows
                .iter()
                .filter(|arrow| arrow.from == at && (is_cause || in_questions(view, arrow.to)))
                .collect();
            page.item("+- ", &format!("{} [{}]", words.title, words.id));
            for arrow in view.arrows.iter().filter(|arrow| is_cause && arrow.to == at) {
                page.item(
                    "|    < ",
                    &line(sheets, view, arrow.from, &arrow_words(sheets, view, arrow)),
                );
            }
            for arrow in leads {
                page.item(
                    "|    > ",
                    &line(sheets, view, arrow.to, &arrow_words(sheets, view, arrow)),
                );
            }
        }
    }
    page.finish()
}

fn in_questions(view: &View, at: usize) -> bool {
    let card = view.cards.get(at);
    card.is_some_and(|card| matches!(card.node, GraphNode::Symptom(_)))
}

fn line(sheets: &BookSheets, view: &View, at: usize, says: &str) -> String {
    let id = view.cards.get(at).map_or(String::new(), |card| card_words(sheets, card.node).id);
    format!("{id}: {says}")
}

/// The cards that were found through this one, outward on one side.
fn children(view: &View, at: usize, side: i32) -> Vec<usize> {
    let cards = view.cards.iter().enumerate();
    cards
        .filter(|(_, card)| card.via == Some(at) && card.column.signum() == side)
        .map(|(child, _)| child)
        .collect()
}

/// What hangs on an entry on one side, as branches of a tree.
struct Branches<'b> {
    sheets: &'b BookSheets<'b>,
    view: &'b View,
    side: i32,
}

impl Branches<'_> {
    fn write(&self, page: &mut Page, at: usize, depth: usize) {
        let Some(card) = self.view.cards.get(at) else {
            return;
        };
        let words = card_words(self.sheets, card.node);
        let indent = "|  ".repeat(depth);
        page.item(&format!("{indent}+- "), &format!("{} [{}]", words.title, words.id));
        let via = card.via.unwrap_or(at);
        let joins = self.view.arrows.iter().filter(|arrow| {
            let ends = if self.side < 0 { (at, via) } else { (via, at) };
            (arrow.from, arrow.to) == ends
        });
        for arrow in joins {
            page.item(&format!("{indent}|    "), &arrow_words(self.sheets, self.view, arrow));
        }
        for child in children(self.view, at, self.side) {
            self.write(page, child, depth + 1);
        }
    }
}
