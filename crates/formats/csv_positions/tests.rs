use crate::{CsvMapping, ReadError, ReadHint, read};
use chrono::{DateTime, Utc};
use driftless_track::{FlightLog, MarkKind};

fn log(text: &str) -> FlightLog {
    read(text.as_bytes(), &ReadHint::default()).expect("readable")
}

fn mapped(text: &str, toml: &str) -> Result<FlightLog, ReadError> {
    let hint = ReadHint { csv_mapping: Some(CsvMapping::from_toml(toml)?) };
    read(text.as_bytes(), &hint)
}

fn utc(text: &str) -> DateTime<Utc> {
    DateTime::parse_from_rfc3339(text).expect("a test's own time").to_utc()
}

fn codes(log: &FlightLog) -> Vec<(&str, u32)> {
    log.problems.iter().map(|p| (p.code, p.count)).collect()
}

#[test]
fn columns_with_units_and_a_mark_column() {
    let log = log("# a comment\ntime_utc,lat_deg,lon_deg,altitude_ft,ground_speed_kmh,course_deg,vd_mps,mark,nsat\n\
                   2026-05-01T09:00:00.5Z,47.5,8.25,1000,36,90,1.5,let go trim-level,7\n\
                   2026-05-01T11:00:01+02:00,47.5,8.25,,,,,,\n");
    let fix = &log.fixes[0];
    assert_eq!(fix.time, utc("2026-05-01T09:00:00.500Z"));
    assert!(
        (fix.gnss_altitude_m.unwrap() - 304.8).abs() < 1e-9 && (fix.ground_speed_mps.unwrap() - 10.0).abs() < 1e-12
    );
    assert_eq!((fix.course_deg, fix.climb_mps), (Some(90.0), Some(-1.5)));
    assert_eq!(log.fixes[1].time, utc("2026-05-01T09:00:01Z"));
    assert_eq!((log.marks[0].kind, log.marks[0].time), (MarkKind::LetGo, fix.time));
    assert_eq!(codes(&log), [("columns-not-used", 1)]);
    assert_eq!((fix.source.line, fix.source.byte), (3, 94));
}

#[test]
fn seconds_from_a_start_and_since_1970() {
    let from_start = log("t_s,lat,lon\n13.341,1,2\n13.441,1,2\n");
    assert_eq!(from_start.fixes[0].time, utc("1970-01-01T00:00:13.341Z"));
    assert_eq!(codes(&from_start), [("time-from-start", 2)]);
    for (header, value) in [("epoch", "1777626000.25"), ("timestamp", "1777626000250"), ("time_ms", "1777626000250")] {
        let log = log(&format!("{header},lat,lon\n{value},1,2\n"));
        let off = (log.fixes[0].time - utc("2026-05-01T09:00:00.250Z")).num_microseconds();
        assert_eq!(off, Some(0), "{header}");
        assert!(log.problems.is_empty());
    }
    let clock = log("date;time;lat;lon\n2026-05-01;09:00:00;1;2\n");
    assert_eq!(clock.fixes[0].time, utc("2026-05-01T09:00:00Z"));
}

#[test]
fn semicolons_tabs_quotes_decimal_commas_and_a_preamble() {
    let german = log(
        "Logger;7\nSoftware;1.0\n\"time\";\"latitude\";\"longitude\";\"speed (km/h)\"\n\"2026-05-01T09:00:00Z\";\"47,5\";8,25;36,0\n",
    );
    assert_eq!((german.fixes[0].lat_deg, german.fixes[0].lon_deg), (47.5, 8.25));
    assert!((german.fixes[0].ground_speed_mps.unwrap() - 10.0).abs() < 1e-12);
    assert_eq!(german.fixes[0].source.line, 4);
    let tabs = log("time\tlat\tlon\r\n\r\n2026-05-01 09:00:00\t47.5\t8.25\r\n");
    assert_eq!(tabs.fixes[0].source.line, 3);
    assert_eq!(codes(&tabs), [("time-without-zone", 1)]);
}

#[test]
fn velocities_by_component() {
    let log = log("t_s,lat,lon,vel_n_mps,vel_e_mps\n0,1,2,3,-4\n");
    assert_eq!(log.fixes[0].ground_speed_mps, Some(5.0));
    // atan2(-4, 3) + 360°, to the rounding of the conversion.
    assert!((log.fixes[0].course_deg.unwrap() - 306.869_897_645_844).abs() < 1e-9);
}

#[test]
fn a_mapping_tells_what_names_do_not() {
    let text = "Zeit;Breite;Länge;v;Ereignis\n0;47,5;8,25;36;take over\n";
    let toml = "start_utc = \"2026-05-01T09:00:00Z\"\ntime = \"Zeit\"\nlatitude = \"breite\"\nlongitude = 3\n\
                ground_speed = { column = \"v\", unit = \"km/h\" }\nmark = \"Ereignis\"\n";
    let log = mapped(text, toml).expect("readable");
    assert_eq!(log.fixes[0].time, utc("2026-05-01T09:00:00Z"));
    assert_eq!((log.fixes[0].lat_deg, log.fixes[0].lon_deg), (47.5, 8.25));
    assert!((log.fixes[0].ground_speed_mps.unwrap() - 10.0).abs() < 1e-12);
    assert_eq!(log.marks[0].kind, MarkKind::TakeOver);
    let bare = mapped("2026-05-01T09:00:00Z,47.5,8.25\n", "header = false\ntime = 1\nlatitude = 2\nlongitude = 3\n");
    assert_eq!(bare.expect("readable").fixes.len(), 1);
}

#[test]
fn a_mapping_that_does_not_fit_says_so() {
    for (toml, words) in [
        ("time = \"a\"", "latitude"),
        ("time = \"a\"\nlatitude = \"nowhere\"\nlongitude = \"c\"", "found: a, b, c"),
        ("time = 0\nlatitude = 1\nlongitude = 2", "from 1"),
        ("time = 1\nlatitude = 2\nlongitude = 3\nground_speed = { column = 4, unit = \"furlong\" }", "furlong"),
        ("time = 1\nlatitude = 2\nlongitude = 3\ncolour = 4", "colour"),
    ] {
        let error = mapped("a,b,c\n1,2,3\n", toml).expect_err(toml);
        assert_eq!(error.code(), "csv-mapping");
        assert!(error.to_string().contains(words), "{error}");
    }
}

#[test]
fn bad_rows_are_dropped_counted_and_located() {
    let log = log("time_utc,lat,lon,speed_mps\n2026-05-01T09:00:00Z,47.5,8.25,-4\n2026-05-01T09:00:01Z,95,8.25,4\n\
                   never,47.5,8.25,4\n2026-05-01T09:00:03Z,47.5\n,47.5,8.25,4\n2026-05-01T09:00:04Z,nan,8.25,4\n");
    assert_eq!(log.fixes.len(), 1);
    let found =
        [("bad-value", 1), ("bad-coordinate", 2), ("bad-time", 1), ("no-position", 1), ("point-without-time", 1)];
    assert_eq!(codes(&log), found);
    assert_eq!(log.problems[1].line, Some(3));
    assert!(log.problems[1].message.contains("latitude \"95\""), "{}", log.problems[1].message);
}

#[test]
fn tables_of_other_things_are_refused_with_what_was_found() {
    for text in ["t_s,airspeed_mps,yaw_deg\n13.2,0.5,198\n", "Time (s),Gyroscope X (deg/s)\n0,0.01\n", "a,b\n1,2\n"] {
        let error = read(text.as_bytes(), &ReadHint::default()).expect_err(text);
        assert!(error.to_string().contains("no column for"), "{error}");
        assert!(error.to_string().contains(text.split(',').next().unwrap()), "{error}");
    }
    let prose = read(b"just some words\nand more\n", &ReadHint::default()).expect_err("prose");
    assert_eq!(prose.code(), "not-a-flight-log");
}

#[test]
fn a_quotation_that_never_ends_is_no_row() {
    let text = format!("\"time\",\"lat\",\"lon\"\n0,1,2\n1,1,\"2\n{}", "x".repeat(100_000));
    let log = log(&text);
    assert_eq!(log.fixes.len(), 1);
    assert!(codes(&log).contains(&("line-too-long", 1)));
}
