//! Pages of a look: where to stand, what to tick, what was noted.

use super::asking::key_words;
use super::chance;
use super::letters::small;
use super::page::{Page, Screen};
use super::take;
use super::words::Known;
use crate::ask::KeyKind;
use crate::rulebook::index::{LookAt, SymptomAt};
use crate::rulebook::model::Look;
use crate::stream::paint::Ink;
use crate::trade::MachineState;
use crate::visit::Finding;

/// The head of a look's page.
#[derive(Debug, Clone, Copy)]
pub struct LookHead {
    /// The look.
    pub look: LookAt,
    /// Which look of the visit it is, from 1.
    pub number: usize,
    /// Minutes, the way there included.
    pub minutes: f64,
    /// Whether it is taken because the belt runs otherwise after work.
    pub anew: bool,
}

/// The title of a look's page. A lone symptom's has no name: it is its question, and that stands below.
pub fn title(known: &Known, head: LookHead) -> String {
    let entry = &known.book().looks[head.look];
    let which = match head.anew {
        true => "As it runs now".to_owned(),
        false => format!("Look {}", head.number),
    };
    match entry.place {
        Some(_) => format!("{which}: {}", small(&entry.title)),
        None => which,
    }
}

/// What stands above the things of a look: the state, the minutes, the tools, where to stand.
pub fn around(known: &Known, head: LookHead) -> String {
    let entry = &known.book().looks[head.look];
    let mut around = format!("{} {}.", state(entry), chance::about(head.minutes));
    around.push_str(&take::sentence(known, &entry.tools));
    if !entry.stand.is_empty() {
        around.push(' ');
        around.push_str(&known.fill(&entry.stand));
    }
    around
}

/// What is believed so far, in one line; nothing before anything is.
pub fn so_far(known: &Known, finding: &Finding) -> Option<String> {
    let first = finding.ranked.first()?;
    let told = finding.observed.replies.values().any(|reply| reply.is_answer());
    let name = &known.book().causes[first.cause].name;
    told.then(|| format!("So far: {}, {}.", small(name), chance::percent(first.probability)))
}

/// What stands on the page of a list to tick.
#[derive(Debug, Clone, Copy)]
pub struct TickList<'t> {
    /// The head of the look's page.
    pub head: LookHead,
    /// What is believed so far, in one line.
    pub so_far: Option<&'t str>,
    /// The things that are there or not.
    pub things: &'t [SymptomAt],
    /// The keys on offer.
    pub keys: &'t [KeyKind],
}

/// What was told of the things of a list.
#[derive(Debug, Clone, Copy)]
pub struct Noted<'n> {
    /// Those that are there.
    pub there: &'n [SymptomAt],
    /// Those that are not.
    pub not_there: &'n [SymptomAt],
    /// Those that could not be told.
    pub untold: &'n [SymptomAt],
}

/// The things of a look that are there or not, as one list to be ticked.
pub fn tick_list(screen: Screen, known: &Known, list: TickList<'_>) -> String {
    let TickList { head, so_far, things, keys } = list;
    let mut page = Page::new(screen);
    page.title(&title(known, head)).para_in(Ink::Faint, &around(known, head));
    if let Some(so_far) = so_far {
        page.para_in(Ink::Faint, so_far);
    }
    page.head(match by_hearsay(known, head.look) {
        true => "What applies? Tick all that you are told.",
        false => "What do you see? Tick all that apply.",
    });
    for (place, symptom) in things.iter().enumerate() {
        let entry = &known.book().symptoms[*symptom];
        page.item(&format!("{:>2}  ", place + 1), &known.fill(&entry.tick));
    }
    page.item(" 0  ", "None of these");
    page.flow(Ink::Faint, &key_words(keys, &[]));
    page.finish()
}

/// Whether a look is taken by asking or reading: nobody sees anything there.
fn by_hearsay(known: &Known, look: LookAt) -> bool {
    known.book().looks[look].state == MachineState::Anywhere
}

/// What was noted of a tick list, read back.
pub fn noted(screen: Screen, known: &Known, look: LookAt, noted: Noted<'_>) -> String {
    let Noted { there, not_there, untold } = noted;
    let mut page = Page::new(screen);
    let (so, not_so) = match by_hearsay(known, look) {
        true => ("Yes: ", "No: "),
        false => ("Seen: ", "Not seen: "),
    };
    for (label, things) in [(so, there), (not_so, not_there), ("Can't tell: ", untold)] {
        if !things.is_empty() {
            let ticks: Vec<String> = things
                .iter()
                .map(|at| small(&known.fill(&known.book().symptoms[*at].tick)))
                .collect();
            page.item(label, &format!("{}.", ticks.join("; ")));
        }
    }
    page.finish()
}

/// How to look at each of several things.
pub fn how_to_look(screen: Screen, known: &Known, things: &[SymptomAt]) -> String {
    each(screen, "How to look", things, |at| known.fill(&known.book().symptoms[at].how_to_look))
}

/// Why each of several things is looked at.
pub fn why(screen: Screen, known: &Known, things: &[SymptomAt]) -> String {
    each(screen, "Why this look", things, |at| known.fill(&known.book().symptoms[at].why))
}

fn each(
    screen: Screen,
    title: &str,
    things: &[SymptomAt],
    text: impl Fn(SymptomAt) -> String,
) -> String {
    let mut page = Page::new(screen);
    page.title(title);
    for (place, symptom) in things.iter().enumerate() {
        page.item(&format!("{:>2}  ", place + 1), &text(*symptom));
    }
    page.finish()
}

/// A question that is answered on a locked-out machine: which, how long it takes, what for, and what else can be done.
pub fn behind_lock_out(known: &Known, symptom: SymptomAt) -> String {
    let book = known.book();
    let asked = &book.symptoms[symptom];
    let take = take::sentence(known, &asked.tools);
    format!(
        "Next is a look with guards off or hands on, once it is locked out. {} {}, and {} to lock out.{take} What for: {} Not now? c leaves it out, p goes to the plan.",
        known.fill(&asked.ask),
        chance::about(asked.minutes),
        chance::minutes(book.minutes.lock_out),
        known.fill(&asked.why),
    )
}

fn state(look: &Look) -> &'static str {
    match look.state {
        MachineState::Anywhere => "From memory or from the papers.",
        MachineState::Running => "While it runs, from outside the guards.",
        MachineState::LockedOut => "Only while the machine is locked out.",
    }
}
