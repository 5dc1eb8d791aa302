//! Tools: one name each in all fixes, and every tool that a step uses in the list of its fix.

use std::collections::{BTreeMap, HashMap};

use crate::problem::{Code, near};
use crate::rulebook::model::{Held, Tool};
use crate::rulebook::rules::Rules;
use crate::rulebook::written::{self, Step};
use crate::source::Span;
use crate::source::parse::{Spanned, Text};
use crate::trade::MachineState;

use super::hands::phrase;
use super::words::{self, LONG, SHORT};
use super::{Diagnostics, hands};

/// The tools of the book; a name or word that stands for two of them is reported.
pub(super) fn tools(rules: &Rules, diagnostics: &mut Diagnostics) -> Vec<Tool> {
    let mut taken: HashMap<String, Span> = HashMap::new();
    let mut tools = Vec::new();
    for entry in &rules.tools {
        for word in std::iter::once(&entry.name).chain(&entry.words) {
            if let Some(first) = taken.insert(word.to_lowercase(), word.span) {
                let problem = diagnostics
                    .problem(
                        Code::TwiceId,
                        word.span,
                        format!("`{word}` stands for a tool already"),
                    )
                    .also(diagnostics.place(first), "here first");
                diagnostics.add(problem);
            }
        }
        tools.push(Tool {
            name: words::plain(&entry.name, SHORT, diagnostics),
            words: entry.words.iter().map(|word| words::plain(word, SHORT, diagnostics)).collect(),
            held: held(entry),
            without: entry
                .without
                .as_ref()
                .map_or_else(String::new, |text| words::plain(text, LONG, diagnostics)),
        });
    }
    tools
}

fn held(tool: &written::Tool) -> Held {
    tool.held.map_or(Held::InHand, |held| held.value)
}

/// Where a tool is not to be held in the hand.
const FIX: &str = "this fix is done on a running machine";
const LOOK: &str = "this look is taken at a running machine";

/// The words for tools, by the word that each begins with: so a text is read once, and not once for every tool.
pub(super) struct Spoken<'r> {
    tools: &'r [Spanned<written::Tool>],
    by_first: HashMap<String, Vec<(usize, String)>>,
}

impl<'r> Spoken<'r> {
    /// Those of the book.
    pub(super) fn new(tools: &'r [Spanned<written::Tool>]) -> Self {
        let mut by_first: HashMap<String, Vec<(usize, String)>> = HashMap::new();
        for (at, tool) in tools.iter().enumerate() {
            for word in said(tool) {
                let first = whole_words(&word).next().unwrap_or_default().to_owned();
                by_first.entry(first).or_default().push((at, word));
            }
        }
        Self { tools, by_first }
    }

    /// The tools that a text speaks of in words that count, each with the place where it does so first.
    fn of(&self, text: &str, counts: impl Fn(&str) -> bool) -> BTreeMap<usize, (usize, usize)> {
        let mut found = BTreeMap::new();
        for first in whole_words(&text.to_lowercase()) {
            for (at, word) in self.by_first.get(first).into_iter().flatten() {
                if let Some(place) = phrase(text, &[word]).filter(|_| counts(word)) {
                    let known = found.entry(*at).or_insert(place);
                    *known = place.min(*known);
                }
            }
        }
        found
    }
}

/// The words for a tool, in lower case.
fn said(tool: &written::Tool) -> impl Iterator<Item = String> {
    std::iter::once(&tool.name).chain(&tool.words).map(|word| word.to_lowercase())
}

fn whole_words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !(c.is_alphanumeric() || c == '-')).filter(|word| !word.is_empty())
}

/// Holds the tools of a fix against the book's list, and its words against both.
pub(super) fn of_fix(fix: &written::Fix, spoken: &Spoken<'_>, diagnostics: &mut Diagnostics) {
    let running = fix.state.value == MachineState::Running;
    let find = |name: &str| spoken.tools.iter().find(|tool| tool.name.text == name);
    let beyond =
        "take the book's name, add it to tools.ron, or put what is fitted or used up under parts";
    for named in &fix.tools {
        match find(named) {
            Some(tool) if running && held(tool) == Held::InHand => {
                refuse_hand_tool(named, FIX, diagnostics);
            }
            None if running => refuse_hand_tool(named, FIX, diagnostics),
            None => unknown_tool(named, spoken.tools, beyond, diagnostics),
            Some(_) => {}
        }
    }
    let listed = |tool: &written::Tool| fix.tools.iter().any(|named| named.text == tool.name.text);
    let listed = spoken.tools.iter().filter(|tool| listed(tool)).flat_map(|tool| said(tool));
    let listed: Vec<String> = listed.collect();
    for text in fix.steps.iter().flat_map(|step| texts(&step.value)) {
        used(text, &listed, spoken, running, diagnostics);
    }
    if running {
        let ends = fix.worked.iter().chain(fix.done_when.iter().map(|(text, _)| text));
        ends.for_each(|text| used(text, &listed, spoken, running, diagnostics));
    }
}

/// Holds the tools of a look against the book's list.
pub(super) fn of_look(
    look: &written::Look,
    tools: &[Spanned<written::Tool>],
    diagnostics: &mut Diagnostics,
) {
    let running = look.state.value == MachineState::Running;
    let beyond = "take the book's name, or add it to tools.ron";
    for named in &look.tools {
        match tools.iter().find(|tool| tool.name.text == named.text) {
            Some(tool) if running && held(tool) == Held::InHand => {
                refuse_hand_tool(named, LOOK, diagnostics);
            }
            None if running && !tools.is_empty() => refuse_hand_tool(named, LOOK, diagnostics),
            None => unknown_tool(named, tools, beyond, diagnostics),
            Some(_) => {}
        }
    }
}

/// A tool that the book does not know. A book without a list of tools knows none.
fn unknown_tool(
    named: &Text,
    tools: &[Spanned<written::Tool>],
    help: &str,
    diagnostics: &mut Diagnostics,
) {
    if tools.is_empty() {
        return;
    }
    let message = format!("`{named}` is not among the tools of the book");
    let problem = diagnostics.problem(Code::ToolName, named.span, message);
    let known = tools.iter().map(|tool| tool.name.text.as_str());
    diagnostics.add(near(problem, named, known, "tools").help(help));
}

fn refuse_hand_tool(named: &Text, whose: &str, diagnostics: &mut Diagnostics) {
    diagnostics.tell(
        Code::RunningFix,
        named.span,
        format!("`{named}` is held in the hand, and {whose}"),
        "only tools with held: FromOutside in tools.ron may be named here; work for hands is LockedOut",
    );
}

/// A tool that a step speaks of and the fix does not list; what a listed one is called names no other.
fn used(
    text: &Text,
    listed: &[String],
    spoken: &Spoken<'_>,
    running: bool,
    diagnostics: &mut Diagnostics,
) {
    let counts = |word: &str| !listed.iter().any(|listed| listed.contains(word));
    for (at, (start, end)) in spoken.of(text, counts) {
        let Some(tool) = spoken.tools.get(at) else { continue };
        if running && held(tool) == Held::InHand {
            // Words that are known as work for hands are told of with the step.
            if hands::work_for_hands(text).is_none() {
                diagnostics.tell(
                    Code::RunningFix,
                    text.part(start..end),
                    format!(
                        "this speaks of `{}`, which is held in the hand, and the belt moves here",
                        tool.name
                    ),
                    "say it without the tool; work for hands belongs in a LockedOut fix",
                );
            }
            continue;
        }
        diagnostics.tell(
            Code::ToolName,
            text.part(start..end),
            format!("a step uses `{}`, which is not in the tools of this fix", tool.name),
            "add it to tools, or say it without the tool",
        );
    }
}

fn texts(step: &Step) -> Vec<&Text> {
    match step {
        Step::Do(a)
        | Step::Mark(a)
        | Step::Tension(a)
        | Step::Jog(a)
        | Step::Restart(a)
        | Step::Watch(a)
        | Step::Wait(a)
        | Step::Load(a)
        | Step::Ask(a) => vec![a],
        Step::MoveEnd { of, by, .. } => vec![of, by],
        Step::Move { what, how } => vec![what, how],
        Step::Raise { what, by, .. } => vec![what, by],
    }
}
