//! Bearing temperatures against the published bands, and what they point to.

use proptest::prelude::*;
use straybelt::conveyor::quantity::{Kind, Quantity};
use straybelt::gauge::catalogue::limit_named;
use straybelt::gauge::heat::{GAUGE, GLOW_OR_SMOKE};
use straybelt::gauge::{Basis, Given, Mark, Outcome, Piece, Setting, Verdict, Words};
use straybelt::rulebook::load;
use straybelt::trade::Side;

use crate::support::{self, any_size, figure, readings, says, tells, work};

fn of(left: &str, right: &str) -> Outcome {
    work(&GAUGE, "infrared", &[("left", left), ("right", right)], &[]).unwrap()
}

#[test]
fn the_word_follows_difference_first_and_heat_second() {
    // Caution from 82 C (published), 15 C between the sides (common practice), reading error 3 C.
    for (left, right, word) in [
        ("45", "47", Some("normal")),
        ("60", "40", Some("one-hotter")),
        ("120", "100", Some("one-hotter")),
        ("40", "60", Some("one-hotter")),
        ("90", "92", Some("both-hot")),
        ("100", "95", Some("both-hot")),
        // 14 and 16 C apart, error 4.2: cannot be told.
        ("50", "64", None),
        ("50", "66", None),
        ("120", "106", None),
        // One each side of 82, or within 3 of it.
        ("81", "81", None),
        ("90", "80", None),
        ("84", "90", None),
        ("78", "78", Some("normal")),
        ("86", "86", Some("both-hot")),
    ] {
        let outcome = of(left, right);
        assert_eq!(tells(&outcome, "bearings"), word, "{left} {right}");
        assert_eq!(
            word.is_none(),
            says(std::slice::from_ref(&outcome.says), "oo close to call"),
            "{left} {right}"
        );
    }
}

#[test]
fn the_bands_are_those_published() {
    // Published: 82 to 93, 93 to 121, 121 to 149 and above 149 C.
    for (heat, limit, published) in [
        ("70", 82.0, "bearing-temp-page"),
        ("88", 82.0, "bearing-temp-page"),
        ("100", 93.0, "lubrication-journal"),
        ("130", 121.0, "lubrication-journal"),
        ("160", 149.0, "bearing-temp-page"),
    ] {
        let outcome = of(heat, heat);
        let left = figure(&outcome, "left");
        let against = left.limit.unwrap();
        assert!((against.size.si() - 273.15 - limit).abs() < 1e-9, "{heat}");
        assert!(matches!(against.mark, Mark::Rests(Basis::Published(id, _)) if id == published));
        let expected = if heat == "70" { Verdict::Within } else { Verdict::Beyond };
        assert_eq!(left.verdict, expected, "{heat}");
    }
    // The same in Fahrenheit: 180 F is the caution mark of the page.
    assert_eq!(figure(&of("190 F", "190 F"), "left").verdict, Verdict::Beyond);
    assert_eq!(figure(&of("170 F", "170 F"), "left").verdict, Verdict::Within);
}

#[test]
fn a_bearing_that_can_start_a_fire_is_stopped_first() {
    for (left, right) in [("160", "158"), ("160", "100"), ("151", "137")] {
        let outcome = of(left, right);
        assert!(says(&outcome.work[..1], GLOW_OR_SMOKE), "{left} {right}");
        assert!(says(&outcome.work[1..2], "stopped now"), "{left} {right}");
        assert!(!says(std::slice::from_ref(&outcome.says), "another hour"));
    }
    assert!(of("40", "42").work.is_empty());
}

/// What these readings come to: the band and what it asks for, with no reading error.
fn band(given: &[(&str, &str)]) -> (&'static str, Outcome) {
    let given = [given, &[("error", "0")]].concat();
    let outcome = work(&GAUGE, "infrared", &given, &[]).unwrap();
    (tells(&outcome, "band").expect("always told"), outcome)
}

#[test]
fn each_band_begins_at_its_mark_and_says_what_to_do() {
    // Published marks; no dust that burns. Each edge from just below, and at it, on either side.
    for (below, at, before, begins, asks) in [
        ("81.9", "82", "usual", "watch", "read both again each shift"),
        ("92.9", "93", "watch", "report", "tell the supervisor today"),
        ("120.9", "121", "report", "call", "call the supervisor now, and stay out"),
        ("148.9", "149", "call", "stop", "stopped now, by the site's procedure"),
    ] {
        for (hot, cool) in [("left", "right"), ("right", "left")] {
            let of = |reads| band(&[(hot, reads), (cool, "40"), ("dust_burns", "no")]);
            assert_eq!(of(below).0, before, "{hot} {below}");
            let (band, outcome) = of(at);
            assert_eq!(band, begins, "{hot} {at}");
            assert!(says(&outcome.work[..1], GLOW_OR_SMOKE), "{hot} {at}");
            assert!(says(&outcome.work[1..2], asks), "{hot} {at}: {:?}", outcome.work);
            assert!(says(&outcome.notes, begins), "{hot} {at}: {:?}", outcome.notes);
        }
    }
}

#[test]
fn where_dust_burns_stop_begins_lower_or_when_it_rises() {
    let changed = |dust: &[(&'static str, &'static str)], now, before| {
        let given = [("left", now), ("right", "40"), ("left_before", before)];
        band(&[&given, dust].concat()).0
    };
    // Nobody has said: it counts as dust that burns.
    for dust in [&[("dust_burns", "yes")][..], &[]] {
        assert_eq!(changed(dust, "92.9", "90"), "watch");
        assert_eq!(changed(dust, "93", "90"), "stop");
        assert_eq!(changed(dust, "130", "128"), "stop");
        // Published: a change of more than 28 C, at any level.
        assert_eq!(changed(dust, "60", "32.1"), "usual");
        assert_eq!(changed(dust, "60", "32"), "stop");
        // What has cooled down is not rising.
        assert_eq!(changed(dust, "50", "80"), "usual");
    }
    // Neither hot nor different: yet the first line does not say that all is well.
    let alike = [("left", "60"), ("right", "60"), ("left_before", "30"), ("dust_burns", "yes")];
    let (_, outcome) = self::band(&alike);
    assert_eq!(tells(&outcome, "bearings"), Some("normal"));
    assert!(says(std::slice::from_ref(&outcome.says), "it has come to "), "{:?}", outcome.says);
    let no = &[("dust_burns", "no")];
    assert_eq!(changed(no, "93", "90"), "report");
    assert_eq!(changed(no, "130", "90"), "call");
    let (band, outcome) =
        band(&[("left", "60"), ("right", "40"), ("left_before", "25"), ("dust_burns", "no")]);
    assert_eq!(band, "usual");
    assert!(says(&outcome.work[..1], "tell the supervisor today"), "{:?}", outcome.work);
    // That it was taken as burning is said, but not of what was said.
    let taken = |dust: &[(&'static str, &'static str)]| {
        let outcome = self::band(&[&[("left", "95"), ("right", "40")], dust].concat()).1;
        says(&outcome.notes, "Nobody has said whether dust that burns lies here")
    };
    assert!(taken(&[]) && !taken(&[("dust_burns", "yes")]) && !taken(no));
}

#[test]
fn a_reading_that_may_have_come_further_is_said() {
    let notes = |left, dust| {
        let given = [("left", left), ("right", "40"), ("dust_burns", dust)];
        let notes = work(&GAUGE, "infrared", &given, &[]).unwrap().notes;
        let mut texts = notes.iter().flat_map(|words| &words.0).filter_map(|piece| match piece {
            Piece::Text(text) => Some(text.as_ref()),
            _ => None,
        });
        texts.find(|text| text.contains("may have come further"))?;
        texts.next().map(str::to_owned)
    };
    // 3 C off either way.
    assert_eq!(notes("119", "no").as_deref(), Some("call"));
    assert_eq!(notes("117", "no"), None);
    assert_eq!(notes("91", "yes").as_deref(), Some("stop"));
}

#[test]
fn the_rule_book_has_the_same_marks_and_the_same_first_words() {
    let book = load::default_book().unwrap();
    let setting = Setting::default();
    let caution = |id: &str| book.cautions.values().find(|caution| caution.id == id).unwrap();
    let look =
        &book.symptoms.values().find(|symptom| symptom.id == "bearing-heat").unwrap().how_to_look;
    let hot = &caution("hot-bearing").text;
    for (limit, word) in [
        ("bearing-watch", "watch"),
        ("bearing-report", "report"),
        ("bearing-call", "call"),
        ("bearing-stop", "stop"),
        ("bearing-stop-dust", "stop"),
    ] {
        let mark =
            format!("{:.0} C", setting.limit(limit_named(limit).unwrap()).size.si() - 273.15);
        for text in [look, hot] {
            let from = text.find(&mark).unwrap_or_else(|| panic!("{mark} in {text}"));
            assert!(text[from..].contains(word), "{word} behind {mark} in {text}");
        }
    }
    let rise = format!("{:.0} C", setting.limit(limit_named("bearing-change").unwrap()).size.si());
    assert!(hot.contains(&format!("risen by {rise}")), "{hot}");
    assert!(look.contains(GLOW_OR_SMOKE));
    assert!(caution("hot-surfaces").text.contains(GLOW_OR_SMOKE));
    assert!(GAUGE.ways[0].how.contains(&GLOW_OR_SMOKE));
    // Wherever the book says what comes first, it says it in the same words.
    let rules = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("rules");
    let mut told = 0;
    for folder in ["", "symptoms", "fixes"] {
        for file in std::fs::read_dir(rules.join(folder)).unwrap() {
            let path = file.unwrap().path();
            if path.extension().is_none_or(|extension| extension != "ron") {
                continue;
            }
            let text = std::fs::read_to_string(path).unwrap();
            for (place, _) in text.match_indices("Glow or smoke") {
                let begins = "Glow or smoke: raise the alarm first.";
                let line = text[place..].lines().next().unwrap();
                assert!(line.starts_with(begins), "{line}");
                told += 1;
            }
        }
    }
    assert!(told >= 10, "{told}");
}

#[test]
fn a_change_counts_at_any_level() {
    // Published: more than 28 C, at any level.
    let given = [
        ("left", "60"),
        ("right", "60"),
        ("left_before", "25"),
        ("right_before", "40"),
        ("ambient", "20"),
    ];
    let outcome = work(&GAUGE, "infrared", &given, &[]).unwrap();
    assert_eq!(figure(&outcome, "left-change").verdict, Verdict::Beyond);
    assert_eq!(figure(&outcome, "right-change").verdict, Verdict::Within);
    assert!((figure(&outcome, "left-rise").size.si() - 40.0).abs() < 1e-9);
    assert_eq!(outcome.verdict, Verdict::Beyond);
}

#[test]
fn grease_and_cold_spots_are_said() {
    let outcome =
        work(&GAUGE, "infrared", &[("left", "60"), ("right", "42"), ("greased", "yes")], &[])
            .unwrap();
    assert!(says(&outcome.notes, "after greasing is normal"));
    let outcome =
        work(&GAUGE, "infrared", &[("left", "10"), ("right", "12"), ("ambient", "25")], &[])
            .unwrap();
    assert!(says(&outcome.notes, "colder than the air"));
}

#[test]
fn impossible_readings_are_refused_by_name() {
    let refused = |pairs: &[(&str, &str)]| {
        work(&GAUGE, "infrared", pairs, &[])
            .unwrap_err()
            .key
            .map(straybelt::gauge::ReadingKey::as_str)
    };
    assert_eq!(refused(&[("left", "1200"), ("right", "40")]), Some("left"));
    assert_eq!(refused(&[("left", "40"), ("right", "-90")]), Some("right"));
    assert_eq!(refused(&[("left", "40")]), Some("right"));
    assert_eq!(refused(&[("left", "40"), ("right", "40"), ("ambient", "900")]), Some("ambient"));
}

proptest! {
    #[test]
    fn left_and_right_are_mirror_images(left in 10.0..200.0_f64, right in 10.0..200.0_f64) {
        let of = |left: f64, right: f64| {
            let mut given = readings(&GAUGE, "infrared", &[], &[]);
            for (key, celsius) in [("left", left), ("right", right)] {
                given.single.insert(support::key(key), Given::Quantity(Quantity::of(Kind::Temperature, celsius + 273.15)));
            }
            (GAUGE.work)(&given, &Setting::default()).unwrap()
        };
        let mirrored = |words: &Words| {
            Words(words.0.iter().map(|piece| match piece {
                Piece::Side(Side::Left) => Piece::Side(Side::Right),
                Piece::Side(Side::Right) => Piece::Side(Side::Left),
                other => other.clone(),
            }).collect())
        };
        let (one, other) = (of(left, right), of(right, left));
        prop_assert_eq!(tells(&one, "bearings"), tells(&other, "bearings"));
        prop_assert_eq!(mirrored(&one.says), other.says);
        prop_assert_eq!(one.verdict, other.verdict);
        prop_assert_eq!(one.work.iter().map(mirrored).collect::<Vec<_>>(), other.work);
    }

    #[test]
    fn hotter_is_never_judged_better(left in 10.0..200.0_f64, right in 10.0..200.0_f64, more in 0.0..60.0_f64) {
        let of = |left: f64, right: f64| {
            let mut given = readings(&GAUGE, "infrared", &[("error", "0")], &[]);
            for (key, celsius) in [("left", left), ("right", right)] {
                given.single.insert(support::key(key), Given::Quantity(Quantity::of(Kind::Temperature, celsius + 273.15)));
            }
            (GAUGE.work)(&given, &Setting::default()).unwrap()
        };
        let (cool, hot) = (of(left, right), of(left + more, right + more));
        // Both hotter by as much: never from hot back to normal.
        if tells(&cool, "bearings") != Some("normal") {
            prop_assert_ne!(tells(&hot, "bearings"), Some("normal"));
        }
    }

    #[test]
    fn nothing_given_makes_it_panic(left in any_size(), right in any_size(), air in any_size(), error in any_size()) {
        let mut given = readings(&GAUGE, "infrared", &[], &[]);
        for (key, size) in [("left", left), ("right", right), ("ambient", air)] {
            given.single.insert(support::key(key), Given::Quantity(Quantity::of(Kind::Temperature, size)));
        }
        given.single.insert(support::key("error"), Given::Quantity(Quantity::of(Kind::Rise, error)));
        if let Ok(outcome) = (GAUGE.work)(&given, &Setting::default()) {
            prop_assert!(outcome.figures.iter().all(|figure| figure.size.si().is_finite()));
        }
    }
}
