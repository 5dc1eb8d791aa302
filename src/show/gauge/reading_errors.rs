//! How far readings may be off where nobody said so: by the program, or as rule files set it.

use super::GaugeWording;
use crate::gauge::read_by::{self, ReadingError};
use crate::gauge::{Keyed, Mark, Need, Readings, SetAt, Wanted, Way};
use crate::rulebook::model::{GaugeSize, SizeOf};
use crate::show::page::{Page, Screen};
use crate::stream::paint::Ink;

/// The error that counts where this is left out.
#[derive(Clone, Copy)]
pub(super) struct Counts<'b> {
    /// The way of reading.
    pub(super) by: &'static ReadingError,
    /// What the rule files set, and which of the book's that is.
    pub(super) set: Option<(SetAt, &'b GaugeSize)>,
}

impl<'b> Counts<'b> {
    /// Of a reading that may be left out; none if no error is taken without it.
    fn without(told: GaugeWording<'b>, wanted: &Wanted) -> Option<Self> {
        let by = read_by::of(wanted)?;
        let mut sizes = told.book.gauge_sizes.iter().enumerate();
        let set = sizes.find(|(_, set)| set.of.is(SizeOf::Error(by)));
        Some(Self { by, set: set.map(|(at, set)| (SetAt(at), set)) })
    }

    /// Its size, SI.
    pub(super) fn si(&self) -> f64 {
        self.set.map_or(self.by.si, |(_, set)| set.size.si())
    }

    /// What it rests on.
    pub(super) fn mark(&self) -> Mark {
        self.set.map_or(self.by.mark.into(), |(at, _)| Mark::Rules(at))
    }
}

/// The errors that counted because they were left out.
pub(super) fn counted<'b>(
    told: GaugeWording<'b>,
    way: &'b Way,
    readings: &'b Readings,
) -> impl Iterator<Item = Counts<'b>> {
    let left_out = way.wanted.iter().filter(|wanted| readings.given(wanted.key).is_none());
    left_out.filter_map(move |wanted| Counts::without(told, wanted))
}

/// An error that is set is a round number: "1 mm", not "1.0 mm".
fn round(words: &str) -> String {
    words.replace(".0 ", " ")
}

/// What is done without a reading that may be left out.
pub(super) fn without(told: GaugeWording, wanted: &Wanted) -> Option<String> {
    let Need::May(without) = wanted.need else { return None };
    let set = Counts::without(told, wanted).and_then(|counts| counts.set);
    Some(match set {
        Some((_, set)) => {
            let size = round(&set.size.words(told.units));
            format!("taken as {size}, set by this site: {}", set.of.what())
        }
        None => told.sides.fill(without),
    })
}

/// The errors that counted as the rule files set them, below the readings.
pub fn errors_set(screen: Screen, told: GaugeWording, way: &Way, readings: &Readings) -> String {
    let mut page = Page::new(screen);
    for counts in counted(told, way, readings) {
        let Some((at, set)) = counts.set else { continue };
        let size = round(&set.size.words(told.units));
        let mark = told.mark(Mark::Rules(at));
        let line = format!("One reading may be off {size} ({}). That is {mark}.", counts.by.how);
        page.item_in(Ink::Plain, " - ", &line);
    }
    page.finish()
}
