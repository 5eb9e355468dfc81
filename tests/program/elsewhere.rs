//! The same flight flown at another place and another time, written in every format that is read: the same turn rates.

use crate::run::Place;
use serde_json::Value;
use std::fmt::Write as _;

/// One fix of the log that all others are made of.
struct Fix {
    time: chrono::DateTime<chrono::Utc>,
    lat_deg: f64,
    lon_deg: f64,
    altitude_m: f64,
}

/// Turn rate and its standard uncertainty, °/s, window by window.
type Rates = Vec<(f64, f64)>;

/// Flies the demo's scenario elsewhere; gives the rates in every format by its ending.
fn flown(lat_deg: f64, lon_deg: f64, start_utc: &str) -> Vec<(&'static str, Rates)> {
    let place = Place::new();
    let scenario = place.read("demo-tracks/meadow-light-wind.toml");
    let changes = [
        ("lat_deg = 47.7241", format!("lat_deg = {lat_deg}")),
        ("lon_deg = 11.3187", format!("lon_deg = {lon_deg}")),
        ("2026-05-14T05:42:00Z", start_utc.to_owned()),
        ("formats = [\"gpx\"]", "formats = [\"csv\", \"gpx\", \"igc\", \"nmea\"]".to_owned()),
    ];
    let elsewhere = changes.iter().fold(scenario, |text, (from, to)| {
        assert!(text.contains(from), "the scenario has no {from}");
        text.replace(from, to)
    });
    place.with("elsewhere.toml", elsewhere);
    place.run(&["simulate", "elsewhere.toml", "-o", "flown"]).expect_code(0);
    let fixes = fixes(&place.read("flown/meadow-light-wind.csv"));
    place.with("flown/meadow-light-wind.kml", kml(&fixes));
    place.with("flown/meadow-light-wind.fit", fit(&fixes));
    ["csv", "gpx", "igc", "nmea", "kml", "fit"]
        .map(|ending| {
            let log = format!("flown/meadow-light-wind.{ending}");
            let marks = "flown/meadow-light-wind.marks.csv";
            let ran = place.run(&["report", &log, "--marks", marks, "--format", "json"]).expect_code(0);
            (ending, rates(&serde_json::from_str(&ran.stdout).expect("JSON")))
        })
        .to_vec()
}

fn rates(report: &Value) -> Rates {
    let windows = report["windows"].as_array().expect("windows");
    let of = |window: &Value, key: &str| window["turn_rate"][key].as_f64().unwrap_or_else(|| panic!("{key}: {window}"));
    windows.iter().map(|window| (of(window, "value_deg_s"), of(window, "std_u_deg_s"))).collect()
}

fn fixes(csv: &str) -> Vec<Fix> {
    let mut lines = csv.lines().filter(|line| !line.starts_with('#'));
    let head: Vec<&str> = lines.next().expect("a header").split(',').collect();
    let column =
        |name: &str| head.iter().position(|of| of.starts_with(name)).unwrap_or_else(|| panic!("{name}: {head:?}"));
    let (time, lat, lon, altitude) = (column("time"), column("lat"), column("lon"), column("alt"));
    let fix = |line: &str| {
        let cells: Vec<&str> = line.split(',').collect();
        let number = |at: usize| cells[at].parse().unwrap_or_else(|_| panic!("a number in {line}"));
        let time = cells[time].parse().unwrap_or_else(|_| panic!("a time in {line}"));
        Fix { time, lat_deg: number(lat), lon_deg: number(lon), altitude_m: number(altitude) }
    };
    lines.map(fix).collect()
}

fn kml(fixes: &[Fix]) -> String {
    let mut track = String::new();
    for Fix { time, lat_deg, lon_deg, altitude_m } in fixes {
        let time = time.to_rfc3339_opts(chrono::SecondsFormat::Millis, true);
        write!(track, "<when>{time}</when><gx:coord>{lon_deg} {lat_deg} {altitude_m}</gx:coord>").expect("room");
    }
    format!(
        "<kml xmlns=\"http://www.opengis.net/kml/2.2\" xmlns:gx=\"http://www.google.com/kml/ext/2.2\"><Placemark><gx:Track>\
         <altitudeMode>absolute</altitudeMode>{track}</gx:Track></Placemark></kml>"
    )
}

/// An activity of records: time, latitude, longitude, enhanced altitude. Its checksum is left at nought, which means none.
fn fit(fixes: &[Fix]) -> Vec<u8> {
    let epoch: chrono::DateTime<chrono::Utc> = "1989-12-31T00:00:00Z".parse().expect("a time");
    // Kind of the file: 4 is an activity.
    let mut data = vec![0x40, 0, 0, 0, 0, 1, 0, 1, 0x00, 0, 4];
    data.extend([0x41, 0, 0, 20, 0, 4, 253, 4, 0x86, 0, 4, 0x85, 1, 4, 0x85, 78, 4, 0x86]);
    let semicircles = |deg: f64| (deg / 180.0 * f64::from(1_u32 << 31)).round() as i64 as i32;
    for fix in fixes {
        assert_eq!(fix.time.timestamp_subsec_millis(), 0, "records have whole seconds");
        data.push(1);
        data.extend(u32::try_from((fix.time - epoch).num_seconds()).expect("a time of FIT").to_le_bytes());
        data.extend(semicircles(fix.lat_deg).to_le_bytes());
        data.extend(semicircles(fix.lon_deg).to_le_bytes());
        data.extend((((fix.altitude_m + 500.0) * 5.0).round() as u32).to_le_bytes());
    }
    let length = u32::try_from(data.len()).expect("a short file").to_le_bytes();
    [&[14, 0x10, 0, 0][..], &length, b".FIT", &[0, 0], &data, &[0, 0]].concat()
}

/// Rates against those of another flight or format: within some standard uncertainties.
#[track_caller]
fn assert_same(one: &Rates, other: &Rates, within_u: f64, what: &str) {
    assert_eq!(one.len(), other.len(), "{what}");
    for (number, (one, other)) in one.iter().zip(other).enumerate() {
        let apart_u = (one.0 - other.0).abs() / one.1;
        assert!(apart_u <= within_u, "{what}, window {number}: {one:?} and {other:?}, {apart_u:.3} u apart");
        let wider = other.1 / one.1 - 1.0;
        assert!(wider.abs() <= 0.5 * within_u.max(0.05), "{what}, window {number}: uncertainty by {wider:.3}");
    }
}

#[test]
fn the_same_flight_anywhere_and_at_any_time_in_every_format() {
    let flights = [
        ("at home", flown(47.7241, 11.3187, "2026-05-14T05:42:00Z")),
        ("across the antimeridian", flown(47.7241, 179.9995, "2026-05-14T05:42:00Z")),
        ("in the south", flown(-47.7241, -179.9995, "2026-05-14T05:42:00Z")),
        ("at 80° of latitude", flown(80.0, 20.0, "2026-05-14T05:42:00Z")),
        ("at 80° of latitude in the south, across the antimeridian", flown(-80.0, 179.9995, "2026-05-14T05:42:00Z")),
        ("over midnight into a leap day", flown(47.7241, 11.3187, "2024-02-28T23:58:00Z")),
        ("over a new year", flown(47.7241, 11.3187, "2025-12-31T23:59:30Z")),
    ];
    let (_, home) = &flights[0];
    let (_, csv) = &home[0];
    assert_eq!(csv.len(), 4);
    for (format, rates) in home {
        // An IGC has coordinates of 1.8 m where others have centimetres; KML and FIT here carry no recorded speed and course: both
        // are other measurements of the same flight.
        let within_u = if matches!(*format, "igc" | "kml" | "fit") { 1.0 } else { 0.1 };
        assert_same(csv, rates, within_u, &format!("as {format}, against CSV"));
    }
    for (place, formats) in &flights {
        for ((format, rates), (_, at_home)) in formats.iter().zip(home) {
            // The grid of an IGC lies elsewhere under each flight.
            let within_u = if *format == "igc" { 1.0 } else { 0.1 };
            assert_same(at_home, rates, within_u, &format!("{place}, as {format}"));
        }
    }
}
