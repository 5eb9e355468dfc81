//! Every file under fixtures/formats, and hostile input too large to keep there.

use driftless_formats::{CsvMapping, ReadError, ReadHint, read};
use driftless_track::{FlightLog, MarkKind, Severity};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/formats")
}

fn files(kind: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for format in ["gpx", "igc", "nmea", "csv", "kml", "fit"] {
        let folder = root().join(format).join(kind);
        found
            .extend(std::fs::read_dir(&folder).expect("a fixture folder").map(|entry| entry.expect("an entry").path()));
    }
    found.sort();
    assert!(!found.is_empty(), "no fixture of kind {kind}");
    found
}

fn try_read(name: &str) -> Result<FlightLog, ReadError> {
    let bytes = std::fs::read(root().join(name)).expect("a fixture");
    read(&bytes, &ReadHint::default())
}

fn log(name: &str) -> FlightLog {
    try_read(name).unwrap_or_else(|error| panic!("{name}: {error}"))
}

fn codes(log: &FlightLog) -> Vec<(&str, u32)> {
    log.problems.iter().map(|p| (p.code, p.count)).collect()
}

#[test]
fn good_files_are_read_without_a_warning() {
    for path in files("good") {
        let bytes = std::fs::read(&path).expect("a fixture");
        let log = read(&bytes, &ReadHint::default()).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        assert_eq!(log.fixes.len(), 12, "{}", path.display());
        assert!(log.problems.iter().all(|p| p.severity < Severity::Warning), "{}: {:?}", path.display(), log.problems);
        // All of them tell the same invented turn; 1e-5° is a thousandth of a minute (IGC) and its rounding.
        for (fix, first) in log.fixes.iter().zip([(47.5, 8.25)]) {
            assert!((fix.lat_deg - first.0).abs() < 1e-5 && (fix.lon_deg - first.1).abs() < 1e-5, "{}", path.display());
        }
    }
}

#[test]
fn the_same_turn_in_every_format_has_the_same_speed_and_course() {
    for name in [
        "gpx/good/gpx11-extensions.gpx",
        "gpx/good/gpx10-speed-course.gpx",
        "igc/good/extensions-and-events.igc",
        "nmea/good/rmc-gga.nmea",
        "nmea/good/gga-vtg-zda.nmea",
        "csv/good/time-utc.csv",
        "csv/good/seconds.csv",
    ] {
        for (i, fix) in log(name).fixes.iter().enumerate() {
            // 37.69 km/h and 20.35 kt are 10.47 m/s to the digits written.
            assert!((fix.ground_speed_mps.get().expect("a speed") - 10.47).abs() < 0.005, "{name} {i}");
            assert_eq!(fix.course_deg.get(), Some((30 + 6 * i) as f64), "{name} {i}");
        }
    }
}

/// Positions on every tenth row, the rest blank, or held: the twelve fixes of the same turn either way, at their times.
#[test]
fn a_table_of_all_sensors_gives_the_fixes_of_the_receiver() {
    let alone = log("csv/good/seconds.csv");
    for (name, code) in
        [("csv/odd/combined-blank.csv", "rows-without-position"), ("csv/odd/combined-held.csv", "positions-held")]
    {
        let combined = log(name);
        assert_eq!(combined.fixes.len(), 12, "{name}");
        for (a, b) in alone.fixes.iter().zip(&combined.fixes) {
            let found = (b.time, b.lat_deg, b.lon_deg, b.ground_speed_mps.get(), b.course_deg.get());
            assert_eq!(found, (a.time, a.lat_deg, a.lon_deg, a.ground_speed_mps.get(), a.course_deg.get()), "{name}");
        }
        let told = combined.problems.iter().find(|p| p.code == code).expect(code);
        assert!(told.message.contains("108") && told.help.as_deref().unwrap_or("").contains("--imu"), "{told:?}");
        assert!(combined.problems.iter().all(|p| p.severity == Severity::Note), "{name}: {:?}", combined.problems);
    }
}

#[test]
fn marks_are_read_wherever_a_format_puts_them() {
    for name in [
        "gpx/good/gpx11-extensions.gpx",
        "igc/good/extensions-and-events.igc",
        "csv/good/time-utc.csv",
        "kml/good/gx-track.kml",
    ] {
        let log = log(name);
        let kinds: Vec<_> = log.marks.iter().filter(|m| m.kind != MarkKind::Other).map(|m| (m.kind, m.time)).collect();
        assert_eq!(kinds.len(), 2, "{name}");
        assert_eq!(kinds[0].0, MarkKind::LetGo);
        let late_ms = if name.starts_with("igc") { 50 } else { 0 };
        assert_eq!((log.fixes[9].time - kinds[1].1).num_milliseconds(), late_ms, "{name}");
    }
}

#[test]
fn engine_speed_comes_from_slow_records() {
    let log = log("igc/good/extensions-and-events.igc");
    let rpm: Vec<_> = log.fixes.iter().enumerate().filter_map(|(i, f)| Some((i, f.engine_rpm.get()?))).collect();
    assert_eq!(rpm, [(0, 6500.0), (5, 6500.0), (10, 6500.0)]);
}

/// File, fixes, problems by code and count.
type Expected = (&'static str, usize, &'static [(&'static str, u32)]);

#[test]
fn odd_files_are_read_and_the_oddity_is_named() {
    let expected: [Expected; 30] = [
        ("gpx/odd/utf16.gpx", 12, &[("decoded", 1)]),
        ("gpx/odd/latin1-name.gpx", 12, &[("decoded", 1)]),
        ("gpx/odd/byte-order-mark-and-blank-lines.gpx", 12, &[]),
        ("gpx/odd/offsets-fractions-no-zone.gpx", 4, &[("time-without-zone", 1)]),
        ("gpx/odd/text-in-pieces.gpx", 1, &[]),
        (
            "gpx/odd/one-of-each-bad-point.gpx",
            2,
            &[
                ("bad-coordinate", 2),
                ("bad-time", 1),
                ("point-without-time", 1),
                ("bad-altitude", 1),
                ("value-not-known", 1),
            ],
        ),
        ("gpx/odd/routes-and-tracks.gpx", 12, &[("route-ignored", 1)]),
        ("igc/odd/over-midnight.igc", 4, &[]),
        ("igc/odd/v-fixes.igc", 4, &[("fix-without-3d", 1)]),
        ("igc/odd/two-flights.igc", 4, &[("several-flights", 1)]),
        ("igc/odd/no-date.igc", 3, &[("date-missing", 1)]),
        ("igc/odd/at-the-sea.igc", 6, &[("column-empty", 1)]),
        ("igc/odd/overlapping-extensions.igc", 2, &[("bad-extension", 2), ("extension-missing", 2)]),
        ("igc/odd/garbage-between.igc", 3, &[("unknown-record", 2), ("bad-fix", 4)]),
        ("nmea/odd/over-midnight.nmea", 4, &[]),
        ("nmea/odd/noise-prefixes-talkers.nmea", 4, &[]),
        ("nmea/odd/no-fix-then-fix.nmea", 4, &[("no-position", 2), ("checksum-missing", 1), ("fix-without-3d", 1)]),
        ("kml/odd/other-prefixes-above-ground.kml", 12, &[("altitude-not-used", 1)]),
        ("kml/odd/utf16.kml", 12, &[("decoded", 1)]),
        (
            "kml/odd/times.kml",
            3,
            &[("time-without-zone", 1), ("date-without-time", 1), ("no-position", 1), ("point-without-time", 2)],
        ),
        ("kml/odd/text-in-pieces.kml", 1, &[]),
        ("kml/odd/counts-differ.kml", 11, &[("track-counts-differ", 1)]),
        ("kml/odd/line-beside-track.kml", 12, &[("line-ignored", 1)]),
        ("kml/odd/broken-position.kml", 11, &[("xml-broken", 1)]),
        ("kml/odd/one-of-each-bad-point.kml", 2, &[("bad-coordinate", 3), ("bad-time", 2), ("bad-altitude", 1)]),
        ("fit/odd/compressed-times.fit", 12, &[]),
        ("fit/odd/no-position-at-first.fit", 9, &[("no-position", 3)]),
        ("fit/odd/two-files.fit", 12, &[]),
        ("fit/odd/time-since-power-up.fit", 3, &[("date-missing", 3)]),
        (
            "fit/odd/one-of-each-bad-record.fit",
            3,
            &[("bad-coordinate", 1), ("bad-altitude", 1), ("bad-speed", 1), ("no-position", 1)],
        ),
    ];
    for (name, fixes, problems) in expected {
        let log = log(name);
        assert_eq!((log.fixes.len(), codes(&log).as_slice()), (fixes, problems), "{name}");
    }
    let rows = log("csv/odd/bad-rows.csv");
    assert_eq!(rows.fixes.len(), 2);
    assert_eq!(log("csv/odd/semicolons-decimal-commas.csv").fixes.len(), 12);
    assert_eq!(log("csv/odd/epoch-milliseconds.tsv").fixes[11].time.to_rfc3339(), "2026-05-01T09:00:11+00:00");
    for name in ["igc/odd/over-midnight.igc", "nmea/odd/over-midnight.nmea"] {
        let times: Vec<_> = log(name).fixes.iter().map(|f| f.time).collect();
        assert!(
            times.windows(2).all(|t| (t[1] - t[0]).num_milliseconds().abs() <= 1500 && t[1] > t[0]),
            "{name}: {times:?}"
        );
    }
}

#[test]
fn a_mapping_reads_what_names_do_not_tell() {
    let text = std::fs::read_to_string(root().join("csv/odd/needs-mapping.toml")).expect("a fixture");
    let bytes = std::fs::read(root().join("csv/odd/needs-mapping.csv")).expect("a fixture");
    let mapping = CsvMapping::from_toml(&text).expect("a mapping");
    let log = read(&bytes, &ReadHint { csv_mapping: Some(mapping), ..ReadHint::default() }).expect("readable");
    assert_eq!(log.fixes.len(), 12);
    assert!((log.fixes[0].ground_speed_mps.get().expect("a speed") - 10.47).abs() < 0.005);
    assert_eq!(try_read("csv/odd/needs-mapping.csv").map(|_| ()).map_err(|e| e.code()), Err("csv-header"));
}

#[test]
fn hostile_files_give_clear_words_or_what_could_be_saved() {
    let refused = [
        ("gpx/hostile/no-times.gpx", "no-times"),
        ("gpx/hostile/not-gpx.tcx", "xml-not-gpx"),
        ("gpx/hostile/unknown-encoding.gpx", "encoding"),
        ("gpx/hostile/picture.png", "not-a-flight-log"),
        ("gpx/hostile/bomb.gz", "too-large"),
        ("igc/hostile/only-bad.igc", "no-fixes"),
        ("igc/hostile/header-only.igc", "no-fixes"),
        ("kml/hostile/line-only.kml", "no-times"),
        ("kml/hostile/cut-off-in-times.kml", "cut-off"),
        ("kml/hostile/places-only.kml", "no-fixes"),
        ("kml/hostile/link-only.kml", "no-fixes"),
        ("kml/hostile/packed.kmz", "not-a-flight-log"),
        ("fit/hostile/long-header.fit", "no-fixes"),
        ("fit/hostile/header-only.fit", "no-fixes"),
        ("fit/hostile/indoor.fit", "no-fixes"),
        ("fit/hostile/course.fit", "no-fixes"),
        ("fit/hostile/workout.fit", "no-fixes"),
        ("csv/hostile/airspeed-only.csv", "csv-header"),
        ("csv/hostile/inertial.csv", "csv-header"),
        ("csv/hostile/prose.txt", "not-a-flight-log"),
        ("csv/hostile/empty.csv", "empty-file"),
    ];
    for (name, code) in refused {
        assert_eq!(try_read(name).map(|log| log.fixes.len()).map_err(|e| e.code()), Err(code), "{name}");
    }
    let saved: [(&str, usize, &str); 13] = [
        ("gpx/hostile/cut-off.gpx", 5, "cut-off"),
        ("gpx/hostile/cut-off.gpx.gz", 0, "gzip-damaged"),
        ("gpx/hostile/entities.gpx", 1, "entity-not-expanded"),
        ("igc/hostile/cut-off.igc", 11, "cut-off"),
        ("nmea/hostile/cut-off.nmea", 2, "cut-off"),
        ("kml/hostile/cut-off.kml", 3, "cut-off"),
        ("kml/hostile/mismatched-tags.kml", 8, "xml-mismatched-tags"),
        ("kml/hostile/entities.kml", 11, "entity-not-expanded"),
        ("fit/hostile/bad-checksum.fit", 12, "bad-checksum"),
        ("fit/hostile/cut-off.fit", 9, "cut-off"),
        ("fit/hostile/never-closed.fit", 10, "cut-off"),
        ("fit/hostile/layout-missing.fit", 12, "fit-broken"),
        ("nmea/hostile/bad-checksums.nmea", 2, "bad-checksum"),
    ];
    for (name, fixes, code) in saved {
        let log = log(name);
        assert!(log.fixes.len() >= fixes.max(1), "{name}: {} fixes", log.fixes.len());
        assert!(codes(&log).iter().any(|(found, _)| *found == code), "{name}: {:?}", log.problems);
    }
    assert_eq!(log("gpx/hostile/mismatched-tags.gpx").fixes.len(), 3);
    assert_eq!(log("csv/hostile/open-quotation.csv").fixes.len(), 1);
    // The list above names every hostile file.
    assert_eq!(files("hostile").len(), refused.len() + saved.len() + 2);
}

/// Several times what a shared two-core machine needs for linear work, a hundredth of what quadratic work would.
const PATIENCE: Duration = Duration::from_secs(10);

fn timely(bytes: &[u8]) -> Result<FlightLog, ReadError> {
    let started = Instant::now();
    let outcome = read(bytes, &ReadHint::default());
    assert!(started.elapsed() < PATIENCE, "took {:?}", started.elapsed());
    outcome
}

#[test]
fn one_line_of_thirty_megabytes() {
    assert_eq!(timely(&vec![b'x'; 30 << 20]).map(|_| ()).map_err(|e| e.code()), Err("not-a-flight-log"));
    assert_eq!(timely(&vec![b'<'; 30 << 20]).map(|_| ()).map_err(|e| e.code()), Err("xml-not-gpx"));
    let one_line = [&b"HFDTE010526\nB"[..], &vec![b'0'; 30 << 20]].concat();
    assert_eq!(timely(&one_line).map(|_| ()).map_err(|e| e.code()), Err("no-fixes"));
    let csv = [&b"t_s,lat,lon\n0,1,2\n"[..], &vec![b','; 30 << 20]].concat();
    assert_eq!(timely(&csv).expect("readable").fixes.len(), 1);
    let dollars = [&b"$GPRMC,090000,A,4730.0,N,00815.0,E,1,1,010526,,\n"[..], &vec![b'$'; 30 << 20]].concat();
    assert_eq!(timely(&dollars).expect("readable").fixes.len(), 1);
}

#[test]
fn deep_and_broken_xml_in_linear_time() {
    let point = "<trkpt lat=\"1\" lon=\"2\"><time>2026-05-01T09:00:00Z</time></trkpt>";
    let deep = format!("<gpx><trk><trkseg>{point}{}", "<a>".repeat(1_000_000));
    assert_eq!(timely(deep.as_bytes()).expect("readable").fixes.len(), 1);
    // Each opener asks for a search to the end of the file; only so many may.
    let comments = format!("<gpx><trk><trkseg>{point}{}", "<!--<trkpt ".repeat(200_000));
    assert_eq!(timely(comments.as_bytes()).expect("readable").fixes.len(), 1);
    // The same of the lists of a KML.
    let pair = "<when>2026-05-01T09:00:00Z</when><coord>8 47</coord>";
    for tail in ["<a>", "<when>", "<!--<when ", "<when><!x>", "<coord>", "</Track><Track>", "<value>", "&a;"] {
        let text = format!("<kml><Track>{pair}{}", tail.repeat(1_000_000));
        assert_eq!(timely(text.as_bytes()).expect("readable").fixes.len(), 1, "{tail}");
    }
    let attributes = format!("<gpx><trk><trkseg>{point}<trkpt {}/>", "a=\"1\" ".repeat(200_000));
    assert_eq!(timely(attributes.as_bytes()).expect("readable").fixes.len(), 1);
}
