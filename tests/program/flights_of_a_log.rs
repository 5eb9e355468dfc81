//! What a log holds is told apart: flights, walks between them, and nothing but a walk.

use crate::inertial::SENSOR;
use crate::run::Place;
use serde_json::Value;

const ALOFT_AND_DOWN: &str = "[[flight]]\ndo = \"take-off\"";
const WALK: &str = "[[flight]]\ndo = \"drive\"\nseconds = 150\nspeed_mps = 1.3\nheading_deg = 80.0\n\n";
const STAND: &str = "[[flight]]\ndo = \"stand\"\nseconds = 40\n\n";

/// A scenario file of the demo aircraft and morning with other legs, and the log that it makes.
fn log_of(place: &Place, name: &str, legs: impl Fn(&str) -> String) -> String {
    let demo = place.read("demo-tracks/meadow-light-wind.toml");
    let (head, plan) = demo.split_once("[[flight]]").expect("legs");
    let (_, flown) = plan.split_once(ALOFT_AND_DOWN).expect("a take-off");
    let scenario =
        format!("{}{}", head.replacen("meadow-light-wind", name, 1), legs(&format!("{ALOFT_AND_DOWN}{flown}\n")));
    let file = format!("{name}.toml");
    place.with(&file, scenario);
    place.run(&["simulate", &file]).expect_code(0);
    format!("{name}.gpx")
}

fn report(place: &Place, log: &str, code: i32) -> Value {
    report_with(place, &[log], code)
}

fn report_with(place: &Place, of: &[&str], code: i32) -> Value {
    let ran = place.run(&[&["report", "--format", "json"], of].concat()).expect_code(code);
    serde_json::from_str(&ran.stdout).expect("a document")
}

#[test]
fn simulated_two_flights_with_a_walk_between_are_two_with_windows_of_their_own() {
    let place = Place::new();
    // Each ends with a stand of 45 s.
    let log = log_of(&place, "twice", |flown| format!("{STAND}{flown}{WALK}{STAND}{flown}"));
    let document = report(&place, &log, 0);
    let flights = document["flights"].as_array().expect("flights");
    assert_eq!(flights.len(), 2, "{flights:#?}");
    for flight in flights {
        // Four windows are marked in each; a found one may stand beside them.
        let windows = flight["windows"].as_array().expect("windows");
        assert!(windows.len() >= 4 && flight["takeoff_utc"].is_string() && flight["landing_utc"].is_string());
        assert_eq!(flight["wind_observable"], true);
        let of_it = |window: &&Value| window["flight"] == flight["number"];
        let named: Vec<&Value> = document["windows"].as_array().expect("windows").iter().filter(of_it).collect();
        assert_eq!(named.iter().map(|window| window["id"].clone()).collect::<Vec<_>>(), *windows);
    }
    // RFC 3339 times of one zone stand in the order of their texts.
    assert!(flights[0]["landing_utc"].as_str() < flights[1]["takeoff_utc"].as_str());
}

/// One recording of a sensor over two flights takes part in both; the part of it that lies in the second takes part there and
/// leaves the first as it is without.
#[test]
fn simulated_an_inertial_file_takes_part_in_every_flight_that_it_covers() {
    let place = Place::new();
    let demo = place.read("demo-tracks/meadow-light-wind.toml");
    place.with("demo-tracks/meadow-light-wind.toml", demo.replacen("[output]\n", SENSOR, 1));
    let log = log_of(&place, "twice", |flown| format!("{STAND}{flown}{WALK}{STAND}{flown}"));
    let by_gps = report(&place, &log, 0);
    let std_u = |document: &Value, flight: usize| {
        let mut all: Vec<f64> = document["windows"]
            .as_array()
            .expect("windows")
            .iter()
            .filter(|w| w["flight"] == flight && w["accepted"] == true)
            .filter_map(|w| w["turn_rate"]["std_u_deg_s"].as_f64())
            .collect();
        all.sort_by(f64::total_cmp);
        all[all.len() / 2]
    };
    let statuses = |document: &Value| -> Vec<Value> {
        document["flights"].as_array().expect("flights").iter().map(|f| f["inertial_status"].clone()).collect()
    };
    assert_eq!(statuses(&by_gps), [Value::Null, Value::Null]);

    let both = report_with(&place, &[&log, "--imu", "twice.imu.csv"], 0);
    assert_eq!(statuses(&both), ["used", "used"], "{:#?}", both["flights"]);
    for flight in [1, 2] {
        let (with, alone) = (std_u(&both, flight), std_u(&by_gps, flight));
        assert!(with < 0.7 * alone, "flight {flight}: {with} with the sensor, {alone} without");
    }
    let seen = both["inertial"]["windows"].as_array().expect("windows of the sensor").len();
    assert_eq!(seen, both["windows"].as_array().expect("windows").len());

    let whole = place.read("twice.imu.csv");
    let lines: Vec<&str> = whole.lines().collect();
    let second = [&lines[..1], &lines[lines.len() / 2..]].concat().join("\n");
    place.with("second.imu.csv", second);
    let one = report_with(&place, &[&log, "--imu", "second.imu.csv"], 0);
    let status = statuses(&one);
    assert!(status[0] != "used" && status[1] == "used", "{status:?}");
    assert!(one["flights"][0]["inertial_status_reason"].is_string(), "{}", one["flights"][0]);
    assert!((std_u(&one, 1) - std_u(&by_gps, 1)).abs() < 1e-9, "the first flight stands as by GPS alone");
    assert!(std_u(&one, 2) < 0.7 * std_u(&by_gps, 2));
    assert_eq!(one["inertial"]["status"], "used");
    let words = place.run(&["report", &log, "--imu", "second.imu.csv", "--format", "text"]).expect_code(0).stdout;
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("without the inertial sensor") && words.contains("with the inertial sensor"), "{words}");
}

#[test]
fn simulated_a_walk_alone_is_no_flight_and_nobody_is_told_to_circle() {
    let place = Place::new();
    let log = log_of(&place, "walk", |_| format!("{STAND}{WALK}{STAND}"));
    let document = report(&place, &log, 1);
    assert_eq!(document["flights"], Value::Array(Vec::new()));
    assert_eq!(document["combined"], Value::Array(Vec::new()));
    assert_eq!(document["wind"]["finding"]["code"], "wind-on-the-ground");
    let problems = document["problems"].to_string();
    assert!(problems.contains("check that this is the log of the flight"), "{problems}");
    for format in ["json", "text", "html"] {
        let words = place.run(&["report", &log, "--format", format]).expect_code(1).stdout;
        assert!(!words.contains("full circles"), "{format}: {words}");
    }
}

#[test]
fn a_window_marked_in_a_walk_belongs_to_no_flight() {
    let place = Place::new();
    let log = log_of(&place, "walk", |_| format!("{STAND}{WALK}{STAND}"));
    let marks = place.with("walk.marks.csv", "let_go,take_over\n60,120\n");
    let ran = place.run(&["report", &log, "--marks", marks, "--format", "json"]).expect_code(1);
    let document: Value = serde_json::from_str(&ran.stdout).expect("a document");
    let windows = document["windows"].as_array().expect("windows");
    assert_eq!(windows.len(), 1, "{windows:#?}");
    assert_eq!((&windows[0]["flight"], &windows[0]["accepted"]), (&Value::Null, &Value::Bool(false)));
}
