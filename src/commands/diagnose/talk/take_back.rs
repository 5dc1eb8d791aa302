//! Taking several replies back at once: it is asked first, and can be undone.

use super::{Away, Got, Talk};
use crate::ask::KeyKind;
use crate::show::asking::QuestionPut;
use crate::show::happened::usual_units;
use crate::show::past;
use crate::visit::event::Event;

const KEYS: [KeyKind; 2] = [KeyKind::Stop, KeyKind::Help];

impl Talk<'_> {
    /// Says which replies would go, asks whether they shall, and offers to have them back.
    pub(super) fn take_back_several(&mut self, steps: usize) -> Result<(), Away> {
        let out = self.taken_out_by(steps);
        let page = self.words(|screen, known| {
            past::to_take_back(screen, known, &out, usual_units(&self.now.conveyor))
        });
        let yes = format!("Yes, take back {steps}");
        if !self.asked("Take back?", &page, [&yes, "No, they stay"])? {
            return Ok(());
        }
        self.sitting.again = None;
        self.happened(Event::Back { steps })?;
        let ask = format!("{steps} replies are taken back.");
        if self.asked(&ask, "", ["Go on from there", "Undo it: they stand again"])? {
            self.took_back = true;
            return Ok(());
        }
        for event in out {
            if !event.what.is_of_the_machine() {
                self.happened(event.what)?;
            }
        }
        Ok(())
    }

    /// Puts a question with two answers until one of them comes: whether it was the first.
    fn asked(&mut self, ask: &str, page: &str, answers: [&str; 2]) -> Result<bool, Away> {
        let asked = QuestionPut {
            title: "Back".to_owned(),
            around: String::new(),
            ask: ask.to_owned(),
            answers: answers.map(str::to_owned).to_vec(),
            keys: &KEYS,
            own: &[],
        };
        loop {
            self.say(page);
            match self.put(&asked, None)? {
                Got::Choice(place) => return Ok(place == 0),
                Got::Key(_) | Got::Typed(_) | Got::Again => {}
            }
        }
    }
}
