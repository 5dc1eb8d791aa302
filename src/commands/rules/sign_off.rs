//! `rules sign-off`: everything that speaks for or against a rule book, on one page and in one exit code; and a record
//! beside the book, bound to its fingerprint.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::test::{Loaded, judge, load as load_with_cases};
use super::{DEFAULT, beside, folder};
use crate::cli::SignOffArgs;
use crate::commands::progress::Progress;
use crate::commands::{Failed, Streams};
use crate::disk::{self, Over, Sight};
use crate::drill::eyes::Eyes;
use crate::drill::trial::Setting;
use crate::drill::trial_against::{self, TrialAgainst};
use crate::exit::Exit;
use crate::problem::count;
use crate::proof::compare::{BookWithCases, CompareSettings, Turn, cases, compare};
use crate::proof::coverage;
use crate::proof::paired::Verdict;
use crate::rulebook::load::{self, Laid};
use crate::rulebook::signed;
use crate::show::proof::{Besides, WORDING};
use crate::show::proof_against::sentence;
use crate::show::sign_off::{self, Line};
use crate::show::ways;
use crate::source::quoted;
use crate::visit::clock::{Clock, SystemClock};

/// Where copies of what was signed are kept, inside the folder: hidden, so that no rule is read from there.
const COPIES: &str = ".signed";
/// The same draws for everybody.
const SEED: u64 = 1;
/// No larger share of the cases may rest.
const MOST_AT_REST: f64 = 0.2;

pub(super) fn run(args: &SignOffArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let dir = args.dir.as_path();
    if args.by.trim().is_empty() {
        streams.complain("error: nobody signs.\ndo: write --by \"your name, your office\".")?;
        return Ok(Exit::Usage);
    }
    let checked = checked(dir);
    let new = load_with_cases(Some(dir), streams)?;
    let before = last_signed(&new, dir);
    // A whole book of its own has nothing before it the first time.
    let first = if new.checked.laid == Laid::Whole { dir } else { Path::new(DEFAULT) };
    let before = before.as_deref().unwrap_or(first);
    let called = before.display().to_string();
    let old = load_with_cases(folder(Some(before)), streams)?;
    let mut lines = vec![checked, tested(&new), covered(&new, args.min)];
    lines.push(compared(&old, &new, &called, streams));
    lines.push(tried(&old, &new, args.runs, streams));
    let good = lines.iter().all(|line| line.good);
    let on = SystemClock.now().strftime("%Y-%m-%d").to_string();
    let written = if good { write(dir, &new, &lines, (args.by.trim(), &on)) } else { Ok(()) };
    let head = sign_off::Head { book: &new.book, by: args.by.trim(), on: &on, dir };
    let page = sign_off::page(streams.screen(), head, &lines);
    streams.out.page(&page)?;
    if let Err(error) = written {
        streams.complain(&format!(
            "error: the record cannot be written: {error}.\ndo: see whether you may write to {}.",
            dir.display()
        ))?;
        return Ok(Exit::Usage);
    }
    Ok(if good { Exit::Done } else { Exit::Problems })
}

/// `rules check`, cases and drills included.
fn checked(dir: &Path) -> Line {
    let checked = load::read(Some(dir));
    let more = beside(&checked);
    let all = || checked.problems.iter().chain(&more);
    let errors = all().filter(|problem| problem.is_error()).count();
    let warnings = all().count() - errors;
    let found = match (errors, warnings) {
        (0, 0) => "no problems".to_owned(),
        _ => format!("{}, {}", count(errors, "error"), count(warnings, "warning")),
    };
    Line { what: "rules check", found, good: errors + warnings == 0 }
}

/// `rules test`.
fn tested(new: &Loaded) -> Line {
    let ran = judge(new, &[]);
    let fails: Vec<&str> = (ran.iter())
        .filter(|(case, verdict)| !verdict.holds() && !case.todo)
        .map(|(case, _)| case.id.as_str())
        .collect();
    let besides =
        Besides { aside: &new.cases.aside, replaced: &new.cases.replaced, drills: &new.resting };
    let rest = besides.share_at_rest(ran.len());
    let mut found = format!("{} of {} hold", ran.len() - fails.len(), count(ran.len(), "case"));
    if !fails.is_empty() {
        found += &format!("; these fail: {}", fails.join(", "));
    }
    if rest > 0.0 {
        found += &format!("; {} rest, {:.1} %", new.cases.aside.len(), 100.0 * rest);
    }
    Line { what: "rules test", found, good: fails.is_empty() && rest <= MOST_AT_REST }
}

/// `rules coverage`.
fn covered(new: &Loaded, min: f64) -> Line {
    let ran = judge(new, &[]);
    let covered = coverage::of(&new.book, ran.iter().map(|(case, verdict)| (*case, verdict)));
    let per_cent = covered.per_cent();
    let found = format!("{per_cent:.1} % of the book is exercised; {min} % are asked for");
    Line { what: "rules coverage", found, good: per_cent >= min }
}

/// The cases of both books, by each.
fn compared(old: &Loaded, new: &Loaded, called: &str, streams: &mut Streams) -> Line {
    let (one, two) = (
        BookWithCases { book: &old.book, cases: &old.cases.cases },
        BookWithCases { book: &new.book, cases: &new.cases.cases },
    );
    let mut progress = Progress::new(streams.err.bare(), cases(one, two), "cases");
    let setting = CompareSettings { visits: 0, seed: SEED };
    let compared = compare(one, two, setting, WORDING, &mut |through| progress.through(through));
    drop(progress);
    let lost: Vec<String> = (compared.cases.iter())
        .filter(|row| row.turn() == Turn::Lost)
        .map(|row| row.what.id())
        .collect();
    let found = if lost.is_empty() {
        format!("no case that held by {called} fails now")
    } else {
        format!("held by {called} and fail now: {}", lost.join(", "))
    };
    Line { what: "rules compare", found, good: lost.is_empty() }
}

/// `rules trial --against` the last signed book.
fn tried(old: &Loaded, new: &Loaded, runs: u32, streams: &mut Streams) -> Line {
    let setting = Setting {
        runs: runs as usize,
        seed: SEED,
        eyes: Eyes::default(),
        other: 0.0,
        words: &ways::said,
    };
    let mut progress = Progress::new(streams.err.bare(), setting.runs, "conveyors");
    let TrialAgainst { figures, wrong_ways: (_, wrong) } =
        trial_against::against(&old.book, &new.book, &setting, &mut |through| {
            progress.through(through);
        });
    drop(progress);
    let ways = match wrong {
        0 => "Nobody was sent the wrong way.".to_owned(),
        wrong => format!("{} named wrongly.", count(wrong, "side")),
    };
    let found = format!("{runs} drawn conveyors. {} {ways}", sentence(&figures));
    Line { what: "rules trial", found, good: wrong == 0 && figures.verdict() != Verdict::Worse }
}

/// The copy of what was signed last, if there is one.
fn last_signed(new: &Loaded, dir: &Path) -> Option<PathBuf> {
    // A copy of one folder alone does not stand over the other one.
    if new.checked.layers > 1 {
        return None;
    }
    let prints = new.checked.signed.iter().rev().map(|entry| copy_of(dir, &entry.fingerprint.text));
    prints.into_iter().find(|copy| copy.is_dir())
}

fn copy_of(dir: &Path, fingerprint: &str) -> PathBuf {
    let hex: String = fingerprint.chars().filter(char::is_ascii_hexdigit).take(16).collect();
    dir.join(COPIES).join(hex)
}

/// Writes the record, and a copy of what was signed, against which the next one is compared.
fn write(dir: &Path, new: &Loaded, lines: &[Line], (by, on): (&str, &str)) -> io::Result<()> {
    let copy = copy_of(dir, &new.book.fingerprint);
    for (file, inside) in &new.checked.own {
        let path = copy.join(inside);
        if let Some(folder) = path.parent() {
            disk::make_folders(folder, Sight::Usual)?;
        }
        let text = new.checked.texts.text(*file);
        disk::write(&path, text.as_bytes(), Over::PlainFile, Sight::Usual)?;
    }
    let path = dir.join(signed::FILE);
    let entry = record(new, lines, (by, on));
    let (old, text) = match fs::read_to_string(&path) {
        Ok(old) => {
            let kept = old.trim_end().strip_suffix(']').unwrap_or(&old).trim_end().to_owned();
            (Some(old), format!("{kept}\n{entry}]\n"))
        }
        Err(error) if error.kind() == io::ErrorKind::NotFound => (
            None,
            format!(
                "// Who signed this book off, oldest first; written by `straybelt rules sign-off`.\n[\n{entry}]\n"
            ),
        ),
        Err(error) => return Err(error),
    };
    match old {
        Some(old) => disk::write_again(&path, &old, &text),
        None => disk::write(&path, text.as_bytes(), Over::Nothing, Sight::Usual),
    }
}

fn record(new: &Loaded, lines: &[Line], (by, on): (&str, &str)) -> String {
    let mut entry = format!(
        "    (   fingerprint: {},\n        book: {}, version: {}, program: {},\n        by: {}, on: {},\n        found: [\n",
        quoted(&new.book.fingerprint),
        quoted(&new.book.name),
        quoted(&new.book.version),
        quoted(env!("CARGO_PKG_VERSION")),
        quoted(by),
        quoted(on),
    );
    for line in lines {
        entry += &format!("            {},\n", quoted(&format!("{}: {}", line.what, line.found)));
    }
    entry + "        ],\n    ),\n"
}
