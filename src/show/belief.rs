//! What is believed: the ranking so far, the finding, and what speaks for and against a cause.

use super::chance::{self, NONE_OF_THE_BOOK};
use super::happened::Told;
use super::letters::capital;
use super::page::{Page, Screen, bar};
use super::steps::mark;
use super::words::Known;
use crate::reason::Outcome;
use crate::rulebook::index::{CauseAt, FixAt, SymptomAt};
use crate::stream::paint::Ink;
use crate::visit::{Finding, Fits, FoundReport, Ranked, Weighed, Why};

/// How many causes a ranking names at most.
const NAMED: usize = 8;
/// So many are named, however unlikely; the further ones only when they have at least this chance.
const ALWAYS_NAMED: usize = 3;
const WORTH_NAMING: f64 = 0.01;

/// From this chance on that stands there, however likely the causes are.
const SOMETHING_ELSE: f64 = 0.05;

/// Whether the list of causes says how likely it is none of them.
fn names_something_else(finding: &Finding) -> bool {
    finding.something_else >= SOMETHING_ELSE || finding.something_else_leads()
}

/// Said when it is likelier that the cause is not in the book than that it is any one of it; with what fits worst.
pub fn none_of_the_book(
    screen: Screen,
    known: &Known,
    finding: &Finding,
    worst: &[SymptomAt],
) -> String {
    let mut page = Page::new(screen);
    page.title("Perhaps it is not in the book").para(&format!(
        "Your answers fit no cause in the book well. Chance that it is none of them: {}. That is more than for any one cause.",
        chance::percent(finding.something_else)
    ));
    if !worst.is_empty() {
        page.para("These answers fit the book least:");
    }
    for symptom in worst {
        page.item(" - ", &known.fill(&known.book().symptoms[*symptom].ask));
    }
    page.para(
        "Look at them again. If they are right, work from the book may not help. Then call a specialist.",
    );
    page.finish()
}

/// The ranking so far.
pub fn so_far(screen: Screen, known: &Known, finding: &Finding) -> String {
    let mut page = Page::new(screen);
    page.title("So far");
    let anew: usize = finding.second.iter().map(|look| look.answers.len()).sum();
    let given = finding.answers.values().filter(|answer| answer.is_some()).count() + anew;
    page.para(&match given {
        0 => "Nothing is answered yet. This is how often each cause is found when a belt runs off."
            .to_owned(),
        n => format!("After {}:", chance::count(n, "answer that counts", "answers that count")),
    });
    page.blank();
    ranking(&mut page, known, finding);
    ignored(&mut page, known, finding);
    besides(&mut page, known, finding);
    page.finish()
}

/// What else the person has said: what was found besides, and which jobs are put off.
fn besides(page: &mut Page, known: &Known, finding: &Finding) {
    for told in &finding.observed.something_else {
        page.item("Also found: ", &format!("{} ({})", told.words(), Told(told.became)));
    }
    for fix in &finding.observed.put_off {
        page.item("Put off: ", &known.book().fixes[*fix].title);
    }
    for note in &finding.observed.notes {
        page.item("Note: ", note);
    }
    wanting(page, known, finding);
}

/// What was not asked for want of something, and would tell more.
fn wanting(page: &mut Page, known: &Known, finding: &Finding) {
    const NAMED: usize = 3;
    const TELLS_BITS: f64 = 0.05;
    let (book, means) = (known.book(), &finding.observed.means);
    let lacking = finding.next.iter().filter(|next| next.bits >= TELLS_BITS);
    let lacking = lacking.filter(|next| !means.suffice(book, next.symptom));
    for next in lacking.take(NAMED) {
        let tools: Vec<&str> = means.missing(book, next.symptom).collect();
        let needs = match tools.is_empty() {
            true => "somebody who knows this conveyor".to_owned(),
            false => tools.join(", "),
        };
        let ask = known.fill(&book.symptoms[next.symptom].ask);
        page.item("Would tell more: ", &format!("{ask} (needs {needs})"));
    }
}

/// The causes with their chances and bars; what is left is summed up. One that was found fine is set apart.
pub fn ranking(page: &mut Page, known: &Known, finding: &Finding) {
    if finding.ranked.is_empty() {
        page.para("No cause in the book applies to this conveyor.");
        return;
    }
    let cells = if page.width() >= 60 { 20 } else { 10 };
    let list: Vec<&Ranked> = open_causes(finding).collect();
    let worth = (list.iter().enumerate())
        .take_while(|(place, r)| *place < ALWAYS_NAMED || r.probability >= WORTH_NAMING)
        .count();
    let named = worth.min(NAMED);
    let mut line = |mark: &str, name: &str, chance: f64| {
        page.item(mark, name);
        let line = format!(
            "   {} {:>4}  {}",
            bar(chance, cells),
            chance::percent(chance),
            chance::likely(chance)
        );
        page.line(Ink::Plain, &line);
    };
    let mut something_else = Some(finding.something_else).filter(|_| names_something_else(finding));
    for (place, ranked) in list.iter().take(named).enumerate() {
        if let Some(chance) = something_else.take_if(|chance| *chance > ranked.probability) {
            line(" - ", NONE_OF_THE_BOOK, chance);
        }
        let name = &known.book().causes[ranked.cause].name;
        line(&format!("{:>2} ", place + 1), name, ranked.probability);
    }
    if let Some(chance) = something_else {
        line(" - ", NONE_OF_THE_BOOK, chance);
    }
    if let Some(left) = list.len().checked_sub(named).filter(|left| *left > 0) {
        page.para_in(
            Ink::Faint,
            &format!(
                "{}, less likely than these.",
                chance::count(left, "more cause", "more causes")
            ),
        );
    }
    page.para_in(Ink::Faint, "The chance that each is still there. Several can be there at once, so the sum need not be 100.");
    set_apart(page, known, finding);
}

/// The causes that were not found fine, most likely first.
fn open_causes(finding: &Finding) -> impl Iterator<Item = &Ranked> {
    finding.ranked.iter().filter(|ranked| !finding.found_fine(ranked.cause))
}

/// From this chance on the answers are said to point to a cause still, though it was found fine.
const POINTED_AT: f64 = 0.1;

/// The causes that were found fine: whoever looked knows more of them than a chance says.
pub fn set_apart(page: &mut Page, known: &Known, finding: &Finding) {
    let name = |ranked: &Ranked| known.book().causes[ranked.cause].name.clone();
    let fine: Vec<&Ranked> =
        finding.ranked.iter().filter(|ranked| finding.found_fine(ranked.cause)).collect();
    if fine.is_empty() {
        return;
    }
    let names: Vec<String> = fine.iter().map(|ranked| name(ranked)).collect();
    page.para(&format!("Found in order, so left out: {}.", names.join("; ")));
    let pointed = fine.iter().filter(|ranked| ranked.probability >= POINTED_AT);
    let pointed: Vec<String> = pointed.map(|ranked| name(ranked)).collect();
    if !pointed.is_empty() {
        let names = pointed.join("; ");
        page.para(&format!(
            "Your answers still point there. Look once more before you give up: {names}."
        ));
    }
}

/// Below this chance no cause stands out from the others.
const STANDS_OUT: f64 = 0.2;

/// The finding: the likely causes with what speaks for and against each.
pub fn finding(
    screen: Screen,
    known: &Known,
    finding: &Finding,
    why: &dyn Fn(CauseAt) -> Why,
) -> String {
    let mut page = Page::new(screen);
    page.title("The finding");
    super::act::on_top(&mut page, known, &finding.plan);
    leader(&mut page, known, finding);
    page.blank();
    no_trim_in_it(&mut page, known, finding);
    page.blank();
    ranking(&mut page, known, finding);
    for ranked in leading(finding) {
        page.blank();
        cause_short(&mut page, known, finding, &ranked, &why(ranked.cause));
    }
    ignored(&mut page, known, finding);
    page.finish()
}

/// What leads, in words and per cent.
pub(super) fn leader(page: &mut Page, known: &Known, finding: &Finding) {
    if finding.something_else_leads() {
        let percent = chance::percent(finding.something_else);
        let likely = capital(chance::likely(finding.something_else));
        page.head(&format!("{likely}: none of the causes in the book ({percent})."));
    } else if let Some(first) = open_causes(finding).next() {
        let name = &known.book().causes[first.cause].name;
        let percent = chance::percent(first.probability);
        page.head(&if first.probability < STANDS_OUT {
            format!("No cause stands out yet. Most likely: {name} ({percent}).")
        } else {
            let likely = capital(chance::likely(first.probability));
            format!("{likely}: {name} ({percent}).")
        });
    }
}

/// With wind, rain or cold among the likely causes: nothing is trimmed in it.
pub(super) fn no_trim_in_it(page: &mut Page, known: &Known, finding: &Finding) {
    let book = known.book();
    let waited_for = |cause: CauseAt| {
        book.fixes.iter().any(|(at, fix)| {
            !fix.lasting
                && finding.fixes_apply[at]
                && fix.cures.iter().any(|(cured, _)| *cured == cause)
        })
    };
    let likely = leading(finding).into_iter().filter(|ranked| waited_for(ranked.cause));
    let names: Vec<&str> = likely.map(|ranked| book.causes[ranked.cause].name.as_str()).collect();
    if !names.is_empty() {
        page.para_in(
            Ink::Warn,
            &format!(
                "Among the likely causes: {}. Trim nothing while it lasts. It would be wrong once it is over.",
                names.join("; ")
            ),
        );
    }
}

/// The causes that are worth words: at least one in ten, three at most, always the first; none that was found fine.
pub fn leading(finding: &Finding) -> Vec<Ranked> {
    open_causes(finding)
        .enumerate()
        .take(3)
        .filter(|(i, r)| *i == 0 || r.probability >= 0.10)
        .map(|(_, r)| *r)
        .collect()
}

fn cause_short(page: &mut Page, known: &Known, finding: &Finding, ranked: &Ranked, why: &Why) {
    let book = known.book();
    let cause = &book.causes[ranked.cause];
    page.head(&format!("{} ({})", cause.name, chance::percent(ranked.probability)));
    page.para(&known.fill(&cause.happens_because));
    since_then(page, known, finding, ranked.cause);
    weighed(page, known, "For: ", &why.raises, 3);
    weighed(page, known, "Against: ", &why.lowers, 2);
    if !cause.mistaken_for.is_empty() {
        let names: Vec<&str> =
            cause.mistaken_for.iter().take(3).map(|c| book.causes[*c].name.as_str()).collect();
        page.para(&format!("Often mistaken for: {}.", names.join("; ")));
    }
}

/// Everything that speaks for and against one cause.
pub fn cause(
    screen: Screen,
    known: &Known,
    finding: &Finding,
    ranked: &Ranked,
    why: &Why,
) -> String {
    let book = known.book();
    let cause = &book.causes[ranked.cause];
    let mut page = Page::new(screen);
    page.title("Why this cause").head(&cause.name);
    page.para(&format!(
        "{}: {}.",
        capital(chance::likely(ranked.probability)),
        chance::percent(ranked.probability)
    ));
    page.para(&known.fill(&cause.happens_because));
    page.para(&format!("Where it shows: {}", known.fill(&cause.shows_at)));
    if !cause.mistaken_for.is_empty() {
        let names: Vec<&str> =
            cause.mistaken_for.iter().map(|c| book.causes[*c].name.as_str()).collect();
        page.para(&format!("Often mistaken for: {}.", names.join("; ")));
    }
    page.para_in(Ink::Faint, &format!("Source: {}.", mark(book, &cause.source)));
    page.blank();
    since_then(&mut page, known, finding, ranked.cause);
    weighed(&mut page, known, "For: ", &why.raises, usize::MAX);
    weighed(&mut page, known, "Against: ", &why.lowers, usize::MAX);
    if why.raises.is_empty() && why.lowers.is_empty() {
        page.para("No answer so far speaks for or against it.");
    }
    page.finish()
}

/// What the work has shown of a cause: without it the answers alone would seem to make its chance.
fn since_then(page: &mut Page, known: &Known, finding: &Finding, cause: CauseAt) {
    let book = known.book();
    let told = &finding.observed;
    if let Some((_, report)) = told.found.iter().rev().find(|(c, _)| *c == cause) {
        page.para(match report {
            FoundReport::AsSuspected => "Found: as suspected.",
            FoundReport::WasFine => "Found: it was fine.",
        });
    }
    for (batch, fixes) in told.done.iter().enumerate() {
        let cures = |fix: &&FixAt| book.fixes[**fix].cures.iter().any(|c| c.0 == cause);
        for fix in fixes.iter().filter(cures) {
            let ran = match told.outcomes.get(batch) {
                Some(Outcome::True) => ", then it ran true",
                Some(Outcome::Better) => ", then it ran better",
                Some(Outcome::NoChange) => ", then no change",
                Some(Outcome::Worse) => ", then it ran worse",
                Some(Outcome::OtherSide) => ", then it ran off to the other side",
                Some(Outcome::Elsewhere) => ", then it ran off at another place",
                Some(Outcome::Different) => ", then it ran differently",
                None => "",
            };
            page.item("Done: ", &format!("{}{ran}.", book.fixes[*fix].title));
        }
    }
}

fn weighed(page: &mut Page, known: &Known, lead: &str, weighed: &[Weighed], most: usize) {
    let strong = weighed.iter().filter(|w| w.decibans.abs() >= 0.5);
    for weighed in strong.take(most) {
        let symptom = &known.book().symptoms[weighed.symptom];
        let anew = if weighed.after_batch > 0 {
            format!("After batch {}: ", weighed.after_batch)
        } else {
            String::new()
        };
        let said = format!(
            "{anew}{} - {} ({})",
            known.fill(&symptom.ask),
            known.fill(&symptom.answers[weighed.answer].says),
            chance::weight(weighed.decibans)
        );
        page.item(lead, &said);
    }
}

fn ignored(page: &mut Page, known: &Known, finding: &Finding) {
    let anew = finding.second.iter().flat_map(|look| &look.ignored);
    let ignored: Vec<SymptomAt> = finding.ignored.iter().chain(anew).map(|(s, _)| *s).collect();
    if ignored.is_empty() {
        return;
    }
    page.blank().para("Kept, but not counted. It does not fit this conveyor or a later answer:");
    for symptom in ignored {
        page.item(" - ", &known.fill(&known.book().symptoms[symptom].ask));
    }
}

/// Said when the answers fit together worse than in one visit of a hundred.
pub fn misfit(screen: Screen, known: &Known, fits: &Fits) -> String {
    let mut page = Page::new(screen);
    page.title("These answers do not fit together");
    page.para(
        "Fewer than one visit in a hundred gives answers like these. Perhaps one was mistyped or hard to see. \
         Or the cause is not in the book. These fit least:",
    );
    for symptom in &fits.worst {
        page.item(" - ", &known.fill(&known.book().symptoms[*symptom].ask));
    }
    page.para("Look at them again. If they are right, take what follows with care.");
    page.finish()
}
