//! The decision graph as one SVG picture: text that can be searched, no script, nothing from outside.

use std::collections::BTreeMap;

use maud::{Markup, PreEscaped, html};

use super::{arrow_words, card_words, sides};
use crate::rulebook::graph::{Edge, GraphNode};
use crate::rulebook::view::{Arrow, View};
use crate::show::entries::BookSheets;
use crate::show::handbook::html::END;

/// Width of a card.
const CARD: f64 = 300.0;
/// Between two columns: room for the arrows.
const GAP: f64 = 70.0;
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

pub(super) const STYLE: &str = "\
text{font-family:Arial,'DejaVu Sans',sans-serif;font-size:12px;fill:#111}
.paper{fill:#fff}.card{fill:#fff;stroke:#222;stroke-width:1.2}.middle{stroke-width:3}.inner{fill:none;stroke:#222;stroke-width:1.2}
.t{font-size:13px;font-weight:bold}.k{font-size:11px;fill:#444}.h{font-size:14px;font-weight:bold}.big{font-size:19px;font-weight:bold}
.a{fill:none;stroke:#222;stroke-width:1.3}.head{fill:#222}.opens{stroke-dasharray:7 4}.side{stroke-dasharray:2 3}.cures{stroke-width:2.6}.order{stroke-dasharray:9 3 2 3}
@media (prefers-color-scheme:dark){text{fill:#eee}.paper{fill:#151515}.card{fill:#222;stroke:#ddd}.inner{stroke:#ddd}.k{fill:#bbb}.a{stroke:#ddd}.head{fill:#ddd}}
";

/// A card, laid out.
struct Placed {
    node: GraphNode,
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
/// one page is counted, weakest first; but no column hides more than it shows, nor anything if `all` is asked for.
pub fn around(sheets: &BookSheets, view: &View, all: bool) -> String {
    let Some(centre) = view.cards.first() else {
        return String::new();
    };
    let words = card_words(sheets, centre.node);
    let title = format!("{}: {}", words.id, words.title);
    let (left, right) = sides(centre.node);
    let heads = |column: i32| match column {
        -1 => left.to_owned(),
        0 => words.kind.to_owned(),
        1 => right.to_owned(),
        c if c < 0 => format!("{} steps before", -c),
        c => format!("{c} steps after"),
    };
    // First with what the arrows say; then names alone, of which more fit; then as high as it must be.
    let ways = [(true, true), (false, true)].into_iter().filter(|_| !all);
    let pictures = ways.map(|(lines, fits)| GraphPicture { sheets, view, lines, fits });
    let whole = GraphPicture { sheets, view, lines: true, fits: false };
    let picture = pictures.into_iter().find(|p| p.layout().shows_more_than_it_hides());
    picture.unwrap_or(whole).draw(&title, &heads)
}

struct GraphPicture<'p> {
    sheets: &'p BookSheets<'p>,
    view: &'p View,
    /// Whether cards say what their arrows do.
    lines: bool,
    /// Whether it has to fit one upright page.
    fits: bool,
}

/// Cards in columns, each at its height, and how many had no room in each column.
struct Layout {
    cards: Vec<Placed>,
    columns: BTreeMap<i32, Vec<usize>>,
    left_out: BTreeMap<i32, usize>,
    /// Where each column ends.
    ends: BTreeMap<i32, f64>,
    body: f64,
}

impl GraphPicture<'_> {
    fn layout(&self) -> Layout {
        let places = 0..self.view.cards.len();
        let mut cards: Vec<Placed> = places.filter_map(|at| self.card(at)).collect();
        let mut columns: BTreeMap<i32, Vec<usize>> = BTreeMap::new();
        for (at, card) in cards.iter().enumerate() {
            columns.entry(card.column).or_default().push(at);
        }
        let mut left_out = BTreeMap::new();
        for side in [-1, 1] {
            columns.entry(side).or_default();
        }
        if self.fits {
            left_out = cut(&cards, &mut columns, PAGE - TOP - LEGEND - 2.0 * EDGE);
        }
        let heights: Vec<f64> = cards.iter().map(Placed::height).collect();
        let full = |at: &[usize]| -> f64 {
            let heights = at.iter().filter_map(|at| heights.get(*at));
            heights.map(|height| height + BETWEEN).sum()
        };
        let body = columns.values().map(|at| full(at)).fold(0.0, f64::max) + LINE;
        let mut ends = BTreeMap::new();
        for (column, at) in &columns {
            let spare = (body - LINE - full(at)).max(0.0);
            let mut y = TOP + spare / 2.0;
            ends.insert(*column, y + full(at));
            for at in at {
                if let Some(card) = cards.get_mut(*at) {
                    card.y = y;
                    y += card.height() + BETWEEN;
                }
            }
        }
        Layout { cards, columns, left_out, ends, body }
    }

    fn card(&self, at: usize) -> Option<Placed> {
        let card = self.view.cards.get(at)?;
        let words = card_words(self.sheets, card.node);
        let mut lines = Vec::new();
        if self.lines {
            let joins = self.view.arrows.iter().filter(|arrow| {
                let via = card.via.unwrap_or(at);
                (arrow.from, arrow.to) == (at, via) || (arrow.from, arrow.to) == (via, at)
            });
            for arrow in joins {
                let says = arrow_words(self.sheets, self.view, arrow);
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

    fn draw(&self, title: &str, heads: &dyn Fn(i32) -> String) -> String {
        let layout = self.layout();
        let (width, height) = (layout.width(), TOP + layout.body + LEGEND);
        let fits = ((width - 2.0 * EDGE) / 11.0) as usize;
        let shown = layout.shown();
        let picture = html! {
            svg xmlns="http://www.w3.org/2000/svg" viewBox=(format_args!("0 0 {width:.0} {height:.0}"))
                width=(format_args!("{width:.0}")) height=(format_args!("{height:.0}")) role="img" { (END)
                title { (title) } (END)
                style { (PreEscaped(STYLE)) } (END)
                rect.paper width=(format_args!("{width:.0}")) height=(format_args!("{height:.0}")) {} (END)
                @for (row, line) in wrap(title, fits).iter().take(2).enumerate() {
                    (text("big", EDGE, 30.0 + 22.0 * row as f64, line))
                }
                @for column in layout.columns.keys() {
                    (text("h", layout.x(*column), TOP - 12.0, &heads(*column)))
                }
                (arrows(self.view, &shown))
                @for (column, _) in layout.columns.iter().filter(|(_, at)| at.is_empty()) {
                    (text("k", layout.x(*column), TOP + LINE, "nothing"))
                }
                @for (at, (x, card)) in &shown {
                    @let class = if *at == 0 { "card middle" } else { "card" };
                    (drawn(card, *x, class))
                }
                @for (column, number) in &layout.left_out {
                    @let more = format!("and {number} more; --all draws them too");
                    (text("k", layout.x(*column), layout.end(*column) + 12.0, &more))
                }
                (legend(height - LEGEND + 30.0))
            } (END)
        };
        picture.into_string()
    }
}

impl Layout {
    /// Whether each column shows at least as much as it leaves out.
    fn shows_more_than_it_hides(&self) -> bool {
        let shown = |column: &i32| self.columns.get(column).map_or(0, Vec::len);
        self.left_out.iter().all(|(column, out)| *out <= shown(column))
    }

    fn x(&self, column: i32) -> f64 {
        let first = self.columns.keys().next().copied().unwrap_or(0);
        EDGE + f64::from(column - first) * (CARD + GAP)
    }

    fn width(&self) -> f64 {
        let last = self.columns.keys().next_back().copied().unwrap_or(0);
        self.x(last) + CARD + EDGE
    }

    fn end(&self, column: i32) -> f64 {
        self.ends.get(&column).copied().unwrap_or(TOP)
    }

    /// The cards that are shown, with where they stand from the left.
    fn shown(&self) -> BTreeMap<usize, (f64, &Placed)> {
        let all = self.columns.values().flatten();
        all.filter_map(|at| Some((*at, self.cards.get(*at)?)))
            .map(|(at, card)| (at, (self.x(card.column), card)))
            .collect()
    }
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

fn wrap(text: &str, fits: usize) -> Vec<String> {
    let options = textwrap::Options::new(fits).word_splitter(textwrap::WordSplitter::NoHyphenation);
    let lines = textwrap::wrap(text, options).into_iter();
    lines.map(std::borrow::Cow::into_owned).collect()
}

pub(super) fn text(class: &str, x: f64, y: f64, words: &str) -> Markup {
    html! {
        text class=(class) x=(format_args!("{x:.0}")) y=(format_args!("{y:.0}")) { (words) } (END)
    }
}

fn path(class: &str, d: &str) -> Markup {
    html! { path class=(class) d=(d) {} (END) }
}

/// The shape tells the kind as well as the word in it: square, round, or doubled at the sides.
fn drawn(card: &Placed, x: f64, class: &str) -> Markup {
    let (y, height) = (card.y, card.height());
    let round = if matches!(card.node, GraphNode::Cause(_)) { 16 } else { 2 };
    let (one, two) = (x + 5.0, x + CARD - 5.0);
    let of =
        |class, lines: &'_ [String]| lines.iter().map(move |line| (class, line.clone())).collect();
    let lines: [Vec<(&str, String)>; 3] =
        [of("t", &card.title), of("k", &card.small), of("", &card.lines)];
    html! {
        rect class=(class) x=(format_args!("{x:.0}")) y=(format_args!("{y:.1}"))
            width=(format_args!("{CARD:.0}")) height=(format_args!("{height:.1}")) rx=(round) {} (END)
        @if matches!(card.node, GraphNode::Fix(_)) {
            (path("inner", &format!("M{one:.0} {y:.1}v{height:.1}M{two:.0} {y:.1}v{height:.1}")))
        }
        @for (row, (class, words)) in lines.iter().flatten().enumerate() {
            (text(class, x + 12.0, y + LINE + 2.0 + LINE * row as f64, words))
        }
    }
}

/// One line for each pair of cards and kind of arrow; what it says stands in the outer card.
fn arrows(view: &View, shown: &BTreeMap<usize, (f64, &Placed)>) -> Markup {
    let mut drawn: Vec<&Arrow> = view.arrows.iter().collect();
    drawn.dedup_by_key(|arrow| (arrow.from, arrow.to, arrow.edge));
    let both = |arrow: &&Arrow| Some((arrow.edge, shown.get(&arrow.from)?, shown.get(&arrow.to)?));
    html! {
        @for (edge, from, to) in drawn.iter().filter_map(both) { (arrow_between(edge, from, to)) }
    }
}

fn arrow_between(edge: Edge, (x1, from): &(f64, &Placed), (x2, to): &(f64, &Placed)) -> Markup {
    let x1 = x1 + CARD;
    let (y1, y2) = (port(from, to), port(to, from));
    let bend = x1 + (x2 - x1) / 2.0;
    let tip = x2 - 8.0;
    let kind = match edge {
        Edge::PointsTo | Edge::Has => "a",
        Edge::CuredBy => "a cures",
        Edge::Opens => "a opens",
        Edge::Sides => "a side",
        Edge::Before | Edge::NeededBy => "a order",
    };
    let line = format!("M{x1:.0} {y1:.1}C{bend:.0} {y1:.1} {bend:.0} {y2:.1} {tip:.0} {y2:.1}");
    html! {
        path class=(kind) d=(line) {}
        (path("head", &format!("M{x2:.0} {y2:.1}l-9 -4v8z")))
    }
}

/// Where an arrow meets a card: at its middle, moved toward the other card so that arrows spread.
fn port(card: &Placed, other: &Placed) -> f64 {
    let middle = |card: &Placed| card.y + card.height() / 2.0;
    let reach = (card.height() / 2.0 - 8.0).max(0.0);
    let pull = (middle(other) - middle(card)) * 0.12;
    middle(card) + pull.clamp(-reach, reach)
}

fn legend(y: f64) -> Markup {
    let kinds = [
        ("a", "an answer speaks for a cause"),
        ("a cures", "a fix cures a cause"),
        ("a opens", "an answer opens"),
        ("a side", "gives the side"),
        ("a order", "order of work"),
    ];
    let mut next = EDGE;
    let placed = kinds.map(|(class, words)| {
        let x = next;
        next += 64.0 + 6.2 * words.len() as f64;
        (class, words, x)
    });
    let note = "Square: question. Round: cause. Double sides: fix. A number is the likelihood in the book; decibans say how strongly the answer speaks.";
    html! {
        @for (class, words, x) in placed {
            (path(class, &format!("M{x:.0} {:.0}h40", y - 4.0)))
            (text("k", x + 46.0, y, words))
        }
        @for (row, line) in wrap(note, 150).iter().enumerate() {
            (text("k", EDGE, y + 20.0 + 15.0 * row as f64, line))
        }
    }
}
