//! The compiled network as a document that programs outside recompute our figures from;
//! rules/JSON.md tells of it. Keys are added, never renamed or dropped.

mod conditions;

use serde::Serialize;
use serde::ser::{SerializeMap, Serializer};

use super::index::{AnswerAt, CauseAt, FixAt, SymptomAt};
use super::model::{
    Book, Figures, Fix, FixCheck, Hazard, Look, LooksAt, Minutes, RoomMeans, Source, Stage,
    Symptom, Told, Walking,
};
use super::network::{Kind, Says, Voice};
use crate::conveyor::ConveyorSize;
use crate::conveyor::facts::Facts;
use crate::trade::LookPlace;

use conditions::{ConditionOut, FollowsOut, conditions, follows};

/// The document.
#[derive(Debug, Serialize)]
pub struct Document<'b> {
    format: u32,
    book: Title<'b>,
    at_most: usize,
    something_else: f64,
    causes: Vec<CauseOut<'b>>,
    symptoms: Vec<SymptomOut<'b>>,
    fixes: Vec<FixOut<'b>>,
    looks: Vec<LookOut<'b>>,
    cautions: Vec<CautionOut<'b>>,
    minutes: MinutesOut,
    figures: FiguresOut,
    walking: WalkingOut,
    told: ToldOut,
    reports: ReportsOut,
    stop_now: Vec<StopOut<'b>>,
    edge_room: RoomOut<'b>,
}

/// Which book it is, as every document says.
#[derive(Debug, Serialize)]
pub struct Title<'b> {
    name: &'b str,
    version: &'b str,
    fingerprint: &'b str,
}

/// The whole book as a document, its looks on a conveyor of which nothing is known.
pub fn document(book: &Book) -> Document<'_> {
    document_for(book, &Facts::default(), ConveyorSize::default())
}

/// The whole book as a document, its priors and looks on a conveyor of which this is known, of this size.
pub fn document_for<'b>(book: &'b Book, facts: &Facts, conveyor: ConveyorSize) -> Document<'b> {
    Document {
        format: 1,
        book: title(book),
        at_most: book.at_most,
        something_else: book.something_else,
        causes: book
            .causes
            .values()
            .map(|cause| CauseOut {
                id: &cause.id,
                name: &cause.name,
                prior: cause.prior_on(facts),
                source: source(&cause.source, book),
                only_if: conditions(&cause.only_if, book),
            })
            .collect(),
        symptoms: book
            .symptoms
            .iter()
            .map(|(at, symptom)| symptom_out(at, symptom, book))
            .collect(),
        fixes: book.fixes.values().map(|fix| fix_out(fix, book)).collect(),
        looks: book.looks.values().map(|look| look_out(look, conveyor, book)).collect(),
        cautions: book
            .cautions
            .values()
            .map(|caution| CautionOut {
                id: &caution.id,
                text: &caution.text,
                rule: &caution.rule,
                hazard: caution.hazard,
            })
            .collect(),
        minutes: MinutesOut::from(book.minutes),
        figures: FiguresOut::from(book.walking.figures(facts, conveyor)),
        walking: WalkingOut::from(book.walking),
        told: ToldOut::from(book.told),
        reports: ReportsOut {
            as_suspected: book.reports.as_suspected,
            was_fine: book.reports.was_fine,
            outcome_wrong: book.reports.outcome_wrong,
            same_again: book.reports.same_again,
        },
        stop_now: book
            .stop_now
            .iter()
            .map(|question| StopOut { id: &question.id, ask: &question.ask })
            .collect(),
        edge_room: RoomOut {
            id: &book.edge_room.id,
            ask: &book.edge_room.ask,
            answers: book
                .edge_room
                .answers
                .iter()
                .map(|answer| RoomAnswerOut {
                    id: &answer.id,
                    says: &answer.says,
                    means: answer.means,
                })
                .collect(),
        },
    }
}

/// Name, version and fingerprint of a book.
pub fn title(book: &Book) -> Title<'_> {
    Title { name: &book.name, version: &book.version, fingerprint: &book.fingerprint }
}

/// A source in one line: its short name and place, or what stands for one.
pub fn source(source: &Source, book: &Book) -> String {
    match source {
        Source::Published(at, place) => {
            let short = book.sources.item(*at).map_or("", |entry| entry.short.as_str());
            if place.is_empty() { short.to_owned() } else { format!("{short}, {place}") }
        }
        Source::CommonPractice => "common practice".to_owned(),
        Source::Memory => "memory".to_owned(),
        Source::Derived(from) => format!("derived: {from}"),
    }
}

#[derive(Debug, Serialize)]
struct CauseOut<'b> {
    id: &'b str,
    name: &'b str,
    prior: f64,
    source: String,
    only_if: Vec<ConditionOut<'b>>,
}

#[derive(Debug, Serialize)]
struct SymptomOut<'b> {
    id: &'b str,
    ask: &'b str,
    answers: Vec<&'b str>,
    minutes: f64,
    opening: bool,
    state: &'static str,
    group: Option<&'b str>,
    only_if: Vec<ConditionOut<'b>>,
    follows: Vec<FollowsOut<'b>>,
    look: &'b str,
    told_by: &'static str,
    tools: &'b [String],
    #[serde(flatten)]
    kind: KindOut<'b>,
}

#[derive(Debug, Serialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
enum KindOut<'b> {
    Sign { leak: f64, links: Pairs<'b, f64> },
    Pattern { background: &'b [f64], voices: Pairs<'b, VoiceOut<'b>> },
    Grade { base: &'b [f64], rows: Pairs<'b, &'b [f64]> },
    Marks { leaks: &'b [f64], links: Pairs<'b, &'b [f64]> },
}

#[derive(Debug, Serialize)]
#[serde(untagged)]
enum VoiceOut<'b> {
    Row { weight: f64, row: &'b [f64] },
    Relative { weight: f64, relative_to: &'b str, rows: Pairs<'b, &'b [f64]> },
}

#[derive(Debug, Serialize)]
struct FixOut<'b> {
    id: &'b str,
    title: &'b str,
    minutes: f64,
    people: u32,
    state: &'static str,
    begins_with: Vec<CheckOut<'b>>,
    check_minutes: f64,
    work_minutes: f64,
    cures: Pairs<'b, f64>,
    after: Vec<&'b str>,
    needs: Vec<&'b str>,
    only_if: Vec<ConditionOut<'b>>,
    cautions: Vec<&'b str>,
    source: String,
    stage: Stage,
}

#[derive(Debug, Serialize)]
struct CheckOut<'b> {
    symptom: Option<&'b str>,
    words: Option<&'b str>,
    needs: &'b str,
    stop_if: &'b str,
    minutes: f64,
    go_on: Vec<&'b str>,
    stop_on: Vec<&'b str>,
}

#[derive(Debug, Serialize)]
struct LookOut<'b> {
    id: &'b str,
    title: &'b str,
    place: Option<&'static str>,
    state: &'static str,
    minutes: f64,
    symptoms: Vec<&'b str>,
    tools: &'b [String],
    early_if: Vec<ConditionOut<'b>>,
}

#[derive(Debug, Serialize)]
struct WalkingOut {
    centres_m: f64,
    speed_m_s: f64,
    metres_a_minute: f64,
    to_turn_to: f64,
}

#[derive(Debug, Serialize)]
struct ToldOut {
    weight: f64,
    history: f64,
    seen: f64,
    felt: f64,
    measured: f64,
}

#[derive(Debug, Serialize)]
struct CautionOut<'b> {
    id: &'b str,
    text: &'b str,
    rule: &'b str,
    #[serde(skip_serializing_if = "Option::is_none")]
    hazard: Option<Hazard>,
}

#[derive(Debug, Serialize)]
struct MinutesOut {
    lock_out: f64,
    restart_and_watch: f64,
    give_up: f64,
}

/// What minutes hang on.
#[derive(Debug, Serialize)]
struct FiguresOut {
    turn_minutes: f64,
    carry_sets: f64,
    return_sets: f64,
    pulleys: f64,
}

impl From<Figures> for FiguresOut {
    fn from(figures: Figures) -> Self {
        let Figures { turn_minutes, carry_sets, return_sets, pulleys } = figures;
        Self { turn_minutes, carry_sets, return_sets, pulleys }
    }
}

#[derive(Debug, Serialize)]
struct ReportsOut {
    as_suspected: (f64, f64),
    was_fine: (f64, f64),
    outcome_wrong: f64,
    same_again: f64,
}

#[derive(Debug, Serialize)]
struct StopOut<'b> {
    id: &'b str,
    ask: &'b str,
}

#[derive(Debug, Serialize)]
struct RoomOut<'b> {
    id: &'b str,
    ask: &'b str,
    answers: Vec<RoomAnswerOut<'b>>,
}

#[derive(Debug, Serialize)]
struct RoomAnswerOut<'b> {
    id: &'b str,
    says: &'b str,
    means: RoomMeans,
}

/// An object whose keys keep the book's order.
#[derive(Debug)]
struct Pairs<'b, T>(Vec<(&'b str, T)>);

impl<T: Serialize> Serialize for Pairs<'_, T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(self.0.len()))?;
        for (key, value) in &self.0 {
            map.serialize_entry(key, value)?;
        }
        map.end()
    }
}

impl From<Minutes> for MinutesOut {
    fn from(minutes: Minutes) -> Self {
        let Minutes { lock_out, restart_and_watch, give_up } = minutes;
        Self { lock_out, restart_and_watch, give_up }
    }
}

impl From<Walking> for WalkingOut {
    fn from(walking: Walking) -> Self {
        let Walking { centres_m, speed_m_s, metres_a_minute, to_turn_to_minutes, .. } = walking;
        let to_turn_to = to_turn_to_minutes;
        Self { centres_m, speed_m_s, metres_a_minute, to_turn_to }
    }
}

impl From<Told> for ToldOut {
    fn from(told: Told) -> Self {
        let Told { weight_answers: weight, history, seen, felt, measured } = told;
        Self { weight, history, seen, felt, measured }
    }
}

fn look_out<'b>(look: &'b Look, conveyor: ConveyorSize, book: &'b Book) -> LookOut<'b> {
    let symptoms = look.symptoms.iter().filter_map(|at| book.symptoms.item(*at));
    LookOut {
        id: &look.id,
        title: &look.title,
        place: look.place.map(LookPlace::word),
        state: look.state.word(),
        minutes: look.standing_minutes(conveyor, &book.walking),
        symptoms: symptoms.map(|symptom| symptom.id.as_str()).collect(),
        tools: &look.tools,
        early_if: conditions(&look.early_if, book),
    }
}

fn symptom_out<'b>(at: SymptomAt, symptom: &'b Symptom, book: &'b Book) -> SymptomOut<'b> {
    let by_cause = |cause: CauseAt| book.causes.item(cause).map_or("", |cause| cause.id.as_str());
    let kind = match book.network.nodes.item(at).map(|node| &node.kind) {
        Some(Kind::Sign { leak, links }) => KindOut::Sign {
            leak: *leak,
            links: Pairs(links.iter().map(|(c, link)| (by_cause(*c), *link)).collect()),
        },
        Some(Kind::Pattern { background, voices }) => KindOut::Pattern {
            background,
            voices: Pairs(
                voices.iter().map(|(c, voice)| (by_cause(*c), voice_out(voice, book))).collect(),
            ),
        },
        Some(Kind::Grade { base, rows }) => KindOut::Grade {
            base,
            rows: Pairs(rows.iter().map(|(c, row)| (by_cause(*c), row.as_slice())).collect()),
        },
        Some(Kind::Marks { leaks, links }) => KindOut::Marks {
            leaks,
            links: Pairs(links.iter().map(|(c, link)| (by_cause(*c), link.as_slice())).collect()),
        },
        None => KindOut::Pattern { background: &[], voices: Pairs(Vec::new()) },
    };
    SymptomOut {
        id: &symptom.id,
        ask: &symptom.ask,
        answers: symptom.named().map(|(_, answer)| answer.id.as_str()).collect(),
        minutes: symptom.minutes,
        opening: symptom.opening,
        state: symptom.state.word(),
        group: symptom.group.and_then(|group| book.group_names.get(group)).map(String::as_str),
        only_if: conditions(&symptom.only_if, book),
        follows: follows(symptom, book),
        look: book.looks.item(symptom.look).map_or("", |look| look.id.as_str()),
        told_by: symptom.told_by.word(),
        tools: &symptom.tools,
        kind,
    }
}

fn voice_out<'b>(voice: &'b Voice, book: &'b Book) -> VoiceOut<'b> {
    match &voice.says {
        Says::Row(row) => VoiceOut::Row { weight: voice.weight, row },
        Says::Relative { parent, rows } => {
            let parent = book.symptoms.item(*parent);
            let answers = parent.map(|parent| parent.answers.as_slice()).unwrap_or_default();
            let rows = answers
                .iter()
                .zip(rows)
                .filter_map(|(answer, row)| Some((answer.id.as_str(), row.as_deref()?)));
            let relative_to = parent.map_or("", |parent| parent.id.as_str());
            VoiceOut::Relative { weight: voice.weight, relative_to, rows: Pairs(rows.collect()) }
        }
    }
}

fn fix_out<'b>(fix: &'b Fix, book: &'b Book) -> FixOut<'b> {
    let ids = |list: &[FixAt]| -> Vec<&'b str> {
        list.iter().filter_map(|at| book.fixes.item(*at)).map(|fix| fix.id.as_str()).collect()
    };
    FixOut {
        id: &fix.id,
        title: &fix.title,
        minutes: fix.minutes,
        people: fix.people,
        state: fix.state().word(),
        begins_with: fix.begins_with.iter().map(|check| check_out(check, book)).collect(),
        check_minutes: fix.check_minutes(),
        work_minutes: fix.work_minutes(),
        cures: Pairs(
            fix.cures
                .iter()
                .filter_map(|(at, chance)| Some((book.causes.item(*at)?.id.as_str(), *chance)))
                .collect(),
        ),
        after: ids(&fix.after),
        needs: ids(&fix.needs),
        only_if: conditions(&fix.only_if, book),
        cautions: fix
            .cautions
            .iter()
            .filter_map(|at| book.cautions.item(*at))
            .map(|c| c.id.as_str())
            .collect(),
        source: source(&fix.source, book),
        stage: fix.stage,
    }
}

fn check_out<'b>(check: &'b FixCheck, book: &'b Book) -> CheckOut<'b> {
    let (symptom, words, go_on, stop_on) = match &check.looks_at {
        LooksAt::Symptom { at, words, go_on, stop_on } => {
            (Some(*at), words, go_on.as_slice(), stop_on.as_slice())
        }
        LooksAt::Words { words, .. } => (None, words, [].as_slice(), [].as_slice()),
    };
    let symptom = symptom.and_then(|at| book.symptoms.item(at));
    let ids = |list: &[AnswerAt]| -> Vec<&'b str> {
        let named = symptom.into_iter().flat_map(|symptom| symptom.named_of(list));
        named.map(|answer| answer.id.as_str()).collect()
    };
    CheckOut {
        symptom: symptom.map(|symptom| symptom.id.as_str()),
        words: (!words.is_empty()).then_some(words.as_str()),
        needs: &check.needs,
        stop_if: &check.stop_if,
        minutes: check.minutes,
        go_on: ids(go_on),
        stop_on: ids(stop_on),
    }
}
