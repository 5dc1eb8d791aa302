//! Somebody lacks what is asked about at the start: each step that speaks of it says what to do without it.

use straybelt::conveyor::facts::Facts;
use straybelt::rulebook::load;
use straybelt::rulebook::model::{Book, Fix, Work};
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;
use straybelt::show::stepwise::{self, Keys, StepPut};
use straybelt::show::words::{Known, Sides};
use straybelt::show::{steps, work};
use straybelt::visit::{Diagnosis, Observations, tools_to_look_with};

/// The steps of a fix that hands do or eyes watch: stretch, place in it, text.
fn steps_of(known: &Known, fix: &Fix) -> Vec<(usize, usize, String)> {
    match &fix.work {
        Work::Running(_) => {
            let lines = steps::watch_lines(known, fix).into_iter().enumerate();
            lines.map(|(place, text)| (0, place, text)).collect()
        }
        Work::LockedOut(_) => {
            let stretches = fix.stretches().into_iter().enumerate();
            let steps = stretches.flat_map(|(stretch, part)| {
                let hands = part.hands.into_iter().enumerate();
                hands
                    .map(|(place, step)| (stretch, place, steps::hand_text(known, step)))
                    .collect::<Vec<_>>()
            });
            steps.collect()
        }
    }
}

/// Whether a text speaks of a tool, found without the program's own way of finding it.
fn speaks_of(text: &str, tool: &str) -> bool {
    let text = text.to_lowercase();
    let mut words = text.split(|c: char| !c.is_alphabetic());
    match tool {
        "infrared thermometer" => words.any(|word| word == "infrared" || word == "thermometer"),
        tool => words.any(|word| word == tool),
    }
}

fn with_means<T>(book: &Book, tools: &[&str], of: impl Fn(&Known) -> T) -> T {
    let facts = Facts::default();
    let sides = Sides::named(None, None);
    let mut told = Observations::none(book);
    told.means.tools = Some(tools.iter().map(|tool| (*tool).to_owned()).collect());
    let finding = Diagnosis::new(book).finding(&facts, &told);
    of(&Known::new(book, &facts, &sides, &finding.answers).after(&told))
}

#[test]
fn every_step_that_needs_what_is_lacking_says_what_to_do_without_it() {
    let book = load::default_book().unwrap();
    let asked = tools_to_look_with(&book);
    assert_eq!(asked, ["infrared thermometer", "torch", "stopwatch"]);
    let screen = Screen::new(200, Paint::NONE);
    let keys = Keys { keys: &[], own: &[] };
    let pages = |known: &Known| {
        let mut pages = Vec::new();
        for (at, fix) in book.fixes.iter() {
            for (stretch, place, text) in steps_of(known, fix) {
                let put =
                    StepPut { fix: at, stretch, number: 0, place, answers: &[String::from("on")] };
                let page = stepwise::step(screen, known, put, keys);
                pages.push((fix.id.as_str(), text, page));
            }
        }
        pages
    };
    for tool in &asked {
        let have: Vec<&str> = asked.iter().copied().filter(|other| other != tool).collect();
        let says = format!("No {tool}: ");
        let mut spoken = 0;
        for (fix, text, page) in with_means(&book, &have, pages) {
            let speaks = speaks_of(&text, tool);
            spoken += usize::from(speaks);
            assert_eq!(page.contains(&says), speaks, "{fix}: {text}\n{page}");
        }
        assert!(spoken > 1, "{tool} stands in {spoken} steps");
    }
    for (fix, text, page) in with_means(&book, &asked, pages) {
        assert!(!page.contains("No infrared") && !page.contains("No torch"), "{fix}: {text}");
    }
}

/// On paper, where a job is one page, it stands where the tools are named.
#[test]
fn the_page_of_a_whole_job_says_it_once() {
    let book = load::default_book().unwrap();
    let clean = book.fixes.iter().find(|(_, fix)| fix.id == "clean-idler-rolls").unwrap().0;
    let page = with_means(&book, &["torch"], |known| {
        work::begun(Screen::new(80, Paint::NONE), known, clean, &[])
    });
    assert_eq!(page.matches("No infrared thermometer: ").count(), 1, "{page}");
    assert!(page.contains("no warmth may be felt"), "{page}");
}
