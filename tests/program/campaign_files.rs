//! A flight of a campaign may have all the files a single report takes: sensors, a column mapping, marks; or be left out.

use crate::inertial::{IMU, LOG, flown};
use crate::run::Place;
use serde_json::Value;

const HEAD: &str = r#"
title = "One wing"
[power_units.unit]
reduction_ratio = 2.8
propeller = "clockwise"
[wings.wing]
[setups.bare]
power_unit = "unit"
wing = "wing"
"#;

/// A flight block.
fn flight(keys: &str) -> String {
    format!("[[flights]]\nsetup = \"bare\"\n{keys}\n")
}

#[track_caller]
fn compared(place: &Place, flights: &str, code: i32) -> (Value, String) {
    place.with("club.toml", format!("{HEAD}{flights}"));
    let ran = place.run(&["compare", "club.toml", "--format", "json"]).expect_code(code);
    (serde_json::from_str(&ran.stdout).expect("a document"), ran.stderr)
}

/// Name, turn rate and its standard uncertainty of every run.
fn runs(document: &Value) -> Vec<(String, f64, f64)> {
    let cells = document["cells"].as_array().expect("cells");
    let runs = cells.iter().flat_map(|cell| cell["run_list"].as_array().expect("runs"));
    let run = |run: &Value| {
        let rate = &run["turn_rate"];
        let number = |key: &str| rate[key].as_f64().unwrap_or_else(|| panic!("{key}: {run}"));
        (run["name"].as_str().expect("a name").to_owned(), number("value_deg_s"), number("std_u_deg_s"))
    };
    let mut runs: Vec<_> = runs.map(run).collect();
    runs.sort_by(|a, b| a.0.cmp(&b.0));
    runs
}

/// The set-up's rates of the accepted windows in a report, in the order of windows.
fn reported(place: &Place, arguments: &[&str]) -> Vec<(f64, f64)> {
    let ran = place.run(&[&["report"], arguments, &["--format", "json"]].concat()).expect_code(0);
    let document: Value = serde_json::from_str(&ran.stdout).expect("a document");
    let windows = document["windows"].as_array().expect("windows").iter().filter(|w| w["accepted"] == true);
    let number = |w: &Value, key: &str| w["steady_rate"][key].as_f64().expect("a number");
    windows.map(|w| (number(w, "value_deg_s"), number(w, "std_u_deg_s"))).collect()
}

#[test]
fn a_sensor_counts_as_in_a_report_of_the_flight() {
    let place = flown();
    let log = format!("log = \"{LOG}\"");
    let (with, stderr) = compared(&place, &flight(&format!("{log}\nimu = \"{IMU}\"")), 0);
    assert_eq!(stderr, "");
    let (without, _) = compared(&place, &flight(&log), 0);
    let figures = |document: &Value| runs(document).into_iter().map(|(_, rate, u)| (rate, u)).collect::<Vec<_>>();
    let mut expected = reported(&place, &[LOG, "--imu", IMU]);
    let mut found = figures(&with);
    for list in [&mut expected, &mut found] {
        list.sort_by(|a, b| a.0.total_cmp(&b.0));
    }
    assert!(!found.is_empty());
    assert_eq!(found, expected, "the same road");
    assert_ne!(figures(&with), figures(&without), "the sensor has its part");
}

#[test]
fn a_sensor_file_of_no_use_is_told_and_the_flight_counts_without_it() {
    let place = flown();
    place.with("bad.csv", "no table");
    let log = format!("log = \"{LOG}\"");
    let (document, stderr) = compared(&place, &flight(&format!("{log}\nimu = [\"bad.csv\"]")), 2);
    assert!(stderr.contains("bad.csv"), "{stderr}");
    let alerts = document["alerts"].as_array().expect("alerts");
    assert!(alerts.iter().any(|alert| alert["code"] == "file-not-used"), "{alerts:?}");
    assert_eq!(runs(&document), runs(&compared(&place, &flight(&log), 0).0));
}

/// A logger with column names of its own, and a mapping that tells them.
#[test]
fn a_column_mapping_tells_the_columns() {
    let place = Place::new();
    let log = place.read("demo-tracks/lake-evening.csv");
    let (header, rows) = log.split_once('\n').expect("a header");
    assert_eq!(header.trim_end(), "time_utc,lat_deg,lon_deg,altitude_m,ground_speed_mps,course_deg,mark");
    place.with("own.csv", format!("Zeit,Breite,Laenge,Hoehe,Tempo,Kurs,Ereignis\n{rows}"));
    place.with(
        "own.toml",
        "time = \"Zeit\"\nlatitude = \"Breite\"\nlongitude = \"Laenge\"\naltitude = \"Hoehe\"\n\
         ground_speed = { column = \"Tempo\", unit = \"m/s\" }\ncourse = \"Kurs\"\nmark = \"Ereignis\"\n",
    );
    // The marks name a set-up that this campaign does not have.
    let marks: String = place
        .read("demo-tracks/lake-evening.marks.csv")
        .lines()
        .map(|row| format!("{}\n", row.splitn(4, ',').take(3).collect::<Vec<_>>().join(",")))
        .collect();
    place.with("marks.csv", marks);
    let own = flight("id = \"x\"\nlog = \"own.csv\"\ncsv_map = \"own.toml\"\nmarks = \"marks.csv\"");
    let plain = flight("id = \"x\"\nlog = \"demo-tracks/lake-evening.csv\"\nmarks = \"marks.csv\"");
    let (document, _) = compared(&place, &own, 0);
    assert!(!runs(&document).is_empty());
    assert_eq!(runs(&document), runs(&compared(&place, &plain, 0).0));
    let (_, stderr) = compared(&place, &flight("log = \"own.csv\""), 2);
    assert!(stderr.contains("own.csv: line 1: this table has no column"), "{stderr}");
}

#[test]
fn a_flight_that_is_left_out_counts_for_nothing_and_is_named_with_its_reason() {
    let place = Place::new();
    let kept = flight("log = \"demo-tracks/meadow-light-wind.gpx\"");
    // Its file is gone, which is no fault any more.
    let left_out = flight("log = \"gone.igc\"\nexclude = \"rain on the wing\"");
    let (document, stderr) = compared(&place, &format!("{kept}{left_out}"), 0);
    assert_eq!(stderr, "");
    assert_eq!(runs(&document), runs(&compared(&place, &kept, 0).0));
    let unused = document["unused_runs"].as_array().expect("runs left out");
    assert!(
        unused.iter().any(|run| run["name"] == "gone" && run.to_string().contains("rain on the wing")),
        "{unused:?}"
    );
}

/// Each file of a flight that cannot be read is named, and the other flights count.
#[test]
fn files_that_cannot_be_used_are_named() {
    let place = Place::new();
    let kept = flight("log = \"demo-tracks/meadow-light-wind.gpx\"");
    place.with("bad.csv", "let_go,take_over\nx,y\n");
    place.with("bad.toml", "no mapping");
    for keys in ["marks = \"bad.csv\"", "csv_map = \"bad.toml\""] {
        let file = keys.split('"').nth(1).expect("a name");
        let bad = flight(&format!("id = \"bad\"\nlog = \"demo-tracks/lake-evening.csv\"\n{keys}"));
        let (document, stderr) = compared(&place, &format!("{kept}{bad}"), 2);
        assert!(stderr.starts_with(&format!("error: {file}: ")), "{stderr}");
        assert_eq!(runs(&document), runs(&compared(&place, &kept, 0).0));
    }
}
