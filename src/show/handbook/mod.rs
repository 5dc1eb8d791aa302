//! The whole book as a handbook to read and sign off: what it holds and in which order. [`text`] and
//! [`html`] write it out.

pub mod html;
pub mod text;

use std::collections::{BTreeMap, BTreeSet};

use crate::rulebook::find::EntryAt;
use crate::rulebook::index::{FixAt, SymptomAt};
use crate::rulebook::model::Book;
use crate::rulebook::words::COMMON;
use crate::show::changes::{Changes, marks};
use crate::show::entries::sheet::{Bit, Block, ListMark, RichText, Sheet};
use crate::show::entries::{BookSheets, Detail, anchor};
use crate::show::letters::capital;
use crate::show::points::WATCH;
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
pub const ABOVE: &str =
    "Site rules, the law and people licensed for the work come before anything in this book.";

/// Who signs, on the title page.
pub const SIGNED: [&str; 4] = [
    "Printed on (date)",
    "Read by (name, trade)",
    "Approved by (name, office)",
    "Signature and date",
];

impl Handbook {
    /// The handbook of a book.
    pub fn new(book: &Book) -> Self {
        let sheets = BookSheets::new(book);
        let chapter = |title, anchor, opening: Sheet, leaves, page_each| Chapter {
            title,
            anchor,
            opening,
            leaves,
            page_each,
        };
        let mut chapters = vec![
            chapter("Safety", "safety", safety(&sheets), before_all(&sheets), false),
            chapter("How to read this book", "reading", reading(book), Vec::new(), false),
            chapter("Causes", "causes", Sheet::default(), causes(&sheets), true),
            chapter(
                "Looks: where to stand, and for what",
                "looks",
                Sheet::default(),
                looks(&sheets),
                false,
            ),
            chapter("Questions", "questions", Sheet::default(), questions(&sheets), false),
            chapter(
                "Fixes, in the usual order of work",
                "fixes",
                Sheet::default(),
                fixes(&sheets),
                false,
            ),
            chapter("Cautions", "cautions", Sheet::default(), cautions(&sheets), false),
            chapter("Glossary", "glossary", glossary(&sheets), Vec::new(), false),
            chapter("Sources", "sources", Sheet::default(), sources(&sheets), false),
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

/// What the first chapter of a site's handbook is called.
const CHANGED: &str = "What this site has changed";

impl Handbook {
    /// Puts what a site changes in the book below first, and a mark beside each entry that it touched.
    pub fn of_a_site(&mut self, changes: &Changes<'_>) {
        let marks: BTreeMap<String, &'static str> = marks(changes.all).into_iter().collect();
        for leaf in self.chapters.iter_mut().flat_map(|chapter| &mut chapter.leaves) {
            let Some(mark) = marks.get(&leaf.anchor) else { continue };
            leaf.title = format!("{} ({mark})", leaf.title);
            // Right under the title.
            let at = leaf.sheet.blocks.len().min(1);
            leaf.sheet.blocks.insert(at, Block::Para(RichText::default().strong(capital(mark))));
        }
        let chapter = Chapter {
            title: CHANGED,
            anchor: "changed",
            opening: changes.sheet(),
            leaves: Vec::new(),
            page_each: false,
        };
        self.chapters.insert(0, chapter);
    }

    /// Makes plain words of links to what is not printed.
    fn unlink(&mut self) {
        let kept: BTreeSet<String> = (self.chapters.iter())
            .flat_map(|chapter| chapter.leaves.iter().map(|leaf| leaf.anchor.clone()))
            .collect();
        let sheets = self.chapters.iter_mut().flat_map(|chapter| {
            let leaves = chapter.leaves.iter_mut().map(|leaf| &mut leaf.sheet);
            std::iter::once(&mut chapter.opening).chain(leaves)
        });
        for bit in sheets.flat_map(Sheet::bits_mut) {
            if let Bit::Entry { anchor, text, .. } = bit
                && !kept.contains(anchor)
            {
                *bit = Bit::Text(std::mem::take(text));
            }
        }
    }

    /// How many entries have a leaf of their own.
    pub fn leaves(&self) -> usize {
        self.chapters.iter().map(|chapter| chapter.leaves.len()).sum()
    }

    /// The names by which chapters are asked for.
    pub fn anchors(&self) -> Vec<&'static str> {
        self.chapters.iter().map(|chapter| chapter.anchor).collect()
    }

    /// Leaves only these chapters; all of them if none is named.
    ///
    /// # Errors
    /// The first that there is not.
    pub fn only(&mut self, named: &[String]) -> Result<(), String> {
        let known = self.anchors();
        if let Some(missing) = named.iter().find(|name| !known.contains(&name.as_str())) {
            return Err(missing.clone());
        }
        if !named.is_empty() {
            self.chapters.retain(|chapter| named.iter().any(|name| name == chapter.anchor));
            self.unlink();
        }
        Ok(())
    }
}

fn safety(sheets: &BookSheets) -> Sheet {
    let mut sheet = Sheet::default();
    sheet.para(RichText::default().strong("A moving belt takes what touches it."));
    let rules = [
        "Look only, from outside the guards. Never touch, clean, measure or adjust anything on a moving belt.",
        ABOVE,
        "A stop button or pull cord does not isolate anything.",
        "Unsure, or alone where you should not be? Stop and ask the supervisor.",
    ];
    sheet.list("", ListMark::Dot, rules.map(RichText::plain).to_vec());
    sheet.section("Before any work that is marked LOCKED OUT");
    sheet.para(ISOLATION);
    let back = WATCH.iter().map(|point| {
        let (word, ask) = point.ask.split_once(": ").unwrap_or(("", point.ask));
        RichText::default().strong(format!("{word}: ")).and(format!(
            "{} {}",
            capital(ask),
            point.means
        ))
    });
    sheet.list("Before any restart", ListMark::Dot, back.collect());
    let tell = &sheets.book.tell_specialist;
    let tell = tell.iter().map(|text| RichText::plain(sheets.fill(text)));
    sheet.list(
        "When this book has nothing left: what to tell a specialist",
        ListMark::Dot,
        tell.collect(),
    );
    sheet
}

/// The questions that come before everything else.
fn before_all(sheets: &BookSheets) -> Vec<Leaf> {
    let stops = sheets.book.stop_now.iter().enumerate();
    let mut leaves: Vec<Leaf> = stops
        .map(|(at, stop)| {
            leaf(sheets, EntryAt::StopNow(at), &stop.ask, anchor("stop-now", &stop.id))
        })
        .collect();
    let room = &sheets.book.edge_room;
    leaves.push(leaf(sheets, EntryAt::EdgeRoom, &room.ask, anchor("edge-room", &room.id)));
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
    let words = |names: &[&str], numbers: &[f64]| -> Vec<Vec<RichText>> {
        let both = names.iter().zip(numbers);
        both.map(|(name, number)| vec![RichText::plain(*name), RichText::plain(number.to_string())])
            .collect()
    };
    sheet.section("The words for likelihoods");
    let likelihood = ["always", "usually", "often", "sometimes", "seldom", "never"];
    sheet.add(Block::Table {
        head: vec!["word", "number"],
        rows: words(&likelihood, &book.words.likelihood),
    });
    sheet.section("The words for how common a cause is");
    sheet.add(Block::Table {
        head: vec!["word", "chance when somebody is called"],
        rows: words(&COMMON, &book.words.common),
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

fn leaf(sheets: &BookSheets, at: EntryAt, title: &str, anchor: String) -> Leaf {
    Leaf { title: sheets.fill(title), anchor, sheet: sheets.sheet(at, Detail::Whole, &[]) }
}

fn causes(sheets: &BookSheets) -> Vec<Leaf> {
    let all = sheets.book.causes.iter();
    all.map(|(at, cause)| leaf(sheets, EntryAt::Cause(at), &cause.name, anchor("cause", &cause.id)))
        .collect()
}

fn looks(sheets: &BookSheets) -> Vec<Leaf> {
    let all = sheets.book.looks.iter().filter(|(_, look)| look.place.is_some());
    all.map(|(at, look)| leaf(sheets, EntryAt::Look(at), &look.title, anchor("look", &look.id)))
        .collect()
}

/// Opening questions first, then in the order of the book.
fn questions(sheets: &BookSheets) -> Vec<Leaf> {
    let book = sheets.book;
    let mut all: Vec<SymptomAt> = book.symptoms.places().collect();
    all.sort_by_key(|at| {
        let opening = book.opening.iter().position(|other| other == at);
        (opening.unwrap_or(usize::MAX), *at)
    });
    let leaf = |at: SymptomAt| {
        let symptom = &book.symptoms[at];
        leaf(sheets, EntryAt::Symptom(at), &symptom.ask, anchor("symptom", &symptom.id))
    };
    all.into_iter().map(leaf).collect()
}

fn fixes(sheets: &BookSheets) -> Vec<Leaf> {
    let book = sheets.book;
    let mut all: Vec<FixAt> = book.fixes.places().collect();
    all.sort_by_key(|at| (book.fixes[*at].stage, *at));
    let leaf = |at: FixAt| {
        let fix = &book.fixes[at];
        leaf(sheets, EntryAt::Fix(at), &fix.title, anchor("fix", &fix.id))
    };
    all.into_iter().map(leaf).collect()
}

fn cautions(sheets: &BookSheets) -> Vec<Leaf> {
    let all = sheets.book.cautions.iter();
    all.map(|(at, caution)| {
        let title = caution.id.replace('-', " ");
        leaf(sheets, EntryAt::Caution(at), &title, anchor("caution", &caution.id))
    })
    .collect()
}

fn glossary(sheets: &BookSheets) -> Sheet {
    let mut sheet = Sheet::default();
    let terms = sheets.book.glossary.iter();
    let terms = terms.map(|term| {
        RichText(vec![Bit::Strong(format!("{}: ", term.term)), Bit::Text(term.means.clone())])
    });
    sheet.list("", ListMark::Dot, terms.collect());
    sheet
}

fn sources(sheets: &BookSheets) -> Vec<Leaf> {
    let all = sheets.book.sources.iter();
    all.map(|(at, source)| {
        leaf(sheets, EntryAt::Source(at), &source.short, anchor("source", &source.id))
    })
    .collect()
}
