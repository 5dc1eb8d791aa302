//! The forms of a caution and of a site's own file.

use std::path::Path;

use super::entries::{LONG, SHORT, Sheet, put, put_list, put_or, some_list};
use super::form::{Filled, Form};
use super::shelf::Shelf;
use crate::rulebook::model::Book;
use crate::rulebook::pen::{Entry, lone_file, quoted};

/// Most characters of a caution.
const CAUTION: usize = 200;

/// A caution.
pub(super) fn caution(form: &mut Form, shelf: &Shelf, dir: &Path) -> Filled<Sheet> {
    const C: &str = "caution";
    let id = form.id(C, &shelf.cautions, &dir.join("cautions"))?;
    let text = form.must(C, "text", CAUTION)?;
    let rule = form.must(C, "rule", SHORT)?;
    let source = form.source(C, &shelf.sources)?;
    let mut entry = Entry::of_list();
    put(&mut entry, C, "id", &quoted(&id));
    put(&mut entry, C, "text", &quoted(&text));
    put(&mut entry, C, "rule", &quoted(&rule));
    put(&mut entry, C, "source", &source);
    Ok(Sheet::of(C, "cautions", &id, &entry))
}

/// A site's own file.
pub(super) fn site(form: &mut Form, book: &Book) -> Filled<Sheet> {
    const S: &str = "site";
    let name = form.must(S, "name", SHORT)?;
    form.field(S, "version", "Enter alone: 1.");
    let version = form.words("version", 20, false)?.unwrap_or_else(|| "1".to_owned());
    let minutes = book.minutes;
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
    put_list(&mut entry, S, "change", &[]);
    let cause = book.causes.values().next().map_or("a-cause", |cause| &cause.id);
    let fix = book.fixes.values().next().map_or("a-fix", |fix| &fix.id);
    entry.comment("Such as, between the brackets of `change`:");
    entry.comment(&format!("    Cause(id: {}, how_common: Everyday),", quoted(cause)));
    entry.comment(&format!("    Fix(id: {}, minutes: 90.0),", quoted(fix)));
    put_or(&mut entry, S, "switch_off", None, &format!("[Fix({})]", quoted(fix)));
    let head = [
        "What this site changes in the book below, begun with `straybelt rules new site`."
            .to_owned(),
        "`straybelt rules check` says whether it still fits. DEVELOPERS.md lists what may stand here."
            .to_owned(),
    ];
    Ok(Sheet { inside: "site.ron".to_owned(), text: lone_file(&head, &entry) })
}
