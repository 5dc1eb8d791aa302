//! The whole book as a handbook to read and sign off: what it holds and in which order. [`text`] and
//! [`html`] write it out.

pub mod html;
pub mod text;

use crate::rulebook::find::EntryAt;
use crate::rulebook::index::{CauseAt, FixAt, SymptomAt};
use crate::rulebook::model::Book;
use crate::show::points::WATCH;
use crate::show::shelf::sheet::{Bit, Block, Lead, Sheet, Words};
use crate::show::shelf::{Depth, Shelf, anchor, capital, cause_name};
use crate::show::steps::ISOLATION;

/// A handbook: its chapters in order. The title page is written from the book itself.
#[derive(Debug)]
pub struct Handbook {
    /// What the book calls itself.
    pub name: String,
    /// Its version.
    pub version: String,
    /// Its fingerprint.
    pub fingerprint: String,
    /// The chapters.
    pub chapters: Vec<Chapter>,
}

/// A chapter.
#[derive(Debug)]
pub struct Chapter {
    /// What it is called.
    pub title: &'static str,
    /// Where links to it lead.
    pub anchor: &'static str,
    /// What stands under its title, before its leaves.
    pub opening: Sheet,
    /// Its leaves.
    pub leaves: Vec<Leaf>,
    /// Whether each leaf begins on a new page.
    pub page_each: bool,
}

/// One entry's part of a chapter.
#[derive(Debug)]
pub struct Leaf {
    /// What the table of contents calls it.
    pub title: String,
    /// Where links to it lead.
    pub anchor: String,
    /// What it says.
    pub sheet: Sheet,
}

/// Said on the title page, since no number of a rule book is measured unless it says so.
pub const OF_NUMBERS: &str = "Likelihoods, priors and minutes are judgements of the book's authors unless an entry names a source for them. \
The mark beside an entry says where its facts come from.";

/// Said on the title page.
pub const ABOVE: &str = "The site's rules, the law of the place and people licensed for the work come before anything in this book.";

/// Who signs, on the title page.
pub const SIGNED: [&str; 4] = [
    "Printed on (date)",
    "Read by (name, trade)",
    "Approved by (name, office)",
    "Signature and date",
];

impl Handbook {
    /// The handbook of a book.
    pub fn of(book: &Book) -> Self {
        let shelf = Shelf::of(book);
        let chapter = |title, anchor, opening: Sheet, leaves, page_each| Chapter {
            title,
            anchor,
            opening,
            leaves,
            page_each,
        };
        let mut chapters = vec![
            chapter("Safety", "safety", safety(&shelf), before_all(&shelf), false),
            chapter("How to read this book", "reading", reading(book), Vec::new(), false),
            chapter("Causes", "causes", Sheet::default(), causes(&shelf), true),
            chapter("Questions", "questions", Sheet::default(), questions(&shelf), false),
            chapter(
                "Fixes, in the usual order of work",
                "fixes",
                Sheet::default(),
                fixes(&shelf),
                false,
            ),
            chapter("Cautions", "cautions", Sheet::default(), cautions(&shelf), false),
            chapter("Glossary", "glossary", glossary(&shelf), Vec::new(), false),
            chapter("Sources", "sources", Sheet::default(), sources(&shelf), false),
        ];
        // A small book has no glossary, or no sources.
        chapters.retain(|chapter| !chapter.leaves.is_empty() || !chapter.opening.blocks.is_empty());
        Self {
            name: book.name.clone(),
            version: book.version.clone(),
            fingerprint: book.fingerprint.clone(),
            chapters,
        }
    }
}

fn safety(shelf: &Shelf) -> Sheet {
    let mut sheet = Sheet::default();
    sheet.para(Words::default().strong("A moving belt takes what touches it."));
    let rules = [
        "Look only, from outside the guards. Touch nothing, clean nothing, measure nothing and adjust nothing on a belt that moves.",
        ABOVE,
        "A stop button or pull cord is no isolation.",
        "Unsure, or alone where you should not be? Stop, and ask the supervisor.",
    ];
    sheet.list("", Lead::Dot, rules.map(Words::plain).to_vec());
    sheet.section("Before any work that is marked LOCKED OUT");
    sheet.para(ISOLATION);
    let back = WATCH.iter().map(|point| {
        let (word, ask) = point.ask.split_once(": ").unwrap_or(("", point.ask));
        Words::default().strong(format!("{word}: ")).and(format!(
            "{} {}",
            capital(ask),
            point.means
        ))
    });
    sheet.list("Before any restart", Lead::Dot, back.collect());
    let tell = &shelf.book.tell_specialist;
    let tell = tell.iter().map(|text| Words::plain(shelf.fill(text)));
    sheet.list(
        "When this book has nothing left: what to tell a specialist",
        Lead::Dot,
        tell.collect(),
    );
    sheet
}

/// The questions that come before everything else.
fn before_all(shelf: &Shelf) -> Vec<Leaf> {
    let stops = shelf.book.stop_now.iter().enumerate();
    let mut leaves: Vec<Leaf> = stops
        .map(|(at, stop)| {
            leaf(shelf, EntryAt::StopNow(at), &stop.ask, anchor("stop-now", &stop.id))
        })
        .collect();
    let room = &shelf.book.edge_room;
    leaves.push(leaf(shelf, EntryAt::EdgeRoom, &room.ask, anchor("edge-room", &room.id)));
    leaves
}

/// The words, their numbers, and what the marks mean.
fn reading(book: &Book) -> Sheet {
    let mut sheet = Sheet::default();
    sheet.para(format!(
        "Each cause has a page. Its signs say how likely an answer is when this cause alone is present, and how likely without \
         it; the weight is ten times the logarithm of the one over the other, in decibans: 10 decibans are a factor of ten. At most \
         {} causes at once are reckoned with.",
        book.at_most
    ));
    let words = |names: &[&str], numbers: &[f64]| -> Vec<Vec<Words>> {
        let both = names.iter().zip(numbers);
        both.map(|(name, number)| vec![Words::plain(*name), Words::plain(number.to_string())])
            .collect()
    };
    sheet.section("The words for likelihoods");
    let likelihood = ["always", "usually", "often", "sometimes", "seldom", "never"];
    sheet.add(Block::Table {
        head: vec!["word", "number"],
        rows: words(&likelihood, &book.words.likelihood),
    });
    sheet.section("The words for how common a cause is");
    let common = ["everyday", "common", "occasional", "rare"];
    sheet.add(Block::Table {
        head: vec!["word", "chance when somebody is called"],
        rows: words(&common, &book.words.common),
    });
    sheet.para("\"About often\" means a number of its own near that word. Left and right are physical sides, looking from tail to head.");
    sheet.section("Minutes reckoned with");
    sheet.pairs(vec![
        ("Lock out", crate::show::chance::minutes(book.minutes.lock_out).into()),
        ("Restart and watch", crate::show::chance::minutes(book.minutes.restart_and_watch).into()),
        ("A wrong or missing finding", crate::show::chance::minutes(book.minutes.give_up).into()),
    ]);
    sheet
}

fn leaf(shelf: &Shelf, at: EntryAt, title: &str, anchor: String) -> Leaf {
    Leaf { title: shelf.fill(title), anchor, sheet: shelf.sheet(at, Depth::Whole, &[]) }
}

fn causes(shelf: &Shelf) -> Vec<Leaf> {
    let mut all: Vec<CauseAt> = shelf.book.causes.places().collect();
    let code = |at: &CauseAt| {
        let code = &shelf.book.causes[*at].code;
        (code.is_empty(), code.clone(), *at)
    };
    all.sort_by_key(code);
    let leaf = |at: CauseAt| {
        let cause = &shelf.book.causes[at];
        let name = cause_name(&cause.code, &cause.name);
        leaf(shelf, EntryAt::Cause(at), &name, anchor("cause", &cause.id))
    };
    all.into_iter().map(leaf).collect()
}

/// Opening questions first, then in the order of the book.
fn questions(shelf: &Shelf) -> Vec<Leaf> {
    let book = shelf.book;
    let mut all: Vec<SymptomAt> = book.symptoms.places().collect();
    all.sort_by_key(|at| {
        let opening = book.opening.iter().position(|other| other == at);
        (opening.unwrap_or(usize::MAX), *at)
    });
    let leaf = |at: SymptomAt| {
        let symptom = &book.symptoms[at];
        leaf(shelf, EntryAt::Symptom(at), &symptom.ask, anchor("symptom", &symptom.id))
    };
    all.into_iter().map(leaf).collect()
}

fn fixes(shelf: &Shelf) -> Vec<Leaf> {
    let book = shelf.book;
    let mut all: Vec<FixAt> = book.fixes.places().collect();
    all.sort_by_key(|at| (book.fixes[*at].stage, *at));
    let leaf = |at: FixAt| {
        let fix = &book.fixes[at];
        leaf(shelf, EntryAt::Fix(at), &fix.title, anchor("fix", &fix.id))
    };
    all.into_iter().map(leaf).collect()
}

fn cautions(shelf: &Shelf) -> Vec<Leaf> {
    let all = shelf.book.cautions.iter();
    all.map(|(at, caution)| {
        let title = caution.id.replace('-', " ");
        leaf(shelf, EntryAt::Caution(at), &title, anchor("caution", &caution.id))
    })
    .collect()
}

fn glossary(shelf: &Shelf) -> Sheet {
    let mut sheet = Sheet::default();
    let terms = shelf.book.glossary.iter();
    let terms = terms.map(|term| {
        Words(vec![Bit::Strong(format!("{}: ", term.term)), Bit::Text(term.means.clone())])
    });
    sheet.list("", Lead::Dot, terms.collect());
    sheet
}

fn sources(shelf: &Shelf) -> Vec<Leaf> {
    let all = shelf.book.sources.iter();
    all.map(|(at, source)| {
        leaf(shelf, EntryAt::Source(at), &source.short, anchor("source", &source.id))
    })
    .collect()
}
