//! What each strong observation speaks for and against [derived from the mechanisms; the sources of the
//! single rules stand at the causes in the book].

use crate::visit::{Conveyor, chance, finding, troughed};

/// One observation must raise the first list and lower the second.
fn speaks(
    conveyor: &Conveyor,
    given: &[(&str, &str)],
    answer: (&str, &str),
    raises: &[&str],
    lowers: &[&str],
) {
    let before = finding(conveyor, given);
    let with: Vec<_> = given.iter().copied().chain([answer]).collect();
    let after = finding(conveyor, &with);
    for code in raises {
        let (b, a) = (chance(&before, code), chance(&after, code));
        assert!(a > b, "{answer:?} should raise {code}: {b} -> {a}");
    }
    for code in lowers {
        let (b, a) = (chance(&before, code), chance(&after, code));
        assert!(a < b, "{answer:?} should lower {code}: {b} -> {a}");
    }
}

/// Everything applies: outdoors, crowned, reversing.
fn everything() -> Conveyor {
    troughed().with("place", "outdoors").with("crowned", "yes").with("reversing", "yes")
}

#[test]
fn a_jump_each_turn_is_the_splice() {
    let against = [
        "RC01", "RC02", "RC03", "RC04", "RC05", "RC06", "RC07", "RC08", "RC09", "RC10", "RC11",
        "RC12", "RC13", "RC14", "RC20", "RC32",
    ];
    speaks(&everything(), &[], ("how-it-moves", "jumps-each-turn"), &["RC22", "RC23"], &against);
    let carriage = everything().with("take_up", "carriage");
    speaks(&carriage, &[], ("how-it-moves", "jumps-each-turn"), &["RC22"], &["RC15"]);
}

#[test]
fn a_slow_weave_is_the_belt() {
    speaks(
        &everything(),
        &[],
        ("how-it-moves", "slow-weave"),
        &["RC24", "RC25", "RC26"],
        &["RC04", "RC09"],
    );
}

#[test]
fn always_at_the_same_idler() {
    let given = [("first-split", "one-place")];
    speaks(
        &everything(),
        &given,
        ("one-station", "yes"),
        &["RC01", "RC03", "RC04", "RC05", "RC06", "RC34"],
        &["RC22", "RC24"],
    );
}

#[test]
fn load_tells() {
    speaks(
        &everything(),
        &[],
        ("loaded-or-empty", "loaded-only"),
        &["RC20", "RC21", "RC30"],
        &["RC32", "RC27"],
    );
    speaks(
        &everything(),
        &[],
        ("loaded-or-empty", "empty-only"),
        &["RC27", "RC32", "RC14"],
        &["RC20"],
    );
    speaks(
        &everything(),
        &[],
        ("loaded-or-empty", "side-flips"),
        &["RC20", "RC35"],
        &["RC08", "RC09"],
    );
}

#[test]
fn side_flips_with_the_direction_of_run() {
    speaks(&everything(), &[], ("flips-in-reverse", "yes"), &["RC36", "RC35"], &["RC20", "RC08"]);
}

#[test]
fn what_was_done_last() {
    speaks(&everything(), &[], ("last-work", "take-up"), &["RC12", "RC13"], &["RC16", "RC24"]);
    speaks(
        &everything(),
        &[],
        ("last-work", "belt-or-splice"),
        &["RC22", "RC25"],
        &["RC08", "RC16"],
    );
}

#[test]
fn wet_and_dry() {
    speaks(&everything(), &[], ("better-after-wash", "yes"), &["RC01", "RC02"], &["RC07", "RC22"]);
    speaks(&everything(), &[], ("better-once-dry", "yes"), &["RC33", "RC01"], &["RC07", "RC22"]);
    speaks(&everything(), &[], ("weather-link", "wet"), &["RC33", "RC01"], &["RC07", "RC22"]);
}

#[test]
fn slow_loss_over_months() {
    speaks(
        &everything(),
        &[],
        ("how-it-began", "over-months"),
        &["RC16", "RC18", "RC01", "RC40"],
        &["RC22"],
    );
}

#[test]
fn a_flat_return_strand_is_too_tight() {
    speaks(&everything(), &[], ("return-sag", "flat"), &["RC13"], &["RC14"]);
}

/// The shaft offset left and right differs: seen at the threads, or measured at the pulley.
#[test]
fn unequal_take_up() {
    speaks(&everything(), &[], ("slack-side", "left"), &["RC12", "RC09"], &["RC20"]);
    let carriage = everything().with("take_up", "carriage");
    speaks(&carriage, &[], ("end-pulley-short-side", "left"), &["RC09"], &["RC20"]);
    speaks(&carriage, &[], ("carriage-run", "jerks-or-tilts"), &["RC15"], &["RC20"]);
}

/// One screw turned alone, a foot knocked over, packing gone: what hands and time leave is seen by eye.
#[test]
fn traces_seen_by_eye() {
    speaks(&everything(), &[], ("screw-threads-unlike", "yes"), &["RC12"], &["RC13", "RC20"]);
    speaks(&everything(), &[], ("foot-off-its-line", "yes"), &["RC04", "RC35"], &["RC08", "RC20"]);
    speaks(&everything(), &[], ("set-out-of-line", "yes"), &["RC05"], &["RC04", "RC20"]);
    speaks(&everything(), &[], ("packing-gone", "yes"), &["RC06", "RC40"], &["RC04", "RC20"]);
    speaks(&everything(), &[], ("housing-shifted", "yes"), &["RC09", "RC11"], &["RC04", "RC20"]);
    speaks(&everything(), &[], ("odd-idler-set", "yes"), &["RC38", "RC06"], &["RC04", "RC20"]);
    speaks(&everything(), &[], ("heap-in-tail", "yes"), &["RC39", "RC02"], &["RC04", "RC20"]);
    speaks(&everything(), &[], ("chute-off-line", "yes"), &["RC20", "RC30"], &["RC04", "RC09"]);
}

#[test]
fn one_bearing_hotter() {
    speaks(
        &everything(),
        &[],
        ("bearing-heat", "one-hotter"),
        &["RC12", "RC19"],
        &["RC20", "RC32"],
    );
}

#[test]
fn daylight_over_the_centre_roll() {
    speaks(&everything(), &[], ("daylight-over-centre", "yes"), &["RC27"], &["RC13"]);
}
