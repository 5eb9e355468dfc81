//! `driftless logbook` as a person uses it.

use crate::run::{Place, Ran, repository};
use serde_json::Value;
use std::path::Path;

/// The campaign file of the demo, by its whole path.
fn demo() -> String {
    repository().join("demo-tracks/campaign/campaign.toml").display().to_string()
}

/// What `compare` says of a campaign file, without how it was made and where runs stand.
fn figures(place: &Place, campaign: &str) -> Value {
    let ran = place.run(&["compare", campaign, "--format", "json"]).expect_code(0);
    let mut document: Value = serde_json::from_str(&ran.stdout).expect("JSON");
    without_places(&mut document);
    let removed = document.as_object_mut().and_then(|map| map.remove("made_by"));
    assert!(removed.is_some(), "how it was made is not where it was");
    document
}

/// Runs of a sheet stand in the campaign file after an export.
fn without_places(value: &mut Value) {
    match value {
        Value::String(words) if words.starts_with("stopwatch, ") => words.truncate("stopwatch".len()),
        Value::Object(map) => map.values_mut().for_each(without_places),
        Value::Array(items) => items.iter_mut().for_each(without_places),
        _ => {}
    }
}

#[test]
fn a_campaign_goes_in_and_comes_out_with_the_same_figures() {
    let place = Place::new();
    let ran = place.run(&["logbook", "import", "club.logbook", &demo()]).expect_code(0);
    assert!(ran.stdout.contains("\"Offset hang points and vanes on two wings\", 31 flights"), "{}", ran.stdout);
    let of = "Offset hang points and vanes on two wings";
    place.run(&["logbook", "export", "club.logbook", "out", "--campaign", of]).expect_code(0);
    let (original, exported) = (figures(&place, &demo()), figures(&place, "out/campaign.toml"));
    assert!(original["cells"].as_array().is_some_and(|cells| cells.len() > 20), "the figures were not found");
    assert!(original == exported, "figures of the export differ from those of the original");
    // By way of an archive into another logbook and out: the same files, byte for byte.
    place.run(&["logbook", "export", "club.logbook", "club.zip", "--campaign", of]).expect_code(0);
    place.run(&["logbook", "import", "second.logbook", "club.zip"]).expect_code(0);
    place.run(&["logbook", "export", "second.logbook", "again/", "--campaign", of]).expect_code(0);
    assert_eq!(files(&place.path("out")), files(&place.path("again")));
}

/// Paths and contents below a folder, contents by their length and a sum.
fn files(folder: &Path) -> Vec<(String, usize, u64)> {
    let mut found = Vec::new();
    let mut open = vec![folder.to_owned()];
    while let Some(next) = open.pop() {
        for entry in std::fs::read_dir(&next).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                open.push(path);
                continue;
            }
            let bytes = std::fs::read(&path).expect("a file");
            let sum = bytes.iter().fold(0_u64, |sum, byte| sum.wrapping_mul(31).wrapping_add((*byte).into()));
            found.push((path.strip_prefix(folder).expect("below").display().to_string(), bytes.len(), sum));
        }
    }
    found.sort();
    assert!(found.len() > 30, "{found:?}");
    found
}

#[test]
fn logs_are_added_listed_and_shown() {
    let place = Place::new();
    let add = |arguments: &[&str]| place.run(&[&["logbook", "add", "my.logbook"], arguments].concat());
    let ran = add(&["demo-tracks/ridge-five-metres.igc", "demo-tracks/meadow-light-wind.gpx"]).expect_code(0);
    assert_eq!(
        ran.stdout,
        "demo-tracks/ridge-five-metres.igc: added as ridge-five-metres\n\
         demo-tracks/meadow-light-wind.gpx: added as meadow-light-wind\n"
    );
    let again = add(&["demo-tracks/ridge-five-metres.igc"]).expect_code(0);
    assert!(again.stdout.contains("was there already as ridge-five-metres"), "{}", again.stdout);
    // A marks file stays with its log.
    add(&["demo-tracks/lake-evening.csv", "--marks", "demo-tracks/lake-evening.marks.csv"]).expect_code(0);
    let shown = place.run(&["logbook", "show", "my.logbook", "lake-evening"]).expect_code(0);
    let arguments = ["report", "demo-tracks/lake-evening.csv", "--marks", "demo-tracks/lake-evening.marks.csv"];
    let reported = place.run(&arguments).expect_code(0);
    let (summary, _) = reported.stdout.split_once("Report with charts").expect("a summary");
    let (_, summary) = summary.split_once(',').expect("the name of the log");
    assert!(shown.stdout.contains(summary), "{}\n{summary}", shown.stdout);
    let listed = place.run(&["logbook", "list", "my.logbook"]).expect_code(0).stdout;
    assert!(listed.starts_with("My flights: 3 flights\n"), "{listed}");
    assert!(listed.contains("lake-evening       set-up or wing not said yet"), "{listed}");
    let some = place.run(&["logbook", "list", "my.logbook", "EVENING"]).expect_code(0).stdout;
    assert!(some.starts_with("My flights: 1 of 3 flights\n"), "{some}");
    place.run(&["logbook", "list", "my.logbook", "nothing"]).expect_code(1);
    let checked = place.run(&["logbook", "check", "my.logbook"]).expect_code(0).stdout;
    assert_eq!(checked, "my.logbook: whole; campaigns: 1, flights: 3\n");
}

#[test]
fn parts_are_named_by_key_or_name_and_marks_belong_to_one_log() {
    let place = Place::new();
    place.run(&["logbook", "import", "club.logbook", &demo()]).expect_code(0);
    let of = "Offset hang points and vanes on two wings";
    let add = |arguments: &[&str]| {
        place.run(&[&["logbook", "add", "club.logbook", "demo-tracks/ridge-five-metres.igc"], arguments].concat())
    };
    let which = add(&[]).expect_code(2).stderr;
    assert!(which.contains("several campaigns") && which.contains("--campaign"), "{which}");
    let wrong = add(&["--campaign", of, "--setup", "vane"]).expect_code(2).stderr;
    assert!(wrong.contains("there is no set-up \"vane\"") && wrong.contains("offset-15"), "{wrong}");
    add(&["--campaign", of, "--setup", "vanes", "--wing", "Sedgewren 20", "--pilot", "elm"]).expect_code(0);
    let listed = place.run(&["logbook", "list", "club.logbook", "ridge"]).expect_code(0).stdout;
    assert!(listed.contains("ridge-five-metres  vanes, sedgewren, elm\n"), "{listed}");
    let two = ["demo-tracks/meadow-light-wind.gpx", "--marks", "demo-tracks/lake-evening.marks.csv", "--campaign", of];
    assert!(add(&two).expect_code(2).stderr.contains("one by one"));
}

/// Everything that a logbook may be refused for ends in words and with code 2, and nothing is changed.
#[test]
fn what_is_no_logbook_is_refused_by_every_command() {
    let place = Place::new();
    place.with("notes.txt", "no logbook");
    let log = "demo-tracks/ridge-five-metres.igc";
    let commands: [&[&str]; 6] = [
        &["list", "notes.txt"],
        &["add", "notes.txt", log],
        &["show", "notes.txt", "x"],
        &["export", "notes.txt", "out"],
        &["import", "notes.txt", &demo()],
        &["check", "notes.txt"],
    ];
    for command in commands {
        let ran: Ran = place.run(&[&["logbook"], command].concat()).expect_code(2);
        assert!(ran.stderr.contains("notes.txt: this is no logbook"), "{command:?}: {}", ran.stderr);
        assert_eq!((place.read("notes.txt").as_str(), ran.stdout.as_str()), ("no logbook", ""));
    }
    for command in ["list", "check"] {
        let ran = place.run(&["logbook", command, "missing.logbook"]).expect_code(2);
        assert!(ran.stderr.contains("there is no such logbook"), "{}", ran.stderr);
    }
    assert_eq!(place.names(), ["demo-tracks", "notes.txt"], "nothing was begun");
}

#[test]
fn what_is_no_log_is_not_kept() {
    let place = Place::new();
    place.with("empty.igc", "");
    let log = "demo-tracks/meadow-light-wind.gpx";
    let ran = place.run(&["logbook", "add", "my.logbook", "demo-tracks/README.md", "empty.igc", log]).expect_code(2);
    assert!(ran.stderr.contains("not a flight log"), "{}", ran.stderr);
    let listed = place.run(&["logbook", "list", "my.logbook"]).expect_code(0).stdout;
    assert!(listed.starts_with("My flights: 1 flight\n"), "{listed}");
}

#[test]
fn damage_is_told_and_nothing_is_written_over() {
    let place = Place::new();
    let log = "demo-tracks/ridge-five-metres.igc";
    place.run(&["logbook", "add", "my.logbook", log]).expect_code(0);
    let mut bytes = std::fs::read(place.path("my.logbook")).expect("the logbook");
    // In the middle of the log's bytes.
    let at = bytes.len() - 30_000;
    bytes[at] ^= 1;
    place.with("my.logbook", &bytes);
    let ran = place.run(&["logbook", "check", "my.logbook"]).expect_code(2);
    assert!(ran.stderr.contains("my.logbook: ") && ran.stderr.contains("put a backup in its place"), "{}", ran.stderr);
    place.with("my.logbook", &bytes[..bytes.len() / 2]);
    let ran = place.run(&["logbook", "add", "my.logbook", log]).expect_code(2);
    assert!(ran.stderr.contains("this logbook is damaged (it is cut short)"), "{}", ran.stderr);
    place.run(&["logbook", "add", "other.logbook", log]).expect_code(0);
    std::fs::create_dir(place.path("out")).expect("a folder");
    place.with("out/campaign.toml", "hours of writing");
    let ran = place.run(&["logbook", "export", "other.logbook", "out"]).expect_code(2);
    assert!(ran.stderr.contains("is there already"), "{}", ran.stderr);
    assert_eq!(place.read("out/campaign.toml"), "hours of writing");
    let ran = place.run(&["logbook", "export", "other.logbook", "other.logbook"]).expect_code(2);
    assert!(ran.stderr.contains("is an input"), "{}", ran.stderr);
}

#[test]
fn hostile_archives_are_refused() {
    let place = Place::new();
    place.with("text.zip", "no archive");
    let ran = place.run(&["logbook", "import", "my.logbook", "text.zip"]).expect_code(2);
    assert!(ran.stderr.contains("no whole ZIP archive"), "{}", ran.stderr);
}
