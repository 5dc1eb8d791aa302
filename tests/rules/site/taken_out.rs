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

#[test]
fn checks_are_replaced_and_taken_out_by_their_numbers() {
    let default = load::default_book().unwrap();
    let fix = &default.fixes.values().find(|fix| fix.begins_with.len() > 1).unwrap().id;
    let before = field(&card(&default, "fix", fix), "begins_with");
    let book = changed(&format!("Fix(id: \"{fix}\", drop_checks: [2])"));
    let mut without = before.clone();
    without.remove(1);
    assert_eq!(field(&card(&book, "fix", fix), "begins_with"), without);
    let book = changed(&format!(
        "Fix(id: \"{fix}\", replace_checks: [(1, (words: \"Look at the shed list\", needs: \"It stands there\", minutes: 2.0))])"
    ));
    let after = field(&card(&book, "fix", fix), "begins_with");
    assert!(after[0].contains("shed list"), "{after:?}");
    assert_eq!(after[1..], before[1..]);
    let told = refused(&format!("Fix(id: \"{fix}\", drop_checks: [9, 0])"));
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(told.iter().all(|(code, _)| *code == Code::UnknownId), "{told:?}");
    assert!(told[0].1.contains("there is no check"), "{told:?}");
}

/// A long fix still begins with a check, or says why not.
#[test]
fn a_long_fix_that_loses_all_checks_says_why() {
    let default = load::default_book().unwrap();
    let long = default.fixes.values().find(|fix| fix.minutes >= 60.0 && fix.begins_with.len() == 1);
    let fix = &long.unwrap().id;
    let told = refused(&format!("Fix(id: \"{fix}\", drop_checks: [1])"));
    assert!(told.iter().any(|(code, _)| *code == Code::NoCheck), "{told:?}");
    let why = "The yard's own survey has shown that it is needed.";
    let book = changed(&format!("Fix(id: \"{fix}\", drop_checks: [1], no_check: \"{why}\")"));
    assert!(field(&card(&book, "fix", fix), "begins_with").is_empty());
}

#[test]
fn lines_of_what_never_to_do_are_replaced_and_taken_out_and_that_is_told() {
    let default = load::default_book().unwrap();
    let fix = &default.fixes.values().find(|fix| fix.never.len() > 1).unwrap().id;
    let before = field(&card(&default, "fix", fix), "never");
    let change = format!(
        "Fix(id: \"{fix}\", replace_never: [(1, \"Work alone at night.\")], drop_never: [2], never: [\"Hurry.\"])"
    );
    let after = field(&card(&changed(&change), "fix", fix), "never");
    let expected =
        ["Work alone at night."].into_iter().chain(before[2..].iter().map(String::as_str));
    assert_eq!(after, expected.chain(["Hurry."]).collect::<Vec<_>>());
    // Whoever reads what the site has changed sees the line that went.
    let folder = super::Folder::with(&[("site.ron", &format!("(change: [{change}])"))]);
    let said = super::rules(&["diff", &folder.shown()]);
    let said = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains(&before[1]), "{said}");
}

#[test]
fn a_fix_on_a_running_machine_may_become_locked_out_with_steps_for_it_and_none_the_other_way() {
    let default = load::default_book().unwrap();
    let running = default
        .fixes
        .values()
        .find(|fix| matches!(&fix.work, Work::Running(steps) if steps.len() > 1));
    let fix = running.unwrap();
    let Work::Running(steps) = &fix.work else { unreachable!() };
    let others: Vec<String> = (2..=steps.len()).map(|number| number.to_string()).collect();
    let book = changed(&format!(
        "Fix(id: \"{}\", state: LockedOut, replace_steps: [(1, Do(\"Look at the list on the shed door.\"))], drop_steps: [{}])",
        fix.id,
        others.join(", ")
    ));
    let now = book.fixes.values().find(|known| known.id == fix.id).unwrap();
    assert!(matches!(&now.work, Work::LockedOut(steps) if steps.len() == 1), "{:?}", now.work);
    // Its old steps are for a running machine, and stay so unless they are replaced.
    let told = refused(&format!("Fix(id: \"{}\", state: LockedOut)", fix.id));
    assert!(told.iter().all(|(code, _)| *code == Code::RunningFix) && !told.is_empty(), "{told:?}");
    let told = refused("Fix(id: \"clean-idler-rolls\", state: Running)");
    assert!(told.iter().any(|(code, _)| *code == Code::SafetyCaution), "{told:?}");
}

#[test]
fn a_single_order_is_added_or_taken_out_and_the_others_stay() {
    // Orders that the entry itself names, beside those of the stages.
    let own = |book: &Book, name: &str| field(&card(book, "fix", "renew-bent-stringer"), name);
    let default = load::default_book().unwrap();
    let before = own(&default, "after");
    let gone = "idlers-to-true-line";
    assert!(before.iter().any(|after| after == gone), "{before:?}");
    let book = changed(&format!("Fix(id: \"renew-bent-stringer\", drop_after: [Fix(\"{gone}\")])"));
    let left: Vec<&String> = before.iter().filter(|after| *after != gone).collect();
    assert_eq!(own(&book, "after").iter().collect::<Vec<_>>(), left);
    let more = "Fix(id: \"renew-bent-stringer\", also_needs: [Fix(\"clean-idler-rolls\")])";
    let book = changed(more);
    assert!(own(&book, "needs").contains(&"clean-idler-rolls".to_owned()));
    let told = refused("Fix(id: \"renew-bent-stringer\", drop_needs: [Every(Weather)])");
    assert_eq!(told[0].0, Code::UnknownId, "{told:?}");
    assert!(told[0].1.contains("Every(Weather)"), "{told:?}");
}

/// `rules show` lists a link from wherever it is written; so it is taken out from there.
#[test]
fn a_link_that_stands_with_the_symptom_is_taken_out_from_either_side() {
    let written = "(\"crosswind\", Seldom)";
    let symptom = "lifts-off";
    let has = |book: &Book| {
        field(&card(book, "cause", "crosswind"), "signs").iter().any(|s| s.contains(symptom))
    };
    let default = load::default_book().unwrap();
    assert!(has(&default), "{symptom} has no longer seen_with: [{written}]");
    for change in [
        format!("Cause(id: \"crosswind\", drop_signs: [\"{symptom}\"])"),
        format!("Symptom(id: \"{symptom}\", drop_seen_with: [\"crosswind\"])"),
    ] {
        assert!(!has(&changed(&change)), "{change}");
    }
    let told = refused(&format!("Symptom(id: \"{symptom}\", drop_seen_with: [\"stuck-roll\"])"));
    assert_eq!(told[0].0, Code::UnknownId, "{told:?}");
}

/// What the guide shows under this heading.
#[test]
fn the_changes_that_the_guide_shows_can_be_made() {
    let guide = std::fs::read_to_string(crate::support::files::root("rules/GUIDE.md")).unwrap();
    let (_, part) = guide.split_once("**Replaced and taken out.**").unwrap();
    let (_, shown) = part.split_once("```ron\n").unwrap();
    let (shown, _) = shown.split_once("```").unwrap();
    assert!(shown.lines().count() >= 4);
    changed(shown);
}
