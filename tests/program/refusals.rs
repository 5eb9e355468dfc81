//! docs/limits.md: what the program does not answer. Each of its lines is brought about here, and the words quoted there are said.

use crate::run::{Place, repository};
use std::collections::BTreeSet;
use std::fmt::Write;

/// Words that the page quotes, and what brings them about: files beside the demo tracks and the arguments of a run.
struct Case {
    words: &'static str,
    files: Vec<(&'static str, Vec<u8>)>,
    arguments: &'static [&'static str],
}

fn case(words: &'static str, arguments: &'static [&'static str]) -> Case {
    Case { words, files: Vec::new(), arguments }
}

fn with(
    words: &'static str,
    name: &'static str,
    content: impl Into<Vec<u8>>,
    arguments: &'static [&'static str],
) -> Case {
    Case { words, files: vec![(name, content.into())], arguments }
}

fn fixture(name: &str) -> Vec<u8> {
    std::fs::read(repository().join("fixtures/formats").join(name)).expect("a fixture")
}

fn demo(name: &str) -> String {
    std::fs::read_to_string(repository().join("demo-tracks").join(name)).expect("a demo track")
}

/// A log of positions by second: east and north in metres.
fn positions(seconds: u32, place: impl Fn(f64) -> (f64, f64)) -> String {
    let mut log = "time,lat,lon,ele\n".to_owned();
    for t in 0..seconds {
        let (east_m, north_m) = place(f64::from(t));
        let (lat, lon) = (47.0 + north_m / 111_200.0, 11.0 + east_m / 75_900.0);
        let _ = writeln!(log, "2026-05-14T06:{:02}:{:02}Z,{lat:.7},{lon:.7},900", t / 60, t % 60);
    }
    log
}

/// The demo log without the lines of some seconds in the middle of its second window.
fn with_a_gap() -> String {
    demo("ridge-five-metres.igc")
        .lines()
        .filter(|line| !(line.starts_with("B16170") || line.starts_with("B16171")))
        .fold(String::new(), |mut log, line| {
            log.push_str(line);
            log.push_str("\r\n");
            log
        })
}

fn cases() -> Vec<Case> {
    const WHOLE: &[&str] = &["report", "x.csv", "--format", "text"];
    let wavy = |t: f64| (12.0 * t + 0.3 * (1.7 * t).sin(), 0.3 * (2.9 * t).cos());
    let untimed = "<gpx version=\"1.1\" creator=\"x\"><trk><trkseg><trkpt lat=\"47\" lon=\"11\"/></trkseg></trk></gpx>";
    let marks = |rows: &str| format!("let_go,take_over,scenario,setup,note\n{rows}");
    vec![
        with("nothing moves: all", "x.csv", positions(200, |t| (0.3 * (2.1 * t).sin(), 0.0)), WHOLE),
        with("a track needs at least 5", "x.csv", positions(3, |t| (10.0 * t, 0.0)), WHOLE),
        with("this GPX has no times", "x.gpx", untimed, &["report", "x.gpx"]),
        with("this KML has no times", "x.kml", fixture("kml/hostile/line-only.kml"), &["report", "x.kml"]),
        with("unzip it, and give the .kml inside", "x.kmz", fixture("kml/hostile/packed.kmz"), &["report", "x.kmz"]),
        with("its records have no positions", "x.fit", fixture("fit/hostile/indoor.fit"), &["report", "x.fit"]),
        with("a planned route that nobody flew", "x.fit", fixture("fit/hostile/course.fit"), &["report", "x.fit"]),
        with("this is text without positions, not a flight log", "x.txt", "Dear diary\n", &["report", "x.txt"]),
        with(
            "in the future",
            "x.gpx",
            demo("meadow-light-wind.gpx").replace("2026-05-14", "2126-05-14"),
            &["report", "x.gpx"],
        ),
        with(
            "before the first complete fix",
            "x.kml",
            fixture("kml/hostile/cut-off-in-times.kml"),
            &["report", "x.kml"],
        ),
        with("the wind cannot be told from this flight", "x.csv", positions(240, wavy), WHOLE),
        with(
            "too short",
            "m.csv",
            marks("2026-06-02T16:16:00Z,2026-06-02T16:16:14Z,,,\n"),
            &["report", "demo-tracks/ridge-five-metres.igc", "--marks", "m.csv", "--format", "text"],
        ),
        with("gap in the log", "x.igc", with_a_gap(), &["report", "x.igc", "--format", "text"]),
        with(
            "pilot input likely",
            "m.csv",
            marks("2026-06-02T16:11:00Z,2026-06-02T16:14:30Z,,,\n"),
            &["report", "demo-tracks/ridge-five-metres.igc", "--marks", "m.csv", "--format", "text"],
        ),
        with(
            "the marks file names no window inside this log",
            "m.csv",
            marks("2026-06-03T16:16:00Z,2026-06-03T16:17:14Z,,,\n"),
            &["report", "demo-tracks/ridge-five-metres.igc", "--marks", "m.csv"],
        ),
        with(
            "flown low",
            "m.csv",
            marks("2026-06-03T16:16:00Z,2026-06-03T16:17:14Z,,,\n"),
            &["report", "demo-tracks/ridge-five-metres.igc", "--marks", "m.csv", "--format", "text"],
        ),
        case("candidate", &["report", "demo-tracks/lake-evening.csv", "--format", "json"]),
        case("climb-only", &["report", "demo-tracks/lake-evening.csv", "--format", "json"]),
    ]
}

/// The words in quotation marks of the tables of the page.
fn quoted() -> BTreeSet<String> {
    let page = std::fs::read_to_string(repository().join("docs/limits.md")).expect("the page");
    let rows = page.lines().filter(|line| line.starts_with('|'));
    rows.filter_map(|row| Some(row.split_once('“')?.1.split_once('”')?.0.to_owned())).collect()
}

#[test]
fn every_line_of_the_page_is_brought_about_and_says_so() {
    let mut wanting = quoted();
    let mut unsaid = Vec::new();
    for case in cases() {
        let place = Place::new();
        for (name, content) in &case.files {
            place.with(name, content);
        }
        let ran = place.run(case.arguments);
        let said = format!("{}\n{}", ran.stdout, ran.stderr).split_whitespace().collect::<Vec<_>>().join(" ");
        if !said.contains(case.words) {
            unsaid.push(format!("{}: {}", case.words, said.chars().take(1_500).collect::<String>()));
        }
        assert!(wanting.remove(case.words), "docs/limits.md does not quote: {}", case.words);
    }
    assert!(unsaid.is_empty(), "not said:\n{}", unsaid.join("\n"));
    assert!(wanting.is_empty(), "no case brings about {wanting:?}");
}

/// Of what no log can tell nothing is claimed: no output calls a set-up safe.
#[test]
fn nothing_is_called_safe() {
    let place = Place::new();
    for format in ["text", "json", "html"] {
        let out = place
            .run(&["report", "demo-tracks/ridge-five-metres.igc", "--format", format, "-o", "-"])
            .expect_code(0)
            .stdout;
        let words = out.to_lowercase();
        for claim in ["is safe", "are safe", "safe to fly", "safe set-up"] {
            let claimed = words.match_indices(claim).filter(|(at, _)| !words[..*at].ends_with("never calls a set-up "));
            assert_eq!(claimed.count(), 0, "{format}: {claim}");
        }
    }
}
