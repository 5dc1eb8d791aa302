//! What to make of a finding: what the first job promises, and what to do while the picture is not clear.

use super::chance;
use super::page::{Page, Screen};
use super::words::Known;
use crate::plan::Plan;
use crate::rulebook::index::SymptomAt;
use crate::rulebook::model::Book;
use crate::stream::paint::Ink;
use crate::trade::MachineState;
use crate::visit::{Parting, Unclear};

/// So much of the work that waits is named.
const NAMED: usize = 3;

/// Minutes of a whole plan, isolations and restarts included, if none of it is spared.
pub fn plan_minutes(book: &Book, plan: &Plan) -> f64 {
    let batches = plan.batches.iter().map(|batch| {
        let work: f64 = batch.steps.iter().map(|step| book.fixes[step.fix].minutes).sum();
        batch.set_up_minutes + work + book.minutes.restart_and_watch
    });
    batches.sum()
}

/// The sentence above everything else: what the first job promises, what it takes, and what all may take.
pub fn on_top(page: &mut Page, known: &Known, plan: &Plan) {
    let book = known.book();
    let Some(first) = plan.batches.first().and_then(|batch| batch.steps.first()) else { return };
    let fix = &book.fixes[first.fix];
    let all = plan_minutes(book, plan);
    page.para_in(
        Ink::Strong,
        &format!(
            "The first job, \"{}\", takes {} and makes the belt run true with a chance of {}; all that may be needed takes {}.",
            fix.title,
            chance::minutes(fix.minutes),
            chance::percent(first.gain),
            chance::minutes(all)
        ),
    );
    let limit = book.thresholds.supervisor_first_minutes;
    if all > limit {
        page.para_in(
            Ink::Warn,
            &format!(
                "That is more than {}: a case for the supervisor first, before anybody begins.",
                chance::minutes(limit)
            ),
        );
    }
}

/// That it is not clear, what would part the rest, whom to bring, and which work waits until then.
pub fn unclear(screen: Screen, known: &Known, unclear: &Unclear) -> String {
    let Unclear { parting, held_back } = unclear;
    let book = known.book();
    let limits = &book.thresholds;
    let mut page = Page::new(screen);
    page.title("It is not clear").para(&format!(
        "No cause is as likely as {}, so no locked-out work of more than {} is planned on it.",
        chance::percent(limits.clear),
        chance::minutes(limits.unclear_work_minutes)
    ));
    if !parting.is_empty() {
        page.blank().head("What would part the rest");
    }
    for (place, look) in parting.iter().enumerate() {
        let asked = &book.symptoms[look.symptom];
        page.item(&format!("{:>2}  ", place + 1), &known.fill(&asked.ask));
        page.item("    ", &look_words(book, look));
    }
    page.blank().head("Whom to bring");
    let at = |look: &Parting| look.symptom;
    for who in whom(book, &parting.iter().map(at).collect::<Vec<_>>()) {
        page.item(" - ", &who);
    }
    if !held_back.is_empty() {
        page.blank().head("Work that waits until it is clearer");
        for fix in held_back.iter().take(NAMED) {
            let fix = &book.fixes[*fix];
            page.item(" - ", &format!("{} ({})", fix.title, chance::minutes(fix.minutes)));
        }
        if let Some(more) = held_back.len().checked_sub(NAMED).filter(|more| *more > 0) {
            page.para_in(
                Ink::Faint,
                &format!("and {}.", chance::count(more, "job more", "jobs more")),
            );
        }
    }
    page.finish()
}

fn look_words(book: &Book, look: &Parting) -> String {
    let asked = &book.symptoms[look.symptom];
    let state = match asked.state {
        MachineState::Anywhere => "From memory or from the papers",
        MachineState::Running => "While it runs, from outside the guards",
        MachineState::LockedOut => "Only while the machine is locked out",
    };
    let mut words = format!("{state}, {}.", chance::minutes(look.minutes));
    if let Some(measured) = &asked.measured {
        words.push_str(&format!(" The gauge {} measures it.", measured.gauge.id));
    }
    if look.could_not_tell {
        words.push_str(" It could not be told before.");
    }
    words
}

fn whom(book: &Book, looks: &[SymptomAt]) -> Vec<String> {
    let mut whom = Vec::new();
    if looks.iter().any(|look| book.symptoms[*look].state == MachineState::Anywhere) {
        whom.push(
            "Whoever knows this conveyor: what was changed on it, when, and how it ran before."
                .to_owned(),
        );
    }
    let mut tools: Vec<&str> = Vec::new();
    for tool in looks.iter().flat_map(|look| &book.symptoms[*look].tools) {
        if !tools.contains(&tool.as_str()) {
            tools.push(tool);
        }
    }
    if !tools.is_empty() {
        whom.push(format!("Somebody with {}.", tools.join(", ")));
    }
    if looks.iter().any(|look| book.symptoms[*look].state == MachineState::LockedOut) {
        whom.push("Somebody who may lock the machine out.".to_owned());
    }
    whom.push(
        "The supervisor: whether longer work is done on a guess is for them to say.".to_owned(),
    );
    whom
}
