//! The steps of a fix: what moves is marked before, the belt is moved by steps of their own kind alone, and a running
//! machine is watched, never touched.

use crate::problem::Code;
use crate::rulebook::model::{Observed, Step, Work};
use crate::rulebook::written;
use crate::source::Span;
use crate::source::parse::{Spanned, Text};
use crate::trade::MachineState;

use super::Diagnostics;
use super::hands;
use super::words::{self, LONG};

/// The work of a fix. A step of the wrong kind is reported and left out, so what comes out is of one kind.
pub(super) fn work(fix: &written::Fix, diagnostics: &mut Diagnostics) -> Work {
    if fix.steps.is_empty() {
        diagnostics.tell(
            Code::EmptyText,
            fix.id.span,
            format!("the fix `{}` has no steps", fix.id),
            "write steps: [Do(\"...\")]",
        );
    }
    match fix.state.value {
        MachineState::Running => Work::Running(running(fix, diagnostics)),
        MachineState::LockedOut => Work::LockedOut(locked_out(fix, diagnostics)),
        MachineState::Anywhere => {
            diagnostics.tell(
                Code::RunningFix,
                fix.state.span,
                "a fix is Running or LockedOut",
                "write LockedOut, unless the work is only to watch, wait, load or ask",
            );
            Work::LockedOut(locked_out(fix, diagnostics))
        }
    }
}

fn running(fix: &written::Fix, diagnostics: &mut Diagnostics) -> Vec<Observed> {
    use written::Step as W;
    let mut steps = Vec::new();
    for step in &fix.steps {
        let (text, make): (&Text, fn(String) -> Observed) = match &step.value {
            W::Watch(text) => (text, Observed::Watch),
            W::Wait(text) => (text, Observed::Wait),
            W::Load(text) => (text, Observed::Load),
            W::Ask(text) => (text, Observed::Ask),
            other => {
                diagnostics.tell(
                    Code::RunningFix,
                    step.span,
                    format!(
                        "`{}` is work for hands, and this fix is done on a running machine",
                        word(other)
                    ),
                    "make the fix LockedOut, or write Watch, Wait, Load or Ask",
                );
                continue;
            }
        };
        hands::near_moving_belt(text, diagnostics);
        steps.push(make(words::shown(text, LONG, diagnostics)));
    }
    for text in fix.worked.iter().chain(fix.done_when.iter().map(|(text, _)| text)) {
        hands::near_moving_belt(text, diagnostics);
    }
    steps
}

fn locked_out(fix: &written::Fix, diagnostics: &mut Diagnostics) -> Vec<Step> {
    use written::Step as W;
    let mut marked = Marked(false);
    let mut steps = Vec::new();
    for step in &fix.steps {
        let still = |text: &Text, diagnostics: &mut Diagnostics| {
            hands::moves_the_belt(text, diagnostics);
            words::shown(text, LONG, diagnostics)
        };
        steps.push(match &step.value {
            W::Do(what) => Step::Do(still(what, diagnostics)),
            W::Mark(what) => {
                marked = Marked(true);
                Step::Mark(still(what, diagnostics))
            }
            W::MoveEnd { of, end, toward, by } => {
                marked.asked_for(step.span, diagnostics);
                Step::MoveEnd {
                    of: still(of, diagnostics),
                    end: *end,
                    toward: *toward,
                    by: still(by, diagnostics),
                }
            }
            W::Move { what, how } => {
                marked.asked_for(step.span, diagnostics);
                Step::Move { what: still(what, diagnostics), how: still(how, diagnostics) }
            }
            W::Raise { what, end, by } => {
                marked.asked_for(step.span, diagnostics);
                Step::Raise { what: still(what, diagnostics), end: *end, by: still(by, diagnostics) }
            }
            W::Tension(what) => Step::Tension(still(what, diagnostics)),
            W::Jog(order) => Step::Jog(order_text(order, diagnostics)),
            W::Restart(order) => Step::Restart(order_text(order, diagnostics)),
            W::Watch(_) | W::Wait(_) | W::Load(_) | W::Ask(_) => {
                diagnostics.tell(
                    Code::RunningFix,
                    step.span,
                    format!("`{}` is a step of a running machine, and this fix is locked out", word(&step.value)),
                    "write Do, or Restart where the belt must run and be watched in the middle of the job",
                );
                continue;
            }
        });
    }
    ends_at_rest(fix, diagnostics);
    steps
}

/// The words of a step that moves the belt: it is given back before, so no hand is at it.
fn order_text(text: &Text, diagnostics: &mut Diagnostics) -> String {
    hands::near_moving_belt(text, diagnostics);
    words::shown(text, LONG, diagnostics)
}

/// After the last step the program gives the machine back, has it run and watched: a fix does not do so itself.
fn ends_at_rest(fix: &written::Fix, diagnostics: &mut Diagnostics) {
    if let Some(Spanned { value: written::Step::Jog(_) | written::Step::Restart(_), span }) =
        fix.steps.last()
    {
        diagnostics.tell(
            Code::MovesBelt,
            *span,
            "the last step of a fix moves the belt",
            "take it out: after the work the program has the belt given back, run and watched",
        );
    }
}

/// Whether an old position was marked.
struct Marked(bool);

impl Marked {
    fn asked_for(&mut self, span: Span, diagnostics: &mut Diagnostics) {
        if !self.0 {
            diagnostics.tell(
                Code::NoMark,
                span,
                "something is moved here before its old position is marked",
                "put a Mark(\"what to mark and note\") before it",
            );
            self.0 = true;
        }
    }
}

fn word(step: &written::Step) -> &'static str {
    use written::Step as W;
    match step {
        W::Do(_) => "Do",
        W::Mark(_) => "Mark",
        W::MoveEnd { .. } => "MoveEnd",
        W::Move { .. } => "Move",
        W::Raise { .. } => "Raise",
        W::Tension(_) => "Tension",
        W::Jog(_) => "Jog",
        W::Restart(_) => "Restart",
        W::Watch(_) => "Watch",
        W::Wait(_) => "Wait",
        W::Load(_) => "Load",
        W::Ask(_) => "Ask",
    }
}
