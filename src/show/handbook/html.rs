//! The handbook as one HTML file that needs nothing else: no script, no picture, no font from outside.
//! It is well-formed as XML too, so that any tool can read it.

use std::fmt::Write as _;

use super::{ABOVE, Handbook, OF_NUMBERS, SIGNED};
use crate::show::shelf::sheet::{Bit, Block, Lead, Sheet, Words};

const STYLE: &str = include_str!("handbook.css");

/// The handbook.
pub fn write(book: &Handbook) -> String {
    let mut out = opened(&book.name, &[]);
    title_page(&mut out, book);
    contents(&mut out, book);
    for (number, chapter) in book.chapters.iter().enumerate() {
        let _ = writeln!(
            out,
            "<section class=\"chapter\" id=\"{}\">\n<h1>{}. {}</h1>",
            chapter.anchor,
            number + 1,
            escape(chapter.title)
        );
        sheet(&mut out, &chapter.opening);
        let class = if chapter.page_each { "leaf page" } else { "leaf" };
        for leaf in &chapter.leaves {
            let _ = writeln!(out, "<article class=\"{class}\">");
            sheet(&mut out, &leaf.sheet);
            out.push_str("</article>\n");
        }
        out.push_str("</section>\n");
    }
    out.push_str(CLOSED);
    out
}

/// The end of a page.
pub const CLOSED: &str = "</body>\n</html>\n";

/// The head of a page with this title, and styles besides the handbook's own.
pub fn opened(title: &str, styles: &[&str]) -> String {
    let title = escape(title);
    let more = styles.concat();
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\" xmlns=\"http://www.w3.org/1999/xhtml\">\n<head>\n<meta charset=\"utf-8\"/>\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n<title>{title}</title>\n<style>\n{STYLE}{more}</style>\n</head>\n<body>\n"
    )
}

/// Text made safe between tags and in attributes.
pub fn escape(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            other => safe.push(other),
        }
    }
    safe
}

fn title_page(out: &mut String, book: &Handbook) {
    let _ = write!(
        out,
        "<section class=\"cover\">\n<h1 class=\"name\">{}</h1>\n<p>A handbook for putting a wandering belt right</p>\n\
         <table class=\"pairs\">\n<tr><th>Version</th><td>{}</td></tr>\n<tr><th>Fingerprint</th><td class=\"hex\">{}</td></tr>\n</table>\n\
         <p class=\"warn\">{}</p>\n<p>{}</p>\n<div class=\"sign\">\n",
        escape(&book.name),
        escape(&book.version),
        escape(&book.fingerprint),
        escape(ABOVE),
        escape(OF_NUMBERS)
    );
    for what in SIGNED {
        let _ = writeln!(out, "<p class=\"fill\"><span>{}</span></p>", escape(what));
    }
    out.push_str("</div>\n</section>\n");
}

fn contents(out: &mut String, book: &Handbook) {
    out.push_str("<nav id=\"contents\">\n<h1>Contents</h1>\n<ol>\n");
    for chapter in &book.chapters {
        let _ = write!(out, "<li><a href=\"#{}\">{}</a>", chapter.anchor, escape(chapter.title));
        if !chapter.leaves.is_empty() {
            out.push_str("\n<ul>\n");
            for leaf in &chapter.leaves {
                let _ = writeln!(
                    out,
                    "<li><a href=\"#{}\">{}</a></li>",
                    leaf.anchor,
                    escape(&leaf.title)
                );
            }
            out.push_str("</ul>\n");
        }
        out.push_str("</li>\n");
    }
    out.push_str("</ol>\n</nav>\n");
}

/// Writes a sheet.
pub fn sheet(out: &mut String, sheet: &Sheet) {
    for block in &sheet.blocks {
        match block {
            Block::Head { level, anchor, text, id } => {
                head(out, *level, anchor.as_deref(), text, id);
            }
            Block::Para(text) => {
                let _ = writeln!(out, "<p>{}</p>", words(text));
            }
            Block::Warn(text) => {
                let _ = writeln!(out, "<p class=\"warn\">{}</p>", words(text));
            }
            Block::List(lead, items) => list(out, *lead, items),
            Block::Pairs(pairs) => {
                out.push_str("<table class=\"pairs\">\n");
                for (name, text) in pairs {
                    let _ =
                        writeln!(out, "<tr><th>{}</th><td>{}</td></tr>", escape(name), words(text));
                }
                out.push_str("</table>\n");
            }
            Block::Table { head, rows } => table(out, head, rows),
            Block::FillIn(what) => {
                let _ = writeln!(out, "<p class=\"fill\"><span>{}</span></p>", escape(what));
            }
            Block::NewPage => out.push_str("<div class=\"new-page\"></div>\n"),
        }
    }
}

/// A chapter's title is the first level, so a sheet's own begin at the second.
fn head(out: &mut String, level: u8, anchor: Option<&str>, text: &str, id: &str) {
    let level = level.clamp(1, 3) + 1;
    let anchor = anchor.map_or(String::new(), |anchor| format!(" id=\"{}\"", escape(anchor)));
    let id = if id.is_empty() { String::new() } else { format!(" <small>{}</small>", escape(id)) };
    let _ = writeln!(out, "<h{level}{anchor}>{}{id}</h{level}>", escape(text));
}

fn list(out: &mut String, lead: Lead, items: &[Words]) {
    let tag = match lead {
        Lead::Dot => "ul",
        Lead::Number => "ol",
    };
    let _ = writeln!(out, "<{tag}>");
    for item in items {
        let _ = writeln!(out, "<li>{}</li>", words(item));
    }
    let _ = writeln!(out, "</{tag}>");
}

fn table(out: &mut String, head: &[&'static str], rows: &[Vec<Words>]) {
    let _ = write!(out, "<table class=\"rows of-{}\">\n<thead><tr>", head.len());
    for name in head {
        let _ = write!(out, "<th>{}</th>", escape(name));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for row in rows {
        out.push_str("<tr>");
        for cell in row {
            let _ = write!(out, "<td>{}</td>", words(cell));
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table>\n");
}

fn words(words: &Words) -> String {
    let mut out = String::new();
    for bit in &words.0 {
        let _ = match bit {
            Bit::Text(text) => write!(out, "{}", escape(text)),
            Bit::Strong(text) => write!(out, "<strong>{}</strong>", escape(text)),
            Bit::Faint(text) => write!(out, "<small>{}</small>", escape(text)),
            Bit::Said(_) => Ok(()),
            Bit::Entry { anchor, text, .. } => {
                write!(out, "<a href=\"#{}\">{}</a>", escape(anchor), escape(text))
            }
        };
    }
    out
}

#[cfg(test)]
mod tests {
    use super::escape;

    #[test]
    fn nothing_in_a_text_can_become_a_tag_or_end_an_attribute() {
        assert_eq!(escape("a < b & \"c\" > 'd'"), "a &lt; b &amp; &quot;c&quot; &gt; &#39;d&#39;");
    }
}
