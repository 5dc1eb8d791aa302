//! Pages that look back: what was moved, the farewell, the list of visits and one of them in full.

use jiff::tz::TimeZone;

use super::chance;
use super::happened::{Happened, state_words, usual_units};
use super::page::{Page, Screen};
use super::words::Known;
use crate::rulebook::index::FixAt;
use crate::rulebook::model::{Book, IfWorse};
use crate::stream::paint::Ink;
use crate::trade::Units;
use crate::visit::clock::readable;
use crate::visit::event::{CuredBy, Ended, Event, Stamped, standing};
use crate::visit::store::{Record, VisitListing, VisitStatus};
use crate::visit::{Finding, Moved, VisitState};

/// The list of what was moved.
pub fn moved(screen: Screen, moved: &[Moved]) -> String {
    let mut page = Page::new(screen);
    page.title("Moved in this visit");
    if moved.is_empty() {
        page.para("Nothing was moved, or nothing was written down.");
    }
    for (place, moved) in moved.iter().enumerate() {
        moved_item(&mut page, &format!("{:>2}  ", place + 1), moved);
    }
    page.finish()
}

fn moved_item(page: &mut Page, lead: &str, moved: &Moved) {
    let note = |place: &Option<String>| place.clone().unwrap_or_else(|| "not noted".to_owned());
    let back = match moved.put_back {
        Some(true) => " PUT BACK.",
        Some(false) => " Left as it is.",
        None => "",
    };
    page.item(lead, &format!("{}.{back}", moved.what));
    page.item("    from: ", &note(&moved.from));
    page.item("    to:   ", &note(&moved.to));
}

/// What was done before the belt ran worse, the last one first.
#[derive(Debug, Clone, Default)]
pub struct DoneBefore {
    /// Work that is undone: what it is, and how where that is more than going by its marks.
    pub goes_back: Vec<(String, String)>,
    /// Work that stays, since the old part or place is never the cure: what it is, and what is looked at instead.
    pub stays: Vec<(String, String)>,
}

impl DoneBefore {
    /// Of these fixes of the book.
    pub fn of(known: &Known, fixes: impl Iterator<Item = FixAt>) -> Self {
        let mut done = Self::default();
        for fix in fixes {
            let fix = &known.book().fixes[fix];
            match &fix.if_worse {
                IfWorse::Undo(how) => done.goes_back.push((fix.title.clone(), known.fill(how))),
                IfWorse::Stays(look) => done.stays.push((fix.title.clone(), known.fill(look))),
            }
        }
        done
    }
}

/// How to undo what can have done it, first thing after "worse".
pub fn put_back(screen: Screen, to_put_back: &[&Moved], done: &DoneBefore) -> String {
    let mut page = Page::new(screen);
    page.title("Worse: undo the last change").para(
        "Have the belt stopped by the site's procedure. Lock it out as before. Then undo the last change before you try anything else.",
    );
    if to_put_back.is_empty() {
        page.para("Nothing was written down about what moved. Once it is locked out, go by the marks made before the work. These were changed:");
        for (fix, _) in &done.goes_back {
            page.item(" - ", fix);
        }
    } else {
        page.para("Undo these once it is locked out. Begin with the one moved last:");
        for (place, moved) in to_put_back.iter().enumerate() {
            moved_item(&mut page, &format!("{:>2}  ", place + 1), moved);
        }
    }
    for (_, how) in done.goes_back.iter().filter(|(_, how)| !how.is_empty()) {
        page.item("How: ", how);
    }
    left_as_they_are(&mut page, done);
    page.finish()
}

/// Said after "worse" when all that was done stays.
pub fn worse_and_stays(screen: Screen, done: &DoneBefore) -> String {
    let mut page = Page::new(screen);
    page.title("Worse: nothing to put back").para(
        "Leave what was cleaned, renewed or set square. The old part or place cures nothing. If the belt comes close to steel or spills, have it stopped by the site's procedure. At the next lock-out, before anything else:",
    );
    left_as_they_are(&mut page, done);
    page.finish()
}

fn left_as_they_are(page: &mut Page, done: &DoneBefore) {
    for (fix, look) in &done.stays {
        match look.is_empty() {
            true => page.item("Stays: ", &format!("{fix}.")),
            false => page.item("Stays: ", &format!("{fix}. {look}")),
        };
    }
}

/// Said after "worse" when the belt was only watched.
pub fn worse_by_itself(screen: Screen) -> String {
    let mut page = Page::new(screen);
    page.title("Worse, though nothing was changed").para(
        "Nothing was moved, so there is nothing to put back. If the belt comes close to steel or spills, have it stopped by the site's procedure.",
    );
    page.finish()
}

/// What there is to say when parting.
#[derive(Debug, Clone, Default)]
pub struct Parting<'a> {
    /// The visit's number, once something is saved.
    pub visit: Option<u32>,
    /// The folder it is kept in.
    pub folder: &'a str,
    /// What must be typed behind a command so that it finds the visit and the book again; mostly nothing.
    pub again: &'a str,
    /// How the visit ended; nothing if it goes on.
    pub ended: Option<Ended>,
    /// Whether the machine is still locked out.
    pub isolated: bool,
    /// Why the last save failed, if it did.
    pub unsaved: Option<&'a str>,
    /// What was answered, in words, for a person to copy if it could not be saved.
    pub answered: Vec<String>,
}

/// The farewell.
pub fn part(screen: Screen, parting: &Parting) -> String {
    let mut page = Page::new(screen);
    page.text("\n");
    if parting.isolated {
        page.para_in(Ink::Warn, "The machine is still locked out. Before it runs: tools out, guards on, everybody clear, locks off, start warning.");
    }
    if let Some(why) = parting.unsaved {
        page.para_in(Ink::Warn, &format!("NOT SAVED: {why}."))
            .para("So that nothing is lost, here is what was answered. Copy it before this window closes:");
        for text in &parting.answered {
            page.item(" - ", text);
        }
    }
    match (parting.visit, parting.ended) {
        (None, _) if parting.unsaved.is_none() => {
            page.para("Nothing was answered, so nothing was saved.");
        }
        (None, _) => {
            page.para_in(Ink::Warn, "Nothing of this visit is kept on disk.");
        }
        (Some(visit), Some(_)) if parting.unsaved.is_none() => {
            page.para(&format!("Saved as visit {visit}. See it again with:"))
                .line(Ink::Plain, &format!("  straybelt visits show {visit}{}", parting.again));
        }
        (Some(visit), _) => {
            page.para(&match parting.unsaved {
                None => format!("Saved as visit {visit}. Go on with:"),
                Some(_) => format!("What was saved before is visit {visit}. Go on with:"),
            })
            .line(Ink::Plain, &format!("  straybelt diagnose --resume {visit}{}", parting.again));
        }
    }
    if parting.unsaved.is_none() && parting.visit.is_some() {
        page.line(Ink::Faint, &format!("Kept in {}", parting.folder));
    }
    page.finish()
}

/// What was answered, found and done, in words, as far as it still stands. `units` are for figures of which is not
/// kept in which they were typed.
pub fn answered(known: &Known, events: &[Stamped], units: Units) -> Vec<String> {
    let mut told = Happened::new(known, units);
    let lines = standing(events).into_iter().map(|event| (event, told.words(event)));
    lines.filter(|(event, _)| event.what.is_typed()).filter_map(|(_, words)| words).collect()
}

/// What several steps back would take out.
pub fn to_take_back(screen: Screen, known: &Known, events: &[Stamped], units: Units) -> String {
    let mut page = Page::new(screen);
    page.title("These would be taken back");
    for line in answered(known, events, units) {
        page.item(" - ", &line);
    }
    page.finish()
}

/// Open visits, before another starts.
pub fn open_visits(screen: Screen, open: &[Record], zone: &TimeZone) -> String {
    let mut page = Page::new(screen);
    page.title("There is an open visit")
        .para("Go on with it, and everything answered, found and moved is kept.");
    for record in open {
        page.item(" - ", &one_line(record, zone));
    }
    page.finish()
}

/// A visit in one line: number, conveyor, when, how far.
pub fn one_line(record: &Record, zone: &TimeZone) -> String {
    format!("Visit {}: {}", record.visit, in_short(record, zone))
}

fn in_short(record: &Record, zone: &TimeZone) -> String {
    let name = conveyor_name(record).unwrap_or_else(|| "conveyor without a name".to_owned());
    let replies = standing(&record.events).iter().filter(|event| event.what.is_reply()).count();
    format!(
        "{name}, {}, {}, {}",
        readable(record.begun, zone),
        chance::count(replies, "reply", "replies"),
        state_words(record.state)
    )
}

/// What the conveyor of a visit is called.
pub fn conveyor_name(record: &Record) -> Option<String> {
    let named = standing(&record.events).into_iter().rev().find_map(|event| match &event.what {
        Event::Named { name } => name.clone(),
        _ => None,
    });
    named.or_else(|| record.conveyor.name.clone())
}

/// So many visits are listed at once.
pub const A_PAGE: usize = 20;

/// The list of visits. `again` are the flags that were named, to be named again.
pub fn visits(
    screen: Screen,
    book: &Book,
    listing: &VisitListing,
    zone: &TimeZone,
    again: &str,
) -> String {
    let mut page = Page::new(screen);
    page.title("Visits");
    if listing.from.is_none() {
        page.para("No visit yet. Begin one with:")
            .line(Ink::Plain, &format!("  straybelt diagnose{again}"));
    }
    for record in &listing.records {
        page.item(" - ", &one_line(record, zone));
        if let Some(text) = cured_or_believed(book, record) {
            page.item("   ", &text);
        }
    }
    for bad in &listing.bad {
        page.blank().para_in(Ink::Warn, &format!("{bad}."));
    }
    if let Some(from) = listing.from.filter(|_| listing.older > 0) {
        page.blank()
            .para(&format!("{}:", chance::count(listing.older, "older visit", "older visits")))
            .line(Ink::Plain, &format!("  straybelt visits --before {from}{again}"));
    }
    if let Some(newest) = listing.records.first() {
        let open = listing.records.iter().find(|v| v.state == VisitStatus::Open);
        page.blank()
            .para("See one in full, or go on with an open one, by its number:")
            .line(Ink::Plain, &format!("  straybelt visits show {}{again}", newest.visit));
        if let Some(open) = open {
            page.line(Ink::Plain, &format!("  straybelt diagnose --resume {}{again}", open.visit));
        }
    }
    page.finish()
}

/// What cured it, for a visit that ended true; else what was last believed likeliest.
fn cured_or_believed(book: &Book, record: &Record) -> Option<String> {
    let name = |id: &String| {
        let cause = book.causes.values().find(|cause| cause.id == *id);
        cause.map_or(id.clone(), |cause| cause.name.clone())
    };
    let events = standing(&record.events);
    let mut latest = events.iter().rev();
    if record.state == VisitStatus::Over(Ended::True) {
        if let Some(words) = cured_by_something_else(&events) {
            return Some(format!("Cured: something else, {words}"));
        }
        let causes = latest.find_map(|event| match &event.what {
            Event::Cured { causes } => Some(causes),
            _ => None,
        })?;
        let names: Vec<String> = causes.iter().map(|(id, _)| name(id)).collect();
        return (!names.is_empty()).then(|| format!("Cured: {}", names.join("; ")));
    }
    let causes = latest.find_map(|event| match &event.what {
        Event::Believed { causes } => Some(causes),
        _ => None,
    });
    let (id, chance) = causes?.first()?;
    Some(format!("Likeliest: {}, {}", name(id), chance::percent(*chance)))
}

/// What else it was that cured it, in the person's own words, if they said so.
fn cured_by_something_else(events: &[&Stamped]) -> Option<String> {
    let place = events.iter().rev().find_map(|event| match &event.what {
        Event::SaidCured { by: CuredBy::SomethingElse(place) } => Some(*place),
        _ => None,
    })?;
    let mut told = events.iter().filter_map(|event| match &event.what {
        Event::SomethingElse { what, place, part } => Some([what, place, part]),
        _ => None,
    });
    let said: Vec<&str> = told.nth(place)?.into_iter().flatten().map(String::as_str).collect();
    Some(said.join(", "))
}

/// A visit to be shown in full.
#[derive(Debug, Clone, Copy)]
pub struct PastVisit<'v> {
    /// As it is kept.
    pub record: &'v Record,
    /// Where it stands.
    pub now: &'v VisitState,
    /// What follows from it.
    pub finding: &'v Finding,
}

/// One visit in full: asked, believed, found, done.
pub fn visit(screen: Screen, known: &Known, visit: &PastVisit, zone: &TimeZone) -> String {
    let PastVisit { record, now, finding } = *visit;
    let mut page = Page::new(screen);
    page.title(&format!("Visit {}", record.visit))
        .para(&super::letters::capital(&in_short(record, zone)));
    for (key, value) in now.conveyor.facts.said_by_key() {
        page.item("   ", &format!("{}: {value}", key.replace('_', "-")));
    }
    page.para_in(Ink::Faint, &format!("Rule book: {}.", record.book.words()));
    if !now.unknown.is_empty() {
        page.para_in(
            Ink::Warn,
            &format!(
                "The rule book has changed since. It no longer has: {}.",
                now.unknown.join(", ")
            ),
        );
    }
    page.blank().head("Asked, found and done");
    let mut told = Happened::new(known, usual_units(&now.conveyor));
    for event in standing(&record.events) {
        if let Some(text) = told.words(event) {
            let time = event.at.to_zoned_datetime(zone.clone()).strftime("%H:%M").to_string();
            page.item(&format!("{time} "), &text);
        }
    }
    page.blank();
    if record.state == VisitStatus::Over(Ended::True) {
        super::work::what_cured(&mut page, known, finding);
        super::stays_so::open_jobs(&mut page, known, now);
    } else {
        page.head("Believed at the end");
        super::belief::ranking(&mut page, known, finding);
    }
    page.text(&moved(screen, &now.moved));
    page.finish()
}
