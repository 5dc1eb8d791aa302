//! From files to a checked book: the compiled-in default, a site's folder laid over it, or a folder
//! that is a whole book of its own because it holds a book.ron.

use std::fmt::Write as _;
use std::path::Path;

use include_dir::{Dir, include_dir};
use serde::Deserialize;
use sha2::{Digest, Sha256};

use super::check::{Off, check, other_schema};
use super::followers::without_followers;
use super::gauge_files;
use super::model::Book;
use super::overlay;
pub use super::own_folder::layers;
use super::own_folder::{laid_folders, whole_without_its_book};
pub use super::part::BUILT_IN;
use super::part::{PARTS, Part, part};
use super::places::{EntryKind, Places};
use super::rules::{Broken, Rules};
use super::signed::{self, SignedEntry};
use super::written::BookFile;
use crate::problem::{Code, Problem, Problems, Report, near};
use crate::source::parse::{Items, Spanned};
use crate::source::{FileId, Place, Texts, parse};

static RULES: Dir = include_dir!("$CARGO_MANIFEST_DIR/rules");

/// The compiled-in rule book.
///
/// # Errors
/// Never with the files that are shipped; a test sees to that.
pub fn default_book() -> Result<Book, Problems> {
    with_site(None).map(|(book, _)| book)
}

/// The rule book with a site's folder, and the warnings about it.
///
/// # Errors
/// Everything that is wrong with the rule files.
pub fn with_site(site: Option<&Path>) -> Result<(Book, Vec<Problem>), Problems> {
    let Checked { book, problems, .. } = read(site);
    match book {
        Some(book) => Ok((book, problems)),
        None => Err(Problems(problems)),
    }
}

/// What came of reading rules.
#[derive(Debug)]
pub struct Checked {
    /// The book, unless something is wrong with it.
    pub book: Option<Book>,
    /// Errors and warnings in the order of the files.
    pub problems: Vec<Problem>,
    /// How much was read.
    pub counts: Counts,
    /// Whether the folder was a whole book, or laid over the default one.
    pub laid: Laid,
    /// All texts that were read.
    pub texts: Texts,
    /// The case files among them, the book's first.
    pub cases: Vec<FileId>,
    /// The drill files among them, the book's first.
    pub drills: Vec<FileId>,
    /// The files of courses among them, the book's first.
    pub courses: Vec<FileId>,
    /// Where each entry stands.
    pub places: Places,
    /// What the site has switched off.
    pub off: Off,
    /// The files of the folder itself: which text, and the path inside.
    pub own: Vec<(FileId, String)>,
    /// Who signed the folder off, oldest first.
    pub signed: Vec<SignedEntry>,
    /// The folder on top, as its files are named; empty without one.
    pub top: String,
    /// How many folders were laid over each other.
    pub layers: usize,
    /// How many places name what did not load, and are not told of by themselves.
    pub followers: usize,
}

/// What a folder is to the default book.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Laid {
    /// There was none.
    Default,
    /// It was laid over the default book.
    Over,
    /// It holds a book.ron, so it stands by itself.
    Whole,
}

/// How much was read.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, serde::Serialize)]
#[expect(missing_docs, reason = "numbers of what they are named for")]
pub struct Counts {
    pub files: usize,
    pub symptoms: usize,
    pub looks: usize,
    pub causes: usize,
    pub fixes: usize,
    pub cautions: usize,
    pub sources: usize,
    pub terms: usize,
}

/// Reads and checks the rules with everything that is to be said of them.
pub fn read(site: Option<&Path>) -> Checked {
    read_changed(site, |_, _, _| {})
}

/// The same with something changed in the rules as written, before they are checked.
pub fn read_changed(
    site: Option<&Path>,
    change: impl FnOnce(&mut Rules, &mut Texts, &mut Report),
) -> Checked {
    let mut texts = Texts::default();
    let mut report = Report::default();
    let mut files: Vec<(FileId, String)> = Vec::new();
    let mut laid = Laid::Default;
    let mut folders = Vec::new();
    if let Some(site) = site {
        folders = laid_folders(site, &mut texts, &mut report);
        let whole = folders.first().is_some_and(|(_, lowest)| lowest.holds("book.ron"));
        laid = if whole { Laid::Whole } else { Laid::Over };
    }
    if laid != Laid::Whole {
        for (inside, text) in built_in() {
            files.push((texts.add(format!("{BUILT_IN}/{inside}"), text), inside));
        }
    }
    let mut rules = gather(&files, &texts, &mut report);
    let mut off = Off::default();
    let own_files = folders.last().map_or_else(Vec::new, |(_, top)| top.files.clone());
    let layers = folders.len();
    for (number, (dir, own)) in folders.into_iter().enumerate() {
        let mut over = gather(&own.files, &texts, &mut report);
        over.broken.append(own.broken);
        if laid == Laid::Whole && number == 0 {
            lone_site_file(&over, &texts, &mut report);
            rules = over;
        } else if let Some(problem) = whole_without_its_book(&rules, &over, &dir) {
            report.add(problem);
            rules = Rules::default();
        } else {
            overlay::lay_over(&mut rules, over, &mut off, &texts, &mut report);
        }
        files.extend(own.files);
    }
    let counts = Counts {
        files: files.iter().filter(|(_, inside)| part(inside).is_some()).count(),
        symptoms: rules.symptoms.len(),
        looks: rules.looks.len(),
        causes: rules.causes.len(),
        fixes: rules.fixes.len(),
        cautions: rules.cautions.len(),
        sources: rules.sources.len(),
        terms: rules.glossary.len(),
    };
    complete(&rules, site, &mut report);
    change(&mut rules, &mut texts, &mut report);
    let places = Places::new(&rules);
    let book = check(&rules, &off, fingerprint(&files, &texts), &texts, &mut report);
    let signed = own_files
        .iter()
        .find(|(_, inside)| inside == signed::FILE)
        .map_or_else(Vec::new, |(file, _)| signed::read(&texts, *file, &mut report));
    let hidden = without_followers(&rules, &texts, &mut report);
    let followers = report.followers() + hidden;
    let mut book = if report.has_errors() { None } else { book };
    if let Some(book) = &mut book {
        book.signed = signed::of(&signed, &book.fingerprint);
    }
    let in_folder = |folder: &str| {
        let inside = files.iter().filter(|(_, inside)| inside.starts_with(folder));
        inside.map(|(file, _)| *file).collect()
    };
    let (cases, drills, courses) = (in_folder(CASES), in_folder(DRILLS), in_folder(COURSES));
    let problems = report.sorted();
    Checked {
        book,
        problems,
        counts,
        laid,
        texts,
        cases,
        drills,
        courses,
        places,
        off,
        own: own_files,
        signed,
        top: site.map_or_else(String::new, |site| site.display().to_string()),
        layers,
        followers,
    }
}

impl Checked {
    /// Where it is said what the folder does with an entry: in site.ron, or where the entry itself stands.
    pub fn said(&self, kind: &'static str, id: &str) -> Option<Place> {
        let key = (kind, id.to_owned());
        let in_site = self.off.changed.get(&key).or_else(|| self.off.by.get(&key));
        match in_site {
            Some(span) => Some(self.texts.place(*span)),
            None => {
                let kind = EntryKind::of_word(kind)?;
                self.places.find(kind, id, &self.texts)
            }
        }
    }
}

/// The compiled-in files: path inside the folder, and text. In order of path.
pub fn built_in() -> Vec<(String, &'static str)> {
    fn walk(dir: &'static Dir, out: &mut Vec<(String, &'static str)>) {
        for file in dir.files() {
            let parts: Vec<_> =
                file.path().iter().map(|part| part.to_string_lossy().into_owned()).collect();
            out.push((parts.join("/"), file.contents_utf8().unwrap_or("")));
        }
        dir.dirs().for_each(|dir| walk(dir, out));
    }
    let mut out = Vec::new();
    walk(&RULES, &mut out);
    out.retain(|(path, _)| path.ends_with(".ron"));
    out.sort();
    out
}

/// The JSON schema of the rule files, as a test writes it from the types that read them.
pub fn schema() -> &'static str {
    RULES.get_file("schema.json").and_then(|file| file.contents_utf8()).unwrap_or("{}")
}

/// The folder of the regression cases.
const CASES: &str = "cases/";
/// The folder of the drills.
const DRILLS: &str = "drills/";
/// The folder of the courses.
const COURSES: &str = "courses/";
/// Folders whose files belong to others.
const OTHERS: &[&str] = &[CASES, DRILLS, COURSES, signed::FILE];

fn gather(files: &[(FileId, String)], texts: &Texts, report: &mut Report) -> Rules {
    let mut rules = Rules::default();
    for (file, inside) in files {
        let file = *file;
        match part(inside) {
            Some(Part::Book) => book(&mut rules.book, file, texts, report),
            Some(Part::Site) => one(&mut rules.site, file, texts, report),
            Some(Part::EdgeRoom) => one(&mut rules.edge_room, file, texts, report),
            Some(Part::Symptoms) => {
                list(&mut rules.symptoms, ("symptom", &mut rules.broken), file, texts, report);
            }
            Some(Part::Looks) => {
                list(&mut rules.looks, ("look", &mut rules.broken), file, texts, report);
            }
            Some(Part::Causes) => {
                list(&mut rules.causes, ("cause", &mut rules.broken), file, texts, report);
            }
            Some(Part::Fixes) => {
                list(&mut rules.fixes, ("fix", &mut rules.broken), file, texts, report);
            }
            Some(Part::Cautions) => {
                list(&mut rules.cautions, ("caution", &mut rules.broken), file, texts, report);
            }
            Some(Part::Sources) => {
                list(&mut rules.sources, ("source", &mut rules.broken), file, texts, report);
            }
            Some(Part::Glossary) => {
                list(&mut rules.glossary, ("term", &mut rules.broken), file, texts, report);
            }
            Some(Part::Tools) => {
                list(&mut rules.tools, ("tool", &mut rules.broken), file, texts, report);
            }
            Some(Part::StopNow) => {
                list(&mut rules.stop_now, ("question", &mut rules.broken), file, texts, report);
            }
            // The program has its own sizes as constants, by `build.rs`.
            Some(Part::Gauges) if texts.name(file).starts_with(BUILT_IN) => {}
            Some(Part::Gauges) => gauge_files::read(&mut rules.gauges, file, texts, report),
            None if OTHERS.iter().any(|folder| inside.starts_with(folder)) => {}
            None => {
                let place = Place::file(texts.name(file));
                let problem = Problem::at(Code::StrayFile, place, "nothing is read from this file");
                // `Causes/x.ron` and `causes.ron` were both meant for `causes/`.
                let meant = match inside.split_once('/') {
                    Some((folder, _)) => format!("{folder}/"),
                    None if part(&format!("{}/", inside.trim_end_matches(".ron"))).is_some() => {
                        format!("{}/", inside.trim_end_matches(".ron"))
                    }
                    None => inside.clone(),
                };
                report.add(near(
                    problem,
                    &meant,
                    PARTS.iter().map(|(path, _)| *path),
                    "rules are read from",
                ));
            }
        }
    }
    gauge_files::twice(&rules.gauges, texts, report);
    rules
}

/// book.ron. Of another version's book only its schema is told: everything else in it may be different.
fn book(to: &mut Option<Spanned<BookFile>>, file: FileId, texts: &Texts, report: &mut Report) {
    #[derive(Deserialize)]
    struct Version {
        schema: Spanned<u32>,
    }
    let version = parse::whole::<Version>(texts, file).ok();
    match version.and_then(|version| other_schema(version.value.schema, texts)) {
        Some(problem) => report.add(problem),
        None => one(to, file, texts, report),
    }
}

fn one<T: for<'de> Deserialize<'de>>(
    to: &mut Option<Spanned<T>>,
    file: FileId,
    texts: &Texts,
    report: &mut Report,
) {
    let read = parse::whole_in_spite(texts, file);
    read.slips.iter().for_each(|slip| report.add(Problem::slip(texts, slip)));
    // What somebody left out of such a file cannot be guessed.
    if !read.guessed {
        *to = read.value;
    }
}

/// Reads the entries of a file. What does not load still stands as a name.
fn list<T: for<'de> Deserialize<'de>>(
    to: &mut Vec<Spanned<T>>,
    (kind, broken): (&'static str, &mut Broken),
    file: FileId,
    texts: &Texts,
    report: &mut Report,
) {
    let Items { items, slips, names } = parse::list(texts, file);
    slips.iter().for_each(|slip| report.add(Problem::slip(texts, slip)));
    broken.names.extend(names.into_iter().map(|id| (kind, id.text)));
    for item in items {
        item.slips.iter().for_each(|slip| report.add(Problem::slip(texts, slip)));
        match item.value {
            // What others say of a question hangs on its kind and its answers.
            Some(entry) if !(item.guessed && kind == "symptom") => {
                if item.guessed {
                    broken.guessed.push(item.span);
                }
                to.push(entry);
            }
            _ => broken.names.extend(item.id.map(|id| (kind, id.text))),
        }
    }
}

/// A whole book cannot do without these.
fn complete(rules: &Rules, site: Option<&Path>, report: &mut Report) {
    let missing = [
        (rules.book.is_none(), "book.ron"),
        (rules.symptoms.is_empty(), "symptoms"),
        (rules.causes.is_empty(), "causes"),
        (rules.fixes.is_empty(), "fixes"),
        (rules.stop_now.is_empty(), "stop-now.ron"),
        (rules.edge_room.is_none(), "edge-room.ron"),
    ];
    // After a file that cannot be read this would only repeat it.
    if report.has_errors() {
        return;
    }
    for (_, what) in missing.iter().filter(|(missing, _)| *missing) {
        let place = Place::file(
            site.map_or_else(|| BUILT_IN.to_owned(), |site| site.display().to_string()),
        );
        report.add(Problem::at(Code::NoEntries, place, format!("the rule book has no {what}")));
    }
}

fn lone_site_file(rules: &Rules, texts: &Texts, report: &mut Report) {
    if let Some(site) = &rules.site {
        let problem = Problem::at(
            Code::StrayFile,
            texts.place(site.span.first()),
            "site.ron has no effect beside a book.ron",
        );
        report.add(
            problem
                .help("a folder with book.ron is a whole book: make the changes in its own files"),
        );
    }
}

/// SHA-256 in hex over the names and texts of all files that make the book.
fn fingerprint(files: &[(FileId, String)], texts: &Texts) -> String {
    let mut hash = Sha256::new();
    for (file, inside) in files.iter().filter(|(_, inside)| part(inside).is_some()) {
        let text = texts.text(*file);
        hash.update(inside.as_bytes());
        hash.update([0]);
        hash.update((text.len() as u64).to_be_bytes());
        hash.update(text.as_bytes());
    }
    hash.finalize().iter().fold(String::new(), |mut hex, byte| {
        let _ = write!(hex, "{byte:02x}");
        hex
    })
}
