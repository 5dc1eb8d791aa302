//! A visit as a page to hand over, and the job sheet of its plan: to print on paper, or for a phone.

mod drawing;
mod job_sheet;
mod json;
mod photos;
mod told;

use jiff::tz::TimeZone;
use maud::html;

pub use job_sheet::{html as job_sheet_html, text as job_sheet_text};
pub use json::document;
pub use photos::Photo;

use super::handbook::html::{self as handbook, END};
use super::past::PastVisit;
use super::words::Known;
use crate::rulebook::index::CauseAt;
use crate::visit::Why;

/// Styles besides the handbook's own.
const STYLE: &str = include_str!("visit_page.css");

/// A visit that is to be handed over.
#[derive(Clone, Copy)]
pub struct VisitPage<'a> {
    /// The words of this conveyor.
    pub known: &'a Known<'a>,
    /// The same by what was seen at the start, for the drawing.
    pub start: &'a Known<'a>,
    /// The visit.
    pub visit: PastVisit<'a>,
    /// Its photos that can be read.
    pub photos: &'a [Photo],
    /// What speaks for and against a cause.
    pub why: &'a dyn Fn(CauseAt) -> Why,
    /// The zone in which people here read the time.
    pub zone: &'a TimeZone,
}

/// One page for a browser: no script, nothing from outside, well-formed as XML too.
pub fn html(page: &VisitPage) -> String {
    let body = html! {
        (handbook::sheet(&told::seen(page)))
        (drawing::svg(page.start)) (END)
        (photos::figures(page.photos))
        (handbook::sheet(&told::rest(page)))
    };
    let name = super::past::conveyor_name(page.visit.record);
    let name = name.map_or(String::new(), |name| format!(": {name}"));
    handbook::page(&format!("Visit {}{name}", page.visit.record.visit), &[STYLE], &body)
}
