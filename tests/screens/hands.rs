//! Nobody's hand at a machine that is not isolated: every job is walked by somebody who answers at random, and every
//! page that asks for hands is held against what was confirmed before it.

use std::fmt::Write as _;
use std::fs;

use straybelt::ask::reply::read_note;
use straybelt::ask::{Ask, Farewell, KeyKind, Lost, NoteReply, Pace, Prompt, PromptReply};
use straybelt::commands::diagnose::{Means, Talk, converse};
use straybelt::conveyor::facts::Facts;
use straybelt::rulebook::load;
use straybelt::rulebook::model::{Book, LooksAt, MachineState, Step};
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;
use straybelt::show::stepwise;
use straybelt::show::words::{Known, Sides};
use straybelt::visit::clock::TestClock;
use straybelt::visit::event::Event;
use straybelt::visit::store::{BookMark, Record, VisitStore};
use straybelt::visit::{ConveyorFacts, Diagnosis, Observations};

use crate::support::files::{copy, quick_folder, root};
use crate::support::long;

/// A walk ends after so many questions.
const LONGEST: usize = 40;

/// Somebody who answers at random and knows what the machine does by what was confirmed.
struct Walker {
    random: fastrand::Rng,
    /// Titles of the jobs with cautions of their own.
    warned: Vec<String>,
    /// Texts that ask for hands: steps, and checks on an isolated machine.
    hands: Vec<String>,
    /// Every point of the lock-out was confirmed since the belt could last move.
    isolated: bool,
    /// Since then no lock came off, whatever the belt's pull does.
    locks_on: bool,
    page: String,
    asked: usize,
    pace: Pace,
    /// How many pages asked for hands.
    handled: usize,
    seen: String,
}

impl Walker {
    fn new(book: &Book, seed: u64) -> Self {
        Self {
            random: fastrand::Rng::with_seed(seed),
            warned: warned(book),
            hands: hands(book),
            isolated: false,
            locks_on: false,
            page: String::new(),
            asked: 0,
            pace: if seed.is_multiple_of(2) { Pace::Whole } else { Pace::StepByStep },
            handled: 0,
            seen: String::new(),
        }
    }

    fn last(&self) -> &str {
        let at = self.page.rfind("\n--- ").or(self.page.starts_with("--- ").then_some(0));
        at.map_or("", |at| &self.page[at..])
    }

    /// What a confirmed point does to the machine. The belt can move from the first point of giving back on.
    fn confirmed(&mut self) {
        let last = self.last().to_owned();
        if last.contains("Lock out, point 7 of 7") {
            (self.isolated, self.locks_on) = (true, true);
        } else if last.contains("Look again, point 3 of 3") {
            assert!(self.locks_on, "looked at again behind locks that are on: {}", self.seen);
            self.isolated = true;
        } else if last.contains("Give back, point") || last.contains("Move the belt, point") {
            (self.isolated, self.locks_on) = (false, false);
        }
    }

    fn next(&mut self) -> bool {
        self.asked += 1;
        self.asked < LONGEST
    }
}

/// The titles of the jobs with cautions that not all such work has.
fn warned(book: &Book) -> Vec<String> {
    let own = |fix: &&straybelt::rulebook::model::Fix| {
        let all = book.warnings(fix.state(), &fix.cautions).len();
        all > book.warnings(fix.state(), &[]).len()
    };
    book.fixes.values().filter(own).map(|fix| fix.title.clone()).collect()
}

/// The beginnings of texts that ask for hands, as they stand on one line.
fn hands(book: &Book) -> Vec<String> {
    let mut texts: Vec<String> = Vec::new();
    for fix in book.fixes.values() {
        for step in fix.steps() {
            match step {
                Step::Do(text) | Step::Mark(text) | Step::Tension(text) => texts.push(text.clone()),
                Step::Move { what, .. } | Step::Raise { what, .. } => texts.push(what.clone()),
                Step::MoveEnd { of, .. } => texts.push(of.clone()),
                Step::Jog(_) | Step::Restart(_) => {}
            }
        }
        for check in &fix.begins_with {
            let words = match &check.looks_at {
                LooksAt::Symptom { words, .. } | LooksAt::Words { words, .. } => words,
            };
            if check.state(book) == MachineState::LockedOut && !words.is_empty() {
                texts.push(words.clone());
            }
        }
    }
    for symptom in book.symptoms.values().filter(|symptom| symptom.state == MachineState::LockedOut)
    {
        texts.push(symptom.ask.clone());
    }
    // Sides are filled in, and long words broken: the beginning of a text is enough to know it by.
    let begin = |text: String| {
        let plain = text.split('{').next().unwrap_or_default().trim();
        plain.chars().take(60).collect::<String>()
    };
    texts
        .into_iter()
        .map(begin)
        .filter(|text| text.len() > 24 && !text.starts_with("Glow or smoke"))
        .collect()
}

impl Ask for Walker {
    /// Some read the steps of a job on one page, some one by one.
    fn pace(&self) -> Pace {
        self.pace
    }

    fn say(&mut self, page: &str) {
        self.seen.push_str(page);
        self.page.push_str(page);
        if page.contains("--- The finding") {
            // The job is over, and what comes next is a job with a walk of its own; the long run goes on.
            self.asked = if long() { self.asked } else { LONGEST };
        }
        if page.split_whitespace().collect::<Vec<_>>().join(" ").contains("pull has changed") {
            self.isolated = false;
        }
        let line = page.split_whitespace().collect::<Vec<_>>().join(" ");
        let is_warned = self.warned.iter().any(|title| line.contains(title));
        if line.contains("--- Step 1 of") && is_warned {
            assert!(
                self.seen.contains("--- CAUTION at this job"),
                "its cautions come before its first step:\n{}",
                self.seen
            );
        }
        // What is read before the work, and what is looked back on, asks for nothing.
        let to_read = [
            "--- The plan",
            "Read this now.",
            "--- Why this",
            "nce it is locked out",
            "--- So far",
            "CAUTION at all work like this",
            "CAUTION at this job --",
            "--- All cautions",
            "--- STOP",
            "--- Worse",
            "--- These answers",
            "--- Look again?",
            "--- The finding",
            "--- The book has nothing left",
        ];
        if to_read.iter().any(|title| line.contains(title)) && !line.contains("--- Step ") {
            return;
        }
        let asks = self.hands.iter().find(|text| line.contains(text.as_str()));
        if asks.is_some()
            || line.contains("--- The work -")
            || line.contains("--- The work, part")
            || (line.contains("--- Step ") && !line.contains("Watch, touch nothing."))
            || line.contains("--- Put back")
            || line.contains("Put it right now")
        {
            self.handled += 1;
            assert!(self.isolated, "{asks:?} without isolation standing:\n{}", self.seen);
        }
    }

    fn choose(&mut self, prompt: &Prompt) -> PromptReply {
        if !self.next() {
            return PromptReply::Lost(Lost::EndOfInput);
        }
        let last = self.last().to_owned();
        // Keys now and then: back above all.
        if self.random.u32(0..12) == 0 {
            let kind =
                [KeyKind::Back, KeyKind::Why, KeyKind::CantTell, KeyKind::SoFar, KeyKind::Else];
            let kind = kind[self.random.usize(0..kind.len())];
            if prompt.keys.contains(&kind) {
                self.page.clear();
                return PromptReply::Key(kind.key());
            }
        }
        let walking = last.contains(", point ") || last.contains("First: safety");
        let place = match self.random.u32(0..8) {
            0 => self.random.usize(0..prompt.options.len().max(1)),
            _ if walking || self.random.bool() => 0,
            _ => self.random.usize(0..prompt.options.len().max(1)),
        };
        let place = place.min(prompt.options.len().saturating_sub(1));
        if place == 0 {
            self.confirmed();
        }
        self.seen.push_str(&format!("> {}\n", place + 1));
        self.page.clear();
        PromptReply::Choice(place)
    }

    fn note(&mut self, label: &str, keys: &[KeyKind]) -> NoteReply {
        if !self.next() {
            return NoteReply::Lost(Lost::EndOfInput);
        }
        let word = format!("MK and pins {}", self.asked);
        let typed = match self.random.u32(0..10) {
            0 => "1111",
            1 => "n",
            2 => "b",
            _ => word.as_str(),
        };
        if typed.starts_with("MK") && label == "In a word" {
            self.confirmed();
        }
        self.seen.push_str(&format!("> {typed}\n"));
        self.page.clear();
        read_note(typed, keys).unwrap_or_else(|help| panic!("{typed:?}: {help}"))
    }
}

fn begun(fix: &str, locked_out: bool) -> Event {
    Event::BatchBegun { locked_out, fixes: vec![fix.to_owned()] }
}

/// Takes up a visit with this job begun, and walks it.
fn walk(book: &Book, fix: &str, locked_out: bool, seed: u64) -> usize {
    let mut walker = Walker::new(book, seed);
    let at_work = [begun(fix, locked_out), Event::FixBegun { fix: fix.to_owned() }];
    converse_with(book, &mut walker, &at_work);
    walker.handled
}

/// Takes up a visit in which this has happened once looking was over.
fn converse_with(book: &Book, ask: &mut dyn Ask, happened: &[Event]) {
    let folder = quick_folder();
    let store = VisitStore::at(folder.path());
    let clock = TestClock::from("2026-03-04T10:15:00Z".parse().expect("a time"));
    let at = "2026-03-04T10:15:00Z".parse().expect("a time");
    let facts = ConveyorFacts::default();
    let make = |visit| Record::begun(visit, BookMark::new(book), facts.clone(), true, at);
    let mut kept = store.begin(make, at).expect("a visit");
    let room = &book.edge_room.answers;
    let room = room.iter().find(|a| a.means == straybelt::rulebook::model::RoomMeans::GoOn);
    let before = [Event::EdgeRoom { answer: room.map(|answer| answer.id.clone()) }, Event::Enough];
    for event in before.iter().chain(happened) {
        kept.add(event.clone(), at).expect("kept");
    }
    let farewell = Farewell::default();
    let means = Means {
        book,
        store: &store,
        clock: &clock,
        screen: Screen::new(60, Paint::NONE),
        farewell: &farewell,
        again: "",
    };
    let mut talk = Talk::resume(means, ask, kept);
    let _ = converse(&mut talk);
}

/// Says no to every danger, that the belt runs, and goes away at the first look or the first point of a lock-out.
#[derive(Default)]
struct Beginner {
    page: String,
    seen: String,
    /// Whether a look of the job came first; nothing if neither did.
    looked_first: Option<bool>,
}

impl Ask for Beginner {
    fn pace(&self) -> Pace {
        Pace::StepByStep
    }

    fn say(&mut self, page: &str) {
        self.page.push_str(page);
        self.seen.push_str(page);
    }

    fn choose(&mut self, _: &Prompt) -> PromptReply {
        let last = self.page.rfind("--- ").map_or("", |at| &self.page[at..]);
        let looks = last.starts_with("--- Look before you work");
        if looks || last.starts_with("--- Lock out") {
            self.looked_first = Some(looks);
            return PromptReply::Lost(Lost::EndOfInput);
        }
        if last.starts_with("--- What now") {
            return PromptReply::Lost(Lost::EndOfInput);
        }
        self.page.clear();
        PromptReply::Choice(0)
    }

    fn note(&mut self, _: &str, _: &[KeyKind]) -> NoteReply {
        NoteReply::Lost(Lost::EndOfInput)
    }
}

/// Five minutes beside the running belt may spare the lock-out: they come before it.
#[test]
fn work_begins_with_the_look_at_the_running_belt_that_it_hangs_on() {
    let book = load::default_book().unwrap_or_else(|problems| panic!("{problems:?}"));
    let cheap = |check: &straybelt::rulebook::model::FixCheck| {
        check.state(&book) == MachineState::Running && check.minutes <= 5.0
    };
    let mut first = 0;
    for fix in book.fixes.values().filter(|fix| fix.state() == MachineState::LockedOut) {
        if !fix.begins_with.iter().any(cheap) {
            continue;
        }
        let mut beginner = Beginner::default();
        converse_with(&book, &mut beginner, &[begun(&fix.id, true)]);
        // Where nothing was told the plan may begin with another job.
        let seen = beginner.seen.split_whitespace().collect::<Vec<_>>().join(" ");
        if !seen.contains(&fix.title) {
            continue;
        }
        assert_ne!(beginner.looked_first, Some(false), "{}: locked out first\n{seen}", fix.id);
        if beginner.looked_first == Some(true) {
            first += 1;
            // What matters at a running belt is read then; what matters behind the lock-out, before that.
            assert!(seen.contains("Look only: the belt runs"), "{}: {seen}", fix.id);
            assert!(!seen.contains("CAUTION at all work like this"), "{}: {seen}", fix.id);
            let put = seen.rsplit("--- Look before you work").next().unwrap_or_default();
            assert!(put.contains("a all cautions"), "{}: {put}", fix.id);
            assert!(!put.contains("p to the plan"), "{}: the plan is under way: {put}", fix.id);
        }
    }
    assert!(first >= 3, "{first} jobs begin with a look at the running belt");
}

#[test]
fn what_matters_at_a_running_belt_fits_one_small_screen() {
    const ROWS: usize = 23;
    let book = load::default_book().unwrap_or_else(|problems| panic!("{problems:?}"));
    let (facts, sides) = (Facts::default(), Sides::named(None, None));
    let finding = Diagnosis::new(&book).finding(&facts, &Observations::none(&book));
    let known = Known::new(&book, &facts, &sides, &finding.answers);
    let page = stepwise::running_look(Screen::new(40, Paint::NONE), &known);
    assert!(page.lines().count() <= ROWS, "{page}");
    let said = page.split_whitespace().collect::<Vec<_>>().join(" ");
    for caution in book.warnings(MachineState::Running, &[]) {
        assert!(said.contains(&book.cautions[caution].text), "{page}");
    }
    assert!(said.contains("Guards stay on") && said.contains("have it stopped"), "{page}");
}

#[test]
fn every_job_of_the_book_asks_for_hands_only_while_isolation_stands() {
    let book = load::default_book().unwrap_or_else(|problems| panic!("{problems:?}"));
    let mut handled = 0;
    for (at, fix) in book.fixes.iter() {
        for seed in 0..if long() { 20 } else { 1 } {
            let seed = seed * 1000 + straybelt::rulebook::index::Place::position(at) as u64;
            handled += walk(&book, &fix.id, fix.state() == MachineState::LockedOut, seed);
        }
    }
    assert!(handled > book.fixes.len(), "hands were asked for on {handled} pages only");
}

#[test]
fn every_job_of_drawn_books_does_too() {
    let base = root("tests/screens/book");
    let mut handled = 0;
    let books = if long() { 200 } else { 40 };
    for seed in 0..books {
        let folder = quick_folder();
        copy(&base, folder.path());
        let drawn = drawn_fix(&mut fastrand::Rng::with_seed(seed));
        fs::write(folder.path().join("fixes/drawn.ron"), &drawn).expect("written");
        let (book, _) = load::with_site(Some(folder.path()))
            .unwrap_or_else(|problems| panic!("{drawn}\n{problems:?}"));
        let state = book.fixes.values().find(|fix| fix.id == "drawn").expect("it").state();
        handled += walk(&book, "drawn", state == MachineState::LockedOut, seed);
    }
    assert!(handled as u64 > books, "hands were asked for on {handled} pages only");
}

/// A job with steps and checks in any order that the format takes.
fn drawn_fix(random: &mut fastrand::Rng) -> String {
    let running = random.u32(0..6) == 0;
    let mut steps = String::new();
    let count = random.usize(1..8);
    for number in 0..count {
        let last = number + 1 == count;
        let step = if running {
            ["Watch", "Wait", "Load", "Ask"][random.usize(0..4)]
        } else {
            let kinds = ["Do", "Mark", "Tension", "Jog", "Restart"];
            kinds[random.usize(0..if last { 3 } else { 5 })]
        };
        let _ = writeln!(steps, "{step}(\"number {number} of what stands in this drawn job\"),");
    }
    let mut checks = String::new();
    for (at, check) in [
        "(symptom: \"low-side\", words: \"Lay the level across the frame here\", needs: \"More than 3 mm\", go_on: [\"left\"], minutes: 2.0)",
        "(symptom: \"windy\", needs: \"It is off in wind\", go_on: [\"yes\"], minutes: 1.0)",
        "(words: \"Rock the stand on its slots, both ends\", needs: \"It moves\", stop_if: \"It is gone\", minutes: 2.0)",
        "(words: \"Look from the walkway at the far end\", needs: \"It shakes\", state: Running, minutes: 2.0)",
    ]
    .into_iter()
    .enumerate()
    {
        if random.bool() || at == 0 {
            let _ = writeln!(checks, "{check},");
        }
    }
    let state = if running { "Running" } else { "LockedOut" };
    format!(
        "[(id: \"drawn\", title: \"A drawn job\", stage: Clean, cures: [(\"caked-rolls\", Often)], begins_with: [{checks}], work: \"do it\", state: {state}, minutes: 900.0, steps: [{steps}], done_when: (\"It is done\", Memory), source: Memory)]"
    )
}
