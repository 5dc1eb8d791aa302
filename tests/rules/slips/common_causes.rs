//! A site that adds a common cause is told how to make room for it, in its own files.

use straybelt::problem::{Code, Problem};
use straybelt::rulebook::load;

use super::super::overlay::over;

fn cause(common: &str) -> String {
    format!(
        "[(id: \"gulls\", name: \"Gulls on the return strand\", how_common: {common}, happens_because: \"They sit on one edge.\", \
         signs: [Shows(\"where\", [(\"return-run\", Often)]), Sees(\"still-roll\", Seldom)], source: Memory)]"
    )
}

const FIX: &str = r#"[(id: "fit-a-scarer", title: "Fit a scarer", stage: Weather, cures: [("gulls", Usually)],
    state: LockedOut, minutes: 30.0, steps: [Do("Fit it.")], done_when: ("No gulls", Memory), source: Memory)]"#;

fn limits(problems: &[Problem]) -> Vec<&Problem> {
    problems.iter().filter(|p| matches!(p.code, Code::PriorSum | Code::MassLeftOut)).collect()
}

#[test]
fn what_is_too_much_can_be_mended_as_it_says() {
    for common in ["Leading", "Chance(0.2)"] {
        let own = cause(common);
        let files = [("causes/a.ron", own.as_str()), ("fixes/a.ron", FIX)];
        let checked = over(&files);
        let told = limits(&checked.problems);
        assert!(!told.is_empty(), "{common} fits");
        for problem in &told {
            assert!(problem.labels[0].place.to_string().contains("causes/a.ron:1:"), "{problem:?}");
            assert!(problem.help[0].contains("Everyday 0.0"), "{problem:?}");
        }
        let help = &told[0].help[0];
        let scale = help.strip_prefix("write rescale: ").unwrap().split(' ').next().unwrap();
        let site = format!("(rescale: {scale})");
        let mut files = files.to_vec();
        files.push(("site.ron", &site));
        let mended = over(&files);
        assert_eq!(limits(&mended.problems), Vec::<&Problem>::new(), "{help}");
        let (book, default) = (mended.book.unwrap(), load::default_book().unwrap());
        let prior = |book: &straybelt::rulebook::model::Book, id: &str| {
            book.causes.values().find(|cause| cause.id == id).unwrap().prior
        };
        let scale: f64 = scale.parse().unwrap();
        for known in default.causes.values() {
            assert!((prior(&book, &known.id) - scale * known.prior).abs() < 1e-12, "{}", known.id);
        }
    }
}

#[test]
fn a_cause_that_the_site_itself_calls_common_is_not_scaled() {
    let site = "(rescale: 0.9, change: [Cause(id: \"old-trims\", how_common: Common)])";
    let book = over(&[("site.ron", site)]).book.unwrap();
    let prior = |id: &str| book.causes.values().find(|cause| cause.id == id).unwrap().prior;
    assert_eq!(prior("old-trims"), 0.025);
    let default = load::default_book().unwrap();
    let crosswind = default.causes.values().find(|cause| cause.id == "crosswind").unwrap();
    assert!((prior("crosswind") - 0.9 * crosswind.prior).abs() < 1e-12);
}

#[test]
fn a_scale_out_of_range_is_told_of() {
    for scale in ["1.5", "0.0", "-1.0"] {
        let told = over(&[("site.ron", &format!("(rescale: {scale})"))]).problems;
        assert_eq!(told.iter().map(|p| p.code).collect::<Vec<_>>(), [Code::NumberRange], "{scale}");
    }
}
