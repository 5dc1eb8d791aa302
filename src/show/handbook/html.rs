//! The handbook as one HTML file that needs nothing else: no script, no picture, no font from outside.
//! It is well-formed as XML too, so that any tool can read it. Tags and text are told apart by the macro that writes
//! them: whatever a text holds, it stays text.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::{ABOVE, Chapter, Handbook, OF_NUMBERS, SIGNED};
use crate::show::entries::sheet::{Bit, Block, ListMark, RichText, Sheet};

const STYLE: &str = include_str!("handbook.css");
/// Empty elements are closed by hand: as XML they must be.
const META: PreEscaped<&str> = PreEscaped(
    "<meta charset=\"utf-8\"/>\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n",
);
/// A line end between tags, for whoever reads the file itself.
pub const END: PreEscaped<&str> = PreEscaped("\n");

/// The handbook.
pub fn write(book: &Handbook) -> String {
    let chapters = book.chapters.iter().enumerate();
    let body = html! {
        (title_page(book)) (contents(book))
        @for (number, of) in chapters { (chapter(number + 1, of)) }
    };
    page(&book.name, &[], &body)
}

/// A page with this title and body, and styles besides the handbook's own.
pub fn page(title: &str, styles: &[&str], body: &Markup) -> String {
    let page = html! {
        (DOCTYPE) (END)
        html lang="en" xmlns="http://www.w3.org/1999/xhtml" { (END)
            head { (END)
                (META)
                title { (title) } (END)
                style { (END) (PreEscaped(STYLE)) @for style in styles { (PreEscaped(style)) } } (END)
            } (END)
            body { (END) (body) } (END)
        } (END)
    };
    page.into_string()
}

fn chapter(number: usize, chapter: &Chapter) -> Markup {
    let class = if chapter.page_each { "leaf page" } else { "leaf" };
    html! {
        section.chapter id=(chapter.anchor) { (END)
            h1 { (number) ". " (chapter.title) } (END)
            (sheet(&chapter.opening))
            @for leaf in &chapter.leaves {
                article class=(class) { (END) (sheet(&leaf.sheet)) } (END)
            }
        } (END)
    }
}

fn title_page(book: &Handbook) -> Markup {
    html! {
        section.cover { (END)
            h1.name { (book.name) } (END)
            p { "A handbook for putting a wandering belt right" } (END)
            table.pairs { (END)
                tr { th { "Version" } td { (book.version) } } (END)
                tr { th { "Fingerprint" } td.hex { (book.fingerprint) } } (END)
            } (END)
            p.warn { (ABOVE) } (END)
            p { (OF_NUMBERS) } (END)
            div.sign { (END) @for what in SIGNED { (fill_in(what)) (END) } } (END)
        } (END)
    }
}

fn contents(book: &Handbook) -> Markup {
    html! {
        nav id="contents" { (END)
            h1 { "Contents" } (END)
            ol { (END)
                @for chapter in &book.chapters {
                    li {
                        a href=(format_args!("#{}", chapter.anchor)) { (chapter.title) }
                        @if !chapter.leaves.is_empty() {
                            (END)
                            ul { (END)
                                @for leaf in &chapter.leaves {
                                    li { a href=(format_args!("#{}", leaf.anchor)) { (leaf.title) } } (END)
                                }
                            } (END)
                        }
                    } (END)
                }
            } (END)
        } (END)
    }
}

/// A sheet.
pub fn sheet(sheet: &Sheet) -> Markup {
    html! { @for part in &sheet.blocks { (block(part)) (END) } }
}

fn block(block: &Block) -> Markup {
    match block {
        Block::Head { level, anchor, text, id } => head(*level, anchor.as_deref(), text, id),
        Block::Para(text) => html! { p { (words(text)) } },
        Block::Warn(text) => html! { p.warn { (words(text)) } },
        Block::List(ListMark::Dot, items) => html! { ul { (END) (list(items)) } },
        Block::List(ListMark::Box, items) => html! { ul.boxes { (END) (list(items)) } },
        Block::List(ListMark::Number, items) => html! { ol { (END) (list(items)) } },
        Block::Pairs(pairs) => html! {
            table.pairs { (END)
                @for (name, text) in pairs { tr { th { (name) } td { (words(text)) } } (END) }
            }
        },
        Block::Table { head, rows } => table(head, rows),
        Block::FillIn(what) => fill_in(what),
        Block::NewPage => html! { div.new-page {} },
    }
}

fn fill_in(what: &str) -> Markup {
    html! { p.fill { span { (what) } } }
}

/// A chapter's title is the first level, so a sheet's own begin at the second.
fn head(level: u8, anchor: Option<&str>, text: &str, id: &str) -> Markup {
    let words = html! { (text) @if !id.is_empty() { " " small { (id) } } };
    match level {
        0 | 1 => html! { h2 id=[anchor] { (words) } },
        2 => html! { h3 id=[anchor] { (words) } },
        _ => html! { h4 id=[anchor] { (words) } },
    }
}

fn list(items: &[RichText]) -> Markup {
    html! { @for item in items { li { (words(item)) } (END) } }
}

fn table(head: &[&'static str], rows: &[Vec<RichText>]) -> Markup {
    html! {
        table class=(format_args!("rows of-{}", head.len())) { (END)
            thead { tr { @for name in head { th { (name) } } } } (END)
            tbody { (END)
                @for row in rows { tr { @for cell in row { td { (words(cell)) } } } (END) }
            } (END)
        }
    }
}

fn words(words: &RichText) -> Markup {
    html! { @for one in &words.0 { (bit(one)) } }
}

fn bit(bit: &Bit) -> Markup {
    match bit {
        Bit::Text(text) => html! { (text) },
        Bit::Strong(text) => html! { strong { (text) } },
        Bit::Faint(text) => html! { small { (text) } },
        Bit::Said(_) => Markup::default(),
        Bit::Entry { anchor, text, .. } => {
            html! { a href=(format_args!("#{anchor}")) { (text) } }
        }
    }
}
