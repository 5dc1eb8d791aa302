//! What the ratchet watch has seen, in words: what to warn of, and the grounds.

use jiff::civil::Date;

use super::Told;
use crate::conveyor::quantity::{Kind, Quantity};
use crate::gauge::side_load::{ScrewTurned, of_screw};
use crate::gauge::{Mark, takeup};
use crate::logbook::ratchet::{Since, Stretch, TravelEnd, Warning, Watch};
use crate::logbook::size::Millimetres;
use crate::logbook::slope::Slope;
use crate::show::chance::count;
use crate::show::entries::sheet::{ListMark, RichText, Sheet};
use crate::trade::Side;

/// Trends are told for so many days.
const A_MONTH_DAYS: f64 = 30.0;
/// So many figures of what it costs.
const FIGURES: usize = 3;

/// Only what there is to warn of.
pub(super) fn warnings(sheet: &mut Sheet, watch: &Watch) {
    for warning in &watch.warnings {
        sheet.warn(match warning {
            Warning::OnlyTightened => format!(
                "The take-up was tightened {} since {}, and never slackened. Tightening cures no run-off.",
                count(watch.tightened, "time", "times"),
                since(watch)
            ),
            Warning::DriftsApart => {
                "Left and right stand apart. The belt runs to the side that is less far out.".to_owned()
            }
            Warning::TravelEnds => {
                "The travel of the take-up runs out. Plan to shorten the belt.".to_owned()
            }
            Warning::MuchStretch => {
                "The belt has stretched as much as it may in its life. Have it looked at.".to_owned()
            }
        });
    }
}

/// From when on it counts, in words.
fn since(watch: &Watch) -> String {
    match watch.since {
        Since::FirstReading => match watch.points.first() {
            Some(point) => format!("the first reading, {}", point.on),
            None => "the first reading".to_owned(),
        },
        Since::Work(work, on) => format!("{on} ({})", work.says().to_lowercase()),
        Since::Slackened(on) => format!("it was slackened on {on}"),
    }
}

/// All of it.
pub(super) fn tell(sheet: &mut Sheet, told: &Told, watch: &Watch) {
    sheet.section("The take-up");
    warnings(sheet, watch);
    let readings = count(watch.points.len(), "reading counts", "readings count");
    let first = watch.points.first().zip(watch.points.last());
    let span = first.map_or(0.0, |(first, last)| last.day - first.day);
    sheet.para(format!("{readings}, since {}: {} in all.", since(watch), days(span)));
    let mut grounds: Vec<RichText> = Vec::new();
    if let Some(moved) = watch.moved {
        grounds.push(moved_words(told, moved).into());
    }
    if let Some(out) = &watch.out {
        grounds.push(format!("Out: {}.", trend_words(told, out)).into());
    }
    grounds.extend(lead_words(told, watch).into_iter().map(RichText::from));
    if let (Some(end), Some(last)) = (&watch.end, watch.points.last()) {
        grounds.push(end_words(told, end, last.on).into());
    }
    if let Some(stretch) = &watch.stretch {
        grounds.push(stretch_words(told, stretch).into());
    }
    sheet.add(crate::show::entries::sheet::Block::List(ListMark::Dot, grounds));
    cost(sheet, told, watch);
}

fn days(days: f64) -> String {
    count(days.round().max(0.0) as usize, "day", "days")
}

fn words(told: &Told, size: f64) -> String {
    Millimetres(size).quantity().words(told.units)
}

fn moved_words(told: &Told, moved: Millimetres) -> String {
    match moved.0 < 0.0 {
        true => format!("It stands {} further in than at the first.", words(told, -moved.0)),
        false => format!("It stands {} further out than at the first.", words(told, moved.0)),
    }
}

/// A trend for a month, with its range.
fn trend_words(told: &Told, slope: &Slope) -> String {
    let month = |rate: f64| words(told, rate * A_MONTH_DAYS);
    format!(
        "{} in {A_MONTH_DAYS} days, between {} and {} (95 % range of the median slope)",
        month(slope.slope),
        month(slope.low),
        month(slope.high)
    )
}

fn lead_words(told: &Told, watch: &Watch) -> Vec<String> {
    let Some(lead) = watch.points.last().and_then(|point| point.reading.lead()) else {
        return Vec::new();
    };
    let sides = told.sides();
    let limit = takeup::lead_limit(told.setting);
    let mark = told.wording(&sides).mark(limit.mark);
    let mut said = vec![match Side::of_sign(lead.0) {
        None => "Both sides stand the same.".to_owned(),
        Some(side) => format!(
            "{} stands {} further out than {}. They may differ by {} [{mark}].",
            sides.of(side),
            words(told, lead.0.abs()),
            sides.of(side.other()),
            limit.size.words(told.units)
        ),
    }];
    if let Some(trend) = watch.lead.filter(Slope::surely_goes) {
        let gains = Side::of_sign(trend.slope).unwrap_or(Side::Left);
        let turned = if trend.slope < 0.0 {
            Slope { slope: -trend.slope, low: -trend.high, high: -trend.low, ..trend }
        } else {
            trend
        };
        said.push(format!("{} gains {}.", sides.of(gains), trend_words(told, &turned)));
    }
    said
}

fn end_words(told: &Told, end: &TravelEnd, read: Date) -> String {
    let sides = told.sides();
    let at = end.side.map_or(String::new(), |side| format!(" on the {} side", sides.of(side)));
    if end.left.0 <= 0.0 {
        return format!("The travel is used up{at}.");
    }
    let left = format!("{} of travel was left{at} on {read}", words(told, end.left.0));
    let Some(on) = end.on else { return format!("{left}. No end is in sight.") };
    match end.between {
        (Some(from), Some(to)) => {
            format!("{left}. By these readings it ends about {on}, between {from} and {to}.")
        }
        (Some(from), None) => {
            format!(
                "{left}. By these readings it ends about {on}, at the earliest {from}. The latest is not in sight."
            )
        }
        _ => format!("{left}. By these readings it ends about {on}."),
    }
}

fn stretch_words(told: &Told, stretch: &Stretch) -> String {
    let sides = told.sides();
    let percent = |share: f64| Quantity::of(Kind::Percent, share).words(told.units);
    format!(
        "That is {} of the belt. A belt of this kind may stretch {} in its life [{}].",
        percent(stretch.share.max(0.0)),
        percent(stretch.may),
        told.wording(&sides).mark(Mark::Rests(stretch.rests_on))
    )
}

/// What the difference of the screws costs, by the gauge of side load.
fn cost(sheet: &mut Sheet, told: &Told, watch: &Watch) {
    let Some(lead) = watch.points.last().and_then(|point| point.reading.lead()) else { return };
    let Some(side) =
        Side::of_sign(lead.0).filter(|_| watch.warnings.contains(&Warning::DriftsApart))
    else {
        return;
    };
    let sides = told.sides();
    let wording = told.wording(&sides);
    let turned = ScrewTurned { side, moved_m: lead.metres().abs() };
    let outcome = of_screw(told.setting, turned);
    let mut lines: Vec<RichText> = vec![wording.words(&outcome.says).into()];
    for figure in outcome.figures.iter().filter(|figure| figure.id != "load-before").take(FIGURES) {
        let size = figure.size.words(told.units);
        lines.push(format!("{}: {size}.", wording.words(&figure.what)).into());
    }
    if let Some(figure) = outcome.figures.first() {
        lines.push(format!("These figures: [{}].", wording.mark(figure.mark)).into());
    }
    if let Some(assumed) = outcome.notes.first().filter(|_| outcome.notes.len() > 1) {
        lines.push(wording.words(assumed).into());
    }
    sheet.list("What the difference costs, if the belt has not crept", ListMark::Dot, lines);
}
