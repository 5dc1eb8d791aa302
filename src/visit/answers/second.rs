//! Second looks in an answers file: what was seen anew after a batch.

use super::AnswersReader;
use crate::problem::Code;
use crate::source::Span;
use crate::source::fields::{Field, Is, Value};
use crate::trade::MachineState;
use crate::visit::finding::SecondReplies;

/// What may stand in a second look.
const KEYS: &[&str] = &["after_batch", "answers"];
/// What one looks like.
const SHAPE: &str = "looks, such as [(after_batch: 1, answers: {\"first-split\": \"one-place\"})]";

impl AnswersReader<'_> {
    /// All second looks; the batches are known by now.
    pub(super) fn second(&mut self, value: &Value) {
        let mut places: Vec<(usize, Span)> = Vec::new();
        for look in self.list(value, SHAPE) {
            let Is::Fields(fields) = &look.is else {
                self.expected(look.span, SHAPE);
                continue;
            };
            self.each_once(fields);
            let unknown = fields.iter().filter(|field| !KEYS.contains(&field.key.text.as_str()));
            unknown.for_each(|field| self.unknown_field(&field.key, KEYS));
            let part = |key: &str| fields.iter().find(|field| field.key.text == key);
            let after_batch = match part("after_batch") {
                Some(field) => self.after_batch(&field.value),
                None => {
                    let message = "a second look says after which batch it was".to_owned();
                    let problem = self.problem(Code::MissingField, look.span.first(), message);
                    self.report.add(problem.help("write `after_batch: 1,` after the first batch"));
                    None
                }
            };
            let mut seen =
                SecondReplies { after_batch: after_batch.unwrap_or(0), replies: Vec::new() };
            if let Some(field) = part("answers") {
                self.seen_anew(&field.value, &mut seen);
            }
            let Some(after_batch) = after_batch else { continue };
            if let Some((_, first)) = places.iter().find(|(before, _)| *before == after_batch) {
                let message = format!("two looks after batch {after_batch}");
                let problem = self.problem(Code::TwiceNamed, look.span.first(), message);
                let first = self.texts.place(first.first());
                let help = "put the answers of both into one";
                self.report.add(problem.also(first, "first here").help(help));
                continue;
            }
            places.push((after_batch, look.span));
            self.answers.observed.second.push(seen);
        }
        self.answers.observed.second.sort_by_key(|look| look.after_batch);
    }

    /// Which batch a look came after: one of those done.
    fn after_batch(&mut self, value: &Value) -> Option<usize> {
        let batches = self.answers.observed.done.len();
        let Is::Number(number) = value.is else {
            self.expected(value.span, "the number of a batch, the first being 1");
            return None;
        };
        let found = (1..=batches).find(|batch| batch.to_string() == number.to_string());
        if found.is_none() {
            let (message, help) = if batches == 0 {
                (
                    format!("there is no batch {number}: nothing is done in this file"),
                    "write the work into `done`, batch by batch; what was seen before any goes into `answers`".to_owned(),
                )
            } else {
                (
                    format!("no batch {number} among the {batches} done"),
                    format!(
                        "write a whole number from 1 to {batches}: the place of the batch in `done`"
                    ),
                )
            };
            let problem = self.problem(Code::NumberRange, value.span, message);
            self.report.add(problem.help(help));
        }
        found
    }

    fn seen_anew(&mut self, value: &Value, seen: &mut SecondReplies) {
        let fields = match &value.is {
            Is::Fields(fields) => fields,
            Is::Nothing => return,
            _ => {
                let shape = "ids with their answers, such as { \"first-split\": \"one-place\" }";
                self.expected(value.span, shape);
                return;
            }
        };
        self.each_once(fields);
        for field in fields {
            if self.asked_once(field) {
                continue;
            }
            let Some((symptom, reply)) = self.reply(field, Vec::new()) else { continue };
            if self.book.symptoms[symptom].state == MachineState::Anywhere {
                self.stays_in_answers(field, "is about the past, which no work changes");
                continue;
            }
            seen.put(symptom, reply);
        }
    }

    /// Whether it is one of the questions asked before all others, which have no second look.
    fn asked_once(&mut self, field: &Field) -> bool {
        let id = field.key.text.as_str();
        let once = self.book.stop_now.iter().any(|q| q.id == id) || id == self.book.edge_room.id;
        if once {
            self.stays_in_answers(field, "is asked before all else");
        }
        once
    }

    fn stays_in_answers(&mut self, field: &Field, why: &str) {
        let message = format!("`{}` {why}", field.key.text);
        let problem = self.problem(Code::Shape, field.key.span, message);
        self.report.add(problem.help("put it into `answers`, whenever it was told"));
    }
}
