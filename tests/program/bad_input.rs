//! What people really hand to a program: each ends with exit code 1 or 2, one message, and nothing half written.

use crate::run::{Place, Ran};

fn gpx(points: &str) -> String {
    format!(
        "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"x\"><trk><trkseg>\n{points}</trkseg></trk></gpx>\n"
    )
}

fn point(lat: f64, lon: f64, time: &str) -> String {
    format!("<trkpt lat=\"{lat}\" lon=\"{lon}\"><ele>400</ele><time>{time}</time></trkpt>\n")
}

fn clock(second: u32) -> String {
    format!("2026-05-01T06:{:02}:{:02}Z", second / 60, second % 60)
}

/// Reports the file in the default way and as JSON; both must fail with one message and leave no file.
#[track_caller]
fn refused(name: &str, content: impl AsRef<[u8]>) -> Ran {
    let place = Place::new();
    place.with(name, content);
    let before = place.names();
    let json = place.run(&["report", name, "--format", "json", "-o", "out.json"]);
    assert!(json.code == 1 || json.code == 2, "exit code {}", json.code);
    let ran = place.run(&["report", name]);
    assert_eq!(ran.code, json.code);
    assert_eq!(ran.stderr.matches("error:").count(), 1, "one message: {}", ran.stderr);
    assert!(ran.stderr.contains(name), "the message names the file: {}", ran.stderr);
    assert!(!ran.stderr.contains("panicked"), "{}", ran.stderr);
    assert!(ran.stderr.len() < 1500, "a message, not a dump: {}", ran.stderr.len());
    assert_eq!(place.names(), before, "nothing is written");
    ran
}

#[test]
fn an_empty_file() {
    assert_eq!(refused("empty.igc", "").code, 2);
}

#[test]
fn a_picture() {
    let png = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x01\0\0\0\x01\x08\x06\0\0\0\x1f\x15\xc4\x89";
    assert_eq!(refused("holiday.gpx", png).code, 2);
}

#[test]
fn a_folder_where_a_file_is_wanted_and_one_without_logs() {
    let place = Place::new();
    let ran = place.run(&["check", "demo-tracks"]).expect_code(2);
    assert!(ran.stderr.contains("is a folder"), "{}", ran.stderr);
    std::fs::create_dir(place.path("empty")).expect("a folder");
    let ran = place.run(&["report", "empty"]).expect_code(2);
    assert!(ran.stderr.contains("there is no flight log in empty"), "{}", ran.stderr);
    assert_eq!(place.names(), ["demo-tracks", "empty"]);
}

#[test]
fn no_such_file() {
    let ran = Place::new().run(&["report", "nowhere.igc"]).expect_code(2);
    assert!(ran.stderr.contains("there is no file nowhere.igc"), "{}", ran.stderr);
}

#[test]
fn a_file_cut_off_before_its_first_fix() {
    refused(
        "cut.gpx",
        "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"x\"><trk><trkseg><trkpt lat=\"47.0\" lo",
    );
}

/// Cut in the middle, a log still holds half a flight: that half is reported, and the cut is named.
#[test]
fn a_truncated_log_gives_what_it_holds_and_says_so() {
    let place = Place::new();
    let whole = place.read("demo-tracks/meadow-light-wind.gpx");
    place.with("half.gpx", &whole[..whole.len() * 2 / 3]);
    let ran = place.run(&["report", "half.gpx", "--format", "json"]);
    assert!(ran.code == 0 || ran.code == 1, "{}", ran.stderr);
    let document: serde_json::Value = serde_json::from_str(&ran.stdout).expect("a document");
    let problems = document["problems"].as_array().expect("problems");
    assert!(problems.iter().any(|p| p["severity"] != "note" && p["line"].is_number()), "{problems:?}");
}

#[test]
fn a_log_without_times() {
    let points: String =
        (0..50).map(|i| format!("<trkpt lat=\"{}\" lon=\"11\"/>\n", 47.0 + f64::from(i) * 1e-4)).collect();
    let ran = refused("route.gpx", gpx(&points));
    assert!(ran.stderr.contains("no times"), "{}", ran.stderr);
}

#[test]
fn a_single_fix() {
    refused("one.gpx", gpx(&point(47.0, 11.0, &clock(0))));
}

/// An aircraft that never moves: read, but nothing to report. The default run may say so in a report; it ends with 1.
#[test]
fn all_fixes_equal() {
    let place = Place::new();
    let points: String = (0..600).map(|second| point(47.0, 11.0, &clock(second))).collect();
    place.with("parked.gpx", gpx(&points));
    let ran = place.run(&["report", "parked.gpx", "--format", "json"]).expect_code(1);
    assert!(!ran.stdout.contains("\"accepted\": true"), "{}", ran.stdout);
}

#[test]
fn latitude_95() {
    let points: String = (0..600).map(|second| point(95.0, 11.0, &clock(second))).collect();
    let ran = refused("pole.gpx", gpx(&points));
    assert!(ran.stderr.contains("95"), "the value is named: {}", ran.stderr);
}

#[test]
fn dates_in_the_future() {
    let log = Place::new().read("demo-tracks/meadow-light-wind.gpx").replace("2026-05-14", "2126-05-14");
    let ran = refused("future.gpx", log);
    assert_eq!(ran.code, 2);
    assert!(ran.stderr.contains("2126-05-14") && ran.stderr.contains("correct the date"), "{}", ran.stderr);
}

#[test]
fn thirty_megabytes_of_one_line() {
    refused("line.csv", vec![b'7'; 30_000_000]);
    let cells = [b"time,lat,lon\n".as_slice(), &b"1,2,3,".repeat(5_000_000)].concat();
    let ran = refused("cells.csv", cells);
    assert!(ran.stderr.contains("too long"), "{}", ran.stderr);
    refused("line.igc", [b"AXXX001\r\nB".as_slice(), &vec![b'1'; 30_000_000]].concat());
}

#[test]
fn a_damaged_gzip_file() {
    refused("flight.igc.gz", [b"\x1f\x8b\x08\0\0\0\0\0\0\x03".as_slice(), &[0xff; 64]].concat());
}

#[test]
fn bad_flags_are_errors() {
    let place = Place::new();
    let log = "demo-tracks/meadow-light-wind.gpx";
    for arguments in [
        vec!["report"],
        vec!["report", log, "--format", "pdf"],
        vec!["report", log, "--units", "furlong"],
        vec!["report", log, "--marks", "nowhere.csv"],
        vec!["fly"],
    ] {
        let ran = place.run(&arguments).expect_code(2);
        assert_eq!(ran.stdout, "");
        assert!(ran.stderr.starts_with("error:") || ran.stderr.contains("Usage:"), "{}", ran.stderr);
    }
}

#[test]
fn a_faulty_marks_file_is_named_with_its_line() {
    let place = Place::new();
    place.with("marks.csv", "let_go,take_over\n2026-05-14T05:48:00Z,2026-05-14T05:47:00Z\n");
    let ran = place.run(&["report", "demo-tracks/meadow-light-wind.gpx", "--marks", "marks.csv"]).expect_code(2);
    assert!(ran.stderr.contains("marks.csv") && ran.stderr.contains("line 2"), "{}", ran.stderr);
}

/// A log that was read but gives no track: what was found on the way is listed, and never "no problems".
#[test]
fn check_tells_why_a_log_gives_no_track() {
    let place = Place::new();
    let flat: String = (0..40).map(|k| point(47.0, 11.0 + f64::from(k) * 1e-3, &clock(k))).collect();
    place.with("flat.gpx", gpx(&flat.replace("<time>", "<fix>2d</fix><time>")));
    let ran = place.run(&["check", "flat.gpx"]).expect_code(1);
    assert!(
        ran.stdout.contains("Not usable: only 0 of 40 fixes") && ran.stdout.contains("[two-d-fix]"),
        "{}",
        ran.stdout
    );
    place.with("short.gpx", gpx(&[point(47.0, 11.0, &clock(0)), point(47.0, 11.001, &clock(1))].concat()));
    let ran = place.run(&["check", "short.gpx"]).expect_code(1);
    assert!(ran.stdout.contains("Nothing else was found") && !ran.stdout.contains("No problems"), "{}", ran.stdout);
}

#[test]
fn a_mapping_of_a_column_that_is_not_there() {
    let place = Place::new();
    place.with("walk.csv", "Zeit,Breite,Laenge\n2026-05-01T06:00:00Z,47,11\n");
    for (mapping, words) in [
        ("time = 1\nlatitude = 2\nlongitude = 9", "no column 9; the header names 3 columns: Zeit, Breite, Laenge"),
        ("time = 1\nlatitude = \"Hoehe\"\nlongitude = 3", "no column \"Hoehe\"; found: Zeit, Breite, Laenge"),
    ] {
        place.with("map.toml", mapping);
        for command in ["report", "check"] {
            let ran = place.run(&[command, "walk.csv", "--csv-map", "map.toml"]).expect_code(2);
            assert!(ran.stderr.contains(words), "{}", ran.stderr);
        }
    }
}

/// Beyond the years that any clock of a logger shows, it is the clock that is wrong, not the choice of export.
#[test]
fn dates_beyond_two_hundred_years() {
    let log = Place::new().read("demo-tracks/meadow-light-wind.gpx").replace("2026-05-14", "2226-05-14");
    let ran = refused("far.gpx", log);
    assert!(ran.stderr.contains("2226-05-14") && ran.stderr.contains("1970 to 2199"), "{}", ran.stderr);
    assert!(!ran.stderr.contains("waypoints"), "{}", ran.stderr);
}
