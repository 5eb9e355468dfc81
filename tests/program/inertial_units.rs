//! Every unit and every kind of time that an inertial file may come in, through the whole program.

use crate::inertial::{AHEAD_S, IMU, flown, json, number, problem, split};
use crate::run::Place;
use serde_json::Value;

/// The file with times and values written otherwise: a header, the time from seconds after the first sample, and factors
/// for gyro, accelerometer and magnetometer.
fn rewritten(place: &Place, header: &str, time: impl Fn(f64) -> String, factors: [f64; 3]) -> String {
    let rows = split(place).1;
    let mut out = format!("{header}\n");
    for (k, row) in rows.lines().enumerate() {
        out.push_str(&time(k as f64 / 50.0));
        for (column, cell) in row.split(',').skip(1).enumerate() {
            let value: f64 = cell.parse().unwrap();
            out.push_str(&format!(",{:.7}", value * factors[column / 3]));
        }
        out.push('\n');
    }
    out
}

fn header(time: &str, gyro: &str, accel: &str, mag: &str) -> String {
    let axes = |sensor: &str, unit: &str| ["x", "y", "z"].map(|axis| format!("{sensor} {axis}{unit}")).join(",");
    [time.to_owned(), axes("gyro", gyro), axes("accel", accel), axes("mag", mag)].join(",")
}

/// The same as from the file in SI units, to a thousandth of the standard uncertainty of what is compared.
#[track_caller]
fn same(place: &Place, plain: &Value, content: String, dated: bool) {
    place.with("other.csv", content);
    let (ran, document) = json(place, &["--imu", "other.csv"]);
    assert_eq!((ran.code, ran.stderr.as_str()), (0, ""));
    let (found, meant) = (&document["inertial"], &plain["inertial"]);
    assert_eq!(found["used_in_turn_rates"], true, "{}", document["problems"]);
    assert_eq!(found["clock_offset_from"], if dated { "clocks" } else { "first-fix" });
    for (key, std_u_key) in [("clock_offset_s", "clock_offset_std_u_s"), ("gyro_bias_deg_s", "gyro_bias_std_u_deg_s")] {
        // Without dates the offset counts from the first fix; the sensor's first sample is 10 ms behind its start, and its
        // clock ahead.
        let shift = if !dated && key == "clock_offset_s" { AHEAD_S + 0.01 } else { 0.0 };
        let apart = number(found, key) - number(meant, key) - shift;
        assert!(apart.abs() < 0.05 * number(meant, std_u_key), "{key}: {} {}", number(found, key), number(meant, key));
    }
    assert!((number(found, "scale") - number(meant, "scale")).abs() < 1e-3);
    assert!((number(&found["compass"], "strength_ut") - number(&meant["compass"], "strength_ut")).abs() < 0.05);
    for (a, b) in document["windows"].as_array().unwrap().iter().zip(plain["windows"].as_array().unwrap()) {
        let value = |w: &Value| number(&w["turn_rate"], "value_deg_s");
        assert!((value(a) - value(b)).abs() < 0.05 * number(&b["turn_rate"], "std_u_deg_s"), "{a} {b}");
    }
}

/// 2026-05-14T05:42:00Z and the lead of the sensor's clock, and its first sample, seconds since 1970.
const FIRST_S: f64 = 1_778_737_320.0 + AHEAD_S + 0.01;

#[test]
fn units_of_time() {
    let place = flown();
    let (_, plain) = json(&place, &["--imu", IMU]);
    let si = |time: &str| header(time, "_rad_s", "_mps2", "_ut");
    let ones = [1.0; 3];
    same(&place, &plain, rewritten(&place, &si("time_s"), |t| format!("{t:.3}"), ones), false);
    same(&place, &plain, rewritten(&place, &si("Time (ms)"), |t| format!("{:.0}", t * 1e3), ones), false);
    same(&place, &plain, rewritten(&place, &si("timestamp"), |t| format!("{:.0}", (FIRST_S + t) * 1e3), ones), true);
    same(&place, &plain, rewritten(&place, &si("timestamp_us"), |t| format!("{:.0}", (FIRST_S + t) * 1e6), ones), true);
    same(&place, &plain, rewritten(&place, &si("time"), |t| format!("{:.0}", (FIRST_S + t) * 1e9), ones), true);
}

#[test]
fn units_of_the_sensors() {
    let place = flown();
    let (_, plain) = json(&place, &["--imu", IMU]);
    let deg = 1.0_f64.to_degrees();
    // Standard gravity (CGPM 1901); 1 G = 100 µT.
    for (gyro, accel, mag, factors) in [
        ("_deg_s", "_g", "_G", [deg, 1.0 / 9.806_65, 0.01]),
        (" (°/s)", " (m/s²)", " (µT)", [deg, 1.0, 1.0]),
        (" [mdps]", " [mg]", " [nT]", [1000.0 * deg, 1000.0 / 9.806_65, 1000.0]),
    ] {
        let time = |t: f64| format!("{:.0}", (FIRST_S + t) * 1e3);
        same(&place, &plain, rewritten(&place, &header("time_ms", gyro, accel, mag), time, factors), true);
    }
    // Nothing named: told by size, and said.
    let bare = header("t", "", "", "");
    let content = rewritten(&place, &bare, |t| format!("{:.0}", (FIRST_S + t) * 1e3), [1.0, 1.0 / 9.806_65, 0.01]);
    place.with("bare.csv", &content);
    let (_, document) = json(&place, &["--imu", "bare.csv"]);
    assert!(problem(&document, "imu-accel-unit-assumed")["message"].as_str().unwrap().ends_with("taken as g"));
    assert!(problem(&document, "imu-mag-unit-assumed")["message"].as_str().unwrap().ends_with("taken as G"));
    same(&place, &plain, content, true);
}

/// A column of temperatures in °F, in the health part of every form of the report.
#[test]
fn the_temperature_is_told_in_every_form() {
    let place = flown();
    let (header, rows) = split(&place);
    let count = rows.lines().count() as f64;
    let warmed = |k: usize| 68.0 + 18.0 * k as f64 / count;
    let lines: String = rows.lines().enumerate().map(|(k, row)| format!("{row},{:.2}\n", warmed(k))).collect();
    place.with("warm.csv", format!("{header},Gyro Temperature (°F)\n{lines}"));
    let (ran, document) = json(&place, &["--imu", "warm.csv"]);
    assert_eq!(ran.code, 0);
    let inertial = &document["inertial"];
    // 68 to 86 °F are 20 to 30 °C over the recording; the flight is somewhat less.
    let [low, high, start, end] =
        ["low", "high", "start", "end"].map(|which| number(inertial, &format!("temperature_{which}_c")));
    assert!((20.0..21.0).contains(&low) && (29.0..30.1).contains(&high), "{low} {high}");
    assert!((low..low + 0.5).contains(&start) && (high - 0.5..high).contains(&end), "{start} {end}");
    assert_eq!(inertial["temperature_of"], "flight");
    // The flight ends in the air or on the ground as the plan has it; either way nothing is made up.
    let slope = inertial["gyro_bias_slope_deg_s_per_k"].as_array();
    assert_eq!(slope.is_some(), inertial["gyro_bias_slope_std_u_deg_s_per_k"].is_array());
    for format in ["text", "html"] {
        let said = place.run(&["report", crate::inertial::LOG, "--imu", "warm.csv", "--format", format]).expect_code(0);
        let words = said.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            words.contains("Gyro bias with temperature") && words.contains("°C; 21 at the start of the flight"),
            "{format}"
        );
    }
}
