//! The JSON document that other programs rely on, on every demo track: each key, its type, and what must agree.

use crate::run::{DEMOS, Place, report_arguments};
use chrono::{DateTime, Utc};
use serde_json::Value;

/// What may stand under a key.
#[derive(Clone, Copy, Debug)]
enum Kind {
    Text,
    Number,
    NumberOrNull,
    TextOrNull,
    Bool,
    Time,
    List,
    Object,
}
use Kind::{Bool, List, Number, NumberOrNull, Object, Text, TextOrNull, Time};

const DOCUMENT: &[(&str, Kind)] = &[
    ("/schema", Text),
    ("/made_by/version", Text),
    ("/made_by/command", Text),
    ("/made_by/input_sha256", Text),
    ("/made_by/config", Object),
    ("/log/file", Text),
    ("/log/format", Text),
    ("/log/fixes_read", Number),
    ("/log/fixes_used", Number),
    ("/log/start_utc", Time),
    ("/log/end_utc", Time),
    ("/log/median_interval_s", Number),
    ("/problems", List),
    ("/wind/observable", Bool),
    ("/wind/profile", List),
    ("/windows", List),
];

const PROBLEM: &[(&str, Kind)] = &[
    ("/code", Text),
    ("/severity", Text),
    ("/message", Text),
    ("/line", NumberOrNull),
    ("/byte", NumberOrNull),
    ("/count", Number),
    ("/help", TextOrNull),
];

const WIND: &[(&str, Kind)] = &[
    ("/time_utc", Time),
    ("/altitude_m", NumberOrNull),
    ("/speed_mps", Number),
    ("/from_deg", Number),
    ("/east_mps", Number),
    ("/north_mps", Number),
    ("/std_u_mps", Number),
];

const WINDOW: &[(&str, Kind)] = &[
    ("/id", Number),
    ("/start_utc", Time),
    ("/end_utc", Time),
    ("/origin", Text),
    ("/hands_off", Text),
    ("/scenario", Text),
    ("/turn_rate/value_deg_s", Number),
    ("/turn_rate/std_u_deg_s", Number),
    ("/turn_rate/low95_deg_s", Number),
    ("/turn_rate/high95_deg_s", Number),
    ("/steady_rate/value_deg_s", Number),
    ("/steady_rate/std_u_deg_s", Number),
    ("/steady_rate/low95_deg_s", Number),
    ("/steady_rate/high95_deg_s", Number),
    ("/second_opinion/method", Text),
    ("/second_opinion/value_deg_s", NumberOrNull),
    ("/second_opinion/std_u_deg_s", NumberOrNull),
    ("/course_rate_deg_s", NumberOrNull),
    ("/heading_change_deg", Number),
    ("/seconds_per_90deg", NumberOrNull),
    ("/turn_per_minute_deg", Number),
    ("/airspeed_mps", Number),
    ("/ground_speed_mps", Number),
    ("/climb_mps", NumberOrNull),
    ("/bank_deg", NumberOrNull),
    ("/air_radius_m", NumberOrNull),
    ("/altitude_m", NumberOrNull),
    ("/height_above_takeoff_m", NumberOrNull),
    ("/wind_speed_mps", Number),
    ("/wind_from_deg", Number),
    ("/wind_std_u_mps", Number),
    ("/accepted", Bool),
    ("/reasons", List),
];

fn check(value: &Value, keys: &[(&str, Kind)], what: &str) {
    for (pointer, kind) in keys {
        let found = value.pointer(pointer).unwrap_or_else(|| panic!("{what}: {pointer} is missing"));
        let fits = match kind {
            Text => found.is_string(),
            TextOrNull => found.is_string() || found.is_null(),
            Number => found.is_number(),
            NumberOrNull => found.is_number() || found.is_null(),
            Bool => found.is_boolean(),
            List => found.is_array(),
            Object => found.is_object(),
            Time => found.as_str().is_some_and(is_utc_with_milliseconds),
        };
        assert!(fits, "{what}: {pointer} should be {kind:?}, is {found}");
    }
}

/// `2026-05-14T05:42:00.000Z`.
fn is_utc_with_milliseconds(text: &str) -> bool {
    text.len() == 24 && text.ends_with('Z') && text.parse::<DateTime<Utc>>().is_ok()
}

fn items<'a>(document: &'a Value, pointer: &str) -> &'a Vec<Value> {
    document.pointer(pointer).and_then(Value::as_array).expect(pointer)
}

fn number(value: &Value, pointer: &str) -> f64 {
    value.pointer(pointer).and_then(Value::as_f64).unwrap_or_else(|| panic!("{pointer} in {value}"))
}

fn seconds(window: &Value) -> f64 {
    let time = |key: &str| window[key].as_str().and_then(|t| t.parse::<DateTime<Utc>>().ok()).expect(key);
    (time("end_utc") - time("start_utc")).as_seconds_f64()
}

/// The document of each demo flight.
fn documents() -> Vec<(&'static str, Value)> {
    let place = Place::new();
    DEMOS
        .iter()
        .map(|&(log, marks)| {
            let log_path = format!("demo-tracks/{log}");
            let marks_path = marks.map(|marks| format!("demo-tracks/{marks}"));
            let arguments = report_arguments(&log_path, marks_path.as_deref(), &["--format", "json"]);
            let ran = place.run(&arguments).expect_code(0);
            assert_eq!(ran.stderr, "", "{log}: data alone, no chatter");
            (log, serde_json::from_str(&ran.stdout).expect(log))
        })
        .collect()
}

#[test]
fn every_key_is_there_with_its_type() {
    for (log, document) in documents() {
        check(&document, DOCUMENT, log);
        assert_eq!(document["schema"], "driftless/flight-report/1");
        assert_eq!(document["made_by"]["input_sha256"].as_str().map(str::len), Some(64));
        assert!(document["made_by"]["command"].as_str().is_some_and(|c| c.starts_with("driftless report ")));
        for problem in items(&document, "/problems") {
            check(problem, PROBLEM, log);
        }
        assert!(!items(&document, "/wind/profile").is_empty(), "{log}");
        for entry in items(&document, "/wind/profile") {
            check(entry, WIND, log);
        }
        let windows = items(&document, "/windows");
        assert!(windows.iter().filter(|w| w["accepted"] == true).count() >= 3, "{log}: {windows:?}");
        for window in windows {
            check(window, WINDOW, log);
        }
    }
}

/// The contract: the turn rate is the heading change between start and end divided by the time between them. Times
/// are printed to the millisecond, which is 2e-5 of the shortest window.
#[test]
fn figures_of_a_window_agree_with_each_other() {
    for (log, document) in documents() {
        for window in items(&document, "/windows") {
            let rate = number(window, "/turn_rate/value_deg_s");
            let change = number(window, "/heading_change_deg");
            assert!((change - rate * seconds(window)).abs() <= 1e-4 * change.abs() + 1e-6, "{log}: {window}");
            assert!((number(window, "/turn_per_minute_deg") - 60.0 * rate).abs() < 1e-9);
            for kind in ["turn_rate", "steady_rate"] {
                let at = |key: &str| number(window, &format!("/{kind}/{key}_deg_s"));
                assert!(at("low95") < at("value") && at("value") < at("high95"), "{log}: {window}");
                assert!(at("std_u") > 0.0);
            }
            // What the set-up does is less sure than what the aircraft did: turbulence is added.
            assert!(number(window, "/steady_rate/std_u_deg_s") >= number(window, "/turn_rate/std_u_deg_s"), "{log}");
        }
    }
}

#[test]
fn several_logs_are_json_lines() {
    let place = Place::new();
    let logs = ["demo-tracks/ridge-five-metres.igc", "demo-tracks/meadow-light-wind.gpx"];
    let ran = place.run(&["report", logs[0], logs[1], "--format", "json"]).expect_code(0);
    let lines: Vec<Value> = ran.stdout.lines().map(|line| serde_json::from_str(line).expect("a document")).collect();
    assert_eq!(
        lines.iter().map(|d| d["log"]["file"].as_str().unwrap()).collect::<Vec<_>>(),
        ["ridge-five-metres.igc", "meadow-light-wind.gpx"]
    );
}
