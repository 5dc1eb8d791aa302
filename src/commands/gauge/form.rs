//! Readings by prompts.

use super::{Bench, worked};
use crate::ask::{Ask, Lost};
use crate::commands::form::{Blank, Filled, Form, KEYS, Keeping};
use crate::conveyor::facts::FactKey;
use crate::conveyor::quantity::{Bare, Seen};
use crate::gauge::given::Gathered;
use crate::gauge::{Gauge, Given, Keyed, Need, Outcome, Readings, Row, Rows, Takes, Wanted, Way};
use crate::show::gauge as pages;
use crate::show::letters::capital;
use crate::show::page::Screen;
use crate::trade::Side;

/// A measurement that was taken by prompts.
pub(in crate::commands) struct MeasuredByPrompts {
    pub(in crate::commands) readings: Readings,
    pub(in crate::commands) outcome: Outcome,
}

/// Says how to measure, asks for the readings and works them out. Readings that make no sense together are asked
/// for again.
///
/// # Errors
/// When the person has gone.
pub(in crate::commands) fn measure(
    ask: &mut dyn Ask,
    screen: Screen,
    bench: &Bench,
    gauge: &'static Gauge,
    way: &'static Way,
) -> Result<MeasuredByPrompts, Lost> {
    fill(&mut Form::new(ask, screen, KEYS), screen, bench, gauge, way)
}

/// The same with every line kept as it is taken, and begun with those that were kept before.
///
/// # Errors
/// When the person has gone, or nothing can be kept any more.
pub(in crate::commands) fn measure_kept(
    keeper: &mut dyn Keeping,
    screen: Screen,
    bench: &Bench,
    (gauge, way): (&'static Gauge, &'static Way),
    taken: Vec<String>,
) -> Result<MeasuredByPrompts, Lost> {
    if !taken.is_empty() {
        let page = pages::kept_lines(screen, bench.told(), gauge, way, &taken);
        keeper.person().say(&page);
    }
    fill(&mut Form::kept(keeper, screen, KEYS, taken), screen, bench, gauge, way)
}

fn fill(
    form: &mut Form,
    screen: Screen,
    bench: &Bench,
    gauge: &'static Gauge,
    way: &'static Way,
) -> Result<MeasuredByPrompts, Lost> {
    let filled = form.fill(|form| {
        let how = pages::how(screen, bench.told(), gauge, way);
        let can_tell = beforehand(bench, gauge, way);
        form.show(|page| {
            page.text(&how).blank();
            if let Some(can_tell) = &can_tell {
                page.para(can_tell).blank();
            }
            page.para(KEYS);
        });
        let gathered = gather(form, bench, way)?;
        match worked(bench, gauge, way, gathered) {
            Ok((readings, outcome)) => Ok(MeasuredByPrompts { readings, outcome }),
            Err(amiss) => {
                form.say(&format!("That does not fit together: {amiss}. Type < and Enter to go back and correct it."));
                // Only going back leads out of here, or leaving.
                form.line("<", &|_| Vec::new(), &|_| Err("Type < to go back one line.".to_owned()))
            }
        }
    });
    filled.map_err(Lost::from)
}

/// Which way it is measured; nothing for a gauge without any.
///
/// # Errors
/// When the person has gone.
pub(in crate::commands) fn choose(
    ask: &mut dyn Ask,
    screen: Screen,
    bench: &Bench,
    gauge: &'static Gauge,
) -> Result<Option<&'static Way>, Lost> {
    chosen(&mut Form::new(ask, screen, KEYS), bench, gauge)
}

/// The same as part of a visit: the choice itself can be left.
///
/// # Errors
/// When the person has gone, or has left the gauge.
pub(in crate::commands) fn choose_kept(
    keeper: &mut dyn Keeping,
    screen: Screen,
    bench: &Bench,
    gauge: &'static Gauge,
) -> Result<Option<&'static Way>, Lost> {
    chosen(&mut Form::kept(keeper, screen, KEYS, Vec::new()), bench, gauge)
}

fn chosen(
    form: &mut Form,
    bench: &Bench,
    gauge: &'static Gauge,
) -> Result<Option<&'static Way>, Lost> {
    if let [only] = gauge.ways {
        return Ok(Some(only));
    }
    let chosen = form.fill(|form| {
        form.show(|page| {
            page.title(gauge.title).para(gauge.about);
            page.blank().para("How is it measured?");
        });
        let ways: Vec<String> = gauge.ways.iter().map(|way| bench.sides.fill(way.title)).collect();
        let at = form.one_of("Number", &ways)?;
        Ok(gauge.ways.get(at))
    });
    chosen.map_err(Lost::from)
}

/// What the readings can tell on this conveyor, as far as its file says.
fn beforehand(bench: &Bench, gauge: &'static Gauge, way: &'static Way) -> Option<String> {
    let mut known = Gathered::default();
    known.fill(way, bench.dimensions);
    let readings =
        Readings { way: way.id, single: known.single, rows: Vec::new(), seen: known.seen };
    pages::can_tell(bench.told(), gauge, &readings, bench.setting)
}

fn gather(form: &mut Form, bench: &Bench, way: &'static Way) -> Filled<Gathered> {
    let mut gathered = Gathered::repeated(bench.repeat);
    let mut known = Vec::new();
    for wanted in way.wanted {
        let from = wanted.from.and_then(|path| (bench.dimensions)(path));
        if let Some(size) = from {
            known.push(format!("{}: {}", bench.sides.fill(wanted.ask), size.words(bench.units)));
            gathered.single.insert(wanted.key, Given::Quantity(size));
        }
        if let Takes::Choice(words) = wanted.takes
            && let Some(said) =
                FactKey::named(wanted.key.as_str()).and_then(|key| bench.setting.facts.get(key))
            && let Some((word, _)) = words.iter().find(|(word, _)| *word == said.value())
        {
            known.push(format!("{} {word}", bench.sides.fill(wanted.ask)));
            gathered.single.insert(wanted.key, Given::Choice(word));
        }
    }
    if !known.is_empty() {
        form.show(|page| {
            page.blank().para("From the conveyor's file:");
            for line in &known {
                page.item(" - ", line);
            }
        });
    }
    // What may be left out comes after what may not.
    let must_first = |need: Need| {
        way.wanted.iter().filter(move |w| (w.need == Need::Must) == (need == Need::Must))
    };
    let mut often = Often::of(bench.repeat);
    let order = must_first(Need::Must).chain(must_first(Need::May("")));
    for wanted in order {
        if gathered.single.contains_key(&wanted.key) {
            continue;
        }
        let put = Put { wanted, before: "", blank: blank(wanted.need) };
        for given in often.taken(form, bench, put)?.unwrap_or_default() {
            gathered.take(wanted.key, given);
        }
    }
    if let Some(rows) = &way.rows {
        table(form, bench, rows, (&mut gathered, &mut often))?;
    }
    gathered.again.set_times(often.times());
    Ok(gathered)
}

/// Whether a reading is taken at the machine, and so may be taken again: no word, and not how far one may be off.
fn measured(wanted: &Wanted) -> bool {
    wanted.takes.kind().is_some() && wanted.need == Need::Must && wanted.from.is_none()
}

/// Which of several readings of the same is asked for.
fn nth_of(nth: u32, times: u32) -> String {
    if times == 1 { String::new() } else { format!("Reading {} of {times}. ", nth + 1) }
}

fn blank(need: Need) -> Blank {
    if need == Need::Must { Blank::Refused } else { Blank::Allowed }
}

/// A reading that is put at a prompt.
#[derive(Clone, Copy)]
struct Put<'p> {
    wanted: &'p Wanted,
    /// What stands before the question.
    before: &'p str,
    blank: Blank,
}

/// A reading as it was typed, with how it was written.
type Typed = (Given, Option<Seen>);

/// How often each reading is taken.
enum Often {
    /// So often, each at a line of its own: `--repeat` said so.
    Lines(u32),
    /// So often, all on one line: as the first was typed. Nothing as long as none was.
    OneLine(Option<usize>),
}

impl Often {
    fn of(repeat: u32) -> Self {
        if repeat > 1 { Self::Lines(repeat) } else { Self::OneLine(None) }
    }

    fn times(&self) -> u32 {
        match self {
            Self::Lines(times) => *times,
            Self::OneLine(times) => times.and_then(|times| times.try_into().ok()).unwrap_or(1),
        }
    }

    /// A reading as often as it is taken; nothing if it may be left out and is.
    fn taken(&mut self, form: &mut Form, bench: &Bench, put: Put) -> Filled<Option<Vec<Typed>>> {
        if !measured(put.wanted) {
            return Ok(one(form, bench, put)?.map(|typed| vec![typed]));
        }
        match self {
            Self::Lines(times) => {
                let mut all = Vec::new();
                for nth in 0..*times {
                    let before = format!("{}{}", put.before, nth_of(nth, *times));
                    let blank = if nth == 0 { put.blank } else { Blank::Refused };
                    let put = Put { before: &before, blank, ..put };
                    match one(form, bench, put)? {
                        Some(typed) => all.push(typed),
                        None => return Ok(None),
                    }
                }
                Ok(Some(all))
            }
            Self::OneLine(times) => {
                let taken = several(form, bench, put, *times)?;
                if let Some(all) = &taken {
                    times.get_or_insert(all.len());
                }
                Ok(taken)
            }
        }
    }
}

/// Why so many readings on one line are not taken.
fn miscounted(count: usize, times: usize) -> Option<String> {
    (count != times).then(|| match times {
        1 => "The readings before were taken once: one number here too.".to_owned(),
        _ => format!("Each is read {times} times here: all on one line, such as 12; 13; 12."),
    })
}

/// One reading; nothing if it may be left out and is.
fn one(form: &mut Form, bench: &Bench, put: Put) -> Filled<Option<Typed>> {
    at_prompt(form, bench, put, &|line| typed(bench, put.wanted, line))
}

/// One reading or several of the same on one line, so many if any were taken before.
fn several(
    form: &mut Form,
    bench: &Bench,
    put: Put,
    times: Option<usize>,
) -> Filled<Option<Vec<Typed>>> {
    at_prompt(form, bench, put, &|line| {
        let all: Result<Vec<Typed>, String> =
            line.split(';').map(|part| typed(bench, put.wanted, part)).collect();
        let all = all?;
        match times.and_then(|times| miscounted(all.len(), times)) {
            Some(why) => Err(why),
            None => Ok(all),
        }
    })
}

/// What was typed for a reading.
fn typed(bench: &Bench, wanted: &Wanted, line: &str) -> Result<Typed, String> {
    let line = meant(bench, wanted.takes, line.trim());
    wanted.takes.read_as(&line, Bare::Of(bench.units)).map_err(|error| {
        let error = capital(&error.to_string());
        format!("{error}. Such as: {}", wanted.takes.example(bench.units))
    })
}

/// Puts a reading and takes a line that `read` makes sense of; nothing if it may be left out and is.
fn at_prompt<T>(
    form: &mut Form,
    bench: &Bench,
    Put { wanted, before, blank }: Put,
    read: &dyn Fn(&str) -> Result<T, String>,
) -> Filled<Option<T>> {
    let told = bench.told();
    let (ask, label) = pages::prompt(told, wanted);
    let ask = format!("{before}{ask}");
    // A question that would be torn where it is typed stands above.
    let label = if form.fits(&ask, &label) {
        format!("{ask} {label}")
    } else {
        form.ask(&ask);
        label
    };
    let help = |_: &str| pages::help(told, wanted);
    form.line(&label, &help, &|line| {
        if line.is_empty() && blank == Blank::Allowed { Ok(None) } else { read(line).map(Some) }
    })
}

/// A side may be typed by the name it has here, a word by as many of its first letters as tell it from the others.
fn meant(bench: &Bench, takes: Takes, line: &str) -> String {
    if let Takes::Choice(words) = takes {
        let typed = line.to_lowercase();
        let mut begin = words.iter().filter(|(word, _)| word.starts_with(&typed));
        if let (Some((only, _)), None) = (begin.next(), begin.next()) {
            return (*only).to_owned();
        }
    }
    if let Takes::Side = takes {
        for side in [Side::Left, Side::Right] {
            if bench.sides.of(side).eq_ignore_ascii_case(line) {
                return side.id().to_owned();
            }
        }
    }
    line.to_owned()
}

fn table(
    form: &mut Form,
    bench: &Bench,
    rows: &Rows,
    (gathered, often): (&mut Gathered, &mut Often),
) -> Filled<()> {
    form.show(|page| {
        page.blank().para(&format!(
            "Now one {} after the other, at least {}. Press Enter at the first line of a {} to end.",
            rows.one, rows.least, rows.one
        ));
    });
    let mut read = 0_usize;
    loop {
        let before = format!("{} {}. ", rows.one, read + 1);
        let mut row = Row::default();
        let mut further: Vec<Row> = Vec::new();
        for (at, column) in rows.columns.iter().enumerate() {
            let may_end = at == 0 && read >= rows.least;
            let blank = if may_end { Blank::Allowed } else { blank(column.need) };
            let put = Put { wanted: column, before: &before, blank };
            // The first column names the thing: it is read once.
            let taken = if at > 0 {
                often.taken(form, bench, put)?
            } else {
                one(form, bench, put)?.map(|typed| vec![typed])
            };
            if taken.is_none() && may_end {
                return Ok(());
            }
            for (nth, (given, seen)) in taken.unwrap_or_default().into_iter().enumerate() {
                if let Some(seen) = seen {
                    gathered.seen.entry(column.key).or_insert(seen);
                }
                if nth == 0 {
                    row.insert(column.key, given);
                } else {
                    further.resize(further.len().max(nth), Row::default());
                    if let Some(row) = further.get_mut(nth - 1) {
                        row.insert(column.key, given);
                    }
                }
            }
        }
        further.resize(often.times().saturating_sub(1) as usize, Row::default());
        // What is read once stands for all readings of this row.
        for again in &mut further {
            for (key, given) in row.iter() {
                if again.given(key).is_none() {
                    again.insert(key, given.clone());
                }
            }
        }
        gathered.rows.push(row);
        gathered.rows.append(&mut further);
        read += 1;
    }
}
