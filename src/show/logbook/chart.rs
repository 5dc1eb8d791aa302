//! The chart of a take-up over its days: in letters for a screen, as a drawing for a page.

use maud::{Markup, html};

use super::Told;
use crate::logbook::Reading;
use crate::logbook::ratchet::Watch;
use crate::logbook::size::Millimetres;
use crate::show::handbook::html::END;
use crate::show::letter_frame::LetterFrame;
use crate::show::page::{Page, Screen};
use crate::stream::paint::Ink;

/// Lines of a chart in letters.
const HIGH: usize = 11;
/// The drawing, in its own units.
const WIDTH: f64 = 700.0;
const HEIGHT: f64 = 260.0;
const LEAD: f64 = 70.0;
const TRAIL: f64 = 90.0;
const TOP: f64 = 16.0;
const FOOT: f64 = 30.0;

/// One line of the chart: its name, its letter, its readings by day.
struct Series {
    name: String,
    letter: char,
    readings: Vec<(f64, f64)>,
}

/// A chart: lines over days, and how its heights are put into words.
struct Chart<'t> {
    series: Vec<Series>,
    limit: Option<(String, f64)>,
    words: Box<dyn Fn(f64) -> String + 't>,
    days: (f64, f64),
    heights: (f64, f64),
    ends: (String, String),
}

impl<'t> Chart<'t> {
    /// Nothing with fewer than two days.
    fn of(told: &'t Told, watch: &Watch) -> Option<Self> {
        let series = series(told, watch);
        let (first, last) = (watch.points.first()?, watch.points.last()?);
        if last.day <= first.day {
            return None;
        }
        let ups = || series.iter().flat_map(|one| one.readings.iter().map(|reading| reading.1));
        let (mut low, mut high) = (ups().fold(f64::MAX, f64::min), ups().fold(f64::MIN, f64::max));
        if low > high {
            return None;
        }
        let lengths = watch.points.iter().any(|point| point.reading.out().is_some())
            && !matches!(first.reading, Reading::Weight { .. } | Reading::Winch { .. });
        let limit = told.sizes.travel.filter(|_| lengths).map(|travel| travel.0);
        // A limit that is far away would press the readings flat.
        let limit = limit.filter(|limit| *limit < high + 1.5 * (high - low).max(10.0));
        high = limit.map_or(high, |limit| limit.max(high));
        if high - low < 1.0 {
            (low, high) = (low - 0.5, high + 0.5);
        }
        let units = told.units;
        let words: Box<dyn Fn(f64) -> String> = match first.reading {
            Reading::Weight { .. } => Box::new(move |kg| {
                crate::logbook::size::Kilograms(kg).words(units == crate::trade::Units::Inch)
            }),
            Reading::Winch { .. } => {
                Box::new(move |n| crate::logbook::size::Newtons(n).quantity().words(units))
            }
            _ => Box::new(move |mm| Millimetres(mm).quantity().words(units)),
        };
        Some(Self {
            limit: limit.map(|limit| ("end of the travel".to_owned(), limit)),
            series,
            words,
            days: (first.day, last.day),
            heights: (low, high),
            ends: (first.on.to_string(), last.on.to_string()),
        })
    }
}

fn series(told: &Told, watch: &Watch) -> Vec<Series> {
    let sides = told.sides();
    let of = |name: &str, letter: char, value: &dyn Fn(&Reading) -> Option<f64>| Series {
        name: name.to_owned(),
        letter,
        readings: watch
            .points
            .iter()
            .filter_map(|point| Some((point.day, value(&point.reading)?)))
            .collect(),
    };
    match watch.points.first().map(|point| point.reading) {
        Some(Reading::Screws { .. }) => vec![
            of(&sides.left, 'L', &|reading| match reading {
                Reading::Screws { left, .. } => Some(left.0),
                _ => None,
            }),
            of(&sides.right, 'R', &|reading| match reading {
                Reading::Screws { right, .. } => Some(right.0),
                _ => None,
            }),
        ],
        Some(Reading::Weight { .. }) => vec![of("weight", 'W', &|reading| match reading {
            Reading::Weight { mass, .. } => Some(mass.0),
            _ => None,
        })],
        Some(Reading::Winch { .. }) => {
            vec![of("pull of the rope", 'W', &|reading| match reading {
                Reading::Winch { pull, .. } => Some(pull.0),
                _ => None,
            })]
        }
        _ => vec![of("carriage", 'C', &|reading| reading.out().map(|at| at.0))],
    }
}

/// The chart in letters; empty with fewer than two days.
pub(super) fn text(screen: Screen, told: &Told, watch: &Watch) -> String {
    let Some(chart) = Chart::of(told, watch) else { return String::new() };
    let mut page = Page::new(screen);
    let (low, high) = chart.heights;
    let frame = LetterFrame {
        heights: [high, f64::midpoint(low, high), low].map(|height| (chart.words)(height)),
        ends: chart.ends.clone(),
    };
    let wide = frame.wide(&page);
    let mut cells = vec![vec![' '; wide]; HIGH];
    let row =
        |up: f64| (((high - up) / (high - low)) * (HIGH - 1) as f64).round().max(0.0) as usize;
    let column = |day: f64| {
        let share = (day - chart.days.0) / (chart.days.1 - chart.days.0);
        (share * (wide - 1) as f64).round().max(0.0) as usize
    };
    if let Some((_, limit)) = &chart.limit
        && let Some(line) = cells.get_mut(row(*limit))
    {
        line.fill('-');
    }
    for series in &chart.series {
        for (day, up) in &series.readings {
            if let Some(cell) = cells.get_mut(row(*up)).and_then(|line| line.get_mut(column(*day)))
            {
                // Both at one place.
                *cell = if cell.is_alphabetic() && *cell != series.letter {
                    '='
                } else {
                    series.letter
                };
            }
        }
    }
    page.blank();
    let lines: Vec<String> = cells.iter().map(|line| line.iter().collect()).collect();
    frame.put(&mut page, &lines);
    page.para_in(Ink::Faint, &legend(&chart));
    page.finish()
}

fn legend(chart: &Chart) -> String {
    let mut pieces: Vec<String> =
        chart.series.iter().map(|series| format!("{} {}", series.letter, series.name)).collect();
    if chart.series.len() > 1 {
        pieces.push("= both".to_owned());
    }
    if let Some((name, _)) = &chart.limit {
        pieces.push(format!("- {name}"));
    }
    format!("{}. Higher is tighter.", pieces.join(", "))
}

/// The chart as a drawing; empty with fewer than two days.
pub(super) fn svg(told: &Told, watch: &Watch) -> Markup {
    let Some(chart) = Chart::of(told, watch) else { return Markup::default() };
    let (low, high) = chart.heights;
    let x = |day: f64| {
        LEAD + (WIDTH - LEAD - TRAIL) * (day - chart.days.0) / (chart.days.1 - chart.days.0)
    };
    let y = |up: f64| TOP + (HEIGHT - TOP - FOOT) * (high - up) / (high - low);
    let line = |readings: &[(f64, f64)]| {
        let spots = readings.iter().map(|(day, up)| format!("{:.1} {:.1}", x(*day), y(*up)));
        format!("M{}", spots.collect::<Vec<_>>().join("L"))
    };
    html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format_args!("0 0 {WIDTH:.0} {HEIGHT:.0}")) role="img" { (END)
            title { "How far out the take-up stood" } (END)
            path class="axis" d=(format_args!("M{LEAD:.1} {TOP:.1}V{:.1}H{:.1}", HEIGHT - FOOT, WIDTH - TRAIL)) {} (END)
            @for height in [high, f64::midpoint(low, high), low] {
                (label("end", LEAD - 6.0, y(height) + 4.0, &(chart.words)(height)))
            }
            (label("start", LEAD, HEIGHT - 8.0, &chart.ends.0))
            (label("end", WIDTH - TRAIL, HEIGHT - 8.0, &chart.ends.1))
            @if let Some((name, limit)) = &chart.limit {
                path class="limit" d=(format_args!("M{LEAD:.1} {:.1}H{:.1}", y(*limit), WIDTH - TRAIL)) {} (END)
                (label("start", LEAD + 6.0, y(*limit) + 14.0, name))
            }
            @for (place, series) in chart.series.iter().enumerate() {
                @let (line_class, dot) = if place == 0 { ("line", "dot") } else { ("line right", "ring") };
                path class=(line_class) d=(line(&series.readings)) {} (END)
                @for (day, up) in &series.readings {
                    circle class=(dot) cx=(format_args!("{:.1}", x(*day))) cy=(format_args!("{:.1}", y(*up))) r="3.5" {} (END)
                }
            }
            @for (height, name) in ends(&chart, &y) {
                (label("start", WIDTH - TRAIL + 6.0, height, name))
            }
        } (END)
    }
}

/// Where the names of the lines stand at their ends, none over another.
fn ends<'c>(chart: &'c Chart, y: &dyn Fn(f64) -> f64) -> Vec<(f64, &'c str)> {
    const APART: f64 = 14.0;
    let mut ends: Vec<(f64, &str)> = chart
        .series
        .iter()
        .filter_map(|series| Some((y(series.readings.last()?.1) + 4.0, series.name.as_str())))
        .collect();
    ends.sort_by(|one, other| one.0.total_cmp(&other.0));
    let mut lowest = f64::MIN;
    for end in &mut ends {
        end.0 = end.0.max(lowest + APART);
        lowest = end.0;
    }
    ends
}

fn label(anchor: &str, x: f64, y: f64, words: &str) -> Markup {
    html! {
        text class=(anchor) x=(format_args!("{x:.1}")) y=(format_args!("{y:.1}")) { (words) } (END)
    }
}
