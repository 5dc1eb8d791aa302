//! What the pages and the examples say is true: README, DEVELOPERS.md, those of rules/ and all others.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use std::fmt::Write as _;
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use clap::Parser as _;
use straybelt::cli::Cli;
use straybelt::conveyor::facts::Facts;
use straybelt::problem::{Code, Problem, Report, Severity};
use straybelt::proof::{case, run};
use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;
use straybelt::show::proof::WORDING;
use straybelt::visit::{Diagnosis, Finding, Observations, Reply};

fn root(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

fn text(path: &str) -> String {
    fs::read_to_string(root(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// The book with a folder, and the warnings that the folder itself gives.
fn book(folder: &Path) -> (Book, Vec<Problem>) {
    let (book, warnings) = load::with_site(Some(folder)).unwrap_or_else(|problems| {
        let all: Vec<_> = problems.0.iter().map(|p| &p.message).collect();
        panic!("{}: {all:#?}", folder.display())
    });
    let own = |problem: &Problem| {
        let file = problem.labels.first().map(|label| &label.place.file);
        file.is_some_and(|file| Path::new(file).starts_with(folder))
    };
    (book, warnings.into_iter().filter(own).collect())
}

/// The pieces of a page that are marked with a comment of this kind: what the mark says, and the piece.
fn pieces<'p>(page: &'p str, mark: &str) -> Vec<(&'p str, &'p str)> {
    let parts = page.split(mark).skip(1);
    let piece = |part: &'p str| {
        let (name, rest) = part.split_once(" -->\n```ron\n").unwrap();
        (name, rest.split_once("\n```\n").unwrap().0)
    };
    parts.map(piece).collect()
}

/// The pieces of a page that are marked as files load as a folder of rules; what they give of warnings.
fn loads(page: &str, files: usize) -> Vec<Problem> {
    let page = text(page);
    let pieces = pieces(&page, "<!-- file: ");
    let folder = tempfile::tempdir().unwrap();
    for (name, body) in &pieces {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, body).unwrap();
    }
    assert_eq!(pieces.len(), files);
    book(folder.path()).1
}

#[test]
fn the_examples_of_the_guide_load() {
    // The guide itself tells to leave the fingerprints out the first time.
    for warning in loads("rules/GUIDE.md", 8) {
        assert_eq!(warning.code, Code::NoFingerprint, "{warning:#?}");
    }
}

#[test]
fn symptom_look_cause_and_fix_of_ten_lines_load() {
    assert_eq!(loads("DEVELOPERS.md", 4), []);
    let page = text("DEVELOPERS.md");
    for (name, body) in pieces(&page, "<!-- file: ") {
        assert!(body.lines().count() <= 10, "{name} has more than ten lines");
    }
    assert!(page.lines().count() <= 350, "DEVELOPERS.md has more than 350 lines");
}

#[test]
fn the_case_of_the_guide_holds() {
    let guide = text("rules/GUIDE.md");
    let [(_, body)] = pieces(&guide, "<!-- case: ")[..] else { panic!("one case is expected") };
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir_all(folder.path().join("cases")).unwrap();
    fs::write(folder.path().join("cases/guide.ron"), body).unwrap();
    let mut checked = load::read(Some(folder.path()));
    let book = checked.book.take().unwrap();
    let mut report = Report::default();
    let cases = case::read(&book, &checked, &mut report);
    let problems = report.sorted();
    assert!(problems.is_empty(), "{problems:#?}");
    let case = cases.cases.iter().find(|c| c.id == "salt-on-the-return-rolls");
    let verdict = run::run(&Diagnosis::new(&book), case.unwrap(), WORDING);
    assert!(verdict.holds(), "{:#?}", verdict.failures);
}

/// Renewed with `STRAYBELT_RENEW=1 cargo test --test docs codes`.
#[test]
fn the_guide_lists_all_codes_as_the_program_has_them() {
    let guide = text("rules/GUIDE.md");
    let (before, rest) = guide.split_once("<!-- codes -->\n").unwrap();
    let (table, after) = rest.split_once("<!-- /codes -->").unwrap();
    let mut now = "| code | | what it means |\n|---|---|---|\n".to_owned();
    for code in Code::ALL {
        let severity = match code.severity() {
            Severity::Error => "error",
            Severity::Warning => "warning",
        };
        writeln!(now, "| `{}` | {severity} | {} |", code.word(), code.says()).unwrap();
    }
    if std::env::var_os("STRAYBELT_RENEW").is_some() {
        let page = format!("{before}<!-- codes -->\n{now}<!-- /codes -->{after}");
        fs::write(root("rules/GUIDE.md"), page).unwrap();
    } else {
        let kept: Vec<_> = table.lines().collect();
        assert_eq!(kept, now.lines().collect::<Vec<_>>());
    }
}

/// The tables of expectations and signs name all there are, as the reference has them from the types.
#[test]
fn the_guide_names_all_expectations_and_signs() {
    let (guide, reference) = (text("rules/GUIDE.md"), text("rules/REFERENCE.md"));
    let word = |piece: &str| piece.split('(').next().unwrap().to_owned();
    for (kind, table) in
        [("expectation", "| expectation | holds when |"), ("sign", "| written | on a | says |")]
    {
        let (_, rest) = reference.split_once(&format!("\n### {kind}\n")).unwrap();
        let section = rest.split("\n<!--").next().unwrap().split("\n#").next().unwrap();
        let mut known: Vec<String> = section.split('`').skip(1).step_by(2).map(word).collect();
        let (_, rest) = guide.split_once(table).unwrap();
        let rows = rest.lines().skip(1).take_while(|line| line.starts_with('|'));
        let mut told: Vec<String> = rows
            .flat_map(|row| row.split(" | ").next().unwrap().split('`').skip(1).step_by(2))
            .map(word)
            .collect();
        known.sort();
        told.sort();
        assert_eq!(told, known);
    }
}

/// What ties entries to drills is told word by word.
#[test]
fn the_drills_page_names_all_that_an_entry_may_be_drilled_as() {
    let (page, reference) = (text("rules/DRILLS.md"), text("rules/REFERENCE.md"));
    for kind in ["meaning", "seen in a drill", "fault in a drill"] {
        let (_, rest) = reference.split_once(&format!("\n### {kind}\n")).unwrap();
        let words = rest.split("\n#").next().unwrap().split("<!--").next().unwrap();
        for word in words.split('`').skip(1).step_by(2) {
            assert!(page.contains(&format!("`{word}`")), "{kind}: {word}");
        }
    }
}

/// The pages for authors lie beside the rules: they are read by no command and change no fingerprint.
/// Every goal that a course may ask for is told, with each word of certainty.
#[test]
fn the_drills_page_names_all_that_a_course_may_ask_for() {
    let page = text("rules/DRILLS.md");
    let reference = text("rules/REFERENCE.md");
    let of = |kind: &str| {
        let (_, rest) = reference.split_once(&format!("### {kind}\n")).unwrap();
        let rest = rest.split("\n##").next().unwrap();
        let words = rest.split('`').skip(1).step_by(2);
        words.map(|word| word.split('(').next().unwrap().to_owned()).collect::<Vec<_>>()
    };
    let words = [of("goal"), of("matched")].concat();
    assert!(words.len() > 9, "{words:?}");
    for word in words {
        assert!(
            page.contains(&format!("`{word}")) || page.contains(&format!("({word})")),
            "{word}"
        );
    }
}

#[test]
fn the_pages_beside_the_rules_are_no_rules() {
    let names: Vec<String> = load::built_in().into_iter().map(|(name, _)| name).collect();
    assert!(names.iter().all(|name| name.ends_with(".ron")), "{names:?}");
    let (default, folder) = (load::read(None), load::read(Some(&root("rules"))));
    assert_eq!(folder.problems, []);
    assert_eq!(folder.counts, default.counts);
    assert_eq!(folder.book.unwrap().fingerprint, default.book.unwrap().fingerprint);
}

#[test]
fn the_words_of_the_guide_have_the_numbers_of_the_book() {
    let guide = text("rules/GUIDE.md");
    let (_, rest) = guide.split_once("## The words and their numbers").unwrap();
    let table: Vec<&str> = rest.lines().filter(|line| line.starts_with("| `")).take(6).collect();
    let book = text("rules/book.ron");
    let mut words = 0;
    for cells in table
        .iter()
        .flat_map(|line| {
            line.split('|')
                .collect::<Vec<_>>()
                .windows(2)
                .map(|w| (w[0].trim().to_owned(), w[1].trim().to_owned()))
                .collect::<Vec<_>>()
        })
        .filter(|(word, number)| word.starts_with('`') && number.starts_with("0."))
    {
        let line = format!("{}: {},", cells.0.trim_matches('`').to_lowercase(), cells.1);
        assert!(book.contains(&line), "book.ron does not say {line}");
        words += 1;
    }
    assert_eq!(words, 12);
}

/// The numbers of "A small example, with its numbers".
#[test]
fn the_small_book_gives_the_numbers_of_the_guide() {
    let guide = text("rules/GUIDE.md");
    let (book, warnings) = book(&root("examples/small-book"));
    assert_eq!(warnings, []);
    let sets = [
        ["dirty-rolls"].as_slice(),
        &["crooked-splice"],
        &["low-frame"],
        &["dirty-rolls", "crooked-splice"],
        &["dirty-rolls", "low-frame"],
        &["crooked-splice", "low-frame"],
    ];
    let stages = [
        ("before any answer, %", None),
        ("then, %", Some(("what-is-off", "one-part"))),
        ("then, %", Some(("jumps", "yes"))),
        ("then, %", Some(("ridges", "clean"))),
    ];
    let mut answers = Vec::new();
    for (label, answer) in stages {
        answers.extend(answer);
        let finding = finding(&book, &answers);
        let per_cent = sets.map(|set| format!("{:.2}", 100.0 * chance(&book, &finding, set)));
        let row = format!("| {label} | {} |", per_cent.join(" | "));
        assert!(guide.contains(&row), "the guide does not hold: {row}");
    }
    let finding = finding(&book, &answers);
    let of = |id: &str| {
        let ranked = finding.ranked.iter().find(|r| book.causes[r.cause].id == id);
        format!("{:.1} %", 100.0 * ranked.unwrap().probability)
    };
    assert_eq!(
        [of("crooked-splice"), of("low-frame"), of("dirty-rolls")],
        ["98.7 %", "1.5 %", "1.0 %"]
    );
    assert_eq!(format!("{:.5}", finding.mass_left_out), "0.00015");
    assert_eq!(format!("{:.0}", finding.plan.expected_minutes), "1127");
    assert_eq!(finding.plan.batches.len(), 2);
    assert_eq!(format!("{:.2}", 100.0 * finding.plan.cured_by_plan), "79.75");
}

fn finding(book: &Book, answers: &[(&str, &str)]) -> Finding {
    let mut told = Observations::none(book);
    for (symptom, answer) in answers {
        let (at, entry) = book.symptoms.iter().find(|(_, entry)| entry.id == *symptom).unwrap();
        let (answer, _) = entry.answers.iter().find(|(_, a)| a.id == *answer).unwrap();
        told.replies[at] = Reply::Answer(answer);
    }
    Diagnosis::new(book).finding(&Facts::default(), &told)
}

fn chance(book: &Book, finding: &Finding, set: &[&str]) -> f64 {
    let is = |causes: &[straybelt::rulebook::index::CauseAt]| {
        causes.iter().map(|c| book.causes[*c].id.as_str()).eq(set.iter().copied())
    };
    let found = finding.sets.iter().find(|(causes, _)| is(causes));
    found.unwrap_or_else(|| panic!("no set {set:?}")).1
}

/// The demo site adds, changes and switches off; a moved fingerprint shows here first.
#[test]
fn the_demo_site_lies_cleanly_over_the_default_book() {
    let (site, warnings) = book(&root("examples/ostrel-quay/rules"));
    assert_eq!(warnings, []);
    let default = load::default_book().unwrap();
    let prior = |book: &Book, id: &str| book.causes.values().find(|c| c.id == id).map(|c| c.prior);
    assert_eq!(prior(&default, "salt-crust-on-snub"), None);
    assert_eq!(prior(&site, "salt-crust-on-snub"), Some(0.010));
    assert!(prior(&site, "object-or-spillage") > prior(&default, "object-or-spillage"));
    let has = |book: &Book, id: &str| book.fixes.values().any(|fix| fix.id == id);
    assert!(has(&default, "turn-belt-over") && !has(&site, "turn-belt-over"));
    assert!(site.minutes.lock_out > default.minutes.lock_out);
}

/// What the guide says of the shipped book's size, and of a gauge in book and conveyor file.
#[test]
fn the_guide_knows_the_shipped_book() {
    let guide = text("rules/GUIDE.md");
    let causes = load::default_book().unwrap().causes.len() as u64;
    assert!(guide.contains(&format!("of the {causes} causes of the default book")));
    let (mut sets, mut of_size) = (1, 1);
    for at_once in 1..=5 {
        of_size = of_size * (causes - at_once + 1) / at_once;
        sets += of_size;
        let thousands: Vec<String> = sets
            .to_string()
            .as_bytes()
            .rchunks(3)
            .rev()
            .map(|digits| String::from_utf8_lossy(digits).into_owned())
            .collect();
        assert!(
            at_once < 3 || guide.contains(&format!("{} ", thousands.join(","))),
            "{sets} sets of {at_once}"
        );
    }
    for (piece, folder) in [
        ("measured_by: Gauge(", "rules/symptoms"),
        ("amounts_from: ", "rules/fixes"),
        ("price_of_screw_after: ", "rules/symptoms"),
        ("may_it_run_after: ", "rules/symptoms"),
        ("lasting: ", "rules/fixes"),
    ] {
        let at = guide.find(piece).unwrap();
        let piece = guide[at..].split(['`', '\n']).next().unwrap();
        let held = below(folder).iter().any(|file| text(file).contains(piece));
        assert!(held, "the default book does not hold {piece}");
    }
    let at = guide.find("limits: {").unwrap();
    let limits = guide[at..].split('`').next().unwrap();
    let (_, warnings) = straybelt::conveyor::parse("guide", format!("({limits})")).unwrap();
    assert_eq!(warnings, []);
}

/// All files below a folder of the project, by their paths in it; not what is built or hidden.
fn below(folder: &str) -> Vec<String> {
    let mut files = Vec::new();
    for entry in fs::read_dir(root(folder)).unwrap() {
        let entry = entry.unwrap();
        let name = entry.file_name().into_string().unwrap();
        let path = if folder.is_empty() { name.clone() } else { format!("{folder}/{name}") };
        if name.starts_with('.') || ["target", "corpus", "artifacts"].contains(&name.as_str()) {
            continue;
        }
        if entry.file_type().unwrap().is_dir() {
            files.extend(below(&path));
        } else {
            files.push(path);
        }
    }
    files.sort();
    files
}

/// The pages: all files in Markdown, but for those that are there to be found wrong.
fn pages() -> Vec<String> {
    let mut pages = below("");
    pages.retain(|path| path.ends_with(".md") && !path.contains("/bad_rules/"));
    assert!(pages.len() >= 9, "{pages:?}");
    pages
}

/// The lines of a page outside its code.
fn prose(page: &str) -> impl Iterator<Item = &str> {
    let mut inside = false;
    page.lines().filter(move |line| {
        let fence = line.starts_with("```");
        inside ^= fence;
        !inside && !fence
    })
}

/// What a heading is called in a link: small letters, blanks as hyphens, no other signs.
fn anchor(heading: &str) -> String {
    let small = heading.trim().to_lowercase();
    let kept = small.chars().filter(|c| c.is_alphanumeric() || matches!(c, ' ' | '-' | '_'));
    kept.map(|c| if c == ' ' { '-' } else { c }).collect()
}

/// The anchors of a page; a heading that stands again has a number after it.
fn anchors(page: &str) -> Vec<String> {
    let mut anchors: Vec<String> = Vec::new();
    for line in prose(page).filter(|line| line.starts_with('#')) {
        let name = anchor(line.trim_start_matches('#'));
        let again = anchors.iter().filter(|known| **known == name).count();
        anchors.push(if again == 0 { name } else { format!("{name}-{again}") });
    }
    anchors
}

/// The targets of `[words](target)` in a line, outside backticks.
fn targets(line: &str) -> Vec<String> {
    let plain: String = line.split('`').step_by(2).collect::<Vec<_>>().join("");
    let links = plain.split("](").skip(1);
    links.filter_map(|rest| Some(rest.split_once(')')?.0.to_owned())).collect()
}

#[test]
fn every_link_of_the_pages_leads_somewhere() {
    let mut links = 0;
    for page in pages() {
        let text_of = text(&page);
        let folder = Path::new(&page).parent().unwrap();
        for target in prose(&text_of).flat_map(targets) {
            links += 1;
            let (path, heading) = target.split_once('#').unwrap_or((&target, ""));
            let other =
                if path.is_empty() { root(&page) } else { root("").join(folder).join(path) };
            assert!(other.exists(), "{page} links to {target}, which is not there");
            if !heading.is_empty() {
                let known = anchors(&fs::read_to_string(&other).unwrap());
                let there = known.iter().any(|known| known == heading);
                assert!(there, "{page} links to {target}; that page has {known:#?}");
            }
        }
    }
    assert!(links > 50, "only {links} links were found");
}

#[test]
fn a_link_to_nowhere_would_be_seen() {
    assert_eq!(anchor("A site's `own` folder, told"), "a-sites-own-folder-told");
    assert_eq!(anchors("# A\n```sh\n# no\n```\n## A\n"), ["a", "a-1"]);
    assert_eq!(targets("`[x](no)` [a](b.md#c), [d](#e)"), ["b.md#c", "#e"]);
}

const FOLDERS: [&str; 5] = ["src/", "tests/", "rules/", "examples/", ".ci/"];

/// Every path that the pages name in backticks is there.
#[test]
fn the_paths_that_are_named_exist() {
    for page in pages() {
        let text = text(&page);
        let named =
            prose(&text).flat_map(|line| line.split('`').skip(1).step_by(2)).filter(|name| {
                FOLDERS.iter().any(|folder| name.starts_with(folder)) && !name.contains([' ', '*'])
            });
        for name in named {
            assert!(root(name).exists(), "{page} names {name}, which is not there");
        }
    }
}

/// The commands shown in blocks of the pages are taken by the command line.
#[test]
fn the_commands_that_are_shown_can_be_typed() {
    let mut tried = 0;
    for page in pages() {
        let text = text(&page).replace("\\\n", " ");
        let blocks = text.split("```sh\n").skip(1).map(|rest| rest.split("```").next().unwrap());
        for line in blocks.flat_map(str::lines).filter(|line| line.starts_with("straybelt ")) {
            let typed = line.split(['#', '>', '|']).next().unwrap();
            let taken = Cli::try_parse_from(typed.split_whitespace());
            assert!(taken.is_ok(), "{page}: {line}: {}", taken.unwrap_err());
            tried += 1;
        }
    }
    assert!(tried > 15, "only {tried} commands were found");
}

/// Comments send the reader to nothing that is not here: paths of the project, and pages.
#[test]
fn what_comments_cite_is_there() {
    let mut cited = 0;
    let files = ["src", "tests", "rules", "examples"].map(below).concat();
    for file in files.iter().filter(|file| file.ends_with(".rs") || file.ends_with(".ron")) {
        let text = text(file);
        let comments = text.lines().filter_map(|line| line.split_once("//")).map(|(_, says)| says);
        let separators = |c: char| c.is_whitespace() || "`\"'()[],;:".contains(c);
        for word in comments.flat_map(|says| says.split(separators)) {
            let word = word.trim_end_matches('.');
            let path = FOLDERS.iter().any(|folder| word.starts_with(folder));
            let page = Path::new(word).extension().is_some_and(|kind| kind == "md");
            if (path || page) && !word.contains(['*', '$']) && word != "README.md" {
                cited += 1;
                assert!(root(word).exists(), "{file} cites {word}, which is not there");
            }
        }
    }
    assert!(cited > 10, "only {cited} citations were found");
}

/// What is printed for debugging is for whoever reads a failure: no test looks into it.
#[test]
fn no_test_looks_into_what_is_printed_for_debugging() {
    let looks = ["contains(", "starts_with(", "ends_with(", "find(", "matches(", "lines("];
    for file in ["src", "tests"].map(below).concat().iter().filter(|file| file.ends_with(".rs")) {
        let plain: String = text(file).split_whitespace().collect();
        for piece in plain.split("format!(\"").skip(1) {
            let Some((printed, then)) = piece.split_once(").") else { continue };
            let debug = printed.contains(":?}") && !printed.contains(';');
            assert!(
                !(debug && looks.iter().any(|look| then.starts_with(look))),
                "{file}: {printed}"
            );
        }
    }
}

/// Every room stands in the map.
#[test]
fn the_map_shows_every_room() {
    let page = text("DEVELOPERS.md");
    let (_, rest) = page.split_once("## The map of the house").unwrap();
    let (map, _) = rest.split_once("\n\nArrows").unwrap();
    for entry in fs::read_dir(root("src")).unwrap() {
        let entry = entry.unwrap();
        let name = entry.file_name().into_string().unwrap();
        let slash = if entry.file_type().unwrap().is_dir() { "/" } else { "" };
        assert!(map.contains(&format!("`src/{name}{slash}`")), "the map does not show src/{name}");
    }
}

/// Every crate of Cargo.toml is told, and no other.
#[test]
fn the_crates_are_those_of_the_manifest() {
    let manifest = text("Cargo.toml");
    let mut crates = Vec::new();
    let mut inside = false;
    for line in manifest.lines() {
        if line.starts_with('[') {
            inside = line.ends_with("dependencies]");
        } else if let Some((name, _)) = line.split_once(" = ").filter(|_| inside) {
            crates.push(name);
        }
    }
    let page = text("DEVELOPERS.md");
    let (_, rest) = page.split_once("\n## Crates, and why each is there").unwrap();
    let rows = rest.lines().filter(|line| line.starts_with("| ") && line.contains('`'));
    let mut told: Vec<&str> = rows
        .flat_map(|row| row.split(" | ").next().unwrap().split('`').skip(1).step_by(2))
        .collect();
    crates.sort_unstable();
    // One that the build script needs too stands in the manifest twice.
    crates.dedup();
    told.sort_unstable();
    assert_eq!(told, crates);
}

/// What is typed in the session of the README: past safety, with all at hand; caked rolls by what is told and seen.
const SESSION: [&str; 20] = [
    "1", "no", "no", "no", "1", "3", "1 2 3 4", "1", "2", "2", "1", "1", "5", "1", "2", "0", "3",
    "1", "p", "s",
];

/// The session as the program holds it, shortened.
fn session() -> String {
    let state = tempfile::tempdir().unwrap();
    let mut child = Command::new(env!("CARGO_BIN_EXE_straybelt"))
        .args(["diagnose", "--plain", "--conveyor", "examples/ostrel-quay/conveyors/OQ-04.ron"])
        .arg("--state")
        .arg(state.path())
        .current_dir(root(""))
        .env("COLUMNS", "72")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all((SESSION.join("\n") + "\n").as_bytes()).unwrap();
    let out = String::from_utf8(child.wait_with_output().unwrap().stdout).unwrap();
    let mut seen = String::new();
    let mut typed = SESSION.iter();
    for piece in out.split_inclusive("letter: ") {
        seen.push_str(piece);
        if piece.ends_with("letter: ") {
            writeln!(seen, "{}", typed.next().unwrap()).unwrap();
        }
    }
    assert!(typed.next().is_none(), "not all was typed:\n{seen}");
    let lines: Vec<&str> = seen.lines().filter(|line| !line.trim().is_empty()).collect();
    let title = |line: &str| line.starts_with("--- ");
    // The page with this on it, from its title to the next.
    let page = |part: &str| {
        let at = lines.iter().position(|line| line.contains(part)).unwrap();
        let from = (0..=at).rev().find(|at| title(lines[*at])).unwrap();
        let to = (at + 1..lines.len()).find(|at| title(lines[*at])).unwrap();
        &lines[from..to]
    };
    let up_to = |part: &str, end: &str| {
        let page = page(part);
        let to = page.iter().position(|line| line.contains(end)).unwrap();
        &page[..to]
    };
    let told = page("Tick all that you are told");
    let seen_there = page("Tick all that apply");
    let enough = [page("Enough to act"), page("Go to work, or look on?")].concat();
    let finding = page("--- The finding");
    let plan = up_to("--- The plan", "Batch 2");
    let pieces = [told, seen_there, &enough, finding, plan];
    pieces.map(|piece| piece.join("\n") + "\n...\n").concat()
}

#[test]
fn the_session_of_the_readme_goes_so() {
    const BEGINS: &str = "<!-- session: OQ-04 -->\n```text\n";
    let page = text("README.md");
    let (before, rest) = page.split_once(BEGINS).unwrap();
    let (kept, after) = rest.split_once("```\n").unwrap();
    let now = session();
    if std::env::var_os("STRAYBELT_RENEW").is_some() {
        fs::write(root("README.md"), format!("{before}{BEGINS}{now}```\n{after}")).unwrap();
        return;
    }
    assert!(
        kept == now,
        "renew it, and read the difference: STRAYBELT_RENEW=1 cargo test --test docs session\n{now}"
    );
}

/// The commands in the heads of the answer files, and the one for the JSON file, which holds no comments:
/// conveyor, answers, site's folder.
fn commands() -> Vec<(PathBuf, PathBuf, Option<PathBuf>)> {
    let mut commands = vec![(
        root("examples/ostrel-quay/conveyors/OQ-11.ron"),
        root("examples/ostrel-quay/answers/09-reversing-shuttle.json"),
        None,
    )];
    for entry in fs::read_dir(root("examples/ostrel-quay/answers")).unwrap() {
        let path = entry.unwrap().path();
        let before = commands.len();
        if path.extension().is_some_and(|kind| kind == "json") {
            continue;
        }
        let text = fs::read_to_string(&path).unwrap().replace("\\\n//", "");
        for line in text.lines().filter_map(|line| line.strip_prefix("// straybelt diagnose ")) {
            let words: Vec<&str> = line.split_whitespace().collect();
            let after = |flag: &str| {
                let at = words.iter().position(|word| *word == flag)?;
                words.get(at + 1).map(|word| root(word))
            };
            let answers = after("--answers").unwrap();
            assert_eq!(answers, path, "the command runs another file");
            assert_eq!(after("--format").unwrap(), root("text"));
            commands.push((after("--conveyor").unwrap(), answers, after("--rules")));
        }
        assert!(commands.len() > before, "{} tells no command", path.display());
    }
    commands
}

#[test]
fn every_answer_file_fits_the_book_and_its_conveyor() {
    let default = load::default_book().unwrap();
    let commands = commands();
    assert!(commands.len() >= 12);
    for (conveyor, answers, rules) in commands {
        let (_, warnings) = straybelt::conveyor::read(&conveyor).unwrap();
        assert_eq!(warnings, [], "{}", conveyor.display());
        let site = rules.map(|folder| book(&folder).0);
        let read = straybelt::visit::answers::read(site.as_ref().unwrap_or(&default), &answers);
        assert!(read.is_ok(), "{}: {:#?}", answers.display(), read.err());
    }
}

/// The gate of file 02: fasteners for a fabric belt, never for steel cord.
#[test]
fn the_gate_of_the_splice_story_is_as_its_head_says() {
    let book = load::default_book().unwrap();
    let site = root("examples/ostrel-quay");
    let answers = site.join("answers/02-jumps-at-the-splice.ron");
    let answers = straybelt::visit::answers::read(&book, &answers).unwrap();
    let diagnosis = Diagnosis::new(&book);
    let fasteners = |conveyor: &str| {
        let (conveyor, _) = straybelt::conveyor::read(&site.join(conveyor)).unwrap();
        let finding = diagnosis.finding(conveyor.facts(), &answers.observed);
        let first = finding.ranked.first().unwrap();
        assert_eq!(book.causes[first.cause].id, "crooked-splice");
        let fix = book.fixes.iter().find(|(_, fix)| fix.id == "re-splice-mechanical");
        finding.fixes_apply[fix.unwrap().0]
    };
    assert!(fasteners("conveyors/OQ-01.ron"));
    assert!(!fasteners("conveyors/OQ-07.ron"));
}

/// The splice was as suspected and is made anew; what is seen then leads to what it hid, and no longer to it.
#[test]
fn a_second_look_leads_to_what_the_splice_hid() {
    let book = load::default_book().unwrap();
    let site = root("examples/ostrel-quay");
    let told = site.join("answers/14-one-idler-after-the-joint.ron");
    let told = straybelt::visit::answers::read(&book, &told).unwrap().observed;
    let (conveyor, _) = straybelt::conveyor::read(&site.join("conveyors/OQ-01.ron")).unwrap();
    let diagnosis = Diagnosis::new(&book);
    let finding = diagnosis.finding(conveyor.facts(), &told);
    let leader = finding.ranked.first().unwrap();
    assert_eq!(book.causes[leader.cause].id, "idler-out-of-square");
    let splice = finding.ranked.iter().find(|r| book.causes[r.cause].id == "crooked-splice");
    let splice = splice.unwrap();
    assert!(splice.was_present > 0.99 && splice.probability < 0.01, "{splice:?}");
    // Without the second look it would be looked for at the splice still.
    let mut before = told.clone();
    before.second.clear();
    let finding = diagnosis.finding(conveyor.facts(), &before);
    assert_ne!(finding.ranked.first().unwrap().cause, leader.cause);
}

/// What stands before causes and plans stands alone in the text too, as in the conversation.
#[test]
fn a_stop_or_a_belt_best_left_alone_comes_without_a_plan() {
    for (file, says) in [
        ("13-splice-opening.ron", "STOP. Do this now:"),
        ("08-inside-the-edge-room.ron", "leave it, watch it"),
    ] {
        let ended = std::process::Command::new(env!("CARGO_BIN_EXE_straybelt"))
            .args(["diagnose", "--answers"])
            .arg(root("examples/ostrel-quay/answers").join(file))
            .output()
            .unwrap();
        let page = String::from_utf8(ended.stdout).unwrap();
        assert!(page.contains(says), "{file}: {page}");
        assert!(!page.contains("Batch 1"), "{file}: {page}");
    }
}
