//! Strapdown integration with slow tilt feedback.
//!
//! Rates are integrated exactly from sample to sample (rotation vectors). Tilt is drawn to the measured specific force
//! with a time constant of some swings, after the acceleration of flying along the nose, ω × V with the gyro's own rates,
//! is taken off it (M. Euston et al., *A complementary filter for attitude estimation of a fixed-wing UAV*, IROS 2008,
//! 340-345); so level stays level in long turns. The structure is the explicit complementary filter of R. Mahony, T. Hamel and J.-M.
//! Pflimlin, *Nonlinear complementary filters on the special orthogonal group*, IEEE Trans. Automatic Control 53
//! (2008) 1203-1218, here with feedback on tilt only: heading is never corrected by gravity.

use super::AttitudePath;
use super::times::smoothed_times;
use crate::constants::{ATTITUDE_STEP_S, BIAS_SHARE, LEAST_FELT, LEVELLING_S, MOST_FELT, SHAKEN_TAU_S, TILT_TAU_S};
use crate::log::ImuLog;
use crate::read::gap_s;
use driftless_units::GRAVITY_MPS2;
use nalgebra::{Matrix3, UnitQuaternion, Vector3};

/// What the filter needs to know.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AttitudeConfig {
    /// Sensor's down axis.
    pub down: [f64; 3],
    /// Sensor's forward axis, where it is known; without it the acceleration of turns stays in the tilt.
    pub forward: Option<[f64; 3]>,
    /// Gyro bias to take off, rad/s, sensor axes.
    pub bias_rad_s: [f64; 3],
    /// Whether the accelerometer writes gravity downward, against the convention.
    pub accel_reversed: bool,
}

/// Follows the attitude through the log. `airspeed_at` gives the airspeed in m/s at a time of the log's clock, where
/// the aircraft flies.
pub fn follow(log: &ImuLog, config: &AttitudeConfig, airspeed_at: impl Fn(f64) -> Option<f64>) -> AttitudePath {
    let gyro = &log.gyro;
    let Some([first_s, last_s]) = gyro.span_s() else {
        return AttitudePath::new(0.0, ATTITUDE_STEP_S.value, vec![], vec![], vec![]);
    };
    let times_s = smoothed_times(gyro);
    let gap = gap_s(gyro.interval_s().unwrap_or(ATTITUDE_STEP_S.value));
    let axes = body_axes(config);
    let sign = if config.accel_reversed { -1.0 } else { 1.0 };
    let rate = |i: usize| axes * (Vector3::from(gyro.at(i)) - Vector3::from(config.bias_rad_s));
    let felt = |i: usize| axes * Vector3::from(log.accel.at(i)) * sign;
    let mut grid = Grid::new(first_s, ((last_s - first_s) / ATTITUDE_STEP_S.value) as usize + 1);
    let mut state = State::start(first_felt(log, first_s, felt));
    let mut accel_at = 0;
    grid.begin(first_s, state.heading_rad);
    for i in 1..gyro.len() {
        let (before_s, now_s) = (times_s[i - 1], times_s[i]);
        let dt_s = now_s - before_s;
        if dt_s > gap {
            state = State { heading_rad: state.heading_rad, ..State::start(first_felt(log, now_s, felt)) };
            state.settle_heading();
            grid.begin(now_s, state.heading_rad);
            continue;
        }
        state.turn(0.5 * (rate(i - 1) + rate(i)), dt_s);
        while accel_at + 1 < log.accel.len() && log.accel.t_s[accel_at + 1] <= now_s {
            accel_at += 1;
        }
        if !log.accel.is_empty() && (log.accel.t_s[accel_at] - now_s).abs() < gap {
            let airspeed_mps = if config.forward.is_some() { airspeed_at(now_s) } else { None };
            state.level(felt(accel_at), rate(i), airspeed_mps.unwrap_or(0.0), dt_s);
        }
        grid.advance(now_s, state.heading_rad, state.attitude);
    }
    grid.finish()
}

/// Rows: the pilot's forward, right and down axes in sensor axes.
pub(crate) fn body_axes(config: &AttitudeConfig) -> Matrix3<f64> {
    let down = Vector3::from(config.down);
    let (first, second) = crate::mounting::across(down);
    let forward = config.forward.map(Vector3::from).unwrap_or(first);
    let (x, y) = (forward.dot(&first), forward.dot(&second));
    let (ahead, right) = (first * x + second * y, second * x - first * y);
    Matrix3::from_rows(&[ahead.normalize().transpose(), right.normalize().transpose(), down.transpose()])
}

/// Mean specific force over the first seconds from a time, pilot's axes.
fn first_felt(log: &ImuLog, from_s: f64, felt: impl Fn(usize) -> Vector3<f64>) -> Vector3<f64> {
    let sum: Vector3<f64> = log.accel.range(from_s, from_s + LEVELLING_S.value).map(felt).sum();
    sum.try_normalize(1e-9).unwrap_or(-Vector3::z())
}

struct State {
    /// Pilot's axes to level axes (north, east, down of an unknown zero).
    attitude: UnitQuaternion<f64>,
    /// Remaining bias, rad/s, pilot's axes, across down only.
    bias: Vector3<f64>,
    heading_rad: f64,
    /// Specific force and rates without the engine's shaking, pilot's axes.
    calm: Option<[Vector3<f64>; 2]>,
}

impl State {
    /// Level by the specific force, heading zero.
    fn start(up: Vector3<f64>) -> Self {
        let attitude = UnitQuaternion::rotation_between(&up, &-Vector3::z()).unwrap_or_default();
        let mut state = Self { attitude, bias: Vector3::zeros(), heading_rad: 0.0, calm: None };
        let yaw = state.yaw();
        state.attitude = UnitQuaternion::from_axis_angle(&Vector3::z_axis(), -yaw) * attitude;
        state
    }

    /// Turns a freshly levelled attitude to the heading that the state carries.
    fn settle_heading(&mut self) {
        self.attitude = UnitQuaternion::from_axis_angle(&Vector3::z_axis(), self.heading_rad) * self.attitude;
    }

    /// Direction of the nose over the level.
    fn yaw(&self) -> f64 {
        let nose = self.attitude * Vector3::x();
        nose.y.atan2(nose.x)
    }

    fn turn(&mut self, rate: Vector3<f64>, dt_s: f64) {
        self.attitude *= UnitQuaternion::from_scaled_axis((rate - self.bias) * dt_s);
        let yaw = self.yaw();
        self.heading_rad += driftless_units::wrap_pi_rad(yaw - self.heading_rad);
    }

    fn calmed(&mut self, now: [Vector3<f64>; 2], dt_s: f64) -> [Vector3<f64>; 2] {
        let share = (dt_s / SHAKEN_TAU_S.value).min(1.0);
        let before = self.calm.unwrap_or(now);
        let calm = [0, 1].map(|i: usize| before[i] + (now[i] - before[i]) * share);
        self.calm = Some(calm);
        calm
    }

    fn level(&mut self, felt: Vector3<f64>, rate: Vector3<f64>, airspeed_mps: f64, dt_s: f64) {
        let [felt, rate] = self.calmed([felt, rate], dt_s);
        let share = felt.norm() / GRAVITY_MPS2;
        if !(LEAST_FELT.value..MOST_FELT.value).contains(&share) {
            return;
        }
        // Acceleration of flying along the nose while turning, less gravity: what a level frame would feel.
        let turning = (rate - self.bias).cross(&(Vector3::x() * airspeed_mps));
        let expected = self.attitude * turning - Vector3::z() * GRAVITY_MPS2;
        let seen = self.attitude * felt;
        let mut error = seen.normalize().cross(&expected.normalize());
        error.z = 0.0;
        let gain = 1.0 / TILT_TAU_S.value;
        let mut bias_step = self.attitude.inverse() * error * (BIAS_SHARE.value * gain * gain * dt_s);
        bias_step.z = 0.0;
        self.bias -= bias_step;
        self.attitude = UnitQuaternion::from_scaled_axis(error * gain * dt_s) * self.attitude;
    }
}

/// Collects the path on its grid.
struct Grid {
    start_s: f64,
    heading_rad: Vec<f64>,
    attitude: Vec<UnitQuaternion<f64>>,
    run: Vec<u32>,
    points: usize,
    number: u32,
    last: (f64, f64),
}

impl Grid {
    fn new(start_s: f64, points: usize) -> Self {
        Self {
            start_s,
            heading_rad: Vec::with_capacity(points),
            attitude: Vec::with_capacity(points),
            run: Vec::with_capacity(points),
            points,
            number: 0,
            last: (start_s, 0.0),
        }
    }

    fn next_s(&self) -> f64 {
        self.start_s + self.heading_rad.len() as f64 * ATTITUDE_STEP_S.value
    }

    /// A new run begins: grid points before it are in a gap.
    fn begin(&mut self, t_s: f64, heading_rad: f64) {
        while self.next_s() < t_s && self.heading_rad.len() < self.points {
            self.push(heading_rad, UnitQuaternion::identity(), 0);
        }
        self.number += 1;
        self.last = (t_s, heading_rad);
    }

    fn advance(&mut self, t_s: f64, heading_rad: f64, attitude: UnitQuaternion<f64>) {
        let (before_s, before_rad) = self.last;
        while self.next_s() <= t_s && self.heading_rad.len() < self.points {
            let share = (self.next_s() - before_s) / (t_s - before_s);
            self.push(before_rad + share * (heading_rad - before_rad), attitude, self.number);
        }
        self.last = (t_s, heading_rad);
    }

    fn push(&mut self, heading_rad: f64, attitude: UnitQuaternion<f64>, run: u32) {
        self.heading_rad.push(heading_rad);
        self.attitude.push(attitude);
        self.run.push(run);
    }

    fn finish(self) -> AttitudePath {
        AttitudePath::new(self.start_s, ATTITUDE_STEP_S.value, self.heading_rad, self.attitude, self.run)
    }
}
