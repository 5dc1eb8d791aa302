//! The decision graph as one SVG picture: text that can be searched, no script, nothing from outside.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::{arrow_words, card_words, sides};
use crate::rulebook::graph::{Edge, Node};
use crate::rulebook::view::{Arrow, View};
use crate::show::handbook::html::escape;
use crate::show::shelf::Shelf;

/// Width of a card.
const CARD: f64 = 300.0;
/// Between two columns: room for the arrows; more of it in a whole book, where there are many.
const GAP: f64 = 70.0;
const WIDE_GAP: f64 = 240.0;
/// Around the whole.
const EDGE: f64 = 24.0;
/// Between two cards of a column.
const BETWEEN: f64 = 10.0;
/// From one line of text to the next.
const LINE: f64 = 16.0;
/// Characters that surely fit a card's width, in the title's and in the small type.
const TITLE_FITS: usize = 34;
const SMALL_FITS: usize = 42;
/// The room for titles over the columns.
const TOP: f64 = 92.0;
/// The room for the legend below them.
const LEGEND: f64 = 76.0;
/// A picture around an entry is at most so high, so that it fits one upright page.
pub const PAGE: f64 = 1480.0;

const STYLE: &str = "\
text{font-family:Arial,'DejaVu Sans',sans-serif;font-size:12px;fill:#111}
.paper{fill:#fff}.card{fill:#fff;stroke:#222;stroke-width:1.2}.middle{stroke-width:3}.inner{fill:none;stroke:#222;stroke-width:1.2}
.t{font-size:13px;font-weight:bold}.k{font-size:11px;fill:#444}.h{font-size:14px;font-weight:bold}.big{font-size:19px;font-weight:bold}
.a{fill:none;stroke:#222;stroke-width:1.3}.head{fill:#222}.opens{stroke-dasharray:7 4}.side{stroke-dasharray:2 3}.cures{stroke-width:2.6}.order{stroke-dasharray:9 3 2 3}
@media (prefers-color-scheme:dark){text{fill:#eee}.paper{fill:#151515}.card{fill:#222;stroke:#ddd}.inner{stroke:#ddd}.k{fill:#bbb}.a{stroke:#ddd}.head{fill:#ddd}}
";

/// A card, laid out.
struct Placed {
    node: Node,
    column: i32,
    via: Option<usize>,
    title: Vec<String>,
    small: Vec<String>,
    lines: Vec<String>,
    y: f64,
}

impl Placed {
    fn height(&self) -> f64 {
        let lines = self.title.len() + self.small.len() + self.lines.len();
        LINE * f64::from(u32::try_from(lines).unwrap_or(u32::MAX)) + 12.0
    }
}

/// The picture around an entry: what leads to it on the left, where it leads on the right. What does not fit
/// one page is counted, weakest first.
pub fn around(shelf: &Shelf, view: &View) -> String {
    let Some(centre) = view.cards.first() else {
        return String::new();
    };
    let words = card_words(shelf, centre.node);
    let title = format!("{}: {}", words.id, words.title);
    let (left, right) = sides(centre.node);
    let heads = |column: i32| match column {
        -1 => left.to_owned(),
        0 => words.kind.to_owned(),
        1 => right.to_owned(),
        c if c < 0 => format!("{} steps before", -c),
        c => format!("{c} steps after"),
    };
    picture(shelf, view, &title, &heads, Some(PAGE))
}

/// The picture of a whole book, as high as it must be.
pub fn whole(shelf: &Shelf, view: &View, strongest: usize) -> String {
    let title = format!("{} {}: the decision graph", shelf.book.name, shelf.book.version);
    let heads = |column: i32| match column {
        0 => "Opening questions".to_owned(),
        1 => "Other questions".to_owned(),
        2 => format!("Causes, with their {strongest} strongest signs"),
        _ => "Fixes".to_owned(),
    };
    picture(shelf, view, &title, &heads, None)
}

fn picture(
    shelf: &Shelf,
    view: &View,
    title: &str,
    heads: &dyn Fn(i32) -> String,
    page: Option<f64>,
) -> String {
    let mut cards: Vec<Placed> =
        (0..view.cards.len()).filter_map(|at| lay_out(shelf, view, at, page.is_some())).collect();
    let mut columns: BTreeMap<i32, Vec<usize>> = BTreeMap::new();
    for (at, card) in cards.iter().enumerate() {
        columns.entry(card.column).or_default().push(at);
    }
    if page.is_some() {
        for side in [-1, 1] {
            columns.entry(side).or_default();
        }
    }
    let left_out = page.map_or_else(BTreeMap::new, |page| {
        cut(&cards, &mut columns, page - TOP - LEGEND - 2.0 * EDGE)
    });
    let heights: Vec<f64> = cards.iter().map(Placed::height).collect();
    let full = |at: &[usize]| -> f64 {
        let heights = at.iter().filter_map(|at| heights.get(*at));
        heights.map(|height| height + BETWEEN).sum()
    };
    let body = columns.values().map(|at| full(at)).fold(0.0, f64::max) + LINE;
    // Around an entry columns stand in the middle; those of a whole book are spread, so that arrows lie flat.
    let room = |at: &[usize]| (body - LINE - full(at)).max(0.0);
    let between = |at: &[usize]| match page {
        Some(_) => 0.0,
        None => room(at) / at.len().max(1) as f64,
    };
    let starts: BTreeMap<i32, f64> = columns
        .iter()
        .map(|(column, at)| match page {
            Some(_) => (*column, TOP + room(at) / 2.0),
            None => (*column, TOP + between(at) / 2.0),
        })
        .collect();
    for (column, at) in &columns {
        let mut y = starts.get(column).copied().unwrap_or(TOP);
        let between = between(at);
        for at in at {
            if let Some(card) = cards.get_mut(*at) {
                card.y = y;
                y += card.height() + BETWEEN + between;
            }
        }
    }
    let first = columns.keys().next().copied().unwrap_or(0);
    let gap = if page.is_some() { GAP } else { WIDE_GAP };
    let x = |column: i32| EDGE + f64::from(column - first) * (CARD + gap);
    let last = columns.keys().next_back().copied().unwrap_or(0);
    let (width, height) = (x(last) + CARD + EDGE, TOP + body + LEGEND);
    let mut out = String::new();
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width:.0} {height:.0}\" width=\"{width:.0}\" height=\"{height:.0}\" role=\"img\">\n\
         <title>{0}</title>\n<style>{STYLE}</style>\n<rect class=\"paper\" width=\"{width:.0}\" height=\"{height:.0}\"/>\n",
        escape(title)
    );
    let fits = ((width - 2.0 * EDGE) / 11.0) as usize;
    for (row, line) in wrap(title, fits).iter().take(2).enumerate() {
        text(&mut out, "big", EDGE, 30.0 + 22.0 * row as f64, line);
    }
    for column in columns.keys() {
        text(&mut out, "h", x(*column), TOP - 12.0, &heads(*column));
    }
    let shown: BTreeMap<usize, (f64, &Placed)> = columns
        .values()
        .flatten()
        .filter_map(|at| Some((*at, cards.get(*at)?)))
        .map(|(at, card)| (at, (x(card.column), card)))
        .collect();
    arrows(&mut out, view, &shown);
    for (column, _) in columns.iter().filter(|(_, at)| at.is_empty()) {
        text(&mut out, "k", x(*column), TOP + LINE, "nothing");
    }
    for (at, (x, card)) in &shown {
        draw(&mut out, card, *x, page.is_some() && *at == 0);
    }
    for (column, number) in &left_out {
        let at = columns.get(column).map_or(0.0, |at| full(at));
        let y = starts.get(column).copied().unwrap_or(TOP) + at + 12.0;
        let more = format!("and {number} more; `rules show` tells of them all");
        text(&mut out, "k", x(*column), y, &more);
    }
    legend(&mut out, height - LEGEND + 30.0);
    out.push_str("</svg>\n");
    out
}

/// Takes away from the end of each column what does not fit, and what hangs on it. Says how many.
fn cut(
    cards: &[Placed],
    columns: &mut BTreeMap<i32, Vec<usize>>,
    room: f64,
) -> BTreeMap<i32, usize> {
    let mut left_out = BTreeMap::new();
    let mut gone = vec![false; cards.len()];
    let mut order: Vec<i32> = columns.keys().copied().collect();
    order.sort_by_key(|column| column.abs());
    for column in order {
        let Some(at) = columns.get_mut(&column) else {
            continue;
        };
        let before = at.len();
        let is_gone = |gone: &[bool], at: usize| gone.get(at).copied().unwrap_or(false);
        let mut used = 0.0;
        let mut full = false;
        at.retain(|at| {
            let Some(card) = cards.get(*at) else {
                return false;
            };
            used += card.height() + BETWEEN;
            full |= used > room;
            let orphan = card.via.is_some_and(|via| is_gone(&gone, via));
            let keep = *at == 0 || !(full || orphan);
            if let (false, Some(slot)) = (keep, gone.get_mut(*at)) {
                *slot = true;
            }
            keep
        });
        if at.len() < before {
            left_out.insert(column, before - at.len());
        }
    }
    left_out
}

fn lay_out(shelf: &Shelf, view: &View, at: usize, around: bool) -> Option<Placed> {
    let card = view.cards.get(at)?;
    let words = card_words(shelf, card.node);
    let mut lines = Vec::new();
    if around {
        let joins = view.arrows.iter().filter(|arrow| {
            let via = card.via.unwrap_or(at);
            (arrow.from, arrow.to) == (at, via) || (arrow.from, arrow.to) == (via, at)
        });
        for arrow in joins {
            let says = arrow_words(shelf, view, arrow);
            lines.extend(wrap(&format!("\u{2022} {says}"), SMALL_FITS));
        }
    }
    Some(Placed {
        node: card.node,
        column: card.column,
        via: card.via,
        title: wrap(&words.title, TITLE_FITS),
        small: wrap(&format!("{} {}", words.kind, words.id), SMALL_FITS),
        lines,
        y: 0.0,
    })
}

fn wrap(text: &str, fits: usize) -> Vec<String> {
    let options = textwrap::Options::new(fits).word_splitter(textwrap::WordSplitter::NoHyphenation);
    let lines = textwrap::wrap(text, options).into_iter();
    lines.map(std::borrow::Cow::into_owned).collect()
}

fn text(out: &mut String, class: &str, x: f64, y: f64, words: &str) {
    let _ =
        writeln!(out, "<text class=\"{class}\" x=\"{x:.0}\" y=\"{y:.0}\">{}</text>", escape(words));
}

/// The shape tells the kind as well as the word in it: square, round, or doubled at the sides.
fn draw(out: &mut String, card: &Placed, x: f64, middle: bool) {
    let (y, height) = (card.y, card.height());
    let round = if matches!(card.node, Node::Cause(_)) { 16 } else { 2 };
    let class = if middle { "card middle" } else { "card" };
    let _ = writeln!(
        out,
        "<rect class=\"{class}\" x=\"{x:.0}\" y=\"{y:.1}\" width=\"{CARD:.0}\" height=\"{height:.1}\" rx=\"{round}\"/>"
    );
    if matches!(card.node, Node::Fix(_)) {
        let (one, two) = (x + 5.0, x + CARD - 5.0);
        let _ = writeln!(
            out,
            "<path class=\"inner\" d=\"M{one:.0} {y:.1}v{height:.1}M{two:.0} {y:.1}v{height:.1}\"/>"
        );
    }
    let mut line = y + LINE + 2.0;
    for (class, lines) in [("t", &card.title), ("k", &card.small), ("", &card.lines)] {
        for words in lines {
            text(out, class, x + 12.0, line, words);
            line += LINE;
        }
    }
}

/// One line for each pair of cards and kind of arrow; what it says stands in the outer card.
fn arrows(out: &mut String, view: &View, shown: &BTreeMap<usize, (f64, &Placed)>) {
    let mut drawn: Vec<&Arrow> = view.arrows.iter().collect();
    drawn.dedup_by_key(|arrow| (arrow.from, arrow.to, arrow.edge));
    for arrow in drawn {
        let (Some((x1, from)), Some((x2, to))) = (shown.get(&arrow.from), shown.get(&arrow.to))
        else {
            continue;
        };
        let (x1, x2) = (x1 + CARD, *x2);
        let (y1, y2) = (port(from, to), port(to, from));
        let bend = x1 + (x2 - x1) / 2.0;
        let kind = match arrow.edge {
            Edge::PointsTo | Edge::Has => "a",
            Edge::CuredBy => "a cures",
            Edge::Opens => "a opens",
            Edge::Sides => "a side",
            Edge::Before | Edge::NeededBy => "a order",
        };
        let tip = x2 - 8.0;
        let _ = writeln!(
            out,
            "<path class=\"{kind}\" d=\"M{x1:.0} {y1:.1}C{bend:.0} {y1:.1} {bend:.0} {y2:.1} {tip:.0} {y2:.1}\"/>\
             <path class=\"head\" d=\"M{x2:.0} {y2:.1}l-9 -4v8z\"/>"
        );
    }
}

/// Where an arrow meets a card: at its middle, moved toward the other card so that arrows spread.
fn port(card: &Placed, other: &Placed) -> f64 {
    let middle = |card: &Placed| card.y + card.height() / 2.0;
    let reach = (card.height() / 2.0 - 8.0).max(0.0);
    let pull = (middle(other) - middle(card)) * 0.12;
    middle(card) + pull.clamp(-reach, reach)
}

fn legend(out: &mut String, y: f64) {
    let kinds = [
        ("a", "an answer speaks for a cause"),
        ("a cures", "a fix cures a cause"),
        ("a opens", "an answer opens"),
        ("a side", "gives the side"),
        ("a order", "order of work"),
    ];
    let mut x = EDGE;
    for (class, words) in kinds {
        let _ = writeln!(out, "<path class=\"{class}\" d=\"M{x:.0} {:.0}h40\"/>", y - 4.0);
        text(out, "k", x + 46.0, y, words);
        x += 64.0 + 6.2 * words.len() as f64;
    }
    let note = "Square: question. Round: cause. Double sides: fix. A number is the likelihood in the book; decibans say how strongly the answer speaks.";
    for (row, line) in wrap(note, 150).iter().enumerate() {
        text(out, "k", EDGE, y + 20.0 + 15.0 * row as f64, line);
    }
}
