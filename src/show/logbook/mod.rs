//! Logbooks: the list, the story of one conveyor, as text, as a page for a browser and as JSON.

mod chart;
mod comes_back;
mod json;
mod list;
mod story;
mod watch;

use jiff::civil::Date;
use maud::html;

pub use comes_back::{comes_back, grounds};
pub use json::document;
pub use list::{List, aside, gathered, list, list_document};

use super::entries::sheet::{ListMark, RichText, Sheet};
use super::gauge::GaugeWording;
use super::handbook::html::{self as handbook, END};
use super::page::Screen;
use super::words::Sides;
use crate::gauge::Setting;
use crate::logbook::{EntryId, LogbookRecord, Story, TakeUpSizes, Watch};
use crate::rulebook::model::Book;
use crate::trade::Units;

/// Styles besides the handbook's own.
const STYLE: &str = include_str!("logbook.css");

/// A logbook that is to be told.
#[derive(Clone, Copy)]
pub struct Told<'a> {
    /// The rule book, for the names of causes.
    pub book: &'a Book,
    /// The logbook.
    pub record: &'a LogbookRecord,
    /// What gauges go by on this conveyor.
    pub setting: &'a Setting,
    /// What the watch goes by.
    pub sizes: &'a TakeUpSizes,
    /// The reader's units.
    pub units: Units,
    /// The day after today, by this machine's clock: elsewhere it may be that by now.
    pub tomorrow: Date,
}

impl Told<'_> {
    fn sides(&self) -> Sides {
        let conveyor = &self.record.conveyor;
        Sides::named(conveyor.left.as_deref(), conveyor.right.as_deref())
    }

    /// What a cause of the book is called.
    fn cause(&self, id: &str) -> String {
        let known = self.book.causes.values().find(|cause| cause.id == id);
        known.map_or(id.to_owned(), |cause| cause.name.clone())
    }

    fn wording<'s>(&'s self, sides: &'s Sides) -> GaugeWording<'s> {
        GaugeWording { book: self.book, sides, units: self.units, places: None }
    }
}

/// The sheets of a logbook: above the chart, and below it.
fn sheets(told: &Told, story: &Story, watch: Option<&Watch>) -> (Sheet, Sheet) {
    let (mut above, mut below) = (Sheet::default(), Sheet::default());
    above.title("logbook", &format!("Logbook: {}", told.record.name), "");
    let sides = told.sides();
    above.para(sides.legend().unwrap_or_default());
    story::open_jobs(&mut above, story);
    story::conflicts(&mut above, told, story);
    story::not_known(&mut above, told, story);
    if let Some(watch) = watch {
        watch::tell(&mut above, told, watch);
    }
    story::tell(&mut below, told, story);
    (above, below)
}

/// The story as a page of text.
pub fn page(screen: Screen, told: &Told) -> String {
    let story = Story::of(&told.record.entries);
    let watch = Watch::over(&story, told.sizes);
    let (above, below) = sheets(told, &story, watch.as_ref());
    let mut page = above.page(screen);
    if let Some(watch) = &watch {
        page += &chart::text(screen, told, watch);
    }
    page.push('\n');
    page + below.page(screen).trim_start_matches('\n')
}

/// The story as one page for a browser, to print or keep: no script, nothing from outside.
pub fn html(told: &Told) -> String {
    let story = Story::of(&told.record.entries);
    let watch = Watch::over(&story, told.sizes);
    let (above, below) = sheets(told, &story, watch.as_ref());
    let body = html! {
        (handbook::sheet(&above))
        @if let Some(watch) = &watch { (chart::svg(told, watch)) (END) }
        (handbook::sheet(&below))
    };
    handbook::page(&format!("Logbook of {}", told.record.name), &[STYLE], &body)
}

/// What was entered, and what the watch has to warn of.
pub fn entered(screen: Screen, told: &Told, ids: &[EntryId], known: usize, again: &str) -> String {
    let mut sheet = Sheet::default();
    let story = Story::of(&told.record.entries);
    let new: Vec<RichText> = told
        .record
        .entries
        .iter()
        .filter(|entry| ids.contains(&entry.id))
        .map(|entry| story::line(told, &story, entry))
        .collect();
    let name = &told.record.name;
    const SHOWN: usize = 5;
    let many = new.len().saturating_sub(SHOWN);
    sheet.para(format!("In the logbook of {name}:"));
    sheet.list("", ListMark::Dot, new.into_iter().take(SHOWN).collect());
    if many > 0 {
        sheet.para(format!("And {many} more."));
    }
    match known {
        0 => {}
        1 => {
            sheet.para(
                "One of them stood there already. If it came twice that day, say so behind --why.",
            );
        }
        _ => {
            sheet.para(format!("{known} of them stood there already."));
        }
    }
    let struck = story.struck.iter().filter(|(entry, _)| ids.contains(&entry.id));
    for (_, why) in struck.take(SHOWN) {
        sheet.warn(format!(
            "It was struck out before ({why}), and counts for nothing. If it is right after all, enter it with other words behind --why."
        ));
    }
    if let Some(watch) = Watch::over(&story, told.sizes) {
        watch::warnings(&mut sheet, &watch);
    }
    sheet.para(format!("All of it: straybelt logbook show \"{name}\"{again}"));
    sheet.page(screen)
}
