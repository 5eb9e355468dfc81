//! Where results go: beside the log, to a path, to a folder, to standard output; and what is refused.

use crate::run::{Place, executable};
use std::io::Read;
use std::process::{Command, Stdio};

const RIDGE: &str = "demo-tracks/ridge-five-metres.igc";
const MEADOW: &str = "demo-tracks/meadow-light-wind.gpx";

#[test]
fn the_page_stands_beside_the_log_and_its_path_is_printed() {
    let place = Place::new();
    let ran = place.run(&["report", RIDGE]).expect_code(0);
    assert!(ran.stdout.ends_with("\nReport with charts: demo-tracks/ridge-five-metres.report.html\n"));
    assert!(place.read("demo-tracks/ridge-five-metres.report.html").starts_with("<!DOCTYPE html>"));
    assert_eq!(place.names(), ["demo-tracks"], "nothing elsewhere, no temporary file");
}

#[test]
fn o_names_a_file_or_a_folder_for_several() {
    let place = Place::new();
    place.run(&["report", RIDGE, "--format", "json", "-o", "one.json"]).expect_code(0);
    assert!(place.read("one.json").starts_with("{\n"));
    place.run(&["report", RIDGE, MEADOW, "--format", "html", "-o", "pages/"]).expect_code(0);
    assert!(place.read("pages/ridge-five-metres.report.html").contains("</html>"));
    assert!(place.read("pages/meadow-light-wind.report.html").contains("</html>"));
    place.run(&["report", RIDGE, MEADOW, "--format", "csv", "-o", "all.csv"]).expect_code(0);
    let table = place.read("all.csv");
    assert_eq!(table.matches("turn_rate_deg_s").count(), 1, "one header");
    assert!(table.contains("ridge-five-metres.igc") && table.contains("meadow-light-wind.gpx"));
    assert!(!table.contains("demo-tracks"), "where a log lies is nobody's business");
}

#[test]
fn standard_input_is_a_log_too() {
    let place = Place::new();
    let log = place.read(MEADOW).into_bytes();
    let ran = place.run_with_stdin(&["report", "-", "--format", "json"], log.clone()).expect_code(0);
    assert!(ran.stdout.contains("\"file\": \"standard input\""));
    let ran = place.run_with_stdin(&["report", "-"], log).expect_code(0);
    assert!(ran.stdout.starts_with("standard input, 2026-"));
    assert!(ran.stderr.contains("-o"), "says how to have the page: {}", ran.stderr);
    assert_eq!(place.names(), ["demo-tracks"]);
}

#[test]
fn a_gzip_ed_log_gives_the_same_figures() {
    let place = Place::new();
    let packed = Command::new("gzip").args(["-k", RIDGE]).current_dir(place.path("")).status();
    if !packed.is_ok_and(|status| status.success()) {
        panic!("gzip is needed for this test");
    }
    let column = |log: &str| -> Vec<String> {
        let ran = place.run(&["report", log, "--format", "csv"]).expect_code(0);
        let mut reader = ran.stdout.lines();
        let at = reader.next().expect("a header").split(',').position(|c| c == "turn_rate_deg_s").expect("the column");
        reader.map(|row| row.split(',').nth(at).expect("a cell").to_owned()).collect()
    };
    assert_eq!(column(RIDGE), column(&format!("{RIDGE}.gz")));
}

/// With several logs one failure does not stop the others; the exit code tells of it.
#[test]
fn one_bad_log_among_several() {
    let place = Place::new();
    place.with("empty.igc", "");
    let ran = place.run(&["report", RIDGE, "empty.igc", MEADOW, "--format", "json"]).expect_code(2);
    assert_eq!(ran.stdout.lines().count(), 2);
    assert!(ran.stderr.contains("empty.igc"));
}

#[test]
fn an_input_is_never_written_over() {
    let place = Place::new();
    let before = place.read(RIDGE);
    for output in [RIDGE, "demo-tracks/../demo-tracks/ridge-five-metres.igc"] {
        let ran = place.run(&["report", RIDGE, "--format", "csv", "-o", output]).expect_code(2);
        assert!(ran.stderr.contains("written over"), "{}", ran.stderr);
    }
    assert_eq!(place.read(RIDGE), before);
}

#[test]
fn two_reports_never_meet_in_one_file() {
    let place = Place::new();
    for arguments in [
        vec!["report", RIDGE, MEADOW, "-o", "page.html"],
        vec!["report", RIDGE, MEADOW, "--format", "html"],
        vec!["report", RIDGE, RIDGE],
        vec!["report", "-", "-"],
        vec!["report", RIDGE, "--format", "html", "-o", "x", "--export-gpx", "x"],
    ] {
        let ran = place.run(&arguments).expect_code(2);
        assert!(ran.stderr.starts_with("error:"), "{}", ran.stderr);
    }
    assert_eq!(place.names(), ["demo-tracks"]);
}

#[cfg(unix)]
#[test]
fn a_place_that_cannot_be_written_is_named_and_left_clean() {
    let place = Place::new();
    place.with("plain-file", "x");
    let ran = place.run(&["report", RIDGE, "--format", "json", "-o", "plain-file/out.json"]).expect_code(2);
    assert!(ran.stderr.contains("plain-file/out.json") && ran.stderr.contains("-o"), "{}", ran.stderr);
    assert_eq!(place.names(), ["demo-tracks", "plain-file"]);
}

/// Root may write anywhere, so as root this only checks that nothing half is left.
#[cfg(unix)]
#[test]
fn a_read_only_folder() {
    use std::os::unix::fs::PermissionsExt;
    let place = Place::new();
    let folder = place.path("demo-tracks");
    std::fs::set_permissions(&folder, PermissionsExt::from_mode(0o555)).expect("permissions");
    let ran = place.run(&["report", RIDGE]);
    std::fs::set_permissions(&folder, PermissionsExt::from_mode(0o755)).expect("permissions");
    let page = place.path("demo-tracks/ridge-five-metres.report.html");
    if ran.code == 0 {
        assert!(place.read("demo-tracks/ridge-five-metres.report.html").contains("</html>"));
    } else {
        assert_eq!(ran.code, 2);
        assert!(ran.stdout.contains("Hands off"), "the summary is printed all the same");
        assert!(ran.stderr.contains("-o"), "{}", ran.stderr);
        assert!(!page.exists());
    }
}

#[cfg(unix)]
#[test]
fn a_device_is_written_to_and_not_replaced() {
    use std::os::unix::fs::FileTypeExt;
    let place = Place::new();
    place.run(&["report", RIDGE, "--format", "csv", "-o", "/dev/null"]).expect_code(0);
    assert!(std::fs::metadata("/dev/null").expect("it is there").file_type().is_char_device());
}

/// A reader that goes away is silence, not an error: `driftless report … | head -1`.
#[test]
fn a_closed_pipe_is_silent() {
    let place = Place::new();
    let logs = [RIDGE, MEADOW];
    let mut child = Command::new(executable())
        .arg("report")
        .args(logs)
        .args(["--format", "json"])
        .current_dir(place.path(""))
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program runs");
    drop(child.stdout.take());
    let mut stderr = String::new();
    child.stderr.take().expect("a pipe").read_to_string(&mut stderr).expect("text");
    let status = child.wait().expect("an end");
    assert_eq!(stderr, "");
    assert_eq!(status.code(), Some(0));
}

#[test]
fn the_air_track_is_exported_for_maps() {
    let place = Place::new();
    place
        .run(&["report", RIDGE, "--format", "csv", "--export-gpx", "air.gpx", "--export-geojson", "air.geojson"])
        .expect_code(0);
    assert!(place.read("air.gpx").contains("<trkpt"));
    let document: serde_json::Value = serde_json::from_str(&place.read("air.geojson")).expect("JSON");
    assert!(document.to_string().contains("coordinates"));
    let of_type = |kind: &str| document.to_string().matches(&format!("\"type\":\"{kind}\"")).count();
    // Both ends of each of the five windows.
    assert_eq!((of_type("Point"), place.read("air.gpx").matches("<wpt").count()), (10, 10));
    // The program reads its own export, and finds hardly any wind in it.
    let ran = place.run(&["report", "air.gpx", "--format", "json"]);
    let again: serde_json::Value = serde_json::from_str(&ran.stdout).expect("JSON");
    for entry in again["wind"]["profile"].as_array().expect("a profile") {
        assert!(entry["speed_mps"].as_f64().is_some_and(|speed| speed < 2.5), "{entry}");
    }
    let windows = again["windows"].as_array().expect("windows");
    assert!(windows.len() == 5 && windows.iter().all(|window| window["origin"] == "marked"), "{windows:?}");
}

/// A device that is full takes nothing, and says so only when it is asked to.
#[cfg(target_os = "linux")]
#[test]
fn regression_a_full_standard_output_is_an_error_with_its_place() {
    let place = Place::new();
    for arguments in [
        ["--help", "", "", ""].as_slice(),
        &["--version", "", "", ""],
        &["man"],
        &["complete", "bash"],
        &["report", RIDGE, "--format", "json"],
        &["check", RIDGE],
    ] {
        let full = std::fs::File::options().write(true).open("/dev/full").expect("the device is there");
        let output = Command::new(executable())
            .args(arguments.iter().filter(|argument| !argument.is_empty()))
            .current_dir(place.path(""))
            .stdout(full)
            .stderr(Stdio::piped())
            .output()
            .expect("the program runs");
        let stderr = String::from_utf8(output.stderr).expect("text");
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {stderr}");
        assert!(stderr.contains("standard output"), "{arguments:?}: {stderr}");
    }
}

/// A run that was killed could not remove what it had begun; the next one in that folder does.
#[test]
fn regression_what_a_killed_run_left_goes_with_the_next() {
    let place = Place::new();
    let old = std::fs::File::create(place.path("demo-tracks/.driftless-AbCdEf")).expect("a file");
    let hours_ago = std::time::SystemTime::now() - std::time::Duration::from_secs(7200);
    old.set_modified(hours_ago).expect("a time");
    let held = std::fs::File::create(place.path("demo-tracks/.driftless-GhIjKl")).expect("a file");
    held.set_modified(hours_ago).expect("a time");
    held.lock().expect("a lock");
    place.run(&["report", RIDGE]).expect_code(0);
    assert!(!place.path("demo-tracks/.driftless-AbCdEf").exists(), "nobody holds it");
    assert!(place.path("demo-tracks/.driftless-GhIjKl").exists(), "another run is writing it");
}

/// Asked to stop, the program ends by itself with the code of a shell, after its clearing up.
#[cfg(unix)]
#[test]
fn a_run_that_is_asked_to_stop_ends_with_its_code() {
    let mut child = Command::new(executable())
        .args(["check", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .spawn()
        .expect("the program runs");
    // Held open: the end of its input would be an error of its own.
    let _input = child.stdin.take();
    // It waits for its input; half a second is ample to have begun that.
    std::thread::sleep(std::time::Duration::from_millis(500));
    let sent = Command::new("kill").args(["-TERM", &child.id().to_string()]).status().expect("kill runs");
    assert!(sent.success());
    // `wait` closes the input of the child: an end of input may then come before the signal.
    let input = child.stdin.take();
    assert_eq!(child.wait().expect("an end").code(), Some(130));
    drop(input);
}

/// Marks of another day, of one log of two, and of both.
#[test]
fn regression_marks_that_fit_no_log_are_an_error_after_the_report() {
    let place = Place::new();
    let lake = "demo-tracks/lake-evening.csv";
    let marks = place.read("demo-tracks/lake-evening.marks.csv");
    place.with("other-day.csv", marks.replace("2026-08-23", "2026-08-24"));
    let ran = place.run(&["report", lake, "--marks", "other-day.csv", "--format", "json"]).expect_code(2);
    assert!(ran.stderr.contains("the marks file names no window inside this log"), "{}", ran.stderr);
    assert!(ran.stdout.contains("\"schema\""), "the report is made all the same");
    // A day's marks may be given beside all logs of the day: they fit one of them.
    place
        .run(&["report", lake, MEADOW, "--marks", "demo-tracks/lake-evening.marks.csv", "--format", "csv"])
        .expect_code(0);
}
