//! Which cases touch an entry of the book.

use super::case::{Case, Expect};
use crate::rulebook::find::EntryAt;
use crate::rulebook::index::{CauseAt, FixAt, SymptomAt};
use crate::rulebook::model::Source;
use crate::visit::Reply;

/// The ids of the cases that give an answer to this symptom or name this entry, in the order of the files.
pub fn touching(cases: &[Case], entry: EntryAt) -> Vec<String> {
    let touched = cases.iter().filter(|case| touches(case, entry));
    touched.map(|case| case.id.clone()).collect()
}

fn touches(case: &Case, entry: EntryAt) -> bool {
    let expected = || case.expect.iter().map(|expected| &expected.what);
    match entry {
        EntryAt::Symptom(at) => {
            let answered = matches!(case.observed.replies.item(at), Some(Reply::Answer(_)));
            answered || expected().any(|expect| symptoms(expect).contains(&at))
        }
        EntryAt::Cause(at) => {
            let found = case.observed.found.iter().any(|(cause, _)| *cause == at);
            found || expected().any(|expect| causes(expect).contains(&at))
        }
        EntryAt::Fix(at) => {
            let done = case.observed.done.iter().flatten().any(|fix| *fix == at);
            done || expected().any(|expect| fixes(expect).contains(&at))
        }
        EntryAt::Source(at) => matches!(case.source, Source::Published(source, _) if source == at),
        EntryAt::Look(_)
        | EntryAt::Caution(_)
        | EntryAt::Term(_)
        | EntryAt::StopNow(_)
        | EntryAt::EdgeRoom => false,
    }
}

fn symptoms(expect: &Expect) -> &[SymptomAt] {
    match expect {
        Expect::Asks(list) | Expect::Never(list) | Expect::Unclear(list) => list,
        _ => &[],
    }
}

fn causes(expect: &Expect) -> Vec<CauseAt> {
    match expect {
        Expect::Leads(list) | Expect::Among(_, list) | Expect::LeftOut(list) => list.clone(),
        Expect::Above(one, other) => vec![*one, *other],
        Expect::Below(cause, _) | Expect::AtLeast(cause, _) => vec![*cause],
        _ => Vec::new(),
    }
}

fn fixes(expect: &Expect) -> Vec<FixAt> {
    match expect {
        Expect::Plans(list)
        | Expect::NeverPlans(list)
        | Expect::Offers(list)
        | Expect::NeverOffers(list)
        | Expect::First(list) => list.clone(),
        Expect::Before(one, other) => vec![*one, *other],
        Expect::Says(fix, _) | Expect::Unsays(fix, _) => vec![*fix],
        _ => Vec::new(),
    }
}
