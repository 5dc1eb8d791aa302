//! `rules test`: the cases of a book.

use std::collections::BTreeMap;
use std::io::Write;
use std::path::{Path, PathBuf};

use serde::Serialize;

use super::watch::{Notices, watch};
use super::{does_not_load, tell};
use crate::cli::{ReportFormat, TestArgs};
use crate::commands::{Failed, Streams};
use crate::disk;
use crate::drill;
use crate::exit::Exit;
use crate::problem::{Problems, Report};
use crate::proof::accept::rewritten;
use crate::proof::case::{self, Case, Cases};
use crate::proof::run::{self, CaseVerdict};
use crate::rulebook::load::{self, Checked};
use crate::rulebook::model::AnswerIds;
use crate::rulebook::model::Book;
use crate::show::page::Page;
use crate::show::proof::{self, Besides};
use crate::source::Span;
use crate::visit::Diagnosis;

/// Runs the cases, once or again and again.
pub(super) fn run(args: &TestArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    match args.dir.as_deref().filter(|_| args.watch) {
        Some(dir) => {
            let notices = match args.format {
                ReportFormat::Json => Notices::Apart,
                ReportFormat::Text => Notices::Among,
            };
            watch(dir, notices, streams, &mut |streams| once(args, streams))
        }
        None => once(args, streams),
    }
}

/// A book with its cases, loaded and read.
pub(super) struct Loaded {
    /// The book.
    pub(super) book: Book,
    /// Its cases.
    pub(super) cases: Cases,
    /// Drills that need what the site has switched off.
    pub(super) resting: Vec<(String, String)>,
    /// What else was read.
    pub(super) checked: Checked,
}

/// Loads a book with its cases, or tells why it cannot.
pub(super) fn load(dir: Option<&Path>, streams: &mut Streams) -> Result<Loaded, Failed> {
    with_cases(load::read(dir), streams)
}

/// Reads the cases of what was loaded, or tells why they cannot be run.
pub(super) fn with_cases(mut checked: Checked, streams: &mut Streams) -> Result<Loaded, Failed> {
    let Some(book) = checked.book.take() else {
        return does_not_load(&Problems(checked.problems), streams).and_then(Failed::told);
    };
    let mut report = Report::default();
    let cases = case::read(&book, &checked, &mut report);
    let wrong = report.has_errors();
    tell(&report.sorted(), streams)?;
    if wrong {
        streams.complain("error: the cases cannot be run before this is put right.")?;
        return Err(Failed::Told(Exit::Problems));
    }
    // What else is wrong with drills is for `rules check` to tell.
    let resting = drill::read::read(&book, &checked, &mut Report::default()).aside;
    Ok(Loaded { book, cases, resting, checked })
}

/// Runs all cases that the words choose; all of them without words.
pub(super) fn judge<'l>(loaded: &'l Loaded, words: &[String]) -> Vec<(&'l Case, CaseVerdict)> {
    let diagnosis = Diagnosis::new(&loaded.book);
    let chosen = |case: &&Case| {
        words.is_empty() || words.iter().any(|w| case.id.contains(w) || case.title.contains(w))
    };
    let cases = loaded.cases.cases.iter().filter(chosen);
    cases.map(|case| (case, run::run(&diagnosis, case, proof::WORDING))).collect()
}

#[derive(Serialize)]
struct CasesJson<'t> {
    format: u32,
    holds: usize,
    fails: usize,
    cases: Vec<CaseLine<'t>>,
    left_aside: Vec<(&'t str, &'t str)>,
    drills_left_aside: Vec<(&'t str, &'t str)>,
    share_left_aside: f64,
    replaced: Vec<(&'t str, String)>,
}

#[derive(Serialize)]
struct CaseLine<'t> {
    id: &'t str,
    place: String,
    todo: bool,
    holds: bool,
    failures: Vec<FailureLine<'t>>,
}

#[derive(Serialize)]
struct FailureLine<'t> {
    expected: &'t str,
    got: &'t str,
    because: Vec<(&'t str, AnswerIds<'t>, f64)>,
}

fn once(args: &TestArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let loaded = load(args.dir.as_deref(), streams)?;
    let ran = judge(&loaded, &args.filter);
    let besides = if args.filter.is_empty() {
        Besides {
            aside: &loaded.cases.aside,
            replaced: &loaded.cases.replaced,
            drills: &loaded.resting,
        }
    } else {
        Besides::default()
    };
    if ran.is_empty() {
        let why = match args.filter.as_slice() {
            [] => "there are no cases".to_owned(),
            words => format!("no case has {} in its id or title", words.join(" or ")),
        };
        streams.complain(&format!("error: {why}."))?;
        return Ok(Exit::Usage);
    }
    let pairs: Vec<proof::RanCase> = ran.iter().map(|(case, verdict)| (*case, verdict)).collect();
    match args.format {
        ReportFormat::Text => {
            let screen = streams.screen();
            let page = proof::run(screen, &loaded.book, &pairs, besides);
            streams.out.page(&page)?;
        }
        ReportFormat::Json => {
            streams.out.json(&told(&loaded.book, &pairs, besides))?;
        }
    }
    if args.accept {
        return accept(&loaded, &pairs, streams);
    }
    let share = besides.share_at_rest(pairs.len());
    if share > args.most_at_rest / 100.0 {
        streams.complain(&format!(
            "error: {:.1} per cent of the cases rest, more than {}. What is switched off, nobody tries any more: write \
             cases of your own, or allow more with --most-at-rest.",
            100.0 * share,
            args.most_at_rest
        ))?;
        return Ok(Exit::Problems);
    }
    let failed = pairs.iter().any(|(case, v)| !v.holds() && !case.todo);
    Ok(if failed { Exit::Problems } else { Exit::Done })
}

fn told<'t>(book: &'t Book, ran: &[proof::RanCase<'t>], besides: Besides<'t>) -> CasesJson<'t> {
    let cases: Vec<CaseLine> = ran
        .iter()
        .map(|(case, verdict)| CaseLine {
            id: &case.id,
            place: case.place.to_string(),
            todo: case.todo,
            holds: verdict.holds(),
            failures: verdict
                .failures
                .iter()
                .map(|f| FailureLine {
                    expected: &f.expected,
                    got: &f.got,
                    because: f
                        .because
                        .iter()
                        .map(|w| {
                            let symptom = &book.symptoms[w.symptom];
                            (symptom.id.as_str(), symptom.told(w.answer), w.decibans)
                        })
                        .collect(),
                })
                .collect(),
        })
        .collect();
    let of = |holds| cases.iter().filter(|c| c.holds == holds && !c.todo).count();
    CasesJson {
        format: 1,
        holds: of(true),
        fails: of(false),
        cases,
        replaced: besides
            .replaced
            .iter()
            .map(|(case, place)| (case.as_str(), place.to_string()))
            .collect(),
        share_left_aside: besides.share_at_rest(ran.len()),
        drills_left_aside: besides
            .drills
            .iter()
            .map(|(drill, gone)| (drill.as_str(), gone.as_str()))
            .collect(),
        left_aside: besides
            .aside
            .iter()
            .map(|(case, gone)| (case.as_str(), gone.as_str()))
            .collect(),
    }
}

/// Writes what came into the case files.
fn accept(loaded: &Loaded, ran: &[proof::RanCase], streams: &mut Streams) -> Result<Exit, Failed> {
    let texts = &loaded.checked.texts;
    let mut files: BTreeMap<PathBuf, Vec<(Span, String)>> = BTreeMap::new();
    let mut by_hand = false;
    for (case, verdict) in ran.iter().filter(|(case, _)| !case.todo) {
        for failure in &verdict.failures {
            let Some(expected) = case.expect.get(failure.number) else {
                continue;
            };
            let path = PathBuf::from(texts.name(expected.span.file));
            match &failure.would_hold {
                Some(new) if path.is_file() => {
                    files.entry(path).or_default().push((expected.span, new.clone()));
                }
                _ => {
                    by_hand = true;
                    let why = if path.is_file() {
                        "nothing can be written there that would hold. Change it by hand."
                    } else {
                        "it is the default book's. If your change is right, write a case with the same id into the \
                         folder `cases` of your own rules. It takes that one's place."
                    };
                    let mut page = Page::new(streams.screen());
                    page.para(&format!(
                        "Not accepted: {} expects {}; {why}",
                        case.id, failure.expected
                    ));
                    streams.out.page(&page.finish())?;
                }
            }
        }
    }
    for (path, changes) in &files {
        let Some((span, _)) = changes.first() else {
            continue;
        };
        let old = texts.text(span.file);
        if let Err(error) = disk::write_again(path, old, &rewritten(old, changes)) {
            streams.complain(&format!("error: {} is not changed: {error}", path.display()))?;
            return Ok(Exit::Usage);
        }
        writeln!(
            streams.out,
            "Accepted {} in {}. Read the difference before you keep it.",
            crate::problem::count(changes.len(), "value"),
            path.display()
        )?;
    }
    Ok(if by_hand { Exit::Problems } else { Exit::Done })
}
