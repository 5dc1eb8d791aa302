//! Reading drills: the files beside a book, checked against it and against the belt-line model.

use std::collections::HashMap;

use super::belt::Belt;
use super::model::{Drill, Hidden, Thing};
use super::moves::MADE_BY_HAND;
use super::parts::Parts;
use super::plant;
use super::written::{DrillEntry, HiddenEntry, Shown, ShownAnswer};
use crate::conveyor::{self, Conveyor};
use crate::mechanics::{Case, Line};
use crate::problem::{Code, Problem, Report};
use crate::reason::Applicability;
use crate::rulebook::check::Off;
use crate::rulebook::ids::{self, Ids};
use crate::rulebook::index::{AnswerAt, CauseAt, FixAt, List, SymptomAt};
use crate::rulebook::load::{BUILT_IN, Checked, Laid};
use crate::rulebook::model::{Book, Source, Symptom};
use crate::rulebook::written::Source as WrittenSource;
use crate::source::fields::{self, Is};
use crate::source::parse::{Spanned, Text, Unread};
use crate::source::{FileId, Span, Texts};

/// A fix that cures a cause with at least this chance takes it away in a drill, unless the drill names its own.
pub const TAKES_AWAY: f64 = 0.6;
/// Most causes that one drill hides, and most parts of one cause.
const MOST_HIDDEN: usize = 4;
const MOST_PARTS: usize = 40;
/// Most idlers of a drill's conveyor, some 2.5 km of it: the belt is reckoned at each of them in every move, and
/// somebody waits for it.
const MOST_IDLERS: usize = 3_000;

/// The drills beside a book.
#[derive(Debug, Default)]
pub struct Drills {
    /// Those that can be run.
    pub drills: Vec<Drill>,
    /// Those that need what the site has switched off: the drill's id, and what that is, or why it does not fit.
    pub aside: Vec<(String, String)>,
}

/// Reads and checks the drills beside a book. One with something wrong is told of in the report and left out; one that
/// needs what the site has switched off rests.
pub fn read(book: &Book, checked: &Checked, report: &mut Report) -> Drills {
    let rests = |id: &Text, why: &[Problem]| {
        let off = why.iter().find_map(|problem| checked.off.named_in(&problem.message));
        let built_in = checked.texts.name(id.span.file).starts_with(BUILT_IN);
        match off {
            None if checked.laid == Laid::Over && built_in => {
                why.iter().find(|p| p.is_error()).map(|problem| problem.message.clone())
            }
            off => off,
        }
    };
    let read = read_each(book, &checked.texts, &checked.drills, report, &rests);
    if let Some(first) = read.drills.first() {
        made_by_hand(book, &checked.off, first, report);
    }
    read
}

/// That a learner can make what no cause of the book stands for: advice and score would know nothing of it.
fn made_by_hand(book: &Book, off: &Off, drill: &Drill, report: &mut Report) {
    let known = |fault| {
        off.faults.contains(&fault)
            || book.causes.values().any(|cause| cause.drilled_as == Some(fault))
    };
    for fault in MADE_BY_HAND.into_iter().filter(|fault| !known(*fault)) {
        let message = format!("a learner can make {fault:?}, and no cause is drilled as that");
        let problem = Problem::at(Code::NoMeaning, drill.place.clone(), message);
        report.add(problem.help("say `drilled_as` in the cause that it is"));
    }
}

/// Reads and checks the drills in these files.
pub fn read_files(book: &Book, texts: &Texts, files: &[FileId], report: &mut Report) -> Vec<Drill> {
    read_each(book, texts, files, report, &|_, _| None).drills
}

/// The same, where a drill may rest in spite of what is wrong with it.
fn read_each(
    book: &Book,
    texts: &Texts,
    files: &[FileId],
    report: &mut Report,
    rests: &dyn Fn(&Text, &[Problem]) -> Option<String>,
) -> Drills {
    let ids = Ids::new(book);
    let mut all = Drills::default();
    let mut known: HashMap<String, Span> = HashMap::new();
    for entry in ids::entries::<DrillEntry>(texts, files, report) {
        if let Some(first) = known.insert(entry.id.text.clone(), entry.id.span) {
            let message = format!("two drills have the id `{}`", entry.id.text);
            let problem = Problem::at(Code::TwiceId, texts.place(entry.id.span), message)
                .also(texts.place(first), "first here");
            report.add(problem.help("give one of them another id"));
            continue;
        }
        let mut reader = Reader { book, texts, ids: &ids, found: Report::default() };
        let drill = reader.drill(&entry);
        let wrong = reader.found.has_errors();
        let found = reader.found.sorted();
        if let Some(why) = rests(&entry.id, &found).filter(|_| wrong) {
            all.aside.push((entry.id.text.clone(), why));
            continue;
        }
        found.into_iter().for_each(|problem| report.add(problem));
        all.drills.extend(drill.filter(|_| !wrong));
    }
    all
}

struct Reader<'t> {
    book: &'t Book,
    texts: &'t Texts,
    ids: &'t Ids<'t>,
    found: Report,
}

impl Reader<'_> {
    fn drill(&mut self, entry: &Spanned<DrillEntry>) -> Option<Drill> {
        self.id(&entry.id);
        for text in [&entry.title, &entry.briefing] {
            self.words(text);
        }
        for text in entry.aims.iter().chain(&entry.talk) {
            self.words(text);
        }
        if entry.aims.is_empty() {
            let message = "the drill has no aims";
            let remedy = "say what the learner is to take home";
            self.add(Code::EmptyText, entry.id.span, message, remedy);
        }
        let conveyor = self.conveyor(entry.conveyor);
        let line = plant::line(&conveyor);
        if let Err(wrong) = line.check() {
            let message = format!("{}: {}", wrong.part, wrong.what);
            self.add(Code::NumberRange, entry.conveyor.0, message, wrong.remedy);
            return None;
        }
        let idlers = line.carry.stations_m.len() + line.ret.stations_m.len();
        if idlers > MOST_IDLERS {
            let message = format!("{idlers} idlers; a drill's conveyor has at most {MOST_IDLERS}");
            let remedy = "take a shorter conveyor, or idlers further apart";
            self.add(Code::NumberRange, entry.conveyor.0, message, remedy);
            return None;
        }
        if entry.hidden.len() > MOST_HIDDEN {
            self.add(
                Code::NumberRange,
                entry.id.span,
                format!("{} hidden causes are more than one drill can teach", entry.hidden.len()),
                "keep the two or three that matter",
            );
        }
        let hidden: Vec<Option<Hidden>> =
            entry.hidden.iter().map(|hidden| self.hidden(hidden, &conveyor, &line)).collect();
        Some(Drill {
            id: entry.id.text.clone(),
            title: entry.title.text.clone(),
            grade: entry.grade,
            briefing: entry.briefing.text.clone(),
            hidden: hidden.into_iter().collect::<Option<_>>()?,
            shows: self.shows(&entry.shows),
            expert: entry.expert.iter().filter_map(|id| self.symptom(id)).collect(),
            aims: entry.aims.iter().map(|text| text.text.clone()).collect(),
            talk: entry.talk.iter().map(|text| text.text.clone()).collect(),
            seed: u64::from(entry.seed),
            source: self.source(&entry.source),
            text: self.texts.slice(entry.span).to_owned(),
            place: self.texts.place(entry.id.span),
            conveyor,
            line,
        })
    }

    fn hidden(&mut self, entry: &HiddenEntry, conveyor: &Conveyor, line: &Line) -> Option<Hidden> {
        let cause = self.find("cause", &entry.cause, &self.ids.causes)?;
        let nothing = List::filled(None, self.book.symptoms.len());
        let applies = Applicability::new(self.book, conveyor.facts(), &nothing);
        if !applies.causes[cause] {
            let message = format!("`{}` cannot be present on this conveyor", entry.cause.text);
            let remedy = "see its `only_if`, and what the drill says of the conveyor";
            self.add(Code::FactValue, entry.cause.span, message, remedy);
        }
        if entry.parts.is_empty() || entry.parts.len() > MOST_PARTS {
            let message = format!("a hidden cause has 1 to {MOST_PARTS} parts");
            let remedy = "say what is out of order, such as SpliceCrooked(..)";
            self.add(Code::EmptyText, entry.cause.span, message, remedy);
        }
        let feet_m = plant::feet_m(conveyor, line.belt.width_m);
        let things: Vec<Option<Thing>> = entry
            .parts
            .iter()
            .map(|part| {
                Parts {
                    texts: self.texts,
                    report: &mut self.found,
                    line,
                    feet_m,
                    units: conveyor.units().unwrap_or_default(),
                }
                .read(part)
            })
            .collect();
        let own: Vec<FixAt> = entry.yields_to.iter().filter_map(|id| self.fix(id)).collect();
        let yields_to = if entry.yields_to.is_empty() { cures(self.book, cause) } else { own };
        let all_known = entry.yields_to.is_empty() || yields_to.len() == entry.yields_to.len();
        if all_known && !yields_to.iter().any(|fix| self.may_be_done(conveyor, *fix)) {
            let message = format!(
                "nothing that may be done on this conveyor takes `{}` away",
                entry.cause.text
            );
            let remedy = "name a fix in `yields_to`, or say more of the conveyor";
            self.add(Code::NoCure, entry.cause.span, message, remedy);
        }
        Some(Hidden { cause, things: things.into_iter().collect::<Option<_>>()?, yields_to })
    }

    /// Whether no fact of the conveyor speaks against a fix: answers may open it later.
    fn may_be_done(&self, conveyor: &Conveyor, fix: FixAt) -> bool {
        use crate::reason::{Truth, truth};
        let conditions = &self.book.fixes[fix].only_if;
        let fits = |condition| truth(condition, conveyor.facts(), |_| None) != Truth::False;
        conditions.iter().all(fits)
    }

    fn shows(&mut self, shows: &[Shown]) -> Vec<(SymptomAt, AnswerAt)> {
        let book = self.book;
        let mut known = Vec::new();
        for Shown(symptom, told) in shows {
            let Some(at) = self.symptom(symptom) else {
                continue;
            };
            let entry = &book.symptoms[at];
            let found: Vec<Option<AnswerAt>> =
                told.ids().iter().map(|answer| self.answer(entry, answer)).collect();
            let Some(found) = found.into_iter().collect::<Option<Vec<AnswerAt>>>() else {
                continue;
            };
            match (told, found.as_slice()) {
                (ShownAnswer::Ticked(_), found) if entry.is_marks() => {
                    let marks = entry.marks.as_slice();
                    let is = |mark: usize| marks.get(mark).is_some_and(|at| found.contains(at));
                    known.push((at, entry.ticking(is)));
                }
                (ShownAnswer::One(_), [answer]) => known.push((at, *answer)),
                _ => {
                    let message = format!("`{}` has one answer at a time, not a list", entry.id);
                    self.add(
                        Code::Shape,
                        symptom.span,
                        message,
                        "write one answer in quotes".to_owned(),
                    );
                }
            }
        }
        known
    }

    /// An answer that the files name; one that is not known is reported.
    fn answer(&mut self, entry: &Symptom, answer: &Text) -> Option<AnswerAt> {
        let found = entry.named().find(|(_, known)| known.id == answer.text).map(|(at, _)| at);
        if found.is_none() {
            let message = format!("`{}` has no answer `{}`", entry.id, answer.text);
            let ids: Vec<&str> = entry.named().map(|(_, a)| a.id.as_str()).collect();
            let remedy = format!("answers: {}", ids.join(", "));
            self.add(Code::UnknownId, answer.span, message, remedy);
        }
        found
    }

    fn conveyor(&mut self, at: Unread) -> Conveyor {
        let fields = match fields::part(self.texts, at.0) {
            Ok(value) => match value.is {
                Is::Fields(fields) => fields,
                _ => {
                    let message = "the data of a conveyor are expected here";
                    let remedy = "write conveyor: (name: \"OQ-04\", class: \"troughed-bulk\")";
                    self.add(Code::Shape, value.span.first(), message, remedy);
                    return Conveyor::default();
                }
            },
            Err(misread) => {
                self.found.add(Problem::misread(self.texts, &misread));
                return Conveyor::default();
            }
        };
        conveyor::from_fields(self.texts, &fields, &mut self.found)
    }

    fn id(&mut self, id: &Text) {
        let fits = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        if id.text.is_empty() || !id.text.chars().all(fits) {
            let message = format!("`{}` is no id", id.text);
            self.add(Code::BadId, id.span, message, "use a-z, 0-9 and -");
        }
    }

    fn words(&mut self, text: &Text) {
        if text.text.trim().is_empty() {
            let message = "this text says nothing";
            self.add(Code::EmptyText, text.span, message, "write what the learner is to read");
        }
    }

    fn source(&mut self, written: &WrittenSource) -> Source {
        let place = |text: &Text| text.text.clone();
        // A source that is not there is reported, and the book refused.
        written
            .try_map(|id| self.find("source", id, &self.ids.sources), place)
            .unwrap_or(Source::Memory)
    }

    fn symptom(&mut self, id: &Text) -> Option<SymptomAt> {
        self.find("symptom", id, &self.ids.symptoms)
    }

    fn fix(&mut self, id: &Text) -> Option<FixAt> {
        self.find("fix", id, &self.ids.fixes)
    }

    fn find<P: Copy>(&mut self, kind: &str, id: &Text, known: &HashMap<&str, P>) -> Option<P> {
        ids::find(known, kind, id, self.texts)
            .map_err(|problem| {
                self.found
                    .add(problem.help(
                        "a drill goes with the book: change the drill, or bring the id back",
                    ));
            })
            .ok()
    }

    fn add(&mut self, code: Code, at: Span, message: impl Into<String>, remedy: impl Into<String>) {
        let problem = Problem::at(code, self.texts.place(at), message);
        self.found.add(problem.help(remedy));
    }
}

/// The fixes of the book that take a cause away in a drill.
pub fn cures(book: &Book, cause: CauseAt) -> Vec<FixAt> {
    let takes_away = |(at, fix): (FixAt, &crate::rulebook::model::Fix)| {
        fix.cures
            .iter()
            .any(|(cured, chance)| *cured == cause && *chance >= TAKES_AWAY)
            .then_some(at)
    };
    book.fixes.iter().filter_map(takes_away).collect()
}

/// What is wrong with a drill when its belt is run: that it cannot, or that what is hidden does not show. It takes
/// some hundredths of a second, so it is asked for by itself.
pub fn run(drill: &Drill) -> Option<Problem> {
    let problem = |code, message: &str| Problem::at(code, drill.place.clone(), message);
    let free = Case::new(&drill.line, &all_faults(drill)).is_ok_and(|case| !case.holds_a_place());
    if free {
        let message = "nothing holds this belt to a place: it would only drift";
        let remedy = "give the conveyor a trough, or crowned pulleys";
        return Some(problem(Code::NumberRange, message).help(remedy));
    }
    match Belt::begin(&drill.line, &all_faults(drill)) {
        Err(wrong) => {
            let message = format!("{}: {}", wrong.part, wrong.what);
            Some(problem(Code::NumberRange, &message).help(wrong.remedy))
        }
        Ok(belt) if !drill.hidden.is_empty() && belt.runs_true(&drill.line) => {
            let message = "with all that is hidden in it the belt still runs true";
            let remedy = "make the parts larger, or choose a place where they matter more";
            Some(problem(Code::DrillRunsTrue, message).help(remedy))
        }
        Ok(_) => None,
    }
}

/// Everything that is out of order at the start.
fn all_faults(drill: &Drill) -> Vec<crate::mechanics::Fault> {
    let things = drill.hidden.iter().flat_map(|hidden| &hidden.things);
    things.map(|thing| thing.fault(&drill.line)).collect()
}
