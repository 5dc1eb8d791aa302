//! `rules learn`: what finished visits say about the book's numbers. Writes no file.

use std::collections::HashMap;
use std::io::Write;

use serde::Serialize;

use super::{does_not_load, tell};
use crate::cli::{LearnArgs, ReportFormat};
use crate::commands::{Failed, Streams, say_store};
use crate::exit::Exit;
use crate::problem::Problems;
use crate::proof::credible::{CredibleShare, LEAST};
use crate::proof::learn::{self, Aside, Learnt};
use crate::rulebook::load::{self, Laid};
use crate::rulebook::model::Book;
use crate::rulebook::overlay::fingerprint;
use crate::rulebook::rules::Rules;
use crate::show::learn::{self as show, WhereItStands};
use crate::source::Texts;
use crate::visit::store::{Record, StoreError, VisitStore};

/// Compares the visits with the book.
pub(super) fn run(args: &LearnArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let mut stands = HashMap::new();
    let checked = load::read_changed(args.book.rules.as_deref(), |rules, texts, _| {
        stands = stand(rules, texts);
    });
    let Some(book) = checked.book else {
        return does_not_load(&Problems(checked.problems), streams);
    };
    tell(&checked.problems, streams)?;
    if checked.laid != Laid::Whole {
        // An entry of the book below is changed in site.ron.
        stands.values_mut().for_each(|stands: &mut WhereItStands| {
            stands.own.take_if(|place| place.starts_with(load::BUILT_IN));
        });
    }
    if let Some(named) = args.state.state.as_deref().filter(|named| !named.is_dir()) {
        streams.complain(&format!(
            "error: there is no folder {}, so there are no visits to learn from. Check what --state says.",
            named.display()
        ))?;
        return Ok(Exit::State);
    }
    let (records, bad) = match records(args) {
        Ok(read) => read,
        Err(error) => return say_store(&error, streams),
    };
    for error in &bad {
        writeln!(streams.err, "warning: {error}.")?;
    }
    let mut taken = Vec::new();
    let mut left = Vec::new();
    for record in &records {
        match learn::take(&book, record) {
            Ok(visit) => taken.push(visit),
            Err(why) => left.push((record.visit, why)),
        }
    }
    let learnt = learn::learn(&book, &taken);
    match args.format {
        ReportFormat::Text => {
            let stands = |id: &str| stands.get(id).cloned().unwrap_or_default();
            let screen = streams.screen();
            let page = show::page(screen, &book, &learnt, &left, &stands);
            streams.out.page(&page)?;
        }
        ReportFormat::Json => {
            streams.out.json(&told(&book, &learnt, &left))?;
        }
    }
    Ok(Exit::Done)
}

/// The visits that are named, or all of them with those that cannot be read.
fn records(args: &LearnArgs) -> Result<(Vec<Record>, Vec<StoreError>), StoreError> {
    let store = VisitStore::usual(args.state.state.as_deref())?;
    if args.all {
        let mut listing = store.look_at_all()?;
        listing.records.reverse();
        return Ok((listing.records, listing.bad));
    }
    let mut numbers = args.visits.clone();
    numbers.sort_unstable();
    numbers.dedup();
    let records: Result<Vec<Record>, StoreError> =
        numbers.iter().map(|visit| store.look(*visit)).collect();
    Ok((records?, Vec::new()))
}

fn stand(rules: &Rules, texts: &Texts) -> HashMap<String, WhereItStands> {
    let causes = rules.causes.iter().map(|cause| {
        let stands = WhereItStands {
            own: Some(texts.place(cause.id.span).to_string()),
            was: fingerprint(texts, cause.span),
            how_common: texts.slice(cause.how_common.span).to_owned(),
        };
        (cause.id.text.clone(), stands)
    });
    causes.collect()
}

#[derive(Serialize)]
struct LearntJson<'t> {
    format: u32,
    visits: usize,
    left_aside: Vec<LeftLine>,
    least: usize,
    causes: Vec<CauseJson<'t>>,
    links: Vec<LinkJson<'t>>,
}

#[derive(Serialize)]
struct LeftLine {
    visit: u32,
    why: &'static str,
}

#[derive(Serialize)]
struct CauseJson<'t> {
    id: &'t str,
    prior: f64,
    #[serde(flatten)]
    share: ShareLine,
    propose: Option<&'t str>,
}

#[derive(Serialize)]
struct LinkJson<'t> {
    cause: &'t str,
    symptom: &'t str,
    answers: Vec<AnswerLine<'t>>,
    propose: Option<&'t str>,
}

#[derive(Serialize)]
struct AnswerLine<'t> {
    answer: &'t str,
    #[serde(flatten)]
    share: ShareLine,
}

#[derive(Serialize)]
struct ShareLine {
    hits: usize,
    of: usize,
    between: (f64, f64),
    book: f64,
    outside: bool,
}

impl From<&CredibleShare> for ShareLine {
    fn from(share: &CredibleShare) -> Self {
        Self {
            hits: share.hits,
            of: share.of,
            between: share.between,
            book: share.book,
            outside: share.outside(),
        }
    }
}

fn told<'t>(book: &'t Book, learnt: &'t Learnt, left: &[(u32, Aside)]) -> LearntJson<'t> {
    let causes = learnt.causes.iter().map(|line| CauseJson {
        id: &book.causes[line.cause].id,
        prior: book.causes[line.cause].prior,
        share: (&line.share).into(),
        propose: line.propose.as_deref(),
    });
    let links = learnt.links.iter().map(|line| LinkJson {
        cause: &book.causes[line.cause].id,
        symptom: &book.symptoms[line.symptom].id,
        answers: line
            .answers
            .iter()
            .map(|(answer, share)| AnswerLine { answer, share: share.into() })
            .collect(),
        propose: line.propose.as_deref(),
    });
    LearntJson {
        format: 1,
        visits: learnt.visits,
        left_aside: left
            .iter()
            .map(|(visit, why)| LeftLine { visit: *visit, why: show::aside(*why) })
            .collect(),
        least: LEAST,
        causes: causes.collect(),
        links: links.collect(),
    }
}
