//! Names and notes come out of files that anybody may have written: whatever they hold, nothing that comes out of the
//! program acts on a terminal, a page or a spreadsheet.

use crate::run::{Place, Ran};
use serde_json::Value;

/// Sets the title of a terminal window, rings, turns the text red; turns a word around; begins a line.
const NASTY: &str = "\u{1b}]0;pwned\u{7}\u{1b}[31m\u{8}\u{7f}\u{9b}\u{202e}evil\u{2069}\u{2028}end";

const RIDGE: &str = "demo-tracks/ridge-five-metres.igc";
const LAKE: &str = "demo-tracks/lake-evening.csv";
const MEADOW: &str = "demo-tracks/meadow-light-wind.gpx";

/// The classes of Unicode that act instead of being shown (Cc without the line end, Zl, Zp, Bidi_Control).
fn acts(c: char) -> bool {
    c != '\n' && (c.is_control() || "\u{61c}\u{200e}\u{200f}\u{2028}\u{2029}".contains(c))
        || ('\u{202a}'..='\u{202e}').contains(&c)
        || ('\u{2066}'..='\u{2069}').contains(&c)
}

#[track_caller]
fn shows_only(what: &str, text: &str) {
    if let Some(at) = text.find(acts) {
        panic!("{what} acts at byte {at}: {:?}", text[at..].chars().take(40).collect::<String>());
    }
}

/// Runs the program and holds both of its streams to that.
#[track_caller]
fn run(place: &Place, arguments: &[&str]) -> Ran {
    let ran = place.run(arguments);
    shows_only("standard output", &ran.stdout);
    shows_only("standard error", &ran.stderr);
    ran
}

/// Whether some text of a document contains a piece.
fn says(document: &Value, piece: &str) -> bool {
    match document {
        Value::String(text) => text.contains(piece),
        Value::Array(list) => list.iter().any(|entry| says(entry, piece)),
        Value::Object(keys) => keys.values().any(|value| says(value, piece)),
        _ => false,
    }
}

/// Reports a log in every format; gives the JSON document back.
#[track_caller]
fn reported(place: &Place, log: &str, more: &[&str]) -> Value {
    let mut document = Value::Null;
    for format in ["html", "text", "csv", "json"] {
        let mut arguments = vec!["report", log, "--format", format];
        arguments.extend(more);
        let ran = run(place, &arguments);
        assert!(!ran.stdout.is_empty(), "{format}: {}", ran.stderr);
        if format == "json" {
            document = serde_json::from_str(&ran.stdout).expect("a document");
        }
    }
    document
}

#[test]
fn regression_an_end_tag() {
    let place = Place::new();
    let log = place.read(MEADOW).replacen("</ele>", &format!("</{NASTY}>"), 1);
    place.with("odd.gpx", log);
    let document = reported(&place, "odd.gpx", &[]);
    let problems = document["problems"].as_array().expect("problems");
    assert!(
        problems.iter().any(|p| p["message"].as_str().is_some_and(|m| m.contains("\u{1b}]0;pwned"))),
        "{problems:?}"
    );
    let listed = run(&place, &["check", "odd.gpx"]).expect_code(0).stdout;
    assert!(listed.contains("\\u{1b}]0;pwned\\u{7}"), "made visible: {listed}");
}

#[test]
fn regression_marks_of_a_log() {
    let place = Place::new();
    let log = place.read(RIDGE);
    // A line separator is a character of its own in no IGC file; a logger's line ends stay what they are.
    place.with("odd.igc", log.replace("let go trim-level", &format!("let go trim-level {NASTY}")));
    let document = reported(&place, "odd.igc", &[]);
    assert!(document.to_string().contains("pwned"), "the mark's words are told");
    run(&place, &["check", "odd.igc"]).expect_code(0);
}

#[test]
fn regression_columns_of_a_table() {
    let place = Place::new();
    let log = place.read(LAKE);
    let (header, rows) = log.split_once('\n').expect("a header");
    // In front, because a message names only so many columns.
    let rows: String = rows.lines().map(|row| format!("1,{row}\n")).collect();
    place.with("odd.csv", format!("{NASTY},{header}\n{rows}"));
    reported(&place, "odd.csv", &["--marks", "demo-tracks/lake-evening.marks.csv"]);
    let listed = run(&place, &["check", "odd.csv"]).expect_code(0).stdout;
    assert!(listed.contains("\\u{1b}[31m"), "the column is told: {listed}");
    // Enough of a table not to be taken for a binary file.
    place.with("none.csv", format!("a{NASTY},b\n{}", "1,2\n".repeat(1000)));
    assert!(run(&place, &["report", "none.csv"]).expect_code(2).stderr.contains("pwned"));
}

#[test]
fn regression_faults_of_a_marks_file() {
    let place = Place::new();
    for marks in [
        format!("let_go,take_over,scenario\n1,99,{NASTY}\n"),
        format!("let_go,take_over,{NASTY}\n1,99,x\n"),
        format!("let_go,take_over\n1,{NASTY}\n"),
        format!("let_go,take_over,{}\n1,99,x\n", "long".repeat(100_000)),
    ] {
        place.with("marks.csv", marks);
        let ran = run(&place, &["report", LAKE, "--marks", "marks.csv", "--format", "json"]).expect_code(2);
        assert!(ran.stderr.contains("marks file, line"), "{}", ran.stderr);
        assert!(ran.stderr.len() < 500, "a message, not a dump: {}", ran.stderr.len());
    }
}

#[test]
fn regression_set_ups_and_notes_of_a_marks_file() {
    let place = Place::new();
    let marks = place.read("demo-tracks/lake-evening.marks.csv");
    let mut rows = marks.lines().filter(|row| !row.starts_with('#'));
    let header = rows.next().expect("a header");
    assert_eq!(header, "let_go,take_over,scenario,setup,note");
    let times = |row: &str| row.splitn(4, ',').take(3).collect::<Vec<_>>().join(",");
    let rows: String = rows.map(|row| format!("{},=1+1{NASTY},@SUM(A1)\n", times(row))).collect();
    place.with("marks.csv", format!("{header}\n{rows}"));
    let document = reported(&place, LAKE, &["--marks", "marks.csv"]);
    assert!(document["windows"].as_array().is_some_and(|windows| !windows.is_empty()));
    let table = run(&place, &["report", LAKE, "--marks", "marks.csv", "--format", "csv"]).stdout;
    assert!(table.contains(",'=1+1\\u{1b}]0;pwned") && table.contains(",'@SUM(A1),"), "{table}");
    assert!(!table.contains(",=") && !table.contains(",@"), "{table}");
}

#[cfg(unix)]
#[test]
fn regression_names_of_files() {
    let place = Place::new();
    // No folder can hold a slash or NUL; everything else may stand in a name, and a formula too.
    let name = format!("=1+1 {NASTY}\nerror: forged.igc");
    place.with(&name, place.read(RIDGE));
    let document = reported(&place, &name, &[]);
    assert_eq!(document["log"]["file"], name, "JSON keeps the name as it is");
    let ran = run(&place, &["report", &name]).expect_code(0);
    assert!(!ran.stdout.contains("\nerror:"), "a name makes no line: {}", ran.stdout);
    let table = run(&place, &["report", &name, "--format", "csv"]).stdout;
    assert!(table.contains("'=1+1 "), "{table}");
    let tracks = ["--export-gpx", "air.gpx", "--export-geojson", "air.geojson"];
    run(&place, &[&["report", name.as_str(), "--format", "csv"], tracks.as_slice()].concat()).expect_code(0);
    shows_only("the exported GPX", &place.read("air.gpx"));
    shows_only("the exported GeoJSON", &place.read("air.geojson"));
    for arguments in [
        vec!["report", "absent\u{1b}[31m\nerror: forged"],
        vec!["check", &name],
        vec!["check", "absent\u{1b}[31m"],
        vec!["report", &name, "-o", &name],
        vec!["report", RIDGE, "--marks", "absent\u{1b}[31m"],
        vec!["compare", "absent\u{1b}[31m.toml"],
        vec!["report", RIDGE, "--no-such\u{1b}[31m"],
    ] {
        let ran = run(&place, &arguments);
        assert!(!ran.stderr.contains("\nerror: forged"), "{}", ran.stderr);
    }
}

/// A campaign whose every name is a nasty one; `escape` writes it as TOML does.
fn campaign() -> String {
    let nasty: String = NASTY.chars().map(|c| format!("\\u{:04x}", u32::from(c))).collect();
    format!(
        r#"
title = "=cmd {nasty}"
club = "{nasty}"
note = "two\nlines {nasty}"
[power_units."p{nasty}"]
name = "@unit {nasty}"
propeller = "clockwise"
reduction_ratio = 2.8
[wings."w{nasty}"]
name = "+wing {nasty}"
[setups."s{nasty}"]
name = "=1+1 {nasty}"
power_unit = "p{nasty}"
[[stopwatch]]
setup = "s{nasty}"
wing = "w{nasty}"
scenario = "trim-level"
degrees = 360
seconds = 60
turned = "left"
timed_by = "{nasty}"
[[stopwatch]]
setup = "s{nasty}"
wing = "w{nasty}"
scenario = "trim-level"
degrees = 360
seconds = 63
turned = "left"
note = "{nasty}"
"#
    )
}

#[test]
fn regression_titles_names_and_ids_of_a_campaign() {
    let place = Place::new();
    place.with("club.toml", campaign());
    for format in ["html", "text", "csv", "json"] {
        run(&place, &["compare", "club.toml", "--format", format]).expect_code(0);
    }
    let table = run(&place, &["compare", "club.toml", "--format", "csv"]).stdout;
    assert!(table.contains(",'=1+1 ") && table.contains(",'+wing "), "{table}");
    run(&place, &["plan", "club.toml", "-o", "-"]).expect_code(0);
    let document: Value =
        serde_json::from_str(&run(&place, &["compare", "club.toml", "--format", "json"]).stdout).expect("a document");
    assert!(says(&document, NASTY), "JSON keeps the names as they are");
}

#[test]
fn regression_faults_of_a_campaign_file() {
    let place = Place::new();
    place.with("club.toml", campaign().replace("wing = \"w", "wing = \"x"));
    let ran = run(&place, &["compare", "club.toml"]).expect_code(2);
    assert!(ran.stderr.contains("pwned"), "the wrong name is told: {}", ran.stderr);
}

/// Rust's own formatting ends at a width of 65,535.
#[test]
fn regression_a_campaign_name_of_seventy_thousand_characters() {
    let place = Place::new();
    place.with("club.toml", campaign().replace("name = \"=1+1", &format!("name = \"{}", "x".repeat(70_000))));
    for format in ["html", "text", "csv", "json"] {
        let ran = run(&place, &["compare", "club.toml", "--format", format]);
        assert!(ran.code == 0 || ran.code == 2, "{}", ran.stderr);
        assert!(!ran.stderr.contains("panicked"), "{}", ran.stderr);
    }
}
