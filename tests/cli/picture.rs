//! The picture of a session in the README: three screens of the program itself, at a terminal of 40 columns, drawn by
//! this test. `STRAYBELT_RENEW=1 cargo test --test cli picture` draws it anew.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;

use rexpect::session::PtySession;

use super::terminal::{conveyor, start};

/// Where it is kept.
const FILE: &str = "examples/session.svg";
/// Columns and rows of a screen.
const CELLS: (usize, usize) = (40, 24);
/// Of a letter, in pixels.
const LETTER: (f64, f64) = (8.4, 18.0);
/// Round a screen, in pixels.
const MARGIN: f64 = 14.0;

/// What to type where a page has this on it; anything else is answered with 1.
const REPLIES: [(&str, &str); 19] = [
    ("How far off?", "3"),
    ("What is at hand?", "1 2 3 4"),
    ("What applies?", "2"),
    ("The belt edge stands in an S", "0"),
    ("What is off centre", "2"),
    ("Where on the conveyor is the belt", "5"),
    ("Where does most", "1"),
    ("How much material", "3"),
    ("A roll stands still", "0"),
    ("How dirty are the idler rolls", "3"),
    ("belt cleaner", "3"),
    ("bare or clean place", "1"),
    ("does cake make", "2"),
    ("caked, or thicker", "2"),
    ("Cake inside", "2"),
    ("hot", "1"),
    ("LOCKED:", "MK, isolator 4"),
    ("STORED ENERGY:", "chocks at the tail"),
    ("TRIED:", "nothing moved"),
];

/// What stands on the screen when a reply is waited for: the last page, with its prompt.
fn screen(session: &mut PtySession) -> String {
    let (before, prompt) = session.exp_regex("(letter|In a word): $").expect("a prompt");
    let all = format!("{before}{prompt}").replace('\r', "");
    let mut plain = String::new();
    let mut letters = all.chars();
    while let Some(letter) = letters.next() {
        match letter {
            '\u{1b}' => letters.by_ref().take_while(|c| !c.is_ascii_alphabetic()).for_each(drop),
            letter => plain.push(letter),
        }
    }
    let from = plain.rfind("\n--- ").map_or(0, |at| at + 1);
    plain.split_off(from)
}

/// A look, the finding and a step of the first job, as somebody sees them who stands at caked rolls.
fn screens() -> Vec<String> {
    let state = tempfile::tempdir().expect("a folder");
    let mut session = start(state.path(), &conveyor());
    let wanted = ["Tick all that apply", "--- The finding", "--- Step 2 "];
    let mut kept: Vec<String> = Vec::new();
    for _ in 0..160 {
        let page = screen(&mut session);
        if !page.starts_with("--- ") {
            // The prompt is drawn anew after the first letter of a reply.
            continue;
        }
        if kept.len() < wanted.len() && page.contains(wanted[kept.len()]) && page.contains("1  ") {
            kept.push(page.clone());
        }
        if kept.len() == wanted.len() {
            return kept;
        }
        let words = page.split_whitespace().collect::<Vec<_>>().join(" ");
        let reply = REPLIES.iter().find(|(part, _)| words.contains(part));
        session.send_line(reply.map_or("1", |(_, reply)| reply)).expect("typed");
    }
    panic!("only {} screens: {kept:?}", kept.len());
}

fn drawn(screens: &[String]) -> String {
    let ((columns, rows), (across, down)) = (CELLS, LETTER);
    let (wide, high) = (columns as f64 * across + 2.0 * MARGIN, rows as f64 * down + 2.0 * MARGIN);
    let all = wide * screens.len() as f64 + MARGIN * (screens.len() + 1) as f64;
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {all:.0} {:.0}\" font-family=\"monospace\" font-size=\"14\">\n<title>Three screens of a visit: a look, the finding, a step of the work</title>\n<rect width=\"100%\" height=\"100%\" fill=\"#e8e6df\"/>\n",
        high + 2.0 * MARGIN
    );
    for (place, screen) in screens.iter().enumerate() {
        let left = MARGIN + place as f64 * (wide + MARGIN);
        writeln!(
            svg,
            "<rect x=\"{left:.1}\" y=\"{MARGIN}\" width=\"{wide:.1}\" height=\"{high:.1}\" rx=\"6\" fill=\"#1d2421\"/>"
        )
        .expect("written");
        for (row, line) in screen.lines().enumerate().filter(|(_, line)| !line.is_empty()) {
            let (x, y) = (left + MARGIN, 2.0 * MARGIN + (row + 1) as f64 * down - 4.0);
            let (ink, weight) = match line.starts_with("---") {
                true => ("#f2c14e", " font-weight=\"bold\""),
                false => ("#e9efe9", ""),
            };
            // Each line as long as its letters take, whatever the font at hand.
            let long = line.chars().count() as f64 * across;
            let line = line.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
            writeln!(
                svg,
                "<text x=\"{x:.1}\" y=\"{y:.1}\" textLength=\"{long:.1}\" fill=\"{ink}\"{weight} xml:space=\"preserve\">{line}</text>"
            )
            .expect("written");
        }
    }
    svg.push_str("</svg>\n");
    svg
}

#[test]
fn the_picture_of_the_readme_is_the_program_as_it_is() {
    let screens = screens();
    for screen in &screens {
        assert!(screen.lines().count() <= CELLS.1, "it fits the screen: {screen}");
    }
    let now = drawn(&screens);
    roxmltree::Document::parse(&now).expect("well-formed");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(FILE);
    if std::env::var_os("STRAYBELT_RENEW").is_some() {
        fs::write(path, now).expect("written");
        return;
    }
    let kept = fs::read_to_string(path).expect("the picture");
    assert!(
        kept == now,
        "draw it anew and look at it: STRAYBELT_RENEW=1 cargo test --test cli picture"
    );
}
