//! Reading courses: the files beside a book, checked against the drills that there are.

use std::collections::{HashMap, HashSet};

use super::written::{CourseEntry, GoalEntry, StepEntry};
use super::{Course, CourseStep, Goal};
use crate::drill::model::Drill;
use crate::problem::{Code, Problem, Report, near};
use crate::rulebook::ids::{self, Ids};
use crate::rulebook::load::Checked;
use crate::rulebook::model::{Book, Source};
use crate::rulebook::written::Source as WrittenSource;
use crate::source::parse::{self, Spanned, Text};
use crate::source::{FileId, Span, Texts};

/// Nobody is quicker than somebody who knows the way, and a bound beyond this bounds nothing.
const TIMES: std::ops::RangeInclusive<f64> = 1.0..=20.0;
/// Most drills of one course.
const MOST_STEPS: usize = 60;

/// Reads and checks the courses beside a book. One with something wrong is told of in the report and left out; a drill
/// that rests, or that is told of by itself, is left out of its course.
pub fn read(book: &Book, checked: &Checked, drills: &[Drill], report: &mut Report) -> Vec<Course> {
    let texts = &checked.texts;
    let written = checked.drills.iter().flat_map(|file| parse::names(*file, texts.text(*file)));
    let written: HashSet<String> = written.map(|name| name.text).collect();
    read_files(book, (texts, &checked.courses), (drills, &written), report)
}

/// Reads and checks the courses in these files, against the drills that can be run and all ids that drills have.
pub fn read_files(
    book: &Book,
    (texts, files): (&Texts, &[FileId]),
    (drills, written): (&[Drill], &HashSet<String>),
    report: &mut Report,
) -> Vec<Course> {
    let ids = Ids::new(book);
    let mut known: HashMap<String, Span> = HashMap::new();
    let mut courses = Vec::new();
    for entry in ids::entries::<CourseEntry>(texts, files, report) {
        if let Some(first) = known.insert(entry.id.text.clone(), entry.id.span) {
            let message = format!("two courses have the id `{}`", entry.id.text);
            let problem = Problem::at(Code::TwiceId, texts.place(entry.id.span), message)
                .also(texts.place(first), "first here");
            report.add(problem.help("give one of them another id"));
            continue;
        }
        let mut reader = Reader { texts, ids: &ids, drills, written, found: Report::default() };
        let course = reader.course(&entry);
        let wrong = reader.found.has_errors();
        reader.found.sorted().into_iter().for_each(|problem| report.add(problem));
        // Where the site has switched all of its drills off, nothing is left to be taken.
        courses.extend(Some(course).filter(|course| !wrong && !course.steps.is_empty()));
    }
    courses
}

struct Reader<'t> {
    texts: &'t Texts,
    ids: &'t Ids<'t>,
    drills: &'t [Drill],
    written: &'t HashSet<String>,
    found: Report,
}

impl Reader<'_> {
    fn course(&mut self, entry: &Spanned<CourseEntry>) -> Course {
        let fits = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        if entry.id.text.is_empty() || !entry.id.text.chars().all(fits) {
            let message = format!("`{}` is no id", entry.id.text);
            self.add(Code::BadId, entry.id.span, message, "use a-z, 0-9 and -");
        }
        for text in [&entry.title, &entry.about] {
            if text.text.trim().is_empty() {
                let remedy = "write what the learner is to read";
                self.add(Code::EmptyText, text.span, "this text says nothing", remedy);
            }
        }
        if entry.steps.is_empty() {
            let remedy = "name its drills in order: steps: [(drill: \"..\")]";
            self.add(Code::EmptyText, entry.id.span, "the course has no drills", remedy);
        }
        if entry.steps.len() > MOST_STEPS {
            let message = format!("a course has at most {MOST_STEPS} drills");
            self.add(Code::NumberRange, entry.id.span, message, "make two courses of it");
        }
        let usual = self.goals(&entry.reach);
        let mut seen: HashMap<&str, Span> = HashMap::new();
        let mut steps = Vec::new();
        for step in &entry.steps {
            if let Some(first) = seen.insert(&step.drill.text, step.drill.span) {
                let message = format!("the course names the drill `{}` twice", step.drill.text);
                let place = self.texts.place(step.drill.span);
                let problem = Problem::at(Code::TwiceNamed, place, message)
                    .also(self.texts.place(first), "first here");
                self.found.add(problem.help("take one of them out"));
                continue;
            }
            steps.extend(self.step(step, &usual, entry.id.span));
        }
        Course {
            id: entry.id.text.clone(),
            title: entry.title.text.clone(),
            about: entry.about.text.clone(),
            steps,
            source: self.source(&entry.source),
            place: self.texts.place(entry.id.span),
        }
    }

    fn step(&mut self, entry: &StepEntry, usual: &[Goal], course: Span) -> Option<CourseStep> {
        let own = self.goals(&entry.reach);
        let goals = if entry.reach.is_empty() { usual.to_vec() } else { own };
        if goals.is_empty() {
            let message = format!("nothing has to be reached in `{}`", entry.drill.text);
            let remedy = "write reach: [RunsTrue, Cured, Safe] in the course, or in this step";
            let problem = Problem::at(Code::EmptyText, self.texts.place(entry.drill.span), message)
                .also(self.texts.place(course), "in this course");
            self.found.add(problem.help(remedy));
        }
        let id = entry.drill.text.as_str();
        if !self.drills.iter().any(|drill| drill.id == id) {
            if !self.written.contains(id) {
                let message = format!("there is no drill `{id}`");
                let place = self.texts.place(entry.drill.span);
                let known = self.drills.iter().map(|drill| drill.id.as_str());
                self.found.add(near(
                    Problem::at(Code::UnknownId, place, message)
                        .help("`straybelt drill list` lists those there are"),
                    id,
                    known,
                    "drills",
                ));
            }
            return None;
        }
        Some(CourseStep { drill: id.to_owned(), goals, exam: entry.exam })
    }

    fn goals(&mut self, written: &[Spanned<GoalEntry>]) -> Vec<Goal> {
        let mut goals: Vec<Goal> = Vec::new();
        for entry in written {
            let goal = match entry.value {
                GoalEntry::RunsTrue => Goal::RunsTrue,
                GoalEntry::Cured => Goal::Cured,
                GoalEntry::Named => Goal::Named,
                GoalEntry::Safe => Goal::Safe,
                GoalEntry::NoAdvice => Goal::NoAdvice,
                GoalEntry::Certain(least) => Goal::Certain(least),
                GoalEntry::Times(times) => {
                    if !TIMES.contains(&times.value) {
                        let message = format!("{} times the expert's minutes", times.value);
                        let remedy = "write a number from 1 to 20, such as Times(2.0)";
                        self.add(Code::NumberRange, times.span, message, remedy);
                    }
                    Goal::Times(times.value)
                }
            };
            let same =
                |known: &Goal| std::mem::discriminant(known) == std::mem::discriminant(&goal);
            if goals.iter().any(same) {
                let remedy = "take one of them out";
                self.add(Code::TwiceNamed, entry.span, "the same is asked for twice", remedy);
            }
            goals.push(goal);
        }
        goals
    }

    fn source(&mut self, written: &WrittenSource) -> Source {
        let place = |text: &Text| text.text.clone();
        let (texts, ids, found) = (self.texts, self.ids, &mut self.found);
        let mut find = |id: &Text| {
            ids::find(&ids.sources, "source", id, texts)
                .map_err(|problem| found.add(problem.help("name one of sources.ron")))
                .ok()
        };
        // A source that is not there is reported, and the course refused.
        written.try_map(&mut find, place).unwrap_or(Source::Memory)
    }

    fn add(&mut self, code: Code, at: Span, message: impl Into<String>, remedy: impl Into<String>) {
        let problem = Problem::at(code, self.texts.place(at), message);
        self.found.add(problem.help(remedy));
    }
}
