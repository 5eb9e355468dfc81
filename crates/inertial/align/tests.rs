//! Refusals, on a flight made of plain formulas: the estimate's nodes and the sensor see the same turns.

use super::*;
use crate::log::Stream;
use crate::read::read;
use std::fmt::Write;

/// Headings of a flight with turns both ways, never the same twice.
fn heading_rad(t_s: f64) -> f64 {
    1.2 * (0.05 * t_s).sin() + 0.9 * (0.083 * t_s + 1.0).sin() + 0.4 * (0.171 * t_s).sin() + 0.01 * t_s
}

fn rate_rad_s(t_s: f64) -> f64 {
    let d = 1e-4;
    (heading_rad(t_s + d) - heading_rad(t_s - d)) / (2.0 * d)
}

fn columns(rate: impl Fn(f64) -> f64, heading: impl Fn(f64) -> f64) -> FlightColumns {
    let t_s: Vec<f64> = (0..600).map(f64::from).collect();
    FlightColumns {
        heading_rad: t_s.iter().map(|&t| heading(t)).collect(),
        turn_rate_rad_s: t_s.iter().map(|&t| rate(t)).collect(),
        turn_rate_std_u_rad_s: vec![0.01; 600],
        airspeed_mps: vec![10.0; 600],
        wind_std_u_mps: 0.5,
        t_s,
    }
}

fn flight() -> FlightColumns {
    columns(rate_rad_s, heading_rad)
}

/// The sensor's file, its clock `late_s` behind the track's, each row written by `row` from rates and force.
fn sensor(late_s: f64, row: impl Fn([f64; 3], [f64; 3]) -> [f64; 6]) -> ImuLog {
    let mut text =
        String::from("time_s,gyro_x_rad_s,gyro_y_rad_s,gyro_z_rad_s,accel_x_mps2,accel_y_mps2,accel_z_mps2\n");
    for k in 0..600 * 25 {
        let t_s = f64::from(k) / 25.0;
        let rate = rate_rad_s(t_s);
        let bank = (10.0 * rate / 9.80665).atan();
        // A quiver, so that no axis looks dead or frozen.
        let quiver = 1e-4 * (k as f64 * 0.7).sin();
        let gyro = [quiver, rate * bank.sin() + quiver, rate * bank.cos() + quiver];
        let v = row(gyro, [quiver, quiver, -9.80665 / bank.cos()]);
        let _ = writeln!(text, "{:.3},{},{},{},{},{},{}", t_s - late_s, v[0], v[1], v[2], v[3], v[4], v[5]);
    }
    read(text.as_bytes(), None).unwrap()
}

fn plain(g: [f64; 3], a: [f64; 3]) -> [f64; 6] {
    [g[0], g[1], g[2], a[0], a[1], a[2]]
}

/// 12.34 s are found to some hundredths with nothing known of the clocks; so are bias and scale. Means over 3 s flatten the
/// gyro's fastest turns by (0.171 · 3)²/24 = 1 % against these exact nodes (an estimate's are smoothed too).
#[test]
fn derived_offset_bias_and_scale_are_found() {
    let log = sensor(12.34, |g, a| plain([g[0], g[1], 1.01 * g[2] + 0.01], a));
    let found = align(&log, &flight().nodes(), ClockPrior::Open).unwrap();
    assert!((found.offset_s.value - 12.34).abs() < 0.03, "{:?}", found.offset_s);
    assert!((found.scale.value - 1.0 / 1.01).abs() < 0.01, "{:?}", found.scale);
    assert!((found.bias_rad_s.value - 0.01).abs() < 0.001, "{:?}", found.bias_rad_s);
    assert!(found.correlation > 0.99 && !found.accel_reversed);
    // 100 s of track time are 87.66 s on the sensor's clock.
    assert!((found.sensor_s(100.0) - 87.66).abs() < 0.05);
}

/// A sensor on its side with gravity written downward (as some phones do) is understood.
#[test]
fn a_reversed_accelerometer_and_any_mounting_are_understood() {
    // Sensor x down, y forward, z right.
    let log = sensor(3.0, |g, a| plain([g[2], g[0], g[1]], [-a[2], -a[0], -a[1]]));
    let found = align(&log, &flight().nodes(), ClockPrior::Near(3.5)).unwrap();
    assert!(found.accel_reversed);
    assert!((found.offset_s.value - 3.0).abs() < 0.05, "{:?}", found.offset_s);
    assert!(found.down.axis[0] > 0.99, "{:?}", found.down);
    let forward = found.forward.expect("the flight banks into turns");
    assert!(forward.axis[1] > 0.9, "{forward:?}");
}

#[test]
fn units_off_by_57_are_asked_about() {
    let degrees = sensor(1.0, |g, a| plain(g.map(f64::to_degrees), a));
    let error = align(&degrees, &flight().nodes(), ClockPrior::Open).unwrap_err();
    assert!(matches!(error, AlignError::GyroUnit { factor } if (50.0..65.0).contains(&factor)), "{error:?}");
    let radians = sensor(1.0, |g, a| plain(g.map(f64::to_radians), a));
    let error = align(&radians, &flight().nodes(), ClockPrior::Open).unwrap_err();
    assert!(matches!(error, AlignError::GyroUnit { factor } if factor < 0.02), "{error:?}");
}

#[test]
fn what_cannot_be_aligned_says_why() {
    let refusal = |log: &ImuLog, columns: &FlightColumns, clock| align(log, &columns.nodes(), clock).unwrap_err();
    let log = sensor(0.0, plain);
    let another_day = refusal(&log, &flight(), ClockPrior::Near(86_400.0));
    assert!(matches!(another_day, AlignError::NoOverlap { apart_s } if apart_s > 8e4), "{another_day:?}");
    let straight = columns(|t| 1e-3 * t.sin(), |_| 0.3);
    assert_eq!(refusal(&log, &straight, ClockPrior::Open).code(), "too-little-turning");
    // Another flight: turns of another rhythm.
    let other = columns(|t| 0.1 * (0.31 * t).sin() * (0.013 * t).cos(), |_| 0.0);
    assert_eq!(refusal(&log, &other, ClockPrior::Open).code(), "correlation-of-chance");
    // A flight that repeats itself fits at every turn.
    let wave = columns(|t| 0.1 * (0.1 * t).sin(), |t| -(0.1 * t).cos());
    let mut repeating = sensor(0.0, plain);
    for (value, t_s) in repeating.gyro.xyz.iter_mut().zip(&repeating.gyro.t_s) {
        *value = [0.0, 0.0, (0.1 * (0.1 * t_s).sin()) as f32];
    }
    assert_eq!(refusal(&repeating, &wave, ClockPrior::Open).code(), "another-offset");
    let dead = sensor(0.0, |g, a| plain([0.0, g[1], g[2]], a));
    assert_eq!(refusal(&dead, &flight(), ClockPrior::Open), AlignError::DeadGyroAxis);
    let no_accel = ImuLog { accel: Stream::default(), ..log };
    assert_eq!(refusal(&no_accel, &flight(), ClockPrior::Open).code(), "no-accelerometer");
}
