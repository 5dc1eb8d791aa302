//! A likelihood changed without a file being touched.

use straybelt::problem::Code;
use straybelt::proof::what_if;
use straybelt::rulebook::load::{Checked, read_changed};
use straybelt::rulebook::model::Book;
use straybelt::rulebook::network::{Kind, Says};

use crate::support::close_all;
use crate::support::files::{small, small_folder};

fn changed(change: &str) -> Checked {
    read_changed(Some(&small_folder()), |rules, texts, report| {
        what_if::apply(rules, &[change.to_owned()], texts, report);
    })
}

fn good(change: &str) -> Book {
    let checked = changed(change);
    checked.book.unwrap_or_else(|| panic!("{change}: {:#?}", checked.problems))
}

/// The code, the message and the helps of the only problem.
fn bad(change: &str) -> (Code, String, String) {
    let checked = changed(change);
    let errors: Vec<_> = checked.problems.iter().filter(|p| p.is_error()).collect();
    assert_eq!(errors.len(), 1, "{change}: {errors:#?}");
    assert!(checked.book.is_none());
    let place = &errors[0].labels[0].place;
    assert_eq!(place.file, "--what-if", "{change}");
    (errors[0].code, errors[0].message.clone(), errors[0].help.join("; "))
}

#[test]
fn each_kind_of_likelihood_can_be_changed() {
    // Causes: dirty-rolls, crooked-splice, low-frame; symptoms: what-is-off, jumps, ridges, runs-toward, low-side.
    let node = |book: &Book, at: usize| book.network.nodes.as_slice()[at].kind.clone();
    assert_eq!(small().network.priors.as_slice(), [0.05, 0.025, 0.01]);
    let rare = good("dirty-rolls.how-common=rare");
    close_all(rare.network.priors.as_slice(), &[0.004, 0.025, 0.01], "priors");
    let number = good("dirty-rolls.how-common = 0.1");
    close_all(number.network.priors.as_slice(), &[0.1, 0.025, 0.01], "priors");

    let Kind::Sign { links, .. } = node(&good("crooked-splice.jumps=Often"), 1) else {
        panic!("a sign");
    };
    close_all(&[links[0].1], &[0.55], "a sign");
    let Kind::Sign { links, .. } = node(&good("low-frame.jumps.yes=0.3"), 1) else {
        panic!("a sign");
    };
    close_all(&[links[0].1, links[1].1], &[0.97, 0.3], "a new link");

    let Kind::Pattern { voices, .. } = node(&good("crooked-splice.what-is-off.one-part=often"), 0)
    else {
        panic!("a pattern");
    };
    let Says::Row(row) = &voices[1].1.says else {
        panic!("a row");
    };
    close_all(row, &[0.225, 0.55, 0.225], "a pattern");

    let Kind::Grade { rows, .. } = node(&good("dirty-rolls.ridges.thick=sometimes"), 2) else {
        panic!("a grade");
    };
    close_all(&rows[0].1, &[0.5, 0.75, 1.0], "a grade, cumulative");

    let Kind::Pattern { voices, .. } = node(&good("low-frame.runs-toward=often"), 3) else {
        panic!("a pattern");
    };
    let Says::Relative { rows, .. } = &voices[0].1.says else {
        panic!("relative");
    };
    close_all(rows[1].as_ref().unwrap(), &[0.55, 0.45], "a side");
}

#[test]
fn what_is_unknown_is_named_with_the_nearest() {
    let unknown = [
        ("dirty-roll.ridges.thick=often", "unknown cause", "did you mean `dirty-rolls`?"),
        ("dirty-rolls.ridge.thick=often", "unknown symptom", "did you mean `ridges`?"),
        ("dirty-rolls.how-comon=rare", "unknown symptom", "did you mean `how-common`?"),
        ("dirty-rolls.ridges.thik=often", "no answer", "did you mean `thick`?"),
    ];
    for (change, says, help) in unknown {
        let (code, message, helps) = bad(change);
        assert_eq!(code, Code::UnknownId, "{change}");
        assert!(message.contains(says) && helps.contains(help), "{message}; {helps}");
    }
    let (code, _, helps) = bad("dirty-rolls.ridges.thick=oftn");
    assert_eq!(code, Code::UnknownWord);
    assert!(helps.contains("did you mean `often`?") && helps.contains("0.35"), "{helps}");
}

#[test]
fn what_cannot_be_is_told_with_what_can() {
    let shapes = [
        ("", "write cause.symptom=often"),
        ("dirty-rolls", "write cause.symptom=often"),
        ("dirty-rolls=often", "write cause.symptom=often"),
        ("a.b.c.d=often", "write cause.symptom=often"),
        ("dirty-rolls.ridges=often", "clean, some, thick"),
        ("crooked-splice.jumps.no=often", "leave the answer out"),
        ("low-frame.runs-toward.left=often", "leave the answer out"),
    ];
    for (change, help) in shapes {
        let (code, message, helps) = bad(change);
        assert_eq!(code, Code::Shape, "{change}");
        assert!(helps.contains(help), "{change}: {message}; {helps}");
    }
    assert_eq!(bad("crooked-splice.jumps=1.5").0, Code::Chance);
    assert_eq!(bad("dirty-rolls.ridges.some=always").0, Code::RowSum);
}
