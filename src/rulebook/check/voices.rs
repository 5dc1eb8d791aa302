//! Whether each cause has a voice on the questions that part the whole book. Where it has none the background speaks for
//! it, so that it wins or loses by accident.

use crate::problem::Code;
use crate::rulebook::index::{CauseAt, Place};
use crate::rulebook::model::Book;
use crate::rulebook::network::{Kind, Node};
use crate::rulebook::rules::Rules;

use super::Diagnostics;

/// A question parts the whole book if so large a share of its causes has a voice on it.
const BROAD: f64 = 0.5;
/// In a book of fewer causes no question is broad.
const FEW: usize = 10;
/// A cause with so many signs has enough to be told by.
const SIGNS: usize = 2;

pub(super) fn voices(book: &Book, rules: &Rules, diagnostics: &mut Diagnostics) {
    if book.causes.len() < FEW {
        return;
    }
    let many = BROAD * book.causes.len() as f64;
    let is_broad = |node: &Node| {
        matches!(node.kind, Kind::Pattern { .. } | Kind::Marks { .. })
            && node.linked().len() as f64 >= many
    };
    let nodes = book.network.nodes.iter().map(|(at, node)| (at, node.linked(), is_broad(node)));
    let nodes: Vec<_> = nodes.collect();
    let examples: Vec<&str> = (nodes.iter().filter(|(_, _, broad)| *broad))
        .map(|(at, ..)| book.symptoms[*at].id.as_str())
        .take(4)
        .collect();
    for (number, written) in rules.causes.iter().enumerate() {
        let cause = CauseAt::at(number);
        let mut signs = nodes.iter().filter(|(_, linked, _)| linked.contains(&cause));
        let count = signs.clone().count();
        if examples.is_empty() || count >= SIGNS || signs.any(|(_, _, broad)| *broad) {
            continue;
        }
        let message = format!(
            "`{}` has {} and says nothing on the questions that part the whole book",
            written.id,
            if count == 0 { "no sign".to_owned() } else { "a single sign".to_owned() },
        );
        let help = format!(
            "say with Shows or Marks what {} would tell of it; where it truly says nothing, an even row",
            examples.join(", ")
        );
        diagnostics.tell(Code::NoVoice, written.id.span, message, &help);
    }
}
