//! Which way things move. The rules of direction as published in: belt maker's installation,
//! maintenance and troubleshooting guide (2010), pp. 7-10; US Army TM 5-3895-374-24-2, pp. 620-621.
//! The vectors are derived from them, with physical sides (looking from tail to head).

use crate::visit::{Conveyor, book, chance, finding, troughed, words};
use straybelt::rulebook::model::{Stage, Step, Toward};

/// All texts of all training fixes that apply and move an idler end.
fn training(conveyor: &Conveyor, sides: (&str, &str), strand: &str, side: &str) -> Vec<String> {
    let answers = [("first-split", "one-place"), ("strand", strand), ("runs-toward", side)];
    let applies = finding(conveyor, &answers).fixes_apply;
    let moves = |step: &Step| matches!(step, Step::MoveEnd { toward: Toward::WithStrand, .. });
    let fixes = book()
        .fixes
        .iter()
        .filter(|(at, f)| applies[*at] && f.stage == Stage::Train && f.steps().iter().any(moves));
    let texts: Vec<String> = fixes
        .flat_map(|(_, f)| words(conveyor, sides, &answers, &f.id).text)
        .filter(|text| text.contains(" end of ") && text.contains("toward the"))
        .collect();
    assert!(!texts.is_empty(), "no training fix speaks for {strand}, {side}");
    texts
}

fn all_say(texts: &[String], end: &str, way: &str, not: &str) {
    for text in texts {
        assert!(text.contains(&format!("the {end} end")), "{text}");
        assert!(text.contains(way), "{text}");
        assert!(!text.contains(not), "{text}");
    }
}

/// The end on the side the belt has run to, the way that strand travels; never the other way.
#[test]
fn idler_ends_go_the_way_the_strand_travels() {
    let plain = ("left", "right");
    for (side, end) in [("left", "LEFT"), ("right", "RIGHT")] {
        all_say(
            &training(&troughed(), plain, "carry", side),
            end,
            "toward the head",
            "toward the tail",
        );
        all_say(
            &training(&troughed(), plain, "return", side),
            end,
            "toward the tail",
            "toward the head",
        );
    }
}

/// The named side decides, whichever hand it is on.
#[test]
fn return_belt_off_at_the_walkway_moves_the_walkway_end_toward_the_tail() {
    let on_left = training(&troughed(), ("walkway", "wall"), "return", "left");
    all_say(&on_left, "WALKWAY", "toward the tail", "WALL");
    let on_right = training(&troughed(), ("wall", "walkway"), "return", "right");
    all_say(&on_right, "WALKWAY", "toward the tail", "WALL");
}

/// An observation with a side raises the cause when the sides agree and lowers it when they do not.
fn side_speaks(conveyor: &Conveyor, code: &str, parent: (&str, &str), toward: &str, away: &str) {
    side_speaks_after(conveyor, code, &[parent], toward, away);
}

fn side_speaks_after(
    conveyor: &Conveyor,
    code: &str,
    parent: &[(&str, &str)],
    toward: &str,
    away: &str,
) {
    let to = |side| [parent, &[("runs-toward", side)]].concat();
    let measured = finding(conveyor, parent);
    let agrees = finding(conveyor, &to(toward));
    let differs = finding(conveyor, &to(away));
    let (before, with, against) =
        (chance(&measured, code), chance(&agrees, code), chance(&differs, code));
    assert!(with > before && before > against, "{code} {parent:?}: {against} {before} {with}");
}

/// Toward the edge that meets the pulley first (the slack side of a tail pulley), the low side, the end met first,
/// the largest diameter, for either hand.
#[test]
fn sides_that_are_measured_agree_with_the_side_the_belt_runs_to() {
    for (side, other) in [("left", "right"), ("right", "left")] {
        let belt = troughed();
        side_speaks(&belt, "unequal-take-up-screws", ("slack-side", side), side, other);
        side_speaks(
            &belt,
            "end-pulley-out-of-square",
            ("end-pulley-short-side", side),
            side,
            other,
        );
        side_speaks(&belt, "pulley-not-level", ("pulley-low-side", side), side, other);
        side_speaks(&belt, "frame-not-level", ("frame-low-side", side), side, other);
        side_speaks(&belt, "idler-high-or-tilted", ("idler-low-side", side), side, other);
        side_speaks(&belt, "idler-out-of-square", ("idler-leads", side), side, other);
        side_speaks(&belt, "snub-out-of-square", ("snub-leads", side), side, other);
        side_speaks(&belt, "lagging-worn", ("bigger-end", side), side, other);
        let crowned = troughed().with("crowned", "yes");
        side_speaks(&crowned, "crown-worn", ("bigger-end", side), side, other);
    }
}

/// A troughed belt goes toward its lightly loaded edge; flat belts may creep to the loaded
/// side (belt conveyor maker's help page, weak).
#[test]
fn load_pushes_a_troughed_belt_to_the_light_edge_and_a_flat_one_to_the_loaded() {
    let flat = troughed().with("class", "flat").with("troughed", "no");
    for (heavy, light) in [("left", "right"), ("right", "left")] {
        // The heap is judged once the empty belt is known to come back in its middle.
        let heap = [("off-at-tail", "no"), ("heavy-side", heavy)];
        side_speaks_after(&troughed(), "load-off-centre", &heap, light, heavy);
        side_speaks_after(&flat, "load-off-centre-flat", &heap, heavy, light);
    }
}

/// Away from the wind (derived from: crosswind pushes the belt off line, bulk handbook).
#[test]
fn wind_pushes_to_leeward() {
    let outdoors = troughed().with("place", "outdoors");
    for (wind, lee) in [("left", "right"), ("right", "left")] {
        side_speaks(&outdoors, "crosswind", ("wind-from", wind), lee, wind);
    }
}

/// The end of a skewed idler that the belt meets first goes forward with its strand until it is square (the rule of
/// the end met first, read backwards). That is no skew, so it holds on a reversing belt as well. The set measured may
/// stand on the other strand than the one that runs off worst, so the words name the way for that one beside it.
#[test]
fn the_end_that_stands_back_is_squared_up_with_the_strand() {
    let sides = ("walkway", "wall");
    for conveyor in [troughed(), troughed().with("reversing", "yes")] {
        for strand in ["carry", "return"] {
            for (leads, end) in [("left", "WALKWAY"), ("right", "WALL")] {
                let answers = [("strand", strand), ("idler-leads", leads)];
                let text = words(&conveyor, sides, &answers, "square-idler").text;
                let (way, other) = match strand {
                    "carry" => ("toward the head", "toward the tail"),
                    _ => ("toward the tail", "toward the head"),
                };
                let moves = format!(
                    "Move the {end} end of the {strand} idler {way} (one of the other strand: {other}). How far: "
                );
                assert!(text.iter().any(|t| t.starts_with(&moves)), "{moves}: {text:#?}");
            }
        }
    }
}

/// On a reversing belt a skew that centres one way uncentres the other; nothing may be skewed.
#[test]
fn nothing_is_skewed_on_a_reversing_belt() {
    let reversing = troughed().with("reversing", "yes");
    let skews = |s: &Step| {
        matches!(s, Step::MoveEnd { toward: Toward::WithStrand | Toward::AgainstStrand, .. })
    };
    let mut skewing = 0;
    for strand in ["carry", "return"] {
        let answers = [("first-split", "one-place"), ("strand", strand), ("runs-toward", "left")];
        let applies = finding(&reversing, &answers).fixes_apply;
        for (at, entry) in book().fixes.iter() {
            if entry.steps().iter().any(skews) {
                skewing += 1;
                assert!(!applies[at], "{} is offered", entry.id);
                let words = words(&reversing, ("left", "right"), &answers, &entry.id);
                let text = words.text.join("\n");
                assert!(text.contains("skew nothing"), "{}: {text}", entry.id);
            }
        }
    }
    assert!(skewing >= 4, "{skewing}");
}

/// Before anybody has measured, the run of the belt tells the end by the same rule: the end on the side that it has run
/// to, the way that strand travels (tracking rules of belt makers; the army's manual). What is measured goes before it.
#[test]
fn until_it_is_measured_the_end_is_the_one_that_the_belt_has_run_to() {
    let sides = ("walkway", "wall");
    for (strand, way) in [("carry", "toward the head"), ("return", "toward the tail")] {
        for (toward, end, other) in [("left", "WALKWAY", "WALL"), ("right", "WALL", "WALKWAY")] {
            let run = [("first-split", "one-place"), ("strand", strand), ("runs-toward", toward)];
            let text = words(&troughed(), sides, &run, "square-idler").text.join("\n");
            assert!(text.contains(&format!("the {end} end of the {strand} idler {way}")), "{text}");
            let leads = if toward == "left" { "right" } else { "left" };
            let measured = [run[0], run[1], run[2], ("idler-leads", leads)];
            let text = words(&troughed(), sides, &measured, "square-idler").text.join("\n");
            assert!(
                text.contains(&format!("the {other} end of the {strand} idler {way}")),
                "{text}"
            );
        }
    }
}
