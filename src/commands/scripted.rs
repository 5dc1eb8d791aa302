//! `diagnose --answers`: one finding from a file, for scripts and other programs.

use std::io::{self, Read, Write};
use std::path::Path;

use super::{Failed, Streams, book, found, refuse, setting};
use crate::cli::{DiagnoseArgs, FindingFormat};
use crate::conveyor::{self, Conveyor, ConveyorSize};
use crate::exit::Exit;
use crate::problem::{Code, Problem, Problems};
use crate::rulebook::model::{Book, RoomMeans};
use crate::show::amounts::Amounts;
use crate::show::finding_json::finding_json;
use crate::show::may_it_run;
use crate::show::nothing_left::{self, LookedBack};
use crate::show::opening;
use crate::show::page::Screen;
use crate::show::words::{Known, Sides};
use crate::show::work::{self, PlanLength};
use crate::show::{act, belief};
use crate::source::{FILE_LIMIT, Place};
use crate::visit::answers::{self, Answers};
use crate::visit::{Diagnosis, Finding, Fits, Observations};

/// Prints the finding that follows from the answers in `file` (`-`: standard input).
///
/// # Errors
/// If the output cannot be written.
pub(super) fn run(args: &DiagnoseArgs, file: &Path, streams: &mut Streams) -> Result<Exit, Failed> {
    let book = book(args.book.rules.as_deref(), streams)?;
    let named = args.conveyor.as_deref();
    let named = named.map(|path| found::conveyor(path, args.state.state.as_deref(), streams));
    let conveyor = match named.transpose()?.as_deref().map(conveyor::read).transpose() {
        Ok(read) => read.unwrap_or_default().0,
        Err(problems) => return refuse(&problems, streams),
    };
    let answers = if file.as_os_str() == "-" {
        standard_input().and_then(|text| answers::parse(&book, "standard input", text))
    } else {
        answers::read(&book, file)
    };
    match answers {
        Ok(answers) => finding(&book, &conveyor, &answers, args.format, streams),
        Err(problems) => refuse(&problems, streams),
    }
}

fn finding(
    book: &Book,
    conveyor: &Conveyor,
    answers: &Answers,
    format: FindingFormat,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let book = &book.on(conveyor.facts(), ConveyorSize::from(conveyor.dimensions()));
    let diagnosis = Diagnosis::new(book);
    let observed = Observations {
        size: ConveyorSize::from(conveyor.dimensions()),
        ..answers.observed.clone()
    };
    let finding = diagnosis.finding(conveyor.facts(), &observed);
    let sides = conveyor.sides();
    let sides = Sides::named(sides.left.as_deref(), sides.right.as_deref());
    let amounts = Amounts {
        own_limits: setting::of(conveyor).0.with_rules(book.rule_sizes()).own_limits(),
        units: conveyor.units().unwrap_or_default(),
        ..Amounts::default()
    };
    let known = Known::new(book, conveyor.facts(), &sides, &finding.latest)
        .after(&finding.observed)
        .with_amounts(&amounts);
    match format {
        FindingFormat::Json => {
            streams
                .out
                .write_all(finding_json(&diagnosis, &finding, &known, answers).as_bytes())?;
        }
        FindingFormat::Text => {
            let screen = streams.screen();
            let pages = before_all(screen, &known, answers).unwrap_or_else(|| {
                let room = answers.edge_room.and_then(|at| book.edge_room.answers.get(at));
                let room = room.map(|answer| answer.means);
                may_it_run::page(screen, &known, &finding, room, &[])
                    + &text(screen, &diagnosis, &finding, &known)
            });
            streams.out.page(&pages)?;
        }
    }
    Ok(Exit::Done)
}

/// What stands before causes and plans: something that must stop everything, or a belt that is best left
/// alone. As in the conversation, no work is offered with it.
fn before_all(screen: Screen, known: &Known, answers: &Answers) -> Option<String> {
    let (book, sides) = (known.book(), known.sides());
    let stops = answers.stop_now.iter();
    let stops: Vec<_> = stops.filter_map(|&at| book.stop_now.get(at)).collect();
    if !stops.is_empty() {
        let pages = stops.iter().map(|stop| {
            opening::stop_now(screen, sides, stop)
                + &opening::stop_then(screen, (book, known.facts()), sides, stop)
        });
        return Some(pages.collect());
    }
    let room = answers.edge_room?;
    let means = book.edge_room.answers.get(room)?.means;
    (means == RoomMeans::LeaveIt).then(|| opening::leave_it(screen, sides, &book.edge_room))
}

/// The pages that the conversation shows at its end.
fn text(screen: Screen, diagnosis: &Diagnosis, finding: &Finding, known: &Known) -> String {
    let why = |cause| diagnosis.why(finding, cause);
    let mut pages = belief::finding(screen, known, finding, &why);
    let misfit = diagnosis.fits(finding).filter(Fits::is_bad);
    if let Some(fits) = misfit {
        pages.push_str(&belief::misfit(screen, known, &fits));
    }
    let unclear = diagnosis.unclear(finding);
    if let Some(unclear) = &unclear {
        pages.push_str(&act::unclear(screen, known, unclear));
    }
    if finding.plan.batches.is_empty() {
        let waits = unclear.is_some_and(|unclear| !unclear.held_back.is_empty());
        let back = LookedBack::default().with_work_that_waits(waits);
        pages.push_str(&nothing_left::page(screen, known, finding, back));
    } else {
        pages.push_str(&work::plan(screen, known, &finding.plan, PlanLength::Whole));
    }
    pages
}

/// Standard input as text, of bounded size.
fn standard_input() -> Result<String, Problems> {
    let refused = |code, message: String| {
        let place = Place::file("standard input");
        Problems(vec![Problem::at(code, place, message)])
    };
    let mut bytes = Vec::new();
    let limit = u64::try_from(FILE_LIMIT).unwrap_or(u64::MAX);
    let read = io::stdin().take(limit + 1).read_to_end(&mut bytes);
    if let Err(error) = read {
        return Err(refused(Code::Unreadable, format!("it cannot be read: {error}")));
    }
    if bytes.len() > FILE_LIMIT {
        let message = format!("more than {FILE_LIMIT} bytes are not read");
        return Err(refused(Code::TooLarge, message));
    }
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        refused(Code::Encoding, format!("it is not UTF-8 text: byte {} is wrong", at + 1))
    })
}
