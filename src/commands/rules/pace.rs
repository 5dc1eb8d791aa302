//! `rules pace`: how soon and how well the questions find the cause.

use super::{book, called, folder, tell, told};
use crate::cli::{AskingOrders, PaceArgs, ReportFormat};
use crate::commands::progress::Progress;
use crate::commands::{Failed, Streams};
use crate::conveyor;
use crate::exit::Exit;
use crate::proof::against::against;
use crate::proof::draw::On;
use crate::proof::policy::{PolicySettings, simulate};
use crate::proof::walk::Policy;
use crate::show::proof_against::AgainstHead;
use crate::show::proof_policy::{self, PolicyHead, PolicyJson};
use crate::visit::ConveyorFacts;

pub(super) fn run(args: &PaceArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let book = book(args.dir.as_deref(), streams)?;
    let conveyor = match args.conveyor.as_deref().map(conveyor::read) {
        None => None,
        Some(Ok((conveyor, warnings))) => {
            tell(&warnings, streams)?;
            Some(conveyor)
        }
        Some(Err(problems)) => {
            tell(&problems.0, streams)?;
            return Ok(Exit::Usage);
        }
    };
    let facts = conveyor.as_ref().map(ConveyorFacts::from);
    let policies = match args.ways {
        AskingOrders::All => &Policy::ALL[..],
        AskingOrders::Own => &[Policy::OWN][..],
    };
    let setting = PolicySettings {
        visits: args.draws.runs(),
        seed: args.draws.seed,
        on: facts.as_ref().map_or(On::Any, On::This),
        policies,
        other: args.other,
    };
    if let Some(old) = &args.against {
        let before = super::book(folder(Some(old)), streams)?;
        let mut progress = Progress::new(streams.err.bare(), setting.visits, "visits");
        let draws = (setting.visits, setting.seed);
        let came = against(&before, &book, draws, setting.on, &mut |through| {
            progress.through(through);
        });
        drop(progress);
        let called = (called(Some(old)), called(args.dir.as_deref()));
        let head = AgainstHead {
            old: (&before, &called.0),
            new: (&book, &called.1),
            seed: setting.seed,
            what: "visit",
        };
        return told(head, (&came, None), args.draws.format, streams);
    }
    let mut progress = Progress::new(streams.err.bare(), setting.visits, "visits");
    let report = simulate(&book, &setting, &mut |through| progress.through(through));
    drop(progress);
    let name = facts.as_ref().map(|facts| facts.name.as_deref().unwrap_or("without a name"));
    let head = PolicyHead { book: &book, seed: setting.seed, conveyor: name };
    match args.draws.format {
        ReportFormat::Text => {
            let screen = streams.screen();
            streams.out.page(&proof_policy::page(screen, head, &report))?;
        }
        ReportFormat::Json => {
            streams.out.json(&PolicyJson::new(head, &report))?;
        }
    }
    Ok(Exit::Done)
}
