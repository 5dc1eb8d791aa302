//! What was once accepted and led maintainers astray.

use straybelt::problem::Code;
use straybelt::rulebook::load;

use super::super::overlay::over;

fn codes(files: &[(&str, &str)]) -> Vec<(Code, String)> {
    over(files).problems.into_iter().map(|p| (p.code, p.message)).collect()
}

fn only(files: &[(&str, &str)], code: Code) -> String {
    let found: Vec<_> = codes(files).into_iter().filter(|(c, _)| *c == code).collect();
    assert_eq!(found.len(), 1, "{code:?}: {:?}", codes(files));
    found[0].1.clone()
}

const FIX: &str = r#"[(id: "fit-a-scarer", title: "Fit a scarer", stage: Weather, cures: [("gulls", Usually)],
    state: LockedOut, minutes: 30.0, steps: [Do("Fit it.")], done_when: ("No gulls", Memory), source: Memory)]"#;

fn gulls(name: &str, signs: &str, more: &str) -> String {
    format!(
        "[(id: \"gulls\", name: \"{name}\", how_common: Rare, happens_because: \"They sit on one edge.\", \
         signs: [{signs}], {more} source: Memory)]"
    )
}

#[test]
fn nothing_of_this_is_said_of_the_default_book() {
    assert_eq!(load::read(None).problems, []);
}

#[test]
fn a_cause_with_a_single_sign_and_no_voice_on_the_broad_questions() {
    let one = gulls("Gulls", "Sees(\"noise\", Often)", "")
        .replace("Sees(\"noise\", Often)", "Sees(\"still-roll\", Often)");
    let said = only(&[("causes/a.ron", &one), ("fixes/a.ron", FIX)], Code::NoVoice);
    assert_eq!(
        said,
        "`gulls` has a single sign and says nothing on the questions that part the whole book"
    );
    let voiced = gulls("Gulls", "Shows(\"where\", [(\"head\", Often)])", "");
    let told = codes(&[("causes/a.ron", &voiced), ("fixes/a.ron", FIX)]);
    assert!(told.iter().all(|(code, _)| *code != Code::NoVoice), "{told:?}");
}

#[test]
fn unlike_questions_in_one_group() {
    let symptom = |id: &str, kind: &str, answers: &str, leak: &str| {
        format!(
            "(id: \"{id}\", kind: {kind}, ask: \"Of {id}?\", answers: [{answers}], look: \"Look.\", why: \"Birds.\", \
             minutes: 1.0, state: Anywhere, group: \"birds\", by_itself: {leak}, source: Memory)"
        )
    };
    let yes = "(\"no\", \"No\"), (\"yes\", \"Yes\")";
    let grade = "(\"none\", \"None\"), (\"some\", \"Some\"), (\"many\", \"Many\")";
    let two = format!(
        "[{}, {}]",
        symptom("seen", "Sign", yes, "Seldom"),
        symptom("counted", "Grade", grade, "[(\"some\", Seldom), (\"many\", Seldom)]")
    );
    let said = only(&[("symptoms/a.ron", &two)], Code::UnlikeGroup);
    assert_eq!(said, "`seen` and `counted` are in one group, and one is a Sign, the other a Grade");
}

#[test]
fn the_same_words_twice() {
    let default = load::default_book().unwrap();
    let name = default.causes.values().next().unwrap().name.clone();
    let again = gulls(&name.to_uppercase(), "Sees(\"still-roll\", Often)", "");
    only(&[("causes/a.ron", &again)], Code::SameName);
    let symptom = r#"[(id: "seen", kind: Pattern, ask: "Where do they sit?", answers: [("top", "On top"), ("edge", "At the edge"), ("rim", "at the  edge")],
        look: "Look.", why: "Birds.", minutes: 1.0, state: Anywhere, by_itself: [("top", Often)], source: Memory)]"#;
    only(&[("symptoms/a.ron", symptom)], Code::SameAnswers);
    // Ids twice were told of before; so they are in a site's own folder.
    let doubled =
        format!("{}, {}", gulls("A", "", "").trim_end_matches(']'), &gulls("B", "", "")[1..]);
    only(&[("causes/a.ron", &doubled)], Code::TwiceId);
}

#[test]
fn a_cause_that_is_mistaken_for_itself() {
    let own = gulls("Gulls", "Sees(\"still-roll\", Often)", "mistaken_for: [\"gulls\"],");
    only(&[("causes/a.ron", &own), ("fixes/a.ron", FIX)], Code::Itself);
    let site = "(change: [Cause(id: \"old-trims\", mistaken_for: [\"old-trims\"])])";
    only(&[("site.ron", site)], Code::Itself);
}

#[test]
fn an_entry_that_is_changed_twice() {
    let site = "(change: [Cause(id: \"old-trims\", how_common: Rare), Fix(id: \"clean-idler-rolls\", minutes: 90.0), \
                Cause(id: \"old-trims\", how_common: Everyday)])";
    assert_eq!(
        only(&[("site.ron", site)], Code::TwiceNamed),
        "the cause `old-trims` is changed a second time"
    );
}

#[test]
fn words_that_advise_a_hand_at_a_moving_belt() {
    let told = |site: &str| -> usize {
        codes(&[("site.ron", site)]).iter().filter(|(code, _)| *code == Code::MovingBelt).count()
    };
    for bad in [
        "Cause(id: \"old-trims\", happens_because: \"It creeps. Push the belt over while it runs.\")",
        "Cause(id: \"old-trims\", shows_at: \"Scrape the roll as it passes.\")",
        "Cause(id: \"old-trims\", specialist: \"Steer the belt by hand and say what it does.\")",
        "Symptom(id: \"still-roll\", look: \"From the walkway. Feel each roll for heat.\")",
        "Symptom(id: \"noise\", look: \"Press the belt with your hand while it runs.\")",
        "Symptom(id: \"still-roll\", why: \"Reach under the belt to find it.\")",
        "Fix(id: \"clean-idler-rolls\", worked: \"Wipe the rolls and see whether they stay clean.\")",
        "Fix(id: \"clean-idler-rolls\", never: [\"Stop.\"], steps: [Do(\"Brush it off without stopping.\")])",
        "Caution(id: \"manual-handling\", text: \"Clean the running rolls from the far side.\")",
    ] {
        assert_eq!(told(&format!("(change: [{bad}])")), 1, "{bad}");
    }
    for good in [
        "Cause(id: \"old-trims\", happens_because: \"Never push the belt over while it runs.\")",
        "Cause(id: \"old-trims\", shows_at: \"Nobody cleans a roll while it turns; scrape nothing.\")",
        "Symptom(id: \"still-roll\", look: \"From the walkway, outside the guards. Touch nothing.\")",
    ] {
        assert_eq!(told(&format!("(change: [{good}])")), 0, "{good}");
    }
}
