//! Many logs in one run: folders, patterns and lists, side by side, with what fails among them, and interrupted.

use crate::run::{Place, Ran, executable, slowed};
use std::path::Path;
use std::time::{Duration, Instant};

/// A season: the demo logs in folders of two years, and what else lies about in such folders.
fn season() -> Place {
    let place = Place::new();
    for folder in ["season", "season/2025", "season/2026"] {
        std::fs::create_dir(place.path(folder)).expect("a folder");
    }
    for (from, to) in [
        ("ridge-five-metres.igc", "season/2025/morning.igc"),
        ("meadow-light-wind.gpx", "season/2025/morning.gpx"),
        ("ridge-five-metres.igc", "season/2026/evening.igc"),
        ("lake-evening.csv", "season/2026/lake.csv"),
        ("lake-evening.marks.csv", "season/2026/marks-of-the-day.csv"),
    ] {
        std::fs::copy(place.path("demo-tracks").join(from), place.path(to)).expect("a copy");
    }
    place.with("season/2026/broken.igc", "this is no log at all\n");
    place.with("season/notes.odt", "not looked at");
    place
}

/// Files below a folder, sorted, without what ends otherwise.
fn files_below(folder: &Path, ending: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(next) = folders.pop() {
        for entry in std::fs::read_dir(next).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.to_string_lossy().ends_with(ending) {
                found.push(path.strip_prefix(folder).expect("below").to_string_lossy().replace('\\', "/"));
            }
        }
    }
    found.sort();
    found
}

/// The logs of documents on lines, in their order.
fn logs_of(lines: &str) -> Vec<String> {
    let name = |line: &str| {
        let document: serde_json::Value = serde_json::from_str(line).expect("a document on a line");
        document["log"]["file"].as_str().expect("a name").to_owned()
    };
    lines.lines().map(name).collect()
}

#[test]
fn a_folder_is_reported_whole_and_one_bad_log_stops_nothing() {
    let place = season();
    let ran = place.run(&["report", "season", "--format", "json"]).expect_code(2);
    assert_eq!(
        logs_of(&ran.stdout),
        ["morning.gpx", "morning.igc", "evening.igc", "lake.csv"],
        "in the order of names"
    );
    assert!(ran.stderr.contains("error: season/2026/broken.igc"), "{}", ran.stderr);
    assert!(
        ran.stderr.contains("passed over, because it is no flight log: season/2026/marks-of-the-day.csv"),
        "{}",
        ran.stderr
    );
    assert!(ran.stderr.ends_with("note: 6 logs: 4 with turn rates, 1 failed, 1 passed over\n"), "{}", ran.stderr);
}

#[test]
fn pages_of_a_folder_keep_its_folders_and_do_not_meet() {
    let place = season();
    std::fs::remove_file(place.path("season/2026/broken.igc")).expect("gone");
    let ran = place.run(&["report", "season", "-o", "pages/"]).expect_code(0);
    assert_eq!(
        files_below(&place.path("pages"), ""),
        [
            "2025/morning.gpx.report.html",
            "2025/morning.igc.report.html",
            "2026/evening.report.html",
            "2026/lake.report.html"
        ]
    );
    assert_eq!(ran.stdout.matches("Report with charts: ").count(), 4);
    // A second run takes none of its own files for a log.
    place
        .run(&["report", "season", "--export-gpx", "season/", "-o", "season/", "--write-marks", "season/"])
        .expect_code(0);
    let again = place.run(&["report", "season", "--format", "csv"]).expect_code(0);
    assert!(again.stderr.ends_with("note: 5 logs: 4 with turn rates, 1 passed over\n"), "{}", again.stderr);
}

#[test]
fn a_pattern_and_a_list_name_logs_and_a_single_one_stands_on_a_line() {
    let place = season();
    let ran = place.run(&["report", "season/**/*.igc", "--format", "json"]).expect_code(2);
    assert_eq!(logs_of(&ran.stdout), ["morning.igc", "evening.igc"]);
    place.with("list.txt", "# the good ones\nseason/2026/evening.igc\nseason/2025/*.gpx\n");
    let ran = place.run(&["report", "@list.txt", "--format", "json"]).expect_code(0);
    assert_eq!(logs_of(&ran.stdout), ["evening.igc", "morning.gpx"]);
    let ran = place.run_with_stdin(&["report", "@-", "--format", "json"], b"season/2026/evening.igc\n".to_vec());
    assert_eq!(logs_of(&ran.expect_code(0).stdout), ["evening.igc"], "a list of one is a list");
    let ran = place.run(&["report", "nothing/*.igc"]).expect_code(2);
    assert!(ran.stderr.contains("no file has a name like nothing/*.igc"), "{}", ran.stderr);
}

#[test]
fn results_do_not_depend_on_how_many_are_worked_on_at_a_time() {
    let place = season();
    for format in ["json", "csv", "text"] {
        let run =
            |jobs: &str| -> Ran { place.run(&["report", "season", "--format", format, "--jobs", jobs]).expect_code(2) };
        let [one, four] = ["1", "4"].map(run);
        let jobs_aside = |text: &str| text.replace("--jobs 1", "").replace("--jobs 4", "");
        assert_eq!(jobs_aside(&one.stdout), jobs_aside(&four.stdout), "{format}");
        assert_eq!(one.stderr, four.stderr, "{format}");
    }
    assert!(place.run(&["report", "season", "--jobs", "0"]).expect_code(2).stderr.contains("--jobs"));
}

#[test]
fn rows_with_types_go_into_one_file_or_one_for_each_year() {
    let place = season();
    place.run(&["report", "season", "--format", "parquet", "-o", "season.parquet"]).expect_code(2);
    place.run(&["report", "season", "--format", "parquet", "-o", "rows/"]).expect_code(2);
    let years = files_below(&place.path("rows"), ".parquet");
    assert_eq!(years, ["year=2026/windows.parquet"], "all demo flights are of one year");
    let whole = std::fs::read(place.path("season.parquet")).expect("a file");
    let ran = place.command().args(["report", "season", "--format", "parquet"]).output().expect("runs");
    for bytes in
        [whole.as_slice(), &ran.stdout, &std::fs::read(place.path("rows/year=2026/windows.parquet")).expect("a file")]
    {
        assert!(bytes.starts_with(b"PAR1") && bytes.ends_with(b"PAR1"), "{} bytes", bytes.len());
    }
    // Rows of another year, left by an earlier run, would be read together with these.
    std::fs::create_dir(place.path("rows/year=2019")).expect("a folder");
    std::fs::copy(place.path("season.parquet"), place.path("rows/year=2019/windows.parquet")).expect("a copy");
    let ran = place.run(&["report", "season", "--format", "parquet", "-o", "rows/"]).expect_code(2);
    assert!(ran.stderr.contains("year=2019 is of an earlier run"), "{}", ran.stderr);
}

#[test]
fn the_rows_of_a_parquet_file_are_the_windows_of_the_documents() {
    use parquet::file::reader::{FileReader, SerializedFileReader};
    use parquet::record::Field;
    let place = season();
    place.run(&["report", "season", "--format", "parquet", "-o", "season.parquet"]).expect_code(2);
    let documents = place.run(&["report", "season", "--format", "json"]).expect_code(2).stdout;
    let mut wanted = Vec::new();
    for line in documents.lines() {
        let document: serde_json::Value = serde_json::from_str(line).expect("a document");
        for window in document["windows"].as_array().expect("windows") {
            let rate = window["turn_rate"]["value_deg_s"].as_f64();
            wanted.push((document["log"]["file"].as_str().map(str::to_owned), window["id"].as_i64(), rate));
        }
    }
    let file = std::fs::File::open(place.path("season.parquet")).expect("a file");
    let reader = SerializedFileReader::new(file).expect("Parquet");
    let mut found = Vec::new();
    for row in reader.get_row_iter(None).expect("rows") {
        let row = row.expect("a row");
        let field = |wanted: &str| row.get_column_iter().find(|(name, _)| *name == wanted).map(|(_, field)| field);
        let text = |field: Option<&Field>| if let Some(Field::Str(text)) = field { Some(text.clone()) } else { None };
        let whole = |field: Option<&Field>| if let Some(Field::Long(whole)) = field { Some(*whole) } else { None };
        let rate = |field: Option<&Field>| if let Some(Field::Double(rate)) = field { Some(*rate) } else { None };
        found.push((text(field("log_file")), whole(field("id")), rate(field("turn_rate_value_deg_s"))));
    }
    assert!(!wanted.is_empty());
    assert_eq!(found, wanted);
}

#[test]
fn a_run_goes_on_where_it_stopped_and_gives_the_same() {
    let place = season();
    let arguments = ["report", "season", "--format", "json", "-o", "season.jsonl", "--resume"];
    place.run(&arguments).expect_code(2);
    assert!(place.path("season.jsonl.resume").is_file(), "asked for, it stays");
    let whole = place.read("season.jsonl");
    std::fs::remove_file(place.path("season.jsonl")).expect("gone");
    let again = place.run(&arguments).expect_code(2);
    assert_eq!(place.read("season.jsonl"), whole);
    assert!(again.stderr.contains("4 with turn rates, 1 failed, 1 passed over"), "{}", again.stderr);
    let marked = |note: &str| {
        let marks = "let_go,take_over,scenario,setup,note\n2026-06-02T16:16:00Z,2026-06-02T16:17:00Z,,,";
        place.with("marks.csv", format!("{marks}{note}\n"));
        place.run(&[&arguments[..], &["--marks", "marks.csv"]].concat()).expect_code(2);
        place.read("season.jsonl")
    };
    // Other files beside the logs are other settings, and so are other bytes under the same name.
    assert!(marked("first").contains("\"first\""));
    let second = marked("second");
    assert!(second.contains("\"second\"") && !second.contains("\"first\""));
    std::fs::copy(place.path("season/2025/morning.gpx"), place.path("season/2026/broken.igc")).expect("mended");
    let mended = place.run(&arguments).expect_code(0);
    assert!(mended.stderr.contains("5 with turn rates, 1 passed over"), "{}", mended.stderr);
    assert!(files_below(&place.path(""), "-wal").is_empty(), "no file of the database beside it");
}

#[test]
fn what_was_finished_is_not_done_again() {
    let place = season();
    let arguments = ["report", "season", "--format", "json", "-o", "season.jsonl", "--resume"];
    place.run(&arguments).expect_code(2);
    // Every log is given what one of them came to; only a run that looks there can say so.
    let kept = rusqlite::Connection::open(place.path("season.jsonl.resume")).expect("SQLite");
    let finished: i64 = kept.query_row("SELECT count(*) FROM finished", [], |row| row.get(0)).expect("a count");
    assert_eq!(finished, 6, "what failed and what was passed over too: it would again");
    let largest = "(SELECT done FROM finished ORDER BY length(done) DESC LIMIT 1)";
    kept.execute(&format!("UPDATE finished SET done = {largest}"), []).expect("tampered with");
    drop(kept);
    place.run(&arguments).expect_code(0);
    let logs = logs_of(&place.read("season.jsonl"));
    assert_eq!(logs, vec![logs[0].clone(); 6]);
}

#[test]
fn pages_that_are_gone_are_made_again_by_a_run_that_goes_on() {
    let place = season();
    let arguments = ["report", "season/2025", "-o", "pages/", "--resume"];
    place.run(&arguments).expect_code(0);
    let page = place.path("pages/morning.igc.report.html");
    std::fs::remove_file(&page).expect("gone");
    place.run(&arguments).expect_code(0);
    assert!(page.is_file());
}

#[test]
fn a_file_of_something_else_is_not_taken_for_finished_logs() {
    let place = season();
    place.with("precious.txt", "do not write over this");
    let ran = place.run(&["report", "season", "--format", "csv", "--resume=precious.txt"]).expect_code(2);
    assert!(ran.stderr.contains("precious.txt") && ran.stderr.contains("--resume=FILE"), "{}", ran.stderr);
    assert_eq!(place.read("precious.txt"), "do not write over this");
    let ran = place.run(&["report", "season", "--format", "csv", "--resume"]).expect_code(2);
    assert!(ran.stderr.contains("--resume=FILE"), "{}", ran.stderr);
}

#[test]
fn where_nothing_can_be_written_the_output_is_named() {
    let place = long_season(20);
    place.with("taken", "a file where a folder is wanted");
    let ran = place.run(&["report", "long", "--format", "csv", "-o", "taken/out.csv"]).expect_code(2);
    assert!(ran.stderr.contains("cannot write taken/out.csv") && !ran.stderr.contains("resume"), "{}", ran.stderr);
}

/// Many short logs, so that a run takes long enough to be stopped in the middle.
fn long_season(logs: usize) -> Place {
    let place = Place::new();
    std::fs::create_dir(place.path("long")).expect("a folder");
    for n in 0..logs {
        let copy = place.path(&format!("long/{n:03}.igc"));
        std::fs::copy(place.path("demo-tracks/ridge-five-metres.igc"), copy).expect("a copy");
    }
    place
}

#[cfg(unix)]
#[test]
fn a_run_that_is_stopped_leaves_no_half_file_and_goes_on() {
    let place = long_season(24);
    let arguments = ["report", "long", "--format", "csv", "-o", "long.csv"];
    let child = std::process::Command::new(executable())
        .args(arguments)
        .current_dir(place.path(""))
        .stderr(std::process::Stdio::piped())
        .spawn()
        .expect("runs");
    // Stopped when some are done, which its file of finished logs tells.
    let begun = Instant::now();
    while !place.path("long.csv.resume-wal").metadata().is_ok_and(|wal| wal.len() > 40_000) {
        assert!(begun.elapsed() < slowed(100), "nothing is kept");
        std::thread::sleep(Duration::from_millis(5));
    }
    let stopped = std::process::Command::new("kill").args(["-INT", &child.id().to_string()]).status().expect("kill");
    assert!(stopped.success());
    let ended = child.wait_with_output().expect("ends");
    if ended.status.success() {
        // So quick a machine that it was through before: nothing to go on with.
        return;
    }
    assert_eq!(ended.status.code(), Some(130));
    let words = String::from_utf8(ended.stderr).expect("words");
    assert!(words.contains("what is finished is kept in long.csv.resume, and --resume goes on"), "{words}");
    let left: Vec<_> = place.names().into_iter().filter(|name| !name.starts_with("long.csv.resume")).collect();
    assert_eq!(left, ["demo-tracks", "long"], "no half file");
    let refused = place.run(&arguments).expect_code(2);
    assert!(refused.stderr.contains("an earlier run was interrupted"), "{}", refused.stderr);
    place.run(&[&arguments[..], &["--resume"]].concat()).expect_code(0);
    let resumed = place.read("long.csv");
    std::fs::remove_file(place.path("long.csv.resume")).expect("gone");
    place.run(&arguments).expect_code(0);
    assert_eq!(resumed, place.read("long.csv"), "as one that was never stopped");
    assert!(!place.path("long.csv.resume").exists(), "nobody asked to keep it");
}
