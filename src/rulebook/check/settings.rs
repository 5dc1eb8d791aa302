//! book.ron: the numbers behind the words, minutes, the order of stages, the roles.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use crate::conveyor::ConveyorSize;
use crate::conveyor::facts::Facts;
use crate::problem::{Code, Problem};
use crate::rulebook::index::{Place, SymptomAt};
use crate::rulebook::model::{
    Figures, Minutes, Reports, Roles, Stage, Takes, Thresholds, Told, Walking,
};
use crate::rulebook::rules::Rules;
use crate::rulebook::words::Words;
use crate::rulebook::written::{
    BookFile, Common, Likelihood, ThresholdsFile, ToldFile, TwoChances, WalkingFile,
};
use crate::source::Texts;
use crate::source::parse::{Spanned, Text};

use super::Diagnostics;
use super::names::Names;
use super::sets::MOST_AT_ONCE;
use super::words::{self, LONG, SHORT};

/// No likelihood is below this.
pub(super) const LEAST: f64 = 0.001;
/// No likelihood of a sign, and no cure, is above this.
pub(super) const MOST: f64 = 0.999;

/// The version of the written format that this program reads.
pub(super) const SCHEMA: u32 = 2;

/// What book.ron says, checked.
pub(super) struct Settings {
    pub(super) name: String,
    pub(super) version: String,
    pub(super) at_most: usize,
    pub(super) something_else: f64,
    pub(super) minutes: Minutes,
    pub(super) restart: Takes,
    /// The figures of a conveyor of which nothing is known.
    pub(super) unknown: Figures,
    pub(super) reports: Reports,
    pub(super) thresholds: Thresholds,
    pub(super) walking: Walking,
    pub(super) told: Told,
    pub(super) numbers: Numbers,
    pub(super) stages: BTreeMap<Stage, Before>,
    pub(super) roles: Roles,
    pub(super) tell_specialist: Vec<String>,
}

/// The stages that come before one.
#[derive(Default)]
pub(super) struct Before {
    pub(super) after: Vec<Stage>,
    pub(super) needs: Vec<Stage>,
}

/// The numbers behind the words.
pub(super) struct Numbers(pub(super) Words);

impl Numbers {
    /// The number behind a likelihood.
    pub(super) fn of(&self, likelihood: Likelihood) -> f64 {
        let [always, usually, often, sometimes, seldom, never] = self.0.likelihood;
        match likelihood {
            Likelihood::Always => always,
            Likelihood::Usually => usually,
            Likelihood::Often => often,
            Likelihood::Sometimes => sometimes,
            Likelihood::Seldom => seldom,
            Likelihood::Never => never,
            Likelihood::Chance(value) => value,
        }
    }

    /// The prior of a cause that is so common.
    pub(super) fn prior(&self, common: Spanned<Common>, diagnostics: &mut Diagnostics) -> f64 {
        let [leading, everyday, often, occasional, rare, rarest] = self.0.common;
        match common.value {
            Common::Leading => leading,
            Common::Rarest => rarest,
            Common::Everyday => everyday,
            Common::Common => often,
            Common::Occasional => occasional,
            Common::Rare => rare,
            Common::Chance(value) => {
                words::number(Spanned { value, span: common.span }, PRIOR, "a prior", diagnostics)
            }
        }
    }
}

/// The share of visits in which it is no cause of the book is no larger.
const SOMETHING_ELSE: f64 = 0.5;

pub(super) const PRIOR: std::ops::RangeInclusive<f64> = 0.0001..=0.5;

/// That the book is written in another schema than this program reads, if it is.
pub(crate) fn other_schema(found: Spanned<u32>, texts: &Texts) -> Option<Problem> {
    let (age, help) = match found.value.cmp(&SCHEMA) {
        Ordering::Equal => return None,
        Ordering::Less => (
            "older",
            "bring it up to date: `straybelt rules export DIR` writes the default book as it is written today",
        ),
        Ordering::Greater => ("newer", "take the version of this program that belongs to the book"),
    };
    let message = format!(
        "this rule book is written in schema {}, {age} than schema {SCHEMA}, which this program reads",
        found.value
    );
    let problem = Problem::at(Code::Schema, texts.place(found.span), message);
    Some(problem.help(help))
}

/// Reads the settings; nothing if there is no book.ron at all.
pub(super) fn settings(
    rules: &Rules,
    names: &Names,
    diagnostics: &mut Diagnostics,
) -> Option<Settings> {
    let book: &BookFile = &rules.book.as_ref()?.value;
    if let Some(problem) = other_schema(book.schema, diagnostics.texts) {
        diagnostics.add(problem);
        return None;
    }
    if !(1..=MOST_AT_ONCE).contains(&book.at_most.value) {
        diagnostics.tell(
            Code::NumberRange,
            book.at_most.span,
            "at most 1 to 6 causes at once can be reckoned with",
            "3 is usual",
        );
    }
    let walking = book.walking.map(|block| walking(block, diagnostics)).unwrap_or_default();
    let restart = Takes {
        turns: book.minutes.watch_turns.map_or(0.0, |turns| {
            words::number(turns, 0.0..=100.0, "turns of the belt", diagnostics)
        }),
        ..Takes::fixed(words::number(
            book.minutes.restart_and_watch,
            0.0..=1_000.0,
            "minutes",
            diagnostics,
        ))
    };
    let unknown = walking.figures(&Facts::default(), ConveyorSize::default());
    let minutes = Minutes {
        lock_out: words::number(book.minutes.lock_out, 0.0..=1_000.0, "minutes", diagnostics),
        restart_and_watch: restart.on(unknown),
        give_up: words::number(book.minutes.give_up, 1.0..=1_000_000.0, "minutes", diagnostics),
    };
    Some(Settings {
        name: words::plain(&book.name, SHORT, diagnostics),
        version: words::plain(&book.version, SHORT, diagnostics),
        at_most: book.at_most.value,
        something_else: book.something_else.map_or(0.0, |share| {
            words::number(share, 0.0..=SOMETHING_ELSE, "a share", diagnostics)
        }),
        minutes,
        restart,
        unknown,
        reports: Reports {
            as_suspected: two(&book.reports.as_suspected, diagnostics),
            was_fine: two(&book.reports.was_fine, diagnostics),
            outcome_wrong: words::number(
                book.reports.outcome_wrong,
                LEAST..=0.5,
                "a share",
                diagnostics,
            ),
            same_again: words::number(book.reports.same_again, 0.0..=MOST, "a share", diagnostics),
        },
        thresholds: thresholds(&book.thresholds, diagnostics),
        walking,
        told: book.told.map(|block| told(block, diagnostics)).unwrap_or_default(),
        numbers: numbers(book, diagnostics),
        stages: stages(book, diagnostics),
        roles: roles(rules, book, names, diagnostics),
        tell_specialist: words::all_shown(&book.tell_specialist, LONG, diagnostics),
    })
}

fn thresholds(written: &ThresholdsFile, diagnostics: &mut Diagnostics) -> Thresholds {
    let mut number =
        |number, to: f64, what: &str| words::number(number, 0.0..=to, what, diagnostics);
    Thresholds {
        unlikely: number(written.unlikely, 0.5, "a chance that is small"),
        enough: number(written.enough, 1.0, "a chance"),
        looking_minutes: number(written.looking, 1_000_000.0, "minutes"),
        clear: number(written.clear, 1.0, "a chance"),
        unclear_work_minutes: number(written.unclear_work, 1_000_000.0, "minutes"),
        supervisor_first_minutes: number(written.supervisor_first, 1_000_000.0, "minutes"),
    }
}

/// Sizes as wide as those that a conveyor file may have.
fn walking(written: WalkingFile, diagnostics: &mut Diagnostics) -> Walking {
    let usual = Walking::default();
    let number = |number, range, what: &str, diagnostics: &mut Diagnostics| {
        words::number(number, range, what, diagnostics)
    };
    let mut known = |written: Option<Spanned<f64>>, range, what: &str, usual: f64| {
        written.map_or(usual, |written| number(written, range, what, diagnostics))
    };
    Walking {
        centres_m: known(Some(written.centres_m), 0.3..=50_000.0, "metres", 0.0),
        speed_m_s: known(Some(written.speed_m_s), 0.005..=20.0, "metres a second", 0.0),
        metres_a_minute: known(
            Some(written.metres_a_minute),
            1.0..=1_000.0,
            "metres a minute",
            0.0,
        ),
        to_turn_to_minutes: known(Some(written.to_turn_to), 0.0..=1_000.0, "minutes", 0.0),
        carry_pitch_m: known(written.carry_pitch_m, 0.05..=10.0, "metres", usual.carry_pitch_m),
        return_pitch_m: known(written.return_pitch_m, 0.05..=20.0, "metres", usual.return_pitch_m),
        pulleys_bulk: known(written.pulleys_bulk, 2.0..=40.0, "pulleys", usual.pulleys_bulk),
        pulleys_flat: known(written.pulleys_flat, 2.0..=40.0, "pulleys", usual.pulleys_flat),
        pulleys_package: known(
            written.pulleys_package,
            2.0..=40.0,
            "pulleys",
            usual.pulleys_package,
        ),
    }
}

fn told(written: ToldFile, diagnostics: &mut Diagnostics) -> Told {
    let mut number = |number, range, what: &str| words::number(number, range, what, diagnostics);
    Told {
        weight_answers: number(written.weight, 0.0..=1_000.0, "answers"),
        history: number(written.history, 0.0..=1.0, "a chance"),
        seen: number(written.seen, 0.0..=1.0, "a chance"),
        felt: number(written.felt, 0.0..=1.0, "a chance"),
        measured: number(written.measured, 0.0..=1.0, "a chance"),
    }
}

fn two(report: &TwoChances, diagnostics: &mut Diagnostics) -> (f64, f64) {
    let mut chance = |number| words::number(number, LEAST..=MOST, "a chance", diagnostics);
    (chance(report.if_present), chance(report.if_not))
}

fn numbers(book: &BookFile, diagnostics: &mut Diagnostics) -> Numbers {
    let l = &book.likelihood;
    let c = &book.how_common;
    let likelihood = [l.always, l.usually, l.often, l.sometimes, l.seldom, l.never];
    falling(&likelihood, diagnostics);
    let written: Vec<Spanned<f64>> =
        [c.leading, Some(c.everyday), Some(c.common), Some(c.occasional), Some(c.rare), c.rarest]
            .into_iter()
            .flatten()
            .collect();
    falling(&written, diagnostics);
    let mut prior = |number| words::number(number, PRIOR, "a prior", diagnostics);
    let [everyday, often, occasional, rare] =
        [c.everyday, c.common, c.occasional, c.rare].map(&mut prior);
    let made = |word| c.of(word).clamp(*PRIOR.start(), *PRIOR.end());
    let leading = c.leading.map_or(made(Common::Leading), &mut prior);
    let rarest = c.rarest.map_or(made(Common::Rarest), &mut prior);
    Numbers(Words {
        likelihood: likelihood
            .map(|number| words::number(number, LEAST..=MOST, "a likelihood", diagnostics)),
        common: [leading, everyday, often, occasional, rare, rarest],
    })
}

/// Stronger words must not have smaller numbers.
fn falling(numbers: &[Spanned<f64>], diagnostics: &mut Diagnostics) {
    for pair in numbers.windows(2) {
        if let [strong, weak] = pair
            && strong.value < weak.value
        {
            let message = format!(
                "{} is larger than the number of the stronger word before it, {}",
                weak.value, strong.value
            );
            diagnostics.tell(Code::NumberRange, weak.span, message, "");
        }
    }
}

fn stages(book: &BookFile, diagnostics: &mut Diagnostics) -> BTreeMap<Stage, Before> {
    let mut stages = BTreeMap::new();
    for entry in &book.stages {
        let list = |stages: &[Spanned<Stage>]| stages.iter().map(|stage| stage.value).collect();
        let before = Before { after: list(&entry.after), needs: list(&entry.needs) };
        if stages.insert(entry.stage.value, before).is_some() {
            diagnostics.tell(
                Code::TwiceNamed,
                entry.stage.span,
                format!("the stage {:?} stands here twice", entry.stage.value),
                "keep one of them",
            );
        }
    }
    stages
}

fn roles(rules: &Rules, book: &BookFile, names: &Names, diagnostics: &mut Diagnostics) -> Roles {
    let written = &book.roles;
    let mut find = |id: &Option<Text>, sides: bool| -> Option<SymptomAt> {
        let id = id.as_ref()?;
        let at = names.symptoms.find(id, diagnostics)?;
        let symptom = rules.symptoms.get(at.position())?;
        if sides && !super::marks::gives_a_side(symptom, id.span, diagnostics) {
            return Some(at);
        }
        let answers = symptom.answers.iter();
        let has = |side: &str| answers.clone().any(|(id, _)| id.text == side);
        if sides && !(has("left") && has("right")) {
            let message =
                format!("`{id}` tells a side, so it needs the answers `left` and `right`");
            diagnostics.tell(Code::SignAnswers, id.span, message, "");
        }
        Some(at)
    };
    Roles {
        belt_side: find(&written.belt_side, true),
        strand: find(&written.strand, false),
        place: find(&written.place, false),
        first_split: find(&written.first_split, false),
        slack_side: find(&written.slack_side, true),
        low_frame_side: find(&written.low_frame_side, true),
        low_pulley_side: find(&written.low_pulley_side, true),
        low_idler_side: find(&written.low_idler_side, true),
        leading_end: find(&written.leading_end, true),
        short_pulley_side: find(&written.short_pulley_side, true),
        leading_snub_end: find(&written.leading_snub_end, true),
        heavy_side: find(&written.heavy_side, true),
        wind_side: find(&written.wind_side, true),
    }
}
