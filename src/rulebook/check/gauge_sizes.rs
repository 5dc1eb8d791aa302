//! What rule files set in place of the program's own limits of gauges and errors of readings.

use std::collections::BTreeMap;

use crate::conveyor::quantity::{self, Bare, Kind, Quantity, Refused};
use crate::gauge::catalogue::{IN_ORDER, RENAMED};
use crate::gauge::{self, Basis, Gauge, Shipped, read_by};
use crate::problem::{Code, near};
use crate::rulebook::model::{GaugeSize, SizeOf};
use crate::rulebook::rules::Rules;
use crate::rulebook::written::{GaugeFile, SizeKind, Source};
use crate::source::Span;
use crate::source::parse::{Spanned, Text};
use crate::trade::Units;

use super::Diagnostics;
use super::entries;
use super::gauges::find;
use super::names::Names;

/// A size this many times as large or small as the program's own is a slip of its unit.
const FAR: f64 = 100.0;
/// The same of a temperature, in kelvin.
const FAR_KELVIN: f64 = 1.6;
/// Two sizes are the same that differ by less, as a share.
const SAME: f64 = 1e-9;

/// An entry of a file, whichever it is.
struct Entry<'f> {
    of: SizeOf,
    id: &'f Text,
    /// The words for it, if they stand there again.
    words: (&'static str, Option<&'f Text>),
    kind: Option<&'f Spanned<SizeKind>>,
    size: &'f Text,
    source: &'f Source,
    damaged: bool,
}

/// The sizes that the files set, each once: that of the upper folder holds. What says the same as the program is none.
pub(super) fn sizes(rules: &Rules, names: &Names, diagnostics: &mut Diagnostics) -> Vec<GaugeSize> {
    let mut set: Vec<GaugeSize> = Vec::new();
    let mut places: BTreeMap<&'static str, Span> = BTreeMap::new();
    for file in &rules.gauges {
        for entry in entries(&file.value, file.span, diagnostics) {
            let size = size(&entry, diagnostics);
            let source = entries::source(entry.source, names, diagnostics);
            let Some(size) = size else { continue };
            set.retain(|known| !known.of.is(entry.of));
            if as_shipped(&entry, size) {
                continue;
            }
            if let SizeOf::Limit(limit) = entry.of {
                places.insert(limit.id, entry.size.span);
            }
            set.push(GaugeSize { of: entry.of, size, source, damaged: entry.damaged });
        }
    }
    in_order(&set, &places, diagnostics);
    set
}

/// The entries of a file whose names are known.
fn entries<'f>(file: &'f GaugeFile, whole: Span, diagnostics: &mut Diagnostics) -> Vec<Entry<'f>> {
    let mut all = Vec::new();
    let gauge = file.gauge.as_ref().and_then(|name| find(name, diagnostics));
    if file.gauge.is_none() && !file.limits.is_empty() {
        let message = "the field `gauge` is missing: whose limits are these?";
        diagnostics.tell(
            Code::MissingField,
            whole.first(),
            message,
            "write gauge: \"frame\", or another that `straybelt gauge` lists",
        );
    }
    for entry in &file.limits {
        let Some(limit) = gauge.and_then(|gauge| limit_of(gauge, &entry.id, diagnostics)) else {
            continue;
        };
        all.push(Entry {
            of: SizeOf::Limit(limit),
            id: &entry.id,
            words: ("what", entry.what.as_ref()),
            kind: entry.kind.as_ref(),
            size: &entry.size,
            source: &entry.source,
            damaged: entry.damaged,
        });
    }
    for entry in &file.errors {
        let Some(error) = error_of(&entry.id, diagnostics) else { continue };
        all.push(Entry {
            of: SizeOf::Error(error),
            id: &entry.id,
            words: ("how", entry.how.as_ref()),
            kind: entry.kind.as_ref(),
            size: &entry.size,
            source: &entry.source,
            damaged: false,
        });
    }
    all
}

fn limit_of(gauge: &Gauge, id: &Text, diagnostics: &mut Diagnostics) -> Option<&'static Shipped> {
    let found = gauge.limits.iter().copied().find(|limit| limit.id == id.text);
    if found.is_none() {
        let message = format!("the gauge `{}` has no limit `{id}`", gauge.id);
        let problem = diagnostics.problem(Code::Gauge, id.span, message);
        let now = RENAMED.iter().find(|(old, _)| *old == id.text);
        let has = |gauge: &&&Gauge| gauge.limits.iter().any(|limit| limit.id == id.text);
        diagnostics.add(match (now, gauge::ALL.iter().find(has)) {
            (Some((_, now)), _) => problem.help(format!("it is called `{now}` now")),
            (None, Some(other)) => problem.help(format!("the gauge `{}` has it", other.id)),
            (None, None) => {
                near(problem, &id.text, gauge.limits.iter().map(|l| l.id), "its limits")
            }
        });
    }
    found
}

fn error_of(id: &Text, diagnostics: &mut Diagnostics) -> Option<&'static read_by::ReadingError> {
    let found = read_by::named(&id.text);
    if found.is_none() {
        let message = format!("no reading is taken by `{id}`");
        let problem = diagnostics.problem(Code::Gauge, id.span, message);
        let known = read_by::ALL.iter().map(|error| error.id);
        diagnostics.add(near(problem, &id.text, known, "readings are taken by"));
    }
    found
}

/// The size, if it is one that can be.
fn size(entry: &Entry, diagnostics: &mut Diagnostics) -> Option<Quantity> {
    let kind = entry.of.kind();
    if let Some(other) = entry.kind.filter(|named| named.value.kind() != kind) {
        let message = format!("`{}` is a {kind:?}, not a {:?}", entry.id, other.value);
        diagnostics.tell(Code::Gauge, other.span, message, "leave `kind` out");
    }
    if let (field, Some(words)) = entry.words
        && words.text != entry.of.what()
    {
        let message = format!("what `{}` is, the program says: {}", entry.id, entry.of.what());
        diagnostics.tell(Code::Gauge, words.span, message, &format!("leave `{field}` out"));
    }
    let size = match read(&entry.size.text, kind) {
        Ok(size) => size,
        Err(why) => {
            let example = Quantity::of(kind, entry.of.shipped_si()).exact(kind);
            let why = match why {
                Refused::Unit(unit) if unit.is_empty() => "a number without its unit".to_owned(),
                why => why.to_string(),
            };
            let message = format!("{}: {why}", entry.of.what());
            let problem = diagnostics.problem(Code::Quantity, entry.size.span, message);
            diagnostics
                .add(problem.help(format!("write it with its unit; the program has {example}")));
            return None;
        }
    };
    let times = size.si() / entry.of.shipped_si();
    let far = if kind == Kind::Temperature { FAR_KELVIN } else { FAR };
    let amiss = if size.si() <= 0.0 {
        "is not more than nothing"
    } else if times > far {
        "cannot be so much"
    } else if times < far.recip() {
        "cannot be so little"
    } else {
        return Some(size);
    };
    let has = Quantity::of(kind, entry.of.shipped_si()).exact(kind);
    let message = format!("{}: {} {amiss}", entry.of.what(), size.exact(kind));
    let problem = diagnostics.problem(Code::NumberRange, entry.size.span, message);
    diagnostics.add(problem.help(format!("check number and unit; the program has {has}")));
    None
}

/// A size as it stands in the program's own files: with its unit; a share also as a fraction without one.
fn read(text: &str, kind: Kind) -> Result<Quantity, Refused> {
    if kind == Kind::Percent && text.contains('/') && !text.contains('%') {
        let share = quantity::read(text, Kind::Number, Units::Metric)?;
        return Ok(Quantity::of(kind, share.si()));
    }
    let bare = if kind == Kind::Number { Bare::Of(Units::Metric) } else { Bare::Unit("") };
    quantity::read_as(text, kind, bare).map(|(size, _)| size)
}

/// Whether it says what the program says without it.
fn as_shipped(entry: &Entry, size: Quantity) -> bool {
    let shipped = entry.of.shipped_si();
    (size.si() - shipped).abs() <= SAME * shipped
        && same_source(entry.source, entry.of.shipped_mark())
        && entry.damaged == entry.of.is_damaged()
}

fn same_source(written: &Source, shipped: Basis) -> bool {
    match (written, shipped) {
        (Source::Published(id, place), Basis::Published(source, at)) => {
            id.text == source && place.text == at
        }
        (Source::Derived(from), Basis::Derived(shipped)) => from.text == shipped,
        (Source::CommonPractice, Basis::CommonPractice) | (Source::Memory, Basis::Memory) => true,
        _ => false,
    }
}

/// That limits which lie one above the other still do.
fn in_order(
    set: &[GaugeSize],
    places: &BTreeMap<&'static str, Span>,
    diagnostics: &mut Diagnostics,
) {
    let now = |limit: &'static Shipped| {
        let own = set.iter().find(|set| set.of.is(SizeOf::Limit(limit)));
        own.map_or(Quantity::of(limit.kind, limit.si), |own| own.size)
    };
    for pair in IN_ORDER.iter().flat_map(|chain| chain.windows(2)) {
        let [lower, upper] = pair else { continue };
        let (low, high) = (now(lower), now(upper));
        let place = places.get(upper.id).or_else(|| places.get(lower.id));
        let Some(place) = place.filter(|_| low.si() > high.si()) else { continue };
        let message = format!(
            "`{}` ({}) would lie above `{}` ({})",
            lower.id,
            low.exact(lower.kind),
            upper.id,
            high.exact(upper.kind)
        );
        diagnostics.tell(Code::NumberRange, *place, message, "set both so that they stay in order");
    }
}
