//! Published winds and turns through `driftless simulate` and `driftless report`: flown without noise, written in each
//! format, read and estimated as any log is. The validation page has more of them, and with noise.

use crate::run::Place;
use serde_json::Value;

fn number(value: &Value, pointer: &str) -> f64 {
    value.pointer(pointer).and_then(Value::as_f64).unwrap_or_else(|| panic!("{pointer} in {value}"))
}

fn report(place: &Place, arguments: &[&str]) -> Value {
    let ran = place.run(&[&["report"], arguments, &["--format", "json"]].concat()).expect_code(0);
    serde_json::from_str(&ran.stdout).expect("a document")
}

/// A flight without noise in a steady wind, in all formats, with its marks beside it.
const QUIET: &str = r#"
seed = 1
start_utc = "2026-05-01T10:00:00Z"
[aircraft]
corrections_deg_s = 0.0
airspeed_lag_s = 1.0
roll_lag_s = 0.5
let_go_lag_s = 0.5
[sensors]
rate_hz = 1.0
position_white_m = 0.0
position_slow_m = 0.0
altitude_white_m = 0.0
altitude_slow_m = 0.0
[output]
formats = ["gpx", "igc", "nmea", "csv"]
igc_extra_digits = 3
marks_file = true
"#;

/// D. Gray, *Using GPS to accurately establish True Airspeed*, 1998: ground speeds 140, 112 and 120 kt on tracks 192°, 283°
/// and 020°; airspeed 130, wind 20.6 from 314.8°, headings 200°, 287.8°, 11.7° (to more digits recomputed). Flown a knot to
/// a tenth of a metre per second, in legs of 90 s.
#[test]
fn published_legs_of_gray_in_each_format() {
    let place = Place::new();
    let flight = format!(
        r#"name = "gray"{QUIET}
[site]
lat_deg = 47.0
lon_deg = 11.0
elevation_m = 500.0
heading_deg = 199.670594
start_height_m = 500.0
[aircraft.settings.trim-level]
airspeed_mps = 12.99985235
climb_mps = 0.0
residual = {{ rate_deg_s = 0.0 }}
[air]
wind_mps = 2.0633444
wind_from_deg = 314.7584467
[[flight]]
do = "straight"
seconds = 90
setting = "trim-level"
[[flight]]
do = "turn"
by_deg = 88.121531
rate_deg_s = 6
[[flight]]
do = "straight"
seconds = 90
heading_deg = 287.792125
[[flight]]
do = "turn"
by_deg = 83.920901
rate_deg_s = 6
[[flight]]
do = "straight"
seconds = 90
heading_deg = 11.713026
"#
    );
    place.with("gray.toml", flight);
    place.run(&["simulate", "gray.toml"]).expect_code(0);
    let from = f64::to_radians(314.758_446_7);
    let wind = [-2.063_344_4 * from.sin(), -2.063_344_4 * from.cos()];
    for format in ["gpx", "igc", "nmea", "csv"] {
        let document = report(&place, &[&format!("gray.{format}")]);
        assert_eq!(document["wind"]["observable"], true, "{format}");
        let profile = document["wind"]["profile"].as_array().expect("a profile");
        let mean = |key: &str| profile.iter().map(|at| number(at, key)).sum::<f64>() / profile.len() as f64;
        let off = (mean("/east_mps") - wind[0]).hypot(mean("/north_mps") - wind[1]);
        // The issue's reach without noise; and within what is stated.
        assert!(off < 0.1 && off < 2.0 * mean("/std_u_mps"), "{format}: off by {off} m/s");
    }
}

/// FAA-H-8083-25, rate and radius of turn: at 120 kt with 30° of bank 5.25 °/s, 2,215 ft (the radius from memory), a full
/// circle in 68.6 s. Flown hands off in 5 m/s of wind at half the airspeed and the same bank: twice the rate, a quarter of
/// the radius. The handbook's rounded constants are 0.1 % (rate) and 0.3 % (radius) off.
#[test]
fn published_turn_of_the_handbook_in_each_format() {
    let place = Place::new();
    let flight = format!(
        r#"name = "handbook"{QUIET}
[site]
lat_deg = 47.0
lon_deg = 11.0
elevation_m = 500.0
heading_deg = 0.0
start_height_m = 1500.0
[aircraft.settings.trim-level]
airspeed_mps = 30.8666667
climb_mps = 0.0
residual = {{ rate_deg_s = 10.5 }}
[air]
wind_mps = 5.0
wind_from_deg = 250.0
[[flight]]
do = "straight"
seconds = 40
setting = "trim-level"
[[flight]]
do = "hands-off"
seconds = 68.6
[[flight]]
do = "straight"
seconds = 40
"#
    );
    place.with("handbook.toml", flight);
    place.run(&["simulate", "handbook.toml"]).expect_code(0);
    for format in ["gpx", "igc", "nmea", "csv"] {
        let document = report(&place, &[&format!("handbook.{format}"), "--marks", "handbook.marks.csv"]);
        let windows = document["windows"].as_array().expect("windows");
        let window = windows.iter().find(|window| window["accepted"] == true);
        let window = window.unwrap_or_else(|| panic!("{format}: no window was accepted: {windows:#?}"));
        for (pointer, printed, tolerance) in [
            ("/turn_rate/value_deg_s", 2.0 * 5.25, 0.02),
            ("/bank_deg", 30.0, 0.1),
            ("/air_radius_m", 2_215.0 / 4.0 * 0.3048, 0.005 * 2_215.0 / 4.0 * 0.3048),
            ("/seconds_per_90deg", 68.6 / 2.0 / 4.0, 0.03),
            ("/wind_speed_mps", 5.0, 0.1),
            ("/wind_from_deg", 250.0, 1.0),
        ] {
            let got = number(window, pointer);
            assert!((got - printed).abs() < tolerance, "{format} {pointer}: {got}, printed {printed}");
        }
        // What was flown lies in the interval.
        let [low, high] = ["/turn_rate/low95_deg_s", "/turn_rate/high95_deg_s"].map(|end| number(window, end));
        assert!(low <= 10.5 && 10.5 <= high, "{format}: {low} to {high}");
    }
}
