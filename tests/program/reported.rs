//! Every figure of the documents has a check named behind it: the list of the validation page, held against the keys that
//! documents have and against the tests that there are.

use crate::campaign::demo;
use crate::inertial::{IMU, LOG, flown};
use crate::run::{DEMOS, Place, report_arguments, repository};
use driftless_validate::published::reported::{is_key, is_word, reported};
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::Path;

/// A flight on one heading, of which no wind is known.
const ONE_HEADING: &str = r#"
name = "one-heading"
seed = 1
start_utc = "2026-05-01T10:00:00Z"
[site]
lat_deg = 47.0
lon_deg = 11.0
elevation_m = 500.0
heading_deg = 20.0
start_height_m = 500.0
[aircraft]
corrections_deg_s = 0.0
[aircraft.settings.trim-level]
airspeed_mps = 11.0
climb_mps = 0.0
residual = { rate_deg_s = 0.0 }
[air]
wind_mps = 3.0
wind_from_deg = 250.0
[sensors]
rate_hz = 1.0
[output]
formats = ["gpx"]
[[flight]]
do = "straight"
seconds = 240
setting = "trim-level"
"#;

/// Keys of documents, in full.
#[derive(Default)]
struct Keys {
    with_a_value: BTreeSet<String>,
    of_empty_lists: BTreeSet<String>,
}

fn keys(value: &Value, path: &str, into: &mut Keys) {
    match value {
        Value::Object(entries) => {
            for (key, value) in entries {
                let path = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
                keys(value, &path, into);
            }
        }
        Value::Array(items) if items.is_empty() => {
            into.of_empty_lists.insert(path.to_owned());
        }
        Value::Array(items) => items.iter().for_each(|item| keys(item, &format!("{path}[]"), into)),
        _ => {
            into.with_a_value.insert(path.to_owned());
        }
    }
}

/// What reports of the demo flights, of a flight with a sensor, of one with a compass, of one without a wind, and of the demo
/// campaign have for keys.
fn keys_of_documents() -> Keys {
    let place = flown();
    let mut found = Keys::default();
    let mut read = |place: &Place, arguments: &[&str]| {
        let ran = place.run(arguments);
        let document =
            serde_json::from_str(&ran.stdout).unwrap_or_else(|e| panic!("{arguments:?}: {e}: {}", ran.stderr));
        keys(&document, "", &mut found);
    };
    for (log, marks) in DEMOS {
        let (log, marks) = (format!("demo-tracks/{log}"), marks.map(|marks| format!("demo-tracks/{marks}")));
        read(&place, &report_arguments(&log, marks.as_deref(), &["--format", "json"]));
    }
    read(&place, &["report", LOG, "--imu", IMU, "--format", "json"]);

    // A compass that turns by itself.
    let mut heading_deg = 0;
    let with_compass: String = place
        .read("demo-tracks/lake-evening.csv")
        .lines()
        .enumerate()
        .map(|(line, text)| {
            heading_deg = (heading_deg + 7) % 360;
            if line == 0 { format!("{text},heading_true_deg\n") } else { format!("{text},{heading_deg}\n") }
        })
        .collect();
    place.with("compass.csv", with_compass);
    read(&place, &["report", "compass.csv", "--format", "json"]);

    place.with("one-heading.toml", ONE_HEADING);
    place.run(&["simulate", "one-heading.toml"]).expect_code(0);
    read(&place, &["report", "one-heading.gpx", "--format", "json"]);

    keys(&demo().document, "", &mut found);
    found
}

#[test]
fn every_key_of_a_report_has_a_check_or_states_no_figure() {
    let found = keys_of_documents();
    let without: Vec<&String> =
        found.with_a_value.iter().filter(|key| !is_word(key) && !reported().any(|figure| figure.has(key))).collect();
    assert!(
        without.is_empty(),
        "no check is named for these keys; give them to a figure in crates/validate/published/reported: {without:#?}"
    );
    // And the list names no key that is gone: one that these documents have as `null` may stand for a list or an object in
    // others, and the other way round.
    let is_there = |listed: &str| {
        let whole = listed.trim_end_matches(['*', '.', '[', ']']);
        let inside = |key: &String| key.strip_prefix(whole).is_some_and(|rest| rest.starts_with(['.', '[']));
        let same = |key: &String| is_key(listed, key) || key == whole || inside(key);
        found.with_a_value.iter().any(same) || found.of_empty_lists.contains(whole)
    };
    for figure in reported() {
        for listed in figure.keys {
            assert!(is_there(listed), "{}: no document has {listed}", figure.figure);
        }
    }
}

/// Names of all functions behind `#[test]`, in the sources.
fn tests_in(folder: &Path, into: &mut BTreeSet<String>) {
    for entry in std::fs::read_dir(folder).expect("a folder of sources") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            tests_in(&path, into);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            let text = std::fs::read_to_string(&path).expect("a source");
            let mut is_test = false;
            for line in text.lines().map(str::trim_start) {
                if line.starts_with("#[test]") {
                    is_test = true;
                } else if let Some(name) = line.strip_prefix("fn ").filter(|_| is_test) {
                    into.insert(name.split('(').next().unwrap_or_default().to_owned());
                    is_test = false;
                }
            }
        }
    }
}

#[test]
fn every_test_named_behind_a_figure_exists() {
    let mut tests = BTreeSet::new();
    for folder in ["crates", "tests"] {
        tests_in(&repository().join(folder), &mut tests);
    }
    for figure in reported() {
        for name in figure.tests {
            assert!(tests.contains(*name), "{}: there is no test {name}", figure.figure);
        }
    }
}
