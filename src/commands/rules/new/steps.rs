//! The steps of a fix, as they are typed: of work by hand, or of a running machine that is only watched.

use super::entries::{LONG, SHORT, name_of};
use super::form::{Blank, FilledIn, Form};
use crate::rulebook::check::{move_of_the_belt, work_for_hands};
use crate::source::quoted;

pub(super) const ENDS: &[(&str, &str)] = &[
    ("BeltSide", "the side the belt has run to"),
    ("FarSide", "the other one"),
    ("SlackSide", "the side whose take-up stands shorter"),
    ("TightSide", "the other one"),
    ("LowFrameSide", "the low side of the frame"),
    ("LowPulleySide", "the low side of the pulley"),
    ("LowIdlerSide", "the low side of the idler"),
    ("LeadingEnd", "the end of the roll that the belt meets first"),
    ("LaggingEnd", "the end that it meets last"),
    ("ShortPulleySide", "the side on which the end pulley is nearer to the other one"),
    ("LongPulleySide", "the other one"),
    ("LeadingSnubEnd", "the end of the snub that the belt meets first"),
];
pub(super) const WAYS: &[(&str, &str)] = &[
    ("WithStrand", "the way this strand travels: a skew"),
    ("AgainstStrand", "against it: a skew"),
    ("SquareUp", "the way this strand travels, until it is square: no skew"),
    ("Head", "toward the head"),
    ("Tail", "toward the tail"),
    ("OtherPulley", "of an end pulley: toward the other end pulley"),
];
/// Steps of a running machine.
pub(super) const WATCHED: &[(&str, &str)] = &[
    ("Watch", "watch or listen, from outside the guards"),
    ("Wait", "let time pass"),
    ("Load", "what is fed, how much and how evenly"),
    ("Ask", "ask somebody"),
];

/// Steps as they are typed, in the words of the file.
#[derive(Default)]
pub(super) struct Steps {
    /// One to a line of the file.
    pub(super) lines: Vec<String>,
    /// What they say, to find the tools in.
    pub(super) said: Vec<String>,
    /// How many of them move the belt.
    pub(super) moves: u32,
}

/// Nothing of it is work for hands: the belt moves.
pub(super) fn hands_off(text: &str) -> Result<(), String> {
    match work_for_hands(text) {
        Some(found) => Err(format!(
            "\"{found}\" is work for hands, and the belt moves here. Only watch, wait, load or ask, or make it a LockedOut step."
        )),
        None => Ok(()),
    }
}

/// Nothing of it moves the belt: hands are in the machine.
pub(super) fn belt_still(text: &str) -> Result<(), String> {
    match move_of_the_belt(text) {
        Some(found) => Err(format!(
            "\"{found}\" moves the belt while hands are in the machine. Type jog or restart alone for such a step."
        )),
        None => Ok(()),
    }
}

/// The steps of work on an isolated machine.
pub(super) fn locked_out(form: &mut Form) -> FilledIn<Steps> {
    form.field(
        "fix",
        "steps",
        "A step to a line, in plain words. The word mark, end, move or raise alone asks for such a step: what \
         is moved must be marked before. tension is for a winch, jack or take-up under tension; jog moves the belt \
         a short way, restart has it run and watched in the middle of the job. Press Enter to end.",
    );
    let mut steps = Steps::default();
    let mut at_rest = true;
    loop {
        let label = format!("step {}", steps.lines.len() + 1);
        let blank = if at_rest { Blank::until(steps.lines.len(), 1) } else { Blank::Refused };
        let Some(step) = form.words_that(&label, LONG, blank, &belt_still)? else {
            return Ok(steps);
        };
        let word = step.to_lowercase();
        at_rest = !matches!(word.as_str(), "jog" | "restart");
        let line = match word.as_str() {
            "mark" | "move" | "end" | "raise" => steps.moved(form, &word)?,
            "tension" => steps.tension(form)?,
            "jog" | "restart" => steps.belt_moved(form, &word)?,
            _ => {
                let line = format!("Do({})", quoted(&step));
                steps.said.push(step);
                line
            }
        };
        steps.lines.push(line);
    }
}

impl Steps {
    /// Takes the words of a step's field and remembers them.
    fn part(&mut self, form: &mut Form, field: &str) -> FilledIn<String> {
        form.field("step", field, "");
        let said = form.words_that(field, SHORT, Blank::Refused, &belt_still)?.unwrap_or_default();
        let text = quoted(&said);
        self.said.push(said);
        Ok(text)
    }

    /// A step that marks or moves something.
    fn moved(&mut self, form: &mut Form, word: &str) -> FilledIn<String> {
        Ok(match word {
            "mark" => format!("Mark({})", self.part(form, "what")?),
            "move" => {
                format!(
                    "Move(what: {}, how: {})",
                    self.part(form, "what")?,
                    self.part(form, "how")?
                )
            }
            "end" => {
                let of = self.part(form, "of")?;
                let end = one_of(form, "end", ENDS)?;
                let toward = one_of(form, "toward", WAYS)?;
                let by = self.part(form, "by")?;
                format!("MoveEnd(of: {of}, end: {end}, toward: {toward}, by: {by})")
            }
            _ => {
                let what = self.part(form, "what")?;
                let end = one_of(form, "end", ENDS)?;
                format!("Raise(what: {what}, end: {end}, by: {})", self.part(form, "by")?)
            }
        })
    }

    fn tension(&mut self, form: &mut Form) -> FilledIn<String> {
        form.say(
            "What is worked, slackened, tightened or pinned? After it the blocks are looked at and it is \
             tried once more.",
        );
        let said =
            form.words_that("tension", LONG, Blank::Refused, &belt_still)?.unwrap_or_default();
        let line = format!("Tension({})", quoted(&said));
        self.said.push(said);
        Ok(line)
    }

    /// A step in which the belt moves.
    fn belt_moved(&mut self, form: &mut Form, word: &str) -> FilledIn<String> {
        let (kind, asks) = if word == "jog" {
            (
                "Jog",
                "How far is the belt moved, and what for? In words for whoever gives the order.",
            )
        } else {
            (
                "Restart",
                "How many full turns is it run, and what is watched from outside the guards?",
            )
        };
        form.say(asks);
        form.say(
            "The program walks giving back before it and isolation after it. Another step follows: after \
             the last one the belt is run and watched anyway.",
        );
        let said = form.words_that(word, LONG, Blank::Refused, &hands_off)?.unwrap_or_default();
        let line = format!("{kind}({})", quoted(&said));
        self.said.push(said);
        self.moves += 1;
        Ok(line)
    }
}

fn one_of(
    form: &mut Form,
    field: &str,
    words: &'static [(&'static str, &'static str)],
) -> FilledIn<&'static str> {
    form.field("step", field, "");
    Ok(name_of(words, form.word(field, words, None)?))
}

/// The steps of work on a running machine, of which nothing is touched.
pub(super) fn running(form: &mut Form) -> FilledIn<Steps> {
    form.field(
        "fix",
        "steps",
        "It runs, so nothing is touched, moved or measured by hand. The kind of each step, then its words; Enter \
         alone ends.",
    );
    form.show(|page| {
        for (word, says) in WATCHED {
            page.item("  ", &format!("{word}: {says}"));
        }
    });
    let mut steps = Steps::default();
    loop {
        let label = format!("step {}", steps.lines.len() + 1);
        let must = steps.lines.is_empty();
        let words = || WATCHED.iter().map(|(word, _)| *word);
        let help = |_: &str| vec!["Watch, Wait, Load or Ask, or its number.".to_owned()];
        let kind = form.line(&label, &help, &|line| {
            if line.is_empty() && !must {
                return Ok(None);
            }
            super::reading::one_of(line, words()).map(Some)
        })?;
        let Some(kind) = kind else { return Ok(steps) };
        let kind = name_of(WATCHED, kind);
        let said = form
            .words_that(&kind.to_lowercase(), LONG, Blank::Refused, &hands_off)?
            .unwrap_or_default();
        steps.lines.push(format!("{kind}({})", quoted(&said)));
        steps.said.push(said);
    }
}
