//! A run with a time limit, or by two at one keyboard in turns: said before each move, beside the conversation itself.

use jiff::{SignedDuration, Timestamp};

use super::floor::DECLARES;
use crate::ask::{Ask, KeyKind, Lost, NoteReply, Pace, Prompt, PromptReply};
use crate::drill::record::Record;
use crate::show::chance::minutes;
use crate::show::page::{Page, Screen};
use crate::stream::paint::Ink;
use crate::visit::clock::Clock;

/// Between the names of two who share a run.
const WITH: &str = " with ";

/// The name that a run of two is kept with; a name of one is left as it is.
pub(super) fn together(who: Option<&str>, with: Option<&str>) -> Option<String> {
    match (who, with) {
        (Some(who), Some(with)) => Some(format!("{who}{WITH}{with}")),
        (who, _) => who.map(str::to_owned),
    }
}

/// Somebody who makes the moves, with what has to be said before each.
pub(super) struct Turns<'c> {
    ask: Box<dyn Ask>,
    screen: Screen,
    clock: &'c dyn Clock,
    /// Who makes the moves in turns; one or two.
    names: Vec<String>,
    /// When the time is over.
    until: Option<Timestamp>,
    moves: usize,
}

impl<'c> Turns<'c> {
    /// Whoever is there, for the run of this record.
    pub(super) fn of(
        record: &Record,
        ask: Box<dyn Ask>,
        screen: Screen,
        clock: &'c dyn Clock,
    ) -> Self {
        let who = record.who.as_deref().unwrap_or_default();
        let names = who
            .split_once(WITH)
            .map_or_else(Vec::new, |(one, other)| vec![one.to_owned(), other.to_owned()]);
        let until = record.limit_minutes.and_then(|limit| {
            record.begun.checked_add(SignedDuration::from_mins(i64::from(limit))).ok()
        });
        Self { ask, screen, clock, names, until, moves: record.moves.len() }
    }

    /// What is said before a move; nothing where one person has all the time there is.
    fn said(&self, left: Option<SignedDuration>) -> String {
        let mut words = Vec::new();
        if let Some(name) = self.names.get(self.moves % self.names.len().max(1)) {
            words.push(format!("{name}: it is your move."));
        }
        if let Some(left) = left {
            words.push(format!("Time left: {}.", minutes(left.as_secs_f64() / 60.0)));
        }
        let mut page = Page::new(self.screen);
        if !words.is_empty() {
            page.para_in(Ink::Strong, &words.join(" "));
        }
        page.finish()
    }
}

/// The place of the declaration among the moves; nothing where no move is asked for.
fn declares(prompt: &Prompt) -> Option<usize> {
    let of_moves = prompt.keys.contains(&KeyKind::SoFar);
    prompt.options.iter().position(|option| option == DECLARES).filter(|_| of_moves)
}

impl Ask for Turns<'_> {
    fn pace(&self) -> Pace {
        self.ask.pace()
    }

    fn say(&mut self, page: &str) {
        self.ask.say(page);
    }

    fn choose(&mut self, prompt: &Prompt) -> PromptReply {
        let Some(ends) = declares(prompt) else {
            return self.ask.choose(prompt);
        };
        let left = self.until.map(|until| until.duration_since(self.clock.now()));
        if left.is_some_and(|left| left <= SignedDuration::ZERO) {
            let mut page = Page::new(self.screen);
            page.title("The time is over").para("The run ends as it stands.");
            self.ask.say(&page.finish());
            return PromptReply::Choice(ends);
        }
        let said = self.said(left);
        if !said.is_empty() {
            self.ask.say(&said);
        }
        let reply = self.ask.choose(prompt);
        if matches!(reply, PromptReply::Choice(_)) {
            self.moves += 1;
        }
        reply
    }

    fn note(&mut self, label: &str, keys: &[KeyKind]) -> NoteReply {
        self.ask.note(label, keys)
    }

    fn words(&mut self, label: &str) -> Result<String, Lost> {
        self.ask.words(label)
    }

    fn line_or_leave(&mut self, label: &str) -> Result<Option<String>, Lost> {
        self.ask.line_or_leave(label)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ask::Script;
    use crate::stream::paint::Paint;
    use crate::visit::clock::TestClock;

    /// A minute goes by at every look at the clock.
    fn turns<'c>(clock: &'c TestClock, names: &[&str], limit: Option<i64>) -> Turns<'c> {
        let until = limit.map(|minutes| Timestamp::UNIX_EPOCH + SignedDuration::from_mins(minutes));
        Turns {
            ask: Box::new(Script::new(["1", "1", "f", "1", "1"])),
            screen: Screen::new(40, Paint::NONE),
            clock,
            names: names.iter().map(|name| (*name).to_owned()).collect(),
            until,
            moves: 0,
        }
    }

    fn moves() -> Prompt {
        Prompt::new(vec!["Look".to_owned(), DECLARES.to_owned()], &[KeyKind::SoFar])
    }

    #[test]
    fn after_the_limit_the_run_is_declared_and_nothing_else_is() {
        let clock = TestClock::from(Timestamp::UNIX_EPOCH);
        let mut turns = turns(&clock, &[], Some(2));
        let other = Prompt::new(vec!["Yes".to_owned()], &[]);
        assert_eq!(turns.choose(&moves()), PromptReply::Choice(0));
        assert_eq!(turns.choose(&moves()), PromptReply::Choice(0));
        assert_eq!(turns.choose(&moves()), PromptReply::Choice(1), "two minutes are over");
        // What was begun is brought to its end.
        assert!(matches!(turns.choose(&other), PromptReply::Key(_) | PromptReply::Choice(0)));
    }

    #[test]
    fn two_make_their_moves_in_turns() {
        let clock = TestClock::from(Timestamp::UNIX_EPOCH);
        let mut turns = turns(&clock, &["Kim", "Ida"], None);
        let said = |turns: &Turns<'_>| turns.said(None).trim().to_owned();
        assert_eq!(said(&turns), "Kim: it is your move.");
        turns.choose(&moves());
        assert_eq!(said(&turns), "Ida: it is your move.");
        turns.choose(&moves());
        // A key is no move.
        turns.choose(&moves());
        assert_eq!(said(&turns), "Kim: it is your move.");
        assert_eq!(together(Some("Kim"), Some("Ida")).as_deref(), Some("Kim with Ida"));
        assert_eq!(together(Some("Kim"), None).as_deref(), Some("Kim"));
    }
}
