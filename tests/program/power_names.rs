//! A name of a scenario claims no power that nobody named or recorded, and a candidate near the ground is in no headline.

use crate::run::Place;
use serde_json::Value;

/// Positions alone: no marks, no engine speed, no engine noise.
const LAKE: &str = "demo-tracks/lake-evening.csv";
const LAKE_MARKS: &str = "demo-tracks/lake-evening.marks.csv";
/// Names that claim a power.
const CLAIMS: [&str; 2] = ["full-power climb", "power-off glide"];
const FLIGHT: &str = "setup = \"bare\"\nwing = \"fenlark\"\n";
const CAMPAIGN: &str = "title = \"x\"\n[power_units.tarn]\nname = \"Tarn\"\nreduction_ratio = 2.87\npropeller = \"clockwise\"\n\
                        [wings.fenlark]\nname = \"Fenlark\"\n[setups.bare]\nname = \"bare\"\npower_unit = \"tarn\"\n";

fn document(place: &Place, arguments: &[&str], code: i32) -> Value {
    let ran = place.run(arguments).expect_code(code);
    serde_json::from_str(&ran.stdout).unwrap_or_else(|error| panic!("{error}: {}", ran.stderr))
}

/// What people read of a log: everything but the machine's values.
fn read_by_people(place: &Place, arguments: &[&str]) -> Vec<(&'static str, String)> {
    let exported: Vec<&str> = arguments.iter().copied().chain(["--export-gpx", "air.gpx"]).collect();
    place.run(&exported).expect_code(0);
    ["text", "html"]
        .into_iter()
        .map(|format| {
            let all: Vec<&str> = arguments.iter().copied().chain(["--format", format, "-o", "-"]).collect();
            (format, place.run(&all).expect_code(0).stdout.to_lowercase())
        })
        .chain([("gpx", place.read("air.gpx").to_lowercase())])
        .chain([("first screen", place.run(arguments).expect_code(0).stdout.to_lowercase())])
        .collect()
}

#[test]
fn a_log_of_positions_alone_claims_no_power_wherever_a_person_reads() {
    let place = Place::new();
    for (format, words) in read_by_people(&place, &["report", LAKE]) {
        for claim in CLAIMS {
            assert!(!words.contains(claim), "{format} says {claim}: {words}");
        }
        if format != "gpx" {
            assert!(["power not recorded", "(power?)"].iter().any(|w| words.contains(w)), "{format}: {words}");
        }
    }
    let report = document(&place, &["report", LAKE, "--format", "json"], 0);
    let windows = report["windows"].as_array().expect("windows");
    assert!(windows.iter().any(|window| window["scenario"] == "trim-level"), "the values stay: {windows:#?}");
    assert!(windows.iter().all(|window| window["power_source"].is_null() && window["scenario_basis"] == "climb-only"));
    assert!(report["combined"].as_array().expect("set-ups").iter().all(|of| of["power_source"].is_null()));
    let rows = place.run(&["report", LAKE, "--format", "csv"]).expect_code(0).stdout;
    let head: Vec<&str> = rows.lines().next().expect("a head").split(',').collect();
    assert!(head.contains(&"power_source"), "{head:?}");
}

#[test]
fn what_the_marks_name_is_called_by_its_name() {
    let place = Place::new();
    for (format, words) in read_by_people(&place, &["report", LAKE, "--marks", LAKE_MARKS]) {
        assert!(["power not recorded", "(power?)"].iter().all(|w| !words.contains(w)), "{format}: {words}");
        if format != "gpx" {
            assert!(words.contains("trim level"), "{format}: {words}");
        }
    }
    let report = document(&place, &["report", LAKE, "--marks", LAKE_MARKS, "--format", "json"], 0);
    assert!(report["windows"].as_array().expect("windows").iter().all(|window| window["power_source"] == "marks"));
}

#[test]
fn a_campaign_says_where_nobody_recorded_the_power_unless_its_file_names_it() {
    let place = Place::new();
    let flight = format!("[[flights]]\nlog = \"{LAKE}\"\ntake_candidates = true\n{FLIGHT}");
    place.with("open.toml", format!("{CAMPAIGN}{flight}"));
    place.with("named.toml", format!("{CAMPAIGN}{flight}scenario = \"trim-level\"\n"));
    for (format, words) in read_campaign(&place, "open.toml") {
        // What is to be flown next, and what is said of glides in general, names the power on purpose.
        for claimed in CLAIMS.into_iter().flat_map(|name| [format!("in {name}"), format!(">{name}<")]) {
            assert!(!words.contains(&claimed), "{format} says {claimed}");
        }
        assert!(words.contains("power not recorded") || words.contains("(power?)"), "{format}: {words}");
    }
    let open = document(&place, &["compare", "open.toml", "--format", "json"], 0);
    assert!(open["alerts"].to_string().contains("power-not-recorded"), "{}", open["alerts"]);
    for cell in open["cells"].as_array().expect("cells") {
        assert_eq!(cell["power_not_recorded_runs"], cell["runs"]);
        assert!(cell["run_list"].as_array().expect("runs").iter().all(|run| run["power_source"].is_null()));
    }
    let named = document(&place, &["compare", "named.toml", "--format", "json"], 0);
    assert!(!named["alerts"].to_string().contains("power-not-recorded"), "{}", named["alerts"]);
    let cells = named["cells"].as_array().expect("cells");
    assert_eq!(cells.len(), 1);
    assert_eq!((&cells[0]["power_not_recorded_runs"], &cells[0]["scenario"]), (&0.into(), &"trim-level".into()));
    assert_eq!(cells[0]["run_list"][0]["power_source"], "campaign-file");
    for (format, words) in read_campaign(&place, "named.toml") {
        assert!(!words.contains("power not recorded") && !words.contains("(power?)"), "{format}: {words}");
    }
}

fn read_campaign(place: &Place, file: &str) -> Vec<(&'static str, String)> {
    ["text", "html"]
        .into_iter()
        .map(|format| {
            let ran = place.run(&["compare", file, "--format", format, "-o", "-"]).expect_code(0);
            (format, ran.stdout.to_lowercase())
        })
        .collect()
}

/// The demo morning, flown low: every steady span lies below the height advised. Nobody marked any.
fn flown_low(place: &Place) -> String {
    let scenario =
        place.read("demo-tracks/meadow-light-wind.toml").replacen("[output]\n", "[output]\nmarks_in_log = false\n", 1);
    let (head, _) = scenario.split_once("[[flight]]").expect("legs");
    let legs = [
        "do = \"stand\"\nseconds = 40",
        "do = \"take-off\"\nseconds = 7",
        "do = \"to-height\"\nheight_m = 70\nsetting = \"full-power-climb\"\nrate_deg_s = 3.0",
        "do = \"orbit\"\nturns = 2\ndirection = \"left\"\nrate_deg_s = 9.0\nsetting = \"trim-level\"",
        "do = \"straight\"\nseconds = 15\nsetting = \"trim-level\"",
        "do = \"hands-off\"\nseconds = 60\nsetting = \"trim-level\"",
        "do = \"straight\"\nseconds = 15\nsetting = \"trim-level\"",
        "do = \"hands-off\"\nseconds = 60\nsetting = \"trim-level\"",
        "do = \"straight\"\nseconds = 20\nsetting = \"trim-level\"",
        "do = \"to-height\"\nheight_m = 20\nsetting = \"power-off-glide\"\nrate_deg_s = 3.0",
        "do = \"land\"\nseconds = 8",
        "do = \"stand\"\nseconds = 30",
    ];
    let legs: Vec<String> = legs.iter().map(|leg| format!("[[flight]]\n{leg}\n")).collect();
    place.with("low.toml", head.replace("meadow-light-wind", "low") + &legs.join("\n"));
    place.run(&["simulate", "low.toml"]).expect_code(0);
    "low.gpx".to_owned()
}

#[test]
fn simulated_a_candidate_near_the_ground_is_in_no_headline() {
    let place = Place::new();
    let log = flown_low(&place);
    let report = document(&place, &["report", &log, "--format", "json"], 0);
    let windows = report["windows"].as_array().expect("windows");
    let accepted: Vec<&Value> = windows.iter().filter(|window| window["accepted"] == true).collect();
    assert!(!accepted.is_empty(), "the test needs candidates: {windows:#?}");
    assert!(accepted.iter().all(|window| window["hands_off"] == "candidate"), "{accepted:#?}");
    assert_eq!(report["combined"], Value::Array(Vec::new()));
    let screen = place.run(&["report", &log]).expect_code(0).stdout;
    assert!(screen.contains("No turn rate of a set-up") && screen.contains("near the ground"), "{screen}");
    assert!(!screen.contains("Turns by itself") && !screen.contains(" at "), "{screen}");

    place
        .with("low-campaign.toml", format!("{CAMPAIGN}[[flights]]\nlog = \"{log}\"\ntake_candidates = true\n{FLIGHT}"));
    let compared = document(&place, &["compare", "low-campaign.toml", "--format", "json"], 1);
    assert_eq!(compared["cells"], Value::Array(Vec::new()));
    assert!(compared["unused_runs"].to_string().contains("near the ground"), "{}", compared["unused_runs"]);
}
