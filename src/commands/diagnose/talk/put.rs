//! Putting a question: its page, the reply, and the keys that mean the same everywhere.

use super::{Away, Talk};
use crate::ask::ticks::Ticks;
use crate::ask::{Key, KeyKind, NoteReply, Prompt, PromptReply};
use crate::show::asking::{self, OwnKey, QuestionPut};
use crate::show::{belief, past};
use crate::visit::event::Event;

/// Who deals with the key "back" at a question.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::commands::diagnose) enum BackKey {
    /// It takes the last reply of the visit back.
    TakesReplyBack,
    /// The asker, whose question has steps of its own.
    LeftToAsker,
}

/// What came of a question that offers keys.
pub enum Got {
    /// The answer at this place.
    Choice(usize),
    /// Words of the person's own.
    Typed(String),
    /// A key that the asker must deal with: why, how to look, can't tell, something else, to the plan.
    Key(Key),
    /// Something was shown or taken back: look afresh where things stand.
    Again,
}

/// What came of a line of somebody's own words.
pub(in crate::commands::diagnose) enum OwnWords {
    /// These, or none: it was skipped.
    Said(Option<String>),
    /// Back by so many lines, where the asker deals with that.
    Back(usize),
    /// Something was shown or taken back.
    Again,
}

impl Talk<'_> {
    /// Puts a question once. Keys that mean the same everywhere are dealt with here.
    pub fn put(
        &mut self,
        asked: &QuestionPut,
        no_yes: Option<(usize, usize)>,
    ) -> Result<Got, Away> {
        self.put_with(asked, no_yes, BackKey::TakesReplyBack)
    }

    /// The same, with a say in who deals with "back".
    pub(in crate::commands::diagnose) fn put_with(
        &mut self,
        asked: &QuestionPut,
        no_yes: Option<(usize, usize)>,
        back: BackKey,
    ) -> Result<Got, Away> {
        let mut prompt = Prompt::new(asked.answers.clone(), asked.keys);
        prompt.no_yes = no_yes;
        self.put_prompt(asked, &prompt, back)
    }

    /// The same with an answer that Enter alone gives.
    pub fn put_with_default(&mut self, asked: &QuestionPut, place: usize) -> Result<Got, Away> {
        let mut prompt = Prompt::new(asked.answers.clone(), asked.keys);
        prompt.by_enter = Some(place);
        self.put_prompt(asked, &prompt, BackKey::TakesReplyBack)
    }

    /// Puts a question whose page is laid out already. Enter alone gives the first answer where `by_enter` says so.
    pub(in crate::commands::diagnose) fn put_page(
        &mut self,
        page: &str,
        asked: &QuestionPut,
        (by_enter, back): (Option<usize>, BackKey),
    ) -> Result<Got, Away> {
        let mut prompt = Prompt::new(asked.answers.clone(), asked.keys);
        prompt.by_enter = by_enter;
        self.put_as(page, asked, &prompt, back)
    }

    fn put_prompt(
        &mut self,
        asked: &QuestionPut,
        prompt: &Prompt,
        back: BackKey,
    ) -> Result<Got, Away> {
        let page = asking::question(self.means.screen, asked);
        self.put_as(&page, asked, prompt, back)
    }

    fn put_as(
        &mut self,
        page: &str,
        asked: &QuestionPut,
        prompt: &Prompt,
        back: BackKey,
    ) -> Result<Got, Away> {
        self.took_back = false;
        self.say(page);
        match self.ask.choose(prompt) {
            PromptReply::Choice(place) => Ok(Got::Choice(place)),
            // Only a tick list can be ticked.
            PromptReply::Ticked(_) => Ok(Got::Again),
            PromptReply::Lost(lost) => Err(lost.into()),
            PromptReply::Key(key @ Key::Back(_)) if back == BackKey::LeftToAsker => {
                Ok(Got::Key(key))
            }
            PromptReply::Key(key) => self.key(key, asked.keys, asked.own),
        }
    }

    /// Puts a list of which several lines may be ticked, with its page: what was ticked, or what came instead.
    pub(in crate::commands::diagnose) fn put_ticks(
        &mut self,
        page: &str,
        lines: Vec<String>,
        keys: &[KeyKind],
    ) -> Result<Result<Ticks, Got>, Away> {
        self.put_ticks_with(page, lines, None, keys)
    }

    /// The same, with what Enter alone ticks.
    pub(in crate::commands::diagnose) fn put_ticks_with(
        &mut self,
        page: &str,
        lines: Vec<String>,
        by_enter: Option<Ticks>,
        keys: &[KeyKind],
    ) -> Result<Result<Ticks, Got>, Away> {
        self.took_back = false;
        self.say(page);
        let prompt = Prompt { ticked_by_enter: by_enter, ..Prompt::tick_list(lines, keys) };
        match self.ask.choose(&prompt) {
            PromptReply::Ticked(ticks) => Ok(Ok(ticks)),
            PromptReply::Choice(place) => Ok(Err(Got::Choice(place))),
            PromptReply::Lost(lost) => Err(lost.into()),
            PromptReply::Key(key) => self.key(key, keys, &[]).map(Err),
        }
    }

    /// Puts a question whose answer is typed in a word or two.
    pub(in crate::commands::diagnose) fn put_in_words(
        &mut self,
        asked: &QuestionPut,
        hint: &str,
        back: BackKey,
    ) -> Result<Got, Away> {
        self.took_back = false;
        let page = asking::in_words(self.means.screen, asked, hint);
        self.say(&page);
        match self.ask.note("In a word", asked.keys) {
            NoteReply::Text(text) => Ok(Got::Typed(text)),
            NoteReply::Skipped => Ok(Got::Typed(String::new())),
            NoteReply::Lost(lost) => Err(lost.into()),
            NoteReply::Key(key @ Key::Back(_)) if back == BackKey::LeftToAsker => Ok(Got::Key(key)),
            NoteReply::Key(key) => self.key(key, asked.keys, asked.own),
        }
    }

    /// Asks for the person's own words; `skip` is the key that leaves them out besides Enter alone, if there is one.
    pub(in crate::commands::diagnose) fn own_words(
        &mut self,
        label: &str,
        skip: Option<KeyKind>,
        back: BackKey,
    ) -> Result<OwnWords, Away> {
        self.took_back = false;
        let mut keys = vec![KeyKind::Back, KeyKind::Stop, KeyKind::Help];
        keys.extend(skip);
        match self.ask.note(label, &keys) {
            NoteReply::Text(text) => Ok(OwnWords::Said(Some(text))),
            NoteReply::Skipped => Ok(OwnWords::Said(None)),
            NoteReply::Lost(lost) => Err(lost.into()),
            NoteReply::Key(key) if Some(key.kind()) == skip => Ok(OwnWords::Said(None)),
            NoteReply::Key(Key::Back(steps)) if back == BackKey::LeftToAsker => {
                Ok(OwnWords::Back(steps))
            }
            NoteReply::Key(key) => self.key(key, &keys, &[]).map(|_| OwnWords::Again),
        }
    }

    fn key(&mut self, key: Key, keys: &[KeyKind], own: &[OwnKey]) -> Result<Got, Away> {
        match key {
            Key::Stop => return Err(Away::Stopped),
            Key::Back(steps) => {
                self.sitting.step = None;
                let steps = steps.min(self.now.replies);
                if steps > 1 {
                    self.take_back_several(steps)?;
                } else if steps == 0 {
                    // Before the first reply stand the questions that may stop everything.
                    self.sitting.stop_round_due = true;
                    self.took_back = true;
                } else {
                    self.sitting.again = None;
                    self.took_back = true;
                    self.happened(Event::Back { steps })?;
                }
            }
            Key::Help => {
                let page = asking::help(self.means.screen, keys, own);
                self.say(&page);
            }
            Key::SoFar => {
                let page = self.page(belief::so_far);
                self.say(&page);
            }
            Key::Moved => {
                let page = past::moved(self.means.screen, &self.now.moved);
                self.say(&page);
            }
            Key::Saw => self.sitting.saw_due = true,
            Key::CantTell
            | Key::Why
            | Key::Look
            | Key::Measure
            | Key::Else
            | Key::Plan
            | Key::Cautions => return Ok(Got::Key(key)),
        }
        Ok(Got::Again)
    }
}
