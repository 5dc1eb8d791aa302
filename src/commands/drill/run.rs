//! Beginning a run, going on with one, and showing one again.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Duration;

use super::floor::{self, Floor, RunLeft};
use super::turns::{self, Turns};
use super::{DrillBook, Practice, unknown};
use crate::ask::{Ask, Farewell, Prompt, PromptReply, hear_signals};
use crate::cli::{Manner, RunArgs};
use crate::commands::progress::Progress;
use crate::commands::{Failed, Streams, asker, flags, say_store, setting};
use crate::drill::record::{Begun, Record};
use crate::drill::{Done, Drill, World, draw};
use crate::exit::Exit;
use crate::gauge::Gauge;
use crate::kept::OpenRecord;
use crate::show::drill::words::DrillNames;
use crate::show::drill::{list, pages};
use crate::show::gauge as gauge_pages;
use crate::show::page::{Page, Screen};
use crate::show::words::Sides;
use crate::visit::Diagnosis;
use crate::visit::clock::{Clock, SystemClock};
use crate::visit::store::BookMark;

/// Begins a run of the drill that is named, drawn or chosen.
pub(super) fn begin(
    practice: &Practice<'_>,
    wanted: &RunArgs,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let room = practice.room;
    if let Some(wrong) = SystemClock::wrong() {
        streams.complain(&format!("error: {wrong}."))?;
        return Ok(Exit::Usage);
    }
    let farewell = Farewell::default();
    let (drill, ask, screen) = match (&wanted.name, wanted.seed) {
        (Some(name), _) => match room.drill(name) {
            Some(drill) => {
                let (ask, screen) = somebody(wanted.plain.manner(), &farewell, streams);
                (drill.clone(), ask, screen)
            }
            None => return unknown(room, name, streams),
        },
        (None, Some(seed)) => match draw::fresh(&Diagnosis::new(&room.book), seed) {
            Ok(drill) => {
                let (ask, screen) = somebody(wanted.plain.manner(), &farewell, streams);
                (drill, ask, screen)
            }
            Err(why) => {
                streams.complain(&format!("error: {why}"))?;
                return Ok(Exit::Usage);
            }
        },
        (None, None) => {
            let (mut ask, screen) = somebody(wanted.plain.manner(), &farewell, streams);
            match chosen(room, ask.as_mut(), screen) {
                Some(drill) => (drill.clone(), ask, screen),
                None => return Ok(Exit::Done),
            }
        }
    };
    let begun = Begun {
        drill: &drill,
        who: turns::together(wanted.who.as_deref(), wanted.with.as_deref()),
        book: BookMark::new(&room.book),
        now: SystemClock.now(),
    };
    let now = begun.now;
    let kept = match practice.store.begin(|run| kept_as(wanted, Record::begun(run, begun)), now) {
        Ok(kept) => kept,
        Err(error) => return say_store(&error, streams),
    };
    let names = DrillNames::new(&drill);
    let opening = [pages::rules(screen, names.sides()), list::briefing(screen, &drill)];
    let sitting = RunSetting { practice, farewell: &farewell, opening: &opening };
    sitting.go_on(&drill, kept, (ask, screen), streams)
}

/// The record as it is kept: with its time limit; that of an examination is sealed.
fn kept_as(wanted: &RunArgs, record: Record) -> Record {
    let record = Record { limit_minutes: wanted.limit, ..record };
    if wanted.exam { record.sealed() } else { record }
}

/// Goes on with a run; shows one again that is over.
pub(super) fn again(
    practice: &Practice<'_>,
    run: u32,
    manner: Manner,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let (room, store) = (practice.room, practice.store);
    let record = match store.look(run) {
        Ok(record) => record,
        Err(error) => return say_store(&error, streams),
    };
    let drill = match record.drill(&room.book) {
        Ok(drill) => drill,
        Err(problems) => return crate::commands::refuse(&problems, streams),
    };
    if record.ended.is_some() {
        return once_more(room, &record, &drill, streams);
    }
    if let Some(wrong) = SystemClock::wrong() {
        streams.complain(&format!("error: {wrong}."))?;
        return Ok(Exit::Usage);
    }
    let kept = match store.open(run) {
        Ok(kept) => kept,
        Err(error) => return say_store(&error, streams),
    };
    let farewell = Farewell::default();
    let (ask, screen) = somebody(manner, &farewell, streams);
    let mut opening = vec![list::briefing(screen, &drill)];
    if record.book.fingerprint != room.book.fingerprint {
        let page = Page::new(screen)
            .para("The rule book has changed since this run was begun; what was seen may come out differently now.")
            .finish();
        opening.push(page);
    }
    let sitting = RunSetting { practice, farewell: &farewell, opening: &opening };
    sitting.go_on(&drill, kept, (ask, screen), streams)
}

fn somebody(manner: Manner, farewell: &Farewell, streams: &Streams) -> (Box<dyn Ask>, Screen) {
    hear_signals(farewell);
    asker::somebody(manner, streams)
}

/// What a conversation needs besides the run itself.
struct RunSetting<'s> {
    practice: &'s Practice<'s>,
    farewell: &'s Farewell,
    /// The pages before the first move.
    opening: &'s [String],
}

impl RunSetting<'_> {
    fn go_on(
        &self,
        drill: &Drill,
        kept: OpenRecord<Record>,
        (ask, screen): (Box<dyn Ask>, Screen),
        streams: &mut Streams,
    ) -> Result<Exit, Failed> {
        let mut ask = Turns::of(kept.record(), ask, screen, &SystemClock);
        let diagnosis = Diagnosis::new(&self.practice.room.book);
        let again = flags(&[
            ("--rules", self.practice.args.book.rules.as_deref()),
            ("--state", self.practice.args.state.state.as_deref()),
        ]);
        let saved = floor::saved(screen, kept.record().run, &again);
        self.farewell.set(saved.clone());
        let made = while_read(
            |through| kept.record().replay_told(drill, &diagnosis, through),
            || self.opening.iter().try_for_each(|page| floor::read(&mut ask, page)),
            Progress::new(streams.err.bare(), kept.record().moves.len(), "moves made again"),
        );
        let world = match made {
            Ok(Some(world)) => world,
            Ok(None) => return cannot_run(streams),
            Err(gone) => {
                ask.say(&saved);
                return Ok(gone.exit());
            }
        };
        let mut floor = Floor {
            ask: &mut ask,
            screen,
            sides: DrillNames::new(drill).sides().clone(),
            diagnosis: &diagnosis,
            world,
            kept,
            clock: &SystemClock,
            farewell: self.farewell,
            unsaved: None,
            again: &again,
        };
        let ended = floor.converse();
        let page = floor.part();
        floor.ask.say(&page);
        Ok(match ended {
            Err(RunLeft::Interrupted) => Exit::Interrupted,
            _ if floor.unsaved.is_some() => Exit::State,
            Err(gone) => gone.exit(),
            Ok(()) => Exit::Done,
        })
    }
}

/// Makes a run again while the person reads what comes before it: long runs take their time. Who goes away is not
/// made to wait for it.
fn while_read<T: Send>(
    make: impl FnOnce(&mut dyn FnMut(usize) -> bool) -> T + Send,
    read: impl FnOnce() -> Result<(), RunLeft>,
    mut progress: Progress<'_>,
) -> Result<T, RunLeft> {
    let (made, left) = (AtomicUsize::new(0), AtomicBool::new(false));
    std::thread::scope(|scope| {
        let making = scope.spawn(|| {
            make(&mut |number| {
                made.store(number, Ordering::Relaxed);
                !left.load(Ordering::Relaxed)
            })
        });
        read().inspect_err(|_| left.store(true, Ordering::Relaxed))?;
        progress.begin();
        while !making.is_finished() {
            progress.through(made.load(Ordering::Relaxed));
            std::thread::sleep(LOOK_AGAIN);
        }
        Ok(making.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
    })
}

/// So often it is looked whether a run is made again.
const LOOK_AGAIN: Duration = Duration::from_millis(5);

/// A run made again; on a terminal a line tells how far it is, if that takes long.
pub(super) fn made_again<'d>(
    record: &Record,
    drill: &'d Drill,
    diagnosis: &'d Diagnosis<'d>,
    streams: &mut Streams,
) -> Option<World<'d>> {
    let moves = record.moves.len();
    let mut progress = Progress::new(streams.err.bare(), moves, "moves made again");
    record.replay_told(drill, diagnosis, &mut |number| {
        progress.through(number);
        true
    })
}

fn cannot_run(streams: &mut Streams) -> Result<Exit, Failed> {
    streams
        .complain("error: the belt of this drill cannot run. `straybelt rules check` tells why.")?;
    Ok(Exit::Usage)
}

/// A run that is over, move by move.
fn once_more(
    room: &DrillBook,
    record: &Record,
    drill: &Drill,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let screen = streams.screen();
    let diagnosis = Diagnosis::new(&room.book);
    let Some(world) = made_again(record, drill, &diagnosis, streams) else {
        return cannot_run(streams);
    };
    let names = DrillNames::new(drill);
    let words = |what: &crate::drill::Move| names.did(&room.book, what);
    let page = list::briefing(screen, drill)
        + &pages::so_far(screen, &world, &words)
        + &pages::seen(screen, &world, names.sides())
        + &pages::again(screen, &world, record.ended.as_ref());
    streams.out.page(&page)?;
    Ok(Exit::Done)
}

/// Which drill, from the list.
fn chosen<'r>(room: &'r DrillBook, ask: &mut dyn Ask, screen: Screen) -> Option<&'r Drill> {
    let mut page = Page::new(screen);
    page.title("Which drill?");
    for (nth, drill) in room.drills.iter().enumerate() {
        page.item(&format!("{:>2}  ", nth + 1), &drill.title);
    }
    ask.say(&page.finish());
    let ids: Vec<String> = room.drills.iter().map(|drill| drill.id.clone()).collect();
    match ask.choose(&Prompt::new(ids, &[crate::ask::KeyKind::Stop])) {
        PromptReply::Choice(place) => room.drills.get(place),
        PromptReply::Ticked(_) | PromptReply::Key(_) | PromptReply::Lost(_) => None,
    }
}

/// The latest measurement of a run, as its gauge shows it.
pub(super) fn measured(
    screen: Screen,
    world: &World<'_>,
    sides: &Sides,
    gauge: &'static Gauge,
) -> String {
    let (setting, units) = setting::of_visit(world.facts(), world.book());
    let told = gauge_pages::GaugeWording {
        book: world.book(),
        sides,
        units: units.unwrap_or_default(),
        places: None,
    };
    let last = world.steps().last().map(|step| &step.done);
    let Some(Done::Measured(measured)) = last else {
        return String::new();
    };
    let outcome =
        measured.readings().and_then(|(gauge, _, readings)| (gauge.work)(&readings, &setting).ok());
    outcome.map_or_else(String::new, |outcome| {
        gauge_pages::outcome(screen, told, gauge, &outcome) + &pages::readings(screen, gauge)
    })
}
