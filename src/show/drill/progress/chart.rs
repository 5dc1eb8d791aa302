//! Minutes of each run against the expert's, drawn run by run. Narrow, so that its words keep their size on a phone.

use std::fmt::Write as _;

use jiff::tz::TimeZone;
use maud::{Markup, html};

use crate::drill::learners::Attempt;
use crate::drill::progress::day;
use crate::show::handbook::html::END;

/// A phone's width without its margins is about this many pixels: so words are as large as they are written.
const WIDTH: f64 = 380.0;
const HEIGHT: f64 = 190.0;
/// Where the drawing itself stands: from left to right, from top to bottom.
const X: (f64, f64) = (46.0, 370.0);
const Y: (f64, f64) = (16.0, 132.0);
/// Runs that took longer than so many times the expert's minutes stand at the upper edge.
const MOST: f64 = 6.0;
/// Fewer runs than this are no line.
const FEWEST: usize = 2;

/// The drawing; nothing while there is little to draw.
pub(super) fn minutes(attempts: &[Attempt], zone: &TimeZone) -> Markup {
    if attempts.len() < FEWEST {
        return Markup::default();
    }
    let times: Vec<f64> = attempts.iter().map(|attempt| attempt.worth.times().min(MOST)).collect();
    let most = times.iter().fold(2.0_f64, |most, times| most.max(*times)).ceil();
    let x = |nth: usize| X.0 + (X.1 - X.0) * (nth as f64 + 0.5) / attempts.len() as f64;
    let y = |times: f64| Y.1 - (Y.1 - Y.0) * (times / most).clamp(0.0, 1.0);
    let day =
        |attempt: Option<&Attempt>| attempt.map_or_else(String::new, |a| day(a, zone).to_string());
    let mut way = String::new();
    for (nth, times) in times.iter().enumerate() {
        let _ = write!(way, "{:.1},{:.1} ", x(nth), y(*times));
    }
    html! {
        figure { (END)
            svg xmlns="http://www.w3.org/2000/svg" viewBox=(format_args!("0 0 {WIDTH:.0} {HEIGHT:.0}")) role="img" { (END)
                title { "Minutes of each run, as multiples of the expert's" } (END)
                path.axis d=(format_args!("M{:.0} {:.0}V{:.0}H{:.0}", X.0, Y.0, Y.1, X.1)) {} (END)
                path.expert d=(format_args!("M{:.0} {:.1}H{:.0}", X.0, y(1.0), X.1)) {} (END)
                @for whole in 0..=(most as u32) {
                    (text("end", X.0 - 6.0, y(f64::from(whole)) + 4.0, &format!("{whole} x")))
                }
                polyline.way points=(way) {} (END)
                @for (nth, (attempt, times)) in attempts.iter().zip(&times).enumerate() {
                    (dot(attempt, x(nth), y(*times)))
                }
                (text("", X.0, Y.1 + 18.0, &day(attempts.first())))
                (text("end", X.1, Y.1 + 18.0, &day(attempts.last())))
                (text("", X.0, Y.1 + 36.0, "1 x: the expert's minutes. Full dot: solved."))
                (text("", X.0, Y.1 + 52.0, "Empty dot: not solved. Cross: safety fault."))
            } (END)
        } (END)
    }
}

fn dot(attempt: &Attempt, x: f64, y: f64) -> Markup {
    let class = if attempt.worth.is_solved() { "solved" } else { "open" };
    html! {
        circle class=(class) cx=(format_args!("{x:.1}")) cy=(format_args!("{y:.1}")) r="4" {} (END)
        @if attempt.worth.safety_faults > 0 {
            path.fault d=(format_args!("M{:.1} {:.1}l14 14m0 -14l-14 14", x - 7.0, y - 7.0)) {} (END)
        }
    }
}

fn text(anchor: &str, x: f64, y: f64, words: &str) -> Markup {
    let class = (!anchor.is_empty()).then_some(anchor);
    html! {
        text class=[class] x=(format_args!("{x:.1}")) y=(format_args!("{y:.1}")) { (words) } (END)
    }
}
