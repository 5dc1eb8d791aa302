//! Gauges: what to measure and how, what came of it, as pages and as JSON.

mod json;
mod plot;
mod reading_errors;
mod result;
mod understood;

pub use json::document;
pub use reading_errors::errors_set;
pub use result::{outcome, price_of_steering};
pub use understood::understood;

use super::page::{Page, Screen};
use super::words::{Known, Sides};
use crate::conveyor::quantity::{self, Quantity};
use crate::gauge::{
    Amiss, Gauge, Mark, Need, Piece, Readings, SetAt, Setting, Takes, Wanted, Way, Words,
};
use crate::rulebook::index::{AnswerAt, SymptomAt};
use crate::rulebook::model::{Book, Source, SourceEntry};
use crate::stream::paint::Ink;
use crate::trade::{Basis, MachineState, Units};

/// For whom a measurement is put into words.
#[derive(Clone, Copy)]
pub struct GaugeWording<'a> {
    /// The book, whose sources marks name.
    pub book: &'a Book,
    /// What the sides are called.
    pub sides: &'a Sides,
    /// The reader's units.
    pub units: Units,
    /// The unit that places along the conveyor were given in, if one was.
    pub places: Option<&'static str>,
}

impl GaugeWording<'_> {
    /// A sentence with its sides and quantities filled in.
    pub fn words(&self, words: &Words) -> String {
        words
            .0
            .iter()
            .map(|piece| match piece {
                Piece::Text(text) => self.sides.fill(text),
                Piece::Side(side) => self.sides.of(*side).to_owned(),
                Piece::Quantity(quantity) => quantity.words(self.units),
                Piece::Place(metres) => self.place(*metres),
            })
            .collect()
    }

    /// The same with places in the unit that the readings gave them in.
    #[must_use]
    pub fn placed(self, way: &Way, readings: &Readings) -> Self {
        let columns = way.rows.as_ref().map_or(&[][..], |rows| rows.columns);
        let mut along = columns
            .iter()
            .chain(way.wanted)
            .filter(|wanted| wanted.takes.kind() == Some(quantity::Kind::Distance));
        let places = along.find_map(|wanted| readings.seen.get(&wanted.key)).map(|seen| seen.unit);
        Self { places, ..self }
    }

    fn place(&self, metres: f64) -> String {
        match self.places {
            Some(unit) => {
                let size = Quantity::of(quantity::Kind::Distance, metres);
                let seen = quantity::Seen { unit, print: None };
                quantity::as_seen(size, quantity::Kind::Distance, &seen)
            }
            None => quantity::place_words(metres, self.units),
        }
    }

    /// What a number rests on.
    pub fn mark(&self, mark: Mark) -> String {
        match mark {
            Mark::Rests(basis) => self.basis(&basis, |id| {
                self.book.sources.values().find(|entry| entry.id == *id).ok_or(*id)
            }),
            Mark::Site => "set by this site".to_owned(),
            Mark::Rules(at) => match self.source_set(at) {
                Some(source) => {
                    let rests = self.basis(source, |at| Ok(&self.book.sources[*at]));
                    format!("set by this site's rules: {rests}")
                }
                None => "set by this site's rules".to_owned(),
            },
        }
    }

    /// What a size rests on that the rule files set.
    pub fn source_set(&self, at: SetAt) -> Option<&Source> {
        self.book.gauge_sizes.get(at.0).map(|set| &set.source)
    }

    /// What a number rests on in words. `entry` finds a published source, or has a name for it.
    fn basis<'s, S, T: std::fmt::Display>(
        &'s self,
        basis: &'s Basis<S, T>,
        entry: impl Fn(&'s S) -> Result<&'s SourceEntry, &'s str>,
    ) -> String {
        match basis {
            Basis::Published(source, place) => {
                let named = match entry(source) {
                    Ok(entry) => (entry.short.as_str(), format!(" (grade {:?})", entry.grade)),
                    Err(name) => (name, String::new()),
                };
                let place = place.to_string();
                let place = if place.is_empty() { place } else { format!(", {place}") };
                format!("{}{place}{}", named.0, named.1)
            }
            Basis::CommonPractice => "common practice, no published source".to_owned(),
            Basis::Memory => "from memory, unverified".to_owned(),
            Basis::Derived(from) => format!("derived from: {from}"),
        }
    }

    /// What is amiss with readings, with its place in them.
    pub fn amiss(&self, amiss: &Amiss, way: &Way) -> String {
        let mut place = String::new();
        if let Some(row) = amiss.row {
            let one = way.rows.as_ref().map_or("row", |rows| rows.one);
            place.push_str(&format!("{one} {}", row + 1));
        }
        if let Some(key) = amiss.key {
            if !place.is_empty() {
                place.push_str(", ");
            }
            place.push_str(key.as_str());
        }
        if !place.is_empty() {
            place.push_str(": ");
        }
        // It stands within a sentence, so its own full stop goes.
        place + self.words(&amiss.words).trim_end_matches('.')
    }
}

/// All gauges with what each tells.
pub fn list(screen: Screen, gauges: &[&Gauge]) -> String {
    let mut page = Page::new(screen);
    page.title("Gauges: measurements worked out");
    for gauge in gauges {
        page.item_in(Ink::Strong, "", gauge.id);
        page.item("    ", gauge.about);
    }
    page.blank();
    page.para("straybelt gauge NAME asks for the readings. straybelt gauge NAME --help names the flags that give them at once.");
    page.finish()
}

/// What readings of this size can tell, said before they are taken; nothing where that cannot be said yet.
pub fn can_tell(
    told: GaugeWording,
    gauge: &Gauge,
    readings: &Readings,
    setting: &Setting,
) -> Option<String> {
    (gauge.foretell)(readings, setting).map(|can_tell| told.words(&can_tell.words()))
}

/// What to do before the readings are typed.
pub fn how(screen: Screen, told: GaugeWording, gauge: &Gauge, way: &Way) -> String {
    let mut page = Page::new(screen);
    page.title(gauge.title);
    page.para(gauge.about);
    if gauge.ways.len() > 1 {
        page.para(&format!("Measured: {}.", told.sides.fill(way.title)));
    }
    page.blank();
    page.para_in(Ink::Warn, state_words(way.state));
    if !way.tools.is_empty() {
        page.item("Take: ", &way.tools.join(", "));
    }
    if !way.drawing.is_empty() {
        page.blank();
        page.art(way.drawing.iter().copied());
        page.para_in(
            Ink::Faint,
            &told
                .sides
                .legend()
                .unwrap_or_else(|| "L left, R right, looking from tail to head.".to_owned()),
        );
    }
    page.blank();
    for (number, step) in way.how.iter().enumerate() {
        page.item(&format!(" {}. ", number + 1), &told.sides.fill(step));
    }
    page.finish()
}

/// Said when a measurement goes on after a break: how it is done, and the lines that were kept.
pub fn kept_lines(
    screen: Screen,
    told: GaugeWording,
    gauge: &Gauge,
    way: &Way,
    lines: &[String],
) -> String {
    let mut page = Page::new(screen);
    page.text(&how(screen, told, gauge, way))
        .blank()
        .head("Going on from where you stopped. Kept so far:");
    for (place, line) in lines.iter().enumerate() {
        let said = if line.is_empty() { "(left out)" } else { line };
        page.item(&format!("{:>3}  ", place + 1), said);
    }
    page.para(LINE_KEYS);
    page.finish()
}

/// What may be typed at every line of a gauge.
pub const LINE_KEYS: &str = "At every line: ? for help, < for one line back, Ctrl-C to leave.";

/// What the state of the machine asks of whoever measures.
fn state_words(state: MachineState) -> &'static str {
    match state {
        MachineState::Anywhere => "Needs nothing from the machine. You know it or can look it up.",
        MachineState::Running => {
            "While it runs, from outside the guards. Touch nothing, reach over nothing, keep clear of nip points."
        }
        MachineState::LockedOut => {
            "Only locked out: stop, isolate, lock, tag, try. Stored energy (take-up weight, belt tension, slope) is released or blocked. Your site's procedure and local rules come first."
        }
    }
}

/// A reading that is asked for: the question, and what stands where it is typed (the unit of a bare number, the
/// words on offer).
pub fn prompt(told: GaugeWording, wanted: &Wanted) -> (String, String) {
    let mut ask = told.sides.fill(wanted.ask);
    if let Some(without) = reading_errors::without(told, wanted) {
        ask.push_str(&format!(" (Enter: {without})"));
    }
    let unit = wanted.takes.kind().map_or("", |kind| quantity::unit(kind, told.units));
    let label = match wanted.takes {
        _ if !unit.is_empty() => format!("[{unit}]"),
        Takes::Choice(words) => {
            let words: Vec<String> = words
                .iter()
                .enumerate()
                .map(|(at, (word, _))| format!("{} {word}", at + 1))
                .collect();
            words.join(", ")
        }
        Takes::Side => {
            let (left, right) = (&told.sides.left, &told.sides.right);
            format!("{left}/{right}").to_lowercase()
        }
        Takes::Count => "Number".to_owned(),
        _ => "Name".to_owned(),
    };
    (ask, label)
}

/// What may be typed for a reading, and what happens without it.
pub fn help(told: GaugeWording, wanted: &Wanted) -> Vec<String> {
    let mut lines = match wanted.takes {
        Takes::Choice(words) => words
            .iter()
            .enumerate()
            .map(|(at, (word, means))| format!("{} {word}: {}", at + 1, told.sides.fill(means)))
            .collect(),
        _ => vec![format!("Such as {}.", wanted.takes.example(told.units))],
    };
    if let Some(without) = reading_errors::without(told, wanted) {
        lines.push(format!("Press Enter to leave it out: {without}."));
    }
    if wanted.takes.kind().is_some() {
        if wanted.need == Need::Must && wanted.from.is_none() {
            lines.push("Read several times: all on one line, such as 12; 13; 12. The mean counts; the spread tells the error.".to_owned());
        }
        lines.push("How sizes are written, at every gauge:".to_owned());
        lines.extend(quantity::WRITTEN.iter().map(|line| (*line).to_owned()));
    }
    lines
}

/// The answers that a measurement gives, each with its question.
pub fn answers(known: &Known, answers: &[(SymptomAt, Option<AnswerAt>)]) -> String {
    let lines: Vec<String> = answers
        .iter()
        .map(|(symptom, answer)| {
            let symptom = &known.book().symptoms[*symptom];
            let says = match answer {
                Some(answer) => known.fill(&symptom.answers[*answer].says),
                None => "no clear answer, so it counts neither way".to_owned(),
            };
            format!("{} - {says}.", known.fill(&symptom.ask))
        })
        .collect();
    lines.join(" ")
}

/// Which questions of the rule book a measurement answers, below its result.
pub fn answered(
    screen: Screen,
    told: GaugeWording,
    answers: &[(SymptomAt, Option<AnswerAt>)],
) -> String {
    let mut page = Page::new(screen);
    if answers.is_empty() {
        return page.finish();
    }
    page.line(Ink::Plain, "").head("In a visit it answers");
    for (symptom, answer) in answers {
        let symptom = &told.book.symptoms[*symptom];
        let says = answer.map_or("too close to call: counts neither way", |answer| {
            symptom.answers[answer].says.as_str()
        });
        page.item(" - ", &told.sides.fill(&format!("{} {says}", symptom.ask)));
    }
    page.finish()
}

/// The smallest number that a picture's axis may span, to divide by.
const FLAT: f64 = 1e-12;

/// A size of a plot in words.
fn size_words(told: GaugeWording, kind: Option<quantity::Kind>, si: f64) -> String {
    match kind {
        Some(quantity::Kind::Distance) => quantity::distance_words(si, told.units),
        Some(kind) => Quantity::of(kind, si).words(single(told.units)),
        None => Quantity::Number(si).words(told.units),
    }
}

/// One system of units where there is no room for both.
fn single(units: Units) -> Units {
    match units {
        Units::Both => Units::Metric,
        units => units,
    }
}
