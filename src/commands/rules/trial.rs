//! `rules trial`: how the rule book does on conveyors drawn from the belt-line model.

use super::{book, called, folder, told};
use crate::cli::{ReportFormat, TrialArgs};
use crate::commands::progress::Progress;
use crate::commands::{Failed, Streams};
use crate::drill::eyes::Eyes;
use crate::drill::trial::{Setting, trial};
use crate::drill::trial_against;
use crate::exit::Exit;
use crate::show::proof_against::AgainstHead;
use crate::show::proof_trial::{self, TrialHead, TrialJson};
use crate::show::ways;

pub(super) fn run(args: &TrialArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let book = book(args.rules.as_deref(), streams)?;
    let setting = Setting {
        runs: args.draws.runs(),
        seed: args.draws.seed,
        eyes: Eyes { unsure: args.unsure, miss: args.miss },
        other: args.other,
        words: &ways::said,
    };
    if let Some(old) = &args.against {
        let before = super::book(folder(Some(old)), streams)?;
        let mut progress = Progress::new(streams.err.bare(), setting.runs, "conveyors");
        let came = trial_against::against(&before, &book, &setting, &mut |through| {
            progress.through(through);
        });
        drop(progress);
        let called = (called(Some(old)), called(args.rules.as_deref()));
        let head = AgainstHead {
            old: (&before, &called.0),
            new: (&book, &called.1),
            seed: setting.seed,
            what: "conveyor",
        };
        return told(head, (&came.figures, Some(came.wrong_ways)), args.draws.format, streams);
    }
    let mut progress = Progress::new(streams.err.bare(), setting.runs, "conveyors");
    let report = trial(&book, &setting, &mut |through| progress.through(through));
    drop(progress);
    let head =
        TrialHead { book: &book, seed: setting.seed, eyes: setting.eyes, other: setting.other };
    match args.draws.format {
        ReportFormat::Text => {
            let screen = streams.screen();
            streams.out.page(&proof_trial::page(screen, head, &report))?;
        }
        ReportFormat::Json => {
            streams.out.json(&TrialJson::new(head, &report))?;
        }
    }
    Ok(Exit::Done)
}
