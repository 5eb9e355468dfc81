//! The inertial sensor: what it feels in a steady turn, its noise, its clock, its file.

mod common;

use common::plain;
use driftless_sim::scenario::{Imu, ImuTime, Leg, Magnetometer};
use driftless_sim::{ImuSample, Scenario, reference, render, simulate};

const G: f64 = 9.80665;

fn quiet() -> Imu {
    Imu { rate_hz: 50.0, gyro_walk_deg: 0.0, accel_noise: 0.0, ..Imu::default() }
}

/// Hands off at 6 °/s and 10 m/s, the transient long over.
fn turning(imu: Imu) -> Scenario {
    let mut scenario = plain(vec![Leg::HandsOff { seconds: 60.0, setting: None }]);
    scenario.sensors.imu = Some(imu);
    scenario
}

fn norm(v: [f64; 3]) -> f64 {
    v.iter().map(|c| c * c).sum::<f64>().sqrt()
}

fn mean(samples: &[ImuSample], value: impl Fn(&ImuSample) -> f64) -> f64 {
    samples.iter().map(value).sum::<f64>() / samples.len() as f64
}

/// Coordinated turn: tan φ = Vω/g = 0.10678; the body turns at ω cos φ about its down axis and ω sin φ about its right
/// one, and feels g / cos φ upward.
#[test]
fn derived_a_steady_turn_is_felt_as_by_the_book() {
    let flight = simulate(&turning(quiet()), 0).unwrap();
    let sample = flight.imu[2500];
    let omega = 6_f64.to_radians();
    let bank = (10.0 * omega / G).atan();
    let expected = [0.0, omega * bank.sin(), omega * bank.cos()];
    for (seen, expected) in sample.gyro_rad_s.iter().zip(expected) {
        assert!((seen - expected).abs() < 1e-9, "{:?}", sample.gyro_rad_s);
    }
    assert!((sample.accel_mps2[2] + G / bank.cos()).abs() < 1e-9);
}

/// A turned sensor sees the same lengths along other axes, and yaw of the mounting turns forward to left.
#[test]
fn mounting_turns_what_is_seen() {
    let plain = simulate(&turning(quiet()), 0).unwrap().imu;
    let turned = simulate(&turning(Imu { mounting_deg: [0.0, 0.0, 90.0], ..quiet() }), 0).unwrap().imu;
    for (a, b) in plain.iter().zip(&turned) {
        // Sensor x points to the pilot's right, y to his back.
        assert!((b.gyro_rad_s[0] - a.gyro_rad_s[1]).abs() < 1e-12);
        assert!((b.gyro_rad_s[1] + a.gyro_rad_s[0]).abs() < 1e-12);
        assert!((norm(a.accel_mps2) - norm(b.accel_mps2)).abs() < 1e-9);
    }
}

/// Over whole swings the pilot turns as the wing does, to the swing's own size over the time.
#[test]
fn swing_does_not_turn_the_pilot_away() {
    let imu = Imu { swing_deg: [4.0, 2.0, 3.0], swing_period_s: 3.0, ..quiet() };
    let flight = simulate(&turning(imu), 3).unwrap();
    let late = &flight.imu[500..];
    let swinging = mean(late, |s| (norm(s.gyro_rad_s) - 6_f64.to_radians()).powi(2)).sqrt();
    assert!(swinging > 2_f64.to_radians(), "the swing shows: {swinging} rad/s");
    // Twist of 3° rms over 57 s, and the second-order rectification of roll and pitch, about 0.02 rad/s x 4° x 2°.
    let turned = mean(late, |s| s.gyro_rad_s[2]);
    assert!((turned - 6_f64.to_radians()).abs() < 0.3_f64.to_radians(), "{}", turned.to_degrees());
}

/// White noise of walk N has the deviation N √rate in each sample; a bias is added; the clock runs ahead and fast.
#[test]
fn simulated_errors_have_their_size() {
    let imu = Imu {
        rate_hz: 100.0,
        gyro_walk_deg: 0.02,
        gyro_bias_deg_s: [0.5, -0.3, 0.0],
        clock_ahead_s: 1.5,
        clock_drift_ppm: 100.0,
        jitter_s: 0.002,
        ..Imu::default()
    };
    let mut scenario = turning(imu);
    let noisy = simulate(&scenario, 5).unwrap().imu;
    scenario.sensors.imu = Some(Imu { rate_hz: 100.0, ..quiet() });
    let clean = simulate(&scenario, 5).unwrap().imu;
    let n = noisy.len() as f64;
    let errors: Vec<f64> =
        noisy.iter().zip(&clean).map(|(a, b)| (a.gyro_rad_s[0] - b.gyro_rad_s[0]).to_degrees()).collect();
    let bias = errors.iter().sum::<f64>() / n;
    let spread = (errors.iter().map(|e| (e - bias).powi(2)).sum::<f64>() / n).sqrt();
    // 0.02 √100 = 0.2 °/s; three standard errors of a mean and of a deviation.
    assert!((bias - 0.5).abs() < 3.0 * 0.2 / n.sqrt(), "{bias}");
    assert!((spread - 0.2).abs() < 3.0 * 0.2 / (2.0 * n).sqrt(), "{spread}");
    let late: Vec<f64> = noisy.iter().zip(&clean).map(|(a, b)| a.t_s - b.t_s - 1.5 - 1e-4 * b.t_s).collect();
    let jitter = (late.iter().map(|l| l * l).sum::<f64>() / n).sqrt();
    assert!((jitter - 0.002).abs() < 3.0 * 0.002 / (2.0 * n).sqrt(), "{jitter}");
}

/// Level and heading north by the compass, a sensor sees cos I of the field ahead and sin I below; hard iron on top.
#[test]
fn derived_the_field_points_north_and_down() {
    let mag = Magnetometer {
        field_ut: 50.0,
        declination_deg: 10.0,
        inclination_deg: 60.0,
        hard_iron_ut: [5.0, -6.0, 7.0],
        noise_ut: 0.0,
        disturbance_ut: 0.0,
    };
    let mut scenario = plain(vec![Leg::Straight { seconds: 10.0, setting: None, heading_deg: None }]);
    scenario.site.heading_deg = 40.0;
    scenario.sensors.imu = Some(Imu { mag: Some(mag), ..quiet() });
    let seen = simulate(&scenario, 0).unwrap().imu[200].mag_ut.unwrap();
    // Magnetic heading 30°: north lies 30° to the left of the nose.
    let level = 25.0;
    let expected =
        [level * 30_f64.to_radians().cos() + 5.0, -level * 0.5 - 6.0, 50.0 * 60_f64.to_radians().sin() + 7.0];
    for (seen, expected) in seen.iter().zip(expected) {
        assert!((seen - expected).abs() < 1e-6, "{seen} against {expected}");
    }
}

#[test]
fn a_sensor_changes_nothing_else_and_comes_out_the_same_again() {
    let options = reference::Options::default();
    let mut scenario = reference::flight(reference::AirClass::Moderate, 6, &options);
    let without = simulate(&scenario, 6).unwrap();
    scenario.sensors.imu = Some(reference::imu(6));
    let with = simulate(&scenario, 6).unwrap();
    assert_eq!((&without.fixes, &without.truth), (&with.fixes, &with.truth));
    assert_eq!(with.imu, simulate(&scenario, 6).unwrap().imu);
    assert_eq!(Scenario::from_toml(&scenario.to_toml().unwrap()).unwrap(), scenario);
    let names: Vec<String> = render(&scenario, 6).unwrap().files.into_iter().map(|f| f.0).collect();
    assert!(names.iter().any(|name| name.ends_with(".imu.csv")), "{names:?}");
}

#[test]
fn standing_is_still_and_gaps_are_empty() {
    let mut scenario = plain(vec![
        Leg::Stand { seconds: 20.0 },
        Leg::TakeOff { seconds: 6.0, heading_deg: None },
        Leg::Straight { seconds: 20.0, setting: None, heading_deg: None },
    ]);
    scenario.site.start_height_m = 0.0;
    scenario.sensors.imu = Some(Imu {
        swing_deg: [3.0; 3],
        vibration_deg_s: 5.0,
        vibration_mps2: 3.0,
        gaps_s: vec![[30.0, 32.0]],
        time: ImuTime::Seconds,
        ..quiet()
    });
    let flight = simulate(&scenario, 1).unwrap();
    assert!(flight.imu.iter().filter(|s| s.t_s < 19.0).all(|s| norm(s.gyro_rad_s) < 1e-9));
    assert!(flight.imu.iter().any(|s| s.t_s > 28.0 && norm(s.gyro_rad_s) > 0.05));
    assert_eq!(flight.imu.iter().filter(|s| (30.0..32.0).contains(&s.t_s)).count(), 0);
    // The run: 10 m/s in 6 s.
    let push = flight.imu.iter().filter(|s| (21.0..25.0).contains(&s.t_s)).map(|s| s.accel_mps2[0]);
    assert!(push.clone().count() > 100 && push.fold(0.0, f64::max) > 0.5);
    assert!(flight.to_imu_csv().starts_with("time_s,gyro_x_rad_s"));
}

#[test]
fn values_out_of_range_name_their_key() {
    let mut scenario = turning(quiet());
    scenario.sensors.imu = Some(Imu { rate_hz: 5.0, ..quiet() });
    assert!(simulate(&scenario, 0).unwrap_err().to_string().contains("sensors.imu.rate_hz"));
}
