//! A site's folder laid over the default book.
//!
//! The folder holds the same files as the book, with new entries only, and `site.ron` for what is
//! changed in entries that are there already:
//! ```ron
//! (   name: "Ostrel Quay", version: "3",                  // all fields may be left out
//!     minutes: (lock_out: 25.0),                           // of the book's own, those that differ
//!     change: [
//!         Cause(id: "old-trims", was: "1f0c22ab", how_common: Everyday,
//!               signs: [Sees("salt-crust", Often)]),        // added, or instead of its sign on that symptom
//!         Symptom(id: "noise", was: "...", minutes: 4.0, look: "From the gallery.",
//!               says: [("squeal", "Squeals like a gull")],   // other words for an answer
//!               seen_with: [("stuck-roll", [("squeal", Usually)])]),
//!         Look(id: "walk-line", was: "...", per_50_m: 4.0, symptoms: ["salt-crust"]),   // more to look at there
//!         Fix(id: "clean-idlers", was: "...", minutes: 90.0, cures: [("idler-build-up", Always)]),
//!         Caution(id: "working-at-height", was: "...", text: "Harness from 2 m here."),    // none with a hazard
//!     ],
//!     switch_off: [Cause("crosswind"), Symptom("wind-from"), Look("logbook"), Fix("fit-wind-hood")],
//! )
//! ```
//! `was` is the fingerprint of the entry that the change was written against: `rules check` prints it
//! where it is missing, and warns when the entry below has changed since.

mod looks;

use std::fmt::Write as _;

use sha2::{Digest, Sha256};

use super::check::Off;
use super::model::Held;
use super::rules::Rules;
use super::site::{Change, SiteFile, Which};
use super::written::Condition;
use crate::problem::{Code, Problem, Report, near, plural};
use crate::source::parse::{Spanned, Text};
use crate::source::{Span, Texts, lexer};

/// Lays the site's rules over the book's. What is switched off is gone from the rules and named in `Off`.
pub fn lay(base: &mut Rules, mut site: Rules, texts: &Texts, report: &mut Report) -> Off {
    let mut off = Off::default();
    if let Some(file) = site.site.take() {
        let file = file.value;
        settings(base, &file);
        for change in file.change {
            let mut over = Over { texts, report };
            over.change(base, &mut off, change);
        }
        for which in file.switch_off {
            switch_off(base, which, &mut off, texts, report);
        }
        closed_for_good(base, &mut off, texts, report);
    }
    looks::append(base, std::mem::take(&mut site.looks), &mut off);
    looks::never_early(base, &off);
    base.symptoms.append(&mut site.symptoms);
    base.causes.append(&mut site.causes);
    base.fixes.append(&mut site.fixes);
    base.cautions.append(&mut site.cautions);
    base.sources.append(&mut site.sources);
    base.glossary.append(&mut site.glossary);
    only_in_hand(&site, texts, report);
    base.tools.append(&mut site.tools);
    base.stop_now.append(&mut site.stop_now);
    if site.edge_room.is_some() {
        base.edge_room = site.edge_room;
    }
    off
}

/// Which tools may be used near a moving belt is the book's to say.
fn only_in_hand(site: &Rules, texts: &Texts, report: &mut Report) {
    let outside = site.tools.iter().filter_map(|tool| tool.held.map(|held| (tool, held)));
    for (tool, held) in outside.filter(|(_, held)| held.value == Held::FromOutside) {
        let message =
            format!("a site does not say that `{}` may be used near a moving belt", tool.name);
        let problem = Problem::at(Code::SafetyCaution, texts.place(held.span), message);
        report.add(problem.help("take `held` out; a fix that needs the tool is LockedOut"));
    }
}

/// The fingerprint of an entry: what it says, comments and layout left aside.
pub fn fingerprint(texts: &Texts, entry: Span) -> String {
    let digest = Sha256::digest(lexer::bare(texts.slice(entry)).as_bytes());
    digest.iter().take(4).fold(String::new(), |mut hex, byte| {
        let _ = write!(hex, "{byte:02x}");
        hex
    })
}

fn settings(base: &mut Rules, site: &SiteFile) {
    let Some(book) = &mut base.book else { return };
    let book = &mut book.value;
    let put = |to: &mut Spanned<f64>, from: Option<Spanned<f64>>| *to = from.unwrap_or(*to);
    put(&mut book.minutes.lock_out, site.minutes.lock_out);
    put(&mut book.minutes.restart_and_watch, site.minutes.restart_and_watch);
    // Minutes of the site's own are the whole, unless it counts turns itself.
    if site.minutes.restart_and_watch.is_some() {
        book.minutes.watch_turns = None;
    }
    book.minutes.watch_turns = site.minutes.watch_turns.or(book.minutes.watch_turns);
    put(&mut book.minutes.give_up, site.minutes.give_up);
    put(&mut book.reports.same_again, site.reports.same_again);
    book.at_most = site.at_most.unwrap_or(book.at_most);
    book.something_else = site.something_else.or(book.something_else);
    book.name = site.name.clone().unwrap_or_else(|| book.name.clone());
    book.version = site.version.clone().unwrap_or_else(|| book.version.clone());
    book.tell_specialist.extend(site.tell_specialist.iter().cloned());
}

struct Over<'t, 'r> {
    texts: &'t Texts,
    report: &'r mut Report,
}

impl Over<'_, '_> {
    fn change(&mut self, base: &mut Rules, off: &mut Off, change: Spanned<Change>) {
        match change.value {
            cause @ Change::Cause { .. } => self.change_cause(base, cause),
            symptom @ Change::Symptom { .. } => self.change_symptom(base, symptom),
            look @ Change::Look { .. } => self.change_look(base, off, look),
            fix @ Change::Fix { .. } => self.change_fix(base, fix),
            caution @ Change::Caution { .. } => self.change_caution(base, caution),
        }
    }

    fn change_cause(&mut self, base: &mut Rules, change: Change) {
        let Change::Cause {
            id,
            was,
            name,
            how_common,
            on,
            happens_because,
            shows_at,
            specialist,
            signs,
            brought_on_by,
            mistaken_for,
        } = change
        else {
            return;
        };
        let Some(cause) = self.find(&mut base.causes, (&id, was.as_ref()), "cause", |c| &c.id)
        else {
            return;
        };
        put(&mut cause.name, name);
        // A word of the site's own is meant of its conveyors, whatever the book says of some of them.
        if how_common.is_some() {
            cause.on.clear();
        }
        put(&mut cause.how_common, how_common);
        if !on.is_empty() {
            cause.on = on;
        }
        put(&mut cause.happens_because, happens_because);
        cause.shows_at = shows_at.or(cause.shows_at.take());
        cause.specialist = specialist.or(cause.specialist.take());
        cause.signs.retain(|old| !signs.iter().any(|new| new.symptom().text == old.symptom().text));
        cause.signs.extend(signs);
        cause.brought_on_by.extend(brought_on_by);
        cause.mistaken_for.extend(mistaken_for);
    }

    fn change_symptom(&mut self, base: &mut Rules, change: Change) {
        let Change::Symptom { id, was, ask, look, why, minutes, leak, says, tools, seen_with } =
            change
        else {
            return;
        };
        let Some(symptom) =
            self.find(&mut base.symptoms, (&id, was.as_ref()), "symptom", |s| &s.id)
        else {
            return;
        };
        put(&mut symptom.ask, ask);
        put(&mut symptom.look, look);
        put(&mut symptom.why, why);
        put(&mut symptom.minutes, minutes);
        put(&mut symptom.leak, leak);
        for (answer, words) in says {
            match symptom.answers.iter_mut().find(|(id, _)| id.text == answer.text) {
                Some((_, old)) => *old = words,
                None => {
                    let known = symptom.answers.iter().map(|(id, _)| id.text.as_str());
                    let message = format!("`{id}` has no answer `{answer}`");
                    let problem =
                        Problem::at(Code::UnknownId, self.texts.place(answer.span), message);
                    self.report.add(near(problem, &answer, known, "its answers"));
                }
            }
        }
        symptom.tools.extend(tools);
        let linked: Vec<String> = seen_with.iter().map(|seen| seen.0.text.clone()).collect();
        symptom.seen_with.extend(seen_with);
        // A link from the symptom's side stands instead of the cause's own sign on it.
        for cause in base.causes.iter_mut().filter(|cause| linked.contains(&cause.id.text)) {
            cause.value.signs.retain(|sign| sign.symptom().text != id.text);
        }
    }

    fn change_fix(&mut self, base: &mut Rules, change: Change) {
        let Change::Fix {
            id,
            was,
            title,
            minutes,
            turns,
            per_carry_set,
            per_return_set,
            per_pulley,
            people,
            done_when,
            worked,
            cures,
            tools,
            steps,
            begins_with,
            parts,
            never,
            cautions,
        } = change
        else {
            return;
        };
        let Some(fix) = self.find(&mut base.fixes, (&id, was.as_ref()), "fix", |f| &f.id) else {
            return;
        };
        put(&mut fix.title, title);
        // Minutes of the site's own are the whole, whatever the book's hang on besides.
        if minutes.is_some() {
            (fix.turns, fix.per_carry_set) = (None, None);
            (fix.per_return_set, fix.per_pulley) = (None, None);
        }
        put(&mut fix.minutes, minutes);
        fix.turns = turns.or(fix.turns);
        fix.per_carry_set = per_carry_set.or(fix.per_carry_set);
        fix.per_return_set = per_return_set.or(fix.per_return_set);
        fix.per_pulley = per_pulley.or(fix.per_pulley);
        fix.people = people.or(fix.people);
        fix.done_when = done_when.or(fix.done_when.take());
        fix.worked = worked.or(fix.worked.take());
        fix.cures.retain(|old| !cures.iter().any(|new| new.0.text == old.0.text));
        fix.cures.extend(cures);
        fix.tools.extend(tools);
        fix.steps.extend(steps);
        fix.begins_with.extend(begins_with);
        fix.parts.extend(parts);
        fix.never.extend(never);
        fix.cautions.extend(cautions);
    }

    fn change_caution(&mut self, base: &mut Rules, change: Change) {
        let Change::Caution { id, was, text, rule } = change else { return };
        let Some(caution) =
            self.find(&mut base.cautions, (&id, was.as_ref()), "caution", |c| &c.id)
        else {
            return;
        };
        if caution.hazard.is_some() {
            self.safety(&id);
            return;
        }
        put(&mut caution.text, text);
        put(&mut caution.rule, rule);
    }

    /// The words of a safety caution are the book's: a site puts its own beside them.
    fn safety(&mut self, id: &Text) {
        let message = format!("`{id}` is a safety caution: a site may add to it, and changes none");
        let problem = Problem::at(Code::SafetyCaution, self.texts.place(id.span), message);
        self.report.add(problem.help(
            "write a caution of your own in cautions.ron, with the same hazard and standing: it is shown beside the book's",
        ));
    }

    /// The entry that is changed; an unknown one is reported, and a fingerprint that has moved.
    fn find<'b, T>(
        &mut self,
        entries: &'b mut [Spanned<T>],
        (id, was): (&Text, Option<&Text>),
        what: &str,
        name: impl Fn(&T) -> &Text,
    ) -> Option<&'b mut T> {
        let Some(at) = entries.iter().position(|entry| name(&entry.value).text == id.text) else {
            let known = entries.iter().map(|entry| name(&entry.value).text.as_str());
            let message = format!("the book below has no {what} `{id}` to change");
            let problem = Problem::at(Code::UnknownId, self.texts.place(id.span), message);
            self.report.add(near(problem, id, known, &plural(what)));
            return None;
        };
        let entry = entries.get_mut(at)?;
        let now = fingerprint(self.texts, entry.span);
        match was {
            None => {
                let message =
                    format!("this change of `{id}` does not note what it was written against");
                let problem = Problem::at(Code::NoFingerprint, self.texts.place(id.span), message);
                self.report.add(problem.help(format!(
                    "write was: \"{now}\", and you will be told when the book's own entry changes"
                )));
            }
            Some(was) if was.text != now => {
                let message =
                    format!("`{id}` in the book below has changed since this change was written");
                let problem = Problem::at(Code::Moved, self.texts.place(was.span), message)
                    .also(self.texts.place(entry.span.first()), "the entry as it is now")
                    .help(format!("look whether the change still fits, then write was: \"{now}\""));
                self.report.add(problem);
            }
            Some(_) => {}
        }
        Some(&mut entry.value)
    }
}

fn put<T>(to: &mut T, from: Option<T>) {
    if let Some(from) = from {
        *to = from;
    }
}

/// Symptoms and fixes that wait for an answer to a symptom that is switched off would wait for ever:
/// they go too, and that is told.
fn closed_for_good(base: &mut Rules, off: &mut Off, texts: &Texts, report: &mut Report) {
    let waits = |conditions: &[Spanned<Condition>], off: &Off| {
        conditions.iter().find_map(|condition| {
            let asked = condition.value.asks()?;
            off.symptoms.contains(&asked.text).then(|| (condition.span, asked.text.clone()))
        })
    };
    let mut tell = |what: &str, id: &str, (span, asked): (Span, String)| {
        let message = format!("the {what} `{id}` waits for `{asked}`, which is switched off");
        let problem = Problem::at(Code::Unreachable, texts.place(span), message);
        report.add(
            problem.help(format!("switch the {what} off too, in site.ron, so that this is meant")),
        );
    };
    while let Some((at, why)) = base
        .symptoms
        .iter()
        .enumerate()
        .find_map(|(at, symptom)| Some((at, waits(&symptom.only_if, off)?)))
    {
        let symptom = base.symptoms.remove(at);
        tell("symptom", &symptom.id, why);
        off.symptoms.insert(symptom.value.id.text);
    }
    base.fixes.retain(|fix| match waits(&fix.only_if, off) {
        Some(why) => {
            tell("fix", &fix.id, why);
            off.fixes.insert(fix.id.text.clone());
            false
        }
        None => true,
    });
}

/// Takes an entry away. A fix that then cures nothing goes with it.
fn switch_off(base: &mut Rules, which: Which, off: &mut Off, texts: &Texts, report: &mut Report) {
    let mut unknown = |id: &Text, what: &str, known: Vec<&str>| {
        let message = format!("the book below has no {what} `{id}` to switch off");
        report.add(near(
            Problem::at(Code::UnknownId, texts.place(id.span), message),
            id,
            known,
            &plural(what),
        ));
    };
    match which {
        Which::Cause(id) => {
            if !base.causes.iter().any(|cause| cause.id.text == id.text) {
                unknown(&id, "cause", base.causes.iter().map(|c| c.id.text.as_str()).collect());
                return;
            }
            base.causes.retain(|cause| cause.id.text != id.text);
            off.causes.insert(id.text);
            let gone: Vec<String> = base
                .fixes
                .iter()
                .filter(|fix| {
                    !fix.cures.is_empty()
                        && fix.cures.iter().all(|cure| off.causes.contains(&cure.0.text))
                })
                .map(|fix| fix.id.text.clone())
                .collect();
            base.fixes.retain(|fix| !gone.contains(&fix.id.text));
            off.fixes.extend(gone);
        }
        Which::Symptom(id) => {
            if !base.symptoms.iter().any(|symptom| symptom.id.text == id.text) {
                unknown(&id, "symptom", base.symptoms.iter().map(|s| s.id.text.as_str()).collect());
                return;
            }
            base.symptoms.retain(|symptom| symptom.id.text != id.text);
            off.symptoms.insert(id.text);
        }
        Which::Look(id) => {
            if !looks::switch_off(base, &id, off) {
                unknown(&id, "look", base.looks.iter().map(|l| l.id.text.as_str()).collect());
            }
        }
        Which::Fix(id) => {
            if off.fixes.contains(&id.text) {
                return;
            }
            if !base.fixes.iter().any(|fix| fix.id.text == id.text) {
                unknown(&id, "fix", base.fixes.iter().map(|f| f.id.text.as_str()).collect());
                return;
            }
            base.fixes.retain(|fix| fix.id.text != id.text);
            off.fixes.insert(id.text);
        }
    }
}
