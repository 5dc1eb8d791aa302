//! A finding as the JSON document that other programs read; rules/JSON.md tells of it.

use serde::ser::{Serialize, SerializeMap, Serializer};

use super::stays_so::BroughtOnLine;
use super::steps::{Preface, check_order, plan_text};
use super::words::Known;
use crate::rulebook::index::{AnswerAt, CauseAt, FixAt, List, Place, SymptomAt};
use crate::rulebook::model::{About, AnswerIds, Book, Condition, Fix, RoomMeans};
use crate::stream;
use crate::trade::LookPlace;
use crate::visit::answers::Answers;
use crate::visit::{Diagnosis, Finding, NextLook, NextQuestion, SeenAnew, Stop, Weighed, Why};

/// The document's version; raised when a key is renamed or dropped.
const FORMAT: u32 = 1;

/// The finding as one JSON document, two blanks a level, with a line end.
pub fn finding_json(
    diagnosis: &Diagnosis<'_>,
    finding: &Finding,
    known: &Known<'_>,
    answers: &Answers,
) -> String {
    let mut document = FindingJson::new(diagnosis, finding, known);
    document.stop_first(diagnosis.book(), answers);
    stream::json(&document).unwrap_or_default()
}

/// Pairs that are written as an object, in their order.
#[derive(Debug)]
struct Object<V>(Vec<(String, V)>);

impl<V: Serialize> Serialize for Object<V> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(self.0.len()))?;
        for (key, value) in &self.0 {
            map.serialize_entry(key, value)?;
        }
        map.end()
    }
}

#[derive(Debug, serde::Serialize)]
struct FindingJson<'b> {
    format: u32,
    book: BookLine<'b>,
    answers: Object<AnswerIds<'b>>,
    ignored: Object<String>,
    evidence: Vec<Vec<(&'b str, AnswerIds<'b>)>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    second: Vec<SeenAnewLine<'b>>,
    applies: AppliesLists<'b>,
    causes: Vec<RankedLine<'b>>,
    sets: Vec<SetLine<'b>>,
    something_else: f64,
    log_evidence: Option<f64>,
    mass_left_out: f64,
    fits: Option<FitsLine<'b>>,
    next: Vec<NextLine<'b>>,
    next_looks: Vec<NextLookLine<'b>>,
    act: ActLine<'b>,
    stop: StopLine,
    plan: PlanLine<'b>,
    why: Object<WhyLine<'b>>,
    /// Where the belt runs true now: what commonly brings on what was cured.
    brought_on: Vec<BroughtOnLine<'b>>,
    /// Questions before everything else that were answered yes.
    stop_now: Vec<&'b str>,
    /// The answer about the edge room.
    edge_room: Option<&'b str>,
}

#[derive(Debug, serde::Serialize)]
struct BookLine<'b> {
    name: &'b str,
    version: &'b str,
    fingerprint: &'b str,
}

/// What was seen anew after a batch, as it counts.
#[derive(Debug, serde::Serialize)]
struct SeenAnewLine<'b> {
    after_batch: usize,
    answers: Object<AnswerIds<'b>>,
    ignored: Object<String>,
    evidence: Vec<Vec<(&'b str, AnswerIds<'b>)>>,
    applies: SymptomsList<'b>,
}

#[derive(Debug, serde::Serialize)]
struct SymptomsList<'b> {
    symptoms: Vec<&'b str>,
}

#[derive(Debug, serde::Serialize)]
struct AppliesLists<'b> {
    causes: Vec<&'b str>,
    symptoms: Vec<&'b str>,
    fixes: Vec<&'b str>,
}

#[derive(Debug, serde::Serialize)]
struct RankedLine<'b> {
    id: &'b str,
    name: &'b str,
    probability: f64,
    was_present: f64,
}

#[derive(Debug, serde::Serialize)]
struct SetLine<'b> {
    causes: Vec<&'b str>,
    probability: f64,
}

#[derive(Debug, serde::Serialize)]
struct FitsLine<'b> {
    percentile: f64,
    worst: Vec<&'b str>,
}

#[derive(Debug, serde::Serialize)]
struct NextLine<'b> {
    symptom: &'b str,
    bits: f64,
    minutes: f64,
    bits_per_minute: f64,
    saves_minutes: Option<f64>,
    pays: Option<bool>,
}

/// A look worth taking.
#[derive(Debug, serde::Serialize)]
struct NextLookLine<'b> {
    look: &'b str,
    place: Option<&'static str>,
    symptoms: Vec<&'b str>,
    minutes: f64,
    bits: f64,
    bits_per_minute: f64,
}

/// Whether enough is known to act, and on what.
#[derive(Debug, serde::Serialize)]
struct ActLine<'b> {
    enough: bool,
    because: &'static str,
    clear: bool,
    first_batch: Vec<&'b str>,
}

#[derive(Debug, serde::Serialize)]
struct StopLine {
    now: bool,
    because: String,
}

#[derive(Debug, serde::Serialize)]
struct PlanLine<'b> {
    expected_minutes: f64,
    cured_by_plan: f64,
    batches: Vec<BatchLine<'b>>,
}

#[derive(Debug, serde::Serialize)]
struct BatchLine<'b> {
    state: &'static str,
    /// Minutes before the work begins: 0 when the machine is locked out already.
    set_up_minutes: f64,
    steps: Vec<StepLine<'b>>,
}

#[derive(Debug, serde::Serialize)]
struct StepLine<'b> {
    fix: &'b str,
    title: &'b str,
    minutes: f64,
    work_minutes: f64,
    checks: Vec<CheckLine<'b>>,
    found: [f64; 2],
    there: f64,
    text: Vec<String>,
    done_when: String,
    cautions: Vec<String>,
    for_causes: Vec<&'b str>,
}

/// A check that is still to be made.
#[derive(Debug, serde::Serialize)]
struct CheckLine<'b> {
    symptom: Option<&'b str>,
    words: &'b str,
    minutes: f64,
}

#[derive(Debug, serde::Serialize)]
struct WhyLine<'b> {
    r#for: Vec<WeighedLine<'b>>,
    against: Vec<WeighedLine<'b>>,
}

#[derive(Debug, serde::Serialize)]
struct WeighedLine<'b> {
    symptom: &'b str,
    answer: AnswerIds<'b>,
    /// Of an answer given after some work.
    #[serde(skip_serializing_if = "Option::is_none")]
    after_batch: Option<usize>,
    decibans: f64,
}

impl<'b> FindingJson<'b> {
    fn new(diagnosis: &Diagnosis<'b>, finding: &Finding, known: &Known<'_>) -> Self {
        let book = diagnosis.book();
        let ids = BookIds(book);
        let ranked: Vec<CauseAt> = finding.ranked.iter().map(|r| r.cause).collect();
        let whys = diagnosis.why_all(finding, &ranked);
        Self {
            format: FORMAT,
            book: BookLine {
                name: &book.name,
                version: &book.version,
                fingerprint: &book.fingerprint,
            },
            answers: answers(ids, finding),
            ignored: ignored(ids, &finding.ignored),
            evidence: counted(ids, &finding.evidence.counted()),
            second: finding.second.iter().map(|look| seen_anew(ids, finding, look)).collect(),
            applies: applies(ids, finding),
            causes: causes(ids, finding),
            sets: sets(ids, finding),
            something_else: finding.something_else,
            log_evidence: finding.log_evidence,
            mass_left_out: finding.mass_left_out,
            fits: diagnosis.fits(finding).map(|fits| FitsLine {
                percentile: fits.percentile,
                worst: fits.worst.iter().map(|&s| ids.symptom(s)).collect(),
            }),
            next: finding.next.iter().map(|q| ids.next(q)).collect(),
            next_looks: finding.next_looks.iter().map(|look| ids.next_look(look)).collect(),
            act: act(ids, finding),
            stop: StopLine { now: finding.stop.now(), because: because(book, &finding.stop) },
            plan: plan(book, finding, known),
            why: why(ids, &ranked, &whys),
            brought_on: BroughtOnLine::of(book, finding),
            stop_now: Vec::new(),
            edge_room: None,
        }
    }

    /// What comes before the book's economics.
    fn stop_first(&mut self, book: &'b Book, answers: &Answers) {
        let room = answers.edge_room.and_then(|at| book.edge_room.answers.get(at));
        self.edge_room = room.map(|answer| answer.id.as_str());
        if let Some(answer) = room
            && answer.means == RoomMeans::LeaveIt
        {
            self.stop.now = true;
            self.stop.because =
                "it runs inside its edge room and is steady: leave it, watch it".to_owned();
        }
        self.stop_now = answers
            .stop_now
            .iter()
            .filter_map(|&at| book.stop_now.get(at))
            .map(|question| question.id.as_str())
            .collect();
        if !self.stop_now.is_empty() {
            self.stop.now = true;
            self.stop.because =
                format!("stop the conveyor by the site's procedure: {}", self.stop_now.join(", "));
        }
    }
}

fn act<'b>(ids: BookIds<'b>, finding: &Finding) -> ActLine<'b> {
    let first = finding.plan.batches.first();
    ActLine {
        enough: finding.stop.now(),
        because: match finding.stop {
            Stop::LookOn(_) => "not-yet",
            Stop::LeaderStands => "leader",
            Stop::TimeIsUp => "time",
            Stop::NothingLeft | Stop::NoCause => "nothing-left",
        },
        clear: finding.is_clear(ids.0),
        first_batch: first
            .map(|batch| batch.steps.iter().map(|step| ids.fix(step.fix)).collect())
            .unwrap_or_default(),
    }
}

fn answers<'b>(ids: BookIds<'b>, finding: &Finding) -> Object<AnswerIds<'b>> {
    let answered = finding.answers.iter();
    Object(
        answered
            .filter_map(|(s, a)| Some((ids.symptom(s).to_owned(), ids.answer(s, (*a)?))))
            .collect(),
    )
}

fn ignored(ids: BookIds<'_>, ignored: &[(SymptomAt, Condition)]) -> Object<String> {
    let ignored = ignored.iter();
    Object(ignored.map(|(s, c)| (ids.symptom(*s).to_owned(), fails(ids.0, c))).collect())
}

fn counted<'b>(
    ids: BookIds<'b>,
    groups: &[Vec<(SymptomAt, usize)>],
) -> Vec<Vec<(&'b str, AnswerIds<'b>)>> {
    let answer = |&(s, a): &(SymptomAt, usize)| (ids.symptom(s), ids.answer(s, AnswerAt::at(a)));
    groups.iter().map(|group| group.iter().map(answer).collect()).collect()
}

fn seen_anew<'b>(ids: BookIds<'b>, finding: &Finding, look: &SeenAnew) -> SeenAnewLine<'b> {
    let answers = look.answers.iter();
    let told = look.answers.iter().map(|(s, a)| (*s, a.position()));
    SeenAnewLine {
        after_batch: look.after_batch,
        answers: Object(
            answers.map(|(s, a)| (ids.symptom(*s).to_owned(), ids.answer(*s, *a))).collect(),
        ),
        ignored: ignored(ids, &look.ignored),
        evidence: counted(ids, &finding.evidence.by_group(told)),
        applies: SymptomsList {
            symptoms: applying(&look.applies).map(|s| ids.symptom(s)).collect(),
        },
    }
}

fn applies<'b>(ids: BookIds<'b>, finding: &Finding) -> AppliesLists<'b> {
    AppliesLists {
        causes: applying(&finding.causes_apply).map(|c| ids.cause(c)).collect(),
        symptoms: applying(&finding.applied_at_start).map(|s| ids.symptom(s)).collect(),
        fixes: applying(&finding.fixes_apply).map(|f| ids.fix(f)).collect(),
    }
}

fn causes<'b>(ids: BookIds<'b>, finding: &Finding) -> Vec<RankedLine<'b>> {
    let ranked = finding.ranked.iter();
    ranked
        .map(|r| RankedLine {
            id: ids.cause(r.cause),
            name: &ids.0.causes[r.cause].name,
            probability: r.probability,
            was_present: r.was_present,
        })
        .collect()
}

fn sets<'b>(ids: BookIds<'b>, finding: &Finding) -> Vec<SetLine<'b>> {
    let sets = finding.sets.iter();
    sets.map(|(causes, chance)| SetLine {
        causes: causes.iter().map(|&c| ids.cause(c)).collect(),
        probability: *chance,
    })
    .collect()
}

fn why<'b>(ids: BookIds<'b>, ranked: &[CauseAt], whys: &[Why]) -> Object<WhyLine<'b>> {
    let lines = |list: &[Weighed]| list.iter().map(|w| ids.weighed(w)).collect();
    let line = |why: &Why| WhyLine { r#for: lines(&why.raises), against: lines(&why.lowers) };
    let pairs = ranked.iter().zip(whys);
    Object(pairs.map(|(&cause, why)| (ids.cause(cause).to_owned(), line(why))).collect())
}

fn plan<'b>(book: &'b Book, finding: &Finding, known: &Known<'_>) -> PlanLine<'b> {
    let ids = BookIds(book);
    let batches = finding.plan.batches.iter().map(|batch| BatchLine {
        state: batch.state.word(),
        set_up_minutes: batch.set_up_minutes,
        steps: batch
            .steps
            .iter()
            .enumerate()
            .map(|(number, step)| {
                let words = plan_text(book, known, step, Preface::place(number));
                let fix = &book.fixes[step.fix];
                StepLine {
                    fix: ids.fix(step.fix),
                    title: &fix.title,
                    minutes: fix.minutes,
                    work_minutes: step.work_minutes,
                    checks: ids.checks(fix, &step.checks),
                    found: [step.found.if_there, step.found.if_not],
                    there: step.there,
                    text: words.text,
                    done_when: words.done_when,
                    cautions: words.cautions,
                    for_causes: step.for_causes.iter().map(|&c| ids.cause(c)).collect(),
                }
            })
            .collect(),
    });
    PlanLine {
        expected_minutes: finding.plan.expected_minutes,
        cured_by_plan: finding.plan.cured_by_plan,
        batches: batches.collect(),
    }
}

fn applying<P: Place>(list: &List<P, bool>) -> impl Iterator<Item = P> {
    list.iter().filter(|(_, applies)| **applies).map(|(place, _)| place)
}

/// Why an answer does not count: its question's condition does not hold.
pub fn fails(book: &Book, condition: &Condition) -> String {
    let (subject, values) = match &condition.about {
        About::Conveyor { key, is } => {
            let values: Vec<&str> = is.iter().map(|fact| fact.value()).collect();
            (format!("the conveyor's {}", key.word()), values.join(" or "))
        }
        About::Answer { symptom, is } => {
            let entry = &book.symptoms[*symptom];
            let values: Vec<&str> = entry.named_of(is).map(|answer| answer.id.as_str()).collect();
            (format!("the answer to {}", entry.id), values.join(" or "))
        }
    };
    let not = if condition.not { "not " } else { "" };
    format!("asked only if {subject} is {not}{values}")
}

/// Why asking stops, or goes on.
pub fn because(book: &Book, stop: &Stop) -> String {
    match stop {
        Stop::LookOn(look) => format!("{} tells most for its minutes", book.looks[look.look].id),
        Stop::LeaderStands => "one cause is likely enough to act".to_owned(),
        Stop::TimeIsUp => "looking has taken long enough".to_owned(),
        Stop::NothingLeft => "no question that would tell anything is left".to_owned(),
        Stop::NoCause => "no cause in the book applies to this conveyor".to_owned(),
    }
}

#[derive(Clone, Copy)]
struct BookIds<'b>(&'b Book);

impl<'b> BookIds<'b> {
    fn cause(self, at: CauseAt) -> &'b str {
        &self.0.causes[at].id
    }

    fn symptom(self, at: SymptomAt) -> &'b str {
        &self.0.symptoms[at].id
    }

    fn answer(self, symptom: SymptomAt, answer: AnswerAt) -> AnswerIds<'b> {
        self.0.symptoms[symptom].told(answer)
    }

    fn checks(self, fix: &'b Fix, checks: &[(usize, f64)]) -> Vec<CheckLine<'b>> {
        let lines = checks.iter().filter_map(|&(place, minutes)| {
            let check = fix.begins_with.get(place)?;
            Some(CheckLine {
                symptom: check.symptom().map(|symptom| self.symptom(symptom)),
                words: check_order(self.0, check),
                minutes,
            })
        });
        lines.collect()
    }

    fn fix(self, at: FixAt) -> &'b str {
        &self.0.fixes[at].id
    }

    fn next(self, q: &NextQuestion) -> NextLine<'b> {
        NextLine {
            symptom: self.symptom(q.symptom),
            bits: q.bits,
            minutes: q.minutes,
            bits_per_minute: q.bits / q.minutes,
            saves_minutes: None,
            pays: None,
        }
    }

    fn next_look(self, next: &NextLook) -> NextLookLine<'b> {
        let look = &self.0.looks[next.look];
        NextLookLine {
            look: &look.id,
            place: look.place.map(LookPlace::word),
            symptoms: next.items.iter().map(|symptom| self.symptom(*symptom)).collect(),
            minutes: next.minutes,
            bits: next.bits,
            bits_per_minute: next.rate(),
        }
    }

    fn weighed(self, w: &Weighed) -> WeighedLine<'b> {
        WeighedLine {
            symptom: self.symptom(w.symptom),
            answer: self.answer(w.symptom, w.answer),
            after_batch: (w.after_batch > 0).then_some(w.after_batch),
            decibans: w.decibans,
        }
    }
}
