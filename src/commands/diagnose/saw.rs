//! "I saw something": a word is typed, what the book has on it is offered, and what it has nothing on stays as a note.

use std::path::Path;

use super::talk::{Away, BackKey, Got, LOOK_BACK_KEYS, Talk};
use crate::rulebook::index::SymptomAt;
use crate::rulebook::model::Symptom;
use crate::show::asking::QuestionPut;
use crate::stream::paint::Ink;
use crate::trade::MachineState;
use crate::visit::event::Event;

/// So many things are offered.
const OFFERED: usize = 8;
/// A shorter word would be found everywhere.
const SHORTEST: usize = 3;

/// Asks for a word, and puts what matches.
pub(super) fn tell(talk: &mut Talk) -> Result<(), Away> {
    let asked = QuestionPut {
        title: "I saw something".to_owned(),
        around: String::new(),
        ask: "What did you see, in a word or two?".to_owned(),
        answers: Vec::new(),
        keys: &LOOK_BACK_KEYS,
        own: &[],
    };
    let hint = "Such as: screw, hot, bright, hole. A photo: photo and its file. Press Enter if there is nothing after all.";
    let typed = match talk.put_in_words(&asked, hint, BackKey::TakesReplyBack)? {
        Got::Typed(typed) => typed.trim().to_owned(),
        Got::Choice(_) | Got::Key(_) | Got::Again => {
            // Whoever looked something up is asked once more.
            talk.sitting.saw_due = !talk.took_back();
            return Ok(());
        }
    };
    if typed.is_empty() {
        return Ok(());
    }
    if let Some(path) = typed.strip_prefix("photo ") {
        return photo(talk, Path::new(path.trim()));
    }
    let matching = matching(talk, &typed);
    if matching.is_empty() {
        talk.say_para(
            Ink::Plain,
            "The book has no question about that. It is kept with the visit as a note.",
        );
        return talk.happened(Event::Remarked { text: typed });
    }
    let mut answers: Vec<String> = talk.words(|_, known| {
        matching.iter().map(|at| known.fill(&known.book().symptoms[*at].ask)).collect()
    });
    answers.push("None of these: keep it as a note".to_owned());
    let asked = QuestionPut {
        title: "I saw something".to_owned(),
        around: String::new(),
        ask: format!("Which of these is about \"{typed}\"?"),
        answers,
        keys: &LOOK_BACK_KEYS,
        own: &[],
    };
    loop {
        match talk.put(&asked, None)? {
            Got::Choice(place) => match matching.get(place) {
                Some(symptom) => {
                    talk.sitting.again = Some(*symptom);
                    return Ok(());
                }
                None => return talk.happened(Event::Remarked { text: typed }),
            },
            Got::Key(_) | Got::Typed(_) | Got::Again if talk.took_back() => return Ok(()),
            Got::Key(_) | Got::Typed(_) | Got::Again => {}
        }
    }
}

/// Copies a photo beside the visit. What is no picture is said, and nothing is kept of it.
fn photo(talk: &mut Talk, path: &Path) -> Result<(), Away> {
    match talk.keep_photo(path) {
        Ok(file) => {
            talk.say_para(Ink::Plain, &format!("The photo is kept with the visit as {file}."));
            talk.happened(Event::Photographed { file })
        }
        Err(why) => {
            talk.say_para(Ink::Warn, &format!("{why}."));
            Ok(())
        }
    }
}

/// What may be told as the machine stands and has one of the words in it, those with more of them first.
fn matching(talk: &mut Talk, typed: &str) -> Vec<SymptomAt> {
    let book = talk.means.book;
    let isolated = talk.is_isolated();
    let stems: Vec<String> = typed
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| word.chars().count() >= SHORTEST)
        .map(stem)
        .collect();
    let applies = talk.finding().symptoms_apply.clone();
    let may_be_told = |symptom: &Symptom| match symptom.state {
        MachineState::Anywhere => true,
        MachineState::Running => !isolated,
        MachineState::LockedOut => isolated,
    };
    let mut found: Vec<(usize, SymptomAt)> = (book.symptoms.iter())
        .filter(|(at, symptom)| applies[*at] && may_be_told(symptom))
        .map(|(at, symptom)| {
            let words = words(symptom);
            (stems.iter().filter(|stem| words.contains(stem.as_str())).count(), at)
        })
        .filter(|(hits, _)| *hits > 0)
        .collect();
    found.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
    found.into_iter().take(OFFERED).map(|(_, at)| at).collect()
}

/// All that is read of a symptom, lower case.
fn words(symptom: &Symptom) -> String {
    let answers: Vec<&str> = symptom.answers.values().map(|answer| answer.says.as_str()).collect();
    format!("{} {} {}", symptom.ask, symptom.tick, answers.join(" ")).to_lowercase()
}

/// A word without the ending of its plural: "screws" finds "screw".
fn stem(word: &str) -> String {
    let word = word.to_lowercase();
    match word.strip_suffix('s') {
        Some(one) if one.chars().count() >= SHORTEST && !one.ends_with('s') => one.to_owned(),
        _ => word,
    }
}
