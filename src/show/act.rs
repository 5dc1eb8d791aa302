//! What to make of a finding: what the first job promises, and what to do while the picture is not clear.

use super::chance::{self, NONE_OF_THE_BOOK};
use super::letters::small;
use super::page::{Page, Screen};
use super::words::Known;
use crate::plan::Plan;
use crate::rulebook::index::{LookAt, SymptomAt};
use crate::rulebook::model::Book;
use crate::stream::paint::Ink;
use crate::trade::MachineState;
use crate::visit::{Finding, Parting, Stop, Unclear};

/// So much of the work that waits is named.
const NAMED: usize = 3;

/// What is needed less often than this is left out of what all may take.
const IN_ONE_OF_TEN: f64 = 0.1;

/// Minutes of all of a plan that is needed in nine cases of ten, isolations, checks and restarts included: later batches
/// are left out, and of those that count the jobs that are less likely to have anything to do.
pub fn plan_minutes(book: &Book, plan: &Plan) -> f64 {
    let needed = plan.batches.iter().filter(|batch| batch.needed >= IN_ONE_OF_TEN);
    let batches = needed.map(|batch| {
        let jobs = batch.steps.iter().filter(|step| step.there >= IN_ONE_OF_TEN);
        let jobs = jobs.map(|step| {
            let checks: f64 = step.checks.iter().map(|(_, minutes)| minutes).sum();
            checks + step.work_minutes
        });
        batch.set_up_minutes + jobs.sum::<f64>() + book.minutes.restart_and_watch
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
            "First job: {}. It takes {}. Chance that it alone makes the belt run true: {}. In nine cases of ten all the work takes {} or less.",
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
                "That is more than {}. Ask the supervisor before anybody begins.",
                chance::minutes(limit)
            ),
        );
    }
}

/// Enough was looked at to act: the cause and its chance, the first job and its check, and what would be looked at if it
/// does not help. `more` is the look that would come next.
pub fn enough(screen: Screen, known: &Known, finding: &Finding, more: Option<LookAt>) -> String {
    let book = known.book();
    let mut page = Page::new(screen);
    let clear = matches!(finding.stop, Stop::LeaderStands);
    page.title(if clear { "Enough to act" } else { "Time to act" });
    if finding.something_else_leads() {
        let percent = chance::percent(finding.something_else);
        page.para_in(Ink::Strong, &format!("{NONE_OF_THE_BOOK}: {percent}."));
    } else if let Some(first) = finding.ranked.first() {
        let name = &book.causes[first.cause].name;
        page.para_in(Ink::Strong, &format!("{name}: {}.", chance::percent(first.probability)));
    }
    page.para(match (&finding.stop, finding.something_else_leads()) {
        (Stop::LeaderStands, true) => "Nothing that is left to look at would change that.",
        (stop, _) => stop_words(stop),
    });
    let job = finding.plan.batches.first().and_then(|batch| batch.steps.first());
    if let Some(job) = job {
        let fix = &book.fixes[job.fix];
        let check: f64 = job.checks.iter().map(|(_, minutes)| minutes).sum();
        let first = match job.checks.is_empty() {
            true => format!("{}, {}.", fix.title, chance::minutes(job.work_minutes)),
            false => format!(
                "{}. Check first ({}). Do the work only if the check calls for it ({}).",
                fix.title,
                chance::minutes(check),
                chance::minutes(job.work_minutes)
            ),
        };
        page.item("First job: ", &first);
    }
    if let Some(more) = more {
        page.para(&format!("If you look on, next is: {}.", small(&book.looks[more].title)));
    }
    page.finish()
}

/// Why looking ends here.
fn stop_words(stop: &Stop) -> &'static str {
    match stop {
        Stop::LookOn(_) => "There are looks left that are worth the time.",
        Stop::LeaderStands => {
            "One cause is likely enough to act on. From here on, the jobs and their checks tell more."
        }
        Stop::TimeIsUp => {
            "The cause is not clear. Looking has taken long enough. From here on, the jobs and their checks tell more."
        }
        Stop::NothingLeft => {
            "The cause is not clear. More looking at the running belt would help little. The jobs and their checks tell more."
        }
        Stop::NoCause => "No cause in the book applies to this conveyor.",
    }
}

/// That it is not clear, what would part the rest, whom to bring, and which work waits until then.
pub fn unclear(screen: Screen, known: &Known, unclear: &Unclear) -> String {
    let Unclear { parting, held_back } = unclear;
    let book = known.book();
    let limits = &book.thresholds;
    let mut page = Page::new(screen);
    page.title("The cause is not clear").para(&format!(
        "No cause has reached {} yet. So no single job of more than {} locked out is planned.",
        chance::percent(limits.clear),
        chance::minutes(limits.unclear_work_minutes)
    ));
    if !parting.is_empty() {
        page.blank().head("What would tell them apart");
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
                &format!("and {}.", chance::count(more, "more job", "more jobs")),
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
        words.push_str(" Nobody could tell last time.");
    }
    words
}

fn whom(book: &Book, looks: &[SymptomAt]) -> Vec<String> {
    let mut whom = Vec::new();
    if looks.iter().any(|look| book.symptoms[*look].state == MachineState::Anywhere) {
        whom.push(
            "Somebody who knows this conveyor: what was changed, when, and how it ran before."
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
        whom.push(format!("Somebody with: {}.", tools.join(", ")));
    }
    if looks.iter().any(|look| book.symptoms[*look].state == MachineState::LockedOut) {
        whom.push("Somebody who may lock the machine out.".to_owned());
    }
    whom.push("The supervisor, who decides if longer work goes ahead on a guess.".to_owned());
    whom
}
