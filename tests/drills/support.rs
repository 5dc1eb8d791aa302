//! The shipped book with its drills, read once, and words for what is in it.

use std::sync::LazyLock;

use straybelt::drill::{Drill, Move, World, read};
use straybelt::problem::{Problem, Report};
use straybelt::rulebook::index::{FixAt, List, Place, SymptomAt};
use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;
use straybelt::source::Texts;
use straybelt::trade::{Side, Strand};
use straybelt::visit::Diagnosis;

/// The shipped book.
pub(crate) static BOOK: LazyLock<Book> = LazyLock::new(|| load::read(None).book.expect("a book"));

/// All that is asked of the shipped book.
pub(crate) static DIAGNOSIS: LazyLock<Diagnosis<'static>> = LazyLock::new(|| Diagnosis::new(&BOOK));

/// The shipped drills, and what is wrong with them.
pub(crate) static SHIPPED: LazyLock<(Vec<Drill>, Vec<Problem>)> = LazyLock::new(|| {
    let checked = load::read(None);
    let mut report = Report::default();
    let drills = read::read(&BOOK, &checked, &mut report).drills;
    (drills, report.sorted())
});

/// The shipped drill of this id.
pub(crate) fn shipped(id: &str) -> &'static Drill {
    let found = SHIPPED.0.iter().find(|drill| drill.id == id);
    found.unwrap_or_else(|| panic!("no drill `{id}`"))
}

/// What is read from a text of drills.
pub(crate) fn read_text(text: &str) -> (Vec<Drill>, Vec<Problem>) {
    let mut texts = Texts::default();
    let file = texts.add("drills/x.ron", text.to_owned());
    let mut report = Report::default();
    let drills = read::read_files(&BOOK, &texts, &[file], &mut report);
    (drills, report.sorted())
}

/// A run of a drill from its beginning.
pub(crate) fn begin(drill: &Drill) -> World<'_> {
    World::begin(drill, &DIAGNOSIS).expect("the belt runs")
}

/// Makes a move that is meant to be allowed.
pub(crate) fn make(world: &mut World<'_>, what: Move) {
    world.make(what).expect("the move is allowed");
}

fn at<P: Place, T>(list: &List<P, T>, id: &str, of: impl Fn(&T) -> &str) -> P {
    let found = list.iter().find(|(_, entry)| of(entry) == id);
    found.unwrap_or_else(|| panic!("no `{id}`")).0
}

/// A question of the book.
pub(crate) fn symptom(id: &str) -> SymptomAt {
    at(&BOOK.symptoms, id, |symptom| &symptom.id)
}

/// A fix of the book.
pub(crate) fn fix(id: &str) -> FixAt {
    at(&BOOK.fixes, id, |fix| &fix.id)
}

/// The ids of what a drill hides.
pub(crate) fn hidden(drill: &Drill) -> Vec<&'static str> {
    let causes = drill.hidden.iter().map(|hidden| hidden.cause);
    causes.map(|at| BOOK.causes[at].id.as_str()).collect()
}

/// What a question shows at a conveyor now; nothing where it does not apply.
pub(crate) fn shows(world: &World<'_>, id: &str) -> Option<&'static str> {
    let at = symptom(id);
    world.answers()[at].map(|answer| BOOK.symptoms[at].answers[answer].id.as_str())
}

/// Where the belt runs at the tail on the whole, to the left.
pub(crate) fn left_at_tail(world: &World<'_>) -> f64 {
    let tail = &world.belt().fed().tail;
    tail.iter().sum::<f64>() / tail.len() as f64
}

/// All that a refused move has to leave alone, to the last bit.
#[derive(Debug, PartialEq)]
pub(crate) struct Standing {
    minutes: u64,
    off: u64,
    pub(crate) steps: usize,
    best: u64,
    rest: String,
}

impl Standing {
    /// How a run stands.
    pub(crate) fn of(world: &World<'_>) -> Self {
        Self {
            minutes: world.minutes().to_bits(),
            off: world.belt().worst_m().to_bits(),
            steps: world.steps().len(),
            best: world.best().minutes.to_bits(),
            rest: format!(
                "{:?} {:?} {:?} {:?} {:?} {:?}",
                world.machine(),
                world.faults(),
                world.named(),
                world.put_right(),
                world.over(),
                world.answers(),
            ),
        }
    }
}

/// A shift of one end of a return roll, counted from the tail, from 0.
pub(crate) fn shift_return(station: usize, end: Side, ahead_m: f64) -> Move {
    Move::Shift { strand: Strand::Return, station, end, ahead_m }
}
