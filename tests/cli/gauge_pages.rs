//! The pages of gauges, as they are printed for given readings, and the same as JSON.

use std::process::Command;

use serde_json::Value;

/// What is measured: the gauge and its flags.
const MEASURED: [&str; 12] = [
    "line --by diagonals --along 4m --toward head --out 3m --left-slant 4.997m --right-slant 5.003m",
    "line --by triangles --along 1.2m --toward tail --left-out 0.9m --left-slant 1.5m",
    "level --by spirit --base 500mm --left-packing 1.2mm --right-packing 0 --left-turned 0.8mm \
     --right-turned 0 --bearings 1150mm",
    "level --by water --left 104mm --right 103.6mm --across 1m --bigger lower",
    "snub --from pulley --left 806mm --right 800mm --across 1m --bearings 1.15m",
    "roll --by caliper --clean 108mm --csv examples/ostrel-quay/readings/oq-04-rolls.csv",
    "runout --hub tight --csv examples/ostrel-quay/readings/oq-04-tail-dial.csv",
    "height --bigger lower --csv examples/ostrel-quay/readings/oq-04-heights.csv",
    "bow --edge left --width 800mm --csv examples/ostrel-quay/readings/oq-04-bow.csv",
    "slip --by timed --diameter 500mm --thickness 10mm --turns 60 --turns-time 60s --passed 90m \
     --passed-time 60s --when loaded",
    "slip --by speeds --pulley-speed 2m/s --belt-speed 1.97m/s --when start",
    "weight --weight 1200kg --carriage-parts 2 --own-weight 300kg --slope 6deg --drawn 1000kg --needed 8kN",
];

fn said(words: &str, more: &[&str]) -> (i32, String) {
    let state = tempfile::tempdir().unwrap();
    let mut command = Command::new(env!("CARGO_BIN_EXE_straybelt"));
    command.arg("gauge").args(words.split_whitespace()).args(more);
    command.current_dir(env!("CARGO_MANIFEST_DIR")).env("COLUMNS", "40");
    let ended = command.env("STRAYBELT_STATE", state.path()).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (ended.status.code().unwrap(), text(ended.stdout) + &text(ended.stderr))
}

#[test]
fn the_page_of_each_newer_gauge() {
    let pages = MEASURED.map(|words| {
        let (code, page) = said(words, &[]);
        assert_eq!(code, 0, "{words}: {page}");
        format!("$ straybelt gauge {words}\n{page}\n")
    });
    insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
        insta::assert_snapshot!("newer-gauges-40", pages.concat());
    });
}

#[test]
fn the_same_as_json_names_each_limit_with_its_source() {
    for words in MEASURED {
        let (code, text) = said(words, &["--format", "json"]);
        assert_eq!(code, 0, "{words}: {text}");
        let document: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(document["gauge"], words.split(' ').next().unwrap());
        let figures = document["figures"].as_array().unwrap();
        assert!(!figures.is_empty(), "{words}");
        let limits = figures.iter().filter(|figure| !figure["limit"].is_null());
        assert!(limits.clone().count() > 0, "{words}");
        for figure in limits {
            let mark = figure["limit"]["mark"].to_string() + &figure["limit"]["source"].to_string();
            assert!(mark.len() > 8, "{words}: {figure:#}");
        }
    }
}

#[test]
fn what_is_wrong_is_named_with_its_flag() {
    for (words, part) in [
        ("bow --edge up --csv -", "--edge"),
        ("line --by diagonals --along 4m --toward sideways", "--toward"),
        ("level --by spirit --base 0", "--base"),
        ("snub --from pulley --left 800mm --right -3mm", "--right"),
        ("roll --by caliper --clean heavy", "--clean"),
        ("slip --by speeds --pulley-speed 2kg", "--pulley-speed"),
        ("weight --weight 10m", "--weight"),
        ("weight --weight 10kN --carriage-parts 1.5", "--carriage-parts"),
    ] {
        let (code, text) = said(words, &[]);
        assert_eq!(code, 2, "{words}: {text}");
        assert!(text.contains(part), "{words}: {text}");
    }
}
