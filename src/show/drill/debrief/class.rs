//! A class list: several runs, a row for each, and what they come to together.

use maud::html;
use serde_json::{Value, json};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use super::html::STYLE;
use super::{Debrief, json::FORMAT, told};
use crate::proof::score::{Brier, brier};
use crate::show::chance::{count, minutes};
use crate::show::entries::sheet::Sheet;
use crate::show::handbook::html::{self as handbook, END};
use crate::show::page::{Page, Screen};
use crate::stream;
use crate::stream::paint::Ink;

/// From this width on each run is one line of a table.
const WIDE: usize = 80;
/// What stands where there is nothing to tell.
const NOTHING: &str = "-";
/// What stands over the columns, and how wide they are at [`WIDE`]; numbers stand on the right of theirs.
const COLUMNS: [(&str, usize, bool); 10] = [
    ("run", 4, true),
    ("who", 10, false),
    ("drill", 14, false),
    ("min/expert", 10, true),
    ("faults", 6, true),
    ("found", 5, true),
    ("solved", 6, false),
    ("Brier", 5, true),
    ("again", 5, true),
    ("asked", 5, true),
];

/// What the runs come to together.
#[derive(Debug, Clone, Copy)]
struct ClassTotals {
    runs: usize,
    over: usize,
    solved: usize,
    minutes: f64,
    expert_minutes: f64,
    safety_faults: usize,
    found: usize,
    hidden: usize,
    statements: usize,
    brier: Option<Brier>,
    repeats: usize,
    advice: usize,
}

/// Only runs that are over count, but for the safety faults: those count at once. Minutes are those of solved runs:
/// who gives up is quick.
fn totals(runs: &[Debrief<'_, '_>]) -> ClassTotals {
    let over: Vec<&Debrief<'_, '_>> = runs.iter().filter(|run| run.is_over()).collect();
    let stated: Vec<(f64, bool)> =
        over.iter().flat_map(|run| run.score.stated.iter().copied()).collect();
    let solved = || over.iter().filter(|run| run.is_solved());
    ClassTotals {
        runs: runs.len(),
        over: over.len(),
        solved: solved().count(),
        minutes: solved().map(|run| run.score.minutes).sum(),
        expert_minutes: solved().map(|run| run.score.expert.minutes).sum(),
        safety_faults: runs.iter().map(|run| run.score.safety_faults).sum(),
        found: over.iter().map(|run| run.found()).sum(),
        hidden: over.iter().map(|run| run.score.causes.len()).sum(),
        statements: stated.len(),
        brier: brier(&stated),
        repeats: runs.iter().filter(|run| run.earlier.is_some_and(|earlier| earlier > 0)).count(),
        advice: runs.iter().map(Debrief::advice).sum(),
    }
}

/// The cells of a row, in the order of [`COLUMNS`]. What is hidden stays hidden while a run goes on.
fn row(run: &Debrief<'_, '_>) -> [String; 10] {
    let (score, over) = (&run.score, run.is_over());
    let told = |words: String| if over { words } else { NOTHING.to_owned() };
    [
        run.record.run.to_string(),
        run.record.who.clone().unwrap_or_else(|| NOTHING.to_owned()),
        run.record.drill_shown().into_owned(),
        format!("{:.0}/{}", score.minutes, told(format!("{:.0}", score.expert.minutes))),
        score.safety_faults.to_string(),
        told(format!("{}/{}", run.found(), score.causes.len())),
        match (over, run.is_solved()) {
            (false, _) => "open",
            (true, true) => "yes",
            (true, false) => "no",
        }
        .to_owned(),
        told(score.brier.map_or(NOTHING.to_owned(), |brier| format!("{:.2}", brier.score))),
        run.earlier.map_or(NOTHING.to_owned(), |earlier| earlier.to_string()),
        run.advice().to_string(),
    ]
}

/// The list as text.
pub fn text(screen: Screen, runs: &[Debrief<'_, '_>]) -> String {
    let mut page = Page::new(screen);
    page.title("Class list");
    if screen.width() >= WIDE {
        let heads = COLUMNS.map(|(head, ..)| head.to_owned());
        page.line(Ink::Strong, &cells(&heads));
        for run in runs {
            page.line(Ink::Plain, &cells(&row(run)));
        }
    } else {
        for run in runs {
            let [number, who, drill, times, faults, found, solved, brier, again, asked] = row(run);
            page.item(
                &format!("{number:>3}  "),
                &format!(
                    "{who}, {drill}: {times} min, faults {faults}, found {found}, solved {solved}, Brier {brier}, again {again}, asked {asked}"
                ),
            );
        }
    }
    page.finish() + &together(&totals(runs)).page(screen)
}

fn cells(row: &[String; 10]) -> String {
    let cells = row.iter().zip(COLUMNS).map(|(cell, (_, width, right))| {
        let cell = fit(cell, width);
        let room = " ".repeat(width.saturating_sub(cell.width()));
        match right {
            true => room + &cell,
            false => cell + &room,
        }
    });
    cells.collect::<Vec<_>>().join(" ")
}

/// A cell no wider than its column; what is cut off is marked.
fn fit(cell: &str, width: usize) -> String {
    if cell.width() <= width {
        return cell.to_owned();
    }
    let mut room = width.saturating_sub(1);
    let fits = cell.chars().take_while(|letter| {
        let wide = letter.width().unwrap_or(0);
        let fits = wide <= room;
        room = room.saturating_sub(wide);
        fits
    });
    fits.collect::<String>() + "~"
}

/// The words below the rows, the same on paper and on the screen.
fn together(totals: &ClassTotals) -> Sheet {
    let mut sheet = Sheet::default();
    sheet.para("min/expert: minutes taken, and an expert's. faults: hands at a moving belt. found: hidden causes named with 50 % or more, of how many. solved: the belt runs true and nothing hidden is left. Brier: 0 is best, 0.25 is a coin toss. again: runs of the same drill by the same person before. asked: how often straybelt was asked.");
    sheet.section("Together").para(format!(
        "{} of {} finished, {} solved; {}.",
        totals.over,
        count(totals.runs, "run", "runs"),
        totals.solved,
        count(totals.safety_faults, "safety fault", "safety faults")
    ));
    if totals.repeats + totals.advice > 0 {
        sheet.para(format!(
            "{} of a drill that was run before. straybelt was asked {}.",
            count(totals.repeats, "run", "runs"),
            count(totals.advice, "time", "times")
        ));
    }
    if totals.over == 0 {
        return sheet;
    }
    sheet.para(format!("Hidden causes found: {} of {}.", totals.found, totals.hidden));
    if totals.solved > 0 {
        let times = totals.minutes / totals.expert_minutes.max(1.0);
        sheet.para(format!(
            "What was solved took {} where an expert takes about {}: {times:.1} times.",
            minutes(totals.minutes),
            minutes(totals.expert_minutes)
        ));
    }
    let Some(brier) = totals.brier else {
        return sheet;
    };
    sheet
        .section("How certain the class was")
        .para(told::brier_words(brier))
        .para(format!("That rests on {}.", count(totals.statements, "statement", "statements")));
    if totals.statements >= told::TO_SPLIT {
        told::parts(&mut sheet, brier);
    }
    sheet
}

/// The list as one JSON document, with a line end.
pub fn json(runs: &[Debrief<'_, '_>]) -> String {
    let totals = totals(runs);
    let rows = runs.iter().map(|run| {
        let score = &run.score;
        json!({
            "run": run.record.run,
            "who": run.record.who,
            "drill": run.record.drill_shown(),
            "exam": run.record.is_exam(),
            "earlier": run.earlier,
            "advice": run.advice(),
            "over": run.is_over(),
            "solved": run.is_solved(),
            "minutes": score.minutes,
            "expert_minutes": score.expert.minutes,
            "safety_faults": score.safety_faults,
            "found": run.found(),
            "hidden": score.causes.len(),
            "statements": score.stated.len(),
            "brier": score.brier,
        })
    });
    let document = json!({
        "format": FORMAT,
        "runs": rows.collect::<Vec<Value>>(),
        "together": {
            "runs": totals.runs,
            "over": totals.over,
            "solved": totals.solved,
            "minutes": totals.minutes,
            "expert_minutes": totals.expert_minutes,
            "safety_faults": totals.safety_faults,
            "found": totals.found,
            "hidden": totals.hidden,
            "statements": totals.statements,
            "brier": totals.brier,
            "repeats": totals.repeats,
            "advice": totals.advice,
        },
    });
    stream::json(&document).unwrap_or_default()
}

/// The list as one page for a browser.
pub fn html(runs: &[Debrief<'_, '_>]) -> String {
    // Numbers stand on the right of their columns.
    let class = |right: bool| right.then_some("n");
    let body = html! {
        h2 { "Class list" } (END)
        div.wide { (END)
            table.class { (END)
                thead { tr { @for (head, _, right) in COLUMNS { th class=[class(right)] { (head) } } } } (END)
                tbody { (END)
                    @for run in runs {
                        tr {
                            @for (words, (_, _, right)) in row(run).iter().zip(COLUMNS) {
                                td class=[class(right)] { (words) }
                            }
                        } (END)
                    }
                } (END)
            } (END)
        } (END)
        (handbook::sheet(&together(&totals(runs))))
    };
    handbook::page("Class list", &[STYLE], &body)
}
