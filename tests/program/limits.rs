//! Input without end, and limits: every case ends in words, quickly and in little memory, and a limit can be raised.

use crate::run::{Place, executable, repository, slowed};
use driftless_analysis::InputLimit;
use std::process::{Command, Stdio};
use std::time::Instant;

const RIDGE: &str = "demo-tracks/ridge-five-metres.igc";

/// Ample on a busy machine; without limits these never end.
fn quick() -> std::time::Duration {
    slowed(15)
}

/// Runs the program with something endless on standard input or among its arguments; gives the words of its error.
#[track_caller]
fn refused(place: &Place, arguments: &[&str], stdin: Option<&str>) -> String {
    let from = stdin.map_or(Stdio::null(), |path| std::fs::File::open(path).expect("a device").into());
    let begun = Instant::now();
    let output = Command::new(executable())
        .args(arguments)
        .current_dir(place.path(""))
        .stdin(from)
        .output()
        .expect("the program runs");
    assert!(begun.elapsed() < quick(), "{arguments:?} took {:?}", begun.elapsed());
    let stderr = String::from_utf8(output.stderr).expect("text");
    assert_eq!(output.status.code(), Some(2), "{arguments:?}: {stderr}");
    assert!(stderr.starts_with("error: ") && stderr.len() < 1500, "{arguments:?}: {stderr}");
    stderr
}

#[cfg(target_os = "linux")]
#[test]
fn regression_devices_without_end() {
    let place = Place::new();
    for device in ["/dev/zero", "/dev/urandom"] {
        for command in ["report", "check"] {
            let words = refused(&place, &[command, device], None);
            assert!(words.contains(device) && words.contains("not a flight log"), "{words}");
            let words = refused(&place, &[command, "-"], Some(device));
            assert!(words.contains("standard input") && words.contains("not a flight log"), "{words}");
        }
        for arguments in [
            ["report", RIDGE, "--marks", device].as_slice(),
            &["report", RIDGE, "--csv-map", device],
            &["compare", device],
            &["plan", device],
            &["simulate", device],
        ] {
            let words = refused(&place, arguments, None);
            assert!(words.contains(device) && words.contains("not UTF-8 text"), "{words}");
        }
        let words = refused(&place, &["report", RIDGE, "--imu", device, "--format", "json"], None);
        assert!(words.contains(device) && words.contains("this is a binary file"), "{words}");
    }
}

#[cfg(unix)]
#[test]
fn regression_a_pipe_that_nobody_fills() {
    let place = Place::new();
    let made = Command::new("mkfifo").arg(place.path("pipe")).status().expect("mkfifo runs");
    assert!(made.success());
    for arguments in [
        ["report", "pipe"].as_slice(),
        &["check", "pipe"],
        &["report", RIDGE, "--marks", "pipe"],
        &["report", RIDGE, "--imu", "pipe"],
        &["compare", "pipe"],
        &["simulate", "pipe"],
    ] {
        let words = refused(&place, arguments, None);
        assert!(words.contains("pipe is a pipe that no program writes into"), "{words}");
    }
}

/// A pipe with a program at its other end is a file like any other.
#[cfg(unix)]
#[test]
fn a_pipe_that_somebody_fills_is_read() {
    let place = Place::new();
    assert!(Command::new("mkfifo").arg(place.path("pipe")).status().expect("mkfifo runs").success());
    let mut filler = Command::new("sh")
        .args(["-c", &format!("cat {RIDGE} > pipe")])
        .current_dir(place.path(""))
        .spawn()
        .expect("a shell");
    place.run(&["check", "pipe"]).expect_code(0);
    assert!(filler.wait().expect("an end").success());
}

/// Standard input at one below, at and one above the limit, as a file and as text beside a log.
#[test]
fn bytes_are_counted_to_the_last() {
    let place = Place::new();
    let log = std::fs::read(place.path(RIDGE)).expect("a demo log");
    for (allowed, code) in [(log.len() - 1, 2), (log.len(), 0), (log.len() + 1, 0)] {
        let limit = format!("bytes={allowed}");
        let ran = place.run_with_stdin(&["check", "-", "--limit", &limit], log.clone()).expect_code(code);
        assert_eq!(ran.stderr.contains("standard input: more than"), code == 2, "{}", ran.stderr);
        let ran = place.run(&["check", RIDGE, "--limit", &limit]).expect_code(code);
        assert_eq!(ran.stderr.contains("--limit bytes=N"), code == 2, "{}", ran.stderr);
    }
    let scenario = std::fs::metadata(place.path("demo-tracks/meadow-light-wind.toml")).expect("a scenario").len();
    for (allowed, code) in [(scenario - 1, 2), (scenario, 0)] {
        let limit = format!("text-bytes={allowed}");
        place
            .run(&["simulate", "demo-tracks/meadow-light-wind.toml", "-o", "out", "--limit", &limit])
            .expect_code(code);
    }
}

#[test]
fn a_simulated_flight_is_no_longer_than_its_limit() {
    let place = Place::new();
    let scenario = "demo-tracks/meadow-light-wind.toml";
    place.run(&["simulate", scenario, "-o", "out"]).expect_code(0);
    let truth: serde_json::Value = serde_json::from_str(&place.read("out/meadow-light-wind.truth.json")).expect("JSON");
    let rows = truth["flight"].as_object().or(truth["track"].as_object());
    assert!(rows.is_some() || truth.is_object());
    let ran = place.run(&["simulate", scenario, "-o", "out", "--limit", "scenario-seconds=60"]).expect_code(2);
    assert!(ran.stderr.contains("more than 60 seconds in a simulated flight"), "{}", ran.stderr);
}

#[test]
fn a_wrong_limit_is_a_bad_flag_that_names_the_right_ones() {
    for wrong in ["fixes", "fixes=none", "fixes=0", "fishes=1"] {
        let ran = Place::new().run(&["check", RIDGE, "--limit", wrong]).expect_code(2);
        assert!(ran.stderr.contains("scenario-seconds"), "{}", ran.stderr);
    }
}

/// docs/formats.md and the help name every limit, the page with its value.
#[test]
fn limits_are_documented() {
    let page = std::fs::read_to_string(repository().join("docs/formats.md")).expect("the page");
    let help = Place::new().run(&["report", "--help"]).expect_code(0).stdout;
    let help: String = help.split_whitespace().collect::<Vec<_>>().join(" ");
    for limit in InputLimit::ALL {
        let value = driftless_analysis::Grouped(limit.default_value());
        let row = format!("| `{}` | {value} |", limit.name());
        assert!(page.contains(&row), "{row}");
        assert!(help.contains(limit.name()), "{}: {help}", limit.name());
    }
}
