//! Gauges and conveyor files as their users run them: by flags, from a table, by typed lines.

use serde_json::Value;

use super::program::{Site, on_one_line, text};

/// What it writes as JSON.
fn json(site: &Site, args: &[&str]) -> Value {
    let output = site.run(&[args, &["--format", "json"]].concat());
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    serde_json::from_slice(&output.stdout).unwrap()
}

const HALF_INCH: [&str; 16] = [
    "gauge",
    "side-load",
    "--side",
    "left",
    "--moved",
    "1/2 in",
    "--load",
    "700 lb",
    "--width",
    "24 in",
    "--bearing-centres",
    "30 in",
    "--centres",
    "30 ft",
    "--modulus",
    "15000 lbf/in",
];

#[test]
fn half_an_inch_on_one_screw_by_flags() {
    // The common-practice case of 700 to about 1,100 lb; 1,093.7 and 806.3 lb are derived, no source.
    let document = json(&Site::new(), &HALF_INCH);
    let figures = document["figures"].as_array().unwrap();
    let pound = 4.448_221_615_260_5;
    for pounds in [1093.7, 806.3] {
        let near = figures
            .iter()
            .filter(|figure| figure["unit"] == "N")
            .any(|figure| (figure["size"].as_f64().unwrap() / pound - pounds).abs() < 0.06);
        assert!(near, "{pounds} in {document:#}");
    }
    assert_eq!(document["gauge"], "side-load");
    assert!(document["notes"].as_array().unwrap().len() > 3, "the limits of the model are told");
}

#[test]
fn units_named_once_do_not_hold_for_the_next_measurement() {
    let site = Site::new();
    let first = text(&site.run(&[&HALF_INCH[..], &["--units", "inch"]].concat()));
    assert!(first.contains("1094 lb"), "{first}");
    let again = text(&site.run(&HALF_INCH));
    assert!(again.contains("3114 N") && !again.contains("1094 lb"), "{again}");
}

#[test]
fn what_is_missing_or_wrong_is_named_with_its_flag() {
    let site = Site::new();
    let missing = site.refused(&HALF_INCH[..6]);
    assert!(missing.contains("this reading is missing") && missing.contains("--load"), "{missing}");
    let unread = site.refused(&["gauge", "side-load", "--moved", "12 parsec", "--side", "left"]);
    assert!(unread.contains("--moved \"12 parsec\": the unit \"parsec\""), "{unread}");
    let negative = site.refused(&["gauge", "side-load", "--width", "-24 in"]);
    assert!(negative.contains("--width \"-24 in\": it must be more than nothing"), "{negative}");
    let unknown = site.run(&["gauge", "side-load", "--wdith", "1"]);
    assert_eq!(unknown.status.code(), Some(2));
}

#[test]
fn a_fault_in_a_table_is_named_with_file_line_and_column() {
    let site = Site::new();
    let file = site.path("frame.csv");
    std::fs::write(&file, "station,gap\n0,50\n3,fifty\n6,50\n").unwrap();
    let wrong =
        site.refused(&["gauge", "frame", "--by", "string", "--line", "left", "--csv", &file]);
    assert!(wrong.contains(&format!("{file}: line 3, column gap: \"fifty\"")), "{wrong}");
    std::fs::write(&file, "station,gap\n0,50\n3,50\n3,50\n6,50\n").unwrap();
    let twice =
        site.refused(&["gauge", "frame", "--by", "string", "--line", "left", "--csv", &file]);
    assert!(twice.contains("station 3"), "{twice}");
    let none = site.refused(&["gauge", "frame", "--by", "string", "--csv", "no-such.csv"]);
    assert!(none.contains("no-such.csv cannot be read"), "{none}");
}

#[test]
fn the_shipped_readings_are_worked_out() {
    let site = Site::new();
    let readings = "examples/ostrel-quay/readings";
    let conveyor = ["--conveyor", "examples/ostrel-quay/conveyors/OQ-04.ron"];
    let with = |args: &[&str], file: &str| {
        let file = format!("{readings}/{file}");
        json(&site, &[&["gauge"], args, &["--csv", &file], &conveyor].concat())
    };
    let frame = with(&["frame", "--by", "string", "--line", "left"], "oq-04-frame.csv");
    assert_eq!(frame["symptoms"]["frame-string"], "bowed");
    assert_eq!(frame["work"].as_array().unwrap().len(), 3, "stands at 15, 18 and 21 m");
    let edges = with(&["spread"], "oq-07-edges.csv");
    assert_eq!(edges["symptoms"]["first-split"], serde_json::json!(["one-place"]));
    let trace = with(&["trace"], "oq-04-trace.csv");
    assert_eq!(trace["tells"]["moves"], "belt-sway");
}

#[test]
fn typed_lines_make_a_measurement_and_a_slip_is_asked_again() {
    let site = Site::new();
    let typed = "2\n120\nabout 130\n132\nmore\n\n\n\n\n\n\n\n";
    let conveyor = "examples/ostrel-quay/conveyors/OQ-04.ron";
    let output = site.typed(&["gauge", "takeup", "--conveyor", conveyor, "--plain"], typed);
    let seen = text(&output);
    assert_eq!(output.status.code(), Some(0), "{seen}");
    assert!(seen.contains("No number is found at \"about 130\""), "{seen}");
    assert!(seen.contains("WALKWAY bearing stands 12 mm nearer"), "{seen}");
    let cut = site.typed(&["gauge", "takeup", "--plain"], "2\n120\n");
    assert_eq!(cut.status.code(), Some(2));
    assert!(text(&cut).contains("nothing is worked out"));
}

#[test]
fn a_conveyor_file_is_written_once_and_reads_back() {
    let site = Site::new();
    let file = site.path("oq-30.ron");
    // Name, six facts, the parts, bearings, lagging, dust, sides, units, sizes at hand, centres, speed, belt width; the rest left out.
    let typed = format!(
        "OQ-30\n1\n\n1\nno\n2\n1\n5 ?7\n1\n2\n2\nwalkway\nwall\n1\ny\n38\n1.25\n31 1/2 in\n{}",
        "\n".repeat(40)
    );
    let typed = typed.replace("\nno\n", "\n2\n");
    let output = site.typed(&["conveyor", "new", &file, "--plain"], &typed);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output));
    let shown = json(&site, &["conveyor", "show", &file]);
    assert_eq!(shown["name"], "OQ-30");
    assert_eq!(shown["dimensions"]["centres"]["size"], 38.0);
    let facts = &shown["facts"];
    assert_eq!((&facts["impact_bed"], &facts["tripper"]), (&"yes".into(), &"no".into()));
    assert!(facts.get("belt_scale").is_none(), "nobody could tell: {facts}");
    assert_eq!((&shown["lagging"], &shown["dust_burns"]), (&"lagged".into(), &"no".into()));
    let width = shown["dimensions"]["belt.width"]["size"].as_f64().unwrap();
    assert!((width - 0.8001).abs() < 1e-9, "{shown:#}");
    let checked = site.run(&["conveyor", "check", &file]);
    assert_eq!(checked.status.code(), Some(0), "{}", text(&checked));
    let before = std::fs::read(&file).unwrap();
    let again = site.refused(&["conveyor", "new", &file, "--plain"]);
    assert!(again.contains("is there already"), "{again}");
    assert_eq!(std::fs::read(&file).unwrap(), before);
}

#[test]
fn sizes_that_cannot_be_are_errors_with_their_place() {
    let site = Site::new();
    let file = site.path("wrong.ron");
    for (wrong, says) in [
        ("(belt: (width: \"1200 mm\"), tail: (face: \"950 mm\"))", "wrong.ron:1:16"),
        ("(belt: (width: \"-800 mm\"))", "out of reason"),
        ("(belt: (wdith: \"800 mm\"))", "did you mean `width`?"),
        ("(speed: \"fast\")", "no number"),
        ("(limits: (\"frame-strait\": \"3 mm\"))", "wrong.ron"),
        ("(limits: {\"frame-strait\": \"3 mm\"})", "no gauge has a limit"),
    ] {
        std::fs::write(&file, wrong).unwrap();
        let output = site.run(&["conveyor", "check", &file]);
        assert_eq!(output.status.code(), Some(1), "{wrong}: {}", text(&output));
        assert!(text(&output).contains(says), "{wrong}: {}", text(&output));
    }
}

#[test]
fn a_limit_of_the_sites_own_stands_in_place_of_the_tools() {
    let site = Site::new();
    let takeup = |extra: &[&str]| {
        let args = [
            "gauge",
            "takeup",
            "--by",
            "thread",
            "--left",
            "120",
            "--right",
            "123",
            "--tightening",
            "more",
        ];
        json(&site, &[&args[..], extra].concat())
    };
    let usual = takeup(&["--bearing-centres", "1150"]);
    let limit =
        usual["figures"].as_array().unwrap().iter().find(|figure| !figure["limit"].is_null());
    let id = limit.unwrap()["limit"]["id"].as_str().unwrap().to_owned();
    assert_eq!(usual["verdict"], "beyond");
    let file = site.path("own.ron");
    std::fs::write(&file, format!("(limits: {{\"{id}\": \"10 mm\"}})")).unwrap();
    let own = takeup(&["--bearing-centres", "1150", "--conveyor", &file]);
    assert_eq!(own["verdict"], "within");
    assert!(own.to_string().contains("set by this site"));
}

#[test]
fn a_limit_of_the_sites_own_holds_by_its_old_name_and_the_new_one_is_named() {
    let site = Site::new();
    let file = site.path("own.ron");
    for (old, new, reads, band) in [
        ("bearing-caution", "bearing-watch", "65", "watch"),
        ("bearing-alert", "bearing-report", "65", "report"),
        ("bearing-alarm", "bearing-call", "65", "call"),
        ("bearing-shutdown", "bearing-stop", "65", "stop"),
    ] {
        let own = |name: &str| format!("(dust_burns: \"no\", limits: {{\"{name}\": \"60 C\"}})");
        let heat = ["gauge", "heat", "--left", reads, "--right", reads, "--conveyor", &file];
        std::fs::write(&file, own(new)).unwrap();
        let by_new = json(&site, &heat);
        assert_eq!(by_new["tells"]["band"], band, "{new}");
        std::fs::write(&file, own(old)).unwrap();
        assert_eq!(json(&site, &heat), by_new, "{old}");
        let said = text(&site.run(&heat));
        assert!(said.contains(&format!("write `{new}`")), "{said}");
        let checked = text(&site.run(&["conveyor", "check", &file]));
        let checked = checked.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(checked.contains(&format!("the limit `{old}` is called `{new}` now")), "{checked}");
        // Both names at once are two limits for one thing: which one would hold, nobody could say.
        let both = format!("(limits: {{\"{old}\": \"60 C\", \"{new}\": \"90 C\"}})");
        std::fs::write(&file, both).unwrap();
        assert!(site.refused(&heat).contains("stands here too"), "{old}");
    }
}

#[test]
fn whether_dust_burns_is_known_from_the_file_and_not_asked_again() {
    let site = Site::new();
    let file = site.path("dust.ron");
    let ask = "Does dust that burns lie here";
    for (fact, typed, band) in [
        ("dust_burns: \"no\"", "100\n100\n\n\n\n\n\n", "Report: tell the supervisor today"),
        ("dust_burns: \"yes\"", "100\n100\n\n\n\n\n\n", "Stop: have the conveyor stopped now"),
        ("", "100\n100\n\n\n\n\n\n\n", "Stop: have the conveyor stopped now"),
        ("", "100\n100\n\n\n\nno\n\n\n", "Report: tell the supervisor today"),
    ] {
        std::fs::write(&file, format!("({fact})")).unwrap();
        let output = site.typed(&["gauge", "heat", "--conveyor", &file, "--plain"], typed);
        let seen = text(&output);
        assert_eq!(output.status.code(), Some(0), "{seen}");
        assert!(seen.contains(band), "{fact}: {seen}");
        let known = seen.find("From the conveyor's file").is_some();
        assert_eq!((known, seen.contains(ask)), (!fact.is_empty(), true), "{seen}");
    }
}

#[test]
fn what_a_gauge_had_to_ask_for_is_kept_if_that_is_wished() {
    let site = Site::new();
    let file = site.path("oq-31.ron");
    let before = "// the hired one\n(name: \"OQ-31\", belt: (width: \"800 mm\"))\n";
    for (keep, kept) in [("n", false), ("y", true)] {
        std::fs::write(&file, before).unwrap();
        let typed = format!("2\n120\n132\nmore\n\n\n1150\n\n\n\n\n\n\n{keep}\n");
        let output = site.typed(&["gauge", "takeup", "--conveyor", &file, "--plain"], &typed);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output));
        let after = std::fs::read_to_string(&file).unwrap();
        assert_eq!(after != before, kept, "{after}");
        assert!(after.contains("// the hired one"));
        let shown = json(&site, &["conveyor", "show", &file]);
        let centres = shown["dimensions"]["tail.bearing_centres"]["size"].as_f64();
        assert_eq!(centres.is_some_and(|size| (size - 1.15).abs() < 1e-9), kept, "{shown:#}");
    }
}

/// What a site's own rule folder sets: a stand 3.5 mm off the line is let pass at 4 mm, and a tape that is off by 1 mm.
#[test]
fn a_sites_rule_folder_sets_limits_and_reading_errors() {
    let site = Site::new();
    let rules = ["--rules", "examples/ostrel-quay/rules"];
    let table = site.path("frame.csv");
    let stands = "station,gap\n0,50\n3,50\n6,53.5\n9,50\n12,50\n15,50\n18,50\n";
    std::fs::write(&table, stands).unwrap();
    let frame =
        ["gauge", "frame", "--by", "string", "--line", "left", "--of", "stands", "--csv", &table];
    let station = |document: &Value| {
        let figures = document["figures"].as_array().unwrap();
        let found = figures.iter().find(|figure| figure["limit"]["id"] == "frame-station");
        found.unwrap_or_else(|| panic!("{document:#}")).clone()
    };
    let usual = station(&json(&site, &frame));
    let own = station(&json(&site, &[&frame[..], &rules].concat()));
    assert_eq!((&usual["limit"]["size"], &own["limit"]["size"]), (&0.003.into(), &0.004.into()));
    assert_ne!(usual["verdict"], own["verdict"]);
    assert_eq!(own["limit"]["mark"]["kind"], "site-rules");
    assert_eq!(own["limit"]["mark"]["rests"], "common-practice");
    let page = text(&site.run(&[&frame[..], &rules].concat()));
    assert!(on_one_line(&page).contains("set by this site's rules: common practice"), "{page}");
    // A single conveyor's own file goes before its site.
    let file = site.path("own.ron");
    std::fs::write(&file, "(limits: {\"frame-station\": \"5 mm\"})").unwrap();
    let nearer = json(&site, &[&frame[..], &rules, &["--conveyor", &file]].concat());
    assert_eq!(station(&nearer)["limit"]["size"], 0.005);
    // The errors of readings: of two readings by tape, so root 2 times 1 mm instead of half of it.
    let snub = ["gauge", "snub", "--from", "pulley", "--left", "806", "--right", "800"];
    let snub = [&snub[..], &["--across", "1 m", "--line-error", "0"]].concat();
    let off = |document: &Value| document["figures"][0]["error"].as_f64().unwrap();
    let by_rules = json(&site, &[&snub[..], &rules].concat());
    assert!((off(&json(&site, &snub)) - 2.0_f64.sqrt() * 0.000_5).abs() < 1e-9);
    assert!((off(&by_rules) - 2.0_f64.sqrt() * 0.001).abs() < 1e-9);
    let tape = by_rules["reading_errors"].as_array().unwrap().iter().find(|e| e["id"] == "tape");
    assert_eq!(tape.unwrap()["mark"]["kind"], "site-rules");
    let typed = "pulley\n806\n800\n1000\n\n\n\n";
    let seen = text(&site.typed(&[&["gauge", "snub", "--plain"], &rules[..]].concat(), typed));
    let seen = on_one_line(&seen);
    assert!(seen.contains("taken as 1 mm, set by this site: steel tape"), "{seen}");
    assert!(seen.contains("One reading may be off 1 mm (steel tape"), "{seen}");
}

#[test]
fn a_sites_sizes_hold_where_its_folder_is_found_and_diff_tells_of_them() {
    let site = Site::new();
    let rules = "examples/ostrel-quay/rules";
    let args = ["gauge", "snub", "--from", "pulley", "--left", "806", "--right", "800"];
    let args = [&args[..], &["--across", "1 m", "--line-error", "0", "--format", "json"]].concat();
    let output = site.command(&args).env("STRAYBELT_RULES", rules).output().unwrap();
    let found: Value = serde_json::from_slice(&output.stdout).unwrap();
    let named = json(&site, &[&args[..args.len() - 2], &["--rules", rules]].concat());
    assert_eq!(found, named);
    let diff = on_one_line(&site.done(&["rules", "diff", rules]));
    assert!(diff.contains("limit how far one stand may lie off the line of all"), "{diff}");
    assert!(diff.contains("size: before: 3 mm -> now: 4 mm"), "{diff}");
    assert!(diff.contains("gauges/ostrel-quay.ron:6:"), "{diff}");
}

/// 806, 807 and 805 on one line: their mean, and the error from their spread. By hand: nine readings about three means
/// leave squares of 4 mm² with 6 freedoms; Student's 2.447 makes 1.153 mm of a mean of three, root 2 times that of a difference.
#[test]
fn several_readings_of_one_thing_stand_on_one_line() {
    let site = Site::new();
    let typed = "pulley\n806; 807; 805\n800; 801\n800; 801; 799\n1000; 1000; 1000\n\n0\n\n";
    let output = site.typed(&["gauge", "snub", "--plain"], typed);
    let seen = on_one_line(&text(&output));
    assert_eq!(output.status.code(), Some(0), "{seen}");
    assert!(seen.contains("Each is read 3 times here"), "{seen}");
    assert!(seen.contains("6.0 mm, give or take"), "{seen}");
    let once =
        site.typed(&["gauge", "snub", "--plain"], "pulley\n806\n800; 801\n800\n1000\n\n\n\n");
    let seen = on_one_line(&text(&once));
    assert_eq!(once.status.code(), Some(0), "{seen}");
    assert!(seen.contains("taken once: one number here too"), "{seen}");
    let by_flags = ["gauge", "snub", "--repeat", "3", "--from", "pulley", "--line-error", "0"];
    let pairs = [("--left", ["806", "807", "805"]), ("--right", ["800", "801", "799"])];
    let pairs = pairs.iter().flat_map(|(flag, sizes)| sizes.iter().flat_map(move |s| [*flag, *s]));
    let across = ["--across", "1 m", "--across", "1 m", "--across", "1 m"];
    let all: Vec<&str> = by_flags.iter().copied().chain(pairs).chain(across).collect();
    let error = json(&site, &all)["figures"][0]["error"].as_f64().unwrap();
    assert!((error - 0.001_631).abs() < 1e-6, "{error}");
    let off = format!("6.0 mm, give or take {:.1} mm", error * 1000.0);
    assert!(on_one_line(&text(&output)).contains(&off), "{off} not in {}", text(&output));
}

#[test]
fn places_come_back_in_the_unit_that_they_were_given_in() {
    let site = Site::new();
    let table = site.path("frame.csv");
    let stands = "station [ft],gap [mm]\n0,50\n10,50\n20,58\n30,50\n40,50\n50,50\n60,50\n";
    std::fs::write(&table, stands).unwrap();
    let frame =
        ["gauge", "frame", "--by", "string", "--line", "left", "--of", "stands", "--csv", &table];
    let page = on_one_line(&site.done(&frame));
    assert!(page.contains("20 ft"), "{page}");
    assert!(!page.contains("6.1 m") && !page.contains("6.096"), "{page}");
}

/// Help, a wrong unit and one line back at the prompts of the two gauges that answer no question of a visit.
#[test]
fn the_forms_of_line_and_weight_take_back_slips_and_help() {
    let site = Site::new();
    for (args, typed, says) in [
        (
            &["gauge", "line", "--by", "diagonals", "--plain"][..],
            "?\n4 parsec\n4.1 m\n<\n4 m\nhead\n3 m\n4.995 m\n5.005 m\n\n",
            "its LEFT end is nearer the head",
        ),
        (
            &["gauge", "weight", "--plain"],
            "?\n4 parsec\n1100 kg\n<\n1200 kg\n2\n\n\n\n1000 kg\n\n\n\n\n\n",
            "have 1961 N (200 kg) taken off",
        ),
    ] {
        let output = site.typed(args, typed);
        let seen = on_one_line(&text(&output));
        assert_eq!(output.status.code(), Some(0), "{seen}");
        assert!(seen.contains("How sizes are written, at every gauge"), "{seen}");
        assert!(seen.contains("The unit \"parsec\" is not understood here"), "{seen}");
        let (_, result) = seen.split_once("--- Result").unwrap();
        assert!(!result.contains("4.1 m") && !result.contains("1100 kg"), "{result}");
        assert!(result.contains(says), "{result}");
    }
}
