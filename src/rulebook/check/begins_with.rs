//! The checks that a fix begins with, and whether its minutes hold them.

use crate::problem::Code;
use crate::rulebook::index::SymptomAt;
use crate::rulebook::model::{Figures, FixCheck, LooksAt, Step, Takes, Work};
use crate::rulebook::rules::Rules;
use crate::rulebook::written;
use crate::source::Span;
use crate::source::parse::Text;
use crate::trade::MachineState;

use super::Diagnostics;
use super::marks;
use super::names::{Names, each_once};
use super::settings::Settings;
use super::takes;
use super::words::{self, SHORT};

/// A fix of so many minutes or more begins with a check, or says why not.
pub(crate) const LONG_WORK_MIN: f64 = 60.0;
/// Most characters of a check's order and of what calls for the work.
pub(crate) const CHECK: usize = 120;

/// The checks of a fix; what cannot be found is reported and left out.
pub(super) fn checks(
    fix: &written::Fix,
    rules: &Rules,
    names: &Names,
    unknown: Figures,
    diagnostics: &mut Diagnostics,
) -> Vec<FixCheck> {
    let looked_at: Vec<&Text> =
        fix.begins_with.iter().filter_map(|check| check.symptom.as_ref()).collect();
    each_once(&looked_at, diagnostics);
    let checks = fix.begins_with.iter().filter_map(|written| {
        let place = written.text().map_or(fix.id.span, |text| text.span);
        let words = CheckWords {
            place,
            words: optional(written.words.as_ref(), CHECK, diagnostics),
            needs: optional(written.needs.as_ref(), CHECK, diagnostics),
            stop_if: optional(written.stop_if.as_ref(), CHECK, diagnostics),
        };
        match &written.symptom {
            None => Some(in_words(written, words, diagnostics)),
            Some(id) => {
                if let Some(state) = written.state {
                    diagnostics.tell(
                        Code::UnknownField,
                        state.span,
                        "the state of a check on a symptom is the symptom's",
                        "take `state` out here",
                    );
                }
                let at = names.symptoms.find(id, diagnostics)?;
                let symptom = rules.symptoms.iter().find(|symptom| symptom.id.text == id.text)?;
                Some(on_symptom(written, words, (at, symptom), diagnostics))
            }
        }
    });
    let on_unknown = |check: FixCheck| FixCheck { minutes: check.takes.on(unknown), ..check };
    checks.map(on_unknown).collect()
}

/// The words of a check, and where it stands.
struct CheckWords {
    place: Span,
    words: String,
    needs: String,
    stop_if: String,
}

/// A check that says itself what is looked at.
fn in_words(
    written: &written::FixCheck,
    own: CheckWords,
    diagnostics: &mut Diagnostics,
) -> FixCheck {
    let CheckWords { place, words, needs, stop_if } = own;
    let timed = written.minutes.is_some() || written.besides().is_any();
    let lacks = match (&written.words, timed.then_some(())) {
        _ if needs.is_empty() && stop_if.is_empty() => "needs: \"what calls for the work\"",
        (None, _) => "words: \"what is looked at, as an order\"",
        (_, None) => "minutes: 10.0",
        _ => "",
    };
    if !lacks.is_empty() {
        diagnostics.tell(
            Code::MissingField,
            place,
            "a check without a symptom says itself what is looked at and how long it takes",
            &format!("write {lacks}"),
        );
    }
    if let Some(answer) = written.go_on.iter().chain(&written.stop_on).next() {
        diagnostics.tell(
            Code::UnknownId,
            answer.span,
            "a check without a symptom has no answers",
            "take it out: the person says whether it needs the work",
        );
    }
    let besides = written.besides();
    let takes = match written.minutes {
        Some(minutes) => takes::takes((minutes, 0.1..=10_000.0), besides, diagnostics),
        None => takes::more(0.0, besides, diagnostics),
    };
    let state = written.state.map_or(MachineState::LockedOut, |state| state.value);
    if state != MachineState::LockedOut {
        let order = written.words.iter();
        order.for_each(|words| super::hands::near_moving_belt(words, diagnostics));
    }
    FixCheck { looks_at: LooksAt::Words { words, state }, needs, stop_if, minutes: 0.0, takes }
}

/// A check that looks at a symptom.
fn on_symptom(
    written: &written::FixCheck,
    own: CheckWords,
    (at, symptom): (SymptomAt, &written::Symptom),
    diagnostics: &mut Diagnostics,
) -> FixCheck {
    let CheckWords { place, words, needs, stop_if } = own;
    let go_on = super::gauges::answers(&written.go_on, &symptom.answers, diagnostics);
    let go_on = marks::any_of(symptom, &go_on);
    let stop_on = super::gauges::answers(&written.stop_on, &symptom.answers, diagnostics);
    let stop_on = marks::any_of(symptom, &stop_on);
    if go_on.is_empty() && stop_on.is_empty() {
        diagnostics.tell(
            Code::MissingField,
            place,
            "no answer of this check calls for the work, and none ends it",
            "write go_on: [\"answer\"] with the answers that call for the work",
        );
    }
    let stops = |answer: &&Text| written.stop_on.iter().any(|other| other.text == answer.text);
    if let Some(both) = written.go_on.iter().find(stops) {
        diagnostics.tell(
            Code::TwiceNamed,
            both.span,
            format!("the answer `{both}` both calls for the work and ends it"),
            "name it once",
        );
    }
    for (answers, words, field) in [(&go_on, &needs, "needs"), (&stop_on, &stop_if, "stop_if")] {
        if !answers.is_empty() && words.is_empty() {
            diagnostics.tell(
                Code::MissingField,
                place,
                format!(
                    "a check with such answers says in words what they mean: `{field}` is missing"
                ),
                &format!("write {field}: \"...\""),
            );
        }
    }
    let besides = written.besides();
    let takes = match written.minutes {
        Some(minutes) => takes::takes((minutes, 0.05..=10_000.0), besides, diagnostics),
        // What is said besides stands in place of the symptom's own minutes.
        None if besides.is_any() => takes::more(0.0, besides, diagnostics),
        None => Takes::fixed(symptom.minutes.value),
    };
    let looks_at = LooksAt::Symptom { at, words, go_on, stop_on };
    FixCheck { looks_at, needs, stop_if, minutes: 0.0, takes }
}

/// Holds the checks and moves of a fix against its minutes, and asks for a check where the work is long.
pub(super) fn hold_against(
    fix: &written::Fix,
    takes: Takes,
    (checks, work): (&[FixCheck], &Work),
    settings: &Settings,
    diagnostics: &mut Diagnostics,
) {
    let whole = takes.on(settings.unknown);
    if fix.begins_with.is_empty() && fix.no_check.is_none() && whole >= LONG_WORK_MIN {
        diagnostics.tell(
            Code::NoCheck,
            fix.id.span,
            format!("the fix `{}` takes {whole} minutes and begins with no check", fix.id),
            "write begins_with: [(symptom: \"...\", needs: \"...\", go_on: [\"...\"])], or no_check: \"why there is none\"",
        );
    }
    if !fix.begins_with.is_empty() && fix.work.is_none() {
        diagnostics.tell(
            Code::MissingField,
            fix.id.span,
            "a fix that begins with a check says in a few words what the work is",
            "write work: \"square it\"",
        );
    }
    // As written: a question that a site has switched off takes its check away, and that is no fault of the fix.
    let calls = |check: &written::FixCheck| check.needs.is_some() || !check.go_on.is_empty();
    if !fix.begins_with.is_empty() && !fix.begins_with.iter().any(calls) {
        diagnostics.tell(
            Code::NoCheck,
            fix.id.span,
            format!(
                "no check of the fix `{}` can call for its work: it would never be done",
                fix.id
            ),
            "write go_on: [\"...\"] at one of them",
        );
    }
    let moves = match work {
        Work::Running(_) => 0,
        Work::LockedOut(steps) => {
            steps.iter().filter(|step| matches!(step, Step::Jog(_) | Step::Restart(_))).count()
        }
    };
    let moves = f64::from(u32::try_from(moves).unwrap_or(u32::MAX));
    let spent_on = |conveyor: Figures| {
        checks.iter().map(|check| check.takes.on(conveyor)).sum::<f64>()
            + moves * (settings.minutes.lock_out + settings.restart.on(conveyor))
    };
    let spent = spent_on(settings.unknown);
    // Round each move of the belt the watching may take longer than the minutes here say: those are judged on a
    // conveyor of which nothing is known. Checks never take more than the whole, wherever it is.
    let checked =
        |conveyor: &Figures| -> f64 { checks.iter().map(|check| check.takes.on(*conveyor)).sum() };
    let too_long = Figures::corners().find(|at| checked(at) > 0.0 && checked(at) >= takes.on(*at));
    if let Some(conveyor) = too_long.filter(|_| spent < whole) {
        diagnostics.tell(
            Code::CheckMinutes,
            fix.minutes.span,
            format!(
                "on a conveyor with {:.0} idler sets, {:.0} pulleys and {:.1} minutes a turn the checks take all of this fix",
                conveyor.carry_sets + conveyor.return_sets, conveyor.pulleys, conveyor.turn_minutes
            ),
            "what the checks hang on, the fix hangs on too: write its turns, per_carry_set, per_return_set and per_pulley no smaller",
        );
    }
    if spent > 0.0 && spent >= whole {
        diagnostics.tell(
            Code::CheckMinutes,
            fix.minutes.span,
            format!("checks and moves of the belt take {spent} minutes, all of the {whole} of this fix"),
            "minutes are the whole: checks, giving back and isolating round each Jog and Restart, and the work",
        );
    }
}

/// A text that may be left out.
pub(super) fn optional(text: Option<&Text>, limit: usize, diagnostics: &mut Diagnostics) -> String {
    text.map(|text| words::shown(text, limit.max(SHORT), diagnostics)).unwrap_or_default()
}
