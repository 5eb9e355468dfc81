//! What reports of demo flights say, as a person read and accepted it: words in one place, figures in another.

use crate::campaign::demo;
use crate::figures::{figure, two_digits};
use crate::inertial::{IMU, LOG, flown};
use crate::run::Place;
use serde_json::Value;
use std::fmt::Write;

/// Words and layout; figures have a golden text of their own below, and are held against the truth elsewhere.
#[test]
fn regression_text_report_of_a_demo_flight() {
    let ran = Place::new().run(&["report", "demo-tracks/meadow-light-wind.gpx", "--format", "text"]).expect_code(0);
    for line in ran.stdout.lines() {
        assert!(line.chars().count() <= 80, "wider than the terminal: {line}");
    }
    // One line for each section and row, with runs of digits as "#" and layout that depends on their width removed.
    let mut filtered = String::new();
    for line in ran.stdout.lines() {
        let mut in_number = false;
        let mut blank = false;
        for letter in line.chars() {
            let digit = letter.is_ascii_digit() || (in_number && letter == '.');
            if digit && !in_number {
                filtered.push('#');
            } else if !(digit || blank && letter == ' ' || letter == '−') {
                filtered.push(letter);
            }
            in_number = digit;
            blank = letter == ' ';
        }
        filtered.push('\n');
    }
    let headings: Vec<&str> =
        filtered.lines().filter(|line| line.starts_with("Windows:") || line.starts_with("Cautions")).collect();
    assert_eq!(headings.len(), 2);
    let from_windows = filtered.split_once("Windows:").expect("windows").1;
    let table = from_windows.split_once("\n\n").expect("an end").0;
    insta::assert_snapshot!("windows_of_a_demo_flight", format!("Windows:{table}"));
    insta::assert_snapshot!(
        "cautions",
        filtered.split_once("Cautions\n").expect("cautions").1.split_once("\n\n").expect("an end").0
    );
}

/// The first screen, at the usual width and at the narrowest.
#[test]
fn regression_first_screen_of_a_flight() {
    let place = Place::new();
    for (name, log, columns) in [
        ("first_screen_of_a_marked_flight", "demo-tracks/ridge-five-metres.igc", "80"),
        ("first_screen_of_candidates", "demo-tracks/lake-evening.csv", "80"),
        ("first_screen_at_40_columns", "demo-tracks/ridge-five-metres.igc", "40"),
    ] {
        let ran = place.run_with_environment(&["report", log], &[("COLUMNS", columns)]).expect_code(0);
        insta::assert_snapshot!(name, ran.stdout);
    }
}

/// Figures of a flight with a sensor on the pilot. Accepted beside the scenario it is made from: bias, random walk, swing and
/// clock stand there, and turn rates in its truth.
#[test]
fn regression_figures_of_a_flight_with_a_sensor() {
    let place = flown();
    let ran = place.run(&["report", LOG, "--imu", IMU, "--format", "json"]).expect_code(0);
    let document: Value = serde_json::from_str(&ran.stdout).expect("JSON");
    let inertial = &document["inertial"];
    let mut out = String::new();
    let _ =
        writeln!(out, "status {}, gain {}", text(&inertial["status"]), two_digits(&inertial["gain_over_gps_alone"]));
    for (name, key, std_u) in [
        ("clock offset, s", "clock_offset_s", "clock_offset_std_u_s"),
        ("clock drift, ppm", "clock_drift_ppm", "clock_drift_std_u_ppm"),
        ("gyro bias, °/s", "gyro_bias_deg_s", "gyro_bias_std_u_deg_s"),
        ("scale", "scale", "scale_std_u"),
    ] {
        let _ = writeln!(out, "{name}: {}", figure(&inertial[key], &inertial[std_u]));
    }
    for key in [
        "rate_hz",
        "correlation",
        "rate_difference_deg_s",
        "angle_random_walk_deg_per_sqrt_s",
        "bias_instability_deg_s",
        "bias_instability_tau_s",
        "gyro_less_gps_heading_rms_deg",
        "compass_less_gps_heading_rms_deg",
        "swing_period_s",
    ] {
        let _ = writeln!(out, "{key}: {}", two_digits(&inertial[key]));
    }
    let compass = &inertial["compass"];
    let _ = writeln!(
        out,
        "compass: consistent {}, {} µT, dip {}°, declination {}°",
        compass["consistent"],
        two_digits(&compass["strength_ut"]),
        two_digits(&compass["inclination_deg"]),
        two_digits(&compass["declination_deg"])
    );
    let windows = document["windows"].as_array().expect("windows");
    let seen = inertial["windows"].as_array().expect("windows");
    assert_eq!(windows.len(), seen.len());
    for (window, seen) in windows.iter().zip(seen) {
        let rate = |rate: &Value| figure(&rate["value_deg_s"], &rate["std_u_deg_s"]);
        let _ = writeln!(
            out,
            "window {}: {} °/s, set-up {}, GPS alone {}; by gyro {}°; roll {}°, twist {}°, {} s; hands {} ({})",
            window["id"],
            rate(&window["turn_rate"]),
            rate(&window["steady_rate"]),
            rate(&seen["turn_rate_gps_alone"]),
            figure(&seen["heading_change_deg"], &seen["heading_change_std_u_deg"]),
            two_digits(&seen["swing_rms_deg"]),
            two_digits(&seen["twist_rms_deg"]),
            two_digits(&seen["swing_period_s"]),
            text(&seen["hands_hint"]),
            two_digits(&seen["hands_hint_ratio"])
        );
    }
    insta::assert_snapshot!("figures_of_a_flight_with_a_sensor", out);
}

/// Figures of the demo campaign, cell by cell.
#[test]
fn regression_figures_of_the_demo_campaign() {
    let document = &demo().document;
    let list = |key: &str| document[key].as_array().unwrap_or_else(|| panic!("{key}")).clone();
    let mut out = String::new();
    for cell in list("cells") {
        let turn = &cell["turn_rate"];
        let _ = writeln!(
            out,
            "{} | {} | {} | {} runs | {} °/s",
            text(&cell["setup"]),
            text(&cell["wing"]),
            text(&cell["scenario"]),
            cell["runs"],
            figure(&turn["value_deg_s"], &turn["std_u_deg_s"])
        );
    }
    for taken in list("compensation") {
        let whole = |key: &str| taken[key].as_f64().map_or("none".to_owned(), |v| format!("{:.0}", v + 0.0));
        let _ = writeln!(
            out,
            "{} against {} | {} | {} | {} % ({} to {}) | resolvable {}",
            text(&taken["setup"]),
            text(&taken["baseline"]),
            text(&taken["wing"]),
            text(&taken["scenario"]),
            whole("percent"),
            whole("low95"),
            whole("high95"),
            taken["resolvable"]
        );
    }
    assert!(out.lines().count() > 20, "{out}");
    insta::assert_snapshot!("figures_of_the_demo_campaign", out);
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap_or("none")
}
