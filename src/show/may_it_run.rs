//! The first page of a finding where something was told after which it is not for the person at the belt to say that
//! it runs: a struck or bent frame, a belt past the roll ends.

use super::page::{Page, Screen};
use super::words::Known;
use crate::rulebook::model::RoomMeans;
use crate::stream::paint::Ink;
use crate::visit::Finding;

/// In one line, where the page itself stood before.
pub const IN_SHORT: &str = "May it run? Ask the supervisor first.";

/// How many answers call for asking it.
pub fn reasons(known: &Known, finding: &Finding, room: Option<RoomMeans>) -> usize {
    told(known, finding).len() + usize::from(room == Some(RoomMeans::Urgent))
}

fn told(known: &Known, finding: &Finding) -> Vec<String> {
    let told = finding.answers.iter().filter_map(|(at, answer)| {
        let symptom = &known.book().symptoms[at];
        let answer = (*answer).filter(|answer| symptom.may_it_run_after.contains(answer))?;
        let says = known.fill(&symptom.answers[answer].says);
        Some(format!("{} {says}", known.fill(&symptom.ask)))
    });
    told.collect()
}

/// Asks whether it may run at all, and says who decides; empty where nothing calls for that. `room` is what was told
/// of the edge room.
pub fn page(screen: Screen, known: &Known, finding: &Finding, room: Option<RoomMeans>) -> String {
    let book = known.book();
    let told = told(known, finding);
    let past_the_edge = (book.edge_room.answers.iter())
        .find(|answer| room == Some(RoomMeans::Urgent) && answer.means == RoomMeans::Urgent);
    if told.is_empty() && past_the_edge.is_none() {
        return String::new();
    }
    let mut page = Page::new(screen);
    page.title("May it run at all?").para_in(
        Ink::Warn,
        "Ask this before anything else. The supervisor decides, not you at the belt and not this page. The reason to ask:",
    );
    if let Some(answer) = past_the_edge {
        page.item(" - ", &known.fill(&answer.says));
    }
    for told in &told {
        page.item(" - ", told);
    }
    if !told.is_empty() {
        page.para(
            "A struck or bent frame may give way. The person responsible for the structure must first say if it can carry load and people.",
        );
    }
    page.para("Have it stopped by the site's procedure until that is decided. Write down who decided, and when.");
    page.finish()
}
