//! What a site replaces or takes out of an entry, and what it may not.

use straybelt::problem::{Code, Problem};
use straybelt::rulebook::cards::{EntryCard, cards};
use straybelt::rulebook::load;
use straybelt::rulebook::model::{Book, Step, Work};

use super::super::overlay::over;

fn card(book: &Book, kind: &str, id: &str) -> EntryCard {
    cards(book).into_iter().find(|card| card.kind == kind && card.id == id).unwrap()
}

fn field(card: &EntryCard, name: &str) -> Vec<String> {
    let field = card.fields.iter().find(|(known, _)| *known == name);
    field.map_or_else(Vec::new, |(_, values)| values.clone())
}

fn changed(change: &str) -> Book {
    let checked = over(&[("site.ron", &format!("(change: [{change}])"))]);
    let errors: Vec<&Problem> = checked.problems.iter().filter(|p| p.is_error()).collect();
    assert_eq!(errors, Vec::<&Problem>::new(), "{change}");
    checked.book.unwrap()
}

fn refused(change: &str) -> Vec<(Code, String)> {
    let checked = over(&[("site.ron", &format!("(change: [{change}])"))]);
    let errors = checked.problems.into_iter().filter(Problem::is_error);
    errors.map(|p| (p.code, p.message)).collect()
}

#[test]
fn signs_and_conditions_and_orders_are_taken_out_or_replaced() {
    let default = load::default_book().unwrap();
    let before = field(&card(&default, "cause", "crosswind"), "signs");
    let symptom = before[0].split(':').next().unwrap().to_owned();
    let book = changed(&format!(
        "Cause(id: \"crosswind\", drop_signs: [\"{symptom}\"], only_if: [Conveyor(\"place\", [\"outdoors\"])])"
    ));
    let after = card(&book, "cause", "crosswind");
    assert_eq!(field(&after, "signs"), before[1..]);
    assert_eq!(field(&after, "only_if"), ["place is outdoors"]);
    let book = changed("Fix(id: \"clean-idler-rolls\", only_if: [], after: [], needs: [])");
    let fix = card(&book, "fix", "clean-idler-rolls");
    assert_eq!(field(&fix, "only_if"), Vec::<String>::new());
    // What the stages order stays.
    assert!(
        field(&fix, "needs").len()
            <= field(&card(&default, "fix", "clean-idler-rolls"), "needs").len()
    );
}

/// What the files call some kinds of steps.
fn called(step: &Step) -> &'static str {
    match step {
        Step::Do(_) => "Do",
        Step::Mark(_) => "Mark",
        Step::Tension(_) => "Tension",
        Step::Jog(_) => "Jog",
        Step::Restart(_) => "Restart",
        Step::MoveEnd { .. } | Step::Move { .. } | Step::Raise { .. } => "",
    }
}

/// The number of the first step of a kind in a fix of the default book, from 1.
fn step(kind: &str) -> (String, usize) {
    let default = load::default_book().unwrap();
    let found = default.fixes.values().find_map(|fix| match &fix.work {
        Work::LockedOut(steps) => {
            let at = steps.iter().position(|step| called(step) == kind)?;
            (steps.len() > 2).then(|| (fix.id.clone(), at + 1))
        }
        Work::Running(_) => None,
    });
    found.unwrap_or_else(|| panic!("no fix has a step {kind}"))
}

#[test]
fn a_step_is_replaced_by_one_of_its_kind_or_taken_out() {
    let (fix, number) = step("Do");
    let default = load::default_book().unwrap();
    let before = field(&card(&default, "fix", &fix), "steps");
    let book = changed(&format!(
        "Fix(id: \"{fix}\", replace_steps: [({number}, Do(\"Look at the list on the shed door.\"))])"
    ));
    let after = field(&card(&book, "fix", &fix), "steps");
    assert_eq!(after.len(), before.len());
    assert!(after[number - 1].contains("shed door"), "{after:?}");
    let other = refused(&format!(
        "Fix(id: \"{fix}\", replace_steps: [({number}, Jog(\"On by a turn.\"))])"
    ));
    assert_eq!(other[0].0, Code::SafetyCaution, "{other:?}");
    assert!(other[0].1.contains("stays of that kind"), "{other:?}");
    let none = refused(&format!("Fix(id: \"{fix}\", drop_steps: [99])"));
    assert!(none[0].1.contains("there is no step 99"), "{none:?}");
}

#[test]
fn marks_and_what_moves_or_tensions_the_belt_stay() {
    for kind in ["Mark", "Tension", "Jog", "Restart"] {
        let (fix, number) = step(kind);
        let told = refused(&format!("Fix(id: \"{fix}\", drop_steps: [{number}])"));
        assert_eq!(told[0], (Code::SafetyCaution, format!("step {number} is {kind}, and stays")));
    }
}

#[test]
fn a_state_may_become_safer_and_never_less_safe() {
    let told = refused("Symptom(id: \"caked-roll\", state: Running)");
    assert!(told.iter().any(|(code, _)| *code == Code::SafetyCaution), "{told:?}");
    let told = refused("Look(id: \"take-up-outside\", state: Anywhere)");
    assert!(told.iter().any(|(code, _)| *code == Code::SafetyCaution), "{told:?}");
}

#[test]
fn safety_cautions_stay_wherever_they_are_named() {
    let default = load::default_book().unwrap();
    let safety = default.cautions.values().find(|caution| caution.hazard.is_some()).unwrap();
    let site = format!("(switch_off: [Caution(\"{}\")])", safety.id);
    let told = over(&[("site.ron", &site)]).problems;
    assert!(told.iter().any(|p| p.code == Code::SafetyCaution), "{told:?}");
    let other = default.cautions.values().find(|caution| caution.hazard.is_none()).unwrap();
    let site = format!("(switch_off: [Caution(\"{}\")])", other.id);
    let checked = over(&[("site.ron", &site)]);
    let book = checked.book.unwrap_or_else(|| panic!("{:?}", checked.problems));
    assert!(book.cautions.values().all(|caution| caution.id != other.id));
}

#[test]
fn what_is_taken_out_and_was_never_there_is_told_of() {
    let told = refused(
        "Cause(id: \"crosswind\", drop_signs: [\"no-such\"], drop_mistaken_for: [\"nobody\"])",
    );
    let words: Vec<&str> = told.iter().map(|(_, message)| message.as_str()).collect();
    assert_eq!(
        words,
        [
            "`crosswind` has no sign on `no-such` to take out",
            "`crosswind` has no mistaken_for `nobody` to take out"
        ]
    );
}

#[test]
fn a_change_that_takes_out_notes_the_fingerprint_as_any_other() {
    let checked = over(&[("site.ron", "(change: [Fix(id: \"clean-idler-rolls\", after: [])])")]);
    assert!(
        checked.problems.iter().any(|p| p.code == Code::NoFingerprint),
        "{:?}",
        checked.problems
    );
    let site = "(change: [Fix(id: \"clean-idler-rolls\", was: \"00000000\", after: [])])";
    assert!(over(&[("site.ron", site)]).problems.iter().any(|p| p.code == Code::Moved));
}
