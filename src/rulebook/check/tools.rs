//! Tools: one name each in all fixes, and every tool that a step uses in the list of its fix.

use std::collections::HashMap;

use crate::problem::{Code, near};
use crate::rulebook::model::{Held, Tool};
use crate::rulebook::written::{self, Rules, Step};
use crate::source::Span;
use crate::source::parse::Text;
use crate::trade::MachineState;

use super::hands::phrase;
use super::words::{self, SHORT};
use super::{Desk, hands};

/// The tools of the book; a name or word that stands for two of them is reported.
pub(super) fn tools(rules: &Rules, desk: &mut Desk) -> Vec<Tool> {
    let mut taken: HashMap<String, Span> = HashMap::new();
    let mut tools = Vec::new();
    for entry in &rules.tools {
        for word in std::iter::once(&entry.name).chain(&entry.words) {
            if let Some(first) = taken.insert(word.to_lowercase(), word.span) {
                let problem = desk
                    .problem(
                        Code::TwiceId,
                        word.span,
                        format!("`{word}` stands for a tool already"),
                    )
                    .also(desk.place(first), "here first");
                desk.add(problem);
            }
        }
        tools.push(Tool {
            name: words::plain(&entry.name, SHORT, desk),
            words: entry.words.iter().map(|word| words::plain(word, SHORT, desk)).collect(),
            held: held(entry),
        });
    }
    tools
}

fn held(tool: &written::Tool) -> Held {
    tool.held.map_or(Held::InHand, |held| held.value)
}

/// Holds the tools of a fix against the book's list, and its words against both.
pub(super) fn of_fix(fix: &written::Fix, rules: &Rules, desk: &mut Desk) {
    let running = fix.state.value == MachineState::Running;
    let find = |name: &str| rules.tools.iter().find(|tool| tool.name.text == name);
    for named in &fix.tools {
        match find(named) {
            Some(tool) if running && held(tool) == Held::InHand => {
                refuse_hand_tool(named, desk);
            }
            None if running => refuse_hand_tool(named, desk),
            None if !rules.tools.is_empty() => {
                let problem = desk.problem(
                    Code::ToolName,
                    named.span,
                    format!("`{named}` is not among the tools of the book"),
                );
                let known = rules.tools.iter().map(|tool| tool.name.text.as_str());
                desk.add(near(problem, named, known, "tools").help(
                    "take the book's name, add it to tools.ron, or put what is fitted or used up under parts",
                ));
            }
            Some(_) | None => {}
        }
    }
    for text in fix.steps.iter().flat_map(|step| texts(&step.value)) {
        used(text, fix, rules, running, desk);
    }
    if running {
        let ends = fix.worked.iter().chain(fix.done_when.iter().map(|(text, _)| text));
        ends.for_each(|text| used(text, fix, rules, running, desk));
    }
}

fn refuse_hand_tool(named: &Text, desk: &mut Desk) {
    desk.tell(
        Code::RunningFix,
        named.span,
        format!("`{named}` is held in the hand, and this fix is done on a running machine"),
        "only tools with held: FromOutside in tools.ron may be named here; work for hands is LockedOut",
    );
}

/// A tool that a step speaks of and the fix does not list.
fn used(text: &Text, fix: &written::Fix, rules: &Rules, running: bool, desk: &mut Desk) {
    let listed = |tool: &written::Tool| fix.tools.iter().any(|named| named.text == tool.name.text);
    let words = |tool: &written::Tool| -> Vec<String> {
        std::iter::once(&tool.name).chain(&tool.words).map(|word| word.to_lowercase()).collect()
    };
    let said: Vec<String> =
        rules.tools.iter().filter(|tool| listed(tool)).flat_map(|tool| words(tool)).collect();
    for tool in rules.tools.iter().filter(|tool| !listed(tool)) {
        let words: Vec<String> = words(tool)
            .into_iter()
            .filter(|word| !said.iter().any(|said| said.contains(word.as_str())))
            .collect();
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let Some((start, end)) = phrase(text, &words) else { continue };
        if running && held(tool) == Held::InHand {
            // Words that are known as work for hands are told of with the step.
            if hands::work_for_hands(text).is_none() {
                desk.tell(
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
        desk.tell(
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
