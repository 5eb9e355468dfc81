//! What a log holds is told apart: flights, walks between them, and nothing but a walk.

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
    let ran = place.run(&["report", log, "--format", "json"]).expect_code(code);
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
