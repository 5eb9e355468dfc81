use super::*;
use crate::log::ImuLog;
use nalgebra::Vector3;

/// Sequence and expected attitudes; see fixtures/inertial/README.md.
const SEQUENCE: &str = include_str!("../../../fixtures/inertial/coning-turn-50hz.csv");

struct Expected {
    t_s: f64,
    yaw_deg: f64,
    pitch_deg: f64,
    roll_deg: f64,
}

fn sequence() -> (ImuLog, Vec<Expected>) {
    let rows = SEQUENCE.lines().skip(1).map(|line| line.split(',').map(|v| v.parse().unwrap()).collect::<Vec<f64>>());
    let expected = rows.map(|r| Expected { t_s: r[0], yaw_deg: r[7], pitch_deg: r[8], roll_deg: r[9] }).collect();
    (crate::read(SEQUENCE.as_bytes(), None).unwrap(), expected)
}

/// Largest errors of heading change, pitch and roll after the level has settled.
fn worst(path: &AttitudePath, expected: &[Expected]) -> [f64; 3] {
    let start = &expected[1000];
    let zero = path.mean_heading(start.t_s, 0.05).unwrap().to_degrees() - start.yaw_deg;
    let mut worst = [0.0_f64; 3];
    for e in expected[1000..expected.len() - 5].iter().step_by(5) {
        // Sample times lie on the grid: both begin with the first sample, and five samples are two steps.
        let attitude = path.attitude_at(e.t_s).unwrap();
        let pitch = (-(attitude * Vector3::x()).z).asin().to_degrees();
        let roll = (attitude * Vector3::y()).z.atan2((attitude * Vector3::z()).z).to_degrees();
        let heading = path.mean_heading(e.t_s, 0.05).unwrap().to_degrees() - zero;
        for (worst, error) in worst.iter_mut().zip([heading - e.yaw_deg, pitch - e.pitch_deg, roll - e.roll_deg]) {
            *worst = worst.max(error.abs());
        }
    }
    worst
}

/// Against the attitude that the Python library AHRS 0.4.0 (`AngularRate`, closed form) integrates from the same rates. Rates between samples are taken as their mean, which for a swing of 3 s at
/// 50 Hz leaves (2π/3 · 0.02)²/12 = 1.5e-4 of the motion; tilt feedback starts from three seconds of a swinging
/// vertical (off by up to its 3° of pitch) and forgets that with 10 s, so the comparison begins after 20 s: 180° of turn.
#[test]
fn published_attitude_of_a_coning_turn() {
    let (log, expected) = sequence();
    let config = AttitudeConfig {
        down: [0.0, 0.0, 1.0],
        forward: Some([1.0, 0.0, 0.0]),
        bias_rad_s: [0.0; 3],
        accel_reversed: false,
    };
    let [heading, pitch, roll] = worst(&follow(&log, &config, |_| Some(10.5)), &expected);
    assert!(heading < 0.35 && pitch < 1.0 && roll < 1.0, "{heading} {pitch} {roll}");
    // Without the acceleration of the turn the level leans with it.
    let [_, _, leaning] = worst(&follow(&log, &config, |_| None), &expected);
    assert!(leaning > 2.0 * roll, "{leaning} against {roll}");
}

/// The rate about a body axis alone counts coning as turning: here 6° x 3° x 2π/3 s / 2 = 0.33 °/s. Followed attitude does
/// not.
#[test]
fn derived_coning_is_not_turning() {
    let (log, expected) = sequence();
    let straight = expected.iter().position(|e| e.t_s > 3.0).unwrap();
    let about_down: f64 = (0..straight).map(|i| log.gyro.at(i)[2] * 0.02).sum::<f64>().to_degrees() / 3.0;
    let turned = (expected[straight].yaw_deg - expected[0].yaw_deg) / 3.0;
    assert!((about_down - turned).abs() > 0.25, "{about_down} against {turned}");
}

#[test]
fn a_gap_ends_a_run_and_means_do_not_cross_it() {
    let (mut log, _) = sequence();
    for stream in [&mut log.gyro, &mut log.accel] {
        stream.t_s.drain(1000..1100);
        stream.xyz.drain(1000..1100);
    }
    let config = AttitudeConfig { down: [0.0, 0.0, 1.0], forward: None, bias_rad_s: [0.0; 3], accel_reversed: false };
    let path = follow(&log, &config, |_| None);
    assert_eq!((path.run_at(10.0), path.run_at(21.0), path.run_at(30.0)), (Some(1), None, Some(2)));
    assert!(path.mean_heading(19.0, 3.0).is_none() && path.mean_heading(15.0, 3.0).is_some());
    assert_eq!(path.mean_heading(21.0, 3.0), None);
}
