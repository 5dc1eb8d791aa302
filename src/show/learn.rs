//! What a supervisor reads of what finished visits say about the book.

use super::chance::{count, percent};
use super::page::{Page, Screen};
use super::words::Sides;
use crate::proof::credible::{CredibleShare, LEAST};
use crate::proof::learn::{Aside, CauseLine, Learnt, LinkLine};
use crate::rulebook::model::Book;
use crate::source::quoted;
use crate::stream::paint::Ink;

/// Where an entry that is to be changed stands, and what it says now.
#[derive(Debug, Clone, Default)]
pub struct WhereItStands {
    /// File, line and column, of an entry in the site's own files; nothing if it is of the book below.
    pub own: Option<String>,
    /// The fingerprint that a change notes.
    pub was: String,
    /// How common it is called now.
    pub how_common: String,
}

/// Why a visit is left aside, in words.
pub fn aside(why: Aside) -> &'static str {
    match why {
        Aside::Open => "it is still open",
        Aside::NotTrue => "it did not end with a belt that runs true",
        Aside::NoneSeen => "no cause was reported as suspected",
    }
}

/// The whole report. `stands` tells where a cause stands and what it says.
pub fn page(
    screen: Screen,
    book: &Book,
    learnt: &Learnt,
    left: &[(u32, Aside)],
    stands: &dyn Fn(&str) -> WhereItStands,
) -> String {
    let mut page = Page::new(screen);
    heading(&mut page, learnt, left);
    if learnt.visits == 0 {
        return page.finish();
    }
    causes(&mut page, book, learnt);
    links(&mut page, book, learnt);
    proposals(&mut page, book, learnt, stands);
    page.finish()
}

fn heading(page: &mut Page, learnt: &Learnt, left: &[(u32, Aside)]) {
    page.para(&format!(
        "{} with a confirmed cause: seen as suspected, and the belt then ran true.",
        count(learnt.visits, "visit", "visits")
    ));
    for why in [Aside::Open, Aside::NotTrue, Aside::NoneSeen] {
        let numbers: Vec<String> = left
            .iter()
            .filter(|(_, aside)| *aside == why)
            .map(|(visit, _)| visit.to_string())
            .collect();
        if !numbers.is_empty() {
            let visits = if numbers.len() == 1 { "Visit" } else { "Visits" };
            page.para(&format!("{visits} {} left aside: {}.", numbers.join(", "), aside(why)));
        }
    }
    if learnt.visits < LEAST {
        page.para_in(
            Ink::Warn,
            &format!(
                "That is too little to change anything: at least {LEAST} such visits are needed, and some twenty \
                 before much can be said."
            ),
        );
    }
    page.blank();
}

fn causes(page: &mut Page, book: &Book, learnt: &Learnt) {
    page.head("How often each cause really was it");
    page.para_in(
        Ink::Faint,
        "In brackets the range in which the true share lies with 95 %, and what the book expects before any answer. Outside: the book's number is not in that range.",
    );
    let mut never = 0;
    for line in &learnt.causes {
        if line.share.hits == 0 && !line.share.outside() {
            never += 1;
            continue;
        }
        let name = &book.causes[line.cause].name;
        share(page, "  ", &book.causes[line.cause].id, name, &line.share);
    }
    if never > 0 {
        page.para(&format!(
            "{} confirmed in none of them, which the book's numbers allow.",
            count(never, "cause was", "causes were")
        ));
    }
    page.blank();
}

fn share(page: &mut Page, indent: &str, lead: &str, name: &str, share: &CredibleShare) {
    let (low, high) = share.between;
    let ink = if share.outside() { Ink::Strong } else { Ink::Plain };
    let mark = if share.outside() { " <- outside" } else { "" };
    let name = if name.is_empty() { String::new() } else { format!(" ({name})") };
    page.item_in(
        ink,
        indent,
        &format!(
            "{lead}{name}: {} of {} (between {} and {}, book {}){mark}",
            share.hits,
            share.of,
            percent(low),
            percent(high),
            percent(share.book)
        ),
    );
}

fn links(page: &mut Page, book: &Book, learnt: &Learnt) {
    page.head("Answers against what the book expects");
    page.para_in(
        Ink::Faint,
        "From visits in which one cause alone was confirmed: with several nobody can say which made the answer.",
    );
    let (told, few): (Vec<&LinkLine>, Vec<&LinkLine>) =
        learnt.links.iter().partition(|line| line.of() >= LEAST);
    let mut under = None;
    for line in told {
        if under != Some(line.cause) {
            under = Some(line.cause);
            let cause = &book.causes[line.cause];
            page.item("  ", &format!("{} [{}]", cause.name, cause.id));
        }
        let symptom = &book.symptoms[line.symptom];
        let ask = Sides::named(None, None).fill(&symptom.ask);
        page.item("   ", &format!("{ask} [{}]", symptom.id));
        for (answer, of) in &line.answers {
            share(page, "     ", answer, "", of);
        }
    }
    if !few.is_empty() {
        page.para(&format!(
            "{} fewer than {LEAST} answers: too few to compare.",
            count(few.len(), "link has", "links have")
        ));
    }
    page.blank();
}

fn proposals(
    page: &mut Page,
    book: &Book,
    learnt: &Learnt,
    stands: &dyn Fn(&str) -> WhereItStands,
) {
    let changes = changes(book, learnt);
    if changes.is_empty() {
        page.para("Nothing lies outside what so few visits allow: no change is proposed.");
        return;
    }
    let compared = learnt.causes.iter().filter(|line| line.share.of >= LEAST).count()
        + learnt
            .links
            .iter()
            .filter(|line| line.of() >= LEAST)
            .map(|line| line.answers.len())
            .sum::<usize>();
    page.para(&format!(
        "Proposed, for you to judge; no file is changed. Of {compared} comparisons about {} lie outside by chance \
         alone, so ask of each whether it makes sense. Put what you take into a copy of the site's folder, and see what \
         it does:",
        compared.div_ceil(20)
    ));
    page.line(Ink::Plain, "  straybelt rules compare DIR COPY");
    let (own, below): (Vec<&LearntChange>, Vec<&LearntChange>) =
        changes.iter().partition(|change| stands(change.id).own.is_some());
    for change in own {
        let stands = stands(change.id);
        page.item("  ", &format!("In {}:", stands.own.unwrap_or_default()));
        if let Some((line, common)) = change.how_common {
            why_common(page, "      ", line, &stands.how_common);
            page.line(Ink::Good, &format!("      how_common: {common},"));
        }
        for (line, sign) in &change.signs {
            why_sign(page, "      ", book, line);
            page.line(Ink::Good, &format!("      {sign},"));
        }
    }
    if below.is_empty() {
        return;
    }
    page.para("In site.ron:");
    page.line(Ink::Plain, "    change: [");
    for change in below {
        let stands = stands(change.id);
        let was = format!("was: {}", quoted(&stands.was));
        page.line(Ink::Plain, &format!("        Cause(id: {}, {was},", quoted(change.id)));
        if let Some((line, common)) = change.how_common {
            why_common(page, "            ", line, &stands.how_common);
            page.line(Ink::Good, &format!("            how_common: {common},"));
        }
        if !change.signs.is_empty() {
            page.line(Ink::Plain, "            signs: [");
            for (line, sign) in &change.signs {
                why_sign(page, "                ", book, line);
                page.line(Ink::Good, &format!("                {sign},"));
            }
            page.line(Ink::Plain, "            ],");
        }
        page.line(Ink::Plain, "        ),");
    }
    page.line(Ink::Plain, "    ],");
}

fn why_common(page: &mut Page, indent: &str, line: &CauseLine, now: &str) {
    let share = &line.share;
    let now = if now.is_empty() { String::new() } else { format!("was {now}: ") };
    page.line(
        Ink::Faint,
        &format!("{indent}// {now}{} of {}, book {}", share.hits, share.of, percent(share.book)),
    );
}

fn why_sign(page: &mut Page, indent: &str, book: &Book, line: &LinkLine) {
    let symptom = &book.symptoms[line.symptom].id;
    for (answer, share) in line.answers.iter().filter(|(_, share)| share.outside()) {
        page.line(
            Ink::Faint,
            &format!(
                "{indent}// {symptom}: {answer} {} of {}, book {}",
                share.hits,
                share.of,
                percent(share.book)
            ),
        );
    }
}

/// What is proposed of one cause.
pub struct LearntChange<'l> {
    /// The cause's id.
    pub id: &'l str,
    /// Another word for how common it is.
    pub how_common: Option<(&'l CauseLine, &'l str)>,
    /// Other signs.
    pub signs: Vec<(&'l LinkLine, &'l str)>,
}

/// All proposals, by cause in the order of the report.
pub fn changes<'l>(book: &'l Book, learnt: &'l Learnt) -> Vec<LearntChange<'l>> {
    let mut changes: Vec<LearntChange> = Vec::new();
    for line in &learnt.causes {
        let signs: Vec<(&LinkLine, &str)> = learnt
            .links
            .iter()
            .filter(|link| link.cause == line.cause)
            .filter_map(|link| Some((link, link.propose.as_deref()?)))
            .collect();
        let how_common = line.propose.as_deref().map(|common| (line, common));
        if how_common.is_some() || !signs.is_empty() {
            changes.push(LearntChange { id: &book.causes[line.cause].id, how_common, signs });
        }
    }
    changes
}
