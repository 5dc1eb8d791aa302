//! The first page of a finding where something was told after which it is not for the person at the belt to say that
//! it runs: a struck or bent frame, a belt past the roll ends.

use super::page::{Page, Screen};
use super::words::Known;
use crate::rulebook::model::RoomMeans;
use crate::stream::paint::Ink;
use crate::visit::Finding;

/// In one line, where the page itself stood before.
pub const IN_SHORT: &str = "May it run? Ask the supervisor first.";

/// What calls for asking it, in the words of the page. `room` is what was told of the edge room.
pub fn reasons(known: &Known, finding: &Finding, room: Option<RoomMeans>) -> Vec<String> {
    let past_the_edge = (known.book().edge_room.answers.iter())
        .find(|answer| room == Some(RoomMeans::Urgent) && answer.means == RoomMeans::Urgent);
    let past_the_edge = past_the_edge.map(|answer| known.fill(&answer.says));
    past_the_edge.into_iter().chain(told(known, finding)).collect()
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

/// Asks whether it may run at all, and says who decides; empty where nothing calls for that. Where somebody has read it
/// already, for the reasons `before`, only what is new.
pub fn page(
    screen: Screen,
    known: &Known,
    finding: &Finding,
    room: Option<RoomMeans>,
    before: &[String],
) -> String {
    let reasons = reasons(known, finding, room);
    let new: Vec<&String> = reasons.iter().filter(|reason| !before.contains(reason)).collect();
    if new.is_empty() {
        return String::new();
    }
    let mut page = Page::new(screen);
    match before.is_empty() {
        true => page.title("May it run at all?").para_in(
            Ink::Warn,
            "Ask this before anything else. The supervisor decides, not you at the belt and not this page. The reason to ask:",
        ),
        false => page
            .title("May it run? One more reason")
            .para_in(Ink::Warn, "Tell this too to whoever decides whether it may run:"),
    };
    for reason in new {
        page.item(" - ", reason);
    }
    let told = told(known, finding);
    if !told.is_empty() && !told.iter().any(|told| before.contains(told)) {
        page.para(
            "A struck or bent frame may give way. The person responsible for the structure must first say if it can carry load and people.",
        );
    }
    if before.is_empty() {
        page.para("Have it stopped by the site's procedure until that is decided. Write down who decided, and when.");
    }
    page.finish()
}
