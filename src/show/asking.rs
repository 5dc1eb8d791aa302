//! Pages around a question: the question itself, how to look, why it is asked, and the keys.

use super::chance;
use super::drawings;
use super::page::{Page, Screen};
use super::take;
use super::words::{Known, Sides};
use crate::ask::KeyKind;
use crate::rulebook::index::{AnswerAt, CauseAt, SymptomAt};
use crate::rulebook::model::{Drawing, Symptom};
use crate::stream::paint::Ink;
use crate::trade::MachineState;
use crate::visit::NextQuestion;

/// A question as it stands on a page, wherever it comes from.
#[derive(Debug, Clone)]
pub struct QuestionPut<'a> {
    /// The title: "Question 7".
    pub title: String,
    /// What the machine must do meanwhile, how long it takes and what is needed; may be empty.
    pub around: String,
    /// The question.
    pub ask: String,
    /// The answers, sides filled in.
    pub answers: Vec<String>,
    /// The keys on offer.
    pub keys: &'a [KeyKind],
    /// What keys are called and do here, where that is something of its own.
    pub own: &'a [OwnKey],
}

/// A key with a meaning of its own at some question: what it is called and what it does.
pub type OwnKey = (KeyKind, &'static str, &'static str);

/// The question page.
pub fn question(screen: Screen, asked: &QuestionPut) -> String {
    let mut page = Page::new(screen);
    page.title(&asked.title);
    if !asked.around.is_empty() {
        page.para_in(Ink::Faint, &asked.around);
    }
    page.head(&asked.ask).blank();
    for (place, answer) in asked.answers.iter().enumerate() {
        page.item(&format!("{:>2}  ", place + 1), answer);
    }
    page.blank().flow(Ink::Faint, &key_words(asked.keys, asked.own));
    page.finish()
}

/// A question of which several answers may be ticked, or none: that stands under them as 0.
pub fn marks(screen: Screen, asked: &QuestionPut, none: &str) -> String {
    let mut page = Page::new(screen);
    page.title(&asked.title);
    if !asked.around.is_empty() {
        page.para_in(Ink::Faint, &asked.around);
    }
    page.head(&asked.ask).para("Tick all that apply.").blank();
    for (place, answer) in asked.answers.iter().enumerate() {
        page.item(&format!("{:>2}  ", place + 1), answer);
    }
    page.item(" 0  ", none);
    page.blank().flow(Ink::Faint, &key_words(asked.keys, asked.own));
    page.finish()
}

/// A question that is answered in a word or two: what to type stands under it.
pub fn in_words(screen: Screen, asked: &QuestionPut, hint: &str) -> String {
    let mut page = Page::new(screen);
    page.title(&asked.title).head(&asked.ask).para(hint);
    page.blank().flow(Ink::Faint, &key_words(asked.keys, asked.own));
    page.finish()
}

/// That one line of marks cannot be left open: they are one question.
pub fn all_or_nothing(screen: Screen) -> String {
    let words = "These lines are one question. Type the numbers of all that apply. Type 0 for none, or ? alone if you can't tell.";
    Page::new(screen).para(words).finish()
}

/// The keys in one or two lines of the narrowest screen: "w why". What does not fit there, on wider screens neither,
/// stands behind h; which key goes first is in [`KeyKind::gives_way`].
pub fn key_words(keys: &[KeyKind], own: &[OwnKey]) -> Vec<String> {
    let words = |kept: &[KeyKind]| -> Vec<String> {
        let of = |key: &KeyKind| match key {
            KeyKind::Help if kept.len() < keys.len() => "h more".to_owned(),
            key => format!("{} {}", key.letter(), meaning(*key, own).0),
        };
        kept.iter().map(of).collect()
    };
    let mut kept = keys.to_vec();
    let narrow = Screen::NARROWEST;
    while Page::lines_of_flow(narrow, &words(&kept)) > KEY_LINES && keys.contains(&KeyKind::Help) {
        let least = (kept.iter().enumerate())
            .filter(|(_, key)| key.gives_way() > 0)
            .max_by_key(|(_, key)| key.gives_way());
        let Some((place, _)) = least else { break };
        kept.remove(place);
    }
    words(&kept)
}

/// Keys take no more lines than this at the narrowest screen.
const KEY_LINES: usize = 2;

/// What a key is called and does here.
fn meaning(key: KeyKind, own: &[OwnKey]) -> (&'static str, &'static str) {
    let own = own.iter().find(|(of, _, _)| *of == key);
    own.map_or((key.short(), key.does()), |(_, short, does)| (short, does))
}

/// A symptom's question, ready to be printed. `number` counts the questions of this visit.
pub fn symptom<'a>(
    known: &Known,
    symptom: SymptomAt,
    number: usize,
    keys: &'a [KeyKind],
) -> QuestionPut<'a> {
    let asked = &known.book().symptoms[symptom];
    let mut around = match asked.state {
        MachineState::Anywhere => "From memory or from the papers.".to_owned(),
        MachineState::Running => "While it runs, from outside the guards.".to_owned(),
        MachineState::LockedOut => "Only while the machine is locked out.".to_owned(),
    };
    around.push_str(&format!(" {}.", chance::about(asked.minutes)));
    around.push_str(&take::sentence(known, &asked.tools));
    QuestionPut {
        title: format!("Question {number}"),
        around,
        ask: known.fill(&asked.ask),
        answers: asked.named().map(|(_, answer)| known.fill(&answer.says)).collect(),
        keys,
        own: &[],
    }
}

/// How to look, with a drawing if there is one.
pub fn look(screen: Screen, sides: &Sides, how: &str, drawing: Option<Drawing>) -> String {
    let mut page = Page::new(screen);
    page.title("How to look").para(&sides.fill(how));
    if let Some(drawing) = drawing {
        page.blank().art(drawings::lines(drawing).iter().copied());
        if drawings::lines(drawing).iter().any(|line| line.contains(" L ")) {
            page.para(&format!("L is the {} side, R the {} side.", sides.left, sides.right));
        }
    }
    page.finish()
}

/// What an answer would change.
#[derive(Debug, Clone, PartialEq)]
pub struct Would {
    /// The answer.
    pub answer: AnswerAt,
    /// How likely it is, from what is known.
    pub chance: f64,
    /// The cause that would stand first, with its chance.
    pub first: Option<(CauseAt, f64)>,
}

/// Why this is asked now, and what it could change. `worth` is there when the question was weighed.
pub fn why(
    screen: Screen,
    known: &Known,
    symptom: SymptomAt,
    worth: Option<&NextQuestion>,
    would: &[Would],
) -> String {
    let book = known.book();
    let asked = &book.symptoms[symptom];
    let mut page = Page::new(screen);
    page.title("Why this question").para(&known.fill(&asked.why));
    if let Some(worth) = worth {
        page.blank().para(&worth_words(asked, worth));
    }
    if !would.is_empty() {
        page.blank().head("Most likely cause after each answer");
        for would in would {
            let says = known.fill(&book.symptoms[symptom].answers[would.answer].says);
            let first = match would.first {
                Some((cause, chance)) => {
                    format!("{} ({})", book.causes[cause].name, chance::percent(chance))
                }
                None => "no cause of the book".to_owned(),
            };
            page.item(" - ", &format!("{says} [expected: {}]", chance::percent(would.chance)));
            page.item("   => ", &first);
        }
    }
    page.finish()
}

fn worth_words(asked: &Symptom, worth: &NextQuestion) -> String {
    let tells = format!(
        "It tells {} about the cause ({:.2} bits). It takes {}.",
        chance::tells(worth.bits),
        worth.bits,
        chance::minutes(worth.minutes)
    );
    let first = match asked.opening {
        true => " It is one of the first questions. They sort the causes into a few groups.",
        false => "",
    };
    tells + first
}

/// The keys that can be typed here and what they do.
pub fn help(screen: Screen, keys: &[KeyKind], own: &[OwnKey]) -> String {
    let mut page = Page::new(screen);
    page.title("What you can type");
    page.item("1 2 ..  ", "The number of the answer that fits best. Then Enter.");
    page.item("1 3 ?2  ", "In a list: all that apply. ?2: you can't tell line 2. 0: none.");
    for key in keys {
        let label = format!("{}  ", key.letter());
        let (short, does) = meaning(*key, own);
        page.item(&label, &format!("{short}: {does}"));
    }
    page.para("Whole words work too: \"why\", \"back\", \"stop\". Capitals do not matter.");
    page.para("Every answer is saved before the next question. Ctrl-C loses nothing.");
    page.finish()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_take_two_lines_of_the_narrowest_screen_and_the_others_stand_behind_h() {
        let all = key_words(&KeyKind::ALL, &[]);
        assert!(Page::lines_of_flow(Screen::NARROWEST, &all) <= 2, "{all:?}");
        for always in ["c can't tell", "b back", "s stop + save", "h more"] {
            assert!(all.iter().any(|word| word == always), "{all:?}");
        }
        let few = [KeyKind::Back, KeyKind::Stop, KeyKind::Help];
        assert_eq!(key_words(&few, &[]), ["b back", "s stop + save", "h help"]);
        // Whoever has no key for help is shown all there are.
        let without = [KeyKind::Back, KeyKind::Why, KeyKind::Stop];
        assert_eq!(key_words(&without, &[]).len(), 3);
    }
}
