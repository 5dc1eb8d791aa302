//! The drills there are, one of them, and the runs that were made.

use jiff::tz::TimeZone;

use crate::drill::record::{Record, RunState};
use crate::drill::{Drill, Grade};
use crate::kept::Listing;
use crate::rulebook::model::Book;
use crate::show::chance;
use crate::show::letters::capital;
use crate::show::page::{Page, Screen};
use crate::stream::paint::Ink;
use crate::visit::clock::readable;

/// What a grade is called.
pub fn grade(grade: Grade) -> &'static str {
    match grade {
        Grade::First => "first grade: one cause that shows itself",
        Grade::Second => "second grade: one cause that looks like another",
        Grade::Third => "third grade: two causes, or one behind an old correction",
    }
}

/// So many runs are listed at once.
pub const A_PAGE: usize = 20;

/// The drills by grade, and the runs, newest first. `again` are the flags that were named, to be named again.
pub fn list(
    screen: Screen,
    drills: &[Drill],
    runs: &Listing<Record>,
    zone: &TimeZone,
    again: &str,
) -> String {
    let mut page = Page::new(screen);
    page.title("Drills");
    for of in [Grade::First, Grade::Second, Grade::Third] {
        page.blank().head(&format!("{}:", capital(grade(of))));
        for drill in drills.iter().filter(|drill| drill.grade == of) {
            page.item("  ", &drill.id);
            page.item_in(Ink::Faint, "      ", &drill.title);
        }
    }
    page.blank().title("Runs");
    if runs.from.is_none() {
        page.para("None yet. `straybelt drill run NAME` begins one.");
    }
    for run in &runs.records {
        let state = match (run.state, run.ended) {
            (RunState::Open, _) => "not finished".to_owned(),
            (RunState::Over, Some(ended)) => format!("took {}", chance::minutes(ended.minutes)),
            (RunState::Over, None) => "over".to_owned(),
        };
        let who = run.who.as_ref().map_or(String::new(), |who| format!(", {who}"));
        page.item(
            &format!("{:>3}  ", run.run),
            &format!("{}{who}: {state}. Begun {}.", run.drill_shown(), readable(run.begun, zone)),
        );
    }
    for bad in &runs.bad {
        page.item_in(Ink::Warn, "  ! ", &format!("{bad}."));
    }
    if let Some(from) = runs.from.filter(|_| runs.older > 0) {
        page.para(&format!("{}:", chance::count(runs.older, "older one", "older ones")))
            .line(Ink::Plain, &format!("  straybelt drill list --before {from}{again}"));
    }
    page.finish()
}

/// What the learner is told before a run.
pub fn briefing(screen: Screen, drill: &Drill) -> String {
    let mut page = Page::new(screen);
    page.title(&drill.title);
    if let Some(name) = drill.conveyor.name() {
        page.para_in(Ink::Faint, &format!("{name}; {}.", grade(drill.grade)));
    }
    page.para(&drill.briefing);
    page.blank().head("What you can take home");
    for aim in &drill.aims {
        page.item(" - ", aim);
    }
    page.finish()
}

/// What a trainer may see as well. `things` are the words for what is hidden, cause by cause.
pub fn hidden(screen: Screen, book: &Book, drill: &Drill, things: &[Vec<String>]) -> String {
    let mut page = Page::new(screen);
    page.title("For the trainer: what is hidden");
    if drill.hidden.is_empty() {
        page.para("Nothing: the conveyor is in order.");
    }
    for (hidden, things) in drill.hidden.iter().zip(things) {
        page.head(&book.causes[hidden.cause].name);
        for thing in things {
            page.item(" - ", thing);
        }
        let fixes: Vec<&str> =
            hidden.yields_to.iter().map(|fix| book.fixes[*fix].title.as_str()).collect();
        page.item("   put right by: ", &fixes.join("; "));
    }
    page.blank().head("What an expert looks at, after the opening questions");
    for symptom in &drill.expert {
        page.item(
            " - ",
            &crate::show::words::Sides::named(None, None).fill(&book.symptoms[*symptom].ask),
        );
    }
    page.blank().head("To talk about afterwards");
    for talk in &drill.talk {
        page.item(" - ", talk);
    }
    page.finish()
}
