//! Two books on the same conveyors with the same hidden causes, where the belt answers from the model.

use super::draw;
use super::model::Drill;
use super::read::read_files;
use super::trial::{Setting, run, seed_of};
use super::trial_run::Run;
use crate::problem::Report;
use crate::proof::paired::{Against, Came};
use crate::proof::workers;
use crate::rulebook::model::Book;
use crate::source::Texts;
use crate::visit::Diagnosis;

/// What came of it.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialAgainst {
    /// The figures side by side.
    pub figures: Against,
    /// Sides that were named wrongly: by the old book, by the new one.
    pub wrong_ways: (usize, usize),
}

/// Puts the same conveyors right with both books. They are drawn as often as the old one says.
pub fn against(
    old: &Book,
    new: &Book,
    setting: &Setting<'_>,
    progress: &mut dyn FnMut(usize),
) -> TrialAgainst {
    let ran: Vec<Option<(Run, Run)>> = workers::share_out(
        setting.runs,
        || (Diagnosis::new(old), Diagnosis::new(new)),
        |(old, new), number| {
            let seed = seed_of(setting.seed, number);
            let drill = draw::fresh(old, seed).ok()?;
            let same = in_other(&drill, new.book())?;
            Some((run(old, &drill, seed, setting)?, run(new, &same, seed, setting)?))
        },
        progress,
    );
    let left_out = ran.iter().filter(|pair| pair.is_none()).count();
    let ran: Vec<(Run, Run)> = ran.into_iter().flatten().collect();
    let pairs: Vec<(Came, Came)> = ran.iter().map(|(old, new)| (came(old), came(new))).collect();
    let wrong = |run: &Run| run.judged.wrong();
    TrialAgainst {
        figures: Against::of(&pairs, left_out),
        wrong_ways: (
            ran.iter().map(|(old, _)| wrong(old)).sum(),
            ran.iter().map(|(_, new)| wrong(new)).sum(),
        ),
    }
}

/// The same drill in the words of another book; nothing if it has not all that is hidden.
fn in_other(drill: &Drill, book: &Book) -> Option<Drill> {
    let mut texts = Texts::default();
    let file = texts.add("drawn", format!("[{}]", drill.text));
    let mut report = Report::default();
    read_files(book, &texts, &[file], &mut report).pop().filter(|_| !report.has_errors())
}

fn came(run: &Run) -> Came {
    Came {
        right_first: run.right_first(),
        right_in_three: run.right_in_three(),
        ran_true: run.followed.runs_true,
        minutes: run.minutes_to_true(),
    }
}
