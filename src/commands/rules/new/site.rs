//! The forms of a caution and of a site's own file.

use std::collections::BTreeMap;
use std::path::Path;

use super::choices::Choices;
use super::entries::{COMMON, LONG, NewFile, SHORT, name_of, put, put_list, put_or, some_list};
use super::form::{Blank, FilledIn, Form};
use super::reading::{Choice, one_of};
use crate::rulebook::load::read_changed;
use crate::rulebook::model::Minutes;
use crate::rulebook::overlay::fingerprint;
use crate::rulebook::writer::{Entry, lone_file};
use crate::rulebook::written::Cause;
use crate::source::parse::Spanned;
use crate::source::quoted;

/// Most characters of a caution.
const CAUTION: usize = 200;

pub(super) const HAZARDS: &[(&str, &str)] = &[
    ("LockOut", "starting while somebody works on it"),
    ("NipPoints", "being drawn in where belt meets roll"),
    ("StoredEnergy", "weight, tension, slope, load, air and oil that still push"),
    ("Guards", "what a guard keeps out"),
    ("PeopleClear", "people in the way when it starts"),
    ("Alone", "nobody there to stop it or to help"),
    ("Fire", "glow, smoke, sparks and dust"),
];
pub(super) const STANDING: &[(&str, &str)] = &[
    ("LockedOut", "on every page of locked-out work"),
    ("Running", "on every page of work on a running machine"),
    ("Always", "on both"),
];

/// A caution.
pub(super) fn caution(form: &mut Form, choices: &Choices, dir: &Path) -> FilledIn<NewFile> {
    const C: &str = "caution";
    let id = form.id(C, &choices.cautions, &dir.join("cautions"))?;
    let text = form.must(C, "text", CAUTION)?;
    let rule = form.must(C, "rule", SHORT)?;
    let hazard = one_or_none(form, "hazard", HAZARDS)?;
    let standing = match hazard {
        Some(_) => one_or_none(form, "standing", STANDING)?,
        None => None,
    };
    let source = form.source(C, &choices.sources)?;
    let mut entry = Entry::of_list();
    put(&mut entry, C, "id", &quoted(&id));
    put_or(&mut entry, C, "hazard", hazard.map(str::to_owned), "LockOut");
    put_or(&mut entry, C, "standing", standing.map(str::to_owned), "LockedOut");
    put(&mut entry, C, "text", &quoted(&text));
    put(&mut entry, C, "rule", &quoted(&rule));
    put(&mut entry, C, "source", &source);
    Ok(NewFile::new(C, "cautions", &id, &entry))
}

/// One of these words, or none when the line is empty.
fn one_or_none(
    form: &mut Form,
    field: &str,
    words: &[(&'static str, &str)],
) -> FilledIn<Option<&'static str>> {
    form.field("caution", field, "Press Enter to leave it out.");
    form.show(|page| {
        for (number, (word, says)) in words.iter().enumerate() {
            page.item(&format!("{:>3}  ", number + 1), &format!("{word}: {says}"));
        }
    });
    let only = || words.iter().map(|(word, _)| *word);
    let help = |_: &str| vec!["The number or the word; Press Enter to leave it out.".to_owned()];
    let at = form.line(field, &help, &|line| {
        if line.is_empty() { Ok(None) } else { one_of(line, only()).map(Some) }
    })?;
    Ok(at.map(|at| name_of(words, at)))
}

/// Causes that are more or less common here than in the book, each as a change.
fn common_here(form: &mut Form, choices: &Choices) -> FilledIn<Vec<String>> {
    form.field(
        "site",
        "change",
        "First: causes that are more or less common here. One to a line. Press Enter to end.",
    );
    let mut changes = Vec::new();
    let prints = fingerprints();
    for at in form.several("cause", "cause", &choices.causes, 0)? {
        let Some(cause) = choices.causes.get(at) else { continue };
        form.field("change", "how_common", &format!("Of {}.", cause.id));
        let common = form.word("how_common", COMMON, None)?;
        let was =
            prints.get(&cause.id).map_or(String::new(), |was| format!("was: {}, ", quoted(was)));
        changes.push(format!(
            "Cause(id: {}, {was}how_common: {})",
            quoted(&cause.id),
            name_of(COMMON, common)
        ));
    }
    Ok(changes)
}

/// Causes that cannot be here, and work that is never done here.
fn switched_off(form: &mut Form, choices: &Choices) -> FilledIn<Vec<String>> {
    form.field(
        "site",
        "switch_off",
        "Causes that cannot be here. One to a line. Press Enter to end.",
    );
    let causes = form.several("cause", "cause", &choices.causes, 0)?;
    form.field(
        "site",
        "switch_off",
        "Work that is never done here. One to a line. Press Enter to end.",
    );
    let fixes = form.several("fix", "fix", &choices.fixes, 0)?;
    let of = |word: &str, known: &[Choice], at: Vec<usize>| -> Vec<String> {
        at.into_iter()
            .filter_map(|at| Some(format!("{word}({})", quoted(&known.get(at)?.id))))
            .collect()
    };
    let mut off = of("Cause", &choices.causes, causes);
    off.extend(of("Fix", &choices.fixes, fixes));
    Ok(off)
}

/// The fingerprints of the default book's causes, by id.
fn fingerprints() -> BTreeMap<String, String> {
    let mut prints = BTreeMap::new();
    read_changed(None, |rules, texts, _| {
        let of = |cause: &Spanned<Cause>| (cause.id.text.clone(), fingerprint(texts, cause.span));
        prints = rules.causes.iter().map(of).collect();
    });
    prints
}

/// A site's own file.
pub(super) fn site(form: &mut Form, choices: &Choices) -> FilledIn<NewFile> {
    let book = choices.book;
    const S: &str = "site";
    let name = form.must(S, "name", SHORT)?;
    form.field(S, "version", "Enter alone: 1.");
    let version = form.words("version", 20, Blank::Allowed)?.unwrap_or_else(|| "1".to_owned());
    // Turns of the belt come on top by themselves.
    let minutes = Minutes { restart_and_watch: book.restart.fixed_minutes, ..book.minutes };
    form.field("minutes", "lock_out", &format!("Enter alone: {}.", minutes.lock_out));
    let lock_out = form.number("lock_out", 0.0..=1000.0, Some(minutes.lock_out))?;
    form.field(
        "minutes",
        "restart_and_watch",
        &format!("Enter alone: {}.", minutes.restart_and_watch),
    );
    let restart =
        form.number("restart_and_watch", 0.0..=1000.0, Some(minutes.restart_and_watch))?;
    let tell = form.texts(S, "tell_specialist", LONG, 0)?;
    let changes = common_here(form, choices)?;
    let off = switched_off(form, choices)?;

    let mut differ = Vec::new();
    if lock_out != minutes.lock_out {
        differ.push(format!("lock_out: {lock_out:?}"));
    }
    if restart != minutes.restart_and_watch {
        differ.push(format!("restart_and_watch: {restart:?}"));
    }
    let differ = (!differ.is_empty()).then(|| format!("({})", differ.join(", ")));
    let mut entry = Entry::alone();
    put(&mut entry, S, "name", &quoted(&name));
    put(&mut entry, S, "version", &quoted(&version));
    put_or(&mut entry, S, "minutes", differ, "(lock_out: 25.0, restart_and_watch: 15.0)");
    put_or(
        &mut entry,
        S,
        "tell_specialist",
        some_list(&tell),
        "[\"Which boat was unloaded last\"]",
    );
    put_list(&mut entry, S, "change", &changes);
    let cause = book.causes.values().next().map_or("a-cause", |cause| &cause.id);
    let fix = book.fixes.values().next().map_or("a-fix", |fix| &fix.id);
    entry.comment("Such as, between the brackets of `change`:");
    entry.comment(&format!("    Cause(id: {}, how_common: Everyday),", quoted(cause)));
    entry.comment(&format!("    Fix(id: {}, minutes: 90.0),", quoted(fix)));
    let off = (!off.is_empty()).then(|| format!("[{}]", off.join(", ")));
    put_or(&mut entry, S, "switch_off", off, &format!("[Fix({})]", quoted(fix)));
    let head = [
        "What this site changes in the book below, begun with `straybelt rules new site`."
            .to_owned(),
        "`straybelt rules check` says whether it still fits. rules/REFERENCE.md lists what may stand here."
            .to_owned(),
    ];
    Ok(NewFile { inside: "site.ron".to_owned(), text: lone_file(&head, &entry) })
}
