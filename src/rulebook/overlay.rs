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

mod fixes;
mod looks;
mod off;
mod steps;

use std::collections::BTreeMap;
use std::fmt::Write as _;

use sha2::{Digest, Sha256};

use super::check::Off;
use super::model::Held;
use super::rules::Rules;
use super::site::{Change, SiteFile};
use super::written::Common;
use crate::problem::{Code, Problem, Report, near, plural};
use crate::source::parse::{Spanned, Text};
use crate::source::{Span, Texts, lexer};
use crate::trade::MachineState;
use off::{closed_for_good, switch_off};
use steps::{guard, take};

/// Lays the site's rules over the book's. What is switched off is gone from the rules and named in `Off`.
pub fn lay(base: &mut Rules, site: Rules, texts: &Texts, report: &mut Report) -> Off {
    let mut off = Off::default();
    lay_over(base, site, &mut off, texts, report);
    off
}

/// The same over a book that other folders were laid over: `off` is what they did.
pub fn lay_over(
    base: &mut Rules,
    mut site: Rules,
    off: &mut Off,
    texts: &Texts,
    report: &mut Report,
) {
    if let Some(file) = site.site.take() {
        let file = file.value;
        settings(base, &file);
        if let Some(by) = file.rescale {
            rescale(base, by, texts, report);
        }
        twice(&file.change, texts, report);
        for change in file.change {
            let (what, id) = change.value.names();
            let key = (what, id.text.clone());
            if let Some(below) = off.changed.insert(key.clone(), id.span) {
                off.again.push((what, id.text.clone(), below));
            }
            let below = off.changes.get(&key).cloned().unwrap_or_default();
            off.changes.entry(key).or_default().push(change.span);
            Over { below, texts, report }.change(base, off, change);
        }
        for which in file.switch_off {
            switch_off(base, which, off, texts, report);
        }
        closed_for_good(base, off, texts, report);
    }
    base.broken.append(std::mem::take(&mut site.broken));
    looks::append(base, std::mem::take(&mut site.looks), off);
    looks::never_early(base, off);
    base.symptoms.append(&mut site.symptoms);
    base.causes.append(&mut site.causes);
    base.fixes.append(&mut site.fixes);
    base.cautions.append(&mut site.cautions);
    base.sources.append(&mut site.sources);
    base.glossary.append(&mut site.glossary);
    only_in_hand(&site, texts, report);
    base.tools.append(&mut site.tools);
    for (what, id) in site.gauges.iter().flat_map(|file| file.value.names()) {
        off.changed.insert((what, id.text.clone()), id.span);
    }
    base.gauges.append(&mut site.gauges);
    base.stop_now.append(&mut site.stop_now);
    if site.edge_room.is_some() {
        base.edge_room = site.edge_room;
    }
}

/// That an entry is changed twice: nobody sees which of the two holds.
fn twice(changes: &[Spanned<Change>], texts: &Texts, report: &mut Report) {
    let mut seen: BTreeMap<(&str, &str), Span> = BTreeMap::new();
    for change in changes {
        let (what, id) = change.value.names();
        if let Some(first) = seen.insert((what, &id.text), id.span) {
            let message = format!("the {what} `{id}` is changed a second time");
            let problem = Problem::at(Code::TwiceNamed, texts.place(id.span), message)
                .also(texts.place(first), "changed here first");
            report.add(problem.help("make one change of the two"));
        }
    }
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
    fingerprint_of(texts, &[entry])
}

/// The fingerprint of an entry and of the changes that folders below have made in it.
fn fingerprint_of(texts: &Texts, parts: &[Span]) -> String {
    let parts: Vec<String> = parts.iter().map(|part| lexer::bare(texts.slice(*part))).collect();
    let digest = Sha256::digest(parts.join(" ").as_bytes());
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

/// How much less common the causes of the book may be taken.
const RESCALE: std::ops::RangeInclusive<f64> = 0.2..=1.0;

/// Makes room for a site's own causes: those of the book are taken as so many times as common.
fn rescale(base: &mut Rules, by: Spanned<f64>, texts: &Texts, report: &mut Report) {
    if !RESCALE.contains(&by.value) {
        let message = format!("{} is out of range for rescale", by.value);
        let problem = Problem::at(Code::NumberRange, texts.place(by.span), message);
        report.add(problem.help("write a number from 0.2 to 1, such as 0.95"));
        return;
    }
    let Some(book) = &base.book else { return };
    let words = &book.value.how_common;
    let scaled = |common: &mut Spanned<Common>| {
        // No prior is below this.
        common.value = Common::Chance((words.of(common.value) * by.value).max(0.0001));
    };
    for cause in &mut base.causes {
        scaled(&mut cause.value.how_common);
        cause.value.on.iter_mut().for_each(|on| scaled(&mut on.1));
    }
    base.rescaled = Some(by.value);
}

struct Over<'t, 'r> {
    /// The changes that folders below have made in the entry.
    below: Vec<Span>,
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
            only_if,
            drop_signs,
            drop_mistaken_for,
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
        let mut dropped = Vec::new();
        let missing = take(&mut cause.signs, &drop_signs, "sign on", |sign| sign.symptom());
        let mistaken = &mut cause.mistaken_for;
        dropped.extend(take(mistaken, &drop_mistaken_for, "mistaken_for", |id| id));
        cause.mistaken_for.extend(mistaken_for);
        put(&mut cause.only_if, only_if);
        // A link may stand with the symptom as well.
        dropped.extend(missing.into_iter().filter(|(symptom, _)| {
            let symptoms = base.symptoms.iter_mut().find(|known| known.id.text == symptom.text);
            symptoms.is_none_or(|symptom| {
                let links = &mut symptom.value.seen_with;
                let before = links.len();
                links.retain(|seen| seen.0.text != id.text);
                links.len() == before
            })
        }));
        self.missing(&id, dropped);
    }

    fn change_symptom(&mut self, base: &mut Rules, change: Change) {
        let Change::Symptom {
            id,
            was,
            ask,
            look,
            why,
            minutes,
            leak,
            says,
            tools,
            seen_with,
            state,
            only_if,
            drop_tools,
            drop_seen_with,
        } = change
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
        let mut gone = take(&mut symptom.tools, &drop_tools, "tool", |tool| tool);
        let links = &mut symptom.seen_with;
        gone.extend(take(links, &drop_seen_with, "link to", |seen| &seen.0));
        symptom.tools.extend(tools);
        put(&mut symptom.only_if, only_if);
        let looser = state.filter(|state| guard(state.value) < guard(symptom.state));
        if looser.is_none() {
            put(&mut symptom.state, state.map(|state| state.value));
        }
        self.missing(&id, gone);
        self.looser(&id, looser);
        let linked: Vec<String> = seen_with.iter().map(|seen| seen.0.text.clone()).collect();
        symptom.seen_with.extend(seen_with);
        // A link from the symptom's side stands instead of the cause's own sign on it.
        for cause in base.causes.iter_mut().filter(|cause| linked.contains(&cause.id.text)) {
            cause.value.signs.retain(|sign| sign.symptom().text != id.text);
        }
    }

    fn change_caution(&mut self, base: &mut Rules, change: Change) {
        let Change::Caution { id, was, text, rule, only_if } = change else { return };
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
        put(&mut caution.only_if, only_if);
    }

    /// What was to be taken out and is not there.
    fn missing(&mut self, of: &Text, missing: Vec<(Text, &'static str)>) {
        for (id, what) in missing {
            let message = format!("`{of}` has no {what} `{id}` to take out");
            let problem = Problem::at(Code::UnknownId, self.texts.place(id.span), message);
            self.report.add(problem.help("look at the entry with `straybelt rules show`"));
        }
    }

    /// A state of the machine that is less safe than the book's.
    fn looser(&mut self, of: &Text, looser: Option<Spanned<MachineState>>) {
        let Some(state) = looser else { return };
        let message = format!("the book has `{of}` in a safer state than {:?}", state.value);
        let problem = Problem::at(Code::SafetyCaution, self.texts.place(state.span), message);
        self.report.add(problem.help(
            "a site may ask for a safer state, Running or LockedOut, never for a less safe one",
        ));
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
        let parts: Vec<Span> =
            std::iter::once(entry.span).chain(self.below.iter().copied()).collect();
        let now = fingerprint_of(self.texts, &parts);
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
                    .also(
                        self.texts.place(parts.last().unwrap_or(&entry.span).first()),
                        "the entry as it is now",
                    )
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
