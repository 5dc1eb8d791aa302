//! A debrief as one page for a browser, to print or keep: no script, nothing from outside, well-formed as XML too.

use maud::{Markup, html};

use super::path::{EXPERTS, Paths, YOURS, paths};
use super::{Debrief, pictures, told};
use crate::show::handbook::html::{self as handbook, END};

/// Styles besides the handbook's own.
pub(super) const STYLE: &str = include_str!("debrief.css");

/// The page.
pub fn write(debrief: &Debrief<'_, '_>) -> String {
    let drill = debrief.world.drill();
    let body = html! {
        (handbook::sheet(&told::worth(debrief)))
        @if debrief.is_over() { (drawings(debrief)) (side_by_side(&paths(debrief))) }
        (handbook::sheet(&told::afterwards(debrief)))
    };
    handbook::page(&format!("Run {}: {}", debrief.record.run, drill.title), &[STYLE], &body)
}

fn drawings(debrief: &Debrief<'_, '_>) -> Markup {
    let sides = debrief.names.sides();
    html! {
        h3 { "The belt from above" } (END)
        p {
            "Grey: where the middle of the belt may run before an edge comes near steel. Line: where it runs, on the mean; shade: how far it swings. A stroke across marks where it has no edge room left. "
            (sides.left)
            " is up. The drawing has no scale: sides and shapes can be trusted, distances only roughly."
        } (END)
        h4 { "Before" } (END)
        (pictures::before(debrief))
        h4 { "As it last ran" } (END)
        (pictures::after(debrief))
        h3 { "What the tail bearings carried, move by move" } (END)
        p { "As multiples of the load with all in order. A bearing that carries more lasts shorter by about the cube of it." } (END)
        (pictures::loads(debrief))
    }
}

fn side_by_side(paths: &Paths) -> Markup {
    html! {
        h3 { "Both ways, step by step" } (END)
        div.paths { (END)
            @for (head, lines) in [(YOURS, &paths.yours), (EXPERTS, &paths.experts)] {
                div { (END)
                    h4 { (head) } (END)
                    ol { (END) @for line in lines { li { (line) } (END) } } (END)
                } (END)
            }
        } (END)
    }
}
