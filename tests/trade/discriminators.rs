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
        "idler-build-up",
        "pulley-build-up",
        "stuck-roll",
        "idler-out-of-square",
        "idler-off-centre",
        "idler-high-or-tilted",
        "crooked-frame",
        "frame-not-level",
        "end-pulley-out-of-square",
        "pulley-not-level",
        "snub-out-of-square",
        "unequal-take-up-screws",
        "belt-too-tight",
        "belt-too-slack",
        "load-off-centre",
        "crosswind",
    ];
    speaks(
        &everything(),
        &[],
        ("how-it-moves", "jumps-each-turn"),
        &["crooked-splice", "splice-failing"],
        &against,
    );
    let carriage = everything().with("take_up", "carriage");
    speaks(
        &carriage,
        &[],
        ("how-it-moves", "jumps-each-turn"),
        &["crooked-splice"],
        &["take-up-carriage-off-line"],
    );
}

#[test]
fn a_slow_weave_is_the_belt() {
    speaks(
        &everything(),
        &[],
        ("how-it-moves", "slow-weave"),
        &["cambered-belt", "mixed-cambers", "edge-damage"],
        &["idler-out-of-square", "end-pulley-out-of-square"],
    );
}

#[test]
fn always_at_the_same_idler() {
    let given = [("first-split", "one-place")];
    speaks(
        &everything(),
        &given,
        ("one-station", "yes"),
        &[
            "idler-build-up",
            "stuck-roll",
            "idler-out-of-square",
            "idler-off-centre",
            "idler-high-or-tilted",
            "trainer-stuck",
        ],
        &["crooked-splice", "cambered-belt"],
    );
}

#[test]
fn load_tells() {
    speaks(
        &everything(),
        &[],
        ("loaded-or-empty", "loaded-only"),
        &["load-off-centre", "feed-surge", "skirts-uneven"],
        &["crosswind", "belt-too-stiff"],
    );
    speaks(
        &everything(),
        &[],
        ("loaded-or-empty", "empty-only"),
        &["belt-too-stiff", "crosswind", "belt-too-slack"],
        &["load-off-centre"],
    );
    speaks(
        &everything(),
        &[],
        ("loaded-or-empty", "side-flips"),
        &["load-off-centre", "old-trims"],
        &["frame-not-level", "end-pulley-out-of-square"],
    );
}

#[test]
fn side_flips_with_the_direction_of_run() {
    speaks(
        &everything(),
        &[],
        ("flips-in-reverse", "yes"),
        &["reversing-with-skew", "old-trims"],
        &["load-off-centre", "frame-not-level"],
    );
}

#[test]
fn what_was_done_last() {
    speaks(
        &everything(),
        &[],
        ("last-work", "take-up"),
        &["unequal-take-up-screws", "belt-too-tight"],
        &["crown-worn", "cambered-belt"],
    );
    speaks(
        &everything(),
        &[],
        ("last-work", "belt-or-splice"),
        &["crooked-splice", "mixed-cambers"],
        &["frame-not-level", "crown-worn"],
    );
}

#[test]
fn wet_and_dry() {
    speaks(
        &everything(),
        &[],
        ("better-after-wash", "yes"),
        &["idler-build-up", "pulley-build-up"],
        &["crooked-frame", "crooked-splice"],
    );
    speaks(
        &everything(),
        &[],
        ("better-once-dry", "yes"),
        &["rain-ice-sun", "idler-build-up"],
        &["crooked-frame", "crooked-splice"],
    );
    speaks(
        &everything(),
        &[],
        ("weather-link", "wet"),
        &["rain-ice-sun", "idler-build-up"],
        &["crooked-frame", "crooked-splice"],
    );
}

#[test]
fn slow_loss_over_months() {
    speaks(
        &everything(),
        &[],
        ("how-it-began", "over-months"),
        &["crown-worn", "lagging-worn", "idler-build-up", "supports-moved"],
        &["crooked-splice"],
    );
}

#[test]
fn a_flat_return_strand_is_too_tight() {
    speaks(&everything(), &[], ("return-sag", "flat"), &["belt-too-tight"], &["belt-too-slack"]);
}

/// The shaft offset left and right differs: seen at the threads, or measured at the pulley.
#[test]
fn unequal_take_up() {
    speaks(
        &everything(),
        &[],
        ("slack-side", "left"),
        &["unequal-take-up-screws", "end-pulley-out-of-square"],
        &["load-off-centre"],
    );
    let carriage = everything().with("take_up", "carriage");
    speaks(
        &carriage,
        &[],
        ("end-pulley-short-side", "left"),
        &["end-pulley-out-of-square"],
        &["load-off-centre"],
    );
    speaks(
        &carriage,
        &[],
        ("carriage-run", "jerks-or-tilts"),
        &["take-up-carriage-off-line"],
        &["load-off-centre"],
    );
}

/// One screw turned alone, a foot knocked over, packing gone: what hands and time leave is seen by eye.
#[test]
fn traces_seen_by_eye() {
    speaks(
        &everything(),
        &[],
        ("screw-threads-unlike", "yes"),
        &["unequal-take-up-screws"],
        &["belt-too-tight", "load-off-centre"],
    );
    speaks(
        &everything(),
        &[],
        ("foot-off-its-line", "yes"),
        &["idler-out-of-square", "old-trims"],
        &["frame-not-level", "load-off-centre"],
    );
    speaks(
        &everything(),
        &[],
        ("set-out-of-line", "yes"),
        &["idler-off-centre"],
        &["idler-out-of-square", "load-off-centre"],
    );
    speaks(
        &everything(),
        &[],
        ("packing-gone", "yes"),
        &["idler-high-or-tilted", "supports-moved"],
        &["idler-out-of-square", "load-off-centre"],
    );
    speaks(
        &everything(),
        &[],
        ("housing-shifted", "yes"),
        &["end-pulley-out-of-square", "snub-out-of-square"],
        &["idler-out-of-square", "load-off-centre"],
    );
    speaks(
        &everything(),
        &[],
        ("odd-idler-set", "yes"),
        &["return-roll-wrong", "idler-high-or-tilted"],
        &["idler-out-of-square", "load-off-centre"],
    );
    speaks(
        &everything(),
        &[],
        ("heap-in-tail", "yes"),
        &["object-or-spillage", "pulley-build-up"],
        &["idler-out-of-square", "load-off-centre"],
    );
    speaks(
        &everything(),
        &[],
        ("chute-off-line", "yes"),
        &["load-off-centre", "skirts-uneven"],
        &["idler-out-of-square", "end-pulley-out-of-square"],
    );
}

#[test]
fn one_bearing_hotter() {
    speaks(
        &everything(),
        &[],
        ("bearing-heat", "one-hotter"),
        &["unequal-take-up-screws", "loose-pulley-or-bearing"],
        &["load-off-centre", "crosswind"],
    );
}

#[test]
fn daylight_over_the_centre_roll() {
    speaks(
        &everything(),
        &[],
        ("daylight-over-centre", "yes"),
        &["belt-too-stiff"],
        &["belt-too-tight"],
    );
}
