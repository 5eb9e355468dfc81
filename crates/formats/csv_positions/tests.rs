use crate::{CsvMapping, ReadError, ReadHint, read};
use chrono::{DateTime, Utc};
use driftless_track::{FlightLog, MarkKind};

fn log(text: &str) -> FlightLog {
    read(text.as_bytes(), &ReadHint::default()).expect("readable")
}

fn mapped(text: &str, toml: &str) -> Result<FlightLog, ReadError> {
    let hint = ReadHint { csv_mapping: Some(CsvMapping::from_toml(toml)?), ..ReadHint::default() };
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
        (fix.gnss_altitude_m.get().unwrap() - 304.8).abs() < 1e-9
            && (fix.ground_speed_mps.get().unwrap() - 10.0).abs() < 1e-12
    );
    assert_eq!((fix.course_deg.get(), fix.climb_mps.get()), (Some(90.0), Some(-1.5)));
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
    assert!((german.fixes[0].ground_speed_mps.get().unwrap() - 10.0).abs() < 1e-12);
    assert_eq!(german.fixes[0].source.line, 4);
    let tabs = log("time\tlat\tlon\r\n\r\n2026-05-01 09:00:00\t47.5\t8.25\r\n");
    assert_eq!(tabs.fixes[0].source.line, 3);
    assert_eq!(codes(&tabs), [("time-without-zone", 1)]);
}

#[test]
fn velocities_by_component() {
    let log = log("t_s,lat,lon,vel_n_mps,vel_e_mps\n0,1,2,3,-4\n");
    assert_eq!(log.fixes[0].ground_speed_mps.get(), Some(5.0));
    // atan2(-4, 3) + 360°, to the rounding of the conversion.
    assert!((log.fixes[0].course_deg.get().unwrap() - 306.869_897_645_844).abs() < 1e-9);
}

#[test]
fn a_mapping_tells_what_names_do_not() {
    let text = "Zeit;Breite;Länge;v;Ereignis\n0;47,5;8,25;36;take over\n";
    let toml = "start_utc = \"2026-05-01T09:00:00Z\"\ntime = \"Zeit\"\nlatitude = \"breite\"\nlongitude = 3\n\
                ground_speed = { column = \"v\", unit = \"km/h\" }\nmark = \"Ereignis\"\n";
    let log = mapped(text, toml).expect("readable");
    assert_eq!(log.fixes[0].time, utc("2026-05-01T09:00:00Z"));
    assert_eq!((log.fixes[0].lat_deg, log.fixes[0].lon_deg), (47.5, 8.25));
    assert!((log.fixes[0].ground_speed_mps.get().unwrap() - 10.0).abs() < 1e-12);
    assert_eq!(log.marks[0].kind, MarkKind::TakeOver);
    let bare = mapped("2026-05-01T09:00:00Z,47.5,8.25\n", "header = false\ntime = 1\nlatitude = 2\nlongitude = 3\n");
    assert_eq!(bare.expect("readable").fixes.len(), 1);
}

/// What the reader of inertial tables always understood, and this one did not: a comma behind whole numbers in the first
/// row, a header written as a comment, words that are no UTF-8.
#[test]
fn what_readers_of_other_tables_understand_is_understood_here() {
    let whole_first = log("time;lat;lon\n2026-05-01T09:00:00Z;47;8\n2026-05-01T09:00:01Z;47,5;8,25\n");
    assert_eq!(whole_first.fixes[1].lat_deg, 47.5);
    let commented = log("# time_utc,lat_deg,lon_deg\n2026-05-01T09:00:00Z,47.5,8.25\n");
    assert_eq!(commented.fixes.len(), 1);
    let latin = b"time,lat,lon,mark\n2026-05-01T09:00:00Z,47.5,8.25,H\xf6he\n";
    let log = read(latin, &ReadHint::default()).expect("readable");
    assert_eq!((log.marks[0].kind, log.marks[0].text.as_str()), (MarkKind::Other, "Höhe"));
}

#[test]
fn every_quantity_with_a_name_has_a_key_in_mappings() {
    let toml = "header = false\ntime = 1\nlatitude = 2\nlongitude = 3\nvelocity_north = 4\nvelocity_east = 5\nsink = 6\n\
                horizontal_error = { column = 7, unit = \"ft\" }\n";
    let log = mapped("0,1,2,3,-4,1.5,10\n", toml).expect("readable");
    let fix = &log.fixes[0];
    assert_eq!((fix.ground_speed_mps.get(), fix.climb_mps.get()), (Some(5.0), Some(-1.5)));
    assert!((fix.horizontal_error_m.get().unwrap() - 3.048).abs() < 1e-12);
}

#[test]
fn a_mapping_that_does_not_fit_says_so() {
    for (toml, words) in [
        ("time = \"a\"", "latitude"),
        ("time = \"a\"\nlatitude = \"nowhere\"\nlongitude = \"c\"", "found: a, b, c"),
        ("time = 1\nlatitude = 2\nlongitude = 7", "no column 7; the header names 3 columns: a, b, c"),
        ("header = false\ntime = 1\nlatitude = \"b\"\nlongitude = 3", "numbered from 1"),
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

/// A long line costs no more than finding its end, and what stands behind it is read.
#[test]
fn a_line_of_many_cells_is_left_out_whole() {
    let text = format!("time,lat,lon\n0,1,2\n{}\n1,1,2\n", "1,2,3,".repeat(200_000));
    let log = log(&text);
    assert_eq!(log.fixes.len(), 2);
    assert_eq!(log.fixes[1].source.line, 4);
    assert!(codes(&log).contains(&("line-too-long", 1)));
    assert!(log.problems.iter().any(|p| p.code == "line-too-long" && p.line == Some(3)), "{:?}", log.problems);
}

/// Rows of a logger at a hundred a second: the position by receiver, row and unit of time is written by `cell`.
fn rows(count: usize, header: &str, row: impl Fn(f64) -> String) -> String {
    let lines: String = (0..count).map(|k| row(k as f64 * 0.01) + "\n").collect();
    format!("{header}\n{lines}")
}

/// A flight of 10 m/s east at the equator, by a receiver of `hz` positions a second, written with some decimals.
fn held_place(t_s: f64, hz: f64, decimals: usize) -> String {
    let fix_s = (t_s * hz + 1e-6).floor() / hz;
    // A degree of the equator is 111,319.5 m (WGS-84: 6,378,137 m · π / 180).
    format!("0.5,{:.decimals$}", 8.0 + 10.0 * fix_s / 111_319.5)
}

#[test]
fn held_positions_are_no_fixes() {
    for (hz, decimals) in [(1.0, 7), (5.0, 7), (10.0, 7), (1.0, 5), (10.0, 6)] {
        let log =
            log(&rows(6000, "t_s,lat,lon,ax,ay,az", |t| format!("{t:.2},{},0,0,9.8", held_place(t, hz, decimals))));
        let meant = 60.0 * hz;
        assert!((log.fixes.len() as f64 - meant).abs() <= 1.0, "{hz} Hz, {decimals} decimals: {}", log.fixes.len());
        assert!(codes(&log).contains(&("positions-held", 1)), "{:?}", log.problems);
        // Each stands on the row at which it came.
        assert!(log.fixes.windows(2).all(|w| {
            let step_s = (w[1].time - w[0].time).as_seconds_f64();
            w[0].lon_deg != w[1].lon_deg && (step_s - 1.0 / hz).abs() < 1e-6
        }));
    }
}

/// Standing still, a receiver repeats its own position; one fix per interval is kept then, and the flight goes on behind.
#[test]
fn a_stop_keeps_a_fix_for_each_interval() {
    let place = |t: f64| held_place(t.min(20.0) + (t - 40.0).max(0.0), 1.0, 7);
    let log = log(&rows(6000, "t_s,lat,lon,ax,ay,az", |t| format!("{t:.2},{},0,0,9.8", place(t))));
    let steps: Vec<f64> = log.fixes.windows(2).map(|w| (w[1].time - w[0].time).as_seconds_f64()).collect();
    assert!((58..=61).contains(&log.fixes.len()), "{}", log.fixes.len());
    assert!(steps.iter().all(|s| (0.5..1.6).contains(s)), "{steps:?}");
}

/// What is quick or coarse by itself stays as it is: 10 Hz with positions to a metre, 20 Hz, and 1 Hz to eleven metres.
#[test]
fn logs_that_hold_nothing_keep_all_their_fixes() {
    for (step_s, decimals) in [(0.1, 5), (0.05, 7), (1.0, 4)] {
        let text = rows(3000, "t_s,lat,lon", |t| {
            let t_s = 100.0 * t * step_s;
            format!("{t_s:.2},{}", held_place(t_s, 1.0 / step_s, decimals))
        });
        let log = log(&text);
        assert_eq!(log.fixes.len(), 3000, "{step_s} s, {decimals} decimals: {:?}", log.problems);
    }
}

#[test]
fn blank_and_missing_positions_are_rows_of_other_sensors() {
    for nothing in [",", "nan,NaN", "null,null", "NA,n/a"] {
        let text = rows(1000, "t_s,lat,lon,gyro_x,gyro_y,gyro_z", |t| {
            let place = if ((t * 100.0).round() as u32).is_multiple_of(100) {
                held_place(t, 1.0, 7)
            } else {
                nothing.to_owned()
            };
            format!("{t:.2},{place},0.1,0.2,0.3")
        });
        let log = log(&text);
        assert_eq!(log.fixes.len(), 10, "{nothing}");
        assert!(codes(&log).contains(&("rows-without-position", 1)), "{:?}", log.problems);
        assert!(log.problems.iter().all(|p| p.severity == driftless_track::Severity::Note), "{:?}", log.problems);
    }
}

/// Milliseconds that no name tells: the step between rows does, where inertial columns stand beside.
#[test]
fn times_of_a_combined_table_are_told_by_their_step() {
    for (unit, factor) in [("ms", 1e3), ("µs", 1e6), ("ns", 1e9)] {
        let text = rows(500, "timestamp,lat,lon,gx,gy,gz", |t| {
            format!("{:.0},{},0.1,0.2,0.3", t * factor, held_place(t, 1.0, 7))
        });
        let log = log(&text);
        let length_s = (log.fixes[log.fixes.len() - 1].time - log.fixes[0].time).as_seconds_f64();
        assert!((4.0..5.0).contains(&length_s), "{unit}: {length_s}");
    }
}
