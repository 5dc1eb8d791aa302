//! What the book's questions cannot tell apart, as a supervisor reads it, and as JSON.

use serde_json::{Value, json};

use super::chance::{count, minutes};
use super::page::{Page, Screen};
use super::words::Sides;
use crate::proof::separate::{Apart, Idle, Separation, Slow};
use crate::rulebook::export::title;
use crate::rulebook::index::{AnswerAt, CauseAt, SymptomAt};
use crate::rulebook::model::Book;
use crate::stream::paint::Ink;

/// Shorter lists are shown whole; of longer ones so many.
const LISTED: usize = 20;

/// When no question is below the level, so many that are nearest to it.
const NEAREST: usize = 5;

/// The report; of the pairs that can be told apart the `most` hardest.
pub fn page(screen: Screen, book: &Book, found: &Separation, most: usize) -> String {
    let mut page = Page::new(screen);
    let words = In { book };
    pairs(&mut page, &words, found, most);
    page.title("Answers that change nothing");
    page.para(&format!("Within {:.1} decibans for every cause.", found.levels.idle));
    let (opening, idle): (Vec<&Idle>, Vec<&Idle>) = found.idle.iter().partition(|idle| idle.opens);
    for idle in idle.iter().take(LISTED) {
        page.item(" * ", &words.answer(idle.symptom, idle.answer));
    }
    rest(&mut page, idle.len());
    if idle.is_empty() {
        page.para("None.");
    }
    if !opening.is_empty() {
        page.para(&format!(
            "{} besides, but of use all the same: they open something, or give a side.",
            count(opening.len(), "answer", "answers")
        ));
    }
    page.title("Symptoms that say nearly the same");
    page.para(
        "Their answers go up and down over the causes together, and no group makes them count once: is one look counted twice?",
    );
    for alike in found.alike.iter().take(LISTED) {
        page.item(" * ", &words.answer(alike.one.0, alike.one.1));
        page.item("   with ", &words.answer(alike.other.0, alike.other.1));
        page.item(
            "   ",
            &format!(
                "correlation {:.3}, over {}",
                alike.correlation,
                count(alike.causes, "cause", "causes")
            ),
        );
    }
    rest(&mut page, found.alike.len());
    if found.alike.is_empty() {
        page.para("None.");
    }
    slow(&mut page, &words, found);
    page.finish()
}

fn slow(page: &mut Page, words: &In, found: &Separation) {
    let level = found.levels.worth;
    let (never, little): (Vec<&Slow>, Vec<&Slow>) =
        found.slow.iter().partition(|slow| slow.rate < level);
    page.title("Questions not worth their minutes");
    page.para(&format!(
        "Less than {level} bits per minute, before any answer and after every single one."
    ));
    let list = |page: &mut Page, slow: &[&Slow], most: usize| {
        for slow in slow.iter().take(most) {
            page.item(" * ", &words.symptom(slow.symptom));
            let after = slow.after.map_or(String::new(), |(symptom, answer)| {
                format!(", after {}", words.answer(symptom, answer))
            });
            let rate = format!("at best {:.4} bits per minute", slow.rate);
            page.item("   ", &format!("{rate}, {}{after}", minutes(slow.minutes)));
        }
    };
    list(page, &never, LISTED);
    let nothing = never.is_empty();
    let nearest = if nothing { NEAREST } else { 0 };
    if nothing {
        page.para("None.");
        if !little.is_empty() {
            page.para("Nearest to that:");
        }
    }
    list(page, &little, nearest);
    rest(page, never.len());
}

fn rest(page: &mut Page, all: usize) {
    if all > LISTED {
        let more = format!("and {} more; --format json has them all.", all - LISTED);
        page.para_in(Ink::Faint, &more);
    }
}

fn pairs(page: &mut Page, words: &In, found: &Separation, most: usize) {
    let (told, not): (Vec<&Apart>, Vec<&Apart>) = found.pairs.iter().partition(|pair| pair.reached);
    page.title("Causes that cannot be told apart");
    page.para(&format!(
        "Told apart: one of the two is there alone, and the answers speak on average at least {} decibans for it.",
        found.levels.apart
    ));
    page.para(
        "10 decibans make one of the two ten times likelier against the other, 20 a hundred times. Best: the question that parts them best; 0 of 1 bit says nothing, 1 of 1 bit settles it.",
    );
    for pair in not.iter().take(LISTED) {
        one_pair(page, words, pair);
    }
    rest(page, not.len());
    if not.is_empty() {
        page.para("None: every pair can.");
    }
    page.title("Hardest of those that can");
    for pair in told.iter().take(most) {
        one_pair(page, words, pair);
    }
    page.para_in(
        Ink::Faint,
        &format!("{} looked at.", count(found.pairs.len(), "pair was", "pairs were")),
    );
}

fn one_pair(page: &mut Page, words: &In, pair: &Apart) {
    page.blank().item(" * ", &format!("{} and {}", words.cause(pair.one), words.cause(pair.other)));
    if pair.questions.is_empty() {
        page.item("   ", "No question tells them apart at all.");
    } else {
        page.item(
            "   ",
            &format!(
                "{:.1} decibans after {}, {}",
                pair.decibans,
                count(pair.questions.len(), "question", "questions"),
                minutes(pair.minutes)
            ),
        );
    }
    if let Some(best) = pair.best {
        page.item(
            "   ",
            &format!("Best: {} ({:.2} of 1 bit)", words.symptom(best.symptom), best.bits),
        );
    }
    if !pair.one_fix.is_empty() {
        let ids = pair.one_fix.iter().map(|fix| words.book.fixes[*fix].id.as_str());
        let ids = ids.collect::<Vec<_>>().join(", ");
        page.item("   ", &format!("Matters less: cured both by {ids}."));
    }
}

struct In<'b> {
    book: &'b Book,
}

impl In<'_> {
    fn cause(&self, at: CauseAt) -> String {
        let cause = &self.book.causes[at];
        format!("{} [{}]", cause.name, cause.id)
    }

    fn symptom(&self, at: SymptomAt) -> String {
        let symptom = &self.book.symptoms[at];
        let ask = Sides::named(None, None).fill(&symptom.ask);
        format!("{ask} [{}]", symptom.id)
    }

    fn answer(&self, at: SymptomAt, answer: AnswerAt) -> String {
        let answer = &self.book.symptoms[at].answers[answer];
        format!("{} = {}", self.book.symptoms[at].id, answer.id)
    }
}

/// The whole of it, for other programs. Keys are added, never renamed or dropped.
pub fn document(book: &Book, found: &Separation) -> Value {
    let cause = |at: CauseAt| &book.causes[at].id;
    let symptom = |at: SymptomAt| &book.symptoms[at].id;
    let answer = |at: SymptomAt, answer: AnswerAt| json!({ "symptom": symptom(at), "answer": book.symptoms[at].told(answer) });
    let pairs = found.pairs.iter().map(|pair| {
        let best = pair.best.map(|best| {
            json!({ "symptom": symptom(best.symptom), "bits": best.bits, "decibans": best.decibans })
        });
        let questions = pair.questions.iter().map(|at| symptom(*at));
        let fixes = pair.one_fix.iter().map(|at| &book.fixes[*at].id);
        json!({
            "causes": [cause(pair.one), cause(pair.other)], "reached": pair.reached,
            "decibans": pair.decibans, "minutes": pair.minutes,
            "questions": questions.collect::<Vec<_>>(), "best": best,
            "one_fix": fixes.collect::<Vec<_>>(),
        })
    });
    let idle = found.idle.iter().map(|idle| {
        json!({
            "symptom": symptom(idle.symptom),
            "answer": book.symptoms[idle.symptom].told(idle.answer),
            "most_decibans": idle.most, "opens": idle.opens,
        })
    });
    let alike = found.alike.iter().map(|alike| {
        json!({
            "answers": [answer(alike.one.0, alike.one.1), answer(alike.other.0, alike.other.1)],
            "correlation": alike.correlation, "causes": alike.causes,
        })
    });
    let slow = found.slow.iter().map(|slow| {
        json!({
            "symptom": symptom(slow.symptom), "bits_per_minute": slow.rate, "minutes": slow.minutes,
            "below": slow.rate < found.levels.worth,
            "after": slow.after.map(|(at, given)| answer(at, given)),
        })
    });
    json!({
        "format": 1,
        "book": title(book),
        "levels": {
            "apart_decibans": found.levels.apart, "idle_decibans": found.levels.idle,
            "alike_correlation": found.levels.alike, "worth_bits_per_minute": found.levels.worth,
        },
        "pairs": pairs.collect::<Vec<_>>(),
        "idle_answers": idle.collect::<Vec<_>>(),
        "alike": alike.collect::<Vec<_>>(),
        "worth_little": slow.collect::<Vec<_>>(),
    })
}
