//! A site to sit at: a place to keep visits in, a book, a clock, and somebody who types.

use std::collections::{HashSet, VecDeque};
use std::sync::LazyLock;

use straybelt::ask::reply::read_note;
use straybelt::ask::{Ask, Farewell, KeyKind, NoteReply, Pace, Prompt, PromptReply, Script};
use straybelt::commands::diagnose::{ConveyorFrom, Means, Talk, announce, converse};
use straybelt::conveyor;
use straybelt::exit::Exit;
use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;
use straybelt::visit::ConveyorFacts;
use straybelt::visit::clock::TestClock;
use straybelt::visit::store::VisitStore;

use super::whole::whole_visit;
use crate::support::files::{quick_folder, root};
use crate::support::pages::{bodies, once, same_words};

/// The same for every screen.
pub(crate) struct Site {
    pub(crate) book: Book,
    pub(crate) clock: TestClock,
    folder: tempfile::TempDir,
}

impl Site {
    /// With the default book.
    pub(crate) fn new() -> Self {
        Self::with(load::default_book().unwrap_or_else(|problems| panic!("{problems:?}")))
    }

    /// With the small book of these tests.
    pub(crate) fn small() -> Self {
        let book = load::with_site(Some(&root("tests/screens/book")));
        Self::with(book.unwrap_or_else(|problems| panic!("{problems:?}")).0)
    }

    /// With another book.
    pub(crate) fn with(book: Book) -> Self {
        Self {
            book,
            folder: quick_folder(),
            clock: TestClock::from("2026-03-04T10:15:00Z".parse().expect("a time")),
        }
    }

    pub(crate) fn store(&self) -> VisitStore {
        VisitStore::at(self.folder.path())
    }

    /// A visit's file as it was left there by somebody else.
    pub(crate) fn put_visit(&self, visit: u32, text: &str) {
        let year = self.folder.path().join("visits/2026");
        std::fs::create_dir_all(&year).expect("a folder");
        std::fs::write(year.join(format!("{visit:04}.ron")), text).expect("written");
    }

    /// One sitting: what is seen when this is typed.
    pub(crate) fn sit(
        &self,
        width: usize,
        conveyor: Option<&str>,
        typed: &[&str],
    ) -> (String, Exit) {
        let mut script = Script::new(typed.iter().copied());
        let exit = self.sit_with(width, conveyor, &mut script);
        assert_eq!(script.left(), 0, "not everything was typed:\n{}", script.seen);
        (self.checked(width, &script.seen), exit)
    }

    /// The same with somebody who need not have decided beforehand what to type.
    pub(crate) fn sit_with(&self, width: usize, conveyor: Option<&str>, ask: &mut dyn Ask) -> Exit {
        let store = self.store();
        let farewell = Farewell::default();
        let means = self.means(width, &store, &farewell);
        let facts = conveyor.map(facts).unwrap_or_default();
        let open = store.open_ones().expect("a list");
        let from = if conveyor.is_some() { ConveyorFrom::File } else { ConveyorFrom::Questions };
        let mut talk = Talk::begin(means, ask, facts, from);
        match announce(&mut talk, &open) {
            Ok(None) => converse(&mut talk),
            other => panic!("{other:?}"),
        }
    }

    /// A sitting that goes on with a visit, as `--resume` does.
    pub(crate) fn resume(&self, width: usize, visit: u32, typed: &[&str]) -> (String, Exit) {
        let store = self.store();
        let farewell = Farewell::default();
        let means = self.means(width, &store, &farewell);
        let mut script = Script::new(typed.iter().copied());
        let kept = store.open(visit).expect("a visit");
        let exit = converse(&mut Talk::resume(means, &mut script, kept));
        assert_eq!(script.left(), 0, "not everything was typed:\n{}", script.seen);
        (self.checked(width, &script.seen), exit)
    }

    fn means<'a>(
        &'a self,
        width: usize,
        store: &'a VisitStore,
        farewell: &'a Farewell,
    ) -> Means<'a> {
        Means {
            book: &self.book,
            store,
            clock: &self.clock,
            screen: Screen::new(width, Paint::NONE),
            farewell,
            again: "",
        }
    }

    /// What was seen, if none of it is wider than the screen; what was typed may be.
    pub(crate) fn checked(&self, width: usize, seen: &str) -> String {
        let folder = self.folder.path().display().to_string();
        let seen = seen.replace(&folder, "(the state folder)");
        for line in seen.lines() {
            let typed = ["letter: ", "From: ", "To: ", "In a word: ", "Name: "]
                .iter()
                .any(|l| line.contains(l));
            assert!(typed || line.chars().count() <= width, "wider than {width}: {line:?}");
        }
        seen
    }
}

fn facts(file: &str) -> ConveyorFacts {
    let path = root("examples/ostrel-quay/conveyors").join(file);
    let (conveyor, _) = conveyor::read(&path).unwrap_or_else(|problems| panic!("{problems:?}"));
    ConveyorFacts::from(&conveyor)
}

/// The visit that is kept from end to end.
pub(crate) const WHOLE: &str = "whole-visit";

/// The pages that are kept with it.
static KEPT: LazyLock<HashSet<String>> = LazyLock::new(|| bodies(&whole_visit(40).0));

/// What makes a sitting of a width: kept at 40 columns, the same words at 80.
#[track_caller]
pub(crate) fn both(name: &str, sitting: impl Fn(usize) -> (String, Exit)) {
    let page = |width| {
        let (seen, exit) = sitting(width);
        format!("{seen}\n(exit code {})", exit.code())
    };
    let (narrow, wide) = (page(40), page(80));
    let known = if name == WHOLE { &HashSet::new() } else { &*KEPT };
    snapshot(&format!("{name}-40"), &once(&narrow, known));
    same_words(&narrow, &wide);
}

/// A screen, kept under its own name whichever test shows it.
pub(crate) fn snapshot(name: &str, screen: &str) {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| insta::assert_snapshot!(name, screen));
}

/// From where a line begins to the end: the part of a sitting that a snapshot is about.
pub(crate) fn from(seen: &str, line: &str) -> String {
    let at = seen.find(&format!("\n{line}"));
    let at = at.unwrap_or_else(|| panic!("no {line:?} in:\n{seen}"));
    seen[at + 1..].to_owned()
}

/// Lists typed one after the other.
pub(crate) fn typed<'a>(pieces: &[&[&'a str]]) -> Vec<&'a str> {
    pieces.concat()
}

/// With the small book: safety page, no fire, at the edge; somebody is there who knows the conveyor, and one may lock out.
pub(crate) const SAFE: &[&str] = &["1", "1", "2", "1", "1"];
/// The first look: off at one place, on the return strand.
pub(crate) const OPENING: &[&str] = &["1", "4", "2"];
/// All seven points of isolation: three of them in a word.
pub(crate) const LOCKED: &[&str] =
    &["1", "1", "MK, isolator 4", "1", "pins in the frame", "nothing moved", "1"];
/// All six points of giving back; then the questions that may stop everything, of which the small book has one.
pub(crate) const GIVEN_BACK: &[&str] = &["1", "tail guard", "2, MK and me", "1", "1", "1", "1"];
/// The conveyor of most screens.
pub(crate) const OQ_04: Option<&str> = Some("OQ-04.ron");

/// Somebody who looks at the question and then types: by a part of the page, what to type the first time it is
/// put, the second time and so on; the last again and again.
pub(crate) struct Person<'a> {
    replies: Vec<(&'a str, VecDeque<&'a str>)>,
    /// What to type at any other question.
    otherwise: &'a str,
    page: String,
    asked: usize,
    /// How much of a job is shown at once.
    pace: Pace,
    /// Everything printed and typed, as on a screen.
    pub(crate) seen: String,
}

impl<'a> Person<'a> {
    /// The same, shown as much at once as at a terminal.
    pub(crate) fn step_by_step(self) -> Self {
        Self { pace: Pace::StepByStep, ..self }
    }

    pub(crate) fn new(replies: &[(&'a str, &[&'a str])], otherwise: &'a str) -> Self {
        let as_ever = [("What is at hand?", &["1"][..]), ("Who locks out?", &["1"])];
        let replies = (replies.iter().chain(&as_ever))
            .map(|(part, typed)| (*part, typed.iter().copied().collect()))
            .collect();
        let (page, seen) = (String::new(), String::new());
        Self { replies, otherwise, page, asked: 0, pace: Pace::Whole, seen }
    }

    /// At this question, before all others that match it too.
    pub(crate) fn first(&mut self, part: &'a str, typed: &'a [&'a str]) {
        self.replies.insert(0, (part, typed.iter().copied().collect()));
    }

    fn line(&mut self, label: &str) -> String {
        self.asked += 1;
        assert!(self.asked < 300, "no end in sight:\n{}", self.seen);
        let page = std::mem::take(&mut self.page);
        let last = page.rfind("--- ").map_or(page.as_str(), |at| &page[at..]);
        let page = format!("{last} [{label}]");
        let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
        let known = (self.replies.iter_mut()).find(|(part, _)| page.contains(part));
        let line = match known {
            Some((_, typed)) if typed.len() > 1 => typed.pop_front(),
            Some((_, typed)) => typed.front().copied(),
            None => None,
        };
        let line = match label {
            "In a word" => format!("MK, pins {}", self.asked),
            _ => line.unwrap_or(self.otherwise).to_owned(),
        };
        self.seen.push_str(&format!("{label}: {line}\n"));
        line
    }
}

impl Ask for Person<'_> {
    fn pace(&self) -> Pace {
        self.pace
    }

    fn say(&mut self, page: &str) {
        self.seen.push_str(page);
        self.page.push_str(page);
    }

    fn choose(&mut self, prompt: &Prompt) -> PromptReply {
        let line = self.line(&prompt.label());
        match prompt.read(&line) {
            Ok(reply) => reply,
            // Another question than was thought of has some of the same words.
            Err(help) => {
                let help = textwrap::fill(&help, 40);
                let line = self.otherwise;
                let label = prompt.label();
                self.seen.push_str(&format!("{help}\n{label}: {line}\n"));
                prompt.read(line).unwrap_or_else(|help| panic!("{line:?}: {help}\n{}", self.seen))
            }
        }
    }

    fn note(&mut self, label: &str, keys: &[KeyKind]) -> NoteReply {
        let line = self.line(label);
        read_note(&line, keys).unwrap_or_else(|help| panic!("{line:?}: {help}\n{}", self.seen))
    }
}
