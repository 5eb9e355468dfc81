//! Each format of the report, and the flags about it.

use crate::run::Place;

const RIDGE: &str = "demo-tracks/ridge-five-metres.igc";

#[test]
fn csv_has_a_row_for_each_window_with_units_in_the_names() {
    let ran = Place::new().run(&["report", RIDGE, "--format", "csv"]).expect_code(0);
    let header = ran.stdout.lines().next().expect("a header");
    for name in ["turn_rate_deg_s", "steady_rate_low95_deg_s", "airspeed_mps", "altitude_m", "start_utc"] {
        assert!(header.split(',').any(|column| column == name), "{name} in {header}");
    }
    assert!(ran.stdout.lines().count() > 4);
}

#[test]
fn html_is_one_file_that_fetches_nothing() {
    let ran = Place::new().run(&["report", RIDGE, "--format", "html"]).expect_code(0);
    assert!(ran.stdout.starts_with("<!DOCTYPE html>"));
    for fetched in ["src=\"http", "href=\"http", "url(http", "@import", "<script src", "<link"] {
        assert!(!ran.stdout.contains(fetched), "{fetched}");
    }
}

#[test]
fn units_are_a_choice_of_display() {
    let place = Place::new();
    let knots = place.run(&["report", RIDGE, "--format", "text", "--units", "kt"]).expect_code(0).stdout;
    assert!(knots.contains(" kt") && !knots.contains("m/s"), "{knots}");
    let per_minute = place.run(&["report", RIDGE, "--format", "text", "--units", "deg/min"]).expect_code(0).stdout;
    assert!(per_minute.contains("°/min"));
    // JSON has its units in the keys, whatever was chosen; only the command line in it differs.
    let json = |units: &str| {
        let ran = place.run(&["report", RIDGE, "--format", "json", "--units", units]).expect_code(0);
        ran.stdout.lines().filter(|line| !line.contains("\"command\"")).collect::<String>()
    };
    assert_eq!(json("kt"), json("si"));
}

#[test]
fn the_same_run_gives_the_same_bytes() {
    let place = Place::new();
    for format in ["html", "json", "csv", "text"] {
        let arguments = ["report", RIDGE, "--format", format];
        assert_eq!(place.run(&arguments).stdout, place.run(&arguments).stdout, "{format}");
    }
}

#[test]
fn check_lists_problems_and_estimates_nothing() {
    let place = Place::new();
    let ran = place.run(&["check", RIDGE]).expect_code(0);
    assert!(ran.stdout.contains("IGC, fixes read: "), "{}", ran.stdout);
    assert!(ran.stdout.contains("[position-rounding]"), "{}", ran.stdout);
    assert!(!ran.stdout.contains("°/s"));
    place.with("picture.png", b"\x89PNG\r\n\x1a\n");
    place.run(&["check", RIDGE, "picture.png"]).expect_code(2);
    assert_eq!(place.names(), ["demo-tracks", "picture.png"], "nothing is written");
}

#[test]
fn help_version_completions_and_manual_come_from_one_table() {
    let place = Place::new();
    let help = place.run(&["report", "--help"]).expect_code(0).stdout;
    for flag in ["--marks", "--format", "--output", "--units", "--csv-map", "--export-gpx", "--export-geojson"] {
        assert!(help.contains(flag), "{flag}");
        assert!(place.run(&["complete", "bash"]).expect_code(0).stdout.contains(flag), "{flag}");
    }
    assert!(place.run(&["--version"]).expect_code(0).stdout.starts_with("driftless "));
    assert!(place.run(&["man"]).expect_code(0).stdout.contains(".TH driftless"));
}
