//! The list of logbooks.

use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use crate::kept::StoreError;
use crate::logbook::{Glance, Warning};
use crate::show::chance::count;
use crate::show::happened::state_words;
use crate::show::page::{Page, Screen};
use crate::stream::paint::Ink;
use crate::visit::clock::date;
use crate::visit::store::VisitStatus;

/// The logbooks to list.
#[derive(Debug, Clone, Copy)]
pub struct List<'a> {
    /// A glance at each, by name.
    pub glances: &'a [Glance],
    /// What could not be read.
    pub bad: &'a [StoreError],
    /// Files that were set aside, and what their conveyor is called where that can be read still.
    pub aside: &'a [(PathBuf, Option<String>)],
    /// How many visits are in no logbook yet.
    pub waiting: usize,
    /// The flags that were named, to be named again.
    pub again: &'a str,
}

/// The list as text.
pub fn list(screen: Screen, all: &List) -> String {
    let mut page = Page::new(screen);
    page.title("Logbooks");
    if all.glances.is_empty() && all.bad.is_empty() {
        page.para(
            "No logbook yet. A visit to a conveyor with a name begins one. So does a reading:",
        )
        .line(Ink::Plain, &format!("  straybelt logbook takeup NAME{}", all.again));
    }
    for glance in all.glances {
        page.item(" - ", &in_short(glance));
        for warning in &glance.head.warnings {
            page.item_in(Ink::Warn, "   ! ", warning.says());
        }
    }
    for name in twice(all.glances) {
        page.blank().para_in(
            Ink::Warn,
            &format!("Two logbooks are of one name: {name}. `straybelt logbook check` says more."),
        );
    }
    for bad in all.bad {
        page.blank().para_in(Ink::Warn, &format!("{bad}."));
    }
    for (path, name) in all.aside {
        page.blank().para_in(Ink::Warn, &aside(path, name.as_deref()));
    }
    if all.waiting > 0 {
        let visits = count(all.waiting, "visit is", "visits are");
        page.blank()
            .para(&format!("{visits} in no logbook yet. Take them in with:"))
            .line(Ink::Plain, &format!("  straybelt logbook gather{}", all.again));
    }
    if let Some(first) = all.glances.first() {
        page.blank()
            .para("See one in full:")
            .line(Ink::Plain, &format!("  straybelt logbook show \"{}\"{}", first.name, all.again));
    }
    page.finish()
}

fn in_short(glance: &Glance) -> String {
    let head = &glance.head;
    let mut words = format!("{}: {}", glance.name, count(head.visits, "visit", "visits"));
    if let Some(last) = &head.last_visit {
        let state = match last.state {
            VisitStatus::Open => "still open".to_owned(),
            over => state_words(over).trim_start_matches("ended: ").to_owned(),
        };
        let on = match last.unsure {
            true => "on a day not known".to_owned(),
            false => date(last.begun),
        };
        words.push_str(&format!(", last {on}, {state}"));
    }
    if head.open_jobs > 0 {
        words.push_str(&format!(", {}", count(head.open_jobs, "open job", "open jobs")));
    }
    if let Some(on) = head.last_reading {
        words.push_str(&format!(", take-up read {on}"));
    }
    words
}

/// What is to be said of a file that was set aside.
pub fn aside(path: &Path, name: Option<&str>) -> String {
    let of = name.map_or("a conveyor whose name cannot be read", |name| name);
    format!(
        "A logbook of {of} could not be read and stands set aside: {}. Mend it with an editor and rename it back to .ron, or move it away.",
        path.display()
    )
}

/// Names that more than one logbook has.
fn twice(glances: &[Glance]) -> Vec<&str> {
    let same = glances.windows(2).filter(
        |pair| matches!(pair, [one, other] if one.name.to_lowercase() == other.name.to_lowercase()),
    );
    same.filter_map(|pair| pair.first().map(|glance| glance.name.as_str())).collect()
}

/// The list as one JSON document.
pub fn list_document(all: &List) -> Value {
    let books = all.glances.iter().map(|glance| {
        let head = &glance.head;
        let words = |warning: &Warning| warning.word();
        json!({
            "logbook": glance.logbook,
            "conveyor": glance.name,
            "visits": head.visits,
            "last_visit": head.last_visit.as_ref().map(|last| json!({
                "visit": last.visit,
                "begun": Some(last.begun).filter(|_| !last.unsure),
                "state": state_words(last.state),
            })),
            "open_jobs": head.open_jobs,
            "last_reading": head.last_reading,
            "warnings": head.warnings.iter().map(words).collect::<Vec<_>>(),
        })
    });
    json!({
        "format": 1,
        "logbooks": books.collect::<Vec<Value>>(),
        "not_read": all.bad.iter().map(ToString::to_string).collect::<Vec<String>>(),
        "set_aside": all.aside.iter().map(|(path, name)| json!({
            "path": path.display().to_string(),
            "conveyor": name,
        })).collect::<Vec<Value>>(),
        "visits_waiting": all.waiting,
    })
}

/// What came of taking visits in.
pub fn gathered(taken_in: usize, nameless: usize, left_out: usize) -> String {
    let mut words = match taken_in {
        0 if left_out > 0 => "No visit was taken in.".to_owned(),
        0 => "Every visit stands in its logbook.".to_owned(),
        many => format!("Taken in: {}.", count(many, "visit", "visits")),
    };
    if nameless > 0 {
        words.push_str(&format!(
            " {} to a conveyor without a name, and so in no logbook.",
            count(nameless, "visit is", "visits are")
        ));
    }
    words
}
