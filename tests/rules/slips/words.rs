//! The commonest slips are told of in the words that mend them.

use straybelt::show::problem::line;

use super::super::overlay::over;

/// The errors of a site's file as single lines, the folder left out.
fn told(site: &str) -> Vec<String> {
    let checked = over(&[("site.ron", site)]);
    let errors = checked.problems.iter().filter(|problem| problem.is_error());
    errors
        .map(|problem| {
            let line = line(problem);
            line[line.find("site.ron").unwrap()..].to_owned()
        })
        .collect()
}

fn one(site: &str) -> String {
    let told = told(site);
    assert_eq!(told.len(), 1, "{site}: {told:?}");
    told[0].clone()
}

fn sign(sign: &str) -> String {
    one(&format!("(change: [Cause(id: \"old-trims\", signs: [{sign}])])"))
}

#[test]
fn a_number_where_a_word_stands() {
    let said = sign("Sees(\"shiny-rolls\", 0.9)");
    assert_eq!(
        said,
        "site.ron:1:62: error (shape): a number is written Chance(0.9); the words are such as Often"
    );
    let said = one("(change: [Cause(id: \"old-trims\", how_common: 0.02)])");
    assert!(said.contains("written Chance(0.02); the words are such as Common"), "{said}");
    let said = one("(change: [Symptom(id: \"still-roll\", by_itself: 0.02)])");
    assert!(said.contains("written Chance(0.02); the words are such as Often"), "{said}");
    let said = one("(change: [Fix(id: \"clean-idler-rolls\", cures: [(\"old-trims\", 0.5)])])");
    assert!(said.contains("written Chance(0.5)"), "{said}");
}

#[test]
fn words_in_quotes() {
    let said = sign("Sees(\"shiny-rolls\", \"Often\")");
    assert_eq!(said, "site.ron:1:62: error (shape): words stand without quotes: write Often");
    let said = one("(change: [Cause(id: \"old-trims\", how_common: \"Rare\")])");
    assert!(said.ends_with("words stand without quotes: write Rare"), "{said}");
}

#[test]
fn blanks_that_are_none() {
    let said = one("(change: [Cause(id:\u{a0}\"old-trims\",\u{a0}how_common: Rare)])");
    assert!(
        said.starts_with("site.ron:1:20: error (syntax): a no-break space stands here"),
        "{said}"
    );
    let said = one("(change: [Cause(id: \u{200b}\"old-trims\", how_common: Rare)])");
    assert!(said.contains("a character that nobody sees stands here"), "{said}");
}

#[test]
fn a_bracket_that_is_missing_is_found_where_the_next_part_begins() {
    for (site, opened) in [
        (
            "(change: [Cause(id: \"old-trims\", signs: [Sees(\"hub-dust\", Often), how_common: Rare)])",
            "1:41",
        ),
        (
            "(change: [Cause(id: \"old-trims\", how_common: Rare, Fix(id: \"grease-rolls\")])",
            "1:16",
        ),
        (
            "(change: [Cause(id: \"old-trims\", how_common: Rare), switch_off: [Fix(\"turn-belt-over\")])",
            "1:10",
        ),
        (
            "(change: [Cause(id: \"old-trims\", how_common: Rare)], switch_off: [Fix(\"turn-belt-over\")]",
            "1:1",
        ),
    ] {
        let said: Vec<String> = told(site);
        let shape: Vec<&String> = said.iter().filter(|s| s.contains("(syntax)")).collect();
        assert_eq!(shape.len(), 1, "{site}: {said:?}");
        assert!(shape[0].starts_with(&format!("site.ron:{opened}: ")), "{shape:?}");
    }
}

#[test]
fn the_answers_of_a_grade() {
    for (written, words) in [
        (
            "Reaches(\"ridges-on-rolls\", Often)",
            "Reaches names answers, each with its likelihood: [(\"answer\", Often)]",
        ),
        (
            "Reaches(\"ridges-on-rolls\", (\"some\", Often))",
            "a list is expected here: write [ before it and ] after it",
        ),
        (
            "Reaches(\"ridges-on-rolls\", [\"some\", Often])",
            "each answer of Reaches stands in ( ) with its likelihood",
        ),
        (
            "Reaches(\"ridges-on-rolls\", [(\"lots\", Often)])",
            "`ridges-on-rolls` has no answer `lots` (its answers: clean, some, thick)",
        ),
        (
            "Sees(\"ridges-on-rolls\", Often)",
            "(write Reaches(\"ridges-on-rolls\", [(\"some\", Sometimes), (\"thick\", Seldom)]): its grades, from mild to severe)",
        ),
        ("Shows(\"ridges-on-rolls\", [(\"some\", Often)])", "(write Reaches(\"ridges-on-rolls\", "),
    ] {
        let said = sign(written);
        assert!(said.contains(words), "{said}");
    }
    let said = one("(change: [Symptom(id: \"ridges-on-rolls\", by_itself: Often)])");
    assert!(
        said.contains("write by_itself: [(\"some\", Sometimes), (\"thick\", Seldom)]"),
        "{said}"
    );
}
