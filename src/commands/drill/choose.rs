//! Choosing from a long list on a small screen: so many at a time, the last entry leads on.

use super::floor::{Floor, RunLeft};
use crate::ask::{KeyKind, Prompt, PromptReply};
use crate::show::asking::{self, QuestionPut};

/// So many entries are shown at once.
const AT_ONCE: usize = 9;
/// The keys beside a list.
const KEYS: [KeyKind; 3] = [KeyKind::Back, KeyKind::Stop, KeyKind::Help];

/// The place of the entry that is chosen; nothing when the person goes back.
///
/// # Errors
/// When the person has gone.
pub(super) fn one_of(
    floor: &mut Floor<'_>,
    title: &str,
    ask: &str,
    entries: &[String],
) -> Result<Option<usize>, RunLeft> {
    let mut from = 0;
    loop {
        let left = entries.get(from..).unwrap_or_default();
        let pages_on = left.len() > AT_ONCE + 1;
        let shown = if pages_on { AT_ONCE } else { left.len() };
        let mut answers: Vec<String> = left.iter().take(shown).cloned().collect();
        if pages_on {
            answers.push(format!("More ({} left)", left.len() - shown));
        }
        let asked = QuestionPut {
            title: title.to_owned(),
            around: String::new(),
            ask: ask.to_owned(),
            answers,
            keys: &KEYS,
            own: &[],
        };
        let page = asking::question(floor.screen, &asked);
        floor.ask.say(&page);
        match floor.ask.choose(&Prompt::new(asked.answers.clone(), &KEYS)) {
            PromptReply::Choice(place) if place < shown => return Ok(Some(from + place)),
            PromptReply::Choice(_) | PromptReply::Ticked(_) => from += shown,
            PromptReply::Key(key) => match key.kind() {
                KeyKind::Back if from > 0 => from = from.saturating_sub(AT_ONCE),
                KeyKind::Back => return Ok(None),
                KeyKind::Stop => return Err(RunLeft::Stopped),
                _ => {
                    let page = asking::help(floor.screen, &KEYS, &[]);
                    floor.ask.say(&page);
                }
            },
            PromptReply::Lost(lost) => return Err(lost.into()),
        }
    }
}
