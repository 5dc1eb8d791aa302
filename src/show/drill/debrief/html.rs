//! A debrief as one page for a browser, to print or keep: no script, nothing from outside, well-formed as XML too.

use std::fmt::Write as _;

use super::path::{EXPERTS, Paths, YOURS, paths};
use super::{Debrief, pictures, told};
use crate::show::handbook::html as handbook;
use crate::show::handbook::html::escape;

const STYLE: &str = include_str!("debrief.css");

/// The page.
pub fn write(debrief: &Debrief<'_, '_>) -> String {
    let drill = debrief.world.drill();
    page(&format!("Run {}: {}", debrief.record.run, drill.title), |out| {
        handbook::sheet(out, &told::worth(debrief));
        if debrief.is_over() {
            drawings(out, debrief);
            side_by_side(out, &paths(debrief));
        }
        handbook::sheet(out, &told::afterwards(debrief));
    })
}

/// A page with this title around what is written into it.
pub(super) fn page(title: &str, body: impl FnOnce(&mut String)) -> String {
    let mut out = handbook::opened(title, &[STYLE]);
    body(&mut out);
    out.push_str(handbook::CLOSED);
    out
}

fn drawings(out: &mut String, debrief: &Debrief<'_, '_>) {
    let sides = debrief.names.sides();
    out.push_str("<h3>The belt from above</h3>\n");
    let _ = writeln!(
        out,
        "<p>Grey: where the middle of the belt may run before an edge comes near steel. Line: where it runs, on the mean; shade: how far it swings. A stroke across marks where it has no edge room left. {} is up. The drawing has no scale: sides and shapes can be trusted, distances only roughly.</p>",
        escape(&sides.left)
    );
    let before = pictures::before(debrief);
    let _ = writeln!(out, "<h4>Before</h4>\n{before}<h4>As it last ran</h4>");
    out.push_str(&pictures::after(debrief));
    out.push_str("<h3>What the tail bearings carried, move by move</h3>\n<p>As multiples of the load with all in order. A bearing that carries more lasts shorter by about the cube of it.</p>\n");
    out.push_str(&pictures::loads(debrief));
}

fn side_by_side(out: &mut String, paths: &Paths) {
    out.push_str("<h3>Both ways, step by step</h3>\n<div class=\"paths\">\n");
    for (head, lines) in [(YOURS, &paths.yours), (EXPERTS, &paths.experts)] {
        let _ = writeln!(out, "<div>\n<h4>{head}</h4>\n<ol>");
        for line in lines {
            let _ = writeln!(out, "<li>{}</li>", escape(line));
        }
        out.push_str("</ol>\n</div>\n");
    }
    out.push_str("</div>\n");
}
